//! One answer about one subject in one state.

use basis::Basis;
use quantity::{Dimension, Estimate, Num};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::baseline::Since;
use crate::remedy::{Proposal, Remedy};

/// The answer of a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// It holds, over the whole range.
    Pass,
    /// It does not hold, over the whole range.
    Fail,
    /// The limit lies inside the range; `needs` names what to measure better.
    Unsettled,
    /// An input is absent; `needs` names it and how to get it.
    Missing,
    /// The question does not arise; `sentence` says why.
    NotApplicable,
}

impl Verdict {
    /// All verdicts, in the order reports count them.
    pub const ALL: [Self; 5] = [Self::Fail, Self::Unsettled, Self::Missing, Self::Pass, Self::NotApplicable];

    /// The word of it, the same in every report.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::Unsettled => "unsettled",
            Self::Missing => "missing",
            Self::NotApplicable => "not-applicable",
        }
    }

    /// How bad it is: pass and not-applicable 0, unsettled and missing 1, fail 2.
    #[must_use]
    pub fn rank(self) -> u8 {
        match self {
            Self::Pass | Self::NotApplicable => 0,
            Self::Unsettled | Self::Missing => 1,
            Self::Fail => 2,
        }
    }
}

/// What ignoring a failure can lead to, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Consequence {
    /// Somebody can be hurt.
    Injury,
    /// The law can stop the rig.
    Legal,
    /// Something can break.
    Damage,
    /// It is unpleasant.
    Comfort,
}

impl Consequence {
    /// The word of it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Injury => "injury",
            Self::Legal => "legal",
            Self::Damage => "damage",
            Self::Comfort => "comfort",
        }
    }
}

/// A number of a finding in SI units, with its 95 % interval.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Measure {
    /// Nominal value, SI.
    pub value: Num,
    /// SI unit.
    pub unit: String,
    /// What kind of quantity it is.
    pub dimension: Dimension,
    /// Low end of the 95 % interval; equal to `value` where there is no spread.
    pub low: Num,
    /// High end of the 95 % interval.
    pub high: Num,
}

impl Measure {
    /// From an estimate; the interval keeps to the dimension's physical range where the value itself does.
    #[must_use]
    pub fn of(estimate: &Estimate, dimension: Dimension) -> Self {
        let (floor, top) = dimension.physical_range();
        let value = estimate.value();
        let (mut low, mut high) = estimate.interval95();
        if value >= floor {
            low = low.max(floor);
        }
        if value <= top {
            high = high.min(top);
        }
        Self { value: Num(value), unit: dimension.si_unit().to_owned(), dimension, low: Num(low), high: Num(high) }
    }

    /// A margin: may have either sign, whatever the dimension.
    #[must_use]
    pub fn signed(estimate: &Estimate, dimension: Dimension) -> Self {
        let (low, high) = estimate.interval95();
        Self { value: Num(estimate.value()), unit: dimension.si_unit().to_owned(), dimension, low: Num(low), high: Num(high) }
    }

    /// Half the width of the interval, SI.
    #[must_use]
    pub fn tolerance(&self) -> f64 {
        (self.high.0 - self.low.0) / 2.0
    }
}

/// Where in the rig file something stands. Line and column count from 1.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Where {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// The path that stands there: the finding's own, or its nearest present parent.
    pub path: String,
}

/// An input that is absent, or that would settle the answer.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Need {
    /// Path of the input in the rig file.
    pub path: String,
    /// How to get it in a yard.
    pub how: String,
    /// Its share of the variance of the margin, 0 to 1; null where it is absent.
    pub share: Option<Num>,
}

/// A limit that also holds the subject and does not govern.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AlsoLimit {
    /// Set and id, or what states it.
    pub limit: String,
    /// Its value.
    pub capacity: Measure,
    /// The verdict it alone would give.
    pub verdict: Verdict,
    /// Where it comes from.
    pub basis: Basis,
}

/// A limit that the rig file replaced.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Replaced {
    /// Set and id of the limit.
    pub limit: String,
    /// The value of the set, SI.
    pub old: Num,
    /// The value in force, SI.
    pub new: Num,
    /// SI unit of both.
    pub unit: String,
    /// The owner's reason.
    pub why: String,
    /// Whether the replacement asks less than the set does.
    pub weaker: bool,
}

