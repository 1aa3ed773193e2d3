//! power/cooling-hours: how long does the air conditioner run from the battery, and can the inverter start it?
//!
//! demand      case "hours": hours on a hot day from a full battery and what the sun leaves over meanwhile (s); case "start":
//!             power at its start, soft starter and all (W)
//! capacity    "hours": those wanted, at least; "start": what the inverter gives for a moment by its plate, at most
//! states      once for each air conditioner and set of what is on board when camped
//! leaves out  moisture, heat stored in walls, what else starts at the same time (`power/inverter-surge`)
//!
//! With the body told the power is that of the heat that comes in; without, that of the unit's plate, which is more.

use std::borrow::Cow;

use basis::Basis;
use check::draft::{GOAL, has_reserve};
use check::remedy::Effort;
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Proposal, Scope, Verdict, Words};
use quantity::{Dimension, Estimate, System, show};
use rig_facts::power::loads::HOURS;
use rig_facts::power::{BankYear, Drawn, HOUR_S};
use rig_facts::{Gap, tables};
use rig_model::model::{Bus, Load, LoadKind};
use rig_model::{Edit, EditOp, Free, path};

use crate::cooling_day::{Draws, HotDay, taken};
use crate::house::{House, begin, begin_about, lasts, on_year, times_to_last, within};
use crate::ways_out;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/cooling-hours"),
    question: Cow::Borrowed("How long does the air conditioner run from the battery, and can the inverter start it?"),
    words: Words::new("runs for", "is wanted for"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["inverter.surge", "load.power", "panel.rated", "battery.capacity", "site.latitude"]),
    uses: on_year![
        "power.cooling_hours",
        "site.hottest",
        "body.length",
        "body.width",
        "body.height",
        "body.heat",
        "load.start",
        "load.locked_rotor",
        "load.soft_start",
        "load.power_factor",
        "load.cooling_capacity",
        "load.cop",
        "inverter.voltage",
        "portable.surge",
    ],
    limits: List::Static(&[]),
    formula: List::Static(&[
        "heat = U x (walls x (outside - inside) + roof x absorbed x sun / film) + windows + air + 130 W a person + appliances",
        "takes = heat / COP, both as they are in that air; without a body told: what its plate says; / inverter",
        "runs for = usable energy / (takes - (sun - other loads)), by the air that 98 of 100 hours do not reach, or the hottest told",
        "start = locked rotor x volts x (1 - soft starter)",
    ]),
    cautions: List::Static(crate::house::CAUTIONS),
};

/// How long does the air conditioner run from the battery?
#[derive(Debug)]
pub struct CoolingHours;

impl Check for CoolingHours {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let power = cx.facts().power();
        if cx.rig().load.is_empty() {
            return vec![begin(cx, &CARD, "load", 0).missing("load")];
        }
        let mut findings = Vec::new();
        for (index, set) in power.sets().iter().enumerate() {
            let loads = set.loads.iter().filter_map(|at| power.loads().get(*at));
            for load in loads.filter(|load| load.kind == LoadKind::Cooling) {
                let Some(entry) = cx.rig().load.iter().find(|entry| entry.name == load.name) else { continue };
                findings.push(hours(cx, index, load, entry));
                findings.extend(start(cx, index, load, entry));
            }
        }
        if findings.is_empty() {
            findings.push(begin(cx, &CARD, "load", 0).not_applicable("no air conditioner is told"));
        }
        findings
    }
}

const PERCENT: f64 = 100.0;

/// Begins the answer to one of the questions; where camp states differ, for the first of a set.
fn about<'c>(cx: &'c Context, index: usize, load: &Drawn, case: &str) -> Draft<'c> {
    let sets = cx.facts().power().sets();
    let state = sets.get(index).and_then(|set| set.states.first()).filter(|_| sets.len() > 1);
    let case = state.map_or_else(|| case.to_owned(), |state| format!("{case}, {state}"));
    begin_about(cx, &CARD, (&load.name, &load.path), index).case(&case)
}

/// A hot day's answer.
struct Running {
    day: HotDay,
    draws: Draws,
    /// What the bank gives until its floor, Wh.
    usable: Estimate,
    /// What the unit takes of the bank, W.
    takes: Estimate,
}

impl Running {
    fn of(house: &House<'_>, load: &Drawn, entry: &Load) -> Result<Self, Gap> {
        let power = house.cx.facts().power();
        let bank: &BankYear = house.banks().iter().find(|bank| load.bank == Some(bank.bank)).ok_or_else(|| Gap::at("battery"))?;
        let of = power.banks().get(bank.bank).ok_or_else(|| Gap::at("battery"))?;
        let capacity = of.capacity.as_ref().map_err(Clone::clone)?;
        let usable = capacity.scale((1.0 - of.floor) * bank.drawn.store.discharge_efficiency);
        let day = HotDay::of(house, load, bank)?;
        let draws = Draws::of(house, entry, &load.path, &day)?;
        let takes = draws.power.scale(f64::from(entry.count.unwrap_or(1)) / arrives(house.cx, entry));
        Ok(Self { day, draws, usable, takes })
    }

