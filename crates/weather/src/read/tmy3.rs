//! TMY3 as issued: a line about the station, a line of names, 8760 lines.
//!
//! Source: the files themselves, and Wilcox & Marion, Users manual for TMY3 data sets, NREL/TP-581-43156, 2008 (through a
//! general-purpose reader's documentation, not read). Columns go by their name: editions differ in number. The time names
//! the end of the hour, local standard time, 01:00 to 24:00; the next day's 00:00 for 24:00 is read too. Radiation is that
//! of the hour before, so that the sun's instant is its middle.

use std::cell::Cell;

use crate::date::{self, DAY_MIN, HOUR_MIN};
use crate::read::rows::{Kind, Missing, Problems, Rows, Slot, Stamp};
use crate::read::site::{self, ALTITUDE, LATITUDE, LONGITUDE, ZONE};
use crate::read::table::{self, Layout, NoStamp, STAMP_CELLS};
use crate::text::{self, Lines};
use crate::year::{Format, Problem, Site, Year};

/// How the second line starts.
pub(crate) const SECOND_LINE: &[u8] = b"Date (MM/DD/YYYY)";

const DATE: &str = "Date (MM/DD/YYYY)";
const TIME: &str = "Time (HH:MM)";
/// Pa in a millibar.
const MBAR: f64 = 100.0;
/// Codes for "missing".
const NONE: Missing = Missing::Codes(&[-9900.0, -99.0]);

/// Columns, and whether a file must have them.
fn wanted() -> [(Slot, bool); 7] {
    let slot = |kind, name, scale| Slot { kind, name, scale, missing: NONE };
    [
        (slot(Kind::Ghi, "GHI (W/m^2)", 1.0), true),
        (slot(Kind::Dni, "DNI (W/m^2)", 1.0), true),
        (slot(Kind::Dhi, "DHI (W/m^2)", 1.0), true),
        (slot(Kind::Air, "Dry-bulb (C)", 1.0), true),
        (slot(Kind::Wind, "Wspd (m/s)", 1.0), true),
        (slot(Kind::Pressure, "Pressure (mbar)", MBAR), false),
        (slot(Kind::Albedo, "Alb (unitless)", 1.0), false),
    ]
}

pub(crate) fn read(bytes: &[u8]) -> Result<Year, Vec<Problem>> {
    let mut problems = Problems::default();
    let mut lines = Lines::new(bytes);
    let site = lines.next().map(|(number, line)| station(number, line, &mut problems));
    let (number, names) = table::header(&mut lines).unwrap_or_default();
    let (slots, columns) = table::choose(&names, number, &wanted(), &mut problems);
    let stamp_columns = [table::find(&names, &[DATE]), table::find(&names, &[TIME])];
    for (name, _) in [DATE, TIME].iter().zip(stamp_columns).filter(|(_, column)| column.is_none()) {
        problems.push(Problem::of_line(number, format!("no column \"{name}\""), "the names of columns as issued"));
    }
    let (Some(site), [Some(date), Some(time)], true) = (site, stamp_columns, problems.is_empty()) else {
        return Err(problems.into_list());
    };
    let least = columns.iter().chain([&date, &time]).max().map_or(0, |last| last + 1);
    let layout = Layout::new(&[date, time], &columns, least, names.len());
    let mut rows = Rows::new(slots, HOUR_MIN);
    let leap = Cell::new(false);
    table::read(lines, &layout, &mut rows, |cells| stamp(cells, &leap), |_| false);
    rows.finish(Format::Tmy3, site, f64::from(HOUR_MIN * HOUR_MIN) / 2.0)
}

/// Number, "name", state, time zone, latitude, longitude, elevation.
fn station(line: u32, text: &[u8], problems: &mut Problems) -> Site {
    let cells = text::cells(text);
    let cell = |at: usize| cells.get(at).copied();
    let name = cell(1).map(|cell| String::from_utf8_lossy(cell).into_owned()).unwrap_or_default();
    let zone_h = site::number(cell(3), line, ZONE, problems);
    let latitude_deg = site::number(cell(4), line, LATITUDE, problems);
    let longitude_deg = site::number(cell(5), line, LONGITUDE, problems);
    let altitude_m = site::number(cell(6), line, ALTITUDE, problems);
    Site { name, latitude_deg, longitude_deg, altitude_m, zone_h, local_zone_h: zone_h }
}

/// `leap` remembers whether 29 February was met.
fn stamp(cells: &[&[u8]; STAMP_CELLS], leap: &Cell<bool>) -> Result<Stamp, NoStamp> {
    let [date, time, ..] = cells;
    let mut parts = date.splitn(3, |b| *b == b'/').map(text::whole);
    let mut part = || parts.next().flatten().ok_or((0, DATE, "a date such as 01/31/1988"));
    let (mut month, mut day, year) = (part()?, part()?, part()? as i32);
    let mut parts = time.splitn(2, |b| *b == b':').map(text::whole);
    let mut part = || parts.next().flatten().ok_or((1, TIME, "a time such as 13:00"));
    let (hour, minute) = (part()?, part()?);
    let end = hour * HOUR_MIN + minute;
    if end > DAY_MIN || minute >= HOUR_MIN {
        return Err((1, TIME, "00:00 to 24:00"));
    }
    leap.set(leap.get() || (month == 2 && day == LEAP_FEBRUARY));
    if end == 0 {
        // 00:00 is 24:00 of the day before.
        (month, day) = day_before(month, day, leap.get()).ok_or((0, DATE, "a day of the calendar"))?;
    }
    let minute = if end == 0 { DAY_MIN - HOUR_MIN } else { end.saturating_sub(HOUR_MIN) };
    Ok(Stamp { year, month, day, minute })
}

const LEAP_FEBRUARY: u32 = 29;

fn day_before(month: u32, day: u32, leap: bool) -> Option<(u32, u32)> {
    let at = date::day_of_366(month, day)?;
    let before = at.checked_sub(1).unwrap_or(date::LEAP_DAYS - 1);
    let before = if before == date::LEAP_DAY && !leap { before - 1 } else { before };
    let (month, day) = date::month_day_of_366(before);
    Some((month as u32 + 1, day))
}
