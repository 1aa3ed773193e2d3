//! Height of the centre of gravity from one lifted axle.
//!
//! **Caution.** A rig with its brakes off and one end in the air is the most dangerous measurement here: rated
//! lifting gear, a second holding point, the wheels that stay down wedged, nobody near, or leave it to a workshop.

use quantity::real::{asin, atan, cos, sin, tan};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};

/// Input of [`cg_height_axle_lift`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<CgHeightAxleLiftIn>)]
pub struct CgHeightAxleLiftIn {
    /// Mass of the whole rig as it stands.
    pub mass_kg: f64,
    /// Distance of the two axles.
    pub wheelbase_m: f64,
    /// Reading of the axle that stays on the scale, with the rig level.
    pub axle_load_level_kg: f64,
    /// Reading of the same axle with the other one lifted.
    pub axle_load_lifted_kg: f64,
    /// Rise of the lifted wheel centres above the centres of the wheels that stay down.
    pub lift_m: f64,
    /// Height of the wheel centres over the ground, loaded.
    pub wheel_radius_m: f64,
}

ranged!(CgHeightAxleLiftIn {
    mass_kg ["kg"] usual::SOME_MASS,
    wheelbase_m ["m"] usual::SOME_LENGTH,
    axle_load_level_kg ["kg"] usual::MASS,
    axle_load_lifted_kg ["kg"] usual::MASS,
    lift_m ["m"] usual::SOME_LENGTH,
    wheel_radius_m ["m"] usual::LENGTH,
});

/// Output of [`cg_height_axle_lift`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CgHeightAxleLiftOut {
    /// Height of the centre of gravity over the ground, rig level.
    pub height_m: f64,
    /// Pitch of the lifted rig, always positive.
    pub lift_angle_deg: f64,
}

/// Height of the centre of gravity, from the load that moves onto the axle left down when the other is lifted.
///
/// Holds for blocked springs on both axles, brakes off and gearbox in neutral, the wheels of one axle only wedged,
/// the load lashed, tanks full or empty, wheels of one size. With springs free the body swings and the height comes
/// out too large. Lift at the axle, not at the frame.
///
/// | input                 | unit | range         | note                                              |
/// |-----------------------|------|---------------|---------------------------------------------------|
/// | `mass_kg`             | kg   | over 0 to 1e9 | whole rig                                         |
/// | `wheelbase_m`         | m    | over 0 to 1e6 |                                                   |
/// | `axle_load_level_kg`  | kg   | 0 to 1e9      | not more than the mass                            |
/// | `axle_load_lifted_kg` | kg   | 0 to 1e9      | same axle; from the level reading to the mass     |
/// | `lift_m`              | m    | over 0 to 1e6 | of wheel centres; up to 25 degrees of pitch       |
/// | `wheel_radius_m`      | m    | 0 to 1e6      | ground to wheel centre, loaded                    |
///
/// Gives `height_m` (m) over the ground and `lift_angle_deg` (deg).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range, also where it follows from other inputs: a lifted reading
/// below the level one (the centre of gravity would lie below the wheel centres, or the readings are swapped), a
/// reading above the mass, a lift steeper than 25 degrees (`data/weight.toml`).
///
/// # Source
/// Moments about the axle left down; the form of ISO 10392 (its clauses read in excerpts only).
///
/// # Checked against
/// `tests/outside/lift.rs`: own example computed with numpy, and a simulated rig turned back into its height.
pub fn cg_height_axle_lift(input: &CgHeightAxleLiftIn) -> Result<CgHeightAxleLiftOut, KernelError> {
    input.check()?;
    let i = input;
    let level = Range::of(0.0, i.mass_kg);
    if !level.holds(i.axle_load_level_kg) {
        return Err(KernelError::outside(
            "axle_load_level_kg",
            i.axle_load_level_kg,
            level,
            "kg",
            "one axle carries no more than the mass",
        ));
    }
    let lifted = Range::of(i.axle_load_level_kg, i.mass_kg);
    if !lifted.holds(i.axle_load_lifted_kg) {
        let why = "lifting one axle moves load onto the other, up to the whole mass";
        return Err(KernelError::outside("axle_load_lifted_kg", i.axle_load_lifted_kg, lifted, "kg", why));
    }
    let steepest = Range::over(0.0, highest_lift(i.wheelbase_m));
    if !steepest.holds(i.lift_m) {
        return Err(KernelError::outside(
            "lift_m",
            i.lift_m,
            steepest,
            "m",
            "steeper than that the formula is not trusted, and the lift too dangerous",
        ));
    }
    let height =
        height_from_lift(i.mass_kg, i.wheelbase_m, i.axle_load_level_kg, i.axle_load_lifted_kg, i.lift_m, i.wheel_radius_m);
    Ok(CgHeightAxleLiftOut { height_m: finite("height_m", height)?, lift_angle_deg: asin(i.lift_m / i.wheelbase_m).to_degrees() })
}

