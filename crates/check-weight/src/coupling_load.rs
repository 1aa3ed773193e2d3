//! weight/coupling-load: may the coupling carry and pull this trailer?
//!
//! demand      cases: "vertical" load of the drawbar (kg); "pull" between truck and trailer, D (N); "nose share" of the
//!             trailer's mass; "trailer mass" (kg)
//! capacity    the coupling's plate (S, D, trailer mass), at most; the nose share that the chosen sets ask for
//! states      every travel state with the trailer coupled
//! leaves out  what the drawbar does to the axles: their loads have it in (`weight/axle-load`, `weight/steer-share`); the
//!             combination's mass (`weight/gross-mass`)

use std::borrow::Cow;

use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Words, draft::Goal, on_ledger};
use physics::coupling::d_newton;
use quantity::{Dimension, Estimate};
use rig_facts::{Gap, StateFacts};
use rig_model::model::{CouplingKind, Trade};

use crate::remedy::{self, step};
use crate::subject::every_state;
use crate::{whole, working};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/coupling-load"),
    question: Cow::Borrowed("May the coupling carry and pull this trailer?"),
    words: Words::new("bears", "may bear"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&[
        "trailer.mass",
        "trailer.nose_load",
        "coupling.rated_vertical",
        "coupling.rated_d",
        "coupling.rated_mass",
    ]),
    uses: on_ledger!["without"],
    limits: List::Static(&["weight/nose-share"]),
    formula: List::Static(&[
        "D = g x truck x trailer / (truck + trailer), masses as they drive",
        "nose share = load of the drawbar on the coupling / mass of the trailer",
    ]),
    cautions: List::Static(&[
        "a trailer that comes loose kills: coupling, safety chain and frame are for a workshop to fit and to look at",
        "never stand between truck and trailer while one of them can roll",
    ]),
};

/// May the coupling carry and pull this trailer?
#[derive(Debug)]
pub struct CouplingLoad;

impl Check for CouplingLoad {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let rig = cx.rig();
        if rig.without.contains(&Trade::Trailer) {
            return vec![CARD.about(cx, "coupling").at("coupling").not_applicable("the rig is without a trailer")];
        }
        if rig.trailer.is_none() {
            return vec![CARD.about(cx, "coupling").at("coupling").missing("trailer")];
        }
        every_state(cx, &CARD, |state| {
            if state.trailer {
                vec![vertical(cx, state), pull(cx, state), nose_share(cx, state), trailer_mass(cx, state)]
            } else {
                vec![begin(cx, state).not_applicable("no trailer is coupled in this state")]
            }
        })
    }
}

fn begin<'c>(cx: &'c Context, state: &StateFacts) -> Draft<'c> {
    CARD.about(cx, "coupling").at("coupling").in_state(&state.name)
}

fn vertical(cx: &Context, state: &StateFacts) -> Finding {
    let draft = begin(cx, state).case("vertical").words("bears from above", "may bear");
    let rated = cx.rig().coupling.as_ref().and_then(|coupling| coupling.rated_vertical.as_ref()?.value());
    let (Some(rated), nose) = (rated, whole::nose(state)) else { return draft.missing("coupling.rated_vertical") };
    match nose {
        Ok(nose) => draft
            .compare(&nose, &[Held::plate("plate of the coupling (S)", Estimate::exact(rated), Dimension::Mass)])
            .remedies(|goal| shift_nose(cx, &nose, -goal.change()).into_iter().collect())
            .done(),
        Err(gap) => draft.blocked(&gap),
    }
}

