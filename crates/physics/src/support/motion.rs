//! A motion that nothing holds, as a slide or a turn about an axis.

use nalgebra::{Vector3, Vector6};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Share of a vector's length below which a component is rounding, not motion: mounts are placed to millimetres.
const ROUNDING: f64 = 1e-6;

/// What a free motion is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// Slides along x.
    ForeAndAft,
    /// Slides along y.
    Sideways,
    /// Moves along z.
    UpAndDown,
    /// Turns about an axis along x.
    Roll,
    /// Turns about an axis along y.
    Pitch,
    /// Turns about an axis along z.
    Yaw,
    /// Slides or turns along no one axis, or screws.
    Oblique,
}

/// A motion that no mount resists: a point r of the body moves by `translation + rotation x r`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FreeMotion {
    /// Shift at the origin of the axes: of length 1 for a slide, m per radian for a turn.
    pub translation: [f64; 3],
    /// The turn as a vector of length 1 along its axis, right-handed; zeros for a slide.
    pub rotation: [f64; 3],
    /// The point of the turn's axis that is nearest to the middle of the mounts, m; none for a slide.
    pub axis_point: Option<[f64; 3]>,
    /// How far the body moves along the axis per radian, m; 0 for a slide and for a plain turn.
    pub advance: f64,
}

impl FreeMotion {
    /// The motion whose shift at `centre` and turn (times `reach`) make up `v`, cleaned of rounding and normalised.
    pub(super) fn new(v: &Vector6<f64>, centre: &Vector3<f64>, reach: f64) -> Self {
        let size = v.norm();
        let clean = v.map(|c| if c.abs() <= ROUNDING * size { 0.0 } else { c });
        let [tx, ty, tz, wx, wy, wz]: [f64; 6] = clean.into();
        let (shift, turn) = (Vector3::new(tx, ty, tz), Vector3::new(wx, wy, wz) / reach);
        if turn == Vector3::zeros() {
            let shift = upright(shift.normalize());
            return Self { translation: shift.into(), rotation: [0.0; 3], axis_point: None, advance: 0.0 };
        }
        let sign = if upright(turn) == turn { 1.0 } else { -1.0 };
        let (shift, turn) = (shift * (sign / turn.norm()), turn * (sign / turn.norm()));
        let point = centre + turn.cross(&shift);
        let at_origin = shift - turn.cross(centre);
        Self { translation: at_origin.into(), rotation: turn.into(), axis_point: Some(point.into()), advance: turn.dot(&shift) }
    }

    /// What it is called.
    #[must_use]
    pub fn direction(&self) -> Direction {
        let turns = self.axis_point.is_some();
        let [x, y, z] = if turns { self.rotation } else { self.translation };
        let along = [x, y, z].map(|c| c.abs() > ROUNDING);
        if turns && self.advance.abs() > ROUNDING {
            return Direction::Oblique;
        }
        match (along, turns) {
            ([true, false, false], false) => Direction::ForeAndAft,
            ([false, true, false], false) => Direction::Sideways,
            ([false, false, true], false) => Direction::UpAndDown,
            ([true, false, false], true) => Direction::Roll,
            ([false, true, false], true) => Direction::Pitch,
            ([false, false, true], true) => Direction::Yaw,
            _ => Direction::Oblique,
        }
    }
}

/// The vector or its opposite: the one whose largest part is positive, so that one motion has one description.
fn upright(v: Vector3<f64>) -> Vector3<f64> {
    let largest = v.iter().fold(0.0_f64, |most, part| if part.abs() > most.abs() { *part } else { most });
    if largest < 0.0 { -v } else { v }
}

/// A basis of the same motions in which slides stand alone and each turn carries no slide that is free by itself.
pub(super) fn sorted_out(mut basis: Vec<Vector6<f64>>) -> Vec<Vector6<f64>> {
    // Turns first: once every turn has its row, what is left are pure slides.
    let mut done = 0;
    for columns in [[3, 4, 5], [0, 1, 2]] {
        while let Some((row, column)) = pivot(&basis, done, &columns) {
            basis.swap(done, row);
            let Some(own) = basis.get(done).map(|v| v / v[column]) else { break };
            for (at, other) in basis.iter_mut().enumerate() {
                if at == done {
                    *other = own;
                } else {
                    *other -= own * other[column];
                    other[column] = 0.0;
                }
            }
            done += 1;
        }
    }
    basis
}

/// The largest component in these columns of the rows not done yet, unless it is rounding.
fn pivot(basis: &[Vector6<f64>], done: usize, columns: &[usize; 3]) -> Option<(usize, usize)> {
    let open = basis.iter().enumerate().skip(done);
    let all = open.flat_map(|(row, v)| columns.iter().map(move |c| (v[*c].abs(), row, *c)));
    let best = all.fold(None, |best: Option<(f64, usize, usize)>, here| match best {
        // Ties go to the first, or nearly equal numbers would pick the order of the answer.
        Some(known) if here.0 <= known.0 * (1.0 + ROUNDING) => Some(known),
        _ => Some(here),
    })?;
    (best.0 > ROUNDING).then_some((best.1, best.2))
}
