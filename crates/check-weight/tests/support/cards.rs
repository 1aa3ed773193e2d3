//! What the cards say of their inputs is true, on the annotated rigs: an input that is in neither list moves no byte of a
//! check's answers, and without an input it needs a check says `missing`.

use std::collections::{BTreeMap, BTreeSet};

use check::{Context, Finding, Verdict};
use rig_model::{Edit, EditOp, Free};

use crate::announced::rigs;
use crate::support::{ask, context, listed, moved_values, pattern, registry};
use crate::trade;

/// Every value with a dimension moved a little, and words and choices of the first entry of a table set to others.
fn moves(cx: &Context) -> Vec<Edit> {
    let mut all = moved_values(cx);
    for (table, key, to) in trade::WORDS {
        // A list counts from 1; a table that stands once has no number.
        let entry = [format!("{table}[1]"), (*table).to_owned()].into_iter().find(|entry| cx.document().has(entry));
        let Some(entry) = entry else { continue };
        let text = Free::Text((*to).to_owned());
        let to = match *to {
            "true" | "false" => Free::Bool(*to == "true"),
            _ if trade::LISTS.contains(key) => Free::List(vec![text]),
            _ => text,
        };
        all.push(Edit { path: format!("{entry}.{key}"), op: EditOp::Set, from: None, to: Some(to) });
    }
    all
}

/// Answers as text, without the ways out of them.
fn text(mut findings: Vec<Finding>) -> String {
    findings.iter_mut().for_each(|finding| finding.proposals.clear());
    format!("{findings:#?}")
}

#[test]
fn an_input_in_neither_list_moves_nothing() {
    let registry = registry();
    let (mut wrong, mut tried) = (BTreeSet::new(), 0);
    for (name, rig, _) in rigs() {
        let cx = context(&name, &rig);
        let base: Vec<String> = registry.checks().iter().map(|check| text(ask(&name, &**check, &cx))).collect();
        for edit in moves(&cx) {
            let Ok(edited) = cx.with(std::slice::from_ref(&edit)) else { continue };
            let edited = edited.with_remedies(true);
            tried += 1;
            for (check, base) in registry.checks().iter().zip(&base) {
                let card = check.card();
                if !listed(card, &pattern(&edit.path)) && text(ask(&name, &**check, &edited)) != *base {
                    wrong.insert(format!("{} is moved by {}", card.id, pattern(&edit.path)));
                }
            }
        }
    }
    assert!(tried > 500, "only {tried} inputs");
    assert!(wrong.is_empty(), "\n{}", wrong.into_iter().collect::<Vec<_>>().join("\n"));
}

/// Every path of the document that a card's pattern means: each entry of the lists on its way.
fn places(cx: &Context, need: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    let (lists, last) = need.rsplit_once('.').unwrap_or(("", need));
    for key in lists.split('.').filter(|key| !key.is_empty()) {
        let mut next = Vec::new();
        for before in all {
            let here = format!("{before}{key}");
            let entries: Vec<String> = (1..)
                .map(|at| format!("{here}[{at}]."))
                .take_while(|entry| cx.document().has(entry.trim_end_matches('.')))
                .collect();
            if entries.is_empty() { next.push(format!("{here}.")) } else { next.extend(entries) }
        }
        all = next;
    }
    all.into_iter().map(|before| format!("{before}{last}")).filter(|path| cx.document().has(path)).collect()
}

#[test]
fn without_an_input_it_needs_a_check_says_missing() {
    let registry = registry();
    let missing = |findings: &[Finding]| findings.iter().filter(|finding| finding.verdict == Verdict::Missing).count();
    // By check and need: whether a rig has it, and whether one then says missing.
    let mut seen: BTreeMap<(String, String), bool> = BTreeMap::new();
    for (name, rig, id) in rigs() {
        let Some(check) = registry.find(&id) else { continue };
        let cx = context(&name, &rig);
        let before = missing(&ask(&name, check, &cx));
        for need in check.card().needs.iter() {
            let said = seen.entry((id.clone(), need.to_owned())).or_default();
            let edits: Vec<Edit> =
                places(&cx, need).into_iter().map(|path| Edit { path, op: EditOp::Remove, from: None, to: None }).collect();
            if let (false, Ok(edited)) = (edits.is_empty(), cx.with(&edits)) {
                let now = ask(&name, check, &edited);
                *said |= missing(&now) > before || missing(&now) == now.len();
            }
        }
    }
    let wrong: Vec<String> =
        seen.iter().filter(|(_, said)| !**said).map(|((id, need), _)| format!("{id}: no rig misses {need}")).collect();
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
        assert!(card.cautions.iter().next().is_some(), "{} has no caution", card.id);
        for limit in card.limits.iter() {
            let known = book.iter().any(|set| set.limit(limit).is_some() || set.table(limit).is_some());
            assert!(known, "{}: no set has {limit}", card.id);
        }
    }
}