fn pull(cx: &Context, state: &StateFacts) -> Finding {
    let draft = begin(cx, state).case("pull").words("pulls with", "may pull with");
    let coupling = cx.rig().coupling.as_ref();
    if coupling.and_then(|coupling| coupling.kind) == Some(CouplingKind::Fifth) {
        return draft.not_applicable("a fifth wheel has a D value of its own kind, which is not computed here");
    }
    let Some(rated) = coupling.and_then(|coupling| coupling.rated_d.as_ref()?.value()) else {
        return draft.missing("coupling.rated_d");
    };
    let (truck, trailer) = match (state.mass(), cx.facts().trailer_mass()) {
        (Ok(truck), Ok(trailer)) => (truck, trailer),
        (Err(gap), _) | (_, Err(gap)) => return draft.blocked(gap),
    };
    let d = Estimate::propagate(&[truck, trailer], |v| match v {
        [truck, trailer] => Ok::<_, Gap>(d_newton(*truck, *trailer)),
        _ => Ok(0.0),
    });
    let d = match d {
        Ok(d) => d,
        Err(gap) => return draft.blocked(&gap),
    };
    let [t, r] = [truck.value(), trailer.value()].map(|mass| working::figure(mass, 2));
    draft
        .compare(&d, &[Held::plate("plate of the coupling (D)", Estimate::exact(rated), Dimension::Force)])
        .working(|| {
            let d = working::figure(d_newton(t.get(), r.get()), 0);
            [format!("D = {} m/s2 x {t} kg x {r} kg / ({t} kg + {r} kg) = {d} N", physics::facts::gravity())]
        })
        .done()
}

fn nose_share(cx: &Context, state: &StateFacts) -> Finding {
    let draft = begin(cx, state).case("nose share").words("bears of the trailer's mass", "must bear");
    let (nose, trailer) = match (whole::nose(state), cx.facts().trailer_mass()) {
        (Ok(nose), Ok(trailer)) => (nose, trailer),
        (Err(gap), _) => return draft.blocked(&gap),
        (_, Err(gap)) => return draft.blocked(gap),
    };
    let share = &nose / trailer;
    let [part, all] = [nose.value(), trailer.value()].map(|mass| working::figure(mass, 2));
    let draft = draft.working(|| [format!("{part} kg / {all} kg = {}", working::percent(part.get() / all.get()))]);
    let held = cx.limits("weight/nose-share");
    if held.is_empty() {
        return draft.show(&share, Dimension::Ratio, check::limits::NO_LIMIT);
    }
    draft
        .compare(&share, &held)
        .remedies(|goal| {
            let change = goal.change() * trailer.value();
            let too_little = matches!(goal.sense, check::finding::Sense::AtLeast);
            shift_nose(cx, &nose, if too_little { change } else { -change }).into_iter().collect()
        })
        .done()
}

fn trailer_mass(cx: &Context, state: &StateFacts) -> Finding {
    let draft = begin(cx, state).case("trailer mass").words("tows", "may tow").consequence(Consequence::Legal);
    let rated = cx.rig().coupling.as_ref().and_then(|coupling| coupling.rated_mass.as_ref()?.value());
    let Some(rated) = rated else { return draft.missing("coupling.rated_mass") };
    match cx.facts().trailer_mass() {
        Ok(mass) => draft
            .compare(mass, &[Held::plate("plate of the coupling or the truck", Estimate::exact(rated), Dimension::Mass)])
            .remedies(|goal| lighter_trailer(cx, mass, goal).into_iter().collect())
            .done(),
        Err(gap) => draft.blocked(gap),
    }
}

/// Load the trailer so that the drawbar bears more or less, kg.
fn shift_nose(cx: &Context, nose: &Estimate, change: f64) -> Option<Proposal> {
    let by = remedy::up_to_step(change.abs(), step::MASS_KG) * change.signum();
    let to = nose.value() + by;
    let stated = cx.rig().trailer.as_ref().and_then(|trailer| trailer.nose_load.as_ref());
    let direction = if by > 0.0 { "forward" } else { "rearward" };
    (to > 0.0).then(|| Proposal {
        text: format!(
            "shift load in the trailer {direction} until the drawbar weighs {} ({} now)",
            remedy::kilograms(cx, to),
            remedy::kilograms(cx, nose.value())
        ),
        effort: Effort::Minutes,
        edits: vec![remedy::restate(cx, "trailer.nose_load", stated, to)],
    })
}

fn lighter_trailer(cx: &Context, mass: &Estimate, goal: &Goal) -> Option<Proposal> {
    let off = remedy::up_to_step(goal.change(), step::MASS_KG);
    let to = mass.value() - off;
    let stated = cx.rig().trailer.as_ref().and_then(|trailer| trailer.mass.as_ref());
    (to > 0.0).then(|| Proposal {
        text: format!("take {} off the trailer", remedy::kilograms(cx, off)),
        effort: Effort::Minutes,
        edits: vec![remedy::restate(cx, "trailer.mass", stated, to)],
    })
}
