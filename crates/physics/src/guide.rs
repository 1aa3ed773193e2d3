//! A channel or cheeks that run over the rails: play, where the body sits in it, and what the play costs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts::gravity;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};

/// Input of [`gap_impact`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<GapImpactIn>)]
pub struct GapImpactIn {
    /// Mass that the guide stops.
    pub mass_kg: f64,
    /// Acceleration that drives it.
    pub acceleration_g: f64,
    /// Stiffness of the guide that is hit.
    pub stiffness_n_m: f64,
    /// Play that it crosses.
    pub gap_m: f64,
}

ranged!(GapImpactIn {
    mass_kg ["kg"] usual::SOME_MASS,
    acceleration_g [""] Range::over(0.0, 100.0),
    stiffness_n_m ["N/m"] usual::STIFFNESS,
    gap_m ["m"] usual::LENGTH,
});

/// Output of [`gap_impact`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GapImpactOut {
    /// How many times the steady force the guide feels; 2 without any gap.
    pub factor: f64,
    /// Deflection under the steady force.
    pub deflection_m: f64,
    /// Largest force.
    pub force_n: f64,
}

/// What a gap does: the body crosses it under a steady acceleration and is caught by a spring.
///
/// Energy is kept: no damping, no friction, so it is the high end. Without a gap the factor is 2, as for any load put
/// on at once.
///
/// | input            | unit | range           | note                       |
/// |------------------|------|-----------------|----------------------------|
/// | `mass_kg`        | kg   | over 0 to 1e9   |                            |
/// | `acceleration_g` | 1    | over 0 to 100   | in g                       |
/// | `stiffness_n_m`  | N/m  | over 0 to 1e15  |                            |
/// | `gap_m`          | m    | 0 to 1e6        |                            |
///
/// Gives `factor`, `deflection_m` (m) and `force_n` (N).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// `1 + sqrt(1 + 2 s / d)` with d = m a / k (energy, physics).
///
/// # Checked against
/// `tests/outside/guide.rs`: own figures computed with numpy.
pub fn gap_impact(input: &GapImpactIn) -> Result<GapImpactOut, KernelError> {
    input.check()?;
    let force = input.mass_kg * input.acceleration_g * gravity();
    let deflection = force / input.stiffness_n_m;
    let factor = impact_factor(input.gap_m, deflection);
    Ok(GapImpactOut {
        factor: finite("factor", factor)?,
        deflection_m: finite("deflection_m", deflection)?,
        force_n: finite("force_n", factor * force)?,
    })
}

/// How many times the steady force is felt after a gap, m, that is crossed before a spring which that force deflects by
/// `deflection`, m.
#[must_use]
pub fn impact_factor(gap: f64, deflection: f64) -> f64 {
    1.0 + (1.0 + 2.0 * gap / deflection).sqrt()
}

/// How far the body sits to the right of the middle, m, from the gaps at the left of the left rail and at the right of
/// the right one; cheeks hang outside the rails. For cheeks inside the rails the sign turns round.
#[must_use]
pub fn off_centre(gap_left: f64, gap_right: f64) -> f64 {
    (gap_right - gap_left) / 2.0
}

/// Yaw of the body, rad for small angles, positive with the rear to the right, from two places along the frame (m).
#[must_use]
pub fn yaw(off_front: f64, x_front: f64, off_rear: f64, x_rear: f64) -> f64 {
    (off_rear - off_front) / (x_rear - x_front)
}

/// Shim for each side, m, that leaves a running gap on both once the body is moved to the middle; negative means that it
/// is too tight already.
#[must_use]
pub fn shims(gap_left: f64, gap_right: f64, running: f64) -> f64 {
    f64::midpoint(gap_left, gap_right) - running
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_put_on_at_once_counts_twice() {
        assert_eq!(impact_factor(0.0, 0.001), 2.0);
        assert_eq!(yaw(0.002, 0.0, 0.006, 4.0), 0.001);
    }
}