/// Highest lift, m, that the formula answers for at that wheelbase.
#[must_use]
pub fn highest_lift(wheelbase_m: f64) -> f64 {
    wheelbase_m * sin(facts::weight().lift_angle_most)
}

/// Height of the centre of gravity, m, by the formula alone. No range is checked; not finite when an input that is
/// divided by is 0.
#[must_use]
pub fn height_from_lift(mass_kg: f64, wheelbase_m: f64, level_kg: f64, lifted_kg: f64, lift_m: f64, radius_m: f64) -> f64 {
    radius_m + wheelbase_m * (lifted_kg - level_kg) / (mass_kg * tan(asin(lift_m / wheelbase_m)))
}

/// One standard deviation of each measurement of an axle lift.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LiftSpreads {
    /// Of one axle reading, kg; the same for level and lifted, independent.
    pub reading_kg: f64,
    /// Of the rise of the wheel centres, m.
    pub lift_m: f64,
    /// Of the mass of the rig, kg.
    pub mass_kg: f64,
    /// Of the wheel radius, m.
    pub radius_m: f64,
}

/// What each measurement contributes to the spread of the height, one standard deviation each, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LiftErrors {
    /// From the two readings of the scale.
    pub from_scale_m: f64,
    /// From the rise.
    pub from_lift_m: f64,
    /// From the mass.
    pub from_mass_m: f64,
    /// From the wheel radius.
    pub from_radius_m: f64,
    /// All together.
    pub all_m: f64,
}

/// Error budget of an axle lift: first order, independent measurements.
///
/// `above_axle_m` is the height of the centre of gravity over the wheel centres. Systematic errors (free springs,
/// half-full tanks) are not in it; laboratories differ by more than their own scatter, so take at least 3 % of the
/// height (common practice).
#[must_use]
pub fn lift_errors(mass_kg: f64, wheelbase_m: f64, lift_m: f64, above_axle_m: f64, spread: LiftSpreads) -> LiftErrors {
    let angle = asin(lift_m / wheelbase_m);
    let (slope, cosine) = (tan(angle), cos(angle));
    let both_readings = 2.0_f64.sqrt() * spread.reading_kg;
    let of_slope = spread.lift_m / (wheelbase_m * cosine * cosine * cosine);
    let from_scale_m = wheelbase_m * both_readings / (mass_kg * slope);
    let from_lift_m = above_axle_m.abs() * of_slope / slope;
    let from_mass_m = above_axle_m.abs() * spread.mass_kg / mass_kg;
    let from_radius_m = spread.radius_m;
    let squares = [from_scale_m, from_lift_m, from_mass_m, from_radius_m].iter().map(|e| e * e).sum::<f64>();
    LiftErrors { from_scale_m, from_lift_m, from_mass_m, from_radius_m, all_m: squares.sqrt() }
}

/// Input of [`cg_height_lift_plan`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<CgHeightLiftPlanIn>)]
pub struct CgHeightLiftPlanIn {
    /// Mass of the whole rig, roughly.
    pub mass_kg: f64,
    /// Distance of the two axles.
    pub wheelbase_m: f64,
    /// One standard deviation of a single axle reading.
    pub reading_sd_kg: f64,
    /// One standard deviation wanted for the height.
    pub wanted_sd_m: f64,
    /// One standard deviation of the measured rise of the wheel centres.
    #[serde(default)]
    pub lift_sd_m: f64,
    /// Rough height of the centre of gravity over the wheel centres; only used with `lift_sd_m`.
    #[serde(default)]
    pub height_above_axle_m: f64,
}

ranged!(CgHeightLiftPlanIn {
    mass_kg ["kg"] usual::SOME_MASS,
    wheelbase_m ["m"] usual::SOME_LENGTH,
    reading_sd_kg ["kg"] usual::SOME_MASS,
    wanted_sd_m ["m"] usual::SOME_LENGTH,
    lift_sd_m ["m"] usual::LENGTH,
    height_above_axle_m ["m"] usual::PLACE,
});

/// Output of [`cg_height_lift_plan`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CgHeightLiftPlanOut {
    /// Least rise of the wheel centres that gives the wanted spread.
    pub lift_m: f64,
    /// Pitch of the rig at that rise.
    pub lift_angle_deg: f64,
    /// What the scale contributes there, one standard deviation.
    pub from_scale_m: f64,
    /// What the rise contributes there, one standard deviation.
    pub from_lift_m: f64,
}

