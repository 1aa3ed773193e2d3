//! weight/payload-left: how much may still be loaded?
//!
//! demand      the lowest of plate, papers and law, less the mass of the laden truck (kg), at least nothing;
//!             case "per head": what the rating leaves beyond the truck ready to drive (kg)
//! capacity    nothing; per head: 10 kg for each seat and each metre of length (a maker's duty in the European Union)
//! states      every travel state; per head: likewise, since pieces may be left at home
//! leaves out  where on the rig it may be loaded (`weight/axle-load`, `weight/tyre-load`)

use std::borrow::Cow;

use check::limits::HeldBound;
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Verdict, Words, on_ledger};
use quantity::{Dimension, Estimate};
use rig_facts::{Gap, ItemKind, StateFacts};
use rig_model::model::Holds;
use rig_model::path;

use crate::subject::every_state;
use crate::{whole, working};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/payload-left"),
    question: Cow::Borrowed("How much may still be loaded?"),
    words: Words::new("leaves", "must leave"),
    consequence: Consequence::Legal,
    scope: Scope::Travel,
    needs: List::Static(&["chassis.gross_mass", "axle.bare_load"]),
    uses: on_ledger![
        "chassis.registered_mass",
        "chassis.running_order_mass",
        "chassis.front_end",
        "chassis.rear_end",
        "envelope.length"
    ],
    limits: List::Static(&[
        "weight/mass-two-axles",
        "weight/mass-three-axles",
        "weight/mass-four-axles",
        "weight/mass-any",
        "weight/payload-per-head",
    ]),
    formula: List::Static(&[
        "left = lowest of plate, papers and law - mass of the laden truck",
        "per head: rating - mass ready to drive >= 10 kg x (seats + length in metres)",
    ]),
    cautions: List::Static(&["plates and papers decide what is legal; this is arithmetic on a list of masses"]),
};

/// How much may still be loaded?
#[derive(Debug)]
pub struct PayloadLeft;

impl Check for PayloadLeft {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| vec![left(cx, state), per_head(cx, state)])
    }
}

/// The lowest of plate, papers and law, and its name.
fn lowest(cx: &Context) -> Option<(f64, Held)> {
    let bound = |held: Held| match &held.bound {
        HeldBound::AtMost(most) => Some((most.value(), held)),
        _ => None,
    };
    whole::ratings(cx)?.into_iter().filter_map(bound).min_by(|a, b| a.0.total_cmp(&b.0))
}

fn left(cx: &Context, state: &StateFacts) -> Finding {
    let draft = CARD.about(cx, whole::NAME).at(whole::PATH).in_state(&state.name);
    let Some((rated, by)) = lowest(cx) else { return draft.missing("chassis.gross_mass") };
    let mass = match state.mass() {
        Ok(mass) => mass,
        Err(gap) => return draft.blocked(gap),
    };
    let left = mass.scale(-1.0).offset(rated);
    let none = Held::at_least(&by.name, Estimate::exact(0.0), Dimension::Mass, by.basis);
    let (rated, mass) = (working::figure(rated, 1), working::figure(mass.value(), 1));
    draft
        .compare(&left, &[none])
        .working(|| [format!("{rated} kg ({}) - {mass} kg = {}", by.name, working::kg(rated.get() - mass.get()))])
        .remedies(|goal| whole::less(cx, state, goal))
        .done()
}

