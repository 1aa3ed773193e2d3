//! The rig and its facts as plain values.

use serde_json::Value;

use crate::number::Number;

/// A plain value: a table, a list, a number, text, yes or no, or nothing. Asking for what is not there gives nothing.
#[derive(Clone, Copy, Debug)]
pub struct Seen<'a>(&'a Value);

/// An input that is absent: its path in the rig file, and more where there is more to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The path.
    pub path: String,
    /// More than the path; empty where there is none.
    pub why: String,
}

impl Gap {
    /// A gap at that path.
    #[must_use]
    pub fn at(path: impl Into<String>) -> Self {
        Self { path: path.into(), why: String::new() }
    }
}

impl<S: Into<String>> From<S> for Gap {
    fn from(path: S) -> Self {
        Self::at(path)
    }
}

impl<'a> Seen<'a> {
    /// What there is to see in that document.
    #[must_use]
    pub fn new(value: &'a Value) -> Self {
        Self(value)
    }

    /// The value of a key, or the entry of that name.
    #[must_use]
    pub fn get(self, key: &str) -> Self {
        Self(self.0.get(key).unwrap_or(&Value::Null))
    }

    /// The entry of a list without names, from 0.
    #[must_use]
    pub fn item(self, index: usize) -> Self {
        Self(self.0.get(index).unwrap_or(&Value::Null))
    }

    /// Whether it is absent, or "?" in the file.
    #[must_use]
    pub fn is_nothing(self) -> bool {
        self.0.is_null()
    }

    /// The number, SI, with its doubt.
    #[must_use]
    pub fn number(self) -> Option<Number> {
        Number::from_json(self.0)
    }

    /// The number under a key; where it is absent, the gap at that key below `path`.
    ///
    /// # Errors
    /// The gap.
    pub fn need(self, key: &str, path: &str) -> Result<Number, Gap> {
        self.get(key).number().ok_or_else(|| Gap::at(format!("{path}.{}", quoted_key(key))))
    }

    /// The text.
    #[must_use]
    pub fn text(self) -> Option<&'a str> {
        self.0.as_str()
    }

    /// Yes or no.
    #[must_use]
    pub fn yes(self) -> Option<bool> {
        self.0.as_bool()
    }

    /// The keys or names of a table with what stands there, sorted.
    pub fn entries(self) -> impl Iterator<Item = (&'a str, Seen<'a>)> {
        self.0.as_object().into_iter().flatten().map(|(key, value)| (key.as_str(), Seen(value)))
    }

    /// What stands in a list without names.
    pub fn items(self) -> impl Iterator<Item = Seen<'a>> {
        self.0.as_array().into_iter().flatten().map(Seen)
    }
}

/// Path of a named entry of a list: `tank[fresh]`, `mass["body shell"]`.
#[must_use]
pub fn entry(list: &str, name: &str) -> String {
    let begins_as_number = name.starts_with(|c: char| c.is_ascii_digit() || c == '-');
    if begins_as_number { format!("{list}[{}]", quoted(name)) } else { format!("{list}[{}]", quoted_key(name)) }
}

/// A key as a path writes it: bare if it can be, else in quotes.
fn quoted_key(key: &str) -> String {
    let bare = !key.is_empty() && key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_' || b == b'-');
    if bare { key.to_owned() } else { quoted(key) }
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn what_is_not_there_is_nothing_all_the_way_down() {
        let rig = json!({ "tank": { "fresh": { "volume": { "value": 0.1, "sd": 0.002, "input": 3 }, "in": "body" } } });
        let tank = Seen::new(&rig).get("tank").get("fresh");
        assert_eq!(tank.need("volume", "tank[fresh]").map(|volume| volume.value()), Ok(0.1));
        assert_eq!(tank.get("in").text(), Some("body"));
        assert!(tank.get("size").item(2).get("anything").is_nothing());
        assert_eq!(tank.need("size", "tank[fresh]"), Err(Gap::at("tank[fresh].size")));
    }

    #[test]
    fn names_that_are_no_bare_words_stand_in_quotes() {
        assert_eq!(entry("tank", "fresh"), "tank[fresh]");
        assert_eq!(entry("mass", "body \"shell\""), "mass[\"body \\\"shell\\\"\"]");
        assert_eq!(entry("mass", "2nd crate"), "mass[\"2nd crate\"]");
        assert_eq!(entry("mass", "2"), "mass[\"2\"]");
    }
}
