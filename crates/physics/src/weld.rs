//! Fillet welds: how strong a throat is, and the stress in a group of runs.
//!
//! **Caution.** Never weld a heat-treated rail, or one of unknown steel. The strengths are those of a coded welder's
//! weld; a home weld that was never bent to failure is held for half.

mod group;

use quantity::real::{pow, sin};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::mount_facts as facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};

pub use group::{Group, Run, WeldGroupIn, WeldGroupOut, WeldRun, weld_group};

/// Leg of a fillet with equal legs, m, from its throat.
#[must_use]
pub fn leg(throat: f64) -> f64 {
    throat * 2.0_f64.sqrt()
}

/// Throat of a fillet with equal legs, m, from its leg.
#[must_use]
pub fn throat(leg: f64) -> f64 {
    leg / 2.0_f64.sqrt()
}

/// Of shear in the distortion energy, and of the strength that goes with it: √3.
const THREE: f64 = 3.0;

/// Shear strength of a throat for the resultant force on it, Pa: the simplified method of EN 1993-1-8.
///
/// `ultimate` is that of the weaker part joined, Pa.
#[must_use]
pub fn shear_strength(ultimate: f64, weld_factor: f64, partial: f64) -> f64 {
    ultimate / (THREE.sqrt() * weld_factor * partial)
}

/// What the combined stress of the directional method may reach, Pa.
#[must_use]
pub fn combined_strength(ultimate: f64, weld_factor: f64, partial: f64) -> f64 {
    ultimate / (weld_factor * partial)
}

/// What the stress square to the throat may reach, Pa.
#[must_use]
pub fn perpendicular_strength(ultimate: f64, partial: f64) -> f64 {
    facts::weld().perpendicular * ultimate / partial
}

/// Combined stress of the directional method, Pa: stress square to the throat, shear across and along it.
#[must_use]
pub fn combined_stress(perpendicular: f64, across: f64, along: f64) -> f64 {
    (perpendicular * perpendicular + THREE * (across * across + along * along)).sqrt()
}

/// Length that counts, m: a throat less for each end with a crater, so twice the throat for a run open at both.
#[must_use]
pub fn effective_length(length: f64, throat: f64, open_ends: f64) -> f64 {
    length - open_ends * throat
}

/// Shortest effective length that carries load, m.
#[must_use]
pub fn least_length(throat: f64) -> f64 {
    facts::weld().length_least.max(facts::weld().length_throats * throat)
}

/// Nominal strength of a fillet by AISC 360 J2.4, N: filler strength (Pa), throat area (m2), angle of the force to the
/// run (rad). Take the angle as 0 where the part may turn about the weld's root: the gain is unsafe there.
#[must_use]
pub fn aisc_fillet(filler: f64, area: f64, angle: f64) -> f64 {
    let f = facts::weld();
    f.aisc * filler * (1.0 + f.aisc_angle * pow(sin(angle).abs(), f.aisc_power)) * area
}

/// Yield (Pa), ultimate strength (Pa) and weld factor of a steel by its name: "S235", "S355".
///
/// # Errors
/// `NotListed` when no table has a weld factor for it.
pub fn steel(name: &str) -> Result<(f64, f64, f64), KernelError> {
    let plain = name.trim().to_uppercase();
    let of = |column| facts::number(&STEELS, "steel", &plain, column).map(|(value, _)| value);
    let all = of("yield").zip(of("ultimate")).zip(of("weld_factor"));
    all.map(|((yield_, ultimate), factor)| (yield_, ultimate, factor)).ok_or_else(|| KernelError::NotListed {
        field: "steel".into(),
        value: name.into(),
        wanted: "\"S235\", \"S275\", \"S355\", \"S420\" or \"S500MC\"; unknown steel is held for \"S235\"",
    })
}

const STEELS: [&str; 2] = ["steel/structural", "steel/structural-recalled"];

fn usual_partial() -> f64 {
    facts::weld().partial
}

fn both_ends() -> u32 {
    2
}

/// Input of [`weld_strength`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<WeldStrengthIn>)]
pub struct WeldStrengthIn {
    /// Throat; a leg times 0.707.
    pub throat_m: f64,
    /// Length of the run, craters included.
    pub length_m: f64,
    /// Ends that stop in a crater; 0 for a run that returns around corners.
    #[serde(default = "both_ends")]
    pub open_ends: u32,
    /// Steel of the weaker part, by name: "S235".
    #[serde(default)]
    pub steel: Option<String>,
    /// Ultimate strength of the weaker part, with `weld_factor` in place of `steel`.
    #[serde(default)]
    pub ultimate_pa: Option<f64>,
    /// Correlation factor of that steel, 0.8 to 1.
    #[serde(default)]
    pub weld_factor: Option<f64>,
    /// Partial factor.
    #[serde(default = "usual_partial")]
    pub partial_factor: f64,
    /// Strength of the filler metal, for the nominal strength by AISC 360.
    #[serde(default)]
    pub filler_pa: Option<f64>,
    /// Angle between force and run for that; 0 is along it, and the safe side.
    #[serde(default)]
    pub angle_deg: f64,
}

/// Strengths of metals, Pa; the low end catches MPa written as Pa.
const STRENGTH: Range = Range::of(1e6, 1e10);

ranged!(WeldStrengthIn {
    throat_m ["m"] usual::SOME_LENGTH,
    length_m ["m"] usual::SOME_LENGTH,
    open_ends [""] Range::of(0.0, 2.0),
    ultimate_pa ["Pa"] STRENGTH,
    weld_factor [""] Range::of(0.5, 1.0),
    partial_factor [""] Range::of(1.0, 10.0),
    filler_pa ["Pa"] STRENGTH,
    angle_deg ["deg"] Range::of(0.0, 90.0),
});

