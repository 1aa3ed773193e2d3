//! The ways out of one block: what to do, what it costs, how far it helps, and what else it changes.

use check::remedy::Also;
use check::{Finding, Remedy, Verdict};

use super::block::{dimension, prose, some_of};
use super::fold::Block;
use super::paper::Paper;
use super::told::Told;
use crate::numbers::{self, Numbers};
use crate::text;

/// Ways out told in one block.
const WAYS_OUT: usize = 2;
/// Answers named that a way out makes worse, and that it also settles.
const WORSE: usize = 4;
const SETTLED: usize = 2;

/// The first ways out; one that an earlier block told is told by that block's number.
pub(super) fn out(paper: &mut Paper, block: &Block<'_>, numbers: Numbers, told: &mut Told) {
    // What hangs on one cause is settled together: the blocks say so by themselves.
    let short = told.shares_its_cause(block.worst) && !paper.look().all;
    let most = if paper.look().all { usize::MAX } else { WAYS_OUT };
    for (at, remedy) in block.worst.remedies.iter().take(most).enumerate() {
        let text = match told.way_out(&remedy.text, block.number) {
            Some(number) => retold(block.worst, remedy, numbers, (number, told)),
            None => fitting(paper, block, remedy, numbers, (short, told)),
        };
        paper.labelled(if at == 0 { "way out" } else { "or" }, &text);
    }
}

/// All of it; or, where it is to be short, without what it also settles if that leaves the line.
fn fitting(paper: &Paper, block: &Block<'_>, remedy: &Remedy, numbers: Numbers, (short, told): (bool, &Told)) -> String {
    let finding = block.worst;
    let mut changes = worse(finding, remedy, Some(told));
    let without = written(remedy, reaches(finding, remedy, numbers), &changes);
    changes.extend(better(block, remedy, Some(told)));
    let whole = written(remedy, reaches(finding, remedy, numbers), &changes);
    if short && text::columns(&whole) > paper.room() { without } else { whole }
}

/// "as in 1: 61.8 psi (0.93)". What it makes worse is told again: nobody may miss that.
fn retold(finding: &Finding, remedy: &Remedy, numbers: Numbers, (number, told): (usize, &Told)) -> String {
    let mut parts = vec![format!("as in {number}{}", reaches(finding, remedy, numbers))];
    parts.extend(worse(finding, remedy, Some(told)));
    prose(&parts.join("; "))
}

/// "move the body 0.41 m rearward (an afternoon): 4940 kg (0.95); then rear axle in travel-full fails".
pub(super) fn remedy_text(finding: &Finding, remedy: &Remedy, numbers: Numbers) -> String {
    let mut changes = worse(finding, remedy, None);
    changes.extend(better(&Block { number: None, worst: finding, others: Vec::new() }, remedy, None));
    written(remedy, reaches(finding, remedy, numbers), &changes)
}

fn written(remedy: &Remedy, reaches: String, changes: &[String]) -> String {
    let mut parts = vec![format!("{} ({}){reaches}", remedy.text, remedy.effort.words())];
    parts.extend(changes.iter().cloned());
    prose(&parts.join("; "))
}

/// ": 4940 kg (0.95)": where the way out takes the number.
fn reaches(finding: &Finding, remedy: &Remedy, numbers: Numbers) -> String {
    let half = finding.demand.as_ref().map_or(0.0, check::Measure::tolerance);
    let after = remedy.demand.zip(dimension(finding)).map(|(demand, dimension)| numbers.amount(demand.0, dimension, half));
    match (after, remedy.utilisation.map(|used| numbers::share(used.0))) {
        (Some(after), Some(used)) => format!(": {after} ({used})"),
        (Some(text), None) => format!(": {text}"),
        (None, Some(used)) => format!(": {used} of the limit"),
        (None, None) => String::new(),
    }
}

/// What gets worse, what fails first.
fn worse(finding: &Finding, remedy: &Remedy, told: Option<&Told>) -> Vec<String> {
    let verbs = [(Verdict::Fail, "fails"), (Verdict::Unsettled, "is unsettled"), (Verdict::Missing, "is missing an input")];
    let told = verbs.iter().map(|(verdict, verb)| {
        let named = names(finding, remedy, told, |also| also.is == *verdict && also.was.rank() < verdict.rank());
        (!named.is_empty()).then(|| format!("then {} {verb}", some_of(&named, WORSE)))
    });
    told.flatten().collect()
}

/// What it also settles, and what is no longer a certain failure. The block's own other states are left out where it
/// settles them all: that is what a way out of the block means.
fn better(block: &Block<'_>, remedy: &Remedy, told: Option<&Told>) -> Vec<String> {
    let settles = |also: &Also| also.is.rank() == 0 && also.was.rank() > 0;
    let same = |also: &Also, other: &Finding| also.check == other.check && also.path == other.path && also.state == other.state;
    let open = || block.others.iter().filter(|other| other.verdict.rank() > 0);
    let whole = open().all(|other| remedy.also.iter().any(|also| same(also, other) && settles(also)));
    let own = |also: &Also| whole && block.others.iter().any(|other| same(also, other));
    let finding = block.worst;
    let settled = names(finding, remedy, told, |also| settles(also) && !own(also));
    let eased = names(finding, remedy, told, |also| also.is.rank() == 1 && also.was == Verdict::Fail);
    let settled = (!settled.is_empty()).then(|| format!("also settles {}", some_of(&settled, SETTLED)));
    let eased = (!eased.is_empty()).then(|| format!("{} then no longer fails for certain", some_of(&eased, SETTLED)));
    settled.into_iter().chain(eased).collect()
}

/// "lake ferry, mass in travel-full", "tyre-load of front axle in 4 states": the subject and its states; the question
/// too where the subject alone would not tell which of several is meant.
fn names(finding: &Finding, remedy: &Remedy, told: Option<&Told>, meant: impl Fn(&Also) -> bool) -> Vec<String> {
    let mut groups: Vec<((&str, &str), Vec<&str>)> = Vec::new();
    for also in remedy.also.iter().filter(|also| meant(also)) {
        let key = (also.check.as_str(), also.about.as_str());
        let state = also.state.as_deref();
        match groups.iter_mut().find(|(known, _)| *known == key) {
            Some((_, states)) => states.extend(state.filter(|state| !states.contains(state))),
            None => groups.push((key, state.into_iter().collect())),
        }
    }
    let name = |((check, about), states): &((&str, &str), Vec<&str>)| {
        let alone = *about != finding.about && told.is_some_and(|told| told.asked_once(about));
        let question = check.split_once('/').map_or(*check, |(_, question)| question);
        let who = if alone { (*about).to_owned() } else { format!("{question} of {about}") };
        match states.as_slice() {
            [] => who,
            [state] => format!("{who} in {state}"),
            more => format!("{who} in {} states", more.len()),
        }
    };
    groups.iter().map(name).collect()
}
