//! The forms for machines: held against their published schema or their usual layout, and against the audit they came
//! from. As many findings come out as went in, by verdict.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::{BTreeMap, BTreeSet};

use check::{Audit, Card, Consequence, Finding, Verdict};
use report::sample;
use rigproof::Options;
use rigproof_tests::{EXAMPLES, audit_of, example, options, root};
use serde_json::Value;

type Counts = BTreeMap<String, usize>;

/// Both example rigs, and the audits that the tests of renderers share.
fn audits() -> Vec<Audit> {
    let mut all: Vec<Audit> = EXAMPLES.iter().map(|name| audit_of(name)).collect();
    let made = [sample::audit, sample::since, sample::fine, sample::empty, sample::unread, sample::many, sample::sparse];
    all.extend(made.map(|make| make()));
    all
}

fn cards() -> Vec<&'static Card> {
    rigproof::registry().checks().iter().map(|check| check.card()).collect()
}

fn count(words: impl IntoIterator<Item = String>) -> Counts {
    let mut counts = Counts::new();
    words.into_iter().for_each(|word| *counts.entry(word).or_default() += 1);
    counts
}

fn verdicts(audit: &Audit) -> Counts {
    count(audit.findings.iter().map(|finding| finding.verdict.word().to_owned()))
}

fn sarif(audits: &[Audit], strict: bool) -> Value {
    serde_json::from_str(&report::sarif::render(audits, &cards(), strict)).unwrap()
}

fn results(log: &Value) -> Vec<&Value> {
    log["runs"].as_array().unwrap().iter().flat_map(|run| run["results"].as_array().unwrap()).collect()
}

fn sarif_validator() -> jsonschema::Validator {
    let file = root().join("tests/data/sarif-2.1.0/sarif-schema-2.1.0.json");
    let mut schema: Value = serde_json::from_str(&std::fs::read_to_string(file).unwrap()).unwrap();
    // Its pattern for languages has a bracket that closes nothing, which this validator does not take. We write none.
    for holder in ["run", "toolComponent"] {
        let language = schema.pointer_mut(&format!("/definitions/{holder}/properties/language")).unwrap();
        let pattern = language.as_object_mut().unwrap().remove("pattern").unwrap();
        assert_eq!(pattern, "^[a-zA-Z]{2}|^[a-zA-Z]{2}-[a-zA-Z]{2}]?$");
    }
    jsonschema::validator_for(&schema).unwrap()
}

#[test]
fn sarif_keeps_to_the_published_schema() {
    let validator = sarif_validator();
    let mut logs: Vec<Value> =
        audits().into_iter().flat_map(|one| [false, true].map(|strict| sarif(std::slice::from_ref(&one), strict))).collect();
    logs.extend([sarif(&audits(), false), sarif(&[], true)]);
    for log in &logs {
        let faults: Vec<String> = validator.iter_errors(log).map(|e| format!("{e} at {}", e.instance_path())).take(3).collect();
        assert!(faults.is_empty(), "{faults:#?}");
    }
    // The schema bites: each of these is refused.
    let good = &logs[0];
    for (pointer, wrong) in [
        ("/version", "2.0.0".into()),
        ("/runs/0/columnKind", "bytes".into()),
        ("/runs/0/results/0/kind", "unsettled".into()),
        ("/runs/0/results/0/level", "loud".into()),
        ("/runs/0/results/0/locations/0/physicalLocation/region/startLine", 0.into()),
        ("/runs/0/tool/driver/name", Value::Null),
    ] {
        let mut bad = good.clone();
        *bad.pointer_mut(pointer).unwrap() = wrong;
        assert!(!validator.is_valid(&bad), "{pointer}");
    }
}

