//! The shadow of something on a flat roof, and which bypassed groups of a panel it touches.
//!
//! Axes of the vehicle: x rearward, y to the right, m. Bearings clockwise, rad: the sun's from true north, the heading
//! that of the nose.
//!
//! **Caution.** A share of area is no share of power: a strip across one cell of each group takes all of it.

use std::f64::consts::FRAC_PI_2;

use quantity::real::sin_cos;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::sun::Direction;
use crate::sun_facts as facts;

/// A rectangle parallel to the roof.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Front edge.
    pub x0: f64,
    /// Left edge.
    pub y0: f64,
    /// Rear edge.
    pub x1: f64,
    /// Right edge.
    pub y1: f64,
}

impl Rect {
    /// From its front left and rear right corner.
    #[must_use]
    pub const fn new(x0: f64, y0: f64, x1: f64, y1: f64) -> Self {
        Self { x0, y0, x1, y1 }
    }

    /// Its area, m2.
    #[must_use]
    pub fn area(&self) -> f64 {
        (self.x1 - self.x0) * (self.y1 - self.y0)
    }

    /// One of `count` equal strips side by side across its shorter side, from the front or left.
    #[must_use]
    pub fn strip(&self, index: usize, count: usize) -> Self {
        let (from, to) = (index as f64 / count as f64, (index + 1) as f64 / count as f64);
        let at = |a: f64, b: f64, share: f64| a + (b - a) * share;
        if self.x1 - self.x0 >= self.y1 - self.y0 {
            Self { y0: at(self.y0, self.y1, from), y1: at(self.y0, self.y1, to), ..*self }
        } else {
            Self { x0: at(self.x0, self.x1, from), x1: at(self.x0, self.x1, to), ..*self }
        }
    }

    /// Its halves across the longer side.
    #[must_use]
    pub fn halves(&self) -> [Self; 2] {
        let (x, y) = ((self.x0 + self.x1) / 2.0, (self.y0 + self.y1) / 2.0);
        if self.x1 - self.x0 >= self.y1 - self.y0 {
            [Self { x1: x, ..*self }, Self { x0: x, ..*self }]
        } else {
            [Self { y1: y, ..*self }, Self { y0: y, ..*self }]
        }
    }
}

/// How far, and where to, a point so high (m) above the panels throws its shadow: along x and y, m. `None` with the sun at
/// or below the horizon.
#[must_use]
pub fn reach(height: f64, elevation: f64, sun_bearing: f64, heading: f64) -> Option<(f64, f64)> {
    if elevation <= 0.0 {
        return None;
    }
    thrown(height, &Direction::toward(FRAC_PI_2 - elevation, sun_bearing), sin_cos(heading))
}

/// The same by the sun's direction and sine and cosine of the heading: no angle is worked out.
#[must_use]
pub fn thrown(height: f64, sun: &Direction, (sine, cosine): (f64, f64)) -> Option<(f64, f64)> {
    if sun.up <= 0.0 {
        return None;
    }
    // Toward the sun is forward by the cosine and right by the sine; the shadow lies the other way, and x is rearward.
    let share = height / sun.up;
    Some((share * (sun.north * cosine + sun.east * sine), share * (sun.north * sine - sun.east * cosine)))
}

/// Side of a rectangle that a corner lies on: what is kept of an outline lies on the inner side of each in turn.
fn clipped(outline: &[(f64, f64)], inside: impl Fn(&(f64, f64)) -> f64) -> Vec<(f64, f64)> {
    let mut kept = Vec::with_capacity(outline.len() + 1);
    let Some(mut before) = outline.last().copied() else { return kept };
    let mut depth_before = inside(&before);
    for &corner in outline {
        let depth = inside(&corner);
        if (depth >= 0.0) != (depth_before >= 0.0) {
            let share = depth_before / (depth_before - depth);
            kept.push((before.0 + (corner.0 - before.0) * share, before.1 + (corner.1 - before.1) * share));
        }
        if depth >= 0.0 {
            kept.push(corner);
        }
        (before, depth_before) = (corner, depth);
    }
    kept
}

