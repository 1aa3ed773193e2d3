//! What runs at once on an inverter or a portable unit, and what that takes from the battery.

use std::collections::{BTreeMap, BTreeSet};

use check::Context;
use physics::{inverter, store_facts};
use quantity::{Estimate, Quantity, Stated, dim};
use rig_facts::Gap;
use rig_facts::power::HOUR_S;
use rig_facts::power::loads::{HOURS, MONTHS};
use rig_facts::tables::usual;
use rig_model::model::{Bus, Load, LoadKind, When};
use rig_model::path;

use crate::unsaid::End;

/// What makes mains voltage of a battery.
#[derive(Debug)]
pub struct Source<'c> {
    /// Its path.
    pub path: String,
    /// Its name.
    pub name: &'c str,
    /// Whether it is a portable unit.
    pub portable: bool,
    /// What runs on it, in file order.
    pub loads: Vec<Fed<'c>>,
}

/// A load on it.
#[derive(Clone, Debug)]
pub struct Fed<'c> {
    /// Its path.
    pub path: String,
    /// Its entry.
    pub load: &'c Load,
}

/// What one entry of `[[load]]` takes, all its pieces together.
#[derive(Clone, Debug)]
pub struct Taken {
    /// Apparent power, VA.
    pub va: Estimate,
    /// How it comes about, for the working.
    pub line: String,
}

/// All inverters and portable units, in file order. What runs on mains voltage and names nothing is on the first inverter.
#[must_use]
pub fn sources(cx: &Context) -> Vec<Source<'_>> {
    let mut all: Vec<Source<'_>> = empty(cx).collect();
    let at: BTreeMap<&str, usize> = all.iter().enumerate().rev().map(|(at, source)| (source.name, at)).collect();
    for (index, load) in cx.rig().load.iter().enumerate() {
        let first = (load.on == Some(Bus::Ac) && !cx.rig().inverter.is_empty()).then_some(0);
        let found = load.through.as_deref().map_or(first, |name| at.get(name).copied());
        let Some(source) = found.and_then(|at| all.get_mut(at)) else { continue };
        // Its sockets of lower voltage are not behind a unit's inverter.
        if !source.portable || matches!(load.on, None | Some(Bus::Ac)) {
            source.loads.push(Fed { path: path::of("load", &load.name, index), load });
        }
    }
    all
}

/// The inverter or portable unit of that name.
#[must_use]
pub fn source_named<'c>(cx: &'c Context, name: &str) -> Option<Source<'c>> {
    empty(cx).any(|source| source.name == name).then(|| sources(cx).into_iter().find(|source| source.name == name)).flatten()
}

/// Inverters and portable units without their loads.
fn empty(cx: &Context) -> impl Iterator<Item = Source<'_>> {
    let rig = cx.rig();
    let inverters =
        rig.inverter.iter().enumerate().map(|(index, one)| (path::of("inverter", &one.name, index), &one.name, false));
    let units = rig.portable.iter().enumerate().map(|(index, one)| (path::of("portable", &one.name, index), &one.name, true));
    inverters.chain(units).map(|(path, name, portable)| Source { path, name, portable, loads: Vec::new() })
}

/// Beyond so many different hours at which loads begin, nobody keeps them apart: then all are taken for on together. A
/// choice of this project, so that a long list stays cheap.
const MOST_STARTS: usize = 24;

/// Sets of loads that can be on at the same time, by their numbers: those whose months, hours and use (standing, driving)
/// meet. What tells no hours can be on at any.
#[must_use]
pub fn together<'l>(loads: impl Iterator<Item = &'l Load> + Clone) -> Vec<Vec<usize>> {
    let mut starts: Vec<f64> = loads.clone().filter_map(window).map(|(from, _)| from).collect();
    starts.push(0.0);
    starts.sort_by(f64::total_cmp);
    starts.dedup();
    let hours_count = starts.len() <= MOST_STARTS;
    if !hours_count {
        starts.truncate(1);
    }
    let mut found = BTreeSet::new();
    for month in 0..MONTHS {
        for when in [When::Camp, When::Travel] {
            for start in &starts {
                let on = loads.clone().enumerate().filter(|(_, load)| is_on(load, month, when, hours_count.then_some(*start)));
                found.insert(on.map(|(index, _)| index).collect::<Vec<_>>());
            }
        }
    }
    found.into_iter().filter(|set| !set.is_empty()).collect()
}

