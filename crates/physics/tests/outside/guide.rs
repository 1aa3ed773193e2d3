//! Guides with play.

use physics::guide::{GapImpactIn, gap_impact, off_centre, shims};

/// Computed elsewhere with numpy: 2500 kg at 0.5 g on 40 MN/m deflects 0.31 mm; gaps of 0.5, 1, 3 and 6 mm; and on rubber.
#[test]
fn a_gap_is_an_impact() {
    let ask = |stiffness_n_m: f64, gap_mm: f64| {
        gap_impact(&GapImpactIn { mass_kg: 2500.0, acceleration_g: 0.5, stiffness_n_m, gap_m: gap_mm / 1e3 }).expect("answers")
    };
    for (gap, factor) in [(0.5, 3.06), (1.0, 3.74), (3.0, 5.54), (6.0, 7.34)] {
        let out = ask(40e6, gap);
        assert_close!(out.factor, factor, 2e-3, format!("{gap} mm"));
        assert_close!(out.force_n, out.factor * 2500.0 * 0.5 * 9.80665, 1e-12, "force");
    }
    assert_close!(ask(40e6, 1.0).deflection_m, 0.31e-3, 0.02, "deflection");
    assert_close!(ask(4e6, 3.0).factor, 2.72, 2e-3, "rubber");
}

/// Physics: what the spring takes up is what the force did on its way, at the largest deflection.
#[test]
fn energy_is_kept() {
    let (k, gap) = (2e6, 0.004);
    let out = gap_impact(&GapImpactIn { mass_kg: 1800.0, acceleration_g: 0.7, stiffness_n_m: k, gap_m: gap }).expect("answers");
    let most = out.force_n / k;
    assert_close!(k * most * most / 2.0, out.deflection_m * k * (gap + most), 1e-9, "work");
}

/// Computed elsewhere: gaps 3 and 9 mm, running gap 1.5 mm.
#[test]
fn where_the_body_sits() {
    assert_close!(off_centre(0.003, 0.009), 0.003, 1e-12, "3 mm to the right");
    assert_close!(shims(0.003, 0.009, 0.0015), 0.0045, 1e-12, "shims each side");
}
