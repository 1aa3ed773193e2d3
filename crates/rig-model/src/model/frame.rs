//! The ladder frame: its rails, holes and cuts, what a used one was found like, and how it twists.

use quantity::{Stated, dim};

use super::table::table;
use super::words::words;
use super::{Side, YesNo};

table! {
    "a [chassis.frame] table"
    /// The ladder frame the body stands on.
    pub struct Frame {
        /// Section of one rail, such as "C 220x80x7" (height x flange x thickness in millimetres).
        pub rail: Option<String>,
        /// Distance between the outer faces of the two rails.
        pub spacing: Option<Stated<dim::Length>>,
        /// Steel of the rails, such as "S355".
        pub steel: Option<String>,
        /// "yes", "no" or "?": whether the rails are heat-treated. A sticker or the maker's table says; such a rail takes no weld and no flame.
        pub heat_treated: Option<YesNo>,
        /// Yield strength of the rails by the maker's table, such as "355 MPa".
        pub yield_strength: Option<Stated<dim::Pressure>>,
        /// Height of the rails' upper edge above the ground, at the rear axle, unladen.
        pub top: Option<Stated<dim::Length>>,
        /// x of the rear end of the rails.
        pub rear_end: Option<Stated<dim::Length>>,
        /// Holes in the rails: [[chassis.frame.hole]].
        #[serde(default)]
        pub hole: Vec<FrameHole>,
        /// Cuts into the rails: [[chassis.frame.notch]].
        #[serde(default)]
        pub notch: Vec<FrameNotch>,
        /// What came of lifting one wheel.
        pub twist_test: Option<TwistTest>,
        /// What a used frame was found like.
        pub found: Option<FrameFound>,
    }
}

words! {
    /// A face of a rail.
    pub enum Face {
        /// The upper flange.
        Top = "top",
        /// The lower flange.
        Bottom = "bottom",
        /// The upright part.
        Web = "web",
    }
}

words! {
    /// Who made a hole or a cut.
    pub enum MadeBy {
        /// It was there when the chassis left the works.
        Factory = "factory",
        /// Somebody made it since.
        Owner = "owner",
        /// Not known.
        Unknown = "?",
    }
}

words! {
    /// How a hole or a cut was made.
    pub enum Cut {
        /// Drilled, or sawn and filed round.
        Drilled = "drilled",
        /// With a torch.
        Flame = "flame",
        /// Sawn with square inner corners.
        Square = "square",
    }
}

table! {
    "a [[chassis.frame.hole]] table"
    /// A hole in a rail.
    pub struct FrameHole {
        /// Its centre behind the front axle's centre, such as "2.4 m".
        pub x: Option<Stated<dim::Length>>,
        /// "left" or "right". Left out: in both rails.
        pub rail: Option<Side>,
        /// "web", "top" or "bottom": the face it is in.
        pub face: Option<Face>,
        /// Diameter, such as "14 mm"; of a slot its longer side.
        pub size: Option<Stated<dim::Length>>,
        /// Height of its centre above the rail's lower edge, in the web, such as "110 mm".
        pub height: Option<Stated<dim::Length>>,
        /// "factory" (not judged), "owner" or "?".
        pub made_by: Option<MadeBy>,
        /// "drilled", "flame" or "square". Left out: drilled.
        pub cut: Option<Cut>,
    }
}

table! {
    "a [[chassis.frame.notch]] table"
    /// A cut into a rail from above or below.
    pub struct FrameNotch {
        /// Its middle behind the front axle's centre, such as "2.4 m".
        pub x: Option<Stated<dim::Length>>,
        /// "left" or "right". Left out: in both rails.
        pub rail: Option<Side>,
        /// "top" or "bottom": the face it starts from.
        pub face: Option<Face>,
        /// How deep it goes, across the whole flange, such as "8 mm".
        pub depth: Option<Stated<dim::Length>>,
        /// Its length along the rail, such as "60 mm".
        pub length: Option<Stated<dim::Length>>,
        /// "factory" (not judged), "owner" or "?".
        pub made_by: Option<MadeBy>,
        /// "drilled", "flame" or "square". Left out: square.
        pub cut: Option<Cut>,
    }
}

table! {
    "a corners table"
    /// Heights at four corners, all from one datum such as a water hose, upward.
    pub struct Corners {
        /// Front left, such as "12 mm".
        pub front_left: Option<Stated<dim::Length>>,
        /// Front right.
        pub front_right: Option<Stated<dim::Length>>,
        /// Rear left.
        pub rear_left: Option<Stated<dim::Length>>,
        /// Rear right.
        pub rear_right: Option<Stated<dim::Length>>,
    }
}

table! {
    "a [chassis.frame.twist_test] table"
    /// One wheel on a block, wheels chocked, nobody under the truck: how much of it the frame takes at the mounts.
    pub struct TwistTest {
        /// How far the wheel was lifted, such as "0.2 m".
        pub lifted_wheel_by: Option<Stated<dim::Length>>,
        /// Name of the axle whose wheel was lifted.
        pub axle: Option<String>,
        /// "left" or "right": the wheel that was lifted.
        pub side: Option<Side>,
        /// Heights of the frame at the four outermost mounts before.
        pub before: Option<Corners>,
        /// The same with the wheel on the block.
        pub lifted: Option<Corners>,
    }
}

table! {
    "a [chassis.frame.found] table"
    /// What a used frame was found like.
    pub struct FrameFound {
        /// Both diagonals between the same four holes, such as ["4.212 m", "4.208 m"].
        pub diagonals: Option<[Stated<dim::Length>; 2]>,
        /// Places that rust has thinned.
        #[serde(default)]
        pub thinned: Vec<Thinned>,
        /// Places that were welded, plated or straightened.
        #[serde(default)]
        pub repair: Vec<Repair>,
    }
}

table! {
    "a thinned table"
    /// A place that rust has thinned.
    pub struct Thinned {
        /// Behind the front axle's centre, such as "3.1 m".
        pub x: Option<Stated<dim::Length>>,
        /// "left" or "right".
        pub rail: Option<Side>,
        /// "web", "top" or "bottom".
        pub face: Option<Face>,
        /// Thickness left, such as "5.2 mm". Calliper through a hole, or an ultrasonic gauge.
        pub thickness: Option<Stated<dim::Length>>,
    }
}

table! {
    "a repair table"
    /// A place that was repaired.
    pub struct Repair {
        /// Behind the front axle's centre, such as "3.1 m".
        pub x: Option<Stated<dim::Length>>,
        /// "left" or "right".
        pub rail: Option<Side>,
        /// What was done, in a few words.
        pub what: Option<String>,
    }
}
