//! The JSON Schema of the rig file, from the same types that read it.

use schemars::Schema;
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};

use crate::check::usual::ranges;
use crate::model::Rig;

/// The JSON Schema (draft 2020-12) of a rig file. The same bytes every time.
pub fn schema() -> Schema {
    let mut schema = SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<Rig>();
    RecursiveTransform(without_null).transform(&mut schema);
    schema.insert("title".into(), "rigproof rig file".into());
    schema
}

/// Puts the load indices that the check takes into a key's schema.
pub(crate) fn load_index(schema: &mut Schema) {
    let range = &ranges().load_index;
    schema.insert("minimum".into(), (*range.start()).into());
    schema.insert("maximum".into(), (*range.end()).into());
}

/// Puts the wind classes that the check takes into a key's schema.
pub(crate) fn wind_class(schema: &mut Schema) {
    schema.insert("maximum".into(), ranges().wind_class.into());
}

/// An optional key is left out, not null: TOML has no null.
fn without_null(schema: &mut Schema) {
    let Some(object) = schema.as_object_mut() else { return };
    if let Some(types) = object.get_mut("type").and_then(|types| types.as_array_mut()) {
        types.retain(|kind| kind != "null");
        if let [only] = types.as_slice() {
            let only = only.clone();
            object.insert("type".into(), only);
        }
    }
    if let Some(any) = object.get_mut("anyOf").and_then(|any| any.as_array_mut()) {
        any.retain(|choice| choice.get("type").is_none_or(|kind| kind != "null"));
        if let [only] = any.as_slice() {
            // Keys beside the reference (the field's own description) stay, and win.
            let only = only.clone();
            object.remove("anyOf");
            if let Some(inner) = only.as_object() {
                for (key, value) in inner {
                    object.entry(key.clone()).or_insert_with(|| value.clone());
                }
            }
        }
    }
    if object.get("default").is_some_and(|default| default.is_null()) {
        object.remove("default");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    fn whole() -> Value {
        serde_json::to_value(schema()).unwrap()
    }

    #[test]
    fn two_schemas_are_the_same_bytes() {
        assert_eq!(serde_json::to_string(&schema()).unwrap(), serde_json::to_string(&schema()).unwrap());
    }

    #[test]
    fn nothing_may_be_null() {
        fn look(value: &Value, at: &str) {
            match value {
                Value::Object(map) => map.iter().for_each(|(key, value)| {
                    assert!(key != "default" || !value.is_null(), "{at}");
                    assert!(!key.starts_with("x-"), "{at}/{key}");
                    look(value, &format!("{at}/{key}"));
                }),
                Value::Array(list) => list.iter().for_each(|value| look(value, at)),
                Value::String(text) => assert!(text != "null", "{at}"),
                _ => {}
            }
        }
        look(&whole(), "");
    }

    #[test]
    fn tables_refuse_unknown_keys_and_every_key_is_described() {
        let schema = whole();
        let rig = "Rig".to_owned();
        let tables = schema["$defs"].as_object().unwrap().iter().chain([(&rig, &schema)]);
        for (name, table) in tables {
            let Some(properties) = table.get("properties") else { continue };
            if name.starts_with("Stated_") {
                continue; // quantity's own, tested there
            }
            assert_eq!(table["additionalProperties"], json!(false), "{name}");
            for (key, property) in properties.as_object().unwrap() {
                let described = property.get("description").is_some() || property.get("$ref").is_some();
                assert!(described, "{name}.{key} has no description");
            }
        }
    }

    #[test]
    fn the_words_of_a_place_pass_the_pattern() {
        let coord = &whole()["$defs"]["Coord"];
        let pattern = coord["pattern"].as_str().unwrap();
        assert!(pattern.contains("left|right|floor"), "{pattern}");
    }

    #[test]
    fn ranges_are_those_of_the_check() {
        let index = &whole()["$defs"]["Tyre"]["properties"]["load_index"];
        assert_eq!(index["minimum"], json!(ranges().load_index.start()));
        assert_eq!(index["maximum"], json!(ranges().load_index.end()));
    }
}
