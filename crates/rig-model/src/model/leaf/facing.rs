//! The way something faces, seen from the driver's seat.

use std::borrow::Cow;
use std::fmt;

use quantity::{Stated, dim};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::de::value::{MapAccessDeserializer, StrDeserializer, UnitDeserializer};
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};

use crate::reader::{LeafFault, nearest};

/// A way something faces, in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FacingWord {
    /// The way the truck drives.
    Forward,
    /// To the driver's right.
    Right,
    /// The way the truck came.
    Rearward,
    /// To the driver's left.
    Left,
}

impl FacingWord {
    /// Every word, clockwise from the nose.
    pub const ALL: [FacingWord; 4] = [FacingWord::Forward, FacingWord::Right, FacingWord::Rearward, FacingWord::Left];

    /// The word as the file writes it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            FacingWord::Forward => "forward",
            FacingWord::Right => "right",
            FacingWord::Rearward => "rearward",
            FacingWord::Left => "left",
        }
    }

    /// Quarter turns clockwise from the nose.
    #[must_use]
    pub fn quarters(self) -> u8 {
        self as u8
    }
}

/// The way something faces: a word, or an angle clockwise from the nose.
#[derive(Clone, Debug, PartialEq)]
pub enum Facing {
    /// A word, such as "left".
    Word(FacingWord),
    /// An angle clockwise from the nose, such as "135 deg".
    Angle(Stated<dim::Angle>),
}

const EXPECTED: &str = "a word: forward, rearward, left, right; or an angle clockwise from the nose, such as \"135 deg\"";

impl<'de> Deserialize<'de> for Facing {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct FacingVisitor;
        impl<'de> Visitor<'de> for FacingVisitor {
            type Value = Facing;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(EXPECTED)
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<Facing, E> {
                let text = text.trim();
                if let Some(word) = FacingWord::ALL.into_iter().find(|word| word.word() == text) {
                    return Ok(Facing::Word(word));
                }
                let wordy = text.chars().next().is_some_and(char::is_alphabetic) && !text.chars().any(|c| c.is_ascii_digit());
                if wordy {
                    return Err(E::custom(LeafFault {
                        sentence: "this is neither an angle nor a word for a way to face".into(),
                        expected: Some(EXPECTED.into()),
                        write: nearest(text, FacingWord::ALL.into_iter().map(FacingWord::word)).map(str::to_owned),
                    }));
                }
                Stated::deserialize(StrDeserializer::new(text)).map(Facing::Angle)
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Facing, A::Error> {
                Stated::deserialize(MapAccessDeserializer::new(map)).map(Facing::Angle)
            }
            fn visit_unit<E: Error>(self) -> Result<Facing, E> {
                Stated::deserialize(UnitDeserializer::new()).map(Facing::Angle)
            }
        }
        deserializer.deserialize_struct("Stated", &["value", "how", "tolerance", "bounds", "from"], FacingVisitor)
    }
}

impl JsonSchema for Facing {
    fn schema_name() -> Cow<'static, str> {
        "Facing".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        // The angle's own schema, with the words let through its pattern.
        let mut schema = <Stated<dim::Angle>>::json_schema(generator);
        let words = FacingWord::ALL.map(FacingWord::word).join("|");
        if let Some(pattern) = schema.get("pattern").and_then(|pattern| pattern.as_str()).map(str::to_owned) {
            schema.insert("pattern".into(), format!("(?:^\\s*(?:{words})\\s*$)|(?:{pattern})").into());
        }
        schema.insert("description".into(), format!("The way something faces: {EXPECTED}.").into());
        schema
    }
}
