//! What a bolt holds: tension, shear, bearing, punching, both at once; where holes may be; how tight, and what slips.
//!
//! **Caution.** These are strengths of new, whole bolts with a full nut. A stretched, rusted or unmarked bolt is not
//! one: without a head mark take 4.6. Wood or plastic under the head lets the preload go in weeks.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::mount_facts as facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::thread::{Grade, Thread, grade};

/// What of the bolt lies in the plane that shears.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ShearPlane {
    /// The thread: the usual case of a screw threaded to the head.
    Thread,
    /// The plain shank.
    Shank,
}

/// Partial factors and safety factors.
const FACTOR: Range = Range::of(1.0, 10.0);
/// Square millimetres in a square metre, and newtons in a kilonewton.
const SQUARE_MM: f64 = 1e6;
const KILO: f64 = 1e3;

fn usual_partial() -> f64 {
    facts::bolt().partial
}

/// Input of [`bolt`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<BoltIn>)]
pub struct BoltIn {
    /// Size: "M12", "M12x1.25", "1/2-13", "1/2 in UNF".
    pub size: String,
    /// Property class or grade: "8.8", "A2-70", "SAE 5".
    pub class: String,
    /// What of the bolt lies in the plane that shears.
    pub shear_plane: ShearPlane,
    /// Partial factor that both resistances are divided by.
    #[serde(default = "usual_partial")]
    pub partial_factor: f64,
}

ranged!(BoltIn { partial_factor [""] FACTOR });

/// Output of [`bolt`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BoltOut {
    /// Stress area of the thread.
    pub stress_area_mm2: f64,
    /// Design resistance to tension.
    pub tension_kn: f64,
    /// Design resistance to shear in one plane.
    pub shear_kn: f64,
    /// Shear factor that was used.
    pub shear_factor: f64,
    /// For an inch grade, the metric class of like strength whose shear factor it took; else null.
    pub like_class: Option<String>,
}

/// Design resistances of one bolt by EN 1993-1-8 table 3.4.
///
/// `0.9 fub As / gM2` in tension, `av fub A / gM2` in shear. Classes 10.9 and A2-70 have a shear factor of 0.5 in the
/// thread: public tables that give them 0.6 are 20 % on the unsafe side. The rule has no inch grades: they take the
/// factor of the metric class of like strength, and the answer says which. Plates and nut are not looked at.
///
/// | input            | unit | range   | note                                     |
/// |------------------|------|---------|------------------------------------------|
/// | `partial_factor` | 1    | 1 to 10 | default 1.25                             |
///
/// Gives `stress_area_mm2` (mm2), `tension_kn` and `shear_kn` (kN), `shear_factor`, `like_class`.
///
/// # Errors
/// `NotListed` for a size or class that no table has, `OutOfRange` for a bolt thicker than its grade is made.
///
/// # Source
/// EN 1993-1-8 table 3.4 (second hand); stress area ISO 898-1 and ASME B1.1 (from memory); `data/bolts.toml`.
///
/// # Checked against
/// `tests/outside/fastener.rs`: an open catalogue's table for 8.8 from M12 to M30, and M20 on a public design page.
pub fn bolt(input: &BoltIn) -> Result<BoltOut, KernelError> {
    input.check()?;
    let thread = Thread::parse(&input.size)?;
    let class = grade(&input.class, thread.diameter)?;
    let (area, shear_factor) = shear_area(&thread, &class, input.shear_plane);
    let partial = input.partial_factor;
    Ok(BoltOut {
        stress_area_mm2: finite("stress_area_mm2", thread.stress_area() * SQUARE_MM)?,
        tension_kn: finite("tension_kn", tension(class.ultimate, thread.stress_area(), partial) / KILO)?,
        shear_kn: finite("shear_kn", shear(shear_factor, class.ultimate, area, partial) / KILO)?,
        shear_factor,
        like_class: class.like.map(str::to_owned),
    })
}

