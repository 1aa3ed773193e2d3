//! What the cards say of their inputs is true, on one rig that has everything: without an input it needs a check says
//! `missing`; an input that is in neither list moves no byte of its answers.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

mod support;

mod trade {
    pub(crate) use check_weight::{checks, limits};
}

use std::collections::BTreeSet;

use check::{Context, Finding, Verdict};
use rig_model::{Edit, EditOp, Free};
use support::{ask, context, listed, moved_values, pattern, registry};

fn full() -> Context {
    context("full.toml", include_str!("rigs/full.toml"))
}

/// Every value with a dimension, and the words and numbers that have none: path and the edit that moves it a little.
fn moves(cx: &Context) -> Vec<Edit> {
    let mut all = moved_values(cx);
    let mut other = |path: String, to: Free| all.push(Edit { path, op: EditOp::Set, from: None, to: Some(to) });
    for axle in &cx.rig().axle {
        let key = |key: &str| format!("axle[{}].{key}", axle.name);
        other(key("driven"), Free::Bool(axle.driven != Some(true)));
        other(key("steered"), Free::Bool(axle.steered != Some(true)));
        other(key("tyre.load_index"), Free::Number(149.0));
        other(key("tyre.load_index_dual"), Free::Number(144.0));
        other(key("tyre.speed_symbol"), Free::Text("M".to_owned()));
        other(key("tyre.date_code"), Free::Text("0124".to_owned()));
        other(key("tyre.load_exponent"), Free::Number(0.9));
        other(key("tyre.kind"), Free::Text("diagonal".to_owned()));
        other(key("tyre.size"), Free::Text("other".to_owned()));
    }
    other("axle[front].tyre.per_side".to_owned(), Free::Number(2.0));
    other("trailer.braked".to_owned(), Free::Bool(false));
    other("coupling.kind".to_owned(), Free::Text("ball".to_owned()));
    other("use".to_owned(), Free::Text("rock".to_owned()));
    other("person[first].drives".to_owned(), Free::Bool(false));
    other("person[first].licence".to_owned(), Free::List(vec![Free::Text("B".to_owned())]));
    all
}

fn text(findings: &[Finding]) -> String {
    format!("{findings:#?}")
}

#[test]
fn an_input_in_neither_list_moves_nothing() {
    let (cx, registry) = (full(), registry());
    let base: Vec<String> = registry.checks().iter().map(|check| text(&ask("full", &**check, &cx))).collect();
    let mut wrong = BTreeSet::new();
    let (mut tried, mut moved) = (0, BTreeSet::new());
    for edit in moves(&cx) {
        let pattern = pattern(&edit.path);
        // What the reader refuses (a tank too full, a front axle that is not at 0 m) is no rig.
        let Ok(edited) = cx.with(std::slice::from_ref(&edit)) else { continue };
        let edited = edited.with_remedies(true);
        tried += 1;
        for (check, base) in registry.checks().iter().zip(&base) {
            let now = text(&ask("full, moved", &**check, &edited));
            let card = check.card();
            if now == *base {
                continue;
            }
            moved.insert(card.id.to_string());
            if !listed(card, &pattern) {
                wrong.insert(format!("{} is moved by {pattern}", card.id));
            }
        }
    }
    assert!(tried > 50, "only {tried} inputs");
    assert!(wrong.is_empty(), "\n{}", wrong.into_iter().collect::<Vec<_>>().join("\n"));
    let still = registry.checks().iter().map(|check| &check.card().id).filter(|id| !moved.contains(&***id));
    let still: Vec<_> = still.filter(|id| &***id != "weight/scale-agreement").collect();
    assert!(still.is_empty(), "nothing moves {still:?}");
}

/// Every path of the document that a card's pattern means.
fn places(cx: &Context, need: &str) -> Vec<String> {
    let rig = cx.rig();
    let (list, rest) = need.split_once('.').unwrap_or((need, ""));
    let names: Vec<&str> = match list {
        "axle" => rig.axle.iter().map(|axle| axle.name.as_str()).collect(),
        "mass" => rig.mass.iter().map(|mass| mass.name.as_str()).collect(),
        "tank" => rig.tank.iter().map(|tank| tank.name.as_str()).collect(),
        "seat" => rig.seat.iter().map(|seat| seat.name.as_str()).collect(),
        "person" => rig.person.iter().map(|person| person.name.as_str()).collect(),
        "passage" => rig.passage.iter().map(|passage| passage.name.as_str()).collect(),
        _ => Vec::new(),
    };
    let mut all = vec![need.to_owned()];
    if !names.is_empty() && !rest.is_empty() {
        all = names.iter().map(|name| format!("{list}{}.{rest}", rig_model::path::entry(Some(name), 1))).collect();
    }
    all.retain(|path| cx.document().has(path));
    all
}

/// Whether a check judges anything at all on this rig.
fn judges(findings: &[Finding]) -> bool {
    findings.iter().any(|finding| matches!(finding.verdict, Verdict::Pass | Verdict::Fail | Verdict::Unsettled))
}

#[test]
fn without_an_input_it_needs_a_check_says_missing() {
    let (cx, registry) = (full(), registry());
    let mut wrong = Vec::new();
    for check in registry.checks() {
        let card = check.card();
        let count = |findings: &[Finding]| findings.iter().filter(|f| f.verdict == Verdict::Missing).count();
        let base = ask("full", &**check, &cx);
        // The rig has no tickets, which would tie every answer to every input.
        if !judges(&base) && &*card.id == "weight/scale-agreement" {
            continue;
        }
        assert!(judges(&base), "{} judges nothing on the full rig", card.id);
        let before = count(&base);
        for need in card.needs.iter() {
            let paths = places(&cx, need);
            if paths.is_empty() {
                wrong.push(format!("{}: the full rig has no {need}", card.id));
                continue;
            }
            let edits: Vec<Edit> =
                paths.into_iter().map(|path| Edit { path, op: EditOp::Remove, from: None, to: None }).collect();
            match cx.with(&edits) {
                Err(why) => wrong.push(format!("{}: without {need} the file is refused: {why}", card.id)),
                Ok(edited) => {
                    let now = count(&ask("full, less", &**check, &edited));
                    if now <= before {
                        wrong.push(format!("{}: without {need} missing {before} before, {now} now", card.id));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn cards_say_all_of_themselves() {
    let registry = registry();
    let book = registry.book().all().expect("every set loads");
    for check in registry.checks() {
        let card = check.card();
        assert!(card.question.ends_with('?'), "{}", card.id);
        assert!(card.formula.iter().next().is_some(), "{} has no formula", card.id);
        for limit in card.limits.iter() {
            let known = book.iter().any(|set| set.limit(limit).is_some() || set.table(limit).is_some());
            assert!(known, "{}: no set has {limit}", card.id);
        }
    }
}
