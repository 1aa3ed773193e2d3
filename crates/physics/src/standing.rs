//! What a day's use comes to.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, check_list, finite, in_schema, ranged};

fn all_day() -> f64 {
    HOURS
}

fn whole() -> f64 {
    1.0
}

/// Hours of a day.
const HOURS: f64 = 24.0;

/// Most loads of one call.
const LOADS_MOST: usize = 10_000;

/// A load of [`daily_energy`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<DailyLoad>)]
pub struct DailyLoad {
    /// Power while it runs.
    pub power_w: f64,
    /// Hours a day it is on.
    #[serde(default = "all_day")]
    pub hours: f64,
    /// Share of that time it runs.
    #[serde(default = "whole")]
    pub duty: f64,
    /// Share of what the battery gives that reaches it: converter or inverter on the way.
    #[serde(default = "whole")]
    pub path_efficiency: f64,
}

ranged!(DailyLoad {
    power_w ["W"] Range::of(0.0, 1e6),
    hours ["h"] Range::of(0.0, 24.0),
    duty [""] Range::of(0.0, 1.0),
    path_efficiency [""] Range::of(0.1, 1.0),
});

/// Input of [`daily_energy`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<DailyEnergyIn>)]
pub struct DailyEnergyIn {
    /// What is used.
    pub loads: Vec<DailyLoad>,
    /// What is drawn all day whatever is used: idle of inverter and converters, monitors, detectors.
    #[serde(default)]
    pub standing_w: f64,
}

ranged!(DailyEnergyIn { standing_w ["W"] Range::of(0.0, 1e6) });

/// Output of [`daily_energy`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DailyEnergyOut {
    /// Energy a day out of the battery.
    pub daily_wh: f64,
    /// What of it is standing.
    pub standing_wh: f64,
    /// What of it each load takes, in the order of `loads`.
    pub loads_wh: Vec<f64>,
}

/// Energy a day out of the battery.
///
/// | input             | unit | range    | note                                            |
/// |-------------------|------|----------|-------------------------------------------------|
/// | `power_w`         | W    | 0 to 1e6 | of each load, while it runs                     |
/// | `hours`           | h    | 0 to 24  | default 24                                      |
/// | `duty`            | 1    | 0 to 1   | default 1                                       |
/// | `path_efficiency` | 1    | 0.1 to 1 | default 1; converter 0.85 to 0.92               |
/// | `standing_w`      | W    | 0 to 1e6 | default 0; 15 W is 360 Wh a day                 |
///
/// Gives `daily_wh`, `standing_wh` and `loads_wh` (Wh).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above; `Count` no load at all.
///
/// # Source
/// Sum of power times time (physics).
///
/// # Checked against
/// `tests/outside/supply.rs`: own figures computed by hand.
pub fn daily_energy(input: &DailyEnergyIn) -> Result<DailyEnergyOut, KernelError> {
    check_list("loads", &input.loads, 1, LOADS_MOST)?;
    input.check()?;
    let of = |l: &DailyLoad| finite("loads_wh", daily(l.power_w, l.hours, l.duty, l.path_efficiency));
    let loads_wh = input.loads.iter().map(of).collect::<Result<Vec<f64>, _>>()?;
    let standing_wh = input.standing_w * HOURS;
    let daily_wh = finite("daily_wh", standing_wh + loads_wh.iter().sum::<f64>())?;
    Ok(DailyEnergyOut { daily_wh, standing_wh: finite("standing_wh", standing_wh)?, loads_wh })
}

/// Energy a day, Wh, out of the battery for one load. No range is checked.
#[must_use]
pub fn daily(power_w: f64, hours: f64, duty: f64, path_efficiency: f64) -> f64 {
    power_w * hours * duty / path_efficiency
}
