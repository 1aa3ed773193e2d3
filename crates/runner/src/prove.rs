//! Applies each remedy's edits to a copy of the rig file and asks again every check that they may move.

use std::collections::BTreeMap;

use check::remedy::{Also, Proposal, Remedy};
use check::{Check, Context, Detail, Finding, Verdict};
use quantity::Num;
use rayon::prelude::*;
use rig_facts::tables::without_names;
use rig_model::Edit;
use rig_model::path::{self, Segment};

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
    let proofs: Vec<Option<Proof>> = sets
        .par_iter()
        .with_max_len(1)
        .map(|asked| {
            let moved = asked.moved(checks);
            let only = asked.state();
            let after = after(&moved, context, asked.edits, only.as_deref());
            debug_assert!(after.as_ref().is_none_or(|_| rest_is_still(
                checks,
                (&moved, only.as_deref()),
                context,
                asked.edits,
                &before
            )));
            after.map(|after| Proof::of(after, &before))
        })
        .collect();
    let proof_of = |edits: &[Edit]| sets.iter().position(|asked| asked.edits == edits).and_then(|at| proofs.get(at)?.as_ref());
    let remedies: Vec<Vec<Remedy>> = findings
        .iter()
        .map(|finding| {
            let mut remedies: Vec<Remedy> = finding
                .proposals
                .iter()
                .filter_map(|proposal| remedy(proposal, &finding.key(), proof_of(&proposal.edits)?))
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

    /// The one state that the edits are of: no other carries anything else by them.
    fn state(&self) -> Option<String> {
        let of = |edit: &Edit| match path::parse(&edit.path).ok()?.as_slice() {
            [Segment::Key(list), Segment::Name(name), Segment::Key(_), ..] if list == "state" => Some(name.clone()),
            _ => None,
        };
        let first = self.edits.first().and_then(of)?;
        self.edits.iter().all(|edit| of(edit).as_ref() == Some(&first)).then_some(first)
    }
}

/// Every answer with the edits applied, of those for each state in that state alone; none where they cannot be.
fn after(checks: &[&dyn Check], context: &Context, edits: &[Edit], state: Option<&str>) -> Option<Vec<Finding>> {
    let edited = context.tried_last_with(edits).ok()?.in_detail(Detail::Answers).answering_in(state);
    let (findings, faults) = ask_all(checks, &edited);
    faults.is_empty().then_some(findings)
}

/// Whether the checks that are not asked, and the states that are not, would say what they said: asked in builds for tests
/// alone.
fn rest_is_still(
    checks: &[&dyn Check],
    (moved, state): (&[&dyn Check], Option<&str>),
    context: &Context,
    edits: &[Edit],
    before: &Answers<'_>,
) -> bool {
    let answer = |finding: &Finding| (finding.verdict, finding.demand.clone(), finding.utilisation);
    // An input more in one state moves the places at which those of the others are summed up: their last bits.
    let near = |a: Option<Num>, b: Option<Num>| match (a, b) {
        (Some(a), Some(b)) => a == b || (a.0 - b.0).abs() <= f64::EPSILON.sqrt() * a.0.abs().max(b.0.abs()),
        (a, b) => a == b,
    };
    let demand = |finding: &Finding| finding.demand.as_ref().map(|demand| demand.value);
    let still = |is: &Finding| {
        let was = before.get(&is.key());
        if moved.iter().all(|check| check.card().id != *is.check) {
            return was.is_some_and(|was| answer(was) == answer(is));
        }
        let asked = state.is_none() || is.state.is_none() || is.state.as_deref() == state;
        // What is said of one state alone, such as that it loads a tyre most, may pass on to another.
        asked || was.is_none_or(|was| was.verdict == is.verdict && near(demand(was), demand(is)))
    };
    after(checks, context, edits, None).is_some_and(|after| after.iter().all(still))
}

/// What edits came to.
struct Proof {
    after: Vec<Finding>,
    /// Of what is after, by place there, in the order of the keys: what it was, and whether it is worse now. What says what
    /// it said is left out.
    changed: Vec<(usize, Verdict, bool)>,
}

impl Proof {
    fn of(after: Vec<Finding>, before: &Answers<'_>) -> Self {
        let used = |finding: &Finding| finding.utilisation.map(|utilisation| utilisation.0);
        let change = |(at, is): (usize, &Finding)| {
            let was = before.get(&is.key())?;
            let fails_more = was.verdict == Verdict::Fail
                && is.verdict == Verdict::Fail
                && matches!((used(was), used(is)), (Some(was), Some(is)) if is > was + WORSE_BY);
            let worse = is.verdict.rank() > was.verdict.rank() || fails_more;
            (is.verdict != was.verdict || fails_more).then_some((at, was.verdict, worse))
        };
        let mut changed: Vec<_> = after.iter().enumerate().filter_map(change).collect();
        changed.sort_by_key(|(at, ..)| after.get(*at).map(Finding::key));
        Self { after, changed }
    }
}

fn remedy(proposal: &Proposal, own: &Key<'_>, proof: &Proof) -> Option<Remedy> {
    let mine = proof.after.iter().find(|finding| finding.key() == *own)?;
    if mine.verdict != Verdict::Pass {
        return None;
    }
    let changed = proof.changed.iter().filter_map(|(at, was, worse)| Some((proof.after.get(*at)?, *was, *worse)));
    let others = changed.filter(|(is, ..)| is.key() != *own);
    let also = others.clone().map(|(is, was, _)| Also {
        check: is.check.clone(),
        about: is.about.clone(),
        path: is.path.clone(),
        state: is.state.clone(),
        was,
        is: is.verdict,
        utilisation: is.utilisation,
    });
    Some(Remedy {
        text: proposal.text.clone(),
        effort: proposal.effort,
        edits: proposal.edits.clone(),
        demand: mine.demand.as_ref().map(|demand| demand.value),
        utilisation: mine.utilisation,
        also: also.collect(),
        worsens: others.clone().any(|(.., worse)| worse),
    })
}
