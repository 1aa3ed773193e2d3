//! How the rig stands sideways in one state: what roll-stability, side-slope, cornering and free-surface share.
//!
//! The narrowest track on the ground, the height of the centre of gravity with what liquids add to it, its offset from
//! the centreline, and the sideways acceleration at which the inner wheels lift.

use check::Context;
use physics::free_surface::{box_rise, box_shift};
use physics::stability::{stability_factor, threshold};
use quantity::{Estimate, real};
use rig_facts::liquid::{centre_share, depth_share};
use rig_facts::{Gap, ItemKind, StateFacts};
use rig_model::model::{Tank, TankShape};
use rig_model::path;

/// A tank that liquid can run to and fro in.
#[derive(Clone, Debug)]
pub struct Running {
    /// Its name.
    pub name: String,
    /// Its path.
    pub path: String,
    /// Index in file order of the tanks.
    pub index: usize,
    /// Equal cells across the width.
    pub cells: u8,
    shape: TankShape,
    size: [f64; 3],
    liquid: Estimate,
    fill: Estimate,
}

impl Running {
    /// Sideways move of the liquid's own centre of gravity, m, at a tangent between liquid and tank. A cylinder along
    /// the rig acts as if its liquid sat on its axis; one that lies across or stands counts as its box, which is too much.
    #[must_use]
    pub fn shift(&self, slope: f64, fill: f64, cells: u8) -> f64 {
        let [_, breadth, height] = self.size;
        if self.shape == TankShape::CylinderAlong {
            return (centre_share(self.shape, 1.0) - centre_share(self.shape, fill)) * height * slope;
        }
        box_shift(breadth / f64::from(cells), height, depth_share(self.shape, fill) * height, slope)
    }

    /// Rise of the rig's centre of gravity by the small-angle formula, m: never less than at a real lean.
    fn small_rise(&self, mass: f64) -> f64 {
        let [length, breadth, height] = self.size;
        let depth = depth_share(self.shape, self.fill.value()) * height;
        if self.shape == TankShape::CylinderAlong {
            return self.liquid.value() * self.shift(1.0, self.fill.value(), 1) / mass;
        }
        let density = self.liquid.value() / (length * breadth * depth);
        box_rise(length, breadth, f64::from(self.cells), density, mass)
    }

    /// The same at its own fill and with its own cells.
    #[must_use]
    pub fn shift_at(&self, slope: f64) -> f64 {
        self.shift(slope, self.fill.value(), self.cells)
    }

    /// Whether walls along the rig keep its liquid from running.
    #[must_use]
    pub fn is_divisible(&self) -> bool {
        self.shape != TankShape::CylinderAlong
    }

    /// Mass of the liquid, kg.
    #[must_use]
    pub fn liquid(&self) -> &Estimate {
        &self.liquid
    }
}

/// The part-filled tanks of a state. A full or an empty tank does not run.
///
/// # Errors
/// The gap that stops it: a fill, a mass, or the size of a part-filled tank.
pub fn running(cx: &Context, state: &StateFacts) -> Result<Vec<Running>, Gap> {
    let mut found = Vec::new();
    for (index, (tank, fill)) in cx.rig().tank.iter().zip(&state.fills).enumerate() {
        let path = path::of("tank", &tank.name, index);
        let fill = fill.as_ref().map_err(Clone::clone)?;
        if fill.value() <= 0.0 || fill.value() >= 1.0 {
            continue;
        }
        let liquid = state.items.iter().find(|item| item.kind == ItemKind::Liquid && item.path == path);
        let liquid = liquid.ok_or_else(|| Gap::at(path.clone()))?.mass.clone()?;
        let size = sizes(tank).ok_or_else(|| {
            Gap::because(format!("{path}.size"), "how far the liquid of a part-filled tank runs depends on the tank's size")
        })?;
        found.push(Running {
            name: tank.name.clone(),
            index,
            cells: tank.cells_across.unwrap_or(1).max(1),
            shape: tank.shape.unwrap_or(TankShape::Box),
            size,
            liquid,
            fill: fill.clone(),
            path,
        });
    }
    Ok(found)
}

