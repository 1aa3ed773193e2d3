//! What weighs something and stands somewhere: masses, tanks, seats, the body, and corners that could touch.

use quantity::{Stated, dim};

use super::table::table;
use super::words::words;
use super::{Along, Coord, Fill, Heat};

/// What a place is counted from, other than the truck itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PlacedIn {
    /// From inside the body: rearward from the front wall, right from the centreline, up from the floor.
    Body,
}

words! {
    /// What carries a thing.
    pub enum CarriedBy {
        /// The body, and with it the mounts.
        Body = "body",
        /// The chassis.
        Chassis = "chassis",
    }
}

table! {
    named "a [[mass]] table"
    /// A thing that weighs something and has no table of its own.
    pub struct Mass {
        /// A name of its own among all things, such as "herbarium presses".
        pub name: String,
        /// Mass of one piece, such as "about 140 kg". "?" means not known yet.
        pub mass: Option<Stated<dim::Mass>>,
        /// A generic part instead of a mass: "sandwich wall 60 mm", "kitchen block"; `rigproof parts WORDS` searches them.
        pub like: Option<String>,
        /// How much of that part, counted by area, such as "34 m2".
        pub area: Option<Stated<dim::Area>>,
        /// How much of that part, counted by length, such as "1.2 m".
        pub length: Option<Stated<dim::Length>>,
        /// How much of that part, counted by volume, such as "60 L".
        pub volume: Option<Stated<dim::Volume>>,
        /// How much of that part, counted by power, such as "400 W" of solar panels.
        pub power: Option<Stated<dim::Power>>,
        /// How much of that part, counted by charge, such as "200 Ah".
        pub charge: Option<Stated<dim::Charge>>,
        /// How much of that part, counted by energy, such as "2.4 kWh".
        pub energy: Option<Stated<dim::Energy>>,
        /// Its centre of gravity: [x, y, z], such as ["2.9 m", "0 m", "1.8 m"]; with in = "body" also words, such as ["0.4 m", "left", "floor"].
        pub at: Option<[Coord; 3]>,
        /// Its outer size: [length along the truck, width, height]. With a size, "left" and "floor" mean that it touches them.
        pub size: Option<[Stated<dim::Length>; 3]>,
        /// "body": `at` is counted from inside the body. Left out: from the front axle's centre and the ground.
        #[serde(rename = "in")]
        pub in_: Option<PlacedIn>,
        /// "body" or "chassis": what carries it, where `in` does not tell: a tank under the floor, a box on the frame. Left out: the body if it is placed in the body.
        pub on: Option<CarriedBy>,
        /// Name of a thing in another table that this entry adds to. What that table says may not be said again.
        pub of: Option<String>,
        /// Where its centre of gravity is when it is folded or slid out: [x, y, z], counted as `at` is.
        pub out_at: Option<[Coord; 3]>,
        /// Number of such pieces at this place, 1 if left out. `mass` is that of one. Of food: persons times weeks.
        #[schemars(range(min = 1))]
        pub count: Option<u32>,
    }
}

table! {
    named "a [[tank]] table"
    /// A tank. What is in it comes from the state; `mass` is its empty shell.
    pub struct Tank {
        /// A name of its own among all things, such as "fresh".
        pub name: String,
        /// What it holds when full to the overflow; not what is in it now.
        pub volume: Option<Stated<dim::Volume>>,
        /// What is in it: "water", "grey", "black", "diesel", "petrol", "urea" or "other".
        pub holds: Option<Holds>,
        /// Density of what is in it, for holds = "other", such as "0.92 kg/L".
        pub density: Option<Stated<dim::Density>>,
        /// Mass of the empty tank with its straps.
        pub mass: Option<Stated<dim::Mass>>,
        /// Centre of the tank's box: [x, y, z].
        pub at: Option<[Coord; 3]>,
        /// Size of the tank's box: [length along the truck, width, height].
        pub size: Option<[Stated<dim::Length>; 3]>,
        /// "body": `at` is counted from inside the body.
        #[serde(rename = "in")]
        pub in_: Option<PlacedIn>,
        /// "body" or "chassis": what carries it, where `in` does not tell: a tank under the floor, a box on the frame. Left out: the body if it is placed in the body.
        pub on: Option<CarriedBy>,
        /// Name of a thing in another table that this entry adds to.
        pub of: Option<String>,
        /// Usual fill, for states that do not say: "100 %", "80 L", "full", "empty", "about 50 %", "?".
        pub fill: Option<Fill>,
        /// Equal cells across the truck's width: 1 means no baffle.
        #[schemars(range(min = 1))]
        pub cells_across: Option<u8>,
        /// "box", "cylinder-along" (the truck), "cylinder-across" or "upright".
        pub shape: Option<TankShape>,
        /// Name of the tank that takes this tank's water once it is used.
        pub to: Option<String>,
    }
}

