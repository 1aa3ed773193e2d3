//! The rails of the frame as checks look at them: their section, their steel, how they bend where a cut is.

use check::Context;
use physics::mount_facts;
use physics::profile::profile;
use physics::section::{Shape, Sizes};
use quantity::Estimate;
use rig_facts::{Gap, StateFacts, StateKind};
use rig_model::model::{Frame, Side};

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
pub fn largest_moment(cx: &Context, x: f64) -> Result<(Estimate, &StateFacts), Gap> {
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
