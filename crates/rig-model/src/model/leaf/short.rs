//! Tables that may be written as one line of text, and lists of one.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;
use std::ops::Deref;

use quantity::{Dim, Stated};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserialize, DeserializeOwned, Deserializer, Error, MapAccess, SeqAccess, Visitor};

use crate::free::Free;
use crate::model::{Bolts, Bracket, Insulation, Member, Metals, Packer, Plate, Screws, Welds};
use crate::reader::LeafFault;
use crate::tree::Node;
use crate::view::{self, Eye, View};
use crate::walk::{See, Trail, Walk};

/// The name under which the reader knows a table that may be one line of text.
pub(crate) const SHORT: &str = "Short";
/// The name under which the reader knows a list that may be one entry.
pub(crate) const MANY: &str = "Many";

/// A table that can be told in one line of text.
pub trait OneLine: Default + DeserializeOwned + JsonSchema + Walk {
    /// What is wanted, with an example.
    const EXPECTED: &'static str;
    /// Lines that could stand there.
    const EXAMPLES: &'static [&'static str];
    /// The keys of the table.
    const KEYS: &'static [&'static str];

    /// The table that a line stands for; none where the line is no such thing.
    fn from_line(line: &str) -> Option<Self>;

    /// What a line told, key by key, as the table would write it.
    fn told(&self) -> Vec<(&'static str, Option<Free>)>;
}

/// The table that stands for a line under that key, such as `bolts`; none where no table can be so short.
pub(crate) fn table_of(key: &str, line: &str) -> Option<Free> {
    fn of<T: OneLine>(line: &str) -> Option<Free> {
        let line = line.trim();
        let read = if line == "?" { Some(T::default()) } else { T::from_line(line) };
        read.map(|read| free_table(read.told()))
    }
    match key {
        "bolts" => of::<Bolts>(line),
        "welds" => of::<Welds>(line),
        "screws" => of::<Screws>(line),
        "into" | "plate" => of::<Plate>(line),
        "bracket" => of::<Bracket>(line),
        "member" => of::<Member>(line),
        "packer" => of::<Packer>(line),
        "metals" => of::<Metals>(line),
        "insulation" => of::<Insulation>(line),
        _ => None,
    }
}

/// A table of what is told.
pub(crate) fn free_table(told: impl IntoIterator<Item = (&'static str, Option<Free>)>) -> Free {
    Free::Table(told.into_iter().filter_map(|(key, value)| Some((key.to_owned(), value?))).collect())
}

pub(crate) fn word(text: &Option<String>) -> Option<Free> {
    text.clone().map(Free::Text)
}

pub(crate) fn number(count: Option<u32>) -> Option<Free> {
    count.map(|count| Free::Number(count.into()))
}

pub(crate) fn written<D: Dim>(stated: Option<&Stated<D>>) -> Option<Free> {
    stated.map(|stated| Free::Text(stated.to_text()))
}

/// A table that may be written as one line of text: `bolts = "4 x M12 8.8"`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Short<T>(pub T);

impl<T> Deref for Short<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.0
    }
}

impl<'de, T: OneLine> Deserialize<'de> for Short<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct ShortVisitor<T>(PhantomData<T>);
        impl<'de, T: OneLine> Visitor<'de> for ShortVisitor<T> {
            type Value = Short<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}, or a table", T::EXPECTED)
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<Short<T>, E> {
                let line = text.trim();
                if line == "?" {
                    return Ok(Short::default());
                }
                let read = if line.is_empty() { None } else { T::from_line(line) };
                read.map(Short).ok_or_else(|| {
                    let sentence = if line.is_empty() { "this is empty" } else { "this line is not understood" };
                    let expected = Some(format!("{}, or a table with {}", T::EXPECTED, T::KEYS.join(", ")));
                    E::custom(LeafFault { sentence: sentence.into(), expected, write: None })
                })
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Short<T>, A::Error> {
                T::deserialize(MapAccessDeserializer::new(map)).map(Short)
            }
            fn visit_unit<E: Error>(self) -> Result<Short<T>, E> {
                Ok(Short::default())
            }
        }
        deserializer.deserialize_struct(SHORT, T::KEYS, ShortVisitor(PhantomData))
    }
}

impl<T: OneLine> Walk for Short<T> {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        self.0.walk(trail, see);
    }

    fn view<'r>(&'r self, node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        self.0.view(node, trail, eye)
    }

    fn entry_name(&self) -> Option<&str> {
        self.0.entry_name()
    }
}

