//! Applies each remedy's edits to a copy of the rig file and asks every check again.

use std::collections::BTreeMap;

use check::remedy::{Also, Proposal, Remedy};
use check::{Check, Context, Finding, Verdict};
use quantity::Num;
use rayon::prelude::*;
use rig_model::Edit;

use crate::run::ask_all;

/// A failing utilisation that rises by more than this counts as worse. A choice of this project.
const WORSE_BY: f64 = 0.005;

type Key = (String, String, Option<String>, Option<String>);

fn key(finding: &Finding) -> Key {
    (finding.check.clone(), finding.path.clone(), finding.case.clone(), finding.state.clone())
}

/// What an answer was, or is.
#[derive(Clone, Debug)]
struct Answer {
    about: String,
    verdict: Verdict,
    demand: Option<f64>,
    utilisation: Option<f64>,
}

impl From<&Finding> for Answer {
    fn from(finding: &Finding) -> Self {
        Self {
            about: finding.about.clone(),
            verdict: finding.verdict,
            demand: finding.demand.as_ref().map(|demand| demand.value.0),
            utilisation: finding.utilisation.map(|utilisation| utilisation.0),
        }
    }
}

/// Turns the proposals of all findings into proved remedies; what does not settle its own finding is dropped.
pub(crate) fn prove(checks: &[&dyn Check], context: &Context, findings: &mut [Finding]) {
    let before: BTreeMap<Key, Answer> = findings.iter().map(|finding| (key(finding), Answer::from(finding))).collect();
    // The same edits may be proposed for several states: ask once.
    let mut sets: Vec<&[Edit]> = Vec::new();
    for proposal in findings.iter().flat_map(|finding| &finding.proposals) {
        if !sets.contains(&proposal.edits.as_slice()) {
            sets.push(&proposal.edits);
        }
    }
    let proofs: Vec<Option<BTreeMap<Key, Answer>>> =
        sets.par_iter().with_max_len(1).map(|edits| after(checks, context, edits)).collect();
    let proof_of = |edits: &[Edit]| sets.iter().position(|set| *set == edits).and_then(|at| proofs.get(at)?.as_ref());
    let remedies: Vec<Vec<Remedy>> = findings
        .iter()
        .map(|finding| {
            let own = key(finding);
            let mut remedies: Vec<Remedy> = finding
                .proposals
                .iter()
                .filter_map(|proposal| remedy(proposal, &own, &before, proof_of(&proposal.edits)?))
                .collect();
            // What makes something else worse stands last; then in the order of the check.
            remedies.sort_by_key(|remedy| remedy.worsens);
            remedies
        })
        .collect();
    for (finding, remedies) in findings.iter_mut().zip(remedies) {
        finding.remedies = remedies;
    }
}

/// Every answer with the edits applied; none where they cannot be.
fn after(checks: &[&dyn Check], context: &Context, edits: &[Edit]) -> Option<BTreeMap<Key, Answer>> {
    let edited = context.with(edits).ok()?.answers_only();
    let (findings, faults) = ask_all(checks, &edited);
    faults.is_empty().then(|| findings.iter().map(|finding| (key(finding), Answer::from(finding))).collect())
}

fn remedy(proposal: &Proposal, own: &Key, before: &BTreeMap<Key, Answer>, after: &BTreeMap<Key, Answer>) -> Option<Remedy> {
    let mine = after.get(own)?;
    if mine.verdict != Verdict::Pass {
        return None;
    }
    let mut also = Vec::new();
    let mut worsens = false;
    for (key, is) in after.iter().filter(|(key, _)| *key != own) {
        let Some(was) = before.get(key) else { continue };
        let fails_more = was.verdict == Verdict::Fail
            && is.verdict == Verdict::Fail
            && matches!((was.utilisation, is.utilisation), (Some(was), Some(is)) if is > was + WORSE_BY);
        worsens |= is.verdict.rank() > was.verdict.rank() || fails_more;
        if is.verdict != was.verdict || fails_more {
            let (check, path, _, state) = key.clone();
            also.push(Also {
                check,
                about: is.about.clone(),
                path,
                state,
                was: was.verdict,
                is: is.verdict,
                utilisation: is.utilisation.map(Num),
            });
        }
    }
    Some(Remedy {
        text: proposal.text.clone(),
        effort: proposal.effort,
        edits: proposal.edits.clone(),
        demand: mine.demand.map(Num),
        utilisation: mine.utilisation.map(Num),
        also,
        worsens,
    })
}
