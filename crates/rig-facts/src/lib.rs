//! What several trades need, derived once from a rig: the mass ledger of each state, its total and centre of gravity,
//! axle and wheel loads, and what the weighbridge taught about them.
//!
//! | module        | holds                                                                     |
//! |---------------|---------------------------------------------------------------------------|
//! | [`facts`]     | [`Facts`]: the door; everything below, derived from one rig                |
//! | [`inputs`]    | [`Inputs`]: every stated value as an independent input with its spread     |
//! | [`tables`]    | tolerances by how known, densities, how to get an input: data with a basis  |
//! | [`mod@ask`]   | where in the yard an input is got, with what, and how far a reading may be off |
//! | [`place`]     | places in the body's frame, in numbers or words                            |
//! | [`item`]      | [`Item`]: one entry of the ledger                                          |
//! | [`ledger`]      | [`Ledger`]: everything that weighs something, and the items of each state    |
//! | [`tanks`], [`people`] | the parts of the ledger that change from state to state           |
//! | [`like`]        | pieces given by kind                                                       |
//! | [`liquid`]    | where the liquid of a part-filled tank is                                  |
//! | [`states`]    | the states, stated or made                                                 |
//! | [`sums`]      | [`Sums`]: mass and its moments                                             |
//! | [`axles`]     | [`Axles`]: how a mass at a place loads each axle                           |
//! | [`loads`]     | [`Loads`]: sums, axle and wheel loads of one state                         |
//! | [`mounts`]    | [`Mounts`]: what rides on the body's mounts, what each carries, how the frame bends |
//! | [`told`]      | stated values of a trade's tables as inputs                                  |
//! | [`power`]     | what the sun brings, batteries keep and loads take                             |
//! | [`tickets`]   | [`Tickets`]: readings against the ledger, and the corrected ledger         |
//! | [`ground`]      | where the rig touches the ground first                                     |
//! | [`extents`]   | [`Extents`]: how far the rig reaches                                       |
//! | [`parts`]     | [`Parts`](parts::Parts): what generic parts weigh, by piece or measure       |
//! | [`custom`]    | values of the owner's own tables                                           |
//! | [`forgotten`] | pieces that are usually on board and usually not in the list                |
//! | [`kept`]      | what is made once for each key, by whoever asks first                      |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod again;
pub mod ask;
pub mod axles;
pub mod beside;
pub mod custom;
pub mod extents;
pub mod facts;
pub mod forgotten;
pub mod gap;
pub mod ground;
pub mod inputs;
pub mod item;
pub mod kept;
pub mod ledger;
pub mod like;
pub mod liquid;
pub mod loads;
pub mod mounts;
pub mod parts;
pub mod people;
pub mod place;
pub mod power;
pub mod states;
pub mod sums;
pub mod tables;
pub mod tanks;
pub mod tickets;
pub mod told;

pub use axles::Axles;
pub use beside::Beside;
pub use extents::{Extent, Extents};
pub use facts::{Facts, StateFacts};
pub use gap::Gap;
pub use inputs::{Input, Inputs, Kind};
pub use item::{Item, ItemKind};
pub use ledger::Ledger;
pub use loads::{Loads, SideRule, Sides};
pub use mounts::{Axis, Carried, Case, MountFacts, Mounts, Outcome, Riding};
pub use power::Power;
pub use rig_model::model::StateKind;
pub use sums::Sums;
pub use tickets::{Suspect, Ticket, Tickets};
