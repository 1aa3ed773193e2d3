//! The loop over axles that most checks of this trade share, and what a check says without a subject.

pub use check::subject::every_state;
use check::subject::no_state;
use check::{Card, Context, Finding};
use rig_facts::StateFacts;
use rig_facts::axles::AxleFacts;
use rig_model::model::Axle;

/// One axle in one state.
#[derive(Clone, Copy, Debug)]
pub struct AxleIn<'c> {
    /// Its index in file order.
    pub index: usize,
    /// The axle as the file states it.
    pub axle: &'c Axle,
    /// What facts know of it.
    pub facts: &'c AxleFacts,
    /// The state.
    pub state: &'c StateFacts,
}

impl AxleIn<'_> {
    /// Path of a key of this axle, `axle[front].rated`.
    #[must_use]
    pub fn key(&self, key: &str) -> String {
        format!("{}.{key}", self.facts.path)
    }

    /// "front axle".
    #[must_use]
    pub fn about(&self) -> String {
        axle_name(&self.axle.name)
    }
}

/// "front axle" for an axle called "front"; an axle called "tag axle" keeps its name.
#[must_use]
pub fn axle_name(name: &str) -> String {
    if name.contains("axle") { name.to_owned() } else { format!("{name} axle") }
}

/// Asks of every standing axle in every state of the card's scope; without an axle, one missing.
pub fn every_axle(cx: &Context, card: &Card, mut answer: impl FnMut(AxleIn<'_>) -> Vec<Finding>) -> Vec<Finding> {
    if cx.rig().axle.is_empty() {
        return vec![card.about(cx, "axles").at("axle").missing("axle")];
    }
    let mut findings: Vec<Finding> = no_state(cx, card).into_iter().collect();
    for state in cx.answered_states(card.scope) {
        for (index, (axle, facts)) in cx.rig().axle.iter().zip(cx.facts().axles().list()).enumerate() {
            if state.lifted.get(index).copied().unwrap_or(false) {
                let draft = card.about(cx, axle_name(&axle.name)).at(&facts.path).in_state(&state.name);
                findings.push(draft.not_applicable("the axle is lifted in this state"));
            } else {
                findings.extend(answer(AxleIn { index, axle, facts, state }));
            }
        }
    }
    findings
}
