//! A serde deserializer over the tree that notes every problem and carries on.
//!
//! A table, list, number or word that is not what the model asks for is noted, and the model is fed a blank. Values
//! that are one piece of text ("1200 kg") fail inside their own visitor, which serde consumes: the node is noted and
//! marked, and the whole tree is read once more; the marked node is then fed `visit_unit`, which those visitors turn
//! into a blank. So there are as many passes as there are bad texts, plus one.

mod access;
mod again;
mod finish;
mod spot;
mod text;

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt;

use serde::de::{self, DeserializeOwned, Unexpected};

use crate::problem::MAX_PROBLEMS;
use crate::tree::{EMPTY, Node};

pub(crate) use again::read_again;
pub(crate) use finish::finish;

/// A fault of a text value on its way through serde, whose errors carry text only.
///
/// `Display` writes the sentence and then `expected` and `write`, one to a line, parted from their word by a tab: the
/// form that `quantity::Fault::parts` takes apart.
pub(crate) struct LeafFault {
    pub(crate) sentence: String,
    pub(crate) expected: Option<String>,
    pub(crate) write: Option<String>,
}

impl fmt::Display for LeafFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sentence)?;
        for (word, text) in [("expected", &self.expected), ("write", &self.write)] {
            if let Some(text) = text {
                write!(f, "\n{word}\t{text}")?;
            }
        }
        Ok(())
    }
}

/// What a note is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum At {
    /// A node of the tree, by its address.
    Node(usize),
    /// A key that a table lacks: the table's address, the key.
    Absent(usize, String),
    /// A key that a table should not have: the table's address, the key.
    Key(usize, String),
    /// A path made from the rig. If the value is absent, its nearest parent.
    Path(String),
    /// The key of a path whose last step is a key.
    PathKey(String),
}

/// A problem before its place and subject are looked up.
#[derive(Clone, Debug)]
pub(crate) struct Note {
    pub(crate) at: At,
    pub(crate) sentence: String,
    pub(crate) expected: Option<String>,
    /// Text that would be accepted; how it is quoted and whether its key goes before it is decided at the end.
    pub(crate) write: Option<Write>,
    /// Whether what stands there is to be shown.
    pub(crate) show_found: bool,
}

/// What to write, and in which form.
#[derive(Clone, Debug)]
pub(crate) enum Write {
    /// As a text value: `rated = "5200 kg"`.
    Text(String),
    /// As it is, after the key: `driven = true`.
    Bare(String),
    /// As it is, without the key.
    Whole(String),
}

/// What happened on the way.
#[derive(Default)]
struct Notes {
    /// Notes of this pass; the next pass finds them again.
    structure: RefCell<Vec<Note>>,
    /// Notes of texts that could not be read, by the address of their node; kept over passes. None where the note was
    /// made further inside.
    texts: RefCell<BTreeMap<usize, Option<Note>>>,
    /// Blank every text unread: the cap is reached.
    blank_all: bool,
    /// Hand out absent keys too, so that each wanted one is noted. A good file never needs it: serde itself takes
    /// absent keys that are optional for none.
    tell_absent: bool,
}

#[derive(Debug)]
enum ReadError {
    /// A text was noted and marked; read again.
    Again,
    /// A wanted key is absent.
    Missing,
    /// A visitor wants something else.
    WrongType,
    /// A visitor's own words.
    Said(String),
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ReadError::Again | ReadError::Missing | ReadError::WrongType => Ok(()),
            ReadError::Said(text) => f.write_str(text),
        }
    }
}

impl std::error::Error for ReadError {}

impl de::Error for ReadError {
    fn custom<T: fmt::Display>(message: T) -> ReadError {
        ReadError::Said(message.to_string())
    }

    fn missing_field(_: &'static str) -> ReadError {
        ReadError::Missing
    }

    fn invalid_type(_: Unexpected<'_>, _: &dyn de::Expected) -> ReadError {
        ReadError::WrongType
    }
}

