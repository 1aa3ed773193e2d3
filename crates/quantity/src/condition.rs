//! What readings teach: estimates given that certain differences are zero.

use std::fmt;

use crate::Estimate;

/// Differences that are known to be zero, such as "sum of the masses on the plate, less the reading of the scale".
/// Each is an estimate that carries the doubt of the model and of the reading alike.
#[derive(Clone, Debug)]
pub struct Condition {
    differences: Vec<Estimate>,
    /// Lower triangle of the Cholesky factor of their covariance, row by row, each row up to its diagonal.
    factor: Vec<Vec<f64>>,
    /// Factor solved against the innovations: independent, unit variance.
    whitened: Vec<f64>,
    /// Factor solved against the differences: the same conditions, each independent of the others and of unit variance.
    independent: Vec<Estimate>,
}

/// The condition at `index` says nothing that those before it have not said (or has no doubt at all), so that the
/// covariance of the conditions cannot be solved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Singular {
    /// Place in the list handed to `Condition::new`, from 0.
    pub index: usize,
}

impl fmt::Display for Singular {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "reading {} repeats what those before it already fix, or has no doubt of its own", self.index + 1)
    }
}

impl std::error::Error for Singular {}

/// A pivot below this share of its variance is rounding, not information: sums of squares carry about 16 digits, and
/// ten of them must not be lost. Two tickets of one axle stay well above it: their own error is some 1e-4 of the mass.
const SMALLEST_PIVOT: f64 = 1e-10;

impl Condition {
    /// Conditions that each of `differences` is zero.
    ///
    /// # Errors
    /// `Singular` names the first difference that is no news: its variance given those before it is zero.
    pub fn new(differences: Vec<Estimate>) -> Result<Condition, Singular> {
        let mut factor: Vec<Vec<f64>> = Vec::with_capacity(differences.len());
        for (index, d) in differences.iter().enumerate() {
            let covariances = differences.iter().take(index).map(|earlier| d.covariance(earlier));
            let mut row = solve_lower(&factor, covariances);
            let variance = d.variance();
            let pivot = variance - row.iter().map(|l| l * l).sum::<f64>();
            if !(pivot > SMALLEST_PIVOT * variance && pivot.is_finite()) {
                return Err(Singular { index });
            }
            row.push(pivot.sqrt());
            factor.push(row);
        }
        let whitened = solve_lower(&factor, differences.iter().map(Estimate::value));
        let independent = independent(&factor, &differences);
        Ok(Condition { differences, factor, whitened, independent })
    }

    /// How far the innovations are out, all together: sum of squares of `whitened`. Degrees of freedom: their number.
    pub fn chi_square(&self) -> f64 {
        self.whitened.iter().map(|z| z * z).sum::<f64>() + 0.0
    }

    /// The differences as estimated beforehand, in the order they were given.
    pub fn innovations(&self) -> Vec<f64> {
        self.differences.iter().map(Estimate::value).collect()
    }

    /// The same, made independent and of unit variance, for tests of fit.
    pub fn whitened(&self) -> &[f64] {
        &self.whitened
    }

    /// By how much `estimate` falls for each unit of each difference: covariance times inverse covariance.
    pub fn weights(&self, estimate: &Estimate) -> Vec<f64> {
        let row = solve_lower(&self.factor, self.differences.iter().map(|d| estimate.covariance(d)));
        solve_upper(&self.factor, row)
    }
}

/// Solves `L y = b` for a lower triangle kept row by row.
fn solve_lower(factor: &[Vec<f64>], b: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut y: Vec<f64> = Vec::with_capacity(factor.len() + 1);
    for (row, b) in factor.iter().zip(b) {
        let known: f64 = row.iter().zip(&y).map(|(l, y)| l * y).sum();
        y.push((b - known) / row.last().copied().unwrap_or(1.0));
    }
    y
}

/// Solves `L' x = y`.
fn solve_upper(factor: &[Vec<f64>], mut y: Vec<f64>) -> Vec<f64> {
    for (at, row) in factor.iter().enumerate().rev() {
        let Some((diagonal, before)) = row.split_last() else { continue };
        let Some((head, x)) = y.get_mut(..=at).and_then(|head| head.split_last_mut().map(|(x, head)| (head, x))) else {
            continue;
        };
        *x /= diagonal;
        head.iter_mut().zip(before).for_each(|(y, l)| *y -= l * *x);
    }
    y
}

/// Solves `L y = d` for the differences themselves.
fn independent(factor: &[Vec<f64>], differences: &[Estimate]) -> Vec<Estimate> {
    let mut solved: Vec<Estimate> = Vec::with_capacity(factor.len());
    for (row, d) in factor.iter().zip(differences) {
        let known = row.iter().zip(&solved).map(|(l, y)| (-l, y));
        let parts: Vec<(f64, &Estimate)> = std::iter::once((1.0, d)).chain(known).collect();
        let left = Estimate::weighted_sum(&parts);
        solved.push(left.scaled(1.0 / row.last().copied().unwrap_or(1.0)));
    }
    solved
}

impl Estimate {
    /// Best linear update of the estimate, given that every difference of the condition is zero: what is believed of a
    /// mass after the tickets are in. Estimates updated by the same condition stay correlated as they should.
    pub fn given_zero(&self, condition: &Condition) -> Estimate {
        // Against independent conditions of unit variance the weight of each is its covariance.
        let corrections = condition.independent.iter().map(|u| (-self.covariance(u), u));
        let parts: Vec<(f64, &Estimate)> = std::iter::once((1.0, self)).chain(corrections).collect();
        Estimate::weighted_sum(&parts)
    }
}

#[cfg(test)]
mod tests;
