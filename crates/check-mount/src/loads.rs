//! What the mounts carry in every travel state and every case that is to be stood, for the checks of what carries it.

use check::Context;
use check::working::number;
use quantity::Estimate;
use rig_facts::mounts::{Axis, Carried, Case, Outcome};
use rig_facts::{Gap, StateFacts, StateKind};

/// Inputs that move an answer: those named, and all that rests on what the mounts carry. Tickets tie that to the axles.
macro_rules! on_mounts {
    [$($more:literal),* $(,)?] => {
        check::on_ledger![
            $($more,)*
            "mount.in",
            "mount.kind",
            "mount.holds",
            "mount.stiffness",
            "mount.spring.rate",
        ]
    };
}
pub(crate) use on_mounts;

/// One load on the mounts: a case in a state, and what they carry under it.
#[derive(Clone, Copy, Debug)]
pub struct Under<'c> {
    /// The state.
    pub state: &'c StateFacts,
    /// The case.
    pub case: &'static Case,
    /// What the mounts carry.
    pub carried: &'c Carried,
}

impl Under<'_> {
    /// Force between a mount and the body along x, y, z, N, with its doubt.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn forces(&self, cx: &Context, mount: usize) -> Result<[Estimate; 3], Gap> {
        let along = |axis| cx.facts().mount_force(self.state, self.carried, mount, axis);
        Ok([along(Axis::X)?, along(Axis::Y)?, along(Axis::Z)?])
    }

    /// "braking at 0.8 g, travel-full".
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}, {}", case_words(self.case), self.state.name)
    }
}

/// A case as a person would say it.
#[must_use]
pub fn case_words(case: &Case) -> String {
    let g = |value: f64| format!("{} g", trimmed(value.abs()));
    match case.g {
        [x, _, _] if x < 0.0 => format!("braking at {}", g(x)),
        [x, _, _] if x > 0.0 => format!("pushed rearward at {}", g(x)),
        [_, y, _] if y < 0.0 => format!("swerving at {}, pushed to the left", g(y)),
        [_, y, _] if y > 0.0 => format!("swerving at {}, pushed to the right", g(y)),
        [_, _, z] if z > 0.0 => format!("rebounding at {}", g(z)),
        [_, _, z] if z < -1.0 => format!("a bump of {}", g(z)),
        _ => "standing still".to_owned(),
    }
}

/// "0.8", "3", "0.435".
fn trimmed(value: f64) -> String {
    const DECIMALS: usize = 3;
    number(value, DECIMALS).trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The travel states of the rig, whatever state is looked at: the worst of them counts.
pub fn travel(cx: &Context) -> impl Iterator<Item = &StateFacts> {
    cx.facts().states().iter().filter(|state| state.kind == StateKind::Travel)
}

/// The cases in force, each acceleration once.
pub fn cases(cx: &Context) -> impl Iterator<Item = &'static Case> + '_ {
    let all = cx.facts().mounts().cases();
    all.iter().enumerate().filter(move |(at, case)| !all.iter().take(*at).any(|other| other.g == case.g)).map(|(_, case)| *case)
}

/// Why nothing is known of what the mounts carry.
const NOT_HELD: &str = "what a mount carries is not known before the mounts hold the body: see mount/restraint";

/// Every load under which the mounts hold; those under which they do not are the question of mount/restraint.
///
/// # Errors
/// The gap that stops all of it: no mount, no state, a mass or a place that is not told, or nothing that holds the body.
pub fn loads(cx: &Context) -> Result<Vec<Under<'_>>, Gap> {
    if cx.rig().mount.is_empty() {
        return Err(Gap::at("mount"));
    }
    let mut found = Vec::new();
    let mut any = false;
    for state in travel(cx) {
        for case in cases(cx) {
            any = true;
            if let Outcome::Held(carried) = cx.facts().mount_outcome(state, case).map_err(Clone::clone)? {
                found.push(Under { state, case, carried });
            }
        }
    }
    match (any, found.is_empty()) {
        (false, _) => Err(Gap::at("state")),
        (true, true) => Err(Gap::because("mount.holds", NOT_HELD)),
        (true, false) => Ok(found),
    }
}

/// The load that is worst for one of these mounts by a measure of its nominal forces; of two alike the first.
pub fn worst<'u, 'c>(
    loads: &'u [Under<'c>],
    mounts: &[usize],
    measure: impl Fn([f64; 3]) -> f64,
) -> Option<(&'u Under<'c>, usize)> {
    let each = loads.iter().flat_map(|under| mounts.iter().map(move |mount| (under, *mount)));
    let measured = each.map(|(under, mount)| (measure(under.carried.nominal(mount)), under, mount));
    let worst = measured.reduce(|worst, other| if other.0 > worst.0 { other } else { worst })?;
    Some((worst.1, worst.2))
}

/// The load of standing still in the state in which these mounts carry most.
pub fn still<'u, 'c>(
    loads: &'u [Under<'c>],
    mounts: &[usize],
    measure: impl Fn([f64; 3]) -> f64,
) -> Option<(&'u Under<'c>, usize)> {
    let each = loads.iter().filter(|under| under.case.g == [0.0, 0.0, -1.0]);
    let each = each.flat_map(|under| mounts.iter().map(move |mount| (under, *mount)));
    let measured = each.map(|(under, mount)| (measure(under.carried.nominal(mount)), under, mount));
    let worst = measured.reduce(|worst, other| if other.0 > worst.0 { other } else { worst })?;
    Some((worst.1, worst.2))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_case_is_said_as_a_person_would() {
        let text = "format = \"rigproof-rig/1\"\nrig = \"x\"\ncodes = [\"us-federal\"]\n[[mount]]\nname = \"a\"\n";
        let (_, rig) = rig_model::read_rig(text, rig_model::Syntax::Toml).expect("it reads");
        let said: Vec<String> =
            rig_facts::Facts::derive(std::sync::Arc::new(rig)).mounts().cases().iter().map(|case| case_words(case)).collect();
        for wanted in [
            "standing still",
            "braking at 0.8 g",
            "braking at 0.435 g",
            "pushed rearward at 0.5 g",
            "swerving at 0.5 g, pushed to the left",
            "swerving at 0.25 g, pushed to the right",
            "a bump of 3 g",
            "rebounding at 1 g",
        ] {
            assert!(said.iter().any(|said| said == wanted), "{wanted}: {said:?}");
        }
    }
}
