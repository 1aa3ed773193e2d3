//! Does the clock of a file agree with its sun?
//!
//! Global, direct and diffuse radiation of a row are bound together by where the sun stands: GHI = DHI + DNI cos z. So the
//! rows of a month tell for which instant they hold. Files are met in which nine months of twelve are an hour out, or
//! whose clock follows another rule than the format's; trusting them turns a panel on a wall by 10 %.

use crate::almanac::{self, Track};
use crate::date::{self, HOUR_MIN, MONTHS};
use crate::facts;
use crate::year::{Note, Year};

/// What the rows of one month say of its clock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthClock {
    /// Rows with enough beam to tell.
    pub rows: usize,
    /// Root mean square of GHI - DHI - DNI cos z with the sun where the format's rule has it, W/m².
    pub rule_rms: f64,
    /// From the start of a row to the instant that fits best, s.
    pub best_offset_s: f64,
    /// The root mean square there, W/m².
    pub best_rms: f64,
}

impl MonthClock {
    /// Whether the best instant is to be believed more than the rule.
    fn shift_min(&self, rule_s: f64) -> Option<i32> {
        let facts = facts::reader();
        let shift = (self.best_offset_s - rule_s) / f64::from(HOUR_MIN);
        let better = self.rule_rms > facts.clock_rms_ratio * self.best_rms;
        (better && shift.abs() >= facts.clock_shift_least).then_some(shift.round() as i32)
    }
}

/// Sums over the rows of a month from which the fit at any shift follows, without looking at the rows again: with
/// c and s the cosine and sine of the shift, a row's miss is `y - p c + q s`.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    rows: usize,
    yy: f64,
    yp: f64,
    yq: f64,
    pp: f64,
    pq: f64,
    qq: f64,
}

impl Sums {
    #[inline]
    fn add(&mut self, y: f64, p: f64, q: f64) {
        self.rows += 1;
        self.yy += y * y;
        self.yp += y * p;
        self.yq += y * q;
        self.pp += p * p;
        self.pq += p * q;
        self.qq += q * q;
    }

    fn rms(&self, (c, s): (f64, f64)) -> f64 {
        let sum = self.yy + self.pp * c * c + self.qq * s * s - 2.0 * (self.yp * c - self.yq * s + self.pq * c * s);
        (sum.max(0.0) / self.rows.max(1) as f64).sqrt()
    }
}

/// What each month says of its clock; `None` where it has too little beam.
pub(crate) fn months(year: &Year, track: &Track) -> [Option<MonthClock>; MONTHS] {
    let shifts = shifts(year);
    std::array::from_fn(|month| {
        let sums = sums(year, track, month);
        if sums.rows < facts::reader().clock_rows_least {
            return None;
        }
        let rule_s = year.sun_offset_s.get(month).copied().unwrap_or(0.0);
        let rule_rms = sums.rms(almanac::turned(rule_s));
        let mut best = (rule_s, rule_rms);
        for (offset_s, turned) in &shifts {
            let rms = sums.rms(*turned);
            if rms < best.1 {
                best = (*offset_s, rms);
            }
        }
        Some(MonthClock { rows: sums.rows, rule_rms, best_offset_s: best.0, best_rms: best.1 })
    })
}

/// Offsets from the start of a row that are tried, with the cosine and sine of the sun's turn in that time.
fn shifts(year: &Year) -> Vec<(f64, (f64, f64))> {
    let facts = facts::reader();
    let step_min = facts.clock_step.max(1);
    // Around the middle of the row's hour, on whole steps.
    let rule_s = year.sun_offset_s.first().copied().unwrap_or(0.0);
    let middle = (rule_s / f64::from(step_min * HOUR_MIN as i32)).round() as i32;
    let reach = facts.clock_search / step_min;
    let offsets = (middle - reach..=middle + reach).map(|at| f64::from(at * step_min * HOUR_MIN as i32));
    offsets.map(|offset_s| (offset_s, almanac::turned(offset_s))).collect()
}

fn sums(year: &Year, track: &Track, month: usize) -> Sums {
    let least = facts::reader().clock_dni_least;
    let mut sums = Sums::default();
    let days = date::month_start(month, year.days)..date::month_start(month + 1, year.days);
    let rows = year.month_rows(month);
    let part = |column: &'_ [f64]| -> Vec<f64> { column.get(rows.clone()).unwrap_or_default().to_vec() };
    let (ghi, dni, dhi) = (part(&year.ghi.values), part(&year.dni.values), part(&year.dhi.values));
    for (((place, ghi), dni), dhi) in track.places(days).zip(&ghi).zip(&dni).zip(&dhi) {
        let y = ghi - dhi - dni * place.level;
        // NaN, a missing value, is not above.
        if *dni > least && !y.is_nan() {
            sums.add(y, dni * place.swing * place.cos_hour, dni * place.swing * place.sin_hour);
        }
    }
    sums
}

/// Sets the sun's instants of a year by what its months say, and notes what was done.
pub(crate) fn check(year: &mut Year, track: &Track) {
    year.clock = months(year, track);
    let mut groups: Vec<(i32, Vec<usize>)> = Vec::new();
    let mut open = Vec::new();
    for (month, clock) in year.clock.iter().enumerate() {
        let (Some(clock), Some(offset_s)) = (clock, year.sun_offset_s.get_mut(month)) else { continue };
        match clock.shift_min(*offset_s) {
            Some(shift) => {
                *offset_s = clock.best_offset_s;
                match groups.iter_mut().find(|(known, _)| *known == shift) {
                    Some((_, months)) => months.push(month),
                    None => groups.push((shift, vec![month])),
                }
            }
            None if clock.best_rms > facts::reader().clock_rms_most => open.push(month),
            None => {}
        }
    }
    for (shift, months) in groups {
        year.notes.push(Note::whole(shifted(shift, &months)));
    }
    if year.clock.iter().all(Option::is_none) {
        let text = "the clock of this file could not be held against the sun: too few rows with direct and diffuse radiation";
        year.notes.push(Note::whole(text.into()));
    } else if !open.is_empty() {
        let text = format!(
            "global, direct and diffuse radiation do not agree on where the sun stands in {}: the format's own rule is kept",
            names(&open)
        );
        year.notes.push(Note::whole(text));
    }
}

fn shifted(shift_min: i32, months: &[usize]) -> String {
    let months = if months.len() == MONTHS { "every month".to_owned() } else { names(months) };
    let word = if shift_min > 0 { "late" } else { "early" };
    format!("the clock of this file is {} min {word} in {months}: read with the sun's time corrected", shift_min.abs())
}

/// "Jan, Apr, May".
fn names(months: &[usize]) -> String {
    months.iter().map(|month| date::short(*month)).collect::<Vec<_>>().join(", ")
}
