//! weight/cornering: how fast round that bend?
//!
//! demand      the owner's speed in the bend `ground.bend` (m/s)
//! capacity    speed at which a share of the roll threshold is reached in that bend, bank taken in (m/s), at most
//! states      every travel state
//! leaves out  wind, bumps, sudden steering, a load that shifts; standing on a slope (`weight/side-slope`)

use std::borrow::Cow;

use check::limits::HeldBound;
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Finding, Held, Holds, List, Scope, Words, draft::GOAL, on_weights};
use physics::stability::speed_at;
use quantity::{Dimension, Estimate, real};
use rig_facts::{Gap, StateFacts};

use crate::lower::{Enough, measure_first, most, reaches, ways_out};
use crate::remedy::{set, to_step};
use crate::sideways::Stance;
use crate::subject::every_state;
use crate::working;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/cornering"),
    question: Cow::Borrowed("How fast round that bend?"),
    words: Words::new("goes", "may go"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&["axle.track", "axle.bare_load", "chassis.centre_height", "ground.bend.radius", "ground.bend.speed"]),
    uses: on_weights!["ground.bend", "use", "axle.roll_stiffness", "chassis.roll_centre_height"],
    limits: List::Static(&["weight/cornering-share", "weight/friction"]),
    formula: List::Static(&[
        "allowed a / g = share x threshold in g, see weight/roll-stability",
        "speed = square root of (g x radius x (a / g + bank) / (1 - a / g x bank))",
    ]),
    cautions: List::Static(&[
        "advisory speed signs are for cars: official advice to heavy vehicles is at least 10 km/h less",
        "a computed speed is where it falls over, not where it is safe",
    ]),
};

/// Speeds are read and kept to 1 km/h, in m/s.
const SPEED_STEP: f64 = 1000.0 / 3600.0;

/// How fast round that bend?
#[derive(Debug)]
pub struct Cornering;

impl Check for Cornering {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| vec![answer(cx, state)])
    }
}

/// The bend as the owner states it.
#[derive(Clone, Copy, Debug)]
struct Bend {
    radius: f64,
    speed: f64,
    bank: f64,
}

impl Bend {
    /// Speed, m/s, at which that many g sideways are reached.
    fn speed(self, g: &Estimate) -> Estimate {
        let at = |v: &[f64]| Ok::<_, Gap>(speed_at(v.iter().sum(), self.radius, self.bank));
        Estimate::propagate(&[g], at).unwrap_or(Estimate::exact(0.0))
    }
}

fn answer(cx: &Context, state: &StateFacts) -> Finding {
    let draft = CARD.about(cx, "whole rig").at("ground.bend").in_state(&state.name);
    let told = Stance::of(cx, state).and_then(|stance| Ok((stance.threshold()?, stance)));
    let (threshold, stance) = match told {
        Ok(told) => told,
        Err(gap) => return draft.blocked(&gap),
    };
    let shares = cx.limits("weight/cornering-share");
    let Some(bend) = cx.rig().ground.as_ref().and_then(|ground| ground.bend.as_ref()) else {
        return show(cx, state, &threshold, &shares);
    };
    let Some(radius) = bend.radius.map(|radius| radius.si()) else { return draft.missing("ground.bend.radius") };
    let Some(speed) = bend.speed.map(|speed| speed.si()) else { return draft.missing("ground.bend.speed") };
    let bend = Bend { radius, speed, bank: bend.bank.map_or(0.0, |bank| real::tan(bank.si())) };
    if threshold.value() + bend.bank < 0.0 {
        return draft.require(Holds::No, "the road leans outward so far that it tips standing still").done();
    }
    if threshold.value() * bend.bank >= 1.0 {
        return draft.not_applicable("the road leans inward so far that no speed tips it outward");
    }
    let held = allowed(&shares, &threshold, bend);
    if held.is_empty() {
        let tips = bend.speed(&threshold);
        return draft.words("tips at", "").show(
            &tips,
            Dimension::Speed,
            "no set of limits in force says how near to that it may go",
        );
    }
    let enough: Enough<'_> = &|stance| {
        stance.threshold().is_ok_and(|threshold| {
            allowed(&shares, &threshold, bend).iter().filter_map(most).all(|most| reaches(most, &Estimate::exact(bend.speed)))
        })
    };
    let draft = draft
        .compare(&Estimate::exact(bend.speed), &held)
        .sentence(slides_or_tips(cx, &threshold, bend))
        .working(|| show_working(&stance, &threshold, &shares, bend))
        .remedies(|_| {
            let slower = slower(cx, &held, bend);
            slower.into_iter().chain(ways_out(cx, state, &stance, enough)).collect()
        });
    measure_first(cx, draft.done())
}

