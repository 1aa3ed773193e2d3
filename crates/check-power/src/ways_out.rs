//! Ways out that several checks of energy share: more panels, a larger battery, fewer hours of a load. Each is tried on an
//! edited copy before it is proposed.

use check::edits::restate;
use check::remedy::{Effort, Proposal};
use rig_facts::power::run::LANES;
use rig_facts::power::{Answer, Drawn, HOUR_S, Run, Try};
use rig_model::model::{FacingWord, Load, LoadKind};
use rig_model::{Edit, EditOp, Free};

use crate::house::House;

/// So many times as many panels, or batteries, are proposed at most: beyond it something else is wrong. A choice of this
/// project.
const MOST_TIMES: f64 = 8.0;
/// A guess that is not enough is raised so often. A choice of this project: each costs a year's run.
const RAISES: u32 = 3;
/// Hours are set to this, h. A choice of this project: clocks and habits are not finer.
const STEP_H: f64 = 0.25;
/// Who gives up more than three quarters of the hours does without: no way out. A choice of this project.
const LEAST: f64 = 0.25;

/// Also where the guess is no number.
fn is_too_many(wanted: f64, now: u32) -> bool {
    wanted.is_nan() || wanted > MOST_TIMES * f64::from(now)
}

fn count_edit(path: &str, key: &str, from: u32, to: u32) -> Edit {
    Edit {
        path: format!("{path}.{key}"),
        op: EditOp::Set,
        from: Some(Free::Number(from.into())),
        to: Some(Free::Number(to.into())),
    }
}

/// The first of some unproved proposals that is enough.
fn first_proved(
    house: &House<'_>,
    unproved: impl Iterator<Item = Option<Proposal>>,
    is_enough: impl Fn(&House<'_>) -> bool,
) -> Option<Proposal> {
    unproved.flatten().find(|one| house.with(&one.edits, &is_enough))
}

/// More panels like those of the entry that gives most: so that all together give about `times` as much.
#[must_use]
pub fn more_panels(house: &House<'_>, times: f64, is_enough: impl Fn(&House<'_>) -> bool) -> Option<Proposal> {
    first_proved(house, (0..RAISES).map(|more| panels(house, times, more)), is_enough)
}

/// More rows of batteries in parallel, of a bank by its number: about `times` as much.
#[must_use]
pub fn more_batteries(house: &House<'_>, bank: usize, times: f64, is_enough: impl Fn(&House<'_>) -> bool) -> Option<Proposal> {
    first_proved(house, (0..RAISES).map(|more| batteries(house, bank, times, more)), is_enough)
}

