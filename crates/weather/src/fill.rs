//! From a weather year to the hours of the simulation: what is missing is filled by a rule and told, or it is an error.
//!
//! | what is missing                      | what is done                                                              |
//! |--------------------------------------|---------------------------------------------------------------------------|
//! | radiation at night                    | 0                                                                         |
//! | one of global, direct, diffuse        | worked out from the other two and where the sun stands                     |
//! | direct and diffuse                    | split off the global (Erbs)                                                |
//! | global and one other, by day          | error                                                                     |
//! | air temperature, up to 6 hours        | a straight line; at the ends of the year the nearest value                 |
//! | air temperature, longer               | error                                                                     |
//! | wind, up to 6 hours                   | a straight line                                                           |
//! | wind, longer                          | calm, which makes panels a little hotter                                   |

use physics::sky;
use quantity::real;

use crate::almanac::{self, Track};
use crate::date::{self, DAY_S, HOUR_S};
use crate::facts;
use crate::hourly::{Calendar, Hourly, Hours};
use crate::outside;
use crate::year::{Column, Note, Problem, Year};

impl Year {
    /// Complete hourly columns of one year of the calendar, from local midnight of 1 January.
    ///
    /// Steps shorter than an hour are averaged, with the sun at the mean of their instants. Rows in UTC are turned to the
    /// place's standard time by whole hours; the hours that the turn leaves over at one end of the year go to the other.
    ///
    /// # Errors
    /// What is missing and cannot be filled, with the line where the gap begins. The rules stand in the source of this
    /// module: nights, one of three kinds of radiation, gaps of at most 6 hours in air and wind.
    pub fn to_hourly(&self) -> Result<Hourly, Vec<Problem>> {
        let mut gaps = Gaps { year: self, notes: Vec::new(), problems: Vec::new() };
        let [ghi, dni, dhi] = gaps.radiation();
        let air = gaps.bridge(&self.air_c, "air temperature", false);
        let wind = gaps.bridge(&self.wind_m_s, "wind", true);
        if !gaps.problems.is_empty() {
            return Err(gaps.problems);
        }
        let notes = gaps.notes;
        let turn = (self.site.local_zone_h - self.site.zone_h).round();
        let hourly = |values: Vec<f64>| self.hours_of(values, turn as i64);
        let hours = Hours { ghi: hourly(ghi), dni: hourly(dni), dhi: hourly(dhi), air_c: hourly(air), wind_m_s: hourly(wind) };
        Ok(Hourly { hours, calendar: self.calendar(self.site.zone_h + turn), notes })
    }

    /// Means of whole hours, turned so that the first is local midnight.
    fn hours_of(&self, values: Vec<f64>, turn: i64) -> Vec<f64> {
        let of_hour = (HOUR_S / i64::from(self.step_s).max(1)).max(1) as usize;
        let mut hours = if of_hour == 1 {
            values
        } else {
            values.chunks_exact(of_hour).map(|rows| rows.iter().sum::<f64>() / of_hour as f64).collect()
        };
        let by = turn.rem_euclid((hours.len() as i64).max(1)) as usize;
        if by > 0 && by < hours.len() {
            hours.rotate_right(by);
        }
        hours
    }

    fn calendar(&self, zone_h: f64) -> Calendar {
        let midnight = date::days_from_1970(self.calendar_year, 1, 1) * DAY_S;
        // The rows of an hour follow one another: its sun is that of the middle one.
        let later_s = (HOUR_S as f64 - f64::from(self.step_s)) / 2.0;
        let of_day = |day| {
            let (month, _) = date::month_day(day, self.days);
            self.sun_offset_s.get(month).copied().unwrap_or(0.0) + later_s
        };
        Calendar {
            days: self.days,
            zone_h,
            first_unix_s: midnight - (zone_h * HOUR_S as f64) as i64,
            sun_offset_s: (0..self.days).map(of_day).collect(),
        }
    }
}

struct Gaps<'a> {
    year: &'a Year,
    notes: Vec<Note>,
    problems: Vec<Problem>,
}

/// Rows that were filled in one way: how many, and the first.
#[derive(Clone, Copy, Debug, Default)]
struct Count {
    rows: usize,
    first: usize,
}

impl Count {
    fn add(&mut self, row: usize) {
        if self.rows == 0 {
            self.first = row;
        }
        self.rows += 1;
    }
}

