//! Wood: packers under a mount, screws pulled out of it, and what drying does.
//!
//! **Caution.** EN 338 gives a characteristic strength, NDS an allowable stress at a dent of 1 mm: they are not the same
//! limit. Plywood holds screws worse than these formulas for solid wood say.

use quantity::real::pow;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::mount_facts as facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};
use crate::written::{INCH, MILLI};

fn whole() -> f64 {
    1.0
}

/// Input of [`packer`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<PackerIn>)]
pub struct PackerIn {
    /// Load on the packer.
    pub load_n: f64,
    /// Length of the face that bears.
    pub length_m: f64,
    /// Width of the face that bears.
    pub width_m: f64,
    /// Strength of the material across the grain.
    pub strength_pa: f64,
    /// What the strength is multiplied by: duration, moisture, partial factor.
    #[serde(default = "whole")]
    pub factor: f64,
}

ranged!(PackerIn {
    load_n ["N"] usual::MASS,
    length_m ["m"] usual::SOME_LENGTH,
    width_m ["m"] usual::SOME_LENGTH,
    strength_pa ["Pa"] Range::of(1e3, 1e10),
    factor [""] Range::over(0.0, 10.0),
});

/// Output of [`packer`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PackerOut {
    /// Pressure on the packer.
    pub stress_pa: f64,
    /// The same as a share of strength times factor.
    pub utilisation: f64,
}

/// Pressure on a packer.
///
/// | input         | unit | range          | note                              |
/// |---------------|------|----------------|-----------------------------------|
/// | `load_n`      | N    | 0 to 1e9       |                                   |
/// | `length_m`    | m    | over 0 to 1e6  |                                   |
/// | `width_m`     | m    | over 0 to 1e6  |                                   |
/// | `strength_pa` | Pa   | 1000 to 1e10   |                                   |
/// | `factor`      | 1    | over 0 to 10   | default 1                         |
///
/// Gives `stress_pa` (Pa) and `utilisation`.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Force over area (physics). Factors: [`ec5_factor`], [`nds_factor`].
///
/// # Checked against
/// `tests/outside/timber.rs`: own figures computed with numpy.
pub fn packer(input: &PackerIn) -> Result<PackerOut, KernelError> {
    input.check()?;
    let stress = input.load_n / (input.length_m * input.width_m);
    Ok(PackerOut {
        stress_pa: finite("stress_pa", stress)?,
        utilisation: finite("utilisation", stress / (input.strength_pa * input.factor))?,
    })
}

/// How long a load lasts and how damp the wood is, for EN 1995.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duration {
    /// Outdoors, for less than a week.
    ShortOutdoors,
    /// Outdoors, a bump or a brake.
    InstantOutdoors,
    /// Under a roof, for less than a week.
    ShortDry,
}

impl Duration {
    /// kmod of solid timber.
    #[must_use]
    pub fn factor(self) -> f64 {
        let f = facts::timber();
        match self {
            Self::ShortOutdoors => f.duration_short,
            Self::InstantOutdoors => f.duration_instant,
            Self::ShortDry => f.duration_dry,
        }
    }
}

/// Factor on a characteristic strength of EN 338: kc,90 kmod / gM, with kc,90 of a packer that bears on all its length.
#[must_use]
pub fn ec5_factor(duration: Duration) -> f64 {
    facts::timber().bearing * duration.factor() / facts::timber().partial
}

/// Factor on an allowable stress of NDS: wet, and the bearing factor of a face `length` (m) along the grain whose end is
/// `to_end` (m) from the end of the wood.
#[must_use]
pub fn nds_factor(wet: bool, length: f64, to_end: f64) -> f64 {
    let f = facts::timber();
    let gains = length < f.bearing_up_to && to_end >= f.bearing_end;
    let bearing = if gains { (length + f.bearing_add) / length } else { 1.0 };
    if wet { f.wet * bearing } else { bearing }
}

