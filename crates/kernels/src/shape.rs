//! Holds an input against its schema, so that every mistake is named by field and in plain words.
//!
//! serde would stop at the same mistakes, but speaks of types, takes a list for a struct, and does not say where.

use serde_json::{Map, Number, Value};

use crate::error::KernelError;

/// Checks `input` against a schema and gives it back with whole numbers written as such (`152.0` for `152`).
pub(crate) fn held(schema: &Value, input: Value) -> Result<Value, KernelError> {
    node(&Schemas { root: schema }, schema, input, "")
}

struct Schemas<'a> {
    root: &'a Value,
}

impl<'a> Schemas<'a> {
    /// The schema that a `$ref` stands for; for an optional one, the schema of what it holds when it is there.
    fn resolved(&self, schema: &'a Value) -> &'a Value {
        let chosen = schema.get("anyOf").and_then(Value::as_array);
        let real = chosen.and_then(|all| all.iter().find(|s| s.get("type").and_then(Value::as_str) != Some("null")));
        let schema = real.unwrap_or(schema);
        let name = schema.get("$ref").and_then(Value::as_str).and_then(|r| r.strip_prefix("#/$defs/"));
        name.and_then(|name| self.root.get("$defs")?.get(name)).unwrap_or(schema)
    }
}

/// Whether null may stand there.
fn takes_null(schema: &Value) -> bool {
    let null = |s: &Value| s.get("type").and_then(Value::as_str) == Some("null");
    kinds(schema).contains(&"null") || schema.get("anyOf").and_then(Value::as_array).is_some_and(|all| all.iter().any(null))
}

fn kinds(schema: &Value) -> Vec<&str> {
    match schema.get("type") {
        Some(Value::String(one)) => vec![one],
        Some(Value::Array(all)) => all.iter().filter_map(Value::as_str).collect(),
        _ => Vec::new(),
    }
}

/// The words a field may hold, if it holds words of a list.
fn words(schema: &Value) -> Vec<&str> {
    let listed = schema.get("enum").and_then(Value::as_array).into_iter().flatten();
    let described = schema
        .get("oneOf")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(|s| s.get("const").or_else(|| s.get("enum")?.get(0)));
    listed.chain(described).filter_map(Value::as_str).collect()
}

fn node(schemas: &Schemas, schema: &Value, value: Value, path: &str) -> Result<Value, KernelError> {
    if value.is_null() && takes_null(schema) {
        return Ok(value);
    }
    let unit = schema.get("unit").and_then(Value::as_str);
    let real = schemas.resolved(schema);
    let wrong = |value: &Value| KernelError::WrongKind {
        place: if path.is_empty() { "the input".into() } else { format!("`{path}`") },
        found: found(value),
        wanted: wanted(real, unit),
    };
    let words = words(real);
    let kinds = kinds(real);
    let may = |kind: &str| kinds.contains(&kind);
    match value {
        Value::Object(fields) if may("object") => object(schemas, real, fields, path),
        Value::Array(entries) if may("array") => {
            let Some(each) = real.get("items") else { return Ok(Value::Array(entries)) };
            counted(real, path, entries.len())?;
            let entries = entries.into_iter().enumerate().map(|(i, entry)| node(schemas, each, entry, &format!("{path}[{i}]")));
            entries.collect::<Result<Vec<_>, _>>().map(Value::Array)
        }
        Value::Number(number) if may("integer") => match whole(&number) {
            Some(number) => in_field(real, path, number).map(Value::Number),
            None => Err(wrong(&Value::Number(number))),
        },
        Value::Number(number) if may("number") => Ok(Value::Number(number)),
        Value::Bool(_) if may("boolean") => Ok(value),
        Value::String(ref text) if !words.is_empty() => {
            if words.contains(&text.as_str()) {
                Ok(value)
            } else {
                Err(wrong(&value))
            }
        }
        Value::String(_) if may("string") => Ok(value),
        other => Err(wrong(&other)),
    }
}

/// Refuses a list that is shorter or longer than its schema says, such as a force of two components.
fn counted(schema: &Value, path: &str, found: usize) -> Result<(), KernelError> {
    let end = |name: &str| schema.get(name).and_then(Value::as_u64).and_then(|n| usize::try_from(n).ok());
    let (low, high) = (end("minItems").unwrap_or(0), end("maxItems").unwrap_or(usize::MAX));
    if (low..=high).contains(&found) {
        return Ok(());
    }
    Err(KernelError::Physics(physics::KernelError::Count { field: path.to_owned(), found, low, high }))
}

fn object(schemas: &Schemas, schema: &Value, fields: Map<String, Value>, path: &str) -> Result<Value, KernelError> {
    let at = |name: &str| if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
    let none = Map::new();
    let properties = schema.get("properties").and_then(Value::as_object).unwrap_or(&none);
    // An unknown name is told before a missing one: the one is often the other misspelt.
    if let Some(name) = fields.keys().find(|name| !properties.contains_key(*name)) {
        let known = properties.keys().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ");
        return Err(KernelError::NotAField { field: at(name), known });
    }
    let required = schema.get("required").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_str);
    for name in required {
        if !fields.contains_key(name) {
            let own = properties.get(name).unwrap_or(&Value::Null);
            let unit = own.get("unit").and_then(Value::as_str);
            return Err(KernelError::NotThere { field: at(name), wanted: wanted(schemas.resolved(own), unit) });
        }
    }
    let mut held = Map::new();
    for (name, value) in fields {
        if let Some(own) = properties.get(&name) {
            let value = node(schemas, own, value, &at(&name))?;
            held.insert(name, value);
        }
    }
    Ok(Value::Object(held))
}

