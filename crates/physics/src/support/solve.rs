//! The springs' equations: 6 by 6, scaled, with one-sided springs found by an active set.

use nalgebra::{Cholesky, Const, Matrix6, SymmetricEigen, Vector3, Vector6};

use super::motion::sorted_out;
use super::{FreeMotion, Load, Mount, Pushes};

/// A direction is free when its squared singular value is under this share of the largest: 1e-6 of the largest
/// singular value, micrometres over metres. Squares resolve no finer in 64 bits.
const FREE: f64 = 1e-12;
/// Rounds of the plain active set before the certain method takes over.
const ROUNDS: usize = 12;
/// Steps of the certain method; each either ends it or lowers the energy.
const STEPS: usize = 400;
/// Halvings of a step's length: to the last bit of it.
const HALVINGS: usize = 60;
/// Springs to earth that make the certain method's equations solvable, as a share of the stiffest real one.
const EARTH: f64 = 1e-10;
/// How far from a whole step the last one may be.
const WHOLE: f64 = 1e-5;
/// Share of the motion that is rounding: a one-sided spring stretched by less keeps its hold, or a body without any load
/// to one side would lose what holds it there.
const ROUNDING: f64 = 1e-12;
/// Passes that put the rounding of a solution back in.
const PASSES: usize = 2;

/// What mounts do with a load.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// They hold it.
    Held(Held),
    /// Some direction is held by no mount, whatever the load: these are the ways to move.
    Free(Vec<FreeMotion>),
    /// One-sided mounts let go and the rest does not hold the body: it lifts off, slides away or tips over.
    LetsGo {
        /// The ways it can then move.
        motions: Vec<FreeMotion>,
        /// Mounts that let go in some direction, counted from 0.
        let_go: Vec<usize>,
    },
    /// Which one-sided mounts hold was not found.
    Unsettled,
}

/// Reactions of mounts that hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Force of each mount on the body along x, y, z, N.
    pub on_body: Vec<[f64; 3]>,
    /// One-sided mounts that let go in some direction, counted from 0.
    pub let_go: Vec<usize>,
}

/// Directions of a mount.
const AXES: usize = 3;

/// One direction of one mount that has stiffness.
struct Spring {
    /// Its stretch per unit of each of the six motions.
    row: Vector6<f64>,
    stiffness: f64,
    pushes: Pushes,
    mount: usize,
    axis: usize,
    holds: bool,
}

impl Spring {
    /// Whether the spring can push the way it would have to at this stretch, give or take `slack`.
    fn can(&self, stretch: f64, slack: f64) -> bool {
        match self.pushes {
            Pushes::Both => true,
            Pushes::Positive => stretch <= slack,
            Pushes::Negative => stretch >= -slack,
        }
    }
}

/// Mounts about their middle, turns scaled by their spread so that all six motions are of one size.
struct System {
    springs: Vec<Spring>,
    centre: Vector3<f64>,
    reach: f64,
}

impl System {
    fn new(mounts: &[Mount]) -> Self {
        let count = mounts.len().max(1) as f64;
        let centre = mounts.iter().fold(Vector3::zeros(), |sum, m| sum + Vector3::from(m.at)) / count;
        let spread = mounts.iter().map(|m| (Vector3::from(m.at) - centre).norm()).fold(0.0, f64::max);
        let reach = if spread > 0.0 { spread } else { 1.0 };
        let mut springs = Vec::with_capacity(mounts.len() * AXES);
        for (mount, m) in mounts.iter().enumerate() {
            let r = (Vector3::from(m.at) - centre) / reach;
            let rows = [
                Vector6::new(1.0, 0.0, 0.0, 0.0, r.z, -r.y),
                Vector6::new(0.0, 1.0, 0.0, -r.z, 0.0, r.x),
                Vector6::new(0.0, 0.0, 1.0, r.y, -r.x, 0.0),
            ];
            for (axis, ((row, stiffness), pushes)) in rows.into_iter().zip(m.stiffness).zip(m.pushes).enumerate() {
                if stiffness > 0.0 {
                    springs.push(Spring { row, stiffness, pushes, mount, axis, holds: true });
                }
            }
        }
        Self { springs, centre, reach }
    }

