//! A bank through drawn years: what it keeps, what is gone without, and how far that can be off.

use std::sync::OnceLock;

use physics::battery::lanes::{Day, Hours, run_lanes};
use physics::battery::run::{Step, Store, step_at_rate};
use quantity::Estimate;
use weather::month_days;

use super::loads::{HOURS, MONTHS, Months};
use crate::tables::usual;

/// Days of a year as it is run: none has a 29 February.
pub const DAYS: usize = 365;
/// Sizes of panel and battery that are tried side by side.
pub const LANES: usize = 8;

/// The month, from 0, of each day of the year.
pub fn month_of_days() -> impl Iterator<Item = usize> + Clone {
    (0..MONTHS).flat_map(|month| std::iter::repeat_n(month, month_days(month)))
}

/// A year hour by hour: sun and load at the bank, W.
#[derive(Clone, Debug, Default)]
pub struct YearHours {
    /// Sun after wires and controller.
    pub sun: Vec<f32>,
    /// What is switched on.
    pub load: Vec<f32>,
    /// What the cells may be charged with, in capacities an hour: 0 in frost. None where frost does not matter.
    pub rate: Option<Vec<f32>>,
}

/// Another size of it: what sun, load and capacity are multiplied with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Try {
    /// Of the sun: more or fewer panels.
    pub sun: f64,
    /// Of all loads.
    pub load: f64,
    /// Of the battery.
    pub capacity: f64,
}

impl Try {
    /// As it is.
    pub const AS_IT_IS: Self = Self { sun: 1.0, load: 1.0, capacity: 1.0 };
}

/// A side of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Smaller ones.
    Below,
    /// Larger ones.
    Above,
}

/// An hour of a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HourOf {
    /// Share of charge at its end.
    pub charge: f64,
    /// Whether something was gone without.
    pub short: bool,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Days short, by year and month.
    pub short_days: Vec<[u8; MONTHS]>,
    /// Energy gone without, Wh, in each month of a mean year.
    pub short_wh: [f64; MONTHS],
    /// Sun left over, Wh, in each month of a mean year.
    pub left_over_wh: [f64; MONTHS],
    /// Hours short of a mean year, months of use alone.
    pub hours_short: f64,
    /// The longest run of days, each short.
    pub longest_short: u32,
    /// Lowest charge in the months of use, as a share.
    pub lowest: f64,
    /// Most days between two in which the battery was full, months of use alone.
    pub longest_unfull: u32,
    /// The same of each year; days before it count.
    pub unfull: Vec<u32>,
}

impl Answer {
    fn new(years: usize) -> Self {
        Self {
            short_days: vec![[0; MONTHS]; years],
            short_wh: [0.0; MONTHS],
            left_over_wh: [0.0; MONTHS],
            hours_short: 0.0,
            longest_short: 0,
            lowest: f64::INFINITY,
            longest_unfull: 0,
            unfull: vec![0; years],
        }
    }

    /// In how many of ten such months more days are short than `borne`; months are counted from 0.
    #[must_use]
    pub fn bad_of_ten(&self, month: usize, borne: f64) -> f64 {
        let days = self.short_days.iter().filter_map(|year| year.get(month));
        let (bad, all) =
            days.fold((0.0, 0.0), |(bad, all), days| (bad + f64::from(u8::from(f64::from(*days) > borne)), all + 1.0));
        if all > 0.0 { 10.0 * bad / all } else { 0.0 }
    }

    /// Days short in that month of a mean year.
    #[must_use]
    pub fn mean_short_days(&self, month: usize) -> f64 {
        let sum: f64 = self.short_days.iter().filter_map(|year| year.get(month)).map(|days| f64::from(*days)).sum();
        if self.short_days.is_empty() { 0.0 } else { sum / self.short_days.len() as f64 }
    }
}

/// What the doubt of a run is made of, each relative and 1 as it stands.
#[derive(Clone, Debug)]
pub struct Lumped {
    /// Sun of all panels.
    pub sun: Estimate,
    /// All loads.
    pub load: Estimate,
    /// Capacity.
    pub capacity: Estimate,
}

/// A bank with all its years.
#[derive(Debug)]
pub struct Run {
    /// The bank; its capacity as it stands.
    pub store: Store,
    /// Its years.
    pub years: Vec<YearHours>,
    /// Months of use.
    pub months: Months,
    /// Where its doubt comes from.
    pub lumped: Lumped,
    /// As it stands, and each lumped input one standard deviation up and down.
    beside: OnceLock<[Answer; LANES]>,
    /// Charge at the end of the last year, by which the first one starts.
    settled: OnceLock<f64>,
}

