//! power/centre-tap: is 12 V taken from one of two batteries in series?
//!
//! demand      amperes taken from the tap where an equaliser stands on the pair; else charge a day as a share of the capacity
//! capacity    the equaliser's rating; else a small share. What is never switched off fails without one
//! states      once
//! leaves out  what a converter from the whole bank bears

use std::borrow::Cow;
use std::collections::BTreeMap;

use check::draft::GOAL;
use check::remedy::{Effort, Proposal};
use check::subject::each_or_missing;
use check::working::{figure, listed, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Words, edits};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{Bus, ConverterKind, Load, LoadKind};
use rig_model::{Edit, EditOp, Free, path};

use crate::banks::{self, Unit};
use crate::shut_in::bus_volts;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/centre-tap"),
    question: Cow::Borrowed("Is 12 V taken from one of two batteries in series?"),
    words: Words::new("gives from its middle", "may give"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["battery.voltage", "load.tap"]),
    uses: List::Static(&[
        "converter.current",
        "load.power",
        "battery.capacity",
        "battery.name",
        "battery.energy",
        "battery.in_series",
        "battery.in_parallel",
        "battery.count",
        "battery.serves",
        "converter.kind",
        "converter.battery",
        "load.current",
        "load.count",
        "load.on",
        "load.kind",
        "load.hours",
        "load.duty",
        "load.daily",
        "load.wanted",
        "load.through",
        "load.battery",
    ]),
    limits: List::Static(&["power/tap-share"]),
    formula: List::Static(&["A of a load = count x W / 12 V; share = Ah a day / Ah of the bank"]),
    cautions: List::Static(&[
        "a battery gives thousands of amperes into a spanner: the lead between the two is as live as the others",
        "the battery that is overcharged gives off explosive gas",
    ]),
};

/// Is 12 V taken from one of two batteries in series?
#[derive(Debug)]
pub struct CentreTap;

impl Check for CentreTap {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        each_or_missing(cx, &CARD, "batteries", "battery", banks::all(cx).map(|unit| answer(cx, &unit)))
    }
}

/// Loads of 12 V that name no way to them but the battery, and those that go through a converter on it.
struct Taken<'c> {
    straight: Vec<(String, &'c Load)>,
    through: Vec<&'c str>,
}

fn taken<'c>(cx: &'c Context, unit: &Unit<'_>) -> Taken<'c> {
    let rig = cx.rig();
    let mine = |name: Option<&String>| banks::feeding(cx, name).is_some_and(|one| one.index == unit.index);
    let low = rig.load.iter().enumerate().filter(|(_, load)| load.on == Some(Bus::V12) || load.tap == Some(true));
    let (mut straight, mut through) = (Vec::new(), Vec::new());
    for (index, load) in low {
        match &load.through {
            None if mine(load.battery.as_ref()) => straight.push((path::of("load", &load.name, index), load)),
            Some(name) => {
                let converter = rig.converter.iter().find(|one| one.name == *name);
                through.extend(converter.filter(|one| mine(one.battery.as_ref())).map(|one| one.name.as_str()));
            }
            None => {}
        }
    }
    through.dedup();
    Taken { straight, through }
}

