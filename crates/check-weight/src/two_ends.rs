//! The rig as it stands on a front and a rear end: what grade and braking share.
//!
//! The axles on the ground fall in two at their widest gap; each end counts as one axle in the middle of its own.

use check::Context;
use physics::grade::OnAxles;
use quantity::Estimate;
use rig_facts::{Gap, StateFacts};

/// A rig on two ends.
#[derive(Clone, Debug)]
pub struct TwoEnds {
    /// Axles of the front end, by index.
    pub front: Vec<usize>,
    /// Axles of the rear end, by index.
    pub rear: Vec<usize>,
    /// Mass, kg.
    pub mass: Estimate,
    /// Distance of the ends, m.
    pub base: Estimate,
    /// Centre of gravity behind the front end, m.
    pub behind: Estimate,
    /// Its height, m.
    pub height: Estimate,
}

impl TwoEnds {
    /// In one state; worked out once for all checks.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn of(cx: &Context, state: &StateFacts) -> Result<Self, Gap> {
        Result::clone(&cx.shared(&state.name, || Self::work_out(cx, state)))
    }

    fn work_out(cx: &Context, state: &StateFacts) -> Result<Self, Gap> {
        let axles = cx.facts().axles();
        let mut order: Vec<(usize, &Estimate)> = Vec::new();
        for index in axles.standing(&state.lifted) {
            let axle = axles.list().get(index).ok_or_else(|| Gap::at("axle"))?;
            order.push((index, axle.x.as_ref().map_err(Clone::clone)?));
        }
        order.sort_by(|a, b| a.1.value().total_cmp(&b.1.value()));
        let gaps = order.windows(2).enumerate().filter_map(|(at, pair)| match pair {
            [(_, a), (_, b)] => Some((at + 1, b.value() - a.value())),
            _ => None,
        });
        // Of two gaps alike the foremost, so that a tandem behind stays together.
        let widest = gaps.fold(None, |best: Option<(usize, f64)>, gap| match best {
            Some(best) if best.1 >= gap.1 => Some(best),
            _ => Some(gap),
        });
        let (split, _) = widest.ok_or_else(|| Gap::because("axle", "two axles on the ground are wanted"))?;
        let (front, rear) = order.split_at(split);
        let (front_x, rear_x) = (middle(front), middle(rear));
        let sums = &state.loads.sums;
        Ok(Self {
            front: front.iter().map(|(index, _)| *index).collect(),
            rear: rear.iter().map(|(index, _)| *index).collect(),
            mass: sums.mass.clone()?,
            base: &rear_x - &front_x,
            behind: &sums.x()? - &front_x,
            height: sums.z()?,
        })
    }

    /// Something that follows from the four numbers, with its doubt.
    #[must_use]
    pub fn propagate(&self, f: impl Fn(OnAxles) -> f64) -> Estimate {
        let inputs = [&self.mass, &self.base, &self.behind, &self.height];
        let at = |v: &[f64]| match v {
            [mass, base, behind, height] => {
                Ok::<_, Gap>(f(OnAxles { mass_kg: *mass, wheelbase_m: *base, cg_x_m: *behind, cg_height_m: *height }))
            }
            _ => Ok(0.0),
        };
        Estimate::propagate(&inputs, at).unwrap_or(Estimate::exact(0.0))
    }

    /// Share of the mass that the front end carries; `angle` in rad, positive nose up, `deceleration` in m/s2.
    #[must_use]
    pub fn front_share(&self, angle: f64, deceleration: f64) -> Estimate {
        self.propagate(|rig| rig.loads(angle, deceleration).0 / rig.mass_kg)
    }

    /// Share of the mass that the rear end carries.
    #[must_use]
    pub fn rear_share(&self, angle: f64, deceleration: f64) -> Estimate {
        self.propagate(|rig| rig.loads(angle, deceleration).1 / rig.mass_kg)
    }
}

fn middle(axles: &[(usize, &Estimate)]) -> Estimate {
    let count = axles.len().max(1) as f64;
    Estimate::sum(axles.iter().map(|(_, x)| *x)).scale(1.0 / count)
}