impl Run {
    pub(crate) fn new(store: Store, years: Vec<YearHours>, months: Months, lumped: Lumped) -> Self {
        Self { store, years, months, lumped, beside: OnceLock::new(), settled: OnceLock::new() }
    }

    /// As it stands.
    #[must_use]
    pub fn nominal(&self) -> &Answer {
        let [nominal, ..] = self.beside();
        nominal
    }

    fn beside(&self) -> &[Answer; LANES] {
        self.beside.get_or_init(|| {
            let one = Try::AS_IT_IS;
            let off = |estimate: &Estimate, sign: f64| (1.0 + sign * estimate.sd()).max(0.0);
            let sun = |sign| Try { sun: off(&self.lumped.sun, sign), ..one };
            let load = |sign| Try { load: off(&self.lumped.load, sign), ..one };
            let capacity = |sign| Try { capacity: off(&self.lumped.capacity, sign), ..one };
            self.tries(&[one, sun(1.0), sun(-1.0), load(1.0), load(-1.0), capacity(1.0), capacity(-1.0), one])
        })
    }

    /// A number of the answers with its doubt: what it is with each lumped input one standard deviation up and down.
    #[must_use]
    pub fn estimate(&self, number: impl Fn(&Answer) -> f64) -> Estimate {
        let [nominal, sun_up, sun_down, load_up, load_down, capacity_up, capacity_down, _] = self.beside();
        let slope = |up: &Answer, down: &Answer, of: &Estimate| {
            let sd = of.sd();
            if sd > 0.0 { (number(up) - number(down)) / (2.0 * sd) } else { 0.0 }
        };
        let Lumped { sun, load, capacity } = &self.lumped;
        Estimate::with_gradients(
            number(nominal),
            &[
                (slope(sun_up, sun_down, sun), sun),
                (slope(load_up, load_down, load), load),
                (slope(capacity_up, capacity_down, capacity), capacity),
            ],
        )
    }

    /// The same of a number that bends, such as a count of days, with the doubt of one side: how far it can lie below what
    /// it is, or above.
    #[must_use]
    pub fn leaning(&self, side: Side, number: impl Fn(&Answer) -> f64) -> Estimate {
        let [nominal, sun_up, sun_down, load_up, load_down, capacity_up, capacity_down, _] = self.beside();
        let value = number(nominal);
        let far = |one: &Answer| match side {
            Side::Below => value - number(one),
            Side::Above => number(one) - value,
        };
        // The sign is that of the input's own way.
        let slope = |up: &Answer, down: &Answer, of: &Estimate| {
            let (with, against, sd) = (far(up), far(down), of.sd());
            let far = if with >= against { with.max(0.0) } else { -against.max(0.0) };
            let far = if side == Side::Below { -far } else { far };
            if sd > 0.0 { far / sd } else { 0.0 }
        };
        let Lumped { sun, load, capacity } = &self.lumped;
        Estimate::with_gradients(
            value,
            &[
                (slope(sun_up, sun_down, sun), sun),
                (slope(load_up, load_down, load), load),
                (slope(capacity_up, capacity_down, capacity), capacity),
            ],
        )
    }

