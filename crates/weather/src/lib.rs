//! Weather: files to a year of hours, a climate without a file, and years drawn from it. Bytes in, numbers out: nothing
//! here opens a file, prints, or knows a rig.
//!
//! | module    | answers                                                                              |
//! |-----------|--------------------------------------------------------------------------------------|
//! | [`year`]  | what a weather file says: columns, site, where the sun stands in a row, notes          |
//! | [`climate`] | twelve months of a place, where they come from, how far they may be off |
//! | [`route`] | from what a person knows of a place to its climate |
//! | [`places`] | the embedded table, and the nearest place of it |
//! | [`outside`] | the sun outside the air, a day at a time |
//! | [`law`] | how clear the days of a month are |
//! | [`hours`] | how a day's light lies over its hours |
//! | [`series`] | years drawn from a climate |
//! | [`random`] | random numbers, the same everywhere |
//! | [`hourly`] | the hours of a year as the simulation takes them |
//! | [`clock`] | whether the clock of a file agrees with its sun                                        |
//! | [`facts`] | values with a source that all of this uses                                           |
//! | [`read`]  | EPW, TMY3, PVGIS and NSRDB files, told apart by what is in them                        |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod almanac;
pub mod climate;
pub mod clock;
mod date;
pub mod facts;
mod fill;
pub mod hourly;
pub mod hours;
pub mod law;
pub mod outside;
pub mod places;
pub mod random;
pub mod read;
pub mod route;
mod sanity;
pub mod series;
mod text;
pub mod year;

pub use climate::{Climate, Place, Route};
pub use hourly::{Calendar, Hourly, Hours};
pub use read::read;
pub use route::{Known, Setting};
pub use series::{DayDraws, Draws, HourShape};
pub use year::{Column, Format, Note, Problem, Site, Year};
