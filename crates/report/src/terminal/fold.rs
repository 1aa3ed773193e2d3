//! Which findings make one block, and in which order blocks stand.
//!
//! One subject that fails in four states is one thing to mend, and one rating that nine answers wait for is one plate to
//! read: each makes one block. No finding is lost: every one is in exactly one of the lists that are counted.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use check::{Audit, Consequence, Finding, Verdict};

/// Id of the note that a trade is not told at all.
pub(super) const TRADE_NOT_TOLD: &str = "trade-not-told";

/// Missing inputs that are told in a block each; more are listed.
const MISSING_IN_FULL: usize = 3;

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
        findings.sort_by(|a, b| worse_first(a, b));
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
    /// Accepted by the owner, whatever the verdict but pass.
    pub(super) accepted: Vec<Block<'a>>,
    pub(super) passing: Vec<&'a Finding>,
    pub(super) not_applicable: Vec<&'a Finding>,
    /// Passing ones under a limit that the rig replaced; also in `passing`.
    pub(super) replaced: Vec<Block<'a>>,
    /// Not-applicable ones with a number; also in `not_applicable`.
    pub(super) unlimited: Vec<Block<'a>>,
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
        folded.replaced = blocks(folded.passing.iter().copied().filter(|finding| finding.replaced.is_some()).collect());
        folded.unlimited = blocks(folded.not_applicable.iter().copied().filter(|finding| finding.demand.is_some()).collect());
        let many = folded.many_missing();
        let told = folded.fails.iter_mut().chain(&mut folded.open);
        for (at, block) in told.filter(|block| !many || block.worst.verdict != Verdict::Missing).enumerate() {
            block.number = Some(at + 1);
        }
        folded
    }

    /// Whether there is nothing to do and nothing to say beside the counts.
    pub(super) fn nothing_wrong(&self, audit: &Audit) -> bool {
        let told = self.fails.is_empty() && self.open.is_empty() && self.accepted.is_empty();
        let whole = audit.faults.is_empty() && !audit.notes.iter().any(|note| note.id == TRADE_NOT_TOLD);
        told && whole && !self.passing.iter().any(|f| f.replaced.as_ref().is_some_and(|r| r.weaker))
    }

    /// Whether so many inputs are missing that a block for each would be a wall of complaints.
    pub(super) fn many_missing(&self) -> bool {
        self.open.iter().filter(|block| block.worst.verdict == Verdict::Missing).count() > MISSING_IN_FULL
    }

    /// What is missing, that which most answers wait for first.
    pub(super) fn missing_most_first(&self) -> Vec<&Block<'a>> {
        let mut missing: Vec<&Block<'a>> = self.open.iter().filter(|block| block.worst.verdict == Verdict::Missing).collect();
        // Stable: of two that as many wait for, the worse consequence stays first.
        missing.sort_by_key(|block| std::cmp::Reverse(block.others.len()));
        missing
    }

    /// Passing findings, those of one subject together.
    pub(super) fn passing_blocks(&self) -> Vec<Block<'a>> {
        blocks(self.passing.clone())
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
    (0, finding.consequence, &finding.check, finding.path.clone(), finding.case.as_deref())
}

/// Worst consequence first; in it fail, unsettled, missing; the highest utilisation first, the most waiting first.
fn order(a: &Block<'_>, b: &Block<'_>) -> Ordering {
    let place = |block: &Block<'_>| Verdict::ALL.iter().position(|verdict| *verdict == block.worst.verdict);
    let waiting = |block: &Block<'_>| if block.worst.verdict == Verdict::Missing { block.others.len() } else { 0 };
    a.consequence()
        .cmp(&b.consequence())
        .then_with(|| place(a).cmp(&place(b)))
        .then_with(|| waiting(b).cmp(&waiting(a)))
        .then_with(|| worse_first(a.worst, b.worst))
}

/// The order of two findings, the worse first; ties by key, so that the order never depends on anything else.
fn worse_first(a: &Finding, b: &Finding) -> Ordering {
    let used = |finding: &Finding| finding.utilisation.map_or(f64::NEG_INFINITY, |u| u.0);
    a.consequence
        .cmp(&b.consequence)
        .then_with(|| b.verdict.rank().cmp(&a.verdict.rank()))
        .then_with(|| used(b).total_cmp(&used(a)))
        .then_with(|| a.key().cmp(&b.key()))
}
