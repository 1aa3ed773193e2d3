//! Ways out: proposed by a check, proved by the runner.

use quantity::Num;
use rig_model::Edit;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::finding::Verdict;

/// What a way out costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Effort {
    /// Minutes, with what is there.
    Minutes,
    /// An afternoon.
    AnAfternoon,
    /// Parts to buy.
    PartsToBuy,
    /// Cutting and welding.
    CuttingAndWelding,
}

impl Effort {
    /// The words of it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Minutes => "minutes",
            Self::AnAfternoon => "an afternoon",
            Self::PartsToBuy => "parts to buy",
            Self::CuttingAndWelding => "cutting and welding",
        }
    }
}

/// A way out as a check solved it: what to do, and the edits of the rig file that say the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// What to do, in words: "move the body 0.41 m rearward".
    pub text: String,
    /// What it costs.
    pub effort: Effort,
    /// The same as edits of the rig file, already rounded to what can be done, towards safety.
    pub edits: Vec<Edit>,
}

/// A verdict that a remedy changes elsewhere.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Also {
    /// Id of the other check.
    pub check: String,
    /// Its subject.
    pub about: String,
    /// Its path.
    pub path: String,
    /// Its state.
    pub state: Option<String>,
    /// Its verdict before.
    pub was: Verdict,
    /// Its verdict with the remedy applied.
    pub is: Verdict,
    /// Its utilisation with the remedy applied.
    pub utilisation: Option<Num>,
}

/// A way out that was proved: the edits were applied and every check was asked again.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Remedy {
    /// What to do.
    pub text: String,
    /// What it costs.
    pub effort: Effort,
    /// Edits of the rig file that say the same.
    pub edits: Vec<Edit>,
    /// Demand with the edits applied, SI.
    pub demand: Option<Num>,
    /// Utilisation with the edits applied.
    pub utilisation: Option<Num>,
    /// Every other finding whose verdict changes.
    pub also: Vec<Also>,
    /// Whether another finding gets worse; such a remedy stands last.
    pub worsens: bool,
}
