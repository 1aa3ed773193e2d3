//! NSRDB: names of the site's record, its values, names of the columns, rows.
//!
//! Source: the files themselves (read); what the fields mean is from memory. Names and order of columns are the asker's
//! choice, so all go by name. `Time Zone` is that of the rows, `Local Time Zone` that of the place. Values belong to the
//! stamp: the sun's instant is the stamp.

use crate::date::{DAY_MIN, HOUR_MIN};
use crate::read::rows::{Kind, Missing, Problems, Rows, Slot, Stamp};
use crate::read::site::{self, ALTITUDE, LATITUDE, LONGITUDE, ZONE};
use crate::read::table::{self, Layout, NoStamp, STAMP_CELLS};
use crate::text::{self, Lines};
use crate::year::{Format, Problem, Site, Year};

/// How the first line starts.
pub(crate) const FIRST_LINE: &[u8] = b"Source,Location ID";

const STAMP: [&str; STAMP_CELLS] = ["Year", "Month", "Day", "Hour", "Minute"];
/// Pa in a millibar.
const MBAR: f64 = 100.0;
/// Codes for "missing" that other products of the maker use; from memory.
const NONE: Missing = Missing::Codes(&[-9999.0, -9900.0, -999.0, -99.0]);
/// Steps in minutes.
const STEPS: [u32; 5] = [5, 10, 15, 30, 60];

/// Columns, and whether a file must have them.
fn wanted() -> [(Slot, bool); 7] {
    let slot = |kind, name, scale| Slot { kind, name, scale, missing: NONE };
    [
        (slot(Kind::Ghi, "GHI", 1.0), true),
        (slot(Kind::Dni, "DNI", 1.0), false),
        (slot(Kind::Dhi, "DHI", 1.0), false),
        (slot(Kind::Air, "Temperature", 1.0), true),
        (slot(Kind::Wind, "Wind Speed", 1.0), false),
        (slot(Kind::Pressure, "Pressure", MBAR), false),
        (slot(Kind::Albedo, "Surface Albedo", 1.0), false),
    ]
}

pub(crate) fn read(bytes: &[u8]) -> Result<Year, Vec<Problem>> {
    let mut problems = Problems::default();
    let mut lines = Lines::new(bytes);
    let (_, names) = table::header(&mut lines).unwrap_or_default();
    let (number, values) = table::header(&mut lines).unwrap_or_default();
    let site = record(number.max(1), &names, &values, &mut problems);
    let (number, names) = table::header(&mut lines).unwrap_or_default();
    let number = number.max(1);
    let (slots, columns) = table::choose(&names, number, &wanted(), &mut problems);
    let stamp_columns = STAMP.map(|name| table::find(&names, &[name]));
    for (name, _) in STAMP.iter().zip(stamp_columns).filter(|(_, column)| column.is_none()) {
        problems.push(Problem::of_line(number, format!("no column \"{name}\""), "the names of columns as issued"));
    }
    let stamp_columns: Vec<usize> = stamp_columns.into_iter().flatten().collect();
    if !problems.is_empty() {
        return Err(problems.into_list());
    }
    let Some(step_min) = step(lines.clone(), &stamp_columns) else {
        return Err(vec![Problem::of_line(
            number + 2,
            "no step that can be told from the first two rows",
            "rows 5, 10, 15, 30 or 60 minutes apart",
        )]);
    };
    let least = columns.iter().chain(&stamp_columns).max().map_or(0, |last| last + 1);
    let layout = Layout::new(&stamp_columns, &columns, least, names.len());
    let mut rows = Rows::new(slots, step_min);
    table::read(lines, &layout, &mut rows, stamp, |_| false);
    let sun_offset_s = f64::from(rows.phase_min() * HOUR_MIN);
    rows.finish(Format::Nsrdb, site, sun_offset_s)
}

/// The site's record: names in one line, values in the next.
fn record(line: u32, names: &[&[u8]], values: &[&[u8]], problems: &mut Problems) -> Site {
    let cell = |name: &str| table::find(names, &[name]).and_then(|at| values.get(at).copied());
    let latitude_deg = site::number(cell("Latitude"), line, LATITUDE, problems);
    let longitude_deg = site::number(cell("Longitude"), line, LONGITUDE, problems);
    let zone_h = site::number(cell("Time Zone"), line, ZONE, problems);
    let altitude_m = site::number(cell("Elevation"), line, ALTITUDE, problems);
    let local_zone_h = match cell("Local Time Zone") {
        Some(cell) if !cell.is_empty() => site::number(Some(cell), line, ZONE, problems),
        _ => site::nearest_zone_h(longitude_deg),
    };
    let city = cell("City").filter(|city| *city != b"-").unwrap_or_default();
    let name = String::from_utf8_lossy(city).into_owned();
    Site { name, latitude_deg, longitude_deg, altitude_m, zone_h, local_zone_h }
}

/// Minutes between the first two rows.
fn step(lines: Lines<'_>, stamp_columns: &[usize]) -> Option<u32> {
    let mut minutes = lines.take(2).map(|(_, line)| {
        let all = text::cells(line);
        let mut cells: [&[u8]; STAMP_CELLS] = [&[]; STAMP_CELLS];
        for (cell, column) in cells.iter_mut().zip(stamp_columns) {
            *cell = all.get(*column).copied().unwrap_or_default();
        }
        stamp(&cells).ok().map(|at| at.minute)
    });
    let first = minutes.next()??;
    let second = minutes.next()??;
    second.checked_sub(first).filter(|step| STEPS.contains(step))
}

fn stamp(cells: &[&[u8]; STAMP_CELLS]) -> Result<Stamp, NoStamp> {
    let [year, month, day, hour, minute] = cells.map(text::whole);
    let year = year.ok_or((0, "Year", "a whole number"))?;
    let month = month.ok_or((1, "Month", "1 to 12"))?;
    let day = day.ok_or((2, "Day", "1 to 31"))?;
    let hour = hour.filter(|hour| *hour < DAY_MIN / HOUR_MIN).ok_or((3, "Hour", "0 to 23"))?;
    let minute = minute.filter(|minute| *minute < HOUR_MIN).ok_or((4, "Minute", "0 to 59"))?;
    Ok(Stamp { year: year as i32, month, day, minute: hour * HOUR_MIN + minute })
}
