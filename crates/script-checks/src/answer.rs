//! What `answer(cx, state)` gives, as findings.

use basis::Basis;
use check::draft::{Draft, Holds};
use check::limits::HeldBound;
use check::remedy::{Effort, Proposal};
use check::{Card, Context, Finding, Held};
use quantity::{Dimension, Estimate};
use rhai::{Array, Dynamic};
use rig_facts::{Gap, StateFacts};
use rig_model::Edit;

use crate::bounds;
use crate::card::Told;
use crate::values::noun;

/// One answer in the making, as a script holds it.
#[derive(Clone, Debug)]
pub(crate) struct Said {
    pub(crate) what: What,
    pub(crate) about: Option<String>,
    pub(crate) path: Option<String>,
    pub(crate) case: Option<String>,
    pub(crate) words: Option<(String, String)>,
    pub(crate) measures: Option<Dimension>,
    pub(crate) sentence: Option<String>,
    pub(crate) working: Vec<String>,
    pub(crate) cautions: Vec<String>,
    pub(crate) ways: Vec<Proposal>,
}

/// The five words, and a number that nothing limits.
#[derive(Clone, Debug)]
pub(crate) enum What {
    Compare(Estimate, Vec<Bound>),
    Require(bool, String),
    Missing(Gap),
    NotApplicable(String),
    Show(Estimate, String),
}

/// Something a number is held against, as a script holds it.
#[derive(Clone, Debug)]
pub(crate) struct Bound {
    pub(crate) bound: HeldBound,
    /// What the bound measures, where it was written with a unit or comes from a set of limits.
    pub(crate) dimension: Option<Dimension>,
    pub(crate) name: Option<String>,
    pub(crate) basis: Option<Basis>,
    /// The limit of a set, as it stands in force.
    pub(crate) held: Option<Held>,
}

impl Said {
    pub(crate) fn new(what: What) -> Self {
        Self {
            what,
            about: None,
            path: None,
            case: None,
            words: None,
            measures: None,
            sentence: None,
            working: Vec::new(),
            cautions: Vec::new(),
            ways: Vec::new(),
        }
    }

    /// The finding.
    fn finding(self, told: &Told, cx: &Context, state: Option<&StateFacts>) -> Result<Finding, String> {
        let card = &told.card;
        let path = self.path.unwrap_or_else(|| first_need(card));
        let about = self.about.unwrap_or_else(|| card.name().replace('-', " "));
        let mut draft = card.about(cx, about).at(path);
        if let Some(state) = state {
            draft = draft.in_state(&state.name);
        }
        if let Some(case) = &self.case {
            draft = draft.case(case);
        }
        if let Some((demand, capacity)) = &self.words {
            draft = draft.words(demand, capacity);
        }
        for caution in &self.cautions {
            draft = draft.caution(caution);
        }
        let draft = draft.working(self.working);
        let measures = self.measures.or(told.measures);
        match self.what {
            What::Missing(gap) => Ok(draft.blocked(&gap)),
            What::NotApplicable(why) => Ok(draft.not_applicable(why)),
            What::Require(holds, sentence) => {
                let draft = draft.require(if holds { Holds::Yes } else { Holds::No }, sentence);
                Ok(ways(draft, self.ways, false).done())
            }
            What::Show(number, why) => {
                let dimension = measures.ok_or("show(..) wants the card to say what it `measures`")?;
                Ok(draft.show(&number, dimension, why))
            }
            What::Compare(demand, bounds) => {
                let held = bounds.iter().map(|bound| bound.held(told, measures)).collect::<Result<Vec<_>, _>>()?;
                let mut draft = draft.compare(&demand, &held);
                if let Some(sentence) = self.sentence {
                    draft = draft.sentence(sentence);
                }
                Ok(ways(draft, self.ways, true).done())
            }
        }
    }
}

/// Ways out are handed over where one is wanted.
fn ways(draft: Draft<'_>, ways: Vec<Proposal>, with_number: bool) -> Draft<'_> {
    if with_number {
        return draft.remedies(|_| ways);
    }
    ways.into_iter().fold(draft, |draft, way| draft.proposal(|| Some(way)))
}

impl Bound {
    fn held(&self, told: &Told, measures: Option<Dimension>) -> Result<Held, String> {
        let mut held = match (&self.held, self.dimension.or(measures)) {
            (Some(held), _) => held.clone(),
            (None, Some(dimension)) => Held {
                name: self.name.clone().unwrap_or_else(|| told.basis.title.clone()),
                bound: self.bound.clone(),
                dimension,
                basis: told.basis.clone(),
                replaced: None,
            },
            (None, None) => return Err("the card does not say what it `measures`, such as \"mass\"".to_owned()),
        };
        if let Some(measures) = measures.filter(|measures| *measures != held.dimension) {
            return Err(format!(
                "the limit is {} and the check measures {}",
                held.dimension.with_article(),
                measures.with_article()
            ));
        }
        if let Some(name) = &self.name {
            held.name.clone_from(name);
        }
        if let Some(basis) = &self.basis {
            held.basis = basis.clone();
        }
        Ok(held)
    }
}

/// The path of the first input that the card needs, else of its own table.
fn first_need(card: &Card) -> String {
    card.needs.iter().find(|need| !need.is_empty()).map_or_else(|| format!("custom.{}", card.name()), str::to_owned)
}

/// What a script gave back: one answer or a list of them.
pub(crate) fn findings(given: Dynamic, told: &Told, cx: &Context, state: Option<&StateFacts>) -> Result<Vec<Finding>, String> {
    let said = match given.clone().try_cast::<Said>() {
        Some(one) => vec![one],
        None => match given.clone().try_cast::<Array>() {
            Some(list) => list
                .into_iter()
                .map(|one| {
                    let what = noun(&one);
                    one.try_cast::<Said>()
                        .ok_or_else(|| format!("answer gave a list with {what} in it; every entry is an answer"))
                })
                .collect::<Result<Vec<_>, _>>()?,
            None => return Err(format!("answer gave {}; an answer, or a list of answers, is wanted", noun(&given))),
        },
    };
    if said.is_empty() {
        return Err("answer gave an empty list; where there is nothing to ask, not_applicable(..) says why".to_owned());
    }
    if said.len() > bounds::FINDINGS {
        return Err(format!("answer gave {} answers; {} are the most", said.len(), bounds::FINDINGS));
    }
    said.into_iter().map(|said| said.finding(told, cx, state)).collect()
}

/// A way out as a script writes it.
pub(crate) fn way_out(text: String, effort: &str, edits: Vec<Edit>) -> Result<Proposal, String> {
    const EFFORTS: [Effort; 4] = [Effort::Minutes, Effort::AnAfternoon, Effort::PartsToBuy, Effort::CuttingAndWelding];
    let Some(effort) = EFFORTS.into_iter().find(|known| known.words() == effort) else {
        let known: Vec<String> = EFFORTS.iter().map(|known| format!("\"{}\"", known.words())).collect();
        return Err(format!("a way out takes one of {}, and this is \"{effort}\"", known.join(", ")));
    };
    Ok(Proposal { text, effort, edits })
}
