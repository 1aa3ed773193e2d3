//! How much of a battery's label can be used.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::peukert;
use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::store_facts as facts;

fn whole() -> f64 {
    1.0
}

fn worn() -> f64 {
    facts::battery().end_of_life
}

/// Input of [`usable_energy`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<UsableEnergyIn>)]
pub struct UsableEnergyIn {
    /// Rated capacity.
    pub capacity_ah: f64,
    /// Nominal voltage of the bank: 12 or 24 of lead, 12.8 or 25.6 of lithium iron phosphate.
    pub nominal_v: f64,
    /// Share of the charge that is left in the battery.
    pub floor: f64,
    /// Capacity at this load as a share of the rated one, from `peukert`.
    #[serde(default = "whole")]
    pub rate_share: f64,
    /// Capacity at this temperature as a share of the warm one.
    #[serde(default = "whole")]
    pub cold_share: f64,
    /// Capacity that age has left; 0.8 is a battery at the end of its life.
    #[serde(default = "worn")]
    pub age_share: f64,
    /// Share of what is taken out of store that arrives.
    pub discharge_efficiency: f64,
}

ranged!(UsableEnergyIn {
    capacity_ah ["Ah"] Range::of(0.0, 1e6),
    nominal_v ["V"] Range::of(0.0, 1000.0),
    floor [""] Range::of(0.0, 1.0),
    rate_share [""] Range::of(0.0, 1.1),
    cold_share [""] Range::of(0.0, 1.1),
    age_share [""] Range::of(0.0, 1.1),
    discharge_efficiency [""] Range::of(0.1, 1.0),
});

/// Output of [`usable_energy`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct UsableEnergyOut {
    /// Energy on the label.
    pub rated_wh: f64,
    /// Energy that can be used.
    pub usable_wh: f64,
}

/// How much of a battery's label can be used.
///
/// | input                  | unit | range     | note                                         |
/// |------------------------|------|-----------|----------------------------------------------|
/// | `capacity_ah`          | Ah   | 0 to 1e6  | at its 20 h rate; a 100 h label flatters     |
/// | `nominal_v`            | V    | 0 to 1000 | of the bank                                  |
/// | `floor`                | 1    | 0 to 1    | lead-acid 0.5, lithium 0.1                   |
/// | `rate_share`           | 1    | 0 to 1.1  | default 1                                    |
/// | `cold_share`           | 1    | 0 to 1.1  | default 1                                    |
/// | `age_share`            | 1    | 0 to 1.1  | default 0.8, a worn battery: size for it     |
/// | `discharge_efficiency` | 1    | 0.1 to 1  |                                              |
///
/// Gives `rated_wh` and `usable_wh` (Wh). The floor is a share of the capacity that rate, cold and age leave.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Product of shares; usual ones in `data/batteries.toml`, common practice.
///
/// # Checked against
/// `tests/outside/chemistry.rs`: own figures computed with numpy.
pub fn usable_energy(input: &UsableEnergyIn) -> Result<UsableEnergyOut, KernelError> {
    input.check()?;
    let shares = input.rate_share * input.cold_share * input.age_share * input.discharge_efficiency;
    let rated = input.capacity_ah * input.nominal_v;
    Ok(UsableEnergyOut {
        rated_wh: finite("rated_wh", rated)?,
        usable_wh: finite("usable_wh", usable(rated, input.floor, shares))?,
    })
}

/// Energy that can be used, Wh, of a rated one, with a floor and the product of all other shares. No range is checked.
#[must_use]
pub fn usable(rated_wh: f64, floor: f64, shares: f64) -> f64 {
    rated_wh * (1.0 - floor) * shares
}

/// Capacity at a load (A) as a share of the rated one (Ah at a rate in h). No range is checked.
#[must_use]
pub fn rate_share(capacity_ah: f64, rated_hours: f64, current_a: f64, exponent: f64) -> f64 {
    peukert::yield_ah(capacity_ah, rated_hours, current_a, exponent) / capacity_ah
}

/// Days without sun that an energy lasts, where the sun still gives `sun_wh` a day; infinite where that is enough.
#[must_use]
pub fn dark_days(usable_wh: f64, daily_wh: f64, sun_wh: f64) -> f64 {
    let wanted = daily_wh - sun_wh;
    if wanted > 0.0 { usable_wh / wanted } else { f64::INFINITY }
}

/// Rated energy, Wh, that lasts so many days of `daily_wh`, with a floor and the product of all other shares.
#[must_use]
pub fn wanted_wh(days: f64, daily_wh: f64, floor: f64, shares: f64) -> f64 {
    days * daily_wh / ((1.0 - floor) * shares)
}
