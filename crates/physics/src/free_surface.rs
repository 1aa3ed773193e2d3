//! What part-filled tanks do to the height of the centre of gravity.
//!
//! **Caution.** A half-full tank tips a rig earlier than an empty or a full one; a slosh may double the static shift.

use quantity::real::tan;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};

/// Form of a tank.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TankShape {
    /// A box.
    #[default]
    Box,
    /// A cylinder that lies along the rig.
    CylinderAlong,
}

fn fresh_water() -> f64 {
    facts::weight().water_density
}

fn one_cell() -> u32 {
    1
}

/// Input of [`free_surface`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<FreeSurfaceIn>)]
pub struct FreeSurfaceIn {
    /// Box, or cylinder lying along the rig.
    #[serde(default)]
    pub shape: TankShape,
    /// Inside length along the rig.
    pub length_m: f64,
    /// Inside width across the rig; of a cylinder, its diameter.
    pub breadth_m: f64,
    /// Inside height; of a box, needed with `roll_deg`.
    #[serde(default)]
    pub height_m: Option<f64>,
    /// Depth of the liquid, rig level; needed for a cylinder and with `roll_deg`.
    #[serde(default)]
    pub depth_m: Option<f64>,
    /// Equal cells side by side across the width; 1 is a tank without a baffle. For a box.
    #[serde(default = "one_cell")]
    pub cells_across: u32,
    /// Density of the liquid.
    #[serde(default = "fresh_water")]
    pub density_kg_m3: f64,
    /// Mass of the whole rig, liquid included.
    pub mass_kg: f64,
    /// Angle between liquid and tank: the tilt of a standing rig, or atan(a / g) and roll in a bend. For a box.
    #[serde(default)]
    pub roll_deg: Option<f64>,
}

ranged!(FreeSurfaceIn {
    length_m ["m"] usual::SOME_LENGTH,
    breadth_m ["m"] usual::SOME_LENGTH,
    height_m ["m"] usual::SOME_LENGTH,
    depth_m ["m"] usual::LENGTH,
    cells_across [""] Range::of(1.0, 1000.0),
    density_kg_m3 ["kg/m3"] Range::over(0.0, 30_000.0),
    mass_kg ["kg"] usual::SOME_MASS,
    roll_deg ["deg"] Range::of(-80.0, 80.0),
});

/// Output of [`free_surface`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FreeSurfaceOut {
    /// Second moment of the liquid's surface about the lines along the rig through its cells' middles.
    pub surface_m4: f64,
    /// Apparent rise of the whole rig's centre of gravity in roll, at small angles.
    pub rise_m: f64,
    /// The same in pitch.
    pub pitch_rise_m: f64,
    /// Sideways move of the liquid's own centre of gravity in the tank at `roll_deg`, towards the low side when
    /// positive (the right for a positive roll); null without `roll_deg`.
    pub shift_m: Option<f64>,
    /// Apparent rise at `roll_deg`, where floor or lid hold the liquid back; null without it.
    pub rise_at_roll_m: Option<f64>,
}

