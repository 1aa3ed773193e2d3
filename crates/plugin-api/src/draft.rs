//! Builds one finding. The program decides its verdict.

use serde_json::Value;

use crate::number::Number;
use crate::seen::Gap;
use crate::wire::{
    Against, Answer, Basis, BasisKind, Dimension, Edit, EditOp, Effort, Finding, Holds, Known, Measured, Remedy, Sense,
};

/// One finding in the making.
#[derive(Clone, Debug)]
#[must_use]
pub struct Draft(Finding);

impl Draft {
    pub(crate) fn new(about: String, state: Option<&str>) -> Self {
        Self(Finding {
            about,
            path: String::new(),
            case: None,
            state: state.map(str::to_owned),
            answer: Answer::NotApplicable { why: String::new() },
            sentence: None,
            working: Vec::new(),
            cautions: Vec::new(),
            remedies: Vec::new(),
        })
    }

    /// Path of the subject in the rig file.
    pub fn at(mut self, path: impl Into<String>) -> Self {
        self.0.path = path.into();
        self
    }

    /// Which of several questions about the same subject.
    pub fn case(mut self, case: &str) -> Self {
        self.0.case = Some(case.to_owned());
        self
    }

    /// Holds a demand against limits; the one nearest to being broken governs.
    pub fn compare(mut self, demand: &Number, dimension: Dimension, limits: Vec<Limit>) -> Self {
        let against = limits.into_iter().map(|limit| limit.0).collect();
        self.0.answer = Answer::Compare { demand: demand.into(), dimension, against };
        self
    }

    /// A question without a number: whether it holds, and the answer in a sentence.
    pub fn require(mut self, holds: bool, sentence: impl Into<String>) -> Self {
        let holds = if holds { Holds::Yes } else { Holds::No };
        self.0.answer = Answer::Require { holds, path: None, sentence: sentence.into() };
        self
    }

    /// An input is absent: its path, or the gap that asking for it gave.
    #[must_use]
    pub fn missing(mut self, gap: impl Into<Gap>) -> Finding {
        let Gap { path, why } = gap.into();
        self.0.answer = Answer::Missing { path, why: (!why.is_empty()).then_some(why) };
        self.0
    }

    /// The question does not arise.
    #[must_use]
    pub fn not_applicable(mut self, why: impl Into<String>) -> Finding {
        self.0.answer = Answer::NotApplicable { why: why.into() };
        self.0
    }

    /// Lines of working that a reader can redo.
    pub fn working(mut self, lines: impl IntoIterator<Item = String>) -> Self {
        self.0.working.extend(lines);
        self
    }

    /// The answer in a sentence, beside its number.
    pub fn sentence(mut self, sentence: impl Into<String>) -> Self {
        self.0.sentence = Some(sentence.into());
        self
    }

    /// Something more to be careful of.
    pub fn caution(mut self, caution: &str) -> Self {
        self.0.cautions.push(caution.to_owned());
        self
    }

    /// A way out, rounded to what can be done. It is tried where the finding fails, and shown only if it helps.
    pub fn remedy(mut self, text: impl Into<String>, effort: Effort, edits: Vec<Edit>) -> Self {
        self.0.remedies.push(Remedy { text: text.into(), effort, edits });
        self
    }

    /// The finding.
    #[must_use]
    pub fn done(self) -> Finding {
        self.0
    }
}

/// An edit that sets a value: `edit_set("tank[fresh].volume", "80 L")`.
#[must_use]
pub fn edit_set(path: impl Into<String>, to: impl Into<Value>) -> Edit {
    Edit { path: path.into(), op: EditOp::Set, to: Some(to.into()) }
}

/// Something a demand is held against. A bound without a word on where it comes from is the plugin's own, from memory.
#[derive(Clone, Debug)]
#[must_use]
pub struct Limit(Against);

impl Limit {
    /// The demand may not be above that; `name` is what states it.
    pub fn at_most(name: &str, capacity: impl Into<Number>) -> Self {
        Self::bound(name, Sense::AtMost, &capacity.into())
    }

    /// The demand may not be below that.
    pub fn at_least(name: &str, capacity: impl Into<Number>) -> Self {
        Self::bound(name, Sense::AtLeast, &capacity.into())
    }

    /// One of the program's limits, named on the card too.
    pub fn of(id: &str) -> Self {
        Self(Against::Limit { id: id.to_owned() })
    }

    fn bound(name: &str, sense: Sense, capacity: &Number) -> Self {
        let basis = Basis {
            kind: BasisKind::Handbook,
            title: name.to_owned(),
            clause: None,
            edition: None,
            known: Known::FromMemory,
            seen: None,
        };
        Self(Against::Bound { name: name.to_owned(), sense, capacity: Measured::from(capacity), basis })
    }

    /// Where the bound comes from. One of the program's limits has its own.
    pub fn from_source(mut self, source: Basis) -> Self {
        if let Against::Bound { basis, .. } = &mut self.0 {
            *basis = source;
        }
        self
    }

    /// It is what the trade does, without a source.
    pub fn common_practice(self) -> Self {
        let said = |basis: Basis| Basis {
            kind: BasisKind::CommonPractice,
            title: "common practice, no source".to_owned(),
            known: Known::FromMemory,
            ..basis
        };
        self.with(said)
    }

    /// It follows from the inputs; `seen` says how.
    pub fn computed(self, seen: &str) -> Self {
        self.with(|basis| Basis { kind: BasisKind::Physics, known: Known::Computed, seen: Some(seen.to_owned()), ..basis })
    }

    fn with(mut self, change: impl FnOnce(Basis) -> Basis) -> Self {
        if let Against::Bound { basis, .. } = &mut self.0 {
            *basis = change(basis.clone());
        }
        self
    }
}
