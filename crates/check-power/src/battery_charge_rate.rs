//! power/battery-charge-rate: is a battery charged faster than it bears?
//!
//! demand      amperes of all that charges it at once: sun and the alternator, or sun and mains; chargers from another
//!             battery with both
//! capacity    the label's charging current, else what is usual for its chemistry
//! states      once: full sun, chargers at their rating
//! leaves out  loads that take some of it; frost (`power/battery-cold`); what the alternator bears (`power/vehicle-charging`)

use std::borrow::Cow;

use check::draft::has_reserve;
use check::remedy::{Effort, Proposal};
use check::subject::each_or_missing;
use check::working::{figure, listed, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Words, edits};
use physics::battery::chemistry::{self, Quantity};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_facts::tables::usual;
use rig_model::model::ChargerKind;
use rig_model::path;

use crate::banks::{self, Unit};
use crate::unsaid::{AMPERE_STEP, End, judge, lower};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/battery-charge-rate"),
    question: Cow::Borrowed("Is a battery charged faster than it bears?"),
    words: Words::new("is charged with", "may be charged with"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["charger.current"]),
    uses: List::Static(&[
        "battery.chemistry",
        "battery.capacity",
        "battery.max_charge",
        "battery.voltage",
        "battery.energy",
        "battery.in_series",
        "battery.in_parallel",
        "battery.count",
        "battery.serves",
        "charger.kind",
        "charger.charges",
        "charger.from",
        "controller.charges",
        "controller.max_current",
        "panel.rated",
        "panel.count",
        "panel.controller",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "of a controller the less of its rating and W of its panels / charging voltage",
        "charged with = controllers + chargers from mains, or controllers + chargers from the alternator",
    ]),
    cautions: List::Static(&[
        "lead-acid gives off explosive gas when it is charged hard, and dries out",
        "a battery gives thousands of amperes into a spanner: insulated tools, no rings",
    ]),
};

/// Is a battery charged faster than it bears?
#[derive(Debug)]
pub struct BatteryChargeRate;

impl Check for BatteryChargeRate {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        each_or_missing(cx, &CARD, "batteries", "battery", banks::all(cx).map(|unit| answer(cx, &unit)))
    }
}

fn begin<'c>(cx: &'c Context, unit: &Unit<'_>) -> Draft<'c> {
    CARD.about(cx, unit.entry.name.clone()).at(unit.path())
}

/// What a charger runs from.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Feed {
    Sun,
    Alternator,
    Mains,
    Battery,
}

/// What a charger says it runs from, where that is the engine.
const ALTERNATOR: &str = "alternator";

/// One source of charge.
struct Charges {
    name: String,
    path: String,
    from: Feed,
    amps: Estimate,
    line: String,
}

fn all(cx: &Context, unit: &Unit<'_>) -> Result<Vec<Charges>, Gap> {
    let mut found = controllers(cx, unit)?;
    for (index, charger) in cx.rig().charger.iter().enumerate() {
        if banks::feeding(cx, charger.charges.as_ref()).is_none_or(|one| one.index != unit.index) {
            continue;
        }
        let path = path::of("charger", &charger.name, index);
        let from = match charger.from.as_deref() {
            Some(name) if banks::named(cx, name).is_some() => Feed::Battery,
            Some(ALTERNATOR) => Feed::Alternator,
            None if matches!(charger.kind, Some(ChargerKind::DcDc | ChargerKind::Direct)) => Feed::Alternator,
            _ => Feed::Mains,
        };
        if charger.kind == Some(ChargerKind::Direct) && charger.current.is_none() {
            let why = "a relay or a cable limits no current: what it charges with is what the alternator gives";
            return Err(Gap::because(format!("{path}.current"), why));
        }
        let amps = cx.facts().power().told(&format!("{path}.current"))?.clone();
        let line = format!("{}: {} A", charger.name, figure(amps.value(), 1));
        found.push(Charges { name: charger.name.clone(), path, from, amps, line });
    }
    Ok(found)
}

