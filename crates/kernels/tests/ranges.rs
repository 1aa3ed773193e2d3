//! Walks both ends of every range of every kernel, just inside and just outside.

// The lint that frees tests of this sees only functions marked #[test], not the helpers they share.
#![allow(clippy::expect_used, clippy::indexing_slicing, clippy::panic)]

mod common;

use common::Example;
use kernels::{Kernel, KernelError, all};
use physics::KernelError as Physics;
use serde_json::{Value, json};

/// A number of an input: its place as a JSON pointer and as an error names it, and its schema.
struct Leaf {
    pointer: String,
    name: String,
    schema: Value,
}

/// Every number a schema allows, in the first entry of every list.
fn leaves(root: &Value, schema: &Value, pointer: &str, name: &str, found: &mut Vec<Leaf>) {
    let reference = schema["$ref"].as_str().and_then(|r| r.strip_prefix("#/$defs/"));
    let schema = reference.map_or(schema, |r| &root["$defs"][r]);
    let kinds = match &schema["type"] {
        Value::Array(all) => all.clone(),
        one => vec![one.clone()],
    };
    if let Some(properties) = schema["properties"].as_object() {
        for (field, own) in properties {
            let path = if name.is_empty() { field.clone() } else { format!("{name}.{field}") };
            leaves(root, own, &format!("{pointer}/{field}"), &path, found);
        }
    } else if !schema["items"].is_null() {
        leaves(root, &schema["items"], &format!("{pointer}/0"), &format!("{name}[0]"), found);
    } else if (kinds.contains(&json!("number")) || kinds.contains(&json!("integer"))) && !kinds.contains(&json!("string")) {
        found.push(Leaf { pointer: pointer.to_owned(), name: name.to_owned(), schema: schema.clone() });
    }
}

/// The example with one number changed; optional ones are put in, lists of optional ones as one entry.
fn with(kernel: &Kernel, leaf: &Leaf, value: f64) -> Value {
    let mut input: Value = serde_json::from_str(kernel.example).expect("examples are JSON");
    let mut at = &mut input;
    for step in leaf.pointer.split('/').skip(1) {
        at = match step.parse::<usize>() {
            Ok(index) => {
                if at.is_null() {
                    *at = json!([null]);
                }
                &mut at[index]
            }
            Err(_) => &mut at[step],
        };
    }
    let whole = leaf.schema["type"] == json!("integer") || leaf.schema["type"] == json!(["integer", "null"]);
    *at = if whole { json!(value as i64) } else { json!(value) };
    input
}

#[test]
fn every_range_ends_where_it_says() {
    let mut ends = 0;
    for kernel in all() {
        let schema = (kernel.input_schema)().to_value();
        let mut found = Vec::new();
        leaves(&schema, &schema, "", "", &mut found);
        assert!(!found.is_empty(), "{} has no numbers", kernel.name);
        for leaf in &found {
            let (low, open) = match (leaf.schema["minimum"].as_f64(), leaf.schema["exclusiveMinimum"].as_f64()) {
                (Some(low), None) => (low, false),
                (None, Some(low)) => (low, true),
                other => panic!("{}: {} has no low end: {other:?}", kernel.name, leaf.name),
            };
            let high =
                leaf.schema["maximum"].as_f64().unwrap_or_else(|| panic!("{}: {} has no high end", kernel.name, leaf.name));
            let whole = !leaf.schema["type"].to_string().contains("number");
            let step = |at: f64| if whole { 1.0 } else { at.abs().max(1.0) * 1e-6 };
            let refused = [if open { low } else { low - step(low) }, high + step(high)];
            let taken = [if open { low + step(low) } else { low }, high];
            for value in refused {
                let why = kernel.call(with(kernel, leaf, value), &Example);
                let named = matches!(&why, Err(KernelError::Physics(Physics::OutOfRange { field, value: told, low: from, high: to, .. }))
                    if *field == leaf.name && *told == value && *from == low && *to == high);
                assert!(named, "{}: {} = {value}: {why:?}", kernel.name, leaf.name);
                ends += 1;
            }
            for value in taken {
                let answer = kernel.call(with(kernel, leaf, value), &Example);
                // A relation with other inputs may refuse it, the field's own range must not.
                if let Err(KernelError::Physics(Physics::OutOfRange { field, low: from, high: to, .. })) = &answer {
                    assert!(
                        *field != leaf.name || *from != low || *to != high,
                        "{}: {} = {value}: {answer:?}",
                        kernel.name,
                        leaf.name
                    );
                }
                assert!(
                    !matches!(answer, Err(KernelError::WrongKind { .. })),
                    "{}: {} = {value}: {answer:?}",
                    kernel.name,
                    leaf.name
                );
            }
        }
    }
    assert!(ends > 150, "only {ends} ends were walked");
}

/// Inputs at the far ends give finite numbers or an error, never null for a number.
#[test]
fn no_answer_holds_a_number_that_is_none() {
    fn numbers(value: &Value, schema: &Value, at: &str) {
        match value {
            Value::Array(all) => all.iter().for_each(|entry| numbers(entry, &schema["items"], at)),
            Value::Object(all) => all.iter().for_each(|(name, entry)| numbers(entry, &schema["properties"][name], name)),
            Value::Null => assert!(schema["type"].to_string().contains("null"), "{at} is null"),
            Value::Number(number) => {
                assert!(number.as_f64().is_some_and(|v| v.is_finite() && !(v == 0.0 && v.is_sign_negative())), "{at}: {number}")
            }
            _ => {}
        }
    }
    for kernel in all() {
        let schema = (kernel.input_schema)().to_value();
        let outputs = (kernel.output_schema)().to_value();
        let mut found = Vec::new();
        leaves(&schema, &schema, "", "", &mut found);
        for leaf in &found {
            for value in [1e-300, -1e-300, 0.0, -0.0, 1e9, -1e9, 1e6, 1e15, 1e300, 1e-9, 5.0] {
                if let Ok(output) = kernel.call(with(kernel, leaf, value), &Example) {
                    numbers(&output, &outputs, kernel.name);
                }
            }
        }
    }
}
