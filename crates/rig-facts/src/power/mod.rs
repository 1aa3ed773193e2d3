//! What the sun brings, batteries keep and loads take.
//!
//! | module     | holds                                                                          |
//! |------------|--------------------------------------------------------------------------------|
//! | `told`     | every stated value of the tables of the trade, as an input with its spread        |
//! | [`system`] | panels and banks, with what is usual where nobody told                            |
//! | [`loads`]  | what is switched on, at the battery, by month and hour                            |

pub mod loads;
pub mod system;
pub(crate) mod told;
pub mod run;

/// Seconds of an hour.
pub(crate) const HOUR_S: f64 = 3600.0;
/// 0 °C in K.
pub(crate) const KELVIN: f64 = 273.15;
