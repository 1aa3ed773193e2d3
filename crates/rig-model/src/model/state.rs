//! Loadings, people, and what scales read.

use std::collections::BTreeMap;

use quantity::{Quantity, Stated, dim};

use super::table::table;
use super::{Day, Fill, Occupant};

table! {
    named "a [[person]] table"
    /// Someone who travels along.
    pub struct Person {
        /// A name of their own among people, such as "first driver".
        pub name: String,
        /// Mass with clothes and boots.
        pub mass: Option<Stated<dim::Mass>>,
        /// Licence classes held, as on the card, such as ["C1", "BE"].
        #[serde(default)]
        pub licence: Vec<String>,
        /// true if this person drives the rig.
        pub drives: Option<bool>,
    }
}

table! {
    named "a [[state]] table"
    /// A loading of the rig.
    pub struct State {
        /// A name of its own among states, such as "travel-full".
        pub name: String,
        /// "travel": on the road. "camp": standing.
        pub kind: StateKind,
        /// What is in each tank, by the tank's name: "full", "empty", "100 %", "80 L", "about 50 %", "40 to 60 L", "?".
        #[serde(default)]
        pub fill: BTreeMap<String, Fill>,
        /// Who sits where: "driver seat", "driver seat: Ana", "driver seat: 85 kg", or { seat = "driver seat", person = "Ana" }.
        #[serde(default)]
        pub people: Vec<Occupant>,
        /// Names of things left at home.
        #[serde(default)]
        pub absent: Vec<String>,
        /// Names of things folded, slid or swung out.
        #[serde(default)]
        pub out: Vec<String>,
        /// Names of axles lifted off the ground.
        #[serde(default)]
        pub lifted: Vec<String>,
        /// true if the trailer is coupled.
        pub trailer: Option<bool>,
        /// Free text for the owner.
        pub note: Option<String>,
    }
}

/// Whether the rig moves or stands in a state.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum StateKind {
    /// On the road.
    Travel,
    /// Standing, pieces out, people anywhere.
    Camp,
}

impl StateKind {
    /// Its word in rig files.
    pub const fn word(self) -> &'static str {
        match self {
            StateKind::Travel => "travel",
            StateKind::Camp => "camp",
        }
    }
}

table! {
    named "a [[weighing]] table"
    /// One reading of one scale. It says which wheels stood on it: `axle`, `axle` with `side`, `side` alone, `group`, or `whole = true`.
    pub struct Weighing {
        /// A name of its own among tickets, such as "quarry, front".
        pub name: String,
        /// Name of the state the rig was in.
        pub state: Option<String>,
        /// Name of the axle that stood on the scale.
        pub axle: Option<String>,
        /// "left" or "right": only that side's wheels stood on it (of `axle`, or of the whole truck).
        pub side: Option<Side>,
        /// Axles of this group stood on it together.
        pub group: Option<String>,
        /// true if the whole truck stood on it.
        pub whole: Option<bool>,
        /// What the scale read: a mass, as a load on the ground.
        pub reading: Option<Stated<dim::Mass>>,
        /// Name of the scale: readings of one scale share its calibration error.
        pub scale: Option<String>,
        /// The scale's division, e on its plate, such as "20 kg".
        pub division: Option<Quantity<dim::Mass>>,
        /// Half width of the scale's error, 95 times in 100, if known; else it follows from the division.
        pub error: Option<Quantity<dim::Mass>>,
        /// true if the truck rolled over the scale.
        pub in_motion: Option<bool>,
        /// Day of the reading, such as "2026-05-01".
        pub date: Option<Day>,
        /// How far the other axle's wheel centres were raised, to find the height of the centre of gravity, such as "0.6 m".
        pub lift: Option<Stated<dim::Length>>,
        /// How far the other side's wheels stood higher, on planks, to find the height of the centre of gravity, such as "0.2 m".
        pub plank: Option<Stated<dim::Length>>,
        /// true if the springs were blocked while lifted.
        pub springs_blocked: Option<bool>,
    }
}

/// A side of the truck, seen by the driver.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// The driver's left hand, facing forward.
    Left,
    /// The driver's right hand, facing forward.
    Right,
}
