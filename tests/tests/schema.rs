//! The published schemas are what the program makes, and documents keep to them.
//!
//! `RIGPROOF_WRITE_SCHEMAS=1 cargo test -p rigproof-tests --test schema` writes them anew.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use rigproof_tests::corpus::{Want, hostile};
use rigproof_tests::json_edit::from_toml;
use rigproof_tests::{EXAMPLES, audit_of, example, options, root};
use serde_json::Value;

fn rig_schema_text() -> String {
    serde_json::to_string_pretty(&rig_model::schema()).unwrap() + "\n"
}

fn audit_schema_text() -> String {
    report::json::schema()
}

fn plugin_schema_text() -> String {
    plugin_api::wire::schema().unwrap()
}

fn validator(text: &str) -> jsonschema::Validator {
    jsonschema::validator_for(&serde_json::from_str(text).unwrap()).expect("the schema is a schema")
}

fn faults(validator: &jsonschema::Validator, document: &Value) -> Vec<String> {
    validator.iter_errors(document).map(|e| format!("{} at {}", e, e.instance_path())).take(3).collect()
}

/// A rig file as JSON, if it is TOML at all.
fn as_json(text: &str) -> Option<Value> {
    let table: toml::Table = text.parse().ok()?;
    Some(from_toml(&toml::Value::Table(table)))
}

#[test]
fn the_files_in_schemas_are_what_the_program_makes() {
    for (file, made) in [
        ("rig.schema.json", rig_schema_text()),
        ("audit.schema.json", audit_schema_text()),
        ("plugin.schema.json", plugin_schema_text()),
    ] {
        let path = root().join("schemas").join(file);
        if std::env::var_os("RIGPROOF_WRITE_SCHEMAS").is_some() {
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(&path, &made).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            kept == made,
            "schemas/{file} is not what the types say now; write it anew with\n    RIGPROOF_WRITE_SCHEMAS=1 cargo test -p rigproof-tests --test schema"
        );
    }
}

#[test]
fn the_program_prints_the_same_schemas() {
    for (which, made) in [("rig", rig_schema_text()), ("audit", audit_schema_text()), ("plugin", plugin_schema_text())] {
        let output = rigproof_tests::rigproof_command().args(["schema", which]).output().unwrap();
        assert_eq!(String::from_utf8(output.stdout).unwrap(), made);
    }
}

#[test]
fn the_examples_keep_to_the_rig_schema() {
    let rig = validator(&rig_schema_text());
    for name in EXAMPLES {
        let document = as_json(&example(name)).unwrap();
        assert_eq!(faults(&rig, &document), Vec::<String>::new(), "{name}");
        // The same rig as JSON gives the same answers.
        let text = serde_json::to_string_pretty(&document).unwrap();
        let json = rigproof::audit(&text, &rigproof::Options { json: true, ..options() });
        let toml = audit_of(name);
        assert_eq!(json.errors, toml.errors);
        let answers = |audit: &check::Audit| {
            audit
                .findings
                .iter()
                .map(|f| format!("{:?} {:?} {:?} {:?}", f.key(), f.verdict, f.demand, f.working))
                .collect::<Vec<_>>()
        };
        assert_eq!(answers(&json), answers(&toml), "{name}");
    }
}

/// What the reader takes the schema takes too; and most of what is wrong in shape the schema sees. References, physical
/// ranges and units of a limit are beyond a schema.
#[test]
fn the_schema_and_the_reader_agree_on_the_corpus() {
    let rig = validator(&rig_schema_text());
    let (mut seen, mut wrong) = (0, 0);
    for file in hostile() {
        let Ok(text) = std::str::from_utf8(&file.bytes) else { continue };
        let document = if file.json { serde_json::from_str(text).ok() } else { as_json(text.trim_start_matches('\u{feff}')) };
        let Some(document) = document else { continue };
        let found = faults(&rig, &document);
        match file.want {
            Want::Clean => assert_eq!(found, Vec::<String>::new(), "{}", file.name),
            _ => {
                wrong += 1;
                seen += usize::from(!found.is_empty());
            }
        }
    }
    assert!(wrong >= 50, "{wrong} files");
    // Not a share: a mistake of another kind in the corpus is none of the schema's.
    assert!(seen >= 51, "the schema sees {seen} of {wrong} mistakes");
}

#[test]
fn audits_keep_to_the_audit_schema() {
    let schema = validator(&audit_schema_text());
    for name in EXAMPLES {
        let document: Value = serde_json::from_str(&report::json::render(&audit_of(name))).unwrap();
        assert_eq!(faults(&schema, &document), Vec::<String>::new(), "{name}");
    }
    let broken = rigproof::audit("format = 3", &options());
    assert!(!broken.errors.is_empty());
    let document: Value = serde_json::from_str(&report::json::render(&broken)).unwrap();
    assert_eq!(faults(&schema, &document), Vec::<String>::new());
}

#[test]
fn pictures_of_every_kind_keep_to_the_audit_schema() {
    let schema = validator(&audit_schema_text());
    let mut audit = report::sample::audit();
    let report = report::terminal::render(&audit, &report::Look::default());
    audit.exhibits.extend(report::sample::pictures());
    let document: Value = serde_json::from_str(&report::json::render(&audit)).unwrap();
    assert_eq!(faults(&schema, &document), Vec::<String>::new());
    let kinds: Vec<&str> =
        document["exhibits"].as_array().unwrap().iter().filter_map(|e| e["picture"]["kind"].as_str()).collect();
    assert_eq!(kinds, ["day-hour-map", "month-bars", "roof-plan", "curve"]);
    assert_eq!(document["exhibits"][0]["picture"]["hours"].as_array().unwrap().len(), 8760);
    // A picture is no answer: the report for people stays as it is.
    assert_eq!(report::terminal::render(&audit, &report::Look::default()), report);
}

#[test]
fn the_audit_schema_sees_a_broken_audit() {
    let schema = validator(&audit_schema_text());
    let mut document: Value = serde_json::from_str(&report::json::render(&audit_of(EXAMPLES[1]))).unwrap();
    document["findings"][0]["verdict"] = Value::from("perhaps");
    assert!(!faults(&schema, &document).is_empty());
}
