//! What the glass of a panel lets through of light that comes in slantwise, over that of light straight on.

use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

use quantity::real::{acos, cos, exp, sin_cos};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::sun_facts as facts;

/// Modifier by the cosine of the angle of incidence, ASHRAE: simple, and wrong past 70 degrees.
#[must_use]
pub fn ashrae(cosine: f64) -> f64 {
    if cosine > 0.0 { (1.0 - facts::panel().ashrae_b * (1.0 / cosine - 1.0)).max(0.0) } else { 0.0 }
}

/// Modifier by the cosine of the angle of incidence, Martin and Ruiz 2001.
#[must_use]
pub fn martin_ruiz(cosine: f64) -> f64 {
    let a = facts::panel().martin_ruiz;
    if cosine > 0.0 { (1.0 - exp(-cosine / a)) / (1.0 - exp(-1.0 / a)) } else { 0.0 }
}

/// Share of light that passes a pane: reflection of its first face by Fresnel, absorption by Bouguer.
fn passes(cosine: f64) -> f64 {
    let f = facts::panel();
    let n = f.glass_index;
    let inside = (1.0 - (1.0 - cosine * cosine) / (n * n)).sqrt();
    let across = (cosine - n * inside) / (cosine + n * inside);
    let along = (n * cosine - inside) / (n * cosine + inside);
    (1.0 - (across * across + along * along) / 2.0) * exp(-f.glass_extinction * f.glass_thickness / inside)
}

/// Modifier by the cosine of the angle of incidence, from the optics of a pane of glass; De Soto and others 2006.
#[must_use]
pub fn physical(cosine: f64) -> f64 {
    if cosine > 0.0 { passes(cosine.min(1.0)) / passes(1.0) } else { 0.0 }
}

/// Steps of the tabled modifier over the cosine; straight lines between are within 3e-5.
const STEPS: usize = 1024;

static TABLED: LazyLock<Vec<f64>> = LazyLock::new(|| (0..=STEPS).map(|k| physical(k as f64 / STEPS as f64)).collect());

/// [`physical`] from a table of it, for loops over hours.
pub(crate) struct Tabled(&'static [f64]);

impl Tabled {
    pub(crate) fn new() -> Self {
        Self(&TABLED)
    }

    pub(crate) fn at(&self, cosine: f64) -> f64 {
        let place = cosine.clamp(0.0, 1.0) * STEPS as f64;
        let index = (place as usize).min(STEPS - 1);
        match self.0.get(index..) {
            Some([low, high, ..]) => low + (high - low) * (place - index as f64),
            _ => 0.0,
        }
    }
}

/// Mean modifier of a panel's light from sky and ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dome {
    /// Over the sky it sees.
    pub sky: f64,
    /// Over the ground it sees; 1 where it sees none.
    pub ground: f64,
}

/// Slices of the dome; the mean is then within 1e-5.
const SLICES: usize = 720;

/// What of a slice does not change with the tilt.
struct Slice {
    sine: f64,
    cosine: f64,
    modifier: f64,
}

static SLICED: LazyLock<Vec<Slice>> = LazyLock::new(|| {
    let slice = |k: usize| {
        let (sine, cosine) = sin_cos((k as f64 + 0.5) / SLICES as f64 * FRAC_PI_2);
        Slice { sine, cosine, modifier: physical(cosine) }
    };
    (0..SLICES).map(slice).collect()
});

/// Mean of [`physical`] over the sky and the ground that a panel of a tilt (rad) sees, light coming evenly from each;
/// Marion 2017.
#[must_use]
pub fn dome(tilt: f64) -> Dome {
    let (sin_tilt, cos_tilt) = sin_cos(tilt);
    let (mut sky, mut ground) = ((0.0, 0.0), (0.0, 0.0));
    for Slice { sine, cosine, modifier } in SLICED.iter() {
        // Of the cone at this angle of incidence, the share above the horizon.
        let level = -cosine * cos_tilt;
        let across = sine * sin_tilt;
        let above = if level.abs() >= across { f64::from(level < 0.0) } else { acos(level / across) / PI };
        let weight = sine * cosine;
        for (sum, share) in [(&mut sky, above), (&mut ground, 1.0 - above)] {
            sum.0 += weight * share * modifier;
            sum.1 += weight * share;
        }
    }
    let mean = |(sum, weight): (f64, f64)| if weight > 0.0 { sum / weight } else { 1.0 };
    Dome { sky: mean(sky), ground: mean(ground) }
}

/// How the modifier is worked out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Glass {
    /// From the optics of a pane of glass.
    #[default]
    Physical,
    /// 1 - b (1 / cos - 1).
    Ashrae,
    /// By an angular loss coefficient.
    MartinRuiz,
}

/// Input of [`incidence_modifier`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<IncidenceModifierIn>)]
pub struct IncidenceModifierIn {
    /// Angle between the light and the line square to the panel.
    pub incidence_deg: f64,
    /// How the modifier is worked out.
    #[serde(default)]
    pub model: Glass,
    /// Tilt of the panel, for the means over sky and ground.
    #[serde(default)]
    pub tilt_deg: f64,
}

ranged!(IncidenceModifierIn {
    incidence_deg ["deg"] Range::of(0.0, 180.0),
    tilt_deg ["deg"] Range::of(0.0, 180.0),
});

/// Output of [`incidence_modifier`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct IncidenceModifierOut {
    /// Light let through over that of light straight on.
    pub modifier: f64,
    /// Mean over the sky the panel sees, plain glass.
    pub sky: f64,
    /// Mean over the ground the panel sees, plain glass; 1 where it sees none.
    pub ground: f64,
}

/// What glass lets through of slanting light.
///
/// | input           | unit | range    | note                                     |
/// |-----------------|------|----------|------------------------------------------|
/// | `incidence_deg` | deg  | 0 to 180 | 0 is straight on                         |
/// | `tilt_deg`      | deg  | 0 to 180 | for the means over the dome; default 0   |
///
/// and `model`: "physical" (default), "ashrae", "martin-ruiz". Gives `modifier`, and the means `sky` and `ground` of the
/// physical one for that tilt.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// De Soto and others 2006; ASHRAE; Martin and Ruiz 2001; Marion 2017 for the means; `data/sun.toml`.
///
/// # Checked against
/// `tests/outside/plane.rs`: an open library.
pub fn incidence_modifier(input: &IncidenceModifierIn) -> Result<IncidenceModifierOut, KernelError> {
    input.check()?;
    let cosine = if input.incidence_deg < 90.0 { cos(input.incidence_deg.to_radians()) } else { 0.0 };
    let modifier = match input.model {
        Glass::Physical => physical(cosine),
        Glass::Ashrae => ashrae(cosine),
        Glass::MartinRuiz => martin_ruiz(cosine),
    };
    let means = dome(input.tilt_deg.to_radians());
    Ok(IncidenceModifierOut {
        modifier: finite("modifier", modifier)?,
        sky: finite("sky", means.sky)?,
        ground: finite("ground", means.ground)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_follows_the_formula() {
        let table = Tabled::new();
        let worst = (0..=10_000).map(|k| f64::from(k) / 1e4).map(|c| (table.at(c) - physical(c)).abs()).fold(0.0, f64::max);
        assert!(worst < 3e-5, "off by {worst}");
        assert_eq!((table.at(-0.3), table.at(1.5)), (0.0, 1.0));
    }
}
