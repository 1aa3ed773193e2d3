//! Several batteries through the same hours, side by side.
//!
//! One hour of one battery waits for the hour before it; eight batteries do not wait for each other, so eight cost
//! little more than one. [`run_lanes`] takes a series of sun and load that each lane scales (sizes of panel and
//! battery to choose from, drawn scale factors); [`Lanes`] takes whatever hour the caller has for each lane (drawn
//! years). Every lane comes out to the bit as [`run`](super::run::run) gives it alone.

use std::ops::{Add, AddAssign, Mul, Sub};

use pulp::{Arch, NullaryFnOnce};

use super::run::Store;

/// Hours of a day.
pub const HOURS_A_DAY: usize = 24;

/// One number for each lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Row<const N: usize>(pub(super) [f64; N]);

impl<const N: usize> Row<N> {
    #[inline(always)]
    fn all(value: f64) -> Self {
        Self([value; N])
    }

    /// Lane by lane.
    #[inline(always)]
    fn with(mut self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        for (own, other) in self.0.iter_mut().zip(other.0) {
            *own = f(*own, other);
        }
        self
    }

    /// The smaller; written as a comparison since that is one instruction, which `f64::min` is not.
    #[inline(always)]
    fn least(self, other: Self) -> Self {
        self.with(other, |a, b| if a < b { a } else { b })
    }

    /// The larger.
    #[inline(always)]
    fn most(self, other: Self) -> Self {
        self.with(other, |a, b| if a > b { a } else { b })
    }

    /// 1 where it is over the other, else 0.
    #[inline(always)]
    fn over(self, other: Self) -> Self {
        self.with(other, |a, b| if a > b { 1.0 } else { 0.0 })
    }

    /// 1 where it is not under the other, else 0.
    #[inline(always)]
    fn from(self, other: Self) -> Self {
        self.with(other, |a, b| if a >= b { 1.0 } else { 0.0 })
    }
}

impl<const N: usize> Add for Row<N> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        self.with(other, |a, b| a + b)
    }
}

impl<const N: usize> Sub for Row<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        self.with(other, |a, b| a - b)
    }
}

impl<const N: usize> Mul for Row<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        self.with(other, |a, b| a * b)
    }
}

impl<const N: usize> AddAssign for Row<N> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

/// What an hour needs of the stores, one row a quantity.
#[derive(Clone, Copy, Debug)]
struct Terms<const N: usize> {
    /// What is left of the charge after an hour of self-discharge.
    keep: Row<N>,
    capacity: Row<N>,
    floor: Row<N>,
    charge_limit: Row<N>,
    discharge_limit: Row<N>,
    charge_efficiency: Row<N>,
    charge_inverse: Row<N>,
    discharge_efficiency: Row<N>,
    discharge_inverse: Row<N>,
    taper_offset: Row<N>,
    taper_slope: Row<N>,
    full: Row<N>,
}

impl<const N: usize> Terms<N> {
    fn of(stores: &[Store; N]) -> Self {
        let row = |f: &dyn Fn(&Store) -> f64| Row(stores.each_ref().map(f));
        Self {
            keep: row(&|s| 1.0 - s.self_discharge_per_h),
            capacity: row(&|s| s.capacity_wh),
            floor: row(&|s| s.floor * s.capacity_wh),
            charge_limit: row(&|s| if s.charge_limit_w < s.power_limit_w { s.charge_limit_w } else { s.power_limit_w }),
            discharge_limit: row(&|s| s.power_limit_w),
            charge_efficiency: row(&|s| s.charge_efficiency),
            charge_inverse: row(&|s| 1.0 / s.charge_efficiency),
            discharge_efficiency: row(&|s| s.discharge_efficiency),
            discharge_inverse: row(&|s| 1.0 / s.discharge_efficiency),
            taper_offset: row(&|s| s.taper.map_or(f64::INFINITY, |t| t.most_gain(s).0)),
            taper_slope: row(&|s| s.taper.map_or(0.0, |t| t.most_gain(s).1)),
            full: row(&|s| s.full_from * s.capacity_wh),
        }
    }
}

