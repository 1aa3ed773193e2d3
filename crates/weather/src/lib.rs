//! Weather: files to a year of hours, a climate without a file, and years drawn from it. Bytes in, numbers out: nothing
//! here opens a file, prints, or knows a rig.
//!
//! | module      | answers                                                                     |
//! |-------------|-----------------------------------------------------------------------------|
//! | [`read`](mod@read) | EPW, TMY3, PVGIS and NSRDB files, told apart by what is in them             |
//! | [`year`]    | what such a file says: columns, site, where the sun stands in a row, notes  |
//! | [`clock`]   | whether the clock of a file agrees with its sun                             |
//! | [`hourly`]  | the hours of a year as the simulation takes them                            |
//! | [`climate`] | twelve months of a place: where they come from, how far they may be off     |
//! | [`route`]   | from what a person knows of a place to its climate                          |
//! | [`places`]  | the embedded table, and the nearest place of it                             |
//! | [`outside`] | the sun outside the air, a day at a time                                    |
//! | [`series`]  | years drawn from a climate                                                  |
//! | [`law`]     | how clear the days of a month are                                           |
//! | [`hours`]   | how a day's light lies over its hours                                       |
//! | [`random`]  | random numbers, the same everywhere                                         |
//! | [`facts`]   | the values with a source that all of this uses                              |
//!
//! A file: [`read`](read()) to a [`Year`], [`Year::to_hourly`] to hours. No file: [`route::climate`] to a [`Climate`];
//! [`Draws`] and [`HourShape`] fill the same hours, year after year, into buffers of the caller. Either way
//! [`Calendar::sun`] and [`Hours::columns`] are what the panels' kernels take.
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
pub use date::{days as month_days, name as month_name};
pub use hourly::{Calendar, Hourly, Hours};
pub use read::read;
pub use route::{Known, Setting};
pub use series::{DayDraws, Draws, HourShape};
pub use year::{Column, Format, Note, Problem, Site, Year};
