//! What a trailer's nose does to the axles of the truck, and the pull a coupling must bear.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts::gravity;
use crate::range::{Ranged, finite, in_schema, ranged, usual};

/// Input of [`coupling_loads`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<CouplingLoadsIn>)]
pub struct CouplingLoadsIn {
    /// Vertical load of the trailer's nose on the coupling.
    pub nose_load_kg: f64,
    /// The coupling, rearward from the front axle's centre.
    pub coupling_x_m: f64,
    /// Distance of the truck's two axles.
    pub wheelbase_m: f64,
    /// Mass of the truck as it drives; with `trailer_mass_kg` the D value is given too.
    #[serde(default)]
    pub truck_mass_kg: Option<f64>,
    /// Mass of the trailer as loaded.
    #[serde(default)]
    pub trailer_mass_kg: Option<f64>,
}

ranged!(CouplingLoadsIn {
    nose_load_kg ["kg"] usual::MASS,
    coupling_x_m ["m"] usual::PLACE,
    wheelbase_m ["m"] usual::SOME_LENGTH,
    truck_mass_kg ["kg"] usual::SOME_MASS,
    trailer_mass_kg ["kg"] usual::SOME_MASS,
});

/// Output of [`coupling_loads`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CouplingLoadsOut {
    /// What the front axle gains; negative: it is lightened.
    pub front_change_kg: f64,
    /// What the rear axle gains.
    pub rear_change_kg: f64,
    /// Pull between truck and trailer to compare with the coupling's D value; null without both masses.
    pub d_kn: Option<f64>,
}

/// Change of a two-axle truck's axle loads under a trailer's nose, and the D value of the pair.
///
/// For a drawbar with a ball or a pintle; a fifth wheel has another D.
///
/// | input             | unit | range         | note                            |
/// |-------------------|------|---------------|---------------------------------|
/// | `nose_load_kg`    | kg   | 0 to 1e9      | downward on the coupling        |
/// | `coupling_x_m`    | m    | -1e6 to 1e6   | rearward from the front axle    |
/// | `wheelbase_m`     | m    | over 0 to 1e6 |                                 |
/// | `truck_mass_kg`   | kg   | over 0 to 1e9 | optional                        |
/// | `trailer_mass_kg` | kg   | over 0 to 1e9 | optional                        |
///
/// Gives `front_change_kg` and `rear_change_kg` (kg), their sum is the nose load, and `d_kn` (kN) or null.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Moments (physics); `D = g T R / (T + R)`, UN R55 (from memory).
///
/// # Checked against
/// `tests/outside/ledger.rs`: own example computed with numpy.
pub fn coupling_loads(input: &CouplingLoadsIn) -> Result<CouplingLoadsOut, KernelError> {
    input.check()?;
    let (front, rear) = nose_on_axles(input.nose_load_kg, input.coupling_x_m, input.wheelbase_m);
    let d_kn = input.truck_mass_kg.zip(input.trailer_mass_kg).map(|(truck, trailer)| d_newton(truck, trailer) / KILO);
    Ok(CouplingLoadsOut {
        front_change_kg: finite("front_change_kg", front)?,
        rear_change_kg: finite("rear_change_kg", rear)?,
        d_kn: d_kn.map(|d| finite("d_kn", d)).transpose()?,
    })
}

/// Newton in a kilonewton.
const KILO: f64 = 1000.0;

/// What front and rear axle gain, kg, under a load at `x_m` behind the front axle. No range is checked.
#[must_use]
pub fn nose_on_axles(load_kg: f64, x_m: f64, wheelbase_m: f64) -> (f64, f64) {
    (load_kg * (wheelbase_m - x_m) / wheelbase_m, load_kg * x_m / wheelbase_m)
}

/// The D value, N, of a truck and a drawbar trailer, from their masses in kg. No range is checked.
#[must_use]
pub fn d_newton(truck_kg: f64, trailer_kg: f64) -> f64 {
    gravity() * truck_kg * trailer_kg / (truck_kg + trailer_kg)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_nose_over_the_rear_axle_leaves_the_front_alone() {
        assert_eq!(nose_on_axles(250.0, 4.2, 4.2), (0.0, 250.0));
        let (front, rear) = nose_on_axles(250.0, 5.7, 4.2);
        assert!(front < 0.0 && (front + rear - 250.0).abs() < 1e-12);
    }

    #[test]
    fn equal_masses_pull_with_half_a_weight() {
        assert!((d_newton(5000.0, 5000.0) - 2500.0 * gravity()).abs() < 1e-9);
    }
}
