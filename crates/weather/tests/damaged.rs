//! Damaged files: each is refused with its line and what was expected, and none makes the program panic.
#![allow(clippy::expect_used, clippy::indexing_slicing, clippy::panic, reason = "a test")]

mod common;

use proptest::prelude::*;
use weather::{Problem, read};

/// The problems of a file that must not read, as a person sees them.
fn wrong(bytes: &[u8]) -> Vec<String> {
    let problems: Vec<Problem> = match read(bytes) {
        Ok(_) => panic!("it reads"),
        Err(problems) => problems,
    };
    assert!(!problems.is_empty());
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    // Never a whole line, never many.
    assert!(told.iter().all(|text| text.len() < 300), "{told:#?}");
    assert!(told.len() <= 21);
    told
}

/// The file with some of its lines (from 1) changed.
fn with(text: &str, change: impl FnOnce(&mut Vec<String>)) -> Vec<u8> {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    change(&mut lines);
    (lines.join("\n") + "\n").into_bytes()
}

/// One cell of one line (from 1) set.
fn cell(text: &str, line: usize, column: usize, value: &str) -> Vec<u8> {
    with(text, |lines| {
        let mut cells: Vec<&str> = lines[line - 1].split(',').collect();
        cells[column] = value;
        lines[line - 1] = cells.join(",");
    })
}

const WANTED: &str = "expected a weather year: EPW, TMY3, PVGIS (CSV or JSON) or NSRDB CSV";

#[test]
fn files_of_no_known_kind() {
    for (bytes, want) in [
        (&b""[..], format!("line 1: found an empty file; {WANTED}")),
        (b" \n\n ", format!("line 1: found an empty file; {WANTED}")),
        (b"\x00\x01\x02binary", format!("line 1: found bytes that are no text; {WANTED}")),
        (b"PK\x03\x04rest", format!("line 1: found a packed archive; expected the file inside it: {}", &WANTED[9..])),
        (b"\xff\xfeL\x00O\x00", "line 1: found text in UTF-16; expected the same file saved as UTF-8 or plain text".into()),
        (b"hello, world\n1,2\n", format!("line 1: found \"hello\" at the start; {WANTED}")),
        (b"<html><body>", format!("line 1: found \"<html><body>\" at the start; {WANTED}")),
        (b"\x1b[31mred,1", format!("line 1: found \"\u{fffd}[31mred\" at the start; {WANTED}")),
    ] {
        assert_eq!(wrong(bytes), [want]);
    }
    let long = "x".repeat(5000);
    assert_eq!(wrong(long.as_bytes()), [format!("line 1: found \"{}..\" at the start; {WANTED}", "x".repeat(40))]);
    let semicolons = common::epw().replace(',', ";");
    assert_eq!(
        wrong(semicolons.as_bytes()),
        ["line 1: found semicolons between the columns; expected commas, as the file was issued; a spreadsheet changes them"]
    );
}

