//! Setting the body on: level, and the lift.

use quantity::{Quantity, Stated, dim};

use super::table::table;
use super::words::words;
use super::{Coord, Corners, PlacedIn};

words! {
    /// A corner of the body, seen by the driver.
    pub enum Corner {
        /// Front left.
        FrontLeft = "front left",
        /// Front right.
        FrontRight = "front right",
        /// Rear left.
        RearLeft = "rear left",
        /// Rear right.
        RearRight = "rear right",
    }
}

table! {
    "a [levelling] table"
    /// Making the body level on its frame.
    pub struct Levelling {
        /// Heights of the frame at the four corners the body stands on: { front_left = "12 mm", ... }. Water hose, all from one datum, truck on level ground.
        pub corners: Option<Corners>,
        /// x of the front corners behind the front axle's centre. Left out: the foremost mounts.
        pub front: Option<Stated<dim::Length>>,
        /// x of the rear corners. Left out: the rearmost mounts.
        pub rear: Option<Stated<dim::Length>>,
        /// Distance between left and right corners. Left out: that of the outermost mounts.
        pub width: Option<Stated<dim::Length>>,
        /// Name of the state the heights were read in. A frame reads differently empty.
        pub state: Option<String>,
        /// Slope along the truck that is wanted, nose up positive, such as "0.5 deg". Left out: level.
        pub pitch: Option<Quantity<dim::Angle>>,
        /// Slope across the truck that is wanted, right side down positive. Left out: level.
        pub roll: Option<Quantity<dim::Angle>>,
        /// Corners where packers can go: "front left", "front right", "rear left", "rear right". Left out: all four.
        pub packers: Option<Vec<Corner>>,
        /// true if the body's own cross channel may be cut to come lower. Never the rail.
        pub notch_allowed: Option<bool>,
    }
}

words! {
    /// How the body is set on or taken off.
    pub enum LiftMethod {
        /// A forklift.
        Forks = "forks",
        /// A crane with slings.
        Crane = "crane",
        /// Legs of its own.
        Legs = "legs",
        /// Jacks and stands.
        Stands = "stands",
    }
}

table! {
    "a [lifting] table"
    /// How the body is set on or taken off. Nobody under a body that hangs or stands on a jack alone.
    pub struct Lifting {
        /// "forks", "crane", "legs" or "stands".
        pub method: Option<LiftMethod>,
        /// Name of the state the body is lifted in: tanks and cupboards as they are then.
        pub state: Option<String>,
        /// Distance between the forks' outer edges, such as "1.1 m".
        pub fork_spread: Option<Stated<dim::Length>>,
        /// How far the forks go in under the body, such as "1.2 m".
        pub fork_insertion: Option<Stated<dim::Length>>,
        /// Distance from the forks' upright face to the body's centre of gravity, such as "1.1 m". Left out: half the body's width.
        pub load_distance: Option<Stated<dim::Length>>,
        /// Rated load on the lift truck's plate, such as "4000 kg", with the attachment that is on it.
        pub truck_rated: Option<Stated<dim::Mass>>,
        /// Load centre on that plate, from the forks' upright face, such as "500 mm".
        pub load_centre: Option<Stated<dim::Length>>,
        /// Distance from the lift truck's front axle to the forks' upright face, such as "0.45 m".
        pub face_to_axle: Option<Stated<dim::Length>>,
        /// Angle of the slings to the horizontal, such as "60 deg".
        pub sling_angle: Option<Stated<dim::Angle>>,
        /// Working load of one sling in a straight pull, as a mass, such as "2000 kg".
        pub sling_rated: Option<Stated<dim::Mass>>,
        /// Where the slings take hold: [[x, y, z], ...].
        #[serde(default)]
        pub sling_points: Vec<[Coord; 3]>,
        /// Where the legs or stands bear: [[x, y, z], ...].
        #[serde(default)]
        pub legs: Vec<[Coord; 3]>,
        /// Highest load on one leg or stand by its plate, as a mass, such as "1500 kg".
        pub leg_rated: Option<Stated<dim::Mass>>,
        /// "body": those places are counted from inside the body.
        #[serde(rename = "in")]
        pub in_: Option<PlacedIn>,
    }
}
