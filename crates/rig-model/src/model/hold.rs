//! What else holds: straps, ties between body and chassis, fixings inside the body, recovery eyes.

use quantity::{Stated, dim};

use super::table::table;
use super::words::words;
use super::{Bolts, Coord, Direction, Many, PlacedIn, Screws, Short, Side, Welds};

words! {
    /// How a strap works.
    pub enum StrapKind {
        /// Over the load: it presses the load down, and friction holds.
        Over = "over",
        /// From the load to the chassis: it pulls.
        Direct = "direct",
    }
}

table! {
    named "a [[strap]] table"
    /// Straps of one kind over or from the body.
    pub struct Strap {
        /// A name of its own among straps, such as "rear cross straps".
        pub name: String,
        /// "over" (presses down, friction holds) or "direct" (pulls).
        pub kind: Option<StrapKind>,
        /// Its end on the body: [x, y, z]. With `to` it gives the angles.
        pub from: Option<[Coord; 3]>,
        /// Its end on the chassis: [x, y, z].
        pub to: Option<[Coord; 3]>,
        /// "body": `from` is counted from inside the body; `to` never is.
        #[serde(rename = "in")]
        pub in_: Option<PlacedIn>,
        /// Angle of the strap to the floor, such as "60 deg".
        pub angle: Option<Stated<dim::Angle>>,
        /// For "direct": angle in plan between the strap and the way it holds, such as "30 deg".
        pub plan_angle: Option<Stated<dim::Angle>>,
        /// The ways it holds, for "direct": "forward", "rearward", "left", "right".
        pub holds: Option<Vec<Direction>>,
        /// LC on the label: lashing capacity of one strap in a straight pull, such as "2500 daN". No label means none.
        pub capacity: Option<Stated<dim::Force>>,
        /// STF on the label: tension that the ratchet gives at a hand force of 50 daN, such as "350 daN".
        pub standard_tension: Option<Stated<dim::Force>>,
        /// Number of such straps; of "direct" ones those that act one way. 1 if left out.
        #[schemars(range(min = 1))]
        pub count: Option<u32>,
        /// What lies on what under the load, such as "planed wood on plywood" or "steel on painted steel".
        pub surface: Option<String>,
        /// true if that surface gets wet, icy or greasy.
        pub wet: Option<bool>,
        /// true if nothing but straps holds the body.
        pub only_hold: Option<bool>,
    }
}

words! {
    /// What ties two parts together.
    pub enum TieKind {
        /// Bolts.
        Bolt = "bolt",
        /// A pin or a twist lock.
        Pin = "pin",
        /// Straps or chains.
        Strap = "strap",
        /// A guide that lifts off.
        Guide = "guide",
        /// A weld.
        Weld = "weld",
        /// Glue that carries.
        Glue = "glue",
        /// Sealant that seals.
        Seal = "seal",
        /// A hose or a pipe.
        Hose = "hose",
        /// A cable.
        Cable = "cable",
        /// A duct or a bellows.
        Duct = "duct",
    }
}

table! {
    named "a [[tie]] table"
    /// Something that goes from the body to the chassis and must be undone before the body comes off.
    pub struct Tie {
        /// A name of its own among ties, such as "fuel hose to the heater".
        pub name: String,
        /// "bolt", "pin", "strap", "guide", "weld", "glue", "seal", "hose", "cable" or "duct".
        pub kind: Option<TieKind>,
        /// The part it leaves, such as "body". Left out: the body.
        pub from: Option<String>,
        /// The part it goes to, such as "subframe" or "cab". Left out: the chassis.
        pub to: Option<String>,
        /// true if a connector, a coupling or an isolating valve lets it be parted without tools that cut.
        pub connector: Option<bool>,
        /// Number of such ties, such as 8 bolts. 1 if left out.
        #[schemars(range(min = 1))]
        pub count: Option<u32>,
        /// The tool it takes, such as "19 mm spanner".
        pub tool: Option<String>,
    }
}

table! {
    "a [[fixing]] table"
    /// What holds one heavy thing inside the body when the truck stops short.
    pub struct Fixing {
        /// Name of the thing that is held, such as "stove".
        pub of: String,
        /// Screws that hold it: "8 x 6 mm into spruce", a table, or a list of either.
        #[serde(default)]
        pub screws: Many<Short<Screws>>,
        /// Bolts that hold it: "4 x M8 8.8", a table, or a list of either.
        #[serde(default)]
        pub bolts: Many<Short<Bolts>>,
        /// Number of straps round it.
        pub straps: Option<u32>,
        /// LC on the label of one strap, such as "200 daN".
        pub strap_capacity: Option<Stated<dim::Force>>,
        /// The ways in which it bears on something solid, such as ["forward", "down"]: a wall ahead, the floor below.
        pub bears: Option<Vec<Direction>>,
    }
}

table! {
    named "a [[recovery]] table"
    /// A home-made eye or hook that the truck is to be pulled by.
    pub struct Recovery {
        /// A name of its own among recovery points, such as "rear eye".
        pub name: String,
        /// Where the pull acts: [x, y, z].
        pub at: Option<[Coord; 3]>,
        /// The pull it is to stand, such as "60 kN".
        pub pull: Option<Stated<dim::Force>>,
        /// Thickness and steel of the eye's plate, such as "20 mm S355".
        pub plate: Option<Short<super::Plate>>,
        /// "left" or "right": the rail it stands on. Left out: on both.
        pub rail: Option<Side>,
        /// Bolts that hold it: "4 x M16 10.9", a table, or a list of either.
        #[serde(default)]
        pub bolts: Many<Short<Bolts>>,
        /// Welds that hold it: "2 x 120 mm leg 8 mm", a table, or a list of either.
        #[serde(default)]
        pub welds: Many<Short<Welds>>,
    }
}
