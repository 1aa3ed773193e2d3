//! What several checks of this trade say of limits and of answers to choose from.

use check::limits::HeldBound;
use check::{Finding, Held};

/// What is said where none of the chosen sets has a limit.
pub const NO_LIMIT: &str = "none of the chosen sets of limits holds it against anything";

/// The nominal bound of a limit, the upper one of two.
#[must_use]
pub fn bound(held: &Held) -> f64 {
    match &held.bound {
        HeldBound::AtMost(bound) | HeldBound::AtLeast(bound) | HeldBound::Between(_, bound) => bound.value(),
    }
}

/// The least of several bounds.
#[must_use]
pub fn least(held: &[Held]) -> Option<f64> {
    held.iter().map(bound).min_by(f64::total_cmp)
}

/// The largest of several bounds.
#[must_use]
pub fn largest(held: &[Held]) -> Option<f64> {
    held.iter().map(bound).max_by(f64::total_cmp)
}

/// Of several answers about the same subject the one nearest to being broken, or broken most; of two alike the first.
#[must_use]
pub fn worst_of(answers: Vec<Finding>) -> Option<Finding> {
    let used = |finding: &Finding| finding.utilisation.map_or(0.0, |used| used.0);
    answers.into_iter().reduce(|worst, other| {
        let order = other.verdict.rank().cmp(&worst.verdict.rank()).then(used(&other).total_cmp(&used(&worst)));
        if order.is_gt() { other } else { worst }
    })
}
