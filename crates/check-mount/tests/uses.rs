//! What a card lists as needed or used is all that moves its answers: the runner asks a check again by it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

#[path = "../../check-weight/tests/support/mod.rs"]
mod support;

mod trade {
    pub(crate) use check_mount::{checks, limits};
}

use std::collections::BTreeSet;

use check::{Check, Context};
use quantity::{System, show_exact};
use rig_model::{Edit, EditOp, Free};
use support::{context, folder, registry};

/// Words and choices of a mount, and what they are set to.
const WORDS: [(&str, &str); 11] = [
    ("kind", "pivot"),
    ("holds", "down"),
    ("bolts.size", "M14"),
    ("bolts.class", "10.9"),
    ("bracket.section", "L 100x10"),
    ("bracket.steel", "S355"),
    ("welds.quality", "coded"),
    ("welds.steel", "S275"),
    ("welds.on", "flange"),
    ("packer.material", "D40"),
    ("packer.retained_by", "trough"),
];

fn answers(check: &dyn Check, cx: &Context) -> String {
    check.run(cx).iter().map(|finding| format!("{finding:?}")).collect()
}

#[test]
fn what_no_card_lists_moves_no_answer() {
    let registry = registry();
    let (mut tried, mut wrong) = (0, BTreeSet::new());
    for check_folder in std::fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path()) {
        for file in std::fs::read_dir(&check_folder).unwrap().map(|entry| entry.unwrap().path()) {
            let name = file.display().to_string();
            let cx = context(&name, &std::fs::read_to_string(&file).unwrap()).with_remedies(false);
            let base: Vec<String> = registry.checks().iter().map(|check| answers(&**check, &cx)).collect();
            let mut edits: Vec<Edit> = Vec::new();
            cx.rig().each_value(&mut |trail, given| {
                let Some(value) = given.value else { return };
                let to = if value == 0.0 { 0.01 } else { value * 1.01 };
                let to = Free::Text(show_exact(to, given.dimension, System::Metric));
                edits.push(Edit { path: trail.path(), op: EditOp::Set, from: None, to: Some(to) });
            });
            for mount in cx.rig().mount.iter().take(1) {
                let set = |key: &str, to: Free| Edit {
                    path: format!("mount[{}].{key}", mount.name),
                    op: EditOp::Set,
                    from: None,
                    to: Some(to),
                };
                edits.extend(WORDS.iter().map(|(key, to)| {
                    let text = Free::Text((*to).to_owned());
                    set(key, if *key == "holds" { Free::List(vec![text]) } else { text })
                }));
                edits.push(set("bracket.gusset", Free::Bool(true)));
                edits.push(set("packer.wet", Free::Bool(false)));
            }
            for edit in edits {
                let Ok(edited) = cx.with(std::slice::from_ref(&edit)) else { continue };
                tried += 1;
                for (check, base) in registry.checks().iter().zip(&base) {
                    if !check.card().is_moved_by(&edit.path) && answers(&**check, &edited) != *base {
                        wrong.insert(format!("{} is moved by {}", check.card().id, rig_facts::tables::without_names(&edit.path)));
                    }
                }
            }
        }
    }
    assert!(tried > 500, "only {tried} values could be moved");
    assert!(wrong.is_empty(), "\n{}", wrong.into_iter().collect::<Vec<_>>().join("\n"));
}
