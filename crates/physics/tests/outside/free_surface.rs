//! Part-filled tanks.

use crate::F64;
use physics::free_surface::{FreeSurfaceIn, TankShape, box_shift, free_surface};

fn tank(length_m: f64, breadth_m: f64, density_kg_m3: f64, mass_kg: f64) -> FreeSurfaceIn {
    FreeSurfaceIn {
        shape: TankShape::Box,
        length_m,
        breadth_m,
        height_m: None,
        depth_m: None,
        cells_across: 1,
        density_kg_m3,
        mass_kg,
        roll_deg: None,
    }
}

/// Published, inputs read: a textbook on ship stability, pages 193 to 195. 8153.75 t, KM 8 m, KG 7.5 m; a double-bottom
/// tank 15 x 10 x 2 m of salt water (1.025) is pumped half out. The displacement comes to exactly 8000 t, so the
/// inputs are read right; the printed answer was not seen, and GM 0.22453125 m was computed by hand. Exact in these
/// numbers.
#[test]
fn a_double_bottom_tank_is_pumped_half_out() {
    let out_t: f64 = 15.0 * 10.0 * 1.0 * 1.025;
    let left = 8153.75 - out_t;
    assert_close!(left, 8000.0, F64, "displacement");
    // The upper half goes out, so its centre is 1.5 m up.
    let solid = (8153.75 * 7.5 - out_t * 1.5) / left;
    let rise = free_surface(&tank(15.0, 10.0, 1025.0, left * 1000.0)).expect("answers").rise_m;
    assert_close!(rise, 0.16015625, F64, "free surface");
    assert_close!(8.0 - solid - rise, 0.22453125, F64, "GM");
}

/// Published, read in the same book: divided into n equal cells, the effect is over n².
#[test]
fn cells_divide_by_their_square() {
    let whole = free_surface(&tank(15.0, 10.0, 1025.0, 8e6)).expect("answers").rise_m;
    for cells in [2_u32, 3, 5] {
        let cut = FreeSurfaceIn { cells_across: cells, ..tank(15.0, 10.0, 1025.0, 8e6) };
        let n = f64::from(cells);
        assert_close!(free_surface(&cut).expect("answers").rise_m, whole / (n * n), F64, "cells");
    }
}

/// Computed elsewhere: a water tank of 1.2 x 1.6 m in a rig of 9800 kg.
#[test]
fn a_camper_tank() {
    let out = free_surface(&tank(1.2, 1.6, 998.2, 9800.0)).expect("answers");
    assert_close!(out.surface_m4, 0.4096, F64, "surface");
    assert_close!(out.rise_m, 0.04172068571428573, F64, "rise");
}

/// Computed elsewhere: depth integrated over four million strips with numpy. (tangent, depth, shift) for a box 1.6 m wide and
/// 0.4 m high; the first stays clear of floor and lid, the others meet one or both. Tolerance 1e-9: the strips err by
/// their width squared, 1e-13, and the level was bisected to rounding.
#[test]
fn shifts_past_floor_and_lid() {
    let rows = [
        (0.1, 0.2, 0.10666666666666667),
        (0.25, 0.2, 0.26666666666666666),
        (0.3, 0.2, 0.3074074074074081),
        (0.4, 0.2, 0.34791666666665355),
        (0.5, 0.2, 0.36666666666665626),
        (0.3, 0.1, 0.45573481367044233),
        (0.2, 0.35, 0.0716939432857169),
        (0.8, 0.05, 0.6509288014999675),
    ];
    for (slope, depth, want) in rows {
        assert_close!(box_shift(1.6, 0.4, depth, slope), want, F64, format!("slope {slope}, depth {depth}"));
    }
}
