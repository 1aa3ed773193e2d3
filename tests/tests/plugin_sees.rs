//! What a plugin sees, and that both sides of the boundary mean the same.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::BTreeSet;

use plugin_api::session::Session;
use plugin_api::wire;
use plugin_checks::Bounds;
use rigproof::own::Own;
use rigproof_tests::{FULL, example, library, options, program};
use serde_json::{Value, json};

/// The misbehaving plugin in a way in which it behaves.
fn own(way: &str) -> (Own, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join(way).with_extension("so");
    std::fs::copy(library("misbehaving-plugin"), &file).unwrap();
    let own = Own::plugins(&[file], program(), Bounds::default());
    assert_eq!(own.faults, []);
    (own, folder)
}

#[test]
fn a_plugin_sees_what_its_card_names_and_nothing_of_its_surroundings() {
    let (own, _folder) = own("tells-what-it-sees");
    let text = example(FULL) + "\n[custom.crane]\nreach_m = 4\n";
    let audit = own.audit(text.as_bytes(), &options());
    let told =
        audit.findings.iter().find(|finding| finding.check == "stress/first").unwrap_or_else(|| panic!("{:?}", audit.faults));
    assert_eq!(told.sentence.as_deref(), Some("custom tank; kind name; (0, Some(\"/\"), 0)"));
}

/// The facts of every state of the complete example, whose tickets tie nearly all inputs together: value and range go to the
/// plugin as slopes and come back the same.
#[test]
fn facts_come_back_with_all_their_doubt() {
    let (own, _folder) = own("weighs");
    let text = example(FULL);
    let audit = own.audit(text.as_bytes(), &options());
    let context = rigproof::door::context(rigproof::registry(), text.as_bytes(), &options()).unwrap();
    let mut compared = 0;
    for state in context.facts().states() {
        let of_state = |case: Option<&str>| {
            let same = |f: &&check::Finding| {
                f.check == "stress/first" && f.state.as_deref() == Some(&state.name) && f.case.as_deref() == case
            };
            audit.findings.iter().find(same).unwrap_or_else(|| panic!("{:?}", audit.faults))
        };
        let (mass, demand) = (state.mass().unwrap(), of_state(None).demand.clone().unwrap());
        let (low, high) = mass.interval95();
        assert!(high - low > 1.0 && mass.terms().len() > 2, "there is doubt to carry");
        for (got, want) in [(demand.value, mass.value()), (demand.low, low), (demand.high, high)] {
            assert!((got.0 - want).abs() < 1e-9 * want, "{got:?} {want}");
        }
        // One of the program's limits governs with its own source.
        let share = of_state(Some("share"));
        let limit = context.limits("weight/steer-share");
        assert_eq!(share.verdict, check::Verdict::Fail);
        assert!(limit.iter().any(|held| share.basis.as_ref() == Some(&held.basis)), "{:?}", share.basis);
        compared += 1;
    }
    assert_eq!(compared, audit.states.len());
    assert!(compared > 1);
}

/// What stops a fact stands beside it, and the plugin passes it on.
#[test]
fn a_fact_that_is_not_known_names_the_input_that_is_wanted() {
    let (own, _folder) = own("weighs");
    let text = "format = \"rigproof-rig/1\"\nrig = \"Invented\"\nwithout = [\"trailer\"]\n[chassis]\ngross_mass = \"7500 kg\"\n\
        [[axle]]\nname = \"front\"\nx = \"0 m\"\n[[axle]]\nname = \"rear\"\nx = \"3.6 m\"\nbare_load = \"1500 kg weighed\"\n";
    let audit = own.audit(text.as_bytes(), &options());
    let front = |f: &&check::Finding| f.check == "stress/first" && f.about == "front axle";
    let axle = audit.findings.iter().find(front).unwrap_or_else(|| panic!("{:?} {:?}", audit.errors, audit.faults));
    assert_eq!((axle.verdict, axle.needs[0].path.as_str()), (check::Verdict::Missing, "axle[front].bare_load"));
}

fn words_of(schema: &schemars::Schema) -> BTreeSet<String> {
    let of = |one: &Value| -> Vec<String> {
        let listed = one["enum"].as_array().into_iter().flatten().chain(one.get("const"));
        listed.filter_map(Value::as_str).map(str::to_owned).collect()
    };
    let all = schema.as_value();
    all["oneOf"].as_array().into_iter().flatten().flat_map(of).chain(of(all)).collect()
}

