//! How a ladder frame twists, and what a lifted wheel asks of the mounts.
//!
//! Rails alone: cross members make a real frame stiffer, 5 to 20 times (common practice). Measure it where it matters.

use quantity::real::atan;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::mount_facts as facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};

fn two_rails() -> u32 {
    2
}

fn of_steel() -> f64 {
    facts::body().shear_modulus
}

/// Input of [`frame_twist`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<FrameTwistIn>)]
pub struct FrameTwistIn {
    /// St Venant torsion constant of one rail.
    pub section_torsion_m4: f64,
    /// Length that twists.
    pub length_m: f64,
    /// How many rails share the torque.
    #[serde(default = "two_rails")]
    pub rails: u32,
    /// Shear modulus; default steel.
    #[serde(default = "of_steel")]
    pub shear_modulus_pa: f64,
    /// Torque over all rails.
    pub torque_nm: f64,
}

ranged!(FrameTwistIn {
    section_torsion_m4 ["m4"] Range::over(0.0, 1e3),
    length_m ["m"] usual::SOME_LENGTH,
    rails [""] Range::of(1.0, 10.0),
    shear_modulus_pa ["Pa"] Range::of(1e6, 1e12),
    torque_nm ["N m"] Range::of(-1e9, 1e9),
});

/// Output of [`frame_twist`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FrameTwistOut {
    /// Turn of one end against the other, signed as the torque.
    pub angle_deg: f64,
}

/// Twist of the rails alone under a torque.
///
/// | input                | unit | range         | note                               |
/// |----------------------|------|---------------|------------------------------------|
/// | `section_torsion_m4` | m4   | over 0 to 1000 | one rail                           |
/// | `length_m`           | m    | over 0 to 1e6 |                                    |
/// | `rails`              | 1    | 1 to 10       | default 2                          |
/// | `shear_modulus_pa`   | Pa   | 1e6 to 1e12   | default 81e9, steel                |
/// | `torque_nm`          | N m  | -1e9 to 1e9   | over all rails                     |
///
/// Gives `angle_deg` (deg). Elastic and free to warp; past a few tens of degrees no rail is.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// `T L / (n G It)` (St Venant, physics). Shear modulus: EN 1993-1-1, `data/mount.toml`.
///
/// # Checked against
/// `tests/outside/frame_twist.rs`: own figures computed with numpy.
pub fn frame_twist(input: &FrameTwistIn) -> Result<FrameTwistOut, KernelError> {
    input.check()?;
    let stiffness = twist_stiffness(input.section_torsion_m4, input.shear_modulus_pa, f64::from(input.rails), input.length_m);
    Ok(FrameTwistOut { angle_deg: finite("angle_deg", (input.torque_nm / stiffness).to_degrees())? })
}

/// Torque for each radian, N m, of `rails` rails of torsion constant `torsion` (m4) over a length (m).
#[must_use]
pub fn twist_stiffness(torsion: f64, shear_modulus: f64, rails: f64, length: f64) -> f64 {
    rails * shear_modulus * torsion / length
}

/// Largest shear stress, Pa, in a wall of that thickness (m) of an open rail under a torque (N m) over all rails.
#[must_use]
pub fn twist_stress(torque: f64, thickness: f64, rails: f64, torsion: f64) -> f64 {
    torque * thickness / (rails * torsion)
}

/// Roll of an axle, rad, with one wheel lifted (m) on a track (m).
#[must_use]
pub fn axle_roll(lift: f64, track: f64) -> f64 {
    atan(lift / track)
}

/// Share of a roll between the axles, rad, that a body of that length (m) sees along itself.
#[must_use]
pub fn roll_along(roll: f64, length: f64, wheelbase: f64) -> f64 {
    roll * length / wheelbase
}

/// How far one mount of four wants to part from the frame, m: mounts `width` (m) apart across a twist (rad).
#[must_use]
pub fn corner_gap(width: f64, twist: f64) -> f64 {
    width * twist
}

