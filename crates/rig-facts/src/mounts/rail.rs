//! Bending moment along the frame, from what stands on it and what the axles push back.
//!
//! The bare chassis was weighed axle by axle and is known there alone; its own bending is left out, as is that of wheels
//! and axles, which the frame does not carry. So this is the moment of everything put on since.

use quantity::Estimate;

use super::reactions::{Axis, Outcome};
use crate::facts::{Facts, StateFacts};
use crate::gap::Gap;
use crate::item::ItemKind;
use physics::facts::gravity;

impl Facts {
    /// Bending moment of both rails together at x under 1 g, N m, in a state: positive where the frame sags, so that its
    /// upper edge is pressed; negative where it hangs over. Along a straight frame on its axles, standing level. Where no
    /// mount is told the body's pieces press where they stand; else the mounts do.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn rail_moment(&self, state: &StateFacts, x: f64) -> Result<Estimate, Gap> {
        let loads = state.loads.axles.as_ref().map_err(Clone::clone)?;
        // Each part: weight over lever, the exact x times a mass less a moment, so that what they share cancels.
        let mut parts: Vec<(f64, Estimate)> = Vec::new();
        for (axle, load) in self.axles.list().iter().zip(loads) {
            let at = axle.x.as_ref().map_err(Clone::clone)?.value();
            if at < x {
                let added = load - axle.bare_load.as_ref().map_err(Clone::clone)?;
                parts.push((gravity() * (x - at), added));
            }
        }
        let carried = self.standing(state);
        for item in state.items.iter().filter(|item| item.kind != ItemKind::Chassis && !(item.rides && carried.is_some())) {
            let at = item.at.first().and_then(|at| at.as_ref().ok()).map(Estimate::value);
            // What weighs nothing needs no place.
            let mass = item.mass.as_ref().map_err(Clone::clone)?;
            if mass.value() == 0.0 && mass.sd() == 0.0 {
                continue;
            }
            let moment = item.mass_x.as_ref().map_err(Clone::clone)?;
            if at.is_some_and(|at| at < x) {
                parts.push((-gravity() * x, self.tickets.corrected(mass)));
                parts.push((gravity(), self.tickets.corrected(moment)));
            }
        }
        if let Some(carried) = carried {
            for (index, mount) in self.mounts.list().iter().enumerate() {
                let at = mount.at.first().and_then(|at| at.as_ref().ok()).map_or(f64::INFINITY, Estimate::value);
                if at < x {
                    parts.push((at - x, self.mount_force(state, carried, index, Axis::Z)?));
                }
            }
        }
        let parts: Vec<(f64, &Estimate)> = parts.iter().map(|(weight, part)| (*weight, part)).collect();
        Ok(Estimate::weighted_sum(&parts))
    }

    /// What the mounts carry standing still, where they are told and hold.
    fn standing(&self, state: &StateFacts) -> Option<&super::Carried> {
        let case = self.mounts.cases().first()?;
        match self.mount_outcome(state, case) {
            Ok(Outcome::Held(carried)) => Some(carried),
            _ => None,
        }
    }
}