/// A wood with its strength across the grain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wood {
    /// Its name in the table.
    pub name: &'static str,
    /// Strength across the grain, Pa.
    pub strength: f64,
    /// Whether that is an allowable stress (NDS); else it is characteristic (EN 338).
    pub allowable: bool,
    /// 5 % density, kg/m3, of a strength class.
    pub density: Option<f64>,
    /// Specific gravity of a species.
    pub gravity: Option<f64>,
    /// Where it comes from.
    pub basis: &'static basis::Basis,
}

const CLASSES: &str = "timber/strength-class";
const SPECIES: [&str; 2] = ["timber/species", "timber/species-recalled"];

/// A strength class of EN 338 ("C24", "D40") or a species group of NDS ("red oak").
///
/// # Errors
/// `NotListed` for a wood that no table has.
pub fn wood(text: &str) -> Result<Wood, KernelError> {
    let plain = text.trim();
    let all = [CLASSES, SPECIES[0], SPECIES[1]];
    let name = facts::names(&all, "wood").into_iter().find(|name| name.eq_ignore_ascii_case(plain));
    let read = |name: &'static str| {
        let (strength, table) = facts::number(&all, "wood", name, "strength")?;
        let density = facts::number(&[CLASSES], "wood", name, "density").map(|(value, _)| value);
        let gravity = facts::number(&SPECIES, "wood", name, "gravity").map(|(value, _)| value);
        Some(Wood { name, strength, allowable: gravity.is_some(), density, gravity, basis: &table.basis })
    };
    name.and_then(read).ok_or_else(|| KernelError::NotListed {
        field: "wood".into(),
        value: text.into(),
        wanted: "a strength class C16 to C30 or D30 to D70, or \"Douglas fir-larch\", \"Southern pine\", \"Hem-fir\", \
                 \"Spruce-pine-fir\", \"Red oak\", \"White oak\"",
    })
}

/// What a packer is of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Packing {
    /// A wood; `true` where a word stands for its weakest usual class.
    Wood(Wood, bool),
    /// Other stuff, with the pressure it stands for years, Pa.
    Other(f64, &'static basis::Basis),
    /// A metal: it does not crush.
    Metal,
}

/// What a packer is of: a wood of the tables, a word such as "oak" for the weakest usual class, "rubber", "HDPE", "steel".
///
/// # Errors
/// `NotListed` for stuff that no table has.
pub fn packing(text: &str) -> Result<Packing, KernelError> {
    if let Ok(wood) = wood(text) {
        return Ok(Packing::Wood(wood, false));
    }
    let plain = text.trim();
    let same = |(word, _): &(&str, &str)| word.eq_ignore_ascii_case(plain);
    if let Some((_, class)) = facts::table("timber/packer").and_then(|table| table.words("material", "class").find(same)) {
        return Ok(Packing::Wood(wood(class)?, true));
    }
    if facts::table("timber/packer-metal").is_some_and(|table| table.words("material", "metal").any(|row| same(&row))) {
        return Ok(Packing::Metal);
    }
    let other = facts::table("timber/packer-other").and_then(|table| {
        let (_, strength) = table.pairs("material", "strength").find(|(word, _)| word.eq_ignore_ascii_case(plain))?;
        Some(Packing::Other(strength, &table.basis))
    });
    other.ok_or_else(|| KernelError::NotListed {
        field: "material".into(),
        value: text.into(),
        wanted: "a strength class such as \"C24\" or \"D40\", or \"oak\", \"beech\", \"spruce\", \"hardwood\", \"softwood\", \"plywood\", \
                 \"rubber\", \"HDPE\", \"steel\", \"aluminium\"",
    })
}

/// Newtons in a pound-force, exact by definition.
const POUND_FORCE: f64 = 4.448_221_615_260_5;

/// Allowable withdrawal of a wood screw by NDS, N, before the load-duration factor: specific gravity of the wood,
/// diameter of the unthreaded shank (m), thread in the wood (m).
#[must_use]
pub fn nds_withdrawal(gravity: f64, diameter: f64, thread: f64) -> f64 {
    facts::timber().screw_nds * gravity * gravity * (diameter / INCH) * (thread / INCH) * POUND_FORCE
}

