//! What one table alone cannot tell: names, references, places, ranges.

mod mounts;
mod names;
mod places;
mod power;
mod references;
pub(crate) mod usual;
mod values;
mod wired;

use crate::document::Document;
use crate::locate::locate;
use crate::model::Rig;
use crate::path;
use crate::reader::{At, Note, Write};

/// Notes everything in the rig that contradicts itself or points nowhere. Blanks, which stand for what the reader has
/// noted already, are passed over.
pub(crate) fn check(rig: &Rig, document: &Document, notes: &mut Vec<Note>) {
    let mut checker = Checker { rig, document, notes };
    values::format(&mut checker);
    values::ranges(&mut checker);
    values::fills(&mut checker);
    values::numbers(&mut checker);
    values::texts(&mut checker);
    mounts::screw_sizes(&mut checker);
    names::unique(&mut checker);
    places::axles(&mut checker);
    places::coordinates(&mut checker);
    mounts::contradictions(&mut checker);
    power::contradictions(&mut checker);
    power::numbers(&mut checker);
    // Where the syntax broke, the table that something points to may be lost.
    if !document.broken {
        references::states(&mut checker);
        references::weighings(&mut checker);
        references::things(&mut checker);
        references::trailer(&mut checker);
        mounts::references(&mut checker);
        mounts::without(&mut checker);
        wired::references(&mut checker);
        wired::without(&mut checker);
        places::body_frame(&mut checker);
    }
}

struct Checker<'a> {
    rig: &'a Rig,
    document: &'a Document,
    notes: &'a mut Vec<Note>,
}

impl Checker<'_> {
    /// Notes something about the value with this path.
    fn say(&mut self, path: String, sentence: impl Into<String>, expected: Option<String>, write: Option<Write>) {
        self.notes.push(Note { at: At::Path(path), sentence: sentence.into(), expected, write, show_found: true });
    }

    /// The line of the value with this path.
    fn line(&self, path: &str) -> u32 {
        self.document.nearest_place(path).0.line
    }

    /// The text that the file itself, not a blank of the reader, has there.
    fn text(&self, path: &str) -> Option<&str> {
        let segments = path::parse(path).unwrap_or_default();
        let found = locate(&self.document.root, &segments);
        (found.depth == segments.len()).then(|| found.node.text())?.map(str::trim)
    }

    /// Whether the file itself has empty text there.
    fn is_empty_text(&self, path: &str) -> bool {
        self.text(path) == Some("")
    }
}
