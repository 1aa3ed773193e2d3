//! Lift trucks, slings, legs.

use crate::F64;
use physics::lifting::{LiftTruckIn, hang_tilt, leg_loads, lift_rating, lift_truck, sling_factor, sling_leg};

fn ask(load_centre_m: f64, axle_to_face_m: Option<f64>) -> (f64, f64) {
    let out = lift_truck(&LiftTruckIn { rated_kg: 2500.0, rated_centre_m: 0.5, load_centre_m, axle_to_face_m }).expect("answers");
    (out.capacity_kg, out.field_rule_kg)
}

/// Published: a training page's field rule, 5000 lb at 24 in is 4285 lb at 28 in (exactly 4285.7). With the axle 16 in
/// from the face the moments give 4545 lb (computed elsewhere).
#[test]
fn the_field_rule_of_a_training_page() {
    assert_close!(lift_rating(5000.0, 24.0, 28.0, 0.0), 4285.0, 2e-4, "field rule");
    assert_close!(lift_rating(5000.0, 24.0, 28.0, 16.0), 4545.0, 2e-4, "by moments");
}

/// Computed elsewhere: 2500 kg at 0.5 m, axle 0.45 m behind the face.
#[test]
fn a_body_far_out_on_the_forks() {
    for (centre, by_moments, field) in [(1.2, 1439.0, 1042.0), (2.0, 969.0, 625.0)] {
        let (capacity, rule) = ask(centre, Some(0.45));
        assert_close!(capacity, by_moments, 5e-4, "by moments");
        assert_close!(rule, field, 5e-4, "field rule");
        assert_eq!(ask(centre, None), (rule, rule));
    }
}

/// Physics: equilibrium of a sling leg, of a hanging load, of four legs.
#[test]
fn slings_and_legs() {
    assert_close!(sling_factor(30.0_f64.to_radians()), 2.0, F64, "at 30 degrees each leg pulls its share twice");
    assert_close!(sling_leg(20e3, 2.0, 90.0_f64.to_radians()), 10e3, F64, "upright");
    assert_close!(hang_tilt(0.1, 1.0).to_degrees(), 5.710_593_137, F64, "atan 0.1");
    assert_eq!(leg_loads(1000.0, 1.0, 4.0, 1.0, 2.0), [375.0, 375.0, 125.0, 125.0]);
}
