//! The audit in the XML form that test runners write: one document, one suite a trade, one test case an answer.
//!
//! That form has no official text. Kept to: `testsuites`, `testsuite`, `testcase`, `properties`, `failure`, `error`,
//! `skipped`; counts on suites and on the whole that add up. There is no time in it, so the same rig gives the same bytes.

use std::collections::BTreeMap;

use check::audit::InputError;
use check::baseline::GONE;
use check::{Audit, Finding, Measure, Verdict};

use crate::machine::{self, Standing};
use crate::text::clean;

/// The suite and class of problems of the rig file.
const INPUT: &str = "input";
/// The SI unit of a ratio.
const NO_UNIT: &str = "1";

/// All audits as one document. With `several` files each suite is named after its file too. `strict`: what is unsettled or
/// missing fails.
#[must_use]
pub fn render(audits: &[Audit], several: bool, strict: bool) -> String {
    let suites: Vec<Suite> = audits.iter().flat_map(|audit| suites(audit, strict, several)).collect();
    let counts = suites.iter().map(Suite::counts).fold(Counts::default(), Counts::and);
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    out.push_str(&format!("<testsuites name=\"rigproof\"{}>\n", counts.attributes()));
    suites.iter().for_each(|suite| suite.write(&mut out));
    out.push_str("</testsuites>\n");
    out
}

