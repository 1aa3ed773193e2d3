//! Many audits: where along the frame the body goes.
//!
//! | module        | does                                                          |
//! |---------------|---------------------------------------------------------------|
//! | [`mod@place`] | the range of `body.front` that passes every travel state       |
//! | [`probe`]     | asks a few checks of an edited copy                            |
#![deny(missing_docs)]

pub mod place;
pub mod probe;

pub use place::place;
