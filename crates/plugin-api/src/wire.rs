//! The documents that go over the boundary, `rigproof-plugin/1`.
//!
//! The program asks, the plugin answers, one document for one document: `hello` with `cards`, `rig` with `ready`, `check`
//! with `findings`; anything with `fault`. A plugin keeps the rig that it was sent last and nothing else.

mod card;
mod finding;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

pub use self::card::{Card, Consequence, Scope};
pub use self::finding::{
    Against, Answer, Basis, BasisKind, Dimension, Edit, EditOp, Effort, Finding, Gradient, Holds, Known, Measured, Remedy, Sense,
};

/// Name and version of this form. A change that an older side would misread is a new number.
pub const FORMAT: &str = "rigproof-plugin/1";

/// What the program asks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Request {
    /// The first: which checks are there?
    Hello {
        /// The form that the program speaks: `rigproof-plugin/1`.
        format: String,
    },
    /// What the next questions are about.
    Rig(RigDocument),
    /// The answers of one check about the rig sent last.
    Check {
        /// Id of the check.
        id: String,
    },
}

/// A rig as a check sees it. Numbers are in SI; a number in doubt is an object: `value`, its standard deviation `sd`, and
/// either the number of its one `input`, or `by`: a list of `input`, `by` (change of the value by change of the input) and
/// `sd` of that input.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RigDocument {
    /// The tables of the file that the card names, and `custom`; lists of named entries by their names; null is absent or "?".
    pub rig: Map<String, Value>,
    /// The states that are looked at: `name`, `kind` ("travel" or "camp"), and their facts where the card names `facts`.
    pub states: Vec<Map<String, Value>>,
    /// The limits in force that the card names, by id.
    pub limits: BTreeMap<String, Vec<LimitInForce>>,
    /// The day the audit is made for, as 2027-05-01.
    pub today: String,
    /// Whether ways out are wanted.
    pub remedies: bool,
}

/// One limit of the sets that the rig chose, or what the rig put in its place. SI.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LimitInForce {
    /// Set and id.
    pub name: String,
    /// The demand may not be above it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_most: Option<f64>,
    /// The demand may not be below it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_least: Option<f64>,
    /// What kind of quantity it limits.
    pub dimension: Dimension,
}

/// What the plugin answers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Reply {
    /// To `hello`.
    Cards(Greeting),
    /// To `rig`.
    Ready,
    /// To `check`.
    Findings(Findings),
    /// To anything: it could not, and why, in one sentence.
    Fault {
        /// The sentence.
        text: String,
    },
}

/// Who the plugin is and what it asks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Greeting {
    /// The form that the plugin speaks: `rigproof-plugin/1`.
    pub format: String,
    /// Its name and version, for people.
    pub plugin: String,
    /// The card of each of its checks.
    pub cards: Vec<Card>,
}

/// All answers of one check.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Findings {
    /// Id of the check.
    pub check: String,
    /// One for every subject and state; never none.
    pub findings: Vec<Finding>,
}

/// Every document of the form, for its schema.
#[cfg(feature = "schema")]
#[derive(schemars::JsonSchema)]
#[serde(untagged)]
#[schemars(title = "rigproof-plugin/1", description = "What goes over the boundary between rigproof and a native plugin.")]
#[allow(dead_code, reason = "it is there for its schema alone")]
enum Document {
    Request(Request),
    Reply(Reply),
}

/// The JSON Schema of every document of the form, indented, keys sorted, with a line end behind it.
///
/// # Errors
/// When it cannot be written as text, which is not expected.
#[cfg(feature = "schema")]
pub fn schema() -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&schemars::schema_for!(Document)).map(|text| text + "\n")
}