    /// Hours, a day at most.
    fn hours(&self, wanted: f64) -> Estimate {
        lasts(&self.usable, &(&self.takes - &self.day.over), wanted, HOURS as f64)
    }

    fn is_enough(&self, wanted: f64) -> bool {
        let hours = self.hours(wanted);
        wanted <= GOAL * hours.value() && hours.interval95().0 >= wanted
    }
}

/// Share of what leaves the bank that reaches it.
fn arrives(cx: &Context, entry: &Load) -> f64 {
    let usual = || tables::usual("living/converter", "what", "inverter", "share");
    let through = inverter(cx, entry).map(|(path, _)| path);
    let told = through.and_then(|path| cx.facts().power().told(&format!("{path}.efficiency")).ok());
    if entry.on == Some(Bus::Ac) { told.map_or_else(usual, Estimate::value) } else { 1.0 }
}

/// The inverter or portable unit that feeds it: its path and name. The first inverter where nobody told.
fn inverter<'c>(cx: &'c Context, entry: &Load) -> Option<(String, &'c str)> {
    let is_named = |name: &str| entry.through.as_deref().is_none_or(|through| through == name);
    let at = path::of;
    let inverters =
        cx.rig().inverter.iter().enumerate().map(|(index, one)| (at("inverter", &one.name, index), one.name.as_str()));
    let units = cx.rig().portable.iter().enumerate().map(|(index, one)| (at("portable", &one.name, index), one.name.as_str()));
    inverters.chain(units).find(|(_, name)| is_named(name))
}

/// Hours a day that are wanted: the owner's wish, else the load's own.
fn wanted(cx: &Context, entry: &Load) -> Option<f64> {
    let wish = cx.rig().power.as_ref().and_then(|wishes| wishes.cooling_hours.as_ref());
    wish.or(entry.wanted.as_ref()).map(|hours| hours.si() / HOUR_S)
}

fn hours(cx: &Context, index: usize, load: &Drawn, entry: &Load) -> Finding {
    let draft = about(cx, index, load, "hours");
    let power = cx.facts().power();
    let running = match power.year(index).and_then(|year| {
        let set = power.sets().get(index).ok_or_else(|| Gap::at("load"))?;
        Running::of(&House { cx, index, set, year }, load, entry)
    }) {
        Ok(running) => running,
        Err(gap) => return draft.blocked(&gap),
    };
    let said = sentence(&running);
    let Some(wanted) = wanted(cx, entry) else { return draft.blocked(&Gap::because("power.cooling_hours", said)) };
    let hours = running.hours(wanted);
    let held =
        Held::at_least("hours wanted", Estimate::exact(wanted * HOUR_S), Dimension::Duration, Basis::owner("hours wanted"));
    let finding = draft
        .compare(&hours.scale(HOUR_S), &[held])
        .sentence(said)
        .working(|| working(&running))
        .remedies(|_| ways_out(cx, index, load, &hours, wanted))
        .done();
    within(finding, 0.0, HOURS as f64 * HOUR_S)
}

fn sentence(running: &Running) -> String {
    let day = &running.day;
    let watts = |estimate: &Estimate| number(estimate.value(), 0);
    let air = number(day.air, 0);
    let from = if day.told { "the hottest told" } else { "98 of 100 hours are cooler" };
    let by = match running.draws.heat {
        Some(heat) => format!("{} W of heat come in", number(heat, 0)),
        None => "the body's heat is not told, so its plate counts".to_owned(),
    };
    let beside = if day.over.value() >= 0.0 { "brings" } else { "misses" };
    let over = number(day.over.value().abs(), 0);
    let slack = if running.draws.keeps_up { "" } else { "; it runs without a pause and the room stays warmer than wanted" };
    format!(
        "at {air} °C ({from}): {by}, it takes {} W of the battery; the sun {beside} {over} W over all other loads{slack}",
        watts(&running.takes)
    )
}

fn working(running: &Running) -> Vec<String> {
    let (usable, takes, over) =
        (figure(running.usable.value(), 1), figure(running.takes.value(), 1), figure(running.day.over.value(), 1));
    let net = takes.get() - over.get();
    if net <= 0.0 {
        return vec![format!("{takes} W - ({over}) W = {} W", number(net, 1))];
    }
    vec![format!("{usable} Wh usable / ({takes} W - ({over}) W) = {} h", number(usable.get() / net, 2))]
}

fn ways_out(cx: &Context, index: usize, load: &Drawn, hours: &Estimate, wanted: f64) -> Vec<Proposal> {
    let power = cx.facts().power();
    let (Some(set), Ok(year)) = (power.sets().get(index), power.year(index)) else { return Vec::new() };
    let house = House { cx, index, set, year };
    let is_enough = |house: &House<'_>| {
        let drawn = house.loads().find(|other| other.path == load.path);
        let entry = house.cx.rig().load.iter().find(|entry| entry.name == load.name);
        drawn.zip(entry).is_some_and(|(drawn, entry)| Running::of(house, drawn, entry).is_ok_and(|one| one.is_enough(wanted)))
    };
    let times = times_to_last(hours, wanted);
    let white = paint(cx).filter(|white| house.with(&white.edits, is_enough));
    let bank = load.bank.and_then(|bank| ways_out::more_batteries(&house, bank, times, is_enough));
    [white, bank].into_iter().flatten().collect()
}