impl<T: OneLine> JsonSchema for Short<T> {
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }
    fn schema_id() -> Cow<'static, str> {
        format!("short {}", T::schema_id()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let mut schema = T::json_schema(generator);
        schema.insert("type".into(), ["string", "object"].as_slice().into());
        schema.insert("minLength".into(), 1.into());
        schema.insert("examples".into(), T::EXAMPLES.into());
        schema
    }
}

/// A list that may be written as its only entry, without brackets.
#[derive(Clone, Debug, PartialEq)]
pub struct Many<T> {
    list: Vec<T>,
    alone: bool,
}

impl<T> Default for Many<T> {
    fn default() -> Self {
        Self { list: Vec::new(), alone: false }
    }
}

impl<T> Deref for Many<T> {
    type Target = [T];
    fn deref(&self) -> &[T] {
        &self.list
    }
}

impl<T> Many<T> {
    /// Of one entry, written without brackets.
    pub(crate) fn one(entry: T) -> Self {
        Self { list: vec![entry], alone: true }
    }

    /// The path of its entry of that index, where the list stands at `path`.
    #[must_use]
    pub fn path_of(&self, path: &str, index: usize) -> String {
        if self.alone { path.to_owned() } else { format!("{path}[{}]", index + 1) }
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Many<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct ManyVisitor<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for ManyVisitor<T> {
            type Value = Many<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("one entry or a list")
            }
            fn visit_newtype_struct<D: Deserializer<'de>>(self, deserializer: D) -> Result<Many<T>, D::Error> {
                Ok(Many { list: vec![T::deserialize(deserializer)?], alone: true })
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Many<T>, A::Error> {
                let mut list = Vec::new();
                while let Some(entry) = seq.next_element()? {
                    list.push(entry);
                }
                Ok(Many { list, alone: false })
            }
        }
        deserializer.deserialize_newtype_struct(MANY, ManyVisitor(PhantomData))
    }
}

impl<T: Walk> Walk for Many<T> {
    fn walk<'r>(&'r self, trail: &mut Trail<'r>, see: &mut See<'_>) {
        match (self.list.as_slice(), self.alone) {
            ([one], true) => one.walk(trail, see),
            _ => self.list.walk(trail, see),
        }
    }

    fn view<'r>(&'r self, node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
        match (self.list.as_slice(), self.alone) {
            ([one], true) => View::List(vec![one.view(node, trail, eye)]),
            _ => view::of_entries(&self.list, node, trail, eye),
        }
    }

    fn absent() -> View {
        View::List(Vec::new())
    }
}

impl<T: JsonSchema> JsonSchema for Many<T> {
    fn schema_name() -> Cow<'static, str> {
        format!("Many_{}", T::schema_name()).into()
    }
    fn inline_schema() -> bool {
        true
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let one = generator.subschema_for::<T>();
        json_schema!({ "anyOf": [one.clone(), { "type": "array", "items": one }] })
    }
}

/// `4 x rest`: the count, and what it counts.
pub(crate) fn counted(line: &str) -> (Option<u32>, &str) {
    let after = line.trim_start_matches(|c: char| c.is_ascii_digit());
    let number = line.get(..line.len() - after.len()).unwrap_or("");
    let rest = after.trim_start();
    // "10x60 mm" is a size; a count has its x alone.
    let times = ["x ", "X ", "\u{d7} ", "of "].iter().find_map(|times| rest.strip_prefix(times));
    match (number.parse().ok(), times) {
        (Some(count), Some(rest)) => (Some(count), rest.trim()),
        _ => (None, line.trim()),
    }
}

#[cfg(test)]
mod tests {
    use super::counted;

    #[test]
    fn a_count_has_its_x_alone() {
        for (line, wanted) in [
            ("4 x M12 8.8", (Some(4), "M12 8.8")),
            ("4x M12", (Some(4), "M12")),
            ("M12x1.25", (None, "M12x1.25")),
            ("1/2-13 SAE 5", (None, "1/2-13 SAE 5")),
            ("2 x 1/2-13", (Some(2), "1/2-13")),
            ("10x60 mm", (None, "10x60 mm")),
            ("99999999999999 x M8", (None, "99999999999999 x M8")),
            ("", (None, "")),
        ] {
            assert_eq!(counted(line), wanted, "{line}");
        }
    }
}
