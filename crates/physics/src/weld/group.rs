//! Runs of fillet weld in one plane as lines, under a force anywhere: the elastic vector method.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, check_list, finite, in_schema, ranged, usual};

/// Most runs of one group.
const MOST: usize = 1000;
/// Of the second moment of a line about its middle, L³ / 12.
const TWELVE: f64 = 12.0;
/// Share of a moment or a second moment that is rounding.
const ROUNDING: f64 = 1e-9;

/// A straight run from one point to another, m, in the plane of the group.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// One end, x and y.
    pub from: [f64; 2],
    /// The other end.
    pub to: [f64; 2],
}

impl Run {
    fn length(&self) -> f64 {
        let [dx, dy] = self.extent();
        (dx * dx + dy * dy).sqrt()
    }

    fn extent(&self) -> [f64; 2] {
        let ([x1, y1], [x2, y2]) = (self.from, self.to);
        [x2 - x1, y2 - y1]
    }

    fn middle(&self) -> [f64; 2] {
        let ([x1, y1], [x2, y2]) = (self.from, self.to);
        [f64::midpoint(x1, x2), f64::midpoint(y1, y2)]
    }
}

/// A weld group with one throat, ready for many forces.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    runs: Vec<Run>,
    /// Throat area of all runs, m2.
    pub area: f64,
    /// Centroid, m.
    pub centroid: [f64; 2],
    /// Second moment about the x axis through the centroid, m4.
    pub i_x: f64,
    /// Second moment about the y axis through the centroid, m4.
    pub i_y: f64,
    /// Product moment, m4.
    pub i_xy: f64,
}

impl Group {
    /// A group of runs with one throat, m. `None` when they have no length.
    #[must_use]
    pub fn new(runs: &[Run], throat: f64) -> Option<Self> {
        let sum = |f: &dyn Fn(&Run) -> f64| runs.iter().map(|run| throat * run.length() * f(run)).sum::<f64>();
        let area = sum(&|_| 1.0);
        if !(area > 0.0 && area.is_finite()) {
            return None;
        }
        let centroid = [sum(&|run| run.middle()[0]) / area, sum(&|run| run.middle()[1]) / area];
        let [cx, cy] = centroid;
        let from = |run: &Run| [run.middle()[0] - cx, run.middle()[1] - cy];
        let i_x = sum(&|run| from(run)[1] * from(run)[1] + run.extent()[1] * run.extent()[1] / TWELVE);
        let i_y = sum(&|run| from(run)[0] * from(run)[0] + run.extent()[0] * run.extent()[0] / TWELVE);
        let i_xy = sum(&|run| from(run)[0] * from(run)[1] + run.extent()[0] * run.extent()[1] / TWELVE);
        Some(Self { runs: runs.to_vec(), area, centroid, i_x, i_y, i_xy })
    }

    /// Polar second moment about the centroid, m4.
    #[must_use]
    pub fn polar(&self) -> f64 {
        self.i_x + self.i_y
    }

    /// Largest resultant on the throat of each run, Pa, under a force (N) at a point (m). `None` when all runs lie on
    /// one line and the force turns the part about it: a fillet does not hold that.
    #[must_use]
    pub fn stresses(&self, force: [f64; 3], at: [f64; 3]) -> Option<Vec<f64>> {
        let [fx, fy, fz] = force;
        let [cx, cy] = self.centroid;
        let [ax, ay, az] = [at[0] - cx, at[1] - cy, at[2]];
        let [mx, my, mz] = [ay * fz - az * fy, az * fx - ax * fz, ax * fy - ay * fx];
        let (slope_x, slope_y) = self.slopes(mx, my, (fx * fx + fy * fy + fz * fz).sqrt() * self.reach())?;
        let polar = self.polar();
        let stress = |[x, y]: [f64; 2]| {
            let (x, y) = (x - cx, y - cy);
            let sx = fx / self.area - mz * y / polar;
            let sy = fy / self.area + mz * x / polar;
            let sz = fz / self.area + slope_x * x + slope_y * y;
            (sx * sx + sy * sy + sz * sz).sqrt()
        };
        Some(self.runs.iter().map(|run| stress(run.from).max(stress(run.to))).collect())
    }

    /// How the stress out of the plane rises along x and y, Pa/m.
    fn slopes(&self, mx: f64, my: f64, size: f64) -> Option<(f64, f64)> {
        let determinant = self.i_x * self.i_y - self.i_xy * self.i_xy;
        let polar = self.polar();
        if determinant > ROUNDING * polar * polar {
            return Some(((mx * -self.i_xy - my * self.i_x) / determinant, (mx * self.i_y + my * self.i_xy) / determinant));
        }
        // All runs on one line: what bends along it is held, what turns about it is not.
        let longest = self.runs.iter().fold(None, |best: Option<&Run>, run| match best {
            Some(known) if known.length() >= run.length() => Some(known),
            _ => Some(run),
        })?;
        let ([dx, dy], length) = (longest.extent(), longest.length());
        let (ux, uy) = (dx / length, dy / length);
        if (mx * ux + my * uy).abs() > ROUNDING * size.max((mx * mx + my * my).sqrt()) {
            return None;
        }
        let rise = (mx * uy - my * ux) / polar;
        Some((rise * ux, rise * uy))
    }

    /// Size of the group, m.
    fn reach(&self) -> f64 {
        (self.polar() / self.area).sqrt()
    }
}

/// A run, as the kernel takes it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<WeldRun>)]
pub struct WeldRun {
    /// One end.
    pub x1_m: f64,
    /// One end.
    pub y1_m: f64,
    /// The other end.
    pub x2_m: f64,
    /// The other end.
    pub y2_m: f64,
}