/// Apparent rise of a rig's centre of gravity from liquid that runs to the low side.
///
/// At small angles it depends on the surface and the rig's mass, not on the fill, until the surface meets floor or
/// lid. With `roll_deg`, the shift of a box is exact at any fill. A cylinder that lies along the rig is exact at any
/// angle: it acts as if its liquid sat on its axis. Still liquid; a slosh peaks at up to twice the shift (common
/// practice).
///
/// | input           | unit  | range           | note                                     |
/// |-----------------|-------|-----------------|------------------------------------------|
/// | `length_m`      | m     | over 0 to 1e6   | along the rig, inside                    |
/// | `breadth_m`     | m     | over 0 to 1e6   | across the rig, inside; or diameter      |
/// | `height_m`      | m     | over 0 to 1e6   | inside; box with `roll_deg`              |
/// | `depth_m`       | m     | 0 to 1e6        | not above the height or diameter         |
/// | `cells_across`  | 1     | 1 to 1000       | default 1                                |
/// | `density_kg_m3` | kg/m3 | over 0 to 30000 | default fresh water                      |
/// | `mass_kg`       | kg    | over 0 to 1e9   | of the rig, liquid included              |
/// | `roll_deg`      | deg   | -80 to 80       | optional                                 |
///
/// Gives `surface_m4` (m4), `rise_m` and `pitch_rise_m` (m); with `roll_deg` `shift_m` and `rise_at_roll_m` (m).
///
/// # Errors
/// `OutOfRange` names the field; `Missing` for a height or depth that the case needs.
///
/// # Source
/// `rho l b³ / (12 m)`, for n cells over n² (naval architecture, physics). Water density: `data/weight.toml`.
///
/// # Checked against
/// `tests/outside/free_surface.rs`: a ship-stability textbook's example, and shifts integrated with numpy.
pub fn free_surface(input: &FreeSurfaceIn) -> Result<FreeSurfaceOut, KernelError> {
    input.check()?;
    let i = input;
    let surface = surface_breadth(i)?;
    let cells = f64::from(i.cells_across);
    let surface_m4 = i.length_m * cube(surface) / TWELVE / (cells * cells);
    let along = surface * cube(i.length_m) / TWELVE;
    let (mut shift_m, mut rise_at_roll_m) = (None, None);
    if let (Some(roll), TankShape::Box) = (i.roll_deg, i.shape) {
        let (height, depth) = (needed(i.height_m, "height_m")?, needed(i.depth_m, "depth_m")?);
        let full = Range::of(0.0, height);
        if !full.holds(depth) {
            return Err(KernelError::outside("depth_m", depth, full, "m", "the liquid stays under the lid"));
        }
        let slope = tan(roll.to_radians());
        let shift = box_shift(i.breadth_m / cells, height, depth, slope);
        let liquid = i.density_kg_m3 * i.length_m * i.breadth_m * depth;
        shift_m = Some(finite("shift_m", shift)?);
        let rise = if slope == 0.0 { i.density_kg_m3 * surface_m4 / i.mass_kg } else { liquid * shift / (i.mass_kg * slope) };
        rise_at_roll_m = Some(finite("rise_at_roll_m", rise)?);
    }
    Ok(FreeSurfaceOut {
        surface_m4: finite("surface_m4", surface_m4)?,
        rise_m: finite("rise_m", i.density_kg_m3 * surface_m4 / i.mass_kg)?,
        pitch_rise_m: finite("pitch_rise_m", i.density_kg_m3 * along / i.mass_kg)?,
        shift_m,
        rise_at_roll_m,
    })
}

/// Of the second moment of a rectangle, b h³ / 12.
const TWELVE: f64 = 12.0;

fn cube(x: f64) -> f64 {
    x * x * x
}

fn needed(value: Option<f64>, field: &str) -> Result<f64, KernelError> {
    value.ok_or_else(|| KernelError::Missing { field: field.into(), why: "how far the liquid runs depends on it" })
}

/// Breadth of the liquid's surface: the box's, or the chord of the cylinder; none where a tank is full or empty.
fn surface_breadth(i: &FreeSurfaceIn) -> Result<f64, KernelError> {
    match i.shape {
        TankShape::Box => {
            let none = i.depth_m.is_some_and(|depth| depth <= 0.0 || i.height_m.is_some_and(|height| depth >= height));
            Ok(if none { 0.0 } else { i.breadth_m })
        }
        TankShape::CylinderAlong => {
            if i.cells_across != 1 || i.roll_deg.is_some() {
                return Err(KernelError::Unsolvable {
                    field: "shape".into(),
                    why: "a cylinder takes neither `cells_across` nor `roll_deg`; its rise is the same at every angle",
                });
            }
            let depth = needed(i.depth_m, "depth_m")?;
            let full = Range::of(0.0, i.breadth_m);
            if !full.holds(depth) {
                return Err(KernelError::outside("depth_m", depth, full, "m", "the liquid fills no more than the diameter"));
            }
            Ok(cylinder_chord(i.breadth_m, depth))
        }
    }
}

/// Breadth of the surface of liquid that stands `depth` deep in a lying cylinder of that diameter, m.
#[must_use]
pub fn cylinder_chord(diameter: f64, depth: f64) -> f64 {
    2.0 * (depth * (diameter - depth)).max(0.0).sqrt()
}

