//! Bridge formula of the United States.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged};

/// Input of [`bridge_formula`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<BridgeFormulaIn>)]
pub struct BridgeFormulaIn {
    /// Axles in a row, the outer ones included.
    pub axles_n: u32,
    /// Distance between the centres of the outer axles, in feet.
    pub length_ft: f64,
}

ranged!(BridgeFormulaIn {
    axles_n [""] Range::of(2.0, 100.0),
    length_ft ["ft"] Range::over(0.0, 1000.0),
});

/// Output of [`bridge_formula`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BridgeFormulaOut {
    /// What the group of axles may carry by the formula alone, in pounds, to the nearest 500, halves down.
    pub gross_lb: f64,
}

/// Most a group of axles in a row may carry on the Interstate System, by the formula alone.
///
/// The caps (single axle, tandem, whole vehicle), the row of the printed table for two axles, and the exception for
/// two tandems are separate rules and not in it.
///
/// | input       | unit | range          | note                                 |
/// |-------------|------|----------------|--------------------------------------|
/// | `axles_n`   | 1    | 2 to 100       | in a row                             |
/// | `length_ft` | ft   | over 0 to 1000 | between the outer axles; not rounded |
///
/// Gives `gross_lb` (lb).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// `W = 500 (L N / (N - 1) + 12 N + 36)`, 23 CFR 658.17(e), 23 USC 127(a): read; values in `data/weight.toml`. The
/// law says "nearest 500 pounds" and nothing of halves; the printed table takes them down.
///
/// # Checked against
/// `tests/outside/bridge.rs`: points of the printed table.
pub fn bridge_formula(input: &BridgeFormulaIn) -> Result<BridgeFormulaOut, KernelError> {
    input.check()?;
    let step = facts::weight().bridge_step_lb;
    let steps = steps_exact(input.axles_n, input.length_ft);
    // ceil(s - 1/2) rounds to the nearest and takes halves down.
    Ok(BridgeFormulaOut { gross_lb: finite("gross_lb", (steps - 1.0 / 2.0).ceil() * step)? })
}

/// The formula before rounding, lb. No range is checked.
#[must_use]
pub fn bridge_exact_lb(axles_n: u32, length_ft: f64) -> f64 {
    steps_exact(axles_n, length_ft) * facts::weight().bridge_step_lb
}

fn steps_exact(axles_n: u32, length_ft: f64) -> f64 {
    let facts = facts::weight();
    let n = f64::from(axles_n);
    // Multiplied before divided, so that halves come out exact.
    length_ft * n / (n - 1.0) + facts.bridge_per_axle * n + facts.bridge_base
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_half_goes_down_and_just_over_it_up() {
        let at = |length_ft| bridge_formula(&BridgeFormulaIn { axles_n: 3, length_ft }).map(|out| out.gross_lb);
        assert_eq!(at(9.0), Ok(42_500.0));
        assert_eq!(at(9.0 + 1e-6), Ok(43_000.0));
    }

    #[test]
    fn one_axle_is_no_group() {
        assert!(bridge_formula(&BridgeFormulaIn { axles_n: 1, length_ft: 9.0 }).is_err());
    }
}
