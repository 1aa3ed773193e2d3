//! The deserializer: one spot of the tree, or one that is absent.

use serde::Deserializer;
use serde::de::value::StrDeserializer;
use serde::de::{Expected, IntoDeserializer, Visitor};

use super::access::{Entries, Fields, Items, Repeat};
use super::text::{before_example, example_in};
use super::{At, Note, Notes, ReadError, Write, nearest};
use crate::model::leaf::short::{MANY, SHORT};
use crate::problem::list_words;
use crate::tree::{EMPTY, Kind, Node};

/// Where the reader stands.
#[derive(Clone, Copy)]
pub(super) enum Spot<'t> {
    Here(&'t Node),
    /// Absent: the table that lacks it and its key. Quiet where a greater thing that would hold it was noted already.
    Absent {
        table: &'t Node,
        key: &'static str,
        quiet: bool,
    },
}

#[derive(Clone, Copy)]
pub(super) struct Reader<'t> {
    pub(super) spot: Spot<'t>,
    pub(super) notes: &'t Notes,
}

/// Structs that may also be written as one piece of text.
const SHORTHAND: [&str; 3] = ["Stated", "Occupant", SHORT];

impl<'t> Reader<'t> {
    pub(super) fn here(node: &'t Node, notes: &'t Notes) -> Reader<'t> {
        Reader { spot: Spot::Here(node), notes }
    }

    /// A reader of nothing that stays quiet about it.
    pub(super) fn blank(table: &'t Node, notes: &'t Notes) -> Reader<'t> {
        Reader { spot: Spot::Absent { table, key: "", quiet: true }, notes }
    }

    pub(super) fn note(&self, note: Note) {
        self.notes.structure.borrow_mut().push(note);
    }

    /// Notes that something else is wanted here, or that it is missing.
    fn wrong(&self, wanted: &str, write: Option<Write>) {
        match self.spot {
            Spot::Here(node) => self.note(Note {
                at: At::Node(node.address()),
                sentence: format!("this is {}, and {} is wanted here", node.noun(), before_example(wanted)),
                expected: Some(wanted.to_owned()),
                write,
                show_found: true,
            }),
            Spot::Absent { table, key, quiet: false } => self.note(Note {
                at: At::Absent(table.address(), key.to_owned()),
                sentence: format!("\"{key}\" is missing"),
                expected: Some(wanted.to_owned()),
                write: example_in(wanted).map(Write::Text),
                show_found: false,
            }),
            Spot::Absent { .. } => {}
        }
    }

    /// A whole number between these, or a note and 0.
    fn whole(&self, lowest: i64, highest: i64) -> i64 {
        let wanted = format!("a whole number from {lowest} to {highest}");
        let Spot::Here(node) = self.spot else {
            self.wrong(&wanted, None);
            return 0;
        };
        let number = match &node.kind {
            Kind::Number(number) => number.whole.or_else(|| whole_float(number.value)),
            Kind::Text(text) => {
                let bare = text.trim().parse::<i64>().ok().filter(|n| (lowest..=highest).contains(n));
                self.wrong(&wanted, bare.map(|n| Write::Bare(n.to_string())));
                return 0;
            }
            _ => None,
        };
        match number {
            Some(number) if (lowest..=highest).contains(&number) => number,
            Some(_) => {
                self.note(Note {
                    at: At::Node(node.address()),
                    sentence: format!("this number is not from {lowest} to {highest}"),
                    expected: Some(wanted),
                    write: None,
                    show_found: true,
                });
                0
            }
            None => {
                self.wrong(&wanted, None);
                0
            }
        }
    }
}

fn whole_float(value: f64) -> Option<i64> {
    // Up to here every whole f64 is an exact i64.
    const EXACT: f64 = 9_007_199_254_740_992.0;
    (value.fract() == 0.0 && value.abs() <= EXACT).then_some(value as i64)
}

/// What a visitor wants, with serde's own words put into ours.
pub(super) fn wanted_by<'de, V: Visitor<'de>>(visitor: &V) -> String {
    let wanted = format!("{}", visitor as &dyn Expected);
    match wanted.as_str() {
        "a string" => "text in double quotes".into(),
        "a boolean" => "true or false".into(),
        "a sequence" => "a list".into(),
        "a map" => "a table".into(),
        _ => wanted,
    }
}

macro_rules! whole_numbers {
    ($($method:ident $visit:ident $Type:ty),* $(,)?) => {
        $(fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
            let lowest = i64::try_from(<$Type>::MIN).unwrap_or(i64::MIN);
            let highest = i64::try_from(<$Type>::MAX).unwrap_or(i64::MAX);
            let number = self.whole(lowest, highest);
            visitor.$visit(<$Type>::try_from(number).unwrap_or_default())
        })*
    };
}