/// Characteristic withdrawal of a screw by EN 1995-1-1 (8.38 to 8.40), N: outer diameter (m), thread in the wood (m),
/// 5 % density (kg/m3). Nothing when the thread is in by less than 6 diameters.
#[must_use]
pub fn ec5_withdrawal(diameter: f64, thread: f64, density: f64) -> f64 {
    let f = facts::timber();
    if thread < f.screw_ec5_penetration * diameter {
        return 0.0;
    }
    let (d, l) = (diameter / MILLI, thread / MILLI);
    let powers = pow(d, f.screw_ec5_diameter) * pow(l, f.screw_ec5_length) * pow(density, f.screw_ec5_density);
    f.screw_ec5 * powers * d * l * (diameter / f.screw_ec5_full).min(1.0)
}

/// By which rule a screw is held to hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ScrewRule {
    /// NDS: allowable, wood screws.
    Nds,
    /// EN 1995-1-1: characteristic, screws of 6 to 12 mm.
    En1995,
}

/// Input of [`screw_withdrawal`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<ScrewWithdrawalIn>)]
pub struct ScrewWithdrawalIn {
    /// By which rule.
    pub rule: ScrewRule,
    /// NDS: shank diameter; EN 1995: outer diameter of the thread.
    pub diameter_m: f64,
    /// Thread in the wood, without the tip.
    pub thread_m: f64,
    /// Specific gravity of the wood; NDS.
    #[serde(default)]
    pub specific_gravity: Option<f64>,
    /// 5 % density of the wood; EN 1995.
    #[serde(default)]
    pub density_kg_m3: Option<f64>,
    /// NDS load-duration factor; 1.6 for wind.
    #[serde(default = "whole")]
    pub duration_factor: f64,
}

ranged!(ScrewWithdrawalIn {
    diameter_m ["m"] Range::of(1e-3, 0.05),
    thread_m ["m"] Range::of(0.0, 1.0),
    specific_gravity [""] Range::of(0.1, 1.5),
    density_kg_m3 ["kg/m3"] Range::of(100.0, 1500.0),
    duration_factor [""] Range::of(0.5, 2.0),
});

/// Output of [`screw_withdrawal`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ScrewWithdrawalOut {
    /// NDS: allowable load; EN 1995: characteristic resistance, to be multiplied by kmod / 1.3.
    pub withdrawal_n: f64,
}

/// What a screw holds against being pulled out of the side of solid wood.
///
/// | input              | unit  | range         | note                                   |
/// |--------------------|-------|---------------|----------------------------------------|
/// | `diameter_m`       | m     | 0.001 to 0.05 | EN 1995: 6 to 12 mm                    |
/// | `thread_m`         | m     | 0 to 1        | EN 1995: from 6 diameters on           |
/// | `specific_gravity` | 1     | 0.1 to 1.5    | NDS                                    |
/// | `density_kg_m3`    | kg/m3 | 100 to 1500   | EN 1995                                |
/// | `duration_factor`  | 1     | 0.5 to 2      | NDS, default 1                         |
///
/// Gives `withdrawal_n` (N). By EN 1995 a thread that is in by less than 6 diameters holds nothing.
///
/// # Errors
/// `OutOfRange` names the field; `Missing` for the wood's gravity or density.
///
/// # Source
/// NDS and EN 1995-1-1 8.7.2 (both second hand); `data/mount.toml`.
///
/// # Checked against
/// `tests/outside/timber.rs`: a public page's 109 lb an inch, own figures.
pub fn screw_withdrawal(input: &ScrewWithdrawalIn) -> Result<ScrewWithdrawalOut, KernelError> {
    input.check()?;
    let i = input;
    let missing = |field: &str, why| KernelError::Missing { field: field.into(), why };
    let force = match i.rule {
        ScrewRule::Nds => {
            let gravity = i.specific_gravity.ok_or_else(|| missing("specific_gravity", "NDS takes the wood by it"))?;
            nds_withdrawal(gravity, i.diameter_m, i.thread_m) * i.duration_factor
        }
        ScrewRule::En1995 => {
            let density = i.density_kg_m3.ok_or_else(|| missing("density_kg_m3", "EN 1995 takes the wood by it"))?;
            let range = Range::of(facts::timber().screw_ec5_thin, facts::timber().screw_ec5_thick);
            if !range.holds(i.diameter_m) {
                return Err(KernelError::outside(
                    "diameter_m",
                    i.diameter_m,
                    range,
                    "m",
                    "the formula of EN 1995 holds for no others",
                ));
            }
            ec5_withdrawal(i.diameter_m, i.thread_m, density)
        }
    };
    Ok(ScrewWithdrawalOut { withdrawal_n: finite("withdrawal_n", force)? })
}

