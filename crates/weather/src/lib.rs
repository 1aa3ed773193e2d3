//! Weather: files to a year of hours, a climate without a file, and years drawn from it. Bytes in, numbers out: nothing
//! here opens a file, prints, or knows a rig.
//!
//! | module    | answers                                                                              |
//! |-----------|--------------------------------------------------------------------------------------|
//! | [`year`]  | what a weather file says: columns, site, where the sun stands in a row, notes          |
//! | [`clock`] | whether the clock of a file agrees with its sun                                        |
//! | [`facts`] | values with a source that all of this uses                                           |
//! | [`read`]  | EPW, TMY3, PVGIS and NSRDB files, told apart by what is in them                        |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod almanac;
pub mod clock;
mod date;
pub mod facts;
pub mod read;
mod text;
pub mod year;

pub use read::read;
pub use year::{Column, Format, Note, Problem, Site, Year};
