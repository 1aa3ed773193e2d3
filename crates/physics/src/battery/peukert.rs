//! A battery gives less when it is emptied fast.

use quantity::real::{ln, pow};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::store_facts as facts;

/// Input of [`peukert`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<PeukertIn>)]
pub struct PeukertIn {
    /// Rated capacity.
    pub capacity_ah: f64,
    /// Time in which the rated capacity is taken out: 20 of a "C20" or "20 h" capacity.
    pub rated_hours: f64,
    /// Steady current out.
    pub current_a: f64,
    /// Peukert's exponent.
    pub exponent: f64,
}

ranged!(PeukertIn {
    capacity_ah ["Ah"] Range::over(0.0, 1e6),
    rated_hours ["h"] Range::of(0.1, 1000.0),
    current_a ["A"] Range::over(0.0, 1e6),
    exponent [""] Range::of(1.0, 2.0),
});

/// Output of [`peukert`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PeukertOut {
    /// Time until it is empty.
    pub hours: f64,
    /// What comes out in that time.
    pub usable_ah: f64,
}

/// How long a battery carries a steady current, and what it yields.
///
/// For lead-acid at one temperature, from about a hundredth of its capacity an hour to one capacity. Slower, the power
/// law grows without end: the yield is held at 1.1 times the rated capacity, the time goes with it. The capacity is the
/// rated one at its own rate; the law's first form, current to the power k times time, takes the capacity at 1 A.
///
/// | input         | unit | range         | note                                                  |
/// |---------------|------|---------------|-------------------------------------------------------|
/// | `capacity_ah` | Ah   | over 0 to 1e6 | as rated                                              |
/// | `rated_hours` | h    | 0.1 to 1000   | of that rating                                        |
/// | `current_a`   | A    | over 0 to 1e6 |                                                       |
/// | `exponent`    | 1    | 1 to 2        | flooded 1.2 to 1.3, AGM 1.05 to 1.15, lithium 1.03    |
///
/// Gives `hours` (h) and `usable_ah` (Ah) down to empty; a floor is the caller's.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Peukert 1897 in the form with a rated capacity; the cap is `data/store.toml`, common practice.
///
/// # Checked against
/// `tests/outside/chemistry.rs`: figures computed with numpy, and the wrong form of a public page.
pub fn peukert(input: &PeukertIn) -> Result<PeukertOut, KernelError> {
    input.check()?;
    let ah = yield_ah(input.capacity_ah, input.rated_hours, input.current_a, input.exponent);
    Ok(PeukertOut { hours: finite("hours", ah / input.current_a)?, usable_ah: finite("usable_ah", ah)? })
}

/// What comes out, Ah, at a steady current (A), of a rated capacity (Ah) at a rate (h): capped. No range is checked.
#[must_use]
pub fn yield_ah(capacity_ah: f64, rated_hours: f64, current_a: f64, exponent: f64) -> f64 {
    let bare = capacity_ah * pow(capacity_ah / (rated_hours * current_a), exponent - 1.0);
    let cap = facts::battery().peukert_cap * capacity_ah;
    if bare < cap { bare } else { cap }
}

/// Peukert's exponent from two discharges to the same end: hours and amperes of each, the currents not equal.
#[must_use]
pub fn exponent((hours_1, current_1): (f64, f64), (hours_2, current_2): (f64, f64)) -> f64 {
    ln(hours_1 / hours_2) / ln(current_2 / current_1)
}

/// The rated current (A) that empties a battery as fast as this one, for counting a load that varies: add up its hours.
#[must_use]
pub fn effective_current(capacity_ah: f64, rated_hours: f64, current_a: f64, exponent: f64) -> f64 {
    current_a * capacity_ah / yield_ah(capacity_ah, rated_hours, current_a, exponent)
}
