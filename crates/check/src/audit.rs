//! Everything one run says.

use quantity::{Num, System};
use schemars::JsonSchema;
use serde::Serialize;

use crate::baseline::Baseline;
use crate::exhibit::Exhibit;
use crate::finding::{Finding, Verdict, Where};

/// Name and version of the audit's JSON form.
pub const FORMAT: &str = "rigproof-audit/1";

/// The result of one run over one rig file.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Audit {
    /// Always `rigproof-audit/1`.
    pub format: String,
    /// Name of the rig.
    pub rig: String,
    /// The rig file, as it was named.
    pub file: String,
    /// Files the answer rests on.
    pub sources: Vec<SourceFile>,
    /// Version of the program.
    pub version: String,
    /// The day the audit was made for: the one input that is not in the file.
    pub date: String,
    /// Sets of limits in force.
    pub codes: Vec<String>,
    /// Units that reports for people show.
    pub units: Units,
    /// States looked at.
    pub states: Vec<AuditState>,
    /// Counts by verdict.
    pub summary: Summary,
    /// Every answer, sorted by check, path, case, state.
    pub findings: Vec<Finding>,
    /// Checks that could not run, and why.
    pub faults: Vec<Fault>,
    /// Remarks: states made up, acceptances that touch nothing, trades not told.
    pub notes: Vec<Note>,
    /// What to measure next: what settles most, first.
    pub measure_next: Vec<NextMeasurement>,
    /// Every stated value that carries a range.
    pub inputs: Vec<AuditInput>,
    /// Data of the pictures, each once.
    pub exhibits: Vec<Exhibit>,
    /// How it stands against an earlier audit, where it was held against one.
    pub baseline: Option<Baseline>,
    /// Problems of the rig file; when there are any, nothing was checked.
    pub errors: Vec<InputError>,
}

/// Trades of which nothing is told: every answer waits or does not apply. With how many wait. Findings sorted by check.
#[must_use]
pub fn trades_not_told(findings: &[Finding]) -> Vec<(&str, usize)> {
    let mut trades: Vec<&str> = findings.iter().map(Finding::trade).collect();
    trades.dedup();
    let waiting = |trade: &&str| {
        let of_trade = || findings.iter().filter(|finding| finding.trade() == *trade);
        let waits = of_trade().filter(|finding| finding.verdict == Verdict::Missing).count();
        let idle = of_trade().all(|finding| matches!(finding.verdict, Verdict::Missing | Verdict::NotApplicable));
        (waits > 0 && idle).then_some(waits)
    };
    trades.into_iter().filter_map(|trade| Some((trade, waiting(&trade)?))).collect()
}

impl Audit {
    /// Whether something fails that is not accepted; strictly also where it is unsettled or missing. Held against an
    /// earlier audit: whether something became worse.
    #[must_use]
    pub fn fails(&self, strict: bool) -> bool {
        let counts = |finding: &Finding| match finding.since {
            Some(since) => since.worse,
            None => finding.accepted.is_none() && (finding.verdict == Verdict::Fail || (strict && finding.verdict.rank() > 0)),
        };
        self.findings.iter().any(counts)
    }
}

/// Which units a report for people shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// Metric.
    #[default]
    Metric,
    /// US customary.
    Us,
}

impl From<Units> for System {
    fn from(units: Units) -> Self {
        match units {
            Units::Metric => Self::Metric,
            Units::Us => Self::Us,
        }
    }
}

/// A file the answer rests on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SourceFile {
    /// Its path as named.
    pub path: String,
    /// SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
}

/// A state as the audit saw it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct AuditState {
    /// Its name.
    pub name: String,
    /// `travel` or `camp`.
    pub kind: String,
    /// Whether it was made because the file names none.
    pub made: bool,
}

/// Counts by verdict. An accepted finding is counted under its verdict and under `accepted`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Summary {
    /// Answers in all.
    pub answers: usize,
    /// Passing.
    pub pass: usize,
    /// Failing, accepted ones included.
    pub fail: usize,
    /// Unsettled.
    pub unsettled: usize,
    /// Missing an input.
    pub missing: usize,
    /// Not applicable.
    pub not_applicable: usize,
    /// Accepted by the owner.
    pub accepted: usize,
    /// Findings whose governing limit is known from memory alone.
    pub from_memory: usize,
}

impl Summary {
    /// The count of one verdict.
    #[must_use]
    pub fn of(&self, verdict: Verdict) -> usize {
        match verdict {
            Verdict::Pass => self.pass,
            Verdict::Fail => self.fail,
            Verdict::Unsettled => self.unsettled,
            Verdict::Missing => self.missing,
            Verdict::NotApplicable => self.not_applicable,
        }
    }
}

/// A check that could not run.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Fault {
    /// Id of the check, or the file of checks that did not load.
    pub check: String,
    /// Why, in words.
    pub text: String,
}

/// A remark that is no answer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Note {
    /// What kind of remark.
    pub id: String,
    /// In words.
    pub text: String,
    /// Where it belongs in the rig file, if anywhere.
    #[serde(rename = "where")]
    pub place: Option<Where>,
}

/// A measurement worth making.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NextMeasurement {
    /// Path of the input.
    pub path: String,
    /// How to get it in a yard.
    pub how: String,
    /// How many answers it would settle.
    pub settles: usize,
    /// Worst consequence among them.
    pub consequence: crate::finding::Consequence,
}

/// A stated value that carries a range.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AuditInput {
    /// Path in the rig file.
    pub path: String,
    /// Value, SI.
    pub value: Num,
    /// SI unit.
    pub unit: String,
    /// How it is known.
    pub how: String,
    /// Low end of its 95 % interval.
    pub low: Num,
    /// High end of its 95 % interval.
    pub high: Num,
}

/// One problem of the rig file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct InputError {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// Whose value it is, in the file's words.
    pub subject: String,
    /// What is the matter.
    pub text: String,
    /// What was found, as written.
    pub found: Option<String>,
    /// What is wanted there.
    pub expected: Option<String>,
    /// A text that would be accepted there.
    pub write: Option<String>,
}
