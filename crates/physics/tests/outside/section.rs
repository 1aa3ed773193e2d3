//! Cross sections and the beams made of them.

use crate::F64;
use physics::beam::{angle_leg_stress, cantilever_end, simple_middle, two_overhangs};
use physics::profile::profile;
use physics::section::{SectionIn, Shape, Sizes, properties, section};

fn channel(h: f64, b: f64, tw: f64, tf: f64) -> SectionIn {
    SectionIn { shape: Shape::Channel, height_m: h, width_m: Some(b), web_m: Some(tw), flange_m: Some(tf), wall_m: None }
}

/// Computed elsewhere with numpy, printed to four figures and more; a typical pressed rail.
#[test]
fn rail_c_250x80x8() {
    let c = section(&channel(0.25, 0.08, 0.008, 0.008)).expect("answers");
    assert_close!(c.area_m2, 3152e-6, F64, "area");
    assert_close!(c.i_strong_m4, 2728.9e-8, 2e-5, "second moment");
    assert_close!(c.w_strong_m3, 218.31e-6, 3e-5, "modulus");
    assert_close!(c.torsion_m4, 6.7243e-8, 1e-5, "torsion: 67 243 mm4");
    let metre_kg = c.area_m2 * 7850.0;
    assert_close!(metre_kg, 24.7, 3e-3, "mass of a metre of steel");
}

/// Computed elsewhere with numpy: other rails of the trade (h, b, t in mm; cm2, cm4, cm4).
#[test]
fn other_rails() {
    for (name, area, i, torsion) in [
        ("C 220x80x7", 25.62, 1780.7, 4.185),
        ("C 220x70x7", 24.22, 1621.9, 3.956),
        ("C 200x70x6", 19.68, 1122.8, 2.362),
        ("C 180x65x6", 17.88, 827.7, 2.146),
    ] {
        let p = profile(name).expect("is read").properties;
        assert_close!(p.area, area * 1e-4, 5e-4, name);
        assert_close!(p.i_x, i * 1e-8, 5e-5, name);
        assert_close!(p.torsion, torsion * 1e-8, 3e-4, name);
    }
}

/// Published: UPN tables in an open finite-element code, EN 10056-1:2017 angles in an open library, C3x4.1 on a public
/// page (all second hand). Sharp corners leave fillets and taper out, hence the bands; outside them a table is wrong.
#[test]
fn sharp_corners_against_tables_of_rolled_sections() {
    for (name, shape, h, b, tw, tf, area, i, w) in [
        ("UPN 100", Shape::Channel, 100.0, 50.0, 6.0, 8.5, 13.5, 206.0, 41.2),
        ("UPN 160", Shape::Channel, 160.0, 65.0, 7.5, 10.5, 24.0, 925.0, 116.0),
        ("UPN 200", Shape::Channel, 200.0, 75.0, 8.5, 11.5, 32.2, 1910.0, 191.0),
        ("L 50x50x5", Shape::Angle, 50.0, 50.0, 5.0, 5.0, 4.80, 11.0, 3.05),
        ("L 80x80x8", Shape::Angle, 80.0, 80.0, 8.0, 8.0, 12.3, 72.2, 12.6),
        ("L 100x100x10", Shape::Angle, 100.0, 100.0, 10.0, 10.0, 19.2, 177.0, 24.6),
    ] {
        let p = properties(shape, &Sizes { height: h / 1e3, width: b / 1e3, web: tw / 1e3, flange: tf / 1e3 });
        assert_close!(p.area, area * 1e-4, 0.02, name);
        assert_close!(p.i_x, i * 1e-8, 0.03, name);
        // The toes are round too, which draws the far fibre in.
        assert_close!(p.w_x, w * 1e-6, 0.04, name);
        let table = profile(name).expect("listed").properties;
        assert_close!(table.i_x, i * 1e-8, F64, name);
        assert_close!(table.w_x, w * 1e-6, F64, name);
        assert!(p.torsion < table.torsion && p.torsion > 0.83 * table.torsion, "{name}: fillets add to torsion");
    }
    let american = properties(Shape::Channel, &Sizes { height: 0.0762, width: 0.0358, web: 0.00432, flange: 0.00693 });
    assert_close!(american.i_x, profile("C3x4.1").expect("listed").properties.i_x, 0.012, "C3x4.1");
}

/// Computed elsewhere with numpy: UPN 100 with sharp corners.
#[test]
fn upn_100_sharp() {
    let p = section(&channel(0.1, 0.05, 0.006, 0.0085)).expect("answers");
    assert_close!(p.area_m2, 13.48e-4, 1e-4, "area");
    assert_close!(p.i_strong_m4, 207.0e-8, 1e-4, "second moment");
    assert_close!(p.w_strong_m3, 41.4e-6, 1e-3, "modulus");
}

/// Physics: a round tube and a square one from their definitions, by hand.
#[test]
fn tubes() {
    let round =
        SectionIn { shape: Shape::RoundTube, height_m: 0.0483, width_m: None, web_m: None, flange_m: None, wall_m: Some(0.0032) };
    let r = section(&round).expect("answers");
    let (o, i) = (0.0483_f64, 0.0419_f64);
    assert_close!(r.i_strong_m4, std::f64::consts::PI / 64.0 * (o * o * o * o - i * i * i * i), F64, "round");
    let square =
        SectionIn { shape: Shape::Tube, height_m: 0.06, width_m: Some(0.04), web_m: None, flange_m: None, wall_m: Some(0.003) };
    let s = section(&square).expect("answers");
    assert_close!(s.area_m2, (60.0 * 40.0 - 54.0 * 34.0) * 1e-6, F64, "tube");
    assert_close!(s.i_strong_m4, (40.0 * 216_000.0 - 34.0 * 157_464.0) / 12.0 * 1e-12, F64, "tube");
    assert_close!(s.torsion_m4, 4.0 * 57.0 * 37.0 * 57.0 * 37.0 * 3.0 / (2.0 * (57.0 + 37.0)) * 1e-12, F64, "Bredt");
}

/// Computed elsewhere: UPN 100 outriggers 0.6 m out over rails 0.84 m apart, 5 kN at each tip; E 210 GPa.
#[test]
fn outriggers() {
    let p = profile("UPN 100").expect("listed").properties;
    let stiffness = 210e9 * p.i_x;
    let whole = two_overhangs(5e3, 0.6, 0.84, stiffness);
    assert_close!(whole.moment / p.w_x, 72.8e6, 1e-3, "stress");
    assert_close!(whole.deflection, 2.58e-3, 2e-3, "tip, with the span");
    assert_close!(cantilever_end(5e3, 0.6, stiffness).deflection, 0.83e-3, 5e-3, "tip, root fixed");
    assert_close!(angle_leg_stress(6e3, 0.04, 0.1, 0.008), 225e6, F64, "angle L 80x8, 100 mm long, 6 kN at 40 mm");
    // Physics: half of a centre-loaded beam is a cantilever with half the load.
    let (simple, half) = (simple_middle(5e3, 2.0, stiffness), cantilever_end(2.5e3, 1.0, stiffness));
    assert_close!(simple.deflection, half.deflection, F64, "symmetry");
    assert_close!(simple.moment, half.moment, F64, "symmetry");
}
