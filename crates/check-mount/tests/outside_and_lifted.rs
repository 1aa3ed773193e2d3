//! What the cards say of their inputs is true, on one rig that has everything: without an input it needs a check says
//! `missing`; an input that is in neither list moves no byte of its answers.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

mod support;

use std::collections::BTreeSet;

use check::{Card, Check, Context, Finding, Registry, Verdict};
use quantity::{Dimension, System};
use rig_model::path::{Segment, parse};
use rig_model::{Edit, EditOp, Free};
use support::{ask, context, registry};

/// Implied for every card.
const IMPLIED: [&str; 4] = ["weighing", "codes", "limit", "accept"];

/// The checks that this rig has everything for.
const MINE: [&str; 7] =
    ["mount/inside", "mount/roof-item", "mount/awning", "mount/lift", "mount/removable", "mount/body-support", "mount/strap"];

fn mine(registry: &Registry) -> Vec<&dyn Check> {
    MINE.iter().map(|id| registry.find(id).expect(id)).collect()
}

fn full() -> Context {
    context("outside-and-lifted.toml", include_str!("rigs/outside-and-lifted.toml"))
}

/// A path without its brackets, as cards write it.
fn pattern(path: &str) -> String {
    let keys = parse(path).expect("a path").into_iter().filter_map(|segment| match segment {
        Segment::Key(key) => Some(key),
        Segment::Name(_) | Segment::Index(_) => None,
    });
    keys.collect::<Vec<_>>().join(".")
}

fn covers(listed: &str, pattern: &str) -> bool {
    pattern.strip_prefix(listed).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

fn listed(card: &Card, pattern: &str) -> bool {
    card.needs.iter().chain(card.uses.iter()).chain(IMPLIED).any(|listed| covers(listed, pattern))
}

/// Every value with a dimension, and the words and numbers that have none: path and the edit that moves it a little.
fn moves(cx: &Context) -> Vec<Edit> {
    let mut all = Vec::new();
    cx.rig().each_value(&mut |trail, given| {
        let Some(value) = given.value else { return };
        // Shares of a tank end at 1, and a volume at the tank's: downward fits everywhere.
        let value = if value == 0.0 { 0.001 } else { value * 0.995 };
        let to = match given.dimension {
            Dimension::Temperature => return,
            dimension => quantity::show_exact(value, dimension, System::Metric),
        };
        all.push(Edit { path: trail.path(), op: EditOp::Set, from: None, to: Some(Free::Text(to)) });
    });
    let mut other = |path: &str, to: Free| all.push(Edit { path: path.to_owned(), op: EditOp::Set, from: None, to: Some(to) });
    other("roof_item[panel].fairing", Free::Bool(true));
    other("roof_item[panel].zone", Free::Text("middle".to_owned()));
    other("roof_item[panel].screws.count", Free::Number(9.0));
    other("roof_item[panel].screws.into", Free::Text("oak".to_owned()));
    other("awning[right].wind_class", Free::Number(1.0));
    other("awning[right].bolts.size", Free::Text("M10".to_owned()));
    other("fixing[1].bolts.class", Free::Text("10.9".to_owned()));
    other("fixing[1].bears", Free::List(vec![Free::Text("up".to_owned())]));
    other("tie[hose].connector", Free::Bool(false));
    other("mount[front].kind", Free::Text("slide".to_owned()));
    other("body.twist", Free::Text("soft".to_owned()));
    other("body.door_cut", Free::Text("left".to_owned()));
    other("strap[over].count", Free::Number(9.0));
    other("strap[over].wet", Free::Bool(true));
    other("lifting.state", Free::Text("dry".to_owned()));
    other("use", Free::Text("rock".to_owned()));
    other("state[wet].absent", Free::List(vec![Free::Text("stove".to_owned())]));
    all
}

fn text(findings: &[Finding]) -> String {
    format!("{findings:#?}")
}

#[test]
fn an_input_in_neither_list_moves_nothing() {
    let (cx, registry) = (full(), registry());
    let base: Vec<String> = mine(&registry).iter().map(|check| text(&ask("full", *check, &cx))).collect();
    let mut wrong = BTreeSet::new();
    let (mut tried, mut moved) = (0, BTreeSet::new());
    for edit in moves(&cx) {
        let pattern = pattern(&edit.path);
        // What the reader refuses (a tank too full, a front axle that is not at 0 m) is no rig.
        let Ok(edited) = cx.with(std::slice::from_ref(&edit)) else { continue };
        let edited = edited.with_remedies(true);
        tried += 1;
        for (check, base) in mine(&registry).into_iter().zip(&base) {
            let now = text(&ask("full, moved", check, &edited));
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
    let still = mine(&registry).into_iter().map(|check| &check.card().id).filter(|id| !moved.contains(&***id));
    let still: Vec<_> = still.collect();
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
        "mount" => rig.mount.iter().map(|mount| mount.name.as_str()).collect(),
        "strap" => rig.strap.iter().map(|strap| strap.name.as_str()).collect(),
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
    for check in mine(&registry) {
        let card = check.card();
        let count = |findings: &[Finding]| findings.iter().filter(|f| f.verdict == Verdict::Missing).count();
        let base = ask("full", check, &cx);
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
                    let now = count(&ask("full, less", check, &edited));
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
    for check in mine(&registry) {
        let card = check.card();
        assert!(card.question.ends_with('?'), "{}", card.id);
        assert!(card.formula.iter().next().is_some(), "{} has no formula", card.id);
        for limit in card.limits.iter() {
            let known = book.iter().any(|set| set.limit(limit).is_some() || set.table(limit).is_some());
            assert!(known, "{}: no set has {limit}", card.id);
        }
    }
}
