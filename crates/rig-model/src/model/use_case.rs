//! What the owner wants to pass, climb and cross.

use quantity::{Quantity, Stated, dim};

use super::table::table;

table! {
    "an [envelope] table"
    /// Overall size of the finished rig, measured with a tape. Left out: derived from the pieces.
    pub struct Envelope {
        /// Highest fixed point above the ground, tyres at road pressure.
        pub height: Option<Stated<dim::Length>>,
        /// Overall width without mirrors.
        pub width: Option<Stated<dim::Length>>,
        /// Overall length without trailer.
        pub length: Option<Stated<dim::Length>>,
    }
}

table! {
    named "a [[passage]] table"
    /// Something the rig must fit: a gate, a ferry, a garage, a bridge, a road.
    pub struct Passage {
        /// A name of its own among passages, such as "home gate".
        pub name: String,
        /// "gate", "ferry", "garage", "bridge" or "road".
        pub kind: Option<PassageKind>,
        /// Clear height, or the posted limit.
        pub height: Option<Quantity<dim::Length>>,
        /// Clear width, or the posted limit.
        pub width: Option<Quantity<dim::Length>>,
        /// Longest rig that fits.
        pub length: Option<Quantity<dim::Length>>,
        /// Posted mass limit for the truck, or for truck and trailer where one is coupled.
        pub mass: Option<Quantity<dim::Mass>>,
    }
}

/// What kind of passage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PassageKind {
    /// A gate or a barrier.
    Gate,
    /// A ferry's deck or ramp.
    Ferry,
    /// A garage or a hall.
    Garage,
    /// A bridge, over or under.
    Bridge,
    /// A road with a posted limit.
    Road,
}

table! {
    "a [ground] table"
    /// Slopes, angles and bends the owner wants to manage. There is no law here; without a wish there is no verdict.
    pub struct Ground {
        /// Cross slope to stand and drive on, such as "15 deg" or "25 %".
        pub side_slope: Option<Quantity<dim::Slope>>,
        /// Slope to climb and descend, such as "30 %".
        pub grade: Option<Quantity<dim::Slope>>,
        /// Steepest ramp to drive up to without touching in front, such as "25 deg".
        pub approach: Option<Quantity<dim::Angle>>,
        /// Steepest ramp to drive off without touching behind.
        pub departure: Option<Quantity<dim::Angle>>,
        /// Sharpest crest to drive over without touching between the axles, as the angle between its two ramps.
        pub breakover: Option<Quantity<dim::Angle>>,
        /// Height of a stone to drive over between the wheels.
        pub clearance: Option<Quantity<dim::Length>>,
        /// A bend to be driven at a speed.
        pub bend: Option<Bend>,
    }
}

table! {
    "a bend table"
    /// A bend to be driven at a speed.
    pub struct Bend {
        /// Radius of the path of the truck's middle.
        pub radius: Option<Quantity<dim::Length>>,
        /// Speed in the bend.
        pub speed: Option<Quantity<dim::Speed>>,
        /// Cross slope of the road, positive where it falls to the inside of the bend, such as "4 %".
        pub bank: Option<Quantity<dim::Slope>>,
    }
}
