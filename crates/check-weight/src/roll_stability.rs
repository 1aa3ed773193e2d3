//! weight/roll-stability: how high is it, and when does it go over?
//!
//! demand      sideways acceleration at which the inner wheels lift (m/s2); half the track over the height (1); height of
//!             the centre of gravity over the rig's own height (1)
//! capacity    roll threshold and, off the road, static stability, at least; for the height a span that is plausible
//! states      every travel state
//! leaves out  standing on a slope (`weight/side-slope`), a bend at a speed (`weight/cornering`), soft ground, wind,
//!             sloshing, bump stops, the lean that an offset load gives by itself

use std::borrow::Cow;

use check::{Card, Check, Consequence, Context, Finding, List, Scope, Verdict, Words, on_weights};
use quantity::{Dimension, Estimate};
use rig_facts::StateFacts;
use rig_model::model::RoadUse;

use crate::lower::{Enough, measure_first, reaches_all, ways_out};
use crate::sideways::Stance;
use crate::subject::every_state;
use crate::working;
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/roll-stability"),
    question: Cow::Borrowed("How high is it, and when does it go over?"),
    words: Words::new("tips at", "may not tip below"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&["axle.track", "axle.bare_load", "chassis.centre_height"]),
    uses: on_weights!["use", "axle.roll_stiffness", "chassis.roll_centre_height", "chassis.height", "envelope.height"],
    limits: List::Static(&["weight/roll-threshold", "weight/static-stability", "weight/centre-height-share"]),
    formula: List::Static(&[
        "height = sum of mass x height / mass + rise from liquid that runs",
        "factor = (narrowest track / 2 - offset) / height",
        "threshold = factor / (1 + roll x (1 - roll centre / height)), roll = m g arm / (stiffness - m g arm), arm = height - roll centre",
        "without stiffness or roll centre: threshold = factor x share left on springs and tyres",
    ]),
    cautions: List::Static(&[
        "a computed angle is where it falls, not where it is safe; this is arithmetic on a list of masses, not a roll test",
        "never test a side slope by driving onto it",
    ]),
};

/// How high is it, and when does it go over?
#[derive(Debug)]
pub struct RollStability;

impl Check for RollStability {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| vec![threshold(cx, state), off_road(cx, state), height_share(cx, state)])
    }
}

fn threshold(cx: &Context, state: &StateFacts) -> Finding {
    let draft = CARD.about(cx, "whole rig").at("chassis").in_state(&state.name).case("threshold");
    let told = Stance::of(cx, state).and_then(|stance| Ok((stance.threshold()?, stance)));
    let (in_g, stance) = match told {
        Ok(told) => told,
        Err(gap) => return draft.blocked(&gap),
    };
    let gravity = physics::facts::gravity();
    let demand = in_g.scale(gravity);
    let held = cx.limits("weight/roll-threshold");
    if held.is_empty() {
        return draft.show(&demand, Dimension::Acceleration, NO_LIMIT);
    }
    let lines = || {
        let in_g = working::figure(in_g.value(), 5);
        let own = format!("{in_g} g x {gravity} = {} m/s2", working::number(in_g.get() * gravity, 2));
        stance.working().into_iter().chain([own])
    };
    let enough: Enough<'_> = &|stance| stance.threshold().is_ok_and(|g| reaches_all(&g.scale(gravity), &held));
    let draft = draft.compare(&demand, &held).working(lines).exhibit("rear-view");
    measure_first(cx, draft.remedies(|_| ways_out(cx, state, &stance, enough)).done())
}

fn off_road(cx: &Context, state: &StateFacts) -> Finding {
    let about = || {
        let draft = CARD.about(cx, "whole rig, off the road").at("chassis").in_state(&state.name).case("off-road");
        draft.words("has", "wants")
    };
    if matches!(cx.rig().use_, Some(RoadUse::Road | RoadUse::Gravel)) {
        return about().not_applicable("it stays on roads and gravel");
    }
    let stance = match Stance::of(cx, state) {
        Ok(stance) => stance,
        Err(gap) => return about().blocked(&gap),
    };
    let (factor, held) = (stance.factor(), cx.limits("weight/static-stability"));
    if held.is_empty() {
        return about().show(&factor, Dimension::Ratio, NO_LIMIT);
    }
    let answered = about().compare(&factor, &held).working(|| stance.working()).exhibit("rear-view");
    if cx.rig().use_.is_none() {
        // Not told how rough the going is: what holds for the roughest holds for all.
        let holds = answered.verdict() == Verdict::Pass;
        return if holds { answered.sentence("even if it leaves the road").done() } else { about().missing("use") };
    }
    let enough: Enough<'_> = &|stance| reaches_all(&stance.factor(), &held);
    measure_first(cx, answered.remedies(|_| ways_out(cx, state, &stance, enough)).done())
}

/// A look at the ledger itself: outside the usual span a height is probably written wrong.
fn height_share(cx: &Context, state: &StateFacts) -> Finding {
    let draft = CARD.about(cx, "height of the centre of gravity").at("chassis").in_state(&state.name).case("height share");
    let draft = draft.words("lies at", "usually lies at").consequence(Consequence::Comfort);
    let (centre, top) = match (state.loads.sums.z(), &state.extents.top) {
        (Ok(centre), Ok(top)) => (centre, top),
        (Err(gap), _) => return draft.blocked(&gap),
        (_, Err(gap)) => return draft.blocked(gap),
    };
    if top.value.value() <= 0.0 {
        return draft.missing(top.path.clone());
    }
    // A look at the numbers as they are written: their doubt is no reason to look again.
    let share = Estimate::exact(centre.value() / top.value.value());
    let held = cx.limits("weight/centre-height-share");
    if held.is_empty() {
        return draft.show(&share, Dimension::Ratio, NO_LIMIT);
    }
    let draft = draft.compare(&share, &held).working(|| {
        let (centre, high) = (working::figure(centre.value(), 4), working::figure(top.value.value(), 4));
        [format!("{centre} m / {high} m of {} = {}", top.by, working::percent(centre.get() / high.get()))]
    });
    match draft.verdict() {
        Verdict::Fail | Verdict::Unsettled => {
            draft.sentence("look again at the heights in the list: one of them may be wrong").done()
        }
        _ => draft.done(),
    }
}
