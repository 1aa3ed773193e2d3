//! Where along the frame the body may go, for people and for programs.

use check::placement::{Placement, Range, There};
use quantity::Dimension;

use crate::numbers::Numbers;
use crate::terminal::Look;
use crate::terminal::paper::Paper;
use crate::text::{clean, tie_numbers};

/// The answer in words: range, best place, what limits each end, how long a body, payload, loads at the best place.
#[must_use]
pub fn render(placement: &Placement, width: usize) -> String {
    let mut paper = Paper::new(&Look { width, ..Look::default() }, "");
    let numbers = Numbers::new(placement.units, false);
    let metres = |value: f64| numbers.amount(value, Dimension::Length, HALF_STEP_M);
    paper.line(&clean(&placement.rig));
    paper.running(
        0,
        &tie_numbers(&format!("Front wall of the body now at {} behind the front axle (body.front).", metres(placement.now.0))),
    );
    paper.heading("WHERE THE BODY MAY GO");
    for range in &placement.ranges {
        one_range(&mut paper, range, &metres);
    }
    if placement.ranges.is_empty() {
        paper.running(4, "No place passes every travel state.");
        if let Some((place, limits)) = &placement.nearest {
            paper.running(4, &tie_numbers(&format!("Nearest to it is {}. There it still breaks", metres(place.0))));
            listed(&mut paper, limits);
        }
    }
    if let (Some(best), Some(share)) = (placement.best, placement.best_share) {
        let text = format!(
            "Most in hand at {}: no limit is used by more than {} there, ranges included.",
            metres(best.0),
            crate::numbers::percent(share.0)
        );
        paper.running(4, &tie_numbers(&text));
        if !placement.waits.is_empty() {
            let waits = crate::text::count(placement.waits.len(), "answer");
            paper.running(4, &format!("That leaves out what cannot be told yet: {waits}, below. Tell those before you cut."));
        }
    }
    match placement.longest {
        Some(longest) => {
            paper.running(
                4,
                &tie_numbers(&format!("Set there, the body may be {} long inside; longer it breaks", metres(longest.0))),
            );
            listed(&mut paper, &placement.longest_limit);
        }
        None if placement.best.is_some() => {
            paper.running(4, "How long a body it takes is not told: nothing here limits its length.")
        }
        None => {}
    }
    section(&mut paper, "PASSES NOWHERE, WHATEVER THE PLACE", &placement.nowhere);
    section(&mut paper, "CANNOT BE TOLD YET", &placement.waits);
    loads(&mut paper, placement, numbers);
    if !placement.payload.is_empty() {
        paper.heading("PAYLOAD LEFT");
        for (state, left) in &placement.payload {
            let (value, range) = numbers.span(left.value.0, left.low.0, left.high.0, Dimension::Mass);
            let range = range.map(|range| format!(", {range}")).unwrap_or_default();
            paper.running(4, &tie_numbers(&clean(&format!("{state}: {value}{range}"))));
        }
    }
    if !placement.there.is_empty() {
        paper.heading("SIZE AND LEAN");
        for There { about, words, state, measure } in &placement.there {
            let (value, range) = numbers.with_range(measure);
            let range = range.map(|range| format!(", {range}")).unwrap_or_default();
            let state = state.as_ref().map(|state| format!(", {state}")).unwrap_or_default();
            paper.running(4, &tie_numbers(&clean(&format!("{about}{state}: {words} {value}{range}"))));
        }
    }
    paper.done()
}

/// Places are given to this, m: half the step of the search.
const HALF_STEP_M: f64 = 0.005;
/// How many reasons are named at an end.
const NAMED: usize = 3;

fn one_range(paper: &mut Paper, range: &Range, metres: &impl Fn(f64) -> String) {
    paper.running(4, &tie_numbers(&format!("From {} to {}.", metres(range.from.0), metres(range.to.0))));
    for (towards, limits) in [("Further forward", &range.forward_limit), ("Further back", &range.rearward_limit)] {
        if limits.is_empty() {
            paper.running(4, &format!("{towards} was not looked at."));
        } else {
            paper.running(4, &format!("{towards} it breaks"));
            listed(paper, limits);
        }
    }
}

fn listed(paper: &mut Paper, limits: &[String]) {
    for limit in limits.iter().take(NAMED) {
        paper.running(8, &clean(limit));
    }
    if limits.len() > NAMED {
        paper.running(8, &format!("and {} more", limits.len() - NAMED));
    }
}

fn section(paper: &mut Paper, heading: &str, list: &[String]) {
    if list.is_empty() {
        return;
    }
    paper.heading(heading);
    listed(paper, list);
}

/// Axle loads at the best place, or where the body is now: straight between the ends of each curve.
fn loads(paper: &mut Paper, placement: &Placement, numbers: Numbers) {
    let at = placement.best.unwrap_or(placement.now).0;
    let reach = placement.to.0 - placement.from.0;
    if placement.curves.is_empty() || reach <= 0.0 {
        return;
    }
    let place = numbers.amount(at, Dimension::Length, HALF_STEP_M);
    paper.heading("AXLE LOADS");
    paper.running(4, &tie_numbers(&format!("With the body at {place}:")));
    let share = (at - placement.from.0) / reach;
    for curve in &placement.curves {
        let [first, last] = &curve.ends;
        let between = |a: f64, b: f64| a + (b - a) * share;
        let (value, range) = numbers.span(
            between(first.value.0, last.value.0),
            between(first.low.0, last.low.0),
            between(first.high.0, last.high.0),
            Dimension::Mass,
        );
        let range = range.map(|range| format!(", {range}")).unwrap_or_default();
        let rated = curve.rated.map(|rated| format!("; rated {}", numbers.exact(rated.0, Dimension::Mass))).unwrap_or_default();
        paper.running(4, &tie_numbers(&clean(&format!("{} axle, {}: {value}{range}{rated}", curve.axle, curve.state))));
    }
}

/// The same as one JSON document.
#[must_use]
pub fn json(placement: &Placement) -> String {
    crate::json::pretty(placement)
}
