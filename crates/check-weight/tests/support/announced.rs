//! Small rigs that say in comments what one check must answer about them.
//!
//! A rig stands in `rigs/CHECK/`, CHECK being the part of the check's id after the slash. A comment `#!` on the line
//! where the subject's table begins (line 1 for an answer about the whole rig) states the answer:
//!
//! ```toml
//! [[axle]]   #! weight/axle-load travel-full fail 1.03
//! ```
//!
//! `CHECK[CASE] STATE VERDICT [UTILISATION]`; several answers are parted by `;`. The state is `-` where a check answers
//! once and `*` for every state. Every answer of the check must be announced, and every way out must be one.

use crate::support::{ask, context, folder, read, registry, same, told};
use crate::trade;
use check::{Finding, Verdict};
use rig_model::Document;

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
    /// `weight/tyre-load[pressure] travel-full pass 0.84`; cases and states may hold blanks.
    fn read(line: u32, text: &str) -> Self {
        let odd = format!("line {line}: \"{text}\" is not CHECK[CASE] STATE VERDICT [UTILISATION]");
        let (head, rest) = text.trim().split_once(']').unwrap_or(("", text.trim()));
        let (check, case, rest) = match head.split_once('[') {
            Some((check, case)) => (check, Some(case.to_owned()), rest.trim()),
            None => rest.split_once(' ').map(|(check, rest)| (check, None, rest.trim())).expect(&odd),
        };
        let (rest, utilisation) = match rest.rsplit_once(' ') {
            Some((before, number)) if number.parse::<f64>().is_ok() => (before, Some(number.to_owned())),
            _ => (rest, None),
        };
        let (state, verdict) = rest.rsplit_once(' ').expect(&odd);
        assert!(Verdict::ALL.iter().any(|known| known.word() == verdict), "line {line}: {verdict} is no verdict");
        Self { line, check: check.to_owned(), case, state: state.to_owned(), verdict: verdict.to_owned(), utilisation }
    }

    fn is_about(&self, line: u32, finding: &Finding) -> bool {
        self.check == finding.check
            && self.line == line
            && self.case == finding.case
            && (self.state == "*" || self.state == finding.state.as_deref().unwrap_or("-"))
    }

    fn agrees(&self, finding: &Finding) -> bool {
        let number = self.utilisation.as_ref().is_none_or(|want| {
            let digits = want.split_once('.').map_or(0, |(_, digits)| digits.len());
            finding.utilisation.is_some_and(|got| format!("{:.digits$}", got.0) == *want)
        });
        finding.verdict.word() == self.verdict && number
    }
}

fn announcements(text: &str) -> Vec<Announced> {
    let mut found = Vec::new();
    for (at, line) in text.lines().enumerate() {
        let Some((_, said)) = line.split_once("#! ") else { continue };
        found.extend(said.split(';').map(|one| Announced::read(u32::try_from(at + 1).expect("few lines"), one)));
    }
    found
}

/// Where the finding's subject, or its nearest present parent, stands.
fn line_of(document: &Document, finding: &Finding) -> u32 {
    document.nearest_place(&finding.path).0.line
}

fn disagreements(document: &Document, text: &str, findings: &[Finding]) -> Vec<String> {
    let announced = announcements(text);
    let mut wrong = Vec::new();
    for one in &announced {
        let about: Vec<&Finding> = findings.iter().filter(|f| one.is_about(line_of(document, f), f)).collect();
        if about.is_empty() {
            wrong.push(format!("line {}: {}{:?} {} {} did not come", one.line, one.check, one.case, one.state, one.verdict));
        }
        for finding in about.iter().filter(|finding| !one.agrees(finding)) {
            let utilisation = one.utilisation.as_deref().unwrap_or("");
            wrong.push(format!("line {}: announced {} {utilisation}, got {}", one.line, one.verdict, told(finding)));
        }
    }
    for finding in findings {
        let line = line_of(document, finding);
        if !announced.iter().any(|one| one.is_about(line, finding)) {
            wrong.push(format!("line {line}: not announced: {}", told(finding)));
        }
    }
    wrong
}