ranged!(WeldRun {
    x1_m ["m"] usual::PLACE,
    y1_m ["m"] usual::PLACE,
    x2_m ["m"] usual::PLACE,
    y2_m ["m"] usual::PLACE,
});

/// Input of [`weld_group`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<WeldGroupIn>)]
pub struct WeldGroupIn {
    /// The runs, in the plane z = 0, without their craters.
    pub runs: Vec<WeldRun>,
    /// Throat of all runs; a leg times 0.707.
    pub throat_m: f64,
    /// Force on the part, along x, y, z.
    pub force: [f64; 3],
    /// Where it acts, x, y, z.
    pub at: [f64; 3],
}

ranged!(WeldGroupIn {
    throat_m ["m"] usual::SOME_LENGTH,
    force ["N"] Range::of(-1e12, 1e12),
    at ["m"] usual::PLACE,
});

/// Output of [`weld_group`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WeldGroupOut {
    /// Largest resultant on a throat of the group.
    pub max_stress_pa: f64,
    /// Largest resultant of each run, in the order of the input; it is at an end of the run.
    pub stress_pa: Vec<f64>,
}

/// Stress in a weld group by the elastic vector method: the resultant on the throat, to be held against the simplified
/// strength of EN 1993-1-8.
///
/// Runs are lines of one throat in the plane z = 0; the force may act anywhere. A textbook rule that takes principal
/// stresses gives about half the throat for bending out of the plane.
///
/// | input      | unit | range         | note                                    |
/// |------------|------|---------------|-----------------------------------------|
/// | `x1_m`     | m    | -1e6 to 1e6   | each run, 1 to 1000                     |
/// | `y1_m`     | m    | -1e6 to 1e6   |                                         |
/// | `x2_m`     | m    | -1e6 to 1e6   |                                         |
/// | `y2_m`     | m    | -1e6 to 1e6   |                                         |
/// | `throat_m` | m    | over 0 to 1e6 | not the leg                             |
/// | `force`    | N    | -1e12 to 1e12 | along x, y, z                           |
/// | `at`       | m    | -1e6 to 1e6   | x, y, z                                 |
///
/// Gives `max_stress_pa` and `stress_pa` (Pa).
///
/// # Errors
/// `OutOfRange` and `Count` name the field; `Unsolvable` for a run without length, and for runs on one line that the
/// force turns the part about: a single fillet does not hold that.
///
/// # Source
/// Elastic vector method (mechanics of materials, physics).
///
/// # Checked against
/// `tests/outside/weld.rs`: two textbooks' groups in the plane, own groups out of it computed with numpy.
pub fn weld_group(input: &WeldGroupIn) -> Result<WeldGroupOut, KernelError> {
    input.check()?;
    check_list("runs", &input.runs, 1, MOST)?;
    let runs: Vec<Run> = input.runs.iter().map(|r| Run { from: [r.x1_m, r.y1_m], to: [r.x2_m, r.y2_m] }).collect();
    let unsolvable = |field: String, why| KernelError::Unsolvable { field, why };
    if let Some(i) = runs.iter().position(|run| run.length() <= 0.0) {
        return Err(unsolvable(format!("runs[{i}]"), "it ends where it begins"));
    }
    let group = Group::new(&runs, input.throat_m).ok_or_else(|| unsolvable("runs".into(), "they have no area"))?;
    let line = "all lie on one line and the force turns the part about it; a fillet does not hold that: add a run beside";
    let stresses = group.stresses(input.force, input.at).ok_or_else(|| unsolvable("runs".into(), line))?;
    let stress_pa = stresses.into_iter().map(|s| finite("stress_pa", s)).collect::<Result<Vec<_>, _>>()?;
    Ok(WeldGroupOut { max_stress_pa: stress_pa.iter().copied().fold(0.0, f64::max), stress_pa })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(runs: &[[f64; 4]]) -> Vec<Run> {
        runs.iter().map(|[a, b, c, d]| Run { from: [*a, *b], to: [*c, *d] }).collect()
    }

    /// A line on a slope, so that no axis is special: bending along it as a hand sum gives it, turning about it refused.
    #[test]
    fn a_single_run_holds_bending_along_it_only() {
        let slanted = Group::new(&lines(&[[0.0, 0.0, 0.06, 0.08]]), 0.004).expect("has length");
        let [x, y] = slanted.centroid;
        let pull = slanted.stresses([0.0, 0.0, 1000.0], [x, y, 0.0]).expect("held");
        assert!((pull[0] - 1000.0 / (0.004 * 0.1)).abs() < 1e-3);
        let far = slanted.stresses([0.0, 0.0, 1000.0], [x + 0.06, y + 0.08, 0.0]).expect("held");
        let hand = 1000.0 / (0.004 * 0.1) + 1000.0 * 0.1 / (0.004 * 0.1 * 0.1 / 6.0);
        assert!((far[0] / hand - 1.0).abs() < 1e-9);
        assert!(slanted.stresses([0.0, 0.0, 1000.0], [x - 0.08, y + 0.06, 0.0]).is_none());
        assert!(slanted.stresses([80.0, -60.0, 0.0], [x, y, 0.1]).is_none());
    }

    #[test]
    fn two_runs_on_one_line_are_one_run() {
        let two = Group::new(&lines(&[[0.0, 0.0, 0.05, 0.0], [0.08, 0.0, 0.13, 0.0]]), 0.004).expect("has length");
        assert!(two.stresses([0.0, 0.0, 1.0], [0.0, 0.1, 0.0]).is_none());
        assert!(two.stresses([0.0, 0.0, 1.0], [0.1, 0.0, 0.0]).is_some());
    }
}
