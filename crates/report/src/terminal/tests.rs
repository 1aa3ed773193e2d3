use check::audit::Units;
use check::{Audit, Verdict};

use super::fold::Folded;
use super::*;
use crate::{sample, text};

fn look(width: usize) -> Look {
    Look { width, ladder: true, ..Look::default() }
}

macro_rules! snapshot {
    ($name:literal, $text:expr) => {
        insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, { insta::assert_snapshot!($name, $text) })
    };
}

mod sparse;

#[test]
fn little_told_is_a_short_report() {
    snapshot!("terminal-sparse", render(&sample::sparse(), &look(100)));
}

#[test]
fn the_report_at_width_100() {
    snapshot!("terminal-100", render(&sample::audit(), &look(100)));
}

#[test]
fn the_report_at_width_60() {
    snapshot!("terminal-60", render(&sample::audit(), &look(60)));
}

#[test]
fn the_report_with_everything_in_us_units() {
    let mut audit = sample::audit();
    audit.units = Units::Us;
    snapshot!("terminal-all-us", render(&audit, &Look { all: true, utf8: true, ..look(100) }));
}

#[test]
fn the_report_with_weights() {
    let styled = render(&sample::audit(), &Look { styled: true, hue: true, ..look(100) });
    snapshot!("terminal-styled", styled.replace('\u{1b}', "ESC"));
}

#[test]
fn one_line_a_finding() {
    snapshot!("terminal-plain", render(&sample::audit(), &Look { plain: true, all: true, ..look(100) }));
}

#[test]
fn nothing_wrong_is_said_in_a_few_lines() {
    snapshot!("terminal-fine", render(&sample::fine(), &look(100)));
}

#[test]
fn many_findings_stay_readable() {
    let report = render(&sample::many(), &look(100));
    assert!(report.lines().count() <= 120, "{} lines for 150 findings", report.lines().count());
    snapshot!("terminal-many", report);
}

#[test]
fn problems_of_the_rig_file() {
    snapshot!("problems", errors(&sample::unread()));
    assert_eq!(render(&sample::unread(), &look(100)), errors(&sample::unread()));
}

#[test]
fn without_findings_nothing_is_called_fine() {
    let report = render(&sample::empty(), &look(100));
    assert_eq!(report, "0 answers.\n");
}

#[test]
fn fine_is_said_only_of_a_whole_answer() {
    let mut audit = sample::fine();
    assert!(render(&audit, &look(100)).contains("This is fine."));
    audit.notes.push(sample::audit().notes[0].clone());
    assert!(render(&audit, &look(100)).contains("What was told is fine."));
    audit.faults = sample::audit().faults;
    assert!(!render(&audit, &look(100)).contains("fine."));
    assert!(!render(&sample::audit(), &look(100)).contains("fine."));
}

#[test]
fn no_line_is_wider_than_asked_and_no_control_character_passes() {
    for width in 60..=100 {
        for audit in [sample::audit(), sample::fine(), sample::many(), sample::sparse()] {
            let report = render(&audit, &Look { all: true, ..look(width) });
            for line in report.lines() {
                assert!(text::columns(line) <= width, "{width}: {line}");
                assert!(!line.chars().any(char::is_control), "{line:?}");
                assert!(!line.contains('\u{a0}'), "{line:?}");
            }
        }
    }
}

#[test]
fn numbers_keep_their_units_at_every_width() {
    for width in 60..=100 {
        for line in render(&sample::audit(), &look(width)).lines() {
            let last = line.split_whitespace().last().unwrap_or_default();
            let bare_end = ["0.41", "410", "4940", "0.2", "14", "30", "47", "10"].contains(&last);
            assert!(!bare_end, "{width}: {line}");
        }
    }
}

#[test]
fn every_finding_is_in_exactly_one_counted_list() {
    for audit in [sample::audit(), sample::fine(), sample::many(), sample::sparse(), sample::empty()] {
        let folded = Folded::of(&audit);
        let told = folded.fails.iter().chain(folded.unsettled()).chain(&folded.accepted).flat_map(|block| block.findings());
        let mut keys: Vec<_> = told
            .chain(folded.passing.iter().copied())
            .chain(folded.not_applicable.iter().copied())
            .map(check::Finding::key)
            .collect();
        keys.sort();
        let mut expected: Vec<_> = audit.findings.iter().map(check::Finding::key).collect();
        expected.sort();
        assert_eq!(keys, expected);
    }
}

#[test]
fn plain_has_as_many_lines_a_verdict_as_the_summary_counts() {
    for audit in [sample::audit(), sample::sparse()] {
        let report = render(&audit, &Look { plain: true, all: true, ..look(100) });
        for verdict in Verdict::ALL {
            let lines = report.lines().filter(|line| line.starts_with(&format!("{}  ", verdict.word()))).count();
            assert_eq!(lines, audit.summary.of(verdict), "{}", verdict.word());
        }
    }
}

#[test]
fn an_unsettled_injury_says_how_to_treat_it_and_comfort_does_not() {
    let report = render(&sample::audit(), &look(100));
    assert_eq!(report.matches("treat as fail until measured").count(), 1);
}

