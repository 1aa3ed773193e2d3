//! What to find out: inputs that are absent, and measurements that would settle an answer.
//!
//! At most three are told in full over both sections, those that hold back most answers; of the other absent ones only
//! the paths.

use std::collections::{BTreeMap, BTreeSet};

use check::Audit;
use check::audit::trades_not_told;
use check::finding::Need;

use super::fold::{Folded, TRADE_NOT_TOLD};
use super::paper::Paper;
use crate::text::{self, clean, tie, tie_numbers};

/// Inputs told in full.
const IN_FULL: usize = 3;
/// Columns of one that is told in full: two lines of the widest report.
const ENTRY: usize = 150;
/// Columns that the paths of the others may take: two lines too.
const LIST: usize = 184;

/// An input, and how many answers it holds back.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Input<'a> {
    pub(super) path: &'a str,
    pub(super) how: &'a str,
    pub(super) answers: usize,
}

/// What is told where.
#[derive(Debug)]
pub(super) struct Plan<'a> {
    /// Absent inputs without a block, those that hold back most first.
    absent: Vec<Input<'a>>,
    /// How many of them are told in full.
    in_full: usize,
    /// Measurements that would settle unsettled answers.
    measure: Vec<Input<'a>>,
}

impl<'a> Plan<'a> {
    pub(super) fn of(audit: &'a Audit, folded: &Folded<'a>, all: bool) -> Self {
        let absent = absent(folded, audit);
        let told: BTreeSet<&str> = folded.needs_missing().map(|need| need.path.as_str()).collect();
        let settling = audit.measure_next.iter().filter(|next| !told.contains(next.path.as_str()));
        let mut measure: Vec<Input<'a>> =
            settling.map(|next| Input { path: &next.path, how: &next.how, answers: next.settles }).collect();
        // The places go by answers held back; where equal, what is absent goes first: it is quicker found than bettered.
        let before = |place: usize, one: &Input<'_>| {
            let ahead = measure.iter().filter(|other| other.answers > one.answers).count();
            place + ahead < IN_FULL
        };
        let in_full = absent.iter().enumerate().filter(|(place, one)| *place == 0 || before(*place, one)).count();
        measure.truncate(IN_FULL - in_full.min(IN_FULL));
        Self { in_full: if all { absent.len() } else { in_full }, absent, measure }
    }
}

/// Absent inputs that have no block of their own.
fn absent<'a>(folded: &Folded<'a>, audit: &Audit) -> Vec<Input<'a>> {
    // A trade that nobody has begun has its one line: what is begun goes first.
    let untold = trades_not_told(&audit.findings);
    let mut begun: BTreeSet<&str> = BTreeSet::new();
    let mut by_path: BTreeMap<&str, Input<'a>> = BTreeMap::new();
    for finding in folded.waiting.iter().flat_map(super::fold::Block::findings) {
        // An answer that names an input twice waits for it once.
        let mut paths = BTreeSet::new();
        if untold.iter().all(|(trade, _)| finding.trade() != *trade) {
            begun.extend(finding.needs.iter().map(|need| need.path.as_str()));
        }
        for Need { path, how, .. } in finding.needs.iter().filter(|need| paths.insert(need.path.as_str())) {
            by_path.entry(path).or_insert(Input { path, how, answers: 0 }).answers += 1;
        }
    }
    let mut inputs: Vec<Input<'a>> = by_path.into_values().collect();
    // Stable: of two alike the one whose block would stand first, that is the worse one, stays first.
    let place =
        |input: &Input<'_>| folded.waiting.iter().position(|block| block.worst.needs.iter().any(|need| need.path == input.path));
    inputs
        .sort_by_key(|input| (!begun.contains(input.path), std::cmp::Reverse(input.answers), place(input).unwrap_or(usize::MAX)));
    inputs
}

/// One line for every trade of which nothing is told; the inputs that most answers wait for; the paths of the others.
pub(super) fn not_told(paper: &mut Paper, audit: &Audit, plan: &Plan<'_>) {
    let trades: Vec<_> = audit.notes.iter().filter(|note| note.id == TRADE_NOT_TOLD).collect();
    if trades.is_empty() && plan.absent.is_empty() {
        return;
    }
    paper.heading("NOT TOLD YET");
    trades.iter().for_each(|note| paper.running(4, &clean(&note.text)));
    let (full, rest) = plan.absent.split_at(plan.in_full.min(plan.absent.len()));
    for input in full {
        let wait = if input.answers == 1 { "waits" } else { "wait" };
        let text = entry(input, wait);
        paper.labelled("find it out", &if paper.look().all { text } else { text::cut_words(&text, ENTRY) });
    }
    if !rest.is_empty() {
        let named: Vec<String> = rest.iter().map(|input| tie(&clean(input.path))).collect();
        let named = named.join(", ");
        let whole = format!("and {} more: {named}", rest.len());
        let cut = text::cut_words(&format!("and {} more, with --all: {named}", rest.len()), LIST);
        paper.running(4, if text::columns(&whole) <= LIST { &whole } else { &cut });
    }
}

/// The measurements that settle most.
pub(super) fn worth_measuring(paper: &mut Paper, plan: &Plan<'_>) {
    if plan.measure.is_empty() {
        return;
    }
    paper.heading("WORTH MEASURING");
    for input in &plan.measure {
        paper.labelled("would settle", &text::cut_words(&entry(input, ""), ENTRY));
    }
}

/// "low_point (8 answers wait): write a table for what hangs lowest".
fn entry(input: &Input<'_>, verb: &str) -> String {
    let answers = tie(format!("{} {verb}", text::count(input.answers, "answer")).trim_end());
    let how = if input.how.is_empty() { String::new() } else { format!(": {}", input.how) };
    tie_numbers(&clean(&format!("{} ({answers}){how}", input.path)))
}
