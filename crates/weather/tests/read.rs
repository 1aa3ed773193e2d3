//! One whole year in all the forms that are read, and what of it is found again.
#![allow(clippy::expect_used, clippy::indexing_slicing, clippy::panic, reason = "a test")]

mod common;

use weather::{Format, Year, read};

fn good(text: &str) -> Year {
    read(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// Computed elsewhere (pvlib 0.16.1, from the file as issued): kWh/m² and °C; tolerance 0.01 %, as printed.
#[test]
fn the_sums_of_a_typical_year() {
    let year = good(&common::tmy3());
    let kwh = |column| year.sum_h(column, 0..8760) / 1000.0;
    for (got, want) in [(kwh(&year.ghi), 1566.2), (kwh(&year.dni), 1476.5), (kwh(&year.dhi), 682.2)] {
        assert!((got - want).abs() < 0.051, "{got}, want {want}");
    }
    let months = [74.8, 85.8, 131.8, 162.3, 174.7, 187.5, 188.6, 174.1, 132.8, 111.3, 73.0, 69.5];
    for (month, want) in months.iter().enumerate() {
        let got = year.sum_h(&year.ghi, year.month_rows(month)) / 1000.0;
        assert!((got - want).abs() < 0.051, "month {month}: {got}, want {want}");
    }
    let air = &year.air_c.values;
    assert!((air.iter().sum::<f64>() / 8760.0 - 14.42).abs() < 0.0051);
    assert_eq!(air.iter().copied().fold(f64::MAX, f64::min), -16.7);
    assert_eq!(air.iter().copied().fold(f64::MIN, f64::max), 35.6);
    assert!((year.wind_m_s.values.iter().sum::<f64>() / 8760.0 - 3.05).abs() < 0.0051);
    // 21 June 1989, 13:00 as labelled, a noon row.
    let noon = (151 + 20) * 24 + 12;
    let row = [&year.ghi, &year.dni, &year.dhi, &year.air_c, &year.wind_m_s].map(|column| column.values[noon]);
    assert_eq!(row, [745.0, 380.0, 374.0, 27.2, 2.6]);
    assert_eq!((year.stamp(noon), year.line(noon)), ("21 June 12:00".to_owned(), Some(noon as u32 + 3)));
    assert_eq!(year.site.name, "GREENSBORO PIEDMONT TRIAD INT");
    assert_eq!((year.site.latitude_deg, year.site.longitude_deg, year.site.altitude_m), (36.1, -79.95, 273.0));
    assert_eq!((year.days, year.step_s, year.site.zone_h, year.calendar_year), (365, 3600, -5.0, 2019));
    // Computed elsewhere: the sun is half an hour before the label, 1.9 W/m² root mean square.
    assert_eq!(year.sun_offset_s, [1800.0; 12]);
    let months = || year.clock.iter().flatten();
    let rows: usize = months().map(|month| month.rows).sum();
    let sum: f64 = months().map(|month| month.rule_rms * month.rule_rms * month.rows as f64).sum();
    assert!(((sum / rows as f64).sqrt() - 1.9).abs() < 0.1);
    assert_eq!(year.notes, []);
    // 2019-01-01 05:00 UTC.
    assert_eq!(year.first_unix_s, 1_546_318_800);
}

#[test]
fn all_forms_give_the_same_year() {
    let tmy3 = good(&common::tmy3());
    let forms = [
        (common::epw(), Format::Epw),
        (common::nsrdb(), Format::Nsrdb),
        (common::pvgis_csv(), Format::PvgisCsv),
        (common::pvgis_json(), Format::PvgisJson),
    ];
    for (text, format) in forms {
        let year = good(&text);
        assert_eq!(year.format, format);
        for (got, want) in [&year.ghi, &year.dni, &year.dhi, &year.air_c, &year.wind_m_s].into_iter().zip([
            &tmy3.ghi,
            &tmy3.dni,
            &tmy3.dhi,
            &tmy3.air_c,
            &tmy3.wind_m_s,
        ]) {
            assert_eq!(got, want, "{format:?}");
        }
        assert_eq!(year.source_years, tmy3.source_years, "{format:?}");
        // However the format counts, the sun is where it is.
        assert_eq!(year.sun_offset_s, [1800.0; 12], "{format:?}");
        assert_eq!(year.notes, [], "{format:?}");
    }
}

#[test]
fn line_ends_marks_and_trailing_commas_do_not_matter() {
    let plain = good(&common::epw());
    let windows = common::epw().replace('\n', "\r\n");
    assert_eq!(good(&windows), plain);
    assert_eq!(good(&format!("\u{feff}{}", common::epw())), plain);
    let spreadsheet: String = common::epw().lines().map(|line| format!("{line},,,\n")).collect();
    assert_eq!(good(&format!("{spreadsheet},,,,\n\n")), plain);
    // A Latin-1 letter in the name of the place.
    let mut latin = common::epw().into_bytes();
    latin[9] = 0xfc;
    let year = read(&latin).expect("it reads");
    assert_eq!(year.site.name, "\u{fffd}reensboro");
    assert_eq!(year.ghi, plain.ghi);
}

#[test]
fn midnight_may_be_written_as_that_of_the_next_day() {
    let plain = common::tmy3();
    let lines: Vec<&str> = plain.lines().collect();
    let mut text = lines[..2].join("\n") + "\n";
    for (row, line) in lines[2..].iter().enumerate() {
        if line.contains(",24:00,") {
            // The next row's date; the year wraps.
            let next = lines.get(2 + row + 1).unwrap_or(&lines[2]);
            text.push_str(&format!("{},00:00,{}\n", &next[..10], &line[17..]));
        } else {
            text.push_str(line);
            text.push('\n');
        }
    }
    assert_eq!(good(&text).ghi, good(&plain).ghi);
}

#[test]
fn a_year_with_29_february_keeps_it() {
    let text = common::nsrdb();
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let february = 3 + 59 * 24 - 24;
    let day: Vec<String> = lines[february..february + 24].iter().map(|line| line.replacen(",2,28,", ",2,29,", 1)).collect();
    lines.splice(february + 24..february + 24, day);
    let year = good(&(lines.join("\n") + "\n"));
    assert_eq!((year.days, year.rows(), year.calendar_year), (366, 8784, 2020));
    assert_eq!(year.stamp(60 * 24), "1 March 00:00");
    let hourly = year.to_hourly().expect("it is complete");
    assert_eq!((hourly.hours.ghi.len(), hourly.calendar.days), (8784, 366));
}

/// A file whose labels are an hour off in half of its months.
#[test]
fn a_wrong_clock_is_found_and_put_right_month_by_month() {
    let text = common::epw();
    let lines: Vec<&str> = text.lines().collect();
    let mut moved = lines[..8].join("\n") + "\n";
    let cells: Vec<Vec<&str>> = lines[8..].iter().map(|line| line.split(',').collect()).collect();
    for (row, own) in cells.iter().enumerate() {
        let late = own[1].parse::<u32>().expect("a month") <= 6;
        // In the wrong months each row carries the light of the hour after it.
        let light = if late { &cells[(row + 1) % cells.len()] } else { own };
        let mut line = own.clone();
        line[13..16].copy_from_slice(&light[13..16]);
        moved.push_str(&line.join(","));
        moved.push('\n');
    }
    let year = good(&moved);
    for (month, offset_s) in year.sun_offset_s.iter().enumerate() {
        assert_eq!(*offset_s, if month < 6 { 5400.0 } else { 1800.0 }, "month {month}");
    }
    let told: Vec<&str> = year.notes.iter().map(|note| note.text.as_str()).collect();
    let want = "the clock of this file is 60 min late in Jan, Feb, Mar, Apr, May, Jun: read with the sun's time corrected";
    assert_eq!(told, [want]);
    // The sun of the hours follows.
    let hourly = year.to_hourly().expect("it is complete");
    let starts: Vec<f64> = hourly.calendar.day_starts().collect();
    assert_eq!((starts[0] - 1_546_318_800.0, starts[364] - starts[363]), (5400.0, 86_400.0));
    assert_eq!(starts[181] - starts[180], 86_400.0 - 3600.0);
}

#[test]
fn steps_below_an_hour_are_averaged() {
    let text = common::nsrdb();
    let mut half = text.lines().take(3).collect::<Vec<_>>().join("\n") + "\n";
    for line in text.lines().skip(3) {
        let mut cells: Vec<&str> = line.split(',').collect();
        cells[4] = "0";
        half.push_str(&format!("{}\n{line}\n", cells.join(",")));
    }
    let year = good(&half);
    assert_eq!((year.rows(), year.step_s, year.rows_of_day()), (17_520, 1800, 48));
    let hourly = year.to_hourly().expect("it is complete");
    assert_eq!(hourly.hours.ghi, good(&text).ghi.values);
    // Stamps 0 and 30 belong to the instants 0 and 30: their mean is 15 past.
    assert_eq!(hourly.calendar.sun_offset_s[0], year.sun_offset_s[0] + 900.0);
}

/// Rows in UTC begin at local midnight.
#[test]
fn hours_begin_at_local_midnight() {
    let text = common::nsrdb().replace("36.100,-79.950,-5,273,-5", "36.100,-4.950,0,273,-3");
    let year = good(&text);
    assert_eq!((year.site.zone_h, year.site.local_zone_h), (0.0, -3.0));
    let hourly = year.to_hourly().expect("it is complete");
    assert_eq!(hourly.calendar.zone_h, -3.0);
    assert_eq!(hourly.hours.ghi[0..5000], year.ghi.values[3..5003]);
    // Local midnight is 03:00 UTC.
    assert_eq!(hourly.calendar.first_unix_s - year.first_unix_s, 3 * 3600);
}

#[test]
fn gaps_are_filled_by_rule_or_refused() {
    let text = common::epw();
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let with = |rows: std::ops::Range<usize>, column: usize, code: &str| -> Year {
        let mut lines = lines.clone();
        for line in &mut lines[8 + rows.start..8 + rows.end] {
            let mut cells: Vec<&str> = line.split(',').collect();
            cells[column] = code;
            *line = cells.join(",");
        }
        good(&(lines.join("\n") + "\n"))
    };
    let whole = good(&text);
    // Three hours of air: a straight line.
    let year = with(100..103, 6, "99.9");
    assert_eq!(year.air_c.missing, 3);
    assert!(year.air_c.values[101].is_nan());
    let hourly = year.to_hourly().expect("filled");
    let (from, to) = (whole.air_c.values[99], whole.air_c.values[103]);
    assert!((hourly.hours.air_c[101] - (from + to) / 2.0).abs() < 1e-12);
    assert_eq!(hourly.notes[0].to_string(), "line 109: air temperature missing in 3 rows: bridged by straight lines");
    // Seven: too long.
    let problems = with(100..107, 6, "").to_hourly().expect_err("too long");
    assert_eq!(
        problems[0].to_string(),
        "line 109, air temperature: found no value from 5 January 04:00 to 5 January 10:00; expected gaps of at most 6 hours"
    );
    // No wind at all: calm.
    let hourly = with(0..8760, 21, "999").to_hourly().expect("calm");
    assert_eq!(hourly.hours.wind_m_s, vec![0.0; 8760]);
    assert_eq!(hourly.notes[0].text, "wind missing in 8760 rows: taken as calm, 0 m/s");
    // Diffuse: from global, direct and the sun. The rows close to 1.9 W/m² root mean square.
    let year = with(0..8760, 15, "9999");
    assert_eq!(year.dhi.missing, 8760);
    let hourly = year.to_hourly().expect("worked out");
    let off: f64 = hourly.hours.dhi.iter().zip(&whole.dhi.values).map(|(a, b)| (a - b) * (a - b)).sum();
    assert!((off / 8760.0).sqrt() < 3.0, "{}", (off / 8760.0).sqrt());
    // Global for a day: refused, with the first hour of light.
    let problems = {
        let mut lines = lines.clone();
        for line in &mut lines[8 + 4000..8 + 4024] {
            let mut cells: Vec<&str> = line.split(',').collect();
            (cells[13], cells[14]) = ("9999", "9999");
            *line = cells.join(",");
        }
        good(&lines.join("\n")).to_hourly().expect_err("no light")
    };
    assert!(
        problems[0].to_string().contains("radiation: found no value in 15 rows by day, the first at 16 June"),
        "{problems:?}"
    );
}

/// Direct and diffuse split off the global (Erbs): the year's direct within 10 %, as that formula is good for.
#[test]
fn global_alone_is_split() {
    let text = common::nsrdb().replace(",GHI,DNI,DHI,", ",GHI,,,");
    let year = good(&text);
    assert_eq!((year.dni.missing, year.dhi.missing), (8760, 8760));
    let whole = good(&common::nsrdb());
    let hourly = year.to_hourly().expect("split");
    let sum = |values: &[f64]| values.iter().sum::<f64>();
    assert!((sum(&hourly.hours.dni) / sum(&whole.dni.values) - 1.0).abs() < 0.1);
    assert!(hourly.notes.iter().any(|note| note.text.contains("split off the global")), "{:?}", hourly.notes);
    assert!(year.notes.iter().any(|note| note.text.contains("could not be held against the sun")), "{:?}", year.notes);
}

#[test]
fn what_is_odd_is_told() {
    let text = common::tmy3();
    let told = |text: &str| -> Vec<String> { good(text).notes.iter().map(ToString::to_string).collect() };
    let south = told(&text.replacen("36.100", "-36.100", 1));
    assert!(south.iter().any(|note| note.contains("is the sign of the latitude right?")), "{south:?}");
    let east = told(&text.replacen("-79.950", "79.950", 1));
    assert!(east.iter().any(|note| note.contains("the longitude means 5.3 h")), "{east:?}");
    let mut lines: Vec<&str> = text.lines().collect();
    let noon = lines[2 + 12].replacen(",13:00,", ",13:00,1", 1);
    lines[2 + 12] = &noon;
    let bright = told(&lines.join("\n"));
    assert!(bright.iter().any(|note| note == "line 15: more light than reaches the top of the air in 1 row"), "{bright:?}");
}

/// Sets cells of rows (from 0) of a file with so many lines above.
fn set(text: &str, above: usize, rows: std::ops::Range<usize>, column: usize, value: impl Fn(&str) -> String) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for line in &mut lines[above + rows.start..above + rows.end] {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        cells[column] = value(&cells[column]);
        *line = cells.join(",");
    }
    lines.join("\n") + "\n"
}

#[test]
fn every_oddity_has_its_word() {
    let text = common::tmy3();
    let told = |text: &str| -> Vec<String> { good(text).notes.iter().map(ToString::to_string).collect() };
    let tmy3 = |rows, column, value: &dyn Fn(&str) -> String| told(&set(&text, 2, rows, column, value));
    assert_eq!(tmy3(1..3, 2, &|_| "60".into()), ["line 4: light while the sun is well below the horizon in 2 rows"]);
    assert_eq!(tmy3(13..14, 4, &|_| "300".into()), ["line 16: more diffuse than global radiation in 1 row"]);
    assert_eq!(tmy3(500..530, 5, &|_| "7.7".into()), ["line 503: the air temperature stays the same for 30 rows"]);
    let calm = tmy3(0..8760, 6, &|_| "0.1".into());
    assert_eq!(calm, ["the mean wind is 0.1 m/s, which is very little"]);
    let dark = tmy3(0..8760, 2, &|cell| (cell.parse::<f64>().expect("a number") / 3.0).to_string());
    let sum = "global radiation sums to 522 kWh/m2 in the year; places on land have 600 to 2600";
    assert!(dark.iter().any(|note| note == sum), "{dark:?}");
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for hour in 0..24 {
        let before: Vec<String> = lines[2 + 100 * 24 + hour].split(',').map(str::to_owned).collect();
        let mut cells: Vec<String> = lines[2 + 101 * 24 + hour].split(',').map(str::to_owned).collect();
        cells[2..5].clone_from_slice(&before[2..5]);
        lines[2 + 101 * 24 + hour] = cells.join(",");
    }
    assert_eq!(told(&lines.join("\n")), ["line 2427: 1 day with exactly the light of the day before"]);
    let faint = tmy3(0..3, 2, &|_| "-2.5".into());
    assert_eq!(faint, ["line 3: GHI (W/m^2): below 0 in 3 rows, -2.5 W/m2 the lowest; taken as 0"]);
}

#[test]
fn further_columns_come_in_their_units() {
    let text = common::epw();
    let plain = good(&text);
    assert_eq!((plain.pressure_pa, plain.albedo, plain.snow_cm), (None, None, None));
    let text = set(&text, 8, 0..10, 9, |_| "97000".into());
    let text = set(&text, 8, 5..7, 30, |_| "12".into());
    let text = set(&text, 8, 0..3, 32, |_| "0.25".into());
    // 0 and more than 1 say that nobody knows.
    let text = set(&text, 8, 1..2, 32, |_| "0".into());
    let year = good(&set(&text, 8, 2..3, 32, |_| "1.5".into()));
    let (pressure, snow, albedo) = (year.pressure_pa.expect("told"), year.snow_cm.expect("told"), year.albedo.expect("told"));
    assert_eq!((pressure.values[9], pressure.missing), (97_000.0, 8750));
    assert_eq!((snow.values[6], snow.missing), (12.0, 8758));
    assert_eq!((albedo.values[0], albedo.missing), (0.25, 8759));
    // Millibars.
    let tmy3 = common::tmy3().replacen("Wspd (m/s)\n", "Wspd (m/s),Pressure (mbar)\n", 1);
    let tmy3: String =
        tmy3.lines().enumerate().map(|(at, line)| format!("{line}{}\n", if at > 1 { ",993" } else { "" })).collect();
    assert_eq!(good(&tmy3).pressure_pa.expect("told").values[0], 99_300.0);
}

/// Two records an hour: each row is the sum over half an hour, and its middle a quarter after its start.
#[test]
fn records_below_an_hour_are_powers() {
    let text = common::epw().replacen("DATA PERIODS,1,1,", "DATA PERIODS,1,2,", 1);
    let mut half = text.lines().take(8).collect::<Vec<_>>().join("\n") + "\n";
    for line in text.lines().skip(8) {
        for minute in ["30", "60"] {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            cells[4] = minute.into();
            for cell in &mut cells[13..16] {
                *cell = (cell.parse::<f64>().expect("a number") / 2.0).to_string();
            }
            half.push_str(&cells.join(","));
            half.push('\n');
        }
    }
    let (year, whole) = (good(&half), good(&common::epw()));
    assert_eq!((year.rows(), year.step_s), (17_520, 1800));
    assert_eq!(year.to_hourly().expect("complete").hours.ghi, whole.ghi.values);
    // Both halves carry the light of the whole hour: one fits a quarter of an hour later, the other earlier, so that no
    // shift is better than the rule.
    assert_eq!(year.sun_offset_s, [900.0; 12]);
}

/// The sun of a file is that of the place: with beam and diffuse of its rows, the year closes under the long form too.
#[test]
fn a_year_closes_under_the_long_form_of_the_sun() {
    let year = good(&common::tmy3());
    let hourly = year.to_hourly().expect("complete");
    let sun = hourly.calendar.sun(year.site.place()).expect("a year");
    let hours = &hourly.hours;
    let lit = (0..8760).filter(|at| hours.dni[*at] > 50.0);
    let misses: Vec<f64> =
        lit.map(|at| hours.ghi[at] - hours.dhi[at] - hours.dni[at] * sun.direction(at).expect("in the year").up).collect();
    let rms = (misses.iter().map(|miss| miss * miss).sum::<f64>() / misses.len() as f64).sqrt();
    // 1.9 in the years the months come from; the stand-in's sun is up to a quarter of a day elsewhere in its year, 0.1
    // degrees or 1.5 W/m2.
    assert!(rms < 3.5, "{rms}");
}