/// What an hour did, lane by lane.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hour<const N: usize> {
    pub(super) charge: Row<N>,
    pub(super) short: Row<N>,
    pub(super) left_over: Row<N>,
}

/// One day, lane by lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day<const N: usize> {
    /// Energy gone without, Wh; 0 on a day that was not short.
    pub short_wh: [f64; N],
    /// Sun that found no room, Wh.
    pub left_over_wh: [f64; N],
    /// Hours in which something was gone without.
    pub hours_short: [f64; N],
    /// Hours that ended with the battery as good as full ([`Store::full_from`]).
    pub hours_full: [f64; N],
    /// Lowest charge at the end of an hour, Wh.
    pub lowest_wh: [f64; N],
    /// Charge at the end of the day, Wh.
    pub end_wh: [f64; N],
}

/// Sums of a day that is under way.
#[derive(Clone, Copy, Debug)]
struct Tally<const N: usize> {
    short: Row<N>,
    left_over: Row<N>,
    hours_short: Row<N>,
    hours_full: Row<N>,
    lowest: Row<N>,
}

impl<const N: usize> Tally<N> {
    fn new() -> Self {
        let none = Row::all(0.0);
        Self { short: none, left_over: none, hours_short: none, hours_full: none, lowest: Row::all(f64::INFINITY) }
    }
}

/// Batteries side by side, hour after hour.
///
/// The equations, lane by lane, are those of [`run`](super::run::run). No input is checked.
#[derive(Clone, Copy, Debug)]
pub struct Lanes<const N: usize> {
    terms: Terms<N>,
    tapers: bool,
    charge: Row<N>,
    tally: Tally<N>,
}

impl<const N: usize> Lanes<N> {
    /// Batteries that start with these charges, Wh.
    #[must_use]
    pub fn new(stores: &[Store; N], charge_wh: &[f64; N]) -> Self {
        let tapers = stores.iter().any(|store| store.taper.is_some());
        Self { terms: Terms::of(stores), tapers, charge: Row(*charge_wh), tally: Tally::new() }
    }

    /// What the batteries hold now, Wh.
    #[must_use]
    pub fn charge_wh(&self) -> [f64; N] {
        self.charge.0
    }

    /// One hour: sun less load of each lane, Wh.
    #[inline(always)]
    pub fn hour(&mut self, net_wh: [f64; N]) {
        self.count(Row(net_wh), None);
    }

    /// The same where the cells take no more than so many times their capacity an hour; 0 blocks charging.
    #[inline(always)]
    pub fn hour_at_rate(&mut self, net_wh: [f64; N], charge_rate_per_h: [f64; N]) {
        self.count(Row(net_wh), Some(Row(charge_rate_per_h)));
    }

    /// Closes the day and gives its sums.
    #[inline(always)]
    pub fn end_day(&mut self) -> Day<N> {
        let done = std::mem::replace(&mut self.tally, Tally::new());
        Day {
            short_wh: done.short.0,
            left_over_wh: done.left_over.0,
            hours_short: done.hours_short.0,
            hours_full: done.hours_full.0,
            lowest_wh: done.lowest.0,
            end_wh: self.charge.0,
        }
    }

    #[inline(always)]
    fn count(&mut self, net: Row<N>, rate: Option<Row<N>>) {
        let hour = self.advance(net, rate);
        let tally = &mut self.tally;
        tally.short += hour.short;
        tally.left_over += hour.left_over;
        tally.hours_short += hour.short.over(Row::all(0.0));
        tally.hours_full += hour.charge.from(self.terms.full);
        tally.lowest = tally.lowest.least(hour.charge);
    }