#[test]
fn headers() {
    let epw = common::epw();
    assert_eq!(
        wrong(&cell(&epw, 1, 6, "36.1N")),
        ["line 1, latitude: found \"36.1N\"; expected degrees, -90 to 90, north positive"]
    );
    assert_eq!(
        wrong(&cell(&epw, 1, 7, "280.05")),
        ["line 1, longitude: found \"280.05\"; expected degrees, -180 to 180, east positive"]
    );
    assert_eq!(
        wrong(&cell(&epw, 1, 9, "")),
        ["line 1, elevation: found nothing; expected metres above the sea, -1000 to 9999.9"]
    );
    assert_eq!(wrong(&cell(&epw, 8, 1, "2")), ["line 8, number of data periods: found \"2\"; expected 1: one whole year"]);
    assert_eq!(wrong(&cell(&epw, 8, 2, "7")), ["line 8, records per hour: found \"7\"; expected 1, 2, 3, 4, 6 or 12"]);
    let headless = with(&epw, |lines| drop(lines.drain(1..8)));
    assert_eq!(wrong(&headless), ["line 41: found no line DATA PERIODS above; expected the eight header lines of an EPW file"]);
    let nameless = common::tmy3().replace("GHI (W/m^2)", "Global");
    assert_eq!(wrong(nameless.as_bytes()), ["line 2: found no column \"GHI (W/m^2)\"; expected the names of columns as issued"]);
    for (from, to) in [("Date (MM/DD/YYYY)", "Date (MM/DD/YYYY)x"), ("Time (HH:MM)", "Time")] {
        let text = common::tmy3().replace(from, to);
        assert_eq!(
            wrong(text.as_bytes()),
            [format!("line 2: found no column \"{from}\"; expected the names of columns as issued")]
        );
    }
    let nsrdb = common::nsrdb();
    assert_eq!(
        wrong(nsrdb.replace("Latitude", "Lat").as_bytes()),
        ["line 2, latitude: found nothing; expected degrees, -90 to 90, north positive"]
    );
    assert_eq!(
        wrong(nsrdb.replace(",Minute", ",Min").as_bytes()),
        ["line 3: found no column \"Minute\"; expected the names of columns as issued"]
    );
    let placeless: String = common::pvgis_csv().lines().skip(7).map(|line| format!("{line}\n")).collect();
    assert_eq!(wrong(placeless.as_bytes())[0], "line 1, latitude: found nothing; expected degrees, -90 to 90, north positive");
}

#[test]
fn rows_that_are_not_there() {
    let epw = common::epw();
    let whole = "expected a whole year, to the end of 31 December: 8760 hours, 8784 with 29 February";
    let short = with(&epw, |lines| lines.truncate(8 + 8759));
    let end = format!("line 8767: found the end of the data after 8759 rows, 31 December 22:00 being the last; {whole}");
    assert_eq!(wrong(&short), [end]);
    let headers = with(&epw, |lines| lines.truncate(8));
    assert_eq!(wrong(&headers), ["line 1: found no rows of data; expected a row for every step of a year"]);
    // Cut in the middle of a line, before its wind.
    let cut = &epw.as_bytes()[..epw.find("1988,1,20,5,").expect("there") + 60];
    assert_eq!(wrong(cut), ["line 469: found 17 columns; expected at least 22"]);
    let hole = with(&epw, |lines| drop(lines.drain(108..110)));
    assert_eq!(
        wrong(&hole),
        [
            "line 109: found 5 January 06:00 after 5 January 03:00 in line 108; expected 5 January 04:00 next: every step of the year, in order"
        ]
    );
    let blank = with(&epw, |lines| lines[500] = String::new());
    assert_eq!(
        wrong(&blank),
        [
            "line 502: found 21 January 13:00 after 21 January 11:00 in line 500; expected 21 January 12:00 next: every step of the year, in order"
        ]
    );
}

#[test]
fn rows_that_are_there_twice_or_astray() {
    let epw = common::epw();
    let twice = with(&epw, |lines| lines.insert(300, lines[299].clone()));
    assert_eq!(
        wrong(&twice),
        ["line 301: found 13 January 03:00, which line 300 has already; expected each step of the year once"]
    );
    let swapped = with(&epw, |lines| lines.swap(299, 300));
    assert_eq!(
        wrong(&swapped)[0],
        "line 300: found 13 January 04:00 after 13 January 02:00 in line 299; expected 13 January 03:00 next: every step of the year, in order"
    );
    let shuffled = with(&epw, |lines| lines[8..].reverse());
    let told = wrong(&shuffled);
    assert_eq!(told[0], "line 9: found 31 December 23:00 as the first row; expected a year that starts on 1 January 00:00");
    assert_eq!(told.len(), 21);
    assert!(told[20].contains("more problems after this one; expected a file as it was issued"), "{}", told[20]);
    // July to June.
    let turned = with(&epw, |lines| lines[8..].rotate_left(181 * 24));
    assert_eq!(wrong(&turned)[0], "line 9: found 1 July 00:00 as the first row; expected a year that starts on 1 January 00:00");
    // Half of 29 February.
    let half_day = with(&common::nsrdb(), |lines| {
        let day: Vec<String> =
            lines[3 + 58 * 24..3 + 58 * 24 + 12].iter().map(|line| line.replacen(",2,28,", ",2,29,", 1)).collect();
        lines.splice(3 + 59 * 24..3 + 59 * 24, day);
    });
    assert_eq!(
        wrong(&half_day),
        [
            "line 1432: found 1 March 00:00 after 29 February 11:00 in line 1431; expected 29 February 12:00 next: every step of the year, in order"
        ]
    );
    // Two years in one file.
    let two = with(&epw, |lines| lines.extend(lines[8..].to_vec()));
    assert_eq!(wrong(&two)[0], "line 8769: found 1 January 00:00, which line 9 has already; expected each step of the year once");
}