/// How high to lift one axle so that the height of the centre of gravity comes out as sharply as wanted.
///
/// Scale and rise are counted; errors of mass and wheel radius do not depend on the lift. Springs, tanks and tyres
/// are not in it: see [`lift_errors`].
///
/// | input                 | unit | range         | note                                     |
/// |-----------------------|------|---------------|------------------------------------------|
/// | `mass_kg`             | kg   | over 0 to 1e9 | whole rig                                |
/// | `wheelbase_m`         | m    | over 0 to 1e6 |                                          |
/// | `reading_sd_kg`       | kg   | over 0 to 1e9 | one reading, one standard deviation      |
/// | `wanted_sd_m`         | m    | over 0 to 1e6 | one standard deviation of the height     |
/// | `lift_sd_m`           | m    | 0 to 1e6      | default 0                                |
/// | `height_above_axle_m` | m    | -1e6 to 1e6   | default 0                                |
///
/// Gives `lift_m` (m), `lift_angle_deg` (deg) and both contributions (m).
///
/// # Errors
/// `OutOfRange` names the field; for `wanted_sd_m` also when even a lift of 25 degrees is not sharp enough: the low
/// end of the range is then what can be had.
///
/// # Source
/// First-order errors of the axle-lift formula (physics).
///
/// # Checked against
/// `tests/outside/lift.rs`: a table of lifts and spreads computed with numpy.
pub fn cg_height_lift_plan(input: &CgHeightLiftPlanIn) -> Result<CgHeightLiftPlanOut, KernelError> {
    input.check()?;
    let i = input;
    let spread = LiftSpreads { reading_kg: i.reading_sd_kg, lift_m: i.lift_sd_m, ..LiftSpreads::default() };
    let at = |lift: f64| lift_errors(i.mass_kg, i.wheelbase_m, lift, i.height_above_axle_m, spread);
    let mut high = highest_lift(i.wheelbase_m);
    let best = at(high).all_m;
    if i.wanted_sd_m < best {
        let range = Range::of(best, f64::INFINITY);
        return Err(KernelError::outside("wanted_sd_m", i.wanted_sd_m, range, "m", "at the steepest lift that is allowed"));
    }
    // The scale alone gives a lift that is too low once the rise has an error too; between the ends the spread falls.
    let slope = i.wheelbase_m * 2.0_f64.sqrt() * i.reading_sd_kg / (i.mass_kg * i.wanted_sd_m);
    let mut low = (i.wheelbase_m * sin(atan(slope))).min(high);
    if at(low).all_m <= i.wanted_sd_m || i.lift_sd_m == 0.0 {
        high = low;
    }
    loop {
        let middle = low + (high - low) / 2.0;
        if !(low < middle && middle < high) {
            break;
        }
        if at(middle).all_m > i.wanted_sd_m { low = middle } else { high = middle }
    }
    let there = at(high);
    Ok(CgHeightLiftPlanOut {
        lift_m: finite("lift_m", high)?,
        lift_angle_deg: asin(high / i.wheelbase_m).to_degrees(),
        from_scale_m: finite("from_scale_m", there.from_scale_m)?,
        from_lift_m: finite("from_lift_m", there.from_lift_m)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> CgHeightAxleLiftIn {
        CgHeightAxleLiftIn {
            mass_kg: 9800.0,
            wheelbase_m: 4.2,
            axle_load_level_kg: 4600.0,
            axle_load_lifted_kg: 4898.0,
            lift_m: 0.7,
            wheel_radius_m: 0.52,
        }
    }

    #[test]
    fn swapped_readings_are_refused_by_name() {
        let swapped = CgHeightAxleLiftIn { axle_load_level_kg: 4898.0, axle_load_lifted_kg: 4600.0, ..sample() };
        let why = cg_height_axle_lift(&swapped).expect_err("swapped").to_string();
        assert!(why.starts_with("`axle_load_lifted_kg` is 4600 kg; wanted: 4898 to 9800 kg"), "{why}");
    }

    #[test]
    fn equal_readings_put_the_centre_at_the_wheel_centres() {
        let equal = CgHeightAxleLiftIn { axle_load_lifted_kg: 4600.0, ..sample() };
        assert_eq!(cg_height_axle_lift(&equal).map(|o| o.height_m), Ok(0.52));
    }

    #[test]
    fn a_lift_past_25_degrees_is_refused() {
        let just = |lift_m| cg_height_axle_lift(&CgHeightAxleLiftIn { lift_m, ..sample() });
        assert!(just(highest_lift(4.2)).is_ok());
        assert!(just(highest_lift(4.2) * 1.0001).is_err());
    }

    #[test]
    fn the_plan_is_the_least_lift_that_does() {
        let plan = CgHeightLiftPlanIn {
            mass_kg: 9800.0,
            wheelbase_m: 4.2,
            reading_sd_kg: 20.0,
            wanted_sd_m: 0.05,
            lift_sd_m: 0.01,
            height_above_axle_m: 1.0,
        };
        let out = cg_height_lift_plan(&plan).expect("can be had");
        let spread = LiftSpreads { reading_kg: 20.0, lift_m: 0.01, ..LiftSpreads::default() };
        assert!((lift_errors(9800.0, 4.2, out.lift_m, 1.0, spread).all_m - 0.05).abs() < 1e-9);
        let hopeless = CgHeightLiftPlanIn { wanted_sd_m: 0.001, ..plan };
        assert!(matches!(cg_height_lift_plan(&hopeless), Err(KernelError::OutOfRange { field, .. }) if field == "wanted_sd_m"));
    }
}