#[test]
fn sarif_conserves_findings_and_tells_each_verdict_by_its_kind() {
    for audit in audits() {
        for strict in [false, true] {
            let log = sarif(std::slice::from_ref(&audit), strict);
            let told = results(&log);
            assert_eq!(count(told.iter().map(|r| r["properties"]["verdict"].as_str().unwrap().to_owned())), verdicts(&audit));
            for (result, finding) in told.iter().zip(&audit.findings) {
                assert_eq!(result["ruleId"], *finding.check);
                assert_eq!(
                    (result["kind"].as_str().unwrap(), result["level"].as_str().unwrap()),
                    kind_and_level(finding, strict)
                );
            }
            let told = log["runs"][0]["invocations"][0]["toolExecutionNotifications"].as_array().unwrap();
            assert_eq!(told.len(), audit.faults.len() + audit.errors.len() + audit.notes.len());
            assert_eq!(log["runs"][0]["columnKind"], "unicodeCodePoints");
        }
    }
}

/// The table of verdicts once more, written down apart from the program's own.
fn kind_and_level(finding: &Finding, strict: bool) -> (&'static str, &'static str) {
    match (finding.verdict, finding.consequence, strict) {
        (Verdict::Fail, Consequence::Injury | Consequence::Legal, _) => ("fail", "error"),
        (Verdict::Fail, Consequence::Damage, _) => ("fail", "warning"),
        (Verdict::Fail, Consequence::Comfort, _) => ("fail", "note"),
        (Verdict::Unsettled | Verdict::Missing, _, false) => ("open", "none"),
        (Verdict::Unsettled | Verdict::Missing, _, true) => ("fail", "warning"),
        (Verdict::Pass, ..) => ("pass", "none"),
        (Verdict::NotApplicable, ..) => ("notApplicable", "none"),
    }
}

#[test]
fn sarif_rules_carry_help_and_addresses_are_relative() {
    let log = sarif(&EXAMPLES.map(audit_of), false);
    for run in log["runs"].as_array().unwrap() {
        let rules = run["tool"]["driver"]["rules"].as_array().unwrap();
        assert!(rules.len() > 20);
        for rule in rules {
            let help = rule["help"]["text"].as_str().unwrap();
            assert!(help.contains("rigproof explain") && help.len() > 200, "{rule}");
        }
    }
    let mut addresses = BTreeSet::new();
    rigproof_tests::walk(&log, "", &mut |_, key, value| {
        if key == "uri" {
            addresses.insert(value.as_str().unwrap().to_owned());
        }
    });
    assert_eq!(addresses, BTreeSet::from(["rig.toml".to_owned()]));
}

/// Names of the elements that may stand in an element of the usual layout, in their order.
const LAYOUT: &[(&str, &[&str])] = &[
    ("testsuites", &["testsuite"]),
    ("testsuite", &["properties", "testcase"]),
    ("testcase", &["properties", "skipped", "error", "failure"]),
    ("properties", &["property"]),
    ("property", &[]),
    ("skipped", &[]),
    ("error", &[]),
    ("failure", &[]),
];

#[test]
fn junit_keeps_to_the_usual_layout_and_its_counts_add_up() {
    for audit in audits() {
        for strict in [false, true] {
            let text = report::junit::render(std::slice::from_ref(&audit), false, strict);
            let document = roxmltree::Document::parse(&text).unwrap();
            for node in document.descendants().filter(roxmltree::Node::is_element) {
                let (_, may) = LAYOUT.iter().find(|(name, _)| *name == node.tag_name().name()).expect("a known element");
                let order: Vec<usize> = node
                    .children()
                    .filter(roxmltree::Node::is_element)
                    .map(|child| may.iter().position(|name| *name == child.tag_name().name()).expect("a child of that element"))
                    .collect();
                assert!(order.is_sorted(), "{text}");
                for needed in ["name", "classname"].into_iter().filter(|_| node.has_tag_name("testcase")) {
                    assert!(node.attribute(needed).is_some_and(|name| !name.is_empty()));
                }
                assert_eq!(node.attribute("time"), None);
                adds_up(node);
            }
        }
    }
}

