//! Approach, departure, breakover.

use crate::F64;
use physics::ground::{BreakoverAngleIn, TangentAngleIn, breakover_angle, tangent_angle};

/// Computed elsewhere: (distance m, height m, angle in degrees), wheel radius 0.52 m; the last number is the simple
/// form atan(height / distance), which must lie below.
#[test]
fn low_points_before_and_behind_a_wheel() {
    let rows = [
        (1.2, 0.45, 22.294074800986298, 20.556),
        (0.9, 0.60, 40.214867989541624, 33.690),
        (2.4, 0.70, 16.766867151391196, 16.260),
    ];
    for (distance_m, height_m, want, simple) in rows {
        let out = tangent_angle(&TangentAngleIn { distance_m, height_m, wheel_radius_m: 0.52 }).expect("answers");
        assert_close!(out.angle_deg, want, F64, "tangent");
        assert!(out.angle_deg > simple);
    }
}

/// Computed elsewhere: wheelbase 4.2 m, 0.45 m high in its middle.
#[test]
fn a_crest() {
    let input = BreakoverAngleIn { wheelbase_m: 4.2, height_m: 0.45, wheel_radius_m: 0.52, point_x_m: None };
    let out = breakover_angle(&input).expect("answers");
    assert_close!(out.angle_deg, 24.83876694675536, F64, "breakover");
}
