//! Angles of the ground that a rig clears: approach, departure, breakover.

use quantity::real::{asin, atan2, hypot};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, in_schema, ranged, usual};

/// Input of [`tangent_angle`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<TangentAngleIn>)]
pub struct TangentAngleIn {
    /// From the wheel's centre along the rig to the point.
    pub distance_m: f64,
    /// Height of the point over the ground.
    pub height_m: f64,
    /// Ground to wheel centre, loaded.
    pub wheel_radius_m: f64,
}

ranged!(TangentAngleIn {
    distance_m ["m"] usual::SOME_LENGTH,
    height_m ["m"] usual::LENGTH,
    wheel_radius_m ["m"] usual::SOME_LENGTH,
});

/// Output of [`tangent_angle`] and [`breakover_angle`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GroundAngleOut {
    /// Steepest ground that tyre and point clear.
    pub angle_deg: f64,
}

/// Approach or departure angle for one low point: the line that touches the tyre and passes just under the point.
///
/// Take every low point (bumper, step, tank, hitch, exhaust); the smallest angle counts. Springs as they stand;
/// pressed down, 1 to 3 degrees are lost (common practice).
///
/// | input            | unit | range         | note                          |
/// |------------------|------|---------------|-------------------------------|
/// | `distance_m`     | m    | over 0 to 1e6 | from the wheel centre         |
/// | `height_m`       | m    | 0 to 1e6      | over the ground               |
/// | `wheel_radius_m` | m    | over 0 to 1e6 | loaded                        |
///
/// Gives `angle_deg` (deg); 0 for a point on the ground.
///
/// # Errors
/// `OutOfRange` names the field; a point inside the tyre's circle has no tangent.
///
/// # Source
/// Tangent from a point to a circle (geometry).
///
/// # Checked against
/// `tests/outside/ground.rs`: own examples computed with numpy.
pub fn tangent_angle(input: &TangentAngleIn) -> Result<GroundAngleOut, KernelError> {
    input.check()?;
    let angle = tangent(input.distance_m, input.height_m, input.wheel_radius_m)?;
    Ok(GroundAngleOut { angle_deg: angle.to_degrees() })
}

/// The angle in rad.
///
/// # Errors
/// `OutOfRange` when the point lies inside the tyre's circle.
pub fn tangent(distance_m: f64, height_m: f64, radius_m: f64) -> Result<f64, KernelError> {
    let above = height_m - radius_m;
    let away = hypot(distance_m, above);
    if away >= radius_m {
        return Ok(atan2(above, distance_m) + asin(radius_m / away));
    }
    let least = (radius_m * radius_m - above * above).max(0.0).sqrt();
    let range = Range::of(least, f64::INFINITY);
    Err(KernelError::outside("distance_m", distance_m, range, "m", "nearer, the point lies inside the tyre"))
}

/// Input of [`breakover_angle`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<BreakoverAngleIn>)]
pub struct BreakoverAngleIn {
    /// Distance of the two axles.
    pub wheelbase_m: f64,
    /// Height of the low point over the ground.
    pub height_m: f64,
    /// Ground to wheel centre, loaded.
    pub wheel_radius_m: f64,
    /// The point behind the front axle; without it, the middle of the wheelbase.
    #[serde(default)]
    pub point_x_m: Option<f64>,
}

ranged!(BreakoverAngleIn {
    wheelbase_m ["m"] usual::SOME_LENGTH,
    height_m ["m"] usual::LENGTH,
    wheel_radius_m ["m"] usual::SOME_LENGTH,
    point_x_m ["m"] usual::SOME_LENGTH,
});

/// Breakover angle for one low point between the axles: the sharpest crest that tyres and point clear.
///
/// | input            | unit | range         | note                                    |
/// |------------------|------|---------------|-----------------------------------------|
/// | `wheelbase_m`    | m    | over 0 to 1e6 |                                         |
/// | `height_m`       | m    | 0 to 1e6      | over the ground                         |
/// | `wheel_radius_m` | m    | over 0 to 1e6 | loaded, both axles                      |
/// | `point_x_m`      | m    | over 0 to 1e6 | between the axles; default the middle   |
///
/// Gives `angle_deg` (deg): the angle between the two planes of the crest.
///
/// # Errors
/// `OutOfRange` names the field; a point inside a tyre's circle or not between the axles.
///
/// # Source
/// Tangents from the point to both tyres (geometry).
///
/// # Checked against
/// `tests/outside/ground.rs`: own example computed with numpy.
pub fn breakover_angle(input: &BreakoverAngleIn) -> Result<GroundAngleOut, KernelError> {
    input.check()?;
    let point = input.point_x_m.unwrap_or(input.wheelbase_m / 2.0);
    if point >= input.wheelbase_m {
        let range = Range::over(0.0, input.wheelbase_m);
        return Err(KernelError::outside("point_x_m", point, range, "m", "the point lies between the axles"));
    }
    let angle = breakover(input.wheelbase_m, point, input.height_m, input.wheel_radius_m)?;
    Ok(GroundAngleOut { angle_deg: angle.to_degrees() })
}

/// The breakover angle in rad for a point `point_x_m` behind the front axle.
///
/// # Errors
/// `OutOfRange` when the point lies inside a tyre's circle.
pub fn breakover(wheelbase_m: f64, point_x_m: f64, height_m: f64, radius_m: f64) -> Result<f64, KernelError> {
    Ok(tangent(point_x_m, height_m, radius_m)? + tangent(wheelbase_m - point_x_m, height_m, radius_m)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_on_the_ground_clears_nothing() {
        let out = tangent_angle(&TangentAngleIn { distance_m: 1.2, height_m: 0.0, wheel_radius_m: 0.52 });
        assert!(out.is_ok_and(|o| o.angle_deg.abs() < 1e-12));
    }

    #[test]
    fn a_point_inside_the_tyre_is_refused() {
        let at = |distance_m| tangent_angle(&TangentAngleIn { distance_m, height_m: 0.52, wheel_radius_m: 0.52 });
        assert!(at(0.52).is_ok());
        assert!(at(0.519).is_err());
    }

    #[test]
    fn the_middle_of_the_wheelbase_is_the_default_and_the_ends_are_not_between() {
        let at =
            |point_x_m| breakover_angle(&BreakoverAngleIn { wheelbase_m: 4.2, height_m: 0.45, wheel_radius_m: 0.52, point_x_m });
        assert_eq!(at(None), at(Some(2.1)));
        assert!(at(Some(4.2)).is_err());
    }
}
