//! A battery through the hours: what sun and load leave of it.

use quantity::real::exp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::lanes::{Lanes, Row};
use crate::error::KernelError;
use crate::range::{Range, Ranged, check_count, finite, in_schema, ranged};

/// A battery as the hourly run sees it. Powers are means over the hour, at the battery's terminals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Store {
    /// What it holds when full, Wh.
    pub capacity_wh: f64,
    /// Share of the capacity below which nothing is taken.
    pub floor: f64,
    /// Share of what goes in that is stored.
    pub charge_efficiency: f64,
    /// Share of what is taken out of store that arrives.
    pub discharge_efficiency: f64,
    /// Most power in or out, W. Sun feeds loads past the battery whatever their size.
    pub power_limit_w: f64,
    /// Share of the charge lost every hour.
    pub self_discharge_per_h: f64,
    /// Most power in, W, where that is less; infinite for none.
    pub charge_limit_w: f64,
    /// How charging slows down towards full; `None` where it does not.
    pub taper: Option<Taper>,
    /// Share of the capacity from which it counts as full.
    pub full_from: f64,
}

impl Store {
    /// A battery without a limit of its own on charging, and full when it is full.
    #[must_use]
    pub const fn new(
        capacity_wh: f64,
        floor: f64,
        charge_efficiency: f64,
        discharge_efficiency: f64,
        power_limit_w: f64,
        self_discharge_per_h: f64,
    ) -> Self {
        Self {
            capacity_wh,
            floor,
            charge_efficiency,
            discharge_efficiency,
            power_limit_w,
            self_discharge_per_h,
            charge_limit_w: f64::INFINITY,
            taper: None,
            full_from: 1.0,
        }
    }
}

/// Charging that slows down: power in falls in a straight line from `bulk_w` at the share `from` to `end_w` when full. An
/// `end_w` that is not less than `bulk_w` is a plain limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taper {
    /// Share of the capacity up to which the full power goes in; under 1.
    pub from: f64,
    /// Power up to there, W.
    pub bulk_w: f64,
    /// Power that still goes in when full, W.
    pub end_w: f64,
}

impl Taper {
    /// The most that is stored in an hour is `offset - slope times charge` (Wh): along the falling line the charge
    /// nears the place where the line meets zero exponentially, and this is an hour of it, exactly. Below `from` the
    /// straight line is carried on; the battery's own limit, not above `bulk_w`, holds there.
    pub(super) fn most_gain(&self, store: &Store) -> (f64, f64) {
        let fall = (self.bulk_w - self.end_w) / ((1.0 - self.from) * store.capacity_wh);
        if fall > 0.0 {
            let aim = store.capacity_wh + self.end_w / fall;
            let slope = 1.0 - exp(-fall * store.charge_efficiency);
            (slope * aim, slope)
        } else {
            (self.bulk_w * store.charge_efficiency, 0.0)
        }
    }
}

/// What an hour did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Charge at its end, Wh.
    pub charge_wh: f64,
    /// Energy gone without, Wh.
    pub short_wh: f64,
    /// Sun that found no room, Wh.
    pub left_over_wh: f64,
}

/// What a run comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Totals {
    /// Lowest charge, as a share of the capacity, the start included.
    pub lowest: f64,
    /// Energy gone without, Wh.
    pub short_wh: f64,
    /// Sun that found no room, Wh.
    pub left_over_wh: f64,
    /// Hours in which something was gone without.
    pub hours_short: u32,
    /// Charge at the end, as a share of the capacity.
    pub end: f64,
    /// What went into the battery at its terminals, Wh.
    pub charged_wh: f64,
    /// What came out at its terminals, Wh.
    pub discharged_wh: f64,
    /// What charging, discharging and standing cost, Wh.
    pub lost_wh: f64,
}

fn from_full() -> f64 {
    1.0
}

/// Most hours of one call: a century.
const HOURS_MOST: usize = 876_600;

/// Input of [`battery_run`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<BatteryRunIn>)]
pub struct BatteryRunIn {
    /// Sun less load of each hour; positive charges.
    pub net_wh: Vec<f64>,
    /// What the battery holds when full.
    pub capacity_wh: f64,
    /// Share of the capacity below which nothing is taken.
    pub floor: f64,
    /// Share of what goes in that is stored.
    pub charge_efficiency: f64,
    /// Share of what is taken out of store that arrives.
    pub discharge_efficiency: f64,
    /// Most power in or out, at the terminals.
    pub power_limit_w: f64,
    /// Share of the charge lost every hour.
    pub self_discharge_per_h: f64,
    /// Charge at the start, as a share of the capacity.
    #[serde(default = "from_full")]
    pub start: f64,
}

ranged!(BatteryRunIn {
    net_wh ["Wh"] Range::of(-1e9, 1e9),
    capacity_wh ["Wh"] Range::over(0.0, 1e9),
    floor [""] Range::of(0.0, 1.0),
    charge_efficiency [""] Range::of(0.1, 1.0),
    discharge_efficiency [""] Range::of(0.1, 1.0),
    power_limit_w ["W"] Range::of(0.0, 1e9),
    self_discharge_per_h [""] Range::of(0.0, 0.1),
    start [""] Range::of(0.0, 1.0),
});

/// Output of [`battery_run`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BatteryRunOut {
    /// Lowest charge, as a share of the capacity; self-discharge can take it below the floor.
    pub lowest: f64,
    /// Energy gone without.
    pub short_wh: f64,
    /// Sun that found no room.
    pub surplus_wh: f64,
    /// Hours in which something was gone without.
    pub hours_short: u32,
    /// Charge at the end, as a share of the capacity. Give it as `start` for a run that does not hang on the start.
    pub end: f64,
}

