//! When a rig falls over: static stability, roll threshold, load transfer, speed in a bend.
//!
//! **Caution.** A computed angle is where the rig **falls**, not where it is safe. It is no roll test. Never test a
//! side slope by driving onto it.

use quantity::real::atan;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts::gravity;
use crate::range::{Range, Ranged, check_list, finite, in_schema, ranged, usual};

/// Input of [`static_stability`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<StaticStabilityIn>)]
pub struct StaticStabilityIn {
    /// Centre of tyre contact to centre; with twin tyres between the centres of the pairs.
    pub track_m: f64,
    /// Height of the centre of gravity over the ground.
    pub cg_height_m: f64,
    /// Centre of gravity beside the centreline; the side does not matter.
    #[serde(default)]
    pub offset_y_m: f64,
}

ranged!(StaticStabilityIn {
    track_m ["m"] usual::SOME_LENGTH,
    cg_height_m ["m"] usual::SOME_LENGTH,
    offset_y_m ["m"] usual::PLACE,
});

/// Output of [`static_stability`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StaticStabilityOut {
    /// Static stability factor towards the weaker side, (track / 2 - |offset|) / height: the tangent of the tilt
    /// angle, and the sideways acceleration in g, at which a rigid rig tips.
    pub factor: f64,
    /// Tilt at which a rigid rig tips towards its weaker side.
    pub tilt_angle_deg: f64,
}

/// Static stability factor and tilt angle of a rigid rig: no springs, no tyres, hard ground.
///
/// Real rigs fall earlier: see [`roll_threshold`].
///
/// | input         | unit | range         | note                                      |
/// |---------------|------|---------------|-------------------------------------------|
/// | `track_m`     | m    | over 0 to 1e6 | centre to centre of tyre contact          |
/// | `cg_height_m` | m    | over 0 to 1e6 | over the ground                           |
/// | `offset_y_m`  | m    | -1e6 to 1e6   | less than half the track; default 0       |
///
/// Gives `factor` (offset included) and `tilt_angle_deg` (deg) = atan(`factor`).
///
/// # Errors
/// `OutOfRange` names the field; an offset of half the track or more lies over the wheel already.
///
/// # Source
/// T / (2 h), a moment about the outer wheel (physics).
///
/// # Checked against
/// `tests/outside/stability.rs`: published fleet averages of measured vehicles; a set exercise.
pub fn static_stability(input: &StaticStabilityIn) -> Result<StaticStabilityOut, KernelError> {
    input.check()?;
    let half = input.track_m / 2.0;
    if input.offset_y_m.abs() >= half {
        let range = Range::over(-half, half);
        return Err(KernelError::outside(
            "offset_y_m",
            input.offset_y_m,
            range,
            "m",
            "half the track and more lies over the wheel",
        ));
    }
    let factor = stability_factor(input.track_m, input.cg_height_m, input.offset_y_m);
    Ok(StaticStabilityOut { factor: finite("factor", factor)?, tilt_angle_deg: atan(factor).to_degrees() })
}

/// (T/2 - |y|) / h: tangent of the tilt angle at which a rigid rig tips towards its weaker side. No range is checked;
/// negative when the centre of gravity is beyond the wheel.
#[must_use]
pub fn stability_factor(track_m: f64, cg_height_m: f64, offset_y_m: f64) -> f64 {
    (track_m / 2.0 - offset_y_m.abs()) / cg_height_m
}

/// Input of [`roll_threshold`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<RollThresholdIn>)]
pub struct RollThresholdIn {
    /// Centre of tyre contact to centre; with twin tyres between the centres of the pairs.
    pub track_m: f64,
    /// Height of the centre of gravity over the ground.
    pub cg_height_m: f64,
    /// Height of the roll centre over the ground, below the centre of gravity.
    pub roll_centre_height_m: f64,
    /// Roll stiffness of all axles together, tyres included.
    pub roll_stiffness_nm_per_rad: f64,
    /// Mass of the rig, all of it taken as sprung.
    pub mass_kg: f64,
}

ranged!(RollThresholdIn {
    track_m ["m"] usual::SOME_LENGTH,
    cg_height_m ["m"] usual::SOME_LENGTH,
    roll_centre_height_m ["m"] usual::LENGTH,
    roll_stiffness_nm_per_rad ["Nm/rad"] usual::STIFFNESS,
    mass_kg ["kg"] usual::SOME_MASS,
});

/// Output of [`roll_threshold`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RollThresholdOut {
    /// Sideways acceleration at which the inner wheels lift, in g.
    pub lateral_g: f64,
    /// Roll of the body on its springs and tyres at that moment, outward.
    pub roll_angle_deg: f64,
}

