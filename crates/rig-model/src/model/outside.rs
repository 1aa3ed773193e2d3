//! What the wind pulls at, and what must not touch.

use quantity::{Stated, dim};

use super::table::table;
use super::words::words;
use super::{Bolts, Coord, Many, PlacedIn, Screws, Short};

words! {
    /// Where on the roof something stands.
    pub enum EdgeZone {
        /// Near a front corner.
        Corner = "corner",
        /// Near an edge.
        Edge = "edge",
        /// In the middle.
        Middle = "middle",
    }
}

table! {
    "a bond table"
    /// A strip of sealant or adhesive that holds.
    #[derive(Default)]
    pub struct Bond {
        /// Length of the strips, all together, such as "2 m".
        pub length: Option<Stated<dim::Length>>,
        /// Width of a strip, such as "30 mm".
        pub width: Option<Stated<dim::Length>>,
        /// true if the skin was cleaned and primed as the tin says.
        pub primed: Option<bool>,
    }
}

table! {
    named "a [[roof_item]] table"
    /// Something on the roof or a wall that the wind pulls at: a panel, a box, a fan, a rack.
    pub struct RoofItem {
        /// A name of its own among all things, such as "panel 1".
        pub name: String,
        /// Mass of one piece. Leave it out where `of` names a thing that says it.
        pub mass: Option<Stated<dim::Mass>>,
        /// Its centre: [x, y, z].
        pub at: Option<[Coord; 3]>,
        /// Outer size: [length along the truck, width, height].
        pub size: Option<[Stated<dim::Length>; 3]>,
        /// "body": `at` is counted from inside the body.
        #[serde(rename = "in")]
        pub in_: Option<PlacedIn>,
        /// Name of a thing in another table that this entry adds to.
        pub of: Option<String>,
        /// Number of such pieces, 1 if left out; everything here is said of one.
        #[schemars(range(min = 1))]
        pub count: Option<u32>,
        /// Area seen from above, such as "1.7 m2". Left out: from its size.
        pub area: Option<Stated<dim::Area>>,
        /// Area seen from the front, such as "0.1 m2". Left out: from its size.
        pub front_area: Option<Stated<dim::Area>>,
        /// How high its upper edge stands over the roof, such as "60 mm".
        pub over_roof: Option<Stated<dim::Length>>,
        /// Air gap between roof and its lower face, such as "30 mm"; "0 mm" if none.
        pub gap: Option<Stated<dim::Length>>,
        /// Number of feet or brackets.
        #[schemars(range(min = 1))]
        pub feet: Option<u32>,
        /// Screws that hold it, in all feet: "16 x 6 mm into spruce", a table, or a list of either.
        #[serde(default)]
        pub screws: Many<Short<Screws>>,
        /// Bolts through the roof that hold it: "8 x M8 8.8", a table, or a list of either.
        #[serde(default)]
        pub bolts: Many<Short<Bolts>>,
        /// A strip of sealant or adhesive that holds it.
        pub bond: Option<Bond>,
        /// Mechanical stops that hold it if the strip lets go.
        pub stops: Option<u32>,
        /// "corner", "edge" or "middle" of the roof. Left out: from its place, else a front corner.
        pub zone: Option<EdgeZone>,
        /// true if a fairing ahead of it keeps the wind from getting under.
        pub fairing: Option<bool>,
    }
}

table! {
    named "an [[awning]] table"
    /// An awning on the body's wall or roof. Wound out it is judged by its wind class, wound in as a thing on the road.
    pub struct Awning {
        /// A name of its own among all things, such as "right awning".
        pub name: String,
        /// Mass, such as "38 kg". Leave it out where `of` names a thing that says it.
        pub mass: Option<Stated<dim::Mass>>,
        /// Its centre, wound in: [x, y, z].
        pub at: Option<[Coord; 3]>,
        /// Outer size, wound in: [length along the truck, width, height].
        pub size: Option<[Stated<dim::Length>; 3]>,
        /// "body": `at` is counted from inside the body.
        #[serde(rename = "in")]
        pub in_: Option<PlacedIn>,
        /// Name of a thing in another table that this entry adds to.
        pub of: Option<String>,
        /// Where its centre of gravity is, wound out: [x, y, z], counted as `at` is.
        pub out_at: Option<[Coord; 3]>,
        /// Wind class by its papers, 0 to 3. None stated means 0.
        #[schemars(transform = crate::schema::wind_class)]
        pub wind_class: Option<u8>,
        /// Length of the cloth along the wall, such as "3.5 m".
        pub width: Option<Stated<dim::Length>>,
        /// How far the cloth reaches from the wall, such as "2.5 m".
        pub reach: Option<Stated<dim::Length>>,
        /// Number of brackets on the wall.
        #[schemars(range(min = 1))]
        pub brackets: Option<u32>,
        /// Height of a bracket between its upper fastener and its lower edge, such as "100 mm".
        pub bracket_height: Option<Stated<dim::Length>>,
        /// Screws that hold it, in all brackets.
        #[serde(default)]
        pub screws: Many<Short<Screws>>,
        /// Bolts through the wall that hold it, in all brackets.
        #[serde(default)]
        pub bolts: Many<Short<Bolts>>,
    }
}

words! {
    /// What must not touch what.
    pub enum Between {
        /// A tyre's top and the body, or a mudguard.
        TyreBody = "tyre-body",
        /// The back of a fixed cab and the body.
        CabBody = "cab-body",
        /// A cab that tilts, along its arc, and the body.
        TiltingCabBody = "tilting-cab-body",
        /// Exhaust or silencer, and wood, plastic or foam.
        ExhaustWood = "exhaust-wood",
        /// Exhaust or silencer, and a gas or fuel line.
        ExhaustLine = "exhaust-line",
        /// Propeller shaft and body.
        ShaftBody = "shaft-body",
        /// A brake hose or a ride-height rod, and body.
        HoseBody = "hose-body",
        /// Fuel tank or its filler, and body.
        FuelTankBody = "fuel-tank-body",
        /// The body's spring-mounted end, and cab or rail.
        SpringEnd = "spring-end",
    }
}

table! {
    named "a [[clearance]] table"
    /// A gap that must stay a gap.
    pub struct Clearance {
        /// A name of its own among clearances, such as "rear left tyre".
        pub name: String,
        /// What must not touch what: "tyre-body", "cab-body", "tilting-cab-body", "exhaust-wood", "exhaust-line", "shaft-body", "hose-body", "fuel-tank-body" or "spring-end".
        pub between: Option<Between>,
        /// The gap now, laden and standing level, such as "140 mm".
        pub gap: Option<Stated<dim::Length>>,
        /// How far the axle still rises to its bump stop, such as "90 mm"; for a tilting cab how far its arc comes nearer.
        pub bump_travel: Option<Stated<dim::Length>>,
        /// Thickness of the snow chains that may be on, such as "18 mm". Leave it out if none ever are.
        pub chains: Option<Stated<dim::Length>>,
        /// Name of the axle, for a tyre.
        pub axle: Option<String>,
        /// true if a steered wheel was turned to full lock both ways without touching.
        pub full_lock_clear: Option<bool>,
        /// true if an air intake or an exhaust stack stands between cab and body.
        pub stack: Option<bool>,
        /// true if a heat shield with air behind it stands in between.
        pub shield: Option<bool>,
    }
}
