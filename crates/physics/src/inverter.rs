//! What an inverter takes from the battery.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::store_facts as facts;

fn usual_idle() -> f64 {
    facts::supply().inverter_idle
}

fn usual_proportional() -> f64 {
    facts::supply().inverter_proportional
}

fn usual_square() -> f64 {
    facts::supply().inverter_square
}

/// Input of [`inverter`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<InverterIn>)]
pub struct InverterIn {
    /// Power it gives.
    pub ac_w: f64,
    /// What it takes with nothing on.
    #[serde(default = "usual_idle")]
    pub idle_w: f64,
    /// Loss as a share of what it gives.
    #[serde(default = "usual_proportional")]
    pub proportional: f64,
    /// Loss with the square of what it gives.
    #[serde(default = "usual_square")]
    pub square_per_w: f64,
    /// Voltage at its terminals: the cut-off for cable and fuse, the nominal one for energy.
    #[serde(default)]
    pub supply_v: Option<f64>,
}

ranged!(InverterIn {
    ac_w ["W"] Range::of(0.0, 1e6),
    idle_w ["W"] Range::of(0.0, 1e4),
    proportional [""] Range::of(0.0, 2.0),
    square_per_w ["1/W"] Range::of(0.0, 1.0),
    supply_v ["V"] Range::of(1.0, 1000.0),
});

/// Output of [`inverter`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InverterOut {
    /// Power it takes.
    pub dc_w: f64,
    /// What becomes heat.
    pub loss_w: f64,
    /// Share of what it takes that it gives; 0 with nothing on.
    pub efficiency: f64,
    /// Current it takes; null without a voltage.
    pub current_a: Option<f64>,
}

/// What an inverter takes from the battery for what it gives.
///
/// | input          | unit | range     | note                                     |
/// |----------------|------|-----------|------------------------------------------|
/// | `ac_w`         | W    | 0 to 1e6  |                                          |
/// | `idle_w`       | W    | 0 to 10000  | default 15, of a 1 to 2 kW one           |
/// | `proportional` | 1    | 0 to 2    | default 0.04                             |
/// | `square_per_w` | 1/W  | 0 to 1    | default 1e-5, of one of 2 kW             |
/// | `supply_v`     | V    | 1 to 1000 | at its terminals; left out: no current   |
///
/// Gives `dc_w`, `loss_w` (W), `efficiency` (1), `current_a` (A).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Idle, proportional and ohmic loss (physics); usual values from `data/store.toml`, common practice.
///
/// # Checked against
/// `tests/outside/supply.rs`: figures computed with numpy.
pub fn inverter(input: &InverterIn) -> Result<InverterOut, KernelError> {
    input.check()?;
    let loss = loss(input.ac_w, input.idle_w, input.proportional, input.square_per_w);
    let dc = finite("dc_w", input.ac_w + loss)?;
    let efficiency = finite("efficiency", if dc > 0.0 { input.ac_w / dc } else { 0.0 })?;
    let current_a = input.supply_v.map(|v| finite("current_a", dc / v)).transpose()?;
    Ok(InverterOut { dc_w: dc, loss_w: finite("loss_w", loss)?, efficiency, current_a })
}

/// What becomes heat, W, for a power given. No range is checked.
#[must_use]
pub fn loss(ac_w: f64, idle_w: f64, proportional: f64, square_per_w: f64) -> f64 {
    idle_w + proportional * ac_w + square_per_w * ac_w * ac_w
}

/// Power taken, W, for a power given. No range is checked.
#[must_use]
pub fn dc_power(ac_w: f64, idle_w: f64, proportional: f64, square_per_w: f64) -> f64 {
    ac_w + loss(ac_w, idle_w, proportional, square_per_w)
}

/// Proportional and square loss from what it takes with nothing on (W) and at two powers, given and taken (W).
#[must_use]
pub fn losses(idle_w: f64, (ac_1, dc_1): (f64, f64), (ac_2, dc_2): (f64, f64)) -> (f64, f64) {
    let share = |ac: f64, dc: f64| (dc - ac - idle_w) / ac;
    let square = (share(ac_2, dc_2) - share(ac_1, dc_1)) / (ac_2 - ac_1);
    (share(ac_1, dc_1) - square * ac_1, square)
}

/// Square loss, 1/W, of an inverter of a continuous rating whose efficiency at that rating is known, with usual idle and
/// proportional loss scaled; never negative.
#[must_use]
pub fn square_of_rating(rated_w: f64, efficiency: f64, idle_w: f64, proportional: f64) -> f64 {
    let square = (rated_w / efficiency - rated_w - idle_w - proportional * rated_w) / (rated_w * rated_w);
    if square > 0.0 { square } else { 0.0 }
}

/// Current, A, at a voltage from a power given and an efficiency.
#[must_use]
pub fn dc_current(ac_w: f64, efficiency: f64, volts: f64) -> f64 {
    ac_w / (efficiency * volts)
}

/// Power, W, that it carries on at an air temperature (deg C): the rating up to some temperature, a share less for each
/// K above.
#[must_use]
pub fn derated(rated_w: f64, air_c: f64, from_c: f64, share_per_k: f64) -> f64 {
    let above = if air_c > from_c { air_c - from_c } else { 0.0 };
    let left = 1.0 - share_per_k * above;
    if left > 0.0 { rated_w * left } else { 0.0 }
}

/// Apparent power, VA, of a motor in the first half second: its locked-rotor current at its voltage, less what a soft
/// start takes off.
#[must_use]
pub fn start_va(volts: f64, locked_rotor_a: f64, soft_start: f64) -> f64 {
    volts * locked_rotor_a * (1.0 - soft_start)
}