#[test]
fn both_sides_have_the_same_words() {
    macro_rules! same {
        ($($ours:ty, $theirs:ty;)*) => {$(
            let words = words_of(&schemars::schema_for!($ours));
            assert_eq!(words, words_of(&schemars::schema_for!($theirs)));
            assert!(words.len() > 1, "{words:?}");
        )*};
    }
    same! {
        quantity::Dimension, wire::Dimension;
        check::Consequence, wire::Consequence;
        check::Effort, wire::Effort;
        check::finding::Sense, wire::Sense;
        basis::BasisKind, wire::BasisKind;
        basis::Known, wire::Known;
        rig_model::EditOp, wire::EditOp;
    }
}

#[test]
fn both_sides_write_a_path_alike() {
    for name in ["fresh", "body shell", "2nd", "2", "-1", "a\"b", "a\\b", "ä", "under_floor-2", "a.b", "x]"] {
        let ours = format!("tank{}", rig_model::path::entry(Some(name), 1));
        assert_eq!(plugin_api::entry("tank", name), ours);
        assert_eq!(rig_model::path::parse(&ours).unwrap().len(), 2, "{ours}");
    }
}

struct Sample;

impl plugin_api::Check for Sample {
    fn card(&self) -> plugin_api::Card {
        plugin_api::Card::new("sample/all", "Is all there?", plugin_api::Consequence::Comfort, plugin_api::Scope::Once)
    }

    fn answer(&self, cx: &plugin_api::Context<'_>) -> Vec<plugin_api::Finding> {
        use plugin_api::{Dimension, Effort, Limit, Number, edit_set};
        let about = |name: &str| cx.about(name).at("chassis");
        let limits = vec![Limit::at_least("a", Number::exact(1.0)).computed("so"), Limit::of("weight/steer-share")];
        vec![
            about("a").case("c").compare(&Number::input(3, 1.0, 0.1), Dimension::Length, limits).working(["1".to_owned()]).done(),
            about("b").require(false, "no").remedy("turn it", Effort::Minutes, vec![edit_set("chassis.height", "2 m")]).done(),
            about("c").missing("chassis.height"),
            about("d").not_applicable("why"),
        ]
    }
}

/// Whatever a plugin written with the crate for plugins says keeps to the published schema; and the schema can say no.
#[test]
fn documents_keep_to_the_plugin_schema() {
    let schema = jsonschema::validator_for(&serde_json::from_str(&wire::schema().unwrap()).unwrap()).unwrap();
    let session = Session::new("sample 1", vec![Box::new(Sample)]);
    let requests = [
        json!({ "kind": "hello", "format": wire::FORMAT }),
        json!({ "kind": "rig", "rig": { "tank": { "fresh": { "volume": { "value": 0.1, "sd": 0.01, "input": 3 } } } }, "states": [],
                "limits": { "a/b": [{ "name": "x: a/b", "at_most": 1.5, "dimension": "length" }] }, "today": "2026-11-25", "remedies": true }),
        json!({ "kind": "check", "id": "sample/all" }),
        json!({ "kind": "check", "id": "sample/none" }),
    ];
    let mut kinds = Vec::new();
    for request in &requests {
        assert!(schema.is_valid(request), "{request}");
        let reply: Value = serde_json::from_slice(&session.answer(request.to_string().as_bytes())).unwrap();
        assert!(schema.is_valid(&reply), "{reply}");
        kinds.push(reply["kind"].as_str().unwrap().to_owned());
        let mut odd = reply.clone();
        odd["kind"] = json!("perhaps");
        assert!(!schema.is_valid(&odd));
    }
    assert_eq!(kinds, ["cards", "ready", "findings", "fault"]);
    let reply: Value = serde_json::from_slice(&session.answer(requests[2].to_string().as_bytes())).unwrap();
    for (pointer, odd) in [("/findings/0/answer/demand/value", json!(null)), ("/findings/1/remedies/0/effort", json!("a year"))] {
        let mut reply = reply.clone();
        *reply.pointer_mut(pointer).unwrap() = odd;
        assert!(!schema.is_valid(&reply), "{pointer}");
    }
}
