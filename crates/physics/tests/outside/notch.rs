//! Rails with notches and holes.

use physics::notch::{NotchedRailIn, Side, flange_hole, notched, notched_rail, web_hole};
use physics::section::{Shape, Sizes, properties};

const RAIL: Sizes = Sizes { height: 0.25, width: 0.08, web: 0.008, flange: 0.008 };

fn cut(depth: f64, notch_side: Side) -> physics::notch::NotchedRailOut {
    notched_rail(&NotchedRailIn {
        height_m: 0.25,
        width_m: 0.08,
        web_m: 0.008,
        flange_m: 0.008,
        notch_depth_m: depth,
        notch_side,
    })
    .expect("something is left")
}

/// Computed elsewhere with numpy: C 250x80x8 cut from the top; ratios printed to 0.01, and to 0.001 where said so.
#[test]
fn a_rail_cut_deeper_and_deeper() {
    for (depth, ratio, rel) in
        [(4.0, 1.34, 4e-3), (8.0, 2.078, 3e-4), (20.0, 2.28, 3e-3), (40.0, 2.706, 3e-4), (60.0, 3.26, 2e-3)]
    {
        assert_close!(cut(depth / 1e3, Side::Top).stress_ratio, ratio, rel, format!("{depth} mm"));
        assert_close!(cut(depth / 1e3, Side::Bottom).stress_ratio, ratio, rel, format!("{depth} mm from below"));
    }
    assert_close!(cut(0.008, Side::Top).w_left_m3, 105.04e-6, 1e-4, "8 mm");
    assert_close!(cut(0.04, Side::Top).w_left_m3, 80.69e-6, 1e-4, "40 mm");
    assert_close!(cut(0.04, Side::Top).w_full_m3, 218.31e-6, 1e-4, "whole");
}

/// Computed elsewhere with numpy: a 14 mm hole in the top flange moves the axis 4.46 mm away; in the web at
/// mid-height it takes 0.01 % of the second moment. In the web 85 mm above the axis it takes 2.97 % about the old axis and
/// 3.08 % about its own, by hand: (8 x (14³/12 + 14 x 85²) + (112 x 85)² / 3040) mm4.
#[test]
fn holes() {
    let whole = properties(Shape::Channel, &RAIL);
    let top = flange_hole(&RAIL, 0.014, Side::Top);
    assert_close!(whole.centroid_y - top.centroid_y, 4.46e-3, 1e-3, "axis");
    assert_close!(top.i_x, 2558.8e-8, 1e-4, "second moment");
    assert_close!(whole.w_x / top.w_x, 1.1045, 1e-4, "ratio");
    let hand = 8.0 * (14.0 * 14.0 * 14.0 / 12.0 + 14.0 * 85.0 * 85.0) + 112.0 * 85.0 * 112.0 * 85.0 / 3040.0;
    assert_close!(whole.i_x - web_hole(&RAIL, 0.014, 0.125 + 0.085).i_x, hand * 1e-12, 1e-9, "high in the web");
    assert_close!(hand * 1e-12 / whole.i_x, 0.0308, 1e-3, "its share");
    let middle = 1.0 - web_hole(&RAIL, 0.014, 0.125).i_x / whole.i_x;
    assert!((0.5e-4..1.5e-4).contains(&middle), "{middle}");
    let below = flange_hole(&RAIL, 0.014, Side::Bottom);
    assert_close!(below.w_x, top.w_x, 1e-12, "the same below");
}

/// Another method: thin slices of the cut channel, summed. 1e-4 is what slices of 2 micrometres leave.
#[test]
fn what_is_left_agrees_with_thin_slices() {
    let slices = 100_000;
    for depth in [0.0, 0.003, 0.008, 0.05, 0.15, 0.2463] {
        let top = RAIL.height - depth;
        let thick = top / f64::from(slices);
        let each = |i: i32| {
            let y = (f64::from(i) + 0.5) * thick;
            let web = (RAIL.flange..=RAIL.height - RAIL.flange).contains(&y);
            (y, if web { RAIL.web } else { RAIL.width })
        };
        let area: f64 = (0..slices).map(|i| each(i).1 * thick).sum();
        let axis = (0..slices).map(|i| each(i).0 * each(i).1 * thick).sum::<f64>() / area;
        let second: f64 = (0..slices).map(|i| (each(i).0 - axis) * (each(i).0 - axis) * each(i).1 * thick).sum();
        let ours = notched(&RAIL, depth, Side::Top);
        assert_close!(ours.area, area, 1e-4, format!("area at {depth}"));
        assert_close!(ours.centroid_y, axis, 1e-4, format!("axis at {depth}"));
        assert_close!(ours.w_x, second / axis.max(top - axis), 2e-4, format!("modulus at {depth}"));
    }
}
