//! Numbers for the working: what a reader types into a pocket calculator. Always metric.
//!
//! A result is worked out from the figures that its line prints, so that the line, redone by hand, gives it to its last
//! one. The line prints so many of them that what it comes to does not stray from the demand.

use std::fmt;

use quantity::Estimate;

/// A number as a line prints it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    value: f64,
    decimals: usize,
}

impl Figure {
    /// What is printed, and no more.
    #[must_use]
    pub fn get(self) -> f64 {
        self.value
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&number(self.value, self.decimals))
    }
}

/// A number cut to that many decimals, to print it and to go on with what is printed.
#[must_use]
pub fn figure(value: f64, decimals: usize) -> Figure {
    Figure { value: rounded(value, decimals), decimals }
}

/// A whole in kg, to one decimal, of parts that a line adds up.
#[must_use]
pub fn sum_of(parts: &[Figure]) -> String {
    kg(parts.iter().map(|part| part.get()).sum())
}

/// A pressure in bar.
#[must_use]
pub fn bar(pascal: f64) -> Figure {
    const BAR: f64 = 100_000.0;
    figure(pascal / BAR, 3)
}

/// "5350.2 kg".
#[must_use]
pub fn kg(value: f64) -> String {
    format!("{} kg", number(value, 1))
}

/// "2.202 m".
#[must_use]
pub fn m(value: f64) -> String {
    format!("{} m", number(value, 3))
}

/// "31.7 deg" of an angle in rad.
#[must_use]
pub fn deg(rad: f64) -> String {
    format!("{} deg", number(rad.to_degrees(), 2))
}

/// "47.6 %" of a share.
#[must_use]
pub fn percent(share: f64) -> String {
    format!("{} %", number(share * 100.0, 1))
}

/// A number with that many decimals; never "-0.0".
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// A number as it is printed with that many decimals.
#[must_use]
pub fn rounded(value: f64, decimals: usize) -> f64 {
    number(value, decimals).parse().unwrap_or(value)
}

/// "between 1.15 m and 1.25 m" of an estimate, through a writer of one number.
#[must_use]
pub fn range(estimate: &Estimate, write: impl Fn(f64) -> String) -> String {
    let (low, high) = estimate.interval95();
    format!("between {} and {}", write(low), write(high))
}
/// "a", "a and b", "a, b and c".
#[must_use]
pub fn listed<T: AsRef<str>>(names: &[T]) -> String {
    match names {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [most @ .., last] => {
            format!("{} and {}", most.iter().map(AsRef::as_ref).collect::<Vec<&str>>().join(", "), last.as_ref())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_a_row_read_as_a_sentence() {
        assert_eq!(listed::<&str>(&[]), "");
        assert_eq!(listed(&["May"]), "May");
        assert_eq!(listed(&["May", "June", "July"]), "May, June and July");
        assert_eq!((listed(&["a", "b", "c"]), listed(&["a"])), ("a, b and c".to_owned(), "a".to_owned()));
    }
}
