//! The typical year of PVGIS: CSV (with or without the lines about the site) and JSON.
//!
//! Source: the files themselves (read). Times are UTC. Radiation is what the satellite saw at the stamp plus the
//! "irradiance time offset", not the mean of an hour; so that is the sun's instant. The EPW variant is read as an EPW: its
//! clock does not follow that format's rule, which the clock check finds.

use serde::Deserialize;

use crate::date::{HOUR_MIN, HOUR_S};
use crate::read::rows::{Kind, Missing, Problems, Rows, Slot, Stamp};
use crate::read::site::{self, ALTITUDE, LATITUDE, LONGITUDE, Place};
use crate::read::table::{self, Layout, NoStamp, STAMP_CELLS};
use crate::text::{self, Lines};
use crate::year::{Format, Note, Problem, Site, Year};

/// How the first line starts, with the site and without.
pub(crate) const FIRST_LINE: &[u8] = b"Latitude (decimal degrees)";
pub(crate) const BASIC_FIRST_LINE: &[u8] = b"time(UTC),";

const TIME: &str = "time(UTC)";
/// No code is known; an empty cell is missing.
const NONE: Missing = Missing::Codes(&[]);
/// Hours from the stamp to the satellite's look.
const OFFSET: Place = Place { name: "irradiance time offset", least: -1.0, most: 1.0, expected: "hours, -1 to 1" };
/// Lines about the site and the months before the names of the columns, at most.
const MOST_HEADER: usize = 60;

fn slots() -> Vec<Slot> {
    let slot = |kind, name| Slot { kind, name, scale: 1.0, missing: NONE };
    vec![
        slot(Kind::Ghi, "G(h)"),
        slot(Kind::Dni, "Gb(n)"),
        slot(Kind::Dhi, "Gd(h)"),
        slot(Kind::Air, "T2m"),
        slot(Kind::Wind, "WS10m"),
        slot(Kind::Pressure, "SP"),
    ]
}

/// What stands above the names of the columns.
#[derive(Debug, Default)]
struct Header<'a> {
    latitude: Option<(u32, &'a [u8])>,
    longitude: Option<(u32, &'a [u8])>,
    elevation: Option<(u32, &'a [u8])>,
    offset: Option<(u32, &'a [u8])>,
    names: Option<(u32, Vec<&'a [u8]>)>,
}

pub(crate) fn read_csv(bytes: &[u8]) -> Result<Year, Vec<Problem>> {
    let mut problems = Problems::default();
    let mut lines = Lines::new(bytes);
    let header = header(&mut lines);
    let Some((number, names)) = header.names.clone() else {
        return Err(vec![Problem::of_line(1, format!("no line of names with \"{TIME}\""), "a typical year of PVGIS, hourly")]);
    };
    let wanted: Vec<(Slot, bool)> = slots().into_iter().map(|slot| (slot.clone(), slot.kind != Kind::Pressure)).collect();
    let (slots, columns) = table::choose(&names, number, &wanted, &mut problems);
    let mut place = |found: Option<(u32, &[u8])>, place: Place| {
        site::number(found.map(|(_, cell)| cell), found.map_or(1, |(line, _)| line), place, &mut problems)
    };
    let latitude_deg = place(header.latitude, LATITUDE);
    let longitude_deg = place(header.longitude, LONGITUDE);
    let altitude_m = place(header.elevation, ALTITUDE);
    let offset_h = header.offset.map(|found| place(Some(found), OFFSET));
    let (Some(time), true) = (table::find(&names, &[TIME]), problems.is_empty()) else {
        return Err(problems.into_list());
    };
    let least = columns.iter().chain([&time]).max().map_or(0, |last| last + 1);
    let layout = Layout::new(&[time], &columns, least, names.len());
    let mut rows = Rows::new(slots, HOUR_MIN);
    // A legend follows the rows.
    table::read(lines, &layout, &mut rows, csv_stamp, |line| !line.first().is_some_and(u8::is_ascii_digit));
    finish(rows, Format::PvgisCsv, site(latitude_deg, longitude_deg, altitude_m), offset_h)
}

fn header<'a>(lines: &mut Lines<'a>) -> Header<'a> {
    let mut header = Header::default();
    for (number, line) in lines.take(MOST_HEADER) {
        if table::find(&text::cells(line), &[TIME]).is_some() {
            header.names = Some((number, text::cells(line)));
            break;
        }
        let Some(colon) = line.iter().position(|b| *b == b':') else { continue };
        let (name, value) = line.split_at(colon);
        let value = Some((number, text::trim(value.get(1..).unwrap_or_default())));
        let is = |word: &[u8]| name.get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word));
        if is(b"latitude") {
            header.latitude = value;
        } else if is(b"longitude") {
            header.longitude = value;
        } else if is(b"elevation") {
            header.elevation = value;
        } else if is(b"irradiance time offset") {
            header.offset = value;
        }
    }
    header
}

fn site(latitude_deg: f64, longitude_deg: f64, altitude_m: f64) -> Site {
    let local_zone_h = site::nearest_zone_h(longitude_deg);
    Site { name: String::new(), latitude_deg, longitude_deg, altitude_m, zone_h: 0.0, local_zone_h }
}

