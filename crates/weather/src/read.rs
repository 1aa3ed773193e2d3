//! Weather files, told apart by what is in them, never by their name.
//!
//! | module    | reads                                                        |
//! |-----------|--------------------------------------------------------------|
//! | `epw`     | EPW, and what PVGIS writes in that form                       |
//! | `tmy3`    | TMY3 as issued                                                |
//! | `pvgis`   | the typical year of PVGIS, CSV and JSON                       |
//! | `nsrdb`   | NSRDB, steps of 60, 30, 15 or 5 minutes                       |
//! | `table`   | wanted columns of comma-separated lines                       |
//! | `rows`    | what all share: one row a step, in order, nothing left out    |

mod epw;
mod nsrdb;
mod pvgis;
mod rows;
mod site;
mod table;
mod tmy3;

use crate::almanac::Track;
use crate::clock;
use crate::sanity;
use crate::text;
use crate::year::{Problem, Year};

/// A weather year from the bytes of a file.
///
/// The year must be whole: 365 days, or 366 with 29 February, in equal steps of an hour or a part of it, from 1 January to
/// 31 December in order. Months of different years are taken as they come (typical years). Bytes that are no UTF-8 in
/// names are replaced. A code for "missing" and an empty cell become a missing value; they are counted, not filled. Faint
/// negative radiation (a sensor looking at the night sky) becomes 0, with a note.
///
/// # Errors
/// All problems that were met, at most 20, in the order of the file: each with its line, column, what was found and what
/// was expected.
pub fn read(bytes: &[u8]) -> Result<Year, Vec<Problem>> {
    let bytes = bytes.strip_prefix(BOM).unwrap_or(bytes);
    let mut year = match sniff(bytes) {
        Kind::Epw => epw::read(bytes),
        Kind::Tmy3 => tmy3::read(bytes),
        Kind::Nsrdb => nsrdb::read(bytes),
        Kind::PvgisCsv => pvgis::read_csv(bytes),
        Kind::PvgisJson => pvgis::read_json(bytes),
        Kind::Strange(problem) => Err(vec![*problem]),
    }?;
    let track = Track::of(&year);
    clock::check(&mut year, &track);
    sanity::check(&mut year, &track);
    Ok(year)
}

/// Mark that some programs put before UTF-8 text.
const BOM: &[u8] = b"\xef\xbb\xbf";

enum Kind {
    Epw,
    Tmy3,
    Nsrdb,
    PvgisCsv,
    PvgisJson,
    Strange(Box<Problem>),
}

/// What kind of file starts like this.
fn sniff(bytes: &[u8]) -> Kind {
    let mut lines = text::Lines::new(bytes);
    let first = lines.next().map_or(&[][..], |(_, line)| line);
    let second = lines.next().map_or(&[][..], |(_, line)| line);
    if starts(first, b"LOCATION,") {
        return Kind::Epw;
    }
    if starts(first, nsrdb::FIRST_LINE) {
        return Kind::Nsrdb;
    }
    if starts(first, pvgis::FIRST_LINE) || starts(first, pvgis::BASIC_FIRST_LINE) {
        return Kind::PvgisCsv;
    }
    if bytes.trim_ascii_start().starts_with(b"{") {
        return Kind::PvgisJson;
    }
    if starts(second, tmy3::SECOND_LINE) {
        return Kind::Tmy3;
    }
    Kind::Strange(Box::new(strange(bytes, first)))
}

/// Whether a line starts with these words, capitals or not.
fn starts(line: &[u8], words: &[u8]) -> bool {
    line.get(..words.len()).is_some_and(|start| start.eq_ignore_ascii_case(words))
}

/// What is the matter with a file of no known kind.
fn strange(bytes: &[u8], first: &[u8]) -> Problem {
    const WANTED: &str = "a weather year: EPW, TMY3, PVGIS (CSV or JSON) or NSRDB CSV";
    if bytes.trim_ascii().is_empty() {
        return Problem::of_line(1, "an empty file", WANTED);
    }
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"\x1f\x8b") {
        return Problem::of_line(1, "a packed archive", format!("the file inside it: {WANTED}"));
    }
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        return Problem::of_line(1, "text in UTF-16", "the same file saved as UTF-8 or plain text");
    }
    if bytes.contains(&0) {
        return Problem::of_line(1, "bytes that are no text", WANTED);
    }
    let semicolons = [&b"LOCATION;"[..], b"Source;", b"time(UTC);"].iter().any(|start| starts(first, start));
    if semicolons {
        return Problem::of_line(
            1,
            "semicolons between the columns",
            "commas, as the file was issued; a spreadsheet changes them",
        );
    }
    let cell = first.split(|b| matches!(b, b',' | b';' | b'\t')).next().unwrap_or_default();
    Problem::of_line(1, format!("\"{}\" at the start", text::show(cell)), WANTED)
}