/// Sideways acceleration at which a rig on springs lifts its inner wheels.
///
/// The body rolls outward about the roll centre and takes its mass with it. Small angles: good to about 8 degrees of
/// roll, and low, that is safe, at 3 degrees by 0.9 % against the exact geometry. Both inner wheels lift together;
/// lash, bump stops and unsprung mass are not in it. Centre of gravity on the centreline.
///
/// | input                       | unit   | range          | note                                          |
/// |-----------------------------|--------|----------------|-----------------------------------------------|
/// | `track_m`                   | m      | over 0 to 1e6  | centre to centre of tyre contact              |
/// | `cg_height_m`               | m      | over 0 to 1e6  | over the ground                               |
/// | `roll_centre_height_m`      | m      | 0 to 1e6       | not above the centre of gravity               |
/// | `roll_stiffness_nm_per_rad` | Nm/rad | over 0 to 1e15 | all axles; more than m g (h - h_r)            |
/// | `mass_kg`                   | kg     | over 0 to 1e9  | all of it sprung                              |
///
/// Gives `lateral_g` (g) and `roll_angle_deg` (deg) at the threshold.
///
/// # Errors
/// `OutOfRange` names the field; a stiffness of m g (h - h_r) or less does not hold the rig up even standing level.
///
/// # Source
/// `a = SSF / (1 + R (1 - h_r / h))`, `R = m g (h - h_r) / (K - m g (h - h_r))` (physics; the algebra of vehicle
/// dynamics textbooks, from memory).
///
/// # Checked against
/// `tests/outside/stability.rs`: own examples computed with numpy, and the exact tilt-table geometry.
pub fn roll_threshold(input: &RollThresholdIn) -> Result<RollThresholdOut, KernelError> {
    input.check()?;
    let i = input;
    let below = Range::of(0.0, i.cg_height_m);
    if !below.holds(i.roll_centre_height_m) {
        return Err(KernelError::outside(
            "roll_centre_height_m",
            i.roll_centre_height_m,
            below,
            "m",
            "the body rolls about a point below its centre of gravity",
        ));
    }
    let (lateral, roll) = threshold(i.track_m, i.cg_height_m, i.roll_centre_height_m, i.roll_stiffness_nm_per_rad, i.mass_kg)?;
    Ok(RollThresholdOut {
        lateral_g: finite("lateral_g", lateral)?,
        roll_angle_deg: finite("roll_angle_deg", roll.to_degrees())?,
    })
}

/// Threshold in g and roll in rad; only the stiffness is checked.
///
/// # Errors
/// `OutOfRange` when the springs do not hold the rig up.
pub fn threshold(
    track_m: f64,
    cg_height_m: f64,
    roll_centre_m: f64,
    stiffness: f64,
    mass_kg: f64,
) -> Result<(f64, f64), KernelError> {
    let per_g = roll_per_g(mass_kg, cg_height_m - roll_centre_m, stiffness)?;
    let lateral = stability_factor(track_m, cg_height_m, 0.0) / (1.0 + per_g * (1.0 - roll_centre_m / cg_height_m));
    Ok((lateral, per_g * lateral))
}

/// Roll in rad for each g of sideways acceleration.
fn roll_per_g(mass_kg: f64, arm_m: f64, stiffness: f64) -> Result<f64, KernelError> {
    let overturning = mass_kg * gravity() * arm_m;
    if stiffness > overturning {
        return Ok(overturning / (stiffness - overturning));
    }
    let range = Range::over(overturning, f64::INFINITY);
    Err(KernelError::outside(
        "roll_stiffness_nm_per_rad",
        stiffness,
        range,
        "Nm/rad",
        "softer than that the rig falls over standing still",
    ))
}

/// An axle of [`axle_roll_transfer`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<RollAxle>)]
pub struct RollAxle {
    /// Its load, level and standing.
    pub load_kg: f64,
    /// Centre of tyre contact to centre.
    pub track_m: f64,
    /// Height of the roll centre at this axle over the ground.
    pub roll_centre_height_m: f64,
    /// Its roll stiffness, tyres included.
    pub roll_stiffness_nm_per_rad: f64,
}

ranged!(RollAxle {
    load_kg ["kg"] usual::SOME_MASS,
    track_m ["m"] usual::SOME_LENGTH,
    roll_centre_height_m ["m"] usual::LENGTH,
    roll_stiffness_nm_per_rad ["Nm/rad"] usual::STIFFNESS,
});

