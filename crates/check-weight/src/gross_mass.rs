//! weight/gross-mass: does the whole rig weigh more than it may?
//!
//! demand      mass of the laden truck (kg); case "combination": of truck and trailer, where one is coupled
//! capacity    the lowest of plate, registration papers, and the law by number of axles (kg), at most
//! states      every travel state
//! leaves out  single axles (`weight/axle-load`), the driver's licence (`weight/licence`), bridges (`weight/bridge-formula`)

use std::borrow::Cow;

use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Words, on_ledger};
use quantity::{Dimension, Estimate};
use rig_facts::StateFacts;

use crate::subject::every_state;
use crate::{whole, working};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/gross-mass"),
    question: Cow::Borrowed("Does the whole rig weigh more than it may?"),
    words: Words::new("weighs", "may weigh"),
    consequence: Consequence::Legal,
    scope: Scope::Travel,
    needs: List::Static(&["chassis.gross_mass", "axle.bare_load"]),
    uses: on_ledger!["chassis.registered_mass", "chassis.combination_mass", "axle.can_lift"],
    limits: List::Static(&["weight/mass-two-axles", "weight/mass-three-axles", "weight/mass-four-axles", "weight/mass-any"]),
    formula: List::Static(&[
        "truck = bare chassis as weighed + sum of everything on it",
        "combination = truck - load on the coupling + whole trailer",
    ]),
    cautions: List::Static(&["plates and papers decide what is legal; this is arithmetic on a list of masses"]),
};

/// Does the whole rig weigh more than it may?
#[derive(Debug)]
pub struct GrossMass;

impl Check for GrossMass {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| {
            let mut findings = vec![truck(cx, state)];
            findings.extend(state.trailer.then(|| combination(cx, state)));
            findings
        })
    }
}

fn truck(cx: &Context, state: &StateFacts) -> Finding {
    let draft = CARD.about(cx, whole::NAME).at(whole::PATH).in_state(&state.name);
    let Some(held) = whole::ratings(cx) else { return draft.missing("chassis.gross_mass") };
    let mass = match state.mass() {
        Ok(mass) => mass,
        Err(gap) => return draft.blocked(gap),
    };
    draft
        .compare(mass, &held)
        .working(|| show_working(state, mass))
        .exhibit("side-view")
        .remedies(|goal| whole::less(cx, state, goal))
        .done()
}

fn show_working(state: &StateFacts, mass: &Estimate) -> Vec<String> {
    let Ok(list) = &state.prior.sums.mass else { return Vec::new() };
    let mut lines = vec![format!("{} = sum of", working::kg(list.value()))];
    lines.extend(working::largest_shares(state, list.value(), |_| Some(1.0)));
    lines.extend(working::tickets(list.value(), mass.value()));
    lines
}

fn combination(cx: &Context, state: &StateFacts) -> Finding {
    const RATED: &str = "chassis.combination_mass";
    let draft = CARD.about(cx, "truck and trailer").at(whole::PATH).in_state(&state.name).case("combination");
    let rated = cx.rig().chassis.as_ref().and_then(|chassis| chassis.combination_mass.as_ref()?.value());
    let Some(rated) = rated else { return draft.missing(RATED) };
    let (truck, nose, trailer) = match (state.mass(), whole::nose(state), cx.facts().trailer_mass()) {
        (Ok(truck), Ok(nose), Ok(trailer)) => (truck, nose, trailer),
        (Err(gap), ..) | (_, _, Err(gap)) => return draft.blocked(gap),
        (_, Err(gap), _) => return draft.blocked(&gap),
    };
    let all = &(truck - &nose) + trailer;
    let mut held = vec![Held::plate("plate of the truck, with trailer", Estimate::exact(rated), Dimension::Mass)];
    held.extend(cx.limits("weight/mass-any"));
    draft
        .compare(&all, &held)
        .working(|| [whole::combination_line(truck, &nose, trailer)])
        .remedies(|goal| whole::less(cx, state, goal))
        .done()
}
