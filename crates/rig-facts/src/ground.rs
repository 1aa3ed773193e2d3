//! Where the rig touches the ground first: on a ramp up, on a ramp down, on a crest.

use physics::KernelError;
use physics::ground::{breakover, tangent};
use quantity::Estimate;

use crate::axles::{AxleFacts, Axles};
use crate::extents::Corner;
use crate::facts::StateFacts;
use crate::gap::Gap;

/// Which end or middle of the rig.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ramp {
    /// Driving up to a ramp: ahead of the front wheels.
    Approach,
    /// Driving off a ramp: behind the rear wheels.
    Departure,
    /// Over a crest: between the wheels; the angle between the crest's two ramps.
    Breakover,
}

impl Ramp {
    /// All three, in the order reports use.
    pub const ALL: [Self; 3] = [Self::Approach, Self::Departure, Self::Breakover];

    /// The word of it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Approach => "approach",
            Self::Departure => "departure",
            Self::Breakover => "breakover",
        }
    }
}

/// The corner that touches first, and at which angle.
#[derive(Clone, Debug, PartialEq)]
pub struct Touch {
    /// Steepest ramp that clears, rad.
    pub angle: Estimate,
    /// What touches.
    pub corner: Corner,
    /// x of the wheel the line starts from; for a crest that of the front wheel, m.
    pub wheel_x: f64,
    /// Radius of that wheel, m.
    pub radius: f64,
}

/// The corner that touches first on one kind of ramp; none where no corner lies there.
///
/// # Errors
/// The gap that stops it: a wheel's place or radius.
pub fn first_touch(ramp: Ramp, state: &StateFacts, axles: &Axles) -> Result<Option<Touch>, Gap> {
    let (front, rear) = axles.ends(&state.lifted).ok_or_else(|| Gap::at("axle"))?;
    let get = |index: usize| axles.list().get(index).ok_or_else(|| Gap::at("axle"));
    let (front, rear) = (get(front)?, get(rear)?);
    let mut first: Option<Touch> = None;
    for corner in &state.extents.corners {
        let touch = match ramp {
            Ramp::Approach => beyond(corner, front, -1.0)?,
            Ramp::Departure => beyond(corner, rear, 1.0)?,
            Ramp::Breakover => between(corner, front, rear)?,
        };
        if let Some(touch) = touch
            && first.as_ref().is_none_or(|first| touch.angle.value() < first.angle.value())
        {
            first = Some(touch);
        }
    }
    Ok(first)
}

/// A corner ahead of (sign -1) or behind (sign 1) a wheel. One inside the tyre's circle is in its shadow: the tyre
/// touches first.
fn beyond(corner: &Corner, axle: &AxleFacts, sign: f64) -> Result<Option<Touch>, Gap> {
    let (x, radius) = (axle.x.as_ref().map_err(Clone::clone)?, axle.radius.as_ref().map_err(Clone::clone)?);
    if sign * (corner.x.value() - x.value()) <= 0.0 {
        return Ok(None);
    }
    let angle = Estimate::propagate(&[&corner.x, &corner.z, x, radius], |v| match v {
        [at, z, x, radius] => tangent(sign * (at - x), *z, *radius),
        _ => Ok(0.0),
    });
    Ok(touch(angle, corner, x, radius))
}

fn between(corner: &Corner, front: &AxleFacts, rear: &AxleFacts) -> Result<Option<Touch>, Gap> {
    let (x_front, x_rear) = (front.x.as_ref().map_err(Clone::clone)?, rear.x.as_ref().map_err(Clone::clone)?);
    let radius = front.radius.as_ref().map_err(Clone::clone)?;
    if corner.x.value() <= x_front.value() || corner.x.value() >= x_rear.value() {
        return Ok(None);
    }
    let angle = Estimate::propagate(&[&corner.x, &corner.z, x_front, x_rear, radius], |v| match v {
        [at, z, front, rear, radius] => breakover(rear - front, at - front, *z, *radius),
        _ => Ok(0.0),
    });
    Ok(touch(angle, corner, x_front, radius))
}

fn touch(angle: Result<Estimate, KernelError>, corner: &Corner, wheel: &Estimate, radius: &Estimate) -> Option<Touch> {
    Some(Touch { angle: angle.ok()?, corner: corner.clone(), wheel_x: wheel.value(), radius: radius.value() })
}
