//! A sheet to print and take along: the day on the weighbridge.

use check::weighing::{MadeState, OnPlate, WeighingDay, Wheels};
use quantity::Dimension;

use crate::ask::command_word;
use crate::numbers::Numbers;
use crate::terminal::Look;
use crate::terminal::paper::Paper;
use crate::text::{clean, columns, cut, tie_numbers};

/// A box to write in.
const BLANK: &str = "________________";
/// Columns ahead of them.
const INDENT: usize = 4;
/// Most columns of each of the two things that stand before a box.
const BEFORE: usize = 24;

/// The sheet as plain text. What is measured on it goes back into the file by the lines at its end.
#[must_use]
pub fn weighing(day: &WeighingDay, file: &str, width: usize) -> String {
    let mut paper = Paper::new(&Look { width, ..Look::default() }, "");
    let numbers = Numbers::new(day.units, false);
    paper.line(&clean(&day.rig));
    paper.running(0, &clean(&format!("Weighing day, in the state \"{}\".", day.state)));
    paper.blank();
    paper.line(&format!("Date {BLANK}   Scale {BLANK}"));
    before(&mut paper, day, numbers);
    paper.heading("ON THE PLATE");
    paper.running(4, "All of the named wheels on the plate, no other one on it; engine off, nobody walking about.");
    for (at, plate) in day.plates.iter().enumerate() {
        paper.blank();
        reading(&mut paper, &format!("{} ", at + 1), plate, numbers);
    }
    if day.plates.len() > 1 {
        let parts: Vec<String> = (1..=day.plates.len()).filter(|at| *at != 2).map(|at| at.to_string()).collect();
        paper.blank();
        let sum = parts.join(" + ");
        paper.running(4, &format!("{sum} = {BLANK}   less 2 = {BLANK}"));
        paper.running(4, "What is left is the bridge's own error, or a slope before it.");
    }
    paper.heading("WHERE THE BRIDGE TAKES THE WHOLE RIG ONLY");
    paper.running(
        4,
        "Weigh the whole alone. It tells the mass against the plate and puts the list right as a whole; how it is shared \
         between the axles stays as sure as the list's places are.",
    );
    if let Some(whole) = day.plates.iter().find(|plate| plate.wheels == Wheels::Whole) {
        paper.blank();
        reading(&mut paper, "", whole, numbers);
    }
    paper.heading("CAREFUL");
    for caution in CAUTIONS {
        paper.running(4, caution);
    }
    paper.heading("LINES FOR THE FILE");
    let states = if day.in_file { "" } else { "; with a state of its own the file also needs those that were made up so far" };
    paper.running(0, &format!("Paste them into {}, numbers in place of each \"?\"{states}:", command_word(file)));
    paper.blank();
    for line in lines(day) {
        paper.line(&line);
    }
    paper.done()
}

/// Common practice, no source.
const CAUTIONS: [&str; 4] = [
    "Chocks at the wheels before the brakes come off: brakes that hold falsify an axle's reading, and a truck without them rolls.",
    "Nobody under the rig, between it and a wall, or on the plate's edge while it moves.",
    "One axle at a time is right only where the ground before the plate is level with it.",
    "Over a limit: take load off there, before the drive home.",
];

fn before(paper: &mut Paper, day: &WeighingDay, numbers: Numbers) {
    paper.heading("BEFORE IT DRIVES ONTO THE PLATE");
    paper.running(4, "Make it so, or write what it is.");
    paper.blank();
    for tank in &day.tanks {
        let holds = match &tank.volume {
            Some(volume) if volume.value.0 == 0.0 => "empty".to_owned(),
            Some(volume) => numbers.span(volume.value.0, volume.low.0, volume.high.0, Dimension::Volume).0,
            None => "not known".to_owned(),
        };
        let line = beside(paper, &tank.tank, &holds);
        paper.line(&line);
    }
    for seated in &day.people {
        let line = beside(paper, &seated.seat, seated.person.as_deref().unwrap_or("somebody"));
        paper.line(&line);
    }
    if day.people.is_empty() {
        let line = beside(paper, "seats", "nobody");
        paper.line(&line);
    }
    let trailer = if day.trailer { "coupled" } else { "not coupled" };
    let line = beside(paper, "trailer", trailer);
    paper.line(&line);
    for (words, list) in [("stays at home", &day.absent), ("stands out", &day.out)] {
        if !list.is_empty() {
            paper.running(4, &clean(&format!("{words}: {}", list.join(", "))));
        }
    }
}

fn beside(paper: &Paper, name: &str, holds: &str) -> String {
    let before = (paper.width().saturating_sub(INDENT + BLANK.len()) / 2).saturating_sub(1).min(BEFORE);
    let pad = |text: &str| format!("{text}{}", " ".repeat(before.saturating_sub(columns(text)) + 1));
    let [name, holds] = [name, holds].map(|text| cut(&clean(text), before));
    format!("{}{}{}{BLANK}", " ".repeat(INDENT), pad(&name), pad(&holds))
}

fn reading(paper: &mut Paper, number: &str, plate: &OnPlate, numbers: Numbers) {
    let wheels = match &plate.wheels {
        Wheels::Whole => "the whole rig".to_owned(),
        Wheels::Axle(name) => format!("axle {name} alone"),
        Wheels::Group(name) => format!("the axles of {name} together, no other"),
    };
    let limit = plate.limit.map_or_else(|| BLANK.to_owned(), |limit| numbers.exact(limit.0, Dimension::Mass));
    paper.running(4, &clean(&format!("{number}{wheels}")));
    paper.running(8, &tie_numbers(&format!("reads {BLANK}   limit {limit}")));
    if let Some(list) = &plate.list {
        let (value, range) = numbers.span(list.value.0, list.low.0, list.high.0, Dimension::Mass);
        let range = range.map(|range| format!(", {range}")).unwrap_or_default();
        paper.running(8, &tie_numbers(&format!("the list says {value}{range}")));
    }
}

