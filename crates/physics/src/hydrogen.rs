//! Gas of lead-acid batteries: the air it wants, and how far sparks must stay.

use quantity::real::cbrt;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::store_facts as facts;

/// Input of [`hydrogen`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<HydrogenIn>)]
pub struct HydrogenIn {
    /// Cells in series: 6 of a 12 V battery. Strings side by side count as one string of their sum of capacity.
    pub cells_n: u32,
    /// Current that makes gas, for each Ah.
    pub gas_ma_per_ah: f64,
    /// Capacity.
    pub capacity_ah: f64,
}

ranged!(HydrogenIn {
    cells_n [""] Range::of(1.0, 1000.0),
    gas_ma_per_ah ["mA/Ah"] Range::of(0.0, 1000.0),
    capacity_ah ["Ah"] Range::of(0.0, 1e6),
});

/// Output of [`hydrogen`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HydrogenOut {
    /// Air that must pass.
    pub air_m3_h: f64,
    /// Free area of each of two openings, one low and one high on opposite walls, where air passes by itself.
    pub opening_cm2: f64,
    /// Distance within which nothing may spark or glow.
    pub clearance_mm: f64,
}

/// Air that charging lead-acid batteries want, and the openings it passes.
///
/// | input           | unit  | range     | note                                                          |
/// |-----------------|-------|-----------|---------------------------------------------------------------|
/// | `cells_n`       | 1     | 1 to 1000 | in series                                                     |
/// | `gas_ma_per_ah` | mA/Ah | 0 to 1000 | boost: flooded 20, sealed 8; float 5 and 1; failed 60 and 15  |
/// | `capacity_ah`   | Ah    | 0 to 1e6  | at the 10 h rate                                              |
///
/// Gives `air_m3_h` (m3/h), `opening_cm2` (cm2, each of two), `clearance_mm` (mm, from memory).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// EN 50272-2 / IEC 62485-2, second hand; `data/store.toml` has each number.
///
/// # Checked against
/// `tests/outside/chemistry.rs`: figures computed with numpy, and a maker's printed example.
pub fn hydrogen(input: &HydrogenIn) -> Result<HydrogenOut, KernelError> {
    input.check()?;
    let gas = gas_current(input.gas_ma_per_ah, input.capacity_ah);
    let air = air_flow(f64::from(input.cells_n), gas);
    Ok(HydrogenOut {
        air_m3_h: finite("air_m3_h", air)?,
        opening_cm2: finite("opening_cm2", opening(air))?,
        clearance_mm: finite("clearance_mm", clearance(gas))?,
    })
}

/// Gassing current, A, of a capacity (Ah).
#[must_use]
pub fn gas_current(ma_per_ah: f64, capacity_ah: f64) -> f64 {
    /// mA of an A.
    const MILLI: f64 = 1e-3;
    ma_per_ah * capacity_ah * MILLI
}

/// Air, m3/h, that so many cells in series want at a gassing current (A).
#[must_use]
pub fn air_flow(cells: f64, gas_a: f64) -> f64 {
    facts::battery().gas_air * cells * gas_a
}

/// Free area, cm2, of each of two openings that let an air flow (m3/h) pass by itself.
#[must_use]
pub fn opening(air_m3_h: f64) -> f64 {
    facts::battery().gas_opening * air_m3_h
}

/// Free volume, m3, that is wanted around the batteries for an air flow (m3/h).
#[must_use]
pub fn free_volume(air_m3_h: f64) -> f64 {
    facts::battery().gas_volume * air_m3_h
}

/// Distance, mm, that sparks and glowing parts keep from a battery with this gassing current (A).
#[must_use]
pub fn clearance(gas_a: f64) -> f64 {
    /// mA of an A.
    const MILLI: f64 = 1e3;
    facts::battery().gas_clearance * cbrt(gas_a * MILLI)
}

/// How a battery is charged while it makes gas.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Charging {
    /// Held full.
    Float,
    /// Charged to the end or equalised; what to count on.
    Boost,
    /// By a charger without regulation, or one that has failed.
    Failed,
}

/// Current that makes gas, mA/Ah, of a chemistry (words of [`chemistry`](crate::battery::chemistry)), and where it
/// comes from.
#[must_use]
pub fn gas_rate(chemistry: &str, charging: Charging) -> Option<(f64, &'static basis::Basis)> {
    let column = match charging {
        Charging::Float => "float",
        Charging::Boost => "boost",
        Charging::Failed => "failed",
    };
    ["battery/gas-current", "battery/gas-current-lithium"]
        .iter()
        .filter_map(|id| facts::table(id))
        .find_map(|table| Some((table.number("chemistry", chemistry, column)?, &table.basis)))
}
