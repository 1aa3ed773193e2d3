//! weight/side-slope: how far may I lean it on a track?
//!
//! demand      the owner's wish `ground.side_slope` (rad)
//! capacity    the lesser of the tilt at which it tips less a reserve, and a share of that tilt, at most
//! states      every state: it stands on slopes too
//! leaves out  a soft edge and ruts (they add to the slope), wind, sloshing; driving round a bend (`weight/cornering`)

use std::borrow::Cow;

use check::limits::HeldBound;
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Words, on_weights};
use quantity::{Dimension, Estimate, real};
use rig_facts::StateFacts;

use crate::lower::{Enough, measure_first, most, reaches, ways_out};
use crate::sideways::Stance;
use crate::subject::every_state;
use crate::working;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/side-slope"),
    question: Cow::Borrowed("How far may I lean it on a track?"),
    words: Words::new("is to lean", "may lean"),
    consequence: Consequence::Injury,
    scope: Scope::Every,
    needs: List::Static(&["axle.track", "axle.bare_load", "chassis.centre_height"]),
    uses: on_weights!["ground.side_slope", "use", "axle.roll_stiffness", "chassis.roll_centre_height"],
    limits: List::Static(&["weight/side-slope-reserve", "weight/side-slope-share"]),
    formula: List::Static(&[
        "tilt at which it tips = atan(threshold in g), see weight/roll-stability",
        "allowed = lesser of tilt - reserve and tilt x share",
    ]),
    cautions: List::Static(&[
        "a computed angle is where it falls, not where it is safe; never test a side slope by driving onto it",
        "soft ground on the low side, a rut or a stone add to the slope",
    ]),
};

/// How far may I lean it on a track?
#[derive(Debug)]
pub struct SideSlope;

impl Check for SideSlope {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| vec![answer(cx, state)])
    }
}

fn answer(cx: &Context, state: &StateFacts) -> Finding {
    let draft = CARD.about(cx, "whole rig").at("ground.side_slope").in_state(&state.name);
    let told = Stance::of(cx, state).and_then(|stance| Ok((stance.tilt()?, stance)));
    let (tilt, stance) = match told {
        Ok(told) => told,
        Err(gap) => return draft.blocked(&gap),
    };
    let allowed = allowed(cx, &tilt);
    let wish = cx.rig().ground.as_ref().and_then(|ground| ground.side_slope.as_ref());
    let Some(wish) = wish.map(|wish| wish.si()).filter(|_| !allowed.is_empty()) else {
        return show(cx, state, &tilt, &allowed);
    };
    let lines = || {
        let mut lines = stance.working();
        lines.extend(show_working(cx, &stance));
        lines
    };
    let enough: Enough<'_> = &|stance| {
        stance
            .tilt()
            .is_ok_and(|tilt| self::allowed(cx, &tilt).iter().filter_map(most).all(|most| reaches(most, &Estimate::exact(wish))))
    };
    let draft = draft.compare(&Estimate::exact(wish), &allowed).working(lines).exhibit("rear-view");
    measure_first(cx, draft.remedies(|_| ways_out(cx, state, &stance, enough)).done())
}

/// From the threshold to what either rule allows.
fn show_working(cx: &Context, stance: &Stance) -> Vec<String> {
    let Ok(threshold) = stance.threshold() else { return Vec::new() };
    let in_g = working::figure(threshold.value(), 5);
    let tilt = working::figure(real::atan(in_g.get()).to_degrees(), 2);
    let mut lines = vec![format!("tilt = atan({in_g}) = {tilt} deg")];
    for held in cx.limits("weight/side-slope-reserve") {
        let (HeldBound::AtLeast(reserve) | HeldBound::AtMost(reserve) | HeldBound::Between(reserve, _)) = &held.bound;
        let reserve = working::figure(reserve.value().to_degrees(), 2);
        lines.push(format!(
            "{tilt} deg - {reserve} deg = {} deg ({})",
            working::number(tilt.get() - reserve.get(), 2),
            held.name
        ));
    }
    for held in cx.limits("weight/side-slope-share") {
        let Some(share) = most(&held).map(|share| working::figure(share.value(), 4)) else { continue };
        lines.push(format!("{tilt} deg x {share} = {} deg ({})", working::number(tilt.get() * share.get(), 2), held.name));
    }
    lines
}

/// Without a wish, or without a rule: the number, and no verdict.
fn show(cx: &Context, state: &StateFacts, tilt: &Estimate, allowed: &[Held]) -> Finding {
    let draft = CARD.about(cx, "whole rig").at("ground.side_slope").in_state(&state.name).exhibit("rear-view");
    let least = allowed.iter().filter_map(most).min_by(|a, b| a.value().total_cmp(&b.value()));
    match least {
        Some(least) => draft.words("may lean", "").show(
            least,
            Dimension::Angle,
            "no side slope is asked for: this is how far it may lean; write side_slope in [ground] for a verdict",
        ),
        None => draft.words("tips at", "").show(tilt, Dimension::Angle, "no set of limits in force says how far it may lean"),
    }
}

/// What the slope is held against: both rules, as slopes.
fn allowed(cx: &Context, tilt: &Estimate) -> Vec<Held> {
    let reserve = cx.limits("weight/side-slope-reserve").into_iter().map(|held| {
        let bound = match held.bound {
            HeldBound::AtLeast(reserve) | HeldBound::AtMost(reserve) | HeldBound::Between(reserve, _) => tilt - &reserve,
        };
        Held { bound: HeldBound::AtMost(bound), ..held }
    });
    let share = cx.limits("weight/side-slope-share").into_iter().map(|held| held.times(tilt, Dimension::Angle));
    reserve.chain(share).collect()
}
