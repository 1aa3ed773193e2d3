//! What each mount carries in one state under one case, with its doubt: mass and centre of gravity of what rides, and the
//! stiffness of the mount itself. Where the mounts stand is taken as exact: their 10 mm are small beside the doubt of the
//! centre of gravity.

use physics::facts::gravity;
use physics::support::{self, Answer, FreeMotion, Load};
use quantity::{Estimate, Z95};

use super::layout::Layout;
use super::response::{Response, Share};
use super::riding::Riding;
use crate::gap::Gap;

/// How the mounts stand a case.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// They hold.
    Held(Carried),
    /// Nothing holds the body in some direction, whatever the load.
    Free(Vec<FreeMotion>),
    /// One-sided mounts let go under this load, and the body moves.
    LetsGo {
        /// The ways it then moves.
        motions: Vec<FreeMotion>,
        /// Mounts that let go, by their place in the file, from 0.
        let_go: Vec<usize>,
        /// Whether it does so wherever the centre of gravity plausibly is.
        surely: bool,
    },
    /// It was not found which one-sided mounts hold.
    Unsettled,
}

/// What the mounts carry when they hold.
#[derive(Clone, Debug)]
pub struct Carried {
    pub(super) shares: Vec<[Share; 3]>,
    /// One-sided mounts that let go in some direction and are not needed, by their place in the file, from 0.
    pub let_go: Vec<usize>,
    /// Whether the mounts hold wherever the centre of gravity plausibly is; else treat as unsettled.
    pub surely: bool,
}

/// A direction of a force: along x (rearward), y (to the right) or z (up).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    /// Rearward.
    X,
    /// To the right.
    Y,
    /// Up.
    Z,
}

impl Carried {
    /// How many mounts there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.shares.len()
    }

    /// Nominal force of a mount on the body, N: x rearward, y to the right, z up. The frame feels the opposite.
    #[must_use]
    pub fn nominal(&self, mount: usize) -> [f64; 3] {
        self.shares.get(mount).map_or([0.0; 3], |shares| shares.map(|share| share.value))
    }

    fn share(&self, mount: usize, axis: Axis) -> Share {
        let axis = match axis {
            Axis::X => 0,
            Axis::Y => 1,
            Axis::Z => 2,
        };
        self.shares.get(mount).and_then(|shares| shares.get(axis)).copied().unwrap_or_default()
    }
}

/// The estimate of one force of a mount on the body, N.
pub(super) fn estimate(carried: &Carried, mount: usize, axis: Axis, layout: &Layout, riding: &Riding) -> Result<Estimate, Gap> {
    let share = carried.share(mount, axis);
    let lumped = riding.lumped()?;
    let zero = Estimate::exact(0.0);
    let factor = layout.list.get(mount).map_or(&zero, |mount| &mount.stiffness_factor);
    let [mass, x, y, z] = lumped;
    let [by_mass, by_x, by_y, by_z] = share.slope;
    let rail = if axis == Axis::Z { share.value } else { 0.0 };
    let parts = [(by_mass, mass), (by_x, x), (by_y, y), (by_z, z), (share.by_stiffness, factor), (rail, &layout.rail_factor)];
    let used: Vec<(f64, &Estimate)> = parts.into_iter().filter(|(slope, _)| *slope != 0.0).collect();
    let sum = Estimate::weighted_sum(&used);
    Ok(sum.offset(share.value - sum.value()))
}

/// The answer of the mounts to one case.
pub(super) fn outcome(response: &Response, layout: &Layout, riding: &Riding, g: [f64; 3]) -> Result<Outcome, Gap> {
    let [mass, x, y, z] = riding.lumped()?;
    let at = [x.value(), y.value(), z.value()];
    let acceleration = g.map(|g| g * gravity());
    let Some(shares) = response.linear(mass.value(), at, acceleration) else {
        return Ok(one_sided(response, layout, riding.lumped()?, acceleration));
    };
    // Inside the doubt of the centre of gravity another answer may hold.
    let surely = !response.one_sided() || corners([x, y, z]).all(|at| response.linear(mass.value(), at, acceleration).is_some());
    if surely {
        return Ok(Outcome::Held(Carried { shares, let_go: Vec::new(), surely }));
    }
    Ok(match one_sided(response, layout, riding.lumped()?, acceleration) {
        Outcome::Held(carried) => Outcome::Held(carried),
        _ => Outcome::Held(Carried { shares, let_go: Vec::new(), surely }),
    })
}

