//! A check, and what it may look at.

use crate::draft::Draft;
use crate::number::Number;
use crate::seen::{Gap, Seen, entry};
use crate::wire::{Card, Finding, LimitInForce, RigDocument, Scope};
use serde_json::Value;

/// One question, asked of every subject it concerns. It keeps no state, and the same rig gives the same answers.
pub trait Check: Send + Sync {
    /// All that it says of itself.
    fn card(&self) -> Card;

    /// Its answers in one state of its scope; asked once, without a state, where the scope is [`Scope::Once`]. One for every
    /// subject; without a subject one that says so.
    fn answer(&self, cx: &Context<'_>) -> Vec<Finding>;
}

/// What a check may look at.
#[derive(Clone, Copy, Debug)]
pub struct Context<'a> {
    rig: &'a Value,
    state: Option<&'a Value>,
    document: &'a Seenable,
}

/// A rig document, its tables as values that can be looked at.
#[derive(Clone, Debug)]
pub struct Seenable {
    rig: Value,
    states: Vec<Value>,
    limits: std::collections::BTreeMap<String, Vec<LimitInForce>>,
    today: String,
    remedies: bool,
}

impl From<RigDocument> for Seenable {
    fn from(document: RigDocument) -> Self {
        let RigDocument { rig, states, limits, today, remedies } = document;
        Self { rig: Value::Object(rig), states: states.into_iter().map(Value::Object).collect(), limits, today, remedies }
    }
}

impl Seenable {
    /// Asks a check about this rig in every state of its scope.
    #[must_use]
    pub fn ask(&self, check: &dyn Check, scope: Scope) -> Vec<Finding> {
        let cx = |state| Context { rig: &self.rig, state, document: self };
        if scope == Scope::Once {
            return check.answer(&cx(None));
        }
        let speaks = |state: &&Value| match scope {
            Scope::Travel => Seen::new(state).get("kind").text() == Some("travel"),
            Scope::Camp => Seen::new(state).get("kind").text() == Some("camp"),
            Scope::Every | Scope::Once => true,
        };
        self.states.iter().filter(speaks).flat_map(|state| check.answer(&cx(Some(state)))).collect()
    }
}

impl<'a> Context<'a> {
    /// The tables of the rig file that the card names in `needs` and `uses`, and `custom`.
    #[must_use]
    pub fn rig(&self) -> Seen<'a> {
        Seen::new(self.rig)
    }

    /// One of the owner's own tables, `[custom.NAME]`.
    #[must_use]
    pub fn custom(&self, name: &str) -> Seen<'a> {
        self.rig().get("custom").get(name)
    }

    /// The state at hand: its name and kind, and its facts where the card names `facts`. Nothing where the scope is once.
    #[must_use]
    pub fn state(&self) -> Seen<'a> {
        Seen::new(self.state.unwrap_or(&Value::Null))
    }

    /// A number among the facts of the state: `&["mass_kg"]`, or `&["axle", "front", "load_kg"]` of an axle or a thing.
    ///
    /// # Errors
    /// The input that is wanted for it.
    pub fn need(&self, keys: &[&str]) -> Result<Number, Gap> {
        let at = keys.iter().fold(self.state(), |seen, key| seen.get(key));
        at.number().ok_or_else(|| {
            let fact = match keys {
                [list, name, key] => format!("{}.{key}", entry(list, name)),
                _ => keys.join("."),
            };
            let gap = self.state().get("gaps").get(&fact);
            let text = |key: &str| gap.get(key).text().map(str::to_owned);
            Gap { path: text("path").unwrap_or(fact), why: text("why").unwrap_or_default() }
        })
    }

    /// The limits of that id in force, for those who want the number; [`Limit::of`](crate::Limit::of) compares with them.
    #[must_use]
    pub fn limits(&self, id: &str) -> &'a [LimitInForce] {
        self.document.limits.get(id).map(Vec::as_slice).unwrap_or_default()
    }

    /// The day the audit is made for, as 2027-05-01.
    #[must_use]
    pub fn today(&self) -> &'a str {
        &self.document.today
    }

    /// Whether ways out are wanted.
    #[must_use]
    pub fn wants_remedies(&self) -> bool {
        self.document.remedies
    }

    /// Begins a finding about a subject, named as a person would name it.
    pub fn about(&self, about: impl Into<String>) -> Draft {
        Draft::new(about.into(), self.state().get("name").text())
    }
}