/// The number as a whole one, if it is.
fn whole(number: &Number) -> Option<Number> {
    if number.is_i64() || number.is_u64() {
        return Some(number.clone());
    }
    let value = number.as_f64().filter(|v| v.fract() == 0.0)?;
    // Past a whole number's field every size is refused alike, so a saturated one will do.
    Some(Number::from(value as i64))
}

/// Refuses a whole number that has no place in its field, by the range the field has anyway.
fn in_field(schema: &Value, path: &str, number: Number) -> Result<Number, KernelError> {
    if number.as_u64().is_some_and(|n| u32::try_from(n).is_ok()) {
        return Ok(number);
    }
    let end = |name: &str| schema.get(name).and_then(Value::as_f64).unwrap_or_default();
    Err(KernelError::Physics(physics::KernelError::OutOfRange {
        field: path.to_owned(),
        value: number.as_f64().unwrap_or_default(),
        low: end("minimum"),
        high: end("maximum"),
        open: false,
        unit: "",
        why: "",
    }))
}

fn found(value: &Value) -> String {
    match value {
        Value::Null => "null".into(),
        Value::Bool(yes) => yes.to_string(),
        Value::Number(number) => number.to_string(),
        Value::String(text) if text.chars().count() > LONGEST_QUOTE => "a long text".into(),
        Value::String(text) => format!("the text {text:?}"),
        Value::Array(_) => "a list".into(),
        Value::Object(_) => "an object".into(),
    }
}

/// Longer texts are not repeated in a message.
const LONGEST_QUOTE: usize = 40;

fn wanted(schema: &Value, unit: Option<&str>) -> String {
    let words = words(schema);
    if !words.is_empty() {
        return words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(" or ");
    }
    let kind = |kind: &str| match kind {
        "number" => Some("a number"),
        "integer" => Some("a whole number"),
        "string" => Some("a text"),
        "boolean" => Some("true or false"),
        "array" => Some("a list in [ ]"),
        "object" => Some("an object in { }"),
        _ => None,
    };
    let kinds = kinds(schema).into_iter().filter_map(kind).collect::<Vec<_>>().join(" or ");
    match unit {
        Some(unit) => format!("{kinds}, in {unit}"),
        None => kinds,
    }
}