/// More panels and more batteries, where neither alone is enough: as many times as `sizes` says, of sun and of capacity.
#[must_use]
pub fn more_of_both(
    house: &House<'_>,
    bank: usize,
    sizes: (f64, f64),
    is_enough: impl Fn(&House<'_>) -> bool,
) -> Option<Proposal> {
    let both = |more| {
        let (panels, batteries) = (panels(house, sizes.0, more)?, batteries(house, bank, sizes.1, 0)?);
        Some(Proposal {
            text: format!("{}; and {}", panels.text, batteries.text),
            effort: Effort::PartsToBuy,
            edits: [panels.edits, batteries.edits].concat(),
        })
    };
    first_proved(house, (0..RAISES).map(both), is_enough)
}

/// So many panels, and `more` strings on top, not proved.
fn panels(house: &House<'_>, times: f64, more: u32) -> Option<Proposal> {
    let power = house.cx.facts().power();
    let all: f64 = house.set.panels.iter().map(|at| watts(house, *at)).sum();
    let at = largest(house)?;
    let (panel, entry) = (power.panels().get(at)?, house.cx.rig().panel.get(at)?);
    // Of a thing of another table the pieces are counted there.
    if entry.of.is_some() {
        return None;
    }
    let (now, string) = (entry.count.unwrap_or(1), entry.in_series.unwrap_or(1).max(1));
    let wanted = f64::from(now) * (1.0 + (times - 1.0) * all / watts(house, at));
    // Whole strings on top: what the entry has may be a part of one that goes on in another entry.
    let strings = ((wanted - f64::from(now)) / f64::from(string)).ceil().max(1.0);
    if is_too_many(f64::from(now) + strings * f64::from(string), now) {
        return None;
    }
    let to = now.saturating_add((strings as u32).saturating_add(more).saturating_mul(string));
    let each = watts(house, at) / f64::from(now);
    let w = |count: u32| check::working::number(each * f64::from(count), 0);
    Some(Proposal {
        text: format!("{to} panels like {} instead of {now}: {} W instead of {} W", panel.name, w(to), w(now)),
        effort: Effort::PartsToBuy,
        edits: vec![count_edit(&panel.path, "count", now, to)],
    })
}

/// So many rows of batteries, and `more` on top, not proved.
fn batteries(house: &House<'_>, bank: usize, times: f64, more: u32) -> Option<Proposal> {
    let bank = house.cx.facts().power().banks().get(bank).filter(|bank| !bank.portable)?;
    let entry = house.cx.rig().battery.iter().find(|battery| battery.name == bank.name && battery.of.is_none())?;
    // Pieces that are not said to be wired in rows stand side by side.
    let counted = entry.in_series.is_none() && entry.in_parallel.is_none() && entry.count.is_some();
    let (key, now) = if counted { ("count", entry.count?) } else { ("in_parallel", entry.in_parallel.unwrap_or(1)) };
    let wanted = (f64::from(now) * times).ceil();
    if is_too_many(wanted, now) {
        return None;
    }
    let to = (wanted as u32).max(now + 1) + more;
    let pieces = entry.count.filter(|_| !counted);
    let pieces = pieces.map(|count| count_edit(&bank.path, "count", count, (count / now.max(1)).saturating_mul(to)));
    let kwh = |count: u32| {
        let all = bank.capacity.as_ref().map_or(0.0, |all| all.value()) / f64::from(now);
        check::working::number(all * f64::from(count) / KILO, 1)
    };
    let side = if entry.in_series.unwrap_or(1) > 1 { "rows of batteries" } else { "batteries" };
    Some(Proposal {
        text: format!(
            "{to} {side} like {} side by side instead of {now}: {} kWh instead of {} kWh",
            bank.name,
            kwh(to),
            kwh(now)
        ),
        effort: Effort::PartsToBuy,
        edits: std::iter::once(count_edit(&bank.path, key, now, to)).chain(pieces).collect(),
    })
}

const KILO: f64 = 1000.0;

/// Fewer hours of the load that takes most in that month (from 0) and can be switched off: so that all loads together take
/// about `share` of what they do.
#[must_use]
pub fn fewer_hours(house: &House<'_>, month: usize, share: f64, is_enough: impl Fn(&House<'_>) -> bool) -> Option<Proposal> {
    let all: f64 = house.year.months.get(month)?.load.value();
    let (drawn, entry) = switched(house, month)?;
    let now = entry.hours.as_ref()?.value()? / HOUR_S;
    let daily = drawn.daily.as_ref().ok()?.value();
    let left = 1.0 - (1.0 - share) * all / daily;
    let steps = (now * left / STEP_H).floor();
    let hours = |steps: f64| (steps * STEP_H).max(0.0);
    let to_edit = |hours: f64| vec![restate(house.cx, format!("{}.hours", drawn.path), entry.hours.as_ref(), hours * HOUR_S)];
    let tries = (0..RAISES).map(|less| hours(steps - f64::from(less))).filter(|hours| *hours > 0.0 && *hours >= LEAST * now);
    let to = tries.into_iter().find(|hours| house.with(&to_edit(*hours), &is_enough))?;
    Some(Proposal {
        text: format!("{} on for {} h a day instead of {} h", drawn.name, plain(to), plain(now)),
        effort: Effort::Minutes,
        edits: to_edit(to),
    })
}

