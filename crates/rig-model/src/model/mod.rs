//! The tables of the rig file, one file for each group.
//!
//! The doc comments here are user documentation: they become the descriptions in the JSON Schema. Each says which
//! number is meant, because the dearest mistakes are numbers with the right name and the wrong meaning.

pub(crate) mod table;

pub mod axle;
pub mod chassis;
pub mod leaf;
pub mod limits;
pub mod load;
pub mod rig;
pub mod state;
pub mod use_case;

pub use axle::{Axle, Tyre, TyreKind};
pub use chassis::{Brakes, Chassis, Coupling, CouplingKind, Frame, Trailer};
pub use leaf::{Coord, Day, Fill, Occupant, Until, Word};
pub use limits::{Accept, LimitOverride};
pub use load::{Body, Holds, LowPoint, Mass, PlacedIn, Seat, Tank, TankShape};
pub use rig::{Rig, RoadUse, Trade, Units};
pub use state::{Person, Side, State, StateKind, Weighing};
pub use use_case::{Bend, Envelope, Ground, Passage, PassageKind};
