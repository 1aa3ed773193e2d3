//! A frame rail with a notch or a hole: what is left of its bending strength.
//!
//! **Caution.** This is the section alone. Notch corners and hole edges raise the stress further (2.5 to 5 times, from
//! memory), and no chassis maker allows cuts or holes in a flange. Never cut with a torch.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};
use crate::section::{Part, Properties, SectionIn, Shape, Sizes, of_parts, parts};

/// Which side of the rail is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// The top.
    Top,
    /// The bottom.
    Bottom,
}

/// Input of [`notched_rail`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<NotchedRailIn>)]
pub struct NotchedRailIn {
    /// Height of the rail.
    pub height_m: f64,
    /// Width of its flanges.
    pub width_m: f64,
    /// Thickness of its web.
    pub web_m: f64,
    /// Thickness of its flanges.
    pub flange_m: f64,
    /// How deep the notch goes, across the full width.
    pub notch_depth_m: f64,
    /// Which side it is cut into.
    pub notch_side: Side,
}

ranged!(NotchedRailIn {
    height_m ["m"] usual::SOME_LENGTH,
    width_m ["m"] usual::SOME_LENGTH,
    web_m ["m"] usual::SOME_LENGTH,
    flange_m ["m"] usual::SOME_LENGTH,
    notch_depth_m ["m"] usual::LENGTH,
});

/// Output of [`notched_rail`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotchedRailOut {
    /// Section modulus of the whole rail.
    pub w_full_m3: f64,
    /// Section modulus at the notch, to its worst fibre, about its own axis.
    pub w_left_m3: f64,
    /// How much higher the stress is at the notch under the same moment.
    pub stress_ratio: f64,
}

/// What a notch across the full width leaves of a channel rail.
///
/// Any depth, from the top or the bottom; the neutral axis moves to what is left. Sharp corners; the rail bends about
/// its lying axis.
///
/// | input           | unit | range         | note                                   |
/// |-----------------|------|---------------|----------------------------------------|
/// | `height_m`      | m    | over 0 to 1e6 |                                        |
/// | `width_m`       | m    | over 0 to 1e6 |                                        |
/// | `web_m`         | m    | over 0 to 1e6 | under the width                        |
/// | `flange_m`      | m    | over 0 to 1e6 | up to half the height                  |
/// | `notch_depth_m` | m    | 0 to 1e6      | under the height                       |
///
/// Gives `w_full_m3` and `w_left_m3` (m3), and `stress_ratio`.
///
/// # Errors
/// `OutOfRange` names the field, also for a wall that does not fit and a notch that leaves nothing.
///
/// # Source
/// Section properties of what is left (physics).
///
/// # Checked against
/// `tests/outside/notch.rs`: a table computed with numpy, and a numeric integration of the cut section.
pub fn notched_rail(input: &NotchedRailIn) -> Result<NotchedRailOut, KernelError> {
    input.check()?;
    let i = input;
    let channel = SectionIn {
        shape: Shape::Channel,
        height_m: i.height_m,
        width_m: Some(i.width_m),
        web_m: Some(i.web_m),
        flange_m: Some(i.flange_m),
        wall_m: None,
    };
    let sizes = channel.sizes()?;
    if i.notch_depth_m >= i.height_m {
        let range = Range { low: 0.0, high: i.height_m, open: false };
        return Err(KernelError::outside("notch_depth_m", i.notch_depth_m, range, "m", "something of the rail must be left"));
    }
    let (full, left) = (of_parts(&parts(Shape::Channel, &sizes)), notched(&sizes, i.notch_depth_m, i.notch_side));
    Ok(NotchedRailOut {
        w_full_m3: finite("w_full_m3", full.w_x)?,
        w_left_m3: finite("w_left_m3", left.w_x)?,
        stress_ratio: finite("stress_ratio", full.w_x / left.w_x)?,
    })
}

/// A channel without the strip that a notch of that depth (m) takes; torsion is left out.
#[must_use]
pub fn notched(sizes: &Sizes, depth: f64, side: Side) -> Properties {
    let (low, high) = match side {
        Side::Top => (0.0, sizes.height - depth),
        Side::Bottom => (depth, sizes.height),
    };
    let within = |part: Part| {
        let (bottom, top) = (part.bottom.max(low), (part.bottom + part.high).min(high));
        (top > bottom).then_some(Part { bottom, high: top - bottom, ..part })
    };
    of_parts(&parts(Shape::Channel, sizes).into_iter().filter_map(within).collect::<Vec<_>>())
}

/// A channel with a hole of that diameter (m) through its web, its middle at `height` (m) over the bottom.
#[must_use]
pub fn web_hole(sizes: &Sizes, diameter: f64, height: f64) -> Properties {
    let hole = Part::hole(0.0, height - diameter / 2.0, sizes.web, diameter);
    with(sizes, hole)
}

/// A channel with a hole of that diameter (m) through one flange.
#[must_use]
pub fn flange_hole(sizes: &Sizes, diameter: f64, side: Side) -> Properties {
    let bottom = match side {
        Side::Top => sizes.height - sizes.flange,
        Side::Bottom => 0.0,
    };
    with(sizes, Part::hole(sizes.width - diameter, bottom, diameter, sizes.flange))
}

fn with(sizes: &Sizes, hole: Part) -> Properties {
    let mut all = parts(Shape::Channel, sizes);
    all.push(hole);
    of_parts(&all)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(notch_depth_m: f64, notch_side: Side) -> Result<NotchedRailOut, KernelError> {
        let rail = NotchedRailIn { height_m: 0.22, width_m: 0.08, web_m: 0.007, flange_m: 0.007, notch_depth_m, notch_side };
        notched_rail(&rail)
    }

    #[test]
    fn a_notch_of_nothing_changes_nothing_and_both_sides_are_alike() {
        assert_eq!(cut(0.0, Side::Top).map(|o| o.stress_ratio), Ok(1.0));
        let (top, bottom) = (cut(0.03, Side::Top).expect("cut"), cut(0.03, Side::Bottom).expect("cut"));
        assert!((top.stress_ratio - bottom.stress_ratio).abs() < 1e-12);
        assert!(cut(0.2199, Side::Top).is_ok());
        assert!(matches!(cut(0.22, Side::Top), Err(KernelError::OutOfRange { field, .. }) if field == "notch_depth_m"));
    }
}