/// The centre of gravity at the ends of its doubt, one direction at a time.
fn corners<'a>(place: [&'a Estimate; 3]) -> impl Iterator<Item = [f64; 3]> + 'a {
    let nominal = place.map(Estimate::value);
    [0, 1, 2].into_iter().flat_map(move |axis| {
        let half = place.get(axis).map_or(0.0, |estimate| Z95 * estimate.sd());
        [half, -half].map(|off| moved(nominal, axis, off))
    })
}

fn moved(mut at: [f64; 3], axis: usize, off: f64) -> [f64; 3] {
    at.iter_mut().skip(axis).take(1).for_each(|place| *place += off);
    at
}

/// The answer where one-sided mounts may let go: solved for the load itself, and for it at the ends of the doubt.
fn one_sided(response: &Response, layout: &Layout, lumped: [&Estimate; 4], acceleration: [f64; 3]) -> Outcome {
    let [mass, x, y, z] = lumped;
    let place = [x, y, z];
    let nominal = place.map(Estimate::value);
    let force = acceleration.map(|a| a * mass.value());
    let solve = |mounts: &[support::Mount], at| support::reactions(mounts, &Load { force, at });
    let held = match solve(&response.mounts, nominal) {
        Answer::Held(held) => held,
        Answer::Free(motions) => return Outcome::Free(motions),
        Answer::Unsettled => return Outcome::Unsettled,
        Answer::LetsGo { motions, let_go } => {
            let surely = corners(place).all(|at| matches!(solve(&response.mounts, at), Answer::LetsGo { .. }));
            return Outcome::LetsGo { motions, let_go, surely };
        }
    };
    let at_end = |axis: usize, off: f64| match solve(&response.mounts, moved(nominal, axis, off)) {
        Answer::Held(held) => Some(held.on_body),
        _ => None,
    };
    let mut surely = true;
    let mut shares: Vec<[Share; 3]> = held
        .on_body
        .iter()
        .map(|force| {
            // One-sided mounts answer in proportion: twice the mass, twice the forces.
            force.map(|value| Share { value, slope: [value / mass.value(), 0.0, 0.0, 0.0], by_stiffness: 0.0 })
        })
        .collect();
    for (axis, estimate) in place.into_iter().enumerate() {
        let half = Z95 * estimate.sd();
        if half == 0.0 {
            continue;
        }
        let (above, below) = (at_end(axis, half), at_end(axis, -half));
        surely &= above.is_some() && below.is_some();
        let (high, low, width) = match (&above, &below) {
            (Some(above), Some(below)) => (above, below, 2.0 * half),
            (Some(above), None) => (above, &held.on_body, half),
            (None, Some(below)) => (&held.on_body, below, half),
            (None, None) => continue,
        };
        for ((shares, high), low) in shares.iter_mut().zip(high).zip(low) {
            for ((share, high), low) in shares.iter_mut().zip(high).zip(low) {
                share.slope.iter_mut().skip(axis + 1).take(1).for_each(|slope| *slope = (high - low) / width);
            }
        }
    }
    stiffness_doubt(&mut shares, response, layout, |mounts| match solve(mounts, nominal) {
        Answer::Held(held) => Some(held.on_body),
        _ => None,
    });
    Outcome::Held(Carried { shares, let_go: held.let_go, surely })
}

/// How the share of each mount moves with its own stiffness.
fn stiffness_doubt(
    shares: &mut [[Share; 3]],
    response: &Response,
    layout: &Layout,
    solve: impl Fn(&[support::Mount]) -> Option<Vec<[f64; 3]>>,
) {
    let mut mounts = response.mounts.clone();
    for (index, (facts, shares)) in layout.list.iter().zip(shares).enumerate() {
        let doubt = facts.stiffness_factor.sd();
        let Some(own) = mounts.get(index).map(|mount| mount.stiffness).filter(|_| doubt > 0.0) else { continue };
        let mut with = |factor: f64| {
            mounts.iter_mut().skip(index).take(1).for_each(|mount| mount.stiffness = own.map(|k| k * factor));
            solve(&mounts).and_then(|all| all.get(index).copied())
        };
        let (stiff, soft) = (with(1.0 + doubt), with(1.0 / (1.0 + doubt)));
        mounts.iter_mut().skip(index).take(1).for_each(|mount| mount.stiffness = own);
        let (Some(stiff), Some(soft)) = (stiff, soft) else { continue };
        for ((share, stiff), soft) in shares.iter_mut().zip(stiff).zip(soft) {
            share.by_stiffness = (stiff - soft) / 2.0 / doubt;
        }
    }
}
