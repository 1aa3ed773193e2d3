//! Applies the edits of a remedy to a rig written as JSON: a second way beside `rig_model::Document::with`, so that a
//! remedy is proved by more than the code that solved it.

use rig_model::path::{Segment, parse};
use rig_model::{Edit, EditOp};
use serde_json::{Map, Value};

/// A rig file's text as JSON. TOML's own dates become text, as the file could have them.
///
/// # Panics
/// When the text is not TOML.
#[must_use]
pub fn rig_as_json(toml_text: &str) -> Value {
    from_toml(&toml::Value::Table(toml_text.parse().unwrap()))
}

/// A TOML value as JSON.
#[must_use]
pub fn from_toml(value: &toml::Value) -> Value {
    match value {
        toml::Value::Datetime(day) => Value::from(day.to_string()),
        toml::Value::Array(list) => list.iter().map(from_toml).collect(),
        toml::Value::Table(table) => {
            table.iter().map(|(key, value)| (key.clone(), from_toml(value))).collect::<Map<_, _>>().into()
        }
        toml::Value::String(text) => Value::from(text.as_str()),
        toml::Value::Integer(number) => Value::from(*number),
        toml::Value::Float(number) => Value::from(*number),
        toml::Value::Boolean(yes) => Value::from(*yes),
    }
}

/// The value at a path.
#[must_use]
pub fn get<'v>(rig: &'v Value, path: &str) -> Option<&'v Value> {
    parse(path).ok()?.iter().try_fold(rig, |here, segment| match segment {
        Segment::Key(key) => here.get(key),
        Segment::Name(_) | Segment::Index(_) => here.get(index_of(here, segment)?),
    })
}

fn index_of(list: &Value, segment: &Segment) -> Option<usize> {
    match segment {
        Segment::Index(index) => index.checked_sub(1),
        Segment::Name(name) => list.as_array()?.iter().position(|entry| entry["name"] == name.as_str()),
        Segment::Key(_) => None,
    }
}

/// Applies one edit.
///
/// # Panics
/// When the rig has no such place.
pub fn apply(rig: &mut Value, edit: &Edit) {
    let segments = parse(&edit.path).unwrap();
    let (last, way) = segments.split_last().unwrap();
    let mut here = rig;
    for segment in way {
        here = match segment {
            Segment::Key(key) => here.get_mut(key).unwrap_or_else(|| panic!("{}: no {key}", edit.path)),
            _ => {
                let at = index_of(here, segment).unwrap_or_else(|| panic!("{}: no {segment:?}", edit.path));
                &mut here[at]
            }
        };
    }
    let to = edit.to.as_ref().map(|free| serde_json::to_value(free).unwrap());
    match (edit.op, last) {
        (EditOp::Remove, Segment::Key(key)) => {
            here.as_object_mut().unwrap().remove(key);
        }
        (EditOp::Remove, _) => {
            let at = index_of(here, last).unwrap();
            here.as_array_mut().unwrap().remove(at);
        }
        (EditOp::Add, Segment::Key(key)) => {
            let list = here.as_object_mut().unwrap().entry(key.clone()).or_insert_with(|| Value::Array(Vec::new()));
            list.as_array_mut().unwrap().push(to.unwrap());
        }
        (EditOp::Add, _) => panic!("{}: only a list can grow", edit.path),
        (EditOp::Set, Segment::Key(key)) => {
            set(here.as_object_mut().unwrap().entry(key.clone()).or_insert(Value::Null), to.unwrap())
        }
        (EditOp::Set, _) => {
            let at = index_of(here, last).unwrap();
            set(&mut here[at], to.unwrap());
        }
    }
}

/// Text set on a table with a `value` replaces that and keeps how it is known.
fn set(place: &mut Value, to: Value) {
    match place.get_mut("value") {
        Some(value) if to.is_string() => *value = to,
        _ => *place = to,
    }
}

/// A path without its brackets, as cards write it: `axle.rated`.
#[must_use]
pub fn pattern(path: &str) -> String {
    let keys = parse(path).unwrap_or_default().into_iter().filter_map(|segment| match segment {
        Segment::Key(key) => Some(key),
        Segment::Name(_) | Segment::Index(_) => None,
    });
    keys.collect::<Vec<_>>().join(".")
}

/// Whether a card's list of inputs covers a path's pattern: the pattern itself, or a table it lies in.
#[must_use]
pub fn covers(listed: &str, pattern: &str) -> bool {
    pattern.strip_prefix(listed).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

/// Every leaf of the rig with its path, in order of the keys.
#[must_use]
pub fn leaves(rig: &Value) -> Vec<(String, Value)> {
    let mut found = Vec::new();
    collect(rig, String::new(), &mut found);
    found
}

fn collect(value: &Value, path: String, found: &mut Vec<(String, Value)>) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map {
                let key = rig_model::path::quote_key(key);
                let path = if path.is_empty() { key.into_owned() } else { format!("{path}.{key}") };
                collect(inner, path, found);
            }
        }
        Value::Array(list) => {
            for (at, inner) in list.iter().enumerate() {
                let name = inner.get("name").and_then(Value::as_str);
                collect(inner, format!("{path}{}", rig_model::path::entry(name, at + 1)), found);
            }
        }
        leaf => found.push((path, leaf.clone())),
    }
}
