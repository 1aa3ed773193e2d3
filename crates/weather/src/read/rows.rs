//! Rows of a weather file into columns: one row a step, in order, nothing left out.

use crate::date::{self, DAY_MIN, DAYS, HOURS, LEAP_DAY, LEAP_DAYS, MONTHS};
use crate::facts::{self, Bounds};
use crate::text;
use crate::year::{Column, Format, Note, Problem, STAND_IN, Site, Year, stamp};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Ghi,
    Dni,
    Dhi,
    Air,
    Wind,
    Pressure,
    Albedo,
    Snow,
}

/// How a format says that a value is missing; an empty cell always does.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Missing {
    /// From this value on.
    From(f64),
    /// One of these.
    Codes(&'static [f64]),
}

/// One column of values: which, by what name, its unit, and what "missing" looks like.
#[derive(Clone, Debug)]
pub(crate) struct Slot {
    pub(crate) kind: Kind,
    /// As the format calls it, for problems.
    pub(crate) name: &'static str,
    /// From the file's unit to ours.
    pub(crate) scale: f64,
    pub(crate) missing: Missing,
}

/// A slot with what was read.
#[derive(Debug)]
struct Filled {
    slot: Slot,
    bounds: Bounds,
    column: Column,
    /// Rows below 0 that were taken as 0: how many, the lowest, the first line.
    negative: Option<(usize, f64, u32)>,
}

/// When a row begins, as its stamp says.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stamp {
    pub(crate) year: i32,
    /// From 1.
    pub(crate) month: u32,
    /// From 1.
    pub(crate) day: u32,
    /// Of the day, at the start of the row.
    pub(crate) minute: u32,
}

/// Problems of a file, of which the first are kept.
#[derive(Debug, Default)]
pub(crate) struct Problems {
    kept: Vec<Problem>,
    more: usize,
}

/// So many problems tell what is the matter; a wrong file has thousands.
const MOST_PROBLEMS: usize = 20;

