//! Which findings make one block, and in which order blocks stand.
//!
//! One subject that fails in four states is one thing to mend, and one rating that nine answers wait for is one plate to
//! read: each makes one block. No finding is lost: every one is in exactly one of the lists that are counted.

use std::cell::OnceCell;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use check::finding::Need;
use check::{Audit, Consequence, Finding, Verdict};

/// Id of the note that a trade is not told at all.
pub(crate) const TRADE_NOT_TOLD: &str = "trade-not-told";

/// Absent inputs that have a block each; where more are absent, they are told as a list.
const MISSING_BLOCKS: usize = 3;

/// Findings told together. The first is the worst; its numbers are shown.
#[derive(Debug)]
pub(super) struct Block<'a> {
    /// Its number in the report; none where it is not counted among what is to do.
    pub(super) number: Option<usize>,
    pub(super) worst: &'a Finding,
    pub(super) others: Vec<&'a Finding>,
}

impl<'a> Block<'a> {
    fn of(mut findings: Vec<&'a Finding>) -> Option<Self> {
        findings.sort_by(|a, b| a.worse_first(b));
        let (worst, others) = findings.split_first()?;
        Some(Self { number: None, worst, others: others.to_vec() })
    }

    pub(super) fn consequence(&self) -> Consequence {
        self.findings().map(|finding| finding.consequence).min().unwrap_or(self.worst.consequence)
    }

    /// All of them, the worst first.
    pub(super) fn findings(&self) -> impl Iterator<Item = &'a Finding> + '_ {
        std::iter::once(self.worst).chain(self.others.iter().copied())
    }
}

/// The findings of an audit, ordered for a reader.
#[derive(Debug, Default)]
pub(super) struct Folded<'a> {
    pub(super) fails: Vec<Block<'a>>,
    /// Unsettled and missing.
    pub(super) open: Vec<Block<'a>>,
    /// Missing ones where more inputs are absent than blocks would tell: listed by input.
    pub(super) waiting: Vec<Block<'a>>,
    /// Accepted by the owner, whatever the verdict but pass.
    pub(super) accepted: Vec<Block<'a>>,
    pub(super) passing: Vec<&'a Finding>,
    pub(super) not_applicable: Vec<&'a Finding>,
    /// Passing ones under a limit that the rig replaced; also in `passing`.
    pub(super) replaced: Vec<Block<'a>>,
    /// Not-applicable ones with a number; also in `not_applicable`.
    pub(super) unlimited: Vec<Block<'a>>,
    /// Those of `passing`, made when first asked for.
    passing_blocks: OnceCell<Vec<Block<'a>>>,
}

/// What makes findings one block: consequence, check, path and case for answers; the paths waited for where missing.
type Key<'a> = (u8, Consequence, &'a str, String, Option<&'a str>);

impl<'a> Folded<'a> {
    pub(super) fn of(audit: &'a Audit) -> Self {
        let mut folded = Self::default();
        let (mut told, mut accepted) = (Vec::new(), Vec::new());
        for finding in &audit.findings {
            match finding.verdict {
                Verdict::Pass => folded.passing.push(finding),
                Verdict::NotApplicable => folded.not_applicable.push(finding),
                _ if finding.accepted.is_some() => accepted.push(finding),
                _ => told.push(finding),
            }
        }
        folded.accepted = blocks(accepted);
        (folded.fails, folded.open) = blocks(told).into_iter().partition(|block| block.worst.verdict == Verdict::Fail);
        if folded.absent_inputs() > MISSING_BLOCKS {
            let listed = |block: &Block<'_>| block.worst.verdict == Verdict::Missing && !block.worst.needs.is_empty();
            (folded.waiting, folded.open) = std::mem::take(&mut folded.open).into_iter().partition(listed);
        }
        folded.replaced = blocks(folded.passing.iter().copied().filter(|finding| finding.replaced.is_some()).collect());
        folded.unlimited = blocks(folded.not_applicable.iter().copied().filter(|finding| finding.demand.is_some()).collect());
        for (at, block) in folded.fails.iter_mut().chain(&mut folded.open).enumerate() {
            block.number = Some(at + 1);
        }
        folded
    }

    /// What missing answers wait for; an input as often as answers wait for it.
    pub(super) fn needs_missing(&self) -> impl Iterator<Item = &'a Need> + '_ {
        let told = self.open.iter().chain(&self.waiting).flat_map(Block::findings);
        told.filter(|finding| finding.verdict == Verdict::Missing).flat_map(|finding| &finding.needs)
    }

    fn absent_inputs(&self) -> usize {
        self.needs_missing().map(|need| need.path.as_str()).collect::<BTreeSet<_>>().len()
    }

    /// Everything that is not settled: with a block or in the list.
    pub(super) fn unsettled(&self) -> impl Iterator<Item = &Block<'a>> {
        self.open.iter().chain(&self.waiting)
    }

    /// Whether there is nothing to do and nothing to say beside the counts.
    pub(super) fn nothing_wrong(&self, audit: &Audit) -> bool {
        let told = self.fails.is_empty() && self.unsettled().next().is_none() && self.accepted.is_empty();
        let whole = audit.faults.is_empty() && !audit.notes.iter().any(|note| note.id == TRADE_NOT_TOLD);
        told && whole && !self.passing.iter().any(|f| f.replaced.as_ref().is_some_and(|r| r.weaker))
    }

    /// Passing findings, those of one subject together.
    pub(super) fn passing_blocks(&self) -> &[Block<'a>] {
        self.passing_blocks.get_or_init(|| blocks(self.passing.clone()))
    }
}

fn blocks(findings: Vec<&Finding>) -> Vec<Block<'_>> {
    let mut groups: BTreeMap<Key<'_>, Vec<&Finding>> = BTreeMap::new();
    for finding in findings {
        groups.entry(key(finding)).or_default().push(finding);
    }
    let mut blocks: Vec<Block<'_>> = groups.into_values().filter_map(Block::of).collect();
    blocks.sort_by(order);
    blocks
}

fn key(finding: &Finding) -> Key<'_> {
    if finding.verdict == Verdict::Missing && !finding.needs.is_empty() {
        let paths: Vec<&str> = finding.needs.iter().map(|need| need.path.as_str()).collect();
        // One consequence for all: one plate is read once, for the worst that waits for it.
        return (1, Consequence::Injury, "", paths.join("\n"), None);
    }
    let (consequence, check, path, case) = finding.question();
    (0, consequence, check, path.to_owned(), case)
}

/// Worst consequence first; in it fail, unsettled, missing; the highest utilisation first, the most waiting first.
fn order(a: &Block<'_>, b: &Block<'_>) -> Ordering {
    let place = |block: &Block<'_>| Verdict::ALL.iter().position(|verdict| *verdict == block.worst.verdict);
    let waiting = |block: &Block<'_>| if block.worst.verdict == Verdict::Missing { block.others.len() } else { 0 };
    a.consequence()
        .cmp(&b.consequence())
        .then_with(|| place(a).cmp(&place(b)))
        .then_with(|| waiting(b).cmp(&waiting(a)))
        .then_with(|| a.worst.worse_first(b.worst))
}
