//! power/energy-balance: in which months does the sun carry the loads?
//!
//! demand      what a day takes in the hardest month of use: loads at the batteries, and what batteries lose of what they
//!             feed of them (Wh)
//! capacity    what sun and driving bring on a day of that month (Wh), after dust, wires and controllers
//! states      once for each set of what is on board when camped
//! leaves out  how the days of a month differ (`power/short-days`), plugging in, snow on the panels

use std::borrow::Cow;

use basis::Basis;
use check::draft::{GOAL, has_reserve};
use check::working::{figure, listed, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Words};
use quantity::Dimension;
use rig_facts::power::{HOUR_S, Month, month_name};

use crate::house::{House, every_set, gets, on_year, takes};
use crate::ways_out;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/energy-balance"),
    question: Cow::Borrowed("In which months does the sun carry the loads?"),
    words: Words::new("takes a day", "gets a day"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["load.power", "panel.rated", "battery.capacity", "site.latitude"]),
    uses: on_year![],
    limits: List::Static(&[]),
    formula: List::Static(&[
        "takes = loads + what batteries lose of what the sun does not feed at once: that x (1 / (way in x way out) - 1)",
        "gets = sun on the panels' plane x watts x what heat, dust, wires and controller leave + what driving charges",
        "the month of use with most taken of what it gets counts",
    ]),
    cautions: List::Static(crate::house::CAUTIONS),
};

/// In which months does the sun carry the loads?
#[derive(Debug)]
pub struct EnergyBalance;

impl Check for EnergyBalance {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_set(cx, &CARD, "panel", answer)
    }
}

fn answer<'c>(house: &House<'c>, draft: Draft<'c>) -> Finding {
    let draft = house.weigh(draft);
    let Some((at, month)) = house.hardest_month() else { return draft.missing("site.months") };
    let held =
        Held::at_most("sun and driving", gets(month).scale(HOUR_S), Dimension::Energy, Basis::physics("energy is conserved"));
    draft
        .compare(&takes(month).scale(HOUR_S), &[held])
        .sentence(sentence(house, at, month))
        .working(|| working(at, month))
        .exhibit("power-months")
        .remedies(|_| ways_out(house, at, month))
        .done()
}

fn sentence(house: &House<'_>, at: usize, month: &Month) -> String {
    let wh = |wh: f64| number(wh, 0);
    let driving = if month.driven > 0.0 { " and driving" } else { "" };
    let (takes_wh, gets_wh) = (takes(month).value(), gets(month).value());
    let head = format!("{}: takes {} Wh a day, gets {} from sun{driving}", month_name(at), wh(takes_wh), wh(gets_wh));
    let short: Vec<&str> = house
        .months()
        .filter(|(other, month)| *other != at && takes(month).value() > gets(month).value())
        .map(|(other, _)| month_name(other))
        .collect();
    match short.as_slice() {
        _ if takes_wh <= gets_wh => format!("{head}; every other month of use has more in hand"),
        [] => format!("{head}; every other month of use balances"),
        others => format!("{head}; {} {} not balance either", listed(others), if others.len() > 1 { "do" } else { "does" }),
    }
}

fn working(at: usize, month: &Month) -> Vec<String> {
    let (sun, driven) = (figure(month.sun.value(), 1), figure(month.driven, 1));
    let (load, lost) = (figure(month.load.value(), 1), figure(month.lost, 1));
    vec![
        format!("{}, a day: {sun} Wh sun + {driven} Wh driving = {} Wh", month_name(at), number(sun.get() + driven.get(), 1)),
        format!("{load} Wh loads + {lost} Wh lost in batteries = {} Wh", number(load.get() + lost.get(), 1)),
    ]
}

fn ways_out(house: &House<'_>, at: usize, month: &Month) -> Vec<check::Proposal> {
    let is_enough = |house: &House<'_>| house.hardest_month().is_some_and(|(_, month)| balances(month));
    let (sun, load) = (month.sun.value(), month.load.value());
    // What the month wants at its far end, as multiples of what it has.
    let room = (takes(month) - gets(month)).sd() * quantity::Z95;
    let short = (takes(month).value() - gets(month).value() + room).max(takes(month).value() / GOAL - gets(month).value());
    [
        ways_out::more_panels(house, 1.0 + short / sun, is_enough),
        ways_out::lift_panels(house, is_enough),
        ways_out::fewer_hours(house, at, 1.0 - short / load, is_enough),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Whether the month balances with the reserve that every way out aims at.
fn balances(month: &Month) -> bool {
    let (takes, gets) = (takes(month), gets(month));
    has_reserve(&gets, &takes)
}
