//! Ways out for a rig that stands too high: lower a piece, leave a high piece at home, and first of all measure.

use check::limits::{Held, HeldBound};
use check::remedy::{Effort, Proposal};
use check::{Context, Finding, Verdict, draft::GOAL};
use quantity::Estimate;
use rig_facts::{Gap, Item, ItemKind, StateFacts};
use rig_model::{Edit, EditOp, Free};

use crate::remedy::{coordinate, kilograms, metres, restate, step, up_to_step};
use crate::sideways::Stance;

/// What a rig has to reach: whether a stance is good enough.
pub type Enough<'a> = &'a dyn Fn(&Stance) -> bool;

/// Whether an at-least demand reaches its bound over its range, with the reserve that every way out aims at.
#[must_use]
pub fn reaches(demand: &Estimate, least: &Estimate) -> bool {
    let margin = demand - least;
    margin.interval95().0 >= 0.0 && GOAL * demand.value() >= least.value()
}

/// Ways out of a stance that is not good enough, the gentlest first.
#[must_use]
pub fn ways_out(cx: &Context, state: &StateFacts, stance: &Stance, enough: Enough<'_>) -> Vec<Proposal> {
    [lower_piece(cx, state, stance, enough), leave_home(cx, state, stance, enough)].into_iter().flatten().collect()
}

/// Lower one piece inside the body: the one that has to come down least.
fn lower_piece(cx: &Context, state: &StateFacts, stance: &Stance, enough: Enough<'_>) -> Option<Proposal> {
    let floor = cx.facts().body().floor.as_ref().ok()?.value();
    let height = stance.solid.value();
    // By how much the whole has to come down, between nothing and all of it.
    let (mut low, mut high) = (0.0, height);
    if !enough(&stance.lower(height * GOAL)) {
        return None;
    }
    for _ in 0..f64::MANTISSA_DIGITS {
        let middle = (low + high) / 2.0;
        if enough(&stance.lower(middle)) { high = middle } else { low = middle }
    }
    let mut fitting: Vec<(f64, &Item)> = Vec::new();
    for item in pieces(state).filter(|item| item.in_body) {
        let Ok(mass) = &item.mass else { continue };
        if mass.value() > 0.0 && room_below(item, floor).is_some() {
            fitting.push((high * stance.mass.value() / mass.value(), item));
        }
    }
    fitting.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (by, item) = fitting.into_iter().find_map(|(about, item)| {
        let room = room_below(item, floor)?;
        let mut by = up_to_step(about, step::MOVE_M);
        // Its own doubt goes down with it: a few steps more or less settle it.
        while by <= room && !lowered(state, stance, item, by).is_some_and(|stance| enough(&stance)) {
            by += step::MOVE_M;
        }
        (by <= room).then_some((by, item))
    })?;
    let [_, _, Ok(z)] = &item.at else { return None };
    let edit = restate(cx, format!("{}.at[3]", item.path), coordinate(cx, &item.name, 2), z.value() - by - floor);
    Some(Proposal {
        text: format!("lower {} ({}) by {}", item.name, kilograms(cx, item.mass.as_ref().ok()?.value()), metres(cx, by)),
        effort: Effort::AnAfternoon,
        edits: vec![edit],
    })
}

/// How far a piece can come down until it stands on the floor, m.
fn room_below(item: &Item, floor: f64) -> Option<f64> {
    let [_, _, Ok(z)] = &item.at else { return None };
    let half = item.size.map_or(0.0, |[_, _, height]| height / 2.0);
    Some(z.value() - half - floor).filter(|room| *room > 0.0)
}

/// The stance with one piece lower.
fn lowered(state: &StateFacts, stance: &Stance, item: &Item, by: f64) -> Option<Stance> {
    let (moment, mass) = (state.loads.sums.mass_z.as_ref().ok()?, item.mass.as_ref().ok()?);
    let mut lower = stance.clone();
    lower.solid = &(moment - &mass.scale(by)) / &stance.mass;
    lower.rise = lower.rise_with(|tank| tank.cells).ok()?;
    Some(lower)
}

/// Leave one piece at home: the lightest that helps enough.
fn leave_home(cx: &Context, state: &StateFacts, stance: &Stance, enough: Enough<'_>) -> Option<Proposal> {
    let mut pieces: Vec<&Item> = pieces(state).filter(|item| item.mass.is_ok()).collect();
    let mass = |item: &Item| item.mass.as_ref().map_or(f64::INFINITY, Estimate::value);
    pieces.sort_by(|a, b| mass(a).total_cmp(&mass(b)).then_with(|| a.name.cmp(&b.name)));
    let item = pieces.into_iter().find(|item| without(state, stance, item).is_ok_and(|stance| enough(&stance)))?;
    Some(Proposal {
        text: format!("leave {} ({}) at home", item.name, kilograms(cx, mass(item))),
        effort: Effort::Minutes,
        edits: vec![take_out(state, item)],
    })
}

/// An edit that takes a piece off the rig in that state; a state that was made has no table to say it in.
#[must_use]
pub fn take_out(state: &StateFacts, item: &Item) -> Edit {
    if state.made {
        Edit { path: item.path.clone(), op: EditOp::Remove, from: None, to: None }
    } else {
        let to = Some(Free::Text(item.name.clone()));
        Edit { path: format!("{}.absent", state.path), op: EditOp::Add, from: None, to }
    }
}

/// The stance without one piece. Running liquid counts a little more in a lighter rig; that is taken in.
fn without(state: &StateFacts, stance: &Stance, item: &Item) -> Result<Stance, Gap> {
    let sums = &state.loads.sums;
    let less = |sum: &Result<Estimate, Gap>, part: &Result<Estimate, Gap>| Ok::<_, Gap>(&sum.clone()? - &part.clone()?);
    let mass = less(&sums.mass, &item.mass)?;
    let height = &less(&sums.mass_z, &item.mass_z)? / &mass;
    let offset = &less(&sums.mass_y, &item.mass_y)? / &mass;
    let mut lighter = Stance { mass, solid: height, offset, ..stance.clone() };
    lighter.rise = lighter.rise_with(|tank| tank.cells)?;
    Ok(lighter)
}

fn pieces(state: &StateFacts) -> impl Iterator<Item = &Item> {
    state.items.iter().map(AsRef::as_ref).filter(|item| item.kind == ItemKind::Piece && !item.out)
}

/// The bound of an at-most limit.
#[must_use]
pub fn most(held: &Held) -> Option<&Estimate> {
    match &held.bound {
        HeldBound::AtMost(most) => Some(most),
        HeldBound::AtLeast(_) | HeldBound::Between(..) => None,
    }
}

/// Whether a demand reaches every at-least bound.
#[must_use]
pub fn reaches_all(demand: &Estimate, held: &[Held]) -> bool {
    held.iter().all(|held| match &held.bound {
        HeldBound::AtLeast(least) | HeldBound::Between(least, _) => reaches(demand, least),
        HeldBound::AtMost(_) => true,
    })
}

/// Where the answer is unsettled and the height of the bare chassis is part of the doubt: measure it, before anything is
/// moved.
#[must_use]
pub fn measure_first(cx: &Context, mut finding: Finding) -> Finding {
    const HEIGHT: &str = "chassis.centre_height";
    if finding.verdict == Verdict::Unsettled && finding.needs.iter().any(|need| need.path == HEIGHT) {
        finding.sentence = Some(format!("measure first: {}", cx.facts().how_to_get(HEIGHT)));
    }
    finding
}
