//! What each mount takes of any load, while no one-sided mount lets go: the answer is linear then, and is found once for
//! all states and cases.

use physics::support::{self, Answer, FreeMotion, Held, Load, Pushes};

/// What the mounts put on the body, N, along x, y, z.
pub(super) type Reactions = Vec<[f64; 3]>;

/// Forces along three axes, at the middle of the mounts and 1 m off it along each axis.
#[derive(Clone, Debug)]
pub(super) struct Response {
    /// The mounts, with their pushes.
    pub(super) mounts: Vec<support::Mount>,
    middle: [f64; 3],
    /// By axis of a force of 1 N: at the middle, and the change for 1 m along x, y, z.
    at_middle: [Reactions; 3],
    per_metre: [[Reactions; 3]; 3],
    /// Share of a force on a mount that the same mount takes, by axis: 1 where statics alone decides.
    own_share: Reactions,
}

/// The ways a body on its mounts can move, or how the mounts answer.
pub(super) fn response(mounts: Vec<support::Mount>) -> Result<Response, Vec<FreeMotion>> {
    let free = support::free_motions(&mounts);
    if !free.is_empty() {
        return Err(free);
    }
    let both: Vec<support::Mount> = mounts.iter().map(|mount| support::Mount { pushes: [Pushes::Both; 3], ..*mount }).collect();
    let count = mounts.len().max(1) as f64;
    let middle = [0, 1, 2].map(|axis| both.iter().filter_map(|mount| mount.at.get(axis)).sum::<f64>() / count);
    let solve = |load: &Load| match support::reactions(&both, load) {
        Answer::Held(Held { on_body, .. }) => Ok(on_body),
        // Stiffnesses too far apart to tell: no motion of its own to name.
        Answer::Free(motions) | Answer::LetsGo { motions, .. } => Err(motions),
        Answer::Unsettled => Err(Vec::new()),
    };
    let force = |axis: usize| unit(axis);
    let mut at_middle = [Vec::new(), Vec::new(), Vec::new()];
    let mut per_metre = [[const { Vec::new() }; 3], [const { Vec::new() }; 3], [const { Vec::new() }; 3]];
    for (axis, (here, there)) in at_middle.iter_mut().zip(&mut per_metre).enumerate() {
        *here = solve(&Load { force: force(axis), at: middle })?;
        for (along, change) in there.iter_mut().enumerate() {
            let mut at = middle;
            at.iter_mut().skip(along).take(1).for_each(|place| *place += 1.0);
            *change = differences(&solve(&Load { force: force(axis), at })?, here);
        }
    }
    let mut own_share = vec![[1.0; 3]; mounts.len()];
    for (index, (mount, share)) in both.iter().zip(&mut own_share).enumerate() {
        for (axis, own) in share.iter_mut().enumerate() {
            if mount.stiffness.get(axis).is_some_and(|stiffness| *stiffness > 0.0) {
                let taken = solve(&Load { force: force(axis), at: mount.at })?;
                *own = taken.get(index).and_then(|force| force.get(axis)).map_or(1.0, |force| -force);
            }
        }
    }
    Ok(Response { mounts, middle, at_middle, per_metre, own_share })
}

fn unit(axis: usize) -> [f64; 3] {
    [0, 1, 2].map(|other| if other == axis { 1.0 } else { 0.0 })
}

fn differences(a: &Reactions, b: &Reactions) -> Reactions {
    a.iter().zip(b).map(|([ax, ay, az], [bx, by, bz])| [ax - bx, ay - by, az - bz]).collect()
}

/// What one mount puts on the body along one axis, and how that changes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Share {
    /// Force on the body, N.
    pub(super) value: f64,
    /// Its change for 1 kg more, and for the centre of gravity 1 m along x, y, z.
    pub(super) slope: [f64; 4],
    /// Its change for a relative change of this mount's own stiffness.
    pub(super) by_stiffness: f64,
}

impl Response {
    /// Whether any mount can push one way only.
    pub(super) fn one_sided(&self) -> bool {
        self.mounts.iter().any(|mount| mount.pushes.iter().any(|pushes| *pushes != Pushes::Both))
    }

    /// The shares of a load of that mass at that place under that acceleration, m/s2, along each axis; none where a
    /// one-sided mount would have to pull, so that another answer holds.
    pub(super) fn linear(&self, mass: f64, at: [f64; 3], acceleration: [f64; 3]) -> Option<Vec<[Share; 3]>> {
        let off = [0, 1, 2].map(|axis| get(&at, axis) - get(&self.middle, axis));
        let mut shares = Vec::with_capacity(self.mounts.len());
        for (index, mount) in self.mounts.iter().enumerate() {
            let one = [0, 1, 2].map(|axis| {
                // For 1 kg at the middle, and its change for 1 m.
                let mut per_kg = weighted(&self.at_middle, acceleration, index, axis);
                let mut slope = [0.0; 4];
                for (along, slope) in slope.iter_mut().skip(1).enumerate() {
                    let change = self.per_metre.iter().zip(acceleration).map(|(by_axis, a)| {
                        by_axis.get(along).and_then(|all| all.get(index)).map_or(0.0, |force| get(force, axis) * a)
                    });
                    let change: f64 = change.sum();
                    per_kg += change * get(&off, along);
                    *slope = change * mass;
                }
                slope.iter_mut().take(1).for_each(|by_mass| *by_mass = per_kg);
                let value = per_kg * mass;
                let own = self.own_share.get(index).map_or(1.0, |own| get(own, axis));
                Share { value, slope, by_stiffness: value * (1.0 - own) }
            });
            let pulls = mount.pushes.iter().zip(&one).any(|(pushes, share)| match pushes {
                Pushes::Both => false,
                Pushes::Positive => share.value < 0.0,
                Pushes::Negative => share.value > 0.0,
            });
            if pulls {
                return None;
            }
            shares.push(one);
        }
        Some(shares)
    }
}

fn get(list: &[f64; 3], at: usize) -> f64 {
    list.get(at).copied().unwrap_or(0.0)
}

fn weighted(by_axis: &[Reactions; 3], acceleration: [f64; 3], mount: usize, axis: usize) -> f64 {
    by_axis.iter().zip(acceleration).map(|(all, a)| all.get(mount).map_or(0.0, |force| get(force, axis) * a)).sum()
}
