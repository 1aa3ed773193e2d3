//! The loop over states that most checks share, and what a check says where the file has none of its kind.

use rig_facts::{StateFacts, StateKind};

use crate::card::{Card, Scope};
use crate::context::Context;
use crate::finding::Finding;

/// Asks of the whole rig in every state of the card's scope.
pub fn every_state(cx: &Context, card: &Card, answer: impl FnMut(&StateFacts) -> Vec<Finding>) -> Vec<Finding> {
    no_state(cx, card).into_iter().chain(cx.answered_states(card.scope).flat_map(answer)).collect()
}

/// What is said where the file names states and none of them is of the card's scope.
#[must_use]
pub fn no_state(cx: &Context, card: &Card) -> Option<Finding> {
    let kinds: &[StateKind] = match card.scope {
        Scope::Travel => &[StateKind::Travel],
        Scope::Camp => &[StateKind::Camp],
        Scope::Every | Scope::Once => &[StateKind::Travel, StateKind::Camp],
    };
    let any = cx.facts().states().iter().any(|state| kinds.contains(&state.kind));
    (!any).then(|| card.about(cx, "states").at("state").missing("state"))
}

/// What is said of each of a kind; where there is none of it, that the file has no `path`.
pub fn each_or_missing(
    cx: &Context,
    card: &Card,
    about: &str,
    path: &str,
    findings: impl IntoIterator<Item = Finding>,
) -> Vec<Finding> {
    let findings: Vec<Finding> = findings.into_iter().collect();
    if findings.is_empty() { vec![card.about(cx, about).at(path).missing(path)] } else { findings }
}
