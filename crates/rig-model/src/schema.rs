//! The JSON Schema of the rig file, from the same types that read it.

use schemars::Schema;
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};

use crate::model::Rig;

/// The JSON Schema (draft 2020-12) of a rig file. The same bytes every time.
pub fn schema() -> Schema {
    let mut schema = SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<Rig>();
    RecursiveTransform(without_null).transform(&mut schema);
    schema.insert("title".into(), "rigproof rig file".into());
    schema
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
