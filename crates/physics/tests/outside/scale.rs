//! Scale tolerance.

use crate::F64;
use physics::scale::{ScaleToleranceIn, scale_tolerance};

/// Published, read: OIML R 76-1 table 6, class III, for a division of 20 kg: (reading kg, divisions, verification kg, in
/// service kg) on both sides of its steps. Exact: the table is whole halves.
#[test]
fn a_weighbridge_of_20_kg() {
    let rows = [(9800.0, 490.0, 10.0, 20.0), (10_020.0, 501.0, 20.0, 40.0), (40_020.0, 2001.0, 30.0, 60.0)];
    for (reading_kg, divisions, verification, in_service) in rows {
        let out = scale_tolerance(&ScaleToleranceIn { reading_kg, division_kg: 20.0 }).expect("answers");
        assert_eq!((out.divisions, out.verification_kg, out.in_service_kg), (divisions, verification, in_service));
    }
}

/// Computed elsewhere: 20 kg over the root of 3.
#[test]
fn the_spread_of_a_rectangle() {
    let out = scale_tolerance(&ScaleToleranceIn { reading_kg: 9800.0, division_kg: 20.0 }).expect("answers");
    assert_close!(out.sd_kg, 11.547005383792516, F64, "sd");
}
