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

#[cfg(test)]
mod tests {
    use super::*;

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