    /// The lowest and the highest of a number over all that was run beside: one standard deviation of each input.
    #[must_use]
    pub fn hull(&self, number: impl Fn(&Answer) -> f64) -> (f64, f64) {
        let all = self.beside().iter().map(number);
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| (low.min(one), high.max(one)))
    }

    fn scaled(&self, capacity: f64) -> Store {
        Store { capacity_wh: self.store.capacity_wh * capacity, ..self.store }
    }

    /// Several sizes side by side, each from a charge that has settled.
    #[must_use]
    pub fn tries(&self, tries: &[Try; LANES]) -> [Answer; LANES] {
        let stores = tries.map(|one| self.scaled(one.capacity));
        let (sun, load) = (tries.map(|one| one.sun), tries.map(|one| one.load));
        let mut charge = stores.map(|store| store.capacity_wh * usual("living/battery", "what", "start of a year", "number"));
        let months: Vec<usize> = month_of_days().collect();
        if let Some(last) = self.years.last() {
            charge = run_lanes(&stores, &charge, &sun, &load, &hours(last), |_, _: &Day<LANES>| {});
        }
        let mut answers: [Answer; LANES] = std::array::from_fn(|_| Answer::new(self.years.len()));
        let mut spells: [(u32, u32); LANES] = [(0, 0); LANES];
        for (number, year) in self.years.iter().enumerate() {
            charge = run_lanes(&stores, &charge, &sun, &load, &hours(year), |day, done: &Day<LANES>| {
                let Some(month) = months.get(day).copied().filter(|month| self.months.has(*month)) else { return };
                let lanes = answers.iter_mut().zip(&mut spells).zip(&stores);
                for (lane, ((answer, spell), store)) in lanes.enumerate() {
                    answer.take(number, month, done, lane, store);
                    answer.count(spell, number, done, lane);
                }
            });
        }
        let years = self.years.len().max(1) as f64;
        for answer in &mut answers {
            let sums = answer.short_wh.iter_mut().chain(&mut answer.left_over_wh).chain(std::iter::once(&mut answer.hours_short));
            sums.for_each(|sum| *sum /= years);
        }
        answers
    }

    /// Charge that the first year starts from, Wh: that of its end.
    fn settled(&self) -> f64 {
        *self.settled.get_or_init(|| {
            let from = self.store.capacity_wh * usual("living/battery", "what", "start of a year", "number");
            let [end] = self
                .years
                .last()
                .map_or([from], |year| run_lanes(&[self.store], &[from], &[1.0], &[1.0], &hours(year), |_, _: &Day<1>| {}));
            end
        })
    }

    /// Each hour of the first years, as they stand, one after the other: the year from 0, and what the hour did.
    fn walk(&self, years: usize, mut see: impl FnMut(usize, Step)) {
        let mut charge = self.settled();
        for (number, year) in self.years.iter().enumerate().take(years) {
            let rates = year.rate.iter().flatten().map(|rate| f64::from(*rate)).chain(std::iter::repeat(f64::INFINITY));
            for ((sun, load), rate) in year.sun.iter().zip(&year.load).zip(rates) {
                let step = step_at_rate(&self.store, charge, f64::from(*sun) - f64::from(*load), rate);
                charge = step.charge_wh;
                see(number, step);
            }
        }
    }

    /// Each hour of a year from 0, as it stands.
    #[must_use]
    pub fn hours_of(&self, year: usize) -> Vec<HourOf> {
        let mut hours = Vec::with_capacity(DAYS * HOURS);
        self.walk(year + 1, |number, step| {
            if number == year {
                hours.push(HourOf { charge: step.charge_wh / self.store.capacity_wh, short: step.short_wh > 0.0 });
            }
        });
        hours
    }

    /// Sun that the bank had no room for in each hour, W, year by year: what the next bank may have.
    pub(crate) fn left_over(&self) -> Vec<Vec<f32>> {
        let mut left: Vec<Vec<f32>> = vec![Vec::with_capacity(DAYS * HOURS); self.years.len()];
        self.walk(self.years.len(), |year, step| {
            left.iter_mut().skip(year).take(1).for_each(|hours| hours.push(step.left_over_wh as f32));
        });
        left
    }
}

impl Answer {
    fn take(&mut self, year: usize, month: usize, done: &Day<LANES>, lane: usize, store: &Store) {
        let of = |all: &[f64; LANES]| all.get(lane).copied().unwrap_or_default();
        let (short, left_over) = (of(&done.short_wh), of(&done.left_over_wh));
        if let Some(days) = self.short_days.get_mut(year).and_then(|year| year.get_mut(month)) {
            *days += u8::from(short > 0.0);
        }
        if let Some(sum) = self.short_wh.get_mut(month) {
            *sum += short;
        }
        if let Some(sum) = self.left_over_wh.get_mut(month) {
            *sum += left_over;
        }
        self.hours_short += of(&done.hours_short);
        self.lowest = self.lowest.min(of(&done.lowest_wh) / store.capacity_wh);
    }

    /// Spells of days short, and of days since it was full.
    fn count(&mut self, (short, unfull): &mut (u32, u32), year: usize, done: &Day<LANES>, lane: usize) {
        let over = |all: &[f64; LANES]| all.get(lane).is_some_and(|one| *one > 0.0);
        *short = if over(&done.short_wh) { *short + 1 } else { 0 };
        *unfull = if over(&done.hours_full) { 0 } else { *unfull + 1 };
        self.longest_short = self.longest_short.max(*short);
        self.longest_unfull = self.longest_unfull.max(*unfull);
        self.unfull.iter_mut().skip(year).take(1).for_each(|longest| *longest = (*longest).max(*unfull));
    }
}

fn hours(year: &YearHours) -> Hours<'_, f32, f32> {
    Hours { sun_wh: &year.sun, load_wh: &year.load, charge_rate_per_h: year.rate.as_deref() }
}

const _: () = assert!(HOURS * DAYS == 8760);
