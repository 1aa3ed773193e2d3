//! What a weather file says: columns of equal steps over one year, the site, where the sun stands in a row, and notes.

use std::fmt;

use crate::climate::Place;
use crate::clock::MonthClock;
use crate::date;

/// The kinds of weather file that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// EnergyPlus weather file.
    Epw,
    /// Typical meteorological year, third edition, as issued.
    Tmy3,
    /// Typical year of the Photovoltaic Geographical Information System, comma-separated.
    PvgisCsv,
    /// The same as JSON.
    PvgisJson,
    /// National Solar Radiation Database, comma-separated.
    Nsrdb,
}

impl Format {
    /// How reports call it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Epw => "EPW",
            Self::Tmy3 => "TMY3",
            Self::PvgisCsv => "PVGIS CSV",
            Self::PvgisJson => "PVGIS JSON",
            Self::Nsrdb => "NSRDB CSV",
        }
    }
}

/// Where the file says its weather is from.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Name of the place, empty where the file has none.
    pub name: String,
    /// North positive, -90 to 90.
    pub latitude_deg: f64,
    /// East positive, -180 to 180.
    pub longitude_deg: f64,
    /// Above the sea.
    pub altitude_m: f64,
    /// Hours that the clock of the rows is ahead of UTC; no daylight saving.
    pub zone_h: f64,
    /// Hours that the place's own standard time is ahead of UTC: as the file says, or the nearest whole zone by longitude.
    pub local_zone_h: f64,
}

impl Site {
    /// Where on the globe.
    #[must_use]
    pub fn place(&self) -> Place {
        Place { latitude_deg: self.latitude_deg, longitude_deg: self.longitude_deg, altitude_m: self.altitude_m }
    }
}

/// One quantity, a value a row; NaN where the file has none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Column {
    /// In the unit of the column's name.
    pub values: Vec<f64>,
    /// How many are missing.
    pub missing: usize,
}

impl Column {
    /// Whether no row has a value.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.missing == self.values.len()
    }
}

/// Something to know about a file that is no error.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// What, in a sentence.
    pub text: String,
    /// Line of the file, from 1, where it begins; `None` where it is about the whole.
    pub line: Option<u32>,
}

impl Note {
    pub(crate) fn whole(text: String) -> Self {
        Self { text, line: None }
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}: {}", self.text),
            None => f.write_str(&self.text),
        }
    }
}

/// Why a file is no weather year. Quotes a cell at most, never a whole line.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Line of the file, from 1.
    pub line: u32,
    /// Column by the name that the format gives it; `None` where it is about the whole line or file.
    pub column: Option<String>,
    /// What stands there.
    pub found: String,
    /// What should.
    pub expected: String,
}

impl Problem {
    pub(crate) fn of_line(line: u32, found: impl Into<String>, expected: impl Into<String>) -> Self {
        Self { line, column: None, found: found.into(), expected: expected.into() }
    }

    pub(crate) fn of_cell(line: u32, column: &str, found: impl Into<String>, expected: impl Into<String>) -> Self {
        Self { line, column: Some(column.to_owned()), found: found.into(), expected: expected.into() }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}", self.line)?;
        if let Some(column) = &self.column {
            write!(f, ", {column}")?;
        }
        write!(f, ": found {}; expected {}", self.found, self.expected)
    }
}

/// A weather year as its file tells it. Nothing is filled: a missing value stays missing ([`Year::to_hourly`] says what
/// is done about gaps).
///
/// Row `i` is the step that begins `i * step_s` after [`Year::first_unix_s`]. Radiation is the mean over the step, or for
/// satellite data its value at the sun's instant; air and wind are as the format gives them, at most a step away.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// Kind of file.
    pub format: Format,
    /// Where.
    pub site: Site,
    /// Seconds a row stands for: 3600, or a part of it.
    pub step_s: u32,
    /// Days of the year: 365, or 366 with a 29 February.
    pub days: usize,
    /// Year of the calendar that the rows are laid on: their own where all months come from one, else a stand-in for a
    /// typical year.
    pub calendar_year: i32,
    /// Start of the first row on that calendar, s since 1970-01-01 UTC.
    pub first_unix_s: i64,
    /// The year each month was taken from.
    pub source_years: [i32; 12],
    /// From the start of a row to the instant for which the sun's place belongs to it, s, for each month of the rows.
    pub sun_offset_s: [f64; 12],
    /// Global horizontal irradiance, W/m².
    pub ghi: Column,
    /// Direct normal irradiance, W/m².
    pub dni: Column,
    /// Diffuse horizontal irradiance, W/m².
    pub dhi: Column,
    /// Air temperature, °C.
    pub air_c: Column,
    /// Wind speed 10 m above ground, m/s.
    pub wind_m_s: Column,
    /// Air pressure at the site, Pa.
    pub pressure_pa: Option<Column>,
    /// Share of light that the ground throws back.
    pub albedo: Option<Column>,
    /// Snow on the ground, cm.
    pub snow_cm: Option<Column>,
    /// What each month says of its clock; `None` where it has too little sun to tell.
    pub clock: [Option<MonthClock>; 12],
    /// What is worth knowing.
    pub notes: Vec<Note>,
    /// Line of the file of each row.
    pub(crate) lines: Vec<u32>,
}