/// Controllers that charge it: as much as their panels give, their rating at most.
fn controllers(cx: &Context, unit: &Unit<'_>) -> Result<Vec<Charges>, Gap> {
    let (rig, power) = (cx.rig(), cx.facts().power());
    let mut found = Vec::new();
    for (index, controller) in rig.controller.iter().enumerate() {
        let named = controller.charges.contains(&unit.entry.name);
        let only = controller.charges.is_empty() && banks::feeding(cx, None).is_some_and(|one| one.index == unit.index);
        if !(named || only) {
            continue;
        }
        let path = path::of("controller", &controller.name, index);
        let rated = power.told(&format!("{path}.max_current")).cloned();
        let panels = power.panels().iter().filter(|panel| panel.controller == Some(index));
        let watts = panels.map(|panel| panel.watts.clone()).collect::<Result<Vec<_>, _>>();
        let sun = match (watts, unit.volts(cx)) {
            (Ok(watts), Ok(volts)) if !watts.is_empty() => {
                let charging = volts.scale(usual("living/battery", "what", "charging voltage", "number"));
                Some((Estimate::sum(watts.iter()), charging))
            }
            _ => None,
        };
        let (amps, line) = match (rated, sun) {
            (Ok(rated), Some((watts, volts))) if (&watts / &volts).value() < rated.value() => {
                from_sun(&controller.name, &watts, &volts)
            }
            (Ok(rated), _) => {
                let line = format!("{}: {} A, its rating", controller.name, figure(rated.value(), 1));
                (rated, line)
            }
            (Err(_), Some((watts, volts))) => from_sun(&controller.name, &watts, &volts),
            (Err(gap), None) => return Err(gap),
        };
        found.push(Charges { name: controller.name.clone(), path, from: Feed::Sun, amps, line });
    }
    Ok(found)
}

fn from_sun(name: &str, watts: &Estimate, volts: &Estimate) -> (Estimate, String) {
    let (watt, volt) = (figure(watts.value(), 1), figure(volts.value(), 2));
    let line = format!("{name}: {watt} W / {volt} V = {} A", number(watt.get() / volt.get(), 2));
    (watts / volts, line)
}

fn answer(cx: &Context, unit: &Unit<'_>) -> Finding {
    let all = match all(cx, unit) {
        Ok(all) => all,
        Err(gap) => return begin(cx, unit).blocked(&gap),
    };
    if all.is_empty() {
        return begin(cx, unit).not_applicable("nothing that is told charges it");
    }
    let told = unit.told(cx, "max_charge").is_ok();
    if !told && !unit.is_house() {
        return begin(cx, unit)
            .not_applicable("a starter battery takes what an alternator gives; its label would tell of a lower limit");
    }
    // The engine is off where the lead is plugged in.
    let group = |without: Feed| all.iter().filter(|one| one.from != without).collect::<Vec<_>>();
    let sum = |group: &[&Charges]| Estimate::sum(group.iter().map(|one| &one.amps));
    let (parked, driving) = (group(Feed::Alternator), group(Feed::Mains));
    let most = if sum(&driving).value() > sum(&parked).value() { driving } else { parked };
    let amps = sum(&most);
    let may = |end| unit.current(cx, "max_charge", Quantity::Charge, end);
    let (worst, best) = match (may(End::Worst), may(End::Best)) {
        (Ok(worst), Ok(best)) => (worst, best),
        (Err(gap), _) | (_, Err(gap)) => return begin(cx, unit).blocked(&gap),
    };
    let open = (!told && worst.value() != best.value()).then(|| Gap::at(format!("{}.max_charge", unit.path())));
    let held = |end| {
        let may = if end == End::Worst { &worst } else { &best };
        if told {
            Held::plate("its label", may.clone(), Dimension::Current)
        } else {
            Held::at_most(
                "usual of its chemistry",
                may.clone(),
                Dimension::Current,
                banks::basis_of_usual(unit, Quantity::Charge),
            )
        }
    };
    let names = listed(&most.iter().map(|one| one.name.as_str()).collect::<Vec<_>>());
    let Some(judged) = judge(open.as_ref(), |end| begin(cx, unit).compare(&amps, &[held(end)])) else {
        let path = open.map_or_else(|| "battery.max_charge".to_owned(), |gap| gap.path);
        let (now, low, high) = (number(amps.value(), 0), number(worst.value(), 0), number(best.value(), 0));
        let why = format!("{names} charge it with {now} A; usual of its chemistry is {low} to {high} A at most");
        return begin(cx, unit).blocked(&Gap::because(path, why));
    };
    let even = if judged.even { ", even at the least that is usual of its chemistry" } else { "" };
    let sentence = format!("{names} at once{even}{}", too_little(cx, unit, &amps));
    judged
        .draft
        .sentence(sentence)
        .working(|| {
            let mut lines: Vec<String> = most.iter().map(|one| one.line.clone()).collect();
            if most.len() > 1 {
                let parts: Vec<_> = most.iter().map(|one| figure(one.amps.value(), 2)).collect();
                let words: Vec<String> = parts.iter().map(ToString::to_string).collect();
                lines.push(format!("{} = {} A", words.join(" + "), number(parts.iter().map(|part| part.get()).sum(), 2)));
            }
            lines
        })
        .remedies(|goal| {
            // Where the label is silent a way out holds at the least that is usual.
            let rows = unit.rows();
            let more = unit.more_rows_where(|count| has_reserve(&worst.scale(f64::from(count) / f64::from(rows)), &goal.demand));
            turned_down(cx, &most, &goal.demand, &worst).into_iter().chain(more).collect()
        })
        .done()
}