/// A white roof, where it is of another colour.
fn paint(cx: &Context) -> Option<Proposal> {
    let colour = cx.rig().body.as_ref()?.heat.as_ref()?.colour?.word();
    let white = rig_model::model::Colour::White.word();
    (colour != white).then(|| Proposal {
        text: format!("paint the roof white: {colour} takes in more of the sun"),
        effort: Effort::AnAfternoon,
        edits: vec![Edit {
            path: "body.heat.colour".to_owned(),
            op: EditOp::Set,
            from: Some(Free::Text(colour.to_owned())),
            to: Some(Free::Text(white.to_owned())),
        }],
    })
}

/// Start of a unit that runs on mains voltage against the inverter that feeds it.
fn start(cx: &Context, index: usize, load: &Drawn, entry: &Load) -> Option<Finding> {
    if entry.on != Some(Bus::Ac) {
        return None;
    }
    let draft = || about(cx, index, load, "start").words("starts with", "gives for a moment");
    let Some((feeds, name)) = inverter(cx, entry) else { return Some(draft().missing("inverter")) };
    let power = cx.facts().power();
    let surge = match power.told(&format!("{feeds}.surge")) {
        Ok(surge) => surge,
        Err(gap) => return Some(draft().blocked(&gap)),
    };
    let held = [Held::plate(&format!("surge of {name}"), surge.clone(), Dimension::Power)];
    let (va, even) = match start_va(cx, load, entry, &feeds) {
        Ok(va) => (va, String::new()),
        // The worst that is usual.
        Err(gap) => match power.told(&format!("{}.power", load.path)) {
            Ok(running) => {
                let times = taken("start, times running");
                let va = running.scale(times / entry.power_factor.unwrap_or(1.0));
                if draft().compare(&va, &held).verdict() != Verdict::Pass {
                    return Some(draft().blocked(&gap));
                }
                (va, format!(", even if it starts with {times} times what it takes running"))
            }
            Err(_) => return Some(draft().blocked(&gap)),
        },
    };
    let watts = |estimate: &Estimate| show(estimate.value(), Dimension::Power, System::Metric, None);
    let finding = draft()
        .compare(&va, &held)
        .sentence(format!("{name} gives {} for a moment{even}", watts(surge)))
        .working(|| start_working(cx, load, entry, &feeds))
        .remedies(|_| soft_start(load, entry, &va, surge).into_iter().collect())
        .done();
    Some(finding)
}

/// Power at its start, W; of a locked rotor its current times the inverter's voltage.
fn start_va(cx: &Context, load: &Drawn, entry: &Load, feeds: &str) -> Result<Estimate, Gap> {
    let power = cx.facts().power();
    let told = |key: &str| power.told(&format!("{}.{key}", load.path));
    let hard = match told("start") {
        Ok(start) => start.clone(),
        Err(gap) => told("locked_rotor").map_err(|_| gap)? * power.told(&format!("{feeds}.voltage"))?,
    };
    if entry.soft_start.is_none() {
        return Ok(hard);
    }
    Ok(&hard * &told("soft_start")?.scale(-1.0).offset(1.0))
}

fn start_working(cx: &Context, load: &Drawn, entry: &Load, feeds: &str) -> Vec<String> {
    let power = cx.facts().power();
    let told = |path: String, decimals| power.told(&path).ok().map(|value| figure(value.value(), decimals));
    let soft = entry.soft_start.as_ref().and_then(|_| told(format!("{}.soft_start", load.path), 3));
    let left = |whole: f64| soft.map_or(whole, |soft| whole * (1.0 - soft.get()));
    let less = soft.map_or_else(String::new, |soft| format!(" x (1 - {soft})"));
    if let Some(start) = told(format!("{}.start", load.path), 0) {
        return vec![format!("{start} VA{less} = {} VA", number(left(start.get()), 0))];
    }
    let both = told(format!("{}.locked_rotor", load.path), 1).zip(told(format!("{feeds}.voltage"), 1));
    let line = both.map(|(amps, volts)| format!("{amps} A x {volts} V{less} = {} VA", number(left(amps.get() * volts.get()), 0)));
    line.into_iter().collect()
}

/// A soft starter, where there is none and it is enough.
fn soft_start(load: &Drawn, entry: &Load, va: &Estimate, surge: &Estimate) -> Option<Proposal> {
    let share = taken("soft starter takes off");
    let soft = va.scale(1.0 - share);
    let is_enough = has_reserve(surge, &soft);
    (entry.soft_start.is_none() && is_enough).then(|| Proposal {
        text: format!("a soft starter in {}: it takes {} % off the start", load.name, number(share * PERCENT, 0)),
        effort: Effort::PartsToBuy,
        edits: vec![Edit {
            path: format!("{}.soft_start", load.path),
            op: EditOp::Set,
            from: None,
            to: Some(Free::Text(format!("{} % data-plate", number(share * PERCENT, 0)))),
        }],
    })
}
