//! The report for people.
//!
//! Every block reads as sentences: "front axle, travel-full, carries 5350 kg, may carry 5200 kg, too much by 150 kg".
//! What fails comes first, worst consequence first; how it stands and what to do first comes last, above the prompt.
//!
//! | module      | holds                                                        |
//! |-------------|--------------------------------------------------------------|
//! | `paper`     | lines of a given width: labels, columns, wrapping, weights   |
//! | `fold`      | which findings make one block, and the order of blocks       |
//! | `block`     | the lines of one block                                       |
//! | `ladder`    | one line a subject: how near its limit it is                 |
//! | `ways`      | the ways out of a block                                      |
//! | `told`      | what was told already, and is not told again                 |
//! | `waiting`   | absent inputs, and what is worth measuring                   |
//! | `unlimited` | numbers that nothing limits                                  |
//! | `closing`   | counts, what to do first, where the working stands           |
//! | `plain`     | one line a finding                                           |
//! | `problems`  | what is the matter with the rig file                         |

pub(crate) mod block;
mod closing;
pub(crate) mod fold;
mod ladder;
pub(crate) mod paper;
pub(crate) mod plain;
mod problems;
pub(crate) mod since;
#[cfg(test)]
mod tests;
mod told;
mod unlimited;
mod waiting;
mod ways;

use check::{Audit, Consequence, Verdict};

use crate::numbers::Numbers;
use crate::text;
use fold::Folded;
use paper::Paper;
use told::Told;
use waiting::Plan;

/// Narrowest and widest line of a report.
const WIDTHS: std::ops::RangeInclusive<usize> = 60..=100;
/// Blocks without a verdict that are told in full; further ones get their title line.
const TOLD_IN_FULL: usize = 10;

/// How a report is to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Width of a line in columns; kept between 60 and 100.
    pub width: usize,
    /// Whether weights (bold, underlined, reversed) are set.
    pub styled: bool,
    /// Whether the one hue is set too; without `styled` it is not.
    pub hue: bool,
    /// Whether signs such as ° and ² can be shown.
    pub utf8: bool,
    /// Whether the ladder is drawn; it goes anyway where the width does not allow it.
    pub ladder: bool,
    /// One line a finding, no styles, no wrapping, no ladder.
    pub plain: bool,
    /// Also what passes and what is not applicable, one line each.
    pub all: bool,
}

impl Default for Look {
    /// As for a file: 100 columns, ASCII, nothing set.
    fn default() -> Self {
        Self { width: *WIDTHS.end(), styled: false, hue: false, utf8: false, ladder: false, plain: false, all: false }
    }
}

/// The report on an audit. Where the rig file could not be read, its problems instead.
#[must_use]
pub fn render(audit: &Audit, look: &Look) -> String {
    if !audit.errors.is_empty() {
        return errors(audit);
    }
    let numbers = Numbers::new(audit.units, look.utf8);
    let folded = Folded::of(audit);
    if look.plain {
        return plain::render(audit, &folded, numbers, look.all);
    }
    let mut paper = Paper::new(look, &audit.file);
    let mut told = Told::before(audit, &folded);
    let plan = Plan::of(audit, &folded, look.all);
    if !folded.nothing_wrong(audit) || look.all {
        head(&mut paper, audit);
        fails(&mut paper, &folded, numbers, &mut told);
        waiting::not_told(&mut paper, audit, &plan);
        incomplete(&mut paper, audit);
        open(&mut paper, &folded, numbers, &mut told);
        by_the_owner(&mut paper, &folded, numbers, &mut told);
    }
    remarks(&mut paper, audit);
    if !folded.nothing_wrong(audit) || look.all {
        unlimited::numbers(&mut paper, &folded, numbers);
        waiting::worth_measuring(&mut paper, &plan);
    }
    if look.all {
        rest(&mut paper, &folded, numbers, &mut told);
    }
    ladder::draw(&mut paper, audit, &folded);
    since::section(&mut paper, audit);
    closing::last_lines(&mut paper, audit, &folded);
    paper.done()
}

/// The problems of the rig file, one after the other, in the order of their places.
#[must_use]
pub fn errors(audit: &Audit) -> String {
    problems::render(audit)
}