/// Name, text and check of every annotated rig.
fn rigs() -> Vec<(String, String, String)> {
    let mut found = Vec::new();
    let entries = |path: &std::path::Path| {
        let mut all: Vec<_> = std::fs::read_dir(path).expect("a folder").map(|entry| entry.expect("readable").path()).collect();
        all.sort();
        all
    };
    for check in entries(&folder()).into_iter().filter(|path| path.is_dir()) {
        let id = format!("{}/{}", trade::NAME, check.file_name().expect("named").to_string_lossy());
        for file in entries(&check) {
            let name = file.strip_prefix(folder()).expect("below").display().to_string();
            found.push((name, std::fs::read_to_string(&file).expect("text"), id.clone()));
        }
    }
    found
}

#[test]
fn annotated_rigs_get_the_answers_they_announce() {
    let registry = registry();
    let mut wrong = Vec::new();
    for (name, text, id) in rigs() {
        let Some(check) = registry.find(&id) else {
            wrong.push(format!("{name}: there is no check {id}"));
            continue;
        };
        let cx = match read(&text) {
            Ok(cx) => cx,
            Err(problems) => {
                wrong.extend(problems.into_iter().map(|line| format!("{name}: {line}")));
                continue;
            }
        };
        let findings = ask(&name, check, &cx);
        if announcements(&text).iter().any(|one| one.check != id) {
            wrong.push(format!("{name}: announces answers of another check"));
        }
        wrong.extend(disagreements(cx.document(), &text, &findings).into_iter().map(|line| format!("{name}: {line}")));
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn every_way_out_makes_its_finding_pass() {
    let registry = registry();
    let mut wrong = Vec::new();
    for (name, text, id) in rigs() {
        let (Some(check), Ok(cx)) = (registry.find(&id), read(&text)) else { continue };
        for finding in check.run(&cx) {
            for proposal in &finding.proposals {
                let about = format!("{name}: {}: {}", told(&finding), proposal.text);
                match cx.with(&proposal.edits) {
                    Err(why) => wrong.push(format!("{about}: {why}")),
                    Ok(edited) => match same(&check.run(&edited), &finding) {
                        Some(after) if after.verdict == Verdict::Pass => {}
                        after => wrong.push(format!("{about}: then {:?}", after.map(told))),
                    },
                }
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Of the checks that have rigs, each shows every verdict it can come to.
#[test]
fn the_rigs_of_a_check_show_pass_fail_and_missing() {
    let all = rigs();
    let mut wrong = Vec::new();
    let mut checks: Vec<&String> = all.iter().map(|(_, _, id)| id).collect();
    checks.dedup();
    for id in checks {
        let said: Vec<Announced> =
            all.iter().filter(|(_, _, of)| of == id).flat_map(|(_, text, _)| announcements(text)).collect();
        for verdict in [Verdict::Pass, Verdict::Fail, Verdict::Missing] {
            if !said.iter().any(|one| one.verdict == verdict.word()) {
                wrong.push(format!("no rig of {id} announces {}", verdict.word()));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// The harness itself: an answer that does not come, one that differs, one that nobody announced are all seen.
#[test]
fn a_wrong_announcement_is_seen() {
    let (name, text, id) = rigs().into_iter().find(|(_, text, _)| text.contains(" pass 0.")).expect("one passes");
    let cx = context(&name, &text);
    let findings = registry().find(&id).expect("known").run(&cx);
    let seen = |text: &str| disagreements(cx.document(), text, &findings);
    assert!(seen(&text).is_empty());
    assert!(seen(&text.replacen(" pass ", " fail ", 1)).iter().any(|line| line.contains("announced fail")));
    assert!(seen(&text.replacen("#! ", "#! none/none here pass; ", 1)).iter().any(|line| line.contains("did not come")));
    assert!(seen(&text.replacen("#! ", "# ", 1)).iter().any(|line| line.contains("not announced")));
    assert!(seen(&text.replacen(" pass 0.", " pass 9.", 1)).iter().any(|line| line.contains("announced pass 9.")));
}
