//! Light on a tilted plane: beam, the bright ring around the sun, the rest of the sky, and what the ground throws back.
//!
//! Irradiance in W/m2, angles in rad, azimuth clockwise from north.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::sky::air_mass;
use crate::sun::Direction;
use crate::sun_facts as facts;

/// Where the light on a plane comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Light {
    /// From the sun itself.
    pub beam: f64,
    /// From the bright ring around the sun; gone with the sun when that is hidden.
    pub circumsolar: f64,
    /// From the rest of the sky.
    pub isotropic: f64,
    /// What a bright or dark horizon adds or takes.
    pub horizon: f64,
    /// From the ground.
    pub ground: f64,
}

impl Light {
    /// From the whole sky without the sun; never below 0.
    #[must_use]
    pub fn sky(&self) -> f64 {
        (self.circumsolar + self.isotropic + self.horizon).max(0.0)
    }

    /// These shares of the beam, the ring and the rest of the sky, and all else.
    #[inline]
    #[must_use]
    pub fn left(self, beam: f64, ring: f64, sky: f64) -> Self {
        Self { beam: self.beam * beam, circumsolar: self.circumsolar * ring, isotropic: self.isotropic * sky, ..self }
    }

    /// All of it.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.beam + self.sky() + self.ground
    }
}

/// How the light of the sky is spread over it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SkyModel {
    /// Evenly.
    Isotropic,
    /// With a bright ring around the sun, as bright as the beam is strong; Hay and Davies 1980.
    #[default]
    HayDavies,
    /// With a ring and a horizon by clearness and brightness of the sky; Perez and others 1990.
    Perez,
}

/// A sky over a plane at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sky {
    /// Beam, square to the sun.
    pub beam: f64,
    /// Diffuse on the horizontal.
    pub diffuse: f64,
    /// Irradiance above the air, square to the sun.
    pub above: f64,
    /// Angle of the sun from straight up.
    pub zenith: f64,
    /// Air mass; `None` with the sun below the horizon.
    pub air_mass: Option<f64>,
}

/// How a plane lies to the sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lie {
    /// Cosine of the angle between the sun and the line square to the plane.
    pub incidence: f64,
    /// Cosine of the sun's angle from straight up.
    pub up: f64,
    /// Sine of the tilt.
    pub sin_tilt: f64,
    /// Cosine of the tilt.
    pub cos_tilt: f64,
}

impl Lie {
    /// Of a plane by the direction square to it, with the sun in a direction.
    #[must_use]
    pub fn of(square: &Direction, sun: &Direction) -> Self {
        let sin_tilt = (1.0 - square.up * square.up).max(0.0).sqrt();
        Self { incidence: square.dot(sun), up: sun.up, sin_tilt, cos_tilt: square.up }
    }
}

/// Light of Hay and Davies on a plane, ground by `albedo`: straight arithmetic, for loops over hours.
#[inline]
#[must_use]
pub fn hay_davies(lie: &Lie, floor: f64, global: f64, beam: f64, diffuse: f64, above: f64, albedo: f64) -> Light {
    let facing = lie.incidence.max(0.0);
    let ring = beam / above;
    Light {
        beam: (beam * facing).max(0.0),
        circumsolar: (diffuse * ring * facing / lie.up.max(floor)).max(0.0),
        isotropic: (diffuse * (1.0 - ring) * (1.0 + lie.cos_tilt) / 2.0).max(0.0),
        horizon: 0.0,
        ground: (global * albedo * (1.0 - lie.cos_tilt) / 2.0).max(0.0),
    }
}

/// A row of the table of Perez: clearness from which it holds, f1 and f2.
type Bin = (f64, [f64; 3], [f64; 3]);

static PEREZ: LazyLock<Vec<Bin>> = LazyLock::new(|| {
    let table = facts::table("panel/sky-perez");
    let bins = table.into_iter().flat_map(|table| table.pairs("bin", "from"));
    let read = |(bin, from): (&str, f64)| {
        let get = |column| facts::number("panel/sky-perez", "bin", bin, column);
        Some((from, [get("f11")?, get("f12")?, get("f13")?], [get("f21")?, get("f22")?, get("f23")?]))
    };
    bins.filter_map(read).collect()
});

/// Circumsolar, isotropic and horizon part of Perez.
fn perez(lie: &Lie, sky: &Sky) -> (f64, f64, f64) {
    let f = facts::sky();
    let Some(air_mass) = sky.air_mass else { return (0.0, 0.0, 0.0) };
    let brightness = sky.diffuse * air_mass / sky.above;
    let cube = f.perez_zenith * sky.zenith * sky.zenith * sky.zenith;
    // Without diffuse light the clearness is infinite, and nothing is shared out.
    let clearness = ((sky.diffuse + sky.beam) / sky.diffuse + cube) / (1.0 + cube);
    let bin = PEREZ.iter().rev().find(|(from, ..)| clearness >= *from).or(PEREZ.last());
    let Some((_, [f11, f12, f13], [f21, f22, f23])) = bin else { return (0.0, 0.0, 0.0) };
    let ring = (f11 + f12 * brightness + f13 * sky.zenith).max(0.0);
    let edge = f21 + f22 * brightness + f23 * sky.zenith;
    (
        sky.diffuse * ring * lie.incidence.max(0.0) / lie.up.max(f.perez_cosine),
        sky.diffuse * (1.0 - ring) * (1.0 + lie.cos_tilt) / 2.0,
        sky.diffuse * edge * lie.sin_tilt,
    )
}