/// The counts on an element are those of the cases in it.
fn adds_up(node: roxmltree::Node<'_, '_>) {
    if !node.has_tag_name("testsuites") && !node.has_tag_name("testsuite") {
        return;
    }
    let holding = |name: &str| node.descendants().filter(|inner| inner.has_tag_name(name)).count().to_string();
    for (attribute, element) in [("tests", "testcase"), ("failures", "failure"), ("errors", "error"), ("skipped", "skipped")] {
        assert_eq!(node.attribute(attribute), Some(holding(element).as_str()), "{attribute}");
    }
}

#[test]
fn junit_conserves_findings_and_tells_each_verdict_by_its_element() {
    for audit in audits() {
        for strict in [false, true] {
            let text = report::junit::render(std::slice::from_ref(&audit), false, strict);
            let document = roxmltree::Document::parse(&text).unwrap();
            let cases: Vec<_> = document.descendants().filter(|node| node.has_tag_name("testcase")).collect();
            assert_eq!(cases.len(), audit.findings.len() + audit.faults.len() + audit.errors.len());
            let names: BTreeSet<_> = cases.iter().map(|case| (case.attribute("classname"), case.attribute("name"))).collect();
            assert_eq!(names.len(), cases.len(), "a name twice");
            let property = |case: &roxmltree::Node<'_, '_>, name: &str| {
                let property =
                    case.descendants().find(|node| node.has_tag_name("property") && node.attribute("name") == Some(name));
                property.and_then(|property| property.attribute("value")).map(str::to_owned)
            };
            assert_eq!(count(cases.iter().filter_map(|case| property(case, "verdict"))), verdicts(&audit));
            let told = |name: &str| cases.iter().filter(|case| case.children().any(|child| child.has_tag_name(name))).count();
            let fails = |f: &&Finding| f.accepted.is_none() && (f.verdict == Verdict::Fail || (strict && f.verdict.rank() == 1));
            assert_eq!(told("failure"), audit.findings.iter().filter(fails).count());
            assert_eq!(told("error"), audit.faults.len() + audit.errors.len());
            let passes = audit.findings.iter().filter(|finding| finding.verdict == Verdict::Pass).count();
            assert_eq!(told("skipped"), cases.len() - told("failure") - told("error") - passes);
        }
    }
    let several = report::junit::render(&EXAMPLES.map(audit_of), true, false);
    assert_eq!(several.matches("<testsuites").count(), 1);
    assert_eq!(several.matches("<testsuite name=\"rig.toml: weight\"").count(), 2);
}

#[test]
fn annotations_conserve_what_asks_for_something() {
    for audit in audits() {
        for strict in [false, true] {
            let text = report::annotations::render(std::slice::from_ref(&audit), strict);
            for (command, level) in [("error", "error"), ("warning", "warning"), ("notice", "note")] {
                let lines: Vec<&str> = text.lines().filter(|line| line.starts_with(&format!("::{command} "))).collect();
                let rest = lines.last().and_then(|line| line.strip_prefix(&format!("::{command} title=rigproof::and ")));
                let rest = rest.map(|line| line.split(' ').next().unwrap().parse::<usize>().unwrap());
                let told = lines.len() - usize::from(rest.is_some()) + rest.unwrap_or(0);
                let open = |f: &Finding| !strict && f.verdict.rank() == 1;
                let asks = |f: &&Finding| {
                    let of_level = kind_and_level(f, strict).1 == level || (open(f) && level == "note");
                    f.accepted.is_none() && of_level
                };
                let mut wanted = audit.findings.iter().filter(asks).count();
                wanted += if level == "error" { audit.faults.len() + audit.errors.len() } else { 0 };
                wanted += usize::from(level == "note" && audit.baseline.as_ref().is_some_and(|baseline| baseline.gone > 0));
                assert_eq!(told, wanted, "{command}\n{text}");
                assert!(lines.len() <= 10);
            }
        }
    }
}

