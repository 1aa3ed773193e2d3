//! Light from sun and sky: above the air, through clear air, and split into beam and diffuse.
//!
//! Irradiance in W/m2, angles in rad, in plain functions.
//!
//! **Caution.** The split of a global irradiance is a mean: single hours are out by 30 %, a year on a tilted panel by
//! 1 %, its December by 5 %.

use std::f64::consts::TAU;

use quantity::real::{cos, exp, pow, sin_cos};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::sun::spa::polynomial;
use crate::sun_facts as facts;

/// Days of the year in the series of Spencer.
const DAYS: f64 = 365.0;

/// Irradiance above the air on a surface square to the sun on a day of the year, from 1; Spencer 1971.
#[must_use]
pub fn extraterrestrial(day_of_year: f64) -> f64 {
    let f = facts::sun();
    let [mean, cos_one, sin_one, cos_two, sin_two] = f.spencer;
    let angle = TAU * (day_of_year - 1.0) / DAYS;
    let ((s1, c1), (s2, c2)) = (sin_cos(angle), sin_cos(2.0 * angle));
    f.constant * (mean + cos_one * c1 + sin_one * s1 + cos_two * c2 + sin_two * s2)
}

/// Air mass at the level of the sea for an apparent zenith: 1 straight up, 38 at the horizon; `None` below it.
///
/// Kasten and Young 1989. Times pressure over that of the sea it is the absolute air mass.
#[must_use]
pub fn air_mass(apparent_zenith: f64) -> Option<f64> {
    let [a, b, c] = facts::sun().air_mass;
    let degrees = apparent_zenith.to_degrees();
    (degrees <= 90.0).then(|| 1.0 / (cos(apparent_zenith) + a * pow(b - degrees, c)))
}

/// Global, beam and diffuse irradiance, W/m2; beam square to the sun, the others on the horizontal.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Irradiance {
    /// Global, on the horizontal.
    pub global: f64,
    /// Beam, square to the sun.
    pub beam: f64,
    /// Diffuse, on the horizontal.
    pub diffuse: f64,
}

/// Global irradiance of a clear sky from the cosine of the apparent zenith alone; Haurwitz 1945. Some 10 % good at low
/// altitude, too low on mountains.
#[must_use]
pub fn haurwitz(cos_zenith: f64) -> f64 {
    let [a, b] = facts::sky().haurwitz;
    if cos_zenith > 0.0 { a * cos_zenith * exp(-b / cos_zenith) } else { 0.0 }
}

/// Clear sky by Linke turbidity; Ineichen and Perez 2002. `above` is the irradiance above the air, `air_mass` absolute.
#[must_use]
pub fn ineichen(cos_zenith: f64, air_mass: f64, altitude_m: f64, turbidity: f64, above: f64) -> Irradiance {
    let cosine = cos_zenith.max(0.0);
    if cosine == 0.0 {
        return Irradiance::default();
    }
    let [h1, h2, cg1_m, cg1_0, cg2_m, cg2_0, b0, b1, haze, d0, d1, d2, d3] = facts::sky().ineichen;
    let (fh1, fh2) = (exp(-altitude_m / h1), exp(-altitude_m / h2));
    let (cg1, cg2) = (cg1_m * altitude_m + cg1_0, cg2_m * altitude_m + cg2_0);
    let global = cg1 * above * cosine * exp(-cg2 * air_mass * (fh1 + fh2 * (turbidity - 1.0)));
    let beam = above * (b0 + b1 / fh1) * exp(-haze * air_mass * (turbidity - 1.0));
    let most = global * (1.0 - (d0 - d1 * exp(-turbidity)) / (d2 + d3 / fh1)) / cosine;
    let beam = beam.min(most).max(0.0);
    Irradiance { global, beam, diffuse: global - beam * cosine }
}

/// Beam and diffuse of a global irradiance, and its clearness; Erbs, Klein and Duffie 1982. The zenith is the true one.
#[must_use]
pub fn erbs(global: f64, zenith: f64, above: f64) -> (Irradiance, f64) {
    let f = facts::sky();
    let [overcast, clear, slope, clear_share] = f.erbs;
    let cosine = cos(zenith);
    let clearness = (global / (above * cosine.max(f.erbs_cosine))).clamp(0.0, 1.0);
    let share = if clearness <= overcast {
        1.0 + slope * clearness
    } else if clearness <= clear {
        polynomial(&f.erbs_middle, clearness)
    } else {
        clear_share
    };
    let beam = global * (1.0 - share) / cosine;
    // Near the horizon a little global would become a lot of beam.
    if zenith.to_degrees() > f.erbs_zenith || global < 0.0 || beam < 0.0 {
        return (Irradiance { global, beam: 0.0, diffuse: global }, clearness);
    }
    (Irradiance { global, beam, diffuse: global * share }, clearness)
}

/// Input of [`clear_sky`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<ClearSkyIn>)]
pub struct ClearSkyIn {
    /// Angle of the sun from straight up, with refraction.
    pub apparent_zenith_deg: f64,
    /// Height above the sea.
    #[serde(default)]
    pub altitude_m: f64,
    /// Linke turbidity of the air: 2 clear and cold, 3 clear, 4 to 5 warm and moist, 6 to 7 haze.
    #[serde(default = "clear")]
    pub turbidity: f64,
    /// Irradiance above the air on a surface square to the sun; the solar constant when left out.
    pub dni_extra_w_m2: Option<f64>,
    /// Pressure at the place; that of the altitude when left out.
    pub pressure_pa: Option<f64>,
}

