//! Whole audits of both examples, as people and programs get them. Read every change before accepting it, and recompute
//! one number by hand.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use report::terminal::Look;
use rigproof_tests::{EXAMPLES, FULL, audit_of};

fn look(width: usize) -> Look {
    Look { width, ladder: true, ..Look::default() }
}

#[test]
fn in_the_terminal() {
    for name in EXAMPLES {
        let audit = audit_of(name);
        for width in [60, 100] {
            let shown = report::terminal::render(&audit, &look(width));
            for line in shown.lines() {
                // An id, a path or a name longer than the line cannot be broken; there is none in the examples.
                assert!(line.chars().count() <= width, "{name}, {width} columns: {line}");
            }
            insta::assert_snapshot!(format!("{name}-{width}"), shown);
        }
    }
}

#[test]
fn in_the_terminal_with_styles_and_all_answers() {
    let audit = audit_of(EXAMPLES[1]);
    let shown = report::terminal::render(&audit, &Look { styled: true, hue: true, utf8: true, all: true, ..look(100) });
    insta::assert_snapshot!(format!("{}-styled", EXAMPLES[1]), shown.replace('\u{1b}', "<ESC>"));
}

#[test]
fn styles_change_no_word() {
    for name in EXAMPLES {
        let audit = audit_of(name);
        let plain = report::terminal::render(&audit, &look(100));
        let styled = report::terminal::render(&audit, &Look { styled: true, hue: true, ..look(100) });
        let mut bare = String::new();
        let mut inside = false;
        for c in styled.chars() {
            match (inside, c) {
                (false, '\u{1b}') => inside = true,
                (true, 'm') => inside = false,
                (true, _) => {}
                (false, c) => bare.push(c),
            }
        }
        assert_eq!(bare, plain, "{name}");
        // With nothing wrong there is nothing to stress.
        let stressed = audit.summary.fail + audit.summary.unsettled + audit.summary.missing > 0;
        assert_eq!(styled != plain, stressed, "{name}");
    }
}

#[test]
fn one_line_a_finding() {
    for name in EXAMPLES {
        let audit = audit_of(name);
        let shown = report::terminal::render(&audit, &Look { plain: true, all: true, ..look(100) });
        let lines = shown.lines().filter(|line| audit.findings.iter().any(|f| line.contains(f.check.as_str()))).count();
        assert!(lines >= audit.findings.len(), "{name}: {lines} lines for {} findings", audit.findings.len());
    }
}

/// The version alone is redacted: an output that needs more is at fault.
#[test]
fn as_json() {
    // The small one whole; of the complete one, which is long, each answer on a line.
    let small = EXAMPLES[1];
    let text = report::json::render(&audit_of(small));
    let version = format!("\"version\": \"{}\"", env!("CARGO_PKG_VERSION"));
    assert!(text.contains(&version));
    insta::assert_snapshot!(format!("{small}-json"), text.replace(&version, "\"version\": \"VERSION\""));
    let answers: Vec<String> = audit_of(FULL)
        .findings
        .iter()
        .map(|finding| {
            let (check, path, case, state) = finding.key();
            let used = finding.utilisation.map_or_else(String::new, |used| format!(" {:.4}", used.0));
            let case = case.map_or_else(String::new, |case| format!("[{case}]"));
            format!("{check}{case} {path} {} {}{used}", state.unwrap_or("-"), finding.verdict.word())
        })
        .collect();
    insta::assert_snapshot!(format!("{FULL}-answers"), answers.join("\n"));
}

#[test]
fn as_drawings() {
    let mut drawn = 0;
    for name in EXAMPLES {
        let audit = audit_of(name);
        for exhibit in &audit.exhibits {
            let Some(svg) = report::draw::render(exhibit, audit.units.into()) else { continue };
            drawn += 1;
            assert!(svg.starts_with("<svg") || svg.starts_with("<?xml"), "{name}: {}", exhibit.id);
            // Self-contained: no font, picture or script from elsewhere.
            for word in ["http://", "https://", "<script", "@import", "url("] {
                let foreign = svg.replace("http://www.w3.org/2000/svg", "").contains(word);
                assert!(!foreign, "{name}: {} has {word}", exhibit.id);
            }
        }
    }
    assert!(drawn >= 4, "a side and a rear view of each example, got {drawn}");
}

#[test]
fn numbers_have_nine_digits_and_no_minus_zero() {
    for name in EXAMPLES {
        let text = report::json::render(&audit_of(name));
        for word in text.split(|c: char| c.is_whitespace() || ",:[]{}".contains(c)) {
            if word.starts_with('"') || word.parse::<f64>().is_err() {
                continue;
            }
            // A whole number is written with a point and a nought behind it: that is no digit claimed.
            let digits = word.split(['e', 'E']).next().unwrap().trim_end_matches(".0");
            let significant = digits.trim_start_matches(['-', '0', '.']).chars().filter(char::is_ascii_digit).count();
            assert!(significant <= 9, "{name}: {word}");
            assert!(word != "-0" && word != "-0.0", "{name}");
        }
        assert!(!text.contains("NaN") && !text.contains("Infinity"), "{name}");
    }
}

/// The rig of twenty mistakes reports all of them in one go.
#[test]
fn twenty_mistakes() {
    let file = rigproof_tests::root().join("crates/rig-model/tests/rigs/twenty-mistakes.toml");
    let text = std::fs::read_to_string(file).unwrap();
    let audit = rigproof::audit(&text, &rigproof_tests::options());
    assert_eq!(audit.errors.len(), 20);
    insta::assert_snapshot!("twenty-mistakes", report::terminal::errors(&audit));
}