#[test]
fn csv_conserves_findings_and_reads_back() {
    let all = audits();
    let text = report::csv::render(&all);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let names: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    assert_eq!(names, report::csv::COLUMNS);
    let at = |name: &str| names.iter().position(|column| column == name).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(|record| record.expect("as many cells as columns")).collect();
    let kinds = count(rows.iter().map(|row| row[at("kind")].to_owned()));
    let total = |of: fn(&Audit) -> usize| all.iter().map(of).sum::<usize>();
    assert_eq!(kinds["finding"], total(|audit| audit.findings.len()));
    assert_eq!(kinds["fault"], total(|audit| audit.faults.len()));
    assert_eq!(kinds["error"], total(|audit| audit.errors.len()));
    assert_eq!(kinds["note"], total(|audit| audit.notes.len()));
    let findings: Vec<&csv::StringRecord> = rows.iter().filter(|row| &row[at("kind")] == "finding").collect();
    let wanted = count(all.iter().flat_map(|audit| &audit.findings).map(|finding| finding.verdict.word().to_owned()));
    assert_eq!(count(findings.iter().map(|row| row[at("verdict")].to_owned())), wanted);
    for (row, finding) in findings.iter().zip(all.iter().flat_map(|audit| &audit.findings)) {
        let number = |name: &str| row[at(name)].parse::<f64>().ok();
        assert_eq!(number("utilisation"), finding.utilisation.map(|used| used.rounded()));
        assert_eq!(number("demand"), finding.demand.as_ref().map(|demand| demand.value.rounded()));
        assert_eq!(row[at("check")], finding.check);
    }
    assert!(text.chars().all(|c| c == '\n' || !c.is_control()));
    for row in &rows {
        let armed = |cell: &&str| cell.starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err();
        assert_eq!(row.iter().find(armed), None);
    }
}

#[test]
fn markdown_conserves_findings() {
    for audit in audits().into_iter().filter(|audit| audit.errors.is_empty()) {
        let text = report::markdown::render(std::slice::from_ref(&audit), true);
        for verdict in Verdict::ALL.into_iter().filter(|verdict| audit.summary.of(*verdict) > 0) {
            let said = format!("{} {}", audit.summary.of(verdict), verdict.word());
            assert!(text.lines().nth(2).unwrap().contains(&said), "{said}\n{text}");
        }
        let rows = |words: &[&str]| {
            let of = |line: &&str| {
                words
                    .iter()
                    .any(|word| line.starts_with(&format!("| {word} |")) || line.starts_with(&format!("| **{word}, worse** |")))
            };
            text.lines().filter(of).count()
        };
        let rest = |title: &str| {
            let section = text.split(title).nth(1).and_then(|rest| rest.split("<details>").next()).unwrap_or_default();
            let section = section.split("###").next().unwrap_or_default();
            let line = section.lines().find_map(|line| line.strip_prefix("and ")?.strip_suffix(" more"));
            line.map_or(0, |number| number.parse::<usize>().unwrap())
        };
        let of = |rank: u8| audit.findings.iter().filter(|finding| finding.verdict.rank() == rank).count();
        assert_eq!(rows(&["fail"]) + rest("### Fails"), of(2), "{text}");
        assert_eq!(rows(&["unsettled", "missing"]) + rest("### Not settled"), of(1), "{text}");
    }
}

/// Line of the first line of a text that is this and no more, from 1.
fn line_of(text: &str, wanted: &str, nth: usize) -> usize {
    text.lines().enumerate().filter(|(_, line)| *line == wanted).nth(nth).unwrap().0 + 1
}

