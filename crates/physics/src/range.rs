//! The ranges of inputs, written once: the code refuses by them, the schema shows them, and a test compares the
//! manual's tables with them.

use std::fmt;

use schemars::Schema;

use crate::error::KernelError;

/// A range of a number. The high end always belongs to it, the low end unless `open`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// Whether the low end itself is outside.
    pub open: bool,
}

impl Range {
    /// From `low`, itself outside, to `high`.
    #[must_use]
    pub const fn over(low: f64, high: f64) -> Self {
        Self { low, high, open: true }
    }

    /// From `low` to `high`, both inside.
    #[must_use]
    pub const fn of(low: f64, high: f64) -> Self {
        Self { low, high, open: false }
    }

    /// Whether a value lies in it. No range holds a value that is not a number.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        let above = if self.open { value > self.low } else { value >= self.low };
        above && value <= self.high && value.is_finite()
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (low, high) = (Plain(self.low), Plain(self.high));
        match (self.open, self.low.is_finite(), self.high.is_finite()) {
            (_, false, _) => write!(f, "at most {high}"),
            (true, _, false) => write!(f, "over {low}"),
            (false, _, false) => write!(f, "at least {low}"),
            (true, _, true) => write!(f, "over {low} to {high}"),
            (false, _, true) => write!(f, "{low} to {high}"),
        }
    }
}

/// A number as people write it: with an exponent only where it would be long.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Plain(pub(crate) f64);

/// Outside these sizes a number is written with an exponent.
const SIZES_WRITTEN_OUT: Range = Range::of(1e-4, 1e6 - 1.0);

impl fmt::Display for Plain {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 == 0.0 || SIZES_WRITTEN_OUT.holds(self.0.abs()) || !self.0.is_finite() {
            write!(f, "{}", self.0)
        } else {
            write!(f, "{:e}", self.0)
        }
    }
}

/// One input of a kernel: name, unit and range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// Name, as in the struct and in JSON.
    pub name: &'static str,
    /// Unit; empty for plain numbers.
    pub unit: &'static str,
    /// Where the kernel answers.
    pub range: Range,
}

/// An input struct whose numbers have ranges.
pub trait Ranged {
    /// Its numbers, in the order of the struct.
    const FIELDS: &'static [Field];

    /// Refuses the first number outside its range, NaN and infinities included.
    ///
    /// # Errors
    /// `OutOfRange` with the field's name.
    fn check(&self) -> Result<(), KernelError>;
}

/// Refuses the first entry of a list that has a number outside its range.
///
/// # Errors
/// `Count` when the list is shorter than `low` or longer than `high`; `OutOfRange` names the entry and its field.
pub fn check_list<T: Ranged>(name: &str, list: &[T], low: usize, high: usize) -> Result<(), KernelError> {
    check_count(name, list.len(), low, high)?;
    list.iter().enumerate().try_for_each(|(i, entry)| entry.check().map_err(|why| why.inside(&format!("{name}[{i}]."))))
}

/// Refuses a list that is too short or too long.
///
/// # Errors
/// `Count`.
pub fn check_count(name: &str, found: usize, low: usize, high: usize) -> Result<(), KernelError> {
    if (low..=high).contains(&found) {
        return Ok(());
    }
    Err(KernelError::Count { field: name.to_owned(), found, low, high })
}

/// A result that is a number, and never minus zero.
///
/// # Errors
/// `NotFinite` when it is not.
pub fn finite(field: &'static str, value: f64) -> Result<f64, KernelError> {
    if value.is_finite() { Ok(value + 0.0) } else { Err(KernelError::NotFinite { field }) }
}

/// What a field may hold: one number, none, or lists of them.
pub trait Numbers {
    /// Refuses the first number outside the range.
    ///
    /// # Errors
    /// `OutOfRange` with the field's name and the entry's number.
    fn within(&self, field: Field) -> Result<(), KernelError>;
}

impl Numbers for f64 {
    fn within(&self, field: Field) -> Result<(), KernelError> {
        if field.range.holds(*self) {
            return Ok(());
        }
        Err(KernelError::outside(field.name, *self, field.range, field.unit, ""))
    }
}

impl Numbers for u32 {
    fn within(&self, field: Field) -> Result<(), KernelError> {
        f64::from(*self).within(field)
    }
}

impl<T: Numbers> Numbers for Option<T> {
    fn within(&self, field: Field) -> Result<(), KernelError> {
        self.as_ref().map_or(Ok(()), |value| value.within(field))
    }
}

impl<T: Numbers> Numbers for Vec<T> {
    fn within(&self, field: Field) -> Result<(), KernelError> {
        self.as_slice().within(field)
    }
}

impl<T: Numbers, const N: usize> Numbers for [T; N] {
    fn within(&self, field: Field) -> Result<(), KernelError> {
        self.as_slice().within(field)
    }
}

