//! Days, and how long an acceptance holds.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer};

use super::LeafVisitor;
use crate::reader::LeafFault;

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_has_one_form() {
        assert!(Day::read("2026-05-01").is_ok());
        for text in ["2026-5-1", "2026-02-30", "20260501", "1 May", "2026-05-01T00:00", ""] {
            assert!(Day::read(text).is_err(), "{text}");
        }
    }
}
