//! All that a check says of itself.

use std::borrow::Cow;

use crate::finding::Consequence;

/// A list of words: static in built-in cards, owned in cards made at run time.
#[derive(Clone, Debug)]
pub enum List {
    /// Known when the program was built.
    Static(&'static [&'static str]),
    /// Made at run time.
    Owned(Vec<String>),
}

impl List {
    /// The words, in order.
    pub fn iter(&self) -> Box<dyn Iterator<Item = &str> + '_> {
        match self {
            Self::Static(words) => Box::new(words.iter().copied()),
            Self::Owned(words) => Box::new(words.iter().map(String::as_str)),
        }
    }

    /// Whether the list holds that word.
    #[must_use]
    pub fn has(&self, word: &str) -> bool {
        self.iter().any(|w| w == word)
    }
}

/// Inputs that move an answer: those named, and all that may ride on or in the body, as a list for a card.
#[macro_export]
macro_rules! on_riders {
    [$($more:literal),* $(,)?] => {
        $crate::card::List::Static(&[
            $($more,)*
            "body",
            "mass",
            "tank",
            "seat",
            "person",
            "state",
            "roof_item",
            "awning",
            "panel.weight",
            "battery.weight",
            "controller.weight",
            "charger.weight",
            "inverter.weight",
            "converter.weight",
            "portable.weight",
            "load.weight",
            "generator.weight",
        ])
    };
}

/// The same, and all else that the mass ledger of the rig is made of.
#[macro_export]
macro_rules! on_weights {
    [$($more:literal),* $(,)?] => {
        $crate::on_riders![$($more,)* "coupling", "trailer"]
    };
}

/// The same, and all else that the loads of the axles rest on. Tyres carry and do not weigh, so they are not among them.
#[macro_export]
macro_rules! on_ledger {
    [$($more:literal),* $(,)?] => {
        $crate::on_weights![
            $($more,)*
            "axle.bare_load",
            "axle.x",
            "axle.group",
            "axle.spring_rate",
            "axle.fixed_load",
        ]
    };
}

/// What is listed as `TABLE.weight`: the keys of a table that the mass ledger reads, and not what else it tells.
pub const WEIGHT: [&str; 15] = [
    "name",
    "mass",
    "like",
    "at",
    "size",
    "in",
    "on",
    "of",
    "count",
    // By these a generic part is counted.
    "rated",
    "capacity",
    "energy",
    "voltage",
    "in_series",
    "in_parallel",
];

/// Whether an input, a path without its brackets, is the one listed, or lies below it.
#[must_use]
pub fn covers(listed: &str, input: &str) -> bool {
    let Some(table) = listed.strip_suffix(".weight") else { return is_below(input, listed) };
    let key = input.strip_prefix(table).and_then(|rest| rest.strip_prefix('.')?.split('.').next());
    input == table || key.is_some_and(|key| WEIGHT.contains(&key))
}

fn is_below(one: &str, other: &str) -> bool {
    one.strip_prefix(other).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

/// Inputs that are implied for every card: they tie every answer to every input, or decide which are given.
pub const IMPLIED: [&str; 5] = ["weighing", "codes", "limit", "accept", "without"];

/// The two verbs of a check's sentence: "carries 5350 kg, may carry 5200 kg".
#[derive(Clone, Debug)]
pub struct Words {
    /// Verb of the demand: `carries`, `loses`, `needs`.
    pub demand: Cow<'static, str>,
    /// Verb of the capacity: `may carry`, `may lose`, `has`.
    pub capacity: Cow<'static, str>,
}

impl Words {
    /// Both verbs, known when the program was built.
    #[must_use]
    pub const fn new(demand: &'static str, capacity: &'static str) -> Self {
        Self { demand: Cow::Borrowed(demand), capacity: Cow::Borrowed(capacity) }
    }
}

/// In which states a check speaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope {
    /// Every travel state.
    Travel,
    /// Every camp state.
    Camp,
    /// Every state.
    Every,
    /// Once for the whole rig; its findings have no state.
    Once,
}

impl Scope {
    /// The word of it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Travel => "travel",
            Self::Camp => "camp",
            Self::Every => "every",
            Self::Once => "once",
        }
    }
}

/// All metadata of a check. Static for built-in checks, made at run time for a script's.
#[derive(Clone, Debug)]
pub struct Card {
    /// `trade/what-is-asked`; does not change meaning once published.
    pub id: Cow<'static, str>,
    /// The question in the user's words.
    pub question: Cow<'static, str>,
    /// The two verbs of its sentence.
    pub words: Words,
    /// What ignoring a failure can lead to.
    pub consequence: Consequence,
    /// In which states it speaks.
    pub scope: Scope,
    /// Inputs (path patterns) without which the answer is `missing`.
    pub needs: List,
    /// Inputs that move the answer. `weighing`, `codes`, `limit` and `accept` are implied for all. `panel.weight` and its like
    /// stand for the keys of that table that weigh: see [`WEIGHT`].
    pub uses: List,
    /// Ids of the limits it holds something against.
    pub limits: List,
    /// The formula, one line a step, for `explain`.
    pub formula: List,
    /// Cautions that every one of its findings carries.
    pub cautions: List,
}

impl Card {
    /// Whether an edit may move the answer, by its path without what is in brackets ([`without_names`]): it is listed in
    /// `needs` or `uses`, lies below something listed, or holds it.
    ///
    /// [`without_names`]: rig_facts::tables::without_names
    #[must_use]
    pub fn is_moved_by(&self, pattern: &str) -> bool {
        // Nearly all begin otherwise.
        let begins = |listed: &str| listed.as_bytes().first() == pattern.as_bytes().first();
        let moves = |listed: &str| begins(listed) && (covers(listed, pattern) || is_below(listed, pattern));
        IMPLIED.iter().any(|listed| moves(listed)) || self.needs.iter().any(moves) || self.uses.iter().any(moves)
    }

    /// The part of the id after the slash. A check's own table in the rig file has the same name.
    #[must_use]
    pub fn name(&self) -> &str {
        self.id.split_once('/').map_or("", |(_, name)| name)
    }

    /// The part of the id before the slash.
    #[must_use]
    pub fn trade(&self) -> &str {
        basis::before_slash(&self.id).unwrap_or(&self.id)
    }
}

#[cfg(test)]
mod tests {
    use super::covers;

    #[test]
    fn a_listed_table_covers_its_keys_and_a_listed_weight_those_that_weigh() {
        for (listed, input, wanted) in [
            ("axle.rated", "axle.rated", true),
            ("axle", "axle.tyre.pressure", true),
            ("axle.rated", "axle.rated_off_road", false),
            ("axle.rated", "axle", false),
            ("panel.weight", "panel.mass", true),
            ("panel.weight", "panel.at", true),
            ("panel.weight", "panel", true),
            ("panel.weight", "panel.mounted", false),
            ("panel.weight", "panel_item.mass", false),
            ("panel.weight", "battery.mass", false),
        ] {
            assert_eq!(covers(listed, input), wanted, "{listed} {input}");
        }
    }
}