#[test]
fn a_caution_stands_once() {
    let report = render(&sample::audit(), &look(100));
    assert_eq!(report.matches("a body on jacks can fall").count(), 1);
}

#[test]
fn a_limit_that_the_owner_weakened_is_told_also_where_it_passes() {
    for plain in [false, true] {
        let report = render(&sample::audit(), &Look { plain, ..look(100) });
        assert!(report.contains("which asks less: the maker's letter of 2024"), "{report}");
    }
}

#[test]
fn without_weights_there_is_no_escape_code_and_with_them_the_words_are_the_same() {
    let bare = render(&sample::audit(), &look(100));
    assert!(!bare.contains('\u{1b}'));
    for hue in [false, true] {
        let styled = render(&sample::audit(), &Look { styled: true, hue, ..look(100) });
        assert_eq!(anstream_like_strip(&styled), bare);
        assert_eq!(styled.contains("\u{1b}[35m"), hue);
    }
}

/// Takes `ESC [ ... m` out; no other sequence is ever written.
fn anstream_like_strip(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        out.push_str(before);
        rest = after.split_once('m').map_or("", |(_, after)| after);
    }
    out + rest
}

#[test]
fn the_ladder_draws_the_limit_in_one_column_and_goes_first_when_it_is_narrow() {
    let bars = |report: &str| -> Vec<usize> {
        report
            .lines()
            .filter(|line| line.contains('|'))
            .filter_map(|line| line.split_once('|'))
            .map(|(before, _)| text::columns(before))
            .collect()
    };
    let wide = bars(&render(&sample::audit(), &look(100)));
    assert!(wide.len() >= 6 && wide.iter().all(|column| *column == wide[0]), "{wide:?}");
    assert!(bars(&render(&sample::audit(), &look(60))).is_empty());
    assert!(bars(&render(&sample::audit(), &Look { ladder: false, ..look(100) })).is_empty());
}

#[test]
fn the_ladder_crosses_the_limit_exactly_where_the_verdict_is_unsettled() {
    let report = render(&sample::audit(), &look(100));
    let line = |subject: &str| {
        report.lines().find(|line| line.contains(subject) && line.contains('|')).map(str::to_owned).unwrap_or_default()
    };
    assert!(line("step lamps").ends_with("================----|------...."), "{}", line("step lamps"));
    let front = line("weight/axle-load         front axle");
    assert!(front.ends_with("1.03  ====================|-........."), "{front}");
}

fn audit_is_unchanged_by_order_of_findings(audit: &Audit) {
    let mut turned = audit.clone();
    turned.findings.reverse();
    assert_eq!(render(audit, &look(100)), render(&turned, &look(100)));
}

#[test]
fn the_report_does_not_depend_on_the_order_of_findings() {
    audit_is_unchanged_by_order_of_findings(&sample::audit());
    audit_is_unchanged_by_order_of_findings(&sample::many());
    audit_is_unchanged_by_order_of_findings(&sample::sparse());
}

#[test]
fn a_basis_says_what_it_is_and_no_more() {
    let plate = |title: &str| block::basis_line(&basis::Basis::data_plate(title));
    assert_eq!(plate("axle rating"), "axle rating");
    assert_eq!(plate("axle rating, from the data plate"), "axle rating, from the data plate");
    let owner = |title: &str| block::basis_line(&basis::Basis::owner(title));
    assert_eq!(owner("ground.approach"), "your own wish");
    assert_eq!(owner("mass of lake ferry"), "mass of lake ferry");
    assert!(
        block::basis_line(&sample::audit().findings.iter().find_map(|f| f.basis.clone().filter(|b| b.clause.is_some())).unwrap())
            .ends_with("(from memory)")
    );
}

#[test]
fn a_number_that_is_none_is_a_question_mark() {
    let mut audit = sample::audit();
    for finding in &mut audit.findings {
        finding.utilisation = finding.utilisation.map(|_| quantity::Num(f64::NAN));
        finding.demand.iter_mut().for_each(|demand| demand.value = quantity::Num(f64::INFINITY));
    }
    for plain in [false, true] {
        let report = render(&audit, &Look { all: true, plain, ..look(100) });
        assert!(!report.contains("NaN") && !report.contains("inf ") && report.contains('?'), "{report}");
    }
}

#[test]
fn against_an_earlier_audit_it_says_what_became_worse_and_that_the_rest_stood() {
    let audit = sample::since();
    let report = render(&audit, &look(100));
    snapshot!("terminal-since", report);
    let plain = render(&audit, &Look { plain: true, ..look(100) });
    for text in [&report, &plain] {
        assert!(text.contains("worse: weight/axle-load: front axle, travel-full: was pass 0.95, now fail 1.03"), "{text}");
        assert!(text.contains("weight/frame-notch: left rail: not asked before, now fail"), "{text}");
        assert_eq!(text.matches("worse: ").count(), 3);
    }
    // What is gone is told once, and not among the remarks.
    assert_eq!(report.matches("tag axle, camped was").count(), 1);
    assert_eq!(plain.matches("tag axle, camped was").count(), 1);
}
