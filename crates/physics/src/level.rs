//! Four corner heights: how the frame lies, how it is twisted, and which packers set the body as wanted.
//!
//! **Caution.** Do not pack a twisted frame flat under a body with four stiff corners: the first wheel on a rock loads
//! one corner with all of it.

use quantity::real::{atan, tan};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, check_list, finite, in_schema, ranged, usual};

/// Corners of a frame.
const CORNERS: usize = 4;
/// Share of the spread of the corners that is rounding.
const ROUNDING: f64 = 1e-9;

/// A corner of the frame.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<Corner>)]
pub struct Corner {
    /// Its place, rearward.
    pub x_m: f64,
    /// Its place, to the right.
    pub y_m: f64,
    /// Its height over any one datum.
    pub z_m: f64,
}

ranged!(Corner {
    x_m ["m"] usual::PLACE,
    y_m ["m"] usual::PLACE,
    z_m ["m"] usual::PLACE,
});

/// Input of [`level`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<LevelIn>)]
pub struct LevelIn {
    /// Front left, front right, rear left, rear right.
    pub corners: Vec<Corner>,
    /// Pitch wanted; positive is nose up.
    pub pitch_deg: f64,
    /// Roll wanted; positive is right side down.
    pub roll_deg: f64,
}

ranged!(LevelIn { pitch_deg ["deg"] Range::of(-45.0, 45.0), roll_deg ["deg"] Range::of(-45.0, 45.0) });

/// How a plane lies.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plane {
    /// Pitch; positive is nose up.
    pub pitch_deg: f64,
    /// Roll; positive is right side down.
    pub roll_deg: f64,
}

/// Output of [`level`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LevelOut {
    /// The plane that lies closest to the four corners.
    pub plane: Plane,
    /// How far one corner stands off the plane of the other three: front left and rear right up is positive.
    pub twist_m: f64,
    /// Thickness of the packer at each corner, in the order of the input; the least is 0.
    pub packers_m: Vec<f64>,
}

/// How a frame lies, how it is twisted, and which packers set a body on it as wanted.
///
/// | input       | unit | range       | note                                                  |
/// |-------------|------|-------------|-------------------------------------------------------|
/// | `x_m`       | m    | -1e6 to 1e6 | four corners: front left, right, rear left, right     |
/// | `y_m`       | m    | -1e6 to 1e6 |                                                       |
/// | `z_m`       | m    | -1e6 to 1e6 |                                                       |
/// | `pitch_deg` | deg  | -45 to 45   | wanted, nose up positive                              |
/// | `roll_deg`  | deg  | -45 to 45   | wanted, right side down positive                      |
///
/// Gives `plane` (deg), `twist_m` and `packers_m` (m).
///
/// # Errors
/// `OutOfRange` and `Count` name the field; `Unsolvable` when the corners lie on one line.
///
/// # Source
/// Least-squares plane (geometry).
///
/// # Checked against
/// `tests/outside/level.rs`: own figures computed with numpy.
pub fn level(input: &LevelIn) -> Result<LevelOut, KernelError> {
    input.check()?;
    check_list("corners", &input.corners, CORNERS, CORNERS)?;
    let places: Vec<[f64; 3]> = input.corners.iter().map(|c| [c.x_m, c.y_m, c.z_m]).collect();
    let slopes = plane(&places).ok_or(KernelError::Unsolvable { field: "corners".into(), why: "they lie on one line" })?;
    let packers = packers(&places, input.pitch_deg.to_radians(), input.roll_deg.to_radians());
    Ok(LevelOut {
        plane: Plane {
            pitch_deg: finite("pitch_deg", -atan(slopes.0).to_degrees())?,
            roll_deg: finite("roll_deg", -atan(slopes.1).to_degrees())?,
        },
        twist_m: finite("twist_m", twist(&places).unwrap_or_default())?,
        packers_m: packers.into_iter().map(|t| finite("packers_m", t)).collect::<Result<Vec<_>, _>>()?,
    })
}

/// Slopes dz/dx and dz/dy of the plane closest to these points; `None` when they lie on one line.
#[must_use]
pub fn plane(points: &[[f64; 3]]) -> Option<(f64, f64)> {
    let count = points.len() as f64;
    let mean = |f: fn(&[f64; 3]) -> f64| points.iter().map(f).sum::<f64>() / count;
    let (mx, my, mz) = (mean(|p| p[0]), mean(|p| p[1]), mean(|p| p[2]));
    let sum = |f: &dyn Fn(f64, f64, f64) -> f64| points.iter().map(|[x, y, z]| f(x - mx, y - my, z - mz)).sum::<f64>();
    let (xx, yy, xy) = (sum(&|x, _, _| x * x), sum(&|_, y, _| y * y), sum(&|x, y, _| x * y));
    let (xz, yz) = (sum(&|x, _, z| x * z), sum(&|_, y, z| y * z));
    let determinant = xx * yy - xy * xy;
    (determinant > ROUNDING * (xx + yy) * (xx + yy))
        .then(|| ((xz * yy - yz * xy) / determinant, (yz * xx - xz * xy) / determinant))
}

/// Twist, m, of front left, front right, rear left and rear right; `None` for any other number of points.
#[must_use]
pub fn twist(points: &[[f64; 3]]) -> Option<f64> {
    match points {
        [[_, _, fl], [_, _, fr], [_, _, rl], [_, _, rr]] => Some(fl - fr - rl + rr),
        _ => None,
    }
}

/// Packers, m, that bring points to a plane of that pitch and roll (rad); the least is 0.
#[must_use]
pub fn packers(points: &[[f64; 3]], pitch: f64, roll: f64) -> Vec<f64> {
    let (along, across) = (tan(pitch), tan(roll));
    let missing: Vec<f64> = points.iter().map(|[x, y, z]| -along * x - across * y - z).collect();
    let least = missing.iter().copied().fold(f64::INFINITY, f64::min);
    missing.into_iter().map(|t| t - least).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_on_one_line_are_no_plane() {
        assert_eq!(plane(&[[0.0, 0.0, 1.0], [1.0, 1.0, 2.0], [2.0, 2.0, 0.0], [3.0, 3.0, 1.0]]), None);
    }

    /// Nose up means the front is higher; right side down means the left is higher.
    #[test]
    fn signs_are_as_said() {
        let corners = |f: fn(f64, f64) -> f64| {
            [(0.0, -1.0), (0.0, 1.0), (4.0, -1.0), (4.0, 1.0)].map(|(x, y)| Corner { x_m: x, y_m: y, z_m: f(x, y) }).to_vec()
        };
        let lies = |f| level(&LevelIn { corners: corners(f), pitch_deg: 0.0, roll_deg: 0.0 }).expect("answers");
        assert!(lies(|x, _| -0.01 * x).plane.pitch_deg > 0.0);
        assert!(lies(|_, y| -0.01 * y).plane.roll_deg > 0.0);
        let packed = lies(|x, _| -0.01 * x).packers_m;
        assert!(packed[0] == 0.0 && (packed[2] - 0.04).abs() < 1e-12);
    }
}
