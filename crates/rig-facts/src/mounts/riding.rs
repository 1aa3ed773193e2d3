//! What rides on the body's mounts in one state: its mass and centre of gravity.
//!
//! The rule: the body's shell; everything placed with `in = "body"`, and what a generic part usually has inside or on the
//! body; what is in a tank and who sits on a seat that ride; panels, everything else on the roof and every awning. What `on` says wins:
//! `on = "body"` rides though its place is counted from the truck, `on = "chassis"` does not though it is counted in the
//! body. The bare chassis and the trailer's nose never ride.

use quantity::Estimate;

use crate::facts::StateFacts;
use crate::gap::Gap;
use crate::item::Item;
use crate::sums::Sums;
use crate::tickets::Tickets;

/// The body with all that rides on it.
#[derive(Clone, Debug)]
pub struct Riding {
    /// Mass, kg.
    pub mass: Result<Estimate, Gap>,
    /// Centre of gravity: x, y, z in the rig's frame, m.
    pub at: [Result<Estimate, Gap>; 3],
}

impl Riding {
    pub(super) fn of(state: &StateFacts, tickets: &Tickets) -> Self {
        let items: Vec<&Item> = state.items.iter().map(AsRef::as_ref).filter(|item| item.rides).collect();
        if items.is_empty() {
            let gap = || Err(Gap::at("body"));
            return Self { mass: gap(), at: [gap(), gap(), gap()] };
        }
        let sums = Sums::of(&items).map(|estimate| tickets.corrected(estimate));
        Self { at: [sums.x(), sums.y(), sums.z()], mass: sums.mass }
    }

    /// Mass and place together: what the shares of the mounts depend on.
    pub(super) fn lumped(&self) -> Result<[&Estimate; 4], Gap> {
        let [x, y, z] = &self.at;
        let get = |value: &'_ Result<Estimate, Gap>| value.as_ref().err().cloned();
        match (&self.mass, x, y, z) {
            (Ok(mass), Ok(x), Ok(y), Ok(z)) => Ok([mass, x, y, z]),
            (mass, ..) => Err([mass, x, y, z].into_iter().find_map(get).unwrap_or_else(|| Gap::at("body"))),
        }
    }
}
