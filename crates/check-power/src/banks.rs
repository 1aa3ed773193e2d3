//! Batteries as banks of equal units: rows, series, and what is drawn from or put into them at once.

use std::collections::BTreeMap;

use check::Context;
use check::remedy::{Effort, Proposal};
use check::working::{figure, number};
use physics::battery::chemistry::{self, Quantity};
use quantity::Estimate;
use rig_facts::Gap;
use rig_facts::power::HOUR_S;
use rig_facts::tables::usual;
use rig_model::model::{Battery, Load, Serves};
use rig_model::{Edit, EditOp, Free, path};

use crate::mains::{self, Fed};
use crate::unsaid::{End, usual_basis};

/// A battery entry.
#[derive(Clone, Copy, Debug)]
pub struct Unit<'c> {
    /// Its place in the list.
    pub index: usize,
    /// Its entry.
    pub entry: &'c Battery,
}

/// All of them, in file order.
pub fn all(cx: &Context) -> impl Iterator<Item = Unit<'_>> + Clone {
    cx.rig().battery.iter().enumerate().map(|(index, entry)| Unit { index, entry })
}

/// The battery of that name.
#[must_use]
pub fn named<'c>(cx: &'c Context, name: &str) -> Option<Unit<'c>> {
    all(cx).find(|unit| unit.entry.name == name)
}

/// The battery that a thing stands on: the one it names, else the only one, else the first of the house.
#[must_use]
pub fn feeding<'c>(cx: &'c Context, name: Option<&String>) -> Option<Unit<'c>> {
    match name.map(String::as_str) {
        Some(name) if name != "?" => named(cx, name),
        _ => all(cx).find(|unit| unit.is_house()).or_else(|| all(cx).next()),
    }
}

/// Beyond so many times the rows, and so many more, there is no room for them. Choices of this project.
const MOST_TIMES: u32 = 4;
const MOST_MORE: u32 = 30;

impl<'c> Unit<'c> {
    /// Its path.
    #[must_use]
    pub fn path(&self) -> String {
        path::of("battery", &self.entry.name, self.index)
    }

    /// Whether it feeds the house.
    #[must_use]
    pub fn is_house(&self) -> bool {
        self.entry.serves != Some(Serves::Starter)
    }