fn sizes(tank: &Tank) -> Option<[f64; 3]> {
    let [length, width, height] = tank.size.as_ref()?;
    Some([length.value()?, width.value()?, height.value()?])
}

/// What decides the roll threshold.
#[derive(Clone, Debug, PartialEq)]
pub enum OnSprings {
    /// Roll stiffness and roll centre are told: stiffness of the standing axles in Nm/rad, height of the centre in m.
    Told(Estimate, Estimate),
    /// Share of the rigid rig's limit that is left.
    Share(Estimate),
}

/// How the rig stands sideways.
#[derive(Clone, Debug)]
pub struct Stance {
    /// Narrowest track of the standing axles, m.
    pub track: Estimate,
    /// Mass, kg.
    pub mass: Estimate,
    /// Height of the centre of gravity as if all liquid were frozen, m.
    pub solid: Estimate,
    /// What running liquid adds to it, m.
    pub rise: Estimate,
    /// Offset of the centre of gravity to the right, m.
    pub offset: Estimate,
    /// Springs.
    pub springs: OnSprings,
    /// Part-filled tanks.
    pub tanks: Vec<Running>,
}

impl Stance {
    /// In one state; worked out once for all checks.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn of(cx: &Context, state: &StateFacts) -> Result<Self, Gap> {
        Result::clone(&cx.shared(&state.name, || Self::work_out(cx, state)))
    }

    fn work_out(cx: &Context, state: &StateFacts) -> Result<Self, Gap> {
        let sums = &state.loads.sums;
        let (mass, solid, offset) = (sums.mass.clone()?, sums.z()?, sums.y()?);
        let track = narrowest_track(cx, state)?;
        let tanks = running(cx, state)?;
        let mut stance = Self { springs: springs(cx, state), rise: Estimate::exact(0.0), track, mass, solid, offset, tanks };
        if stance.solid.value() <= 0.0 {
            return Err(Gap::because("chassis.centre_height", "the centre of gravity comes out below the ground: look again"));
        }
        stance.rise = stance.rise_with(|tank| tank.cells)?;
        stance.threshold()?;
        Ok(stance)
    }

    /// Tangent between liquid and tank at which its shift is taken: a little short of the lean that tips the rig (the
    /// small-angle rise puts it there), so that what floor and lid hold back is never counted too high.
    #[must_use]
    pub fn lean_of_liquid(&self) -> Estimate {
        let small: f64 = self.tanks.iter().map(|tank| tank.small_rise(self.mass.value())).sum();
        let lean = Estimate::propagate(&[&self.track, &self.solid, &self.offset], |v| match v {
            [track, height, offset] => Ok::<_, Gap>(stability_factor(*track, height + small, *offset)),
            _ => Ok(0.0),
        });
        // Beyond its wheels it is over already; the liquid's level tank is the limit of the formula.
        lean.ok().filter(|lean| lean.value() > 0.0).unwrap_or(Estimate::exact(f64::EPSILON))
    }

    /// What running liquid adds, with other numbers of cells, m.
    ///
    /// # Errors
    /// Never in practice; the door of the propagation.
    pub fn rise_with(&self, cells: impl Fn(&Running) -> u8) -> Result<Estimate, Gap> {
        let lean = self.lean_of_liquid();
        let moments = self.tanks.iter().map(|tank| {
            let shift = Estimate::propagate(&[&lean, &tank.fill], |v| match v {
                [lean, fill] => Ok::<_, Gap>(tank.shift(*lean, *fill, cells(tank)) / lean),
                _ => Ok(0.0),
            })?;
            Ok(&tank.liquid * &shift)
        });
        let moments = moments.collect::<Result<Vec<_>, Gap>>()?;
        Ok(&Estimate::sum(moments.iter()) / &self.mass)
    }

    /// Height that counts, m: the centre of gravity with what running liquid adds.
    #[must_use]
    pub fn height(&self) -> Estimate {
        &self.solid + &self.rise
    }

    /// Half the track less the offset, over the height: tangent of the tilt that tips a rigid rig towards its weaker side.
    #[must_use]
    pub fn factor(&self) -> Estimate {
        let height = self.height();
        let factor = Estimate::propagate(&[&self.track, &height, &self.offset], |v| match v {
            [track, height, offset] => Ok::<_, Gap>(stability_factor(*track, *height, *offset)),
            _ => Ok(0.0),
        });
        factor.unwrap_or(Estimate::exact(0.0))
    }

    /// Sideways acceleration at which the inner wheels lift, in g.
    ///
    /// # Errors
    /// The stiffness, when as told the springs do not hold the rig up; the roll centre, when it lies above the centre of
    /// gravity.
    pub fn threshold(&self) -> Result<Estimate, Gap> {
        let (stiffness, centre) = match &self.springs {
            OnSprings::Share(share) => return Ok(&self.factor() * share),
            OnSprings::Told(stiffness, centre) => (stiffness, centre),
        };
        let height = self.height();
        if centre.value() >= height.value() {
            return Err(Gap::because(
                "chassis.roll_centre_height",
                "the axis it rolls about lies above its centre of gravity: look again",
            ));
        }
        let inputs = [&self.track, &height, &self.offset, centre, stiffness, &self.mass];
        Estimate::propagate(&inputs, |v| match v {
            // The offset takes the same from each half of the track as a narrower track does.
            [track, height, offset, centre, stiffness, mass] => {
                threshold(track - 2.0 * offset.abs(), *height, *centre, *stiffness, *mass).map(|(lateral, _)| lateral)
            }
            _ => Ok(0.0),
        })
        .map_err(|_| Gap::because("axle.roll_stiffness", "as told, the springs are too soft to hold the rig up: look again"))
    }

    /// Tilt at which it tips, springs and tyres giving, rad.
    ///
    /// # Errors
    /// As [`Self::threshold`].
    pub fn tilt(&self) -> Result<Estimate, Gap> {
        let threshold = self.threshold()?;
        Estimate::propagate(&[&threshold], |v| Ok::<_, Gap>(real::atan(v.iter().sum())))
    }

    /// The same with the centre of gravity lower by so much, m.
    #[must_use]
    pub fn lower(&self, by: f64) -> Self {
        Self { solid: self.solid.offset(-by), ..self.clone() }
    }
}