/// Calendar years that stand in for a typical year, whose months come from different ones: without and with 29 February.
pub(crate) const STAND_IN: (i32, i32) = (2019, 2020);

impl Year {
    /// Rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.lines.len()
    }

    /// Rows of a day.
    #[must_use]
    pub fn rows_of_day(&self) -> usize {
        self.rows() / self.days.max(1)
    }

    /// Line of the file, from 1, that a row stands in.
    #[must_use]
    pub fn line(&self, row: usize) -> Option<u32> {
        self.lines.get(row).copied()
    }

    /// Rows of a month from 0.
    #[must_use]
    pub fn month_rows(&self, month: usize) -> std::ops::Range<usize> {
        let start = |month| date::month_start(month, self.days) * self.rows_of_day();
        start(month)..start(month + 1)
    }

    /// Sum of a column over its rows times their length, in Wh/m² for a column in W/m²; missing rows count nothing.
    #[must_use]
    pub fn sum_h(&self, column: &Column, rows: std::ops::Range<usize>) -> f64 {
        let step_h = f64::from(self.step_s) / date::HOUR_S as f64;
        let values = column.values.get(rows).unwrap_or_default();
        values.iter().filter(|value| !value.is_nan()).sum::<f64>() * step_h
    }

    /// The date and hour of a row, as its file writes them: "5 March 14:30".
    #[must_use]
    pub fn stamp(&self, row: usize) -> String {
        let of_day = self.rows_of_day().max(1);
        let (month, day) = date::month_day(row / of_day, self.days);
        let minute = (row % of_day) as u32 * (self.step_s / date::HOUR_MIN);
        stamp(month, day, minute)
    }
}

/// "5 March 14:30".
pub(crate) fn stamp(month: usize, day: u32, minute: u32) -> String {
    format!("{day} {} {:02}:{:02}", date::name(month), minute / date::HOUR_MIN, minute % date::HOUR_MIN)
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A year of nothing, with so many rows a day.
    pub(crate) fn blank(rows_of_day: usize) -> Year {
        let rows = date::DAYS * rows_of_day;
        let column = || Column { values: vec![0.0; rows], missing: 0 };
        let site =
            Site { name: String::new(), latitude_deg: 0.0, longitude_deg: 0.0, altitude_m: 0.0, zone_h: 0.0, local_zone_h: 0.0 };
        Year {
            format: Format::Epw,
            site,
            step_s: date::DAY_S as u32 / rows_of_day as u32,
            days: date::DAYS,
            calendar_year: STAND_IN.0,
            first_unix_s: 0,
            source_years: [STAND_IN.0; 12],
            sun_offset_s: [0.0; 12],
            ghi: column(),
            dni: column(),
            dhi: column(),
            air_c: column(),
            wind_m_s: column(),
            pressure_pa: None,
            albedo: None,
            snow_cm: None,
            clock: [None; 12],
            notes: Vec::new(),
            lines: (1..=rows as u32).collect(),
        }
    }

    #[test]
    fn rows_know_their_month_and_hour() {
        let year = blank(48);
        assert_eq!(year.month_rows(1), 31 * 48..59 * 48);
        assert_eq!(year.month_rows(11).end, year.rows());
        assert_eq!(year.stamp(59 * 48 + 3), "1 March 01:30");
        assert_eq!(year.stamp(year.rows() - 1), "31 December 23:30");
    }
}