/// An acceptance by the owner.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Accepted {
    /// Why it is accepted as it is.
    pub why: String,
    /// Until when: a date, or an event in words.
    pub until: Option<String>,
}

/// One answer about one subject in one state. Its key is (check, path, case, state).
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// Id of the check, `trade/what-is-asked`.
    pub check: String,
    /// The subject, as a person would name it.
    pub about: String,
    /// Path of the subject in the rig file.
    pub path: String,
    /// Which of several questions about the same subject, if there are several.
    pub case: Option<String>,
    /// Name of the state; null for a check that answers once.
    pub state: Option<String>,
    /// The answer.
    pub verdict: Verdict,
    /// What ignoring it can lead to.
    pub consequence: Consequence,
    /// Verb of the demand.
    pub demand_words: String,
    /// Verb of the capacity.
    pub capacity_words: String,
    /// What the rig asks for.
    pub demand: Option<Measure>,
    /// What it is held against.
    pub capacity: Option<Measure>,
    /// How the limit is meant: at most, at least.
    pub sense: Option<Sense>,
    /// What is left; negative where it fails.
    pub margin: Option<Measure>,
    /// Demand over capacity (at least: capacity over demand), so above 1 is always bad; null where a ratio says nothing.
    pub utilisation: Option<Num>,
    /// The answer in one sentence, where there is no number or something must be said beside it.
    pub sentence: Option<String>,
    /// Where the governing limit comes from.
    pub basis: Option<Basis>,
    /// The other limits that hold it.
    pub also_limits: Vec<AlsoLimit>,
    /// The limit of a set that the rig file replaced, if it did.
    pub replaced: Option<Replaced>,
    /// The working: lines a reader can redo with a pocket calculator.
    pub working: Vec<String>,
    /// What is absent, or what would settle it; largest share first.
    pub needs: Vec<Need>,
    /// Ways out, proved by the runner; best first.
    pub remedies: Vec<Remedy>,
    /// Ids of the exhibits that show it.
    pub exhibits: Vec<String>,
    /// Where the subject stands in the rig file.
    #[serde(rename = "where")]
    pub place: Where,
    /// What to be careful of.
    pub cautions: Vec<String>,
    /// Set when the owner accepts the finding as it is.
    pub accepted: Option<Accepted>,
    /// What it was in the earlier audit, where the audit was held against one.
    pub since: Option<Since>,
    /// What the check proposes; the runner turns it into `remedies`.
    #[serde(skip)]
    pub proposals: Vec<Proposal>,
}

/// Which way a limit is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Sense {
    /// The demand may not be above the capacity.
    AtMost,
    /// The demand may not be below the capacity.
    AtLeast,
}

impl Finding {
    /// What is asked of which subject, whatever the state: findings alike in it are told together, the worst in full.
    #[must_use]
    pub fn question(&self) -> (Consequence, &str, &str, Option<&str>) {
        (self.consequence, &self.check, &self.path, self.case.as_deref())
    }

    /// The order of two findings, the worse first; ties by key, so that the order never depends on anything else.
    #[must_use]
    pub fn worse_first(&self, other: &Self) -> std::cmp::Ordering {
        let used = |finding: &Self| finding.utilisation.map_or(f64::NEG_INFINITY, |u| u.0);
        self.consequence
            .cmp(&other.consequence)
            .then_with(|| other.verdict.rank().cmp(&self.verdict.rank()))
            .then_with(|| used(other).total_cmp(&used(self)))
            .then_with(|| self.key().cmp(&other.key()))
    }

    /// The key: check, path of the subject, case, state.
    #[must_use]
    pub fn key(&self) -> (&str, &str, Option<&str>, Option<&str>) {
        (&self.check, &self.path, self.case.as_deref(), self.state.as_deref())
    }

    /// Trade of the check.
    #[must_use]
    pub fn trade(&self) -> &str {
        basis::before_slash(&self.check).unwrap_or(&self.check)
    }
}