/// What a screw sits in: a wood of the tables, or a word such as "spruce" or "plywood" that stands for the weakest usual
/// class; and the share of the formula for solid wood that it holds.
///
/// # Errors
/// `NotListed` for stuff that no table has: a sheet, a skin, a foam. There only a test tells.
pub fn screw_into(text: &str) -> Result<(Wood, f64), KernelError> {
    let plain = text.trim().to_lowercase();
    let word = facts::table("timber/screw-into").and_then(|table| {
        let (_, class) = table.words("material", "class").find(|(word, _)| *word == plain)?;
        Some((class, table.number("material", &plain, "share")?))
    });
    match word {
        Some((class, share)) => Ok((wood(class)?, share)),
        None => Ok((wood(text)?, 1.0)),
    }
}

/// Shank diameter, m, of a wood screw by its number, such as "#10".
#[must_use]
pub fn screw_number(text: &str) -> Option<f64> {
    facts::number(&["timber/screw-number"], "number", text.trim(), "diameter").map(|(value, _)| value)
}

/// By which rule a screw of that diameter (m) in that wood is taken: EN 1995 for strength classes and 6 to 12 mm, else NDS.
#[must_use]
pub fn screw_rule(wood: &Wood, diameter: f64) -> ScrewRule {
    let f = facts::timber();
    let ec5 = wood.density.is_some() && Range::of(f.screw_ec5_thin, f.screw_ec5_thick).holds(diameter);
    if ec5 { ScrewRule::En1995 } else { ScrewRule::Nds }
}

/// What one screw holds for a gust or a stop, N: diameter and thread in the wood (m), by [`screw_rule`]. A strength class
/// under NDS takes its 5 % density as its specific gravity, which is on the safe side.
#[must_use]
pub fn screw_holds(wood: &Wood, diameter: f64, thread: f64) -> f64 {
    match (screw_rule(wood, diameter), wood.density) {
        (ScrewRule::En1995, Some(density)) => {
            ec5_withdrawal(diameter, thread, density) * Duration::InstantOutdoors.factor() / facts::timber().partial
        }
        (_, density) => {
            let by_density = || density.map(|density| density / crate::facts::weight().water_density);
            let gravity = wood.gravity.or_else(by_density).unwrap_or_default();
            nds_withdrawal(gravity, diameter, thread) * wind_duration()
        }
    }
}

/// Low and high shrinkage, m, of a packer of that height (m) when its moisture falls by so many points (%).
#[must_use]
pub fn shrinkage(height: f64, points: f64) -> (f64, f64) {
    let of = |rate: f64| height * points * rate / PERCENT;
    (of(facts::timber().shrinkage_low), of(facts::timber().shrinkage_high))
}

/// Parts in a hundred.
const PERCENT: f64 = 100.0;

/// Stiffness, N/m, of a packer: modulus across the grain (Pa), bearing area (m2), height (m).
#[must_use]
pub fn packer_stiffness(elastic: f64, area: f64, height: f64) -> f64 {
    elastic * area / height
}

/// Allowable stress of NDS for half the dent, Pa: for a packer that sets the body's level.
#[must_use]
pub fn half_dent(strength: f64) -> f64 {
    facts::timber().half_dent * strength
}

