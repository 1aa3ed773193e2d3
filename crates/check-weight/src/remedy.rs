//! Ways out that several checks of this trade offer: move the body or a piece, take mass off, lower a piece.
//!
//! All are closed form on the ledger, which is linear in the place and the mass of a piece; the runner proves them.

pub use check::edits::{restate, set, system, to_step, up_to_step};
use check::remedy::{Effort, Proposal};
use check::{Context, draft::Goal};
use quantity::{Dimension, Estimate, Stated};
use rig_facts::{Item, ItemKind, StateFacts};
use rig_model::Coord;

/// Steps in which things can be moved, taken off or pumped. Choices of this project: what a person alone can set and read.
pub mod step {
    /// Moving the body or a piece: 1 cm.
    pub const MOVE_M: f64 = 0.01;
    /// Taking mass off: 5 kg.
    pub const MASS_KG: f64 = 5.0;
    /// Filling a tank: 5 L.
    pub const VOLUME_M3: f64 = 0.005;
    /// Slopes are spoken of in whole per cent.
    pub const SLOPE: f64 = 0.01;
    /// Pumping a tyre: 0.1 bar.
    pub const PRESSURE_PA: f64 = 10_000.0;
}

/// The stated coordinate of a mass along one direction (0 x, 1 y, 2 z); none where the file has a word there.
#[must_use]
pub fn coordinate<'c>(cx: &'c Context, name: &str, direction: usize) -> Option<&'c Stated<quantity::dim::Length>> {
    let mass = cx.rig().mass.iter().find(|mass| mass.name == name)?;
    match mass.at.as_ref()?.get(direction)? {
        Coord::Length(stated) => Some(stated),
        Coord::Word(_) => None,
    }
}

/// A length in words, to the centimetre.
#[must_use]
pub fn metres(cx: &Context, value: f64) -> String {
    to_step(cx, value, Dimension::Length, step::MOVE_M)
}

/// A mass in words, to the kilogram.
#[must_use]
pub fn kilograms(cx: &Context, value: f64) -> String {
    to_step(cx, value, Dimension::Mass, 1.0)
}

/// Mass of everything whose place is counted from the body, kg.
#[must_use]
pub fn mass_in_body(state: &StateFacts) -> f64 {
    state.items.iter().filter(|item| item.in_body).filter_map(|item| item.mass.as_ref().ok()).map(Estimate::value).sum()
}

/// How the load of an axle changes for each kg moved one metre rearward, 1/m; for two axles 1 / wheelbase.
#[must_use]
pub fn slope(cx: &Context, state: &StateFacts, axle: usize) -> Option<f64> {
    let shares = cx.facts().axles().shares(&state.lifted).ok()?;
    Some(shares.of_mass_at(axle, 1.0) - shares.of_mass_at(axle, 0.0))
}

/// Move the whole body along the frame so that an axle's load changes by `change` (kg, signed).
#[must_use]
pub fn move_body(cx: &Context, state: &StateFacts, axle: usize, change: f64) -> Option<Proposal> {
    let stated = cx.rig().body.as_ref()?.front.as_ref();
    let front = stated?.value()?;
    let moved = mass_in_body(state);
    let slope = slope(cx, state, axle)?;
    if moved <= 0.0 || slope == 0.0 {
        return None;
    }
    let by = change / (moved * slope);
    let by = up_to_step(by.abs(), step::MOVE_M) * by.signum();
    let direction = if by > 0.0 { "rearward" } else { "forward" };
    Some(Proposal {
        text: format!("move the body {} {direction}", metres(cx, by.abs())),
        effort: Effort::CuttingAndWelding,
        edits: vec![restate(cx, "body.front", stated, front + by)],
    })
}

/// Move one piece along the rig so that an axle's load changes by `change` (kg, signed): the piece that has to move
/// least of those that stay within the body.
#[must_use]
pub fn move_piece(cx: &Context, state: &StateFacts, axle: usize, change: f64) -> Option<Proposal> {
    let slope = slope(cx, state, axle)?;
    let ends = cx.facts().body().outer(0).ok()?;
    let (front, rear) = (ends.0.value(), ends.1.value());
    let mut best: Option<(f64, f64, &Item)> = None;
    for item in state.items.iter().filter(|item| item.kind == ItemKind::Piece && item.in_body && !item.out) {
        let ([Ok(x), ..], Ok(mass)) = (&item.at, &item.mass) else { continue };
        if mass.value() <= 0.0 || slope == 0.0 {
            continue;
        }
        let by = change / (mass.value() * slope);
        let by = up_to_step(by.abs(), step::MOVE_M) * by.signum();
        let half = item.size.map_or(0.0, |[length, ..]| length / 2.0);
        let to = x.value() + by;
        let fits = to - half >= front && to + half <= rear;
        if fits && best.is_none_or(|(least, ..)| by.abs() < least) {
            best = Some((by.abs(), by, item));
        }
    }
    let (_, by, item) = best?;
    let path = format!("{}.at[1]", item.path);
    // Counted from inside the body, whether the file writes a number or a word.
    let now = item.at.first()?.as_ref().ok()?.value() - cx.facts().body().front.as_ref().ok()?.value();
    let direction = if by > 0.0 { "rearward" } else { "forward" };
    Some(Proposal {
        text: format!(
            "move {} ({}) {} {direction}",
            item.name,
            kilograms(cx, item.mass.as_ref().ok()?.value()),
            metres(cx, by.abs())
        ),
        effort: Effort::AnAfternoon,
        edits: vec![restate(cx, path, coordinate(cx, &item.name, 0), now + by)],
    })
}

