//! A value with first-order uncertainty that remembers which inputs it came from.

use std::collections::BTreeMap;

/// Standard deviations in the half width of a 95 % interval of a normal distribution (its 97.5 % quantile; computed).
pub const Z95: f64 = 1.959963984540054;

/// Which stated value a share of the doubt comes from. Numbers should be small and dense, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct InputId(pub u32);

/// A value with first-order uncertainty. For each input it holds gradient times standard deviation, so that sums,
/// ratios and differences of estimates keep the correlation of what they share.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Estimate {
    value: f64,
    terms: Vec<(InputId, f64)>,
}

impl Estimate {
    /// A value without doubt.
    pub fn exact(value: f64) -> Estimate {
        Estimate { value, terms: Vec::new() }
    }

    /// An input: its value and standard deviation. Two estimates with the same `id` are fully correlated.
    pub fn input(id: InputId, value: f64, sd: f64) -> Estimate {
        let terms = if sd == 0.0 { Vec::new() } else { vec![(id, sd)] };
        Estimate { value, terms }
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
        self.terms.iter().map(|(_, t)| t * t).sum::<f64>() + 0.0
    }

    /// Gradient times standard deviation of each input that matters, by id.
    pub fn terms(&self) -> &[(InputId, f64)] {
        &self.terms
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
        let mut total = 0.0;
        let (mut left, mut right) = (self.terms.iter().peekable(), other.terms.iter().peekable());
        while let (Some((a, s)), Some((b, t))) = (left.peek(), right.peek()) {
            match a.cmp(b) {
                std::cmp::Ordering::Less => _ = left.next(),
                std::cmp::Ordering::Greater => _ = right.next(),
                std::cmp::Ordering::Equal => {
                    total += s * t;
                    left.next();
                    right.next();
                }
            }
        }
        total
    }

    /// Share of the variance that comes from each input, largest first, equal ones by id. Empty without doubt.
    pub fn shares(&self) -> Vec<(InputId, f64)> {
        let variance = self.variance();
        let mut shares: Vec<_> = self.terms.iter().map(|(id, t)| (*id, t * t / variance)).collect();
        shares.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        shares
    }

    /// The value when input `id` is `draw[id]` standard deviations off; inputs beyond the slice are not off.
    pub fn at(&self, draw: &[f64]) -> f64 {
        let off = |(id, t): &(InputId, f64)| draw.get(id.0 as usize).map_or(0.0, |z| t * z);
        self.value + self.terms.iter().map(off).sum::<f64>()
    }

    /// `factor` times the estimate.
    pub fn scale(&self, factor: f64) -> Estimate {
        self.clone().scaled(factor)
    }

    pub(crate) fn scaled(mut self, factor: f64) -> Estimate {
        self.value *= factor;
        self.terms.iter_mut().for_each(|(_, t)| *t *= factor);
        self.terms.retain(|(_, t)| *t != 0.0);
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
        let mut total = Accumulator::default();
        estimates.for_each(|estimate| total.add(1.0, estimate));
        total.finish()
    }

    /// Sum of weight times estimate: one pass, whatever the number of inputs.
    pub fn weighted_sum(parts: &[(f64, &Estimate)]) -> Estimate {
        let mut total = Accumulator::default();
        parts.iter().for_each(|(weight, estimate)| total.add(*weight, estimate));
        total.finish()
    }

    /// `value`, with the doubt of `parts` weighted by their gradients.
    pub(crate) fn with_gradients(value: f64, parts: &[(f64, &Estimate)]) -> Estimate {
        Estimate { value, ..Estimate::weighted_sum(parts) }
    }

    /// `left * self + right * other` in the terms alone, with a new value: what a sum, product or ratio of two needs.
    pub(crate) fn merged(value: f64, left: f64, a: &Estimate, right: f64, b: &Estimate) -> Estimate {
        let mut terms = Vec::with_capacity(a.terms.len() + b.terms.len());
        let (mut these, mut those) = (a.terms.iter().peekable(), b.terms.iter().peekable());
        loop {
            let (id, t) = match (these.peek(), those.peek()) {
                (Some((i, s)), Some((j, t))) if i == j => {
                    let both = (*i, left * s + right * t);
                    these.next();
                    those.next();
                    both
                }
                (Some((i, s)), other) if other.is_none_or(|(j, _)| i < j) => {
                    these.next();
                    (*i, left * s)
                }
                (_, Some((j, t))) => {
                    those.next();
                    (*j, right * t)
                }
                (_, None) => break,
            };
            if t != 0.0 {
                terms.push((id, t));
            }
        }
        Estimate { value, terms }
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

/// A sum in the making: a slot for each input, so that adding an estimate allocates nothing once the slots are there.
#[derive(Default)]
struct Accumulator {
    value: f64,
    slots: Vec<f64>,
    /// Ids too large for a slot each.
    far: BTreeMap<u32, f64>,
}

/// Ids from here on share a tree: ids are dense by contract, and one stray id must not cost gigabytes.
const SLOTS_AT_MOST: usize = 1 << 16;

impl Accumulator {
    fn add(&mut self, weight: f64, estimate: &Estimate) {
        self.value += weight * estimate.value;
        let Some((last, _)) = estimate.terms.last() else { return };
        let wanted = (last.0 as usize).saturating_add(1).min(SLOTS_AT_MOST);
        if self.slots.len() < wanted {
            self.slots.resize(wanted, 0.0);
        }
        for (id, t) in &estimate.terms {
            match self.slots.get_mut(id.0 as usize) {
                Some(slot) => *slot += weight * t,
                None => *self.far.entry(id.0).or_insert(0.0) += weight * t,
            }
        }
    }

    fn finish(self) -> Estimate {
        let near = (0_u32..).zip(self.slots);
        let terms = near.chain(self.far).filter(|(_, t)| *t != 0.0).map(|(id, t)| (InputId(id), t)).collect();
        Estimate { value: self.value, terms }
    }
}

#[cfg(test)]
mod tests;
