//! What a change tried out alters: verdicts first, then numbers of findings that keep theirs.

use std::collections::BTreeMap;

use check::{Audit, Finding};

use crate::numbers::Numbers;
use crate::terminal::Look;
use crate::terminal::paper::Paper;
use crate::text::{clean, count, tie_numbers};

/// Key of a finding: check, path, case, state.
type Key<'a> = (&'a str, &'a str, Option<&'a str>, Option<&'a str>);

/// The findings that differ between two audits of one rig, those whose verdict changes first, worst verdict first.
#[must_use]
pub fn render(before: &Audit, after: &Audit, width: usize) -> String {
    let was: BTreeMap<Key<'_>, &Finding> = before.findings.iter().map(|finding| (finding.key(), finding)).collect();
    let mut verdicts = Vec::new();
    let mut values = Vec::new();
    for is in &after.findings {
        match was.get(&is.key()) {
            Some(was) if was.verdict != is.verdict => verdicts.push((Some(*was), is)),
            Some(was) if shown(was, before) != shown(is, after) => values.push((Some(*was), is)),
            Some(_) => {}
            None => verdicts.push((None, is)),
        }
    }
    verdicts.sort_by_key(|(_, is)| (std::cmp::Reverse(is.verdict.rank()), is.consequence));
    let mut paper = Paper::new(&Look { width, ..Look::default() }, "");
    section(&mut paper, "VERDICTS THAT CHANGE", &verdicts, before, after);
    section(&mut paper, "NUMBERS THAT CHANGE", &values, before, after);
    paper.blank();
    let same = after.findings.len() - verdicts.len() - values.len();
    paper.running(0, &format!("{} the same.", count(same, "answer")));
    paper.done()
}

fn section(paper: &mut Paper, heading: &str, list: &[(Option<&Finding>, &Finding)], before: &Audit, after: &Audit) {
    if list.is_empty() {
        return;
    }
    paper.heading(heading);
    for (was, is) in list {
        let mut about = format!("{}: {}", is.check, is.about);
        for part in [&is.case, &is.state].into_iter().flatten().filter(|part| !is.about.contains(part.as_str())) {
            about.push_str(", ");
            about.push_str(part);
        }
        let was = was.map_or_else(|| "not asked".to_owned(), |was| shown(was, before));
        paper.running(4, &tie_numbers(&clean(&format!("{about}: {was}; now {}", shown(is, after)))));
    }
}

/// Verdict, number and share of the limit.
fn shown(finding: &Finding, audit: &Audit) -> String {
    let mut text = finding.verdict.word().to_owned();
    if let Some(demand) = &finding.demand {
        text.push(' ');
        text.push_str(&Numbers::new(audit.units, false).with_range(demand).0);
    }
    if let Some(utilisation) = finding.utilisation {
        text.push_str(&format!(" ({})", crate::numbers::share(utilisation.0)));
    }
    text
}