/// The narrowest track on the ground; a track not told might be narrower.
fn narrowest_track(cx: &Context, state: &StateFacts) -> Result<Estimate, Gap> {
    let axles = cx.facts().axles();
    let tracks = axles.standing(&state.lifted).filter_map(|index| axles.list().get(index)).map(|axle| axle.track.as_ref());
    let tracks = tracks.collect::<Result<Vec<_>, _>>().map_err(Clone::clone)?;
    tracks.into_iter().min_by(|a, b| a.value().total_cmp(&b.value())).cloned().ok_or_else(|| Gap::at("axle"))
}

/// Stiffness of the axles that stand, if all of them and the roll centre are told; else the share by common practice.
fn springs(cx: &Context, state: &StateFacts) -> OnSprings {
    let (axles, roll) = (cx.facts().axles(), cx.facts().roll());
    let standing = axles.standing(&state.lifted).filter_map(|index| axles.list().get(index));
    let each: Result<Vec<&Estimate>, _> = standing.map(|axle| axle.roll_stiffness.as_ref()).collect();
    match (each, &roll.centre) {
        (Ok(each), Ok(centre)) if !each.is_empty() => OnSprings::Told(Estimate::sum(each.into_iter()), centre.clone()),
        _ => OnSprings::Share(roll.factor.clone()),
    }
}