    /// The equations of an hour. What is gone without and what is left over are the amounts by which the new charge is
    /// held off the line `kept + gain`, so that they are exactly 0 in an hour without either.
    #[inline(always)]
    pub(super) fn advance(&mut self, net: Row<N>, rate: Option<Row<N>>) -> Hour<N> {
        let t = &self.terms;
        let none = Row::all(0.0);
        let kept = self.charge * t.keep;
        let spare = net.most(none);
        let wanted = spare - net;
        let mut offered = spare.least(t.charge_limit);
        if let Some(rate) = rate {
            offered = offered.least(rate * t.capacity);
        }
        let asked = wanted.least(t.discharge_limit);
        let mut left_over = spare - offered;
        let mut gain = offered * t.charge_efficiency;
        if self.tapers {
            let most = gain.least(t.taper_offset - t.taper_slope * kept);
            left_over += (gain - most) * t.charge_inverse;
            gain = most;
        }
        let line = kept + (gain - asked * t.discharge_inverse);
        // Self-discharge goes on below the floor, and nothing is taken there.
        let held = line.most(kept.least(t.floor));
        self.charge = held.least(t.capacity);
        left_over += (held - self.charge) * t.charge_inverse;
        let short = (held - line) * t.discharge_efficiency + (wanted - asked);
        Hour { charge: self.charge, short, left_over }
    }
}

/// A series of hours that all lanes share, whole days from midnight.
#[derive(Clone, Copy, Debug)]
pub struct Hours<'a, S, L> {
    /// Sun of each hour, Wh, before a lane's scale.
    pub sun_wh: &'a [S],
    /// Load of each hour, Wh, before a lane's scale.
    pub load_wh: &'a [L],
    /// The most that the cells take in each hour, in capacities an hour; 0 blocks charging.
    pub charge_rate_per_h: Option<&'a [f32]>,
}

/// Runs batteries side by side through the same hours, from these charges (Wh), and shows each day with its number to
/// `visit`. Gives the charges at the end, for a second pass.
///
/// `sun_scale` and `load_scale` multiply the series lane by lane. The run ends with the shortest of the series; what is
/// left of a last day under way is shown too. No input is checked.
pub fn run_lanes<const N: usize, S: Copy + Into<f64>, L: Copy + Into<f64>>(
    stores: &[Store; N],
    charge_wh: &[f64; N],
    sun_scale: &[f64; N],
    load_scale: &[f64; N],
    hours: &Hours<S, L>,
    visit: impl FnMut(usize, &Day<N>),
) -> [f64; N] {
    let lanes = Lanes::new(stores, charge_wh);
    let (sun_scale, load_scale) = (Row(*sun_scale), Row(*load_scale));
    // Rounded alike in registers of any width: nothing is fused.
    Arch::new().dispatch(Through { lanes, sun_scale, load_scale, hours, visit })
}

/// A run that is compiled once for each width of register.
struct Through<'a, const N: usize, S, L, V> {
    lanes: Lanes<N>,
    sun_scale: Row<N>,
    load_scale: Row<N>,
    hours: &'a Hours<'a, S, L>,
    visit: V,
}

impl<const N: usize, S, L, V> NullaryFnOnce for Through<'_, N, S, L, V>
where
    S: Copy + Into<f64>,
    L: Copy + Into<f64>,
    V: FnMut(usize, &Day<N>),
{
    type Output = [f64; N];

    #[inline(always)]
    fn call(self) -> [f64; N] {
        let Self { mut lanes, sun_scale, load_scale, hours, mut visit } = self;
        let net = |sun: S, load: L| sun_scale * Row::all(sun.into()) - load_scale * Row::all(load.into());
        let days = hours.sun_wh.chunks(HOURS_A_DAY).zip(hours.load_wh.chunks(HOURS_A_DAY));
        match hours.charge_rate_per_h {
            None => {
                for (number, (sun, load)) in days.enumerate() {
                    for (sun, load) in sun.iter().zip(load) {
                        lanes.count(net(*sun, *load), None);
                    }
                    visit(number, &lanes.end_day());
                }
            }
            Some(rates) => {
                for (number, ((sun, load), rates)) in days.zip(rates.chunks(HOURS_A_DAY)).enumerate() {
                    for ((sun, load), rate) in sun.iter().zip(load).zip(rates) {
                        lanes.count(net(*sun, *load), Some(Row::all(f64::from(*rate))));
                    }
                    visit(number, &lanes.end_day());
                }
            }
        }
        lanes.charge_wh()
    }
}
