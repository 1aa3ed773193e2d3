//! The rig file as a tree with places, and the door to the reader.

use std::sync::{Arc, OnceLock};

use crate::lines::{BYTE_ORDER_MARK, Lines, Place};
use crate::model::Rig;
use crate::path::{self, Segment};
use crate::problem::{Problem, sort_and_cap};
use crate::tree::{Entry, Node, Span};
use crate::{check, locate, reader, syntax};

/// Files above this size are refused: no rig needs it, and a reader that takes everything can be made to hang.
pub const MAX_BYTES: usize = 8 << 20;

/// How the file is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Syntax {
    /// TOML 1.1.
    Toml,
    /// JSON (RFC 8259), nothing looser.
    Json,
}

/// A rig file: the text, and its values as a tree in which each knows its place.
///
/// Copies and edited copies share what they have in common.
#[derive(Clone, Debug)]
pub struct Document {
    pub(crate) text: Arc<str>,
    pub(crate) lines: Arc<Lines>,
    pub(crate) root: Arc<Node>,
    pub(crate) syntax: Syntax,
    /// The text broke the rules of its syntax: parts may be lost, so that "is missing" means nothing.
    pub(crate) broken: bool,
    /// Where it broke them, or said what no rig file says (a JSON key twice, null).
    pub(crate) breaks: Arc<[Span]>,
    /// The first tree read without a problem, and its rig: copies read only what they do not share with it.
    pub(crate) first: Arc<OnceLock<(Arc<Node>, Rig)>>,
}

impl Document {
    /// Takes TOML apart. The document holds what could be understood; the problems say what could not.
    pub fn from_toml(text: &str) -> (Document, Vec<Problem>) {
        Document::new(text, Syntax::Toml)
    }

    /// Takes JSON apart. After the first breach of syntax nothing is read.
    pub fn from_json(text: &str) -> (Document, Vec<Problem>) {
        Document::new(text, Syntax::Json)
    }

    /// Takes a text apart in either syntax.
    pub fn new(text: &str, syntax: Syntax) -> (Document, Vec<Problem>) {
        let (document, problems) = Document::take_apart(text, syntax);
        (document, sort_and_cap(problems, false))
    }

