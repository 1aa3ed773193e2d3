//! Values that are one piece of text, and tables that may be: their own visitor takes them apart and may refuse.

use serde::de::Visitor;

use super::access::Fields;
use super::spot::{Reader, wanted_by};
use super::{At, Note, ReadError, Write};
use crate::tree::{Kind, Node};

impl<'t> Reader<'t> {
    /// A value that is one piece of text, whose visitor takes it apart.
    pub(super) fn text_value<'de, V: Visitor<'de>>(self, node: &Node, visitor: V) -> Result<V::Value, ReadError> {
        let address = node.address();
        if self.notes.blank_all {
            return visitor.visit_unit();
        }
        if let Some(note) = self.notes.texts.borrow_mut().get_mut(&address) {
            // Only now is the visitor at hand to say what it wants: the first time it was consumed.
            if let Some(note) = note {
                note.expected.get_or_insert_with(|| wanted_by(&visitor));
            }
            return visitor.visit_unit();
        }
        let fault = match &node.kind {
            Kind::Text(text) | Kind::Moment(text) => visitor.visit_str(text),
            Kind::Number(number) => match number.whole {
                Some(whole) => visitor.visit_i64(whole),
                None => visitor.visit_f64(number.value),
            },
            _ => Err(ReadError::WrongType),
        };
        match fault {
            Err(ReadError::Said(text)) => Err(self.mark(node, Some(said(&text)))),
            Err(ReadError::WrongType) => {
                let sentence = format!("this is {}, and text is wanted here", node.noun());
                Err(self.mark(node, Some((sentence, None, None))))
            }
            done => done,
        }
    }

    /// A table that may also be text, and whose visitor weighs its keys against each other.
    pub(super) fn weighed_table<'de, V: Visitor<'de>>(
        self,
        node: &'t Node,
        known: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, ReadError> {
        let (marked, inside) = {
            let texts = self.notes.texts.borrow();
            (texts.contains_key(&node.address()), node.entries().iter().any(|entry| texts.contains_key(&entry.value.address())))
        };
        if marked {
            return visitor.visit_unit();
        }
        match visitor.visit_map(Fields::new(node, known, false, self.notes)) {
            // With a blank inside, keys that do not go together follow from what was noted there.
            Err(ReadError::Said(text)) => Err(self.mark(node, (!inside).then(|| said(&text)))),
            done => done,
        }
    }

    /// Marks a node to be blank from now on, with a note unless there is none to make.
    fn mark(&self, node: &Node, words: Option<(String, Option<String>, Option<Write>)>) -> ReadError {
        let at = At::Node(node.address());
        let note = words.map(|(sentence, expected, write)| Note { at, sentence, expected, write, show_found: true });
        self.notes.texts.borrow_mut().insert(node.address(), note);
        ReadError::Again
    }
}

/// Takes a visitor's own words apart: sentence, what is wanted, what to write.
fn said(text: &str) -> (String, Option<String>, Option<Write>) {
    let parts = quantity::Fault::parts(text);
    let own = |part: Option<&str>| part.map(str::to_owned);
    (parts.sentence.to_owned(), own(parts.expected), own(parts.write).map(Write::Text))
}

/// `a mass` of `a mass as text, such as "1200 kg"`.
pub(super) fn before_example(wanted: &str) -> &str {
    wanted.split(", such as").next().unwrap_or(wanted).trim_end_matches(" in double quotes")
}

/// `1200 kg` of `a mass as text, such as "1200 kg" or "2600 lb"`.
pub(super) fn example_in(wanted: &str) -> Option<String> {
    wanted.split_once("such as \"")?.1.split('"').next().map(str::to_owned)
}