impl Gaps<'_> {
    fn note(&mut self, count: Count, text: impl FnOnce(usize) -> String) {
        if count.rows > 0 {
            self.notes.push(Note { text: text(count.rows), line: self.year.line(count.first) });
        }
    }

    /// Global, direct, diffuse, complete.
    fn radiation(&mut self) -> [Vec<f64>; 3] {
        let year = self.year;
        let mut columns = [&year.ghi, &year.dni, &year.dhi].map(|column| column.values.clone());
        if [&year.ghi, &year.dni, &year.dhi].iter().all(|column| column.missing == 0) {
            return columns;
        }
        let track = Track::of(year);
        let (mut dark, mut closed, mut split) = (Count::default(), Count::default(), Count::default());
        let mut open: Vec<usize> = Vec::new();
        let [ghi, dni, dhi] = &mut columns;
        let mut values = ghi.iter_mut().zip(dni).zip(dhi);
        for (month, offset_s) in year.sun_offset_s.iter().enumerate() {
            let (start, middle, end) =
                (almanac::turned(0.0), almanac::turned(*offset_s), almanac::turned(f64::from(year.step_s)));
            for day in date::month_start(month, year.days)..date::month_start(month + 1, year.days) {
                let above = outside::normal_kw_m2((day + 1) as f64) * KILO;
                for (place, ((ghi, dni), dhi)) in track.places(day..day + 1).zip(&mut values) {
                    if !(ghi.is_nan() || dni.is_nan() || dhi.is_nan()) {
                        continue;
                    }
                    let cosine = place.cos_zenith(middle);
                    let night = [start, middle, end].iter().all(|at| place.cos_zenith(*at) <= 0.0);
                    match mend([ghi, dni, dhi], cosine, if night { None } else { Some(above) }) {
                        Mended::Night => dark.add(place.row),
                        Mended::Closed => closed.add(place.row),
                        Mended::Split => split.add(place.row),
                        Mended::Not => open.push(place.row),
                    }
                }
            }
        }
        self.note(dark, |rows| format!("radiation missing at night in {rows} rows: taken as 0"));
        self.note(closed, |rows| {
            format!("one of global, direct and diffuse radiation missing in {rows} rows: worked out from the other two")
        });
        self.note(split, |rows| {
            format!("direct and diffuse radiation missing in {rows} rows: split off the global by its clearness")
        });
        if let Some(first) = open.first() {
            let found = format!("no value in {} rows by day, the first at {}", open.len(), year.stamp(*first));
            let expected = "global radiation, or direct and diffuse, in every row by day";
            let line = year.line(*first).unwrap_or(1);
            self.problems.push(Problem::of_cell(line, "radiation", found, expected));
        }
        columns
    }

    /// A column with its short gaps bridged by straight lines; longer ones are calm or an error.
    fn bridge(&mut self, column: &Column, name: &'static str, calm: bool) -> Vec<f64> {
        let mut values = column.values.clone();
        if column.missing == 0 {
            return values;
        }
        let year = self.year;
        let most = (facts::reader().gap_hours * HOUR_S as f64 / f64::from(year.step_s)) as usize;
        let (mut bridged, mut still) = (Count::default(), Count::default());
        let mut row = 0;
        while let Some(start) = values.iter().skip(row).position(|value| value.is_nan()).map(|at| at + row) {
            let end = values.iter().skip(start).position(|value| !value.is_nan()).map_or(values.len(), |at| at + start);
            row = end;
            let before = start.checked_sub(1).and_then(|at| values.get(at)).copied();
            let after = values.get(end).copied();
            let ends = before.or(after).zip(after.or(before)).filter(|_| end - start <= most);
            let Some(gap) = values.get_mut(start..end) else { break };
            let steps = (gap.len() + 1) as f64;
            match ends {
                Some((from, to)) => {
                    for (at, value) in gap.iter_mut().enumerate() {
                        *value = from + (to - from) * (at + 1) as f64 / steps;
                    }
                    (start..end).for_each(|row| bridged.add(row));
                }
                None if calm => {
                    gap.fill(0.0);
                    (start..end).for_each(|row| still.add(row));
                }
                None => self.problems.push(Problem::of_cell(
                    year.line(start).unwrap_or(1),
                    name,
                    format!("no value from {} to {}", year.stamp(start), year.stamp(end - 1)),
                    format!("gaps of at most {} hours", facts::reader().gap_hours),
                )),
            }
        }
        self.note(bridged, |rows| format!("{name} missing in {rows} rows: bridged by straight lines"));
        self.note(still, |rows| format!("{name} missing in {rows} rows: taken as calm, 0 m/s"));
        values
    }
}

const KILO: f64 = 1000.0;

/// How a row without all three kinds of radiation came to have them.
enum Mended {
    Night,
    Closed,
    Split,
    Not,
}

/// Fills what is missing of global, direct and diffuse, if it can; `above` is the sun outside the air, `None` at night.
fn mend([ghi, dni, dhi]: [&mut f64; 3], cosine: f64, above: Option<f64>) -> Mended {
    let Some(above) = above else {
        for value in [ghi, dni, dhi] {
            *value = if value.is_nan() { 0.0 } else { *value };
        }
        return Mended::Night;
    };
    if close(ghi, dni, dhi, cosine) {
        return Mended::Closed;
    }
    if ghi.is_nan() {
        return Mended::Not;
    }
    let (light, _) = sky::erbs(*ghi, real::acos(cosine.clamp(-1.0, 1.0)), above);
    (*dni, *dhi) = (light.beam, light.diffuse);
    Mended::Split
}

/// Works out the missing one of three, if it is one; near the horizon beam is taken as none.
fn close(ghi: &mut f64, dni: &mut f64, dhi: &mut f64, cosine: f64) -> bool {
    let level = cosine.max(0.0);
    match (ghi.is_nan(), dni.is_nan(), dhi.is_nan()) {
        (true, false, false) => *ghi = *dhi + *dni * level,
        (false, true, false) => {
            let beam = (*ghi - *dhi).max(0.0);
            *dni = if level > facts::reader().split_cosine { beam / level } else { 0.0 };
        }
        (false, false, true) => *dhi = (*ghi - *dni * level).max(0.0),
        _ => return false,
    }
    true
}