    /// A stated value of one unit.
    ///
    /// # Errors
    /// The gap there.
    pub fn told(&self, cx: &'c Context, key: &str) -> Result<&'c Estimate, Gap> {
        cx.facts().power().told(&format!("{}.{key}", self.path()))
    }

    /// How many stand in series.
    #[must_use]
    pub fn series(&self) -> f64 {
        self.entry.in_series.unwrap_or(1).into()
    }

    /// How many rows stand side by side: several pieces that are not said to be wired in rows do.
    #[must_use]
    pub fn rows(&self) -> u32 {
        let wired = self.entry.in_series.is_some() || self.entry.in_parallel.is_some();
        if wired { self.entry.in_parallel.unwrap_or(1) } else { self.entry.count.unwrap_or(1) }.max(1)
    }

    /// Nominal voltage of the bank, V.
    ///
    /// # Errors
    /// The gap at the voltage of one.
    pub fn volts(&self, cx: &'c Context) -> Result<Estimate, Gap> {
        Ok(self.told(cx, "voltage")?.scale(self.series()))
    }

    /// Capacity of the bank by its label, Ah.
    ///
    /// # Errors
    /// The gap at the capacity of one.
    pub fn amp_hours(&self, cx: &'c Context) -> Result<Estimate, Gap> {
        let one = self.told(cx, "capacity").map(|charge| charge.scale(1.0 / HOUR_S)).or_else(|gap| {
            let energy = self.told(cx, "energy").map_err(|_| gap.clone())?.scale(1.0 / HOUR_S);
            Ok::<_, Gap>(&energy / self.told(cx, "voltage").map_err(|_| gap)?)
        })?;
        Ok(one.scale(self.rows().into()))
    }

    /// Units of the 12 V class that stand in series; none where no table knows its chemistry.
    #[must_use]
    pub fn units_of_12v(&self, cx: &'c Context) -> Option<f64> {
        let volts = self.volts(cx).ok()?.value();
        Some((volts / chemistry::unit_voltage(self.entry.chemistry?.word())?).round().max(1.0))
    }

    /// A current that is told of one unit, of the bank, A; else what is usual of its chemistry at an end of the range, where
    /// `high` says whether the high end is the best one.
    ///
    /// # Errors
    /// The gap at the current, the chemistry or the capacity.
    pub fn current(&self, cx: &'c Context, key: &str, what: Quantity, end: End) -> Result<Estimate, Gap> {
        if let Ok(told) = self.told(cx, key) {
            return Ok(told.scale(self.rows().into()));
        }
        let word = self.entry.chemistry.ok_or_else(|| Gap::at(format!("{}.chemistry", self.path())))?.word();
        let usual = chemistry::usual(word, what).ok_or_else(|| Gap::at(format!("{}.{key}", self.path())))?;
        let rate = if end == End::Worst { usual.low } else { usual.high };
        Ok(self.amp_hours(cx)?.scale(rate))
    }

    /// The least number of rows more that is enough, where there is room for them.
    #[must_use]
    pub fn more_rows_where(&self, enough: impl Fn(u32) -> bool) -> Option<Proposal> {
        let now = self.rows();
        let most = now.saturating_mul(MOST_TIMES).min(now.saturating_add(MOST_MORE));
        (now.saturating_add(1)..=most).find(|rows| enough(*rows)).map(|rows| self.more_rows(rows))
    }

    fn more_rows(&self, rows: u32) -> Proposal {
        let number = |count: u32| Some(Free::Number(count.into()));
        let wired = self.entry.in_series.is_some() || self.entry.in_parallel.is_some();
        let set = |key: &str, from: u32, to: u32| Edit {
            path: format!("{}.{key}", self.path()),
            op: EditOp::Set,
            from: number(from),
            to: number(to),
        };
        let now = self.rows();
        let mut all = vec![if wired { set("in_parallel", now, rows) } else { set("count", now, rows) }];
        if let (true, Some(count)) = (wired, self.entry.count) {
            all.push(set("count", count, rows.saturating_mul(self.entry.in_series.unwrap_or(1))));
        }
        let text = format!("{rows} rows of \"{}\" side by side instead of {now}, of the same kind and age", self.entry.name);
        Proposal { text, effort: Effort::PartsToBuy, edits: all }
    }
}

/// What draws from a battery while it runs.
#[derive(Debug)]
pub struct Draws<'c> {
    /// Loads in file order: what each takes from the battery.
    pub loads: Vec<Draw<'c>>,
}

/// One load at a battery.
#[derive(Clone, Debug)]
pub struct Draw<'c> {
    /// Its entry.
    pub load: &'c Load,
    /// Power at the battery, W.
    pub watts: Estimate,
    /// How it comes about.
    pub line: String,
    /// The inverter it runs on.
    pub inverter: Option<usize>,
}

