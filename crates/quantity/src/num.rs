//! A number as other programs get it.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Digits after the first one: nine significant digits in all.
const DIGITS_AFTER_FIRST: usize = 8;

/// A number that is written with nine significant digits and never as -0; NaN and infinity are written as null,
/// and null reads back as NaN.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Num(pub f64);

impl Num {
    /// The value that is written: nine significant digits, no -0.
    pub fn rounded(self) -> f64 {
        round_significant(self.0, DIGITS_AFTER_FIRST)
    }
}

/// `x` rounded to one digit and `after_first` more; -0 becomes 0; NaN and infinity stay.
pub(crate) fn round_significant(x: f64, after_first: usize) -> f64 {
    if !x.is_finite() {
        return x;
    }
    let rounded: f64 = format!("{x:.after_first$e}").parse().unwrap_or(x);
    rounded + 0.0
}

impl From<f64> for Num {
    fn from(x: f64) -> Num {
        Num(x)
    }
}

impl Serialize for Num {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let x = self.rounded();
        if x.is_finite() { serializer.serialize_f64(x) } else { serializer.serialize_none() }
    }
}

impl<'de> Deserialize<'de> for Num {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Num, D::Error> {
        Ok(Num(Option::<f64>::deserialize(deserializer)?.unwrap_or(f64::NAN)))
    }
}

impl JsonSchema for Num {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Num".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["number", "null"] })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(x: f64) -> String {
        serde_json::to_string(&Num(x)).unwrap()
    }

    #[test]
    fn nine_digits_are_written() {
        assert_eq!(written(7017.482517482517), "7017.48252");
        assert_eq!(written(1.0 / 3.0), "0.333333333");
        assert_eq!(written(5350.0), "5350.0");
        assert_eq!(written(999_999_999.96), "1000000000.0");
    }

    #[test]
    fn minus_zero_nan_and_infinity_are_never_written() {
        assert_eq!(written(-0.0), "0.0");
        assert_eq!(written(f64::NAN), "null");
        assert_eq!(written(f64::INFINITY), "null");
        assert!(serde_json::from_str::<Num>("null").unwrap().0.is_nan());
    }

    #[test]
    fn the_largest_number_stays_finite() {
        assert_eq!(written(f64::MAX), "1.79769313e+308");
    }
}