/// Output of [`weld_strength`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WeldStrengthOut {
    /// Length that counts.
    pub effective_length_m: f64,
    /// Strength for the resultant on the throat, whatever its direction.
    pub shear_strength_pa: f64,
    /// Limit of the combined stress of the directional method.
    pub combined_strength_pa: f64,
    /// Limit of the stress square to the throat.
    pub perpendicular_strength_pa: f64,
    /// Force that the run holds in any direction, by the simplified method.
    pub resistance_n: f64,
    /// Nominal strength by AISC 360 over the whole length; null without `filler_pa`.
    pub aisc_nominal_n: Option<f64>,
}

/// What one run of fillet weld holds.
///
/// | input            | unit | range         | note                                             |
/// |------------------|------|---------------|--------------------------------------------------|
/// | `throat_m`       | m    | over 0 to 1e6 | from 3 mm on; not the leg                        |
/// | `length_m`       | m    | over 0 to 1e6 | at least 30 mm and 6 throats must be left        |
/// | `open_ends`      | 1    | 0 to 2        | default 2                                        |
/// | `ultimate_pa`    | Pa   | 1e6 to 1e10   | of the weaker part; or `steel`                   |
/// | `weld_factor`    | 1    | 0.5 to 1      | with `ultimate_pa`                               |
/// | `partial_factor` | 1    | 1 to 10       | default 1.25                                     |
/// | `filler_pa`      | Pa   | 1e6 to 1e10   | optional                                         |
/// | `angle_deg`      | deg  | 0 to 90       | default 0                                        |
///
/// Gives `effective_length_m` (m), three strengths (Pa), `resistance_n` (N) and `aisc_nominal_n` (N) or null.
///
/// # Errors
/// `OutOfRange` names the field, also for a throat or length too small to carry load; `NotListed` for a steel;
/// `Missing` without a steel.
///
/// # Source
/// EN 1993-1-8 4.5 (second hand), AISC 360 J2.4 (second hand); `data/mount.toml`, `data/steels.toml`.
///
/// # Checked against
/// `tests/outside/weld.rs`: a textbook's E70 fillet, worked examples by AISC, own figures.
pub fn weld_strength(input: &WeldStrengthIn) -> Result<WeldStrengthOut, KernelError> {
    input.check()?;
    let i = input;
    let (ultimate, factor) = match (&i.steel, i.ultimate_pa, i.weld_factor) {
        (Some(_), Some(_), _) | (Some(_), _, Some(_)) => {
            let why = "give it, or `ultimate_pa` and `weld_factor`, not both";
            return Err(KernelError::Unsolvable { field: "steel".into(), why });
        }
        (Some(name), None, None) => steel(name).map(|(_, ultimate, factor)| (ultimate, factor))?,
        (None, Some(ultimate), Some(factor)) => (ultimate, factor),
        (None, Some(_), None) => return Err(missing("weld_factor", "it goes with `ultimate_pa`")),
        (None, None, _) => return Err(missing("steel", "give it, or `ultimate_pa` and `weld_factor`")),
    };
    let thick = Range::of(facts::weld().throat_least, f64::INFINITY);
    if !thick.holds(i.throat_m) {
        return Err(KernelError::outside("throat_m", i.throat_m, thick, "m", "a thinner fillet is not held to carry load"));
    }
    let length = effective_length(i.length_m, i.throat_m, f64::from(i.open_ends));
    let least = i.length_m - length + least_length(i.throat_m);
    if i.length_m < least {
        let range = Range::of(least, f64::INFINITY);
        return Err(KernelError::outside("length_m", i.length_m, range, "m", "a shorter run is not held to carry load"));
    }
    let strength = shear_strength(ultimate, factor, i.partial_factor);
    let nominal = i.filler_pa.map(|filler| aisc_fillet(filler, i.throat_m * i.length_m, i.angle_deg.to_radians()));
    Ok(WeldStrengthOut {
        effective_length_m: finite("effective_length_m", length)?,
        shear_strength_pa: finite("shear_strength_pa", strength)?,
        combined_strength_pa: finite("combined_strength_pa", combined_strength(ultimate, factor, i.partial_factor))?,
        perpendicular_strength_pa: finite("perpendicular_strength_pa", perpendicular_strength(ultimate, i.partial_factor))?,
        resistance_n: finite("resistance_n", strength * i.throat_m * length)?,
        aisc_nominal_n: nominal.map(|n| finite("aisc_nominal_n", n)).transpose()?,
    })
}

fn missing(field: &str, why: &'static str) -> KernelError {
    KernelError::Missing { field: field.into(), why }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(throat_m: f64, length_m: f64) -> Result<WeldStrengthOut, KernelError> {
        weld_strength(&WeldStrengthIn {
            throat_m,
            length_m,
            open_ends: 2,
            steel: Some("s235".into()),
            ultimate_pa: None,
            weld_factor: None,
            partial_factor: 1.25,
            filler_pa: None,
            angle_deg: 0.0,
        })
    }

    #[test]
    fn a_run_too_short_or_too_thin_is_refused() {
        assert!(run(0.004, 0.038).is_ok() && run(0.003, 0.036).is_ok() && run(0.006, 0.048).is_ok());
        assert!(matches!(run(0.004, 0.0379), Err(KernelError::OutOfRange { field, .. }) if field == "length_m"));
        assert!(matches!(run(0.0029, 0.1), Err(KernelError::OutOfRange { field, .. }) if field == "throat_m"));
    }

    #[test]
    fn leg_and_throat_are_each_others_inverse() {
        assert!((throat(leg(0.004)) - 0.004).abs() < 1e-15);
        assert!((leg(3.0) - 4.242_640_687).abs() < 1e-9);
    }
}