#[test]
fn cells_that_are_no_numbers() {
    let epw = common::epw();
    for (value, shown) in
        [("NaN", "NaN"), ("inf", "inf"), ("12;5", "12;5"), ("--3", "--3"), ("1e400", "1e400"), ("\u{7}", "\u{fffd}")]
    {
        let want = format!("line 20, global horizontal radiation: found \"{shown}\"; expected a number");
        assert_eq!(wrong(&cell(&epw, 20, 13, value)), [want]);
    }
    assert_eq!(
        wrong(&cell(&epw, 20, 6, "98.6")),
        ["line 20, dry bulb temperature: found 98.6; expected -90 to 70, or the code for a missing value"]
    );
    assert_eq!(
        wrong(&cell(&epw, 20, 14, "5000")),
        ["line 20, direct normal radiation: found 5000; expected -20 to 2000, or the code for a missing value"]
    );
    assert_eq!(
        wrong(&cell(&epw, 20, 14, "-1e300")),
        ["line 20, direct normal radiation: found -1e300; expected -20 to 2000, or the code for a missing value"]
    );
    // A comma for the decimal point.
    let commas = with(&epw, |lines| lines[19] = lines[19].replacen(".", ",", 1));
    assert_eq!(
        wrong(&commas),
        ["line 20: found 36 columns; expected at most 35; a comma for the decimal point makes two columns of one"]
    );
    let tmy3 = common::tmy3();
    assert_eq!(
        wrong(&with(&tmy3, |lines| lines[19] = lines[19].replacen(".", ",", 1))),
        ["line 20: found 8 columns; expected 7; a comma for the decimal point makes two columns of one"]
    );
}

#[test]
fn stamps_that_cannot_be() {
    let epw = common::epw();
    for (column, value, want) in [
        (1, "13", "line 20, date: found day 1 of month 13; expected a day of the calendar"),
        (2, "32", "line 20, date: found day 32 of month 1; expected a day of the calendar"),
        (2, "x", "line 20, day: found \"x\"; expected 1 to 31"),
        (3, "0", "line 20, hour: found \"0\"; expected 1 to 24"),
        (3, "25", "line 20, hour: found \"25\"; expected 1 to 24"),
        (4, "61", "line 20, minute: found \"61\"; expected 0 to 60"),
        (0, "", "line 20, year: found \"\"; expected a whole number"),
    ] {
        assert_eq!(wrong(&cell(&epw, 20, column, value)), [want]);
    }
    let tmy3 = common::tmy3();
    assert_eq!(wrong(&cell(&tmy3, 10, 1, "24:30"))[0], "line 10, Time (HH:MM): found \"24:30\"; expected 00:00 to 24:00");
    assert_eq!(
        wrong(&cell(&tmy3, 10, 0, "1988-01-01"))[0],
        "line 10, Date (MM/DD/YYYY): found \"1988-01-01\"; expected a date such as 01/31/1988"
    );
    assert_eq!(wrong(&cell(&tmy3, 10, 1, "08:30"))[0], "line 10, time: found 1 January 07:30; expected rows 60 minutes apart");
    let pvgis = common::pvgis_csv();
    assert_eq!(
        wrong(&cell(&pvgis, 20, 0, "20180101T0000"))[0],
        "line 20, time(UTC): found \"20180101T0000\"; expected a time such as 20180131:1300"
    );
    let nsrdb = common::nsrdb();
    assert_eq!(wrong(&cell(&nsrdb, 20, 4, "60"))[0], "line 20, Minute: found \"60\"; expected 0 to 59");
    assert_eq!(
        wrong(&cell(&nsrdb, 5, 3, "0")),
        ["line 5: found no step that can be told from the first two rows; expected rows 5, 10, 15, 30 or 60 minutes apart"]
    );
}

