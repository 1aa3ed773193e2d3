//! The lines of one block.

use std::collections::BTreeSet;

use basis::{Basis, BasisKind};
use check::finding::{Finding, Need, Replaced, Sense};
use check::{Consequence, Remedy, Verdict};
use quantity::Dimension;

use super::fold::Block;
use super::paper::{Paper, Row, Weight};
use crate::numbers::{self, Numbers};
use crate::text::{self, clean, tie_numbers};

/// Ways out told in one block.
const WAYS_OUT: usize = 2;
/// A second input is named where the first carries less than this share of the doubt.
const MOST_OF_IT: f64 = 1.0 / 3.0;
/// States told in one line before the rest is counted.
const NAMED: usize = 4;
/// Other answers a way out changes that are told before the rest is counted.
const CHANGED: usize = 2;
/// Cautions told in one block.
const CAUTIONS: usize = 2;

/// Everything a reader needs of one block.
pub(super) fn answer(paper: &mut Paper, block: &Block<'_>, numbers: Numbers, cautions: &mut BTreeSet<String>) {
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
            unsettled(paper, block);
        }
    }
    if let Some(replaced) = &finding.replaced {
        paper.labelled("replaced", &replaced_text(replaced, dimension(finding), numbers));
    }
    ways_out(paper, finding, numbers);
    if let Some(accepted) = &finding.accepted {
        let until = accepted.until.as_ref().map(|until| format!(", until {until}")).unwrap_or_default();
        paper.labelled("accepted", &prose(&format!("{}{until}", accepted.why)));
    }
    careful(paper, block, cautions);
}

/// Each caution once in the whole report. What is merely not known, or can only break, warns of nothing by itself.
fn careful(paper: &mut Paper, block: &Block<'_>, told: &mut BTreeSet<String>) {
    let failing = block.worst.verdict == Verdict::Fail;
    let open = block.worst.verdict == Verdict::Unsettled && block.consequence() == Consequence::Injury;
    if !failing && !open && block.worst.accepted.is_none() {
        return;
    }
    let mut new: Vec<&String> = Vec::new();
    for caution in block.findings().flat_map(|finding| &finding.cautions) {
        if new.len() < CAUTIONS && told.insert(caution.clone()) {
            new.push(caution);
        }
    }
    new.into_iter().for_each(|caution| paper.labelled("careful", &prose(caution)));
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
pub(super) fn subject(finding: &Finding) -> String {
    clean(&format!("{}: {}", finding.check, about(finding)))
}

/// "front axle, travel-full".
pub(super) fn about(finding: &Finding) -> String {
    let mut told = finding.about.clone();
    for part in [&finding.case, &finding.state].into_iter().flatten().filter(|part| !part.is_empty()) {
        if !has_words(&told, part) {
            told.push_str(", ");
            told.push_str(part);
        }
    }
    clean(&told)
}

/// Whether a text has these words in a row already.
fn has_words(text: &str, words: &str) -> bool {
    let bare = |text: &str| format!(" {} ", text.replace([',', ':'], " ").split_whitespace().collect::<Vec<_>>().join(" "));
    bare(text).contains(&bare(words))
}

fn prose(text: &str) -> String {
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
        let remark: Vec<String> = of_limit.into_iter().chain(also_in(block)).collect();
        if let Some(margin) = &finding.margin {
            let value = numbers.amount(margin.value.0.abs(), margin.dimension, margin.tolerance());
            let row = Row::new(label, value, remark.join("; "));
            rows.push(Row { weight: Some(Weight::Beyond), ..row });
        }
    }
    rows
}

