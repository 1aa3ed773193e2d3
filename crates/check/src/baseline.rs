//! What became worse since an earlier audit of the same rig.
//!
//! Worse is: a verdict that rises (pass and not-applicable, then unsettled and missing, then fail), a failure that was
//! not asked about before, and a failure whose utilisation rises by more than [`RISE`]. What the owner accepts does not
//! count. Everything else stood before.

use std::collections::BTreeMap;

use quantity::Num;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::audit::{Audit, Note};
use crate::finding::{Finding, Verdict};

/// A failing utilisation counts as worse when it rises by more than this: a choice of this project, half of the last
/// figure that reports show.
pub const RISE: f64 = 0.005;

/// Id of the note that an answer of the earlier audit is no longer given.
pub const GONE: &str = "baseline-gone";

/// Key of a finding: check, path, case, state.
type Key<'a> = (&'a str, &'a str, Option<&'a str>, Option<&'a str>);

/// What is read of an earlier audit.
#[derive(Clone, Debug, PartialEq)]
pub struct Earlier {
    /// The rig file, as it was named then.
    pub file: String,
    /// Its answers.
    pub findings: Vec<EarlierFinding>,
}

/// What is read of one answer of an earlier audit.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(expecting = "an answer of an audit")]
pub struct EarlierFinding {
    /// Id of the check.
    pub check: String,
    /// The subject, as a person would name it.
    pub about: String,
    /// Path of the subject.
    pub path: String,
    /// Which of several questions.
    pub case: Option<String>,
    /// Name of the state.
    pub state: Option<String>,
    /// The answer then.
    pub verdict: Verdict,
    /// Demand over capacity then.
    pub utilisation: Option<Num>,
}

impl EarlierFinding {
    fn key(&self) -> Key<'_> {
        (&self.check, &self.path, self.case.as_deref(), self.state.as_deref())
    }
}

/// What a finding was in the earlier audit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Since {
    /// The verdict then; null where nobody asked.
    pub was: Option<Verdict>,
    /// The utilisation then.
    pub was_utilisation: Option<Num>,
    /// Whether verdict or utilisation differ by more than rounding.
    pub changed: bool,
    /// Whether it became worse.
    pub worse: bool,
}

/// How an audit stands against an earlier one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Baseline {
    /// The file that holds the earlier audit, as it was named.
    pub from: String,
    /// Answers that became worse.
    pub worse: usize,
    /// Answers that fail, are unsettled or missing, and did not become worse.
    pub stood: usize,
    /// Answers of the earlier audit that are no longer given; the notes name each.
    pub gone: usize,
}

/// Marks every finding with what it was, sums up, and adds a note for each answer that is gone. `asked` says which of the
/// earlier answers this run was asked for: the others are not missed. `strict`: a new answer that is unsettled or missing
/// counts as a new failure.
pub fn compare(audit: &mut Audit, earlier: &Earlier, from: &str, strict: bool, asked: impl Fn(&EarlierFinding) -> bool) {
    let mut left: BTreeMap<Key<'_>, &EarlierFinding> = earlier.findings.iter().map(|finding| (finding.key(), finding)).collect();
    let marks: Vec<Since> = audit.findings.iter().map(|finding| since(left.remove(&finding.key()), finding, strict)).collect();
    let gone: Vec<Note> = left.into_values().filter(|finding| asked(finding)).map(gone).collect();
    for (finding, mark) in audit.findings.iter_mut().zip(marks) {
        finding.since = Some(mark);
    }
    let marked =
        |worse: bool| audit.findings.iter().filter(move |finding| finding.since.is_some_and(|since| since.worse == worse));
    audit.baseline = Some(Baseline {
        from: from.to_owned(),
        worse: marked(true).count(),
        stood: marked(false).filter(|finding| finding.verdict.rank() > 0).count(),
        gone: gone.len(),
    });
    audit.notes.extend(gone);
}

fn since(was: Option<&EarlierFinding>, is: &Finding, strict: bool) -> Since {
    let rise = was.and_then(|was| rise(was.utilisation?, is.utilisation?));
    let worse = match was {
        None => is.verdict == Verdict::Fail || (strict && is.verdict.rank() > 0),
        Some(was) if is.verdict.rank() > was.verdict.rank() => true,
        Some(was) => was.verdict == Verdict::Fail && is.verdict == Verdict::Fail && rise.is_some_and(|rise| rise > RISE),
    };
    Since {
        was: was.map(|was| was.verdict),
        was_utilisation: was.and_then(|was| was.utilisation),
        changed: was.is_none_or(|was| was.verdict != is.verdict) || rise.is_some_and(|rise| rise.abs() > RISE),
        worse: worse && is.accepted.is_none(),
    }
}

/// By how much a utilisation rises. The earlier one was written with nine figures, so the difference has no more.
fn rise(was: Num, is: Num) -> Option<f64> {
    let rise = Num(is.rounded() - was.rounded()).rounded();
    rise.is_finite().then_some(rise)
}

fn gone(finding: &EarlierFinding) -> Note {
    let mut about = finding.about.clone();
    for part in [&finding.case, &finding.state].into_iter().flatten().filter(|part| !finding.about.contains(part.as_str())) {
        about.push_str(", ");
        about.push_str(part);
    }
    let text = format!("{}: {about} was {} before and is not asked any more", finding.check, finding.verdict.word());
    Note { id: GONE.to_owned(), text, place: None }
}

#[cfg(test)]
mod tests;
