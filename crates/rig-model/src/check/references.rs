//! What one table says of another by name.

use super::Checker;
use crate::model::Trade;
use crate::path::quote_key;
use crate::problem::{list_words, shorten};
use crate::reader::{At, Note, Write, nearest};
use crate::thing::ThingKind;

/// The states made when the file names none.
pub(crate) const MADE_STATES: [&str; 3] = ["travel-full", "travel-empty", "camped"];

/// Names of one kind, each with the place of its table: the key, and its number from 1 (0 for a table that is no list).
pub(super) type Known<'a> = Vec<(&'a str, &'static str, usize)>;

pub(super) fn known<'a>(key: &'static str, names: impl Iterator<Item = &'a str>) -> Known<'a> {
    names.enumerate().filter(|(_, name)| !name.is_empty()).map(|(index, name)| (name, key, index + 1)).collect()
}

pub(super) fn known_things<'a>(checker: &Checker<'a>) -> Known<'a> {
    let named = checker.rig.numbered_things().filter(|(_, thing)| !thing.name().is_empty());
    named
        .map(|(index, thing)| match thing.kind() {
            ThingKind::Body => (thing.name(), "body", 0),
            kind => (thing.name(), kind.key(), index),
        })
        .collect()
}

impl Checker<'_> {
    /// Notes a name that nothing in the file has.
    pub(super) fn refer(&mut self, path: impl FnOnce() -> String, name: &str, noun: &str, known: &Known<'_>) -> bool {
        let (sentence, expected, near) = match self.dangling(name, noun, known) {
            Some(words) => words,
            None => return true,
        };
        self.say(path(), sentence, expected, near.map(Write::Text));
        false
    }

    /// The line of a table: by its number in a list, or 0 where there is one alone.
    fn table_line(&self, key: &str, index: usize) -> u32 {
        self.line(&if index == 0 { key.to_owned() } else { format!("{key}[{index}]") })
    }

    /// The words about a name nothing has; none if something has it, or if it is the reader's blank.
    fn dangling(&self, name: &str, noun: &str, known: &Known<'_>) -> Option<(String, Option<String>, Option<String>)> {
        if name.is_empty() || known.iter().any(|(known, _, _)| *known == name) {
            return None;
        }
        let name_shown = shorten(name);
        let sentence = match noun {
            "thing" => format!("nothing in the file is called \"{name_shown}\""),
            _ => format!("no {noun} in the file is called \"{name_shown}\""),
        };
        const MOST: usize = 8;
        let mut told: Vec<&str> = Vec::new();
        let mut shown: Vec<String> = Vec::new();
        for (name, key, index) in known {
            if told.contains(name) {
                continue;
            }
            told.push(name);
            let quoted = format!("\"{}\"", shorten(name));
            shown.push(if key.is_empty() { quoted } else { format!("{quoted} (line {})", self.table_line(key, *index)) });
        }
        let more = shown.len().saturating_sub(MOST);
        shown.truncate(MOST);
        let expected = match shown.len() {
            0 => {
                let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
                format!("the name of {article} {noun}, and the file has none")
            }
            _ if more > 0 => format!("one of {}, or {more} more", shown.join(", ")),
            _ => list_words(shown.iter().map(String::as_str), "or"),
        };
        let near = nearest(name, told.iter().copied()).map(str::to_owned);
        Some((sentence, Some(expected), near))
    }
}