/// Area, m2, and shear factor of a bolt in a shear plane.
#[must_use]
pub fn shear_area(thread: &Thread, class: &Grade, plane: ShearPlane) -> (f64, f64) {
    match plane {
        ShearPlane::Thread => (thread.stress_area(), class.shear_thread),
        ShearPlane::Shank => (thread.shank_area(), facts::bolt().shear_shank),
    }
}

/// Design resistance to tension, N, of a bolt with ultimate strength (Pa) and stress area (m2).
#[must_use]
pub fn tension(ultimate: f64, stress_area: f64, partial: f64) -> f64 {
    facts::bolt().tension * ultimate * stress_area / partial
}

/// The same of a countersunk bolt.
#[must_use]
pub fn tension_countersunk(ultimate: f64, stress_area: f64, partial: f64) -> f64 {
    facts::bolt().tension_countersunk * ultimate * stress_area / partial
}

/// Design resistance to shear, N, in one plane of that area (m2).
#[must_use]
pub fn shear(factor: f64, ultimate: f64, area: f64, partial: f64) -> f64 {
    factor * ultimate * area / partial
}

/// Utilisation of a bolt under shear and tension at once; above 1 it does not hold. Pure tension is held against its
/// own resistance too.
#[must_use]
pub fn together(shear: f64, shear_resistance: f64, tension: f64, tension_resistance: f64) -> f64 {
    let both = shear / shear_resistance + tension / (facts::bolt().interaction * tension_resistance);
    both.max(tension / tension_resistance)
}

/// A bolt in a plate, for bearing. Lengths in m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InPlate {
    /// Bolt diameter.
    pub diameter: f64,
    /// Hole diameter.
    pub hole: f64,
    /// Plate thickness.
    pub thickness: f64,
    /// Hole's middle to the plate's end, along the force.
    pub end: f64,
    /// Hole's middle to the plate's edge, across the force.
    pub edge: f64,
    /// Distance of holes along the force; infinite for a single one.
    pub pitch: f64,
    /// Distance of holes across the force; infinite for a single one.
    pub gauge: f64,
}

/// Design resistance to bearing, N, of a plate with ultimate strength `plate` under a bolt with `ultimate` (Pa).
#[must_use]
pub fn bearing(at: &InPlate, ultimate: f64, plate: f64, partial: f64) -> f64 {
    let f = facts::bolt();
    let full = f.bearing_end * at.hole;
    let along = (at.end / full).min(at.pitch / full - f.bearing_pitch_less).min(ultimate / plate).clamp(0.0, 1.0);
    let edge = f.bearing_edge * at.edge / at.hole - f.bearing_less;
    let gauge = f.bearing_gauge * at.gauge / at.hole - f.bearing_less;
    let across = edge.min(gauge).clamp(0.0, f.bearing_most);
    across * along * plate * at.diameter * at.thickness / partial
}

/// Design resistance to punching, N: a head of mean diameter `head` (m) through a plate.
#[must_use]
pub fn punching(head: f64, thickness: f64, plate: f64, partial: f64) -> f64 {
    facts::bolt().punching * std::f64::consts::PI * head * thickness * plate / partial
}

/// Diameter of a normal round hole, m; `None` for a bolt thicker than the table goes.
#[must_use]
pub fn hole(diameter: f64) -> Option<f64> {
    let table = facts::table("bolt/hole")?;
    let mut rows = table.pairs("bolt", "up_to").zip(table.pairs("bolt", "wider"));
    rows.find(|((_, up_to), _)| diameter <= *up_to).map(|(_, (_, wider))| diameter + wider)
}

/// Least end and edge distance, pitch and gauge, m, for a hole.
#[must_use]
pub fn least_spacing(hole: f64) -> (f64, f64, f64) {
    let f = facts::bolt();
    (f.spacing_end * hole, f.spacing_pitch * hole, f.spacing_gauge * hole)
}

/// Design strength by AISC 360 (LRFD), N: nominal stress (Pa) on the unthreaded area (m2).
#[must_use]
pub fn aisc(nominal: f64, area: f64) -> f64 {
    facts::bolt().aisc_phi * nominal * area
}

