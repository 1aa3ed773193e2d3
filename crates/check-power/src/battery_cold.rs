//! power/battery-cold: does frost harm the battery?
//!
//! demand      lithium: hours of a year in which the sun would charge cells that are frozen; lead-acid: how cold its box gets (K)
//! capacity    lithium: none, unless it refuses to be charged; lead-acid: where its acid freezes at the floor of its charge, at
//!             least
//! states      once for each bank and set of what is on board when camped
//! leaves out  chargers other than the sun's; portable units, which people carry inside
//!
//! A box in a cold rig follows the mean of the day, not the night's lowest. All months count: frozen cells are harmed whether
//! anybody lives in the rig or not.

use std::borrow::Cow;

use basis::Basis;
use check::remedy::Effort;
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Proposal, Scope, Words};
use physics::battery::chemistry;
use physics::store_facts;
use quantity::{Dimension, Estimate};
use rig_facts::power::{Bank, BankYear, KELVIN, Run};
use rig_facts::tables;
use rig_model::model::{Battery, Chemistry, Stands, YesNo};
use rig_model::{Edit, EditOp, Free};

use crate::house::{House, NO_INPUT, every_bank, on_year};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/battery-cold"),
    question: Cow::Borrowed("Does frost harm the battery?"),
    words: Words::new("gets down to", "bears"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["battery.chemistry", "load.power", "panel.rated", "site.latitude"]),
    uses: on_year!["battery.cold_protected", "battery.temperature", "site.coldest"],
    limits: List::Static(&[]),
    formula: List::Static(&[
        "lithium: hours of drawn years with more sun than load and a mean of the day below 0 °C, over the number of years",
        "lead-acid: its acid freezes the earlier the emptier it is; the coldest of its box against that at its floor",
    ]),
    cautions: List::Static(&[
        "a battery that has frozen is never charged: lithium cells short later and burn, lead-acid cases burst",
        "batteries give thousands of amperes and start fires: fuse at the post, no ring or tool across it",
    ]),
};

/// Does frost harm the battery?
#[derive(Debug)]
pub struct BatteryCold;

impl Check for BatteryCold {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_bank(cx, &CARD, answer)
    }
}

fn answer<'c>(house: &House<'c>, (bank, year): (&'c Bank, &'c BankYear), draft: Draft<'c>) -> Finding {
    if bank.portable {
        return draft.not_applicable("people carry it inside; leave it there in frost");
    }
    let Some(entry) = house.cx.rig().battery.iter().find(|battery| battery.name == bank.name) else {
        return draft.missing("battery");
    };
    match bank.chemistry {
        None => draft.missing(format!("{}.chemistry", bank.path)),
        Some(word) if word.is_lead() => lead(house.cx, bank, entry, draft),
        Some(word) => lithium(house.cx, (bank, word), entry, year.usual(), draft),
    }
}

/// How cold its box gets, where that is told.
fn box_temperature<'c>(cx: &'c Context, bank: &Bank) -> Option<&'c Estimate> {
    cx.facts().power().told(&format!("{}.temperature", bank.path)).ok()
}

fn lithium<'c>(cx: &'c Context, (bank, word): (&Bank, Chemistry), entry: &Battery, run: &Run, draft: Draft<'c>) -> Finding {
    if entry.heated == Some(YesNo::Yes) {
        return draft.require(Holds::Yes, "it warms itself before it is charged").done();
    }
    if entry.stands == Some(Stands::Inside) {
        return draft.require(Holds::Yes, "it stands in the room; unheated in frost, disconnect the panels").done();
    }
    let path = format!("{}.cold_protected", bank.path);
    let ways_out = || vec![heated(bank), protect(path.clone())];
    if let Some(coldest) = box_temperature(cx, bank) {
        let warm = Estimate::exact(warm_from() + KELVIN);
        let holds = coldest.interval95().0 >= warm.value();
        if holds || entry.cold_protected == Some(YesNo::No) {
            let held = [least("coldest that cells may be charged at", warm, "battery/charge-by-temperature")];
            return draft.compare(coldest, &held).remedies(|_| ways_out()).done();
        }
    }
    let (hours, years) = frozen_hours(run, word);
    if hours <= 0.0 {
        return draft.require(Holds::Yes, format!("in none of {years} years would the sun charge frozen cells")).done();
    }
    let words =
        format!("{} hours a year the sun would charge frozen cells, by the mean of the day outside", number(hours / years, 0));
    let lines = move || {
        let (hours, years) = (figure(hours, 0), figure(years, 0));
        [format!("{hours} h / {years} years = {} h a year", number(hours.get() / years.get(), 1))]
    };
    match entry.cold_protected {
        Some(YesNo::Yes) => {
            let words = format!("{words}; it refuses: what is lost counts in power/short-days");
            draft.require(Holds::Yes, words).working(lines).done()
        }
        Some(YesNo::No) => {
            let draft = draft.require(Holds::No, format!("{words}, and nothing stops it")).working(lines);
            ways_out().into_iter().fold(draft, |draft, way| draft.proposal(|| Some(way))).done()
        }
        _ => draft.require(Holds::Unknown(path), format!("{words}: does it refuse?")).working(lines).done(),
    }
}

/// The coldest that lithium cells may be charged at, °C.
fn warm_from() -> f64 {
    let table = store_facts::table("battery/charge-by-temperature");
    table.and_then(|table| table.number("band", "freezing", "celsius")).unwrap_or(f64::NAN)
}

/// Held at least at a temperature, which a table of the kernels gives.
fn least(name: &str, kelvin: Estimate, table: &str) -> Held {
    let basis = store_facts::table(table).map_or_else(Basis::common_practice, |table| table.basis.clone());
    Held::at_least(name, kelvin, Dimension::Temperature, basis)
}

