//! The roof as a place for panels, and lockers that appliances are shut into.

use quantity::{Quantity, Stated, dim};

use super::Many;
use super::table::table;
use super::words::words;

words! {
    /// Where on the roof one walks.
    pub enum Walkway {
        /// Along the left edge.
        Left = "left",
        /// Along the right edge.
        Right = "right",
        /// Along the middle.
        Centre = "centre",
        /// Nowhere: nobody walks there.
        None = "none",
    }
}

words! {
    /// What takes room on a roof.
    pub enum HatchKind {
        /// A roof hatch.
        Hatch = "hatch",
        /// A vent or a fan.
        Vent = "vent",
        /// An air conditioner.
        Unit = "unit",
        /// A rail.
        Rail = "rail",
        /// A box.
        Box = "box",
    }
}

table! {
    named "a [[roof.hatch]] table"
    /// Something on the roof that no panel can cover, and that may throw a shadow.
    pub struct Hatch {
        /// A name of its own among what is on the roof, such as "roof fan".
        pub name: String,
        /// Its middle: [behind the roof's front edge, to the right of the centreline].
        pub at: Option<[Stated<dim::Length>; 2]>,
        /// [length along the truck, width].
        pub size: Option<[Stated<dim::Length>; 2]>,
        /// How high it stands over the roof, such as "150 mm".
        pub height: Option<Stated<dim::Length>>,
        /// "hatch", "vent", "unit" (an air conditioner), "rail" or "box".
        pub kind: Option<HatchKind>,
    }
}

table! {
    "a [roof] table"
    /// The roof's upper face, as room for panels.
    pub struct Roof {
        /// Its length along the truck. Left out: the body's, walls included.
        pub length: Option<Stated<dim::Length>>,
        /// Its width. Left out: the body's, walls included.
        pub width: Option<Stated<dim::Length>>,
        /// Clear strip wanted along its edges, such as "40 mm".
        pub edge: Option<Quantity<dim::Length>>,
        /// Clear gap wanted between panels, such as "15 mm".
        pub gap: Option<Quantity<dim::Length>>,
        /// Width to walk on that is to stay free, such as "0.4 m".
        pub walkway: Option<Quantity<dim::Length>>,
        /// "left", "right", "centre" or "none": where one walks.
        pub walkway_side: Option<Walkway>,
        /// What no panel can cover.
        #[serde(default)]
        pub hatch: Vec<Hatch>,
    }
}

table! {
    named "a [[locker]] table"
    /// A locker or box that appliances are shut into.
    pub struct Locker {
        /// A name of its own among lockers, such as "bench, left".
        pub name: String,
        /// Names of what stands in it.
        #[serde(default)]
        pub holds: Many<String>,
        /// Area of its walls, all together, such as "1.2 m2".
        pub area: Option<Stated<dim::Area>>,
        /// Heat through its walls for each square metre and degree, such as "3 W/m2K". Left out: usual for thin boards.
        pub u: Option<Stated<dim::HeatTransfer>>,
        /// Open area of its lower vent, such as "50 cm2".
        pub vent_low: Option<Stated<dim::Area>>,
        /// Open area of its upper vent, such as "50 cm2".
        pub vent_high: Option<Stated<dim::Area>>,
        /// Height between the two vents, such as "0.4 m".
        pub vent_height: Option<Stated<dim::Length>>,
        /// Warmest that the room around it gets, such as "35 °C".
        pub room: Option<Stated<dim::Temperature>>,
    }
}
