//! The truck as it was before anything was built on it, its hitch, and what it tows.

use quantity::{Stated, dim};

use super::table::table;
use super::{Coord, Frame};

table! {
    "a [chassis] table"
    /// The truck as it was before anything was built on it.
    pub struct Chassis {
        /// Highest mass of the laden truck, axles together, by its plate. A mass, not a payload. On the plate in the door frame or on the cab's step.
        pub gross_mass: Option<Stated<dim::Mass>>,
        /// Highest mass of the laden truck by its registration papers, where lower than the plate's.
        pub registered_mass: Option<Stated<dim::Mass>>,
        /// Highest mass by the plate for slow going off the road, where the plate has one. Never used for the road.
        pub off_road_mass: Option<Stated<dim::Mass>>,
        /// Highest mass of truck and trailer together, by the plate.
        pub combination_mass: Option<Stated<dim::Mass>>,
        /// Mass of the bare chassis ready to drive, by its papers. The axles' `bare_load` readings win over it.
        pub running_order_mass: Option<Stated<dim::Mass>>,
        /// Nominal voltage of the truck's own electrical system, "12 V" or "24 V".
        pub supply: Option<Stated<dim::Voltage>>,
        /// Height of the bare chassis's centre of gravity above the ground (not above the frame), such as "about 0.95 m".
        pub centre_height: Option<Stated<dim::Length>>,
        /// x of the foremost fixed part (bumper, winch), negative ahead of the front axle's centre, such as "-1.35 m".
        pub front_end: Option<Stated<dim::Length>>,
        /// x of the rearmost fixed part of the bare chassis, without body and coupling.
        pub rear_end: Option<Stated<dim::Length>>,
        /// Overall width of the bare truck without mirrors; not the track.
        pub width: Option<Stated<dim::Length>>,
        /// Height of the cab's roof above the ground.
        pub height: Option<Stated<dim::Length>>,
        /// Height above the ground of the axis the truck rolls about, halfway between the axles. Known to few; leave it out.
        pub roll_centre_height: Option<Stated<dim::Length>>,
        /// The ladder frame.
        pub frame: Option<Frame>,
        /// What is known of the brakes.
        pub brakes: Option<Brakes>,
    }
}

table! {
    "a [chassis.brakes] table"
    /// What is known of the brakes. No answer here replaces a brake test.
    pub struct Brakes {
        /// true if a valve on the rear axle sets brake pressure by load; false if there is none.
        pub load_sensing_valve: Option<bool>,
        /// Load on the ground under the rear axle that the valve was last set for. On the valve's plate or in the workshop's papers.
        pub valve_set_for: Option<Stated<dim::Mass>>,
        /// Slope on which the parking brake was proved to hold, such as "18 %".
        pub parking_hold: Option<Stated<dim::Slope>>,
        /// Mass of the truck when the parking brake was proved.
        pub proved_at: Option<Stated<dim::Mass>>,
    }
}

table! {
    "a [coupling] table"
    /// The hitch at the rear of the truck.
    pub struct Coupling {
        /// "pintle" (jaw or hook with eye), "ball" or "fifth" (fifth wheel).
        pub kind: Option<CouplingKind>,
        /// Where the trailer's eye or ball bears: [x, y, z].
        pub at: Option<[Coord; 3]>,
        /// Highest vertical load on the coupling, as the mass that would weigh so (plate letter S).
        pub rated_vertical: Option<Stated<dim::Mass>>,
        /// D value of the plate, a force such as "64 kN": what the coupling stands between two moving masses.
        pub rated_d: Option<Stated<dim::Force>>,
        /// Highest mass of the trailer by the coupling's or the truck's plate.
        pub rated_mass: Option<Stated<dim::Mass>>,
    }
}

/// How the trailer is hitched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CouplingKind {
    /// A jaw or hook that takes a drawbar eye.
    Pintle,
    /// A ball.
    Ball,
    /// A fifth wheel that takes a king pin.
    Fifth,
}

table! {
    "a [trailer] table"
    /// The trailer towed, as loaded.
    pub struct Trailer {
        /// What the owner calls it.
        pub name: Option<String>,
        /// Mass of the laden trailer, all of it: what its axles and the coupling carry together.
        pub mass: Option<Stated<dim::Mass>>,
        /// Vertical load of the drawbar on the coupling, as the mass that would weigh so. Read it with a scale under the drawbar, trailer level.
        pub nose_load: Option<Stated<dim::Mass>>,
        /// Load on the ground under the trailer's axles together.
        pub axle_load: Option<Stated<dim::Mass>>,
        /// true if the trailer has brakes of its own that work on the road.
        pub braked: Option<bool>,
        /// Overall length, drawbar included.
        pub length: Option<Stated<dim::Length>>,
        /// Overall width.
        pub width: Option<Stated<dim::Length>>,
        /// Overall height.
        pub height: Option<Stated<dim::Length>>,
    }
}