/// A battery through the hours: what sun and load leave of it.
///
/// Each hour: self-discharge, then what is spare goes in as far as power and room allow, or what is wanted comes out as
/// far as power and the floor allow. Limits are taken before the efficiency.
///
/// | input                  | unit | range         | note                                            |
/// |------------------------|------|---------------|-------------------------------------------------|
/// | `net_wh`               | Wh   | -1e9 to 1e9   | hourly; positive charges; up to a century       |
/// | `capacity_wh`          | Wh   | over 0 to 1e9 |                                                 |
/// | `floor`                | 1    | 0 to 1        |                                                 |
/// | `charge_efficiency`    | 1    | 0.1 to 1      |                                                 |
/// | `discharge_efficiency` | 1    | 0.1 to 1      |                                                 |
/// | `power_limit_w`        | W    | 0 to 1e9      | of the battery alone; sun feeds loads past it   |
/// | `self_discharge_per_h` | 1    | 0 to 0.1      | 4e-5 is 3 % a month                             |
/// | `start`                | 1    | 0 to 1        | default 1; full in January flatters a winter    |
///
/// Gives `lowest`, `end` (1), `short_wh`, `surplus_wh` (Wh) and `hours_short`. Energy closes to rounding; `hours_short`
/// compares floats and may differ by an hour or two from another way of writing the same sum.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above; `Count` an empty list or one past a century.
///
/// # Source
/// Energy balance (physics).
///
/// # Checked against
/// `tests/outside/battery.rs`: the same loop written with branches, and years of a published data set.
pub fn battery_run(input: &BatteryRunIn) -> Result<BatteryRunOut, KernelError> {
    check_count("net_wh", input.net_wh.len(), 1, HOURS_MOST)?;
    input.check()?;
    let store = Store::new(
        input.capacity_wh,
        input.floor,
        input.charge_efficiency,
        input.discharge_efficiency,
        input.power_limit_w,
        input.self_discharge_per_h,
    );
    let totals = run(&store, input.net_wh.iter().copied(), input.start);
    Ok(BatteryRunOut {
        lowest: finite("lowest", totals.lowest)?,
        short_wh: finite("short_wh", totals.short_wh)?,
        surplus_wh: finite("surplus_wh", totals.left_over_wh)?,
        hours_short: totals.hours_short,
        end: finite("end", totals.end)?,
    })
}

/// One hour from a charge (Wh) with sun less load `net_wh`. No input is checked.
#[must_use]
pub fn step(store: &Store, charge_wh: f64, net_wh: f64) -> Step {
    let mut lane = Lanes::new(&[*store], &[charge_wh]);
    step_of(&mut lane, net_wh, f64::INFINITY)
}

/// The same where the cells take no more than `charge_rate_per_h` capacities in the hour; 0 blocks charging.
#[must_use]
pub fn step_at_rate(store: &Store, charge_wh: f64, net_wh: f64, charge_rate_per_h: f64) -> Step {
    let mut lane = Lanes::new(&[*store], &[charge_wh]);
    step_of(&mut lane, net_wh, charge_rate_per_h)
}

#[inline(always)]
fn step_of(lane: &mut Lanes<1>, net_wh: f64, charge_rate_per_h: f64) -> Step {
    let rate = (charge_rate_per_h < f64::INFINITY).then_some(Row([charge_rate_per_h]));
    let hour = lane.advance(Row([net_wh]), rate);
    let ([charge_wh], [short_wh], [left_over_wh]) = (hour.charge.0, hour.short.0, hour.left_over.0);
    Step { charge_wh, short_wh, left_over_wh }
}

/// A battery through the hours: sun less load of each (Wh), from a share of its capacity.
///
/// Each hour: self-discharge, then what is spare goes in as far as power and room allow, or what is wanted comes out as
/// far as power and the floor allow. Limits are taken at the terminals, before the efficiency. No input is checked.
#[must_use]
pub fn run(store: &Store, net_wh: impl IntoIterator<Item = f64>, start: f64) -> Totals {
    run_at_rate(store, net_wh.into_iter().map(|net| (net, f64::INFINITY)), start)
}

/// The same with the most that the cells take in each hour beside its energy, in capacities an hour: 0 blocks
/// charging, infinite does not limit it.
#[must_use]
pub fn run_at_rate(store: &Store, hours: impl IntoIterator<Item = (f64, f64)>, start: f64) -> Totals {
    let from_wh = start * store.capacity_wh;
    let mut lane = Lanes::new(&[*store], &[from_wh]);
    let (mut lowest, mut short, mut left_over, mut hours_short) = (from_wh, 0.0, 0.0, 0);
    let (mut charged, mut discharged, mut end) = (0.0, 0.0, from_wh);
    for (net, rate) in hours {
        let hour = step_of(&mut lane, net, rate);
        end = hour.charge_wh;
        lowest = if end < lowest { end } else { lowest };
        short += hour.short_wh;
        left_over += hour.left_over_wh;
        hours_short += u32::from(hour.short_wh > 0.0);
        charged += if net > 0.0 { net - hour.left_over_wh } else { 0.0 };
        discharged += if net < 0.0 { -net - hour.short_wh } else { 0.0 };
    }
    Totals {
        lowest: lowest / store.capacity_wh,
        short_wh: short,
        left_over_wh: left_over,
        hours_short,
        end: end / store.capacity_wh,
        charged_wh: charged,
        discharged_wh: discharged,
        lost_wh: from_wh + charged - discharged - end,
    }
}
