//! Free-form values: what stands under [custom], and what an edit writes.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde::{Serialize, Serializer};

/// A value of any shape a rig file can hold.
#[derive(Clone, Debug, PartialEq)]
pub enum Free {
    /// Text.
    Text(String),
    /// A finite number, without unit.
    Number(f64),
    /// true or false.
    Bool(bool),
    /// A list.
    List(Vec<Free>),
    /// A table.
    Table(BTreeMap<String, Free>),
}

impl From<&str> for Free {
    fn from(text: &str) -> Free {
        Free::Text(text.to_owned())
    }
}

impl From<String> for Free {
    fn from(text: String) -> Free {
        Free::Text(text)
    }
}

impl Serialize for Free {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Free::Text(text) => serializer.serialize_str(text),
            Free::Number(number) => quantity::Num(*number).serialize(serializer),
            Free::Bool(yes) => serializer.serialize_bool(*yes),
            Free::List(list) => list.serialize(serializer),
            Free::Table(table) => table.serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for Free {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct FreeVisitor;
        impl<'de> Visitor<'de> for FreeVisitor {
            type Value = Free;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("text, a number, true or false, a list, or a table")
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<Free, E> {
                Ok(Free::Text(text.to_owned()))
            }
            fn visit_i64<E: Error>(self, number: i64) -> Result<Free, E> {
                Ok(Free::Number(number as f64))
            }
            fn visit_u64<E: Error>(self, number: u64) -> Result<Free, E> {
                Ok(Free::Number(number as f64))
            }
            fn visit_f64<E: Error>(self, number: f64) -> Result<Free, E> {
                Ok(Free::Number(number))
            }
            fn visit_bool<E: Error>(self, yes: bool) -> Result<Free, E> {
                Ok(Free::Bool(yes))
            }
            fn visit_unit<E: Error>(self) -> Result<Free, E> {
                Ok(Free::Text(String::new()))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Free, A::Error> {
                let mut list = Vec::new();
                while let Some(entry) = seq.next_element()? {
                    list.push(entry);
                }
                Ok(Free::List(list))
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Free, A::Error> {
                let mut table = BTreeMap::new();
                while let Some((key, value)) = map.next_entry()? {
                    table.insert(key, value);
                }
                Ok(Free::Table(table))
            }
        }
        deserializer.deserialize_any(FreeVisitor)
    }
}

impl JsonSchema for Free {
    fn schema_name() -> Cow<'static, str> {
        "Free".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "Any value: text, a number, true or false, a list, or a table.",
            "type": ["string", "number", "boolean", "array", "object"],
        })
    }
}
