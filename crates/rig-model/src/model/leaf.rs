//! Values written as one piece of text: a coordinate, a fill, an occupant, a day.

use std::borrow::Cow;
use std::fmt;

use quantity::{Dimension, Stated, dim};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
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

/// What is in a tank.
#[derive(Clone, Debug, PartialEq)]
pub enum Fill {
    /// A share of the tank's volume, 0 to 1: "50 %", "full", "empty".
    Share(Stated<dim::Ratio>),
    /// A volume: "80 L".
    Volume(Stated<dim::Volume>),
    /// A mass of what is in it: "20 kg".
    Mass(Stated<dim::Mass>),
    /// "?": not known yet; anything from empty to full.
    Unknown,
}

impl Fill {
    const EXPECTED: &str = "a fill, such as \"80 L\", \"50 %\", \"full\", \"empty\" or \"?\"";

    /// Reads a fill as the file writes it.
    ///
    /// # Errors
    /// The sentence for the owner when the text is no fill.
    pub fn read(text: &str) -> Result<Fill, String> {
        let stated = match text.trim() {
            "?" => return Ok(Fill::Unknown),
            "full" => "100 %",
            "empty" => "0 %",
            other => other,
        };
        let share = |text| read_stated::<dim::Ratio>(text).map(Fill::Share);
        if stated.contains('%') {
            return share(stated);
        }
        read_stated::<dim::Volume>(stated).map(Fill::Volume).or_else(|volume_fault| {
            read_stated::<dim::Mass>(stated)
                .map(Fill::Mass)
                .or_else(|mass_fault| share(stated).map_err(|_| if speaks_of_mass(stated) { mass_fault } else { volume_fault }))
        })
    }
}

/// Whether one of the words is a unit of mass: then the message is about that.
fn speaks_of_mass(text: &str) -> bool {
    let numeric = |c: char| c.is_ascii_digit() || ".,+-".contains(c);
    let unit_alone = |word: &str| format!("1 {}", word.trim_start_matches(numeric));
    text.split_whitespace().any(|word| quantity::dimension_of(&unit_alone(word)) == Some(Dimension::Mass))
}

/// A stated value from its one-string form; the fault as the sentence for the owner.
fn read_stated<D: quantity::Dim>(text: &str) -> Result<Stated<D>, String> {
    Stated::<D>::deserialize(StrDeserializer::<serde::de::value::Error>::new(text))
        .map_err(|fault| quantity::Fault::parts(&fault.to_string()).sentence.to_owned())
}

impl<'de> Deserialize<'de> for Fill {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let read = |text: &str| {
            Fill::read(text).map_err(|sentence| LeafFault { sentence, expected: Some(Fill::EXPECTED.into()), write: None })
        };
        deserializer.deserialize_str(LeafVisitor { expected: Fill::EXPECTED, read, blank: || Fill::Unknown })
    }
}

impl JsonSchema for Fill {
    fn schema_name() -> Cow<'static, str> {
        "Fill".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "What is in a tank: a share (\"50 %\", \"full\", \"empty\"), a volume (\"80 L\", \"about 60 L\", \"40 to 60 L\"), a mass (\"20 kg\"), or \"?\" for not known yet.",
            "examples": ["full", "empty", "80 L", "about 50 %", "?"],
            "minLength": 1,
        })
    }
}

/// Who sits where.
#[derive(Clone, Debug, PartialEq)]
pub struct Occupant {
    /// Name of the seat.
    pub seat: String,
    /// Name of the person, where it matters who.
    pub person: Option<String>,
    /// Mass of whoever sits there, where no person is named.
    pub mass: Option<Stated<dim::Mass>>,
}

const OCCUPANT_EXPECTED: &str =
    "the name of a seat, such as \"driver seat\", with who sits there if it matters: \"driver seat: Ana\"";

impl Occupant {
    fn read(text: &str) -> Result<Occupant, LeafFault> {
        let (seat, who) = match text.split_once(':') {
            Some((seat, who)) => (seat.trim(), Some(who.trim()).filter(|who| !who.is_empty())),
            None => (text.trim(), None),
        };
        if seat.is_empty() {
            return Err(LeafFault {
                sentence: "no seat is named here".into(),
                expected: Some(OCCUPANT_EXPECTED.into()),
                write: None,
            });
        }
        // "driver seat: 85 kg" is a mass; every other word after the colon is somebody's name.
        let mass = who.and_then(|who| read_stated::<dim::Mass>(who).ok());
        let person = who.filter(|_| mass.is_none()).map(str::to_owned);
        Ok(Occupant { seat: seat.to_owned(), person, mass })
    }
}

impl<'de> Deserialize<'de> for Occupant {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(serde::Deserialize)]
        #[serde(deny_unknown_fields, expecting = "who sits where")]
        struct Table {
            seat: String,
            person: Option<String>,
            mass: Option<Stated<dim::Mass>>,
        }
        struct OccupantVisitor;
        impl<'de> Visitor<'de> for OccupantVisitor {
            type Value = Occupant;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(OCCUPANT_EXPECTED)
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<Occupant, E> {
                Occupant::read(text).map_err(E::custom)
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Occupant, A::Error> {
                let Table { seat, person, mass } = Table::deserialize(MapAccessDeserializer::new(map))?;
                Ok(Occupant { seat, person, mass })
            }
            fn visit_unit<E: Error>(self) -> Result<Occupant, E> {
                Ok(Occupant { seat: String::new(), person: None, mass: None })
            }
        }
        deserializer.deserialize_struct("Occupant", &["seat", "person", "mass"], OccupantVisitor)
    }
}

