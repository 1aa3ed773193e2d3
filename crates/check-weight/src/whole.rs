//! The rig as a whole: what it may weigh, what it weighs with its trailer, and shares of that on some axles.

use check::remedy::Proposal;
use check::{Context, Held, draft::Goal};
use quantity::{Dimension, Estimate};
use rig_facts::{Gap, ItemKind, StateFacts};

use crate::remedy;
use crate::working::{self, Figure};

/// How the whole is named in findings.
pub const NAME: &str = "whole rig";

/// Where its plate stands in the rig file.
pub const PATH: &str = "chassis";

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

/// The line of working that puts truck and trailer together.
#[must_use]
pub fn combination_line(truck: &Estimate, nose: &Estimate, trailer: &Estimate) -> String {
    let [truck, nose, trailer] = [truck, nose, trailer].map(|mass| working::figure(mass.value(), 1));
    let sum = working::kg(truck.get() - nose.get() + trailer.get());
    format!("{truck} kg truck - {nose} kg on the coupling + {trailer} kg trailer = {sum}")
}

/// A load as it is shown, and the name of its axle.
pub type NamedLoad<'c> = (Figure, &'c str);

/// Loads under the axles of which `chosen` is true: their sum in kg, and each as it is shown with the axle's name.
///
/// # Errors
/// The gap that stops it.
pub fn load_on<'c>(
    cx: &'c Context,
    state: &StateFacts,
    chosen: impl Fn(usize) -> bool,
) -> Result<(Estimate, Vec<NamedLoad<'c>>), Gap> {
    let mut loads = Vec::new();
    let mut parts = Vec::new();
    for (index, axle) in cx.facts().axles().list().iter().enumerate().filter(|(index, _)| chosen(*index)) {
        let load = state.axle_load(index).map_err(Clone::clone)?;
        parts.push((working::figure(load.value(), 1), axle.name.as_str()));
        loads.push(load);
    }
    Ok((Estimate::sum(loads.into_iter()), parts))
}

/// Ways to take mass off the whole: carry less, or take it off a piece.
#[must_use]
pub fn less(cx: &Context, state: &StateFacts, goal: &Goal) -> Vec<Proposal> {
    let less = goal.change();
    [remedy::carry_less(cx, state, None, less), remedy::lighten(cx, state, None, less)].into_iter().flatten().collect()
}
