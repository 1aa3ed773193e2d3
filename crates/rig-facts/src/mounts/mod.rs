//! How the body is held: the mounts, what rides on them, what each carries, and how the frame bends under it.
//!
//! | module        | holds                                                                    |
//! |---------------|--------------------------------------------------------------------------|
//! | `told`        | every stated value of the tables of the trade, as an input with its spread |
//! | [`cases`]     | the accelerations to be stood, by code: data with a basis                  |
//! | [`layout`]    | where the mounts are, which ways they hold, how stiff they are             |
//! | [`riding`]    | mass and centre of gravity of what rides on them, state by state           |
//! | [`reactions`] | what each mount carries, or how the body moves                             |
//! | [`rail`]      | bending moment along the frame                                             |
//!
//! Nothing of it is solved before somebody asks, and then once for all checks.

pub mod cases;
pub mod layout;
pub mod rail;
pub mod reactions;
mod response;
pub mod riding;
mod told;

use std::sync::{Arc, OnceLock};

use physics::support::{FreeMotion, Mount};
use quantity::Estimate;
use rig_model::model::Rig;

pub use cases::Case;
pub use layout::MountFacts;
pub use reactions::{Axis, Carried, Outcome};
pub use riding::Riding;

use crate::facts::{Facts, StateFacts};
use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::place::BodyFrame;
use crate::told::Told;
use layout::Layout;
use response::Response;

/// What is solved once for a layout of mounts, whatever rides on them.
#[derive(Debug, Default)]
struct Solved(OnceLock<Result<Response, Vec<FreeMotion>>>);

/// What is found once for a state.
#[derive(Debug, Default)]
struct Found {
    riding: OnceLock<Riding>,
    /// By case; cases of the same acceleration share one answer.
    outcomes: Vec<OnceLock<Result<Outcome, Gap>>>,
}

/// How the body is held.
#[derive(Clone, Debug)]
pub struct Mounts {
    told: Arc<Told>,
    layout: Arc<Layout>,
    plain: Arc<Result<Vec<Mount>, Gap>>,
    solved: Arc<Solved>,
    cases: Arc<[&'static Case]>,
    found: Arc<[Found]>,
}

impl Mounts {
    pub(crate) fn read(rig: &Rig, frame: &BodyFrame, states: usize, before: Option<&Self>, inputs: &mut Inputs) -> Self {
        let told = told::read(rig, inputs);
        let layout = Layout::read(rig, frame, &told, inputs);
        let plain = layout.plain();
        let cases: Arc<[&'static Case]> = if rig.mount.is_empty() { Arc::default() } else { cases::in_force(rig).into() };
        // Mounts that stand as before answer as before, whatever rides on them now.
        let solved = before.filter(|before| *before.plain == plain).map(|before| Arc::clone(&before.solved)).unwrap_or_default();
        let (told, layout, plain) = (Arc::new(told), Arc::new(layout), Arc::new(plain));
        Self { told, layout, plain, solved, found: nothing_found(states, cases.len()), cases }
    }

    /// These mounts with what was found of others in the same states, where they stand and hold alike.
    pub(crate) fn found_as(self, before: &Self) -> Self {
        let same_case = |(one, other): (&&Case, &&Case)| std::ptr::eq(*one, *other);
        let same_cases = self.cases.len() == before.cases.len() && self.cases.iter().zip(before.cases.iter()).all(same_case);
        if !same_cases || self.layout != before.layout || self.found.len() != before.found.len() {
            return self;
        }
        Self { found: Arc::clone(&before.found), ..self }
    }

    /// The same mounts, with nothing found yet of the states.
    pub(crate) fn forget(&self) -> Self {
        Self { found: nothing_found(self.found.len(), self.cases.len()), ..self.clone() }
    }

    /// The mounts, in file order.
    #[must_use]
    pub fn list(&self) -> &[MountFacts] {
        &self.layout.list
    }

    /// The cases in force, standing still first; none where there is no mount.
    #[must_use]
    pub fn cases(&self) -> &[&'static Case] {
        &self.cases
    }

    /// Share of the roll between two axles that the springs leave to the frame, where nobody lifted a wheel to see.
    #[must_use]
    pub fn frame_share(&self) -> &Estimate {
        &self.layout.frame_share
    }

    /// A stated value of the tables of the trade, SI, by its path.
    ///
    /// # Errors
    /// The gap at that path.
    pub fn told(&self, path: &str) -> Result<&Estimate, Gap> {
        self.told.get(path)
    }

    /// The ways in which nothing holds the body, whatever the load; none where it is held. One-sided mounts count as
    /// holding both ways: whether they let go depends on the load.
    ///
    /// # Errors
    /// The gap that stops it: no mount, or one without place or kind.
    pub fn free_motions(&self) -> Result<&[FreeMotion], Gap> {
        match self.response()? {
            Ok(_) => Ok(&[]),
            Err(motions) => Ok(motions),
        }
    }

    fn response(&self) -> Result<&Result<Response, Vec<FreeMotion>>, Gap> {
        let plain = self.plain.as_ref().as_ref().map_err(Clone::clone)?;
        Ok(self.solved.0.get_or_init(|| response::response(plain.clone())))
    }

    /// Which slot of a state's answers a case has: that of the first case with the same acceleration.
    fn slot(&self, case: &Case) -> Option<usize> {
        self.cases.iter().position(|other| other.g == case.g)
    }
}

fn nothing_found(states: usize, cases: usize) -> Arc<[Found]> {
    let one = |_| Found { riding: OnceLock::new(), outcomes: (0..cases).map(|_| OnceLock::new()).collect() };
    (0..states).map(one).collect()
}

static NO_STATE: Gap = Gap { path: String::new(), why: String::new() };

impl Facts {
    /// How the body is held.
    #[must_use]
    pub fn mounts(&self) -> &Mounts {
        &self.mounts
    }

