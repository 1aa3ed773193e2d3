//! The lines of one block.

use basis::{Basis, BasisKind};
use check::finding::{Finding, Need, Replaced, Sense};
use check::{Consequence, Verdict};
use quantity::Dimension;

use super::fold::Block;
use super::paper::{Paper, Row, Weight};
use super::told::Told;
use super::ways;
use crate::numbers::{self, Numbers};
use crate::text::{self, clean, tie_numbers};

/// A second input is named where the first carries less than this share of the doubt.
const MOST_OF_IT: f64 = 1.0 / 3.0;
/// States told in one line before the rest is counted, and the columns they may take.
const NAMED: usize = 4;
const NAMES: usize = 46;
/// Table of the rig file that holds what the owner wishes for.
const WISHES: &str = "ground.";

/// Everything a reader needs of one block.
pub(super) fn answer(paper: &mut Paper, block: &Block<'_>, numbers: Numbers, told: &mut Told) {
    title_only(paper, block);
    let finding = block.worst;
    if finding.verdict == Verdict::Missing {
        missing(paper, block);
    } else {
        let unmeasured = if finding.margin.is_none() { also_in(block) } else { None };
        let said: Vec<String> = finding.sentence.as_deref().map(prose).into_iter().chain(unmeasured).collect();
        if !said.is_empty() {
            paper.running(4, &said.join("; "));
        }
        paper.rows(&rows(block, numbers));
        if finding.verdict == Verdict::Unsettled {
            unsettled(paper, block, told);
        }
    }
    if let Some(replaced) = &finding.replaced {
        paper.labelled("replaced", &replaced_text(replaced, dimension(finding), numbers));
    }
    ways::out(paper, block, numbers, told);
    if let Some(accepted) = &finding.accepted {
        let until = accepted.until.as_ref().map(|until| format!(", until {until}")).unwrap_or_default();
        paper.labelled("accepted", &prose(&format!("{}{until}", accepted.why)));
    }
    told.cautions(paper, block);
}

/// The first line of a block.
pub(super) fn title_only(paper: &mut Paper, block: &Block<'_>) {
    let finding = block.worst;
    let weight = match finding.verdict {
        Verdict::Fail => Some(Weight::Fail),
        Verdict::Unsettled | Verdict::Missing => Some(Weight::Open),
        _ => None,
    };
    let title = match finding.needs.first() {
        Some(need) if finding.verdict == Verdict::Missing && !block.others.is_empty() => {
            format!("{}: {} wait", clean(&need.path), text::count(block.others.len() + 1, "answer"))
        }
        _ => subject(finding),
    };
    let place = paper.place(&finding.place);
    paper.title(block.number, finding.verdict.word(), weight, &title, &place);
}

/// "weight/axle-load: front axle, travel-full".
pub(crate) fn subject(finding: &Finding) -> String {
    clean(&format!("{}: {}", finding.check, about(finding)))
}

/// "front axle, travel-full": subject, question and state; none that the words before it have told.
pub(crate) fn about(finding: &Finding) -> String {
    let asked = asked(finding);
    match finding.state.as_deref() {
        Some(state) if !state.is_empty() && !asked.split(", ").any(|part| part == state) => {
            clean(&if asked.is_empty() { state.to_owned() } else { format!("{asked}, {state}") })
        }
        _ => clean(&asked),
    }
}

/// "barn, height": the subject and which question of several.
pub(super) fn asked(finding: &Finding) -> String {
    let case = finding.case.as_deref().filter(|case| !tells(&finding.about, case));
    let parts: Vec<&str> = [finding.about.as_str()].into_iter().chain(case).filter(|part| !part.is_empty()).collect();
    parts.join(", ")
}

/// Whether a text has the words in it, from one end of a word to the other.
fn tells(text: &str, words: &str) -> bool {
    let outside = |c: Option<char>| !c.is_some_and(char::is_alphanumeric);
    text.match_indices(words).any(|(at, found)| {
        let (before, after) = (text.get(..at).unwrap_or_default(), text.get(at + found.len()..).unwrap_or_default());
        outside(before.chars().next_back()) && outside(after.chars().next())
    })
}

pub(super) fn prose(text: &str) -> String {
    tie_numbers(&clean(text))
}