    fn take_apart(text: &str, syntax: Syntax) -> (Document, Vec<Problem>) {
        let lines = Lines::new(text);
        if text.len() > MAX_BYTES {
            let nothing = Node::table(Default::default(), Vec::new());
            let document = Document { broken: true, ..Document::of(text, lines, nothing, syntax, Vec::new()) };
            return (document, vec![syntax::too_large(text.len())]);
        }
        let body = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text);
        let shift = text.len() - body.len();
        let parsed = match syntax {
            Syntax::Toml => syntax::toml(body, shift),
            Syntax::Json => syntax::json(body, shift),
        };
        let breaks = parsed.faults.iter().map(|fault| fault.span).collect();
        let problems = parsed.faults.into_iter().map(|fault| fault.at_place(text, &lines)).collect();
        let broken = parsed.broken;
        (Document { broken, ..Document::of(text, lines, parsed.root, syntax, breaks) }, problems)
    }

    fn of(text: &str, lines: Lines, root: Node, syntax: Syntax, breaks: Vec<Span>) -> Document {
        Document {
            text: Arc::from(text),
            lines: Arc::new(lines),
            root: Arc::new(root),
            syntax,
            broken: false,
            breaks: breaks.into(),
            first: Arc::default(),
        }
    }

    /// Takes bytes apart that should be text.
    ///
    /// # Errors
    /// When they are not UTF-8: where the first wrong byte stands.
    pub fn from_bytes(bytes: &[u8], syntax: Syntax) -> Result<(Document, Vec<Problem>), Vec<Problem>> {
        match std::str::from_utf8(bytes) {
            Ok(text) => Ok(Document::new(text, syntax)),
            Err(fault) => Err(vec![syntax::not_utf8(bytes, fault.valid_up_to())]),
        }
    }

    /// The text the document was made from. An edited copy keeps the text of the original.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Reads the rig. With problems the rig has blanks and is not to be audited.
    pub fn read(&self) -> (Rig, Vec<Problem>) {
        let (rig, problems, cut_short) = self.read_all();
        (rig, if problems.is_empty() { problems } else { sort_and_cap(problems, cut_short) })
    }

    fn read_all(&self) -> (Rig, Vec<Problem>, bool) {
        let again = self.first.get().and_then(|(root, rig)| reader::read_again(root, rig, &self.root));
        let (rig, mut notes, cut_short) = match again {
            Some(rig) => (rig, Vec::new(), false),
            None => reader::read::<Rig>(&self.root, self.text.len()),
        };
        check::check(&rig, self, &mut notes);
        if notes.is_empty() && !self.broken && self.first.get().is_none() {
            // Of two threads that read at once the first is kept; both have the same rig.
            let _ = self.first.set((Arc::clone(&self.root), rig.clone()));
        }
        let problems = if notes.is_empty() { Vec::new() } else { reader::finish(self, notes) };
        (rig, problems, cut_short)
    }

    /// The keys of the file under which all is as it was in a rig that was read without a problem.
    pub(crate) fn keys_read(&self) -> Vec<String> {
        let Some((first, _)) = self.first.get() else { return Vec::new() };
        let same = |entry: &&Entry| first.get(&entry.key).is_some_and(|before| Arc::ptr_eq(before, &entry.value));
        self.root.entries().iter().filter(same).map(|entry| entry.key.to_string()).collect()
    }

    /// The place of the value with this path; none if it is absent or the path makes no sense.
    pub fn place(&self, path: &str) -> Option<Place> {
        let segments = path::parse(path).ok()?;
        let found = locate::locate(&self.root, &segments);
        (found.depth == segments.len()).then(|| self.place_of(found.node.span.start))
    }

    /// The place of the value with this path or, if it is absent, of its nearest present parent, with the path of
    /// what was found ("" for the whole file).
    pub fn nearest_place(&self, path: &str) -> (Place, String) {
        let segments: Vec<Segment> = path::parse(path).unwrap_or_default();
        let found = locate::locate(&self.root, &segments);
        (self.place_of(found.node.span.start), found.path)
    }

    /// The subject of a path in the owner's words, such as `axle "front", rated`; of an absent path the nearest parent.
    pub fn subject(&self, path: &str) -> String {
        locate::locate(&self.root, &path::parse(path).unwrap_or_default()).subject
    }

    /// Whether the file has a value with this path.
    pub fn has(&self, path: &str) -> bool {
        path::parse(path).is_ok_and(|segments| locate::locate(&self.root, &segments).depth == segments.len())
    }

    /// Bytes of the text in which the value with this path stands; none if it is absent. Of a table that begins with a
    /// header, the header.
    pub fn span(&self, path: &str) -> Option<std::ops::Range<usize>> {
        let segments = path::parse(path).ok()?;
        let found = locate::locate(&self.root, &segments);
        let span = found.node.span;
        (found.depth == segments.len()).then_some(span.start..span.end)
    }

    /// How the text is written.
    pub fn syntax(&self) -> Syntax {
        self.syntax
    }

    pub(crate) fn place_of(&self, byte: usize) -> Place {
        self.lines.place(&self.text, byte)
    }
}

/// Reads a rig file from text: the document and the rig, or every problem of the file, sorted by place.
///
/// # Errors
/// All problems at once, at most 200.
pub fn read_rig(text: &str, syntax: Syntax) -> Result<(Document, Rig), Vec<Problem>> {
    let (document, mut problems) = Document::take_apart(text, syntax);
    // JSON that breaks its syntax, and a file refused for its size, leave nothing to look at.
    if document.broken && (syntax == Syntax::Json || text.len() > MAX_BYTES) {
        return Err(sort_and_cap(problems, false));
    }
    let (rig, more, cut_short) = document.read_all();
    problems.extend(more);
    if problems.is_empty() { Ok((document, rig)) } else { Err(sort_and_cap(problems, cut_short)) }
}

/// Reads a rig file from bytes: as [`read_rig`], and bytes that are not UTF-8 are one problem with its place.
///
/// # Errors
/// All problems at once, at most 200.
pub fn read_rig_bytes(bytes: &[u8], syntax: Syntax) -> Result<(Document, Rig), Vec<Problem>> {
    match std::str::from_utf8(bytes) {
        Ok(text) => read_rig(text, syntax),
        Err(fault) => Err(vec![syntax::not_utf8(bytes, fault.valid_up_to())]),
    }
}
