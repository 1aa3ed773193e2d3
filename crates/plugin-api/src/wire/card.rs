//! What a check of a plugin says of itself.

use serde::{Deserialize, Serialize};

/// All that a check says of itself.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Card {
    /// `trade/what-is-asked`, in small letters, digits and hyphens; the trade is the plugin's own.
    pub id: String,
    /// The question in the user's words.
    pub question: String,
    /// Verb of the demand: "carries".
    pub demand_words: String,
    /// Verb of the capacity: "may carry".
    pub capacity_words: String,
    /// What ignoring a failure can lead to.
    pub consequence: Consequence,
    /// In which states it speaks.
    pub scope: Scope,
    /// Inputs without which the answer is missing, as paths without brackets: `tank.volume`. `facts` stands for what the
    /// loads and extents of a state rest on.
    #[serde(default)]
    pub needs: Vec<String>,
    /// Other inputs that move the answer. A check sees the tables of the file that it names here or in `needs`, and no others.
    #[serde(default)]
    pub uses: Vec<String>,
    /// Ids of the program's limits that it holds something against.
    #[serde(default)]
    pub limits: Vec<String>,
    /// The formula, one line a step.
    #[serde(default)]
    pub formula: Vec<String>,
    /// Cautions that every one of its findings carries.
    #[serde(default)]
    pub cautions: Vec<String>,
}

impl Card {
    /// A card with the verbs "has" and "may have", to be filled in.
    #[must_use]
    pub fn new(id: &str, question: &str, consequence: Consequence, scope: Scope) -> Self {
        Self {
            id: id.to_owned(),
            question: question.to_owned(),
            demand_words: "has".to_owned(),
            capacity_words: "may have".to_owned(),
            consequence,
            scope,
            needs: Vec::new(),
            uses: Vec::new(),
            limits: Vec::new(),
            formula: Vec::new(),
            cautions: Vec::new(),
        }
    }

    /// The two verbs of its sentence.
    #[must_use]
    pub fn words(mut self, demand: &str, capacity: &str) -> Self {
        (self.demand_words, self.capacity_words) = (demand.to_owned(), capacity.to_owned());
        self
    }

    /// Inputs without which the answer is missing.
    #[must_use]
    pub fn needs(mut self, paths: &[&str]) -> Self {
        self.needs = owned(paths);
        self
    }

    /// Other inputs that move the answer.
    #[must_use]
    pub fn uses(mut self, paths: &[&str]) -> Self {
        self.uses = owned(paths);
        self
    }

    /// Ids of the program's limits that it holds something against.
    #[must_use]
    pub fn limits(mut self, ids: &[&str]) -> Self {
        self.limits = owned(ids);
        self
    }

    /// The formula, one line a step.
    #[must_use]
    pub fn formula(mut self, lines: &[&str]) -> Self {
        self.formula = owned(lines);
        self
    }

    /// Cautions that every one of its findings carries.
    #[must_use]
    pub fn cautions(mut self, lines: &[&str]) -> Self {
        self.cautions = owned(lines);
        self
    }
}

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

/// What ignoring a failure can lead to, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Consequence {
    /// Somebody can be hurt.
    Injury,
    /// The law can stop the rig.
    Legal,
    /// Something can break.
    Damage,
    /// It is unpleasant.
    Comfort,
}

/// In which states a check speaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
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