fn answer(cx: &Context, unit: &Unit<'_>) -> Finding {
    let begin = || CARD.about(cx, unit.entry.name.clone()).at(unit.path());
    let taken = taken(cx, unit);
    if taken.straight.is_empty() && taken.through.is_empty() {
        return begin().not_applicable("nothing that is told takes 12 V of it");
    }
    let volts = match unit.volts(cx) {
        Ok(volts) => volts.value(),
        Err(gap) => return begin().blocked(&gap),
    };
    let low = bus_volts(Bus::V12).unwrap_or(f64::NAN);
    // Between one battery of 12 V, 14.6 V full, and two of them.
    if volts < low + low / 2.0 {
        return begin().not_applicable("it is a bank of 12 V");
    }
    if taken.straight.is_empty() {
        return begin().require(Holds::Yes, format!("its 12 V comes through {}", listed(&taken.through))).done();
    }
    if let Some((path, load)) = taken.straight.iter().find(|(_, load)| load.tap != Some(true)) {
        let name = &load.name;
        let why = format!("{name} runs on 12 V and the bank has {} V: from its middle, or through what?", number(volts, 0));
        let key = if load.tap.is_none() { "tap" } else { "through" };
        return begin().blocked(&Gap::because(format!("{path}.{key}"), why));
    }
    let amps = match taken.straight.iter().map(|(path, load)| amps(cx, path, load)).collect::<Result<Vec<_>, _>>() {
        Ok(amps) => amps,
        Err(gap) => return begin().blocked(&gap),
    };
    let sum = Estimate::sum(amps.iter().map(|(amps, _)| amps));
    let names = listed(&taken.straight.iter().map(|(_, load)| load.name.as_str()).collect::<Vec<_>>());
    let equaliser = cx.rig().converter.iter().enumerate().find(|(_, one)| {
        let mine = banks::feeding(cx, one.battery.as_ref()).is_some_and(|one| one.index == unit.index);
        one.kind == Some(ConverterKind::Equaliser) && mine
    });
    if let Some((index, one)) = equaliser {
        let path = path::of("converter", &one.name, index);
        let rated = match cx.facts().power().told(&format!("{path}.current")) {
            Ok(rated) => rated.clone(),
            Err(gap) => return begin().blocked(&gap),
        };
        let held = Held::plate("equaliser's plate", rated.clone(), Dimension::Current);
        return begin()
            .compare(&sum, &[held])
            .sentence(format!("{names}, all on at once, evened out by \"{}\"", one.name))
            .working(|| amps.iter().map(|(_, line)| line.clone()).collect::<Vec<_>>())
            .remedies(|goal| {
                let edit = |to| edits::set(format!("{path}.current"), Some(rated.value()), to, Dimension::Current);
                let to = size_for(&goal.demand);
                let words = edits::to_step(cx, to, Dimension::Current, AMPERE);
                let text = format!("an equaliser of {words} in place of \"{}\"", one.name);
                vec![Proposal { text, effort: Effort::PartsToBuy, edits: vec![edit(to)] }]
            })
            .done();
    }
    without_equaliser(cx, unit, begin(), &taken, &sum)
}

/// No equaliser stands on the pair.
fn without_equaliser(cx: &Context, unit: &Unit<'_>, draft: Draft<'_>, taken: &Taken<'_>, sum: &Estimate) -> Finding {
    let way_out = || equalise(cx, unit, sum);
    let standing = taken.straight.iter().find(|(_, load)| load.kind == Some(LoadKind::Standing));
    if let Some((_, load)) = standing {
        let sentence = format!(
            "{} is never off and drains one of the two: that one is never full, the other is overcharged, and the pair fails",
            load.name
        );
        return draft.require(Holds::No, sentence).proposal(|| Some(way_out())).done();
    }
    let low = bus_volts(Bus::V12).unwrap_or(f64::NAN);
    let of_load =
        |path: &str| cx.facts().power().loads().iter().find(|drawn| drawn.path == path).map(|drawn| drawn.daily.clone());
    let daily = taken.straight.iter().filter_map(|(path, _)| of_load(path)).collect::<Result<Vec<_>, _>>();
    let (daily, amp_hours) = match (daily, unit.amp_hours(cx)) {
        (Ok(daily), Ok(amp_hours)) => (daily, amp_hours),
        (Err(gap), _) | (_, Err(gap)) => return draft.blocked(&gap),
    };
    let taken_ah = Estimate::sum(daily.iter()).scale(1.0 / low);
    let share = &taken_ah / &amp_hours;
    let names = listed(&taken.straight.iter().map(|(_, load)| load.name.as_str()).collect::<Vec<_>>());
    draft
        .compare(&share, &cx.limits("power/tap-share"))
        .sentence(format!("{names}, every day, and nothing evens the two out"))
        .working(|| {
            let (wh, bank) = (figure(taken_ah.value() * low, 1), figure(amp_hours.value(), 1));
            let ah = figure(wh.get() / low, 2);
            let percent = number(ah.get() / bank.get() * PERCENT, 1);
            [format!("{wh} Wh / {low} V = {ah} Ah"), format!("{ah} Ah / {bank} Ah x {PERCENT} % = {percent} %")]
        })
        .remedies(|_| vec![way_out()])
        .done()
}