impl<'de, 't> Deserializer<'de> for Reader<'t> {
    type Error = ReadError;

    /// Only free-form values ask for anything: what stands there decides.
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        let Spot::Here(node) = self.spot else {
            self.wrong(&wanted_by(&visitor), None);
            return visitor.visit_unit();
        };
        match &node.kind {
            Kind::Text(text) | Kind::Moment(text) => visitor.visit_str(text),
            Kind::Number(_) => self.deserialize_f64(visitor),
            Kind::Bool(yes) => visitor.visit_bool(*yes),
            Kind::List(_) => self.deserialize_seq(visitor),
            Kind::Table(_) => self.deserialize_map(visitor),
            Kind::Null => {
                self.wrong(&wanted_by(&visitor), None);
                visitor.visit_unit()
            }
        }
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Here(Node { kind: Kind::Bool(yes), .. }) => visitor.visit_bool(*yes),
            Spot::Here(node) => {
                let meant = node.text().and_then(|text| match text.trim().to_lowercase().as_str() {
                    "true" | "yes" => Some("true"),
                    "false" | "no" => Some("false"),
                    _ => None,
                });
                self.wrong("true or false", meant.map(|word| Write::Bare(word.into())));
                visitor.visit_bool(false)
            }
            Spot::Absent { .. } => {
                self.wrong("true or false", None);
                visitor.visit_bool(false)
            }
        }
    }

    whole_numbers! {
        deserialize_i8 visit_i8 i8, deserialize_i16 visit_i16 i16, deserialize_i32 visit_i32 i32,
        deserialize_i64 visit_i64 i64, deserialize_u8 visit_u8 u8, deserialize_u16 visit_u16 u16,
        deserialize_u32 visit_u32 u32, deserialize_u64 visit_u64 u64,
    }

    fn deserialize_f32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        self.deserialize_f64(visitor)
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Here(Node { kind: Kind::Number(number), .. }) if number.value.is_finite() => visitor.visit_f64(number.value),
            Spot::Here(node @ Node { kind: Kind::Number(_), .. }) => {
                self.note(Note {
                    at: At::Node(node.address()),
                    sentence: "this is not a number that can be counted with".into(),
                    expected: Some("a plain number".into()),
                    write: None,
                    show_found: true,
                });
                visitor.visit_f64(f64::NAN)
            }
            Spot::Here(node) => {
                let bare = node.text().map(str::trim).filter(|text| text.parse::<f64>().is_ok_and(f64::is_finite));
                self.wrong("a plain number", bare.map(|text| Write::Bare(text.into())));
                visitor.visit_f64(f64::NAN)
            }
            Spot::Absent { .. } => {
                self.wrong("a plain number", None);
                visitor.visit_f64(f64::NAN)
            }
        }
    }

    fn deserialize_char<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        self.deserialize_string(visitor)
    }

    /// Values whose own visitor takes the text apart.
    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Here(node) if matches!(node.kind, Kind::Text(_) | Kind::Number(_) | Kind::Moment(_)) => {
                self.text_value(node, visitor)
            }
            _ => {
                self.wrong(&wanted_by(&visitor), None);
                visitor.visit_unit()
            }
        }
    }

    /// Plain text.
    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Here(Node { kind: Kind::Text(text), .. }) => visitor.visit_str(text),
            Spot::Here(node) => {
                let quoted = matches!(node.kind, Kind::Number(_) | Kind::Bool(_) | Kind::Moment(_)).then(|| node.shown());
                self.wrong(&wanted_by(&visitor), quoted.map(Write::Text));
                visitor.visit_str("")
            }
            Spot::Absent { .. } => {
                self.wrong(&wanted_by(&visitor), None);
                visitor.visit_str("")
            }
        }
    }

    fn deserialize_bytes<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        self.deserialize_string(visitor)
    }

    fn deserialize_byte_buf<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        self.deserialize_string(visitor)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Absent { .. } | Spot::Here(Node { kind: Kind::Null, .. }) => visitor.visit_none(),
            Spot::Here(_) => visitor.visit_some(self),
        }
    }

    fn deserialize_unit<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        visitor.visit_unit()
    }

    fn deserialize_unit_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Result<V::Value, ReadError> {
        visitor.visit_unit()
    }

    /// A list that may be its only entry is known by its name.
    fn deserialize_newtype_struct<V: Visitor<'de>>(self, name: &'static str, visitor: V) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Here(Node { kind: Kind::List(_), .. }) | Spot::Absent { .. } if name == MANY => self.deserialize_seq(visitor),
            _ => visitor.visit_newtype_struct(self),
        }
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Here(node @ Node { kind: Kind::List(_), .. }) => visitor.visit_seq(Items::new(node, self.notes)),
            Spot::Here(node) => {
                let header = matches!(node.kind, Kind::Table(_)).then(|| Write::Whole("[[KEY]]".into()));
                self.wrong("a list", header);
                visitor.visit_seq(Repeat::new(0, self))
            }
            Spot::Absent { .. } => visitor.visit_seq(Repeat::new(0, self)),
        }
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, length: usize, visitor: V) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Here(node) if node.items().len() == length => visitor.visit_seq(Items::new(node, self.notes)),
            Spot::Here(node @ Node { kind: Kind::List(_), .. }) => {
                self.note(Note {
                    at: At::Node(node.address()),
                    sentence: format!("this list has {} values, and {length} are wanted", node.items().len()),
                    expected: Some(match length {
                        3 => "a list of 3: along the truck, across, up".to_owned(),
                        12 => "a list of 12: one for each month, January first".to_owned(),
                        _ => format!("a list of {length}"),
                    }),
                    write: None,
                    show_found: false,
                });
                visitor.visit_seq(Repeat::new(length, Reader::blank(&EMPTY, self.notes)))
            }
            _ => {
                self.wrong(&format!("a list of {length}"), None);
                visitor.visit_seq(Repeat::new(length, Reader::blank(&EMPTY, self.notes)))
            }
        }
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        length: usize,
        visitor: V,
    ) -> Result<V::Value, ReadError> {
        self.deserialize_tuple(length, visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Here(node) => {
                if !matches!(node.kind, Kind::Table(_)) {
                    self.wrong("a table", None);
                }
                visitor.visit_map(Entries::new(node, self.notes))
            }
            Spot::Absent { .. } => visitor.visit_map(Entries::new(&EMPTY, self.notes)),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        known: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, ReadError> {
        match self.spot {
            Spot::Here(node @ Node { kind: Kind::Table(_), .. }) if SHORTHAND.contains(&name) => {
                self.weighed_table(node, known, visitor)
            }
            Spot::Here(node @ Node { kind: Kind::Table(_), .. }) => {
                visitor.visit_map(Fields::new(node, known, false, self.notes))
            }
            Spot::Here(_) if SHORTHAND.contains(&name) => self.deserialize_str(visitor),
            Spot::Absent { quiet: true, .. } if SHORTHAND.contains(&name) => visitor.visit_unit(),
            Spot::Absent { .. } if SHORTHAND.contains(&name) => self.deserialize_str(visitor),
            Spot::Here(node) => {
                let header = match &node.kind {
                    Kind::List(items) if items.iter().any(|item| matches!(item.kind, Kind::Table(_))) => {
                        Some(Write::Whole("[KEY]".into()))
                    }
                    _ => None,
                };
                self.wrong(&wanted_by(&visitor), header);
                visitor.visit_map(Fields::new(&EMPTY, known, true, self.notes))
            }
            Spot::Absent { .. } => {
                self.wrong(&wanted_by(&visitor), None);
                visitor.visit_map(Fields::new(&EMPTY, known, true, self.notes))
            }
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        words: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, ReadError> {
        let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
        let wanted = || list_words(quoted.iter().map(String::as_str), "or");
        let word = match self.spot {
            Spot::Here(Node { kind: Kind::Text(text), .. }) if words.contains(&text.as_ref()) => text.as_ref(),
            // true and false are yes and no where those are words.
            Spot::Here(Node { kind: Kind::Bool(true), .. }) if words.contains(&"yes") => "yes",
            Spot::Here(Node { kind: Kind::Bool(false), .. }) if words.contains(&"no") => "no",
            Spot::Here(node @ Node { kind: Kind::Text(text), .. }) => {
                self.note(Note {
                    at: At::Node(node.address()),
                    sentence: "this word is not known here".into(),
                    expected: Some(wanted()),
                    write: nearest(text, words.iter().copied()).map(|word| Write::Text(word.into())),
                    show_found: true,
                });
                words.first().copied().unwrap_or("")
            }
            _ => {
                self.wrong(&wanted(), None);
                words.first().copied().unwrap_or("")
            }
        };
        let word: StrDeserializer<'_, ReadError> = word.into_deserializer();
        visitor.visit_enum(word)
    }

    fn deserialize_identifier<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        self.deserialize_string(visitor)
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, ReadError> {
        visitor.visit_unit()
    }
}
