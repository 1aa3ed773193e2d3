//! What is switched on: each load at the battery, by month and hour of the day.

use quantity::{Estimate, Quantity, dim};
use rig_model::model::{Bus, ConverterKind, Load, LoadKind, Month, Rig, When};
use rig_model::path;

use super::system::{System, count};
use super::{HOUR_S, KELVIN};
use crate::gap::Gap;
use crate::tables::usual;
use crate::told::Told;

/// Hours of a day.
pub const HOURS: usize = 24;
/// Months of a year.
pub const MONTHS: usize = 12;

/// A set of months.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Months(u16);

impl Months {
    /// All of them.
    pub const ALL: Self = Self(0x0fff);

    /// Those of a list; all where it is empty.
    #[must_use]
    pub fn of(list: &[Month]) -> Self {
        if list.is_empty() { Self::ALL } else { Self(list.iter().fold(0, |set, month| set | 1 << (*month as u16))) }
    }

    /// Whether that month (from 0) is among them.
    #[must_use]
    pub fn has(self, month: usize) -> bool {
        month < MONTHS && self.0 >> month & 1 == 1
    }

    /// The months, from 0.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        (0..MONTHS).filter(move |month| self.has(*month))
    }
}

/// How a load follows the weather.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Follows {
    /// Not at all.
    Nothing,
    /// A compressor that keeps the inside (°C) cold; its mean power is that at 25 °C.
    Fridge(f64),
}

/// One entry of `[[load]]`, all its pieces together, or what a converter takes for itself.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// Its path.
    pub path: String,
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: LoadKind,
    /// Energy of a day of use at the battery, Wh: conversion included; of a refrigerator at 25 °C.
    pub daily: Result<Estimate, Gap>,
    /// Clock hours between which it is used; past midnight where the second is not later.
    pub window: (f64, f64),
    /// Months in which it is used.
    pub months: Months,
    /// Whether it is used standing.
    pub camp: bool,
    /// Whether it is used driving.
    pub travel: bool,
    /// Whether it is never switched off.
    pub standing: bool,
    /// Whether somebody's health hangs on it.
    pub medical: bool,
    /// Whether no way out may switch it off: somebody's health hangs on it, or it watches over people.
    pub never_off: bool,
    /// How it follows the weather.
    pub follows: Follows,
    /// Number of the bank that feeds it; none where there is no bank, or it is not told which.
    pub bank: Option<usize>,
}

impl Drawn {
    /// Share of its day's energy that falls into each clock hour.
    #[must_use]
    pub fn shares(&self) -> [f64; HOURS] {
        let (from, to) = self.window;
        let length = if to > from { to - from } else { to + HOURS as f64 - from };
        std::array::from_fn(|hour| {
            let overlap = |from: f64, to: f64| (to.min(hour as f64 + 1.0) - from.max(hour as f64)).max(0.0);
            let inside = if to > from { overlap(from, to) } else { overlap(from, HOURS as f64) + overlap(0.0, to) };
            inside / length
        })
    }
}

/// All loads of the house.
pub(crate) fn read(rig: &Rig, told: &Told, system: &System) -> Vec<Drawn> {
    let mut all: Vec<Drawn> = rig.load.iter().enumerate().map(|(index, load)| of_load(rig, index, load, told, system)).collect();
    all.extend(own_draws(rig, told, system));
    all
}

fn hours(value: Option<&Quantity<dim::Duration>>) -> Option<f64> {
    value.map(|value| value.si() / HOUR_S)
}

fn of_load(rig: &Rig, index: usize, load: &Load, told: &Told, system: &System) -> Drawn {
    let path = path::of("load", &load.name, index);
    let kind = load.kind.unwrap_or(LoadKind::Other);
    let standing = kind == LoadKind::Standing;
    let cold = matches!(kind, LoadKind::Fridge | LoadKind::Freezer);
    let window = window(load, kind);
    let (bank, kept) = fed_by(rig, load, told, system);
    let at_battery = |daily: Estimate| daily.scale(count(rig, load) / kept);
    let measured = load.daily.is_some();
    let follows = if cold && !measured { Follows::Fridge(inside(load, kind, &path, told)) } else { Follows::Nothing };
    let in_month = |when: &When| *when != When::Travel;
    Drawn {
        name: load.name.clone(),
        daily: daily(load, kind, &path, told, wanted(rig, load, kind)).map(at_battery),
        window,
        months: Months::of(&load.months),
        camp: load.when.is_empty() || load.when.iter().any(in_month),
        travel: load.when.is_empty() || load.when.iter().any(|when| *when != When::Camp),
        standing,
        medical: load.medical == Some(true),
        never_off: load.medical == Some(true) || watches(load),
        follows,
        bank,
        kind,
        path,
    }
}

