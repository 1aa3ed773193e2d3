//! The whole file, and the words at its top.

use std::collections::BTreeMap;

use quantity::{Quantity, System, dim};

use super::table::table;
use super::{
    Accept, Alternator, Awning, Axle, Battery, Body, Charger, Chassis, Clearance, Contact, Controller, Converter, Coupling,
    CrossMember, Envelope, Fixing, Generator, Ground, Inlet, Inverter, Levelling, Lifting, LimitOverride, Load, Locker, LowPoint,
    Mass, Mount, Panel, Passage, Person, Portable, PowerWishes, Recovery, Roof, RoofItem, Seat, Site, State, Strap, Tank, Tie,
    Trailer, Weighing,
};
use crate::free::Free;

/// The one format this program reads.
pub const FORMAT: &str = "rigproof-rig/1";

table! {
    "a rig file"
    /// A home-built rig: a truck chassis with a camper body, described once.
    ///
    /// Lengths along the vehicle (x) count rearward from the front axle's centre, sideways (y) to the vehicle's right
    /// from its centreline, upward (z) from the ground it stands on.
    pub struct Rig {
        /// The format of this file: "rigproof-rig/1".
        pub format: String,
        /// What the owner calls the rig, such as "Alpine herbarium truck". It heads every report.
        pub rig: String,
        /// Free text for the owner; nothing is computed from it.
        pub note: Option<String>,
        /// Names of the limit sets that apply, such as ["us-federal", "good-practice"].
        #[serde(default)]
        pub codes: Vec<String>,
        /// Units of the report: "metric" or "us". The file itself may use any unit anywhere.
        pub units: Option<Units>,
        /// The roughest going the rig is meant for: "road", "gravel", "tracks" or "rock".
        #[serde(rename = "use")]
        pub use_: Option<RoadUse>,
        /// The highest speed the rig is driven at, such as "90 km/h". Tyres and what stands on the roof are judged by it.
        pub top_speed: Option<Quantity<dim::Speed>>,
        /// The strongest head wind it is driven in, such as "10 m/s". What stands on the roof is judged by both together.
        pub head_wind: Option<Quantity<dim::Speed>>,
        /// Trades the rig really is without, such as ["gas", "trailer"]. What is merely not told yet does not belong here.
        #[serde(default)]
        pub without: Vec<Trade>,
        /// The truck as it was before anything was built on it.
        pub chassis: Option<Chassis>,
        /// The truck's axles, each with its wheels and tyres. The front axle's centre is x = 0.
        #[serde(default)]
        pub axle: Vec<Axle>,
        /// Things that weigh something and have no table of their own.
        #[serde(default)]
        pub mass: Vec<Mass>,
        /// Tanks for water, waste and fuel.
        #[serde(default)]
        pub tank: Vec<Tank>,
        /// Places to sit.
        #[serde(default)]
        pub seat: Vec<Seat>,
        /// People who travel along.
        #[serde(default)]
        pub person: Vec<Person>,
        /// The camper body: where it stands on the chassis and how large it is inside.
        pub body: Option<Body>,
        /// Loadings of the rig: what is full, who sits where, what is at home, what is folded out.
        #[serde(default)]
        pub state: Vec<State>,
        /// Readings of a weighbridge or of wheel scales.
        #[serde(default)]
        pub weighing: Vec<Weighing>,
        /// The hitch at the rear of the truck.
        pub coupling: Option<Coupling>,
        /// The trailer towed.
        pub trailer: Option<Trailer>,
        /// Overall height, width and length, measured with a tape.
        pub envelope: Option<Envelope>,
        /// Gates, ferries, garages, bridges and roads the rig must fit.
        #[serde(default)]
        pub passage: Vec<Passage>,
        /// Slopes, angles and bends the owner wants to manage.
        pub ground: Option<Ground>,
        /// Corners that could touch the ground.
        #[serde(default)]
        pub low_point: Vec<LowPoint>,
        /// Places at which the body is held to the chassis.
        #[serde(default)]
        pub mount: Vec<Mount>,
        /// Beams across the frame that carry mounts.
        #[serde(default)]
        pub cross_member: Vec<CrossMember>,
        /// Making the body level on its frame.
        pub levelling: Option<Levelling>,
        /// Straps over or from the body.
        #[serde(default)]
        pub strap: Vec<Strap>,
        /// How the body is set on or taken off.
        pub lifting: Option<Lifting>,
        /// What the wind pulls at: panels, boxes, fans, racks.
        #[serde(default)]
        pub roof_item: Vec<RoofItem>,
        /// Awnings.
        #[serde(default)]
        pub awning: Vec<Awning>,
        /// Gaps that must stay gaps.
        #[serde(default)]
        pub clearance: Vec<Clearance>,
        /// Places, other than mounts, where two metals touch.
        #[serde(default)]
        pub contact: Vec<Contact>,
        /// What must be undone before the body comes off.
        #[serde(default)]
        pub tie: Vec<Tie>,
        /// What holds heavy things inside the body.
        #[serde(default)]
        pub fixing: Vec<Fixing>,
        /// Home-made eyes or hooks that the truck is to be pulled by.
        #[serde(default)]
        pub recovery: Vec<Recovery>,
        /// Where and when the rig is lived in.
        pub site: Option<Site>,
        /// What the owner wants of the rig's power.
        pub power: Option<PowerWishes>,
        /// Solar panels.
        #[serde(default)]
        pub panel: Vec<Panel>,
        /// Batteries.
        #[serde(default)]
        pub battery: Vec<Battery>,
        /// Solar charge controllers.
        #[serde(default)]
        pub controller: Vec<Controller>,
        /// Chargers from mains, the alternator or another battery.
        #[serde(default)]
        pub charger: Vec<Charger>,
        /// The truck's alternator.
        pub alternator: Option<Alternator>,
        /// Inverters.
        #[serde(default)]
        pub inverter: Vec<Inverter>,
        /// Converters from 24 V to 12 V, and equalisers.
        #[serde(default)]
        pub converter: Vec<Converter>,
        /// Portable units: battery, charger and inverter in one case.
        #[serde(default)]
        pub portable: Vec<Portable>,
        /// What takes power.
        #[serde(default)]
        pub load: Vec<Load>,
        /// Where mains voltage comes in.
        #[serde(default)]
        pub inlet: Vec<Inlet>,
        /// Generators of mains voltage.
        #[serde(default)]
        pub generator: Vec<Generator>,
        /// The roof's upper face, as room for panels.
        pub roof: Option<Roof>,
        /// Lockers that appliances are shut into.
        #[serde(default)]
        pub locker: Vec<Locker>,
        /// Findings the owner accepts as they are.
        #[serde(default)]
        pub accept: Vec<Accept>,
        /// Limits the owner replaces.
        #[serde(default)]
        pub limit: Vec<LimitOverride>,
        /// Folder of the owner's own checks, inside the rig's folder, such as "checks".
        pub scripts: Option<String>,
        /// File of the owner's own generic parts, inside the rig's folder, such as "parts.toml".
        pub parts: Option<String>,
        /// Free-form values for the owner's own checks: [custom.NAME].
        #[serde(default)]
        pub custom: BTreeMap<String, Free>,
    }
}

