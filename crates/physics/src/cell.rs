//! How hot the cells of a panel get, and the power they then give.
//!
//! **Caution.** The straight line of power over light flatters weak light: by 3 to 5 % at 200 W/m2, 8 to 11 % at 50.

use quantity::real::exp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::sun_facts as facts;

/// How a panel loses heat: W/m2K in still air, and per m/s of wind at the panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mounting {
    /// In still air, W/m2K.
    pub u0: f64,
    /// Per m/s of wind.
    pub u1: f64,
}

/// Heat loss of a mounting by its word in `data/panels.toml`: "open", "bonded", "wide gap", "narrow gap".
#[must_use]
pub fn mounting(word: &str) -> Option<Mounting> {
    let of = |table| {
        let get = |column| facts::number(table, "mounting", word, column);
        Some(Mounting { u0: get("u0")?, u1: get("u1")? })
    };
    of("panel/mounting").or_else(|| of("panel/mounting-gap"))
}

/// Cell temperature, degrees Celsius, of a panel in light (W/m2), air (degrees Celsius) and wind at the panel (m/s);
/// Faiman 2008.
#[inline]
#[must_use]
pub fn faiman(light: f64, air: f64, wind: f64, mounting: Mounting) -> f64 {
    air + light / (mounting.u0 + mounting.u1 * wind)
}

/// The same by the line through NOCT (degrees Celsius), without wind.
#[must_use]
pub fn noct(light: f64, air: f64, noct: f64) -> f64 {
    let f = facts::panel();
    air + (noct - f.noct_air) / f.noct_irradiance * light
}

/// The same with wind at 10 m (m/s) over a low roof, for a module of an efficiency with a clear gap (m) behind it;
/// NREL/TP-6A20-67399.
#[must_use]
pub fn noct_with_wind(light: f64, air: f64, wind: f64, noct: f64, efficiency: f64, gap: f64) -> f64 {
    let f = facts::panel();
    let inches = gap / crate::written::INCH;
    let table = facts::table("panel/noct-gap");
    let row = table.into_iter().flat_map(|t| t.pairs("gap", "up_to")).find(|(_, up_to)| inches < *up_to);
    let adds = row.and_then(|(gap, _)| facts::number("panel/noct-gap", "gap", gap, "adds")).unwrap_or(0.0);
    let loss = (1.0 - efficiency / f.absorptance) * f.noct_loss / (f.noct_still + f.noct_wind * f.wind_at_roof * wind);
    air + light / f.noct_irradiance * (noct + adds - f.noct_air) * loss
}

/// The same by the form of King and others 2004: a mounting's word in `panel/module-temperature`; `None` for another.
#[must_use]
pub fn module_form(light: f64, air: f64, wind: f64, word: &str) -> Option<f64> {
    let get = |column| facts::number("panel/module-temperature", "mounting", word, column);
    let (a, b, above) = (get("a")?, get("b")?, get("above")?);
    Some(air + light * exp(a + b * wind) + light / facts::panel().rated_irradiance * above)
}

/// Power over rated power of cells at a temperature (degrees Celsius) in light (W/m2); gamma is relative, 1/K.
#[inline]
#[must_use]
pub fn per_watt(light: f64, cell: f64, gamma: f64) -> f64 {
    let f = facts::panel();
    light / f.rated_irradiance * (1.0 + gamma * (cell - f.rated_temperature))
}

/// Losses one after another as one: 1 - (1 - a)(1 - b)..., all as shares.
pub fn combined(losses: impl IntoIterator<Item = f64>) -> f64 {
    1.0 - losses.into_iter().fold(1.0, |kept, loss| kept * (1.0 - loss))
}

/// The usual losses by name, as shares; `data/panels.toml`.
pub fn usual_losses() -> impl Iterator<Item = (&'static str, f64)> {
    let table = facts::table("panel/loss");
    table.into_iter().flat_map(|t| t.pairs("loss", "percent")).map(|(name, percent)| (name, percent / 100.0))
}

fn open_u0() -> f64 {
    mounting("open").map_or(0.0, |m| m.u0)
}
fn open_u1() -> f64 {
    mounting("open").map_or(0.0, |m| m.u1)
}

