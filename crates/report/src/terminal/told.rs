//! What the report has told already: a caution, a way out, a cause is told once, under the first block it belongs to.

use std::collections::{BTreeMap, BTreeSet};

use check::{Audit, Consequence, Finding, Verdict};

use super::fold::{Block, Folded};
use super::paper::Paper;
use crate::text::{clean, tie_numbers, wrap};

/// Lines that the cautions of one block take, if it is told more than one.
const LINES: usize = 2;

/// What an unsettled answer hangs on: the paths that would settle it.
type Cause = Vec<String>;

#[derive(Debug, Default)]
pub(super) struct Told {
    cautions: BTreeSet<String>,
    ways_out: BTreeMap<String, usize>,
    causes: BTreeMap<Cause, usize>,
    /// Causes that several unsettled blocks have in common.
    shared: BTreeSet<Cause>,
    /// Subjects that several checks ask about: their name alone does not tell which answer is meant.
    many_sided: BTreeSet<String>,
}

impl Told {
    pub(super) fn before(audit: &Audit, folded: &Folded<'_>) -> Self {
        let mut told = Self::default();
        let mut checks: BTreeMap<&str, &str> = BTreeMap::new();
        for finding in &audit.findings {
            if *checks.entry(&finding.about).or_insert(&finding.check) != finding.check {
                told.many_sided.insert(finding.about.clone());
            }
        }
        let mut seen = BTreeSet::new();
        for cause in folded.open.iter().filter_map(|block| cause(block.worst)) {
            if !seen.insert(cause.clone()) {
                told.shared.insert(cause);
            }
        }
        told
    }

    /// Whether the subject's name alone tells which answer is meant.
    pub(super) fn asked_once(&self, about: &str) -> bool {
        !self.many_sided.contains(about)
    }

    /// Whether another block hangs on the same inputs.
    pub(super) fn shares_its_cause(&self, finding: &Finding) -> bool {
        cause(finding).is_some_and(|cause| self.shared.contains(&cause))
    }

    /// The number of the earlier block with the same cause; this one is remembered where it is the first.
    pub(super) fn cause(&mut self, block: &Block<'_>) -> Option<usize> {
        let cause = cause(block.worst)?;
        let known = self.causes.get(&cause).copied();
        if let (None, Some(number)) = (known, block.number) {
            self.causes.insert(cause, number);
        }
        known
    }

    /// The number of the earlier block that told the same way out; this one is remembered where it is the first.
    pub(super) fn way_out(&mut self, text: &str, number: Option<usize>) -> Option<usize> {
        let known = self.ways_out.get(text).copied();
        if let (None, Some(number)) = (known, number) {
            self.ways_out.insert(text.to_owned(), number);
        }
        known
    }

    /// The cautions of a block that were not told yet. Those that find no room stay for the next block they belong to.
    pub(super) fn cautions(&mut self, paper: &mut Paper, block: &Block<'_>) {
        let all = paper.look().all;
        let lines = if all { usize::MAX } else { LINES };
        let meant = block.findings().filter(|finding| all || wants_care(finding));
        self.careful(paper, meant, lines);
    }

    /// The cautions of findings that are told one line each.
    pub(super) fn cautions_of(&mut self, paper: &mut Paper, findings: &[&Finding]) {
        self.careful(paper, findings.iter().copied(), usize::MAX);
    }

    fn careful<'f>(&mut self, paper: &mut Paper, findings: impl Iterator<Item = &'f Finding>, lines: usize) {
        let mut left = lines;
        for caution in findings.flat_map(|finding| &finding.cautions).filter(|caution| !caution.is_empty()) {
            let text = tie_numbers(&clean(caution));
            let takes = wrap(&text, paper.room()).len();
            // A caution is never cut short: the first stands whole, however long.
            let fits = left == lines || takes <= left;
            if fits && self.cautions.insert(caution.clone()) {
                paper.labelled("careful", &text);
                left = left.saturating_sub(takes);
            }
        }
    }
}

/// What is to be mended, and what may hurt somebody: there a caution is due. What is merely not known, what can only
/// break, and what the owner leaves as it is warn of nothing by themselves.
fn wants_care(finding: &Finding) -> bool {
    match finding.verdict {
        Verdict::Fail if finding.accepted.is_none() => true,
        Verdict::Fail | Verdict::Unsettled => finding.consequence == Consequence::Injury,
        Verdict::Pass | Verdict::Missing | Verdict::NotApplicable => false,
    }
}

fn cause(finding: &Finding) -> Option<Cause> {
    let paths = || finding.needs.iter().map(|need| need.path.clone()).collect();
    (finding.verdict == Verdict::Unsettled && !finding.needs.is_empty()).then(paths)
}
