//! Many audits: where along the frame the body goes, what to find out next.
//!
//! | module        | does                                                          |
//! |---------------|---------------------------------------------------------------|
//! | [`mod@place`] | the range of `body.front` that passes every travel state       |
//! | [`mod@ask`]   | which single reading settles most answers                       |
//! | [`told`]      | the rig with a value told to it, and its audit                 |
//! | [`weighing`]  | the sheet for a day on the weighbridge                         |
//! | [`probe`]     | asks a few checks of an edited copy                            |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod ask;
pub mod place;
pub mod probe;
pub mod told;
pub mod weighing;

pub use ask::ask;
pub use place::place;
pub use weighing::weighing_day;