/// Tanks, seats, people, things and axles a state speaks of.
pub(super) fn states(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let tanks = known("tank", rig.tank.iter().map(|tank| tank.name.as_str()));
    let seats = known("seat", rig.seat.iter().map(|seat| seat.name.as_str()));
    let people = known("person", rig.person.iter().map(|person| person.name.as_str()));
    let axles = known("axle", rig.axle.iter().map(|axle| axle.name.as_str()));
    let things = known_things(checker);
    for (index, state) in rig.state.iter().enumerate() {
        let table = format!("state[{}]", index + 1);
        for tank in state.fill.keys() {
            if let Some((sentence, expected, near)) = checker.dangling(tank, "tank", &tanks) {
                let at = At::PathKey(format!("{table}.fill.{}", quote_key(tank)));
                let write = near.map(|name| Write::Whole(quote_key(&name).into_owned()));
                checker.notes.push(Note { at, sentence, expected, write, show_found: false });
            }
        }
        for (key, names, noun, known) in [
            ("absent", &state.absent, "thing", &things),
            ("out", &state.out, "thing", &things),
            ("lifted", &state.lifted, "axle", &axles),
        ] {
            for (at, name) in names.iter().enumerate() {
                checker.refer(|| format!("{table}.{key}[{}]", at + 1), name, noun, known);
            }
        }
        for (at, occupant) in state.people.iter().enumerate() {
            let document = checker.document;
            let field = |key: &str| {
                let field = format!("{table}.people[{}].{key}", at + 1);
                if document.has(&field) { field } else { format!("{table}.people[{}]", at + 1) }
            };
            let before = state.people.get(..at).unwrap_or(&[]);
            if checker.refer(|| field("seat"), &occupant.seat, "seat", &seats)
                && !occupant.seat.is_empty()
                && before.iter().any(|other| other.seat == occupant.seat)
            {
                checker.say(field("seat"), "this seat is taken already in this state", Some("each seat once".into()), None);
            }
            let Some(person) = occupant.person.as_deref() else { continue };
            if checker.refer(|| field("person"), person, "person", &people)
                && before.iter().any(|other| other.person.as_deref() == Some(person))
            {
                checker.say(
                    field("person"),
                    "this person sits elsewhere already in this state",
                    Some("each person once".into()),
                    None,
                );
            }
        }
    }
    for (index, tank) in rig.tank.iter().enumerate() {
        let Some(to) = tank.to.as_deref() else { continue };
        let path = format!("tank[{}].to", index + 1);
        if checker.refer(|| path.clone(), to, "tank", &tanks) && to == tank.name {
            checker.say(path, "a tank cannot drain into itself", Some("the name of another tank".into()), None);
        }
    }
    let states = known_states(checker);
    for (index, accept) in rig.accept.iter().enumerate() {
        if let Some(state) = accept.state.as_deref() {
            checker.refer(|| format!("accept[{}].state", index + 1), state, "state", &states);
        }
    }
}

/// The file's states or, if it names none, those that are made for it.
pub(super) fn known_states<'a>(checker: &Checker<'a>) -> Known<'a> {
    if checker.rig.state.is_empty() {
        return MADE_STATES.iter().map(|name| (*name, "", 0)).collect();
    }
    known("state", checker.rig.state.iter().map(|state| state.name.as_str()))
}

/// Which wheels stood on the scale, and in which state.
pub(super) fn weighings(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let states = known_states(checker);
    let axles = known("axle", rig.axle.iter().map(|axle| axle.name.as_str()));
    let mut groups: Known<'_> = Vec::new();
    for (index, axle) in rig.axle.iter().enumerate() {
        let Some(group) = axle.group.as_deref() else { continue };
        if rig.axle.iter().filter(|other| other.group.as_deref() == Some(group)).count() == 1 {
            let path = format!("axle[{}].group", index + 1);
            let sentence = "no other axle is in this group";
            checker.say(path, sentence, Some("the same word at two or more axles, or none".into()), None);
        }
        if !groups.iter().any(|(known, _, _)| *known == group) {
            groups.push((group, "axle", index + 1));
        }
    }
    for (index, weighing) in rig.weighing.iter().enumerate() {
        let table = format!("weighing[{}]", index + 1);
        for (key, name, noun, known) in [
            ("state", &weighing.state, "state", &states),
            ("axle", &weighing.axle, "axle", &axles),
            ("group", &weighing.group, "group of axles", &groups),
        ] {
            if let Some(name) = name.as_deref() {
                checker.refer(|| format!("{table}.{key}"), name, noun, known);
            }
        }
        let whole = weighing.whole == Some(true);
        let ways = usize::from(whole) + usize::from(weighing.axle.is_some()) + usize::from(weighing.group.is_some());
        let wanted = || Some("axle = NAME, group = NAME, side = \"left\" or \"right\", or whole = true".to_owned());
        let told = ways > 0 || weighing.side.is_some() || weighing.whole.is_some();
        if ways > 1 || (whole && weighing.side.is_some()) {
            checker.notes.push(table_note(&table, "this ticket says in two ways which wheels stood on the scale", wanted()));
        } else if !told {
            checker.notes.push(table_note(&table, "this ticket does not say which wheels stood on the scale", wanted()));
        }
        if weighing.plank.is_some() && weighing.side.is_none() {
            let sentence = "with one side on planks the side on the scale matters";
            checker.say(format!("{table}.plank"), sentence, Some("side = \"left\" or \"right\" beside it".into()), None);
        }
        if weighing.lift.is_some() && weighing.axle.is_none() {
            let sentence = "with one axle lifted the axle on the scale matters";
            checker.say(format!("{table}.lift"), sentence, Some("axle = NAME beside it".into()), None);
        }
    }
}

