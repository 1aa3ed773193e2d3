//! Snow on a panel: when it is covered, and how it slides off.
//!
//! **Caution.** A flat panel never clears itself here: snow melts, or somebody sweeps it. Reaching a roof is a climb.

use quantity::real::sin;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, check_count, finite, in_schema, ranged};
use crate::sun_facts as facts;

/// Covered share of a panel's slope an hour on: snow that fell (cm in the hour), light on the panel (W/m2), air (degrees
/// Celsius), tilt (rad).
#[must_use]
pub fn next(covered: f64, fell_cm: f64, light: f64, air: f64, tilt: f64) -> f64 {
    let f = facts::panel();
    if fell_cm > f.snow_covers {
        return 1.0;
    }
    let slides = air > light / f.snow_slides;
    if slides { (covered - f.snow_slide * sin(tilt)).max(0.0) } else { covered }
}

/// Share of power lost when so much of the slope is covered, of cells in so many rows one above another: a row is lost
/// as soon as snow lies on it.
#[must_use]
pub fn loss(covered: f64, rows: f64) -> f64 {
    (covered * rows).ceil() / rows
}

/// Most hours of one call.
const HOURS: usize = 8784;

/// Input of [`snow`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<SnowIn>)]
pub struct SnowIn {
    /// Snow that fell in each hour.
    pub snowfall_cm: Vec<f64>,
    /// Light on the panel in each hour.
    pub irradiance_w_m2: Vec<f64>,
    /// Air in each hour.
    pub air_c: Vec<f64>,
    /// Tilt of the panel.
    pub tilt_deg: f64,
    /// Rows of cells one above another that lose their power together.
    pub rows: f64,
    /// Covered share at the start.
    #[serde(default)]
    pub start: f64,
}

ranged!(SnowIn {
    snowfall_cm ["cm"] Range::of(0.0, 500.0),
    irradiance_w_m2 ["W/m2"] Range::of(0.0, 3000.0),
    air_c ["degC"] Range::of(-90.0, 70.0),
    tilt_deg ["deg"] Range::of(0.0, 90.0),
    rows [""] Range::of(1.0, 100.0),
    start [""] Range::of(0.0, 1.0),
});

/// Output of [`snow`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SnowOut {
    /// Covered share of the slope after each hour.
    pub covered: Vec<f64>,
    /// Share of power lost in each hour.
    pub loss: Vec<f64>,
}

/// Snow on a panel, hour by hour.
///
/// | input             | unit | range      | note                                                       |
/// |-------------------|------|------------|------------------------------------------------------------|
/// | `snowfall_cm`     | cm   | 0 to 500   | in each hour; up to 8784                                   |
/// | `irradiance_w_m2` | W/m2 | 0 to 3000  | on the panel, as many                                      |
/// | `air_c`           | degC | -90 to 70  | as many                                                    |
/// | `tilt_deg`        | deg  | 0 to 90    |                                                            |
/// | `rows`            | 1    | 1 to 100   | rows of cells that lose their power together               |
/// | `start`           | 1    | 0 to 1     | covered at the start; default 0                            |
///
/// Gives `covered` and `loss` of each hour.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above; `Count` when the lists are not of one length.
///
/// # Source
/// Marion and others 2013, Solar Energy 97, 112-121; `data/sun.toml`.
///
/// # Checked against
/// `tests/outside/shade.rs`: an open library.
pub fn snow(input: &SnowIn) -> Result<SnowOut, KernelError> {
    let hours = input.snowfall_cm.len();
    check_count("snowfall_cm", hours, 1, HOURS)?;
    check_count("irradiance_w_m2", input.irradiance_w_m2.len(), hours, hours)?;
    check_count("air_c", input.air_c.len(), hours, hours)?;
    input.check()?;
    let tilt = input.tilt_deg.to_radians();
    let mut state = input.start;
    let mut out = SnowOut { covered: Vec::with_capacity(hours), loss: Vec::with_capacity(hours) };
    for ((fell, light), air) in input.snowfall_cm.iter().zip(&input.irradiance_w_m2).zip(&input.air_c) {
        state = next(state, *fell, *light, *air, tilt);
        out.covered.push(finite("covered", state)?);
        out.loss.push(finite("loss", loss(state, input.rows))?);
    }
    Ok(out)
}
