//! Numbers that nothing limits: shown, not judged. A line each, all states together.

use std::collections::BTreeSet;

use check::Measure;

use super::block::{asked, prose};
use super::fold::{Block, Folded};
use super::paper::Paper;
use crate::numbers::Numbers;
use crate::text::{self, clean, tie};

/// Lines before the rest is counted.
const LINES: usize = 6;
/// Column of a line.
const INDENT: usize = 4;

pub(super) fn numbers(paper: &mut Paper, folded: &Folded<'_>, numbers: Numbers) {
    if folded.unlimited.is_empty() {
        return;
    }
    paper.heading("NUMBERS WITHOUT A LIMIT");
    let all = paper.look().all;
    let most = if all { usize::MAX } else { LINES };
    let mut reasons = BTreeSet::new();
    for block in folded.unlimited.iter().take(most) {
        let line = number_line(block, numbers);
        let room = paper.width().saturating_sub(INDENT + text::columns(&line) + 2);
        let why = block.worst.sentence.as_deref().filter(|why| reasons.insert((*why).to_owned()));
        let why = why.map(|why| if all { why } else { short(why, room) }).filter(|why| !why.is_empty());
        paper.running(INDENT, &why.map_or(line.clone(), |why| format!("{line}; {}", prose(why))));
    }
    if folded.unlimited.len() > most {
        paper.running(INDENT, &format!("and {} more, with --all", folded.unlimited.len() - most));
    }
}

/// The sentence up to its first semicolon; up to its first colon where that does not fit the line.
fn short(sentence: &str, room: usize) -> &str {
    let clause = sentence.split(';').next().unwrap_or(sentence).trim_end();
    if text::columns(clause) <= room { clause } else { clause.split(':').next().unwrap_or(clause).trim_end() }
}

/// "weight/side-slope: whole rig may lean 17.7 to 18.2 deg in 3 states".
fn number_line(block: &Block<'_>, numbers: Numbers) -> String {
    let finding = block.worst;
    let states: BTreeSet<&str> = block.findings().filter_map(|finding| finding.state.as_deref()).collect();
    let states = match (states.first(), states.len()) {
        (None, _) => String::new(),
        (Some(state), 1) => format!(" in {}", clean(state)),
        (Some(_), several) => format!(" in {several} states"),
    };
    let range = tie(&range(block, numbers));
    format!("{}: {} {} {range}{states}", clean(&finding.check), clean(&asked(finding)), clean(&finding.demand_words))
}

/// "17.7 to 18.2 deg": the values over the states, the unit once.
fn range(block: &Block<'_>, numbers: Numbers) -> String {
    let mut told: Vec<&Measure> = block.findings().filter_map(|finding| finding.demand.as_ref()).collect();
    told.sort_by(|a, b| a.value.0.total_cmp(&b.value.0));
    let show = |measure: Option<&&Measure>| measure.map(|measure| numbers.with_range(measure).0).unwrap_or_default();
    let (low, high) = (show(told.first()), show(told.last()));
    match (low.split_once(' '), high.split_once(' ')) {
        _ if low == high => low,
        (Some((number, unit)), Some((_, same))) if unit == same => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

#[cfg(test)]
mod tests {
    use super::short;

    #[test]
    fn a_sentence_is_cut_at_its_semicolon_and_at_its_colon_where_it_is_still_too_long() {
        let sentence = "no slope is asked for: here it would tip; write grade in [ground]";
        assert_eq!(short(sentence, 60), "no slope is asked for: here it would tip");
        assert_eq!(short(sentence, 39), "no slope is asked for");
        assert_eq!(short("no slope", 2), "no slope");
    }
}
