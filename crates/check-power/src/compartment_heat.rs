//! power/compartment-heat: does what is shut into a locker get too hot?
//!
//! demand      air in the locker, °C: all that it holds at its load, walls and vents carrying the heat off
//! capacity    the lowest highest-air of the plates of what it holds; a usual one where a plate is silent
//! states      once: in the warmest room
//! leaves out  fans, sun on the locker's wall, batteries' own warmth

use std::borrow::Cow;

use check::draft::GOAL;
use check::subject::each_or_missing;
use check::working::{listed, number};
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Verdict, Words};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_facts::power::KELVIN;
use rig_model::path;

use crate::shut_in::{self, ShutIn};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/compartment-heat"),
    question: Cow::Borrowed("Does what is shut into a locker get too hot?"),
    words: Words::new("warms its air to", "may stand in"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["locker.room", "locker.area", "locker.vent_low", "locker.vent_high", "locker.vent_height"]),
    uses: List::Static(&[
        "locker.holds",
        "locker.u",
        "inverter.max_air",
        "inverter.efficiency",
        "inverter.idle",
        "inverter.voltage",
        "portable.max_air",
        "portable.voltage",
        "load.power",
        "load.current",
        "load.duty",
        "load.on",
        "load.count",
        "load.from",
        "load.to",
        "load.months",
        "load.when",
        "load.kind",
        "load.power_factor",
        "load.through",
        "charger.kind",
        "charger.current",
        "charger.voltage",
        "charger.efficiency",
        "converter.current",
        "converter.voltage",
        "converter.efficiency",
        "controller.efficiency",
        "panel.rated",
        "panel.count",
        "panel.controller",
    ]),
    limits: List::Static(&["power/locker-air"]),
    formula: List::Static(&[
        "heat = W taken - W given of each thing; walls: m2 x W/m2K x K of rise",
        "air through two openings: 3600 x 0.6 x m2 / root(2) x root(2 x 9.80665 x m of height x K of rise / K of room) m3/h, 0.34 Wh/m3K",
    ]),
    cautions: List::Static(&[
        "hot wires and cells start fires: nothing loose or burnable in a locker with electrics, its vents never covered",
        "mains voltage kills; the local electrical code and a licensed electrician come first",
    ]),
};

/// Does what is shut in get too hot?
#[derive(Debug)]
pub struct CompartmentHeat;

impl Check for CompartmentHeat {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let lockers = shut_in::lockers(cx);
        each_or_missing(cx, &CARD, "lockers", "locker", lockers.iter().map(|locker| answer(cx, locker)))
    }
}

/// The lowest highest-air of what a locker holds, or the usual one where something with a plate does not tell it: its path.
fn bounds(cx: &Context, locker: &ShutIn<'_>) -> (Vec<Held>, Option<Gap>) {
    let rig = cx.rig();
    let holds = |name: &String| locker.entry.holds.iter().any(|held| held == name);
    let inverters = rig.inverter.iter().enumerate().filter(|(_, one)| holds(&one.name));
    let units = rig.portable.iter().enumerate().filter(|(_, one)| holds(&one.name));
    let paths = inverters
        .map(|(index, one)| path::of("inverter", &one.name, index))
        .chain(units.map(|(index, one)| path::of("portable", &one.name, index)));
    let (mut held, mut open) = (Vec::new(), None);
    for path in paths {
        match cx.facts().power().told(&format!("{path}.max_air")) {
            Ok(most) => held.push(Held::plate("highest air by the plate", most.clone(), Dimension::Temperature)),
            Err(gap) => open = open.or(Some(gap)),
        }
    }
    if open.is_some() || held.is_empty() {
        held.extend(cx.limits("power/locker-air"));
    }
    (held, open)
}

fn answer(cx: &Context, locker: &ShutIn<'_>) -> Finding {
    let begin = || CARD.about(cx, locker.entry.name.clone()).at(&locker.path);
    let warms = match locker.warms(cx) {
        Ok(warms) => warms,
        Err(gap) => return begin().blocked(&gap),
    };
    if warms.is_empty() {
        return begin().not_applicable("nothing in it gets warm to speak of");
    }
    let heat = Estimate::sum(warms.iter().map(|one| &one.heat));
    let shut = Estimate::exact(0.0);
    // A vent that is not told is none until it is.
    let (opening, no_vent) = match locker.opening(cx) {
        Ok(opening) => (opening, None),
        Err(gap) => (shut, Some(gap)),
    };
    let air = match locker.air(cx, &heat, &opening) {
        Ok(air) => air,
        Err(gap) => return begin().blocked(&gap),
    };
    let (held, no_plate) = bounds(cx, locker);
    let open = no_vent.clone().or(no_plate);
    let draft = begin().compare(&air, &held);
    if let (Some(gap), true) = (&open, draft.verdict() != Verdict::Pass) {
        let shut = if no_vent.is_some() { "shut, its air gets" } else { "its air gets" };
        return begin().blocked(&Gap::because(gap.path.clone(), format!("{shut} to {} °C", number(air.value() - KELVIN, 0))));
    }
    let names = listed(&warms.iter().map(|one| one.name.as_str()).collect::<Vec<_>>());
    let even = match (&open, &no_vent) {
        (None, _) => "",
        (Some(_), Some(_)) => ", even with no vent at all",
        (Some(_), None) => ", even where a plate is silent",
    };
    draft
        .sentence(format!("with {names} at work{even}"))
        .working(|| locker.lines(cx, &warms, &opening, &air))
        .remedies(|goal| {
            let most = goal.capacity.value();
            let room = cx.facts().power().told(&format!("{}.room", locker.path)).map_or(most, Estimate::value);
            let cool = |air: &Estimate| air.interval95().1 <= most && air.value() <= room + GOAL * (most - room);
            locker.vents(cx, &heat, cool).into_iter().collect()
        })
        .done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    /// 3.5 of the power reference (computed outside this project): 65 W in 1.2 m2 of U 3 are 18 K, two openings of 50 cm2
    /// 0.4 m apart 13 K.
    #[test]
    fn vents_cool_by_the_reference() {
        let locker = |vents: &str| {
            let text = format!(
                r#"
                [[inverter]]
                name = "i"
                max_air = "50 °C"
                [[load]]
                name = "kettle"
                on = "ac"
                power = {{ value = "1000 W", tolerance = "0 W" }}
                power_factor = 1
                [[locker]]
                name = "bench"
                holds = "i"
                area = {{ value = "1.2 m2", tolerance = "0 m2" }}
                u = {{ value = "3 W/m2K", tolerance = "0 W/m2K" }}
                room = {{ value = "20 °C", tolerance = "0 K" }}
                {vents}
                "#
            );
            first(&CompartmentHeat, &text).demand.map_or(0.0, |demand| demand.value.0 - KELVIN - 20.0)
        };
        assert!((locker("") - 18.06).abs() < 0.01, "{}", locker(""));
        let vented = locker("vent_low = \"50 cm2\"\nvent_high = \"50 cm2\"\nvent_height = \"0.4 m\"");
        assert!((vented - 13.0).abs() < 0.5, "{vented}");
    }
}
