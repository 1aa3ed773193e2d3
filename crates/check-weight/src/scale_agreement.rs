//! weight/scale-agreement: the weighbridge says something else than my list: who is wrong?
//!
//! demand      difference of each ticket and the list (kg); chance of all differences together if every claim were right
//!             (1); difference of the whole rig and its axles weighed alone (kg)
//! capacity    what the scale's error and the list's guesses explain, at most; the usual level of significance, at least
//! states      once: a ticket names its own state
//! leaves out  what the tickets teach the list: facts take them in while they agree

use std::borrow::Cow;

use basis::Basis;
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Verdict, Words, on_ledger};
use physics::chance::{chi_square_tail, two_sided};
use quantity::{Dimension, Estimate, Z95};
use rig_facts::{Ticket, Tickets};
use rig_model::model::Weighing;

use crate::remedy::{kilograms, metres};
use crate::working::{self, Figure};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/scale-agreement"),
    question: Cow::Borrowed("The weighbridge says something else than my list: who is wrong?"),
    words: Words::new("differs by", "may differ by"),
    consequence: Consequence::Legal,
    scope: Scope::Once,
    needs: List::Static(&["axle.bare_load", "axle.x"]),
    uses: on_ledger!["axle.track", "axle.roll_stiffness", "chassis"],
    limits: List::Static(&["weight/agreement"]),
    formula: List::Static(&[
        "difference = reading - list; explained = z x its standard deviation",
        "z: as far out as chance takes the farthest of all tickets in the share of cases that the limit names",
        "all together: chi-square of the differences, with what they share",
    ]),
    cautions: List::Static(&["while tickets and list disagree the list stands as it is: find the cause before you trust either"]),
};

/// The weighbridge says something else than my list: who is wrong?
#[derive(Debug)]
pub struct ScaleAgreement;

impl Check for ScaleAgreement {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let tickets = cx.facts().tickets();
        if cx.rig().weighing.is_empty() {
            return vec![CARD.about(cx, "tickets").at("weighing").missing("weighing")];
        }
        let mut findings = vec![together(cx, tickets)];
        for (path, gap) in &tickets.unused {
            findings.push(CARD.about(cx, named(cx, path)).at(path).case("ticket").blocked(gap));
        }
        let used = || tickets.list.iter().filter(|ticket| !tickets.unused.iter().any(|(path, _)| *path == ticket.path));
        let explained = Explained::by(cx, tickets);
        findings.extend(used().map(|ticket| one(cx, explained.as_ref(), ticket)));
        findings.extend(used().filter(|ticket| is_whole(cx, ticket)).map(|ticket| bridge(cx, tickets, ticket)));
        findings
    }
}

fn together(cx: &Context, tickets: &Tickets) -> Finding {
    let draft = CARD.about(cx, "all tickets together").at("weighing").case("together").words("has a chance of", "wants");
    if tickets.condition.is_none() {
        let gap = tickets.unused.first().map(|(_, gap)| gap);
        return gap.map_or_else(|| CARD.about(cx, "tickets").at("weighing").missing("weighing"), |gap| draft.blocked(gap));
    }
    let p = Estimate::exact(tickets.p);
    let held = cx.limits("weight/agreement");
    if held.is_empty() {
        return draft.show(&p, Dimension::Ratio, "no set of limits in force says when they disagree");
    }
    let draft = draft.compare(&p, &held).working(|| {
        let (chi_square, count) = (working::figure(tickets.chi_square, 3), tickets.list.len());
        let chance = working::number(chi_square_tail(chi_square.get(), count), 4);
        [format!("chi-square {chi_square} of {count} tickets: chance {chance}")]
    });
    let mut words = in_kilos(cx, tickets);
    if draft.verdict() == Verdict::Fail {
        // A bridge that contradicts itself accuses nobody else.
        let wholes = tickets.list.iter().filter(|ticket| is_whole(cx, ticket));
        let off = wholes.filter_map(|whole| bridge_error(cx, tickets, whole)).map(|(_, off)| off);
        match off.into_iter().find(|off| off.value().abs() > Z95 * off.sd()) {
            Some(off) => words = bridge_words(cx, &off),
            None => words.push_str(&accused(cx, tickets)),
        }
    }
    draft.sentence(words).done()
}

