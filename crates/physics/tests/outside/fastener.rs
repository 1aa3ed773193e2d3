//! Bolts.

use crate::F64;
use physics::fastener::{
    BoltIn, InPlate, Lubrication, ShearPlane, TorqueIn, aisc, bearing, bolt, hole, least_spacing, preload, reusable_preload,
    slip, tightening_torque, together, torque,
};
use physics::mount_facts::table;
use physics::thread::{Thread, grade};

fn of(size: &str, class: &str, shear_plane: ShearPlane) -> (f64, f64, f64) {
    let out = bolt(&BoltIn { size: size.into(), class: class.into(), shear_plane, partial_factor: 1.25 }).expect("answers");
    (out.stress_area_mm2, out.tension_kn, out.shear_kn)
}

/// Published: an open catalogue's table for 8.8 (tension, shear with thread in the plane, kN), printed to 0.1 kN; it uses
/// stress areas rounded to whole mm2 (M16: 157 for 156.67), hence 0.25 %.
#[test]
fn class_8_8_from_m12_to_m30() {
    for (size, tension, shear) in [
        ("M12", 48.6, 32.4),
        ("M16", 90.4, 60.3),
        ("M20", 141.1, 94.1),
        ("M24", 203.3, 135.6),
        ("M27", 264.4, 176.2),
        ("M30", 323.1, 215.4),
    ] {
        let (_, t, v) = of(size, "8.8", ShearPlane::Thread);
        assert_close!(t, tension, 2.5e-3, size);
        assert_close!(v, shear, 2.5e-3, size);
    }
}

/// Published: M20 8.8 with thread in the plane, 94 080 N on a public steel-design page (stress area 245 mm2).
#[test]
fn m20_on_a_design_page() {
    assert_close!(of("M20", "8.8", ShearPlane::Thread).2, 94.080, 1e-3, "94 080 N");
}

/// Published with an error: an open catalogue prints 40.5 kN for M12 10.9 and 28.3 kN for M12 A2-70 in the thread. Both
/// use a shear factor of 0.6; the rule says 0.5, so ours are 33.7 and 23.6 (computed elsewhere).
#[test]
fn a_printed_table_is_on_the_unsafe_side() {
    assert_close!(of("M12", "10.9", ShearPlane::Thread).2, 33.7, 1e-3, "10.9");
    assert_close!(of("M12", "A2-70", ShearPlane::Thread).2, 23.6, 1e-3, "A2-70");
    assert_close!(of("M12", "10.9", ShearPlane::Thread).2 * 0.6 / 0.5, 40.5, 2e-3, "what the catalogue did");
}

/// Computed elsewhere with numpy.
#[test]
fn other_classes_and_the_shank() {
    assert_close!(of("M16", "8.8", ShearPlane::Shank).2, 77.2, 1e-3, "shank");
    assert_close!(of("M8", "8.8", ShearPlane::Thread).1, 21.1, 2e-3, "M8");
    assert_close!(of("M24", "10.9", ShearPlane::Thread).1, 254.2, 2e-3, "M24 10.9");
    assert_close!(of("M10", "4.6", ShearPlane::Thread).2, 11.1, 4e-3, "M10 4.6");
    let (_, t, v) = of("M12", "8.8", ShearPlane::Thread);
    assert_close!(together(15.0, v, 20.0, t), 0.758, 1e-3, "15 kN shear, 20 kN tension");
    assert_close!(together(1.890, v, 1.660, t), 0.083, 5e-3, "windward rear bolt");
    assert_eq!(together(0.0, v, 2.0 * t, t), 2.0);
}

