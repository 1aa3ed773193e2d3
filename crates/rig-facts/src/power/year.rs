//! What a set of things does over its years: month by month, bank by bank.

use physics::battery::chemistry;
use physics::fridge;
use quantity::Estimate;
use rig_model::model::Chemistry;
use weather::month_days;

use super::Power;
use super::loads::{Drawn, Follows, HOURS, MONTHS, Months};
use super::planes::PerWatt;
use super::run::{DAYS, Lumped, Run, YearHours, month_of_days};
use super::sets::Set;
use super::sky::{Lit, Site0};
use super::system::Bank;
use crate::gap::Gap;
use crate::tables::usual;

/// One month of a usual day, all banks together, Wh a day.
#[derive(Clone, Debug)]
pub struct Month {
    /// Sun at the batteries, after wires and controllers.
    pub sun: Estimate,
    /// What is switched on, at the batteries.
    pub load: Estimate,
    /// What batteries lose on the way in and out if all that is switched on is fed: of what the sun does not feed at once.
    pub lost: f64,
    /// What driving charges.
    pub driven: f64,
}

/// What one month comes to, all banks together, Wh a day.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Outcome {
    /// Gone without.
    pub short: f64,
    /// Sun left over.
    pub left_over: f64,
}

/// A bank over its years.
#[derive(Debug)]
pub struct BankYear {
    /// Its number.
    pub bank: usize,
    /// Years drawn from the climate.
    pub drawn: Run,
    /// The year of the weather file, where the rig names one.
    pub file: Option<Run>,
}

impl BankYear {
    /// The year of the file, else those drawn.
    #[must_use]
    pub fn usual(&self) -> &Run {
        self.file.as_ref().unwrap_or(&self.drawn)
    }
}

/// What a set of things does over its years.
#[derive(Debug)]
pub struct Year {
    /// Banks in the order in which they are filled.
    pub banks: Vec<BankYear>,
    /// Its months: of the weather file, else the mean of the years drawn.
    pub months: [Month; MONTHS],
    /// The lowest mean sun of five days in a row in the months of use, Wh a day, over all years.
    pub worst_five_days: f64,
    /// Of each month, Wh a day: what banks had no room for and the next one was given.
    passed: [f64; MONTHS],
    used: Months,
}

impl Year {
    pub(crate) fn of(power: &Power, set: usize) -> Result<Self, Gap> {
        let set = power.sets.get(set).ok_or_else(|| Gap::at("load"))?;
        let at = |what: &str| Gap::at(what);
        if set.banks.is_empty() {
            return Err(at("battery"));
        }
        if set.panels.is_empty() {
            return Err(at("panel"));
        }
        if set.loads.is_empty() {
            return Err(at("load"));
        }
        let site = power.site()?;
        let drawn = Maker::new(power, set, site, power.drawn()?, false)?;
        let file = power.file_year().map(|lit| Maker::new(power, set, site, lit, true)).transpose()?;
        let drawn_runs = drawn.runs()?;
        let file_runs = file.as_ref().map(Maker::runs).transpose()?;
        let worst_five_days = drawn.worst_five_days(&drawn_runs);
        let (months, passed) = match (&file, &file_runs) {
            (Some(file), Some(runs)) => file.months(runs),
            _ => drawn.months(&drawn_runs),
        };
        let mut files = file_runs.into_iter().flatten().map(|ran| ran.run);
        let banks = drawn_runs.into_iter().map(|ran| BankYear { bank: ran.bank, drawn: ran.run, file: files.next() }).collect();
        Ok(Self { banks, months, worst_five_days, passed, used: power.months })
    }

    /// What a month, from 0, comes to. Runs the banks where nobody has asked for that yet.
    #[must_use]
    pub fn outcome(&self, month: usize) -> Option<Outcome> {
        let (energy, passed) = (self.months.get(month)?, self.passed.get(month)?);
        let days = month_days(month) as f64;
        let answers = self.banks.iter().map(|bank| bank.usual().nominal());
        let (short, left_over) = answers.fold((0.0, 0.0), |(short, left), answer| {
            let of = |all: &[f64; MONTHS]| all.get(month).copied().unwrap_or(0.0) / days;
            (short + of(&answer.short_wh), left + of(&answer.left_over_wh))
        });
        // Out of use nothing is counted; what the sun gives then and nobody takes finds a full battery.
        let left_over = if self.used.has(month) {
            // What a bank had no room for and the next one was given is left over where that one had no room either.
            left_over - passed
        } else {
            (energy.sun.value() - energy.load.value()).max(0.0)
        };
        Some(Outcome { short, left_over })
    }
}

