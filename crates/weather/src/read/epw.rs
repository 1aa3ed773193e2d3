//! EPW: header lines with a keyword first, then 35 columns without names.
//!
//! Source: the EPW data dictionary in the documentation sources of EnergyPlus (read). A value from its code on is missing.
//! A row's hour runs 1 to 24 and names the end of the step; radiation is the sum over it, so that the sun's instant is its
//! middle. Local standard time.

use crate::date::{DAY_MIN, HOUR_MIN};
use crate::read::rows::{Kind, Missing, Problems, Rows, Slot, Stamp};
use crate::read::site::{self, ALTITUDE, LATITUDE, LONGITUDE, ZONE};
use crate::read::table::{self, Layout, NoStamp, STAMP_CELLS};
use crate::text::{self, Lines};
use crate::year::{Format, Note, Problem, Site, Year};

/// Year, month, day, hour, minute.
const STAMP: [usize; STAMP_CELLS] = [0, 1, 2, 3, 4];
/// Columns from 0, in the order of `slots`.
const VALUES: [usize; 8] = [13, 14, 15, 6, 21, 9, 32, 30];
/// Columns of a row; the last that a row must have is wind.
const WIDTH: usize = 35;
const LEAST: usize = 22;
/// Header lines are eight; a file in which the last of them is not among the first so many has lost it.
const MOST_HEADER: usize = 40;
/// Steps that an hour may be cut into.
const RECORDS: [u32; 6] = [1, 2, 3, 4, 6, 12];

fn slots(records: u32) -> Vec<Slot> {
    let slot = |kind, name, scale, code| Slot { kind, name, scale, missing: Missing::From(code) };
    // Wh/m2 in a step of an n-th of an hour is n times the mean in W/m2.
    let n = f64::from(records);
    vec![
        slot(Kind::Ghi, "global horizontal radiation", n, 9999.0),
        slot(Kind::Dni, "direct normal radiation", n, 9999.0),
        slot(Kind::Dhi, "diffuse horizontal radiation", n, 9999.0),
        slot(Kind::Air, "dry bulb temperature", 1.0, 99.9),
        slot(Kind::Wind, "wind speed", 1.0, 999.0),
        slot(Kind::Pressure, "pressure", 1.0, 999_999.0),
        slot(Kind::Albedo, "albedo", 1.0, 999.0),
        slot(Kind::Snow, "snow depth", 1.0, 999.0),
    ]
}

pub(crate) fn read(bytes: &[u8]) -> Result<Year, Vec<Problem>> {
    let mut problems = Problems::default();
    let mut notes = Vec::new();
    let mut lines = Lines::new(bytes);
    let site = lines.next().map(|(number, line)| location(number, line, &mut problems, &mut notes));
    let records = records(&mut lines, &mut problems);
    let (Some(site), Some(records), true) = (site, records, problems.is_empty()) else {
        return Err(problems.into_list());
    };
    let step_min = HOUR_MIN / records;
    let mut rows = Rows::new(slots(records), step_min);
    rows.notes = notes;
    let layout = Layout::new(&STAMP, &VALUES, LEAST, WIDTH);
    table::read(lines, &layout, &mut rows, |cells| stamp(cells, step_min), |_| false);
    let half_step_s = f64::from(step_min * HOUR_MIN) / 2.0;
    rows.finish(Format::Epw, site, half_step_s)
}

/// `LOCATION`, city, state, country, source, station, latitude, longitude, time zone, elevation.
fn location(line: u32, text: &[u8], problems: &mut Problems, notes: &mut Vec<Note>) -> Site {
    let cells = text::cells(text);
    let cell = |at: usize| cells.get(at).copied();
    let name = site::name(cell(1));
    let latitude_deg = site::number(cell(6), line, LATITUDE, problems);
    let longitude_deg = site::number(cell(7), line, LONGITUDE, problems);
    let zone_h = if cell(8).is_some_and(<[u8]>::is_empty) {
        notes.push(Note { text: "the time zone is blank, which the format reads as UTC".into(), line: Some(line) });
        0.0
    } else {
        site::number(cell(8), line, ZONE, problems)
    };
    let altitude_m = site::number(cell(9), line, ALTITUDE, problems);
    Site { name, latitude_deg, longitude_deg, altitude_m, zone_h, local_zone_h: zone_h }
}

/// Goes on to `DATA PERIODS`, number of periods, records per hour, and leaves the lines where the data begin.
fn records(lines: &mut Lines<'_>, problems: &mut Problems) -> Option<u32> {
    let mut last = 1;
    for (number, line) in lines.take(MOST_HEADER) {
        last = number;
        let cells = text::cells(line);
        if !cells.first().is_some_and(|word| word.eq_ignore_ascii_case(b"DATA PERIODS")) {
            continue;
        }
        let count = |at: usize| cells.get(at).and_then(|cell| text::whole(cell));
        let shown = |at: usize| format!("\"{}\"", text::show(cells.get(at).copied().unwrap_or_default()));
        if count(1) != Some(1) {
            problems.push(Problem::of_cell(number, "number of data periods", shown(1), "1: one whole year"));
            return None;
        }
        let records = count(2).filter(|records| RECORDS.contains(records));
        if records.is_none() {
            problems.push(Problem::of_cell(number, "records per hour", shown(2), "1, 2, 3, 4, 6 or 12"));
        }
        return records;
    }
    problems.push(Problem::of_line(last, "no line DATA PERIODS above", "the eight header lines of an EPW file"));
    None
}

fn stamp(cells: &[&[u8]; STAMP_CELLS], step_min: u32) -> Result<Stamp, NoStamp> {
    let [year, month, day, hour, minute] = cells.map(text::whole);
    let year = year.ok_or((0, "year", "a whole number"))?;
    let month = month.ok_or((1, "month", "1 to 12"))?;
    let day = day.ok_or((2, "day", "1 to 31"))?;
    let hour = hour.filter(|hour| (1..=DAY_MIN / HOUR_MIN).contains(hour)).ok_or((3, "hour", "1 to 24"))?;
    let minute = minute.filter(|minute| *minute <= HOUR_MIN).ok_or((4, "minute", "0 to 60"))?;
    // The end of an hour is written as minute 60, or as 0. With one record an hour the minute says nothing more.
    let end = if minute == 0 || step_min == HOUR_MIN { HOUR_MIN } else { minute };
    let minute = ((hour - 1) * HOUR_MIN + end).saturating_sub(step_min);
    Ok(Stamp { year: year as i32, month, day, minute })
}