/// Published: stress areas in an open structural library (metric; M10 58.0, M16 157, M30 561 mm2) and from memory those
/// of ASME B1.1 (1/2-13 0.1419 in2, 3/8-24 0.0878 in2). Their figures are rounded: 0.4 %.
#[test]
fn stress_areas() {
    for (size, mm2) in [("M6", 20.1), ("M8", 36.6), ("M10", 58.0), ("M12", 84.3), ("M14", 115.0), ("M16", 157.0), ("M18", 192.0)]
        .into_iter()
        .chain([("M20", 245.0), ("M22", 303.0), ("M24", 353.0), ("M27", 459.0), ("M30", 561.0)])
        .chain([("1/2-13", 0.1419 * 645.16), ("3/8-24", 0.0878 * 645.16), ("5/8-11", 0.226 * 645.16), ("1-8", 0.606 * 645.16)])
    {
        let area = Thread::parse(size).expect("is read").stress_area() * 1e6;
        assert_close!(area, mm2, 4e-3, size);
    }
    let fine = Thread::parse("M12x1.25").expect("is read").stress_area() * 1e6;
    assert_close!(fine, 92.1, 2e-3, "M12x1.25, ISO 898-1 from memory");
}

/// Computed elsewhere: M12 in 8 mm S275, end 30 and edge 25 mm.
#[test]
fn bearing_in_a_plate() {
    let hole = hole(0.012).expect("has one");
    let at =
        InPlate { diameter: 0.012, hole, thickness: 0.008, end: 0.03, edge: 0.025, pitch: f64::INFINITY, gauge: f64::INFINITY };
    assert_close!(bearing(&at, 800e6, 430e6, 1.25), 63.5e3, 1e-3, "bearing");
    let (end, pitch, gauge) = least_spacing(hole);
    assert_close!(end + pitch + gauge, 0.013 * 5.8, F64, "spacing of table 3.3");
}

/// Computed elsewhere. The preload of M12 8.8 with the proof stress of 580 MPa up to M16 is 36.7 kN; with 600 MPa, which
/// holds above M16, it would be 37.9 kN.
#[test]
fn tightening() {
    for (k, want) in [(0.12, 47.5), (0.16, 63.4), (0.20, 79.2), (0.30, 118.8)] {
        assert_close!(tightening_torque(k, 33e3, 0.012), want, 1e-3, "M12 at 33 kN");
    }
    let ask = |size: &str, class: &str| {
        torque(&TorqueIn {
            size: size.into(),
            class: Some(class.into()),
            preload_n: None,
            lubrication: Lubrication::Dry,
            nut_factor: None,
        })
        .expect("answers")
    };
    let m12 = ask("M12", "8.8");
    assert_close!(m12.preload_n, 0.75 * 580e6 * 84.27e-6, 1e-4, "M12 8.8");
    assert_close!(reusable_preload(600e6, 84.27e-6), 37.9e3, 1e-3, "with 600 MPa");
    let sae = ask("1/2-13", "SAE 5");
    assert_close!(sae.preload_n, 9046.0 * 4.448_221_6, 1e-3, "9046 lbf; grades are rounded to MPa");
    assert_close!(sae.torque_nm, 75.4 * 1.355_818, 1e-3, "75.4 lb ft");
    assert_close!(preload(800e6, 84.27e-6), 42.9e3, 1e-3, "M12 8.8, EN 1993-1-8");
    assert_close!(slip(1.0, 0.2, 42.9e3, 10e3, 1.25), 0.2 * (42.9e3 - 8e3) / 1.25, F64, "slip beside tension, by hand");
}

/// Published: 3/4 in A325 with thread in the plane, 17.9 kip on a public steel-design page; the tension beside it, 29.8
/// kip, is computed elsewhere from nominal stresses that are from memory.
#[test]
fn aisc_three_quarter_inch_a325() {
    let thread = Thread::parse("3/4-10").expect("is read");
    let kip = 4448.2216;
    let nominal = table("bolt/aisc-nominal").expect("is there");
    let of = |column| aisc(nominal.number("class", "A325", column).expect("listed"), thread.shank_area()) / kip;
    assert_close!(of("shear_thread"), 17.9, 2e-3, "17.9 kip");
    assert_close!(of("tension"), 29.8, 2e-3, "29.8 kip");
    assert_eq!(grade("ASTM A325", thread.diameter).map(|g| g.like), Ok(Some("8.8")));
}
