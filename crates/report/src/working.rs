//! The working of one check in one rig: numbers put in, so that a reader can redo them with a pocket calculator.

use check::finding::Sense;
use check::{Audit, Finding, Verdict};

use crate::numbers::Numbers;
use crate::terminal::Look;
use crate::terminal::paper::Paper;
use crate::text::{clean, tie_numbers};

/// Every answer of that check with its numbers and its working, in the order of the audit.
#[must_use]
pub fn render(audit: &Audit, check: &str, width: usize) -> String {
    let mut paper = Paper::new(&Look { width, ..Look::default() }, "");
    paper.heading("IN THIS RIG");
    let numbers = Numbers::new(audit.units, false);
    for (at, finding) in audit.findings.iter().filter(|finding| finding.check == check).enumerate() {
        if at > 0 {
            paper.blank();
        }
        one(&mut paper, finding, numbers);
    }
    paper.done()
}

fn one(paper: &mut Paper, finding: &Finding, numbers: Numbers) {
    let mut title = format!("{}  {}", finding.verdict.word(), finding.about);
    for part in [&finding.case, &finding.state].into_iter().flatten().filter(|part| !finding.about.contains(part.as_str())) {
        title.push_str(", ");
        title.push_str(part);
    }
    paper.running(4, &clean(&title));
    let mut line = |text: &str| paper.running(8, &tie_numbers(&clean(text)));
    if let Some(sentence) = &finding.sentence {
        line(sentence);
    }
    finding.working.iter().for_each(|text| line(text));
    if let (Some(demand), Some(capacity), Some(sense)) = (&finding.demand, &finding.capacity, finding.sense) {
        let (value, range) = numbers.with_range(demand);
        let range = range.map(|range| format!(", {range}")).unwrap_or_default();
        let at = if sense == Sense::AtMost { "at most" } else { "at least" };
        let (bound, _) = numbers.with_range(capacity);
        line(&format!("{} {value}{range}; {} {at} {bound}", finding.demand_words, finding.capacity_words));
    }
    if let Some(basis) = &finding.basis {
        line(&format!("from: {}", basis.line()));
    }
    if finding.verdict == Verdict::Missing {
        for need in &finding.needs {
            line(&format!("not known: {}: {}", need.path, need.how));
        }
    }
}
