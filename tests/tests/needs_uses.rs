//! What a check says of its inputs is true: without one it needs it says `missing`; one it neither needs nor uses moves
//! no byte of its answers.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::{BTreeMap, BTreeSet};

use check::{Audit, Card, Verdict};
use rig_model::{Edit, EditOp};
use rigproof::Options;
use rigproof_tests::json_edit::{apply, covers, get, leaves, pattern, rig_as_json};
use rigproof_tests::{EXAMPLES, FULL, example, quick};
use serde_json::Value;

/// Moves every answer, so no card lists it.
const IMPLIED: [&str; 4] = ["weighing", "codes", "limit", "accept"];

/// Texts that name things, and words that choose: changing those is another rig, not another value.
const NOT_A_VALUE: [&str; 3] = ["format", "rig", "units"];

fn audit_json(rig: &Value) -> Audit {
    rigproof::audit(&serde_json::to_string_pretty(rig).unwrap(), &Options { json: true, ..quick() })
}

/// The complete example without tickets: a ticket moves everything, and then nothing could be told apart. What no state
/// is asked for is left to the other example.
fn rig(name: &str) -> Value {
    let mut rig = rig_as_json(&example(name));
    rig.as_object_mut().unwrap().remove("weighing");
    rig
}

/// Answers of each check as text, without what is proved by running all checks again.
fn answers(audit: &Audit) -> BTreeMap<String, String> {
    let mut by_check: BTreeMap<String, String> = BTreeMap::new();
    for finding in &audit.findings {
        let mut finding = finding.clone();
        finding.remedies.clear();
        // Places shift when a text grows; they are tested elsewhere.
        finding.place = check::finding::Where::default();
        let text = serde_json::to_string(&finding).unwrap();
        by_check.entry(finding.check.clone()).or_default().push_str(&text);
    }
    by_check
}

/// The same value, a little off: the first number in a text by one part in a hundred, a whole number by one, a yes to a
/// no. None where that would mean something else.
fn moved(value: &Value) -> Option<Value> {
    match value {
        Value::Bool(yes) => Some(Value::from(!yes)),
        Value::Number(number) => number.as_u64().map(|n| Value::from(n + 1)),
        Value::String(text) => {
            let start = text.find(|c: char| c.is_ascii_digit())?;
            let before = text[..start].trim_end();
            // "2026-09-12", "C 220x80x7", "295/80 R22.5" are no quantities.
            let plain = before.is_empty() || before == "about" || before == "-";
            let end = text[start..].find(|c: char| !(c.is_ascii_digit() || c == '.')).map_or(text.len(), |at| start + at);
            let unit =
                text[end..].starts_with(' ') && text[end..].trim_start().starts_with(|c: char| c.is_alphabetic() || c == '%');
            if !plain || !unit {
                return None;
            }
            let number: f64 = text[start..end].parse().ok()?;
            let off = if number == 0.0 { 0.01 } else { number * 1.01 };
            Some(Value::from(format!("{}{off}{}", &text[..start], &text[end..])))
        }
        _ => None,
    }
}

#[test]
fn an_input_that_is_neither_needed_nor_used_moves_nothing() {
    let registry = rigproof::registry();
    for name in EXAMPLES {
        let rig = rig(name);
        let base = answers(&audit_json(&rig));
        let (mut tried, mut wrong) = (0, BTreeSet::new());
        for (path, value) in leaves(&rig) {
            let pattern = pattern(&path);
            let skipped = IMPLIED.iter().chain(&NOT_A_VALUE).any(|known| covers(known, &pattern)) || covers("custom", &pattern);
            let Some(value) = moved(&value).filter(|_| !skipped) else { continue };
            let mut edited = rig.clone();
            apply(
                &mut edited,
                &Edit { path: path.clone(), op: EditOp::Set, from: None, to: Some(serde_json::from_value(value).unwrap()) },
            );
            let audit = audit_json(&edited);
            if !audit.errors.is_empty() {
                continue;
            }
            tried += 1;
            let now = answers(&audit);
            for check in registry.checks() {
                let card = check.card();
                let mut listed = card.needs.iter().chain(card.uses.iter());
                // `from` is a key of a value, and of a load: the hour it is switched on.
                let covers =
                    |listed: &str| [&pattern, &pattern_of_value(&pattern)].iter().any(|one| check::card::covers(listed, one));
                let listed = listed.any(covers);
                if !listed && base.get(&*card.id) != now.get(&*card.id) {
                    wrong.insert(format!("{} is moved by {}", card.id, pattern_of_value(&pattern)));
                }
            }
        }
        assert!(tried > 20, "{name}: only {tried} inputs could be moved");
        assert!(wrong.is_empty(), "{name}:\n{}", wrong.into_iter().collect::<Vec<_>>().join("\n"));
    }
}

