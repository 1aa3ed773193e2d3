//! Charging from shore, generator and alternator.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::store_facts as facts;

fn from_store() -> f64 {
    1.0
}

/// Input of [`refill_hours`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<RefillHoursIn>)]
pub struct RefillHoursIn {
    /// Energy that the battery lacks.
    pub missing_wh: f64,
    /// Power of the charger at the battery.
    pub charge_w: f64,
    /// Loads that run meanwhile, fed by the same charger.
    #[serde(default)]
    pub load_w: f64,
    /// Share of what goes in that is stored.
    #[serde(default = "from_store")]
    pub charge_efficiency: f64,
    /// What the last of the charge takes whatever the charger: 3 to 6 of lead-acid.
    #[serde(default)]
    pub absorption_h: f64,
}

ranged!(RefillHoursIn {
    missing_wh ["Wh"] Range::of(0.0, 1e9),
    charge_w ["W"] Range::over(0.0, 1e6),
    load_w ["W"] Range::of(0.0, 1e6),
    charge_efficiency [""] Range::of(0.1, 1.0),
    absorption_h ["h"] Range::of(0.0, 100.0),
});

/// Output of [`refill_hours`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RefillHoursOut {
    /// Hours until it is full; null where the loads take all.
    pub hours: Option<f64>,
}

/// Hours on the hook-up or generator until a battery is full.
///
/// | input               | unit | range         | note                                      |
/// |---------------------|------|---------------|-------------------------------------------|
/// | `missing_wh`        | Wh   | 0 to 1e9      |                                           |
/// | `charge_w`          | W    | over 0 to 1e6 | at the battery                            |
/// | `load_w`            | W    | 0 to 1e6      | default 0                                 |
/// | `charge_efficiency` | 1    | 0.1 to 1      | default 1                                 |
/// | `absorption_h`      | h    | 0 to 100      | default 0; lead-acid 3 to 6 for the tail  |
///
/// Gives `hours` (h), or null.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Energy balance (physics); the tail is common practice.
///
/// # Checked against
/// `tests/outside/supply.rs`: own figures computed with numpy.
pub fn refill_hours(input: &RefillHoursIn) -> Result<RefillHoursOut, KernelError> {
    input.check()?;
    let spare = input.charge_w - input.load_w;
    if spare <= 0.0 {
        return Ok(RefillHoursOut { hours: None });
    }
    let hours = refill(input.missing_wh, spare, input.charge_efficiency, input.absorption_h);
    Ok(RefillHoursOut { hours: Some(finite("hours", hours)?) })
}

/// Hours until full at a power (W) at the battery. No range is checked.
#[must_use]
pub fn refill(missing_wh: f64, charge_w: f64, charge_efficiency: f64, absorption_h: f64) -> f64 {
    missing_wh / (charge_w * charge_efficiency) + absorption_h
}

/// Power, W, and apparent power, VA, that a mains charger takes for a current out at a voltage.
#[must_use]
pub fn mains_input(out_a: f64, out_v: f64, efficiency: f64, power_factor: f64) -> (f64, f64) {
    let watt = out_a * out_v / efficiency;
    (watt, watt / power_factor)
}

/// Power, W, behind a breaker for so many hours: less of it where the load lasts.
#[must_use]
pub fn inlet_power(volts: f64, breaker_a: f64, hours: f64) -> f64 {
    let facts = facts::supply();
    let share = if hours >= facts.breaker_hours { facts.breaker_continuous } else { 1.0 };
    volts * breaker_a * share
}

/// Current, A, that an alternator has to spare for the camper: what it gives, less what the vehicle takes; never
/// negative.
#[must_use]
pub fn surplus(given_a: f64, vehicle_a: f64) -> f64 {
    let spare = given_a - vehicle_a;
    if spare > 0.0 { spare } else { 0.0 }
}

/// Current, A, that a hot alternator of a rating gives with the engine idling, where nobody measured.
#[must_use]
pub fn idle_current(rated_a: f64) -> f64 {
    rated_a * facts::supply().alternator_idle_share
}

/// Current, A, that an alternator of a rating gives on the road with the engine bay hot.
#[must_use]
pub fn road_current(rated_a: f64) -> f64 {
    rated_a * (1.0 - facts::supply().alternator_heat_loss)
}

/// Power, W, that a generator without a blower gives at an altitude (m) in air of a temperature (deg C), where its label
/// has no rule; never negative.
#[must_use]
pub fn generator_power(rated_w: f64, altitude_m: f64, air_c: f64) -> f64 {
    let facts = facts::supply();
    let above = |value: f64, from: f64| if value > from { value - from } else { 0.0 };
    let thin = 1.0 - facts.generator_derate * above(altitude_m, facts.generator_from) / facts.generator_step;
    let hot = 1.0 - facts.generator_heat * above(air_c, facts.generator_heat_from);
    if thin > 0.0 && hot > 0.0 { rated_w * thin * hot } else { 0.0 }
}