/// Take mass off a single piece: the piece whose reduction frees the axle (or the whole, with `axle` none) with the
/// least mass taken, and which is heavy enough to give it.
#[must_use]
pub fn lighten(cx: &Context, state: &StateFacts, axle: Option<usize>, less: f64) -> Option<Proposal> {
    let shares = axle.and_then(|_| cx.facts().axles().shares(&state.lifted).ok());
    let mut best: Option<(f64, &Item)> = None;
    for item in state.items.iter().filter(|item| matches!(item.kind, ItemKind::Piece)) {
        let Ok(mass) = &item.mass else { continue };
        let share = match (axle, &shares, &item.at) {
            (Some(axle), Some(shares), [Ok(x), ..]) => shares.of_mass_at(axle, x.value()),
            (None, ..) => 1.0,
            _ => continue,
        };
        if share <= 0.0 {
            continue;
        }
        let off = up_to_step(less / share, step::MASS_KG);
        if off < mass.value() && best.is_none_or(|(least, _)| off < least) {
            best = Some((off, item));
        }
    }
    let (off, item) = best?;
    let index = cx.rig().mass.iter().position(|mass| mass.name == item.name)?;
    let entry = cx.rig().mass.get(index)?;
    let count = f64::from(entry.count.unwrap_or(1));
    let now = entry.mass.as_ref()?.value()?;
    Some(Proposal {
        text: format!("take {} off {}", kilograms(cx, off), item.name),
        effort: Effort::Minutes,
        edits: vec![set(format!("{}.mass", item.path), Some(now), now - off / count, Dimension::Mass)],
    })
}

/// Carry less of a liquid in this state: the tank of which the fewest kilograms have to stay out. The state has to be one
/// of the file's own, since a made one has no fill to write.
#[must_use]
pub fn carry_less(cx: &Context, state: &StateFacts, axle: Option<usize>, less: f64) -> Option<Proposal> {
    if state.made {
        return None;
    }
    let shares = axle.and_then(|_| cx.facts().axles().shares(&state.lifted).ok());
    let liquids = || state.items.iter().filter(|item| item.kind == ItemKind::Liquid);
    let mut best: Option<(f64, f64, &rig_model::model::Tank)> = None;
    for (tank, item) in
        cx.rig().tank.iter().filter_map(|tank| Some((tank, liquids().find(|item| item.path == tank_path(cx, tank))?)))
    {
        let (Ok(mass), Some(volume)) = (&item.mass, tank.volume.as_ref().and_then(|volume| volume.value())) else { continue };
        let share = match (axle, &shares, &item.at) {
            (Some(axle), Some(shares), [Ok(x), ..]) => shares.of_mass_at(axle, x.value()),
            (None, ..) => 1.0,
            _ => continue,
        };
        let fill = fill_of(cx, state, tank).unwrap_or(0.0);
        if share <= 0.0 || mass.value() <= 0.0 || fill <= 0.0 {
            continue;
        }
        let off = less / share;
        let left = fill * volume * (1.0 - off / mass.value());
        let left = (left / step::VOLUME_M3).floor() * step::VOLUME_M3;
        if left >= 0.0 && best.is_none_or(|(least, ..)| off < least) {
            best = Some((off, left, tank));
        }
    }
    let (_, left, tank) = best?;
    let path = format!("{}.fill.{}", state.path, rig_model::path::quote_key(&tank.name));
    Some(Proposal {
        text: format!(
            "carry {} in {} instead of {}",
            litres(cx, left),
            tank.name,
            litres(cx, fill_of(cx, state, tank)? * tank.volume.as_ref()?.value()?)
        ),
        effort: Effort::Minutes,
        edits: vec![set(path, None, left, Dimension::Volume)],
    })
}

fn tank_path(cx: &Context, tank: &rig_model::model::Tank) -> String {
    let index = cx.rig().tank.iter().position(|other| other.name == tank.name).unwrap_or(0);
    rig_model::path::of("tank", &tank.name, index)
}

/// Share of a tank that is filled in a state.
fn fill_of(cx: &Context, state: &StateFacts, tank: &rig_model::model::Tank) -> Option<f64> {
    let index = cx.rig().tank.iter().position(|other| other.name == tank.name)?;
    Some(state.fills.get(index)?.as_ref().ok()?.value())
}

/// A volume in words, to the litre.
#[must_use]
pub fn litres(cx: &Context, value: f64) -> String {
    quantity::show(value, Dimension::Volume, system(cx), Some(step::VOLUME_M3))
}

/// By how much the demand must change, signed, for an at-most (down) or at-least (up) limit.
#[must_use]
pub fn down(goal: &Goal) -> f64 {
    -goal.change()
}
