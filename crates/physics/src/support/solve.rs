//! The springs' equations: 6 by 6, scaled. One-sided springs by an active set; where that goes in a circle, first whether
//! anything holds the load, then the place of least energy.

use nalgebra::{Cholesky, Const, Matrix6, SymmetricEigen, Vector3, Vector6};

use super::cone::left_over;
use super::motion::sorted_out;
use super::{FreeMotion, Load, Mount, Pushes};

/// A direction is free when its singular value is under this share of the largest: half a millimetre of lever on a body of
/// five metres. Mounts are placed no better, and squares resolve no finer than a ten-thousandth of that in 64 bits.
pub(super) const LEVER: f64 = 1e-4;
const FREE: f64 = LEVER * LEVER;
/// Rounds of the plain active set before the certain method takes over.
const ROUNDS: usize = 12;
/// Steps of the certain method; each either ends it or lowers the energy.
const STEPS: usize = 400;
/// Halvings of a step's length: to the last bit of it.
const HALVINGS: usize = 60;
/// Weak springs that make the certain method's equations solvable, as a share of the stiffest real one.
const WEAK: f64 = 1e-12;
/// Times that the weak springs are hung up anew.
const HANGINGS: usize = 20;
/// How far from a whole step the last one may be.
const WHOLE: f64 = 1e-5;
/// Share of a stretch's parts that is rounding: a one-sided spring stretched by less keeps its hold.
const ROUNDING: f64 = 1e-15;
/// Share of the load that is rounding: a one-sided spring that would pull with less keeps its hold, or a body without any
/// load to one side would lose what holds it there.
const NOTHING: f64 = 1e-10;
/// Passes, at most, until the sums close: two where levers are long and stiffnesses alike.
const PASSES: usize = 9;
/// A pass that leaves more of what was open than this gains no more.
const GAIN: f64 = 0.5;
/// Share of a load that may be rounding.
const CLOSED: f64 = 1e-13;

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
    /// Force against its stretch, N.
    resists: f64,
}

impl Spring {
    /// Stretch that may be rounding, at a motion under a load of this size.
    fn slack(&self, moved: &Vector6<f64>, load: f64) -> f64 {
        f64::max(ROUNDING * self.row.component_mul(moved).amax(), NOTHING * load / self.stiffness)
    }

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
                    springs.push(Spring { row, stiffness, pushes, mount, axis, holds: true, resists: 0.0 });
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

    /// The motions that none of the springs that hold resists, as vectors of length 1 at right angles.
    fn unheld(&self) -> Vec<Vector6<f64>> {
        let gram = self.gram(|_| 1.0);
        if surely_full(&gram) {
            return Vec::new();
        }
        let eigen = SymmetricEigen::new(gram);
        let largest = eigen.eigenvalues.max();
        let null = eigen.eigenvalues.iter().enumerate().filter(|(_, value)| **value <= FREE * largest);
        null.map(|(i, _)| eigen.eigenvectors.column(i).into_owned()).collect()
    }

    /// The motions that none of the springs that hold resists.
    fn free(&self) -> Vec<FreeMotion> {
        self.told(self.unheld())
    }

    fn told(&self, basis: Vec<Vector6<f64>>) -> Vec<FreeMotion> {
        let mut motions: Vec<FreeMotion> =
            sorted_out(basis).iter().map(|v| FreeMotion::new(v, &self.centre, self.reach)).collect();
        motions.sort_by_key(FreeMotion::direction);
        motions
    }

    /// Where the body goes, from a place if any, under a wrench when the springs that hold now hold and weak ones catch it;
    /// what each holds with; and what the sums leave over. That goes into the springs' hold, not by way of the place: a body
    /// on a short lever goes far, and the stretch of a stiff spring is lost in that.
    fn moved(&mut self, from: Option<Vector6<f64>>, weak: f64, wrench: &Vector6<f64>) -> Option<(Vector6<f64>, f64)> {
        let factor = factored(self.gram(|s| s.stiffness) + Matrix6::identity() * weak)?;
        let mut step = from.unwrap_or_else(|| factor.solve(wrench));
        let (mut moved, mut open) = (Vector6::zeros(), f64::INFINITY);
        for spring in &mut self.springs {
            spring.resists = 0.0;
        }
        for _ in 0..PASSES {
            moved += step;
            let mut left = *wrench;
            for spring in self.springs.iter_mut().filter(|s| s.holds) {
                spring.resists += spring.stiffness * spring.row.dot(&step);
                left -= spring.row * spring.resists;
            }
            let before = open;
            open = left.norm();
            if open <= CLOSED * wrench.norm() || open > before * GAIN {
                break;
            }
            step = factor.solve(&left);
        }
        moved.iter().all(|c| c.is_finite()).then_some((moved, open))
    }