/// "the tickets say 410 kg more than your list; scales and guesses explain 180".
fn in_kilos(cx: &Context, tickets: &Tickets) -> String {
    let whole = tickets.list.iter().find(|ticket| is_whole(cx, ticket)).map(|ticket| ticket.difference.clone());
    let all_axles = || {
        let state = &tickets.list.first()?.state;
        let axles = axle_tickets(cx, tickets, state)?;
        Some(Estimate::sum(axles.into_iter().map(|ticket| &ticket.difference)))
    };
    let farthest = || tickets.list.iter().max_by(|a, b| a.z().abs().total_cmp(&b.z().abs())).map(|t| t.difference.clone());
    let Some(difference) = whole.or_else(all_axles).or_else(farthest) else { return String::new() };
    let word = more_or_less(difference.value());
    format!(
        "the tickets say {} {word} than your list; scales and guesses explain {}",
        kilograms(cx, difference.value().abs()),
        kilograms(cx, Z95 * difference.sd())
    )
}

/// Who may be wrong, with the evidence, and what to weigh next.
fn accused(cx: &Context, tickets: &Tickets) -> String {
    let mut words = String::new();
    let likely: Vec<_> = tickets.suspects.iter().filter(|suspect| suspect.share >= NAMED_FROM).take(2).collect();
    for suspect in &likely {
        let more = more_or_less(suspect.needed_kg);
        words.push_str(&format!(
            "; {} could be it ({} of the evidence): it would weigh {} {more}",
            suspect.name,
            working::percent(suspect.share),
            kilograms(cx, suspect.needed_kg.abs())
        ));
    }
    if let Some((mass, x)) = tickets.unlisted {
        let kind = if mass < 0.0 { "something listed that was not there" } else { "something not listed" };
        let behind = if x < 0.0 { "ahead of" } else { "behind" };
        words.push_str(&format!(
            "; or {kind}, {} near {} {behind} the front axle",
            kilograms(cx, mass.abs()),
            metres(cx, x.abs())
        ));
    }
    if let Some(first) = likely.first() {
        words.push_str(&format!("; weigh {} next", first.name));
    }
    words
}

/// A suspect is named from this share of the evidence on. A choice of this project.
const NAMED_FROM: f64 = 0.05;

/// How far out the farthest of all tickets lies in the share of cases that the limit names, in standard deviations.
struct Explained(f64);

impl Explained {
    /// None where no set of limits in force says when they disagree.
    fn by(cx: &Context, tickets: &Tickets) -> Option<Self> {
        let level = cx.limits("weight/agreement").into_iter().find_map(|held| match held.bound {
            check::limits::HeldBound::AtLeast(level) => Some(level.value()),
            _ => None,
        })?;
        Some(Self(two_sided(level / tickets.list.len().max(1) as f64)))
    }
}

fn one(cx: &Context, explained: Option<&Explained>, ticket: &Ticket) -> Finding {
    let draft = CARD.about(cx, ticket.name.clone()).at(&ticket.path).case("ticket");
    let Some(Explained(reach)) = explained else {
        return draft.show(&absolute(&ticket.difference), Dimension::Mass, "no set of limits in force says when they disagree");
    };
    let explained = reach * ticket.difference.sd();
    let basis = Basis::physics("spread of reading and list together");
    let held = Held::at_most("what scales and guesses explain", Estimate::exact(explained), Dimension::Mass, basis);
    draft
        .compare(&absolute(&ticket.difference), &[held])
        .sentence(format!(
            "the ticket says {} {} than your list; scale and guesses explain {}",
            kilograms(cx, ticket.difference.value().abs()),
            more_or_less(ticket.difference.value()),
            kilograms(cx, explained)
        ))
        .working(|| {
            let (read, listed) = (working::figure(ticket.reading.value(), 1), working::figure(ticket.predicted.value(), 1));
            let off = working::kg(read.get() - listed.get());
            [
                format!("{}: {read} kg read - {listed} kg by the list = {off}", ticket.what),
                explained_line(*reach, ticket.difference.sd()),
            ]
        })
        .done()
}

