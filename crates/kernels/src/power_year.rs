//! Kernel of the power trade that reads a file: what panels give over a year of weather.

use std::f64::consts::TAU;

use physics::cell::Mounting;
use physics::pv_year::{Horizon, Plane, Ready, dc_per_watt};
use physics::range::{Field, Numbers, Range, Ranged, check_list, in_schema};
use physics::sun_facts;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use weather::Place;

use crate::error::KernelError;
use crate::row::parsed;
use crate::{Files, Kernel};

pub(crate) const KERNELS: &[Kernel] = &[Kernel {
    name: "solar-year",
    trade: "power",
    summary: "what panels give month by month over the year of a weather file",
    example: r#"{"weather": "greensboro.csv", "panels": [{"rated_w": 200, "tilt_deg": 0, "azimuth_deg": 180, "gamma_per_c": -0.0035}]}"#,
    input_schema: || schemars::schema_for!(SolarYearIn),
    output_schema: || schemars::schema_for!(SolarYearOut),
    call: |input, files| {
        static SHAPE: std::sync::LazyLock<Value> = std::sync::LazyLock::new(|| schemars::schema_for!(SolarYearIn).to_value());
        let input: SolarYearIn = parsed(&SHAPE, input)?;
        let output = solar_year(&input, files)?;
        serde_json::to_value(output).map_err(|why| KernelError::Unwritable { why: why.to_string() })
    },
}];

/// Kinds of panel in one call: more than a roof has. A choice of this project.
const PANELS_MOST: usize = 100;

/// Holds numbers of a struct in their ranges, which its schema repeats.
macro_rules! held {
    ($kind:ty { $($field:ident [$unit:literal] $range:expr),* $(,)? }) => {
        impl Ranged for $kind {
            const FIELDS: &'static [Field] = &[$(Field { name: stringify!($field), unit: $unit, range: $range }),*];

            fn check(&self) -> Result<(), physics::KernelError> {
                $(self.$field.within(Field { name: stringify!($field), unit: $unit, range: $range })?;)*
                Ok(())
            }
        }
    };
}

held!(PanelIn {
    rated_w ["W"] Range::of(0.0, 1e6),
    tilt_deg ["deg"] Range::of(0.0, 180.0),
    azimuth_deg ["deg"] Range::of(-360.0, 360.0),
    gamma_per_c ["1/K"] Range::of(-0.02, 0.02),
});

held!(SolarYearIn {
    loss [""] Range::of(0.0, 1.0),
    u0 ["W/m2K"] Range::of(0.1, 200.0),
    u1 ["W/m2K"] Range::of(0.0, 100.0),
});

/// Months of a year.
const MONTHS: usize = 12;

/// Transposition models that this kernel knows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum SkyModel {
    /// Hay and Davies 1980.
    #[default]
    HayDavies,
}

/// Models of the cell's temperature that this kernel knows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum CellModel {
    /// Faiman 2008.
    #[default]
    Faiman,
}

/// What slanting light loses at the glass.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Incidence {
    /// Nothing.
    #[default]
    None,
    /// What plain glass reflects and swallows (De Soto 2006); means over the dome for diffuse light.
    Physical,
}

/// Panels that lie alike.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<PanelIn>)]
pub(crate) struct PanelIn {
    /// Power by their labels, all together.
    rated_w: f64,
    /// From the horizontal.
    tilt_deg: f64,
    /// Where they face, from true north, clockwise.
    azimuth_deg: f64,
    /// Change of power with cell temperature, relative.
    gamma_per_c: f64,
}

/// What is lost where the call does not say: the defaults of Dobos 2014 multiplied out, as that manual rounds them. Part of
/// the face of this kernel, which does not change.
const USUAL_LOSS: f64 = 0.14;

fn usual_loss() -> f64 {
    USUAL_LOSS
}
fn open_u0() -> f64 {
    physics::cell::mounting("open").map_or(f64::NAN, |mounting| mounting.u0)
}
fn open_u1() -> f64 {
    physics::cell::mounting("open").map_or(f64::NAN, |mounting| mounting.u1)
}

