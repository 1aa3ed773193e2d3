//! The legend under a picture: a swatch and its words, one after the other.

use super::hatch;
use super::place::Rect;
use super::sheet::{Anchor, Sheet, fitting, room};
use crate::text::cut;

/// A swatch, and the gap to its words.
const SWATCH: (f64, f64) = (22.0, 13.0);
const GAP: f64 = 7.0;
/// Between one entry and the next.
const BETWEEN: f64 = 20.0;
const ROW: f64 = 22.0;
const MARGIN: f64 = 20.0;

/// How a thing is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Swatch {
    /// A box of these classes, one on the other.
    Box(&'static [&'static str]),
    /// A box of the first class, with lines of the second across it.
    Hatched(&'static str, &'static str),
    /// A line.
    Line(&'static str),
    /// Words alone.
    None,
}

/// One entry.
#[derive(Clone, Debug)]
pub(super) struct Key {
    pub(super) swatch: Swatch,
    pub(super) words: String,
}

impl Key {
    pub(super) fn new(swatch: Swatch, words: impl Into<String>) -> Self {
        Self { swatch, words: words.into() }
    }
}

/// Draws a swatch in a box.
pub(super) fn swatch(sheet: &mut Sheet, swatch: Swatch, rect: Rect) {
    match swatch {
        Swatch::Box(classes) => classes.iter().for_each(|class| sheet.rect(class, rect)),
        Swatch::Hatched(class, lines) => {
            sheet.rect(class, rect);
            hatch::rect(sheet, lines, rect);
        }
        Swatch::Line(class) => sheet.line(class, (rect.x, rect.middle().1), (rect.right(), rect.middle().1)),
        Swatch::None => {}
    }
}

/// The entries in rows from the left, as many in a row as fit. Gives the lower end.
pub(super) fn rows(sheet: &mut Sheet, top: f64, keys: &[Key]) -> f64 {
    let (mut x, mut y) = (MARGIN, top);
    for key in keys {
        let lead = if key.swatch == Swatch::None { 0.0 } else { SWATCH.0 + GAP };
        let line = vec![cut(&key.words, fitting(sheet.width - 2.0 * MARGIN - lead))];
        let (w, h) = room(&line);
        if x > MARGIN && x + lead + w > sheet.width - MARGIN {
            (x, y) = (MARGIN, y + ROW);
        }
        swatch(sheet, key.swatch, Rect::new(x, y + (h - SWATCH.1) / 2.0, SWATCH.0, SWATCH.1));
        sheet.label(Rect::new(x + lead, y, w, h), &line, Anchor::Left, false);
        x += lead + w + BETWEEN;
    }
    y + ROW
}