/// Per cent of one.
const PERCENT: f64 = 100.0;
/// Equalisers are sold in steps of so many amperes. A choice of this project.
const AMPERE_STEP: f64 = 5.0;
/// Words tell whole amperes.
const AMPERE: f64 = 1.0;

fn size_for(amps: &Estimate) -> f64 {
    edits::up_to_step((amps.value() / GOAL).max(amps.interval95().1), AMPERE_STEP)
}

/// Current of a load, all its pieces, and the line that works it out.
fn amps(cx: &Context, path: &str, load: &Load) -> Result<(Estimate, String), Gap> {
    let told = |key: &str| cx.facts().power().told(&format!("{path}.{key}"));
    let (count, low) = (f64::from(load.count.unwrap_or(1)), bus_volts(Bus::V12).unwrap_or(f64::NAN));
    if load.current.is_some() {
        let one = told("current")?;
        let shown = figure(one.value(), 2);
        return Ok((one.scale(count), format!("{}: {count} x {shown} A = {} A", load.name, number(count * shown.get(), 2))));
    }
    let one = told("power")?;
    let shown = figure(one.value(), 1);
    let line = format!("{}: {count} x {shown} W / {low} V = {} A", load.name, number(count * shown.get() / low, 2));
    Ok((one.scale(count / low), line))
}

/// An equaliser on the pair.
fn equalise(cx: &Context, unit: &Unit<'_>, amps: &Estimate) -> Proposal {
    let to = size_for(amps);
    let words = edits::to_step(cx, to, Dimension::Current, AMPERE);
    let text = |text: &str| Free::Text(text.to_owned());
    let name = format!("equaliser of {}", unit.entry.name);
    let table = BTreeMap::from([
        ("name".to_owned(), text(&name)),
        ("kind".to_owned(), text(ConverterKind::Equaliser.word())),
        ("current".to_owned(), text(&quantity::show_exact(to, Dimension::Current, quantity::System::Metric))),
        ("battery".to_owned(), text(&unit.entry.name)),
    ]);
    Proposal {
        text: format!("an equaliser of {words} on \"{}\"; better a converter from the whole bank", unit.entry.name),
        effort: Effort::PartsToBuy,
        edits: vec![Edit { path: "converter".to_owned(), op: EditOp::Add, from: None, to: Some(Free::Table(table)) }],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;
    use check::Verdict;

    fn with(load: &str, more: &str) -> Finding {
        let text = format!(
            "[[battery]]\nname = \"b\"\nvoltage = \"12 V\"\ncapacity = \"200 Ah\"\nin_series = 2\n\
             [[load]]\nname = \"radio\"\non = \"12 V\"\ntap = true\n{load}\n{more}"
        );
        first(&CentreTap, &text)
    }

    #[test]
    fn a_standing_load_on_the_tap_fails_and_a_small_one_may_be() {
        assert_eq!(with("power = \"1 W\"\nkind = \"standing\"", "").verdict, Verdict::Fail);
        // By hand: 24 W for 1 h are 2 Ah, 1 % of 200 Ah.
        let small = with("power = \"24 W\"\nhours = \"1 h\"", "");
        assert_eq!(small.verdict, Verdict::Pass);
        assert!(small.demand.is_some_and(|share| (share.value.0 - 0.01).abs() < 1e-9));
    }

    #[test]
    fn an_equaliser_carries_what_is_taken() {
        let equaliser = "[[converter]]\nname = \"e\"\nkind = \"equaliser\"\ncurrent = \"10 A\"";
        let found = with("power = \"60 W\"\nkind = \"standing\"", equaliser);
        assert_eq!((found.verdict, found.utilisation.map(|used| used.0)), (Verdict::Pass, Some(0.5)));
    }
}