pub(super) fn dimension(finding: &Finding) -> Option<Dimension> {
    finding.capacity.as_ref().or(finding.demand.as_ref()).map(|measure| measure.dimension)
}

/// Demand, capacity, and what it is too much or short by.
fn rows(block: &Block<'_>, numbers: Numbers) -> Vec<Row> {
    let finding = block.worst;
    let mut rows = Vec::new();
    if let Some(demand) = &finding.demand {
        let (value, range) = numbers.with_range(demand);
        rows.push(Row::new(&finding.demand_words, value, range.unwrap_or_default()));
    }
    if let Some(capacity) = &finding.capacity {
        let (value, range) = numbers.with_range(capacity);
        let basis = finding.basis.as_ref().map(|basis| prose(&basis_line(basis)));
        let remark: Vec<String> = range.into_iter().chain(basis).collect();
        rows.push(Row::new(&finding.capacity_words, value, remark.join(", ")));
    }
    if finding.verdict == Verdict::Fail {
        let label = match finding.sense {
            Some(Sense::AtLeast) => "short by",
            _ => "too much by",
        };
        let of_limit = finding.utilisation.map(|used| format!("{} of the limit", numbers::share(used.0)));
        let also =
            also_in(block).map(|also| if text::columns(&also) > NAMES { also_counted(block).unwrap_or(also) } else { also });
        let remark: Vec<String> = of_limit.into_iter().chain(also).collect();
        if let Some(margin) = &finding.margin {
            let value = numbers.margin(margin.value.0.abs(), margin.dimension, margin.tolerance());
            let row = Row::new(label, value, remark.join("; "));
            rows.push(Row { weight: Some(Weight::Beyond), ..row });
        }
    }
    rows
}

/// The basis in one line. What is the owner's own wish is told by those words, not by its place in the file.
pub(crate) fn basis_line(basis: &Basis) -> String {
    let wish = basis.kind == BasisKind::Owner && basis.title.starts_with(WISHES);
    if wish { "your own wish".to_owned() } else { basis.line() }
}

/// "also travel-empty 1.01, camped 0.99 (unsettled)".
fn also_in(block: &Block<'_>) -> Option<String> {
    let named: Vec<String> = block
        .others
        .iter()
        .map(|other| {
            let state = other.state.as_deref().unwrap_or("once");
            let used = other.utilisation.map(|used| format!(" {}", numbers::share(used.0))).unwrap_or_default();
            let verdict =
                if other.verdict == block.worst.verdict { String::new() } else { format!(" ({})", other.verdict.word()) };
            text::tie(&clean(&format!("{state}{used}{verdict}")))
        })
        .collect();
    (!named.is_empty()).then(|| format!("also {}", some_of(&named, NAMED)))
}

/// "also 1.08 to 1.11 in 3 more states", where it fails in all of them.
fn also_counted(block: &Block<'_>) -> Option<String> {
    let used: Vec<f64> = block
        .others
        .iter()
        .filter(|other| other.verdict == block.worst.verdict)
        .filter_map(|other| other.utilisation.map(|used| used.0))
        .collect();
    if used.len() < block.others.len() {
        return None;
    }
    let ends = [used.iter().copied().fold(f64::INFINITY, f64::min), used.iter().copied().fold(f64::NEG_INFINITY, f64::max)];
    let [low, high] = ends.map(numbers::share);
    let range = if low == high { low } else { format!("{low} to {high}") };
    Some(format!("also {range} in {} more states", used.len()))
}

/// The first few, and how many more there are.
pub(super) fn some_of(named: &[String], most: usize) -> String {
    let told: Vec<&str> = named.iter().take(most).map(String::as_str).collect();
    let rest = named.len() - told.len();
    if rest == 0 { told.join(", ") } else { format!("{} and {rest} more", told.join(", ")) }
}