/// Reads a model from the tree. Always gives a model, with blanks where something was noted; then the notes, and
/// whether looking for more was given up.
pub(crate) fn read<T: DeserializeOwned>(root: &Node, bytes: usize) -> (T, Vec<Note>, bool) {
    // A pass over a large file takes long; a file with many bad texts is told the first ones all the same.
    const WORK: usize = 256 << 20;
    let most = MAX_PROBLEMS.min(WORK / bytes.max(1));
    let mut notes = Notes::default();
    loop {
        notes.structure.borrow_mut().clear();
        let read = T::deserialize(spot::Reader::here(root, &notes));
        let texts = notes.texts.borrow().len();
        match read {
            Ok(model) => {
                let cut_short = notes.blank_all;
                let mut all = notes.structure.into_inner();
                all.extend(notes.texts.into_inner().into_values().flatten());
                return (model, all, cut_short);
            }
            Err(ReadError::Missing) if !notes.tell_absent => notes.tell_absent = true,
            Err(ReadError::Again) if texts < most => {}
            Err(ReadError::Again) if !notes.blank_all => notes.blank_all = true,
            Err(fault) => {
                // No visitor of ours gets here; a model is owed all the same.
                let text = Note {
                    at: At::Node(root.address()),
                    sentence: format!("the file could not be read to its end: {fault}"),
                    expected: None,
                    write: None,
                    show_found: false,
                };
                let mut all = notes.structure.into_inner();
                all.push(text);
                let quiet = Notes { blank_all: true, tell_absent: true, ..Notes::default() };
                if let Ok(blank) = T::deserialize(spot::Reader::blank(&EMPTY, &quiet)) {
                    return (blank, all, true);
                }
                unreachable_model()
            }
        }
    }
}

/// Every type of the model can be built from blanks; a unit test holds this.
#[expect(clippy::panic, reason = "no input leads here: it depends on the model's types alone, and a test covers it")]
fn unreachable_model() -> ! {
    panic!("the model has a type that cannot be blank")
}

/// The known word nearest to what was written, if it is near: at most a third of its letters wrong, and nearer than
/// every other.
pub(crate) fn nearest<'k>(written: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    // Nothing that long is a slip of the pen, and the distance takes time by the product of both lengths.
    const LONGEST: usize = 64;
    if written.len() > LONGEST {
        return None;
    }
    let lower = written.to_lowercase();
    let near = (written.chars().count() / 3).max(1);
    let distance = |word: &str| strsim::damerau_levenshtein(&lower, &word.to_lowercase());
    let mut best: Vec<(usize, &str)> = known
        .into_iter()
        .filter(|word| word.len() <= LONGEST)
        .map(|word| (distance(word), word))
        .filter(|(distance, _)| *distance <= near)
        .collect();
    best.sort();
    best.dedup();
    match best.as_slice() {
        [(first, _), (second, _), ..] if first == second => None,
        [(_, word), ..] => Some(word),
        [] => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Rig;
    use serde::Deserialize;

    #[test]
    fn every_type_of_the_model_can_be_blank() {
        let notes = Notes { blank_all: true, tell_absent: true, ..Notes::default() };
        assert!(Rig::deserialize(spot::Reader::blank(&EMPTY, &notes)).is_ok());
    }

    #[test]
    fn the_nearest_word_is_near_and_alone() {
        assert_eq!(nearest("presure", ["pressure", "size"]), Some("pressure"));
        assert_eq!(nearest("PRESURE", ["pressure"]), Some("pressure"));
        assert_eq!(nearest("colour", ["codes", "note"]), None);
        assert_eq!(nearest("bat", ["cat", "hat"]), None, "two are equally near");
        assert_eq!(nearest("bat", ["cat", "cat"]), Some("cat"));
        assert_eq!(nearest(&"k".repeat(1000), ["kk"]), None);
    }
}
