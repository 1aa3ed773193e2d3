//! Where one-sided mounts let go: packers that only bear, straps that only hold down. Which way the body then moves, what
//! moves it and what holds it.

use check::Context;
use check::working::number;
use physics::facts::gravity;
use physics::support::FreeMotion;
use quantity::Estimate;
use rig_facts::StateFacts;
use rig_facts::mounts::{Axis, Carried, Case, Outcome};
use rig_model::model::Direction;

use crate::loads::{cases, travel};

/// A load under which mounts let go, or may.
#[derive(Clone, Debug)]
pub struct Tip<'c> {
    /// The state.
    pub state: &'c StateFacts,
    /// The case.
    pub case: &'static Case,
    /// "the body tips over its right-hand mounts".
    pub words: String,
    /// Moment that tips it and moment of its weight that holds it, Nm; none where it only may let go.
    pub moments: Option<(Estimate, Estimate)>,
    /// What the mount that presses least still presses with, N.
    pub least: Estimate,
    let_go: Vec<usize>,
}

impl Tip<'_> {
    /// ", after FL, ML let go".
    #[must_use]
    pub fn let_go_words(&self, cx: &Context) -> String {
        let list = cx.facts().mounts().list();
        let names: Vec<&str> = self.let_go.iter().filter_map(|at| list.get(*at)).map(|mount| &*mount.name).collect();
        if names.is_empty() { String::new() } else { format!("; {} let go: nothing holds them down there", names.join(", ")) }
    }

    /// Over how much of it the weight does not hold; above 1 it tips.
    fn share(&self) -> f64 {
        match &self.moments {
            Some((tips, holds)) if holds.value() > 0.0 => tips.value() / holds.value(),
            Some(_) => f64::INFINITY,
            None => 0.0,
        }
    }
}

/// The worst of the cases that push a way, of those under which mounts let go or may.
pub fn worst<'c>(cx: &'c Context, direction: Direction, pushes: impl Fn(&Case) -> bool) -> Option<Tip<'c>> {
    let mut worst: Option<Tip<'c>> = None;
    for state in travel(cx) {
        for case in cases(cx).filter(|case| pushes(case)) {
            // Every case but rebound presses down; that is not what it is asked for.
            let level = case.g.first().is_some_and(|x| *x != 0.0) || case.g.get(1).is_some_and(|y| *y != 0.0);
            if direction == Direction::Down && level {
                continue;
            }
            let tip = match crate::restraint::outcome(cx, state, case) {
                Some(Outcome::LetsGo { motions, let_go, .. }) => tips(cx, state, case, motions, let_go),
                Some(Outcome::Held(carried)) if !carried.surely => may_tip(cx, state, case, carried),
                _ => None,
            };
            let Some(tip) = tip else { continue };
            if worst.as_ref().is_none_or(|worst| tip.share() > worst.share()) {
                worst = Some(tip);
            }
        }
    }
    worst
}