/// A bank's run under one sky.
struct Ran {
    bank: usize,
    run: Run,
    /// What of its sun the banks before it had left over, W, year by year; empty where it shares no panel with them.
    passed: Vec<Vec<f32>>,
}

impl Ran {
    /// Sun of its own panels on each day of a year, Wh: what was passed on is counted where it came from.
    fn own_sun(&self, year: usize) -> impl Iterator<Item = f64> {
        let sum = |day: &[f32]| day.iter().map(|w| f64::from(*w)).sum::<f64>();
        let passed = self.passed.get(year).map_or(&[][..], Vec::as_slice);
        let passed = passed.chunks_exact(HOURS).map(sum).chain(std::iter::repeat(0.0));
        let sun = self.run.years.get(year).map_or(&[][..], |year| &year.sun);
        sun.chunks_exact(HOURS).map(sum).zip(passed).map(|(sun, passed)| sun - passed)
    }
}

/// Sun of a bank's own panels that no bank has taken yet, W, year by year.
struct Pool {
    bank: usize,
    years: Vec<Vec<f32>>,
}

/// Makes the hours of banks under one sky.
struct Maker<'p> {
    power: &'p Power,
    set: &'p Set,
    site: &'p Site0,
    lit: &'p Lit,
    /// By panel of the set: what each gives, W.
    given: Vec<(usize, std::sync::Arc<PerWatt>, f64)>,
    sun: Estimate,
}

impl<'p> Maker<'p> {
    fn new(power: &'p Power, set: &'p Set, site: &'p Site0, lit: &'p Lit, file: bool) -> Result<Self, Gap> {
        let mut given = Vec::new();
        for &at in &set.panels {
            let panel = power.panels().get(at).ok_or_else(|| Gap::at("panel"))?;
            let watts = panel.watts.as_ref().map_err(Clone::clone)?.value();
            given.push((at, power.sky.planes.of(panel, site, lit, file)?, watts * panel.kept));
        }
        let mut maker = Self { power, set, site, lit, given, sun: Estimate::exact(1.0) };
        maker.sun = maker.sun_in_doubt();
        Ok(maker)
    }

    /// The sun of all panels, relative: labels, mounting, model and climate are in doubt.
    fn sun_in_doubt(&self) -> Estimate {
        let yearly = |per_watt: &PerWatt, watts: f64| per_watt.iter().flatten().map(|w| f64::from(*w)).sum::<f64>() * watts;
        let shares: Vec<f64> = self.given.iter().map(|(_, per_watt, watts)| yearly(per_watt, *watts)).collect();
        let all: f64 = shares.iter().sum();
        let mut parts = vec![(1.0, &self.site.model), (1.0, &self.site.year)];
        for ((at, _, _), share) in self.given.iter().zip(&shares) {
            let Some(panel) = self.power.panels().get(*at) else { continue };
            let share = if all > 0.0 { share / all } else { 0.0 };
            parts.push((share, &panel.airing_doubt));
            if let Ok(watts) = &panel.watts {
                parts.push((share / watts.value(), watts));
            }
        }
        let sum = Estimate::weighted_sum(&parts);
        sum.offset(1.0 - sum.value())
    }

    /// Runs the banks in the order in which they are filled.
    fn runs(&self) -> Result<Vec<Ran>, Gap> {
        let panels = self.set.panels.iter().filter_map(|at| self.power.panels().get(*at));
        let share = self.set.banks.len() > 1 && panels.clone().any(|panel| panel.banks.len() > 1);
        let (mut all, mut pools): (Vec<Ran>, Vec<Pool>) = (Vec::new(), Vec::new());
        for &bank in &self.set.banks {
            let shares: Vec<f32> = pools.iter().map(|pool| self.share(pool.bank, bank)).collect();
            let passed = passed(&pools, &shares);
            let run = self.run(bank, &passed)?;
            if share {
                let years = take_out(&mut pools, &shares, &run, &passed);
                pools.push(Pool { bank, years });
            }
            all.push(Ran { bank, run, passed });
        }
        Ok(all)
    }