impl<'c> Draws<'c> {
    /// Loads of every battery that has any, by its number; of one with a load whose power is not told the gap there.
    #[must_use]
    pub fn by_battery(cx: &'c Context) -> BTreeMap<usize, Result<Self, Gap>> {
        let mut found: BTreeMap<usize, Result<Self, Gap>> = BTreeMap::new();
        let mut add = |battery: Option<&String>, draw: Result<Draw<'c>, Gap>| {
            let Some(unit) = feeding(cx, battery) else { return };
            let of = found.entry(unit.index).or_insert_with(|| Ok(Self { loads: Vec::new() }));
            match (of, draw) {
                (Ok(draws), Ok(draw)) => draws.loads.push(draw),
                (of @ Ok(_), Err(gap)) => *of = Err(gap),
                (Err(_), _) => {}
            }
        };
        // Inverters stand before portable units there, in their own order.
        for (at, source) in mains::sources(cx).into_iter().enumerate().filter(|(_, source)| !source.portable) {
            let battery = cx.rig().inverter.get(at).and_then(|one| one.battery.as_ref());
            for fed in &source.loads {
                add(battery, on_mains(cx, &source.path, fed, at));
            }
        }
        let rig = cx.rig();
        for (index, load) in rig.load.iter().enumerate() {
            let Some(Some(volts)) = load.on.map(crate::shut_in::bus_volts) else { continue };
            let converter = |name: &String| rig.converter.iter().position(|one| one.name == *name);
            match (&load.through, load.through.as_ref().and_then(converter)) {
                (None, _) => add(load.battery.as_ref(), on_battery(cx, index, load, volts, 1.0)),
                (Some(_), Some(at)) => {
                    let battery = rig.converter.get(at).and_then(|one| one.battery.as_ref());
                    add(battery, on_battery(cx, index, load, volts, efficiency_of_converter(cx, at)));
                }
                (Some(_), None) => {}
            }
        }
        found
    }

    /// Power at the battery of a set of them, W: what runs on one inverter goes through it together.
    #[must_use]
    pub fn watts(&self, cx: &Context, set: &[usize]) -> (Estimate, Vec<String>) {
        let chosen: Vec<&Draw<'_>> = set.iter().filter_map(|index| self.loads.get(*index)).collect();
        let mut lines: Vec<String> = chosen.iter().map(|draw| draw.line.clone()).collect();
        let mut parts: Vec<Estimate> =
            chosen.iter().filter(|draw| draw.inverter.is_none()).map(|draw| draw.watts.clone()).collect();
        for (at, inverter) in cx.rig().inverter.iter().enumerate() {
            let gives = Estimate::sum(chosen.iter().filter(|draw| draw.inverter == Some(at)).map(|draw| &draw.watts));
            if gives.value() > 0.0 {
                let path = path::of("inverter", &inverter.name, at);
                lines.push(mains::from_battery_line(cx, &path, &gives));
                parts.push(mains::from_battery(cx, &path, &gives));
            }
        }
        if parts.len() > 1 {
            let figures: Vec<_> = parts.iter().map(|part| figure(part.value(), 1)).collect();
            let sum: f64 = figures.iter().map(|part| part.get()).sum();
            let words: Vec<String> = figures.iter().map(ToString::to_string).collect();
            lines.push(format!("{} = {} W", words.join(" + "), number(sum, 1)));
        }
        (Estimate::sum(parts.iter()), lines)
    }

    /// The set that takes most at once: its numbers, its power at the battery, the lines that work it out.
    #[must_use]
    pub fn most(&self, cx: &Context) -> (Vec<usize>, Estimate, Vec<String>) {
        let sets = mains::together(self.loads.iter().map(|draw| draw.load)).into_iter();
        let sum =
            |set: &[usize]| set.iter().filter_map(|index| self.loads.get(*index)).map(|draw| draw.watts.value()).sum::<f64>();
        let most = sets.reduce(|most, other| if sum(&other) > sum(&most) { other } else { most }).unwrap_or_default();
        let (watts, lines) = self.watts(cx, &most);
        (most, watts, lines)
    }
}

fn on_mains<'c>(cx: &'c Context, source: &str, fed: &Fed<'c>, inverter: usize) -> Result<Draw<'c>, Gap> {
    let gives = fed.watts(cx, source)?;
    let line = format!("{}: {} W on mains", fed.load.name, figure(gives.value(), 1));
    Ok(Draw { load: fed.load, watts: gives, line, inverter: Some(inverter) })
}

/// A load on a bus of so many volts, of which so much of what is taken arrives.
fn on_battery<'c>(cx: &'c Context, index: usize, load: &'c Load, volts: f64, kept: f64) -> Result<Draw<'c>, Gap> {
    let path = path::of("load", &load.name, index);
    let told = |key: &str| cx.facts().power().told(&format!("{path}.{key}"));
    let one = if load.current.is_some() { told("current")?.scale(volts) } else { told("power")?.clone() };
    let count = f64::from(load.count.unwrap_or(1));
    let watt = figure(one.value(), 1);
    let line = format!("{}: {count} x {watt} W / {kept} = {} W", load.name, number(count * watt.get() / kept, 1));
    Ok(Draw { load, watts: one.scale(count / kept), line, inverter: None })
}

fn efficiency_of_converter(cx: &Context, at: usize) -> f64 {
    let Some(one) = cx.rig().converter.get(at) else { return f64::NAN };
    let told = cx.facts().power().told(&format!("{}.efficiency", path::of("converter", &one.name, at)));
    told.map_or_else(|_| usual("living/converter", "what", "converter", "share"), Estimate::value)
}

/// Where what is usual of a chemistry comes from.
#[must_use]
pub fn basis_of_usual(unit: &Unit<'_>, what: Quantity) -> basis::Basis {
    let usual = unit.entry.chemistry.and_then(|word| chemistry::usual(word.word(), what));
    usual.map_or_else(|| usual_basis("living/battery"), |usual| usual.basis.clone())
}
