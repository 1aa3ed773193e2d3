//! A rig of which little is told: what the report leaves out, and that it leaves out nothing else.

use super::*;

fn short() -> String {
    render(&sample::sparse(), &look(100))
}

fn whole() -> String {
    render(&sample::sparse(), &Look { all: true, ..look(100) })
}

/// The lines from a heading to the next.
fn section<'r>(report: &'r str, heading: &str) -> Vec<&'r str> {
    let from = report.lines().skip_while(|line| *line != heading).skip(1);
    let line = |line: &&str| line.is_empty() || line.starts_with(' ');
    from.take_while(line).filter(|line| !line.is_empty()).collect()
}

/// The lines of the block with that number.
fn block_lines(report: &str, number: usize) -> usize {
    let first = format!("{number:>2}  ");
    report.lines().skip_while(|line| !line.starts_with(&first)).take_while(|line| !line.is_empty()).count()
}

#[test]
fn three_inputs_are_told_in_full_over_both_sections_and_none_twice() {
    let report = short();
    let (told, measure) = (section(&report, "NOT TOLD YET"), section(&report, "WORTH MEASURING"));
    let starting = |lines: &[&str], label: &str| lines.iter().filter(|line| line.trim_start().starts_with(label)).count();
    // 8 answers wait for the low point, 5 hang on the pressure, 4 wait for the height: those are the three.
    assert_eq!(starting(&told, "find it out"), 2, "{told:?}");
    assert_eq!(starting(&measure, "would settle"), 1, "{measure:?}");
    for path in ["low_point (8 answers wait)", "chassis.height (4 answers wait)", "axle[front].tyre.pressure (5 answers)"] {
        assert_eq!(report.matches(path).count(), 1, "{path}");
    }
    let rest = "and 4 more: axle[rear].tyre.load_index, chassis.width, person, weighing";
    assert!(told.iter().any(|line| line.trim() == rest), "{told:?}");
    assert!(!report.contains("missing  "), "no block for what is missing: {report}");
}

#[test]
fn with_three_absent_inputs_each_has_its_block() {
    let mut audit = sample::sparse();
    audit.findings.retain(|f| !f.needs.iter().any(|need| ["person", "chassis.width"].contains(&need.path.as_str())));
    let report = render(&audit, &look(100));
    assert_eq!(report.matches("missing  ").count(), 3, "{report}");
    assert!(section(&report, "NOT TOLD YET").is_empty());
    assert_eq!(report.matches("write a table for what hangs lowest").count(), 1, "{report}");
    assert!(!report.contains("an old or damaged tyre"), "{report}");
}

#[test]
fn what_is_missing_without_an_input_to_name_keeps_its_block() {
    let mut audit = sample::sparse();
    let mut nameless = audit.findings.iter().find(|finding| finding.verdict == Verdict::Missing).cloned().unwrap();
    nameless.needs.clear();
    nameless.path = "odd".to_owned();
    nameless.sentence = Some("nobody knows what it waits for".to_owned());
    audit.findings.push(nameless);
    let report = render(&audit, &look(100));
    assert_eq!(report.matches("missing  ").count(), 1, "{report}");
    assert!(report.contains("not known      nobody knows what it waits for"), "{report}");
}

#[test]
fn everything_lists_every_missing_answer_and_every_input() {
    let (audit, report) = (sample::sparse(), whole());
    assert_eq!(section(&report, "MISSING").iter().filter(|line| line.contains("  not known ")).count(), audit.summary.missing);
    let told = section(&report, "NOT TOLD YET").join(" ");
    for path in ["low_point", "chassis.height", "axle[rear].tyre.load_index", "chassis.width", "person", "weighing"] {
        assert!(told.contains(&format!("{path} (")), "{path}: {told}");
    }
    assert!(told.contains("person (1 answer waits)"), "{told}");
    assert!(told.contains("by former owners") && !short().contains("former owners"));
}

#[test]
fn each_caution_stands_once_and_that_of_a_quiet_answer_only_with_everything() {
    let (short, whole) = (short(), whole());
    for (caution, told) in [
        ("stand beside the tread when pumping", 1),
        ("slower is not credited", 1),
        ("a third one", 0),
        ("an old or damaged tyre", 0),
        ("plates and papers decide", 0),
        ("a slope that is wet", 0),
    ] {
        assert_eq!(short.matches(caution).count(), told, "{caution}: {short}");
        assert_eq!(whole.matches(caution).count(), 1, "{caution}: {whole}");
    }
}

#[test]
fn what_the_owner_accepts_warns_only_of_injury() {
    let mut audit = sample::audit();
    let mut told = |consequence| {
        for finding in audit.findings.iter_mut().filter(|finding| finding.accepted.is_some()) {
            finding.consequence = consequence;
            finding.cautions = vec!["ask the inspector".to_owned()];
        }
        render(&audit, &look(100)).contains("ask the inspector")
    };
    assert!(!told(check::Consequence::Legal));
    assert!(told(check::Consequence::Injury));
}

#[test]
fn a_caution_is_whole_however_narrow_the_page() {
    let mut audit = sample::sparse();
    let long = "a truck that stands on jacks can fall on whoever lies under it, and so it stands on hard ground, chocked, \
        with a second support under the frame before anyone reaches in";
    for finding in audit.findings.iter_mut().filter(|finding| finding.about == "front axle") {
        finding.cautions = vec![long.to_owned(), "short".to_owned()];
    }
    let report = render(&audit, &look(60));
    let flat = report.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains(long), "{report}");
    assert!(!report.contains("careful        short"), "{report}");
}

