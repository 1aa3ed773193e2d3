//! Where along the frame the body may go: what a search for its place says.

use quantity::Num;
use schemars::JsonSchema;
use serde::Serialize;

use crate::audit::Units;
use crate::exhibit::Span;
use crate::finding::Measure;

/// A range of places that pass, m: values of `body.front`.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Range {
    /// Foremost place that passes.
    pub from: Num,
    /// Rearmost place that passes.
    pub to: Num,
    /// What no longer passes one step further forward.
    pub forward_limit: Vec<String>,
    /// What no longer passes one step further back.
    pub rearward_limit: Vec<String>,
}

/// Load of one axle in one state against the place of the body.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Curve {
    /// Name of the axle.
    pub axle: String,
    /// Name of the state.
    pub state: String,
    /// What the axle is rated for, kg.
    pub rated: Option<Num>,
    /// Load at the foremost and at the rearmost place looked at, kg: the load is straight in between.
    pub ends: [Span; 2],
}

/// A number of the rig with its body at the best place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct There {
    /// What it is about: "overall height".
    pub about: String,
    /// Verb of its sentence: "is".
    pub words: String,
    /// State it is told for; none where it is asked once.
    pub state: Option<String>,
    /// The number.
    pub measure: Measure,
}

/// Where the body may go.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Placement {
    /// Name of the rig.
    pub rig: String,
    /// Units that reports for people show.
    pub units: Units,
    /// Place it has now, m.
    pub now: Num,
    /// Foremost place looked at, m.
    pub from: Num,
    /// Rearmost place looked at, m.
    pub to: Num,
    /// The ranges that pass every travel state.
    pub ranges: Vec<Range>,
    /// The place that leaves the most in hand: the largest share of any limit is smallest there.
    pub best: Option<Num>,
    /// That largest share, at the far end of its range.
    pub best_share: Option<Num>,
    /// Where no range passes: the place at which the fewest answers do not pass, m, and those.
    pub nearest: Option<(Num, Vec<String>)>,
    /// What passes nowhere: no matter of the place.
    pub nowhere: Vec<String>,
    /// What cannot be told, and waits for an input.
    pub waits: Vec<String>,
    /// Longest body that still passes at the best place, m, with what ends it.
    pub longest: Option<Num>,
    /// What a longer body breaks.
    pub longest_limit: Vec<String>,
    /// Payload left in each travel state, kg.
    pub payload: Vec<(String, Span)>,
    /// Height, length, overhang and lean with the body at the best place, or where it is now.
    pub there: Vec<There>,
    /// Axle loads over the places looked at, in every state.
    pub curves: Vec<Curve>,
}
