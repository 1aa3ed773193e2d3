//! Left and right wheel of an axle.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Ranged, finite, in_schema, ranged, usual};

/// Input of [`wheel_loads`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<WheelLoadsIn>)]
pub struct WheelLoadsIn {
    /// What a scale under both wheels of the axle shows.
    pub axle_load_kg: f64,
    /// Centre of tyre contact to centre; with twin tyres between the centres of the pairs.
    pub track_m: f64,
    /// Where that load sits beside the centreline of this axle; positive to the right.
    pub offset_y_m: f64,
}

ranged!(WheelLoadsIn {
    axle_load_kg ["kg"] usual::MASS,
    track_m ["m"] usual::SOME_LENGTH,
    offset_y_m ["m"] usual::PLACE,
});

/// Output of [`wheel_loads`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WheelLoadsOut {
    /// What a scale under the left wheel, or pair, shows.
    pub left_kg: f64,
    /// What a scale under the right wheel, or pair, shows.
    pub right_kg: f64,
}

/// Loads of the left and right wheel of one axle, by lever arm.
///
/// Each axle carries its own offset, as with a soft frame. A stiff frame shares the roll moment of the whole rig by
/// roll stiffness instead: [`roll_shares`]. A real ladder frame lies between. An offset past the wheel gives a
/// negative load on the other side: that wheel lifts.
///
/// | input          | unit | range         | note                    |
/// |----------------|------|---------------|-------------------------|
/// | `axle_load_kg` | kg   | 0 to 1e9      | both wheels             |
/// | `track_m`      | m    | over 0 to 1e6 | centre to centre        |
/// | `offset_y_m`   | m    | -1e6 to 1e6   | positive to the right   |
///
/// Gives `left_kg` and `right_kg` (kg); their sum is the axle load.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Moments about a wheel (physics).
///
/// # Checked against
/// `tests/outside/ledger.rs`: own example computed with numpy.
pub fn wheel_loads(input: &WheelLoadsIn) -> Result<WheelLoadsOut, KernelError> {
    input.check()?;
    let (left, right) = lever_arm(input.axle_load_kg, input.track_m, input.offset_y_m);
    Ok(WheelLoadsOut { left_kg: finite("left_kg", left)?, right_kg: finite("right_kg", right)? })
}

/// Left and right wheel load, kg, of an axle load that sits `offset_y_m` to the right. No range is checked.
#[must_use]
pub fn lever_arm(axle_load_kg: f64, track_m: f64, offset_y_m: f64) -> (f64, f64) {
    let shift = axle_load_kg * offset_y_m / track_m;
    (axle_load_kg / 2.0 - shift, axle_load_kg / 2.0 + shift)
}

/// What each axle of a stiff frame moves from its left to its right wheel, kg for each kg m of sideways moment.
///
/// `axles` are pairs of roll stiffness (Nm/rad, tyres included) and track (m). Multiply by the moment
/// `sum(mass times y)`, kg m; the right wheel gains it and the left one loses it. Wherever along the rig the offset
/// mass sits, the split is the same. Not finite when a track or the sum of stiffness is 0.
#[must_use]
pub fn roll_shares(axles: &[(f64, f64)]) -> Vec<f64> {
    let sum = axles.iter().map(|(stiffness, _)| stiffness).sum::<f64>();
    axles.iter().map(|(stiffness, track)| stiffness / sum / track).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stiff_frame_holds_the_whole_moment() {
        let axles = [(0.35e6, 1.94), (0.65e6, 1.80)];
        let shares = roll_shares(&axles);
        let held: f64 = shares.iter().zip(&axles).map(|(share, (_, track))| share * track).sum();
        assert!((held - 1.0).abs() < 1e-12);
        assert!((shares[0] - 0.35 / 1.94).abs() < 1e-12);
    }

    #[test]
    fn an_offset_past_the_wheel_lifts_the_other() {
        let out = wheel_loads(&WheelLoadsIn { axle_load_kg: 100.0, track_m: 2.0, offset_y_m: 1.5 }).expect("answers");
        assert_eq!((out.left_kg, out.right_kg), (-25.0, 125.0));
    }
}