/// Input of [`cell_temperature`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<CellTemperatureIn>)]
pub struct CellTemperatureIn {
    /// Light on the panel.
    pub irradiance_w_m2: f64,
    /// Temperature of the air.
    pub air_c: f64,
    /// Wind at the panel.
    pub wind_m_s: f64,
    /// Heat loss in still air: 25 for an open rack, 15 bonded to a roof.
    #[serde(default = "open_u0")]
    pub u0: f64,
    /// Heat loss per m/s of wind: 6.84 for an open rack, 0 bonded to a roof.
    #[serde(default = "open_u1")]
    pub u1: f64,
}

ranged!(CellTemperatureIn {
    irradiance_w_m2 ["W/m2"] Range::of(0.0, 3000.0),
    air_c ["degC"] Range::of(-90.0, 70.0),
    wind_m_s ["m/s"] Range::of(0.0, 100.0),
    u0 ["W/m2K"] Range::over(0.0, 200.0),
    u1 ["Ws/m3K"] Range::of(0.0, 100.0),
});

/// Output of [`cell_temperature`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CellTemperatureOut {
    /// Temperature of the cells.
    pub cell_c: f64,
}

/// How hot the cells of a panel get.
///
/// | input             | unit   | range         | note                                    |
/// |-------------------|--------|---------------|-----------------------------------------|
/// | `irradiance_w_m2` | W/m2   | 0 to 3000     | on the panel                            |
/// | `air_c`           | degC   | -90 to 70     |                                         |
/// | `wind_m_s`        | m/s    | 0 to 100      | at the panel: half of that at 10 m      |
/// | `u0`              | W/m2K  | over 0 to 200 | default 25, an open rack; 15 bonded     |
/// | `u1`              | Ws/m3K | 0 to 100      | default 6.84, an open rack; 0 bonded    |
///
/// Gives `cell_c`.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Faiman 2008, the form of IEC 61853; `data/panels.toml`.
///
/// # Checked against
/// `tests/outside/plane.rs`: an open library.
pub fn cell_temperature(input: &CellTemperatureIn) -> Result<CellTemperatureOut, KernelError> {
    input.check()?;
    let mounting = Mounting { u0: input.u0, u1: input.u1 };
    Ok(CellTemperatureOut { cell_c: finite("cell_c", faiman(input.irradiance_w_m2, input.air_c, input.wind_m_s, mounting))? })
}

/// Input of [`pv_dc`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<PvDcIn>)]
pub struct PvDcIn {
    /// Light on the panel.
    pub irradiance_w_m2: f64,
    /// Temperature of the cells.
    pub cell_c: f64,
    /// Power on the label.
    pub rated_w: f64,
    /// Change of power with cell temperature, relative; negative.
    pub gamma_per_c: f64,
    /// Share lost on the way.
    #[serde(default)]
    pub loss: f64,
}

ranged!(PvDcIn {
    irradiance_w_m2 ["W/m2"] Range::of(0.0, 3000.0),
    cell_c ["degC"] Range::of(-90.0, 150.0),
    rated_w ["W"] Range::of(0.0, 1e9),
    gamma_per_c ["1/K"] Range::of(-0.02, 0.02),
    loss [""] Range::of(0.0, 1.0),
});

/// Output of [`pv_dc`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PvDcOut {
    /// Power.
    pub dc_w: f64,
}

/// Power of a panel in light at a cell temperature.
///
/// | input             | unit | range         | note                             |
/// |-------------------|------|---------------|----------------------------------|
/// | `irradiance_w_m2` | W/m2 | 0 to 3000     | on the panel                     |
/// | `cell_c`          | degC | -90 to 150    |                                  |
/// | `rated_w`         | W    | 0 to 1e9      | on the label                     |
/// | `gamma_per_c`     | 1/K  | -0.02 to 0.02 | relative; -0.0035 is usual       |
/// | `loss`            | 1    | 0 to 1        | default 0                        |
///
/// Gives `dc_w`. Good from 50 to 1200 W/m2; weak light is flattered.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Linear model of Dobos 2014, NREL/TP-6A20-62641.
///
/// # Checked against
/// `tests/outside/plane.rs`: an open library.
pub fn pv_dc(input: &PvDcIn) -> Result<PvDcOut, KernelError> {
    input.check()?;
    let power = input.rated_w * per_watt(input.irradiance_w_m2, input.cell_c, input.gamma_per_c) * (1.0 - input.loss);
    Ok(PvDcOut { dc_w: finite("dc_w", power.max(0.0))? })
}
