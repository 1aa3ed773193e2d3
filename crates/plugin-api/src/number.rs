//! A value that carries its doubt.

use std::collections::BTreeMap;
use std::ops::{Add, Div, Mul, Neg, Sub};

use serde_json::Value;

use crate::wire::{Gradient, Measured};

/// Standard deviations in the half width of a 95 % interval of a normal distribution (its 97.5 % quantile; computed).
const Z95: f64 = 1.959_963_984_540_054;

/// A value in SI that remembers how it follows the inputs of the rig, so that what two numbers share cancels.
///
/// ```
/// # use plugin_api::Number;
/// let (tank, crate_) = (Number::input(0, 200.0, 4.0), Number::input(1, 60.0, 3.0));
/// assert_eq!((&tank + &crate_).sd(), 5.0);
/// assert_eq!((&tank - &tank).sd(), 0.0);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Number {
    value: f64,
    terms: BTreeMap<u32, Term>,
}

/// Change of the value by change of one input, and that input's standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Term {
    by: f64,
    sd: f64,
}

impl Number {
    /// A value without doubt.
    #[must_use]
    pub fn exact(value: f64) -> Self {
        Self { value, terms: BTreeMap::new() }
    }

    /// The input of that number, with its standard deviation.
    #[must_use]
    pub fn input(input: u32, value: f64, sd: f64) -> Self {
        Self { value, terms: BTreeMap::from([(input, Term { by: 1.0, sd })]) }
    }

    /// The nominal value.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.value
    }

    /// Standard deviation.
    #[must_use]
    pub fn sd(&self) -> f64 {
        self.terms.values().map(|term| (term.by * term.sd) * (term.by * term.sd)).sum::<f64>().sqrt()
    }

    /// Low end of the range in which the true value lies 95 times in 100.
    #[must_use]
    pub fn low(&self) -> f64 {
        self.value - Z95 * self.sd()
    }

    /// High end of that range.
    #[must_use]
    pub fn high(&self) -> f64 {
        self.value + Z95 * self.sd()
    }

    /// A curve of this number: the value there, and the slope of the curve there.
    #[must_use]
    pub fn curve(&self, value: f64, slope: f64) -> Self {
        Self { value, ..self.scaled(slope) }
    }

    fn scaled(&self, factor: f64) -> Self {
        let terms = self.terms.iter().map(|(input, term)| (*input, Term { by: term.by * factor, ..*term })).collect();
        Self { value: self.value * factor, terms }
    }

    /// `value`, following `a` and `b` with these slopes.
    fn joined(value: f64, a: &Self, slope_a: f64, b: &Self, slope_b: f64) -> Self {
        let mut all = Self { value, ..a.scaled(slope_a) };
        for (input, term) in &b.terms {
            all.terms.entry(*input).or_insert(Term { by: 0.0, ..*term }).by += term.by * slope_b;
        }
        all
    }

    /// As the rig document writes it: a number, or an object of `value`, `sd`, and `input` or `by`.
    pub(crate) fn from_json(json: &Value) -> Option<Self> {
        let Value::Object(object) = json else { return json.as_f64().map(Self::exact) };
        let of = |json: &Value, key: &str| json.get(key).and_then(Value::as_f64);
        let input = |json: &Value| json.get("input").and_then(Value::as_u64).and_then(|input| u32::try_from(input).ok());
        let (value, sd) = (of(json, "value")?, of(json, "sd")?);
        if object.len() != VALUE_SD_AND_ONE {
            return None;
        }
        if let Some(input) = input(json) {
            return Some(Self::input(input, value, sd));
        }
        let term = |one: &Value| Some((input(one)?, Term { by: of(one, "by")?, sd: of(one, "sd")? }));
        let terms = json.get("by")?.as_array()?.iter().map(term).collect::<Option<_>>()?;
        Some(Self { value, terms })
    }
}

/// Keys of a number in doubt.
const VALUE_SD_AND_ONE: usize = 3;

impl From<f64> for Number {
    fn from(value: f64) -> Self {
        Self::exact(value)
    }
}

impl From<&Number> for Measured {
    fn from(number: &Number) -> Self {
        let by = number.terms.iter().map(|(input, term)| Gradient { input: *input, by: term.by }).collect();
        Self { value: number.value, by }
    }
}

macro_rules! operator {
    ($Op:ident, $op:ident, |$a:ident, $b:ident| $value:expr, $slope_a:expr, $slope_b:expr) => {
        impl $Op<&Number> for &Number {
            type Output = Number;
            fn $op(self, other: &Number) -> Number {
                let ($a, $b) = (self.value, other.value);
                Number::joined($value, self, $slope_a, other, $slope_b)
            }
        }
        impl $Op<Number> for Number {
            type Output = Number;
            fn $op(self, other: Number) -> Number {
                (&self).$op(&other)
            }
        }
        impl $Op<f64> for &Number {
            type Output = Number;
            fn $op(self, other: f64) -> Number {
                self.$op(&Number::exact(other))
            }
        }
        impl $Op<f64> for Number {
            type Output = Number;
            fn $op(self, other: f64) -> Number {
                (&self).$op(other)
            }
        }
    };
}

operator!(Add, add, |a, b| a + b, 1.0, 1.0);
operator!(Sub, sub, |a, b| a - b, 1.0, -1.0);
operator!(Mul, mul, |a, b| a * b, b, a);
operator!(Div, div, |a, b| a / b, 1.0 / b, -a / (b * b));

impl Neg for Number {
    type Output = Number;
    fn neg(self) -> Number {
        self.scaled(-1.0)
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    /// Known: from memory, the first-order rule of the propagation of uncertainty: relative variances of a product add.
    #[test]
    fn doubt_of_a_product_and_a_ratio_follows_the_slopes() {
        let (a, b) = (Number::input(0, 3.0, 0.3), Number::input(1, 4.0, 0.4));
        let product = &a * &b;
        assert_eq!(product.value(), 12.0);
        assert!((product.sd() - 12.0 * f64::sqrt(0.02)).abs() < 1e-12);
        assert!(((&a / &b).sd() - 0.75 * f64::sqrt(0.02)).abs() < 1e-12);
        // What both share cancels.
        assert_eq!((&product / &a - b).sd(), 0.0);
    }

    #[test]
    fn it_reads_what_the_rig_document_writes_and_nothing_else() {
        let plain = Number::from_json(&json!({ "value": 2.0, "sd": 0.5, "input": 7 })).unwrap();
        assert_eq!(plain, Number::input(7, 2.0, 0.5));
        let sum = json!({ "value": 5.0, "sd": 1.3, "by": [{ "input": 1, "by": 2.0, "sd": 0.6 }, { "input": 4, "by": -1.0, "sd": 0.5 }] });
        assert!((Number::from_json(&sum).unwrap().sd() - 1.3).abs() < 1e-12);
        assert_eq!(Number::from_json(&json!(4)), Some(Number::exact(4.0)));
        for other in [json!("4"), json!(null), json!({ "value": 1.0 }), json!({ "value": 1.0, "sd": 0.1, "input": -1 })] {
            assert_eq!(Number::from_json(&other), None, "{other}");
        }
    }

    #[test]
    fn a_curve_keeps_the_input_and_takes_its_slope() {
        let x = Number::input(2, 3.0, 0.1);
        let square = x.curve(9.0, 6.0);
        assert!((square.sd() - 0.6).abs() < 1e-12);
        assert_eq!(Measured::from(&square).by, [Gradient { input: 2, by: 6.0 }]);
    }
}
