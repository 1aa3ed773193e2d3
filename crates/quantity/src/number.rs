//! Reads the number in front of a unit: "1200", ".5", "1.2e-3", "1/2", "3 1/2", "2/0".

use crate::parse::is_space;

/// A number as it was written.
pub(crate) struct Number<'a> {
    pub(crate) text: &'a str,
    pub(crate) value: f64,
    /// Numerator and denominator as written, if it is a fraction.
    fraction: Option<(&'a str, &'a str)>,
    /// It is a fraction with a whole number in front.
    mixed: bool,
}

impl<'a> Number<'a> {
    /// The number at the start of `rest` ("1200", "1.2e3", ".5", "1/2", "3 1/2"), and what follows it.
    pub(crate) fn read(rest: &'a str) -> Option<(Number<'a>, &'a str)> {
        if let Some((fraction, after)) = fraction(rest) {
            let text = rest.get(..rest.len() - after.len())?;
            return Some((Number { text, value: quotient(fraction), fraction: Some(fraction), mixed: false }, after));
        }
        let (value, after) = decimal(rest)?;
        let whole = rest.get(..rest.len() - after.len())?;
        let next = after.trim_start_matches(is_space);
        if whole.bytes().all(|b| b.is_ascii_digit())
            && next.len() < after.len()
            && let Some((fraction, after)) = fraction(next)
        {
            let text = rest.get(..rest.len() - after.len())?;
            return Some((Number { text, value: value + quotient(fraction), fraction: Some(fraction), mixed: true }, after));
        }
        Some((Number { text: whole, value, fraction: None, mixed: false }, after))
    }

    pub(crate) fn is_divided_by_zero(&self) -> bool {
        self.fraction.is_some_and(|(_, below)| below.bytes().all(|b| b == b'0'))
    }

    /// The wire gauge it stands for: "6" is 6, "1/0" is 0, "2/0" is -1.
    pub(crate) fn gauge(&self) -> Option<f64> {
        match self.fraction {
            None => self.text.bytes().all(|b| b.is_ascii_digit()).then_some(self.value),
            Some((above, "0")) if !self.mixed => above.parse::<f64>().ok().filter(|n| *n >= 1.0).map(|n| 1.0 - n),
            Some(_) => None,
        }
    }
}

fn quotient((above, below): (&str, &str)) -> f64 {
    above.parse().unwrap_or(f64::NAN) / below.parse().unwrap_or(f64::NAN)
}

/// "1/2" at the start of `rest`, and what follows.
fn fraction(rest: &str) -> Option<((&str, &str), &str)> {
    let (above, after) = digits(rest);
    let (below, after) = digits(after.strip_prefix('/')?);
    (!above.is_empty() && !below.is_empty()).then_some(((above, below), after))
}

fn digits(rest: &str) -> (&str, &str) {
    let end = rest.bytes().position(|b| !b.is_ascii_digit()).unwrap_or(rest.len());
    rest.split_at_checked(end).unwrap_or((rest, ""))
}

/// "1200", "1.2", ".5", "5.", "1e3", "1.2e-3" at the start of `rest`, and what follows.
pub(crate) fn decimal(rest: &str) -> Option<(f64, &str)> {
    let (whole, mut after) = digits(rest);
    if let Some(point) = after.strip_prefix('.') {
        let (decimals, behind) = digits(point);
        if whole.is_empty() && decimals.is_empty() {
            return None;
        }
        after = behind;
    } else if whole.is_empty() {
        return None;
    }
    let mantissa = rest.get(..rest.len() - after.len())?;
    let Some((sign, power, behind)) = exponent(after) else {
        return Some((mantissa.parse().ok()?, after));
    };
    Some((format!("{mantissa}e{sign}{power}").parse().ok()?, behind))
}

/// "e3", "E-3": its sign, its digits, and what follows. An `e` without digits is no exponent.
fn exponent(rest: &str) -> Option<(&'static str, &str, &str)> {
    let rest = rest.strip_prefix(['e', 'E'])?;
    let (sign, rest) = match rest.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => ("-", rest),
        None => ("", rest.strip_prefix('+').unwrap_or(rest)),
    };
    let (power, after) = digits(rest);
    (!power.is_empty()).then_some((sign, power, after))
}
