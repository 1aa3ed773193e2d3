//! Axle loads on a slope and under brakes.

use quantity::real::{atan, cos, sin};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts::gravity;
use crate::range::{Range, Ranged, check_list, finite, in_schema, ranged, usual};

/// Per cent in one.
const PERCENT: f64 = 100.0;

/// Where an axle is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<AxlePlace>)]
pub struct AxlePlace {
    /// Rearward from the front axle's centre.
    pub x_m: f64,
}

ranged!(AxlePlace { x_m ["m"] usual::PLACE });

/// Input of [`grade_loads`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<GradeLoadsIn>)]
pub struct GradeLoadsIn {
    /// The two axles, in any order; a tandem counts as one at its middle.
    pub axles: Vec<AxlePlace>,
    /// Mass of the rig.
    pub mass_kg: f64,
    /// Centre of gravity, rearward from the front axle.
    pub cg_x_m: f64,
    /// Height of the centre of gravity over the road.
    pub cg_height_m: f64,
    /// Rise over run; positive is nose up.
    pub grade_percent: f64,
    /// Deceleration, positive slows a rig that drives forward.
    #[serde(default)]
    pub deceleration_m_s2: f64,
}

ranged!(GradeLoadsIn {
    mass_kg ["kg"] usual::SOME_MASS,
    cg_x_m ["m"] usual::PLACE,
    cg_height_m ["m"] usual::SOME_LENGTH,
    grade_percent ["%"] Range::of(-1000.0, 1000.0),
    deceleration_m_s2 ["m/s2"] Range::of(-20.0, 20.0),
});

/// Output of [`grade_loads`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GradeLoadsOut {
    /// Load of each axle square to the road, as force over standard gravity, in the order of `axles`.
    pub loads_kg: Vec<f64>,
    /// Whether a load is negative: the rig tips over the other axle.
    pub tips: bool,
}

/// Loads of two axles on a slope, with the forces that hold or slow the rig at the ground.
///
/// Springs and tyres do not give. Steady climbing is deceleration 0; speeding up is negative.
///
/// | input               | unit | range         | note                           |
/// |---------------------|------|---------------|--------------------------------|
/// | `x_m`               | m    | -1e6 to 1e6   | of each of two axles           |
/// | `mass_kg`           | kg   | over 0 to 1e9 |                                |
/// | `cg_x_m`            | m    | -1e6 to 1e6   | rearward from the front axle   |
/// | `cg_height_m`       | m    | over 0 to 1e6 | over the road                  |
/// | `grade_percent`     | %    | -1000 to 1000 | positive: nose up              |
/// | `deceleration_m_s2` | m/s2 | -20 to 20     | positive slows; default 0      |
///
/// Gives `loads_kg` (kg), square to the road, and `tips`.
///
/// # Errors
/// `OutOfRange` and `Count` name the field; `Unsolvable` when both axles stand at one place.
///
/// # Source
/// Moments about each axle's contact (physics).
///
/// # Checked against
/// `tests/outside/grade.rs`: a set mechanics exercise, and own examples computed with numpy.
pub fn grade_loads(input: &GradeLoadsIn) -> Result<GradeLoadsOut, KernelError> {
    input.check()?;
    check_list("axles", &input.axles, 2, 2)?;
    let front = input.axles.iter().map(|a| a.x_m).fold(f64::INFINITY, f64::min);
    let rear = input.axles.iter().map(|a| a.x_m).fold(f64::NEG_INFINITY, f64::max);
    if rear <= front {
        return Err(KernelError::Unsolvable { field: "axles".into(), why: "both stand at the same place" });
    }
    let angle = atan(input.grade_percent / PERCENT);
    let rig = OnAxles {
        mass_kg: input.mass_kg,
        wheelbase_m: rear - front,
        cg_x_m: input.cg_x_m - front,
        cg_height_m: input.cg_height_m,
    };
    let (front_kg, rear_kg) = rig.loads(angle, input.deceleration_m_s2);
    let loads_kg = input.axles.iter().map(|a| finite("loads_kg", if a.x_m == front { front_kg } else { rear_kg }));
    let loads_kg = loads_kg.collect::<Result<Vec<_>, _>>()?;
    let tips = loads_kg.iter().any(|load| *load < 0.0);
    Ok(GradeLoadsOut { loads_kg, tips })
}