    fn run(&self, bank: usize, passed: &[Vec<f32>]) -> Result<Run, Gap> {
        let of = self.power.banks().get(bank).ok_or_else(|| Gap::at("battery"))?;
        let capacity = of.capacity.as_ref().map_err(Clone::clone)?;
        let store = of.store.ok_or_else(|| Gap::at(format!("{}.chemistry", of.path)))?;
        let (base, load) = self.base(bank)?;
        let years = (0..self.lit.years.len()).map(|year| {
            let mut sun = self.sun_of(bank, year);
            sun.iter_mut().zip(passed.get(year).into_iter().flatten()).for_each(|(sum, passed)| *sum += passed);
            YearHours { sun, load: self.load_of(year, &base), rate: self.rate_of(of, year) }
        });
        let relative = |estimate: &Estimate| {
            if estimate.value() > 0.0 { estimate.scale(1.0 / estimate.value()) } else { Estimate::exact(1.0) }
        };
        let lumped = Lumped { sun: self.sun.clone(), load: relative(&load), capacity: relative(capacity) };
        Ok(Run::new(store, years.collect(), self.power.months, lumped))
    }

    /// The bank of the set that a panel fills first.
    fn first(&self, panel: usize) -> Option<usize> {
        self.power.panels().get(panel)?.banks.iter().copied().find(|bank| self.set.banks.contains(bank))
    }

    /// Which share of what is left over of a bank's panels may go to another: those that charge both.
    fn share(&self, from: usize, to: usize) -> f32 {
        let own = self.given.iter().filter(|(at, _, _)| self.first(*at) == Some(from));
        let both = own.clone().filter(|(at, _, _)| self.power.panels().get(*at).is_some_and(|panel| panel.banks.contains(&to)));
        both.count() as f32 / own.count().max(1) as f32
    }

    /// Panels whose sun goes to a bank first, by controller.
    fn sun_of(&self, bank: usize, year: usize) -> Vec<f32> {
        let panels = self.power.panels();
        let mut sun = vec![0.0_f32; DAYS * HOURS];
        let mut controllers: Vec<(Option<usize>, f64, Vec<f32>)> = Vec::new();
        for (at, per_watt, watts) in self.given.iter().filter(|(at, _, _)| self.first(*at) == Some(bank)) {
            let (Some(panel), Some(hours)) = (panels.get(*at), per_watt.get(year)) else { continue };
            let watts = *watts as f32;
            if panel.clips_at.is_infinite() {
                sun.iter_mut().zip(hours).for_each(|(sum, share)| *sum += watts * share);
                continue;
            }
            let slot = match controllers.iter().position(|(known, _, _)| known.is_some() && *known == panel.controller) {
                Some(slot) => slot,
                None => {
                    controllers.push((panel.controller, panel.clips_at, vec![0.0; DAYS * HOURS]));
                    controllers.len() - 1
                }
            };
            let Some((_, _, sum)) = controllers.get_mut(slot) else { continue };
            sum.iter_mut().zip(hours).for_each(|(sum, share)| *sum += watts * share);
        }
        for (_, most, given) in &controllers {
            let most = *most as f32;
            sun.iter_mut().zip(given).for_each(|(sum, given)| *sum += given.min(most));
        }
        sun
    }

    /// Loads of a bank that do not follow the weather, W by month and hour, and the energy of a mean day, Wh.
    fn base(&self, bank: usize) -> Result<(Base, Estimate), Gap> {
        let mut base = Base { hours: [[0.0; HOURS]; MONTHS], fridges: Vec::new() };
        let mut parts: Vec<(f64, &Estimate)> = Vec::new();
        for load in self.loads_of(bank) {
            let daily = load.daily.as_ref().map_err(Clone::clone)?;
            let used: Vec<usize> = load.months.iter().filter(|month| load.standing || self.power.months.has(*month)).collect();
            parts.push((used.len() as f64 / MONTHS as f64, daily));
            match load.follows {
                Follows::Fridge(inside) => base.fridges.push(Fridge::new(daily.value() / HOURS as f64, inside, &used)),
                Follows::Nothing => {
                    let shares = load.shares();
                    for &month in &used {
                        let Some(hours) = base.hours.get_mut(month) else { continue };
                        hours.iter_mut().zip(&shares).for_each(|(sum, share)| *sum += share * daily.value());
                    }
                }
            }
        }
        let driven = self.power.driven(bank)?;
        for hours in &mut base.hours {
            hours.iter_mut().zip(&driven).for_each(|(sum, driven)| *sum -= driven);
        }
        Ok((base, Estimate::weighted_sum(&parts)))
    }

    fn loads_of(&self, bank: usize) -> impl Iterator<Item = &Drawn> {
        self.set.loads.iter().filter_map(|at| self.power.loads().get(*at)).filter(move |load| load.bank == Some(bank))
    }

