//! Where things are: the axles along the truck, words for places, the body's own frame.

use quantity::{Dimension, System};

use super::usual::ranges;
use super::{Checker, mounts};
use crate::model::{Coord, Word};
use crate::problem::list_words;
use crate::thing::ThingKind;

/// Lengths count from the front axle's centre, and no two axles stand at one place.
pub(super) fn axles(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let places: Vec<Option<f64>> =
        rig.axle.iter().map(|axle| axle.x.as_ref().and_then(|x| x.value()).filter(|x| x.is_finite())).collect();
    let near = |a: f64, b: f64| (a - b).abs() < ranges().axle_spacing;
    for (index, place) in places.iter().enumerate() {
        let Some(x) = place else { continue };
        let path = format!("axle[{}].x", index + 1);
        if *x < 0.0 {
            let expected = "the front axle at \"0 m\", the others behind it, counted rearward";
            checker.say(path, "this axle stands ahead of the place lengths are counted from", Some(expected.into()), None);
        } else if let Some(earlier) = places.iter().take(index).position(|other| other == place) {
            let line = checker.line(&format!("axle[{}]", earlier + 1));
            let expected = "a place of its own for each axle".to_owned();
            checker.say(path, format!("the axle in line {line} stands at the same place"), Some(expected), None);
        } else if let Some(earlier) = places.iter().take(index).position(|other| other.is_some_and(|other| near(other, *x))) {
            let line = checker.line(&format!("axle[{}]", earlier + 1));
            let least = quantity::show(ranges().axle_spacing, Dimension::Length, System::Metric, None);
            let sentence = format!("the axle in line {line} is so near that their tyres overlap");
            checker.say(path, sentence, Some(format!("at least {least} from axle to axle")), None);
        }
    }
    // Where the syntax broke, the front axle or its place may be lost.
    let all_known = !checker.document.broken && !places.is_empty() && places.iter().all(|place| place.is_some_and(|x| x >= 0.0));
    if all_known && !places.contains(&Some(0.0)) {
        let foremost = places.iter().enumerate().min_by(|(_, a), (_, b)| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
        if let Some((index, _)) = foremost {
            let sentence = "no axle stands at 0 m, and lengths count from the front axle's centre";
            let expected = "the front axle at \"0 m\"".to_owned();
            let write = crate::reader::Write::Text("0 m".into());
            checker.say(format!("axle[{}].x", index + 1), sentence, Some(expected), Some(write));
        }
    }
}

/// Words for places need the body's frame, and each means something in its own direction only.
pub(super) fn coordinates(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    for (index, thing) in rig.numbered_things() {
        let table = || match thing.kind() {
            ThingKind::Body => "body".to_owned(),
            kind => format!("{}[{index}]", kind.key()),
        };
        let at = if thing.kind() == ThingKind::Body { "centre" } else { "at" };
        for (key, place) in [(at, thing.at()), ("out_at", thing.out_at())] {
            if let Some(place) = place {
                words(checker, || format!("{}.{key}", table()), place, thing.in_body());
            }
        }
    }
    for (path, place, in_body) in mounts::places(checker) {
        words(checker, || path.clone(), place, in_body);
    }
    if let Some(place) = rig.coupling.as_ref().and_then(|coupling| coupling.at.as_ref()) {
        words(checker, || "coupling.at".to_owned(), place, false);
    }
}

/// The path is written out only where something is to be said.
fn words(checker: &mut Checker<'_>, path: impl Fn() -> String, place: &[Coord; 3], in_body: bool) {
    for (direction, coord) in place.iter().enumerate() {
        let Coord::Word(word) = coord else { continue };
        let at = || format!("{}[{}]", path(), direction + 1);
        if !in_body {
            let sentence = "a word for a place is counted inside the body, and this is not placed there";
            let expected = "a length, such as \"0.4 m\", or in = \"body\" beside it".to_owned();
            checker.say(at(), sentence, Some(expected), None);
        } else if !word.directions().contains(&direction) {
            let (along, fitting) = match direction {
                0 => ("along the truck", [Word::FrontWall, Word::RearWall, Word::Centre]),
                1 => ("across the truck", [Word::Left, Word::Right, Word::Centre]),
                _ => ("upward", [Word::Floor, Word::Roof, Word::Centre]),
            };
            let sentence = format!("\"{}\" says nothing {along}", word.text());
            let quoted = fitting.map(|word| format!("\"{}\"", word.text()));
            let expected = format!("a length, or {}", list_words(quoted.iter().map(String::as_str), "or"));
            checker.say(at(), sentence, Some(expected), None);
        }
    }
}

/// What is placed in the body needs a body. One cause: one message, at the first of them.
pub(super) fn body_frame(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    if rig.body.is_some() {
        return;
    }
    let things = rig.numbered_things().filter(|(_, thing)| thing.in_body());
    let things = things.map(|(index, thing)| format!("{}[{index}].in", thing.kind().key()));
    let mut inside = things.chain(mounts::in_body(checker));
    let Some(first) = inside.next() else { return };
    let more = inside.count();
    let others = if more == 0 { String::new() } else { format!(" ({more} more entries wait for it too)") };
    let sentence = format!("this is placed in the body, and the file has no [body]{others}");
    let expected = "a [body] table with front and floor".to_owned();
    checker.say(first, sentence, Some(expected), None);
}