fn unsettled(paper: &mut Paper, block: &Block<'_>, told: &mut Told) {
    let finding = block.worst;
    let mut parts = vec!["the limit lies inside the range".to_owned()];
    if finding.consequence == Consequence::Injury {
        parts.push("treat as fail until measured".to_owned());
    }
    parts.extend(also_in(block));
    let known = told.cause(block);
    parts.extend(known.map(|number| format!("settled with {number}")));
    paper.labelled("cannot tell", &parts.join("; "));
    if known.is_some() {
        return;
    }
    let enough = finding.needs.first().and_then(|need| need.share).is_none_or(|share| share.0 >= MOST_OF_IT);
    for need in finding.needs.iter().take(if enough { 1 } else { 2 }) {
        let text = prose(&need_text(need));
        // Two in one line each: how to measure is told in full by `explain`.
        let short = !enough && !paper.look().all;
        paper.labelled("would settle", &if short { text::cut_words(&text, paper.room()) } else { text });
    }
}

pub(crate) fn need_text(need: &Need) -> String {
    let share = need.share.map(|share| format!(" ({} of the doubt)", numbers::percent(share.0))).unwrap_or_default();
    if need.how.is_empty() { format!("{}{share}", need.path) } else { format!("{}{share}: {}", need.path, need.how) }
}

fn missing(paper: &mut Paper, block: &Block<'_>) {
    let finding = block.worst;
    let paths: Vec<&str> = finding.needs.iter().map(|need| need.path.as_str()).collect();
    let mut parts = Vec::new();
    if block.others.is_empty() && !paths.is_empty() {
        parts.push(paths.join(", "));
    }
    parts.extend(finding.sentence.clone());
    if !block.others.is_empty() {
        parts.push(waiting(block));
    }
    if !parts.is_empty() {
        paper.labelled("not known", &prose(&parts.join("; ")));
    }
    for need in finding.needs.iter().filter(|need| !need.how.is_empty()) {
        paper.labelled("find it out", &prose(&need.how));
    }
}

/// "weight/axle-load (3), weight/tyre-load (3)".
fn waiting(block: &Block<'_>) -> String {
    let mut counts: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for finding in block.findings() {
        *counts.entry(&finding.check).or_default() += 1;
    }
    let named: Vec<String> = counts.iter().map(|(check, n)| text::tie(&format!("{check} ({n})"))).collect();
    named.join(", ")
}

pub(super) fn replaced_text(replaced: &Replaced, dimension: Option<Dimension>, numbers: Numbers) -> String {
    let show = |si: f64| dimension.map_or_else(|| format!("{si} {}", replaced.unit), |d| numbers.exact(si, d));
    let weaker = if replaced.weaker { ", which asks less" } else { "" };
    prose(&format!(
        "{} asks {}; the rig file puts {} in its place{weaker}: {}",
        replaced.limit,
        show(replaced.old.0),
        show(replaced.new.0),
        replaced.why
    ))
}

/// Of a block that passes: that its limit is the owner's.
pub(super) fn replaced_only(paper: &mut Paper, block: &Block<'_>, numbers: Numbers) {
    title_only(paper, block);
    let finding = block.worst;
    if let Some(replaced) = &finding.replaced {
        paper.labelled("replaced", &replaced_text(replaced, dimension(finding), numbers));
    }
    if let Some(margin) = &finding.margin {
        let spare = numbers.margin(margin.value.0, margin.dimension, margin.tolerance());
        let states = also_in(block).map(|also| format!("; {also}")).unwrap_or_default();
        let used = finding.utilisation.map(|used| format!(", {} of the limit", numbers::share(used.0))).unwrap_or_default();
        paper.labelled("to spare", &format!("{}{used}{states}", text::tie(&spare)));
    }
}

/// A finding that asks for nothing, on one line.
pub(super) fn one_line(finding: &Finding, numbers: Numbers) -> String {
    let mut line = subject(finding);
    if let Some(used) = finding.utilisation {
        line.push_str(&format!("  {} of the limit", numbers::share(used.0)));
    }
    if let Some(margin) = finding.margin.as_ref().filter(|_| finding.verdict == Verdict::Pass) {
        line.push_str(&format!(
            "  to spare {}",
            text::tie(&numbers.margin(margin.value.0, margin.dimension, margin.tolerance()))
        ));
    }
    if finding.verdict == Verdict::Missing && !finding.needs.is_empty() {
        let paths: Vec<String> = finding.needs.iter().map(|need| text::tie(&clean(&need.path))).collect();
        line.push_str(&format!("  not known {}", paths.join(", ")));
    }
    if let Some(sentence) = &finding.sentence {
        line.push_str(&format!("  {}", prose(sentence)));
    }
    line
}
