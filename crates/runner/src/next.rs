//! What to measure next: the inputs that settle most answers.

use std::collections::{BTreeMap, BTreeSet};

use check::audit::{NextMeasurement, trades_not_told};
use check::finding::Need;
use check::{Consequence, Finding, Verdict};

/// Every input that alone would settle an answer, with how many; most first, then worst consequence, then path. Missing
/// inputs settle the answers that wait for them; a doubtful one those whose limit would fall outside what is left of the
/// range if it were known exactly.
pub(crate) fn measurements(findings: &[Finding]) -> Vec<NextMeasurement> {
    let mut by_path: BTreeMap<&str, (usize, Consequence, &str)> = BTreeMap::new();
    // A trade that nobody has begun is one line of the report: what is begun goes first.
    let begun = begun(findings);
    for finding in findings.iter().filter(|finding| finding.accepted.is_none()) {
        for need in finding.needs.iter().filter(|need| settles(finding, need)) {
            let entry = by_path.entry(&need.path).or_insert((0, finding.consequence, &need.how));
            entry.0 += 1;
            entry.1 = entry.1.min(finding.consequence);
        }
    }
    let mut list: Vec<NextMeasurement> = by_path
        .into_iter()
        .map(|(path, (settles, consequence, how))| NextMeasurement {
            path: path.to_owned(),
            how: how.to_owned(),
            settles,
            consequence,
        })
        .collect();
    let place = |next: &NextMeasurement| (!begun.contains(next.path.as_str()), std::cmp::Reverse(next.settles));
    list.sort_by(|a, b| place(a).cmp(&place(b)).then(a.consequence.cmp(&b.consequence)).then_with(|| a.path.cmp(&b.path)));
    list
}

/// Inputs that an answer of a begun trade needs; all where no trade is begun.
fn begun(findings: &[Finding]) -> BTreeSet<&str> {
    let untold = trades_not_told(findings);
    let of = |finding: &&Finding| untold.iter().all(|(trade, _)| finding.trade() != *trade);
    findings.iter().filter(of).flat_map(|finding| &finding.needs).map(|need| need.path.as_str()).collect()
}

fn settles(finding: &Finding, need: &Need) -> bool {
    match (finding.verdict, &finding.margin, need.share) {
        (Verdict::Missing, ..) => true,
        (Verdict::Unsettled, Some(margin), Some(share)) => {
            let left = margin.tolerance() * (1.0 - share.0).max(0.0).sqrt();
            margin.value.0.abs() >= left
        }
        _ => false,
    }
}
