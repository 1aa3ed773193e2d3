//! Annotated rigs: small rig files of the trades that say in comments what each check must answer.
//!
//! A comment opening with `#!` on the line of the subject states the answer:
//!
//! ```toml
//! [[axle]]                 #! weight/axle-load travel-full fail 1.03
//! ```
//!
//! `CHECK STATE VERDICT [UTILISATION]`; the state is `-` for a check that answers once and `*` for every state; a case
//! stands behind the check, `weight/tyre-load(speed)`; several answers are parted by `;`. The utilisation is compared to
//! the digits written. An answer about the whole rig stands on line 1. Of each check that a file mentions, every answer
//! must be announced.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use check::{Audit, Finding};
use rigproof_tests::{quick, root};

#[derive(Clone, Debug)]
struct Announced {
    line: u32,
    check: String,
    case: Option<String>,
    state: String,
    verdict: String,
    utilisation: Option<String>,
}

impl Announced {
    fn read(line: u32, text: &str) -> Self {
        let words: Vec<&str> = text.split_whitespace().collect();
        // A state's name may hold blanks: the verdict is found from behind.
        let by_number = words.last().is_some_and(|word| word.parse::<f64>().is_ok());
        let verdict = words.len().checked_sub(if by_number { 2 } else { 1 }).filter(|at| *at >= 2);
        let verdict = verdict.unwrap_or_else(|| panic!("line {line}: \"{text}\" is not CHECK STATE VERDICT [UTILISATION]"));
        assert!(check::Verdict::ALL.iter().any(|v| v.word() == words[verdict]), "line {line}: {} is no verdict", words[verdict]);
        let (check, case) = match words[0].split_once('(') {
            Some((check, case)) => (check, Some(case.trim_end_matches(')').to_owned())),
            None => (words[0], None),
        };
        Self {
            line,
            check: check.to_owned(),
            case,
            state: words[1..verdict].join(" "),
            verdict: words[verdict].to_owned(),
            utilisation: by_number.then(|| words[verdict + 1].to_owned()),
        }
    }

    fn is_about(&self, finding: &Finding) -> bool {
        let state = finding.state.as_deref().unwrap_or("-");
        self.check == finding.check
            && self.line == finding.place.line
            && (self.case.is_none() || self.case == finding.case)
            && (self.state == "*" || self.state == state)
    }

    fn agrees(&self, finding: &Finding) -> bool {
        let number = self.utilisation.as_ref().is_none_or(|want| {
            let digits = want.split_once('.').map_or(0, |(_, digits)| digits.len());
            finding.utilisation.as_ref().is_some_and(|got| format!("{:.digits$}", got.0) == *want)
        });
        finding.verdict.word() == self.verdict && number
    }
}

fn announcements(text: &str) -> Vec<Announced> {
    let mut found = Vec::new();
    for (at, line) in text.lines().enumerate() {
        let Some((_, said)) = line.split_once("#! ") else { continue };
        found.extend(said.split(';').map(|one| Announced::read(u32::try_from(at + 1).unwrap(), one)));
    }
    found
}

fn told(finding: &Finding) -> String {
    let state = finding.state.as_deref().unwrap_or("-");
    let case = finding.case.as_ref().map_or(String::new(), |case| format!("({case})"));
    let utilisation = finding.utilisation.as_ref().map_or(String::new(), |u| format!(" {:.3}", u.0));
    format!("line {}: {}{case} {state} {}{utilisation}", finding.place.line, finding.check, finding.verdict.word())
}

fn disagreements(text: &str, audit: &Audit) -> Vec<String> {
    if let Some(error) = audit.errors.first() {
        return vec![format!("line {}: {}: {}", error.line, error.subject, error.text)];
    }
    let announced = announcements(text);
    let checks: BTreeSet<&str> = announced.iter().map(|a| a.check.as_str()).collect();
    let mut wrong = Vec::new();
    for one in &announced {
        let about: Vec<&Finding> = audit.findings.iter().filter(|f| one.is_about(f)).collect();
        if about.is_empty() {
            wrong.push(format!("line {}: {} {} {} did not come", one.line, one.check, one.state, one.verdict));
        }
        wrong.extend(
            about
                .iter()
                .filter(|f| !one.agrees(f))
                .map(|f| format!("announced {} {:?}, got {}", one.verdict, one.utilisation, told(f))),
        );
    }
    let of_these = audit.findings.iter().filter(|f| checks.contains(f.check.as_str()));
    wrong
        .extend(of_these.filter(|f| !announced.iter().any(|one| one.is_about(f))).map(|f| format!("not announced: {}", told(f))));
    wrong
}

fn rigs(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(rigs(&path));
        } else if path.extension().is_some_and(|e| e == "toml") {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn annotated() -> Vec<PathBuf> {
    let trades = std::fs::read_dir(root().join("crates")).unwrap().map(|entry| entry.unwrap().path());
    let mut all: Vec<PathBuf> = trades
        .filter(|path| path.file_name().is_some_and(|name| name.to_string_lossy().starts_with("check-")))
        .flat_map(|path| rigs(&path.join("tests/rigs")))
        .collect();
    all.sort();
    all
}

#[test]
fn annotated_rigs_get_the_answers_they_announce() {
    let mut wrong = Vec::new();
    for path in annotated() {
        let text = std::fs::read_to_string(&path).unwrap();
        let audit = rigproof::audit(&text, &quick());
        let name = path.strip_prefix(root()).unwrap().display().to_string();
        wrong.extend(disagreements(&text, &audit).into_iter().map(|line| format!("{name}: {line}")));
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// The harness itself: an answer that does not come, one that differs, and one that nobody announced are all seen.
#[test]
fn a_wrong_announcement_is_seen() {
    let rig = rigproof_tests::example(rigproof_tests::FULL);
    let audit = rigproof::audit(&rig, &quick());
    let axle = audit.findings.iter().find(|f| f.check == "weight/axle-load").unwrap();
    let line = axle.place.line as usize - 1;
    let with = |comment: &str| {
        let lines: Vec<String> = rig
            .lines()
            .enumerate()
            .map(|(at, text)| if at == line { format!("{text} #! {comment}") } else { text.to_owned() })
            .collect();
        disagreements(&lines.join("\n"), &audit)
    };
    let state = axle.state.as_deref().unwrap();
    assert!(with(&format!("weight/axle-load {state} not-applicable")).iter().any(|w| w.starts_with("announced not-applicable")));
    assert!(with("weight/axle-load nowhere pass").iter().any(|w| w.contains("did not come")));
    assert!(with(&format!("weight/axle-load {state} {}", axle.verdict.word())).iter().any(|w| w.starts_with("not announced")));
}
