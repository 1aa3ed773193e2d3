//! weight/axle-load: does any axle carry more than it may?
//!
//! demand      load on the ground under the axle, standing level, as a mass (kg)
//! capacity    the axle's stated road rating (kg), and the law's for a single axle, at most
//! states      every travel state
//! leaves out  tyres (`weight/tyre-load`), left against right (`weight/wheel-load`), two US axles close together
//!             (`weight/bridge-formula`)

use std::borrow::Cow;

use check::remedy::Proposal;
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Words, draft::Goal, on_ledger};
use quantity::{Dimension, Estimate};
use rig_facts::ItemKind;

use crate::remedy;
use crate::subject::{AxleIn, every_axle};
use crate::working;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/axle-load"),
    question: Cow::Borrowed("Does any axle carry more than it may?"),
    words: Words::new("carries", "may carry"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&["axle.rated", "axle.bare_load", "axle.x"]),
    uses: on_ledger!["axle.driven"],
    limits: List::Static(&["weight/axle-driven", "weight/axle-undriven", "weight/axle-single"]),
    formula: List::Static(&[
        "rear axle = bare load + sum of mass x (x - x of front axle) / wheelbase",
        "front axle = whole mass - rear axle; a mass behind the rear axle lightens the front",
    ]),
    cautions: List::Static(&[
        "a body on jacks can fall: stands on hard ground before anyone goes under",
        "plates and papers decide what is legal; this is arithmetic on a list of masses",
    ]),
};

/// Does any axle carry more than it may?
#[derive(Debug)]
pub struct AxleLoad;

impl Check for AxleLoad {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_axle(cx, &CARD, |axle| vec![answer(cx, axle)])
    }
}

fn answer(cx: &Context, axle: AxleIn<'_>) -> Finding {
    let draft = CARD.about(cx, axle.about()).at(&axle.facts.path).in_state(&axle.state.name);
    let Some(rated) = axle.axle.rated.as_ref().and_then(|rated| rated.value()) else { return draft.missing(axle.key("rated")) };
    let load = match axle.state.axle_load(axle.index) {
        Ok(load) => load,
        Err(gap) => return draft.blocked(gap),
    };
    let mut held = vec![Held::plate("axle rating", Estimate::exact(rated), Dimension::Mass)];
    held.extend(legal(cx, axle));
    draft
        .compare(load, &held)
        .working(|| show_working(cx, axle, load))
        .exhibit("side-view")
        .remedies(|goal| ways_out(cx, axle, goal))
        .done()
}

/// The law's bound for a single axle, by whether it is driven. A group has rules of its own.
fn legal(cx: &Context, axle: AxleIn<'_>) -> Vec<Held> {
    if axle.axle.group.is_some() {
        return Vec::new();
    }
    let driven = axle.axle.driven == Some(true);
    let mut held = cx.limits(if driven { "weight/axle-driven" } else { "weight/axle-undriven" });
    held.extend(cx.limits("weight/axle-single"));
    held
}

fn show_working(cx: &Context, axle: AxleIn<'_>, load: &Estimate) -> Vec<String> {
    let list = axle.state.prior.axles.as_ref().ok().and_then(|loads| loads.get(axle.index));
    let (Ok(bare), Some(list), Ok(shares)) = (&axle.facts.bare_load, list, cx.facts().axles().shares(&axle.state.lifted)) else {
        return Vec::new();
    };
    // With an axle lifted the bare chassis is shared anew: it is one of the parts.
    let anew = axle.state.lifted.contains(&true);
    let (list, bare) = (working::figure(list.value(), 1), working::figure(bare.value(), 1));
    let on_it = working::figure(list.get() - bare.get(), 1);
    let (head, whole) = if anew {
        (format!("{list} kg = sum of"), list)
    } else {
        (format!("{list} kg = {bare} kg bare + {on_it} kg from what stands on it"), on_it)
    };
    let mut lines = vec![head];
    lines.extend(working::largest_shares(axle.state, whole.get(), |item| {
        let x = item.at.first()?.as_ref().ok()?.value();
        (anew || item.kind != ItemKind::Chassis).then(|| shares.of_mass_at(axle.index, x))
    }));
    let list = list.get();
    lines.extend(working::tickets(list, load.value()));
    lines
}

fn ways_out(cx: &Context, axle: AxleIn<'_>, goal: &Goal) -> Vec<Proposal> {
    let change = remedy::down(goal);
    [
        remedy::move_body(cx, axle.state, axle.index, change),
        remedy::move_piece(cx, axle.state, axle.index, change),
        remedy::carry_less(cx, axle.state, Some(axle.index), goal.change()),
        remedy::lighten(cx, axle.state, Some(axle.index), goal.change()),
    ]
    .into_iter()
    .flatten()
    .collect()
}
