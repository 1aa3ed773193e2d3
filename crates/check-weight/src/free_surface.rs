//! weight/free-surface: does half-full water make it tippier?
//!
//! demand      how much higher the liquid of part-filled tanks makes the centre of gravity act, near the lean that tips the
//!             rig; lid and floor of each tank taken in (m)
//! capacity    rise that is borne, at most
//! states      every travel state
//! leaves out  sloshing, which peaks at up to twice the shift; liquid that runs fore and aft; the height itself
//!             (`weight/roll-stability` counts the rise in)

use std::borrow::Cow;

use check::limits::Held;
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Finding, List, Scope, Words, on_weights};
use quantity::Estimate;
use rig_facts::StateFacts;
use rig_model::{Edit, EditOp, Free};

use crate::lower::{most, reaches};
use crate::sideways::{Running, Stance, running};
use crate::subject::every_state;
use crate::working;
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/free-surface"),
    question: Cow::Borrowed("Does half-full water make it tippier?"),
    words: Words::new("raises it by", "may raise it by"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&["tank.size", "axle.track", "axle.bare_load", "chassis.centre_height"]),
    uses: on_weights![],
    limits: List::Static(&["weight/free-surface"]),
    formula: List::Static(&[
        "rise = sum of liquid x sideways shift / lean / mass of the rig",
        "shift of a box = breadth^2 x lean / (12 x depth) until floor or lid hold it; each of n cells has breadth / n",
        "a cylinder along the rig acts as if its liquid sat on its axis; other cylinders count as their box",
    ]),
    cautions: List::Static(&["sloshing peaks at up to twice the standing shift: go gently with part-filled tanks"]),
};

/// Does half-full water make it tippier?
#[derive(Debug)]
pub struct FreeSurface;

impl Check for FreeSurface {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| vec![answer(cx, state)])
    }
}

fn answer(cx: &Context, state: &StateFacts) -> Finding {
    let draft = CARD.about(cx, "part-filled tanks").at("tank").in_state(&state.name);
    if cx.rig().tank.is_empty() {
        return draft.not_applicable("the file names no tank");
    }
    let held = cx.limits("weight/free-surface");
    if held.is_empty() {
        return draft.not_applicable(NO_LIMIT);
    }
    match running(cx, state) {
        // Nothing runs: neither height nor track is wanted to say so.
        Ok(tanks) if tanks.is_empty() => {
            return draft.compare(&Estimate::exact(0.0), &held).sentence("every tank is full or empty").done();
        }
        Ok(_) => {}
        Err(gap) => return draft.blocked(&gap),
    }
    let stance = match Stance::of(cx, state) {
        Ok(stance) => stance,
        Err(gap) => return draft.blocked(&gap),
    };
    draft.compare(&stance.rise, &held).working(|| show_working(&stance)).remedies(|_| ways_out(cx, state, &stance, &held)).done()
}

fn show_working(stance: &Stance) -> Vec<String> {
    let lean = stance.lean_of_liquid().value();
    let shown = working::figure(lean, 5);
    let mut lines = vec![format!("lean at which it is taken: {shown}")];
    let mut moments = Vec::new();
    for tank in &stance.tanks {
        let (liquid, shift) = (working::figure(tank.liquid().value(), 2), working::figure(tank.shift_at(lean), 5));
        let moment = working::figure(liquid.get() * shift.get(), 3);
        lines.push(format!("{}: {liquid} kg x {shift} m to the low side = {moment} kg m", tank.name));
        moments.push(moment);
    }
    let mass = working::figure(stance.mass.value(), 1);
    let rise = moments.iter().map(|moment| moment.get()).sum::<f64>() / shown.get() / mass.get();
    let sum: Vec<String> = moments.iter().map(ToString::to_string).collect();
    lines.push(format!("rise = ({}) kg m / {shown} / {mass} kg = {} m", sum.join(" + "), working::number(rise, 4)));
    lines
}

/// The tank that adds most: run it full or empty, or divide it.
fn ways_out(cx: &Context, state: &StateFacts, stance: &Stance, held: &[Held]) -> Vec<Proposal> {
    let lean = stance.lean_of_liquid().value();
    let adds = |tank: &Running| tank.liquid().value() * tank.shift_at(lean);
    let Some(worst) = stance.tanks.iter().max_by(|a, b| adds(a).total_cmp(&adds(b))) else { return Vec::new() };
    let enough = |rise: &Estimate| held.iter().filter_map(most).all(|most| reaches(most, rise));
    let mut ways = Vec::new();
    let mut still = stance.clone();
    still.tanks.retain(|tank| tank.path != worst.path);
    let helps = still.rise_with(|tank| tank.cells).is_ok_and(|rise| enough(&rise));
    if helps && !state.made {
        for level in ["full", "empty"] {
            let path = format!("{}.fill.{}", state.path, rig_model::path::quote_key(&worst.name));
            ways.push(Proposal {
                text: format!("drive with {} {level}", worst.name),
                effort: Effort::Minutes,
                edits: vec![Edit { path, op: EditOp::Set, from: None, to: Some(Free::Text(level.to_owned())) }],
            });
        }
    }
    // A cylinder along the rig is not helped by an upright wall in it as a box is.
    let divided = |cells: u8| stance.rise_with(|tank| if tank.path == worst.path { cells } else { tank.cells });
    let cells = (worst.cells.saturating_add(1)..=MOST_CELLS).find(|cells| divided(*cells).is_ok_and(|rise| enough(&rise)));
    if let (Some(cells), true) = (cells, worst.is_divisible()) {
        let from = cx.rig().tank.get(worst.index).and_then(|tank| tank.cells_across).map(|cells| Free::Number(cells.into()));
        let to = Some(Free::Number(cells.into()));
        ways.push(Proposal {
            text: format!("divide {} into {cells} equal cells side by side, by walls along the rig", worst.name),
            effort: Effort::CuttingAndWelding,
            edits: vec![Edit { path: format!("{}.cells_across", worst.path), op: EditOp::Set, from, to }],
        });
    }
    ways
}

/// Nobody builds a water tank of more. A choice of this project.
const MOST_CELLS: u8 = 6;
