//! What several checks of this trade ask of a limit.

use check::Held;
use check::limits::HeldBound;

/// The nominal bound of a limit, the upper one of two.
#[must_use]
pub fn bound(held: &Held) -> f64 {
    match &held.bound {
        HeldBound::AtMost(bound) | HeldBound::AtLeast(bound) | HeldBound::Between(_, bound) => bound.value(),
    }
}
