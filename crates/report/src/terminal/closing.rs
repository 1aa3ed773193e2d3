//! What stands above the prompt: what to measure, how it stands, what to do first.

use std::collections::BTreeSet;

use basis::{Basis, BasisKind, Known};
use check::{Audit, Verdict};

use super::fold::{Folded, TRADE_NOT_TOLD};
use super::ladder;
use super::paper::{Paper, Weight};
use crate::text::{self, clean, tie};

/// Counts, verdict on the whole, and what to do first.
pub(super) fn last_lines(paper: &mut Paper, audit: &Audit, folded: &Folded<'_>) {
    paper.blank();
    let mut counts = sentences(audit, folded);
    if !audit.faults.is_empty() {
        let said = format!("{} could not run.", text::count(audit.faults.len(), "check"));
        counts.push(paper.paint(Weight::Careful, &tie(&said)));
    }
    paper.running(0, &counts.join("  "));
    let first = do_first(audit, folded);
    if !first.is_empty() {
        paper.running(0, &first.join("  "));
    }
    if let Some(working) = full_working(audit, folded) {
        paper.running(0, &working);
    }
}

/// "58 answers: 1 fail, 40 pass." and what belongs beside it.
pub(super) fn sentences(audit: &Audit, folded: &Folded<'_>) -> Vec<String> {
    let by_verdict: Vec<String> = Verdict::ALL
        .iter()
        .filter(|verdict| audit.summary.of(**verdict) > 0)
        .map(|verdict| tie(&format!("{} {}", audit.summary.of(*verdict), verdict.word())))
        .collect();
    let answers = tie(&text::count(audit.summary.answers, "answer"));
    let mut sentences =
        vec![if by_verdict.is_empty() { format!("{answers}.") } else { format!("{answers}: {}.", by_verdict.join(", ")) }];
    if audit.summary.accepted > 0 {
        sentences.push(tie(&format!("{} accepted.", audit.summary.accepted)));
    }
    if nothing_fails(audit, folded) {
        sentences.insert(0, tie("Nothing fails."));
    }
    let (recalled, practice) = limits_behind(audit);
    if recalled > 0 {
        let them = if recalled == 1 { "it" } else { "them" };
        let said = tie(&format!("{} from memory", text::count(recalled, "limit")));
        sentences.push(format!("{said}: {}", tie(&format!("look {them} up first."))));
    }
    if practice > 0 {
        sentences.push(tie(&format!("{practice} by common practice.")));
    }
    sentences.extend(fine(audit, folded).map(str::to_owned));
    sentences
}

/// Said plainly, and first, where answers are open; only where every check ran, something could be judged at all, and
/// no failure was accepted.
fn nothing_fails(audit: &Audit, folded: &Folded<'_>) -> bool {
    let judged = audit.summary.pass + audit.summary.unsettled > 0;
    judged && audit.summary.fail == 0 && folded.unsettled().next().is_some() && audit.faults.is_empty()
}

/// Said plainly where it is so, and only of what was told and could be judged.
fn fine(audit: &Audit, folded: &Folded<'_>) -> Option<&'static str> {
    let open = !folded.fails.is_empty() || folded.unsettled().next().is_some() || !audit.faults.is_empty();
    if open || folded.passing.is_empty() {
        return None;
    }
    Some(if !folded.accepted.is_empty() {
        "The rest is fine."
    } else if audit.notes.iter().any(|note| note.id == TRADE_NOT_TOLD) {
        "What was told is fine."
    } else {
        "This is fine."
    })
}

/// How many different limits that govern an answer have a source but are known from memory alone, and how many have no
/// source but the trade's practice.
fn limits_behind(audit: &Audit) -> (usize, usize) {
    let different = |meets: fn(&Basis) -> bool| {
        let of = audit.findings.iter().filter_map(|finding| {
            let basis = finding.basis.as_ref().filter(|basis| meets(basis))?;
            Some((finding.check.as_str(), finding.case.as_deref(), basis.line()))
        });
        of.collect::<BTreeSet<_>>().len()
    };
    let practice = |basis: &Basis| basis.kind == BasisKind::CommonPractice;
    (different(|basis| basis.known == Known::FromMemory && basis.kind != BasisKind::CommonPractice), different(practice))
}

/// "Do first: 1.", and what to find out or to measure next.
fn do_first(audit: &Audit, folded: &Folded<'_>) -> Vec<String> {
    let mut parts = Vec::new();
    if let Some(number) = folded.fails.first().and_then(|block| block.number) {
        parts.push(tie(&format!("Do first: {number}.")));
    }
    if let Some(next) = audit.measure_next.first() {
        let missing =
            audit.findings.iter().any(|f| f.verdict == Verdict::Missing && f.needs.iter().any(|need| need.path == next.path));
        parts.push(format!("{}: {}.", if missing { "Find out next" } else { "Worth measuring" }, clean(&next.path)));
    }
    let rungs = ladder::rungs(audit, folded);
    if folded.nothing_wrong(audit)
        && let Some(rung) = rungs.first()
    {
        parts.push(format!("Closest to its limit: {}.", rung.short()));
    }
    parts
}

/// The command that shows the working of the first answer.
fn full_working(audit: &Audit, folded: &Folded<'_>) -> Option<String> {
    let rungs = ladder::rungs(audit, folded);
    let first = folded.fails.first().or(folded.unsettled().next()).map(|block| block.worst.check.as_str());
    let check = first.or(rungs.first().map(ladder::Rung::check))?;
    Some(format!("Full working: {} {}", tie(&format!("rigproof explain {}", clean(check))), tie(&clean(&audit.file))))
}
