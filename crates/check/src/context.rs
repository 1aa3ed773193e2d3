//! What a check may look at: rig, facts, limits, today; and the same with edits applied.

use std::fmt;
use std::sync::Arc;

use basis::Table;
use rig_facts::kept::{Kept, KeptOfAny};
use rig_facts::{Beside, Facts, StateFacts, StateKind};
use rig_model::{Document, Edit, Rig};

use crate::card::Scope;
use crate::day::Day;
use crate::limits::{self, DEFAULT_SET, Held, LimitBook};

/// What a check may look at. Cheap to clone.
#[derive(Clone, Debug)]
pub struct Context {
    document: Arc<Document>,
    rig: Arc<Rig>,
    facts: Arc<Facts>,
    book: Arc<LimitBook>,
    codes: Arc<[String]>,
    today: Day,
    wants_remedies: bool,
    detail: Detail,
    only_state: Option<Arc<str>>,
    answers_in: Option<Arc<str>>,
    shared: Arc<KeptOfAny>,
    /// Edited copies that were asked for, by their edits.
    tried: Arc<Kept<Vec<Edit>, Result<Self, CannotEdit>>>,
}

/// How much of a finding is wanted. What is wanted is the same to the byte, however much that is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Detail {
    /// Key, verdict, demand, capacity, margin: what a proof looks at.
    Answers,
    /// What a report for people tells: no working, no limits that do not govern, needs only where something is open, no
    /// pictures; of one question in several states, ways out of the worst alone.
    Report,
    /// Everything.
    #[default]
    Everything,
}

/// Why edits cannot be applied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CannotEdit(pub String);

impl fmt::Display for CannotEdit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for CannotEdit {}

impl Context {
    /// A context over a rig that was read without problems.
    #[must_use]
    pub fn new(document: Arc<Document>, rig: Arc<Rig>, book: Arc<LimitBook>, today: Day) -> Self {
        Self::with_beside(document, rig, book, today, Beside::default())
    }

    /// The same with what stands beside the file.
    #[must_use]
    pub fn with_beside(document: Arc<Document>, rig: Arc<Rig>, book: Arc<LimitBook>, today: Day, beside: Beside) -> Self {
        let facts = Arc::new(Facts::derive_with(Arc::clone(&rig), beside));
        Self::over(document, rig, facts, book, today)
    }

    fn over(document: Arc<Document>, rig: Arc<Rig>, facts: Arc<Facts>, book: Arc<LimitBook>, today: Day) -> Self {
        let codes = if rig.codes.is_empty() { vec![DEFAULT_SET.to_owned()] } else { rig.codes.clone() };
        let (codes, shared) = (codes.into(), Arc::default());
        let (wants_remedies, detail, only_state) = (false, Detail::Everything, None);
        let (answers_in, tried) = (None, Arc::default());
        Self { document, rig, facts, book, codes, today, wants_remedies, detail, only_state, answers_in, shared, tried }
    }

    /// The same, with remedies wanted or not.
    #[must_use]
    pub fn with_remedies(mut self, wanted: bool) -> Self {
        self.wants_remedies = wanted;
        self
    }

    /// The same, with findings in so much detail.
    #[must_use]
    pub fn in_detail(mut self, detail: Detail) -> Self {
        self.detail = detail;
        self
    }

    /// The same, looking at one state alone (and at what is asked once).
    #[must_use]
    pub fn only_state(mut self, name: Option<&str>) -> Self {
        self.only_state = name.map(Arc::from);
        self.tried = Arc::default();
        self
    }

    /// The same, answering for each state in one state alone. Unlike [`Context::only_state`] all states are looked at: what
    /// is asked once may depend on any of them.
    #[must_use]
    pub fn answering_in(mut self, name: Option<&str>) -> Self {
        self.answers_in = name.map(Arc::from);
        self
    }

    /// The rig as the file states it.
    #[must_use]
    pub fn rig(&self) -> &Rig {
        &self.rig
    }

    /// The file as a tree with places.
    #[must_use]
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// What follows from the rig.
    #[must_use]
    pub fn facts(&self) -> &Facts {
        &self.facts
    }