/// Apparent rise, m, of the centre of gravity of a rig of mass `mass_kg` at small roll angles, from a box tank with
/// `cells` equal cells across. No range is checked.
#[must_use]
pub fn box_rise(length_m: f64, breadth_m: f64, cells: f64, density: f64, mass_kg: f64) -> f64 {
    density * length_m * cube(breadth_m) / (TWELVE * mass_kg * cells * cells)
}

/// Sideways move, m, of the centre of gravity of the liquid in a box `breadth` wide and `height` high, `depth` deep,
/// when the tangent between surface and tank is `slope`; up to an infinite one, where it stands against the wall. Exact
/// also where the surface meets floor or lid. A depth of 0 or of `height` does not move.
#[must_use]
pub fn box_shift(breadth: f64, height: f64, depth: f64, slope: f64) -> f64 {
    if depth <= 0.0 || depth >= height {
        return 0.0;
    }
    if [breadth, height, depth, slope].iter().any(|x| x.is_nan()) {
        return f64::NAN;
    }
    let steep = slope.abs();
    let shift = if steep <= 1.0 {
        resting(breadth, height, depth, steep).0
    } else {
        // Steeper, the wall it leans on is the floor of the box turned on its side, where the line is not steep.
        breadth / 2.0 - resting(height, breadth, depth / height * breadth, steep.recip()).1
    };
    shift.copysign(slope)
}

/// Centre of the wet part of a box's section under a line that rises by `slope`, 0 to 1: how far from the middle of the
/// breadth towards the deep side, and how high over the floor. Depth over 0 and under the height.
fn resting(breadth: f64, height: f64, depth: f64, slope: f64) -> (f64, f64) {
    let air = height - depth;
    if air < depth {
        // What is dry has the shape of so much liquid, turned by half a turn.
        let (across, up) = shallow(breadth, height, air, slope);
        return (across * air / depth, (height * height / 2.0 - air * (height - up)) / depth);
    }
    shallow(breadth, height, depth, slope)
}