impl Problems {
    pub(crate) fn push(&mut self, problem: Problem) {
        if self.kept.len() < MOST_PROBLEMS {
            self.kept.push(problem);
        } else {
            self.more += 1;
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    pub(crate) fn into_list(mut self) -> Vec<Problem> {
        if let (true, Some(last)) = (self.more > 0, self.kept.last()) {
            let found = format!("{} more problems after this one", self.more);
            self.kept.push(Problem::of_line(last.line, found, "a file as it was issued"));
        }
        self.kept
    }
}

/// The rows read so far.
#[derive(Debug)]
pub(crate) struct Rows {
    step_min: u32,
    filled: Vec<Filled>,
    lines: Vec<u32>,
    /// Line of each step of a year of 366 days; 0 where none was met.
    seen: Vec<u32>,
    /// The step that should come next.
    next: usize,
    /// Rows since the last good one whose place could not be told: what they leave out is no second problem.
    lost: usize,
    /// Minutes after the step's start that stamps show: some files stamp the middle.
    phase_min: Option<u32>,
    leap: bool,
    years: [i32; MONTHS],
    pub(crate) problems: Problems,
    pub(crate) notes: Vec<Note>,
}

impl Rows {
    /// For steps of so many minutes: 60 or a part of it.
    pub(crate) fn new(slots: Vec<Slot>, step_min: u32) -> Self {
        let steps = LEAP_DAYS * (DAY_MIN / step_min) as usize;
        let filled = slots.into_iter().map(|slot| Filled::new(slot, steps)).collect();
        Self {
            step_min,
            filled,
            lines: Vec::with_capacity(steps),
            seen: vec![0; steps],
            next: 0,
            lost: 0,
            phase_min: None,
            leap: false,
            years: [0; MONTHS],
            problems: Problems::default(),
            notes: Vec::new(),
        }
    }

    /// One value of the row at hand, as text.
    #[inline]
    pub(crate) fn cell(&mut self, slot: usize, line: u32, cell: &[u8]) {
        let Some(filled) = self.filled.get_mut(slot) else { return };
        let cell = text::trim(cell);
        let value = if cell.is_empty() { None } else { text::number(cell) };
        match value {
            Some(value) => filled.value(value, line, &mut self.problems),
            None if cell.is_empty() => filled.none(),
            None => {
                filled.none();
                let name = filled.slot.name;
                self.problems.push(Problem::of_cell(line, name, format!("\"{}\"", text::show(cell)), "a number"));
            }
        }
    }

    /// One value of the row at hand; `None` where it is missing.
    pub(crate) fn value(&mut self, slot: usize, line: u32, value: Option<f64>) {
        let Some(filled) = self.filled.get_mut(slot) else { return };
        match value {
            Some(value) => filled.value(value, line, &mut self.problems),
            None => filled.none(),
        }
    }

    /// A row that cannot be placed.
    #[cold]
    pub(crate) fn lose(&mut self, problem: Problem) {
        self.lost += 1;
        self.problems.push(problem);
    }

    /// The stamp of the row at hand; after it the row is complete.
    #[inline]
    pub(crate) fn stamp(&mut self, line: u32, at: Stamp) {
        self.lines.push(line);
        let Some(day) = date::day_of_366(at.month, at.day) else {
            let found = format!("day {} of month {}", at.day, at.month);
            return self.lose(Problem::of_cell(line, "date", found, "a day of the calendar"));
        };
        let phase = *self.phase_min.get_or_insert(at.minute % self.step_min);
        if at.minute % self.step_min != phase || at.minute >= DAY_MIN {
            let found = stamp(at.month as usize - 1, at.day, at.minute);
            let expected = format!("rows {} minutes apart", self.step_min);
            return self.lose(Problem::of_cell(line, "time", found, expected));
        }
        let of_day = (DAY_MIN / self.step_min) as usize;
        let step = day * of_day + (at.minute / self.step_min) as usize;
        let after_leap_day = (LEAP_DAY + 1) * of_day;
        let left_out = step == after_leap_day && self.next == LEAP_DAY * of_day;
        if step != self.next && !left_out && !(self.lost > 0 && step == self.next + self.lost) {
            self.out_of_order(line, step);
        }
        self.lost = 0;
        self.leap |= day == LEAP_DAY;
        if let Some(seen) = self.seen.get_mut(step).filter(|seen| **seen == 0) {
            *seen = line;
        }
        self.next = step + 1;
        // The middle of a month: typical years blend its first and last hours into those of another year.
        if at.day == MID_MONTH
            && let Some(year) = self.years.get_mut(at.month as usize - 1)
        {
            *year = at.year;
        }
    }

    /// The date and hour of a step.
    fn when(&self, step: usize) -> String {
        let of_day = (DAY_MIN / self.step_min) as usize;
        let (month, day) = date::month_day_of_366(step / of_day);
        stamp(month, day, (step % of_day) as u32 * self.step_min)
    }

    /// Says what is wrong with a row that is not the next step.
    #[cold]
    fn out_of_order(&mut self, line: u32, step: usize) {
        let when = self.when(step);
        let before = self.seen.get(self.next.wrapping_sub(1)).copied().unwrap_or(0);
        let twice = self.seen.get(step).copied().filter(|line| *line > 0);
        let problem = match (twice, before) {
            (Some(first), _) => {
                Problem::of_line(line, format!("{when}, which line {first} has already"), "each step of the year once")
            }
            (None, 0) => Problem::of_line(line, format!("{when} as the first row"), "a year that starts on 1 January 00:00"),
            (None, before) => {
                let found = format!("{when} after {} in line {before}", self.when(self.next.wrapping_sub(1)));
                let expected = if step > self.next {
                    format!("{} next: every step of the year, in order", self.when(self.next))
                } else {
                    "rows in the order of time".to_owned()
                };
                Problem::of_line(line, found, expected)
            }
        };
        self.problems.push(problem);
    }

    /// Minutes after the step's start that the stamps show.
    pub(crate) fn phase_min(&self) -> u32 {
        self.phase_min.unwrap_or(0)
    }

    /// The year, if nothing is wrong with the rows. `sun_offset_s` is the rule of the format, from the start of a row.
    pub(crate) fn finish(mut self, format: Format, site: Site, sun_offset_s: f64) -> Result<Year, Vec<Problem>> {
        self.whole_year();
        if !self.problems.is_empty() {
            return Err(self.problems.into_list());
        }
        let days = if self.leap { LEAP_DAYS } else { DAYS };
        let years = self.years;
        let one = years.first().copied().filter(|first| years.iter().all(|year| year == first));
        let stand_in = if self.leap { STAND_IN.1 } else { STAND_IN.0 };
        let calendar_year = one.filter(|year| date::is_leap(*year) == self.leap).unwrap_or(stand_in);
        let midnight = date::days_from_1970(calendar_year, 1, 1) * date::DAY_S;
        let first_unix_s = midnight - (site.zone_h * date::HOUR_S as f64) as i64;
        let mut notes = self.notes;
        notes.extend(self.filled.iter().filter_map(Filled::note));
        let mut year = Year {
            format,
            site,
            step_s: self.step_min * date::HOUR_MIN,
            days,
            calendar_year,
            first_unix_s,
            source_years: years,
            sun_offset_s: [sun_offset_s; MONTHS],
            ghi: Column::default(),
            dni: Column::default(),
            dhi: Column::default(),
            air_c: Column::default(),
            wind_m_s: Column::default(),
            pressure_pa: None,
            albedo: None,
            snow_cm: None,
            clock: [None; MONTHS],
            notes,
            lines: self.lines,
        };
        hand_over(self.filled, &mut year);
        Ok(year)
    }

    /// Whether the last row is the last step of the year.
    fn whole_year(&mut self) {
        let of_day = (DAY_MIN / self.step_min) as usize;
        let Some(last) = self.lines.last().copied() else {
            return self.problems.push(Problem::of_line(1, "no rows of data", "a row for every step of a year"));
        };
        if self.problems.is_empty() && self.next != LEAP_DAYS * of_day {
            let found = format!(
                "the end of the data after {} rows, {} being the last",
                self.lines.len(),
                self.when(self.next.saturating_sub(1))
            );
            let hours = (DAYS * HOURS, LEAP_DAYS * HOURS);
            let expected = format!("a whole year, to the end of 31 December: {} hours, {} with 29 February", hours.0, hours.1);
            self.problems.push(Problem::of_line(last, found, expected));
        }
    }
}

/// Puts the columns that were read into their places of the year.
fn hand_over(filled: Vec<Filled>, year: &mut Year) {
    let rows = year.rows();
    for column in [&mut year.ghi, &mut year.dni, &mut year.dhi, &mut year.air_c, &mut year.wind_m_s] {
        // A column that the file does not have is missing in every row.
        column.missing = rows;
    }
    for filled in filled {
        let column = filled.column;
        match filled.slot.kind {
            Kind::Ghi => year.ghi = column,
            Kind::Dni => year.dni = column,
            Kind::Dhi => year.dhi = column,
            Kind::Air => year.air_c = column,
            Kind::Wind => year.wind_m_s = column,
            Kind::Pressure => year.pressure_pa = Some(column).filter(|column| !column.is_empty()),
            Kind::Albedo => year.albedo = Some(column).filter(|column| !column.is_empty()),
            Kind::Snow => year.snow_cm = Some(column).filter(|column| !column.is_empty()),
        }
    }
    for column in [&mut year.ghi, &mut year.dni, &mut year.dhi, &mut year.air_c, &mut year.wind_m_s] {
        column.values.resize(rows, f64::NAN);
    }
}

/// Day of a month that names the year it was taken from.
const MID_MONTH: u32 = 15;

/// Numbers from this on are shown with an exponent.
const MOST_PLAIN: f64 = 1e9;

impl Filled {
    fn new(slot: Slot, rows: usize) -> Self {
        let facts = facts::reader();
        let bounds = match slot.kind {
            Kind::Ghi | Kind::Dni | Kind::Dhi => facts.radiation,
            Kind::Air => facts.air,
            Kind::Wind => facts.wind,
            Kind::Pressure => facts.pressure,
            Kind::Albedo => Bounds { least: f64::MIN, most: f64::MAX },
            Kind::Snow => facts.snow,
        };
        Self { slot, bounds, column: Column { values: Vec::with_capacity(rows), missing: 0 }, negative: None }
    }

    #[inline]
    fn none(&mut self) {
        self.column.values.push(f64::NAN);
        self.column.missing += 1;
    }

    #[inline]
    fn value(&mut self, written: f64, line: u32, problems: &mut Problems) {
        let missing = match self.slot.missing {
            Missing::From(code) => written >= code,
            Missing::Codes(codes) => codes.contains(&written),
        };
        // Albedo: 0 and more than 1 are ways to say that nobody knows.
        if missing || (self.slot.kind == Kind::Albedo && !(written > 0.0 && written <= 1.0)) {
            return self.none();
        }
        let value = written * self.slot.scale;
        if value < self.bounds.least || value > self.bounds.most {
            let expected = format!(
                "{} to {}, or the code for a missing value",
                self.bounds.least / self.slot.scale,
                self.bounds.most / self.slot.scale
            );
            // A huge number would fill the screen with zeros.
            let found = if written.abs() < MOST_PLAIN { format!("{written}") } else { format!("{written:e}") };
            problems.push(Problem::of_cell(line, self.slot.name, found, expected));
        }
        let radiation = matches!(self.slot.kind, Kind::Ghi | Kind::Dni | Kind::Dhi);
        if radiation && value < 0.0 {
            let (count, lowest, first) = self.negative.unwrap_or((0, 0.0, line));
            self.negative = Some((count + 1, value.min(lowest), first));
            return self.column.values.push(0.0);
        }
        // -0.0, which some files write, becomes 0.
        self.column.values.push(value + 0.0);
    }

    fn note(&self) -> Option<Note> {
        let (count, lowest, line) = self.negative?;
        let text = format!("{}: below 0 in {count} rows, {lowest} W/m2 the lowest; taken as 0", self.slot.name);
        Some(Note { text, line: Some(line) })
    }
}
