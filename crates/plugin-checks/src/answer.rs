//! A plugin's answers as findings. The verdict is the program's: a plugin says what is compared with what.

use std::collections::BTreeSet;

use basis::Basis;
use check::limits::{Held, HeldBound};
use check::remedy::Proposal;
use check::{Card, Context, Draft, Finding, Holds, Scope};
use plugin_api::wire::{self, Against, Answer, Measured};
use quantity::{Dimension, Estimate, InputId};
use rig_model::{Edit, Free, path};
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::bounds::LARGEST;

/// The states in which the card speaks; one without a name where it speaks once.
pub(crate) fn states(cx: &Context, card: &Card) -> Vec<Option<String>> {
    if card.scope == Scope::Once {
        return vec![None];
    }
    cx.states(card.scope).map(|state| Some(state.name.clone())).collect()
}

/// All answers of one check.
///
/// # Errors
/// A sentence: what about them makes no sense. Then none is taken.
pub(crate) fn findings(
    cx: &Context,
    card: &Card,
    states: &[Option<String>],
    answers: Vec<wire::Finding>,
) -> Result<Vec<Finding>, String> {
    let mut keys = BTreeSet::new();
    for answer in &answers {
        if !states.contains(&answer.state) {
            let state = answer.state.as_deref().unwrap_or("no state");
            return Err(format!("its answer about {} is for {state}, for which it was not asked", answer.about));
        }
        if !keys.insert((&answer.path, &answer.case, &answer.state)) {
            return Err(format!("it answers twice about {} ({})", answer.about, answer.path));
        }
    }
    if let Some(silent) = states.iter().find(|state| answers.iter().all(|answer| answer.state != **state)) {
        let state = silent.as_deref().map(|state| format!(" for {state}")).unwrap_or_default();
        return Err(format!("it gives no answer{state}; where the question does not arise an answer says so"));
    }
    answers
        .into_iter()
        .map(|answer| {
            let about = answer.about.clone();
            finding(cx, card, answer).map_err(|why| format!("its answer about {about}: {why}"))
        })
        .collect()
}

fn finding(cx: &Context, card: &Card, said: wire::Finding) -> Result<Finding, String> {
    let at = known_path(said.path)?;
    let proposals = said.remedies.into_iter().map(proposal).collect::<Result<Vec<_>, _>>()?;
    let mut draft = card.about(cx, said.about).at(at);
    if let Some(state) = &said.state {
        draft = draft.in_state(state);
    }
    if let Some(case) = &said.case {
        draft = draft.case(case);
    }
    let (sentence, working, cautions) = (said.sentence, said.working, said.cautions);
    let beside = |draft: Draft<'_>| {
        let draft = cautions.iter().fold(draft.working(working), |draft, caution| draft.caution(caution));
        if let Some(sentence) = sentence.clone() { draft.sentence(sentence).done() } else { draft.done() }
    };
    match said.answer {
        Answer::Missing { path, why } => {
            let mut finding = draft.missing(known_path(path)?);
            finding.sentence = why.or(sentence);
            Ok(finding)
        }
        Answer::NotApplicable { why } => Ok(draft.not_applicable(why)),
        Answer::Require { holds, path, sentence } => {
            let holds = match (holds, path) {
                (wire::Holds::Yes, _) => Holds::Yes,
                (wire::Holds::No, _) => Holds::No,
                (wire::Holds::Unknown, Some(path)) => Holds::Unknown(known_path(path)?),
                (wire::Holds::Unknown, None) => return Err("it does not know, and names no path that would tell".to_owned()),
            };
            let draft = draft.require(holds, sentence);
            Ok(beside(proposals.into_iter().fold(draft, |draft, proposal| draft.proposal(|| Some(proposal)))))
        }
        Answer::Compare { demand, dimension, against } => {
            let (demand, dimension) = (estimate(cx, &demand)?, same_word(&dimension)?);
            let held = held(cx, card, dimension, against)?;
            if held.is_empty() {
                let why = sentence.unwrap_or_else(|| "no limit holds it".to_owned());
                return Ok(draft.show(&demand, dimension, why));
            }
            Ok(beside(draft.compare(&demand, &held).remedies(|_| proposals)))
        }
    }
}

fn known_path(text: String) -> Result<String, String> {
    match path::parse(&text) {
        Ok(segments) if !segments.is_empty() => Ok(text),
        Ok(_) => Err("a path is wanted".to_owned()),
        Err(why) => Err(why),
    }
}

fn held(cx: &Context, card: &Card, dimension: Dimension, against: Vec<Against>) -> Result<Vec<Held>, String> {
    let mut all = Vec::new();
    for one in against {
        match one {
            Against::Limit { id } if !card.limits.has(&id) => return Err(format!("its card does not name the limit {id}")),
            Against::Limit { id } => all.extend(cx.limits(&id)),
            Against::Bound { name, sense, capacity, basis } => {
                let capacity = estimate(cx, &capacity)?;
                let bound = match sense {
                    wire::Sense::AtMost => HeldBound::AtMost(capacity),
                    wire::Sense::AtLeast => HeldBound::AtLeast(capacity),
                };
                let basis: Basis = same_word(&basis)?;
                if let Some(why) = basis.fault() {
                    return Err(format!("{name}: {why}"));
                }
                all.push(Held { name, bound, dimension, basis, replaced: None });
            }
        }
    }
    match all.iter().find(|held| held.dimension != dimension) {
        Some(odd) => Err(format!(
            "{} is in {}, and what it is compared with in {}",
            odd.name,
            odd.dimension.si_unit(),
            dimension.si_unit()
        )),
        None => Ok(all),
    }
}

/// A number of a plugin with the doubt of the inputs that it names.
fn estimate(cx: &Context, said: &Measured) -> Result<Estimate, String> {
    let within = |number: f64| if number.abs() <= LARGEST { Ok(number) } else { Err(format!("{number} is beyond any rig")) };
    let mut inputs = Vec::with_capacity(said.by.len());
    let mut met = BTreeSet::new();
    for gradient in &said.by {
        let id = InputId(gradient.input);
        let input = cx.facts().input(id).ok_or_else(|| format!("there is no input number {}", id.0))?;
        if !met.insert(id) {
            return Err(format!("it names input number {} twice", id.0));
        }
        within(gradient.by * input.sd)?;
        inputs.push((gradient.by, Estimate::input(id, 0.0, input.sd)));
    }
    let parts: Vec<(f64, &Estimate)> = inputs.iter().map(|(by, input)| (*by, input)).collect();
    Ok(Estimate::weighted_sum(&parts).offset(within(said.value)?))
}

fn proposal(said: wire::Remedy) -> Result<Proposal, String> {
    if said.edits.is_empty() {
        return Err(format!("the way out \"{}\" changes nothing", said.text));
    }
    let edit = |edit: wire::Edit| {
        let to = edit.to.map(serde_json::from_value::<Free>).transpose();
        let to = to.map_err(|why| format!("the way out \"{}\" writes what no rig file can hold: {why}", said.text))?;
        Ok(Edit { path: known_path(edit.path)?, op: same_word(&edit.op)?, from: None, to })
    };
    let edits = said.edits.into_iter().map(edit).collect::<Result<_, String>>()?;
    Ok(Proposal { text: said.text.clone(), effort: same_word(&said.effort)?, edits })
}

/// A word of the wire as the word of the program, or the reverse: both sides write it alike.
pub(crate) fn same_word<T: Serialize, U: DeserializeOwned>(word: &T) -> Result<U, String> {
    serde_json::to_value(word).and_then(serde_json::from_value).map_err(|why| why.to_string())
}
