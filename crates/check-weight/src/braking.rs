//! weight/braking: is the front axle over when I brake hard, and does the rear lift?
//!
//! demand      share of the mass on the rear end in a full stop on the level (1); load on a front axle in that stop over
//!             its rating (1)
//! capacity    the least rear share, at least; twice the front rating, at most: reported, no failure, since ratings are
//!             for standing loads
//! states      every travel state
//! leaves out  how well it brakes (`weight/brake-setting`), slopes (`weight/grade`), springs that dive

use std::borrow::Cow;

use basis::Basis;
use check::remedy::Proposal;
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Verdict, Words, draft::Goal, on_ledger};
use quantity::{Dimension, Estimate};
use rig_facts::StateFacts;

use crate::remedy::{move_body, move_piece};
use crate::subject::{axle_name, every_state};
use crate::two_ends::TwoEnds;
use crate::working::{self, Figure};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/braking"),
    question: Cow::Borrowed("Is the front axle over when I brake hard, and does the rear lift?"),
    words: Words::new("keeps", "must keep"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&["axle.rated", "axle.x", "axle.bare_load", "chassis.centre_height"]),
    uses: on_ledger![],
    limits: List::Static(&["weight/braking-rear-share", "weight/braking-axle-factor", "weight/deceleration"]),
    formula: List::Static(&[
        "shift = mass x deceleration x height / (g x base)",
        "rear share = (standing rear load - shift) / mass; front axle = its standing load + shift / number of front axles",
    ]),
    cautions: List::Static(&["no answer here replaces a brake test"]),
};

/// Is the front axle over when I brake hard, and does the rear lift?
#[derive(Debug)]
pub struct Braking;

impl Check for Braking {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| {
            let stop = cx.table("weight/deceleration");
            let stop = stop.and_then(|table| table.number("what", "full stop of a truck", "deceleration"));
            let draft = CARD.about(cx, "whole rig").at("axle").in_state(&state.name);
            match (TwoEnds::of(cx, state), stop) {
                (Err(gap), _) => vec![draft.blocked(&gap)],
                (_, None) => vec![draft.not_applicable("no set of limits in force says how hard it stops")],
                (Ok(rig), Some(stop)) => {
                    let mut findings = vec![rear(cx, state, &rig, stop)];
                    findings.extend(rig.front.iter().map(|index| front(cx, state, &rig, *index, stop)));
                    findings
                }
            }
        })
    }
}

fn rear(cx: &Context, state: &StateFacts, rig: &TwoEnds, stop: f64) -> Finding {
    let axles = cx.facts().axles().list();
    let last = rig.rear.last().and_then(|index| axles.get(*index));
    let path = last.map_or("axle", |axle| axle.path.as_str());
    let about = last.map_or_else(|| "rear end".to_owned(), |axle| axle_name(&axle.name));
    let draft = CARD.about(cx, format!("{about} in a full stop")).at(path).in_state(&state.name).case("rear share");
    let share = rig.rear_share(0.0, stop);
    let mut held = cx.limits("weight/braking-rear-share");
    held.push(Held::at_least("the rear stays on the ground", Estimate::exact(0.0), Dimension::Ratio, Basis::physics("statics")));
    draft
        .compare(&share, &held)
        .working(|| {
            let (line, shift) = shift_line(rig, stop);
            let standing = working::figure(rig.rear_share(0.0, 0.0).value() * rig.mass.value(), 2);
            let (load, all) = (working::figure(standing.get() - shift.get(), 2), working::figure(rig.mass.value(), 2));
            let percent = working::percent(load.get() / all.get());
            [line, format!("rear = {standing} kg - {shift} kg = {load} kg"), format!("{load} kg / {all} kg = {percent}")]
        })
        .exhibit("side-view")
        .remedies(|goal| ways_out(cx, state, rig, goal))
        .done()
}

fn front(cx: &Context, state: &StateFacts, rig: &TwoEnds, index: usize, stop: f64) -> Finding {
    let (axle, facts) = match (cx.rig().axle.get(index), cx.facts().axles().list().get(index)) {
        (Some(axle), Some(facts)) => (axle, facts),
        _ => return CARD.about(cx, "front axle").at("axle").in_state(&state.name).missing("axle"),
    };
    let about = || {
        let name = format!("{} in a full stop", axle_name(&axle.name));
        let draft = CARD.about(cx, name).at(&facts.path).in_state(&state.name).case("front load");
        draft.words("bears", "may bear").consequence(Consequence::Damage)
    };
    let Some(rated) = axle.rated.as_ref().and_then(|rated| rated.value()).filter(|rated| *rated > 0.0) else {
        return about().missing(format!("{}.rated", facts.path));
    };
    let standing = match state.axle_load(index) {
        Ok(standing) => standing,
        Err(gap) => return about().blocked(gap),
    };
    let ends = rig.front.len() as f64;
    let load = standing + &shift(rig, stop).scale(1.0 / ends);
    let times = load.scale(1.0 / rated);
    let answered = about().compare(&times, &cx.limits("weight/braking-axle-factor")).working(|| {
        let (line, shift) = shift_line(rig, stop);
        let (standing, rated) = (working::figure(standing.value(), 2), working::figure(rated, 2));
        let load = working::figure(standing.get() + shift.get() / ends, 2);
        let percent = working::percent(load.get() / rated.get());
        let each = if ends > 1.0 { format!(" / {ends}") } else { String::new() };
        [line, format!("front = {standing} kg + {shift} kg{each} = {load} kg"), format!("{load} kg / {rated} kg = {percent}")]
    });
    if answered.verdict() == Verdict::Pass {
        return answered.done();
    }
    let why = "ratings are for standing loads; for a moment axles bear up to about twice that: ask the axle's maker";
    about().show(&times, Dimension::Ratio, why)
}

/// What braking moves from the rear end to the front end, kg.
fn shift(rig: &TwoEnds, stop: f64) -> Estimate {
    rig.propagate(|rig| rig.loads(0.0, stop).0 - rig.loads(0.0, 0.0).0)
}

/// The same as a line that can be redone, and what it comes to.
fn shift_line(rig: &TwoEnds, stop: f64) -> (String, Figure) {
    let (mass, height) = (working::figure(rig.mass.value(), 2), working::figure(rig.height.value(), 5));
    let (base, gravity) = (working::figure(rig.base.value(), 4), physics::facts::gravity());
    let shift = working::figure(mass.get() * stop * height.get() / (gravity * base.get()), 2);
    (format!("shift = {mass} kg x {stop} m/s2 x {height} m / ({gravity} m/s2 x {base} m) = {shift} kg"), shift)
}

/// Shift weight rearward.
fn ways_out(cx: &Context, state: &StateFacts, rig: &TwoEnds, goal: &Goal) -> Vec<Proposal> {
    let Some(axle) = rig.front.first() else { return Vec::new() };
    let change = -goal.change() * rig.mass.value() / rig.front.len() as f64;
    [move_body(cx, state, *axle, change), move_piece(cx, state, *axle, change)].into_iter().flatten().collect()
}
