//! Outside checks of the physics kernels, one module a field.
//!
//! Each block says what it is worth: *published* (a figure somebody else printed, and where), *computed elsewhere*
//! (our own input, worked out once with Python and numpy 2.4, not with this crate), or *from memory* (a figure that is
//! recalled and was not read). Rigs are invented. "Computed elsewhere" is held to 1e-9: both sides are f64, and the
//! figures are written with 10 digits and more.

// The lint that frees tests of this sees only functions marked #[test], not the helpers they share.
#![allow(clippy::expect_used, clippy::indexing_slicing, clippy::panic)]

/// Compares within a relative tolerance and names the source when it fails.
macro_rules! assert_close {
    ($got:expr, $want:expr, $rel:expr, $source:expr) => {{
        let (got, want, rel): (f64, f64, f64) = ($got, $want, $rel);
        assert!((got - want).abs() <= rel * want.abs(), "{}: got {got}, want {want}, within {rel}", $source);
    }};
}

/// Tolerance of figures computed elsewhere in f64.
const F64: f64 = 1e-9;

mod battery;
mod battery_year;
mod bolt_group;
mod bridge;
mod chemistry;
mod diode;
mod estimate;
mod fastener;
mod frame_twist;
mod free_surface;
mod grade;
mod ground;
mod guide;
mod heat;
mod lashing;
mod ledger;
mod level;
mod lift;
mod lifting;
mod metals;
mod notch;
mod plane;
mod power_tables;
mod properties;
mod reconcile;
mod scale;
mod section;
mod shade;
mod sky;
mod stability;
mod sun;
mod supply;
mod support;
mod support_by_chance;
mod timber;
mod tyre;
mod weld;
mod wind;
mod year;
