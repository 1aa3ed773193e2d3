//! Where a value comes from.
//!
//! Everything that limits or scales a result is data and carries a [`Basis`]: what kind of source it has, which
//! clause of which edition, and how we know it. A value without one does not load.
//!
//! | module       | holds                                                             |
//! |--------------|-------------------------------------------------------------------|
//! | [`source`]   | [`Basis`], [`BasisKind`], [`Known`]                               |
//! | [`limit`]    | [`Limit`], [`Bound`]: one number that something is held against    |
//! | [`table`]    | [`Table`]: values looked up by a key                              |
//! | [`constant`] | [`Constants`]: named values that formulas use                     |
//! | [`set`]      | [`LimitSet`]: the limits and tables of one file                   |
//! | [`pack`]     | data files, packed when the program is built                      |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod constant;
pub mod limit;
pub mod pack;
pub mod set;
pub mod source;
pub mod table;

pub use constant::{Constant, Constants};
pub use limit::{Bound, Limit};
pub use set::{LimitSet, LoadError, before_slash};
pub use source::{Basis, BasisKind, Known};
pub use table::{Cell, Table};
