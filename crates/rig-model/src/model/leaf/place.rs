//! A coordinate: a length, or a word for a place in the body.

use std::borrow::Cow;
use std::fmt;

use quantity::{Stated, dim};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::de::value::{MapAccessDeserializer, StrDeserializer, UnitDeserializer};
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};

use crate::reader::{LeafFault, nearest};

/// A place inside the body, in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Word {
    /// Against the left wall (y).
    Left,
    /// Against the right wall (y).
    Right,
    /// On the floor (z).
    Floor,
    /// Against the ceiling (z).
    Roof,
    /// Against the front wall (x).
    FrontWall,
    /// Against the rear wall (x).
    RearWall,
    /// In the middle of this direction (x, y or z).
    Centre,
}

impl Word {
    /// Every word with its spelling, the preferred one first.
    const SPELLINGS: [(&'static str, Word); 10] = [
        ("left", Word::Left),
        ("right", Word::Right),
        ("floor", Word::Floor),
        ("roof", Word::Roof),
        ("front-wall", Word::FrontWall),
        ("front wall", Word::FrontWall),
        ("rear-wall", Word::RearWall),
        ("rear wall", Word::RearWall),
        ("centre", Word::Centre),
        ("center", Word::Centre),
    ];

    /// The word as the file writes it.
    pub fn text(self) -> &'static str {
        Self::SPELLINGS.iter().find(|(_, word)| *word == self).map_or("", |(text, _)| text)
    }

    /// The directions (0 x, 1 y, 2 z) in which this word means something.
    pub fn directions(self) -> &'static [usize] {
        match self {
            Word::FrontWall | Word::RearWall => &[0],
            Word::Left | Word::Right => &[1],
            Word::Floor | Word::Roof => &[2],
            Word::Centre => &[0, 1, 2],
        }
    }

    fn read(text: &str) -> Option<Word> {
        Self::SPELLINGS.iter().find(|(spelling, _)| *spelling == text).map(|(_, word)| *word)
    }
}

/// One of the three numbers of a place: a stated length, or with in = "body" a word.
#[derive(Clone, Debug, PartialEq)]
pub enum Coord {
    /// A length, such as "2.9 m".
    Length(Stated<dim::Length>),
    /// A word, such as "left".
    Word(Word),
}

const COORD_EXPECTED: &str =
    "a length, such as \"0.4 m\", or with in = \"body\" a word: left, right, floor, roof, front-wall, rear-wall, centre";

impl<'de> Deserialize<'de> for Coord {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct CoordVisitor;
        impl<'de> Visitor<'de> for CoordVisitor {
            type Value = Coord;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(COORD_EXPECTED)
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<Coord, E> {
                if let Some(word) = Word::read(text.trim()) {
                    return Ok(Coord::Word(word));
                }
                let wordy = text.chars().next().is_some_and(char::is_alphabetic) && !text.chars().any(|c| c.is_ascii_digit());
                if wordy {
                    let known = Word::SPELLINGS.iter().map(|(spelling, _)| *spelling);
                    return Err(E::custom(LeafFault {
                        sentence: "this is neither a length nor a word for a place".into(),
                        expected: Some(COORD_EXPECTED.into()),
                        write: nearest(text.trim(), known).map(str::to_owned),
                    }));
                }
                Stated::deserialize(StrDeserializer::new(text)).map(Coord::Length)
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Coord, A::Error> {
                Stated::deserialize(MapAccessDeserializer::new(map)).map(Coord::Length)
            }
            fn visit_unit<E: Error>(self) -> Result<Coord, E> {
                Stated::deserialize(UnitDeserializer::new()).map(Coord::Length)
            }
        }
        deserializer.deserialize_struct("Stated", &["value", "how", "tolerance", "bounds", "from"], CoordVisitor)
    }
}

impl JsonSchema for Coord {
    fn schema_name() -> Cow<'static, str> {
        "Coord".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        // The length's own schema, with the words let through its pattern.
        let mut schema = <Stated<dim::Length>>::json_schema(generator);
        let words: Vec<&str> = Word::SPELLINGS.iter().map(|(spelling, _)| *spelling).collect();
        if let Some(pattern) = schema.get("pattern").and_then(|pattern| pattern.as_str()).map(str::to_owned) {
            schema.insert("pattern".into(), format!("(?:^\\s*(?:{})\\s*$)|(?:{pattern})", words.join("|")).into());
        }
        schema.insert("description".into(), format!("One number of a place: {COORD_EXPECTED}.").into());
        schema
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_for_a_place_has_a_direction() {
        for (spelling, word) in Word::SPELLINGS {
            assert_eq!(Word::read(spelling), Some(word));
            assert_eq!(Word::read(word.text()), Some(word));
            assert!(!word.directions().is_empty());
        }
    }
}