/// A rig on two axles, the front one at x = 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnAxles {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Distance of the axles, m.
    pub wheelbase_m: f64,
    /// Centre of gravity behind the front axle, m.
    pub cg_x_m: f64,
    /// Its height over the road, m.
    pub cg_height_m: f64,
}

impl OnAxles {
    /// Front and rear load, kg, square to the road. `angle` in rad, positive nose up; `deceleration` in m/s², positive
    /// slows. No range is checked.
    #[must_use]
    pub fn loads(self, angle: f64, deceleration: f64) -> (f64, f64) {
        let pitching = self.cg_height_m * (sin(angle) - deceleration / gravity());
        let across = cos(angle);
        let front = across * (self.wheelbase_m - self.cg_x_m) - pitching;
        let rear = across * self.cg_x_m + pitching;
        (self.mass_kg * front / self.wheelbase_m, self.mass_kg * rear / self.wheelbase_m)
    }

    /// Tangent of the nose-up slope at which the rig tips over its rear axle, standing or in steady climb.
    #[must_use]
    pub fn tips_backward_at(self) -> f64 {
        (self.wheelbase_m - self.cg_x_m) / self.cg_height_m
    }

    /// Tangent of the nose-down slope at which it tips over its front axle; also the deceleration in g that does so
    /// on the level.
    #[must_use]
    pub fn tips_forward_at(self) -> f64 {
        self.cg_x_m / self.cg_height_m
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample(axles: [f64; 2]) -> GradeLoadsIn {
        GradeLoadsIn {
            axles: axles.iter().map(|x_m| AxlePlace { x_m: *x_m }).collect(),
            mass_kg: 9800.0,
            cg_x_m: 2.2,
            cg_height_m: 1.45,
            grade_percent: 30.0,
            deceleration_m_s2: 0.0,
        }
    }

    #[test]
    fn loads_come_in_the_order_of_the_axles() {
        let forward = grade_loads(&sample([0.0, 4.2])).expect("answers").loads_kg;
        let backward = grade_loads(&sample([4.2, 0.0])).expect("answers").loads_kg;
        assert_eq!(forward, backward.into_iter().rev().collect::<Vec<_>>());
        assert!(forward[1] > forward[0], "nose up loads the rear");
    }

    #[test]
    fn the_sum_is_the_weight_across_the_road() {
        let loads = grade_loads(&sample([0.0, 4.2])).expect("answers").loads_kg;
        let across = 9800.0 / (1.0_f64 + 0.3 * 0.3).sqrt();
        assert!((loads.iter().sum::<f64>() - across).abs() < 1e-9);
    }

    #[test]
    fn the_load_changes_sign_where_the_rig_tips() {
        let rig = OnAxles { mass_kg: 9800.0, wheelbase_m: 4.2, cg_x_m: 2.2, cg_height_m: 1.45 };
        let at = |tangent: f64| rig.loads(atan(tangent), 0.0);
        assert!(at(rig.tips_backward_at() * 0.999).0 > 0.0 && at(rig.tips_backward_at() * 1.001).0 < 0.0);
        assert!(at(-rig.tips_forward_at() * 0.999).1 > 0.0 && at(-rig.tips_forward_at() * 1.001).1 < 0.0);
    }

    #[test]
    fn one_axle_or_three_are_refused() {
        let mut input = sample([0.0, 4.2]);
        input.axles.push(AxlePlace { x_m: 5.0 });
        assert!(matches!(grade_loads(&input), Err(KernelError::Count { .. })));
        assert!(matches!(grade_loads(&sample([1.0, 1.0])), Err(KernelError::Unsolvable { .. })));
    }
}