/// The largest charger, set lower.
fn turned_down(cx: &Context, most: &[&Charges], demand: &Estimate, capacity: &Estimate) -> Option<Proposal> {
    let chargers = most.iter().filter(|one| one.from != Feed::Sun);
    let largest = chargers.reduce(|most, other| if other.amps.value() > most.amps.value() { other } else { most })?;
    let now = largest.amps.value();
    let to = lower(now).find(|amps| has_reserve(capacity, &demand.offset(amps - now)))?;
    let words = edits::to_step(cx, to, Dimension::Current, AMPERE_STEP);
    Some(Proposal {
        text: format!("set \"{}\" to {words}, or take one of that size", largest.name),
        effort: Effort::Minutes,
        edits: vec![edits::set(format!("{}.current", largest.path), Some(now), to, Dimension::Current)],
    })
}

/// What is said of a flooded battery that is charged too gently.
fn too_little(cx: &Context, unit: &Unit<'_>, amps: &Estimate) -> String {
    let least = || {
        let least = chemistry::usual(unit.entry.chemistry?.word(), Quantity::ChargeLeast)?;
        let wanted = unit.amp_hours(cx).ok()?.scale(least.low);
        (amps.value() < wanted.value()).then(|| number(wanted.value(), 0))
    };
    least().map_or_else(String::new, |wanted| {
        format!("; below {wanted} A its acid settles in layers, so charge it harder now and then")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;
    use check::Verdict;

    #[test]
    fn the_engine_and_the_lead_are_not_added() {
        let text = r#"
            [[battery]]
            name = "b"
            max_charge = "60 A"
            [[charger]]
            name = "shore"
            kind = "mains"
            current = "40 A"
            charges = "b"
            [[charger]]
            name = "drive"
            kind = "dc-dc"
            current = "30 A"
            from = "alternator"
            charges = "b"
            [[controller]]
            name = "sun"
            max_current = "15 A"
        "#;
        let found = first(&BatteryChargeRate, text);
        assert_eq!(found.verdict, Verdict::Pass);
        assert_eq!(found.demand.map(|demand| demand.value.0), Some(55.0));
    }

    #[test]
    fn a_flooded_battery_charged_gently_hears_of_layers() {
        let text = r#"
            [[battery]]
            name = "b"
            chemistry = "flooded"
            voltage = "12 V"
            capacity = "200 Ah"
            [[charger]]
            name = "small"
            kind = "mains"
            current = "5 A"
        "#;
        // A twentieth of 200 Ah is 10 A.
        assert!(first(&BatteryChargeRate, text).sentence.is_some_and(|said| said.contains("below 10 A its acid settles")));
    }
}