fn clear() -> f64 {
    facts::number("panel/turbidity", "air", "clear", "turbidity").unwrap_or_default()
}

ranged!(ClearSkyIn {
    apparent_zenith_deg ["deg"] Range::of(0.0, 180.0),
    altitude_m ["m"] Range::of(-500.0, 6000.0),
    turbidity [""] Range::of(1.0, 15.0),
    dni_extra_w_m2 ["W/m2"] Range::of(1200.0, 1500.0),
    pressure_pa ["Pa"] Range::of(30_000.0, 120_000.0),
});

/// Output of [`clear_sky`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClearSkyOut {
    /// Global irradiance on the horizontal.
    pub ghi_w_m2: f64,
    /// Beam, square to the sun.
    pub dni_w_m2: f64,
    /// Diffuse on the horizontal.
    pub dhi_w_m2: f64,
    /// Global irradiance by the formula that knows the zenith alone.
    pub haurwitz_w_m2: f64,
}

/// Light of a sky without clouds.
///
/// | input                 | unit | range           | note                                          |
/// |-----------------------|------|-----------------|-----------------------------------------------|
/// | `apparent_zenith_deg` | deg  | 0 to 180        | with refraction; past 90 nothing is left      |
/// | `altitude_m`          | m    | -500 to 6000    | default 0                                     |
/// | `turbidity`           | 1    | 1 to 15         | Linke; default 3                              |
/// | `dni_extra_w_m2`      | W/m2 | 1200 to 1500    | above the air; default the solar constant     |
/// | `pressure_pa`         | Pa   | 30000 to 120000 | default that of the altitude                  |
///
/// Gives `ghi_w_m2`, `dni_w_m2`, `dhi_w_m2` (Ineichen and Perez) and `haurwitz_w_m2`, a second global irradiance.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Ineichen and Perez 2002; Haurwitz 1945; air mass of Kasten and Young 1989; `data/sun.toml`.
///
/// # Checked against
/// `tests/outside/sky.rs`: ten skies by an open library.
pub fn clear_sky(input: &ClearSkyIn) -> Result<ClearSkyOut, KernelError> {
    input.check()?;
    let zenith = input.apparent_zenith_deg.to_radians();
    // Exactly: the cosine of 90 degrees in rad is not quite 0.
    let cosine = if input.apparent_zenith_deg < 90.0 { cos(zenith) } else { 0.0 };
    let pressure = input.pressure_pa.unwrap_or_else(|| crate::sun::pressure_at(input.altitude_m));
    let absolute = air_mass(zenith).unwrap_or(f64::INFINITY) * pressure / facts::sun().pressure;
    let above = input.dni_extra_w_m2.unwrap_or(facts::sun().constant);
    let sky = ineichen(cosine, absolute, input.altitude_m, input.turbidity, above);
    Ok(ClearSkyOut {
        ghi_w_m2: finite("ghi_w_m2", sky.global)?,
        dni_w_m2: finite("dni_w_m2", sky.beam)?,
        dhi_w_m2: finite("dhi_w_m2", sky.diffuse)?,
        haurwitz_w_m2: finite("haurwitz_w_m2", haurwitz(cosine))?,
    })
}

/// Input of [`decompose`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<DecomposeIn>)]
pub struct DecomposeIn {
    /// Global irradiance on the horizontal.
    pub ghi_w_m2: f64,
    /// True angle of the sun from straight up, without refraction.
    pub zenith_deg: f64,
    /// Irradiance above the air on a surface square to the sun.
    pub dni_extra_w_m2: f64,
}

ranged!(DecomposeIn {
    ghi_w_m2 ["W/m2"] Range::of(0.0, 2000.0),
    zenith_deg ["deg"] Range::of(0.0, 180.0),
    dni_extra_w_m2 ["W/m2"] Range::of(1200.0, 1500.0),
});

/// Output of [`decompose`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DecomposeOut {
    /// Beam, square to the sun.
    pub dni_w_m2: f64,
    /// Diffuse on the horizontal.
    pub dhi_w_m2: f64,
    /// Global irradiance as a share of that above the air, at most 1.
    pub clearness: f64,
}

/// Beam and diffuse of a global irradiance.
///
/// | input            | unit | range        | note                         |
/// |------------------|------|--------------|------------------------------|
/// | `ghi_w_m2`       | W/m2 | 0 to 2000    |                              |
/// | `zenith_deg`     | deg  | 0 to 180     | true, without refraction     |
/// | `dni_extra_w_m2` | W/m2 | 1200 to 1500 | above the air                |
///
/// Gives `dni_w_m2`, `dhi_w_m2` and `clearness`. Beyond a zenith of 87 degrees all is diffuse.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Erbs, Klein and Duffie 1982; `data/sun.toml`.
///
/// # Checked against
/// `tests/outside/sky.rs`: ten skies by an open library.
pub fn decompose(input: &DecomposeIn) -> Result<DecomposeOut, KernelError> {
    input.check()?;
    let (split, clearness) = erbs(input.ghi_w_m2, input.zenith_deg.to_radians(), input.dni_extra_w_m2);
    Ok(DecomposeOut {
        dni_w_m2: finite("dni_w_m2", split.beam)?,
        dhi_w_m2: finite("dhi_w_m2", split.diffuse)?,
        clearness: finite("clearness", clearness)?,
    })
}
