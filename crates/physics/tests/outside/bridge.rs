//! Bridge formula.

use physics::bridge::{BridgeFormulaIn, bridge_formula};

fn gross(axles_n: u32, length_ft: f64) -> f64 {
    bridge_formula(&BridgeFormulaIn { axles_n, length_ft }).expect("answers").gross_lb
}

/// Published, read: the official leaflet's worked line for three axles over 9 ft (42750 before rounding: the printed
/// table takes halves down), and its two-tandem passage, 66000 at 36 ft and 67500 at 38 ft (67333: nearest, not floor).
/// Exact: the table prints whole steps.
#[test]
fn points_read_from_the_printed_table() {
    assert_eq!((gross(3, 9.0), gross(4, 36.0), gross(4, 38.0)), (42_500.0, 66_000.0, 67_500.0));
}

/// From memory: 3 over 20, 4 over 35 and 5 over 51 ft are the leaflet's own worked checks.
#[test]
fn points_of_the_leaflet_from_memory() {
    assert_eq!((gross(3, 20.0), gross(4, 35.0), gross(5, 51.0)), (51_000.0, 65_500.0, 80_000.0));
}

/// Computed elsewhere, halves down.
#[test]
fn more_points() {
    let rows = [
        (2, 9.0, 39_000.0),
        (2, 10.0, 40_000.0),
        (3, 10.0, 43_500.0),
        (3, 11.0, 44_000.0),
        (3, 13.0, 45_500.0),
        (3, 14.0, 46_500.0),
        (3, 21.0, 51_500.0),
        (4, 12.0, 50_000.0),
        (4, 22.0, 56_500.0),
        (4, 57.0, 80_000.0),
        (5, 18.0, 59_000.0),
        (5, 50.0, 79_000.0),
    ];
    for (n, length, want) in rows {
        assert_eq!(gross(n, length), want, "{n} axles over {length} ft");
    }
}