/// Nominal tensile stress left beside a required shear stress `shear` (all Pa), AISC 360 J3.7 (LRFD).
#[must_use]
pub fn aisc_tension_beside_shear(tension: f64, shear_nominal: f64, shear: f64) -> f64 {
    let f = facts::bolt();
    (f.aisc_interaction * tension - tension / (f.aisc_phi * shear_nominal) * shear).clamp(0.0, tension)
}

/// Preload of a slip joint by EN 1993-1-8, N.
#[must_use]
pub fn preload(ultimate: f64, stress_area: f64) -> f64 {
    let f = facts::bolt();
    f.preload_share * ultimate * stress_area / f.preload_partial
}

/// Preload of a joint that is taken apart again, N, from proof stress (Pa) and stress area (m2).
#[must_use]
pub fn reusable_preload(proof: f64, stress_area: f64) -> f64 {
    facts::bolt().preload_reusable * proof * stress_area
}

/// Torque, N m, for a preload (N) at a diameter (m): `T = K F d`, good for 30 % either way.
#[must_use]
pub fn tightening_torque(nut_factor: f64, preload: f64, diameter: f64) -> f64 {
    nut_factor * preload * diameter
}

/// Design resistance to slip, N, of one bolt with `faces` friction faces under an outer `tension` (N).
#[must_use]
pub fn slip(faces: f64, friction: f64, preload: f64, tension: f64, partial: f64) -> f64 {
    faces * friction * (preload - facts::bolt().slip_tension * tension).max(0.0) / partial
}

/// How the thread is when it is tightened.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Lubrication {
    /// Dry zinc, or as it came.
    #[default]
    Dry,
    /// Oiled.
    Oiled,
    /// Waxed, or with molybdenum grease.
    Waxed,
    /// Rusty.
    Rusty,
    /// Stainless without grease; it galls.
    StainlessUngreased,
}

impl Lubrication {
    /// Nut factor K of `T = K F d`; `data/bolts.toml`.
    #[must_use]
    pub fn nut_factor(self) -> f64 {
        let key = match self {
            Self::Dry => "dry",
            Self::Oiled => "oiled",
            Self::Waxed => "waxed",
            Self::Rusty => "rusty",
            Self::StainlessUngreased => "stainless, ungreased",
        };
        facts::number(&["bolt/nut-factor"], "thread", key, "factor").map_or(f64::NAN, |(value, _)| value)
    }
}

/// Input of [`torque`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<TorqueIn>)]
pub struct TorqueIn {
    /// Size: "M12", "M12x1.25", "1/2-13", "1/2 in UNF".
    pub size: String,
    /// Property class or grade; not needed with `preload_n`.
    #[serde(default)]
    pub class: Option<String>,
    /// Preload wanted; default 0.75 of the proof stress.
    #[serde(default)]
    pub preload_n: Option<f64>,
    /// How the thread is.
    #[serde(default)]
    pub lubrication: Lubrication,
    /// Nut factor, in place of the one for the lubrication.
    #[serde(default)]
    pub nut_factor: Option<f64>,
}

ranged!(TorqueIn { preload_n ["N"] Range::over(0.0, 1e9), nut_factor [""] Range::over(0.0, 1.0) });

/// Output of [`torque`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TorqueOut {
    /// Preload aimed at; the real one is within 30 % of it at best.
    pub preload_n: f64,
    /// Nut factor used.
    pub nut_factor: f64,
    /// Torque.
    pub torque_nm: f64,
}

