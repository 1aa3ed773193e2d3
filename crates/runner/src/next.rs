//! What to measure next: the inputs that settle most answers.

use std::collections::BTreeMap;

use check::audit::NextMeasurement;
use check::finding::Need;
use check::{Consequence, Finding, Verdict};

/// Every input that alone would settle an answer, with how many; most first, then worst consequence, then path. Missing
/// inputs settle the answers that wait for them; a doubtful one those whose limit would fall outside what is left of the
/// range if it were known exactly.
pub(crate) fn measurements(findings: &[Finding]) -> Vec<NextMeasurement> {
    let mut by_path: BTreeMap<&str, (usize, Consequence, &str)> = BTreeMap::new();
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
    list.sort_by(|a, b| b.settles.cmp(&a.settles).then(a.consequence.cmp(&b.consequence)).then_with(|| a.path.cmp(&b.path)));
    list
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
