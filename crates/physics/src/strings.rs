//! Panels in series and in parallel: voltage in the cold and in the heat, what a controller without tracking gets, fuses.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::diode::Diode;
use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::sun_facts as facts;

fn one() -> f64 {
    1.0
}

/// Input of [`panel_cold_voltage`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<PanelColdVoltageIn>)]
pub struct PanelColdVoltageIn {
    /// Open voltage on the label.
    pub voc_v: f64,
    /// Change of open voltage with cell temperature, relative; negative.
    pub beta_per_c: f64,
    /// Coldest cell.
    pub cell_c: f64,
    /// Panels in series.
    #[serde(default = "one")]
    pub in_series: f64,
}

ranged!(PanelColdVoltageIn {
    voc_v ["V"] Range::over(0.0, 2000.0),
    beta_per_c ["1/K"] Range::of(-0.01, 0.0),
    cell_c ["degC"] Range::of(-90.0, 100.0),
    in_series [""] Range::of(1.0, 100.0),
});

/// Output of [`panel_cold_voltage`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PanelColdVoltageOut {
    /// Open voltage of the string at that temperature.
    pub voc_v: f64,
}

/// Open voltage of panels in series at a cell temperature.
///
/// | input        | unit | range          | note                                   |
/// |--------------|------|----------------|----------------------------------------|
/// | `voc_v`      | V    | over 0 to 2000 | on the label                           |
/// | `beta_per_c` | 1/K  | -0.01 to 0     | relative; -0.0027 is -0.27 %/K         |
/// | `cell_c`     | degC | -90 to 100     | the coldest the panel gets             |
/// | `in_series`  | 1    | 1 to 100       | default 1                              |
///
/// Gives `voc_v`.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// NEC 690.7(A)(1), the coefficient of the label (read in pages that quote it).
///
/// # Checked against
/// `tests/outside/diode.rs`: a published worked example, and the diode model of an open library.
pub fn panel_cold_voltage(input: &PanelColdVoltageIn) -> Result<PanelColdVoltageOut, KernelError> {
    input.check()?;
    let voltage = open_voltage(input.voc_v, input.beta_per_c, input.cell_c) * input.in_series;
    Ok(PanelColdVoltageOut { voc_v: finite("voc_v", voltage)? })
}

/// Open voltage, V, at a cell temperature (degrees Celsius), from that of the label and its relative change, 1/K. The same
/// for the voltage at most power with its own change.
#[must_use]
pub fn open_voltage(rated: f64, beta: f64, cell: f64) -> f64 {
    rated * (1.0 + beta * (cell - facts::panel().rated_temperature))
}

/// Open voltage over that of the label at a coldest temperature (degrees Celsius), crystalline silicon, by NEC table
/// 690.7(A); `None` above 24 and below -40 degrees, where the table has no row.
#[must_use]
pub fn cold_factor(coldest: f64) -> Option<f64> {
    let table = facts::table("panel/cold-voltage")?;
    // Rows go downward; between the whole degrees of two rows the colder one holds.
    let (band, _) = table.pairs("band", "from").find(|(_, from)| coldest >= *from)?;
    let (_, warmest) = table.pairs("band", "to").next()?;
    (coldest <= warmest).then(|| table.number("band", band, "factor"))?
}

/// Power, W, of a module that a controller without tracking holds at a voltage (V).
#[must_use]
pub fn held_at(diode: &Diode, volts: f64) -> f64 {
    volts * diode.current_at(volts).max(0.0)
}

/// Current, A, that a controller without tracking must bear for panels with so much short circuit current (A) in all.
#[must_use]
pub fn array_current(short_circuit: f64) -> f64 {
    facts::panel().array_current * short_circuit
}

/// Current, A, that all other strings can send back into one, of `strings` in parallel with a short circuit current each.
/// Over a module's largest fuse, each string wants its own.
#[must_use]
pub fn back_current(strings: f64, short_circuit: f64) -> f64 {
    (strings - 1.0).max(0.0) * array_current(short_circuit)
}