/// Whether a load can be on in a month, standing or driving, at an hour; at any where there is none.
fn is_on(load: &Load, month: usize, when: When, hour: Option<f64>) -> bool {
    let in_month = load.months.is_empty() || load.months.iter().any(|one| *one as usize == month);
    let used = load.when.is_empty() || load.when.iter().any(|one| *one == when || *one == When::Always);
    let now = window(load).zip(hour).is_none_or(
        |((from, to), hour)| {
            if from < to { from <= hour && hour < to } else { from <= hour || hour < to }
        },
    );
    in_month && used && now
}

/// Clock hours between which a load is used, where both are told and part the day.
fn window(load: &Load) -> Option<(f64, f64)> {
    let hours =
        |value: &Option<Quantity<dim::Duration>>| value.as_ref().map(|value| (value.si() / HOUR_S).rem_euclid(HOURS as f64));
    let (from, to) = (hours(&load.from)?, hours(&load.to)?);
    (from != to).then_some((from, to))
}

/// The kind of a load, "other" where it is not told.
#[must_use]
pub fn kind(load: &Load) -> LoadKind {
    load.kind.unwrap_or(LoadKind::Other)
}

impl Fed<'_> {
    fn told<'c>(&self, cx: &'c Context, key: &str) -> Result<&'c Estimate, Gap> {
        cx.facts().power().told(&format!("{}.{key}", self.path))
    }

    /// Number of pieces.
    #[must_use]
    pub fn count(&self) -> f64 {
        self.load.count.unwrap_or(1).into()
    }

    /// The power factor at an end of what it can be.
    #[must_use]
    pub fn power_factor(&self, end: End) -> f64 {
        let want = if end == End::Worst { "low" } else { "high" };
        self.load.power_factor.unwrap_or_else(|| usual("living/power-factor", "kind", kind(self.load).word(), want))
    }

    /// The gap at its power factor, where it moves what the load takes and is not told.
    #[must_use]
    pub fn power_factor_gap(&self) -> Option<Gap> {
        let open = self.load.power_factor.is_none() && self.load.current.is_none();
        let moves = self.power_factor(End::Worst) != self.power_factor(End::Best);
        (open && moves).then(|| Gap::at(format!("{}.power_factor", self.path)))
    }

    /// Apparent power while it runs, all pieces together, on a source of mains voltage at that path.
    ///
    /// # Errors
    /// The gap at its power, or at the voltage where a current is told.
    pub fn va(&self, cx: &Context, source: &str, end: End) -> Result<Taken, Gap> {
        use check::working::{figure, number};
        let (count, name) = (self.count(), &self.load.name);
        if self.load.current.is_some() {
            let (current, volts) = (self.told(cx, "current")?, cx.facts().power().told(&format!("{source}.voltage"))?);
            let va = (current * volts).scale(count);
            let line = format!(
                "{name}: {count} x {} A x {} V = {} VA",
                figure(current.value(), 2),
                figure(volts.value(), 1),
                number(count * figure(current.value(), 2).get() * figure(volts.value(), 1).get(), 1)
            );
            return Ok(Taken { va, line });
        }
        let (power, factor) = (self.told(cx, "power")?, self.power_factor(end));
        let va = power.scale(count / factor);
        let watt = figure(power.value(), 1);
        let line = format!("{name}: {count} x {watt} W / {factor} = {} VA", number(count * watt.get() / factor, 1));
        Ok(Taken { va, line })
    }

    /// Apparent power of one piece at its start. What is told as its start stands; a soft starter takes its share off the
    /// current with the rotor still.
    ///
    /// # Errors
    /// As [`Fed::va`].
    pub fn start(&self, cx: &Context, source: &str, end: End) -> Result<Taken, Gap> {
        use check::working::{figure, number};
        let name = &self.load.name;
        if self.load.start.is_some() {
            let va = self.told(cx, "start")?.clone();
            let line = format!("{name} at its start: {} VA", number(va.value(), 1));
            return Ok(Taken { va, line });
        }
        if self.load.locked_rotor.is_some() {
            let (amps, volts) = (self.told(cx, "locked_rotor")?, cx.facts().power().told(&format!("{source}.voltage"))?);
            let soft = self.told(cx, "soft_start").cloned().unwrap_or_else(|_| Estimate::exact(0.0));
            let left = soft.scale(-1.0).offset(1.0);
            let (a, v, off) = (figure(amps.value(), 1), figure(volts.value(), 1), figure(soft.value(), 3));
            let va = number(inverter::start_va(v.get(), a.get(), off.get()), 1);
            let line = format!("{name} at its start: {v} V x {a} A x (1 - {off}) = {va} VA");
            return Ok(Taken { va: &(amps * volts) * &left, line });
        }
        let one = self.va(cx, source, end)?.va.scale(1.0 / self.count());
        let times = self.start_over_running(end);
        let va = figure(one.value(), 1);
        let line = format!("{name} at its start: {va} VA x {times} = {} VA", number(va.get() * times, 1));
        Ok(Taken { va: one.scale(times), line })
    }

    fn start_over_running(&self, end: End) -> f64 {
        let want = if end == End::Worst { "high" } else { "low" };
        usual("living/start", "kind", kind(self.load).word(), want)
    }

    /// The gap at its start, where it moves the answer and is not told.
    #[must_use]
    pub fn start_gap(&self) -> Option<Gap> {
        let open = self.load.start.is_none() && self.load.locked_rotor.is_none();
        let moves = self.start_over_running(End::Worst) != self.start_over_running(End::Best);
        (open && moves).then(|| Gap::at(format!("{}.start", self.path)))
    }

    /// How long its start takes, s.
    #[must_use]
    pub fn start_seconds(&self) -> f64 {
        let told = self.load.start_seconds.as_ref().and_then(Stated::value);
        told.unwrap_or_else(|| usual("living/start", "kind", kind(self.load).word(), "seconds"))
    }

    /// Real power while it runs, all pieces together, W; of an untold power factor the highest.
    ///
    /// # Errors
    /// As [`Fed::va`].
    pub fn watts(&self, cx: &Context, source: &str) -> Result<Estimate, Gap> {
        let taken = self.va(cx, source, End::Best)?;
        Ok(taken.va.scale(self.power_factor(End::Best)))
    }
}

