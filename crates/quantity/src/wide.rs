//! Loops over many slots in the widest registers that the processor at hand has. Nothing is fused, and a sum keeps its
//! strands, so that the bits are those of the plain loop on any other.

use std::sync::LazyLock;

use pulp::{Arch, NullaryFnOnce};

static HERE: LazyLock<Arch> = LazyLock::new(Arch::new);

/// Up to so many slots a plain loop is as quick.
const SHORT: usize = 32;

/// Runs a loop in registers as wide as pay for so many slots.
fn run<L: NullaryFnOnce>(slots: usize, job: L) -> L::Output {
    if slots <= SHORT { job.call() } else { HERE.dispatch(job) }
}

struct Add<'a>(&'a mut [f64], f64, &'a [f64]);

impl NullaryFnOnce for Add<'_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        let Self(slots, weight, all) = self;
        slots.iter_mut().zip(all).for_each(|(slot, t)| *slot += weight * t);
    }
}

/// Adds `weight` times each of `all` to its slot.
pub(crate) fn add(slots: &mut [f64], weight: f64, all: &[f64]) {
    run(all.len().min(slots.len()), Add(slots, weight, all));
}

struct Filled<'a>(&'a [f64]);

impl NullaryFnOnce for Filled<'_> {
    type Output = u64;

    #[inline(always)]
    fn call(self) -> u64 {
        self.0.iter().map(|t| u64::from(*t != 0.0)).sum()
    }
}

/// How many are not zero.
pub(crate) fn filled(slots: &[f64]) -> usize {
    usize::try_from(run(slots.len(), Filled(slots))).unwrap_or(usize::MAX)
}

struct Dot<'a>(&'a [f64], &'a [f64]);

impl NullaryFnOnce for Dot<'_> {
    type Output = f64;

    #[inline(always)]
    fn call(self) -> f64 {
        let Self(a, b) = self;
        let shared = a.len().min(b.len());
        let ((a, a_rest), (b, b_rest)) = (a.split_at(shared).0.as_chunks::<4>(), b.split_at(shared).0.as_chunks::<4>());
        let mut strands = [0.0; 4];
        for (a, b) in a.iter().zip(b) {
            strands.iter_mut().zip(a.iter().zip(b)).for_each(|(strand, (a, b))| *strand += a * b);
        }
        let [first, second, third, fourth] = strands;
        let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
        (first + second) + (third + fourth) + rest + 0.0
    }
}

/// Sum of products in four strands, always the same four: quicker than one strand, and the same on every machine.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    run(a.len().min(b.len()), Dot(a, b))
}

struct Merge<'a>(f64, &'a [f64], f64, &'a [f64], &'a mut Vec<f64>);

impl NullaryFnOnce for Merge<'_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        let Self(left, these, right, those, sum) = self;
        sum.extend(these.iter().zip(those).map(|(s, t)| left * s + right * t));
    }
}

/// Pushes `left` times one and `right` times the other of each pair onto `sum`.
pub(crate) fn merge(left: f64, these: &[f64], right: f64, those: &[f64], sum: &mut Vec<f64>) {
    run(these.len().min(those.len()), Merge(left, these, right, those, sum));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers of many sizes and both signs.
    fn numbers(count: usize, seed: u64) -> Vec<f64> {
        let mut state = seed;
        let mut next = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 53) as f64 - 0.5
        };
        (0..count).map(|k| next() * [1e-4, 1e-2, 1.0, 1e2, 1e4][k % 5]).collect()
    }

    #[test]
    fn wide_and_plain_loops_agree_to_the_bit() {
        for count in [0, 1, 3, 31, 33, 64, 67, 300, 1021] {
            let (a, b) = (numbers(count, 1), numbers(count, 2));
            assert_eq!(dot(&a, &b).to_bits(), Dot(&a, &b).call().to_bits(), "{count}");
            let (mut wide, mut plain) = (a.clone(), a.clone());
            add(&mut wide, 0.3, &b);
            Add(&mut plain, 0.3, &b).call();
            assert_eq!(wide, plain, "{count}");
            let (mut wide, mut plain) = (Vec::new(), Vec::new());
            merge(0.7, &a, -1.1, &b, &mut wide);
            Merge(0.7, &a, -1.1, &b, &mut plain).call();
            assert_eq!(wide, plain, "{count}");
        }
    }
}
