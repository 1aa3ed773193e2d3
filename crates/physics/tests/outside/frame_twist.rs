//! Ladder frames that twist.

use physics::frame_twist::{FrameTwistIn, axle_roll, corner_gap, frame_twist, roll_along, twist_stiffness, twist_stress};
use physics::section::{Shape, Sizes, torsion};

/// Computed elsewhere with numpy: two rails C 250x80x8, 3.5 m, G 81 GPa: 18.4 degrees for each kN m.
#[test]
fn two_rails_are_soft() {
    let section_torsion_m4 = torsion(Shape::Channel, &Sizes { height: 0.25, width: 0.08, web: 0.008, flange: 0.008 });
    assert_close!(section_torsion_m4, 67_243e-12, 1e-5, "torsion constant");
    let twist =
        frame_twist(&FrameTwistIn { section_torsion_m4, length_m: 3.5, rails: 2, shear_modulus_pa: 81e9, torque_nm: 1000.0 });
    assert_close!(twist.expect("answers").angle_deg, 18.4, 1e-3, "for each kN m");
    // A lifted wheel: 0.3 m on a track of 1.9 m; mounts 0.8 m apart under a body of 4.2 m on a wheelbase of 3.6 m.
    let along = roll_along(axle_roll(0.3, 1.9), 4.2, 3.6);
    assert_close!(along.to_degrees(), 10.5, 5e-3, "over the body");
    assert_close!(corner_gap(0.8, along), 0.146, 3e-3, "gap wanted");
    // The rails twist over the wheelbase, 3.6 m: 474 N m, 28 MPa (computed elsewhere).
    let torque = twist_stiffness(section_torsion_m4, 81e9, 2.0, 3.6) * axle_roll(0.3, 1.9);
    assert_close!(torque, 474.0, 3e-3, "torque of the rails alone");
    assert_close!(twist_stress(torque, 0.008, 2.0, section_torsion_m4), 28e6, 0.01, "stress in the wall");
}

/// Computed elsewhere: one wheel up on a track of 1.9 m.
#[test]
fn a_lifted_wheel_rolls_its_axle() {
    for (lift, degrees) in [(0.1, 3.01), (0.2, 6.01), (0.3, 8.97), (0.4, 11.89)] {
        assert_close!(axle_roll(lift, 1.9).to_degrees(), degrees, 1e-3, format!("{lift} m"));
    }
}
