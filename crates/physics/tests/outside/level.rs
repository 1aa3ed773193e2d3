//! Corner heights.

use physics::level::{Corner, LevelIn, LevelOut, level};
use proptest::prelude::*;

fn ask(z_mm: [f64; 4], pitch_deg: f64) -> LevelOut {
    let places = [(0.0, -0.8), (0.0, 0.8), (3.6, -0.8), (3.6, 0.8)];
    let corners = places.iter().zip(z_mm).map(|((x_m, y_m), z)| Corner { x_m: *x_m, y_m: *y_m, z_m: z / 1e3 }).collect();
    level(&LevelIn { corners, pitch_deg, roll_deg: 0.0 }).expect("a plane")
}

/// Computed elsewhere with numpy: 3.6 x 1.6 m, corners 12, 4, 0, 16 mm.
#[test]
fn a_twisted_frame() {
    let out = ask([12.0, 4.0, 0.0, 16.0], 0.0);
    assert!((out.plane.roll_deg + 0.143).abs() < 5e-4 && out.plane.pitch_deg.abs() < 1e-12, "{:?}", out.plane);
    assert_close!(out.twist_m, 0.024, 1e-12, "twist");
    for (got, want) in out.packers_m.iter().zip([4.0, 12.0, 16.0, 0.0]) {
        assert!((got * 1e3 - want).abs() < 1e-9, "{got}");
    }
    for (got, want) in ask([12.0, 4.0, 0.0, 16.0], 0.5).packers_m.iter().zip([35.42, 43.42, 16.0, 0.0]) {
        assert!((got * 1e3 - want).abs() < 5e-3, "nose up: {got}");
    }
}

proptest! {
    /// Packed as it says, the corners lie in the plane wanted, and no packer is negative.
    #[test]
    fn packed_corners_lie_as_wanted(z in prop::array::uniform4(-50.0..50.0f64), pitch_deg in -5.0..5.0f64, roll_deg in -5.0..5.0f64) {
        let places = [(0.0, -0.8), (0.1, 0.7), (3.6, -0.8), (3.5, 0.9)];
        let corners: Vec<Corner> = places.iter().zip(z).map(|((x_m, y_m), z)| Corner { x_m: *x_m, y_m: *y_m, z_m: z / 1e3 }).collect();
        let first = level(&LevelIn { corners: corners.clone(), pitch_deg, roll_deg }).expect("a plane");
        prop_assert!(first.packers_m.iter().all(|t| *t >= 0.0) && first.packers_m.contains(&0.0));
        let packed = corners.iter().zip(&first.packers_m).map(|(c, t)| Corner { z_m: c.z_m + t, ..*c }).collect();
        let second = level(&LevelIn { corners: packed, pitch_deg, roll_deg }).expect("a plane");
        prop_assert!((second.plane.pitch_deg - pitch_deg).abs() < 1e-9 && (second.plane.roll_deg - roll_deg).abs() < 1e-9);
        prop_assert!(second.packers_m.iter().all(|t| t.abs() < 1e-12));
    }
}