#[test]
fn a_place_is_the_line_that_an_editor_shows() {
    let text = example("flatbed-cabin");
    let line = line_of(&text, "[[axle]]", 1);
    assert_eq!(text.lines().nth(line).unwrap(), "name = \"rear\"");
    let audit = audit_of("flatbed-cabin");
    let log = sarif(std::slice::from_ref(&audit), false);
    let about = |r: &&&Value| r["ruleId"] == "weight/axle-load" && r["properties"]["about"] == "rear axle";
    let told = results(&log);
    let result = told.iter().find(about).unwrap();
    let region = &result["locations"][0]["physicalLocation"]["region"];
    assert_eq!((region["startLine"].as_u64(), region["startColumn"].as_u64()), (Some(line as u64), Some(1)));
    let junit = report::junit::render(std::slice::from_ref(&audit), false, false);
    let case = "classname=\"weight/axle-load\" name=\"rear axle, travel-full\"";
    assert!(junit.contains(&format!("{case} file=\"rig.toml\" line=\"{line}\">")));
    let notices = report::annotations::render(std::slice::from_ref(&audit), false);
    assert!(
        notices.contains(&format!("::notice file=rig.toml,line={line},col=1,title=weight/tyre-age::missing: rear axle, speed;"))
    );
    let markdown = report::markdown::render(std::slice::from_ref(&audit), false);
    assert!(markdown.contains(&format!("| weight/tyre-load | rear axle, travel-full, line {line} |")));
    let csv = report::csv::render(&[audit]);
    let row = csv.lines().find(|row| row.contains("\"weight/axle-load\",\"rear axle\"")).unwrap();
    assert!(row.ends_with(&format!(",{line},1,\"Flatbed cabin\"")), "{row}");
}

/// Columns count characters, not bytes: the same place after a name that is not ASCII.
#[test]
fn a_column_counts_characters() {
    let text =
        example("flatbed-cabin").replace("name = \"driver\", at", "name = \"Fahrer Jürg 冷\", at").replace("\"-18 in\"", "5");
    let line = text.lines().position(|line| line.contains("Fahrer")).unwrap();
    let column = text.lines().nth(line).unwrap().chars().position(|c| c == '5').unwrap() + 1;
    let audit = rigproof::audit(&text, &options());
    assert_eq!(audit.errors.len(), 1, "{:?}", audit.errors);
    let log = sarif(std::slice::from_ref(&audit), false);
    let told = &log["runs"][0]["invocations"][0]["toolExecutionNotifications"][0];
    let region = &told["locations"][0]["physicalLocation"]["region"];
    assert_eq!(region["startLine"], line + 1);
    assert_eq!(region["startColumn"], column);
    let commands = report::annotations::render(&[audit], false);
    assert!(commands.starts_with(&format!("::error file=rig.toml,line={},col={column},title=", line + 1)), "{commands}");
}

/// Every form of an audit, by name.
fn forms(audit: &Audit) -> [(&'static str, String); 5] {
    let one = std::slice::from_ref(audit);
    [
        ("sarif", report::sarif::render(one, &cards(), false)),
        ("junit", report::junit::render(one, false, false)),
        ("annotations", report::annotations::render(one, false)),
        ("csv", report::csv::render(one)),
        ("markdown", report::markdown::render(one, false)),
    ]
}

#[test]
fn the_number_of_threads_changes_no_byte() {
    for name in EXAMPLES {
        let with = |threads| forms(&rigproof::audit(&example(name), &Options { threads: Some(threads), ..options() }));
        let (one, eight) = (with(1), with(8));
        for ((form, one), (_, eight)) in one.iter().zip(&eight) {
            assert!(one == eight, "{name}: {form}");
        }
    }
}

/// The version alone is redacted: an output that needs more is at fault.
#[test]
fn the_small_example_in_each_form() {
    let version = env!("CARGO_PKG_VERSION");
    for (form, text) in forms(&audit_of("flatbed-cabin")) {
        let text = text.replace(&format!("\"version\": \"{version}\""), "\"version\": \"VERSION\"");
        let text = text.replace(&format!("name=\"version\" value=\"{version}\""), "name=\"version\" value=\"VERSION\"");
        insta::assert_snapshot!(
            format!("flatbed-cabin-{form}"),
            text.replace(&format!("rigproof {version}"), "rigproof VERSION")
        );
    }
}