impl Source<'_> {
    /// A stated value of it.
    ///
    /// # Errors
    /// The gap there.
    pub fn told<'c>(&self, cx: &'c Context, key: &str) -> Result<&'c Estimate, Gap> {
        cx.facts().power().told(&format!("{}.{key}", self.path))
    }

    /// Sets of its loads that can be on at the same time.
    #[must_use]
    pub fn together(&self) -> Vec<Vec<usize>> {
        together(self.loads.iter().map(|fed| fed.load))
    }

    /// Names of some of its loads, and whether somebody's health hangs on one.
    #[must_use]
    pub fn names(&self, set: &[usize]) -> (Vec<&str>, bool) {
        let all = set.iter().filter_map(|index| self.loads.get(*index));
        let medical = all.clone().any(|fed| fed.load.medical == Some(true));
        (all.map(|fed| fed.load.name.as_str()).collect(), medical)
    }

    /// Most real power that runs at once, W.
    ///
    /// # Errors
    /// The gap of the first load whose power is not told.
    pub fn most_watts(&self, cx: &Context) -> Result<(Estimate, Vec<usize>), Gap> {
        let each = self.loads.iter().map(|fed| fed.watts(cx, &self.path)).collect::<Result<Vec<_>, _>>()?;
        let sum = |set: &[usize]| Estimate::sum(set.iter().filter_map(|index| each.get(*index)));
        let sets = self.together().into_iter().map(|set| (sum(&set), set));
        let most = sets.reduce(|most, other| if other.0.value() > most.0.value() { other } else { most });
        Ok(most.unwrap_or_else(|| (Estimate::exact(0.0), Vec::new())))
    }
}

