//! Height of the centre of gravity by axle lift.

use crate::F64;
use physics::lift::{
    CgHeightAxleLiftIn, CgHeightLiftPlanIn, LiftSpreads, cg_height_axle_lift, cg_height_lift_plan, height_from_lift, lift_errors,
};

/// Computed elsewhere from the form of ISO 10392 (invented readings).
#[test]
fn a_front_axle_lifted_by_700_mm() {
    let input = CgHeightAxleLiftIn {
        mass_kg: 9800.0,
        wheelbase_m: 4.2,
        axle_load_level_kg: 4600.0,
        axle_load_lifted_kg: 4898.0,
        lift_m: 0.70,
        wheel_radius_m: 0.52,
    };
    let out = cg_height_axle_lift(&input).expect("answers");
    assert_close!(out.lift_angle_deg, 9.594068226860461, F64, "angle");
    assert_close!(out.height_m, 1.275567903727294, F64, "height");
    let more = CgHeightAxleLiftIn { axle_load_lifted_kg: 4899.0, ..input };
    let per_kg = cg_height_axle_lift(&more).expect("answers").height_m - out.height_m;
    // A difference of two numbers near 1 keeps 13 digits after the point.
    assert!((per_kg - 0.00253546276418555).abs() < 1e-12, "{per_kg}");
}

/// Computed elsewhere: lift m, sd of the height in mm from a scale of 20 kg a reading, and from 10 mm of rise;
/// wheelbase 4.2 m, 9800 kg, 1 m above the axles. Tolerance: half a millimetre, as printed.
#[test]
fn the_error_budget() {
    let rows =
        [(0.2, 254.0, 50.0), (0.4, 127.0, 25.0), (0.6, 84.0, 17.0), (0.8, 62.0, 13.0), (1.0, 49.0, 11.0), (1.2, 41.0, 9.0)];
    let spread = LiftSpreads { reading_kg: 20.0, lift_m: 0.010, ..LiftSpreads::default() };
    for (lift, from_scale, from_lift) in rows {
        let budget = lift_errors(9800.0, 4.2, lift, 1.0, spread);
        assert!((budget.from_scale_m * 1000.0 - from_scale).abs() < 0.5, "{lift}: {budget:?}");
        assert!((budget.from_lift_m * 1000.0 - from_lift).abs() < 0.5, "{lift}: {budget:?}");
    }
}

/// Two ways: the budget against differences of the formula itself. Tolerance 1e-5: the step is a thousandth of the
/// spread and the formula bends little.
#[test]
fn the_error_budget_is_the_formulas_slope() {
    let (m, l, w0, w1, d, r): (f64, f64, f64, f64, f64, f64) = (9800.0, 4.2, 4600.0, 4898.0, 0.7, 0.52);
    let h = height_from_lift(m, l, w0, w1, d, r);
    let spread = LiftSpreads { reading_kg: 20.0, lift_m: 0.010, mass_kg: 30.0, radius_m: 0.003 };
    let budget = lift_errors(m, l, d, h - r, spread);
    let slope = |high: f64, low: f64, sd: f64, step: f64| (high - low).abs() / (2.0 * step) * sd;
    let e = 1e-3;
    let scale = slope(height_from_lift(m, l, w0, w1 + e, d, r), height_from_lift(m, l, w0, w1 - e, d, r), 20.0, e);
    assert_close!(budget.from_scale_m, scale * 2.0_f64.sqrt(), 1e-5, "scale");
    let s = 1e-5;
    let lift = slope(height_from_lift(m, l, w0, w1, d + s, r), height_from_lift(m, l, w0, w1, d - s, r), 0.010, s);
    assert_close!(budget.from_lift_m, lift, 1e-5, "lift");
    let mass = slope(height_from_lift(m + e, l, w0, w1, d, r), height_from_lift(m - e, l, w0, w1, d, r), 30.0, e);
    assert_close!(budget.from_mass_m, mass, 1e-5, "mass");
    assert_close!(budget.from_radius_m, 0.003, F64, "radius");
}

/// Computed elsewhere: `L sin(atan(L s_dW / (m s_h)))`, 50 mm with 20 kg a reading at 4.2 m and 9800 kg.
#[test]
fn the_lift_for_50_mm() {
    let plan = CgHeightLiftPlanIn {
        mass_kg: 9800.0,
        wheelbase_m: 4.2,
        reading_sd_kg: 20.0,
        wanted_sd_m: 0.050,
        lift_sd_m: 0.0,
        height_above_axle_m: 0.0,
    };
    let out = cg_height_lift_plan(&plan).expect("can be had");
    assert_close!(out.lift_m, 0.9895677895815589, F64, "lift");
    assert_close!(out.from_scale_m, 0.050, 1e-12, "what was asked for");
}