/// What goes into the file: the state, where it has none, and one table a reading.
fn lines(day: &WeighingDay) -> Vec<String> {
    let mut lines = Vec::new();
    if !day.in_file {
        let fill = day.tanks.iter().map(|tank| (tank.tank.clone(), "?".to_owned())).collect();
        let people = day.people.iter().map(|seated| seated.seat.clone()).collect();
        let (name, kind, out) = (day.state.clone(), "travel".to_owned(), day.out.clone());
        let own = MadeState { name, kind, fill, people, out, trailer: day.trailer };
        std::iter::once(&own).chain(&day.made).for_each(|state| lines.extend(state_lines(state)));
    }
    for plate in &day.plates {
        lines.extend(["[[weighing]]".to_owned(), format!("name = {}", quoted(&plate.ticket))]);
        lines.push(format!("state = {}", quoted(&day.state)));
        lines.push(match &plate.wheels {
            Wheels::Whole => "whole = true".to_owned(),
            Wheels::Axle(name) => format!("axle = {}", quoted(name)),
            Wheels::Group(name) => format!("group = {}", quoted(name)),
        });
        lines.extend(["reading = \"?\"".to_owned(), "# scale = \"...\"".to_owned(), "# division = \"20 kg\"".to_owned()]);
        lines.push(String::new());
    }
    lines.pop();
    lines
}

fn state_lines(state: &MadeState) -> Vec<String> {
    let list = |names: &[String]| names.iter().map(|name| quoted(name)).collect::<Vec<_>>().join(", ");
    let fill: Vec<String> = state.fill.iter().map(|(tank, fill)| format!("{} = {}", key(tank), quoted(fill))).collect();
    let mut lines = vec!["[[state]]".to_owned(), format!("name = {}", quoted(&state.name))];
    lines.push(format!("kind = {}", quoted(&state.kind)));
    if !fill.is_empty() {
        lines.push(format!("fill = {{ {} }}", fill.join(", ")));
    }
    for (key, names) in [("people", &state.people), ("out", &state.out)] {
        if !names.is_empty() {
            lines.push(format!("{key} = [{}]", list(names)));
        }
    }
    if state.trailer {
        lines.push("trailer = true".to_owned());
    }
    lines.push(String::new());
    lines
}

/// A string of TOML. Only what a file may hold comes here, so nothing is left out; what cannot be seen is written out.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            c if c.is_control() || clean(&c.to_string()) != c.to_string() => out.push_str(&format!("\\U{:08X}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

fn key(name: &str) -> String {
    let bare = !name.is_empty() && name.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_' || b == b'-');
    if bare { name.to_owned() } else { quoted(name) }
}

#[cfg(test)]
mod tests {
    use check::audit::Units;
    use check::exhibit::Span;
    use check::weighing::{Filled, Seated};
    use quantity::Num;

    use super::*;

    fn day() -> WeighingDay {
        let plate = |wheels, ticket: &str, limit| OnPlate {
            wheels,
            ticket: ticket.to_owned(),
            limit,
            list: Some(Span { value: Num(5000.0), low: Num(4900.0), high: Num(5100.0) }),
        };
        WeighingDay {
            rig: "invented".to_owned(),
            units: Units::Metric,
            state: "weighing day".to_owned(),
            in_file: false,
            made: Vec::new(),
            tanks: vec![Filled {
                tank: "fresh \"water\"".to_owned(),
                volume: Some(Span { value: Num(0.15), low: Num(0.14), high: Num(0.16) }),
            }],
            people: vec![Seated { seat: "driver seat".to_owned(), person: Some("Ana".to_owned()) }],
            absent: vec!["firewood".to_owned()],
            out: Vec::new(),
            trailer: false,
            plates: vec![
                plate(Wheels::Axle("front".to_owned()), "weighing day, front", Some(Num(5200.0))),
                plate(Wheels::Whole, "weighing day, whole", Some(Num(12000.0))),
                plate(Wheels::Group("bogie".to_owned()), "weighing day, bogie", None),
            ],
        }
    }

    #[test]
    fn each_reading_has_its_box_and_its_limit() {
        for width in [60, 80, 100] {
            let text = weighing(&day(), "rig.toml", width);
            assert!(text.is_ascii() && text.lines().all(|line| line.len() <= width), "{text}");
            assert!(text.contains("limit 5200 kg") && text.matches("limit 12000 kg").count() == 2, "{text}");
            // Date, scale, tank, seat, trailer, three readings and the whole again, the unknown limit, sum and rest.
            assert_eq!(text.matches(BLANK).count(), 12, "{text}");
            assert!(text.contains("axle front alone") && text.contains("the axles of bogie together, no other"), "{text}");
        }
    }

    #[test]
    fn the_lines_name_state_tanks_and_wheels() {
        let text = weighing(&day(), "rig.toml", 80);
        let (_, lines) = text.split_once("[[state]]").expect("the file lacks the state");
        assert!(lines.contains("fill = { \"fresh \\\"water\\\"\" = \"?\" }\npeople = [\"driver seat\"]\n"), "{lines}");
        assert!(lines.contains("group = \"bogie\"\nreading = \"?\"\n"), "{lines}");
        let in_file = weighing(&WeighingDay { in_file: true, ..day() }, "rig.toml", 80);
        assert!(!in_file.contains("[[state]]") && in_file.matches("[[weighing]]").count() == 3);
    }
}