/// How far points (x, y, m) of a frame part from a stiff body for each radian of twist a metre, m2: four corners give
/// length times width, three points or a row along the middle nothing. Times the twist it is the gap at a corner, m.
///
/// Of many points the outermost count.
#[must_use]
pub fn warp(points: &[[f64; 2]]) -> f64 {
    let count = points.len().max(1) as f64;
    let mean = |axis: usize| points.iter().filter_map(|point| point.get(axis)).sum::<f64>() / count;
    let (mx, my) = (mean(0), mean(1));
    let mut about: Vec<[f64; 2]> = points.iter().map(|[x, y]| [x - mx, y - my]).collect();
    about.sort_by(|[ax, ay], [bx, by]| (bx * bx + by * by).total_cmp(&(ax * ax + ay * ay)));
    about.truncate(OUTERMOST);
    let mut worst = 0.0_f64;
    for (first, a) in about.iter().enumerate() {
        for (second, b) in about.iter().enumerate().skip(first + 1) {
            for (third, c) in about.iter().enumerate().skip(second + 1) {
                for d in about.iter().skip(third + 1) {
                    worst = worst.max(off_plane([a, b, c, d]));
                }
            }
        }
    }
    worst
}

/// Points beyond this many, nearest to the middle, are left out. A choice of this project.
const OUTERMOST: usize = 16;
/// Points that a plane does not pass through of itself.
const FOUR: f64 = 4.0;

/// Four times the distance that four points of the surface z = x y keep from the plane nearest to all of them: of a
/// rectangle how far one corner stands off the plane of the other three.
fn off_plane(points: [&[f64; 2]; 4]) -> f64 {
    let [a, b, c, d] = points;
    let area = |[ax, ay]: &[f64; 2], [bx, by]: &[f64; 2], [cx, cy]: &[f64; 2]| (bx - ax) * (cy - ay) - (cx - ax) * (by - ay);
    // What a plane adds to four points weighted so is nothing.
    let weights = [area(b, c, d), -area(a, c, d), area(a, b, d), -area(a, b, c)];
    let sum: f64 = weights.iter().map(|weight| weight.abs()).sum();
    if sum == 0.0 {
        return 0.0;
    }
    let off: f64 = weights.iter().zip(points).map(|(weight, [x, y])| weight * x * y).sum();
    FOUR * off.abs() / sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_part_and_three_points_do_not() {
        let corners = [[0.4, -0.4], [0.4, 0.4], [4.6, -0.4], [4.6, 0.4]];
        assert!((warp(&corners) - 4.2 * 0.8).abs() < 1e-12);
        let six = [[0.4, -0.4], [0.4, 0.4], [2.5, -0.4], [2.5, 0.4], [4.6, -0.4], [4.6, 0.4]];
        assert!((warp(&six) - 4.2 * 0.8).abs() < 1e-12);
        assert!(warp(&[[0.4, 0.0], [3.6, -0.4], [3.6, 0.4]]) < 1e-12);
        // A second pair close to the first widens nothing.
        let close = [[0.4, -0.4], [0.4, 0.4], [0.9, -0.4], [0.9, 0.4], [4.6, -0.4], [4.6, 0.4]];
        assert!((warp(&close) - 4.2 * 0.8).abs() < 1e-12);
        // A diamond: pivots in the middle of both ends, two at the sides.
        assert!(warp(&[[0.0, 0.0], [2.0, -0.5], [2.0, 0.5], [4.0, 0.0]]) < 1e-12);
        assert_eq!(warp(&[[0.0, 0.0], [2.0, 0.0]]), 0.0);
    }

    #[test]
    fn twice_the_rails_twist_half_as_far() {
        let twist = |rails, torque_nm| {
            frame_twist(&FrameTwistIn { section_torsion_m4: 6.7e-8, length_m: 3.5, rails, shear_modulus_pa: 81e9, torque_nm })
                .map(|o| o.angle_deg)
        };
        assert_eq!(twist(1, 500.0), twist(2, 1000.0));
        assert_eq!(twist(2, -500.0), twist(2, 500.0).map(|a| -a));
    }
}
