//! Power: which battery, controller, inverter, inlet or thing one table names.

use super::Checker;
use super::references::{Known, known, known_things};
use crate::model::{Battery, Trade};

/// Names that the power tables speak of.
pub(super) fn references(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let batteries = known("battery", rig.battery.iter().map(|battery| battery.name.as_str()));
    let inlets = known("inlet", rig.inlet.iter().map(|inlet| inlet.name.as_str()));
    let units = known("portable", rig.portable.iter().map(|unit| unit.name.as_str()));
    let mut behind_panels = known("controller", rig.controller.iter().map(|controller| controller.name.as_str()));
    behind_panels.extend(units.iter().copied());
    let mut before_loads = known("inverter", rig.inverter.iter().map(|inverter| inverter.name.as_str()));
    before_loads.extend(known("converter", rig.converter.iter().map(|converter| converter.name.as_str())));
    before_loads.extend(units);
    let mut before_chargers: Known<'_> = vec![("alternator", "", 0)];
    before_chargers.extend(batteries.iter().copied());
    before_chargers.extend(inlets.iter().copied());

    let mut all: Vec<(String, Option<&str>, &str, &Known<'_>)> = Vec::new();
    for (index, panel) in rig.panel.iter().enumerate() {
        let name = panel.controller.as_deref();
        all.push((format!("panel[{}].controller", index + 1), name, "controller or portable unit", &behind_panels));
    }
    for (index, controller) in rig.controller.iter().enumerate() {
        for (at, name) in controller.charges.iter().enumerate() {
            let path = controller.charges.path_of(&format!("controller[{}].charges", index + 1), at);
            all.push((path, Some(name), "battery", &batteries));
        }
    }
    for (index, charger) in rig.charger.iter().enumerate() {
        let table = format!("charger[{}]", index + 1);
        all.push((format!("{table}.charges"), charger.charges.as_deref(), "battery", &batteries));
        all.push((format!("{table}.from"), charger.from.as_deref(), "battery or inlet", &before_chargers));
    }
    for (index, inverter) in rig.inverter.iter().enumerate() {
        all.push((format!("inverter[{}].battery", index + 1), inverter.battery.as_deref(), "battery", &batteries));
    }
    for (index, converter) in rig.converter.iter().enumerate() {
        all.push((format!("converter[{}].battery", index + 1), converter.battery.as_deref(), "battery", &batteries));
    }
    for (index, load) in rig.load.iter().enumerate() {
        let table = format!("load[{}]", index + 1);
        all.push((format!("{table}.battery"), load.battery.as_deref(), "battery", &batteries));
        let through = load.through.as_deref();
        all.push((format!("{table}.through"), through, "inverter, converter or portable unit", &before_loads));
    }
    for (index, unit) in rig.portable.iter().enumerate() {
        all.push((format!("portable[{}].feeds", index + 1), unit.feeds.as_deref(), "inlet", &inlets));
    }
    let things = known_things(checker);
    for (index, locker) in rig.locker.iter().enumerate() {
        for (at, name) in locker.holds.iter().enumerate() {
            let path = locker.holds.path_of(&format!("locker[{}].holds", index + 1), at);
            all.push((path, Some(name), "thing", &things));
        }
    }
    for (path, name, noun, known) in all {
        // "?": not known yet.
        if let Some(name) = name.filter(|name| *name != "?") {
            checker.refer(|| path, name, noun, known);
        }
    }
    charges_itself(checker, &batteries);
}

/// A battery that is charged from itself.
fn charges_itself(checker: &mut Checker<'_>, batteries: &Known<'_>) {
    let rig = checker.rig;
    for (index, charger) in rig.charger.iter().enumerate() {
        let (Some(charges), Some(from)) = (charger.charges.as_deref(), charger.from.as_deref()) else { continue };
        if charges == from && batteries.iter().any(|(name, _, _)| *name == from) {
            let path = format!("charger[{}].from", index + 1);
            checker.say(path, "no battery is charged from itself", Some("the name of another".into()), None);
        }
    }
}

/// A rig without power that tells of it.
pub(super) fn without(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let Some(at) = rig.without.iter().position(|trade| *trade == Trade::Power) else { return };
    let house = |battery: &Battery| battery.serves != Some(crate::model::Serves::Starter);
    let first = [
        rig.panel.first().map(|_| "panel[1]".to_owned()),
        rig.battery.iter().position(house).map(|index| format!("battery[{}]", index + 1)),
        rig.inverter.first().map(|_| "inverter[1]".to_owned()),
        rig.portable.first().map(|_| "portable[1]".to_owned()),
        rig.load.first().map(|_| "load[1]".to_owned()),
    ];
    if let Some(first) = first.into_iter().flatten().next() {
        let line = checker.line(&first);
        let sentence = format!("the rig is said to be without power, and line {line} tells of it");
        checker.say(format!("without[{}]", at + 1), sentence, Some("one of the two".into()), None);
    }
}