impl<T: Numbers> Numbers for [T] {
    fn within(&self, field: Field) -> Result<(), KernelError> {
        self.iter().enumerate().try_for_each(|(i, value)| {
            value.within(field).map_err(|why| match why {
                KernelError::OutOfRange { field: name, value, low, high, open, unit, why } => {
                    let rest = name.strip_prefix(field.name).unwrap_or_default();
                    let field = format!("{}[{i}]{rest}", field.name);
                    KernelError::OutOfRange { field, value, low, high, open, unit, why }
                }
                other => other,
            })
        })
    }
}

/// Writes the ranges and units of `T` into its JSON Schema; lists carry them on their entries.
pub fn in_schema<T: Ranged>(schema: &mut Schema) {
    let Some(properties) = schema.get_mut("properties") else { return };
    for field in T::FIELDS {
        let Some(mut at) = properties.get_mut(field.name) else { continue };
        while at.get("items").is_some() {
            match at.get_mut("items") {
                Some(items) => at = items,
                None => return,
            }
        }
        let Some(entry) = at.as_object_mut() else { continue };
        entry.remove("minimum");
        let low = if field.range.open { "exclusiveMinimum" } else { "minimum" };
        entry.insert(low.to_owned(), field.range.low.into());
        entry.insert("maximum".to_owned(), field.range.high.into());
        if !field.unit.is_empty() {
            entry.insert("unit".to_owned(), field.unit.into());
        }
    }
}

/// Gives an input struct its ranges: `ranged!(Name { field ["unit"] range, .. });`.
macro_rules! ranged {
    ($kind:ty { $($field:ident [$unit:literal] $range:expr),* $(,)? }) => {
        impl $crate::range::Ranged for $kind {
            const FIELDS: &'static [$crate::range::Field] = &[
                $($crate::range::Field { name: stringify!($field), unit: $unit, range: $range }),*
            ];

            fn check(&self) -> Result<(), $crate::KernelError> {
                $($crate::range::Numbers::within(
                    &self.$field,
                    $crate::range::Field { name: stringify!($field), unit: $unit, range: $range },
                )?;)*
                Ok(())
            }
        }
    };
}
pub(crate) use ranged;

/// Ranges that many kernels share. Their far ends only keep results finite; the near ends are physics.
pub(crate) mod usual {
    use super::Range;

    /// Largest magnitude of a mass in kg, a place in m, and so on: past it a unit was mixed up.
    const FAR: f64 = 1e9;
    /// A mass or load that may be none.
    pub(crate) const MASS: Range = Range::of(0.0, FAR);
    /// A mass or load that is divided by.
    pub(crate) const SOME_MASS: Range = Range::over(0.0, FAR);
    /// A place along an axis.
    pub(crate) const PLACE: Range = Range::of(-1e6, 1e6);
    /// A length that may be none.
    pub(crate) const LENGTH: Range = Range::of(0.0, 1e6);
    /// A length that is divided by.
    pub(crate) const SOME_LENGTH: Range = Range::over(0.0, 1e6);
    /// A stiffness.
    pub(crate) const STIFFNESS: Range = Range::over(0.0, 1e15);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_read_as_sentences() {
        assert_eq!(Range::over(0.0, 1e9).to_string(), "over 0 to 1e9");
        assert_eq!(Range::of(-200.0, 30_000.0).to_string(), "-200 to 30000");
        assert_eq!(Range::over(4.25, f64::INFINITY).to_string(), "over 4.25");
        assert_eq!(Range::of(4.25, f64::INFINITY).to_string(), "at least 4.25");
    }

    #[test]
    fn no_range_holds_what_is_no_number() {
        let all = Range::of(f64::NEG_INFINITY, f64::INFINITY);
        assert!(all.holds(0.0) && !all.holds(f64::NAN) && !all.holds(f64::INFINITY) && !all.holds(f64::NEG_INFINITY));
        assert!(!Range::over(0.0, 1.0).holds(0.0) && Range::of(0.0, 1.0).holds(0.0) && Range::over(0.0, 1.0).holds(1.0));
    }

    #[test]
    fn an_entry_of_a_list_is_named_by_its_number() {
        let field = Field { name: "m", unit: "kg", range: Range::of(0.0, 1.0) };
        let why = vec![vec![0.0], vec![1.0, 2.0]].within(field).expect_err("2 is outside").to_string();
        assert_eq!(why, "`m[1][1]` is 2 kg; wanted: 0 to 1 kg");
    }

    #[test]
    fn results_are_finite_and_never_minus_zero() {
        assert!(finite("x", -0.0).is_ok_and(|v| v.is_sign_positive()));
        assert!(finite("x", f64::NAN).is_err() && finite("x", f64::INFINITY).is_err());
    }
}
