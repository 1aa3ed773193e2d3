//! What a check of a plugin answers.

use serde::{Deserialize, Serialize};
use serde_json::Value;

/// One answer about one subject in one state.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Finding {
    /// The subject, as a person would name it.
    pub about: String,
    /// Path of the subject in the rig file: `tank[fresh]`.
    pub path: String,
    /// Which of several questions about the same subject.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub case: Option<String>,
    /// Name of the state; absent for a check that answers once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state: Option<String>,
    /// The answer itself; the program makes a verdict of it.
    pub answer: Answer,
    /// The answer in a sentence, beside its number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sentence: Option<String>,
    /// Lines of working that a reader can redo.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub working: Vec<String>,
    /// Something more to be careful of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<String>,
    /// Ways out; the program tries each before it shows it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub remedies: Vec<Remedy>,
}

/// The answer itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Answer {
    /// A number held against limits.
    Compare {
        /// What the rig asks for.
        demand: Measured,
        /// What kind of quantity it is.
        dimension: Dimension,
        /// What it is held against; the one nearest to being broken governs.
        against: Vec<Against>,
    },
    /// A question without a number. `unknown` wants the `path` of the input that would tell.
    Require {
        /// Whether it holds.
        holds: Holds,
        /// The input that would tell.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        path: Option<String>,
        /// The answer in a sentence.
        sentence: String,
    },
    /// An input is absent.
    Missing {
        /// Its path.
        path: String,
        /// More than its path, where there is more to say.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        why: Option<String>,
    },
    /// The question does not arise.
    NotApplicable {
        /// Why.
        why: String,
    },
}

/// Whether something without a number holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Holds {
    /// It holds.
    Yes,
    /// It does not hold.
    No,
    /// Nothing tells.
    Unknown,
}

/// A number in SI with its sensitivity to the inputs. It is never NaN or infinite.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Measured {
    /// Nominal value.
    pub value: f64,
    /// How it follows each input, each at most once.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub by: Vec<Gradient>,
}

/// How a number follows one input.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Gradient {
    /// Number of the input, as the rig document gave it.
    pub input: u32,
    /// Change of the value by change of the input.
    pub by: f64,
}

/// Something a demand is held against.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "kind", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Against {
    /// A bound of the plugin's own.
    Bound {
        /// What states it, in words.
        name: String,
        /// Which way it is meant.
        sense: Sense,
        /// The bound.
        capacity: Measured,
        /// Where it comes from.
        basis: Basis,
    },
    /// One of the program's limits, in all of the chosen sets; named on the card too.
    Limit {
        /// Its id.
        id: String,
    },
}

/// Which way a bound is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Sense {
    /// The demand may not be above it.
    AtMost,
    /// The demand may not be below it.
    AtLeast,
}

/// Where a bound comes from. A claim to have read or computed it says where (`seen`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Basis {
    /// What kind of source it is.
    pub kind: BasisKind,
    /// Title of the source.
    pub title: String,
    /// Clause, section, table or page in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clause: Option<String>,
    /// Edition or year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edition: Option<String>,
    /// How it is known.
    pub known: Known,
    /// Where it was read, or how it was computed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seen: Option<String>,
}

/// What kind of source a bound has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum BasisKind {
    /// Law or a rule with the force of law.
    Regulation,
    /// A published technical standard.
    Standard,
    /// A handbook, a textbook, a maker's manual.
    Handbook,
    /// Follows from physics or from a definition.
    Physics,
    /// What the trade does; nobody wrote it down with authority.
    CommonPractice,
    /// The plate or the papers of the thing itself.
    DataPlate,
    /// The owner's own wish.
    Owner,
}

/// How a bound is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// Read in a source that `seen` names.
    Read,
    /// Computed, as `seen` says.
    Computed,
    /// Recalled; reports say so.
    FromMemory,
}

/// A way out: what to do, and the edits of the rig file that say the same.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Remedy {
    /// What to do, in words.
    pub text: String,
    /// What it costs.
    pub effort: Effort,
    /// The same as edits; at least one.
    pub edits: Vec<Edit>,
}

/// What a way out costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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

/// A change of the rig file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Edit {
    /// What is changed; for `add` the list that grows.
    pub path: String,
    /// How.
    pub op: EditOp,
    /// What stands there afterwards, as the file writes it; not for `remove`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Value>,
}

/// How the file is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum EditOp {
    /// Replaces the value, or adds the key to its table.
    Set,
    /// Appends an entry to a list.
    Add,
    /// Takes the key or the entry out.
    Remove,
}

/// What kind of thing a number measures, and its SI unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Dimension {
    /// kg; loads on the ground too.
    Mass,
    /// m.
    Length,
    /// m2.
    Area,
    /// m3.
    Volume,
    /// Pa.
    Pressure,
    /// Pa, of a material.
    Stress,
    /// N.
    Force,
    /// N m.
    Torque,
    /// V.
    Voltage,
    /// A.
    Current,
    /// W.
    Power,
    /// J.
    Energy,
    /// C.
    Charge,
    /// rad.
    Angle,
    /// rad.
    Slope,
    /// K; never a temperature difference.
    Temperature,
    /// A share, 0.12 for 12 %.
    Ratio,
    /// m/s.
    Speed,
    /// kg/m3.
    Density,
    /// N/m.
    SpringRate,
    /// N m/rad.
    RollStiffness,
    /// s.
    Duration,
    /// m/s2.
    Acceleration,
    /// W/(m2 K).
    HeatTransfer,
    /// W/K.
    HeatLoss,
    /// ohm.
    Resistance,
    /// 1/K.
    TemperatureCoefficient,
    /// V/K.
    VoltageDrift,
}