    /// Force and moment of a load about the middle, the moment scaled as the turns are.
    fn wrench(&self, load: &Load) -> Vector6<f64> {
        let force = Vector3::from(load.force);
        let moment = ((Vector3::from(load.at) - self.centre) / self.reach).cross(&force);
        Vector6::new(force.x, force.y, force.z, moment.x, moment.y, moment.z)
    }

    /// Sum over the springs that hold of weight times row times row.
    fn gram(&self, weight: impl Fn(&Spring) -> f64) -> Matrix6<f64> {
        let mut sum = Matrix6::zeros();
        for spring in self.springs.iter().filter(|s| s.holds) {
            sum.ger(weight(spring), &spring.row, &spring.row, 1.0);
        }
        sum
    }

    /// The motions that none of the springs that hold resists.
    fn free(&self) -> Vec<FreeMotion> {
        let gram = self.gram(|_| 1.0);
        if surely_full(&gram) {
            return Vec::new();
        }
        let eigen = SymmetricEigen::new(gram);
        let largest = eigen.eigenvalues.max();
        let null = eigen.eigenvalues.iter().enumerate().filter(|(_, value)| **value <= FREE * largest);
        let basis: Vec<Vector6<f64>> = null.map(|(i, _)| eigen.eigenvectors.column(i).into_owned()).collect();
        let mut motions: Vec<FreeMotion> =
            sorted_out(basis).iter().map(|v| FreeMotion::new(v, &self.centre, self.reach)).collect();
        motions.sort_by_key(FreeMotion::direction);
        motions
    }

    /// Where the body goes under a wrench, when the springs that hold now hold.
    fn moved(&self, wrench: &Vector6<f64>) -> Option<Vector6<f64>> {
        let factor = factored(self.gram(|s| s.stiffness))?;
        let mut moved = factor.solve(wrench);
        for _ in 0..PASSES {
            moved += factor.solve(&(wrench - self.held(&moved)));
        }
        moved.iter().all(|c| c.is_finite()).then_some(moved)
    }

    /// What the springs that hold resist at a motion.
    fn held(&self, moved: &Vector6<f64>) -> Vector6<f64> {
        let holding = self.springs.iter().filter(|s| s.holds);
        holding.fold(Vector6::zeros(), |sum, s| sum + s.row * (s.stiffness * s.row.dot(moved)))
    }

    /// Lets those springs hold that can at a motion; says whether that changed any.
    fn regrip(&mut self, moved: &Vector6<f64>) -> bool {
        let slack = ROUNDING * moved.norm();
        let mut changed = false;
        for spring in &mut self.springs {
            let holds = spring.can(spring.row.dot(moved), slack);
            changed |= holds != spring.holds;
            spring.holds = holds;
        }
        changed
    }

    fn let_go(&self) -> Vec<usize> {
        let mut list: Vec<usize> = self.springs.iter().filter(|s| !s.holds).map(|s| s.mount).collect();
        list.dedup();
        list
    }

    fn answer(&self, mounts: usize, moved: &Vector6<f64>) -> Answer {
        let mut on_body = vec![[0.0; 3]; mounts];
        for spring in self.springs.iter().filter(|s| s.holds) {
            if let Some(force) = on_body.get_mut(spring.mount).and_then(|f| f.get_mut(spring.axis)) {
                *force = -spring.stiffness * spring.row.dot(moved);
            }
        }
        Answer::Held(Held { on_body, let_go: self.let_go() })
    }

