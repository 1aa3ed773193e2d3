//! Putting the body on: lift trucks, slings, legs.
//!
//! **Caution.** Nobody stands under a body that a lift truck, crane or jack alone holds. The rating is for a vertical
//! mast at the rated height; with an attachment or a raised mast only the plate holds.

use quantity::real::{atan, sin};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Ranged, finite, in_schema, ranged, usual};

/// Input of [`lift_truck`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<LiftTruckIn>)]
pub struct LiftTruckIn {
    /// Rated load on the plate.
    pub rated_kg: f64,
    /// Load centre on the plate, from the face of the forks; 0.5 m or 24 in.
    pub rated_centre_m: f64,
    /// Centre of gravity of the load, from the face of the forks.
    pub load_centre_m: f64,
    /// Front axle to the face of the forks; without it the field rule alone is given.
    #[serde(default)]
    pub axle_to_face_m: Option<f64>,
}

ranged!(LiftTruckIn {
    rated_kg ["kg"] usual::SOME_MASS,
    rated_centre_m ["m"] usual::SOME_LENGTH,
    load_centre_m ["m"] usual::SOME_LENGTH,
    axle_to_face_m ["m"] usual::SOME_LENGTH,
});

/// Output of [`lift_truck`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LiftTruckOut {
    /// What it may lift there: by moments where `axle_to_face_m` is known, else by the field rule.
    pub capacity_kg: f64,
    /// The same by the field rule, which is on the safe side.
    pub field_rule_kg: f64,
}

/// What a lift truck may lift with the load's centre farther out than its plate says.
///
/// | input            | unit | range         | note                                    |
/// |------------------|------|---------------|-----------------------------------------|
/// | `rated_kg`       | kg   | over 0 to 1e9 |                                         |
/// | `rated_centre_m` | m    | over 0 to 1e6 | from the fork face                      |
/// | `load_centre_m`  | m    | over 0 to 1e6 | from the fork face                      |
/// | `axle_to_face_m` | m    | over 0 to 1e6 | optional                                |
///
/// Gives `capacity_kg` and `field_rule_kg` (kg); never above the rated load, however near the load is.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Moments about the front axle (physics); field rule: a training page (read, second hand).
///
/// # Checked against
/// `tests/outside/lifting.rs`: the training page's example, own figures.
pub fn lift_truck(input: &LiftTruckIn) -> Result<LiftTruckOut, KernelError> {
    input.check()?;
    let rating = |axle| lift_rating(input.rated_kg, input.rated_centre_m, input.load_centre_m, axle);
    Ok(LiftTruckOut {
        capacity_kg: finite("capacity_kg", rating(input.axle_to_face_m.unwrap_or_default()))?,
        field_rule_kg: finite("field_rule_kg", rating(0.0))?,
    })
}

/// Load, kg, at a centre (m) that tips a truck no more than the rated load at the rated centre; `axle` is the distance
/// of the front axle from the fork face, 0 for the field rule.
#[must_use]
pub fn lift_rating(rated_kg: f64, rated_centre: f64, centre: f64, axle: f64) -> f64 {
    (rated_kg * (rated_centre + axle) / (centre + axle)).min(rated_kg)
}

/// Pull in a sling leg over its share of the weight: `angle` to the horizontal, rad.
#[must_use]
pub fn sling_factor(angle: f64) -> f64 {
    1.0 / sin(angle)
}

/// Pull in each leg, in the unit of the weight, of a sling of which `legs` legs carry.
#[must_use]
pub fn sling_leg(weight: f64, legs: f64, angle: f64) -> f64 {
    weight / legs * sling_factor(angle)
}

/// How far a load hangs tilted, rad: hook `offset` (m) off the centre of gravity and `height` (m) over it.
#[must_use]
pub fn hang_tilt(offset: f64, height: f64) -> f64 {
    atan(offset / height)
}

/// Load on each of four legs, in the unit of the weight: (front left, front right, rear left, rear right) for a centre
/// of gravity at `x` of `length` from the front legs and `y` of `width` from the left ones, on even ground.
#[must_use]
pub fn leg_loads(weight: f64, x: f64, length: f64, y: f64, width: f64) -> [f64; 4] {
    let (rear, right) = (x / length, y / width);
    let (front, left) = (1.0 - rear, 1.0 - right);
    [front * left, front * right, rear * left, rear * right].map(|share| weight * share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_loads_do_not_raise_the_rating() {
        assert_eq!(lift_rating(2500.0, 0.5, 0.3, 0.45), 2500.0);
    }

    #[test]
    fn legs_carry_the_weight_and_its_moments() {
        let [fl, fr, rl, rr] = leg_loads(2500.0, 1.5, 4.0, 0.9, 2.0);
        assert!((fl + fr + rl + rr - 2500.0).abs() < 1e-9);
        assert!(((rl + rr) * 4.0 - 2500.0 * 1.5).abs() < 1e-9 && ((fr + rr) * 2.0 - 2500.0 * 0.9).abs() < 1e-9);
    }
}