/// Hours of all its years with more sun than load while the cells are frozen, and how many years there are.
fn frozen_hours(run: &Run, word: Chemistry) -> (f64, f64) {
    let frozen = |rate: f32| f64::from(rate) <= 0.0;
    let warm = chemistry::charge_rate(word.word(), warm_from());
    let in_year = |year: &rig_facts::power::run::YearHours| {
        let hours = year.rate.iter().flatten().zip(year.sun.iter().zip(&year.load));
        hours.filter(|(rate, (sun, load))| frozen(**rate) && warm > 0.0 && sun > load).count()
    };
    (run.years.iter().map(in_year).sum::<usize>() as f64, run.years.len() as f64)
}

fn yes(path: String) -> Vec<Edit> {
    vec![Edit { path, op: EditOp::Set, from: None, to: Some(Free::Bool(true)) }]
}

fn heated(bank: &Bank) -> Proposal {
    Proposal {
        text: format!("a heater under {} that warms it before it is charged, and insulation round it", bank.name),
        effort: Effort::PartsToBuy,
        edits: yes(format!("{}.heated", bank.path)),
    }
}

fn protect(path: String) -> Proposal {
    Proposal {
        text: "a switch by the cells' own temperature that keeps every charger off below 0 °C".to_owned(),
        effort: Effort::PartsToBuy,
        edits: yes(path),
    }
}

/// Where acid of that charge freezes, K: anywhere between what two sources of its density give.
fn freezing(share: f64) -> Estimate {
    let (low, high) = chemistry::freezing_c(share).unwrap_or((f64::NAN, f64::NAN));
    Estimate::input(NO_INPUT, (low + high) / 2.0 + KELVIN, (high - low) / 2.0 / f64::sqrt(3.0))
}

fn lead<'c>(cx: &'c Context, bank: &Bank, entry: &Battery, draft: Draft<'c>) -> Finding {
    if entry.stands == Some(Stands::Inside) && box_temperature(cx, bank).is_none() {
        return draft.require(Holds::Yes, "it stands in the room; unheated in frost, leave it full").done();
    }
    let power = cx.facts().power();
    let held = |floor: f64| [least("where its acid freezes at the floor of its charge", freezing(floor), "battery/freezing")];
    let words =
        || format!("empty to {} %, its acid freezes near {} °C", number(bank.floor * PERCENT, 0), celsius(&freezing(bank.floor)));
    let told = box_temperature(cx, bank).or_else(|| power.told("site.coldest").ok());
    let Some(coldest) = told else {
        let usual = tables::usual("living/cold", "what", "coldest", "number");
        let even = Estimate::exact(usual + KELVIN);
        if freezing(bank.floor).interval95().1 > even.value() {
            return draft.missing("site.coldest");
        }
        return draft.compare(&even, &held(bank.floor)).sentence(format!("{}; even at {usual} °C it does not", words())).done();
    };
    draft
        .compare(coldest, &held(bank.floor))
        .sentence(words())
        .working(|| working(coldest, &freezing(bank.floor)))
        .remedies(|_| fuller(bank, coldest).into_iter().collect())
        .done()
}

const PERCENT: f64 = 100.0;

fn celsius(kelvin: &Estimate) -> String {
    number(kelvin.value() - KELVIN, 0)
}

fn working(coldest: &Estimate, freezing: &Estimate) -> [String; 1] {
    let (coldest, freezing) = (figure(coldest.value() - KELVIN, 1), figure(freezing.value() - KELVIN, 1));
    [format!("in hand: ({coldest}) - ({freezing}) = {} K", number(coldest.get() - freezing.get(), 1))]
}

/// The floor is raised in such steps. A choice of this project: meters are not finer.
const STEP: f64 = 0.05;
const STEPS: u32 = 20;

/// A higher floor, at which the acid stays liquid.
fn fuller(bank: &Bank, coldest: &Estimate) -> Option<Proposal> {
    let first = (bank.floor / STEP).floor() as u32 + 1;
    let liquid = |floor: f64| (coldest - &freezing(floor)).interval95().0 >= 0.0;
    let to = (first..STEPS).map(|step| f64::from(step) * STEP).find(|floor| liquid(*floor))?;
    let percent = number(to * PERCENT, 0);
    Some(Proposal {
        text: format!("never empty {} below {percent} % in frost", bank.name),
        effort: Effort::Minutes,
        edits: vec![Edit {
            path: format!("{}.floor", bank.path),
            op: EditOp::Set,
            from: Some(Free::Text(format!("{} %", number(bank.floor * PERCENT, 0)))),
            to: Some(Free::Text(format!("{percent} %"))),
        }],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The trade's table by hand: at half charge two sources give 1.21 and 1.19 kg/L; 1.19 lies 0.8 of the way from -15 to
    /// -27 °C, -24.6 °C, and 1.21 a fifth of the way from -27 to -52 °C, -32 °C.
    #[test]
    fn half_empty_acid_freezes_between_two_sources() {
        let at = freezing(0.5);
        assert!((at.value() - KELVIN - (-24.6 - 32.0) / 2.0).abs() < 1e-9, "{}", at.value());
        assert!((at.sd() - 7.4 / 2.0 / f64::sqrt(3.0)).abs() < 1e-9);
        // Emptier freezes earlier.
        assert!(freezing(0.2).value() > at.value());
    }

    #[test]
    fn lithium_is_charged_from_zero_up() {
        assert_eq!(warm_from(), 0.0);
    }
}
