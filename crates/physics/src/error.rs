//! Why a kernel gives no number.

use std::fmt;

use crate::range::{Plain, Range};

/// Why a kernel gives no number. Fields of lists are named as JSON counts them: `masses[0].x_m` is the first.
#[derive(Clone, Debug, PartialEq)]
pub enum KernelError {
    /// An input, or a relation between inputs, lies outside the range in which the formula holds.
    OutOfRange {
        /// Name of the input.
        field: String,
        /// What it is.
        value: f64,
        /// Low end of its range.
        low: f64,
        /// High end of its range.
        high: f64,
        /// Whether the low end itself is outside.
        open: bool,
        /// Unit of value and ends; empty for plain numbers.
        unit: &'static str,
        /// Why the range ends there; empty where the field's own range says it all.
        why: &'static str,
    },
    /// A list is too short or too long.
    Count {
        /// Name of the list.
        field: String,
        /// How many entries it has.
        found: usize,
        /// Fewest it may have.
        low: usize,
        /// Most it may have.
        high: usize,
    },
    /// An input that this case needs is not there.
    Missing {
        /// Name of the input.
        field: String,
        /// Why it is needed here.
        why: &'static str,
    },
    /// A word that is not in the table it is looked up in.
    NotListed {
        /// Name of the input.
        field: String,
        /// What it is.
        value: String,
        /// What it may be.
        wanted: &'static str,
    },
    /// An axle on springs comes out without load, where the springs' straight line ends.
    AxleLifts {
        /// Which axle, counted from 0.
        axle: usize,
        /// Its load by the straight line.
        load_kg: f64,
    },
    /// The inputs together have no single answer.
    Unsolvable {
        /// Name of the input at fault.
        field: String,
        /// What is the matter with it.
        why: &'static str,
    },
    /// The result is too large for a number.
    NotFinite {
        /// Name of the result.
        field: &'static str,
    },
}

impl KernelError {
    /// An input outside a range that depends on other inputs.
    pub(crate) fn outside(field: &str, value: f64, range: Range, unit: &'static str, why: &'static str) -> Self {
        Self::OutOfRange { field: field.to_owned(), value, low: range.low, high: range.high, open: range.open, unit, why }
    }

    /// The same error about a field inside a list or table: `at` goes before the name.
    #[must_use]
    pub fn inside(mut self, at: &str) -> Self {
        match &mut self {
            Self::OutOfRange { field, .. }
            | Self::Count { field, .. }
            | Self::Missing { field, .. }
            | Self::NotListed { field, .. }
            | Self::Unsolvable { field, .. } => field.insert_str(0, at),
            Self::AxleLifts { .. } | Self::NotFinite { .. } => {}
        }
        self
    }
}

impl std::error::Error for KernelError {}

impl fmt::Display for KernelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange { field, value, low, high, open, unit, why } => {
                let range = Range { low: *low, high: *high, open: *open };
                let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
                write!(f, "`{field}` is {}{unit}; wanted: {range}{unit}", Plain(*value))?;
                if why.is_empty() { Ok(()) } else { write!(f, " ({why})") }
            }
            Self::Count { field, found, low, high } if low == high => {
                write!(f, "`{field}` has {found} entries; wanted: {low}")
            }
            Self::Count { field, found, low, high } => {
                write!(f, "`{field}` has {found} entries; wanted: {low} to {high}")
            }
            Self::Missing { field, why } => write!(f, "`{field}` is not there; {why}"),
            Self::NotListed { field, value, wanted } => {
                write!(f, "`{field}` is \"{value}\"; wanted: {wanted}")
            }
            Self::AxleLifts { axle, load_kg } => write!(
                f,
                "`axles[{axle}]` would carry {} kg; wanted: over 0 kg on every axle, since a spring pulls no axle down",
                Plain(*load_kg)
            ),
            Self::Unsolvable { field, why } => write!(f, "`{field}`: {why}"),
            Self::NotFinite { field } => {
                write!(f, "`{field}` comes out too large for a number; look for an input that is far too large or far too small")
            }
        }
    }
}
