//! Applies each remedy's edits to a copy of the rig file and asks again every check that they may move.

use std::collections::BTreeMap;

use check::remedy::{Also, Proposal, Remedy};
use check::{Check, Context, Detail, Finding, Verdict};
use quantity::Num;
use rayon::prelude::*;
use rig_facts::tables::without_names;
use rig_model::Edit;

use crate::run::ask_all;

/// A failing utilisation that rises by more than this counts as worse. A choice of this project.
const WORSE_BY: f64 = 0.005;

type Key<'f> = (&'f str, &'f str, Option<&'f str>, Option<&'f str>);
type Answers<'f> = BTreeMap<Key<'f>, &'f Finding>;

fn by_key(findings: &[Finding]) -> Answers<'_> {
    findings.iter().map(|finding| (finding.key(), finding)).collect()
}

/// Turns the proposals of all findings into proved remedies; what does not settle its own finding is dropped. The checks
/// are those that had no fault.
pub(crate) fn prove(checks: &[&dyn Check], context: &Context, findings: &mut [Finding]) {
    if context.detail() == Detail::Report {
        keep_the_worst(findings);
    }
    // The same edits may be proposed for several states: ask once.
    let mut sets: Vec<Asked<'_>> = Vec::new();
    for finding in findings.iter() {
        for proposal in &finding.proposals {
            match sets.iter_mut().find(|asked| asked.edits == proposal.edits) {
                Some(asked) => asked.of.push(&finding.check),
                None => sets.push(Asked { edits: &proposal.edits, of: vec![&finding.check] }),
            }
        }
    }
    if sets.is_empty() {
        return;
    }
    let before = by_key(findings);
    let proofs: Vec<Option<Vec<Finding>>> = sets
        .par_iter()
        .with_max_len(1)
        .map(|asked| {
            let moved = asked.moved(checks);
            let after = after(&moved, context, asked.edits);
            debug_assert!(after.as_ref().is_none_or(|_| rest_is_still(checks, &moved, context, asked.edits, &before)));
            after
        })
        .collect();
    let proof_of = |edits: &[Edit]| sets.iter().position(|asked| asked.edits == edits).and_then(|at| proofs.get(at)?.as_deref());
    let remedies: Vec<Vec<Remedy>> = findings
        .iter()
        .map(|finding| {
            let mut remedies: Vec<Remedy> = finding
                .proposals
                .iter()
                .filter_map(|proposal| remedy(proposal, &finding.key(), &before, proof_of(&proposal.edits)?))
                .collect();
            // What makes something else worse stands last; then in the order of the check.
            remedies.sort_by_key(|remedy| remedy.worsens);
            remedies
        })
        .collect();
    for (finding, remedies) in findings.iter_mut().zip(remedies) {
        finding.remedies = remedies;
    }
    // Nobody waits until all that was said of the copies is taken down.
    rayon::spawn(move || drop(proofs));
}

/// Takes back what nobody reads in a report: the proposals of a question in all states but the worst, and of what the owner
/// accepts.
fn keep_the_worst(findings: &mut [Finding]) {
    let mut worst: BTreeMap<_, &Finding> = BTreeMap::new();
    for finding in findings.iter().filter(|finding| told(finding)) {
        let known = worst.entry(finding.question()).or_insert(finding);
        if finding.worse_first(known).is_lt() {
            *known = finding;
        }
    }
    let kept: Vec<bool> = findings
        .iter()
        .map(|finding| told(finding) && worst.get(&finding.question()).is_some_and(|worst| std::ptr::eq(*worst, finding)))
        .collect();
    for (finding, _) in findings.iter_mut().zip(kept).filter(|(_, kept)| !kept) {
        finding.proposals.clear();
    }
}

/// Whether a report has a block for such a finding.
fn told(finding: &Finding) -> bool {
    matches!(finding.verdict, Verdict::Fail | Verdict::Unsettled | Verdict::Missing) && finding.accepted.is_none()
}

/// Edits to prove, and the checks that proposed them.
struct Asked<'a> {
    edits: &'a [Edit],
    of: Vec<&'a str>,
}

impl Asked<'_> {
    /// The checks whose cards say that these edits may move them. All, where a card is wrong about its own remedy.
    fn moved<'c>(&self, checks: &[&'c dyn Check]) -> Vec<&'c dyn Check> {
        let patterns: Vec<String> = self.edits.iter().map(|edit| without_names(&edit.path)).collect();
        let may_move = |check: &&dyn Check| patterns.iter().any(|pattern| check.card().is_moved_by(pattern));
        let moved: Vec<&dyn Check> = checks.iter().copied().filter(may_move).collect();
        let honest = self.of.iter().all(|id| moved.iter().any(|check| check.card().id == **id));
        if honest { moved } else { checks.to_vec() }
    }
}

/// Every answer with the edits applied, by key; none where they cannot be.
fn after(checks: &[&dyn Check], context: &Context, edits: &[Edit]) -> Option<Vec<Finding>> {
    let edited = context.tried_with(edits).ok()?.in_detail(Detail::Answers);
    let (mut findings, faults) = ask_all(checks, &edited);
    findings.sort_by(|a, b| a.key().cmp(&b.key()));
    faults.is_empty().then_some(findings)
}

/// Whether the checks that are not asked would say what they said: asked in builds for tests alone.
fn rest_is_still(checks: &[&dyn Check], moved: &[&dyn Check], context: &Context, edits: &[Edit], before: &Answers<'_>) -> bool {
    let asked = |check: &&dyn Check| moved.iter().any(|one| one.card().id == check.card().id);
    let rest: Vec<&dyn Check> = checks.iter().copied().filter(|check| !asked(check)).collect();
    let answer = |finding: &Finding| (finding.verdict, finding.demand.clone(), finding.utilisation);
    after(&rest, context, edits)
        .is_some_and(|rest| rest.iter().all(|is| before.get(&is.key()).is_some_and(|was| answer(was) == answer(is))))
}

fn remedy(proposal: &Proposal, own: &Key<'_>, before: &Answers<'_>, after: &[Finding]) -> Option<Remedy> {
    let used = |finding: &Finding| finding.utilisation.map(|utilisation| utilisation.0);
    let mine = after.iter().find(|finding| finding.key() == *own)?;
    if mine.verdict != Verdict::Pass {
        return None;
    }
    let mut also = Vec::new();
    let mut worsens = false;
    for (key, is) in after.iter().map(|finding| (finding.key(), finding)).filter(|(key, _)| key != own) {
        let Some(was) = before.get(&key) else { continue };
        let fails_more = was.verdict == Verdict::Fail
            && is.verdict == Verdict::Fail
            && matches!((used(was), used(is)), (Some(was), Some(is)) if is > was + WORSE_BY);
        worsens |= is.verdict.rank() > was.verdict.rank() || fails_more;
        if is.verdict != was.verdict || fails_more {
            also.push(Also {
                check: is.check.clone(),
                about: is.about.clone(),
                path: is.path.clone(),
                state: is.state.clone(),
                was: was.verdict,
                is: is.verdict,
                utilisation: used(is).map(Num),
            });
        }
    }
    Some(Remedy {
        text: proposal.text.clone(),
        effort: proposal.effort,
        edits: proposal.edits.clone(),
        demand: mine.demand.as_ref().map(|demand| demand.value),
        utilisation: mine.utilisation,
        also,
        worsens,
    })
}
