//! The rails of the frame as checks look at them: their section, their steel, how they bend where a cut is.

use check::{Context, Draft, Finding, Held, Verdict, working};
use physics::mount_facts;
use physics::profile::profile;
use physics::section::{Shape, Sizes};
use quantity::{Dimension, Estimate};
use rig_facts::{Gap, StateFacts, StateKind};
use rig_model::model::{Frame, Side};

use crate::limits_told::least;

/// The frame as the file states it.
#[must_use]
pub fn frame(cx: &Context) -> Option<&Frame> {
    cx.rig().chassis.as_ref()?.frame.as_ref()
}

/// Sizes of one rail, m.
///
/// # Errors
/// The gap: no rail is told, or none that is a channel.
pub fn rail(cx: &Context) -> Result<Sizes, Gap> {
    const PATH: &str = "chassis.frame.rail";
    let text = frame(cx).and_then(|frame| frame.rail.as_deref()).filter(|text| text.trim() != "?");
    let text = text.ok_or_else(|| Gap::at(PATH))?;
    match profile(text) {
        Ok(rail) if rail.shape == Shape::Channel => Ok(rail.sizes),
        Ok(_) => Err(Gap::because(PATH, "a rail is reckoned as a channel here; write \"C 220x80x7\"")),
        Err(why) => Err(Gap::because(PATH, why.to_string())),
    }
}

/// Yield strength of the rails.
#[derive(Clone, Debug)]
pub struct RailSteel {
    /// Yield strength, Pa.
    pub yield_strength: Estimate,
    /// What it was taken for, such as "S355".
    pub name: String,
    /// Whether nobody knows the steel, so that the weakest plausible one stands in.
    pub assumed: bool,
}

/// The weakest steel that a rail is plausibly made of.
const WEAKEST: &str = "S235";
/// Tables of steels by name.
const STEELS: [&str; 4] = ["steel/structural", "steel/structural-recalled", "steel/american", "steel/rail"];

/// The rails' steel: as the maker's table says, else by its name, else the weakest plausible one.
#[must_use]
pub fn steel(cx: &Context) -> RailSteel {
    let by_name = |name: &str| {
        let tables = STEELS.iter().filter_map(|id| mount_facts::table(id));
        tables.flat_map(|table| table.pairs("steel", "yield")).find(|(known, _)| known.eq_ignore_ascii_case(name.trim()))
    };
    if let Ok(told) = cx.facts().mounts().told("chassis.frame.yield_strength") {
        return RailSteel { yield_strength: told.clone(), name: "the maker's steel".to_owned(), assumed: false };
    }
    let named = frame(cx).and_then(|frame| frame.steel.as_deref()).and_then(by_name);
    let assumed = named.is_none();
    let (name, pascal) = named.or_else(|| by_name(WEAKEST)).unwrap_or((WEAKEST, 0.0));
    RailSteel { yield_strength: Estimate::exact(pascal), name: name.to_owned(), assumed }
}

/// "left rail", "right rail" or "rails".
#[must_use]
pub fn rail_name(side: Option<Side>) -> &'static str {
    match side {
        Some(Side::Left) => "left rail",
        Some(Side::Right) => "right rail",
        None => "rails",
    }
}

/// Bending moment of one rail at x, standing still, N m, without its sign, in the travel state where it is largest.
///
/// # Errors
/// The gap that stops it.
fn largest_moment(cx: &Context, x: f64) -> Result<(Estimate, &StateFacts), Gap> {
    let mut worst: Option<(Estimate, &StateFacts)> = None;
    for state in cx.facts().states().iter().filter(|state| state.kind == StateKind::Travel) {
        let both = cx.facts().rail_moment(state, x)?;
        let one = both.scale(if both.value() < 0.0 { -1.0 } else { 1.0 } / 2.0);
        if worst.as_ref().is_none_or(|(worst, _)| one.value() > worst.value()) {
            worst = Some((one, state));
        }
    }
    worst.ok_or_else(|| Gap::at("state"))
}

/// Stress at a place of one rail under what stands on the frame, held against a share of its yield strength: in the travel
/// state where the rail bends most there. `left` is the section modulus, m3, that sizes in doubt leave.
///
/// # Errors
/// The gap that stops it.
pub fn stress<'c>(
    cx: &'c Context,
    begin: &dyn Fn() -> Draft<'c>,
    x: &Estimate,
    sizes: &[&Estimate],
    left: &dyn Fn(&[f64]) -> f64,
) -> Result<Finding, Gap> {
    let (moment, state) = largest_moment(cx, x.value())?;
    let inputs: Vec<&Estimate> = [&moment].into_iter().chain(sizes.iter().copied()).collect();
    let stress = Estimate::propagate(&inputs, |at| match at {
        [moment, sizes @ ..] => Ok(moment / left(sizes)),
        [] => Err(Gap::at("chassis.frame.rail")),
    })?;
    let steel = steel(cx);
    let share = cx.limits("mount/rail-stress").into_iter();
    let held: Vec<Held> = share.map(|held| held.times(&steel.yield_strength, Dimension::Stress)).collect();
    let lines = || {
        let nominal: Vec<f64> = sizes.iter().map(|size| size.value()).collect();
        let (cm3, moment) = (working::figure(left(&nominal) * CM3, 2), working::figure(moment.value(), 1));
        let mut lines = vec![
            format!("in one rail {} behind the front axle, {}: {moment} N m", working::m(x.value()), state.name),
            format!("{moment} N m / {cm3} cm3 = {} MPa", working::number(moment.get() / cm3.get(), 1)),
        ];
        let yields = working::figure(steel.yield_strength.value() * MPA, 1);
        lines.extend(least(&held).map(|least| {
            format!("{} yields at {yields} MPa; standing still it may bear {} MPa", steel.name, working::number(least * MPA, 1))
        }));
        lines
    };
    let assumed = if steel.assumed { format!(", even if the rail is {}", steel.name) } else { String::new() };
    let draft = begin().words("bears", "may bear").compare(&stress, &held).working(lines);
    if steel.assumed && draft.verdict() != Verdict::Pass {
        let why = format!("as {}, the weakest a rail is made of, it would not hold", steel.name);
        return Ok(begin().blocked(&Gap::because("chassis.frame.steel", why)));
    }
    Ok(draft.sentence(format!("stress there, {}{assumed}", state.name)).done())
}

/// What a line of working shows: cm3 of m3, MPa of Pa.
const CM3: f64 = 1e6;
const MPA: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    #[test]
    fn the_makers_table_wins_and_what_nobody_knows_is_the_weakest() {
        let of = |told: &str| {
            let steel = steel(&context(&format!("[chassis.frame]\n{told}")));
            (steel.yield_strength.value(), steel.assumed)
        };
        assert_eq!(of("steel = \"s355\""), (355e6, false));
        assert_eq!(of("steel = \"rail 50 ksi\""), (345e6, false));
        assert_eq!(of("steel = \"S355\"\nyield_strength = \"420 MPa data-plate\""), (420e6, false));
        for unknown in ["", "steel = \"?\"", "steel = \"of the good sort\""] {
            assert_eq!(of(unknown), (235e6, true), "{unknown}");
        }
    }

    #[test]
    fn a_tube_is_no_rail() {
        let gap = rail(&context("[chassis.frame]\nrail = \"tube 80x80x4\"")).expect_err("it is a tube");
        assert_eq!(gap.path, "chassis.frame.rail");
        assert!(rail(&context("[chassis.frame]\nrail = \"C 250x80x8\"")).is_ok_and(|rail| rail.flange == 0.008));
    }
}