/// Without a bend: the sideways acceleration it may take, and no verdict.
fn show(cx: &Context, state: &StateFacts, threshold: &Estimate, shares: &[Held]) -> Finding {
    let draft = CARD.about(cx, "whole rig").at("ground.bend").in_state(&state.name);
    let share = shares.iter().filter_map(most).min_by(|a, b| a.value().total_cmp(&b.value()));
    let (words, in_g) = share.map_or(("tips at", threshold.clone()), |share| ("may take sideways", threshold * share));
    let demand = in_g.scale(physics::facts::gravity());
    let why = "no bend is asked for; write bend = { radius, speed } in [ground] for a verdict";
    draft.words(words, "").show(&demand, Dimension::Acceleration, why)
}

/// Allowed speeds: each share of the threshold, as the speed that reaches it in this bend.
fn allowed(shares: &[Held], threshold: &Estimate, bend: Bend) -> Vec<Held> {
    let one = |held: &Held| {
        let speed = bend.speed(&(threshold * most(held)?));
        Some(Held { bound: HeldBound::AtMost(speed), dimension: Dimension::Speed, ..held.clone() })
    };
    shares.iter().filter_map(one).collect()
}

/// Whether it slides before it tips, on each road of the table.
fn slides_or_tips(cx: &Context, threshold: &Estimate, bend: Bend) -> String {
    let show = |speed: f64| to_step(cx, speed, Dimension::Speed, SPEED_STEP);
    let mut sentence = format!("tips at {} in this bend", show(bend.speed(threshold).value()));
    let Some(table) = cx.table("weight/friction") else { return sentence };
    for (road, friction) in table.pairs("road", "friction") {
        if friction < threshold.value() {
            let slides = show(speed_at(friction, bend.radius, bend.bank));
            sentence.push_str(&format!("; {road} it slides before that, at {slides}"));
        } else {
            sentence.push_str(&format!("; {road} it tips before it slides"));
        }
    }
    sentence
}

fn show_working(stance: &Stance, threshold: &Estimate, shares: &[Held], bend: Bend) -> Vec<String> {
    let mut lines = stance.working();
    for share in shares.iter().filter_map(most) {
        let gravity = physics::facts::gravity();
        let [share, whole, bank] = [share.value(), threshold.value(), bend.bank].map(|value| working::figure(value, 5));
        let (q, radius) = (working::figure(share.get() * whole.get(), 5), working::figure(bend.radius, 2));
        lines.push(format!("allowed = {share} x {whole} g = {q} g"));
        if q.get() + bank.get() > 0.0 {
            let speed = working::figure(speed_at(q.get(), radius.get(), bank.get()), 2);
            lines.push(format!("root({gravity} x {radius} m x ({q} + {bank}) / (1 - {q} x {bank})) = {speed} m/s"));
        }
    }
    lines
}

/// Go slower: the next whole step below what is allowed over its range and with the reserve of every way out.
fn slower(cx: &Context, held: &[Held], bend: Bend) -> Option<Proposal> {
    let most = held.iter().filter_map(most).map(|most| most.interval95().0.min(GOAL * most.value())).min_by(f64::total_cmp)?;
    let speed = (most / SPEED_STEP).floor() * SPEED_STEP;
    (speed > 0.0).then(|| Proposal {
        text: format!("go round it at {}", to_step(cx, speed, Dimension::Speed, SPEED_STEP)),
        effort: Effort::Minutes,
        edits: vec![set("ground.bend.speed", Some(bend.speed), speed, Dimension::Speed)],
    })
}
