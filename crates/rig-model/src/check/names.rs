//! Names are unique, and never empty.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::Checker;
use crate::thing::ThingKind;

/// Things share one set of names; axles, people, states, tickets, passages, mounts and what holds beside them have one each.
pub(super) fn unique(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let things = rig.numbered_things().map(|(index, thing)| match thing.kind() {
        ThingKind::Body => Named { key: "body", index: 0, name: thing.name() },
        kind => Named { key: kind.key(), index, name: thing.name() },
    });
    one_set(checker, things, "since states and other tables speak of it by name");
    let by_tickets = "since tickets speak of it by name";
    one_set(checker, listed("axle", rig.axle.iter().map(|axle| axle.name.as_str())), by_tickets);
    let by_states = "since states speak of it by name";
    one_set(checker, listed("person", rig.person.iter().map(|person| person.name.as_str())), by_states);
    let by_findings = "since findings speak of it by name";
    one_set(checker, listed("state", rig.state.iter().map(|state| state.name.as_str())), by_findings);
    one_set(checker, listed("weighing", rig.weighing.iter().map(|weighing| weighing.name.as_str())), by_findings);
    one_set(checker, listed("passage", rig.passage.iter().map(|passage| passage.name.as_str())), by_findings);
    one_set(checker, listed("mount", rig.mount.iter().map(|mount| mount.name.as_str())), by_findings);
    let by_mounts = "since mounts speak of it by name";
    one_set(checker, listed("cross_member", rig.cross_member.iter().map(|member| member.name.as_str())), by_mounts);
    one_set(checker, listed("strap", rig.strap.iter().map(|strap| strap.name.as_str())), by_findings);
    one_set(checker, listed("clearance", rig.clearance.iter().map(|clearance| clearance.name.as_str())), by_findings);
    one_set(checker, listed("contact", rig.contact.iter().map(|contact| contact.name.as_str())), by_findings);
    one_set(checker, listed("tie", rig.tie.iter().map(|tie| tie.name.as_str())), by_findings);
    one_set(checker, listed("recovery", rig.recovery.iter().map(|recovery| recovery.name.as_str())), by_findings);
    one_set(checker, listed("inlet", rig.inlet.iter().map(|inlet| inlet.name.as_str())), "since chargers speak of it by name");
    one_set(checker, listed("locker", rig.locker.iter().map(|locker| locker.name.as_str())), by_findings);
    let hatches = rig.roof.iter().flat_map(|roof| &roof.hatch);
    one_set(checker, listed("roof.hatch", hatches.map(|hatch| hatch.name.as_str())), by_findings);
}

/// A name with the place of its table: the key, and its number from 1 (0 for a table that is no list).
#[derive(Clone, Copy)]
struct Named<'a> {
    key: &'static str,
    index: usize,
    name: &'a str,
}

impl Named<'_> {
    fn table(&self) -> String {
        if self.index == 0 { self.key.to_owned() } else { format!("{}[{}]", self.key, self.index) }
    }

    fn path(&self) -> String {
        if self.index == 0 { self.table() } else { format!("{}.name", self.table()) }
    }
}

fn listed<'a>(key: &'static str, names: impl Iterator<Item = &'a str>) -> impl Iterator<Item = Named<'a>> {
    names.enumerate().map(move |(index, name)| Named { key, index: index + 1, name })
}

fn one_set<'a>(checker: &mut Checker<'_>, entries: impl Iterator<Item = Named<'a>>, why: &str) {
    let mut first: BTreeMap<&str, Named<'a>> = BTreeMap::new();
    for entry in entries {
        let expected = || Some(format!("a name of its own, {why}"));
        if entry.name.trim().is_empty() {
            if checker.is_empty_text(&entry.path()) {
                checker.say(entry.path(), "the name is empty", expected(), None);
            }
            continue;
        }
        match first.entry(entry.name) {
            Entry::Vacant(slot) => {
                slot.insert(entry);
            }
            Entry::Occupied(slot) => {
                let line = checker.line(&slot.get().table());
                let noun = slot.get().key.replace(['_', '.'], " ");
                checker.say(entry.path(), format!("the {noun} in line {line} has the same name"), expected(), None);
            }
        }
    }
}
