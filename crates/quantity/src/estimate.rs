//! A value with first-order uncertainty that remembers which inputs it came from.

use crate::terms::{self, Terms};

/// Standard deviations in the half width of a 95 % interval of a normal distribution (its 97.5 % quantile; computed).
pub const Z95: f64 = 1.959963984540054;

/// Which stated value a share of the doubt comes from. Numbers should be small and dense, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct InputId(pub u32);

/// A value with first-order uncertainty. For each input it holds gradient times standard deviation, so that sums,
/// ratios and differences of estimates keep the correlation of what they share.
#[derive(Clone, Debug, Default)]
pub struct Estimate {
    value: f64,
    terms: Terms,
}

impl PartialEq for Estimate {
    fn eq(&self, other: &Estimate) -> bool {
        self.value == other.value && self.terms.iter().eq(other.terms.iter())
    }
}

impl Estimate {
    /// A value without doubt.
    pub fn exact(value: f64) -> Estimate {
        Estimate { value, terms: Terms::default() }
    }

    /// An input: its value and standard deviation. Two estimates with the same `id` are fully correlated.
    pub fn input(id: InputId, value: f64, sd: f64) -> Estimate {
        Estimate { value, terms: Terms::one(id, sd) }
    }

    /// The nominal value.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// Standard deviation.
    pub fn sd(&self) -> f64 {
        self.variance().sqrt()
    }

    /// Square of the standard deviation.
    pub fn variance(&self) -> f64 {
        self.terms.square()
    }

    /// Gradient times standard deviation of each input that matters, by id.
    pub fn terms(&self) -> Vec<(InputId, f64)> {
        self.terms.iter().collect()
    }

    /// The ends between which the true value lies in 95 cases of 100.
    pub fn interval95(&self) -> (f64, f64) {
        let half = Z95 * self.sd();
        (self.value - half, self.value + half)
    }

    /// The same, clipped to what is possible: `low` to `high`.
    pub fn interval_within(&self, low: f64, high: f64) -> (f64, f64) {
        let (a, b) = self.interval95();
        (a.max(low).min(high), b.max(low).min(high))
    }

    /// Covariance with another estimate.
    pub fn covariance(&self, other: &Estimate) -> f64 {
        self.terms.dot(&other.terms)
    }

    /// Share of the variance that comes from each input, largest first, equal ones by id. Empty without doubt.
    pub fn shares(&self) -> Vec<(InputId, f64)> {
        self.largest_shares(usize::MAX)
    }

    /// The first `most` of the shares: what is left need not be sorted.
    pub fn largest_shares(&self, most: usize) -> Vec<(InputId, f64)> {
        let variance = self.variance();
        let mut shares: Vec<_> = self.terms.iter().map(|(id, t)| (id, t * t / variance)).collect();
        let larger = |a: &(InputId, f64), b: &(InputId, f64)| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0));
        if most < shares.len() {
            shares.select_nth_unstable_by(most, larger);
            shares.truncate(most);
        }
        shares.sort_unstable_by(larger);
        shares
    }

    /// The value when input `id` is `draw[id]` standard deviations off; inputs beyond the slice are not off.
    pub fn at(&self, draw: &[f64]) -> f64 {
        let off = |(id, t): (InputId, f64)| draw.get(id.0 as usize).map_or(0.0, |z| t * z);
        self.value + self.terms.iter().map(off).sum::<f64>()
    }

    /// `factor` times the estimate.
    pub fn scale(&self, factor: f64) -> Estimate {
        self.clone().scaled(factor)
    }

    pub(crate) fn scaled(mut self, factor: f64) -> Estimate {
        self.value *= factor;
        self.terms.scale(factor);
        self
    }

    /// The estimate and `amount` more.
    pub fn offset(&self, amount: f64) -> Estimate {
        self.clone().shifted(amount)
    }

    pub(crate) fn shifted(mut self, amount: f64) -> Estimate {
        self.value += amount;
        self
    }

    /// Sum of estimates.
    pub fn sum<'a>(estimates: impl Iterator<Item = &'a Estimate>) -> Estimate {
        let mut value = 0.0;
        let terms = estimates.map(|estimate| {
            value += estimate.value;
            (1.0, &estimate.terms)
        });
        let terms = terms::weighted_sum(&terms.collect::<Vec<_>>());
        Estimate { value, terms }
    }

    /// Sum of weight times estimate: one pass, whatever the number of inputs.
    pub fn weighted_sum(parts: &[(f64, &Estimate)]) -> Estimate {
        let value = parts.iter().fold(0.0, |value, (weight, estimate)| value + weight * estimate.value);
        let terms = match parts {
            [] => Terms::default(),
            [(weight, one)] => {
                let mut terms = one.terms.clone();
                terms.scale(*weight);
                terms
            }
            // No slots up to the largest id for a handful of terms.
            [(left, a), (right, b), rest @ ..] if parts.iter().all(|(_, part)| part.terms.are_few()) => {
                let first = Terms::merged(*left, &a.terms, *right, &b.terms);
                rest.iter().fold(first, |sum, (weight, part)| Terms::merged(1.0, &sum, *weight, &part.terms))
            }
            _ => terms::weighted_sum(&parts.iter().map(|(weight, part)| (*weight, &part.terms)).collect::<Vec<_>>()),
        };
        Estimate { value, terms }
    }

    /// `value`, with the doubt of `parts` weighted by their gradients: for a function that was evaluated elsewhere.
    pub fn with_gradients(value: f64, parts: &[(f64, &Estimate)]) -> Estimate {
        Estimate { value, ..Estimate::weighted_sum(parts) }
    }

    /// `left * self + right * other` in the terms alone, with a new value: what a sum, product or ratio of two needs.
    pub(crate) fn merged(value: f64, left: f64, a: &Estimate, right: f64, b: &Estimate) -> Estimate {
        Estimate { value, terms: Terms::merged(left, &a.terms, right, &b.terms) }
    }

    /// `f` of the inputs, with its gradient by central differences, one standard deviation of each input to either
    /// side: the slope over the width of the doubt, which a kink inside it does not fool. Inputs may be correlated.
    ///
    /// Where only one side can be computed (the other lies outside the range of `f`), the difference is one-sided.
    ///
    /// # Errors
    /// The error of `f` at the nominal values, or where both sides of an input fail.
    pub fn propagate<E>(inputs: &[&Estimate], mut f: impl FnMut(&[f64]) -> Result<f64, E>) -> Result<Estimate, E> {
        let nominal: Vec<f64> = inputs.iter().map(|input| input.value).collect();
        let value = f(&nominal)?;
        let mut at = nominal.clone();
        let mut parts = Vec::with_capacity(inputs.len());
        for (k, input) in inputs.iter().enumerate() {
            let step = input.sd();
            if step == 0.0 {
                continue;
            }
            let mut beside = |x: f64| {
                at.clone_from(&nominal);
                at.iter_mut().skip(k).take(1).for_each(|slot| *slot = x);
                f(&at)
            };
            let rise = match (beside(input.value + step), beside(input.value - step)) {
                (Ok(above), Ok(below)) => (above - below) / 2.0,
                (Ok(above), Err(_)) => above - value,
                (Err(_), Ok(below)) => value - below,
                (Err(error), Err(_)) => return Err(error),
            };
            parts.push((rise / step, *input));
        }
        Ok(Estimate::with_gradients(value, &parts))
    }
}

#[cfg(test)]
mod tests;
