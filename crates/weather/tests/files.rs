//! Whole weather files against figures worked out elsewhere.
//!
//! The files are large and some are not ours to hand on, so they stay outside. `RIGPROOF_WEATHER_FILES` names the folder
//! that holds them beside `check-figures.json` (computed with pvlib 0.16.1); without it these tests say so and end.
#![allow(clippy::expect_used, clippy::indexing_slicing, clippy::print_stderr, clippy::panic, reason = "a test")]

use std::path::{Path, PathBuf};

use serde_json::Value;
use weather::{Column, Format, Year};

/// Folder of the files, if somebody has them.
fn folder() -> Option<PathBuf> {
    let folder = std::env::var_os("RIGPROOF_WEATHER_FILES").map(PathBuf::from);
    if folder.is_none() {
        eprintln!("SKIPPED: RIGPROOF_WEATHER_FILES names no folder of weather files");
    }
    folder
}

fn figures(folder: &Path) -> Value {
    let text = std::fs::read_to_string(folder.join("check-figures.json")).expect("check-figures.json is there");
    serde_json::from_str(&text).expect("JSON")
}

fn read(folder: &Path, name: &str) -> Year {
    let bytes = std::fs::read(folder.join(name)).expect("the file is there");
    weather::read(&bytes).unwrap_or_else(|problems| panic!("{name}: {problems:#?}"))
}

fn kwh(year: &Year, column: &Column) -> f64 {
    year.sum_h(column, 0..year.rows()) / 1000.0
}

fn number(figure: &Value, key: &str) -> f64 {
    figure[key].as_f64().unwrap_or_else(|| panic!("{key} is a number"))
}

/// Sums within 0.01 %, as the figures' own page asks; temperatures to 0.01.
fn check(name: &str, year: &Year, figure: &Value) {
    let sum = |column, key: &str| {
        let (got, want) = (kwh(year, column), number(figure, key));
        assert!((got - want).abs() <= 1e-4 * want, "{name}, {key}: {got}, want {want}");
    };
    sum(&year.ghi, "ghi_kwh_m2");
    sum(&year.dni, "dni_kwh_m2");
    sum(&year.dhi, "dhi_kwh_m2");
    let air = &year.air_c.values;
    let near = |got: f64, key: &str| assert!((got - number(figure, key)).abs() < 6e-5 + 1e-9, "{name}, {key}: {got}");
    near(air.iter().sum::<f64>() / air.len() as f64, "temp_mean_c");
    near(air.iter().copied().fold(f64::MAX, f64::min), "temp_min_c");
    near(air.iter().copied().fold(f64::MIN, f64::max), "temp_max_c");
    near(year.wind_m_s.values.iter().sum::<f64>() / air.len() as f64, "wind_mean_m_s");
    near(year.site.latitude_deg, "latitude");
    near(year.site.longitude_deg, "longitude");
    near(year.site.altitude_m, "elevation_m");
    assert_eq!(year.rows() as f64, number(figure, "rows"), "{name}");
    assert_eq!(f64::from(year.step_s) / 3600.0, number(figure, "step_h"), "{name}");
    for month in 0..12 {
        let got = year.sum_h(&year.ghi, year.month_rows(month)) / 1000.0;
        let want = figure["monthly_ghi_kwh_m2"][month].as_f64().expect("a number");
        // Printed to 0.001.
        assert!((got - want).abs() <= 1e-4 * want + 5.1e-4, "{name}, month {month}: {got}, want {want}");
        assert_eq!(Some(i64::from(year.source_years[month])), figure["source_years"][month].as_i64(), "{name}, month {month}");
    }
    first_rows(name, year, figure);
}

fn first_rows(name: &str, year: &Year, figure: &Value) {
    for (at, row) in figure["first_rows"].as_array().expect("rows").iter().enumerate() {
        let got = [&year.ghi, &year.dni, &year.dhi, &year.air_c, &year.wind_m_s].map(|column| column.values[at]);
        let want = [1, 2, 3, 4, 5].map(|cell| row[cell].as_f64().expect("a number"));
        let near = got.iter().zip(want).all(|(got, want)| (got - want).abs() < 1e-9);
        assert!(near, "{name}, row {at}: {got:?}, want {want:?}");
    }
}

