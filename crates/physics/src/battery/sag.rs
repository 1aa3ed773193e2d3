//! Voltage that sinks under a load of constant power, such as an inverter.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};

/// Input of [`sag`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<SagIn>)]
pub struct SagIn {
    /// Voltage of the battery at rest.
    pub open_v: f64,
    /// Resistance of battery, cut-out, cables out and back, fuse and contacts.
    pub resistance_ohm: f64,
    /// Power that the load takes whatever the voltage: DC side of the inverter.
    pub dc_w: f64,
}

ranged!(SagIn {
    open_v ["V"] Range::over(0.0, 1000.0),
    resistance_ohm ["ohm"] Range::over(0.0, 1000.0),
    dc_w ["W"] Range::of(0.0, 1e7),
});

/// Output of [`sag`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SagOut {
    /// Whether the load can be carried at all.
    pub carried: bool,
    /// Voltage at the load; null where it cannot be carried.
    pub load_v: Option<f64>,
    /// Current; null where it cannot be carried.
    pub current_a: Option<f64>,
    /// Most power that a load can take from this source.
    pub most_w: f64,
}

/// Voltage at a load of constant power behind a resistance.
///
/// A load that takes more current as the voltage sinks finds no end past a quarter of the short-circuit power.
///
/// | input            | unit | range          | note                                        |
/// |------------------|------|----------------|---------------------------------------------|
/// | `open_v`         | V    | over 0 to 1000 | at rest, at the lowest charge that counts   |
/// | `resistance_ohm` | ohm  | over 0 to 1000 | all of it, cables out and back              |
/// | `dc_w`           | W    | 0 to 1e7       | AC power over the inverter's efficiency     |
///
/// Gives `carried`, `load_v` (V), `current_a` (A), `most_w` (W).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Ohm's law (physics).
///
/// # Checked against
/// `tests/outside/chemistry.rs`: figures computed with numpy.
pub fn sag(input: &SagIn) -> Result<SagOut, KernelError> {
    input.check()?;
    let most_w = finite("most_w", most_power(input.open_v, input.resistance_ohm))?;
    let load_v = load_voltage(input.open_v, input.resistance_ohm, input.dc_w);
    let current_a = load_v.map(|v| finite("current_a", input.dc_w / v)).transpose()?;
    Ok(SagOut { carried: load_v.is_some(), load_v, current_a, most_w })
}

/// Voltage, V, at a load of constant power (W) on a source of `open` V behind `ohm`; `None` where it cannot be carried.
#[must_use]
pub fn load_voltage(open: f64, ohm: f64, watt: f64) -> Option<f64> {
    let half = open / 2.0;
    let under = half * half - watt * ohm;
    (under >= 0.0).then(|| half + under.sqrt())
}

/// Most power, W, that a load can take from a source of `open` V behind `ohm`.
#[must_use]
pub fn most_power(open: f64, ohm: f64) -> f64 {
    (open / 2.0) * (open / 2.0) / ohm
}

/// Resistance, ohm, from a voltage at rest and one under a known current.
#[must_use]
pub fn resistance(rest_v: f64, load_v: f64, current: f64) -> f64 {
    (rest_v - load_v) / current
}

/// Resistance, ohm, of a bank of units whose resistance is given for 100 Ah of the 12 V class: units in series add up,
/// capacity divides.
#[must_use]
pub fn bank_resistance(unit_ohm: f64, capacity_ah: f64, in_series: f64) -> f64 {
    /// Capacity that the table's resistance is given for, Ah.
    const OF_AH: f64 = 100.0;
    unit_ohm * in_series * OF_AH / capacity_ah
}