/// What is in a tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Holds {
    /// Fresh water.
    Water,
    /// Used water from sink and shower.
    Grey,
    /// Waste of the toilet.
    Black,
    /// Diesel fuel.
    Diesel,
    /// Petrol (gasoline).
    Petrol,
    /// Urea solution for the exhaust.
    Urea,
    /// Something else: give `density`.
    Other,
}

/// Shape of a tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TankShape {
    /// Six flat sides.
    Box,
    /// A cylinder lying along the truck.
    CylinderAlong,
    /// A cylinder lying across the truck.
    CylinderAcross,
    /// A cylinder standing upright.
    Upright,
}

table! {
    named "a [[seat]] table"
    /// A place to sit.
    pub struct Seat {
        /// A name of its own among all things, such as "driver seat".
        pub name: String,
        /// Centre of gravity of a person on it: [x, y, z]; about 0.1 m before the backrest, a hand above the cushion.
        pub at: Option<[Coord; 3]>,
        /// Outer size of the seat: [length along the truck, width, height].
        pub size: Option<[Stated<dim::Length>; 3]>,
        /// "body": `at` is counted from inside the body.
        #[serde(rename = "in")]
        pub in_: Option<PlacedIn>,
        /// "body" or "chassis": what carries it, where `in` does not tell: a tank under the floor, a box on the frame. Left out: the body if it is placed in the body.
        pub on: Option<CarriedBy>,
        /// Name of a thing in another table that this entry adds to.
        pub of: Option<String>,
        /// Mass of the seat itself, if it came in after the bare chassis was weighed.
        pub mass: Option<Stated<dim::Mass>>,
        /// true if someone may sit on it while the truck moves.
        pub travel: Option<bool>,
    }
}

table! {
    "a [body] table"
    /// The camper body. Inside sizes: people measure from inside.
    pub struct Body {
        /// x of the front wall's inner face, behind the front axle's centre. Moving the body is this one number.
        pub front: Option<Stated<dim::Length>>,
        /// Height of the floor's upper face above the ground.
        pub floor: Option<Stated<dim::Length>>,
        /// Inside length.
        pub length: Option<Stated<dim::Length>>,
        /// Inside width.
        pub width: Option<Stated<dim::Length>>,
        /// Inside height, floor to ceiling.
        pub height: Option<Stated<dim::Length>>,
        /// Thickness of the walls, such as "60 mm". Some width rules ask for at least 45 mm.
        pub walls: Option<Stated<dim::Length>>,
        /// Mass of the empty shell: walls, floor, roof, doors and windows.
        pub mass: Option<Stated<dim::Mass>>,
        /// A generic wall instead of a mass, such as "sandwich wall 60 mm": the shell is its inside sizes in that wall.
        pub like: Option<String>,
        /// Centre of gravity of the empty shell, counted from inside the body: [x, y, z]. Left out: the middle.
        pub centre: Option<[Coord; 3]>,
        /// What the body is, such as "ex-service shelter" or "sandwich panels".
        pub kind: Option<String>,
        /// "stiff" (a welded or sandwich box that does not twist) or "soft" (boards and posts that do).
        pub twist: Option<Hardness>,
        /// The wall whose door was cut to the floor: "left", "right", "front" or "rear". That side is the weaker one.
        pub door_cut: Option<WallSide>,
        /// Channels or joists under the floor that the body bears on.
        #[serde(default)]
        pub joist: Vec<Joist>,
        /// What heat passes through it.
        pub heat: Option<Heat>,
    }
}

words! {
    /// Whether a body twists with its frame.
    pub enum Hardness {
        /// It does not.
        Stiff = "stiff",
        /// It does.
        Soft = "soft",
    }
}

words! {
    /// A wall of the body, seen by the driver.
    pub enum WallSide {
        /// The left wall.
        Left = "left",
        /// The right wall.
        Right = "right",
        /// The front wall.
        Front = "front",
        /// The rear wall.
        Rear = "rear",
    }
}

table! {
    "a joist table"
    /// A channel or a joist under the body's floor.
    pub struct Joist {
        /// "along" or "across" the truck.
        pub runs: Option<Along>,
        /// Where it lies: distance from the front wall if it runs across, from the centreline to the right if along.
        pub offset: Option<Stated<dim::Length>>,
        /// Section, such as "UPN 100" or "60x40x3 tube".
        pub section: Option<String>,
        /// What it is of, such as "S235", "aluminium" or "spruce".
        pub material: Option<String>,
    }
}

table! {
    named "a [[low_point]] table"
    /// The lowest corner of something that could touch the ground.
    pub struct LowPoint {
        /// A name of its own among all things, such as "step bracket".
        pub name: String,
        /// The corner itself: [x, y, z], z above the ground, laden.
        pub at: Option<[Coord; 3]>,
        /// "body": `at` is counted from inside the body.
        #[serde(rename = "in")]
        pub in_: Option<PlacedIn>,
        /// Name of the thing it belongs to: it is out when that is out.
        pub of: Option<String>,
        /// The corner when that thing is out: [x, y, z].
        pub out_at: Option<[Coord; 3]>,
    }
}