/// A number without zeros that say nothing.
fn plain(value: f64) -> String {
    let text = check::working::number(value, 2);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The largest load of that month whose hours are told and are somebody's choice.
fn switched<'c>(house: &House<'c>, month: usize) -> Option<(&'c Drawn, &'c Load)> {
    let chosen = |drawn: &Drawn, load: &Load| {
        let works = matches!(load.kind, Some(LoadKind::Standing | LoadKind::Fridge | LoadKind::Freezer));
        load.hours.is_some() && load.daily.is_none() && !works && !drawn.never_off
    };
    let rig = house.cx.rig();
    let of = |drawn: &'c Drawn| Some((drawn, rig.load.iter().find(|load| load.name == drawn.name)?));
    let size = |drawn: &Drawn| drawn.daily.as_ref().map_or(0.0, |daily| daily.value());
    let all = house.loads().filter(|drawn| drawn.months.has(month) && !drawn.standing).filter_map(of);
    all.filter(|(drawn, load)| chosen(drawn, load)).reduce(|most, other| if size(other.0) > size(most.0) { other } else { most })
}

/// Steeper than the latitude by so much, deg, a panel faces the winter sun; steeper than the second none is lifted; a lift is
/// set to steps. Choices of this project.
const WINTER_DEG: f64 = 15.0;
const STEEPEST_DEG: f64 = 60.0;
const STEP_DEG: f64 = 5.0;

/// The panel that gives most, where it lies flat, lifted towards the noon sun when parked as the owner parks.
#[must_use]
pub fn lift_panels(house: &House<'_>, is_enough: impl Fn(&House<'_>) -> bool) -> Option<Proposal> {
    let power = house.cx.facts().power();
    let heading = power.told("site.heading").ok()?.value();
    let latitude = power.site().ok()?.place.latitude_deg;
    let at = largest(house)?;
    let (panel, entry) = (power.panels().get(at)?, house.cx.rig().panel.get(at)?);
    if panel.tilt.to_degrees() > STEP_DEG || entry.faces.is_some() {
        return None;
    }
    let noon = if latitude >= 0.0 { std::f64::consts::PI } else { 0.0 };
    let quarter = std::f64::consts::FRAC_PI_2;
    // How far each way is off the noon sun, as an angle from 0 to pi.
    let off = |way: FacingWord| {
        let angle = (heading + f64::from(way.quarters()) * quarter - noon).rem_euclid(std::f64::consts::TAU);
        angle.min(std::f64::consts::TAU - angle)
    };
    let way = FacingWord::ALL.into_iter().min_by(|a, b| off(*a).total_cmp(&off(*b)))?;
    let tilt = (((latitude.abs() + WINTER_DEG) / STEP_DEG).round() * STEP_DEG).min(STEEPEST_DEG);
    let set = |key: &str, to: String| Edit {
        path: format!("{}.{key}", panel.path),
        op: EditOp::Set,
        from: None,
        to: Some(Free::Text(to)),
    };
    let edits = vec![set("tilt", format!("{tilt} deg")), set("faces", way.word().to_owned())];
    house.with(&edits, is_enough).then(|| Proposal {
        text: format!("lift {} by {tilt} deg when parked, to look {}; flat again before driving", panel.name, way.word()),
        effort: Effort::PartsToBuy,
        edits,
    })
}

/// Number of the panel entry of a house that gives most.
fn largest(house: &House<'_>) -> Option<usize> {
    house.set.panels.iter().copied().reduce(|most, other| if watts(house, other) > watts(house, most) { other } else { most })
}

fn watts(house: &House<'_>, at: usize) -> f64 {
    let panel = house.cx.facts().power().panels().get(at);
    panel.and_then(|panel| panel.watts.as_ref().ok()).map_or(0.0, |watts| watts.value())
}

/// The first of eight sizes, tried side by side, with which a bank's run is enough.
#[must_use]
pub fn first_enough(run: &Run, tries: [Try; LANES], is_enough: impl Fn(&Answer) -> bool) -> Option<Try> {
    let answers = run.tries(&tries);
    tries.into_iter().zip(&answers).find(|(_, answer)| is_enough(answer)).map(|(one, _)| one)
}