/// The motion that the load drives hardest, and the moments about its axis.
fn tips<'c>(
    cx: &'c Context,
    state: &'c StateFacts,
    case: &'static Case,
    motions: &[FreeMotion],
    let_go: &[usize],
) -> Option<Tip<'c>> {
    let riding = cx.facts().riding(state).ok()?;
    let [Ok(mass), Ok(x), Ok(y), Ok(z)] = [&riding.mass, riding.at.first()?, riding.at.get(1)?, riding.at.get(2)?] else {
        return None;
    };
    let [gx, gy, gz] = case.g;
    let at = [x.value(), y.value(), z.value()];
    // The work of the load in a motion of 1, level and upright apart.
    let work = |motion: &FreeMotion, at: [f64; 3], force: [f64; 3]| {
        let [tx, ty, tz] = motion.translation;
        let ([wx, wy, wz], [rx, ry, rz]) = (motion.rotation, at);
        let moved = [tx + wy * rz - wz * ry, ty + wz * rx - wx * rz, tz + wx * ry - wy * rx];
        moved.iter().zip(force).map(|(moved, force)| moved * force).sum::<f64>()
    };
    let whole = |motion: &&FreeMotion| work(motion, at, [gx, gy, gz]).abs();
    let motion = motions.iter().max_by(|a, b| whole(a).total_cmp(&whole(b)))?;
    let sense = if work(motion, at, [gx, gy, gz]) < 0.0 { -1.0 } else { 1.0 };
    let moment = |force: [f64; 3], sign: f64| {
        Estimate::propagate(&[mass, x, y, z], |v| match v {
            [mass, x, y, z] => Ok::<_, ()>(sign * sense * mass * gravity() * work(motion, [*x, *y, *z], force)),
            _ => Err(()),
        })
        .ok()
    };
    let rebound = gz > 0.0;
    // Rebound lifts: then nothing but the mounts holds.
    let moments = if rebound {
        (moment([gx, gy, gz], 1.0)?, Estimate::exact(0.0))
    } else {
        (moment([gx, gy, 0.0], 1.0)?, moment([0.0, 0.0, gz], -1.0)?)
    };
    let words = words(cx, motion, sense);
    Some(Tip { state, case, words, moments: Some(moments), least: Estimate::exact(0.0), let_go: let_go.to_vec() })
}

/// It holds, and within the doubt of the centre of gravity it may not.
fn may_tip<'c>(cx: &'c Context, state: &'c StateFacts, case: &'static Case, carried: &Carried) -> Option<Tip<'c>> {
    let facts = cx.facts();
    let bearing =
        facts.mounts().list().iter().enumerate().filter(|(at, mount)| {
            !carried.let_go.contains(at) && mount.does_hold(Direction::Down) != mount.does_hold(Direction::Up)
        });
    let forces = bearing.filter_map(|(at, mount)| {
        let sign = if mount.does_hold(Direction::Down) { 1.0 } else { -1.0 };
        Some((mount, facts.mount_force(state, carried, at, Axis::Z).ok()?.scale(sign)))
    });
    let (mount, least) = forces.min_by(|a, b| a.1.value().total_cmp(&b.1.value()))?;
    let words = format!("{} presses least, and nothing else holds the body there", mount.name);
    Some(Tip { state, case, words, moments: None, least, let_go: Vec::new() })
}

/// How the body moves, in words.
fn words(_cx: &Context, motion: &FreeMotion, sense: f64) -> String {
    let [wx, wy, wz] = motion.rotation.map(|turn| turn * sense);
    let [tx, ty, tz] = motion.translation.map(|shift| shift * sense);
    let point = motion.axis_point.unwrap_or_default();
    let metres = |value: f64| number(value, 2);
    let (sideways, endways, upright) = (wx.abs(), wy.abs(), wz.abs());
    if sideways + endways + upright == 0.0 {
        let way = if tz.abs() >= tx.abs() && tz.abs() >= ty.abs() {
            if tz > 0.0 { "lifts off its mounts" } else { "sinks" }
        } else if tx.abs() >= ty.abs() {
            if tx > 0.0 { "slides rearward" } else { "slides forward" }
        } else if ty > 0.0 {
            "slides to the right"
        } else {
            "slides to the left"
        };
        return format!("the body {way}");
    }
    let [px, py, _] = point;
    if sideways >= endways && sideways >= upright {
        let side = if py > 0.0 { "right-hand" } else { "left-hand" };
        format!("the body tips over its {side} mounts (y = {} m)", metres(py))
    } else if endways >= upright {
        format!("the body tips over the mounts at x = {} m", metres(px))
    } else {
        format!("the body turns about x = {} m", metres(px))
    }
}

/// What is said where the mounts do not settle which of them hold.
#[must_use]
pub fn open_words(cx: &Context) -> String {
    let open = travel(cx)
        .any(|state| cases(cx).any(|case| matches!(crate::restraint::outcome(cx, state, case), Some(Outcome::Unsettled))));
    if open { "; which of the one-sided mounts hold was not found in every case".to_owned() } else { String::new() }
}