/// Outline of a box's shadow: its base, and the base moved to where its top throws it.
#[must_use]
pub fn outline(base: &Rect, (dx, dy): (f64, f64)) -> Vec<(f64, f64)> {
    let Rect { x0, y0, x1, y1 } = *base;
    // Two corners lie inside the hull of both: the one of the base farthest along the shadow, and its opposite when moved.
    let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)];
    let mut points: Vec<(f64, f64)> = corners.iter().flat_map(|(x, y)| [(*x, *y), (x + dx, y + dy)]).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let half = |points: &mut dyn Iterator<Item = (f64, f64)>| {
        let mut chain: Vec<(f64, f64)> = Vec::new();
        for p in points {
            while let [.., a, b] = chain.as_slice() {
                if (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut hull = half(&mut points.iter().copied());
    hull.extend(half(&mut points.iter().rev().copied()));
    hull
}

/// Area, m2, of a panel that the shadow of a box covers: `shift` is where the box's top throws its shadow.
#[must_use]
pub fn covered(panel: &Rect, base: &Rect, shift: (f64, f64)) -> f64 {
    let mut left = outline(base, shift);
    left = clipped(&left, |p| p.0 - panel.x0);
    left = clipped(&left, |p| panel.x1 - p.0);
    left = clipped(&left, |p| p.1 - panel.y0);
    left = clipped(&left, |p| panel.y1 - p.1);
    let next = left.iter().cycle().skip(1);
    let twice: f64 = left.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
    (twice / 2.0).abs()
}

/// How the cells of a panel are wired.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wiring {
    /// Bypassed groups, side by side along the panel's longer side.
    pub groups: usize,
    /// Cells in all.
    pub cells: usize,
    /// Whether each group is two parallel halves, one at each end of the panel.
    pub half_cut: bool,
}

/// Share of a panel's beam power that is left when boxes throw shadows on it: a group, or a half of it, that is touched
/// counts as lost, unless less than a tenth of one cell is covered. Pessimistic.
#[must_use]
pub fn groups_left(panel: &Rect, wiring: Wiring, boxes: &[(Rect, (f64, f64))]) -> f64 {
    let slight = facts::panel().touched_cell * panel.area() / wiring.cells.max(1) as f64;
    let seen = |part: &Rect| {
        let most = boxes.iter().map(|(base, shift)| covered(part, base, *shift)).fold(0.0, f64::max);
        if most > slight { 0.0 } else { 1.0 }
    };
    let groups = wiring.groups.max(1);
    let group = |index| {
        let strip = panel.strip(index, groups);
        if wiring.half_cut {
            let [front, rear] = strip.halves();
            (seen(&front) + seen(&rear)) / 2.0
        } else {
            seen(&strip)
        }
    };
    (0..groups).map(group).sum::<f64>() / groups as f64
}

/// Input of [`roof_shadow`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<RoofShadowIn>)]
pub struct RoofShadowIn {
    /// Panel: front, left, rear and right edge; x rearward, y to the right.
    pub panel_m: [f64; 4],
    /// Box that throws the shadow, the same way.
    pub unit_m: [f64; 4],
    /// Height of the box above the panel.
    pub height_m: f64,
    /// Where the nose points, clockwise from north.
    pub heading_deg: f64,
    /// Height of the sun.
    pub sun_elevation_deg: f64,
    /// Where the sun stands, clockwise from north.
    pub sun_azimuth_deg: f64,
}

ranged!(RoofShadowIn {
    panel_m ["m"] Range::of(-1000.0, 1000.0),
    unit_m ["m"] Range::of(-1000.0, 1000.0),
    height_m ["m"] Range::of(0.0, 100.0),
    heading_deg ["deg"] Range::of(-360.0, 360.0),
    sun_elevation_deg ["deg"] Range::over(0.0, 90.0),
    sun_azimuth_deg ["deg"] Range::of(-360.0, 360.0),
});

/// Output of [`roof_shadow`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RoofShadowOut {
    /// Share of the panel's area in shade.
    pub shaded_fraction: f64,
}

/// A rectangle whose edges go the right way round.
fn rect(field: &str, edges: [f64; 4]) -> Result<Rect, KernelError> {
    let [x0, y0, x1, y1] = edges;
    for (index, low, high) in [(2, x0, x1), (3, y0, y1)] {
        let beyond = Range::over(low, f64::INFINITY);
        if !beyond.holds(high) {
            return Err(KernelError::outside(
                &format!("{field}[{index}]"),
                high,
                beyond,
                "m",
                "the edges are front, left, rear, right",
            ));
        }
    }
    Ok(Rect { x0, y0, x1, y1 })
}

/// Shadow of a box on a panel of a flat roof.
///
/// | input               | unit | range         | note                                       |
/// |---------------------|------|---------------|--------------------------------------------|
/// | `panel_m`           | m    | -1000 to 1000 | front, left, rear, right edge              |
/// | `unit_m`            | m    | -1000 to 1000 | the box, the same way                      |
/// | `height_m`          | m    | 0 to 100      | above the panel                            |
/// | `heading_deg`       | deg  | -360 to 360   | of the nose, clockwise from north          |
/// | `sun_elevation_deg` | deg  | over 0 to 90  |                                            |
/// | `sun_azimuth_deg`   | deg  | -360 to 360   | clockwise from north                       |
///
/// Gives `shaded_fraction` of the panel's area.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above, or an edge that lies before its opposite.
///
/// # Source
/// Geometry: hull of the base and of the base moved to where its top throws its shadow, cut to the panel.
///
/// # Checked against
/// `tests/outside/shade.rs`: polygons of an open library.
pub fn roof_shadow(input: &RoofShadowIn) -> Result<RoofShadowOut, KernelError> {
    input.check()?;
    let (panel, unit) = (rect("panel_m", input.panel_m)?, rect("unit_m", input.unit_m)?);
    let bearing = (input.sun_azimuth_deg.to_radians(), input.heading_deg.to_radians());
    let shift = reach(input.height_m, input.sun_elevation_deg.to_radians(), bearing.0, bearing.1).unwrap_or_default();
    Ok(RoofShadowOut { shaded_fraction: finite("shaded_fraction", covered(&panel, &unit, shift) / panel.area())? })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shadow_is_thrown_the_same_way_by_angles_and_by_direction() {
        use quantity::real::tan;
        for (elevation, bearing, heading) in [(0.7, 2.0, 0.3), (0.1, -2.5, 1.9), (1.4, 0.4, -3.0)] {
            let sun = Direction::toward(FRAC_PI_2 - elevation, bearing);
            let (s, c) = sin_cos(bearing - heading);
            let by_angles = (0.4 / tan(elevation) * c, -0.4 / tan(elevation) * s);
            for shift in [reach(0.4, elevation, bearing, heading), thrown(0.4, &sun, sin_cos(heading))] {
                let shift = shift.unwrap();
                assert!(
                    (by_angles.0 - shift.0).abs() < 1e-12 && (by_angles.1 - shift.1).abs() < 1e-12,
                    "{by_angles:?} {shift:?}"
                );
            }
        }
        for elevation in [-0.1, 0.0] {
            assert_eq!(reach(0.4, elevation, 1.0, 0.0), None);
        }
        assert_eq!(thrown(0.4, &Direction::toward(FRAC_PI_2 + 0.1, 1.0), (0.0, 1.0)), None);
    }
}
