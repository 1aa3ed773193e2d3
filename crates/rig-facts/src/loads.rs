//! Sums, axle loads and wheel loads of one state.

use quantity::Estimate;

use crate::axles::Axles;
use crate::gap::Gap;
use crate::item::{Item, ItemKind};
use crate::sums::{Sums, total};

/// How a load off the centreline was shared between the axles.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SideRule {
    /// By lever arm, each mass on the axles it stands between: a frame that twists freely.
    LeverArm,
    /// By the axles' roll stiffness: a frame that does not twist.
    RollStiffness,
}

/// Loads on the ground under the left and the right wheels of one axle, kg.
#[derive(Clone, Debug, PartialEq)]
pub struct Sides {
    /// Left.
    pub left: Estimate,
    /// Right.
    pub right: Estimate,
    /// Lateral offset of this axle's load, m to the right.
    pub offset: Estimate,
    /// How it was shared.
    pub rule: SideRule,
}

/// What stands on the ground, and where, in one state.
#[derive(Clone, Debug)]
pub struct Loads {
    /// Mass and its moments.
    pub sums: Sums,
    /// Load under each axle in file order, kg; nothing under a lifted one. May be negative: the axle would lift.
    pub axles: Result<Vec<Estimate>, Gap>,
    /// Loads under the wheels of each axle, in file order.
    pub sides: Vec<Result<Sides, Gap>>,
}

impl Loads {
    /// From the items of a state.
    #[must_use]
    pub fn of(items: &[&Item], axles: &Axles, lifted: &[bool]) -> Self {
        let sums = Sums::of(items);
        let loads = axle_loads(items, &sums, axles, lifted);
        let sides = side_loads(&sums, &loads, axles, lifted);
        Self { sums, axles: loads, sides }
    }

    /// The same with every estimate mapped, gaps kept.
    #[must_use]
    pub fn map(&self, mut f: impl FnMut(&Estimate) -> Estimate) -> Self {
        Self {
            sums: self.sums.map(&mut f),
            axles: self.axles.as_ref().map(|loads| loads.iter().map(&mut f).collect()).map_err(Clone::clone),
            sides: self
                .sides
                .iter()
                .map(|sides| {
                    let sides = sides.as_ref().map_err(Clone::clone)?;
                    Ok(Sides { left: f(&sides.left), right: f(&sides.right), offset: f(&sides.offset), rule: sides.rule })
                })
                .collect(),
        }
    }
}

/// Bare chassis as weighed, and what stands on it shared by statics. With an axle lifted the whole is shared anew, since
/// the bare readings were taken with all wheels down.
fn axle_loads(items: &[&Item], sums: &Sums, axles: &Axles, lifted: &[bool]) -> Result<Vec<Estimate>, Gap> {
    if axles.list().is_empty() {
        return Err(Gap::at("axle"));
    }
    let shares = axles.shares(lifted)?;
    let count = axles.list().len();
    if lifted.iter().any(|lifted| *lifted) {
        let mass = sums.mass.as_ref().map_err(Clone::clone)?;
        let moment = sums.mass_x.as_ref().map_err(Clone::clone)?;
        return Ok(shares.spread(mass, moment, count, true));
    }
    let on_top = items.iter().copied().filter(|item| item.kind != ItemKind::Chassis);
    let (mass, moment) = (total(on_top.clone(), |item| item.mass.as_ref())?, total(on_top, |item| item.mass_x.as_ref())?);
    let added = shares.spread(&mass, &moment, count, false);
    axles.list().iter().zip(added).map(|(axle, added)| Ok(&added + axle.bare_load.as_ref().map_err(Clone::clone)?)).collect()
}

fn side_loads(sums: &Sums, loads: &Result<Vec<Estimate>, Gap>, axles: &Axles, lifted: &[bool]) -> Vec<Result<Sides, Gap>> {
    let moments = side_moments(sums, axles, lifted);
    axles
        .list()
        .iter()
        .enumerate()
        .map(|(index, axle)| {
            let load = loads.as_ref().map_err(Clone::clone)?.get(index).cloned().unwrap_or(Estimate::exact(0.0));
            let (moments, rule) = moments.as_ref().map_err(Clone::clone)?;
            let moment = moments.get(index).cloned().unwrap_or(Estimate::exact(0.0));
            let track = axle.track.as_ref().map_err(Clone::clone)?;
            let shift = &moment / track;
            let half = load.scale(0.5);
            let offset = if load.value() > 0.0 { &moment / &load } else { Estimate::exact(0.0) };
            Ok(Sides { left: &half - &shift, right: &half + &shift, offset, rule: *rule })
        })
        .collect()
}

/// Moment about the centreline that each axle carries, kg m, right side down positive.
fn side_moments(sums: &Sums, axles: &Axles, lifted: &[bool]) -> Result<(Vec<Estimate>, SideRule), Gap> {
    let moment = sums.mass_y.as_ref().map_err(Clone::clone)?;
    let count = axles.list().len();
    let standing: Vec<usize> = axles.standing(lifted).collect();
    let stiffness: Option<Vec<(usize, &Estimate)>> =
        standing.iter().map(|index| Some((*index, axles.list().get(*index)?.roll_stiffness.as_ref().ok()?))).collect();
    if let Some(stiffness) = stiffness.filter(|list| !list.is_empty()) {
        let total = Estimate::sum(stiffness.iter().map(|(_, stiffness)| *stiffness));
        let mut moments = vec![Estimate::exact(0.0); count];
        for (index, stiffness) in stiffness {
            if let Some(slot) = moments.get_mut(index) {
                *slot = &(moment * stiffness) / &total;
            }
        }
        return Ok((moments, SideRule::RollStiffness));
    }
    let moment_x = sums.mass_xy.as_ref().map_err(Clone::clone)?;
    Ok((axles.shares(lifted)?.spread(moment, moment_x, count, false), SideRule::LeverArm))
}
