//! Rules: what the checks that answered or could not run say of themselves.

use std::collections::BTreeMap;

use check::{Audit, Card};
use serde_json::json;

use super::level;
use super::shape::{Configuration, Descriptor, Text};
use crate::explain;
use crate::machine::Level;
use crate::text::clean;

/// The checks of one run by id, each with its card if there is one.
#[derive(Debug)]
pub(super) struct Rules<'a> {
    checks: BTreeMap<&'a str, Option<&'a Card>>,
}

impl<'a> Rules<'a> {
    pub(super) fn of(audit: &'a Audit, cards: &[&'a Card]) -> Self {
        let answered = audit.findings.iter().map(|finding| finding.check.as_str());
        let ids = answered.chain(audit.faults.iter().map(|fault| fault.check.as_str()));
        Self { checks: ids.map(|id| (id, cards.iter().copied().find(|card| card.id == id))).collect() }
    }

    /// Where the rule stands in the list of rules.
    pub(super) fn index(&self, id: &str) -> Option<usize> {
        self.checks.keys().position(|known| *known == id)
    }

    pub(super) fn descriptors(&self, file: &str) -> Vec<Descriptor> {
        let one = |(id, card): (&&str, &Option<&Card>)| card.map_or_else(|| Descriptor::named(id), |card| descriptor(card, file));
        self.checks.iter().map(one).collect()
    }
}

fn descriptor(card: &Card, file: &str) -> Descriptor {
    let text = |text: String| Some(Text { text: clean(&text) });
    Descriptor {
        short_description: text(card.question.to_string()),
        full_description: text(format!("{} {}", card.question, explain::in_short(card))),
        help: Some(Text { text: help(card, file) }),
        default_configuration: Some(Configuration { level: level(Level::of(card.consequence)) }),
        properties: Some(json!({ "tags": [clean(card.trade()), card.consequence.word()] })),
        ..Descriptor::named(&card.id)
    }
}

/// What somebody reads who meets the finding in a viewer, a paragraph each.
fn help(card: &Card, file: &str) -> String {
    let mut parts = vec![clean(&card.question), clean(&explain::in_short(card))];
    let mut list = |title: &str, words: &check::List| {
        let words: Vec<String> = words.iter().map(|word| format!("  {}", clean(word))).collect();
        if !words.is_empty() {
            parts.push(format!("{title}\n{}", words.join("\n")));
        }
    };
    list("How it is computed:", &card.formula);
    list("Limits:", &card.limits);
    list("It cannot answer without:", &card.needs);
    list("Careful:", &card.cautions);
    parts.push(format!("With this rig's numbers: rigproof explain {} {}", clean(&card.id), clean(file)));
    parts.join("\n\n")
}