/// A row that cannot be placed leaves no hole to be told, but does not hide one further down.
#[test]
fn one_cause_one_message() {
    let epw = common::epw();
    let both = with(&String::from_utf8(cell(&epw, 20, 3, "25")).expect("text"), |lines| drop(lines.remove(99)));
    let told = wrong(&both);
    assert_eq!(told.len(), 2, "{told:#?}");
    assert_eq!(told[0], "line 20, hour: found \"25\"; expected 1 to 24");
    assert!(told[1].starts_with("line 100: found 4 January 20:00 after 4 January 18:00 in line 99"), "{told:#?}");
}

#[test]
fn json_that_is_broken() {
    let json = common::pvgis_json();
    let expected = "expected a typical year of PVGIS as JSON";
    assert_eq!(wrong(&json.as_bytes()[..5000]), [format!("line 1: found the end of the file inside the document; {expected}")]);
    assert!(wrong(json.replacen("\"G(h)\": 0", "\"G(h)\": NaN", 1).as_bytes())[0].contains("text that is no JSON at column"));
    assert!(wrong(json.replacen("\"G(h)\": 0", "\"G(h)\": \"0\"", 1).as_bytes())[0].contains("a value of another kind"));
    assert_eq!(wrong(b"{}"), [format!("line 1: found no outputs.tmy_hourly; {expected}")]);
    assert_eq!(wrong(b"{\"outputs\": {\"tmy_hourly\": []}}"), [format!("line 1: found no inputs.location; {expected}")]);
    assert_eq!(
        wrong(json.replacen("19880101:0300", "19880101:0200", 1).as_bytes())[0],
        "line 4: found 1 January 02:00, which line 3 has already; expected each step of the year once"
    );
    let deep = "[".repeat(100_000);
    assert!(wrong(format!("{{\"outputs\": {deep}").as_bytes())[0].starts_with("line 1: found"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is done to a file, it reads or is refused with a line that it has.
    #[test]
    fn random_damage_never_panics(
        form in 0..5_usize,
        damage in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..4_u8), 1..40),
        head in any::<bool>(),
    ) {
        let text = match form {
            0 => common::epw(),
            1 => common::tmy3(),
            2 => common::nsrdb(),
            3 => common::pvgis_csv(),
            _ => common::pvgis_json(),
        };
        let mut bytes = text.into_bytes();
        for (at, byte, kind) in damage {
            // Half of the damage goes to the header and the first rows, where most can go wrong.
            let reach = if head { bytes.len().min(2000) } else { bytes.len() };
            if reach == 0 {
                break;
            }
            let at = at.index(reach);
            match kind {
                0 => bytes[at] = byte,
                1 => drop(bytes.remove(at)),
                2 => bytes.insert(at, byte),
                _ => bytes[at] = b",.-\n;:0129\"{}e \r"[usize::from(byte) % 16],
            }
        }
        if let Err(problems) = read(&bytes) {
            prop_assert!(!problems.is_empty());
            let lines = bytes.iter().filter(|b| **b == b'\n').count() as u32 + 1;
            let last = if form == 4 { 8760 } else { lines };
            prop_assert!(problems.iter().all(|problem| (1..=last.max(lines)).contains(&problem.line)));
        } else if let Ok(year) = read(&bytes) {
            let _ = year.to_hourly();
        }
    }

    /// Bytes that are nothing.
    #[test]
    fn random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..3000), start in 0..6_usize) {
        let start = [&b""[..], b"LOCATION,", b"Source,Location ID,", b"Latitude (decimal degrees): ", b"time(UTC),", b"{"][start];
        let _ = read(&[start, &bytes].concat());
    }
}