    /// The certain method: the energy of one-sided springs is convex, so steps down along Newton's direction end in its
    /// one lowest place. Weak springs to earth keep it from running away when the mounts do not hold the load; then those
    /// that still hold leave some motion free. `None` when it has not ended in time.
    fn settle(&mut self, wrench: &Vector6<f64>) -> Option<()> {
        let earth = EARTH * self.springs.iter().map(|s| s.stiffness).fold(0.0, f64::max);
        let mut moved = Vector6::zeros();
        for _ in 0..STEPS {
            let pull = |at: &Vector6<f64>, system: &Self| {
                let real = system.springs.iter().map(|s| (s, s.row.dot(at))).filter(|(s, stretch)| s.can(*stretch, 0.0));
                real.fold(wrench - at * earth, |sum, (s, stretch)| sum - s.row * (s.stiffness * stretch))
            };
            let left = pull(&moved, self);
            let step = factored(self.gram(|s| s.stiffness) + Matrix6::identity() * earth)?.solve(&left);
            // The energy's slope along the step rises without a break; its root is the best length.
            let slope = |length: f64| -step.dot(&pull(&(moved + step * length), self));
            let length = if slope(1.0) <= 0.0 {
                1.0
            } else {
                let (mut low, mut high) = (0.0, 1.0);
                for _ in 0..HALVINGS {
                    let middle = f64::midpoint(low, high);
                    if slope(middle) > 0.0 { high = middle } else { low = middle }
                }
                high
            };
            moved += step * length;
            let changed = self.regrip(&moved);
            if !changed && length > 1.0 - WHOLE {
                return Some(());
            }
        }
        None
    }
}

fn factored(matrix: Matrix6<f64>) -> Option<Cholesky<f64, Const<6>>> {
    Cholesky::new(matrix)
}

/// Whether a Gram matrix is far from losing rank, by a bound that is cheaper than its eigenvalues: the smallest
/// eigenvalue is at least one over the squared norm of the inverse factor.
fn surely_full(gram: &Matrix6<f64>) -> bool {
    let Some(factor) = factored(*gram) else { return false };
    let Some(inverse) = factor.l_dirty().solve_lower_triangular(&Matrix6::identity()) else { return false };
    // A thousand times the threshold leaves room for the rounding of the sums.
    1.0 / inverse.norm_squared() > FREE * SAFE * gram.trace()
}

const SAFE: f64 = 1e3;

/// The ways a body on these mounts can move, one-sided mounts taken as holding both ways; empty when it is held.
#[must_use]
pub fn free_motions(mounts: &[Mount]) -> Vec<FreeMotion> {
    System::new(mounts).free()
}

/// What each mount puts on a rigid body under one load; forces on the body, N, in the axes of the mounts.
///
/// Stiffness matters as a ratio only. Ranges are not checked; a stiffness that is no positive number does not hold.
#[must_use]
pub fn reactions(mounts: &[Mount], load: &Load) -> Answer {
    let mut system = System::new(mounts);
    let free = system.free();
    if !free.is_empty() {
        return Answer::Free(free);
    }
    let wrench = system.wrench(load);
    let one_sided = system.springs.iter().any(|s| s.pushes != Pushes::Both);
    // The quick way: let go what pulls the wrong way, take back what would push, until nothing changes.
    for round in 0..ROUNDS {
        if round > 0 && !system.free().is_empty() {
            break;
        }
        let Some(moved) = system.moved(&wrench) else { break };
        if !one_sided || !system.regrip(&moved) {
            return system.answer(mounts.len(), &moved);
        }
    }
    // It went in a circle, or let go too much at once: the certain way.
    for spring in &mut system.springs {
        spring.holds = true;
    }
    if system.settle(&wrench).is_none() {
        return Answer::Unsettled;
    }
    let motions = system.free();
    if !motions.is_empty() {
        return Answer::LetsGo { motions, let_go: system.let_go() };
    }
    match system.moved(&wrench) {
        Some(moved) if !system.regrip(&moved) => system.answer(mounts.len(), &moved),
        _ => Answer::Unsettled,
    }
}
