//! Bolts that share a force: in the plane of the joint, and out of it as a bracket on a wall.
//!
//! **Caution.** Plates are rigid here and all holes fit alike. The bolt nearest the load usually carries the most.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, check_list, finite, in_schema, ranged, usual};

/// Most bolts of one group.
const MOST: usize = 1000;
/// Forces, N.
const FORCE: Range = Range::of(-1e12, 1e12);

/// A bolt of a group.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<BoltAt>)]
pub struct BoltAt {
    /// Its place.
    pub x_m: f64,
    /// Its place.
    pub y_m: f64,
    /// Its stress area, where sizes differ; give it for all or for none.
    #[serde(default)]
    pub area_mm2: Option<f64>,
}

ranged!(BoltAt {
    x_m ["m"] usual::PLACE,
    y_m ["m"] usual::PLACE,
    area_mm2 ["mm2"] Range::over(0.0, 1e6),
});

/// Input of [`bolt_group`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<BoltGroupIn>)]
pub struct BoltGroupIn {
    /// The bolts, in the plane of the joint.
    pub bolts: Vec<BoltAt>,
    /// Force on the part along x.
    pub force_x_n: f64,
    /// Force on the part along y.
    pub force_y_n: f64,
    /// Where it acts.
    pub at_x_m: f64,
    /// Where it acts.
    pub at_y_m: f64,
}

ranged!(BoltGroupIn {
    force_x_n ["N"] FORCE,
    force_y_n ["N"] FORCE,
    at_x_m ["m"] usual::PLACE,
    at_y_m ["m"] usual::PLACE,
});

/// Output of [`bolt_group`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BoltGroupOut {
    /// What each bolt carries across its axis, in the order of the input.
    pub shear_n: Vec<f64>,
    /// The largest of them.
    pub max_n: f64,
}

/// Shear of each bolt of a group under a force in its plane, elastic.
///
/// | input       | unit | range         | note                                        |
/// |-------------|------|---------------|---------------------------------------------|
/// | `x_m`       | m    | -1e6 to 1e6   | each bolt, 1 to 1000                        |
/// | `y_m`       | m    | -1e6 to 1e6   | each bolt                                   |
/// | `area_mm2`  | mm2  | over 0 to 1e6 | default all alike                           |
/// | `force_x_n` | N    | -1e12 to 1e12 |                                             |
/// | `force_y_n` | N    | -1e12 to 1e12 |                                             |
/// | `at_x_m`    | m    | -1e6 to 1e6   |                                             |
/// | `at_y_m`    | m    | -1e6 to 1e6   |                                             |
///
/// Gives `shear_n` and `max_n` (N), the largest of all bolts.
///
/// # Errors
/// `OutOfRange` and `Count` name the field; `Missing` for an area that others have; `Unsolvable` when all bolts are at
/// one place and the force turns the part about it.
///
/// # Source
/// Elastic bolt group about the centroid (mechanics of materials, physics).
///
/// # Checked against
/// `tests/outside/bolt_group.rs`: two textbooks, and a public page whose largest bolt is the wrong one.
pub fn bolt_group(input: &BoltGroupIn) -> Result<BoltGroupOut, KernelError> {
    input.check()?;
    check_list("bolts", &input.bolts, 1, MOST)?;
    let some = input.bolts.iter().any(|bolt| bolt.area_mm2.is_some());
    if let Some(i) = input.bolts.iter().position(|bolt| some && bolt.area_mm2.is_none()) {
        return Err(KernelError::Missing { field: format!("bolts[{i}].area_mm2"), why: "other bolts have one" });
    }
    let bolts: Vec<([f64; 2], f64)> = input.bolts.iter().map(|b| ([b.x_m, b.y_m], b.area_mm2.unwrap_or(1.0))).collect();
    let shares = shear_forces(&bolts, [input.force_x_n, input.force_y_n], [input.at_x_m, input.at_y_m]);
    let shares = shares.ok_or(KernelError::Unsolvable {
        field: "bolts".into(),
        why: "they are all at one place and the force turns the part about it",
    })?;
    let size = |[x, y]: [f64; 2]| finite("shear_n", (x * x + y * y).sqrt());
    let shear_n = shares.into_iter().map(size).collect::<Result<Vec<_>, _>>()?;
    Ok(BoltGroupOut { max_n: shear_n.iter().copied().fold(0.0, f64::max), shear_n })
}

/// Share of the lever arm that is rounding.
const ROUNDING: f64 = 1e-12;