fn explained_line(reach: f64, sd: f64) -> String {
    let (reach, sd) = (working::figure(reach, 4), working::figure(sd, 3));
    format!("explained = {reach} x {sd} kg = {}", working::kg(reach.get() * sd.get()))
}

/// The size of a difference that is known: its doubt is what it is held against.
fn absolute(difference: &Estimate) -> Estimate {
    Estimate::exact(difference.value().abs())
}

/// The axles weighed alone against the whole rig: what the bridge itself is out by.
fn bridge(cx: &Context, tickets: &Tickets, whole: &Ticket) -> Finding {
    let draft = CARD.about(cx, format!("{}, axle by axle", whole.name)).at(&whole.path).case("bridge");
    let Some((axles, off)) = bridge_error(cx, tickets, whole) else {
        return draft.not_applicable("not every axle was weighed alone in the same state, so there is nothing to add up");
    };
    let explained = Z95 * off.sd();
    let basis = Basis::physics("errors of the readings");
    let held = Held::at_most("what the scale's own error explains", Estimate::exact(explained), Dimension::Mass, basis);
    let readings: Vec<Figure> = axles.iter().map(|ticket| working::figure(ticket.reading.value(), 1)).collect();
    let all = working::figure(whole.reading.value(), 1);
    let sum: f64 = readings.iter().map(|reading| reading.get()).sum();
    let readings: Vec<String> = readings.iter().map(ToString::to_string).collect();
    let draft = draft.compare(&absolute(&off), &[held]).working(|| {
        [format!("({}) - {all} = {}", readings.join(" + "), working::kg(sum - all.get())), explained_line(Z95, off.sd())]
    });
    if draft.verdict() == Verdict::Pass { draft.done() } else { draft.sentence(bridge_words(cx, &off)).done() }
}

/// The axles weighed alone, and their sum less the whole; none where not every axle was weighed.
fn bridge_error<'t>(cx: &Context, tickets: &'t Tickets, whole: &Ticket) -> Option<(Vec<&'t Ticket>, Estimate)> {
    let axles = axle_tickets(cx, tickets, &whole.state)?;
    let off = &Estimate::sum(axles.iter().map(|ticket| &ticket.reading)) - &whole.reading;
    Some((axles, off))
}

fn bridge_words(cx: &Context, off: &Estimate) -> String {
    let (by, word) = (kilograms(cx, off.value().abs()), more_or_less(off.value()));
    format!("the axles add up to {by} {word} than the whole: a sloping approach, brakes on, or a load that moved; weigh again")
}

fn more_or_less(value: f64) -> &'static str {
    if value < 0.0 { "less" } else { "more" }
}

/// The tickets of all axles weighed alone, level, in that state; none unless there is one for each axle that stands.
fn axle_tickets<'t>(cx: &Context, tickets: &'t Tickets, state: &str) -> Option<Vec<&'t Ticket>> {
    let lifted = &cx.facts().state(state)?.lifted;
    let axles = cx.facts().axles();
    let one = |name: &str| {
        tickets.list.iter().find(|ticket| {
            ticket.state == state
                && weighing(cx, ticket)
                    .is_some_and(|w| w.axle.as_deref() == Some(name) && w.side.is_none() && w.lift.is_none() && w.plank.is_none())
        })
    };
    axles.standing(lifted).map(|index| axles.list().get(index).and_then(|axle| one(&axle.name))).collect()
}

fn is_whole(cx: &Context, ticket: &Ticket) -> bool {
    weighing(cx, ticket).is_some_and(|w| w.whole == Some(true) && w.axle.is_none() && w.side.is_none() && w.group.is_none())
}

fn weighing<'c>(cx: &'c Context, ticket: &Ticket) -> Option<&'c Weighing> {
    cx.rig().weighing.iter().find(|weighing| weighing.name == ticket.name)
}

fn named(cx: &Context, path: &str) -> String {
    let all = cx.rig().weighing.iter().enumerate();
    let one = all.map(|(index, w)| (&w.name, rig_model::path::entry(Some(&w.name), index + 1)));
    one.into_iter()
        .find(|(_, entry)| path == format!("weighing{entry}"))
        .map_or_else(|| "ticket".to_owned(), |(name, _)| name.clone())
}
