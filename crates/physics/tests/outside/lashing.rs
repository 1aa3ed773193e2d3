//! Straps.

use crate::F64;
use physics::lashing::{StrapDirectIn, StrapOverIn, aggregate_least, strap_direct, strap_over};

fn over(mass_kg: f64, acceleration_g: f64, friction: f64, angle_deg: f64, safety: f64) -> (f64, f64) {
    let input = StrapOverIn { mass_kg, acceleration_g, vertical_g: 1.0, friction, angle_deg, tension_dan: 400.0, safety };
    strap_over(&input).map(|out| (out.straps_exact, out.straps_n)).expect("answers")
}

/// Computed elsewhere with numpy: STF 400 daN; forward with 1.25, sideways with 1.1.
#[test]
fn straps_over_the_top() {
    for ((exact, whole), want, straps) in [
        (over(1000.0, 0.8, 0.4, 70.0, 1.25), 1.631, 2.0),
        (over(1000.0, 0.5, 0.4, 70.0, 1.1), 0.359, 1.0),
        (over(2500.0, 0.8, 0.3, 90.0, 1.25), 6.385, 7.0),
    ] {
        assert_close!(exact, want, 1e-3, "exact");
        assert_eq!(whole, straps);
    }
    assert_eq!(over(1000.0, 0.4, 0.4, 70.0, 1.25), (0.0, 0.0));
}

/// Computed elsewhere with numpy, daN for each of two straps.
#[test]
fn direct_straps() {
    let ask = |mass_kg, acceleration_g, friction, angle_deg, plan_angle_deg| {
        let input = StrapDirectIn {
            mass_kg,
            acceleration_g,
            vertical_g: 1.0,
            friction,
            angle_deg,
            plan_angle_deg,
            straps_n: 2,
            dynamic_factor: 0.75,
            capacity_dan: 2000.0,
        };
        strap_direct(&input).expect("answers")
    };
    let light = ask(1000.0, 0.8, 0.4, 30.0, 40.0);
    assert_close!(light.force_needed_n, 3010.0, 2e-3, "301 daN");
    assert_close!(light.utilisation, light.force_needed_n / 20_000.0, F64, "of 2000 daN");
    assert_close!(ask(2500.0, 0.8, 0.3, 35.0, 30.0).force_needed_n, 8410.0, 1e-3, "forward, 841 daN");
    assert_close!(ask(2500.0, 0.5, 0.3, 35.0, 60.0).force_needed_n, 6260.0, 1e-3, "sideways, 626 daN");
    assert_eq!(ask(1000.0, 0.2, 0.4, 30.0, 40.0).force_needed_n, 0.0);
}

/// Published: 49 CFR 393.106(d), half the weight; and the accelerations of 393.102 on 2500 kg (kN, computed elsewhere).
#[test]
fn half_the_weight_in_working_load_limits() {
    let weight = aggregate_least(2500.0) * 2.0;
    assert_close!(weight, 2500.0 * 9.80665, F64, "half the weight");
    for (share, kilonewton) in [(0.8, 19.61), (0.5, 12.26), (0.435, 10.66), (0.25, 6.13), (0.2, 4.90)] {
        assert_close!(share * weight / 1e3, kilonewton, 1e-3, format!("{share} g"));
    }
}