/// Input of [`axle_roll_transfer`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<AxleRollTransferIn>)]
pub struct AxleRollTransferIn {
    /// Sideways acceleration in g; a bend to the left throws to the right, which counts positive.
    pub lateral_g: f64,
    /// Height of the centre of gravity over the ground.
    pub cg_height_m: f64,
    /// All axles.
    pub axles: Vec<RollAxle>,
}

ranged!(AxleRollTransferIn {
    lateral_g ["g"] Range::of(-2.0, 2.0),
    cg_height_m ["m"] usual::SOME_LENGTH,
});

/// Output of [`axle_roll_transfer`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AxleRollTransferOut {
    /// Roll of the body, positive: right side down.
    pub roll_angle_deg: f64,
    /// What each axle moves from its left wheel to its right wheel, in the order of `axles`.
    pub transfer_kg: Vec<f64>,
}

/// What each axle moves from its inner to its outer wheel in a steady bend.
///
/// Rigid frame; an axle's own mass is not counted apart; small roll.
///
/// | input                       | unit   | range          | note                                       |
/// |-----------------------------|--------|----------------|--------------------------------------------|
/// | `lateral_g`                 | g      | -2 to 2        | positive throws to the right               |
/// | `cg_height_m`               | m      | over 0 to 1e6  | over the ground                            |
/// | `load_kg`                   | kg     | over 0 to 1e9  | of each axle; their sum is the mass        |
/// | `track_m`                   | m      | over 0 to 1e6  |                                            |
/// | `roll_centre_height_m`      | m      | 0 to 1e6       | weighted by load below the centre of gravity |
/// | `roll_stiffness_nm_per_rad` | Nm/rad | over 0 to 1e15 | of each axle; together more than m g (h - h_r) |
///
/// Gives `roll_angle_deg` (deg) and `transfer_kg` (kg) by axle, left to right.
///
/// # Errors
/// `OutOfRange` and `Count` name the field; as [`roll_threshold`] for springs that do not hold the rig up.
///
/// # Source
/// `(K_i phi / g + W_i a h_ri) / T_i` (physics).
///
/// # Checked against
/// `tests/outside/stability.rs`: own example computed with numpy; the sum is the overturning moment over the track.
pub fn axle_roll_transfer(input: &AxleRollTransferIn) -> Result<AxleRollTransferOut, KernelError> {
    input.check()?;
    check_list("axles", &input.axles, 2, usize::from(u8::MAX))?;
    let mass = input.axles.iter().map(|a| a.load_kg).sum::<f64>();
    let roll_centre = input.axles.iter().map(|a| a.load_kg * a.roll_centre_height_m).sum::<f64>() / mass;
    let stiffness = input.axles.iter().map(|a| a.roll_stiffness_nm_per_rad).sum::<f64>();
    if roll_centre > input.cg_height_m {
        let range = Range::of(0.0, input.cg_height_m);
        return Err(KernelError::outside(
            "roll_centre_height_m",
            roll_centre,
            range,
            "m",
            "mean by load; the body rolls about a point below its centre of gravity",
        ));
    }
    let roll = input.lateral_g * roll_per_g(mass, input.cg_height_m - roll_centre, stiffness)?;
    let transfer = |a: &RollAxle| {
        let by_springs = a.roll_stiffness_nm_per_rad * roll / gravity();
        let by_roll_centre = a.load_kg * input.lateral_g * a.roll_centre_height_m;
        finite("transfer_kg", (by_springs + by_roll_centre) / a.track_m)
    };
    Ok(AxleRollTransferOut {
        roll_angle_deg: finite("roll_angle_deg", roll.to_degrees())?,
        transfer_kg: input.axles.iter().map(transfer).collect::<Result<_, _>>()?,
    })
}

/// Input of [`cornering_speed`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<CorneringSpeedIn>)]
pub struct CorneringSpeedIn {
    /// Sideways acceleration that tips the rig (or is allowed) on the level, in g.
    pub threshold_g: f64,
    /// Radius of the bend at the rig's centre.
    pub radius_m: f64,
    /// Tangent of the road's bank; positive leans inward, negative outward.
    #[serde(default)]
    pub bank: f64,
    /// Friction of tyre on road; with it the speed at which the rig slides is given too.
    #[serde(default)]
    pub friction: Option<f64>,
}

ranged!(CorneringSpeedIn {
    threshold_g ["g"] Range::over(0.0, 10.0),
    radius_m ["m"] usual::SOME_LENGTH,
    bank [""] Range::of(-1.0, 1.0),
    friction [""] Range::over(0.0, 2.0),
});

/// Output of [`cornering_speed`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CorneringSpeedOut {
    /// Speed at which the threshold is reached.
    pub speed_m_s: f64,
    /// The same in km/h.
    pub speed_km_h: f64,
    /// Speed at which the rig slides outward; null without `friction`, or where it holds at any speed.
    pub slide_speed_m_s: Option<f64>,
}