pub(super) fn table_note(table: &str, sentence: &str, expected: Option<String>) -> Note {
    Note { at: At::Path(table.to_owned()), sentence: sentence.into(), expected, write: None, show_found: false }
}

/// `of = "NAME"`: a second table about the same thing.
pub(super) fn things(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let names = known_things(checker);
    let mut in_circles: Vec<&str> = Vec::new();
    for (index, thing) in rig.numbered_things() {
        let Some(of) = thing.of() else { continue };
        let table = format!("{}[{index}]", thing.kind().key());
        let path = format!("{table}.of");
        if !checker.refer(|| path.clone(), of, "thing", &names) || of.is_empty() {
            continue;
        }
        let circle = circle(checker, thing.name(), of);
        if !circle.is_empty() {
            // Every entry of a circle leads back to itself; it is told once, where it begins.
            if !in_circles.contains(&thing.name()) {
                checker.say(path, "this leads back to the same entry", Some("the name of another thing".into()), None);
            }
            in_circles.extend(circle);
            continue;
        }
        // A low point is a corner of the thing: its place is its own.
        let Some(other) = rig.thing(of).filter(|_| thing.kind() != ThingKind::LowPoint) else { continue };
        let both = [
            ("mass", thing.mass().is_some() && other.mass().is_some()),
            ("at", thing.at().is_some() && other.at().is_some()),
            ("size", thing.size().is_some() && other.size().is_some()),
        ];
        for (key, _) in both.iter().filter(|(_, both)| *both) {
            let first = names.iter().find(|(name, _, _)| *name == of);
            let line = first.map_or(1, |(_, key, index)| checker.table_line(key, *index));
            let sentence = format!("\"{}\" in line {line} says this already", shorten(of));
            checker.say(format!("{table}.{key}"), sentence, Some("each key in one of the two tables".into()), None);
        }
    }
}

/// The names met when following `of` from here comes back to `name`; none if it does not.
fn circle<'a>(checker: &Checker<'a>, name: &str, of: &'a str) -> Vec<&'a str> {
    let mut met = Vec::new();
    let mut next = Some(of);
    for _ in checker.rig.things() {
        let Some(at) = next else { break };
        met.push(at);
        if at == name {
            return met;
        }
        next = checker.rig.thing(at).and_then(|thing| thing.of());
    }
    Vec::new()
}

/// A trailer spoken of, and a trailer told of, and a trailer ruled out.
pub(super) fn trailer(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    if let Some(at) = rig.without.iter().position(|trade| *trade == Trade::Trailer)
        && rig.trailer.is_some()
    {
        let line = checker.line("trailer");
        let sentence = format!("the rig is said to be without a trailer, and line {line} describes one");
        checker.say(format!("without[{}]", at + 1), sentence, Some("one of the two".into()), None);
    }
    if rig.trailer.is_none()
        && let Some(at) = rig.state.iter().position(|state| state.trailer == Some(true))
    {
        let sentence = "the trailer is coupled in this state, and the file has none";
        checker.say(format!("state[{}].trailer", at + 1), sentence, Some("a [trailer] table".into()), None);
    }
}