fn finish(mut rows: Rows, format: Format, site: Site, offset_h: Option<f64>) -> Result<Year, Vec<Problem>> {
    if offset_h.is_none() {
        rows.notes.push(Note::whole("the file gives no irradiance time offset; the sun is taken at the stamp".into()));
    }
    let phase_s = f64::from(rows.phase_min() * HOUR_MIN);
    let offset_s = offset_h.unwrap_or(0.0) * HOUR_S as f64;
    rows.finish(format, site, phase_s + offset_s)
}

fn csv_stamp(cells: &[&[u8]; STAMP_CELLS]) -> Result<Stamp, NoStamp> {
    let [time, ..] = cells;
    stamp(time).ok_or((0, TIME, "a time such as 20180131:1300"))
}

/// `20180131:1300`.
fn stamp(time: &[u8]) -> Option<Stamp> {
    let part = |range| time.get(range).and_then(text::whole);
    let (year, month, day) = (part(0..4)?, part(4..6)?, part(6..8)?);
    let (hour, minute) = (part(9..11)?, part(11..13)?);
    let right = time.len() == 13 && time.get(8) == Some(&b':') && hour < 24 && minute < HOUR_MIN;
    right.then_some(Stamp { year: year as i32, month, day, minute: hour * HOUR_MIN + minute })
}

/// The parts of the JSON document that are wanted.
#[derive(Debug, Deserialize)]
struct Document<'a> {
    #[serde(borrow)]
    outputs: Option<Outputs<'a>>,
    inputs: Option<Inputs>,
}

#[derive(Debug, Deserialize)]
struct Inputs {
    location: Option<Location>,
}

#[derive(Debug, Deserialize)]
struct Location {
    latitude: Option<f64>,
    longitude: Option<f64>,
    elevation: Option<f64>,
    irradiance_time_offset: Option<f64>,
}

#[derive(Debug, Deserialize)]
struct Outputs<'a> {
    #[serde(borrow)]
    tmy_hourly: Option<Vec<Hour<'a>>>,
}

#[derive(Debug, Deserialize)]
struct Hour<'a> {
    #[serde(rename = "time(UTC)", borrow)]
    time: Option<std::borrow::Cow<'a, str>>,
    #[serde(rename = "G(h)")]
    ghi: Option<f64>,
    #[serde(rename = "Gb(n)")]
    dni: Option<f64>,
    #[serde(rename = "Gd(h)")]
    dhi: Option<f64>,
    #[serde(rename = "T2m")]
    air: Option<f64>,
    #[serde(rename = "WS10m")]
    wind: Option<f64>,
    #[serde(rename = "SP")]
    pressure: Option<f64>,
}

/// The document stands in one line, so problems count the entries of `outputs.tmy_hourly` from 1 in place of lines.
pub(crate) fn read_json(bytes: &[u8]) -> Result<Year, Vec<Problem>> {
    let document: Document<'_> = serde_json::from_slice(bytes).map_err(|why| vec![unreadable(&why)])?;
    let missing = |what: &str| vec![Problem::of_line(1, format!("no {what}"), "a typical year of PVGIS as JSON")];
    let hours = document.outputs.and_then(|outputs| outputs.tmy_hourly).ok_or_else(|| missing("outputs.tmy_hourly"))?;
    let location = document.inputs.and_then(|inputs| inputs.location).ok_or_else(|| missing("inputs.location"))?;
    let mut problems = Problems::default();
    let mut place = |value: Option<f64>, place: Place| match value {
        Some(value) if value >= place.least && value <= place.most => value,
        _ => {
            let found = value.map_or_else(|| "nothing".to_owned(), |value| value.to_string());
            problems.push(Problem::of_cell(1, place.name, found, place.expected));
            0.0
        }
    };
    let latitude_deg = place(location.latitude, LATITUDE);
    let longitude_deg = place(location.longitude, LONGITUDE);
    let altitude_m = place(location.elevation, ALTITUDE);
    let offset_h = location.irradiance_time_offset.map(|value| place(Some(value), OFFSET));
    if !problems.is_empty() {
        return Err(problems.into_list());
    }
    let mut rows = Rows::new(slots(), HOUR_MIN);
    for (entry, hour) in (1..).zip(&hours) {
        let values = [hour.ghi, hour.dni, hour.dhi, hour.air, hour.wind, hour.pressure];
        let time = hour.time.as_deref().unwrap_or_default();
        match stamp(time.as_bytes()) {
            Some(at) => {
                for (slot, value) in values.into_iter().enumerate() {
                    rows.value(slot, entry, value);
                }
                rows.stamp(entry, at);
            }
            None => {
                let found = format!("\"{}\"", text::show(time.as_bytes()));
                rows.lose(Problem::of_cell(entry, TIME, found, "a time such as 20180131:1300"));
            }
        }
    }
    finish(rows, Format::PvgisJson, site(latitude_deg, longitude_deg, altitude_m), offset_h)
}

/// Where the document stops being readable.
fn unreadable(why: &serde_json::Error) -> Problem {
    let line = u32::try_from(why.line()).unwrap_or(u32::MAX).max(1);
    let found = match why.classify() {
        serde_json::error::Category::Eof => "the end of the file inside the document".to_owned(),
        serde_json::error::Category::Data => format!("a value of another kind, ending at column {}", why.column()),
        _ => format!("text that is no JSON at column {}", why.column()),
    };
    Problem::of_line(line, found, "a typical year of PVGIS as JSON")
}
