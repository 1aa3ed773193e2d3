//! What to find out next: what a search through single readings says.

use quantity::{Dimension, Num};
use schemars::JsonSchema;
use serde::Serialize;

use crate::audit::Units;
use crate::exhibit::Span;
use crate::finding::Consequence;

/// What to find out next, and the round through the yard.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Asking {
    /// Name of the rig.
    pub rig: String,
    /// Units that reports for people show.
    pub units: Units,
    /// Answers that are unsettled or missing, those that the owner accepts left out.
    pub open: usize,
    /// What settles most, first; then worst consequence, walking order, path.
    pub next: Vec<Asked>,
    /// Everything that is `"?"` or missing, in walking order.
    pub round: Vec<Asked>,
}

/// One thing to find out.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Asked {
    /// Path of the input in the rig file.
    pub path: String,
    /// How to get it in a yard.
    pub how: String,
    /// With what.
    pub tool: String,
    /// Where one stands, in a word: "under".
    pub place: String,
    /// The same as one says it: "under the truck".
    pub stand: String,
    /// Which stop of the walk that is, from 1.
    pub stop: usize,
    /// What to be careful of there.
    pub careful: Option<String>,
    /// What the file says now, with its 95 % interval, SI; null where it is absent or `"?"`.
    pub now: Option<Span>,
    /// Dimension of the value, where it has one.
    pub dimension: Option<Dimension>,
    /// What usually comes out; null where nobody can say.
    pub expected: Option<Expected>,
    /// 95 % half width that a reading leaves, SI; null where the value has no spread.
    pub spread: Option<Num>,
    /// Answers that are open and would no longer be: told with the value the file has now, or the middle of what is
    /// expected, and every check asked again. Of several choices the one that settles least.
    pub settles: usize,
    /// Whether that was tried: a table of several values cannot be.
    pub tried: bool,
    /// Answers that name it as absent.
    pub waits: usize,
    /// Worst consequence among what it settles, else among what waits for it.
    pub consequence: Option<Consequence>,
    /// What was told in the trial, as `rigproof tell` takes it. Empty where it takes more than single values.
    pub told: Vec<Tell>,
    /// The same with three points where the reading goes.
    pub write: Vec<Tell>,
    /// What `rigproof add` prints for it, where it is a table.
    pub add: Option<String>,
}

/// One value told to a rig file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Tell {
    /// Where it stands.
    pub path: String,
    /// The value as the file takes it.
    pub value: String,
}

/// What usually comes out.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Expected {
    /// A value between two: SI where there is a dimension, a plain number where there is none.
    Between(Num, Num),
    /// One of these.
    OneOf(Vec<String>),
    /// A word such as this.
    SuchAs(String),
}
