//! From notes to problems: place, subject, and the line to write.

use std::collections::BTreeSet;

use super::{At, Note, Write};
use crate::document::{Document, Syntax};
use crate::lines::Place;
use crate::locate::{Located, locate, paths_of};
use crate::path;
use crate::problem::Problem;
use crate::tree::Span;

/// Looks up where each note belongs and puts it in the owner's words.
pub(crate) fn finish(document: &Document, notes: Vec<Note>) -> Vec<Problem> {
    let wanted: Vec<usize> = notes
        .iter()
        .filter_map(|note| match &note.at {
            At::Node(address) | At::Absent(address, _) | At::Key(address, _) => Some(*address),
            At::Path(_) | At::PathKey(_) => None,
        })
        .collect();
    let paths = paths_of(&document.root, &wanted);
    let noted: BTreeSet<usize> =
        notes.iter().filter_map(|note| if let At::Node(address) = note.at { Some(address) } else { None }).collect();
    let breaks = Breaks::of(document);
    let mut problems = Vec::with_capacity(notes.len());
    for note in notes {
        // Keys may be lost together with a broken line.
        if document.broken && matches!(note.at, At::Absent(..)) {
            continue;
        }
        let segments = match &note.at {
            At::Node(address) | At::Absent(address, _) | At::Key(address, _) => paths.get(address).cloned().unwrap_or_default(),
            At::Path(path) | At::PathKey(path) => path::parse(path).unwrap_or_default(),
        };
        let found = locate(&document.root, &segments);
        // One cause, one message: what could not be read is not judged as well.
        if matches!(note.at, At::Path(_)) && noted.contains(&found.node.address()) {
            continue;
        }
        let about_value = found.parent.is_some() && matches!(note.at, At::Node(_) | At::Path(_));
        let problem = problem(document, note, &found);
        if !breaks.explain(problem.place, found.node.span, about_value) {
            problems.push(problem);
        }
    }
    problems
}

/// Where the syntax broke. What is taken for a value there says nothing of what was meant: one cause, one message.
struct Breaks<'d> {
    document: &'d Document,
    /// Lines from which something may be lost; a broken line may hold half a value.
    lines: BTreeSet<u32>,
    /// Where something stands that is refused for itself.
    places: BTreeSet<Place>,
}

impl Breaks<'_> {
    fn of(document: &Document) -> Breaks<'_> {
        let places: BTreeSet<Place> = document.breaks.iter().map(|span| document.place_of(span.start)).collect();
        let lines = if document.broken { places.iter().map(|place| place.line).collect() } else { BTreeSet::new() };
        Breaks { document, lines, places }
    }

    /// Whether a problem at this place follows from a break. `about_value`: it is about the value that spans so far, not
    /// about the file as a whole (which holds every break) or a key in it.
    fn explain(&self, place: Place, Span { start, end }: Span, about_value: bool) -> bool {
        let broken_off =
            || self.document.broken && self.document.breaks.iter().any(|broken| (start..=end).contains(&broken.start));
        self.places.contains(&place) || self.lines.contains(&place.line) || (about_value && broken_off())
    }
}

fn problem(document: &Document, note: Note, found: &Located<'_>) -> Problem {
    let mut start = found.node.span.start;
    let mut path = found.path.clone();
    let mut key = found.key;
    match &note.at {
        At::Absent(_, absent) => {
            key = Some(absent);
            extend(&mut path, absent);
        }
        At::Key(_, unknown) => {
            let entry = found.node.entries().iter().find(|entry| *entry.key == **unknown);
            start = entry.map_or(start, |entry| entry.key_span.start);
            extend(&mut path, unknown);
        }
        At::PathKey(_) => start = found.key_span.map_or(start, |span| span.start),
        At::Node(_) | At::Path(_) => {}
    }
    // A word to write in place of a misspelt one needs no key before it.
    let write = note.write.as_ref().map(|write| written(write, key, document.syntax));
    Problem {
        place: document.place_of(start),
        path,
        subject: found.subject.clone(),
        sentence: note.sentence,
        found: note.show_found.then(|| found.node.shown()),
        expected: note.expected,
        write,
    }
}

fn extend(path: &mut String, key: &str) {
    if !path.is_empty() {
        path.push('.');
    }
    path.push_str(&path::quote_key(key));
}

/// The line to write, in the syntax of the file.
fn written(write: &Write, key: Option<&str>, syntax: Syntax) -> String {
    let value = match write {
        // Quotes and backslashes inside are escaped alike in both syntaxes.
        Write::Text(text) => format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\"")),
        Write::Bare(text) => text.clone(),
        Write::Whole(text) => return text.replace("KEY", key.unwrap_or("NAME")),
    };
    match (key, syntax) {
        (Some(key), Syntax::Toml) => format!("{} = {value}", path::quote_key(key)),
        (Some(key), Syntax::Json) => format!("\"{key}\": {value}"),
        (None, _) => value,
    }
}