fn per_head(cx: &Context, state: &StateFacts) -> Finding {
    let begin = || CARD.about(cx, whole::NAME).at(whole::PATH).in_state(&state.name).case("per head");
    let draft = begin().words("leaves beyond the truck ready to drive", "must leave");
    let each = cx.limits("weight/payload-per-head");
    if each.is_empty() {
        return draft.not_applicable("none of the chosen sets asks for a payload by seats and length");
    }
    let Some((rated, by)) = lowest(cx) else { return draft.missing("chassis.gross_mass") };
    let (listed, built, length) = match (ready_to_drive(cx, state), built(state), &state.extents.length) {
        (Ok(listed), Ok(built), Ok(length)) => (listed, built, &length.value),
        (Err(gap), ..) | (_, Err(gap), _) => return draft.blocked(&gap),
        (.., Err(gap)) => return draft.blocked(gap),
    };
    // Papers that show less than the chassis and the shell weigh are those of the bare chassis.
    let papers = cx.rig().chassis.as_ref().and_then(|chassis| chassis.running_order_mass.as_ref()?.value());
    let papers = papers.filter(|mass| *mass > built.value()).map(Estimate::exact);
    let ready = papers.as_ref().unwrap_or(&listed);
    let seats = cx.rig().seat.iter().filter(|seat| seat.travel != Some(false)).count();
    let seats = u32::try_from(seats).map_or(0.0, f64::from);
    let heads = length.offset(seats);
    let payload = ready.scale(-1.0).offset(rated);
    let least = each.iter().find_map(|each| if let HeldBound::AtLeast(least) = &each.bound { Some(least.value()) } else { None });
    let a_head = || {
        let line = |least| {
            let (heads, least) = (working::figure(heads.value(), 3), working::figure(least, 1));
            format!("{heads} x {least} kg = {}", working::kg(heads.get() * least.get()))
        };
        least.map(line)
    };
    let held: Vec<Held> = each.into_iter().map(|each| each.times(&heads, Dimension::Mass)).collect();
    let from = if papers.is_some() { "by the papers" } else { "ready to drive, every piece counted as built in" };
    let [rated, mass] = [rated, ready.value()].map(|mass| working::figure(mass, 1));
    let draft = draft.compare(&payload, &held).working(|| {
        [
            format!("{rated} kg ({}) - {mass} kg ({from}) = {}", by.name, working::kg(rated.get() - mass.get())),
            format!("{} seats + {} = {}", seats, working::m(length.value()), working::number(heads.value(), 3)),
        ]
    });
    let draft = draft.working(a_head);
    match (papers, draft.verdict()) {
        (Some(_), _) => draft.done(),
        (None, Verdict::Pass) => draft.sentence("even if every piece of the list counts as built in").done(),
        (None, _) => {
            let gap = Gap::because(
                "chassis.running_order_mass",
                "which pieces are built in is not told; the papers of the finished rig say what it weighs ready to drive",
            );
            begin().blocked(&gap)
        }
    }
}

/// Bare chassis and shell, kg.
fn built(state: &StateFacts) -> Result<Estimate, Gap> {
    sum(state, |kind| matches!(kind, ItemKind::Chassis | ItemKind::Body))
}

/// The truck with everything of the list, its fuel and its driver, without water, other people and trailer, kg.
fn ready_to_drive(cx: &Context, state: &StateFacts) -> Result<Estimate, Gap> {
    let fixed = sum(state, |kind| matches!(kind, ItemKind::Chassis | ItemKind::Body | ItemKind::Piece | ItemKind::Tank))?;
    let fuel = cx.rig().tank.iter().filter(|tank| matches!(tank.holds, Some(Holds::Diesel | Holds::Petrol | Holds::Urea)));
    let paths: Vec<String> = fuel.map(|tank| format!("tank{}", path::entry(Some(&tank.name), 1))).collect();
    let fuel = state.items.iter().filter(|item| item.kind == ItemKind::Liquid && paths.contains(&item.path));
    let fuel = fuel.map(|item| item.mass.clone()).collect::<Result<Vec<_>, Gap>>()?;
    let driver = rig_facts::tables::number("facts/person", "who", "anybody", "mass").unwrap_or(0.0);
    Ok((&fixed + &Estimate::sum(fuel.iter())).offset(driver))
}

fn sum(state: &StateFacts, wanted: impl Fn(ItemKind) -> bool) -> Result<Estimate, Gap> {
    let masses = state.items.iter().filter(|item| wanted(item.kind)).map(|item| item.mass.clone());
    Ok(Estimate::sum(masses.collect::<Result<Vec<_>, Gap>>()?.iter()))
}