#[test]
fn no_title_says_a_word_twice() {
    let mut finding = sample::sparse().findings[0].clone();
    let mut title = |about: &str, case: &str, state: &str| {
        finding.about = about.to_owned();
        finding.case = (!case.is_empty()).then(|| case.to_owned());
        finding.state = (!state.is_empty()).then(|| state.to_owned());
        block::about(&finding)
    };
    assert_eq!(title("barn, height", "height", "ferry queue"), "barn, height, ferry queue");
    assert_eq!(title("approach, front bumper", "approach", ""), "approach, front bumper");
    assert_eq!(title("front axle", "pressure", "camped"), "front axle, pressure, camped");
    // A part of a word is another word, and a state is only left out where it stands by itself.
    assert_eq!(title("heights of land", "height", "land"), "heights of land, height, land");
    assert_eq!(title("front axle", "", ""), "front axle");
}

#[test]
fn what_hangs_on_one_cause_is_told_in_six_lines() {
    let report = short();
    for number in [3, 4, 5] {
        assert!((4..=6).contains(&block_lines(&report, number)), "{number}: {report}");
    }
    assert_eq!(report.matches("settled with 1").count(), 1);
    assert_eq!(report.matches("settled with 3").count(), 2);
    // The largest share is under a third there, so the second is named too; above a third it is not.
    assert_eq!(report.matches("person[botanist].mass (21 % of the doubt)").count(), 1);
    assert!(!report.contains("axle[front].bare_load"));
}

#[test]
fn what_hangs_on_nothing_shared_tells_what_else_its_way_out_settles() {
    let mut audit = sample::sparse();
    audit.findings.retain(|finding| finding.check == "weight/payload-left");
    let report = render(&audit, &look(100)).split_whitespace().collect::<Vec<_>>().join(" ");
    let settles = "also settles gross-mass of the rig in travel-full, lake ferry, mass in travel-full and 1 more";
    assert!(report.contains(settles), "{report}");
}

#[test]
fn a_way_out_names_the_other_states_of_its_block_only_where_it_does_not_settle_them_all() {
    let mut audit = sample::audit();
    let own = |state: &str, was| check::remedy::Also {
        check: "weight/axle-load".to_owned(),
        about: "front axle".to_owned(),
        path: "thing[front axle]".to_owned(),
        state: Some(state.to_owned()),
        was,
        is: Verdict::Pass,
        utilisation: None,
    };
    let mut told = |also: Vec<check::remedy::Also>| {
        for remedy in audit.findings.iter_mut().flat_map(|finding| &mut finding.remedies) {
            remedy.also = also.clone();
        }
        let report = render(&audit, &look(100)).split_whitespace().collect::<Vec<_>>().join(" ");
        report.split("way out move the body").nth(1).and_then(|rest| rest.split(" or ").next()).unwrap().to_owned()
    };
    let (empty, camped) = (own("travel-empty", Verdict::Fail), own("camped", Verdict::Unsettled));
    assert!(!told(vec![empty.clone(), camped]).contains("settles"));
    assert!(told(vec![empty]).contains("also settles axle-load of front axle in travel-empty"));
}

#[test]
fn a_way_out_told_again_still_says_first_what_it_makes_fail() {
    let report = short().split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(report.contains("cold (minutes): 1150 kg (0.93); then rim in"), "{report}");
    assert!(report.contains("as in 1: 4.60 bar (0.95); then rim in travel-full fails"), "{report}");
}

#[test]
fn numbers_without_a_limit_are_six_short_lines() {
    let report = short();
    let told = section(&report, "NUMBERS WITHOUT A LIMIT");
    assert_eq!(told.len(), 7, "{told:?}");
    // 0.3089 rad is 17.70 deg, 0.3176 rad is 18.20 deg.
    assert_eq!(told[0], "    weight/side-slope: rig with load 0 may lean 17.7 to 18.2 deg in 3 states; no slope is asked for");
    assert_eq!(told[1], "    weight/side-slope: rig with load 1 may lean 17.7 to 18.2 deg in 3 states");
    assert_eq!(told[6], "    and 2 more, with --all");
    assert!(whole().contains("write side_slope in [ground] for a verdict"));
    assert_eq!(section(&whole(), "NUMBERS WITHOUT A LIMIT").iter().filter(|line| line.contains("rig with load")).count(), 8);
}

#[test]
fn nothing_fails_is_said_first_and_only_where_it_is_so() {
    let first = |audit: &Audit| {
        let report = render(audit, &Look { ladder: false, ..look(100) });
        report.lines().rev().take_while(|line| !line.is_empty()).last().unwrap_or_default().to_owned()
    };
    let audit = sample::sparse();
    assert!(first(&audit).starts_with("Nothing fails.  47 answers: "), "{}", first(&audit));
    let mut faulty = audit.clone();
    faulty.faults = sample::audit().faults;
    assert!(!first(&faulty).contains("Nothing fails."));
    // Of a file in which nothing could be judged it would sound like praise.
    let mut untold = audit.clone();
    untold.findings.retain(|finding| finding.verdict == Verdict::Missing);
    (untold.summary.pass, untold.summary.unsettled) = (0, 0);
    assert!(!first(&untold).contains("Nothing fails."));
    // A failure that its owner accepts is a failure.
    let mut accepted = audit;
    accepted.findings.extend(sample::audit().findings.into_iter().filter(|finding| finding.accepted.is_some()));
    accepted.summary.fail = 1;
    assert!(!first(&accepted).contains("Nothing fails."));
    assert!(!first(&sample::fine()).contains("Nothing fails."));
}