/// The basis in one line; a rating says that it is the thing's own, where its title does not, and a wish whose it is.
pub(super) fn basis_line(basis: &Basis) -> String {
    let line = basis.line();
    let says = |words: &[&str]| words.iter().any(|word| line.contains(word));
    match basis.kind {
        BasisKind::DataPlate if !says(&["plate", "papers"]) => format!("{line}, from its plate or papers"),
        BasisKind::Owner if !says(&["owner", "wish", "of "]) => format!("your own wish: {line}"),
        _ => line,
    }
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

/// The first few, and how many more there are.
fn some_of(named: &[String], most: usize) -> String {
    let told: Vec<&str> = named.iter().take(most).map(String::as_str).collect();
    let rest = named.len() - told.len();
    if rest == 0 { told.join(", ") } else { format!("{} and {rest} more", told.join(", ")) }
}

fn unsettled(paper: &mut Paper, block: &Block<'_>) {
    let finding = block.worst;
    let mut parts = vec!["the limit lies inside the range".to_owned()];
    if finding.consequence == Consequence::Injury {
        parts.push("treat as fail until measured".to_owned());
    }
    parts.extend(also_in(block));
    paper.labelled("cannot tell", &parts.join("; "));
    let enough = finding.needs.first().and_then(|need| need.share).is_some_and(|share| share.0 >= MOST_OF_IT);
    for need in finding.needs.iter().take(if enough { 1 } else { 2 }) {
        paper.labelled("would settle", &prose(&need_text(need)));
    }
}

pub(super) fn need_text(need: &Need) -> String {
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

fn ways_out(paper: &mut Paper, finding: &Finding, numbers: Numbers) {
    for (at, remedy) in finding.remedies.iter().take(WAYS_OUT).enumerate() {
        paper.labelled(if at == 0 { "way out" } else { "or" }, &remedy_text(finding, remedy, numbers));
    }
}

/// "move the body 0.41 m rearward (an afternoon): 4940 kg (0.95); then weight/tyre-load: rear axle, travel-full fails".
pub(super) fn remedy_text(finding: &Finding, remedy: &Remedy, numbers: Numbers) -> String {
    let half = finding.demand.as_ref().map_or(0.0, check::Measure::tolerance);
    let after = remedy.demand.zip(dimension(finding)).map(|(demand, dimension)| numbers.amount(demand.0, dimension, half));
    let used = remedy.utilisation.map(|used| numbers::share(used.0));
    let reaches = match (after, used) {
        (Some(after), Some(used)) => format!(": {after} ({used})"),
        (Some(text), None) => format!(": {text}"),
        (None, Some(used)) => format!(": {used} of the limit"),
        (None, None) => String::new(),
    };
    let mut text = format!("{} ({}){reaches}", remedy.text, remedy.effort.words());
    for part in changes(remedy) {
        text.push_str("; ");
        text.push_str(&part);
    }
    prose(&text)
}

/// What else changes its verdict: first what gets worse.
fn changes(remedy: &Remedy) -> Vec<String> {
    let mut parts = Vec::new();
    for (verdict, verb) in
        [(Verdict::Fail, "fails"), (Verdict::Unsettled, "is unsettled"), (Verdict::Missing, "is missing an input")]
    {
        let worse: Vec<String> =
            remedy.also.iter().filter(|also| also.is == verdict && also.was.rank() < verdict.rank()).map(whom).collect();
        if !worse.is_empty() {
            parts.push(format!("then {} {verb}", some_of(&worse, CHANGED)));
        }
    }
    let settled: Vec<String> = remedy.also.iter().filter(|also| also.is.rank() == 0 && also.was.rank() > 0).map(whom).collect();
    if !settled.is_empty() {
        parts.push(format!("also settles {}", some_of(&settled, CHANGED)));
    }
    let eased: Vec<String> =
        remedy.also.iter().filter(|also| also.is.rank() == 1 && also.was == Verdict::Fail).map(whom).collect();
    if !eased.is_empty() {
        parts.push(format!("{} then no longer fails for certain", some_of(&eased, CHANGED)));
    }
    parts
}

fn whom(also: &check::remedy::Also) -> String {
    let state = also.state.as_ref().map(|state| format!(" in {state}")).unwrap_or_default();
    format!("{} of {}{state}", also.check, also.about)
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
        let spare = numbers.amount(margin.value.0, margin.dimension, margin.tolerance());
        let states = also_in(block).map(|also| format!("; {also}")).unwrap_or_default();
        let used = finding.utilisation.map(|used| format!(", {} of the limit", numbers::share(used.0))).unwrap_or_default();
        paper.labelled("to spare", &format!("{}{used}{states}", text::tie(&spare)));
    }
}

/// A number that nothing limits, over all its states: "whole rig may lean 17.7 deg to 18.2 deg in 3 states".
pub(super) fn number_line(block: &Block<'_>, numbers: Numbers, whole: bool) -> String {
    let finding = block.worst;
    let mut line = format!("{}: {}", finding.check, clean(&finding.about));
    if let Some(case) = finding.case.as_ref().filter(|case| !has_words(&finding.about, case)) {
        line.push_str(&format!(", {}", clean(case)));
    }
    let shown =
        |finding: &Finding| finding.demand.as_ref().map(|demand| (demand.value.0, text::tie(&numbers.with_range(demand).0)));
    let mut values: Vec<(f64, String)> = block.findings().filter_map(shown).collect();
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    if let (Some((_, low)), Some((_, high))) = (values.first(), values.last()) {
        let spread = if low == high { low.clone() } else { format!("{low} to {high}") };
        let states = if values.len() > 1 { format!(" in {}", text::count(values.len(), "state")) } else { String::new() };
        line.push_str(&format!(" {} {spread}{states}", clean(&finding.demand_words)));
    }
    if let Some(why) = &finding.sentence {
        let why = if whole { why.as_str() } else { why.split([';', ':']).next().unwrap_or(why) };
        line.push_str(&format!("; {}", prose(why)));
    }
    line
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
            text::tie(&numbers.amount(margin.value.0, margin.dimension, margin.tolerance()))
        ));
    }
    if let Some(sentence) = &finding.sentence {
        line.push_str(&format!("  {}", prose(sentence)));
    }
    line
}
