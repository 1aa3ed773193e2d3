//! How the body is held to the chassis: mounts, what they are made of, and what metals meet there.

use quantity::{Stated, dim};

use super::leaf::short::word;
use super::table::table;
use super::words::words;
use super::{Bolts, Bracket, Coord, Many, Member, OneLine, Packer, PlacedIn, Short, Side, Welds};
use crate::free::Free;

words! {
    /// What kind of mount it is: which ways it holds follows from it, where `holds` does not say.
    pub enum MountKind {
        /// Bolted or welded: holds every way.
        Fixed = "fixed",
        /// Captive: cheeks over the rail that hold sideways, and bear down.
        Guide = "guide",
        /// Holds down, up and sideways, and slides along the truck: slotted holes.
        Slide = "slide",
        /// A pin or a rubber bush: holds every way and turns.
        Pivot = "pivot",
        /// A bolt with a coil or disc spring: holds up and down, and gives.
        Spring = "spring",
        /// A strap or a chain: holds against lifting alone.
        Strap = "strap",
        /// A U-bolt or a clamp: presses down; along and sideways nothing but friction.
        Clamp = "clamp",
    }
}

words! {
    /// A way in which something can be held or can move.
    pub enum Direction {
        /// Against sliding forward, as in braking.
        Forward = "forward",
        /// Against sliding rearward, as in starting and climbing.
        Rearward = "rearward",
        /// Against sliding to the left.
        Left = "left",
        /// Against sliding to the right.
        Right = "right",
        /// Against lifting.
        Up = "up",
        /// Against sinking: it bears.
        Down = "down",
    }
}

table! {
    named "a [[mount]] table"
    /// One place at which the body is held to the chassis. The pieces in its load path follow; what is left out is asked for.
    pub struct Mount {
        /// A name of its own among mounts, such as "front left".
        pub name: String,
        /// Where it takes the body's load: [x, y, z], such as ["0.4 m", "-0.4 m", "1.02 m"]. Tape from the front axle's centre.
        pub at: Option<[Coord; 3]>,
        /// "body": `at` is counted from inside the body.
        #[serde(rename = "in")]
        pub in_: Option<PlacedIn>,
        /// "fixed", "guide" (cheeks over the rail), "slide", "pivot", "spring", "strap" or "clamp" (U-bolt).
        pub kind: Option<MountKind>,
        /// The ways it holds the body: "forward", "rearward", "left", "right", "up", "down". Left out: by its kind. A slot holds nothing along itself.
        pub holds: Option<Vec<Direction>>,
        /// Stiffness, where it is known: { x, y, z }. Left out: usual for its kind, within a factor of two.
        pub stiffness: Option<Stiffness>,
        /// "left" or "right": the rail it stands on.
        pub rail: Option<Side>,
        /// The angle or plate between body and rail: a section such as "L 80x8", or a table.
        pub bracket: Option<Short<Bracket>>,
        /// Bolts in its load path: "4 x M12 8.8", a table, or a list of either from the body down to the rail.
        #[serde(default)]
        pub bolts: Many<Short<Bolts>>,
        /// Welds in its load path: "2 x 80 mm leg 6 mm", a table, or a list of either.
        #[serde(default)]
        pub welds: Many<Short<Welds>>,
        /// The cross member it stands on: the name of one told in its own table, or a table.
        pub member: Option<Short<Member>>,
        /// The block it stands on: "oak 100x70x50 mm", or a table.
        pub packer: Option<Short<Packer>>,
        /// Gaps beside the rail, for kind = "guide".
        pub guide: Option<Guide>,
        /// The spring, for kind = "spring".
        pub spring: Option<SpringPiece>,
        /// What metals touch here: "aluminium on steel", or a table.
        pub metals: Option<Short<Metals>>,
    }
}

table! {
    "a stiffness table"
    /// How little a mount gives: force over travel in each direction.
    pub struct Stiffness {
        /// Along the truck, such as "20 kN/mm".
        pub x: Option<Stated<dim::SpringRate>>,
        /// Across the truck, such as "20 kN/mm".
        pub y: Option<Stated<dim::SpringRate>>,
        /// Up and down, such as "60 kN/mm".
        pub z: Option<Stated<dim::SpringRate>>,
    }
}

