//! The rig as a whole: what it may weigh, what it weighs with its trailer, and shares of that on some axles.

use check::remedy::Proposal;
use check::{Context, Held, draft::Goal};
use quantity::{Dimension, Estimate};
use rig_facts::{Gap, ItemKind, StateFacts};

use crate::{remedy, working};

/// How the whole is named in findings.
pub const NAME: &str = "whole rig";

/// Where its plate stands in the rig file.
pub const PATH: &str = "chassis";

/// What is said where none of the chosen sets has a limit.
pub const NO_LIMIT: &str = "none of the chosen sets of limits holds it against anything";

/// What the truck may weigh: plate, papers, and the law by its number of axles. None without a plate.
#[must_use]
pub fn ratings(cx: &Context) -> Option<Vec<Held>> {
    let chassis = cx.rig().chassis.as_ref()?;
    let plate = chassis.gross_mass.as_ref()?.value()?;
    let mut held = vec![Held::plate("plate of the truck", Estimate::exact(plate), Dimension::Mass)];
    if let Some(papers) = chassis.registered_mass.as_ref().and_then(|mass| mass.value()) {
        held.push(Held::plate("registration papers", Estimate::exact(papers), Dimension::Mass));
    }
    held.extend(match cx.rig().axle.as_slice() {
        [_, _] => cx.limits("weight/mass-two-axles"),
        [_, _, _] => cx.limits("weight/mass-three-axles"),
        [_, _, _, _] => cx.limits("weight/mass-four-axles"),
        _ => Vec::new(),
    });
    held.extend(cx.limits("weight/mass-any"));
    Some(held)
}

/// What the trailer puts on the coupling, kg: nothing where none is coupled.
///
/// # Errors
/// The gap that stops it.
pub fn nose(state: &StateFacts) -> Result<Estimate, Gap> {
    let item = state.items.iter().find(|item| item.kind == ItemKind::Nose);
    item.map_or(Ok(Estimate::exact(0.0)), |item| item.mass.clone())
}

/// Truck and trailer together, kg: the trailer's mass takes in what it puts on the coupling.
///
/// # Errors
/// The gap that stops it.
pub fn combination(cx: &Context, state: &StateFacts) -> Result<Estimate, Gap> {
    let truck = &state.mass().map_err(Clone::clone)?.clone() - &nose(state)?;
    if !state.trailer {
        return Ok(truck);
    }
    Ok(&truck + cx.facts().trailer_mass().map_err(Clone::clone)?)
}

/// Loads under the axles of which `chosen` is true, summed, kg, with a line of working.
///
/// # Errors
/// The gap that stops it.
pub fn load_on(cx: &Context, state: &StateFacts, chosen: impl Fn(usize) -> bool) -> Result<(Estimate, String), Gap> {
    let mut loads = Vec::new();
    let mut parts = Vec::new();
    for (index, axle) in cx.facts().axles().list().iter().enumerate().filter(|(index, _)| chosen(*index)) {
        let load = state.axle_load(index).map_err(Clone::clone)?;
        parts.push(format!("{} {}", working::kg(load.value()), axle.name));
        loads.push(load);
    }
    Ok((Estimate::sum(loads.into_iter()), parts.join(" + ")))
}

/// Ways to take mass off the whole: carry less, or take it off a piece.
#[must_use]
pub fn less(cx: &Context, state: &StateFacts, goal: &Goal) -> Vec<Proposal> {
    let less = goal.change();
    [remedy::carry_less(cx, state, None, less), remedy::lighten(cx, state, None, less)].into_iter().flatten().collect()
}
