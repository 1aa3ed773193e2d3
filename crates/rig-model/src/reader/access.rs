//! What the reader hands to serde for tables and lists.

use std::slice::Iter;
use std::sync::Arc;

use serde::de::value::StrDeserializer;
use serde::de::{DeserializeSeed, MapAccess, SeqAccess};

use super::spot::{Reader, Spot};
use super::{At, Note, Notes, ReadError, Write, nearest};
use crate::problem::list_words;
use crate::tree::{Entry, Node};

/// The entries of a list.
pub(super) struct Items<'t> {
    items: Iter<'t, Arc<Node>>,
    notes: &'t Notes,
}

impl<'t> Items<'t> {
    pub(super) fn new(list: &'t Node, notes: &'t Notes) -> Items<'t> {
        Items { items: list.items().iter(), notes }
    }
}

impl<'de> SeqAccess<'de> for Items<'_> {
    type Error = ReadError;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, ReadError> {
        self.items.next().map(|item| seed.deserialize(Reader::here(item, self.notes))).transpose()
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.items.len())
    }
}

/// The same reader several times: blanks for a list of fixed length.
pub(super) struct Repeat<'t> {
    left: usize,
    reader: Reader<'t>,
}

impl<'t> Repeat<'t> {
    pub(super) fn new(times: usize, reader: Reader<'t>) -> Repeat<'t> {
        Repeat { left: times, reader }
    }
}

impl<'de> SeqAccess<'de> for Repeat<'_> {
    type Error = ReadError;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, ReadError> {
        let Some(left) = self.left.checked_sub(1) else { return Ok(None) };
        self.left = left;
        seed.deserialize(self.reader).map(Some)
    }
}

/// The entries of a table whose keys are the owner's own.
pub(super) struct Entries<'t> {
    entries: Iter<'t, Entry>,
    value: Option<&'t Node>,
    notes: &'t Notes,
}

impl<'t> Entries<'t> {
    pub(super) fn new(table: &'t Node, notes: &'t Notes) -> Entries<'t> {
        Entries { entries: table.entries().iter(), value: None, notes }
    }
}

impl<'de> MapAccess<'de> for Entries<'_> {
    type Error = ReadError;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, ReadError> {
        let Some(entry) = self.entries.next() else { return Ok(None) };
        self.value = Some(&entry.value);
        seed.deserialize(StrDeserializer::new(&entry.key)).map(Some)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, ReadError> {
        match self.value.take() {
            Some(node) => seed.deserialize(Reader::here(node, self.notes)),
            None => Err(ReadError::Said("a value was asked for before its key".into())),
        }
    }
}

/// The fields of a table the model knows: those that are there in the order of the file, then the absent ones.
pub(super) struct Fields<'t> {
    table: &'t Node,
    entries: Iter<'t, Entry>,
    known: &'static [&'static str],
    absent: Iter<'static, &'static str>,
    spot: Option<Spot<'t>>,
    quiet: bool,
    notes: &'t Notes,
}

impl<'t> Fields<'t> {
    pub(super) fn new(table: &'t Node, known: &'static [&'static str], quiet: bool, notes: &'t Notes) -> Fields<'t> {
        // A blank is made of absent keys alone.
        let absent = if quiet || notes.tell_absent { known.iter() } else { [].iter() };
        Fields { table, entries: table.entries().iter(), known, absent, spot: None, quiet, notes }
    }

    fn note_unknown(&self, key: &str) {
        // Only keys that are not there yet can be meant.
        let unused = || self.known.iter().copied().filter(|known| self.table.get(known).is_none());
        let near = nearest(key, unused());
        const MOST: usize = 16;
        let shown: Vec<&str> = unused().take(MOST).collect();
        let more = unused().count().saturating_sub(MOST);
        let expected = match more {
            0 if shown.is_empty() => "no further key".to_owned(),
            0 => list_words(shown, "or"),
            _ => format!("{}, or one of {more} more", shown.join(", ")),
        };
        self.notes.structure.borrow_mut().push(Note {
            at: At::Key(self.table.address(), key.to_owned()),
            sentence: format!("there is no key \"{}\" here", crate::problem::shorten(key)),
            expected: Some(expected),
            write: near.map(|word| Write::Whole(word.into())),
            show_found: false,
        });
    }
}

impl<'de> MapAccess<'de> for Fields<'_> {
    type Error = ReadError;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, ReadError> {
        while let Some(entry) = self.entries.next() {
            if self.known.contains(&entry.key.as_ref()) {
                self.spot = Some(Spot::Here(&entry.value));
                return seed.deserialize(StrDeserializer::new(&entry.key)).map(Some);
            }
            if !self.quiet {
                self.note_unknown(&entry.key);
            }
        }
        for key in self.absent.by_ref() {
            if self.table.get(key).is_none() {
                self.spot = Some(Spot::Absent { table: self.table, key, quiet: self.quiet });
                return seed.deserialize(StrDeserializer::new(key)).map(Some);
            }
        }
        Ok(None)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, ReadError> {
        match self.spot.take() {
            Some(spot) => seed.deserialize(Reader { spot, notes: self.notes }),
            None => Err(ReadError::Said("a value was asked for before its key".into())),
        }
    }
}
