//! Dimensioned values as people write them, and estimates that carry their uncertainty.
//!
//! - `parse`, `show`, `show_range`, `show_exact`: text to SI and back ("13 ft 6 in", "5.5 bar", "2/0 AWG").
//! - `Quantity<D>`: a value in SI whose dimension is in its type, read from such a text.
//! - `Stated<D>`: a value and how it is known ("about 300 kg", "280 to 340 kg", "?").
//! - `Estimate`: a value with first-order uncertainty that remembers which inputs it came from.
//! - `Condition`: what readings of a scale teach about estimates.
//! - `real`: transcendental functions that give the same bytes on every machine.
//!
//! What the types cannot catch: torque and energy have the same SI unit, a gauge pressure and an absolute one the same
//! dimension, and a temperature difference is not a temperature. The name of the field has to say which is meant.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod condition;
mod dimension;
mod estimate;
mod fault;
mod num;
mod number;
mod operators;
mod parse;
mod pattern;
mod quantity;
pub mod real;
mod show;
mod stated;
mod stated_serde;
mod stated_text;
mod terms;
mod units;
mod wide;

pub use condition::{Condition, Singular};
pub use dimension::{Dim, Dimension, dim};
pub use estimate::{Estimate, InputId, Z95};
pub use fault::{Fault, Reason};
pub use num::Num;
pub use parse::{dimension_of, parse};
pub use pattern::{pattern, stated_pattern};
pub use quantity::Quantity;
pub use show::{System, show, show_difference, show_exact, show_range, show_with_range};
pub use stated::{How, Stated};
pub use units::{Scale, Unit};
