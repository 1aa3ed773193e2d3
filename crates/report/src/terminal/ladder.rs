//! The ladder: one line a subject, so that an eye sees how near its limit everything is.
//!
//! One character is 5 % of the limit and the limit stands in the same column in every line: `=` certain, `-` the range,
//! `|` the limit, `.` room. A range that crosses the bar is "unsettled". It only repeats numbers.

use std::collections::BTreeSet;

use check::Audit;
use check::finding::{Finding, Sense};

use super::block;
use super::fold::{Block, Folded};
use super::paper::{Paper, Weight};
use crate::numbers;
use crate::text;

/// Characters up to the limit, and beyond it.
const BELOW: usize = 20;
const BEYOND: usize = 10;
/// Passing answers from this share of the limit on are in the ladder: the next load goes there.
const NEAR: f64 = 0.8;
/// Lines at most.
const LINES: usize = 20;
/// Lines where nothing is wrong.
const CLOSEST: usize = 5;
/// Narrowest column of subjects worth having; below it the ladder goes.
const SUBJECT: usize = 16;
/// Widest column of subjects and of checks.
const SUBJECT_MOST: usize = 34;
const CHECK_MOST: usize = 26;

/// One line of it.
pub(super) struct Rung<'a> {
    number: Option<usize>,
    finding: &'a Finding,
    used: f64,
}

/// The subjects nearest to their limits or beyond them.
pub(super) fn rungs<'a>(audit: &Audit, folded: &Folded<'a>) -> Vec<Rung<'a>> {
    let fine = folded.nothing_wrong(audit);
    let passing = folded.passing_blocks();
    let near = passing.iter().filter(|block| fine || block.worst.utilisation.is_some_and(|used| used.0 >= NEAR));
    // A subject that does worse in another state already has its rung.
    let above: BTreeSet<_> =
        folded.fails.iter().chain(&folded.open).chain(&folded.accepted).map(|block| subject(block.worst)).collect();
    let near = near.filter(|block| !above.contains(&subject(block.worst)));
    let rung = |block: &Block<'a>| Some(Rung { number: block.number, finding: block.worst, used: block.worst.utilisation?.0 });
    let told = folded.fails.iter().chain(&folded.open).chain(&folded.accepted);
    let mut rungs: Vec<Rung<'a>> = told.chain(near).filter_map(rung).filter(|rung| rung.used.is_finite()).collect();
    // Stable: of two alike the one told earlier stays above.
    rungs.sort_by(|a, b| b.used.total_cmp(&a.used));
    if fine {
        rungs.truncate(CLOSEST);
    }
    rungs
}

fn subject(finding: &Finding) -> (&str, &str, Option<&str>) {
    (&finding.check, &finding.path, finding.case.as_deref())
}

impl Rung<'_> {
    /// "rear axle, travel-full (0.80)".
    pub(super) fn short(&self) -> String {
        format!("{} ({})", block::about(self.finding), numbers::share(self.used))
    }

    /// Its check.
    pub(super) fn check(&self) -> &str {
        &self.finding.check
    }
}

/// Draws it, where it is wanted and the width allows it.
pub(super) fn draw(paper: &mut Paper, audit: &Audit, folded: &Folded<'_>) {
    let rungs = rungs(audit, folded);
    if !paper.look().ladder || rungs.is_empty() {
        return;
    }
    let told = rungs.get(..LINES).unwrap_or(&rungs);
    let longest =
        |of: fn(&Rung<'_>) -> String, most: usize| told.iter().map(|r| text::columns(&of(r))).max().unwrap_or(0).min(most);
    let checks = longest(|rung| text::clean(&rung.finding.check), CHECK_MOST);
    let wanted = longest(|rung| block::about(rung.finding), SUBJECT_MOST);
    let fixed = 4 + checks + 3 + 2 + 4 + 2 + BELOW + 1 + BEYOND;
    let subjects = wanted.min(paper.width().saturating_sub(fixed));
    if subjects < SUBJECT.min(wanted) {
        return;
    }
    paper.blank();
    let lead = fixed - (BELOW + 1 + BEYOND) + subjects;
    paper.line(&format!("{}0{}limit{}1.5", " ".repeat(lead), " ".repeat(BELOW - 3), " ".repeat(BEYOND - 5)));
    for rung in told {
        let number = rung.number.map_or_else(|| "  ".to_owned(), |n| format!("{n:>2}"));
        let check = padded(&text::clean(&rung.finding.check), checks);
        let subject = padded(&block::about(rung.finding), subjects);
        let (below, beyond) = bar(rung.finding, rung.used);
        let beyond = if beyond.starts_with('.') { beyond } else { paper.paint(Weight::Beyond, &beyond) };
        paper.line(&format!("{number}  {check}   {subject}  {:>4}  {below}|{beyond}", numbers::share(rung.used)));
    }
    if rungs.len() > told.len() {
        paper.line(&format!("    and {} more", rungs.len() - told.len()));
    }
}

fn padded(text: &str, width: usize) -> String {
    let text = text::cut(text, width);
    format!("{text}{}", " ".repeat(width.saturating_sub(text::columns(&text))))
}

/// The cells below the limit and beyond it.
fn bar(finding: &Finding, used: f64) -> (String, String) {
    let (low, high) = interval(finding, used);
    let cell = |at: usize| {
        let step = BELOW as f64;
        let (from, to) = (at as f64 / step, (at + 1) as f64 / step);
        if to <= low {
            '='
        } else if from < high {
            '-'
        } else {
            '.'
        }
    };
    ((0..BELOW).map(cell).collect(), (BELOW..BELOW + BEYOND).map(cell).collect())
}

/// The interval of the utilisation, from the interval of the margin: it holds 1 exactly where the margin holds 0, so
/// that the picture never says another thing than the verdict.
fn interval(finding: &Finding, used: f64) -> (f64, f64) {
    let (Some(margin), Some(capacity)) = (&finding.margin, &finding.capacity) else { return (used, used) };
    let limit = capacity.value.0;
    let ends = match finding.sense {
        Some(Sense::AtLeast) => {
            let at = |margin: f64| if limit + margin > 0.0 { limit / (limit + margin) } else { f64::INFINITY };
            (at(margin.high.0), at(margin.low.0))
        }
        _ => (1.0 - margin.high.0 / limit, 1.0 - margin.low.0 / limit),
    };
    let whole = ends.0.is_finite() && !ends.1.is_nan();
    if whole { ends } else { (used, used) }
}