    /// The limit files.
    #[must_use]
    pub fn book(&self) -> &LimitBook {
        &self.book
    }

    /// Names of the sets of limits in force.
    #[must_use]
    pub fn codes(&self) -> &[String] {
        &self.codes
    }

    /// The day the audit is made for.
    #[must_use]
    pub fn today(&self) -> Day {
        self.today
    }

    /// Whether ways out are wanted.
    #[must_use]
    pub fn wants_remedies(&self) -> bool {
        self.wants_remedies
    }

    /// How much of a finding is wanted.
    #[must_use]
    pub fn detail(&self) -> Detail {
        self.detail
    }

    /// The limits of that id in the chosen sets, with the rig's replacements applied.
    #[must_use]
    pub fn limits(&self, id: &str) -> Vec<Held> {
        limits::held(&self.book, &self.rig, &self.codes, id, self.detail > Detail::Answers)
    }

    /// A table of the chosen sets.
    #[must_use]
    pub fn table(&self, id: &str) -> Option<&Table> {
        let trade = basis::before_slash(id).unwrap_or(id);
        self.codes.iter().find_map(|code| self.book.sets(trade, std::slice::from_ref(code)).find_map(|set| set.table(id)))
    }

    /// The states in which a check of that scope speaks. Empty for [`Scope::Once`].
    pub fn states(&self, scope: Scope) -> impl Iterator<Item = &StateFacts> {
        self.facts.states().iter().filter(move |state| {
            let kind = match scope {
                Scope::Travel => state.kind == StateKind::Travel,
                Scope::Camp => state.kind == StateKind::Camp,
                Scope::Every => true,
                Scope::Once => false,
            };
            kind && self.only_state.as_deref().is_none_or(|only| only == state.name)
        })
    }

    /// Those of them that an answer is wanted for.
    pub fn answered_states(&self, scope: Scope) -> impl Iterator<Item = &StateFacts> {
        self.states(scope).filter(|state| self.answers_in.as_deref().is_none_or(|only| only == state.name))
    }

    /// What several checks work out alike, worked out once for each type and key. It may rest on rig, facts, limits and
    /// today, on nothing else.
    pub fn shared<T: std::any::Any + Send + Sync>(&self, key: &str, make: impl FnOnce() -> T) -> Arc<T> {
        self.shared.get(key, make)
    }

    /// As [`Context::with`], kept: a way out is tried by the check that thinks of it, and once more to prove it. Not for
    /// edits without number, such as a search makes.
    ///
    /// # Errors
    /// When an edit does not fit the file, or the edited file is no longer a rig.
    pub fn tried_with(&self, edits: &[Edit]) -> Result<Self, CannotEdit> {
        self.tried.get(edits.to_vec(), || self.with(edits))
    }

    /// As [`Context::tried_with`], and kept no longer: the last to ask lets go of what the copy holds.
    ///
    /// # Errors
    /// When an edit does not fit the file, or the edited file is no longer a rig.
    pub fn tried_last_with(&self, edits: &[Edit]) -> Result<Self, CannotEdit> {
        self.tried.take(edits).unwrap_or_else(|| self.with(edits))
    }

    /// The same rig with edits applied, facts derived anew, remedies off.
    ///
    /// # Errors
    /// When an edit does not fit the file, or the edited file is no longer a rig.
    pub fn with(&self, edits: &[Edit]) -> Result<Self, CannotEdit> {
        let document = self.document.with(edits).map_err(|fault| CannotEdit(fault.to_string()))?;
        let (rig, problems) = document.read();
        if let Some(problem) = problems.first() {
            return Err(CannotEdit(problem.sentence.clone()));
        }
        let rig = Arc::new(rig);
        let facts = Arc::new(Facts::derive_after(Arc::clone(&rig), &self.rig, &self.facts));
        let mut edited = Self::over(Arc::new(document), rig, facts, Arc::clone(&self.book), self.today);
        edited.only_state.clone_from(&self.only_state);
        Ok(edited)
    }
}
