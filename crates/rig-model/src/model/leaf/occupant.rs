//! Who sits where.

use std::borrow::Cow;
use std::fmt;

use quantity::{Stated, dim};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};

use super::read_stated;
use crate::reader::LeafFault;

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

#[cfg(test)]
mod tests {
    use super::*;

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
}
