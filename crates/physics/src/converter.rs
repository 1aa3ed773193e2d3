//! DC to DC: a step-down converter, or a charger between two batteries.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::store_facts as facts;

fn usual_efficiency() -> f64 {
    facts::supply().dc_dc_efficiency
}

/// Input of [`dc_dc`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<DcDcIn>)]
pub struct DcDcIn {
    /// Current out.
    pub out_a: f64,
    /// Voltage out.
    pub out_v: f64,
    /// Voltage in.
    pub in_v: f64,
    /// Share of what it takes that it gives.
    #[serde(default = "usual_efficiency")]
    pub efficiency: f64,
}

ranged!(DcDcIn {
    out_a ["A"] Range::of(0.0, 1e5),
    out_v ["V"] Range::of(0.0, 1000.0),
    in_v ["V"] Range::of(1.0, 1000.0),
    efficiency [""] Range::of(0.1, 1.0),
});

/// Output of [`dc_dc`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DcDcOut {
    /// Current it takes.
    pub in_a: f64,
    /// Power it takes.
    pub in_w: f64,
    /// What becomes heat.
    pub loss_w: f64,
}

/// What a converter or a charger between two batteries takes for what it gives.
///
/// | input        | unit | range     | note                                            |
/// |--------------|------|-----------|-------------------------------------------------|
/// | `out_a`      | A    | 0 to 100000  |                                                 |
/// | `out_v`      | V    | 0 to 1000 |                                                 |
/// | `in_v`       | V    | 1 to 1000 | lowest in use: most current                     |
/// | `efficiency` | 1    | 0.1 to 1  | default 0.89; 24 to 12 V converters 0.85 to 0.92 |
///
/// Gives `in_a` (A), `in_w` and `loss_w` (W).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Power balance (physics); the usual efficiency is common practice.
///
/// # Checked against
/// `tests/outside/supply.rs`: own figures computed with numpy.
pub fn dc_dc(input: &DcDcIn) -> Result<DcDcOut, KernelError> {
    input.check()?;
    let out = input.out_a * input.out_v;
    let in_a = input_current(input.out_a, input.out_v, input.in_v, input.efficiency);
    let in_w = finite("in_w", in_a * input.in_v)?;
    Ok(DcDcOut { in_a: finite("in_a", in_a)?, in_w, loss_w: finite("loss_w", out * (1.0 / input.efficiency - 1.0))? })
}

/// Current in, A. No range is checked.
#[must_use]
pub fn input_current(out_a: f64, out_v: f64, in_v: f64, efficiency: f64) -> f64 {
    out_a * out_v / (efficiency * in_v)
}