#[test]
fn every_file_gives_the_sums_worked_out_elsewhere() {
    let Some(folder) = folder() else { return };
    let figures = figures(&folder);
    let files = figures["files"].as_object().expect("files");
    assert!(files.len() >= 13);
    for (name, figure) in files {
        check(name, &read(&folder, name), figure);
    }
}

/// Mean miss over the months, at the rule or at the best shift.
fn closure(year: &Year, miss: impl Fn(&weather::clock::MonthClock) -> f64) -> f64 {
    let months = || year.clock.iter().flatten();
    let rows: usize = months().map(|month| month.rows).sum();
    let sum: f64 = months().map(|month| miss(month) * miss(month) * month.rows as f64).sum();
    (sum / rows as f64).sqrt()
}

/// The figures' sun is another program's long form, and one shift is fitted to the whole year, so the misses agree to half
/// a watt; the shifts, 5 minutes apart, exactly.
#[test]
fn the_sun_is_where_the_figures_have_it() {
    let Some(folder) = folder() else { return };
    let figures = figures(&folder);
    for (name, figure) in figures["files"].as_object().expect("files") {
        let year = read(&folder, name);
        let end_min = if name.ends_with(".epw") || name.contains("tmy3") { 60.0 } else { 0.0 };
        let want = number(figure, "sun_offset_min_from_label") + end_min;
        if name.starts_with("honolulu") {
            continue;
        }
        let by_rule = !name.starts_with("piedmont") || year.format != Format::Epw;
        let got = closure(&year, |month| if by_rule { month.rule_rms } else { month.best_rms });
        assert!((got - number(figure, "closure_rms_w_m2")).abs() < 0.5, "{name}: {got}");
        for offset_s in year.sun_offset_s {
            assert!((offset_s / 60.0 - want).abs() < 1.0, "{name}: {offset_s}");
        }
        assert_eq!(by_rule, !told(&year), "{name}");
    }
}

/// Whether the notes speak of a wrong clock.
fn told(year: &Year) -> bool {
    year.notes.iter().any(|note| note.text.contains("the clock of this file is"))
}

/// The figures' page: an hour late in nine months, right in three, each agreeing to 1 to 8 W/m², rounded.
#[test]
fn nine_months_of_one_file_are_an_hour_out() {
    let Some(folder) = folder() else { return };
    let year = read(&folder, "honolulu-hi_tmy3.epw");
    for (month, offset_s) in year.sun_offset_s.iter().enumerate() {
        let right = [1, 2, 8].contains(&month);
        assert_eq!(offset_s / 60.0, if right { 30.0 } else { 90.0 }, "month {month}");
        let rms = year.clock[month].expect("there is sun").best_rms;
        assert!((0.5..8.5).contains(&rms), "month {month}: {rms}");
    }
    let text = "the clock of this file is 60 min late in Jan, Apr, May, Jun, Jul, Aug, Oct, Nov, Dec: read with the sun's time corrected";
    assert!(year.notes.iter().any(|note| note.text == text), "{:?}", year.notes);
}

/// Hours carry the energy of the rows, whatever their step; the first hour is local midnight.
#[test]
fn hours_carry_the_energy_of_the_rows() {
    let Some(folder) = folder() else { return };
    let figures = figures(&folder);
    for (name, figure) in figures["files"].as_object().expect("files") {
        let year = read(&folder, name);
        let hourly = year.to_hourly().unwrap_or_else(|problems| panic!("{name}: {problems:#?}"));
        assert_eq!(hourly.hours.ghi.len(), 8760, "{name}");
        let sum: f64 = hourly.hours.ghi.iter().sum::<f64>() / 1000.0;
        assert!((sum / number(figure, "ghi_kwh_m2") - 1.0).abs() < 1e-4, "{name}: {sum}");
        eprintln!("{name} {:?} {:?}", year.notes, hourly.notes);
        // Noon is near the middle of the light: within the two hours that zones lie off.
        let by_hour = |hour: usize| hourly.hours.ghi.iter().skip(hour).step_by(24).sum::<f64>();
        let total: f64 = (0..24).map(by_hour).sum();
        let middle: f64 = (0..24).map(|hour| (hour as f64 + 0.5) * by_hour(hour)).sum::<f64>() / total;
        assert!((middle - 12.0).abs() < 1.6, "{name}: {middle}");
    }
}