words! {
    /// On which side of the rails a guide's cheeks hang.
    pub enum Cheeks {
        /// Outside of both rails.
        Outside = "outside",
        /// Between the rails.
        Inside = "inside",
    }
}

table! {
    "a guide table"
    /// Play between a captive channel's cheeks and the rails. Feeler gauge or drill shanks, at this place.
    pub struct Guide {
        /// Gap beside the left rail, such as "3 mm".
        pub gap_left: Option<Stated<dim::Length>>,
        /// Gap beside the right rail, such as "9 mm".
        pub gap_right: Option<Stated<dim::Length>>,
        /// How far the cheeks reach down over the rail, such as "45 mm".
        pub overlap: Option<Stated<dim::Length>>,
        /// "outside" or "inside" of the rails. Left out: outside.
        pub cheeks: Option<Cheeks>,
        /// true if the cheeks are lined with rubber.
        pub lined: Option<bool>,
    }
}

table! {
    "a spring table"
    /// The spring of a mount that lets the frame twist.
    pub struct SpringPiece {
        /// Force over travel of the spring, such as "80 N/mm".
        pub rate: Option<Stated<dim::SpringRate>>,
        /// Force it was tightened to, such as "4 kN".
        pub preload: Option<Stated<dim::Force>>,
        /// Travel left before its coils touch, such as "60 mm".
        pub stroke: Option<Stated<dim::Length>>,
        /// Length of bolt that is free to travel, such as "80 mm".
        pub bolt_length: Option<Stated<dim::Length>>,
    }
}

words! {
    /// How wet two metals get.
    pub enum WetZone {
        /// Dry inside, heated.
        Dry = "dry",
        /// Inside, with condensation.
        Indoors = "indoors",
        /// Outside.
        Outdoors = "outdoors",
        /// Outside with road salt or sea air.
        Salt = "salt",
    }
}

words! {
    /// What keeps two metals apart.
    pub enum Separator {
        /// Nothing: bare metal on bare metal.
        Nothing = "nothing",
        /// Paint on both.
        Paint = "paint",
        /// Tape, or a film.
        Tape = "tape",
        /// A rubber or plastic pad.
        Pad = "pad",
        /// A plastic bush and washers round the bolt.
        Bush = "bush",
        /// Sealant all through the joint.
        Sealant = "sealant",
        /// Not known yet.
        Unknown = "?",
    }
}

words! {
    /// Which of two.
    pub enum Smaller {
        /// The first: `metal`.
        Metal = "metal",
        /// The second: `on`.
        On = "on",
    }
}

table! {
    "a metals table"
    /// Two metals that touch, and what keeps them from eating each other.
    #[derive(Default)]
    pub struct Metals {
        /// One metal, such as "aluminium", "steel", "stainless" or "zinc".
        pub metal: Option<String>,
        /// Its coating, such as "bare", "painted", "galvanised" or "anodised".
        pub coating: Option<String>,
        /// The other metal, such as "steel".
        pub on: Option<String>,
        /// The other's coating.
        pub on_coating: Option<String>,
        /// "dry", "indoors", "outdoors" or "salt". Left out: outdoors.
        pub zone: Option<WetZone>,
        /// "nothing", "paint", "tape", "pad", "bush" or "sealant": what keeps them apart.
        pub separated_by: Option<Separator>,
        /// "metal" or "on": the one with far the smaller wet face, such as a bolt in a plate.
        pub smaller: Option<Smaller>,
    }
}

impl OneLine for Metals {
    const EXPECTED: &'static str = "two metals, such as \"aluminium on steel\"";
    const EXAMPLES: &'static [&'static str] = &["aluminium on steel"];
    const KEYS: &'static [&'static str] = Self::FIELDS;

    fn from_line(line: &str) -> Option<Self> {
        let (metal, on) = line.split_once(" on ")?;
        Some(Self { metal: Some(metal.trim().to_owned()), on: Some(on.trim().to_owned()), ..Self::default() })
    }

    fn told(&self) -> Vec<(&'static str, Option<Free>)> {
        vec![("metal", word(&self.metal)), ("on", word(&self.on))]
    }
}

table! {
    named "a [[contact]] table"
    /// A place, other than a mount, where two metals touch.
    pub struct Contact {
        /// A name of its own among contacts, such as "roof rail screws".
        pub name: String,
        /// The metals: "stainless on aluminium", or a table.
        pub metals: Option<Short<Metals>>,
    }
}
