//! A whole year for tests that need no file from elsewhere: `data/greensboro.txt` unfolded into the form it was issued in,
//! and into the other forms that are read.
#![allow(dead_code, clippy::expect_used, clippy::indexing_slicing, reason = "tests share it, each uses a part")]

use std::fmt::Write as _;

const PACKED: &str = include_str!("../data/greensboro.txt");

/// One hour of the year; the label is the end of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hour {
    pub(crate) year: u32,
    pub(crate) month: u32,
    pub(crate) day: u32,
    /// 1 to 24.
    pub(crate) hour: u32,
    pub(crate) ghi: u32,
    pub(crate) dni: u32,
    pub(crate) dhi: u32,
    /// Tenths of a degree.
    pub(crate) air: i32,
    /// Tenths of m/s.
    pub(crate) wind: u32,
}

pub(crate) fn hours() -> Vec<Hour> {
    let mut hours = Vec::with_capacity(8760);
    for line in PACKED.lines().skip(1) {
        let fields: Vec<&str> = line.split(';').collect();
        let date: Vec<u32> = fields[0].split('/').map(|part| part.parse().expect("a number")).collect();
        let first: usize = fields[1].parse().expect("an hour");
        let list = |at: usize| -> Vec<i32> { fields[at].split(' ').map(|cell| cell.parse().expect("a number")).collect() };
        let (ghi, dni, dhi, air, wind) = (list(2), list(3), list(4), list(5), list(6));
        let lit = |list: &[i32], hour: usize| hour.checked_sub(first).and_then(|at| list.get(at)).map_or(0, |w| *w as u32);
        for hour in 0..24 {
            hours.push(Hour {
                year: date[2],
                month: date[0],
                day: date[1],
                hour: hour as u32 + 1,
                ghi: lit(&ghi, hour),
                dni: lit(&dni, hour),
                dhi: lit(&dhi, hour),
                air: air[hour],
                wind: wind[hour] as u32,
            });
        }
    }
    hours
}

/// Tenths as a decimal number.
fn tenths(value: i32) -> String {
    format!("{}{}.{}", if value < 0 { "-" } else { "" }, value.abs() / 10, value.abs() % 10)
}

/// As issued, with the columns that are kept.
pub(crate) fn tmy3() -> String {
    let mut text = PACKED.lines().next().expect("a first line").to_owned();
    text.push_str("\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),Dry-bulb (C),Wspd (m/s)\n");
    for h in hours() {
        let (air, wind) = (tenths(h.air), tenths(h.wind as i32));
        writeln!(text, "{:02}/{:02}/{},{:02}:00,{},{},{},{air},{wind}", h.month, h.day, h.year, h.hour, h.ghi, h.dni, h.dhi)
            .expect("text");
    }
    text
}

/// The same as EPW; what is not known is missing by its code.
pub(crate) fn epw() -> String {
    let mut text = String::from(
        "LOCATION,Greensboro,NC,USA,TMY3,723170,36.100,-79.950,-5.0,273\n\
         DESIGN CONDITIONS,0\n\
         TYPICAL/EXTREME PERIODS,0\n\
         GROUND TEMPERATURES,0\n\
         HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\n\
         COMMENTS 1,\"made for a test, from TMY3\"\n\
         COMMENTS 2,\n\
         DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n",
    );
    for h in hours() {
        let (air, wind) = (tenths(h.air), tenths(h.wind as i32));
        writeln!(
            text,
            "{},{},{},{},0,?9?9,{air},99.9,999,999999,9999,9999,9999,{},{},{},999999,999999,999999,9999,999,{wind},99,99,9999,\
             99999,9,999999999,999,.999,999,99,999,999,99",
            h.year, h.month, h.day, h.hour, h.ghi, h.dni, h.dhi
        )
        .expect("text");
    }
    text
}

/// The same as NSRDB, hourly, stamped in the middle of the hour.
pub(crate) fn nsrdb() -> String {
    let mut text = String::from(
        "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time Zone\n\
         NSRDB,1,-,-,-,36.100,-79.950,-5,273,-5\n\
         Year,Month,Day,Hour,Minute,GHI,DNI,DHI,Temperature,Wind Speed,,\n",
    );
    for h in hours() {
        let (air, wind) = (tenths(h.air), tenths(h.wind as i32));
        writeln!(text, "{},{},{},{},30,{},{},{},{air},{wind},,", h.year, h.month, h.day, h.hour - 1, h.ghi, h.dni, h.dhi)
            .expect("text");
    }
    text
}

/// The same as PVGIS CSV: rows of the same clock called UTC, the sun half an hour after the stamp. Its place is shifted
/// by the five hours that its clock is not.
pub(crate) fn pvgis_csv() -> String {
    let mut text = String::from(
        "Latitude (decimal degrees): 36.100\nLongitude (decimal degrees): -4.950\nElevation (m): 273.0\n\
         Irradiance Time Offset (h): 0.5\nmonth,year\n1,1988\n\ntime(UTC),T2m,G(h),Gb(n),Gd(h),WS10m\n",
    );
    for h in hours() {
        let (air, wind) = (tenths(h.air), tenths(h.wind as i32));
        let (year, month, day, hour) = (h.year, h.month, h.day, h.hour - 1);
        writeln!(text, "{year}{month:02}{day:02}:{hour:02}00,{air},{},{},{},{wind}", h.ghi, h.dni, h.dhi).expect("text");
    }
    text.push_str("\nT2m: 2-m air temperature (degree Celsius)\n\nmade for a test\n");
    text
}

/// The same as PVGIS JSON.
pub(crate) fn pvgis_json() -> String {
    let rows: Vec<String> = hours()
        .iter()
        .map(|h| {
            let (air, wind) = (tenths(h.air), tenths(h.wind as i32));
            format!(
                "{{\"time(UTC)\": \"{}{:02}{:02}:{:02}00\", \"T2m\": {air}, \"RH\": 50, \"G(h)\": {}, \"Gb(n)\": {}, \"Gd(h)\": {}, \"WS10m\": {wind}}}",
                h.year, h.month, h.day, h.hour - 1, h.ghi, h.dni, h.dhi
            )
        })
        .collect();
    format!(
        "{{\"inputs\": {{\"location\": {{\"latitude\": 36.1, \"longitude\": -4.95, \"elevation\": 273.0, \"irradiance_time_offset\": 0.5}}}}, \
         \"outputs\": {{\"tmy_hourly\": [{}]}}}}",
        rows.join(", ")
    )
}