/// The same where it is no deeper than half the height.
fn shallow(breadth: f64, height: f64, depth: f64, slope: f64) -> (f64, f64) {
    let rise = breadth * slope;
    if depth >= rise / 2.0 {
        // A trapezium over the whole floor.
        let across = rise * breadth / (TWELVE * depth);
        return (across, (depth * depth + rise * rise / TWELVE) / (2.0 * depth));
    }
    let foot = (2.0 * breadth * depth / slope).sqrt();
    if foot * slope <= height {
        // A triangle in the corner.
        return (breadth / 2.0 - foot / 3.0, foot * slope / 3.0);
    }
    // A rectangle at the wall, and a triangle from the lid down to the floor.
    let foot = height / slope;
    let wide = breadth * depth / height - foot / 2.0;
    let (area, corner) = (height * wide, height * foot / 2.0);
    let across = area * (breadth - wide) / 2.0 + corner * (breadth / 2.0 - wide - foot / 3.0);
    let up = area * height / 2.0 + corner * height / 3.0;
    (across / (area + corner), up / (area + corner))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tank() -> FreeSurfaceIn {
        FreeSurfaceIn {
            shape: TankShape::Box,
            length_m: 1.2,
            breadth_m: 1.6,
            height_m: Some(0.4),
            depth_m: Some(0.2),
            cells_across: 1,
            density_kg_m3: 998.2,
            mass_kg: 9800.0,
            roll_deg: Some(5.0),
        }
    }

    #[test]
    fn before_floor_and_lid_the_exact_shift_is_the_formula() {
        let out = free_surface(&tank()).expect("answers");
        assert!((out.rise_at_roll_m.expect("asked") - out.rise_m).abs() < 1e-12);
        let back = free_surface(&FreeSurfaceIn { roll_deg: Some(-5.0), ..tank() }).expect("answers");
        assert!((back.shift_m.expect("asked") + out.shift_m.expect("asked")).abs() < 1e-12);
    }

    #[test]
    fn on_a_slope_like_a_wall_it_stands_against_the_wall() {
        // A quarter full: a layer a quarter as wide as the box, its middle at 3/8 of the breadth from the box's.
        for slope in [1e9, 1e17, 1e300, f64::INFINITY] {
            for side in [1.0, -1.0] {
                let shift = box_shift(1.6, 0.4, 0.1, side * slope);
                assert!((shift - side * 1.6 * 3.0 / 8.0).abs() < 1e-9, "{slope} {shift}");
            }
        }
        // Just steep enough for the other form, it is where the first one puts it.
        let (before, after) = (box_shift(1.6, 0.4, 0.1, 1.0), box_shift(1.6, 0.4, 0.1, 1.0 + f64::EPSILON));
        assert!((before - after).abs() < 1e-12, "{before} {after}");
        assert!(box_shift(f64::NAN, 0.4, 0.1, 0.1).is_nan() && box_shift(1.6, 0.4, 0.1, f64::NAN).is_nan());
    }

    /// Every shape the wet part can have, against thin strips summed up: what each strip holds, by halving for the level.
    #[test]
    fn the_centre_is_that_of_thin_strips() {
        let strips = 4000;
        for (breadth, height) in [(1.6, 0.4), (0.3, 1.1)] {
            for share in [0.02, 0.2, 0.5, 0.6, 0.97] {
                for slope in [0.0, 0.01, 0.3, 0.9, 1.0, 1.7, 30.0] {
                    let depth = share * height;
                    let at = |k: i32| ((f64::from(k) + 0.5) / f64::from(strips) - 0.5) * breadth;
                    let deep = |level: f64, k: i32| (level + slope * at(k)).clamp(0.0, height);
                    let (mut low, mut high) = (-50.0, 50.0);
                    for _ in 0..60 {
                        let level = (low + high) / 2.0;
                        let mean = (0..strips).map(|k| deep(level, k)).sum::<f64>() / f64::from(strips);
                        if mean < depth { low = level } else { high = level }
                    }
                    let (area, moment) =
                        (0..strips).fold((0.0, 0.0), |sum, k| (sum.0 + deep(low, k), sum.1 + deep(low, k) * at(k)));
                    let shift = box_shift(breadth, height, depth, slope);
                    // Half a strip, where the surface is steep.
                    assert!((shift - moment / area).abs() < breadth / f64::from(strips), "{share} {slope} {shift}");
                }
            }
        }
    }

    #[test]
    fn a_drop_lies_in_the_corner() {
        // In a corner stands a triangle, 2 d b / t under its hypotenuse; its middle is a third of its foot off the wall.
        let foot = (2.0_f64 * 1e-9 * 1.6 / 0.1).sqrt();
        assert!((box_shift(1.6, 0.4, 1e-9, 0.1) - (0.8 - foot / 3.0)).abs() < 1e-9);
        for depth in [1e-300, f64::MIN_POSITIVE, 5e-324] {
            assert!((box_shift(1.6, 0.4, depth, -0.1) + 0.8).abs() < 1e-9, "{depth}");
        }
    }

    #[test]
    fn full_and_empty_do_not_run() {
        for depth in [0.0, 0.4] {
            let out = free_surface(&FreeSurfaceIn { depth_m: Some(depth), ..tank() }).expect("answers");
            assert_eq!((out.shift_m, out.rise_m), (Some(0.0), 0.0));
        }
    }

    #[test]
    fn a_lying_cylinder_acts_as_if_its_liquid_sat_on_the_axis() {
        // Half full: the centre of a half disc is 4 r / (3 pi) below the axis, its area pi r² / 2.
        let half =
            FreeSurfaceIn { shape: TankShape::CylinderAlong, breadth_m: 0.8, depth_m: Some(0.4), roll_deg: None, ..tank() };
        let area = std::f64::consts::PI * 0.4 * 0.4 / 2.0;
        let below = 4.0 * 0.4 / (3.0 * std::f64::consts::PI);
        let wanted = 998.2 * 1.2 * area * below / 9800.0;
        assert!((free_surface(&half).expect("answers").rise_m - wanted).abs() < 1e-12);
    }

    #[test]
    fn what_is_needed_is_asked_for() {
        let why = free_surface(&FreeSurfaceIn { height_m: None, ..tank() }).expect_err("no height");
        assert!(matches!(why, KernelError::Missing { field, .. } if field == "height_m"));
        assert!(free_surface(&FreeSurfaceIn { depth_m: Some(0.41), ..tank() }).is_err());
    }
}
