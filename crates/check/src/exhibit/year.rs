//! Pictures of a year: every hour as a map, every month as bars.

use quantity::Num;
use schemars::JsonSchema;
use serde::Serialize;

use super::Span;

/// Hours of a day.
const HOURS: usize = 24;
/// Days of a year, common and leap.
const DAYS: [usize; 2] = [365, 366];
/// A share is kept to this part of one: three digits, finer than any picture or reader.
const FINEST: f64 = 1000.0;

/// A year hour by hour, drawn with its days across and the hours of the day down.
///
/// The numbers are shares from 0 to 1. [`DayHourMap::of_year`] rounds them and takes no other length than a year's.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DayHourMap {
    /// What the numbers are, such as "state of charge".
    pub what: String,
    /// The share in each hour from 1 January 0 h standard time on, 24 a day, 365 or 366 days; null where it is not known.
    pub hours: Vec<Num>,
    /// The share that is not gone below, if there is one.
    pub floor: Option<Num>,
    /// Hours in which something was gone without, in order.
    pub short: Vec<HourRun>,
    /// Months of use, 1 to 12, in order; none told: all of them.
    pub months_of_use: Vec<u8>,
}

/// Hours on end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HourRun {
    /// The first of them; 0 is 1 January, 0 h to 1 h.
    pub from: u16,
    /// How many.
    pub hours: u16,
}

impl DayHourMap {
    /// The map of a year's shares, kept to three digits, without floor and without short hours; none where these are not
    /// the hours of 365 or 366 days. What is no number stays so: it is drawn as not known.
    #[must_use]
    pub fn of_year(what: &str, shares: &[f64]) -> Option<Self> {
        DAYS.iter().any(|days| days * HOURS == shares.len()).then(|| Self {
            what: what.to_owned(),
            hours: shares.iter().map(|share| Num((share * FINEST).round() / FINEST)).collect(),
            floor: None,
            short: Vec::new(),
            months_of_use: Vec::new(),
        })
    }

    /// Days of the year; none where the hours are not those of 365 or 366 days.
    #[must_use]
    pub fn days(&self) -> Option<usize> {
        DAYS.into_iter().find(|days| days * HOURS == self.hours.len())
    }
}

impl HourRun {
    /// The runs of hours that are short, from one word an hour. Hours from 65535 on are left out: a year has 8784.
    #[must_use]
    pub fn of(short: impl IntoIterator<Item = bool>) -> Vec<Self> {
        let mut runs: Vec<Self> = Vec::new();
        for (hour, _) in (0..u16::MAX).zip(short).filter(|(_, short)| *short) {
            match runs.last_mut() {
                Some(run) if run.from + run.hours == hour => run.hours += 1,
                _ => runs.push(Self { from: hour, hours: 1 }),
            }
        }
        runs
    }
}

/// Energy month by month: what the sun gives, what of it is left over, what is used and what is gone without.
///
/// What is used and what is gone without make up what is wanted; what is left over is a part of the sun.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MonthBars {
    /// Whether the numbers are means of a day; sums of the month if not.
    pub a_day: bool,
    /// The months, in order.
    pub months: Vec<MonthEnergy>,
}

/// One month's energy, J.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MonthEnergy {
    /// 1 to 12.
    pub month: u8,
    /// Whether the rig is used in it.
    pub in_use: bool,
    /// What the panels could give, with the range that years and doubt leave, J.
    pub sun: Span,
    /// What was used, J.
    pub used: Num,
    /// Sun that found no room, J.
    pub left_over: Num,
    /// What was wanted and was not there, J.
    pub gone_without: Num,
    /// What is wanted, J.
    pub wanted: Option<Num>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_is_kept_to_three_digits_and_only_as_a_whole() {
        let mut shares = vec![0.873_456; 8760];
        shares[1] = f64::NAN;
        let map = DayHourMap::of_year("state of charge", &shares).unwrap();
        assert_eq!((map.hours[0], map.days()), (Num(0.873), Some(365)));
        assert!(map.hours[1].0.is_nan());
        assert_eq!(DayHourMap::of_year("a", &vec![1.0; 8784]).and_then(|map| map.days()), Some(366));
        assert_eq!(DayHourMap::of_year("a", &vec![1.0; 8759]), None);
        assert_eq!(DayHourMap::of_year("a", &[]), None);
    }

    #[test]
    fn short_hours_on_end_are_one_run() {
        let run = |from, hours| HourRun { from, hours };
        assert_eq!(HourRun::of([true, true, false, true]), [run(0, 2), run(3, 1)]);
        assert_eq!(HourRun::of([false; 3]), []);
        // More than a run can count: the rest is left out and nothing overflows.
        assert_eq!(HourRun::of(vec![true; 70_000]), [run(0, u16::MAX)]);
    }
}