/// Force on each bolt, N, along x and y, from places (m) and areas (any unit), a force (N) and its place (m).
///
/// `None` when the bolts are at one place and the force passes it by.
#[must_use]
pub fn shear_forces(bolts: &[([f64; 2], f64)], force: [f64; 2], at: [f64; 2]) -> Option<Vec<[f64; 2]>> {
    let sum = |f: &dyn Fn(&[f64; 2]) -> f64| bolts.iter().map(|(place, area)| area * f(place)).sum::<f64>();
    let area = sum(&|_| 1.0);
    let (cx, cy) = (sum(&|[x, _]| *x) / area, sum(&|[_, y]| *y) / area);
    let polar = sum(&|[x, y]| (x - cx) * (x - cx) + (y - cy) * (y - cy));
    let ([fx, fy], [ax, ay]) = (force, at);
    let moment = (ax - cx) * fy - (ay - cy) * fx;
    let reach = ax.abs().max(ay.abs()).max(cx.abs()).max(cy.abs());
    // Bolts at one place may be written with a rounding error between them.
    let turn = if polar > ROUNDING * ROUNDING * area * reach * reach {
        moment / polar
    } else if moment.abs() <= ROUNDING * reach * (fx.abs() + fy.abs()) {
        0.0
    } else {
        return None;
    };
    Some(bolts.iter().map(|([x, y], own)| [own * (fx / area - turn * (y - cy)), own * (fy / area + turn * (x - cx))]).collect())
}

/// Input of [`bracket_bolts`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<BracketBoltsIn>)]
pub struct BracketBoltsIn {
    /// Force on the bracket, along the wall.
    pub force_n: f64,
    /// How far from the wall it acts.
    pub arm_m: f64,
    /// Each bolt: its distance from the edge that the bracket turns about, the one pressed on the wall.
    pub heights_m: Vec<f64>,
}

ranged!(BracketBoltsIn {
    force_n ["N"] usual::MASS,
    arm_m ["m"] usual::LENGTH,
    heights_m ["m"] usual::LENGTH,
});

/// Output of [`bracket_bolts`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BracketBoltsOut {
    /// Pull in each bolt, without prying.
    pub tension_n: Vec<f64>,
    /// The largest of them.
    pub max_tension_n: f64,
    /// Shear of each bolt, all alike.
    pub shear_n: f64,
}

/// Pull in the bolts of a bracket on a wall or a rail's web, which turns about its pressed edge.
///
/// `T = F e y / sum of y²`. Prying of a thin plate adds 20 to 30 % (common practice); it is not in here.
///
/// | input       | unit | range         | note                                       |
/// |-------------|------|---------------|--------------------------------------------|
/// | `force_n`   | N    | 0 to 1e9      | along the wall                             |
/// | `arm_m`     | m    | 0 to 1e6      | from the wall                              |
/// | `heights_m` | m    | 0 to 1e6      | 1 to 1000 bolts, not all at 0              |
///
/// Gives `tension_n`, `max_tension_n` and `shear_n` (N).
///
/// # Errors
/// `OutOfRange` and `Count` name the field; `Unsolvable` when all bolts are on the edge.
///
/// # Source
/// Rigid bracket about its heel (machine-elements textbooks, physics).
///
/// # Checked against
/// `tests/outside/bolt_group.rs`: a machine-elements textbook's example.
pub fn bracket_bolts(input: &BracketBoltsIn) -> Result<BracketBoltsOut, KernelError> {
    input.check()?;
    crate::range::check_count("heights_m", input.heights_m.len(), 1, MOST)?;
    let why = "all bolts are on the edge that the bracket turns about";
    let pulls = pulls(input.force_n * input.arm_m, &input.heights_m);
    let pulls = pulls.ok_or(KernelError::Unsolvable { field: "heights_m".into(), why })?;
    let tension_n = pulls.into_iter().map(|pull| finite("tension_n", pull)).collect::<Result<Vec<_>, _>>()?;
    Ok(BracketBoltsOut {
        max_tension_n: tension_n.iter().copied().fold(0.0, f64::max),
        shear_n: finite("shear_n", input.force_n / input.heights_m.len() as f64)?,
        tension_n,
    })
}

/// Pull in each bolt, N, under a moment (N m) about the pressed edge; `None` when all of them are on it.
#[must_use]
pub fn pulls(moment: f64, heights: &[f64]) -> Option<Vec<f64>> {
    let squares: f64 = heights.iter().map(|y| y * y).sum();
    (squares > 0.0).then(|| heights.iter().map(|y| moment * y / squares).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bolts_at_one_place_hold_a_force_through_it_and_no_turn() {
        let one = [([0.1, 0.2], 1.0), ([0.1, 0.2], 1.0)];
        assert_eq!(shear_forces(&one, [0.0, 10.0], [0.1, 5.0]), Some(vec![[0.0, 5.0]; 2]));
        assert_eq!(shear_forces(&one, [0.0, 10.0], [0.2, 0.2]), None);
    }

    #[test]
    fn a_bolt_of_twice_the_area_carries_twice_as_much_of_a_plain_force() {
        let two = [([0.0, 0.0], 1.0), ([0.3, 0.0], 2.0)];
        let all = shear_forces(&two, [0.0, 9.0], [0.2, 0.0]).expect("held");
        assert!((all[0][1] - 3.0).abs() < 1e-12 && (all[1][1] - 6.0).abs() < 1e-12);
    }
}