/// Input of [`solar_year`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<SolarYearIn>)]
pub(crate) struct SolarYearIn {
    /// Path of a weather file: EPW, TMY3, PVGIS or NSRDB.
    weather: String,
    /// The panels.
    panels: Vec<PanelIn>,
    /// How light of the sky reaches a tilted plane.
    #[serde(default)]
    model: SkyModel,
    /// How hot cells get.
    #[serde(default)]
    cell: CellModel,
    /// Share of the power that is lost on its way.
    #[serde(default = "usual_loss")]
    loss: f64,
    /// What slanting light loses at the glass.
    #[serde(default)]
    incidence: Incidence,
    /// Heat a panel gives to still air, W/m2K.
    #[serde(default = "open_u0")]
    u0: f64,
    /// Heat it gives to wind, W/m2K for each m/s.
    #[serde(default = "open_u1")]
    u1: f64,
}

/// Output of [`solar_year`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SolarYearOut {
    /// Energy of all panels in each month, after losses.
    monthly_dc_wh: [f64; MONTHS],
    /// Light on each panel in each month.
    monthly_poa_wh_m2: Vec<[f64; MONTHS]>,
    /// Energy of the year.
    annual_dc_wh: f64,
}

/// What panels give month by month over the year of a weather file: the sun at the middle of the hour (or where the file
/// has it), pressure from altitude, ground of 0.2, wind as in the file.
///
/// # Errors
/// A file that cannot be had or is no weather year; a number outside its range.
fn solar_year(input: &SolarYearIn, files: &dyn Files) -> Result<SolarYearOut, KernelError> {
    input.check()?;
    check_list("panels", &input.panels, 1, PANELS_MOST)?;
    let bad = |sentence: String| KernelError::File { sentence };
    let bytes = files.read(&input.weather).map_err(bad)?;
    let told = |problems: Vec<weather::Problem>| {
        let all: Vec<String> = problems.iter().map(ToString::to_string).collect();
        bad(format!("{}: {}", input.weather, all.join("; ")))
    };
    let year = weather::read(&bytes).map_err(told)?;
    let hourly = year.to_hourly().map_err(told)?;
    let site = &year.site;
    let place = Place { latitude_deg: site.latitude_deg, longitude_deg: site.longitude_deg, altitude_m: site.altitude_m };
    let sun = hourly.calendar.sun(place)?;
    let columns = hourly.hours.columns();
    let (mut monthly_dc_wh, mut monthly_poa_wh_m2) = ([0.0; MONTHS], Vec::new());
    let mut power = vec![0.0; columns.len()];
    for panel in &input.panels {
        let plane = Plane {
            tilt: panel.tilt_deg.to_radians(),
            azimuth: panel.azimuth_deg.to_radians() % TAU,
            mounting: Mounting { u0: input.u0, u1: input.u1 },
            gamma: panel.gamma_per_c,
            angular_loss: if input.incidence == Incidence::Physical { 1.0 } else { 0.0 },
            wind_factor: 1.0,
            albedo: sun_facts::sky().albedo,
            horizon: Horizon::Open,
        };
        dc_per_watt(&sun, &columns, &plane, &mut power)?;
        let ready = Ready::new(&Plane { angular_loss: 0.0, ..plane })?;
        let mut light = vec![0.0; columns.len()];
        let above = (0..sun.len()).map_while(|hour| sun.extraterrestrial(hour));
        let weather = columns.ghi.iter().zip(columns.dni).zip(columns.dhi);
        for (((light, direction), above), ((ghi, dni), dhi)) in light.iter_mut().zip(sun.directions()).zip(above).zip(weather) {
            *light = ready.light(&direction, above, *ghi, *dni, *dhi).total();
        }
        let of_month =
            |hours: &[f64], month: usize| hours.get(hourly.calendar.month_hours(month)).map_or(0.0, |hours| hours.iter().sum());
        for (month, sum) in monthly_dc_wh.iter_mut().enumerate() {
            *sum += panel.rated_w * (1.0 - input.loss) * of_month(&power, month);
        }
        monthly_poa_wh_m2.push(std::array::from_fn(|month| of_month(&light, month)));
    }
    let annual_dc_wh = monthly_dc_wh.iter().sum();
    Ok(SolarYearOut { monthly_dc_wh, monthly_poa_wh_m2, annual_dc_wh })
}