/// `axle.bare_load.value` is the value of `axle.bare_load`.
fn pattern_of_value(pattern: &str) -> String {
    let parts = ["value", "tolerance", "how", "bounds", "from"];
    match pattern.rsplit_once('.') {
        Some((stem, last)) if parts.contains(&last) => stem.to_owned(),
        _ => pattern.to_owned(),
    }
}

/// Every path of the rig, tables and lists too, with its pattern.
fn paths(rig: &Value) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for (leaf, _) in leaves(rig) {
        let segments = rig_model::path::parse(&leaf).unwrap();
        for length in 1..=segments.len() {
            all.insert(rig_model::path::join(&segments[..length]));
        }
    }
    all
}

fn missing(audit: &Audit, card: &Card) -> usize {
    audit.findings.iter().filter(|finding| finding.check == card.id && finding.verdict == Verdict::Missing).count()
}

/// Inputs that the complete example does not have; their checks are missing or not applicable there already.
fn absent_from_the_example(rig: &Value, need: &str) -> bool {
    !paths(rig).iter().any(|path| pattern(path) == need && get(rig, path).is_some_and(|value| value != "?"))
}

#[test]
fn without_an_input_it_needs_a_check_says_missing() {
    let registry = rigproof::registry();
    let rig = rig(FULL);
    let base = audit_json(&rig);
    let (mut tried, mut wrong) = (0, Vec::new());
    for check in registry.checks() {
        let card = check.card();
        for need in card.needs.iter() {
            if absent_from_the_example(&rig, need) {
                continue;
            }
            let mut edited = rig.clone();
            // All of them at once: one axle's rating gone makes one finding missing, all gone make all missing.
            let mut all: Vec<String> =
                paths(&rig).into_iter().filter(|path| pattern(path) == need && !path.ends_with(']')).collect();
            if all.is_empty() {
                all = vec![need.to_owned()];
            }
            for path in &all {
                apply(&mut edited, &Edit { path: path.clone(), op: EditOp::Remove, from: None, to: None });
            }
            let audit = audit_json(&edited);
            if !audit.errors.is_empty() {
                wrong.push(format!("{}: without {need} the file is refused: {}", card.id, audit.errors[0].text));
                continue;
            }
            tried += 1;
            let (was, now) = (missing(&base, card), missing(&audit, card));
            if now <= was && now < audit.findings.iter().filter(|f| f.check == card.id).count() {
                let verdicts: BTreeSet<&str> =
                    audit.findings.iter().filter(|f| f.check == card.id).map(|f| f.verdict.word()).collect();
                wrong.push(format!("{}: without {need} it says {verdicts:?}, missing {was} before and {now} now", card.id));
            }
        }
    }
    assert!(tried > 10, "only {tried} needs could be tried");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// A card of a script or a plugin that says "facts" rests on all that moves the facts of a state.
#[test]
fn what_moves_the_facts_stands_in_the_tables_they_rest_on() {
    let file = rigproof_tests::root().join("crates/check-weight/tests/rigs/full.toml");
    let text = std::fs::read_to_string(file).unwrap();
    let cx = rigproof::door::context(rigproof::registry(), text.as_bytes(), &quick()).unwrap();
    let facts = |cx: &check::Context| -> Vec<_> {
        cx.facts().states().iter().map(|state| format!("{:?}", check::view::state(cx, state))).collect()
    };
    let base = facts(&cx);
    let (mut edits, mut moved, mut wrong) = (Vec::new(), 0, BTreeSet::new());
    cx.rig().each_value(&mut |trail, given| {
        let Some(value) = given.value.filter(|value| *value != 0.0) else { return };
        let to = quantity::show_exact(value * 0.995, given.dimension, quantity::System::Metric);
        edits.push(Edit { path: trail.path(), op: EditOp::Set, from: None, to: Some(rig_model::Free::Text(to)) });
    });
    for edit in edits {
        let Ok(edited) = cx.with(std::slice::from_ref(&edit)) else { continue };
        if facts(&edited) == base {
            continue;
        }
        moved += 1;
        let pattern = pattern(&edit.path);
        let table = pattern.split('.').next().unwrap_or_default();
        if !check::view::UNDER_FACTS.contains(&table) && table != "weighing" {
            wrong.insert(format!("the facts are moved by {pattern}"));
        }
    }
    assert!(moved > 50, "only {moved} inputs moved the facts");
    assert!(wrong.is_empty(), "\n{}", wrong.into_iter().collect::<Vec<_>>().join("\n"));
}