/// Units of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// Kilograms, metres, bar, litres.
    Metric,
    /// Pounds, feet and inches, psi, gallons.
    Us,
}

impl Units {
    /// The system that `quantity::show` wants.
    pub fn system(self) -> System {
        match self {
            Units::Metric => System::Metric,
            Units::Us => System::Us,
        }
    }
}

/// The roughest going the rig is meant for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RoadUse {
    /// Paved roads.
    Road,
    /// Gravel roads.
    Gravel,
    /// Unmade tracks with ruts and cross slopes.
    Tracks,
    /// Rock and steps, at a walking pace.
    Rock,
}

/// A group of checks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Trade {
    /// Masses, axle loads, tyres, stability.
    Weight,
    /// How the body is held to the chassis.
    Mount,
    /// Batteries, solar panels, chargers and what they feed.
    Power,
    /// Conductors, fuses, lamps and plugs.
    Wiring,
    /// Cylinders, pipes, appliances and vents for gas.
    Gas,
    /// Steps, handholds, roof and ways out.
    Access,
    /// A trailer behind the truck.
    Trailer,
}

impl Trade {
    /// All of them.
    pub const ALL: [Trade; 7] =
        [Trade::Weight, Trade::Mount, Trade::Power, Trade::Wiring, Trade::Gas, Trade::Access, Trade::Trailer];

    /// Its word in rig files, and the one that ids of its checks begin with.
    pub const fn word(self) -> &'static str {
        match self {
            Trade::Weight => "weight",
            Trade::Mount => "mount",
            Trade::Power => "power",
            Trade::Wiring => "wiring",
            Trade::Gas => "gas",
            Trade::Access => "access",
            Trade::Trailer => "trailer",
        }
    }
}