    fn load_of(&self, year: usize, base: &Base) -> Vec<f32> {
        let mut load = Vec::with_capacity(DAYS * HOURS);
        for month in month_of_days() {
            load.extend(base.hours.get(month).into_iter().flatten().map(|watts| *watts as f32));
        }
        let Some(hours) = self.lit.years.get(year).filter(|_| !base.fridges.is_empty()) else { return load };
        let room = usual("living/room", "what", "coldest", "number");
        let days = load.chunks_exact_mut(HOURS).zip(hours.air_c.chunks_exact(HOURS)).zip(month_of_days());
        for ((load, air), month) in days {
            for fridge in base.fridges.iter().filter(|fridge| fridge.months.contains(&month)) {
                load.iter_mut().zip(air).for_each(|(sum, air)| *sum += fridge.at(air.max(room)));
            }
        }
        load
    }

    /// What lithium cells in the cold may be charged with, by the mean of the day as a box in a cold rig feels it.
    fn rate_of(&self, bank: &Bank, year: usize) -> Option<Vec<f32>> {
        let word = bank.chemistry.map(Chemistry::word).filter(|_| bank.feels_frost)?;
        let days = self.lit.years.get(year)?.air_c.chunks_exact(HOURS);
        let rate = |day: &[f64]| chemistry::charge_rate(word, day.iter().sum::<f64>() / HOURS as f64) as f32;
        Some(days.flat_map(|day| std::iter::repeat_n(rate(day), HOURS)).collect())
    }

    /// The months, and what of each was passed on between banks, Wh a day.
    fn months(&self, banks: &[Ran]) -> ([Month; MONTHS], [f64; MONTHS]) {
        let years = self.lit.years.len().max(1) as f64;
        let [mut sun, mut passed, mut load, mut driven, mut lost] = [[0.0; MONTHS]; 5];
        let mut relative: Vec<(f64, &Estimate)> = Vec::new();
        for bank in banks {
            let run = &bank.run;
            let by_day = self.power.driven(bank.bank).map_or(0.0, |hours| hours.iter().sum::<f64>());
            let loss = 1.0 / (run.store.charge_efficiency * run.store.discharge_efficiency) - 1.0;
            for (number, year) in run.years.iter().enumerate() {
                let days = year.sun.chunks_exact(HOURS).zip(year.load.chunks_exact(HOURS));
                for (((sun_day, load_day), own), month) in days.zip(bank.own_sun(number)).zip(month_of_days()) {
                    let all: f64 = sun_day.iter().map(|w| f64::from(*w)).sum();
                    let add =
                        |to: &mut [f64; MONTHS], amount: f64| to.iter_mut().skip(month).take(1).for_each(|to| *to += amount);
                    add(&mut sun, own);
                    add(&mut passed, all - own);
                    add(&mut load, load_day.iter().map(|w| f64::from(*w)).sum::<f64>() + by_day);
                    add(&mut driven, by_day);
                    let stored = load_day.iter().zip(sun_day).map(|(load, sun)| f64::from((load - sun).max(0.0)));
                    add(&mut lost, loss * stored.sum::<f64>());
                }
            }
            let weight: f64 = run.years.iter().flat_map(|year| &year.load).map(|w| f64::from(*w)).sum();
            relative.push((weight.max(0.0), &run.lumped.load));
        }
        let all: f64 = relative.iter().map(|(weight, _)| weight).sum();
        relative.iter_mut().for_each(|(weight, _)| *weight = if all > 0.0 { *weight / all } else { 0.0 });
        let load_doubt = Estimate::weighted_sum(&relative);
        let per_day =
            |sums: &[f64; MONTHS], month: usize| sums.get(month).map_or(0.0, |sum| sum / (month_days(month) as f64 * years));
        let months = std::array::from_fn(|month| {
            let own = self.site.months.get(month);
            let parts = [Some((1.0, &self.sun)), own.map(|own| (1.0, own))];
            let relative = Estimate::weighted_sum(&parts.into_iter().flatten().collect::<Vec<_>>());
            let relative = relative.offset(1.0 - relative.value());
            Month {
                sun: relative.scale(per_day(&sun, month)),
                load: load_doubt.scale(per_day(&load, month)),
                lost: per_day(&lost, month),
                driven: per_day(&driven, month),
            }
        });
        (months, std::array::from_fn(|month| per_day(&passed, month)))
    }

