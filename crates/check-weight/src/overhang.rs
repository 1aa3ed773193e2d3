//! weight/overhang: is the tail too long?
//!
//! demand      rearmost point behind the reference line, as a share of the distance from the front axle to that line
//! capacity    the share that the chosen sets allow, at most
//! states      every travel state: pieces may be stowed or at home
//! leaves out  swinging out in bends, where the tail touches down (`weight/ground-angles`), the whole length
//!             (`weight/envelope`)

use std::borrow::Cow;

use check::limits::DEFAULT_SET;
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Finding, List, Scope, Words};
use quantity::{Dimension, Estimate};
use rig_facts::{Extent, Gap, StateFacts};

use crate::remedy::{self, step};
use crate::subject::every_state;
use crate::working;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/overhang"),
    question: Cow::Borrowed("Is the tail too long?"),
    words: Words::new("hangs over by", "may hang over by"),
    consequence: Consequence::Legal,
    scope: Scope::Travel,
    needs: List::Static(&["axle.x", "chassis.rear_end"]),
    uses: on_extents!["axle.steered"],
    limits: List::Static(&["weight/rear-overhang", "weight/overhang-reference"]),
    formula: List::Static(&[
        "share = (rearmost point - reference line) / (reference line - front axle)",
        "reference line: one rear axle: that axle; two: a little behind the middle of them; more: their middle",
    ]),
    cautions: List::Static(&["a long tail swings out when turning: look behind on both sides"]),
};

/// Is the tail too long?
#[derive(Debug)]
pub struct Overhang;

impl Check for Overhang {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| vec![answer(cx, state)])
    }
}

fn answer(cx: &Context, state: &StateFacts) -> Finding {
    let draft = CARD.about(cx, "rear overhang").at("chassis").in_state(&state.name);
    let (line, rear) = match (reference(cx), &state.extents.rear) {
        (Ok(line), Ok(rear)) => (line, rear),
        (Err(gap), _) => return draft.blocked(&gap),
        (_, Err(gap)) => return draft.blocked(gap),
    };
    // The front axle's centre is where lengths begin.
    let over = &rear.value - &line.x;
    let share = &over / &line.x;
    let (end, x) = (working::figure(rear.value.value(), 4), working::figure(line.x.value(), 4));
    let length = working::figure(end.get() - x.get(), 4);
    let percent = working::percent(length.get() / x.get());
    let draft = draft.working(|| {
        [line.working, format!("{end} m ({}) - {x} m = {length} m", rear.by), format!("{length} m / {x} m = {percent}")]
    });
    let held = cx.limits("weight/rear-overhang");
    if held.is_empty() {
        return draft.show(&share, Dimension::Ratio, check::limits::NO_LIMIT);
    }
    draft
        .compare(&share, &held)
        .exhibit("side-view")
        .remedies(|goal| shorter(cx, rear, goal.change() * line.x.value()).into_iter().collect())
        .done()
}

/// The line the overhang counts from, and how it was found.
struct Line {
    x: Estimate,
    working: String,
}

/// Rear axles are all behind the front one that the steering wheel does not turn.
fn reference(cx: &Context) -> Result<Line, Gap> {
    let mut rear = Vec::new();
    for (axle, facts) in cx.rig().axle.iter().zip(cx.facts().axles().list()) {
        let x = facts.x.as_ref().map_err(Clone::clone)?;
        if x.value() > 0.0 && axle.steered != Some(true) {
            rear.push(x);
        }
    }
    let count = u32::try_from(rear.len()).map_or(0.0, f64::from);
    let middle = || Estimate::sum(rear.iter().copied()).scale(1.0 / count);
    match rear.as_slice() {
        [] => Err(Gap::because("axle", "a rear axle is wanted")),
        [one] => Ok(Line { x: (*one).clone(), working: format!("line at the rear axle, {} m", working::number(one.value(), 4)) }),
        [_, _] => {
            let behind = behind_the_middle(cx);
            let x = middle().offset(behind);
            let (at, behind) = (working::figure(middle().value(), 4), working::figure(behind, 4));
            let sum = working::figure(at.get() + behind.get(), 4);
            let working = format!("line at {at} m + {behind} m behind the middle of the two rear axles = {sum} m");
            Ok(Line { x, working })
        }
        _ => Ok(Line {
            x: middle(),
            working: format!("line at the middle of the rear axles, {} m", working::number(middle().value(), 4)),
        }),
    }
}

/// How far behind the middle of two rear axles the line lies, m: by the chosen sets, else by good practice.
fn behind_the_middle(cx: &Context) -> f64 {
    const TABLE: &str = "weight/overhang-reference";
    let usual = [DEFAULT_SET.to_owned()];
    let table = cx.table(TABLE).or_else(|| cx.book().sets("weight", &usual).find_map(|set| set.table(TABLE)));
    table.and_then(|table| table.number("what", "behind the middle of two rear axles", "distance")).unwrap_or(0.0)
}

/// What reaches farthest comes forward: the body is moved, a piece is moved, the frame is cut.
fn shorter(cx: &Context, rear: &Extent, by: f64) -> Option<Proposal> {
    let by = remedy::up_to_step(by, step::MOVE_M);
    let metres = remedy::metres(cx, by);
    if rear.path == "body" {
        let front = cx.rig().body.as_ref()?.front.as_ref();
        let to = front?.value()? - by;
        return Some(Proposal {
            text: format!("move the body {metres} forward"),
            effort: Effort::CuttingAndWelding,
            edits: vec![remedy::restate(cx, "body.front", front, to)],
        });
    }
    let end = cx.rig().chassis.as_ref().and_then(|chassis| chassis.rear_end.as_ref());
    (rear.path == "chassis.rear_end").then(|| Proposal {
        text: format!("have {metres} of the frame's tail taken off, as the chassis maker allows"),
        effort: Effort::CuttingAndWelding,
        edits: vec![remedy::restate(cx, "chassis.rear_end", end, rear.value.value() - by)],
    })
}
