//! The sheet for a day on the weighbridge.

use check::audit::Units;
use check::exhibit::Span;
use check::weighing::{Filled, MadeState, OnPlate, Seated, WeighingDay, Wheels};
use check::{Context, Scope};
use quantity::{Dimension, Estimate, Num, System, show_exact};
use rig_facts::states::{Loading, TankFill, loadings};
use rig_facts::{StateFacts, StateKind};
use rig_model::model::{Axle, Rig};

/// What to weigh, and in which state: the one named; else the one that the file's tickets were read in; else one that
/// speaks of weighing; else the first on the road.
///
/// # Errors
/// A sentence: there is no such state, or no axle.
pub fn weighing_day(context: &Context, state: Option<&str>) -> Result<WeighingDay, String> {
    let rig = context.rig();
    if rig.axle.is_empty() {
        return Err("the file names no axles to weigh".to_owned());
    }
    let all = loadings(rig);
    let chosen = chosen(rig, &all, context, state);
    let loading = chosen.ok_or_else(|| {
        let names: Vec<&str> = all.iter().map(|loading| loading.name.as_str()).collect();
        format!("there is no state {}; there are {}", state.unwrap_or("on the road"), names.join(", "))
    })?;
    let facts = context.facts().state(&loading.name).ok_or_else(|| format!("nothing is known of the state {}", loading.name))?;
    // A state that the program made has no name in the file for tickets to point at.
    let name = if loading.made { unused("weighing day", &[]) } else { loading.name.clone() };
    Ok(WeighingDay {
        rig: rig.rig.clone(),
        units: if rig.units == Some(rig_model::Units::Us) { Units::Us } else { Units::Metric },
        in_file: !loading.made,
        made: all.iter().filter(|loading| loading.made).map(|loading| made(rig, loading)).collect(),
        tanks: rig.tank.iter().enumerate().map(|(at, tank)| filled(rig, facts, at, &tank.name)).collect(),
        people: loading.people.iter().map(|sits| Seated { seat: sits.seat.clone(), person: sits.person.clone() }).collect(),
        absent: loading.absent.clone(),
        out: loading.out.clone(),
        trailer: loading.trailer,
        plates: plates(rig, facts, &name),
        state: name,
    })
}

fn chosen<'a>(rig: &Rig, all: &'a [Loading], context: &Context, state: Option<&str>) -> Option<&'a Loading> {
    let named = |name: &str| all.iter().find(|loading| loading.name == name);
    if let Some(state) = state {
        return named(state);
    }
    let of_ticket = rig.weighing.iter().find_map(|weighing| named(weighing.state.as_deref()?));
    let travel = || context.states(Scope::Travel).filter_map(|state| named(&state.name));
    of_ticket.or_else(|| travel().find(|loading| loading.name.contains("weigh"))).or_else(|| travel().next())
}

fn made(rig: &Rig, loading: &Loading) -> MadeState {
    let share = |fill: &TankFill| match fill {
        TankFill::Exactly(1.0) => "full".to_owned(),
        TankFill::Exactly(0.0) => "empty".to_owned(),
        TankFill::Exactly(share) => show_exact(*share, Dimension::Ratio, System::Metric),
        TankFill::Stated(..) | TankFill::Unsaid(_) => "?".to_owned(),
    };
    MadeState {
        name: loading.name.clone(),
        kind: if loading.kind == StateKind::Travel { "travel" } else { "camp" }.to_owned(),
        fill: rig.tank.iter().zip(&loading.fills).map(|(tank, fill)| (tank.name.clone(), share(fill))).collect(),
        people: loading.people.iter().map(|sits| sits.seat.clone()).collect(),
        out: loading.out.clone(),
        trailer: loading.trailer,
    }
}

fn filled(rig: &Rig, facts: &StateFacts, at: usize, name: &str) -> Filled {
    let volume = rig.tank.get(at).and_then(|tank| tank.volume.as_ref()?.value());
    let fill = facts.fills.get(at).and_then(|fill| fill.as_ref().ok());
    Filled { tank: name.to_owned(), volume: fill.zip(volume).map(|(fill, volume)| within(fill, volume)) }
}

/// No tank holds less than nothing or more than itself.
fn within(fill: &Estimate, volume: f64) -> Span {
    let (low, high) = fill.interval_within(0.0, 1.0);
    Span { value: Num(fill.value() * volume), low: Num(low * volume), high: Num(high * volume) }
}

/// The foremost axle, then the whole, then the others: the order in which one drives over the plate. Axles that share
/// their load stand on it together.
fn plates(rig: &Rig, facts: &StateFacts, state: &str) -> Vec<OnPlate> {
    let mut order: Vec<usize> = (0..rig.axle.len()).collect();
    let x = |at: &usize| rig.axle.get(*at).and_then(|axle| axle.x.as_ref()?.value()).unwrap_or(f64::MAX);
    order.sort_by(|a, b| x(a).total_cmp(&x(b)).then(a.cmp(b)));
    let mut wheels: Vec<Wheels> = Vec::new();
    for axle in order.iter().filter_map(|at| rig.axle.get(*at)) {
        let these = axle.group.as_ref().map_or_else(|| Wheels::Axle(axle.name.clone()), |group| Wheels::Group(group.clone()));
        if !wheels.contains(&these) {
            wheels.push(these);
        }
    }
    if wheels.len() > 1 {
        wheels.insert(1, Wheels::Whole);
    } else {
        wheels = vec![Wheels::Whole];
    }
    let taken: Vec<&str> = rig.weighing.iter().map(|weighing| weighing.name.as_str()).collect();
    wheels.into_iter().map(|wheels| on_plate(rig, facts, wheels, state, &taken)).collect()
}

fn on_plate(rig: &Rig, facts: &StateFacts, wheels: Wheels, state: &str, taken: &[&str]) -> OnPlate {
    let on = |axle: &Axle| match &wheels {
        Wheels::Whole => true,
        Wheels::Axle(name) => axle.name == *name,
        Wheels::Group(group) => axle.group.as_ref() == Some(group),
    };
    let axles = || rig.axle.iter().enumerate().filter(|(_, axle)| on(axle));
    let limit = match &wheels {
        Wheels::Whole => {
            let plates = rig.chassis.iter().flat_map(|chassis| [&chassis.gross_mass, &chassis.registered_mass]);
            plates.filter_map(|plate| plate.as_ref()?.value()).min_by(f64::total_cmp)
        }
        _ => axles().map(|(_, axle)| axle.rated.as_ref()?.value()).sum(),
    };
    let list = match &wheels {
        Wheels::Whole => facts.mass().ok().cloned(),
        _ => axles()
            .map(|(at, _)| facts.axle_load(at).ok())
            .collect::<Option<Vec<_>>>()
            .map(|loads| Estimate::sum(loads.into_iter())),
    };
    let what = match &wheels {
        Wheels::Whole => "whole",
        Wheels::Axle(name) | Wheels::Group(name) => name,
    };
    OnPlate {
        ticket: unused(&format!("{state}, {what}"), taken),
        limit: limit.map(Num),
        list: list.map(|list| {
            let (low, high) = list.interval95();
            Span { value: Num(list.value()), low: Num(low), high: Num(high) }
        }),
        wheels,
    }
}

/// The name, with a number behind it where that one is taken.
fn unused(name: &str, taken: &[&str]) -> String {
    let names = std::iter::once(name.to_owned()).chain((2..).map(|n: usize| format!("{name} {n}")));
    names.into_iter().find(|name| !taken.contains(&name.as_str())).unwrap_or_default()
}