/// How a test case ended; the words go to `message`, the lines to the text within.
#[derive(Debug)]
enum End {
    Passed,
    Skipped(String),
    Failed { message: String, kind: &'static str, lines: Vec<String> },
    Broken { message: String, kind: &'static str, lines: Vec<String> },
}

#[derive(Debug)]
struct Case {
    class: String,
    name: String,
    /// Told in the name where two of a class would be called the same.
    path: String,
    line: u32,
    properties: Vec<(&'static str, String)>,
    end: End,
}

#[derive(Debug)]
struct Suite {
    name: String,
    file: String,
    properties: Vec<(&'static str, String)>,
    cases: Vec<Case>,
}

#[derive(Clone, Copy, Debug, Default)]
struct Counts {
    tests: usize,
    failures: usize,
    errors: usize,
    skipped: usize,
}

impl Counts {
    fn and(self, other: Self) -> Self {
        Self {
            tests: self.tests + other.tests,
            failures: self.failures + other.failures,
            errors: self.errors + other.errors,
            skipped: self.skipped + other.skipped,
        }
    }

    fn attributes(self) -> String {
        let Self { tests, failures, errors, skipped } = self;
        format!(" tests=\"{tests}\" failures=\"{failures}\" errors=\"{errors}\" skipped=\"{skipped}\"")
    }
}

fn suites(audit: &Audit, strict: bool, several: bool) -> Vec<Suite> {
    let mut by_trade: BTreeMap<&str, Vec<Case>> = BTreeMap::new();
    for finding in &audit.findings {
        by_trade.entry(finding.trade()).or_default().push(answer(audit, finding, strict));
    }
    for fault in &audit.faults {
        let trade = basis::before_slash(&fault.check).unwrap_or(&fault.check);
        let end = End::Broken { message: clean(&fault.text), kind: "fault", lines: Vec::new() };
        by_trade.entry(trade).or_default().push(Case::new(&fault.check, "could not run".to_owned(), end));
    }
    if !audit.errors.is_empty() {
        by_trade.insert(INPUT, audit.errors.iter().map(input_error).collect());
    }
    let properties: Vec<(&str, String)> = vec![
        ("rig", clean(&audit.rig)),
        ("file", clean(&audit.file)),
        ("date", clean(&audit.date)),
        ("codes", clean(&audit.codes.join(", "))),
        ("version", clean(&audit.version)),
    ];
    let suite = |(trade, mut cases): (&str, Vec<Case>)| {
        tell_apart(&mut cases);
        let name = if several { format!("{}: {trade}", audit.file) } else { trade.to_owned() };
        Suite { name, file: audit.file.clone(), properties: properties.clone(), cases }
    };
    let mut suites: Vec<Suite> = by_trade.into_iter().map(suite).collect();
    // Once a file, whatever the number of trades.
    if let Some(first) = suites.first_mut() {
        let gone = audit.notes.iter().filter(|note| note.id == GONE);
        first.properties.extend(gone.map(|note| ("gone", clean(&note.text))));
    }
    suites
}

/// No two cases of a class have the same name: the path is added where they would, and a number if that is not enough.
fn tell_apart(cases: &mut [Case]) {
    let mut seen: BTreeMap<(String, String), usize> = BTreeMap::new();
    for case in cases.iter() {
        *seen.entry((case.class.clone(), case.name.clone())).or_default() += 1;
    }
    let mut taken: BTreeMap<(String, String), usize> = BTreeMap::new();
    for case in cases {
        if seen.get(&(case.class.clone(), case.name.clone())).is_some_and(|times| *times > 1) && !case.path.is_empty() {
            case.name = format!("{} [{}]", case.name, case.path);
        }
        let times = taken.entry((case.class.clone(), case.name.clone())).or_default();
        *times += 1;
        if *times > 1 {
            case.name = format!("{} ({times})", case.name);
        }
    }
}

fn answer(audit: &Audit, finding: &Finding, strict: bool) -> Case {
    let numbers = machine::numbers(audit);
    let told = machine::told(finding, numbers);
    let message = told.join("; ");
    let excused = finding.accepted.as_ref().filter(|_| finding.verdict != Verdict::Pass);
    let end = match (excused, Standing::of(finding, strict)) {
        (Some(accepted), _) => End::Skipped(format!("accepted: {}", machine::accepted(accepted))),
        (None, Standing::Fails(_)) => {
            let lines = told.into_iter().chain(finding.working.iter().map(|line| clean(line))).collect();
            End::Failed { message, kind: finding.verdict.word(), lines }
        }
        (None, Standing::Open) => End::Skipped(format!("{}: {message}", finding.verdict.word())),
        (None, Standing::NotAsked) => End::Skipped(format!("{}: {message}", finding.verdict.word())),
        (None, Standing::Holds) => End::Passed,
    };
    Case {
        path: clean(&finding.path),
        line: finding.place.line,
        properties: properties(finding),
        ..Case::new(&finding.check, machine::about(finding), end)
    }
}

fn properties(finding: &Finding) -> Vec<(&'static str, String)> {
    let mut all = vec![("verdict", finding.verdict.word().to_owned()), ("consequence", finding.consequence.word().to_owned())];
    for (name, measure) in [("demand", &finding.demand), ("capacity", &finding.capacity), ("margin", &finding.margin)] {
        all.extend(measure.as_ref().and_then(amount).map(|amount| (name, amount)));
    }
    all.extend(finding.utilisation.and_then(machine::figure).map(|used| ("utilisation", used.to_string())));
    all.extend(finding.basis.as_ref().map(|basis| ("basis", clean(&basis.line()))));
    all.push(("path", clean(&finding.path)));
    all.extend(machine::since(finding).map(|since| ("since", since)));
    all
}

/// "5347.2 kg"; a bare number where the unit is one.
fn amount(measure: &Measure) -> Option<String> {
    let value = machine::figure(measure.value)?;
    Some(if measure.unit == NO_UNIT { value.to_string() } else { format!("{value} {}", measure.unit) })
}

fn input_error(error: &InputError) -> Case {
    let name = if error.subject.is_empty() { clean(&error.text) } else { clean(&error.subject) };
    let end = End::Broken { message: machine::error(error), kind: "input", lines: Vec::new() };
    Case { path: format!("{}:{}", error.line, error.column), line: error.line, ..Case::new(INPUT, name, end) }
}

impl Case {
    fn new(class: &str, name: String, end: End) -> Self {
        Self { class: clean(class), name, path: String::new(), line: 0, properties: Vec::new(), end }
    }

    fn write(&self, file: &str, out: &mut String) {
        out.push_str(&format!("    <testcase classname=\"{}\" name=\"{}\"", escaped(&self.class), escaped(&self.name)));
        if self.line > 0 {
            out.push_str(&format!(" file=\"{}\" line=\"{}\"", escaped(file), self.line));
        }
        if self.properties.is_empty() && matches!(self.end, End::Passed) {
            out.push_str("/>\n");
            return;
        }
        out.push_str(">\n");
        write_properties(&self.properties, "      ", out);
        match &self.end {
            End::Passed => {}
            End::Skipped(message) => out.push_str(&format!("      <skipped message=\"{}\"/>\n", escaped(message))),
            End::Failed { message, kind, lines } => element("failure", message, kind, lines, out),
            End::Broken { message, kind, lines } => element("error", message, kind, lines, out),
        }
        out.push_str("    </testcase>\n");
    }
}

impl Suite {
    fn counts(&self) -> Counts {
        let of = |meets: fn(&End) -> bool| self.cases.iter().filter(|case| meets(&case.end)).count();
        Counts {
            tests: self.cases.len(),
            failures: of(|end| matches!(end, End::Failed { .. })),
            errors: of(|end| matches!(end, End::Broken { .. })),
            skipped: of(|end| matches!(end, End::Skipped(_))),
        }
    }

    fn write(&self, out: &mut String) {
        out.push_str(&format!("  <testsuite name=\"{}\"{}>\n", escaped(&clean(&self.name)), self.counts().attributes()));
        write_properties(&self.properties, "    ", out);
        self.cases.iter().for_each(|case| case.write(&clean(&self.file), out));
        out.push_str("  </testsuite>\n");
    }
}

fn write_properties(properties: &[(&'static str, String)], indent: &str, out: &mut String) {
    if properties.is_empty() {
        return;
    }
    out.push_str(&format!("{indent}<properties>\n"));
    for (name, value) in properties {
        out.push_str(&format!("{indent}  <property name=\"{name}\" value=\"{}\"/>\n", escaped(value)));
    }
    out.push_str(&format!("{indent}</properties>\n"));
}

fn element(tag: &str, message: &str, kind: &str, lines: &[String], out: &mut String) {
    out.push_str(&format!("      <{tag} message=\"{}\" type=\"{kind}\"", escaped(message)));
    if lines.is_empty() {
        out.push_str("/>\n");
    } else {
        out.push_str(&format!(">{}</{tag}>\n", escaped(&lines.join("\n"))));
    }
}

/// Text for an attribute or an element. What XML has no place for was written out before, by [`clean`].
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn cases_that_would_be_called_the_same_are_told_apart() {
        let mut audit = sample::fine();
        let mut twin = audit.findings[0].clone();
        twin.path = "axle[2]".to_owned();
        audit.findings.push(twin.clone());
        twin.path = "axle[2]".to_owned();
        audit.findings.push(twin);
        let mut cases: Vec<Case> = audit.findings.iter().map(|finding| answer(&audit, finding, false)).collect();
        tell_apart(&mut cases);
        let names: std::collections::BTreeSet<_> = cases.iter().map(|case| (&case.class, &case.name)).collect();
        assert_eq!(names.len(), cases.len());
        assert!(cases.iter().any(|case| case.name.ends_with(" [axle[2]]")));
        assert!(cases.iter().any(|case| case.name.ends_with(" [axle[2]] (2)")));
    }

    #[test]
    fn a_ratio_has_no_unit_and_a_load_has() {
        let text = render(&[sample::audit()], false, false);
        // The lamps' drop of 3.1 %, and the front axle's 5347.2 kg.
        assert!(text.contains("<property name=\"demand\" value=\"0.031\"/>"));
        assert!(text.contains("<property name=\"demand\" value=\"5347.2 kg\"/>"));
    }

    #[test]
    fn nothing_at_all_is_a_document_too() {
        let text = render(&[], false, false);
        assert!(text.contains("tests=\"0\"") && text.ends_with("</testsuites>\n"));
    }
}
