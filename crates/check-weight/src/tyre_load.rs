//! weight/tyre-load: do the tyres carry it at the pressure they have?
//!
//! demand      load on the heavier end of the axle (kg); case "pressure": the pressure that load wants, in the travel state
//!             that loads the axle most (Pa), shown without a verdict of its own
//! capacity    load index x tyres at that end x (pressure / reference pressure)^n (kg), at most
//! states      every travel state
//! leaves out  going slower than the speed symbol (not credited), age and speed (`weight/tyre-age`), the wheel
//!             (`weight/wheel-load`)

use std::borrow::Cow;

use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Verdict, Words, on_weights};
use quantity::Dimension;
use rig_facts::{Gap, StateFacts};

use crate::subject::{AxleIn, every_axle};
use crate::tyre_end::{Guess, Tyres, heavier_end};
use crate::{remedy, tyre_ways_out as ways_out};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/tyre-load"),
    question: Cow::Borrowed("Do the tyres carry it at the pressure they have?"),
    words: Words::new("puts on its tyres", "may put"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&[
        "axle.tyre.load_index",
        "axle.tyre.pressure",
        "axle.tyre.reference_pressure",
        "axle.track",
        "axle.bare_load",
        "axle.x",
    ]),
    uses: on_weights!["axle"],
    limits: List::Static(&[]),
    formula: List::Static(&[
        "carries = load of the index x tyres a side x (pressure / reference pressure)^n, no more than at the reference pressure",
        "n is between 0.8 and 1 unless told",
        "a pair: the second index; where it is not told, the first x 0.83",
    ]),
    cautions: List::Static(&[
        "never above the pressure on the tyre's side or the wheel; stand beside the tread, not before the side, when pumping",
        "going slower is not credited; an old or damaged tyre carries less",
    ]),
};

/// Do the tyres carry it at the pressure they have?
#[derive(Debug)]
pub struct TyreLoad;

impl Check for TyreLoad {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_axle(cx, &CARD, |axle| {
            let mut findings = vec![load(cx, axle)];
            findings.extend(loads_it_most(cx, axle).then(|| pressure(cx, axle)));
            findings
        })
    }
}

fn load(cx: &Context, axle: AxleIn<'_>) -> Finding {
    let begin = || CARD.about(cx, axle.about()).at(&axle.facts.path).in_state(&axle.state.name);
    let (tyres, end) = match (Tyres::of(axle), heavier_end(axle)) {
        (Ok(tyres), Ok(end)) => (tyres, end),
        (Err(gap), _) | (_, Err(gap)) => return begin().blocked(&gap),
    };
    let capacity = match tyres.capacity() {
        Ok(capacity) => capacity,
        Err(gap) => return begin().blocked(&gap),
    };
    let held = Held::at_most("load index at this pressure", capacity.clone(), Dimension::Mass, Tyres::basis());
    let draft = begin().compare(end.load, &[held]).working(|| [end.line()]).working(|| tyres.working());
    match (&tyres.guessed, draft.verdict()) {
        (Some(guess), Verdict::Pass) => draft.sentence(guess.even_if.clone()).done(),
        (Some(guess), _) => begin().blocked(&Gap::because(guess.path.clone(), guess.wanted.clone())),
        (None, _) => draft.remedies(|_| ways_out::of(cx, axle, &tyres, end.load)).done(),
    }
}

/// Whether no other travel state puts more on the heavier end of this axle; the first of equals, or where nothing is known.
fn loads_it_most(cx: &Context, axle: AxleIn<'_>) -> bool {
    let worth = |state: &StateFacts| {
        let lifted = state.lifted.get(axle.index).copied().unwrap_or(false);
        let end = heavier_end(AxleIn { state, ..axle }).map_or(f64::NEG_INFINITY, |end| end.load.value());
        (!lifted).then_some(end)
    };
    let own = worth(axle.state).unwrap_or(f64::NEG_INFINITY);
    let mut before = true;
    cx.states(CARD.scope).all(|state| {
        before &= state.name != axle.state.name;
        worth(state).is_none_or(|other| if before { other < own } else { other <= own })
    })
}

fn pressure(cx: &Context, axle: AxleIn<'_>) -> Finding {
    let begin = || {
        let draft = CARD.about(cx, axle.about()).at(&axle.facts.path).in_state(&axle.state.name).case("pressure");
        draft.words("wants at least", "")
    };
    let (tyres, end) = match (Tyres::of(axle), heavier_end(axle)) {
        (Ok(tyres), Ok(end)) => (tyres, end),
        (Err(gap), _) | (_, Err(gap)) => return begin().blocked(&gap),
    };
    let blocked = |guess: &Guess| begin().blocked(&Gap::because(guess.path.clone(), guess.wanted.clone()));
    let Some(wanted) = tyres.pressure_for(end.load) else {
        return tyres.guessed.as_ref().map_or_else(|| begin().not_applicable("no pressure makes these tyres carry it"), blocked);
    };
    if let (Some(guess), true) = (&tyres.guessed, wanted.interval95().1 > tyres.reference.value()) {
        return blocked(guess);
    }
    let now = axle.facts.pressure.as_ref().map_or_else(
        |_| "what they have now is not told".to_owned(),
        |now| format!("they have {}", remedy::to_step(cx, now.value(), Dimension::Pressure, remedy::step::PRESSURE_PA)),
    );
    // The load is judged above; the same question as a pressure would count every soft tyre twice.
    begin().working(|| std::iter::once(end.line()).chain(tyres.pressure_working(end.load))).show(
        &wanted,
        Dimension::Pressure,
        now,
    )
}