/// Speed in a bend at which a rig reaches its roll threshold, and at which it slides.
///
/// Steady bend, no wind, no bumps. Reaching the threshold is falling over: drive well below it.
///
/// | input         | unit | range         | note                                             |
/// |---------------|------|---------------|--------------------------------------------------|
/// | `threshold_g` | g    | over 0 to 10  | on the level                                     |
/// | `radius_m`    | m    | over 0 to 1e6 | at the centre of the rig                         |
/// | `bank`        | 1    | -1 to 1       | tangent, positive inward; default 0              |
/// | `friction`    | 1    | over 0 to 2   | optional                                         |
///
/// Gives `speed_m_s` (m/s), `speed_km_h` (km/h) and `slide_speed_m_s` (m/s) or null.
///
/// # Errors
/// `OutOfRange` names the field; a bank against the bend steeper than the threshold tips the rig standing still, and
/// with a bank of 1 / threshold or more no speed tips it.
///
/// # Source
/// `v² = g R (q + e) / (1 - q e)` (physics).
///
/// # Checked against
/// `tests/outside/stability.rs`: two set exercises, one with its printed answers.
pub fn cornering_speed(input: &CorneringSpeedIn) -> Result<CorneringSpeedOut, KernelError> {
    input.check()?;
    let (q, bank) = (input.threshold_g, input.bank);
    if q + bank < 0.0 {
        let range = Range::of(-q, 1.0);
        return Err(KernelError::outside("bank", bank, range, "", "leaning further outward the rig tips standing still"));
    }
    if q * bank >= 1.0 {
        let range = Range::of(-1.0, 1.0 / q);
        return Err(KernelError::outside("bank", bank, range, "", "leaning that far inward no speed tips the rig outward"));
    }
    let speed = speed_at(q, input.radius_m, bank);
    let slides = input.friction.filter(|mu| mu * bank < 1.0).map(|mu| speed_at(mu, input.radius_m, bank));
    Ok(CorneringSpeedOut {
        speed_m_s: finite("speed_m_s", speed)?,
        speed_km_h: finite("speed_km_h", speed * KM_H)?,
        slide_speed_m_s: slides.map(|v| finite("slide_speed_m_s", v)).transpose()?,
    })
}

/// Kilometres an hour in one metre a second.
const KM_H: f64 = 3.6;

/// Speed, m/s, at which a bend of that radius and bank reaches `threshold_g`; 0 where the rig does not hold even
/// standing. No range is checked.
#[must_use]
pub fn speed_at(threshold_g: f64, radius_m: f64, bank: f64) -> f64 {
    (gravity() * radius_m * (threshold_g + bank) / (1.0 - threshold_g * bank)).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn springs_that_do_not_hold_the_rig_name_the_stiffness_wanted() {
        let input = RollThresholdIn {
            track_m: 1.94,
            cg_height_m: 1.45,
            roll_centre_height_m: 0.6,
            roll_stiffness_nm_per_rad: 8.0e4,
            mass_kg: 9800.0,
        };
        let why = roll_threshold(&input).expect_err("too soft").to_string();
        assert!(why.starts_with("`roll_stiffness_nm_per_rad` is 80000 Nm/rad; wanted: over 81689.39"), "{why}");
        let high = RollThresholdIn { roll_centre_height_m: 1.5, ..input };
        assert!(roll_threshold(&high).expect_err("too high").to_string().contains("roll_centre_height_m"));
    }

    #[test]
    fn an_offset_over_the_wheel_is_refused_on_both_sides() {
        let at = |offset_y_m| static_stability(&StaticStabilityIn { track_m: 2.0, cg_height_m: 1.0, offset_y_m });
        assert!(at(0.999).is_ok() && at(-0.999).is_ok());
        assert!(at(1.0).is_err() && at(-1.0).is_err());
        assert_eq!(at(0.5), at(-0.5));
    }

    #[test]
    fn a_bank_beyond_its_ends_is_refused() {
        let at = |bank| cornering_speed(&CorneringSpeedIn { threshold_g: 0.5, radius_m: 30.0, bank, friction: None });
        assert!(at(-0.5).is_ok_and(|out| out.speed_m_s == 0.0));
        assert!(at(-0.51).is_err());
        let steep = CorneringSpeedIn { threshold_g: 2.0, radius_m: 30.0, bank: 0.5, friction: None };
        assert!(cornering_speed(&steep).is_err());
        assert!(cornering_speed(&CorneringSpeedIn { bank: 0.499, ..steep }).is_ok());
    }
}
