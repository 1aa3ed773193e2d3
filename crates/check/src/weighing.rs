//! A day on the weighbridge: what stands on the plate, in which state, beside which limit.

use quantity::Num;
use schemars::JsonSchema;
use serde::Serialize;

use crate::audit::Units;
use crate::exhibit::Span;

/// A day on the weighbridge.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WeighingDay {
    /// Name of the rig.
    pub rig: String,
    /// Units that reports for people show.
    pub units: Units,
    /// The state to be weighed in.
    pub state: String,
    /// Whether the file has that state; else it is to be written with the tickets.
    pub in_file: bool,
    /// States that the program made: a file that gets a state of its own loses them, so they are to be written too.
    pub made: Vec<MadeState>,
    /// What is in each tank, in file order.
    pub tanks: Vec<Filled>,
    /// Who sits where.
    pub people: Vec<Seated>,
    /// What stays at home.
    pub absent: Vec<String>,
    /// What is folded or slid out.
    pub out: Vec<String>,
    /// Whether the trailer is coupled.
    pub trailer: bool,
    /// What stands on the plate, one after the other as one drives over it.
    pub plates: Vec<OnPlate>,
}

/// A state that the program made, as the file would say it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct MadeState {
    /// Its name.
    pub name: String,
    /// `travel` or `camp`.
    pub kind: String,
    /// Tank and fill.
    pub fill: Vec<(String, String)>,
    /// Seats that are taken.
    pub people: Vec<String>,
    /// What is out.
    pub out: Vec<String>,
    /// Whether the trailer is coupled.
    pub trailer: bool,
}

/// A tank and what is in it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Filled {
    /// Name of the tank.
    pub tank: String,
    /// What is in it, m3; null where that is not known.
    pub volume: Option<Span>,
}

/// A seat and who sits on it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Seated {
    /// Name of the seat.
    pub seat: String,
    /// Name of the person; null where nobody is named.
    pub person: Option<String>,
}

/// Wheels that stand on the plate together.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OnPlate {
    /// Which.
    pub wheels: Wheels,
    /// Name for its ticket, which no ticket of the file has.
    pub ticket: String,
    /// What they may carry, kg; null where that is not told.
    pub limit: Option<Num>,
    /// What the list says they carry, kg; null where it cannot say.
    pub list: Option<Span>,
}

/// Which wheels.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Wheels {
    /// All of the rig.
    Whole,
    /// Those of one axle.
    Axle(String),
    /// Those of the axles that share their load.
    Group(String),
}
