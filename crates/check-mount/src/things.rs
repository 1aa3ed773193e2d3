//! A thing of the rig as the truck carries it: its mass in the state in which it weighs most.

use check::{Context, Scope};
use quantity::Estimate;
use rig_facts::{Gap, Item, ItemKind, StateFacts};

/// A thing with all that is in it, in the travel state in which it weighs most.
#[derive(Clone, Debug)]
pub struct Laden<'c> {
    /// Its mass, all its pieces together, kg.
    pub mass: Estimate,
    /// The state.
    pub state: &'c StateFacts,
}

/// The thing at that path where it weighs most on the road; none where it is always at home.
///
/// # Errors
/// The gap of its mass.
pub fn heaviest<'c>(cx: &'c Context, path: &str) -> Result<Option<Laden<'c>>, Gap> {
    let mut most: Option<Laden<'c>> = None;
    for state in cx.states(Scope::Travel) {
        let parts: Vec<&Estimate> =
            of(state, path).map(|item| item.mass.as_ref()).collect::<Result<_, _>>().map_err(Clone::clone)?;
        if parts.is_empty() {
            continue;
        }
        let mass = Estimate::sum(parts.into_iter());
        if most.as_ref().is_none_or(|most| mass.value() > most.mass.value()) {
            most = Some(Laden { mass, state });
        }
    }
    Ok(most)
}

/// The entries of the ledger that belong to the thing at that path: itself, and what is in it. Who sits on it is held by a
/// belt.
fn of<'c>(state: &'c StateFacts, path: &str) -> impl Iterator<Item = &'c Item> {
    state.items.iter().map(AsRef::as_ref).filter(move |item| item.path == path && item.kind != ItemKind::Person)
}