/// Load-duration factor of wind in NDS.
#[must_use]
pub fn wind_duration() -> f64 {
    facts::timber().screw_wind
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_thread_holds_nothing_by_en_1995() {
        assert_eq!(ec5_withdrawal(0.006, 0.0359, 350.0), 0.0);
        assert!(ec5_withdrawal(0.006, 0.0361, 350.0) > 2e3);
    }

    #[test]
    fn each_rule_asks_for_its_own_measure_of_the_wood() {
        let screw = ScrewWithdrawalIn {
            rule: ScrewRule::En1995,
            diameter_m: 0.006,
            thread_m: 0.04,
            specific_gravity: Some(0.5),
            density_kg_m3: None,
            duration_factor: 1.0,
        };
        assert!(matches!(screw_withdrawal(&screw), Err(KernelError::Missing { field, .. }) if field == "density_kg_m3"));
        let nds = ScrewWithdrawalIn { rule: ScrewRule::Nds, specific_gravity: None, ..screw };
        assert!(matches!(screw_withdrawal(&nds), Err(KernelError::Missing { field, .. }) if field == "specific_gravity"));
        let thin = ScrewWithdrawalIn { density_kg_m3: Some(350.0), diameter_m: 0.005, ..screw };
        assert!(matches!(screw_withdrawal(&thin), Err(KernelError::OutOfRange { field, .. }) if field == "diameter_m"));
    }

    #[test]
    fn woods_are_found_by_class_and_species() {
        assert_eq!(wood("c24").map(|w| (w.name, w.strength, w.allowable, w.density)), Ok(("C24", 2.5e6, false, Some(350.0))));
        assert_eq!(wood("red oak").map(|w| (w.allowable, w.gravity)), Ok((true, Some(0.67))));
        assert!(wood("balsa").is_err());
    }

    /// By hand. 6 mm, 40 mm into C24: 2.87 kN (own figures of the worked example) x 0.90 / 1.3 = 1.99 kN. #10, 25 mm, gravity 0.50:
    /// 23.7 N/mm x 25 mm x 1.6 = 949 N, eight of them 7.59 kN as the worked example has it.
    #[test]
    fn a_screw_holds_by_the_rule_that_fits_it() {
        let (c24, share) = screw_into("C24").expect("listed");
        assert!((screw_holds(&c24, 0.006, 0.040) - 1990.0).abs() < 10.0 && share == 1.0);
        let (fir, _) = screw_into("Douglas fir-larch").expect("listed");
        let ten = screw_number("#10").expect("listed");
        assert!((8.0 * screw_holds(&fir, ten, 0.025) - 7590.0).abs() < 20.0);
        assert_eq!((screw_rule(&c24, 0.005), screw_rule(&fir, 0.006)), (ScrewRule::Nds, ScrewRule::Nds));
        assert_eq!(screw_into("Plywood").map(|(wood, share)| (wood.name, share)), Ok(("C16", 0.5)));
        assert!(screw_into("1.5 mm steel").is_err() && screw_number("#11").is_none());
    }

    #[test]
    fn a_packer_is_of_wood_of_other_stuff_or_of_metal() {
        assert!(matches!(packing("Oak"), Ok(Packing::Wood(wood, true)) if wood.name == "D30"));
        assert!(matches!(packing("white oak"), Ok(Packing::Wood(wood, false)) if wood.allowable));
        assert!(matches!(packing("hdpe"), Ok(Packing::Other(strength, _)) if strength == 5e6));
        assert_eq!(packing("steel"), Ok(Packing::Metal));
        assert!(packing("cheese").is_err());
    }

    #[test]
    fn a_long_or_flush_bearing_gains_nothing() {
        assert_eq!(nds_factor(false, 0.1, 0.0), 1.0);
        assert_eq!(nds_factor(false, 0.16, 0.2), 1.0);
        assert!(nds_factor(true, 0.1, 0.2) > 0.67);
    }
}
