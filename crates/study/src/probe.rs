//! Asks a few checks of an edited copy of the rig.

use std::collections::BTreeMap;

use check::{Check, Context, Finding, Verdict};
use rig_model::Edit;

/// Key of a finding: check, path, case, state.
pub type Key = (String, String, Option<String>, Option<String>);

/// What an edited copy answers to one question.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The subject, as a person would name it.
    pub about: String,
    /// The verdict.
    pub verdict: Verdict,
    /// Share of the limit at the far end of the range; none where a ratio says nothing.
    pub far_share: Option<f64>,
}

impl Answer {
    fn of(finding: &Finding) -> Self {
        // The far end of the margin, put as a share of the limit.
        let far_share = match (&finding.margin, &finding.capacity, finding.utilisation) {
            (Some(margin), Some(capacity), Some(_)) if capacity.value.0 > 0.0 => Some(1.0 - margin.low.0 / capacity.value.0),
            _ => None,
        };
        Self { about: finding.about.clone(), verdict: finding.verdict, far_share }
    }
}

/// The answers of these checks with the edits applied, by key; none where the edits cannot be applied.
#[must_use]
pub fn probe(checks: &[&dyn Check], context: &Context, edits: &[Edit]) -> Option<BTreeMap<Key, Answer>> {
    let edited = context.with(edits).ok()?;
    let findings = checks.iter().flat_map(|check| check.try_run(&edited).unwrap_or_default());
    Some(findings.map(|finding| (key(&finding), Answer::of(&finding))).collect())
}

/// The key of a finding, owned.
#[must_use]
pub fn key(finding: &Finding) -> Key {
    (finding.check.clone(), finding.path.clone(), finding.case.clone(), finding.state.clone())
}