impl JsonSchema for Occupant {
    fn schema_name() -> Cow<'static, str> {
        "Occupant".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let mass = generator.subschema_for::<Stated<dim::Mass>>();
        json_schema!({
            "type": ["string", "object"],
            "description": "Who sits where: a seat's name, \"driver seat: Ana\", \"driver seat: 85 kg\", or a table.",
            "examples": ["driver seat", "driver seat: Ana"],
            "minLength": 1,
            "properties": {
                "seat": { "type": "string", "description": "Name of the seat." },
                "person": { "type": "string", "description": "Name of the person, where it matters who." },
                "mass": mass,
            },
            "required": ["seat"],
            "additionalProperties": false,
        })
    }
}

/// A day of the calendar, such as "2026-05-01".
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(pub jiff::civil::Date);

const DAY_EXPECTED: &str = "a day as year-month-day, such as \"2026-05-01\"";

impl Day {
    fn read(text: &str) -> Result<Day, LeafFault> {
        // jiff also takes other ISO 8601 forms; one form in the file keeps files alike.
        let shaped =
            text.len() == 10 && text.char_indices().all(|(at, c)| if at == 4 || at == 7 { c == '-' } else { c.is_ascii_digit() });
        text.parse().ok().filter(|_| shaped).map(Day).ok_or_else(|| LeafFault {
            sentence: if shaped { "the calendar has no such day" } else { "this is not a day" }.into(),
            expected: Some(DAY_EXPECTED.into()),
            write: None,
        })
    }
}

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let blank = || Day(jiff::civil::Date::ZERO);
        deserializer.deserialize_str(LeafVisitor { expected: DAY_EXPECTED, read: Day::read, blank })
    }
}

impl JsonSchema for Day {
    fn schema_name() -> Cow<'static, str> {
        "Day".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "A day as year-month-day.",
            "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$",
            "examples": ["2026-05-01"],
        })
    }
}

/// How long an acceptance holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Until {
    /// Through this day.
    Day(Day),
    /// Until something happens: "first weighing".
    Event(String),
}

const UNTIL_EXPECTED: &str = "a day, such as \"2027-05-01\", or an event, such as \"first weighing\"";

impl Until {
    fn read(text: &str) -> Result<Until, LeafFault> {
        if text.starts_with(|c: char| c.is_ascii_digit()) {
            return Day::read(text).map(Until::Day).map_err(|fault| LeafFault { expected: Some(UNTIL_EXPECTED.into()), ..fault });
        }
        if text.trim().is_empty() {
            return Err(LeafFault { sentence: "this is empty".into(), expected: Some(UNTIL_EXPECTED.into()), write: None });
        }
        Ok(Until::Event(text.to_owned()))
    }
}

impl<'de> Deserialize<'de> for Until {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let blank = || Until::Event(String::new());
        deserializer.deserialize_str(LeafVisitor { expected: UNTIL_EXPECTED, read: Until::read, blank })
    }
}

impl JsonSchema for Until {
    fn schema_name() -> Cow<'static, str> {
        "Until".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "How long this holds: a day as year-month-day, or an event in words.",
            "examples": ["2027-05-01", "first weighing"],
            "minLength": 1,
        })
    }
}

/// The visitor of every value that is one piece of text: `read` for the text, `blank` for the second reading after a
/// fault was noted.
struct LeafVisitor<T, R: Fn(&str) -> Result<T, LeafFault>, B: Fn() -> T> {
    expected: &'static str,
    read: R,
    blank: B,
}

impl<T, R: Fn(&str) -> Result<T, LeafFault>, B: Fn() -> T> Visitor<'_> for LeafVisitor<T, R, B> {
    type Value = T;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.expected)
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<T, E> {
        (self.read)(text).map_err(E::custom)
    }
    fn visit_unit<E: Error>(self) -> Result<T, E> {
        Ok((self.blank)())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fill_is_a_share_a_volume_or_a_mass() {
        let share = |text: &str| match Fill::read(text) {
            Ok(Fill::Share(share)) => share.value(),
            other => panic!("{text}: {other:?}"),
        };
        assert_eq!(share("full"), Some(1.0));
        assert_eq!(share("empty"), Some(0.0));
        assert_eq!(share(" about 50 % "), Some(0.5));
        assert!(matches!(Fill::read("40 to 60 L"), Ok(Fill::Volume(_))));
        assert!(matches!(Fill::read("20 kg weighed"), Ok(Fill::Mass(_))));
        assert_eq!(Fill::read("?"), Ok(Fill::Unknown));
        assert!(Fill::read("20 kgs").is_err());
        assert!(Fill::read("").is_err());
        assert!(Fill::read("5 bar").unwrap_err().contains("pressure"));
    }

    #[test]
    fn an_occupant_is_a_seat_with_or_without_somebody() {
        let read = |text: &str| Occupant::read(text).map_err(|fault| fault.sentence);
        let plain = read("driver seat").unwrap();
        assert_eq!((plain.seat.as_str(), plain.person, plain.mass), ("driver seat", None, None));
        assert_eq!(read("driver seat: Ana").unwrap().person.as_deref(), Some("Ana"));
        assert_eq!(read("bench:85 kg").unwrap().mass.unwrap().value(), Some(85.0));
        assert_eq!(read("bench:").unwrap().person, None);
        assert!(read(" : Ana").is_err());
    }

    #[test]
    fn a_day_has_one_form() {
        assert!(Day::read("2026-05-01").is_ok());
        for text in ["2026-5-1", "2026-02-30", "20260501", "1 May", "2026-05-01T00:00", ""] {
            assert!(Day::read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn every_word_for_a_place_has_a_direction() {
        for (spelling, word) in Word::SPELLINGS {
            assert_eq!(Word::read(spelling), Some(word));
            assert_eq!(Word::read(word.text()), Some(word));
            assert!(!word.directions().is_empty());
        }
    }
}