/// Words in the name of what watches over people, where the file does not say whether it does.
const WATCHES: [&str; 3] = ["alarm", "detector", "smoke"];

/// Whether it watches over people, such as a detector of gas.
fn watches(load: &Load) -> bool {
    load.safety.unwrap_or_else(|| {
        let name = load.name.to_lowercase();
        WATCHES.iter().any(|word| name.contains(word))
    })
}

fn inside(load: &Load, kind: LoadKind, path: &str, told: &Told) -> f64 {
    let told = load.inside.as_ref().and_then(|_| told.get(&format!("{path}.inside")).ok()).map(|t| t.value() - KELVIN);
    told.unwrap_or_else(|| usual("living/fridge", "kind", kind.word(), "inside"))
}

/// Clock hours of use: as told, else usual for its kind; the whole day of what is always on.
fn window(load: &Load, kind: LoadKind) -> (f64, f64) {
    let day = HOURS as f64;
    if matches!(kind, LoadKind::Standing | LoadKind::Fridge | LoadKind::Freezer | LoadKind::AbsorptionFridge) {
        return (0.0, day);
    }
    let usual = |want| usual("living/hours", "kind", kind.word(), want);
    let from = hours(load.from.as_ref()).unwrap_or_else(|| usual("from"));
    let to = hours(load.to.as_ref()).unwrap_or_else(|| usual("to"));
    if (from - to).abs() < f64::EPSILON { (0.0, day) } else { (from, to) }
}

/// Hours a day that a load is wanted; of an air conditioner also by the owner's wish.
fn wanted(rig: &Rig, load: &Load, kind: LoadKind) -> Option<f64> {
    let wish = rig.power.as_ref().and_then(|wishes| wishes.cooling_hours.as_ref()).filter(|_| kind == LoadKind::Cooling);
    hours(load.wanted.as_ref().or(wish))
}

/// Energy of a day of use at the load's own terminals, Wh.
fn daily(load: &Load, kind: LoadKind, path: &str, told: &Told, wanted: Option<f64>) -> Result<Estimate, Gap> {
    let wh = 1.0 / HOUR_S;
    let get = |key: &str| told.get(&format!("{path}.{key}")).cloned();
    if load.daily.is_some() {
        return get("daily").map(|joule| joule.scale(wh));
    }
    let power = if load.power.is_none() && load.current.is_some() {
        let bus = load.on.and_then(volts).ok_or_else(|| Gap::at(format!("{path}.on")))?;
        get("current")?.scale(bus)
    } else {
        get("power")?
    };
    let always = matches!(kind, LoadKind::Standing | LoadKind::Fridge | LoadKind::Freezer);
    let time = match (&load.hours, always, wanted) {
        (None, true, _) => Estimate::exact(HOURS as f64),
        (None, false, Some(wanted)) => Estimate::exact(wanted),
        _ => get("hours")?.scale(wh),
    };
    let duty = match (&load.duty, kind) {
        (None, LoadKind::Fridge | LoadKind::Freezer) => Estimate::exact(usual("living/fridge", "kind", kind.word(), "share")),
        (None, _) => Estimate::exact(1.0),
        _ => get("duty")?,
    };
    Ok(&(&power * &time) * &duty)
}

fn volts(bus: Bus) -> Option<f64> {
    match bus {
        Bus::V12 => Some(12.0),
        Bus::V24 => Some(24.0),
        Bus::V48 => Some(48.0),
        Bus::Ac => None,
    }
}

