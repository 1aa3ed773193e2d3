//! The tables of the rig file, one file for each group.
//!
//! The doc comments here are user documentation: they become the descriptions in the JSON Schema. Each says which
//! number is meant, because the dearest mistakes are numbers with the right name and the wrong meaning.

pub(crate) mod table;

pub mod axle;
pub mod battery;
pub mod bolts;
pub mod chassis;
pub mod consumer;
pub mod frame;
pub mod hold;
pub mod inverter;
pub mod joint;
pub mod leaf;
pub mod lifting;
pub mod limits;
pub mod load;
pub mod mount;
pub mod outside;
pub mod panel;
pub mod rig;
pub mod roof;
pub mod site;
pub mod source;
pub mod state;
pub mod use_case;
pub mod welds;
pub mod words;

pub use axle::{Axle, Tyre, TyreKind};
pub use battery::{Battery, Chemistry, Serves, Stands, VentsTo};
pub use bolts::{Bolts, Faces, Lubrication, Plate, Screws, ShearPlane};
pub use chassis::{Brakes, Chassis, Coupling, CouplingKind, Trailer};
pub use consumer::{Bus, Colour, Heat, Insulation, Load, LoadKind, When, WindowKind};
pub use frame::{Corners, Cut, Face, Frame, FrameFound, FrameHole, FrameNotch, MadeBy, Repair, Thinned, TwistTest};
pub use hold::{Fixing, Recovery, Strap, StrapKind, Tie, TieKind};
pub use inverter::{Converter, ConverterKind, Inverter, Portable, Waveform};
pub use joint::{Bracket, CrossMember, Ends, Grain, Member, Packer, Retained};
pub use leaf::{Coord, Day, Drift, Facing, FacingWord, Fill, Many, Occupant, OneLine, Short, Until, Word};
pub use lifting::{Corner, Levelling, LiftMethod, Lifting};
pub use limits::{Accept, LimitOverride};
pub use load::{Body, CarriedBy, Hardness, Holds, Joist, LowPoint, Mass, PlacedIn, Seat, Tank, TankShape, WallSide};
pub use mount::{
    Cheeks, Contact, Direction, Guide, Metals, Mount, MountKind, Separator, Smaller, SpringPiece, Stiffness, WetZone,
};
pub use outside::{Awning, Between, Bond, Clearance, EdgeZone, RoofItem};
pub use panel::{Controller, ControllerKind, Glazing, Mounted, Nominal, Panel, PanelKind};
pub use rig::{Rig, RoadUse, Trade, Units};
pub use roof::{Hatch, HatchKind, Locker, Roof, Walkway};
pub use site::{GroundCover, Horizon, Month, PowerWishes, Setting, Site, Skyline, Then};
pub use source::{Alternator, Charger, ChargerKind, Fuel, Generator, Inlet, InletSource};
pub use state::{Person, Side, State, StateKind, Weighing};
pub use use_case::{Bend, Envelope, Ground, Passage, PassageKind};
pub use welds::{Along, On, Run, WeldQuality, Welds};
pub use words::{YesNo, told};
