//! Data lines of comma-separated files: which columns are wanted, and one line after another into rows.

use crate::read::rows::{Problems, Rows, Slot, Stamp};
use crate::text::{self, Lines};
use crate::year::Problem;

/// Cells that make a stamp: at most year, month, day, hour and minute.
pub(crate) const STAMP_CELLS: usize = 5;
/// Wanted columns of a line at most.
const MOST_WANTED: usize = 16;

/// What a wanted column is for.
#[derive(Clone, Copy, Debug)]
enum Use {
    /// Cell of the stamp.
    Stamp(usize),
    /// Slot of the rows.
    Value(usize),
}

/// Which columns of a line are wanted, in the order they stand in.
#[derive(Debug)]
pub(crate) struct Layout {
    columns: Vec<usize>,
    uses: Vec<Use>,
    /// Columns that a line must have, and may have (apart from empty ones at its end).
    least: usize,
    most: usize,
}

impl Layout {
    /// `stamp` and `values` are columns from 0; the index in the list is the cell of the stamp, or the slot.
    pub(crate) fn new(stamp: &[usize], values: &[usize], least: usize, most: usize) -> Self {
        let stamps = stamp.iter().enumerate().map(|(cell, column)| (*column, Use::Stamp(cell)));
        let slots = values.iter().enumerate().map(|(slot, column)| (*column, Use::Value(slot)));
        let mut all: Vec<(usize, Use)> = stamps.chain(slots).take(MOST_WANTED).collect();
        all.sort_by_key(|(column, _)| *column);
        let (columns, uses) = all.into_iter().unzip();
        Self { columns, uses, least, most }
    }
}

/// Why a stamp cannot be read: which cell, by its name, and what was expected.
pub(crate) type NoStamp = (usize, &'static str, &'static str);

/// Reads data lines to the end, or to a line for which `ends` says so. Empty lines are skipped.
pub(crate) fn read<'a>(
    lines: impl Iterator<Item = (u32, &'a [u8])>,
    layout: &Layout,
    rows: &mut Rows,
    stamp: impl Fn(&[&'a [u8]; STAMP_CELLS]) -> Result<Stamp, NoStamp>,
    ends: impl Fn(&[u8]) -> bool,
) {
    let mut cells: [&[u8]; MOST_WANTED] = [&[]; MOST_WANTED];
    let mut stamp_cells: [&[u8]; STAMP_CELLS] = [&[]; STAMP_CELLS];
    for (number, line) in lines {
        // A line that begins with a stamp is not blank; so the look at all of it is rare.
        if !line.first().is_some_and(u8::is_ascii_digit) && blank(line) {
            continue;
        }
        if ends(line) {
            return;
        }
        let columns = text::pick(line, &layout.columns, &mut cells);
        if columns < layout.least || columns > layout.most && !blank_from(line, layout.most) {
            wrong_width(number, columns, layout, rows);
            continue;
        }
        for (cell, used) in cells.iter().zip(&layout.uses) {
            if let Use::Stamp(at) = used
                && let Some(place) = stamp_cells.get_mut(*at)
            {
                *place = text::trim(cell);
            }
        }
        match stamp(&stamp_cells) {
            Ok(at) => {
                for (cell, used) in cells.iter().zip(&layout.uses) {
                    if let Use::Value(slot) = used {
                        rows.cell(*slot, number, cell);
                    }
                }
                rows.stamp(number, at);
            }
            Err((cell, name, expected)) => {
                let found = stamp_cells.get(cell).copied().unwrap_or_default();
                rows.lose(Problem::of_cell(number, name, format!("\"{}\"", text::show(found)), expected));
            }
        }
    }
}

fn blank(line: &[u8]) -> bool {
    line.iter().all(|b| b.is_ascii_whitespace() || *b == b',')
}

/// Whether all columns from this one on are empty: a spreadsheet adds such.
#[cold]
fn blank_from(line: &[u8], column: usize) -> bool {
    line.split(|b| *b == b',').skip(column).all(|cell| cell.trim_ascii().is_empty())
}

#[cold]
fn wrong_width(line: u32, columns: usize, layout: &Layout, rows: &mut Rows) {
    let found = format!("{columns} columns");
    let expected = match (layout.least, layout.most) {
        (least, most) if columns > most && least < most => {
            format!("at most {most}; a comma for the decimal point makes two columns of one")
        }
        (_, most) if columns > most => format!("{most}; a comma for the decimal point makes two columns of one"),
        (least, _) => format!("at least {least}"),
    };
    rows.lose(Problem::of_line(line, found, expected));
}

/// Column of each name, in a header; names that are not there are `None`.
pub(crate) fn find(header: &[&[u8]], names: &[&str]) -> Option<usize> {
    header.iter().position(|cell| names.iter().any(|name| cell.eq_ignore_ascii_case(name.as_bytes())))
}

/// The wanted values of a header: slots that it has, and their columns. Names that are needed and not there are problems.
pub(crate) fn choose(header: &[&[u8]], line: u32, wanted: &[(Slot, bool)], problems: &mut Problems) -> (Vec<Slot>, Vec<usize>) {
    let mut slots = Vec::new();
    let mut columns = Vec::new();
    for (slot, needed) in wanted {
        match find(header, &[slot.name]) {
            Some(column) => {
                slots.push(slot.clone());
                columns.push(column);
            }
            None if *needed => {
                problems.push(Problem::of_line(line, format!("no column \"{}\"", slot.name), "the names of columns as issued"));
            }
            None => {}
        }
    }
    (slots, columns)
}

/// The lines that follow, from where an iterator of them stands.
pub(crate) fn header<'a>(lines: &mut Lines<'a>) -> Option<(u32, Vec<&'a [u8]>)> {
    lines.next().map(|(number, line)| (number, text::cells(line)))
}
