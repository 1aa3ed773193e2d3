//! Straps: over the top, and straight from the load to the floor.
//!
//! **Caution.** A strap over the top holds by friction alone: frost, grease or dust on the floor doubles the number. A
//! roof of a composite body is no seat for a strap.

use quantity::real::{cos, sin};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts::gravity;
use crate::mount_facts as facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};

/// Accelerations, in standard gravity.
const ACCELERATION: Range = Range::of(0.0, 100.0);
/// Friction coefficients.
const FRICTION: Range = Range::of(0.0, 2.0);
/// Pulls on labels, daN.
const PULL: Range = Range::over(0.0, 1e9);
/// Newtons in a decanewton, the unit of labels.
const DECA: f64 = 10.0;
/// Straps that are rounding.
const ROUNDING: f64 = 1e-9;

fn standing() -> f64 {
    1.0
}

fn usual_safety() -> f64 {
    facts::lashing().safety
}

fn usual_dynamic() -> f64 {
    facts::lashing().dynamic
}

/// Input of [`strap_over`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<StrapOverIn>)]
pub struct StrapOverIn {
    /// Mass of the load.
    pub mass_kg: f64,
    /// Acceleration it is held against: 0.8 forward, 0.5 sideways and rearward.
    pub acceleration_g: f64,
    /// Share of its weight that presses on the floor.
    #[serde(default = "standing")]
    pub vertical_g: f64,
    /// Friction between load and floor.
    pub friction: f64,
    /// Angle of the strap to the floor; 90 is straight down.
    pub angle_deg: f64,
    /// Pre-tension of one strap: STF of its label, not its capacity.
    pub tension_dan: f64,
    /// Safety factor; 1.25 forward.
    #[serde(default = "usual_safety")]
    pub safety: f64,
}

ranged!(StrapOverIn {
    mass_kg ["kg"] usual::SOME_MASS,
    acceleration_g [""] ACCELERATION,
    vertical_g [""] ACCELERATION,
    friction [""] Range::over(0.0, 2.0),
    angle_deg ["deg"] Range::over(0.0, 90.0),
    tension_dan ["daN"] PULL,
    safety [""] Range::of(1.0, 10.0),
});

/// Output of [`strap_over`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StrapOverOut {
    /// Straps needed, a whole number; 0 where friction alone holds.
    pub straps_n: f64,
    /// The same before it is rounded up.
    pub straps_exact: f64,
}

/// How many straps over the top hold a load by pressing it on the floor.
///
/// | input            | unit | range         | note                                     |
/// |------------------|------|---------------|------------------------------------------|
/// | `mass_kg`        | kg   | over 0 to 1e9 |                                          |
/// | `acceleration_g` | 1    | 0 to 100      | in g                                     |
/// | `vertical_g`     | 1    | 0 to 100      | in g, default 1                          |
/// | `friction`       | 1    | over 0 to 2   | of the floor as it is, wet or frozen     |
/// | `angle_deg`      | deg  | over 0 to 90  | to the floor                             |
/// | `tension_dan`    | daN  | over 0 to 1e9 | of one strap                             |
/// | `safety`         | 1    | 1 to 10       | default 1.1; forward 1.25                |
///
/// Gives `straps_n` and `straps_exact`. Rules may ask for a strap even where friction alone holds.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// EN 12195-1:2010 (from memory); `data/mount.toml`.
///
/// # Checked against
/// `tests/outside/lashing.rs`: own figures computed with numpy.
pub fn strap_over(input: &StrapOverIn) -> Result<StrapOverOut, KernelError> {
    input.check()?;
    let i = input;
    let need = (i.acceleration_g - i.friction * i.vertical_g) * i.mass_kg * gravity() * i.safety;
    let each = over_top_hold(i.friction, i.angle_deg.to_radians(), i.tension_dan * DECA);
    let exact = finite("straps_exact", (need / each).max(0.0))?;
    Ok(StrapOverOut { straps_n: (exact - ROUNDING).ceil().max(0.0), straps_exact: exact })
}

/// What one over-top strap of that pre-tension (N) at an angle to the floor (rad) holds along the floor, N.
#[must_use]
pub fn over_top_hold(friction: f64, angle: f64, tension: f64) -> f64 {
    facts::lashing().ends * friction * sin(angle) * tension
}

/// Input of [`strap_direct`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<StrapDirectIn>)]
pub struct StrapDirectIn {
    /// Mass of the load.
    pub mass_kg: f64,
    /// Acceleration it is held against.
    pub acceleration_g: f64,
    /// Share of its weight that presses on the floor.
    #[serde(default = "standing")]
    pub vertical_g: f64,
    /// Static friction between load and floor.
    pub friction: f64,
    /// Angle of the strap to the floor.
    pub angle_deg: f64,
    /// Angle of the strap, seen from above, to the direction it holds against.
    #[serde(default)]
    pub plan_angle_deg: f64,
    /// Straps that act in that direction.
    pub straps_n: u32,
    /// Friction of a moving load as a share of the static one.
    #[serde(default = "usual_dynamic")]
    pub dynamic_factor: f64,
    /// Lashing capacity of one strap: LC of its label.
    pub capacity_dan: f64,
}