/// How tight: the torque for a preload.
///
/// | input        | unit | range         | note                                      |
/// |--------------|------|---------------|-------------------------------------------|
/// | `preload_n`  | N    | over 0 to 1e9 | default 0.75 of proof stress times area   |
/// | `nut_factor` | 1    | over 0 to 1   | default by the lubrication                |
///
/// Gives `preload_n` (N), `nut_factor` and `torque_nm` (N m).
///
/// # Errors
/// `NotListed` for a size or class; `Missing` without a class or a preload, or for a class whose proof stress no table
/// has; `OutOfRange`.
///
/// # Source
/// `T = K F d` with K and 0.75 of fastener handbooks (from memory); `data/bolts.toml`.
///
/// # Checked against
/// `tests/outside/fastener.rs`: own figures computed with numpy.
pub fn torque(input: &TorqueIn) -> Result<TorqueOut, KernelError> {
    input.check()?;
    let thread = Thread::parse(&input.size)?;
    let missing = |field: &str, why| KernelError::Missing { field: field.into(), why };
    let preload_n = match (input.preload_n, &input.class) {
        (Some(preload), _) => preload,
        (None, None) => return Err(missing("class", "without it there is no preload to aim at; give `class` or `preload_n`")),
        (None, Some(class)) => {
            let proof = grade(class, thread.diameter)?.proof;
            let proof = proof.ok_or_else(|| missing("preload_n", "no table here has a proof stress of this class"))?;
            reusable_preload(proof, thread.stress_area())
        }
    };
    let nut_factor = input.nut_factor.unwrap_or_else(|| input.lubrication.nut_factor());
    let torque_nm = tightening_torque(nut_factor, preload_n, thread.diameter);
    Ok(TorqueOut {
        preload_n: finite("preload_n", preload_n)?,
        nut_factor: finite("nut_factor", nut_factor)?,
        torque_nm: finite("torque_nm", torque_nm)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(size: &str, class: &str, shear_plane: ShearPlane) -> Result<BoltOut, KernelError> {
        bolt(&BoltIn { size: size.into(), class: class.into(), shear_plane, partial_factor: 1.25 })
    }

    #[test]
    fn an_inch_grade_says_whose_factor_it_took() {
        let sae = of("1/2-13", "SAE 5", ShearPlane::Thread).expect("answers");
        assert_eq!((sae.like_class.as_deref(), sae.shear_factor), (Some("8.8"), 0.6));
        let metric = of("M12", "10.9", ShearPlane::Thread).expect("answers");
        assert_eq!((metric.like_class, metric.shear_factor), (None, 0.5));
        assert_eq!(of("M12", "A2-70", ShearPlane::Shank).map(|b| b.shear_factor), Ok(0.6));
    }

    #[test]
    fn every_lubrication_is_in_the_table() {
        use Lubrication::{Dry, Oiled, Rusty, StainlessUngreased, Waxed};
        let all = [Dry, Oiled, Waxed, Rusty, StainlessUngreased].map(Lubrication::nut_factor);
        assert_eq!(all, [0.20, 0.15, 0.12, 0.30, 0.30]);
    }

    #[test]
    fn a_torque_needs_something_to_aim_at() {
        let bare = TorqueIn { size: "M12".into(), class: None, preload_n: None, lubrication: Lubrication::Dry, nut_factor: None };
        assert!(matches!(torque(&bare), Err(KernelError::Missing { field, .. }) if field == "class"));
        let stainless = TorqueIn { class: Some("A2-70".into()), ..bare };
        assert!(matches!(torque(&stainless), Err(KernelError::Missing { field, .. }) if field == "preload_n"));
    }

    #[test]
    fn holes_are_wider_by_size() {
        let wider: Vec<f64> = [0.012, 0.014, 0.016, 0.024, 0.027].iter().filter_map(|d| Some(hole(*d)? - d)).collect();
        for (got, want) in wider.iter().zip([1e-3, 1e-3, 2e-3, 2e-3, 3e-3]) {
            assert!((got - want).abs() < 1e-9);
        }
        assert!(hole(0.1).is_none());
    }

    #[test]
    fn a_hole_at_the_edge_bears_nothing_and_never_less() {
        let at = InPlate {
            diameter: 0.012,
            hole: 0.013,
            thickness: 0.008,
            end: 0.0,
            edge: 0.0,
            pitch: f64::INFINITY,
            gauge: f64::INFINITY,
        };
        assert_eq!(bearing(&at, 800e6, 430e6, 1.25), 0.0);
        assert_eq!(slip(1.0, 0.2, 40e3, 60e3, 1.25), 0.0);
    }
}