    /// Lets those springs hold that can at a motion, under a load of this size; says whether that changed any.
    fn regrip(&mut self, moved: &Vector6<f64>, load: f64) -> bool {
        let mut changed = false;
        for spring in &mut self.springs {
            let holds = spring.can(spring.row.dot(moved), spring.slack(moved, load));
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

    fn answer(&self, mounts: usize) -> Answer {
        let mut on_body = vec![[0.0; 3]; mounts];
        for spring in self.springs.iter().filter(|s| s.holds) {
            if let Some(force) = on_body.get_mut(spring.mount).and_then(|f| f.get_mut(spring.axis)) {
                *force = -spring.resists;
            }
        }
        Answer::Held(Held { on_body, let_go: self.let_go() })
    }

    /// A motion that the load drives and no spring resists, one-sided ones letting go: the body then goes that way without
    /// end, however stiff they are. Lets those hold that do not let go on it.
    fn runaway(&mut self, wrench: &Vector6<f64>) -> Option<Vector6<f64>> {
        for spring in &mut self.springs {
            spring.holds = spring.pushes == Pushes::Both;
        }
        // What holds both ways leaves only these motions; one-sided springs see the load and each other along them.
        let left = self.unheld();
        let along = |v: &Vector6<f64>| left.iter().fold(Vector6::zeros(), |sum, motion| sum + motion * motion.dot(v));
        let one_sided = self.springs.iter().filter_map(|s| Some((s.row * s.pushes.sign()?, s.row.norm())));
        let pushes = one_sided.map(|(push, norm)| (along(&push), norm)).filter(|(push, norm)| push.norm() > LEVER * norm);
        let pushes: Vec<Vector6<f64>> = pushes.map(|(push, _)| push).collect();
        let motion = -left_over(&pushes, &along(&-wrench), wrench.norm())?.normalize();
        for spring in &mut self.springs {
            spring.holds = spring.can(spring.row.dot(&motion), LEVER);
        }
        Some(motion)
    }

    /// The certain method: the energy of one-sided springs is convex, so steps down along Newton's direction end in its
    /// lowest place, which there is when nothing runs away. Weak springs keep the equations solvable on the way; they are
    /// hung up anew where each descent ended, so that in the end they carry nothing. `None` when it has not ended in time.
    fn settle(&mut self, wrench: &Vector6<f64>) -> Option<()> {
        let weak = WEAK * self.springs.iter().map(|s| s.stiffness).fold(0.0, f64::max);
        let mut moved = Vector6::zeros();
        for _ in 0..HANGINGS {
            let hung = moved;
            self.descend(wrench, weak, &hung, &mut moved)?;
            // Those that hold may do so by themselves, or leave a motion free that the load does not take.
            if self.proved(None, 0.0, wrench) || self.proved(Some(moved), weak, wrench) {
                return Some(());
            }
        }
        None
    }

    /// Whether the springs that hold balance the load and can, where they then bring the body, and no other would push there.
    fn proved(&mut self, from: Option<Vector6<f64>>, weak: f64, wrench: &Vector6<f64>) -> bool {
        let load = wrench.norm();
        let Some((there, open)) = self.moved(from, weak, wrench) else { return false };
        let right = |s: &Spring| {
            let (stretch, slack) = (s.row.dot(&there), s.slack(&there, load));
            if s.holds { s.can(stretch, slack) } else { !s.can(stretch, -slack) }
        };
        open <= NOTHING * load && self.springs.iter().all(right)
    }

    /// Goes down from where the body is to the lowest energy with weak springs hung up at a place.
    fn descend(&mut self, wrench: &Vector6<f64>, weak: f64, hung: &Vector6<f64>, moved: &mut Vector6<f64>) -> Option<()> {
        let load = wrench.norm();
        self.regrip(moved, load);
        for _ in 0..STEPS {
            let pull = |at: &Vector6<f64>, system: &Self| {
                let real = system.springs.iter().map(|s| (s, s.row.dot(at))).filter(|(s, stretch)| s.can(*stretch, 0.0));
                real.fold(wrench - (at - hung) * weak, |sum, (s, stretch)| sum - s.row * (s.stiffness * stretch))
            };
            let left = pull(moved, self);
            if left.norm() <= NOTHING * load {
                return Some(());
            }
            let step = factored(self.gram(|s| s.stiffness) + Matrix6::identity() * weak)?.solve(&left);
            // The energy's slope along the step rises without a break; its root is the best length.
            let slope = |length: f64| -step.dot(&pull(&(*moved + step * length), self));
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
            *moved += step * length;
            if !self.regrip(moved, load) && length > 1.0 - WHOLE {
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
        let Some((moved, _)) = system.moved(None, 0.0, &wrench) else { break };
        if !one_sided || !system.regrip(&moved, wrench.norm()) {
            return system.answer(mounts.len());
        }
    }
    // It went in a circle, or let go too much at once: the certain way.
    if let Some(motion) = system.runaway(&wrench) {
        let unheld = system.unheld();
        let known = unheld.iter().map(|free| free.dot(&motion)).fold(0.0, |sum, part| sum + part * part);
        // Short levers may leave another motion more free than the one that the load takes.
        let basis = if 1.0 - known <= FREE { unheld } else { vec![motion] };
        return Answer::LetsGo { motions: system.told(basis), let_go: system.let_go() };
    }
    if system.settle(&wrench).is_some() {
        return system.answer(mounts.len());
    }
    // Those that hold may do so by short levers on short levers: nothing to count on either.
    let motions = system.free();
    if motions.is_empty() { Answer::Unsettled } else { Answer::LetsGo { motions, let_go: system.let_go() } }
}