ranged!(StrapDirectIn {
    mass_kg ["kg"] usual::SOME_MASS,
    acceleration_g [""] ACCELERATION,
    vertical_g [""] ACCELERATION,
    friction [""] FRICTION,
    angle_deg ["deg"] Range::of(0.0, 89.0),
    plan_angle_deg ["deg"] Range::of(0.0, 89.0),
    straps_n [""] Range::of(1.0, 1000.0),
    dynamic_factor [""] Range::of(0.0, 1.0),
    capacity_dan ["daN"] PULL,
});

/// Output of [`strap_direct`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StrapDirectOut {
    /// Pull in each strap; 0 where friction alone holds.
    pub force_needed_n: f64,
    /// The same as a share of the capacity.
    pub utilisation: f64,
}

/// Pull in straps that go straight from the load to the floor.
///
/// | input            | unit | range         | note                                     |
/// |------------------|------|---------------|------------------------------------------|
/// | `mass_kg`        | kg   | over 0 to 1e9 |                                          |
/// | `acceleration_g` | 1    | 0 to 100      | in g                                     |
/// | `vertical_g`     | 1    | 0 to 100      | in g, default 1                          |
/// | `friction`       | 1    | 0 to 2        | static                                   |
/// | `angle_deg`      | deg  | 0 to 89       | to the floor                             |
/// | `plan_angle_deg` | deg  | 0 to 89       | default 0                                |
/// | `straps_n`       | 1    | 1 to 1000     | acting that way                          |
/// | `dynamic_factor` | 1    | 0 to 1        | default 0.75                             |
/// | `capacity_dan`   | daN  | over 0 to 1e9 | of one strap                             |
///
/// Gives `force_needed_n` (N, each) and `utilisation`.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// EN 12195-1:2010 (from memory); dynamic friction CTU Code (read); `data/mount.toml`.
///
/// # Checked against
/// `tests/outside/lashing.rs`: own figures computed with numpy.
pub fn strap_direct(input: &StrapDirectIn) -> Result<StrapDirectOut, KernelError> {
    input.check()?;
    let i = input;
    let friction = i.friction * i.dynamic_factor;
    let need = i.mass_kg * gravity() * (i.acceleration_g - friction * i.vertical_g);
    let one = direct_share(friction, i.angle_deg.to_radians(), i.plan_angle_deg.to_radians());
    let force = finite("force_needed_n", (need / (f64::from(i.straps_n) * one)).max(0.0))?;
    Ok(StrapDirectOut { force_needed_n: force, utilisation: finite("utilisation", force / (i.capacity_dan * DECA))? })
}

/// What a direct strap holds along the floor for each newton of pull, friction of its downward part included.
#[must_use]
pub fn direct_share(friction: f64, angle: f64, plan_angle: f64) -> f64 {
    cos(angle) * cos(plan_angle) + friction * sin(angle)
}

/// Most pre-tension that counts, N, of a strap with that label: tension and capacity in N.
#[must_use]
pub fn counted_tension(tension: f64, capacity: f64) -> f64 {
    tension.min(facts::lashing().tension_most * capacity)
}

/// Aggregate working load limit by 49 CFR 393.106, N: tiedowns from vehicle to load count half, those over it whole.
#[must_use]
pub fn aggregate_limit(direct: f64, over: f64) -> f64 {
    facts::lashing().aggregate_direct * direct + over
}

/// Least aggregate working load limit by 49 CFR 393.106, N, for a mass (kg).
#[must_use]
pub fn aggregate_least(mass_kg: f64) -> f64 {
    facts::lashing().aggregate_share * mass_kg * gravity()
}

/// Static friction of two faces, dry or wet, as the tables of `data/lashing.toml` name them; `None` where they have none.
#[must_use]
pub fn friction(faces: &str, wet: bool) -> Option<f64> {
    let ids = ["lashing/friction", "lashing/friction-dry-only", "lashing/friction-recalled"];
    facts::number(&ids, "faces", faces, if wet { "wet" } else { "dry" }).map(|(value, _)| value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn friction_alone_needs_no_strap() {
        let held = StrapOverIn {
            mass_kg: 1000.0,
            acceleration_g: 0.5,
            vertical_g: 1.0,
            friction: 0.5,
            angle_deg: 70.0,
            tension_dan: 400.0,
            safety: 1.1,
        };
        assert_eq!(strap_over(&held).map(|o| (o.straps_n, o.straps_exact)), Ok((0.0, 0.0)));
        assert!(strap_over(&StrapOverIn { friction: 0.499, ..held }).is_ok_and(|o| o.straps_n == 1.0));
    }

    #[test]
    fn faces_are_found_by_name_and_a_dry_value_is_none_for_wet() {
        assert_eq!(friction("sawn wood on plywood", true), Some(0.45));
        assert_eq!(friction("smooth metal on smooth metal", false), Some(0.20));
        assert_eq!(friction("smooth metal on smooth metal", true), None);
        assert_eq!(friction("butter on glass", false), None);
    }

    #[test]
    fn a_label_bounds_the_tension_that_counts() {
        assert_eq!((counted_tension(4000.0, 10_000.0), counted_tension(6000.0, 10_000.0)), (4000.0, 5000.0));
        assert_eq!(aggregate_limit(4.0, 3.0), 5.0);
    }
}