    fn worst_five_days(&self, banks: &[Ran]) -> f64 {
        let worst = |year: usize| {
            let mut days = vec![0.0; DAYS];
            for bank in banks {
                days.iter_mut().zip(bank.own_sun(year)).for_each(|(sum, sun)| *sum += sun);
            }
            let months: Vec<usize> = month_of_days().collect();
            let spell = FIVE;
            days.windows(spell)
                .zip(months.iter().skip(spell - 1))
                .filter(|(_, month)| self.power.months.has(**month))
                .map(|(days, _)| days.iter().sum::<f64>() / spell as f64)
                .fold(f64::INFINITY, f64::min)
        };
        (0..self.lit.years.len()).map(worst).fold(f64::INFINITY, f64::min)
    }
}

/// What banks before it have left over for a bank, W, year by year; empty where it shares no panel with them.
fn passed(pools: &[Pool], shares: &[f32]) -> Vec<Vec<f32>> {
    let mut sum: Vec<Vec<f32>> = Vec::new();
    for (pool, share) in pools.iter().zip(shares).filter(|(_, share)| **share > 0.0) {
        sum.resize(pool.years.len(), vec![0.0; DAYS * HOURS]);
        for (sum, left) in sum.iter_mut().zip(&pool.years) {
            sum.iter_mut().zip(left).for_each(|(sum, left)| *sum += share * left);
        }
    }
    sum
}

/// Takes out of the pools what a bank took of them; what it left over of its own sun. It takes its own sun first.
fn take_out(pools: &mut [Pool], shares: &[f32], run: &Run, passed: &[Vec<f32>]) -> Vec<Vec<f32>> {
    let mut all = run.left_over();
    for ((year, left), of) in all.iter_mut().enumerate().zip(&run.years) {
        for (hour, (left, sun)) in left.iter_mut().zip(&of.sun).enumerate() {
            let given = passed.get(year).and_then(|hours| hours.get(hour)).copied().unwrap_or(0.0);
            let back = left.min(given);
            let taken = if given > 0.0 { 1.0 - back / given } else { 0.0 };
            for (pool, share) in pools.iter_mut().zip(shares) {
                let of = pool.years.get_mut(year).and_then(|hours| hours.get_mut(hour));
                of.into_iter().for_each(|of| *of *= 1.0 - share * taken);
            }
            // What driving gave and found no room does not go through the panels.
            *left = (*left - back).min(sun - given);
        }
    }
    all
}

/// Days of a dark spell. A choice of this project: five in a row are what a bad week leaves.
const FIVE: usize = 5;

/// Loads by month and hour, and those that follow the weather.
struct Base {
    hours: [[f64; HOURS]; MONTHS],
    fridges: Vec<Fridge>,
}

/// A compressor's mean power by the air around it, in whole degrees.
struct Fridge {
    months: Vec<usize>,
    by_degree: Vec<f32>,
}

/// The warmest air that the table of a refrigerator goes to, deg C; beyond it counts as that. A choice of this project.
const WARMEST: u8 = 60;
/// The air at which a refrigerator's mean power is told, deg C: the rig file says so of `duty`.
const TOLD_AT: f64 = 25.0;

impl Fridge {
    fn new(watts: f64, inside: f64, months: &[usize]) -> Self {
        let by_degree = (0..=WARMEST).map(|air| fridge::scaled(watts, TOLD_AT, f64::from(air), inside) as f32).collect();
        Self { months: months.to_vec(), by_degree }
    }

    /// On the straight line between two degrees.
    fn at(&self, air: f64) -> f32 {
        let below = air.clamp(0.0, f64::from(WARMEST)).floor();
        let at = below as usize;
        let Some(low) = self.by_degree.get(at) else { return 0.0 };
        let high = self.by_degree.get(at + 1).unwrap_or(low);
        low + (high - low) * (air.clamp(0.0, f64::from(WARMEST)) - below) as f32
    }
}

impl Power {
    /// What driving on a usual day charges a bank with, W by hour.
    pub(crate) fn driven(&self, bank: usize) -> Result<[f64; HOURS], Gap> {
        let charged = self.system.driven.iter().filter(|(to, _)| *to == bank).map(|(_, watts)| watts).sum::<f64>();
        let hours = self.told("site.driving").map_or(0.0, |time| time.value() / super::HOUR_S);
        let from = usual("living/driving", "what", "from", "number");
        let overlap = |hour: f64| ((from + hours).min(hour + 1.0) - from.max(hour)).max(0.0);
        Ok(std::array::from_fn(|hour| charged * overlap(hour as f64)))
    }
}