/// What an inverter takes from the battery for a power it gives, W.
#[must_use]
pub fn from_battery(cx: &Context, inverter_path: &str, gives: &Estimate) -> Estimate {
    let told = |key: &str| cx.facts().power().told(&format!("{inverter_path}.{key}")).ok();
    if let Some(efficiency) = told("efficiency") {
        return gives / efficiency;
    }
    let facts = store_facts::supply();
    let idle = told("idle").cloned().unwrap_or_else(|| Estimate::exact(facts.inverter_idle));
    let taken = Estimate::propagate(&[gives, &idle], |at| match at {
        [gives, idle] => Ok::<_, Gap>(inverter::dc_power(*gives, *idle, facts.inverter_proportional, facts.inverter_square)),
        _ => Ok(f64::NAN),
    });
    taken.unwrap_or_else(|_| Estimate::exact(f64::NAN))
}

/// How [`from_battery`] comes about, in a line that ends on what it takes.
#[must_use]
pub fn from_battery_line(cx: &Context, inverter_path: &str, gives: &Estimate) -> String {
    use check::working::{figure, number};
    let told = |key: &str| cx.facts().power().told(&format!("{inverter_path}.{key}")).ok().map(Estimate::value);
    let watt = figure(gives.value(), 1);
    if let Some(efficiency) = told("efficiency") {
        let efficiency = figure(efficiency, 3);
        return format!("{watt} W / {efficiency} = {} W", number(watt.get() / efficiency.get(), 1));
    }
    let facts = store_facts::supply();
    let idle = figure(told("idle").unwrap_or(facts.inverter_idle), 1);
    let (share, square) = (facts.inverter_proportional, facts.inverter_square);
    let taken = inverter::dc_power(watt.get(), idle.get(), share, square);
    format!("{watt} W + {idle} W + {share} x {watt} W + {square} x {watt} x {watt} W = {} W", number(taken, 1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    const LOADS: &str = r#"
        [[inverter]]
        name = "i"
        [[load]]
        name = "kettle"
        on = "ac"
        power = "1800 W"
        from = "7 h"
        to = "8 h"
        [[load]]
        name = "drill"
        on = "ac"
        power = "600 W"
        from = "9 h"
        to = "17 h"
        [[load]]
        name = "lamp"
        on = "ac"
        power = "20 W"
        from = "18 h"
        to = "7.5 h"
        [[load]]
        name = "cooler"
        on = "ac"
        power = "900 W"
        months = ["jul"]
        when = "camp"
    "#;

    #[test]
    fn hours_months_and_use_part_what_runs_together() {
        let cx = context(LOADS);
        let sources = sources(&cx);
        let sets = sources[0].together();
        assert!(sets.contains(&vec![0, 2, 3]), "{sets:?}");
        assert!(!sets.iter().any(|set| set.contains(&0) && set.contains(&1)), "{sets:?}");
        let (most, set) = sources[0].most_watts(&cx).expect("all told");
        assert_eq!((most.value(), sources[0].names(&set).0), (2720.0, vec!["kettle", "lamp", "cooler"]));
    }

    #[test]
    fn an_inverter_takes_more_than_it_gives() {
        let cx = context("[[inverter]]\nname = \"a\"\nefficiency = \"90 %\"\n[[inverter]]\nname = \"b\"");
        let takes = |path: &str, watt| from_battery(&cx, path, &Estimate::exact(watt)).value();
        // W15 of the power reference: 1500 W at 90 % are 1667 W.
        assert!((takes("inverter[a]", 1500.0) - 1666.67).abs() < 0.01);
        // By hand: 1000 + 15 + 40 + 10.
        assert!((takes("inverter[b]", 1000.0) - 1065.0).abs() < 1e-9);
    }
}
