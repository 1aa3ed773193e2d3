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

/// Slots worked on at once: eight of the widest registers most machines have.
const BLOCK: usize = 32;

struct Combine<'a>(&'a [(f64, &'a [f64])], usize);

impl NullaryFnOnce for Combine<'_> {
    type Output = Vec<f64>;

    #[inline(always)]
    fn call(self) -> Vec<f64> {
        let Self(parts, slots) = self;
        let mut sum = Vec::with_capacity(slots.next_multiple_of(BLOCK));
        while sum.len() < slots {
            let mut block = [0.0; BLOCK];
            for (weight, part) in parts {
                let whole = part.get(sum.len()..).and_then(<[f64]>::first_chunk::<BLOCK>);
                whole.into_iter().for_each(|all| block.iter_mut().zip(all).for_each(|(slot, t)| *slot += weight * t));
            }
            sum.extend_from_slice(&block);
        }
        sum.truncate(slots);
        for (weight, part) in parts {
            let rest = part.as_chunks::<BLOCK>().1;
            let onto = sum.get_mut(part.len() - rest.len()..).unwrap_or_default();
            onto.iter_mut().zip(rest).for_each(|(slot, t)| *slot += weight * t);
        }
        sum
    }
}

/// The sum of weight times part, slot by slot, in the first so many slots.
pub(crate) fn combine(parts: &[(f64, &[f64])], slots: usize) -> Vec<f64> {
    run(slots, Combine(parts, slots))
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

/// Sums of products side by side: enough that no sum waits for the one before it.
const STRANDS: usize = 16;

struct Dot<'a>(&'a [f64], &'a [f64]);

impl NullaryFnOnce for Dot<'_> {
    /// The strands, not their sum: with the sum in sight the compiler takes the loop apart into narrow registers.
    type Output = [f64; STRANDS];

    #[inline(always)]
    fn call(self) -> [f64; STRANDS] {
        let Self(a, b) = self;
        let mut strands = [0.0; STRANDS];
        for (a, b) in a.as_chunks::<STRANDS>().0.iter().zip(b.as_chunks::<STRANDS>().0) {
            strands.iter_mut().zip(a.iter().zip(b)).for_each(|(strand, (a, b))| *strand += a * b);
        }
        strands
    }
}

/// Sum of products in strands, always as many: quicker than one strand, and the same on every machine.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let shared = a.len().min(b.len());
    let (a, b) = (a.split_at(shared).0, b.split_at(shared).0);
    let mut strands = run(shared, Dot(a, b));
    let rests = a.as_chunks::<STRANDS>().1.iter().zip(b.as_chunks::<STRANDS>().1);
    strands.iter_mut().zip(rests).for_each(|(strand, (a, b))| *strand += a * b);
    let mut half = STRANDS / 2;
    while half > 0 {
        let (these, those) = strands.split_at_mut(half);
        these.iter_mut().zip(those).for_each(|(one, other)| *one += *other);
        half /= 2;
    }
    strands.first().copied().unwrap_or_default() + 0.0
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
            assert_eq!(run(count, Dot(&a, &b)), Dot(&a, &b).call(), "{count}");
            let exact: f64 = a.iter().zip(&b).map(|(a, b)| a * b).sum();
            let size: f64 = a.iter().zip(&b).map(|(a, b)| (a * b).abs()).sum();
            assert!((dot(&a, &b) - exact).abs() <= 1e-14 * size, "{count}: {} {exact}", dot(&a, &b));
            let parts = [(0.3, &a[..]), (-2.0, &b[..count / 2]), (1.5, &b[..])];
            let wide = combine(&parts, count + 3);
            assert_eq!(wide, Combine(&parts, count + 3).call(), "{count}");
            assert_eq!(wide.len(), count + 3);
            for (k, sum) in wide.iter().enumerate() {
                let each = || parts.iter().map(|(w, part)| w * part.get(k).unwrap_or(&0.0));
                let size: f64 = each().map(f64::abs).sum();
                assert!((sum - each().sum::<f64>()).abs() <= 1e-15 * size, "{count}, {k}");
            }
            let (mut wide, mut plain) = (Vec::new(), Vec::new());
            merge(0.7, &a, -1.1, &b, &mut wide);
            Merge(0.7, &a, -1.1, &b, &mut plain).call();
            assert_eq!(wide, plain, "{count}");
        }
    }
}