    fn found(&self, state: &StateFacts) -> Result<&Found, &Gap> {
        let at = self.states.iter().position(|other| other.name == state.name);
        at.and_then(|at| self.mounts.found.get(at)).ok_or(&NO_STATE)
    }

    /// The body with all that rides on its mounts in a state.
    ///
    /// # Errors
    /// A gap for a state of another rig.
    pub fn riding(&self, state: &StateFacts) -> Result<&Riding, &Gap> {
        Ok(self.found(state)?.riding.get_or_init(|| Riding::of(state, &self.tickets)))
    }

    /// How the mounts stand a case in a state.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn mount_outcome(&self, state: &StateFacts, case: &Case) -> Result<&Outcome, &Gap> {
        let slot = self.mounts.slot(case).ok_or(&NO_STATE)?;
        let found = self.found(state)?;
        let answer = found.outcomes.get(slot).ok_or(&NO_STATE)?;
        answer.get_or_init(|| self.solve(state, case)).as_ref()
    }

    fn solve(&self, state: &StateFacts, case: &Case) -> Result<Outcome, Gap> {
        let response = match self.mounts.response()? {
            Ok(response) => response,
            Err(motions) if motions.is_empty() => return Ok(Outcome::Unsettled),
            Err(motions) => return Ok(Outcome::Free(motions.clone())),
        };
        let riding = self.riding(state).map_err(Clone::clone)?;
        reactions::outcome(response, &self.mounts.layout, riding, case.g)
    }

    /// Force of one mount (by its place in the file, from 0) on the body along an axis, N, with its doubt. What the mounts
    /// put on the frame is the opposite: with z positive the frame is pressed down.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn mount_force(&self, state: &StateFacts, carried: &Carried, mount: usize, axis: Axis) -> Result<Estimate, Gap> {
        let riding = self.riding(state).map_err(Clone::clone)?;
        reactions::estimate(carried, mount, axis, &self.mounts.layout, riding)
    }
}

#[cfg(test)]
mod tests;