/// Light on a plane.
#[must_use]
pub fn light(model: SkyModel, lie: &Lie, sky: &Sky, global: f64, albedo: f64) -> Light {
    let plain = hay_davies(lie, facts::sky().hay_davies_cosine, global, sky.beam, sky.diffuse, sky.above, albedo);
    match model {
        SkyModel::HayDavies => plain,
        SkyModel::Isotropic => Light { circumsolar: 0.0, isotropic: sky.diffuse * (1.0 + lie.cos_tilt) / 2.0, ..plain },
        SkyModel::Perez => {
            let (circumsolar, isotropic, horizon) = perez(lie, sky);
            Light { circumsolar, isotropic, horizon, ..plain }
        }
    }
}

fn usual_albedo() -> f64 {
    facts::sky().albedo
}

/// Input of [`plane_irradiance`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<PlaneIrradianceIn>)]
pub struct PlaneIrradianceIn {
    /// How the light of the sky is spread over it.
    pub model: SkyModel,
    /// Angle of the plane from the horizontal.
    pub tilt_deg: f64,
    /// Where the plane faces, clockwise from north.
    pub azimuth_deg: f64,
    /// Angle of the sun from straight up.
    pub zenith_deg: f64,
    /// Where the sun stands, clockwise from north.
    pub sun_azimuth_deg: f64,
    /// Beam, square to the sun.
    pub dni_w_m2: f64,
    /// Global irradiance on the horizontal.
    pub ghi_w_m2: f64,
    /// Diffuse on the horizontal.
    pub dhi_w_m2: f64,
    /// Irradiance above the air, square to the sun.
    pub dni_extra_w_m2: f64,
    /// Air mass; that of the zenith when left out.
    pub airmass: Option<f64>,
    /// Share of light the ground throws back.
    #[serde(default = "usual_albedo")]
    pub albedo: f64,
}

ranged!(PlaneIrradianceIn {
    tilt_deg ["deg"] Range::of(0.0, 180.0),
    azimuth_deg ["deg"] Range::of(-360.0, 360.0),
    zenith_deg ["deg"] Range::of(0.0, 180.0),
    sun_azimuth_deg ["deg"] Range::of(-360.0, 360.0),
    dni_w_m2 ["W/m2"] Range::of(0.0, 2000.0),
    ghi_w_m2 ["W/m2"] Range::of(0.0, 2000.0),
    dhi_w_m2 ["W/m2"] Range::of(0.0, 2000.0),
    dni_extra_w_m2 ["W/m2"] Range::of(1200.0, 1500.0),
    airmass [""] Range::of(0.5, 100.0),
    albedo [""] Range::of(0.0, 1.0),
});

/// Output of [`plane_irradiance`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlaneIrradianceOut {
    /// All light on the plane.
    pub total_w_m2: f64,
    /// From the sun itself.
    pub beam_w_m2: f64,
    /// From the sky, the bright ring around the sun included.
    pub sky_w_m2: f64,
    /// From the ground.
    pub ground_w_m2: f64,
}

/// Light on a tilted plane.
///
/// | input             | unit | range        | note                                            |
/// |-------------------|------|--------------|-------------------------------------------------|
/// | `tilt_deg`        | deg  | 0 to 180     | from the horizontal                             |
/// | `azimuth_deg`     | deg  | -360 to 360  | where the plane faces, clockwise from north     |
/// | `zenith_deg`      | deg  | 0 to 180     | of the sun                                      |
/// | `sun_azimuth_deg` | deg  | -360 to 360  | of the sun, clockwise from north                |
/// | `dni_w_m2`        | W/m2 | 0 to 2000    | beam, square to the sun                         |
/// | `ghi_w_m2`        | W/m2 | 0 to 2000    | global on the horizontal                        |
/// | `dhi_w_m2`        | W/m2 | 0 to 2000    | diffuse on the horizontal                       |
/// | `dni_extra_w_m2`  | W/m2 | 1200 to 1500 | above the air                                   |
/// | `airmass`         | 1    | 0.5 to 100   | default that of the zenith, at the sea          |
/// | `albedo`          | 1    | 0 to 1       | default 0.2                                     |
///
/// and `model`: "isotropic", "hay-davies" or "perez". Gives `total_w_m2`, `beam_w_m2`, `sky_w_m2` (the bright ring around
/// the sun included) and `ground_w_m2`.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Hay and Davies 1980; Perez and others 1990, all sites composite; `data/sun.toml`, `data/panels.toml`.
///
/// # Checked against
/// `tests/outside/plane.rs`: 20 skies by an open library, part by part.
pub fn plane_irradiance(input: &PlaneIrradianceIn) -> Result<PlaneIrradianceOut, KernelError> {
    input.check()?;
    let square = Direction::square_to(input.tilt_deg.to_radians(), input.azimuth_deg.to_radians());
    let zenith = input.zenith_deg.to_radians();
    let sun = Direction::toward(zenith, input.sun_azimuth_deg.to_radians());
    let sky = Sky {
        beam: input.dni_w_m2,
        diffuse: input.dhi_w_m2,
        above: input.dni_extra_w_m2,
        zenith,
        air_mass: input.airmass.or_else(|| air_mass(zenith)),
    };
    let light = light(input.model, &Lie::of(&square, &sun), &sky, input.ghi_w_m2, input.albedo);
    Ok(PlaneIrradianceOut {
        total_w_m2: finite("total_w_m2", light.total())?,
        beam_w_m2: finite("beam_w_m2", light.beam)?,
        sky_w_m2: finite("sky_w_m2", light.sky())?,
        ground_w_m2: finite("ground_w_m2", light.ground)?,
    })
}