/// The heading of what can follow.
fn heading(consequence: Consequence) -> &'static str {
    match consequence {
        Consequence::Injury => "CAN INJURE",
        Consequence::Legal => "AGAINST THE LAW",
        Consequence::Damage => "CAN BREAK",
        Consequence::Comfort => "DISCOMFORT",
    }
}

fn head(paper: &mut Paper, audit: &Audit) {
    let codes = audit.codes.join(", ");
    let states = text::count(audit.states.len(), "state");
    let parts = [audit.rig.as_str(), audit.file.as_str(), codes.as_str(), states.as_str()];
    let told: Vec<String> = parts.iter().filter(|part| !part.is_empty()).map(|part| text::clean(part)).collect();
    paper.running(0, &told.join("    "));
    paper.running(0, "Ranges hold 95 times in 100.");
}

fn fails(paper: &mut Paper, folded: &Folded, numbers: Numbers, told: &mut Told) {
    let mut before = None;
    for block in &folded.fails {
        if before != Some(block.consequence()) {
            paper.heading(heading(block.consequence()));
            before = Some(block.consequence());
        } else {
            paper.blank();
        }
        block::answer(paper, block, numbers, told);
    }
}

/// Every check that could not run.
fn incomplete(paper: &mut Paper, audit: &Audit) {
    if !audit.faults.is_empty() {
        paper.heading("INCOMPLETE");
        for fault in &audit.faults {
            paper.labelled("could not run", &text::clean(&format!("{}: {}", fault.check, fault.text)));
        }
    }
}

fn open(paper: &mut Paper, folded: &Folded, numbers: Numbers, told: &mut Told) {
    let mut before = None;
    let in_full = if paper.look().all { usize::MAX } else { TOLD_IN_FULL };
    for (at, block) in folded.open.iter().enumerate() {
        let full = at < in_full;
        if before != Some(block.consequence()) {
            paper.heading(&format!("NOT SETTLED: {}", heading(block.consequence())));
            before = Some(block.consequence());
        } else if full || at == in_full {
            paper.blank();
        }
        if full { block::answer(paper, block, numbers, told) } else { block::title_only(paper, block) }
    }
}

/// What the owner decided himself: findings accepted as they are, and limits replaced under answers that pass.
fn by_the_owner(paper: &mut Paper, folded: &Folded, numbers: Numbers, told: &mut Told) {
    if folded.accepted.is_empty() && folded.replaced.is_empty() {
        return;
    }
    paper.heading("BY THE OWNER'S DECISION");
    for (at, block) in folded.accepted.iter().enumerate() {
        if at > 0 {
            paper.blank();
        }
        block::answer(paper, block, numbers, told);
    }
    for (at, block) in folded.replaced.iter().enumerate() {
        if at > 0 || !folded.accepted.is_empty() {
            paper.blank();
        }
        block::replaced_only(paper, block, numbers);
    }
}

fn remarks(paper: &mut Paper, audit: &Audit) {
    let mut others =
        audit.notes.iter().filter(|note| note.id != fold::TRADE_NOT_TOLD && note.id != check::baseline::GONE).peekable();
    if others.peek().is_none() {
        return;
    }
    paper.heading("REMARKS");
    for note in others {
        let place = note.place.as_ref().map(|place| paper.place(place)).filter(|place| !place.is_empty());
        let place = place.map(|place| format!("  ({place})")).unwrap_or_default();
        paper.running(4, &format!("{}{place}", text::clean(&note.text)));
    }
}

/// What is missing, what passes and what is not applicable, one line each; then the cautions that no block told.
fn rest(paper: &mut Paper, folded: &Folded, numbers: Numbers, told: &mut Told) {
    let missing: Vec<_> =
        folded.unsettled().flat_map(fold::Block::findings).filter(|finding| finding.verdict == Verdict::Missing).collect();
    for (title, findings) in [("MISSING", &missing), ("PASS", &folded.passing), ("NOT-APPLICABLE", &folded.not_applicable)] {
        if !findings.is_empty() {
            paper.heading(title);
            findings.iter().for_each(|finding| paper.running(4, &block::one_line(finding, numbers)));
            told.cautions_of(paper, findings);
        }
    }
}