/// The bank that feeds a load, and the share of what leaves the bank that reaches it.
fn fed_by(rig: &Rig, load: &Load, told: &Told, system: &System) -> (Option<usize>, f64) {
    let only = || if system.banks.len() == 1 { Some(0) } else { system.banks.iter().position(|bank| !bank.portable) };
    let named = |name: &Option<String>| name.as_deref().and_then(|name| system.bank(name));
    let efficiency = |path: String, what: &str| {
        let told = told.get(&format!("{path}.efficiency")).map(Estimate::value);
        told.unwrap_or_else(|_| usual("living/converter", "what", what, "share"))
    };
    let through = load.through.as_deref();
    // A portable unit's way out is part of its own bank.
    if let Some(unit) = through.and_then(|name| system.bank(name)) {
        return (Some(unit), 1.0);
    }
    let inverter = |(found, one): (usize, &rig_model::model::Inverter)| {
        (named(&one.battery).or_else(only), efficiency(path::of("inverter", &one.name, found), "inverter"))
    };
    if let Some(found) = rig.inverter.iter().enumerate().find(|(_, one)| Some(one.name.as_str()) == through) {
        return inverter(found);
    }
    if let Some((found, one)) = rig.converter.iter().enumerate().find(|(_, one)| Some(one.name.as_str()) == through) {
        return (named(&one.battery).or_else(only), efficiency(path::of("converter", &one.name, found), "converter"));
    }
    if load.on == Some(Bus::Ac) {
        return match rig.inverter.iter().enumerate().next() {
            Some(found) => inverter(found),
            None => (named(&load.battery).or_else(only), usual("living/converter", "what", "inverter", "share")),
        };
    }
    (named(&load.battery).or_else(only), 1.0)
}

/// What inverters, converters, controllers and batteries take for themselves, day and night.
fn own_draws(rig: &Rig, told: &Told, system: &System) -> Vec<Drawn> {
    let named = |name: &Option<String>| name.as_deref().and_then(|name| system.bank(name));
    let first = system.banks.iter().position(|bank| !bank.portable);
    let own = |path: String, name: &str, key: &str, volts: f64, bank: Option<usize>| {
        let watts = told.get(&format!("{path}.{key}")).ok()?.scale(volts);
        Some(Drawn {
            path: format!("{path}.{key}"),
            name: name.to_owned(),
            kind: LoadKind::Standing,
            daily: Ok(watts.scale(HOURS as f64)),
            window: (0.0, HOURS as f64),
            months: Months::ALL,
            camp: true,
            travel: true,
            standing: true,
            medical: false,
            never_off: false,
            follows: Follows::Nothing,
            bank,
        })
    };
    let entry = path::of;
    let searches = |word: Option<rig_model::model::YesNo>| word == Some(rig_model::model::YesNo::Yes);
    let inverters = rig.inverter.iter().enumerate().filter_map(|(index, one)| {
        let key = if searches(one.search_mode) && one.searching.is_some() { "searching" } else { "idle" };
        own(entry("inverter", &one.name, index), &one.name, key, 1.0, named(&one.battery).or(first))
    });
    let converters = rig.converter.iter().enumerate().filter(|(_, one)| one.kind != Some(ConverterKind::Equaliser));
    let converters = converters.filter_map(|(index, one)| {
        let bank = named(&one.battery).or(first);
        let volts = bank.and_then(|bank| system.banks.get(bank)?.volts.as_ref().ok()).map(Estimate::value)?;
        own(entry("converter", &one.name, index), &one.name, "idle", volts, bank)
    });
    let controllers = rig.controller.iter().enumerate().filter_map(|(index, one)| {
        let bank = one.charges.first().and_then(|name| system.bank(name)).or(first);
        own(entry("controller", &one.name, index), &one.name, "own_draw", 1.0, bank)
    });
    let batteries = rig.battery.iter().enumerate().filter_map(|(index, one)| {
        own(entry("battery", &one.name, index), &one.name, "own_draw", 1.0, Some(system.bank(&one.name)?))
    });
    let units = rig.portable.iter().enumerate().filter_map(|(index, one)| {
        own(entry("portable", &one.name, index), &one.name, "idle", 1.0, Some(system.bank(&one.name)?))
    });
    inverters.chain(converters).chain(controllers).chain(batteries).chain(units).collect()
}
