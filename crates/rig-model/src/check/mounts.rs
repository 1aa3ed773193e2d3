//! How the body is held: what mounts, straps, cuts and welds say of each other and of themselves.

use quantity::{Dimension, System};

use super::Checker;
use super::references::{Known, known, known_states, known_things, table_note};
use super::usual::ranges;
use crate::model::{Bolts, Coord, Face, Many, MountKind, Screws, Short, Trade, Welds};
use crate::problem::shorten;

/// Names that mounts and their neighbours speak of.
pub(super) fn references(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let members: Known<'_> = known("cross_member", rig.cross_member.iter().map(|member| member.name.as_str()));
    for (index, mount) in rig.mount.iter().enumerate() {
        let Some(member) = &mount.member else { continue };
        let Some(of) = member.of.as_deref() else { continue };
        let path = format!("mount[{}].member", index + 1);
        let field = format!("{path}.of");
        let field = if checker.document.has(&field) { field } else { path.clone() };
        if !checker.refer(|| field, of, "cross member", &members) {
            continue;
        }
        let Some(at) = rig.cross_member.iter().position(|beam| beam.name == of) else { continue };
        let Some(beam) = rig.cross_member.get(at) else { continue };
        let both = [
            ("section", member.section.is_some() && beam.section.is_some()),
            ("steel", member.steel.is_some() && beam.steel.is_some()),
            ("span", member.span.is_some() && beam.span.is_some()),
        ];
        for (key, _) in both.iter().filter(|(_, both)| *both) {
            let line = checker.line(&format!("cross_member[{}]", at + 1));
            let sentence = format!("\"{}\" in line {line} says this already", shorten(of));
            checker.say(format!("{path}.{key}"), sentence, Some("each key in one of the two tables".into()), None);
        }
    }
    let things = known_things(checker);
    for (index, fixing) in rig.fixing.iter().enumerate() {
        let path = format!("fixing[{}].of", index + 1);
        if checker.is_empty_text(&path) {
            checker.say(path, "there is nothing here", Some("the name of a thing".into()), None);
        } else {
            checker.refer(|| path, &fixing.of, "thing", &things);
        }
    }
    let states = known_states(checker);
    let wanted = [
        ("levelling.state", rig.levelling.as_ref().and_then(|levelling| levelling.state.as_deref())),
        ("lifting.state", rig.lifting.as_ref().and_then(|lifting| lifting.state.as_deref())),
    ];
    for (path, state) in wanted {
        if let Some(state) = state {
            checker.refer(|| path.to_owned(), state, "state", &states);
        }
    }
    let axles = known("axle", rig.axle.iter().map(|axle| axle.name.as_str()));
    for (index, clearance) in rig.clearance.iter().enumerate() {
        if let Some(axle) = clearance.axle.as_deref() {
            checker.refer(|| format!("clearance[{}].axle", index + 1), axle, "axle", &axles);
        }
    }
    let frame = rig.chassis.as_ref().and_then(|chassis| chassis.frame.as_ref());
    if let Some(axle) = frame.and_then(|frame| frame.twist_test.as_ref()?.axle.as_deref()) {
        checker.refer(|| "chassis.frame.twist_test.axle".to_owned(), axle, "axle", &axles);
    }
}

/// A rig without mounts that has them.
pub(super) fn without(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    if let Some(at) = rig.without.iter().position(|trade| *trade == Trade::Mount)
        && !rig.mount.is_empty()
    {
        let line = checker.line("mount[1]");
        let sentence = format!("the rig is said to be without mounts, and line {line} describes one");
        checker.say(format!("without[{}]", at + 1), sentence, Some("one of the two".into()), None);
    }
}

/// What a table says in two ways, or against itself.
pub(super) fn contradictions(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    for (index, mount) in rig.mount.iter().enumerate() {
        let table = format!("mount[{}]", index + 1);
        twice(checker, &format!("{table}.holds"), mount.holds.as_deref().unwrap_or(&[]), |direction| direction.word());
        welds(checker, &format!("{table}.welds"), &mount.welds);
        let odd = [("spring", mount.spring.is_some(), MountKind::Spring), ("guide", mount.guide.is_some(), MountKind::Guide)];
        for (key, told, kind) in odd {
            let said = |other: &MountKind| checker.text(&format!("{table}.kind")) == Some(other.word());
            if let Some(other) = mount.kind.filter(|other| told && *other != kind && said(other)) {
                let sentence = format!("this is said of a {}, and the mount's kind is \"{}\"", kind.word(), other.word());
                checker.say(format!("{table}.{key}"), sentence, Some(format!("kind = \"{}\"", kind.word())), None);
            }
        }
    }
    for (index, member) in rig.cross_member.iter().enumerate() {
        welds(checker, &format!("cross_member[{}].welds", index + 1), &member.welds);
    }
    for (index, recovery) in rig.recovery.iter().enumerate() {
        welds(checker, &format!("recovery[{}].welds", index + 1), &recovery.welds);
    }
    for (index, strap) in rig.strap.iter().enumerate() {
        let table = format!("strap[{}]", index + 1);
        if strap.from.is_some() != strap.to.is_some() {
            let sentence = "a strap has two ends, and this one tells of one";
            checker.notes.push(table_note(&table, sentence, Some("from and to, or angle".into())));
        } else if strap.from.is_some() && strap.angle.is_some() {
            let sentence = "the angle follows from where the strap's ends are";
            checker.say(format!("{table}.angle"), sentence, Some("from and to, or angle".into()), None);
        }
        twice(checker, &format!("{table}.holds"), strap.holds.as_deref().unwrap_or(&[]), |direction| direction.word());
    }
    let packers = rig.levelling.as_ref().and_then(|levelling| levelling.packers.as_deref()).unwrap_or(&[]);
    twice(checker, "levelling.packers", packers, |corner| corner.word());
    for (index, fixing) in rig.fixing.iter().enumerate() {
        let path = format!("fixing[{}].bears", index + 1);
        twice(checker, &path, fixing.bears.as_deref().unwrap_or(&[]), |direction| direction.word());
    }
    cuts(checker);
}

/// The same word twice in a list.
fn twice<W: Copy + PartialEq>(checker: &mut Checker<'_>, path: &str, list: &[W], word: impl Fn(W) -> &'static str) {
    for (at, one) in list.iter().enumerate() {
        if list.iter().take(at).any(|other| other == one) {
            say_twice(checker, format!("{path}[{}]", at + 1), word(*one));
        }
    }
}

pub(super) fn say_twice(checker: &mut Checker<'_>, path: String, word: &str) {
    let sentence = format!("\"{}\" stands in this list already", shorten(word));
    checker.say(path, sentence, Some("each word once".into()), None);
}

fn welds(checker: &mut Checker<'_>, path: &str, list: &Many<Short<Welds>>) {
    for (index, weld) in list.iter().enumerate() {
        let table = list.path_of(path, index);
        if weld.leg.is_some() && weld.throat.is_some() {
            let sentence = "the weld's size is told twice, by throat and by leg";
            let expected = "throat, or leg; the throat is 0.7 of the leg".to_owned();
            checker.say(format!("{table}.leg"), sentence, Some(expected), None);
        }
        for (at, run) in weld.runs.iter().enumerate() {
            let run_path = weld.runs.path_of(&format!("{table}.runs"), at);
            let wanted = || Some("from and to, or length".to_owned());
            if run.from.is_some() != run.to.is_some() {
                checker.notes.push(table_note(&run_path, "a run of weld has two ends, and this one tells of one", wanted()));
            } else if run.from.is_some() && run.length.is_some() {
                let sentence = "the length follows from where the run's ends are";
                checker.say(format!("{run_path}.length"), sentence, wanted(), None);
            }
        }
    }
}

/// A hole in a flange has no height; a cut begins at a flange.
fn cuts(checker: &mut Checker<'_>) {
    let Some(frame) = checker.rig.chassis.as_ref().and_then(|chassis| chassis.frame.as_ref()) else { return };
    for (index, hole) in frame.hole.iter().enumerate() {
        if hole.height.is_some() && matches!(hole.face, Some(Face::Top | Face::Bottom)) {
            let path = format!("chassis.frame.hole[{}].height", index + 1);
            let sentence = "a hole in a flange has no height";
            checker.say(path, sentence, Some("height with face = \"web\", or no height".into()), None);
        }
    }
    for (index, notch) in frame.notch.iter().enumerate() {
        if notch.face == Some(Face::Web) {
            let path = format!("chassis.frame.notch[{}].face", index + 1);
            let expected = "\"top\" or \"bottom\"; a hole in the web goes to [[chassis.frame.hole]]".to_owned();
            checker.say(path, "a cut begins at the rail's upper or lower edge", Some(expected), None);
        }
    }
}

/// Places that may be counted in the body, other than those of things: path, place, whether it is in the body.
pub(super) fn places<'a>(checker: &Checker<'a>) -> Vec<(String, &'a [Coord; 3], bool)> {
    let rig = checker.rig;
    let mut all = Vec::new();
    for (index, mount) in rig.mount.iter().enumerate() {
        all.extend(mount.at.as_ref().map(|at| (format!("mount[{}].at", index + 1), at, mount.in_.is_some())));
    }
    for (index, strap) in rig.strap.iter().enumerate() {
        all.extend(strap.from.as_ref().map(|at| (format!("strap[{}].from", index + 1), at, strap.in_.is_some())));
        all.extend(strap.to.as_ref().map(|at| (format!("strap[{}].to", index + 1), at, false)));
    }
    for (index, recovery) in rig.recovery.iter().enumerate() {
        all.extend(recovery.at.as_ref().map(|at| (format!("recovery[{}].at", index + 1), at, false)));
    }
    if let Some(lifting) = &rig.lifting {
        for (key, list) in [("sling_points", &lifting.sling_points), ("legs", &lifting.legs)] {
            let in_body = lifting.in_.is_some();
            all.extend(list.iter().enumerate().map(|(at, place)| (format!("lifting.{key}[{}]", at + 1), place, in_body)));
        }
    }
    all
}

/// Tables other than things that are placed in the body, by the path of their `in`.
pub(super) fn in_body(checker: &Checker<'_>) -> Vec<String> {
    let rig = checker.rig;
    let mounts = rig.mount.iter().enumerate().filter(|(_, mount)| mount.in_.is_some());
    let straps = rig.strap.iter().enumerate().filter(|(_, strap)| strap.in_.is_some());
    let lifting = rig.lifting.iter().filter(|lifting| lifting.in_.is_some()).map(|_| "lifting.in".to_owned());
    let mounts = mounts.map(|(index, _)| format!("mount[{}].in", index + 1));
    mounts.chain(straps.map(|(index, _)| format!("strap[{}].in", index + 1))).chain(lifting).collect()
}

/// A screw is as thick as screws are; a size that is no length ("#10") is left to those who know numbers.
pub(super) fn screw_sizes(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let fixings = rig.fixing.iter().enumerate().map(|(at, fixing)| (format!("fixing[{}]", at + 1), &fixing.screws));
    let items = rig.roof_item.iter().enumerate().map(|(at, item)| (format!("roof_item[{}]", at + 1), &item.screws));
    let awnings = rig.awning.iter().enumerate().map(|(at, awning)| (format!("awning[{}]", at + 1), &awning.screws));
    for (table, list) in fixings.chain(items).chain(awnings) {
        for (index, screws) in list.iter().enumerate() {
            let Some(size) = screws.size.as_deref().and_then(|size| quantity::parse(size, Dimension::Length).ok()) else {
                continue;
            };
            let range = &ranges().screw_size;
            if !range.contains(&size) {
                let shown = |si: f64| quantity::show(si, Dimension::Length, System::Metric, None);
                let expected = format!("a diameter between {} and {}", shown(*range.start()), shown(*range.end()));
                let path = format!("{}.size", list.path_of(&format!("{table}.screws"), index));
                checker.say(path, "no screw has a diameter like that", Some(expected), None);
            }
        }
    }
}

/// Paths of the counts of pieces that say there is none: there is one at least.
pub(super) fn no_counts(checker: &Checker<'_>) -> Vec<String> {
    let rig = checker.rig;
    let mut none: Vec<String> = Vec::new();
    fn bolts(none: &mut Vec<String>, list: &Many<Short<Bolts>>, path: impl Fn() -> String) {
        for (index, bolts) in list.iter().enumerate() {
            for (key, _) in [("count", bolts.count), ("rows", bolts.rows)].into_iter().filter(|(_, count)| *count == Some(0)) {
                none.push(format!("{}.{key}", list.path_of(&path(), index)));
            }
        }
    }
    fn screws(none: &mut Vec<String>, list: &Many<Short<Screws>>, path: impl Fn() -> String) {
        for (index, _) in list.iter().enumerate().filter(|(_, screws)| screws.count == Some(0)) {
            none.push(format!("{}.count", list.path_of(&path(), index)));
        }
    }
    fn runs(none: &mut Vec<String>, list: &Many<Short<Welds>>, path: impl Fn() -> String) {
        for (index, weld) in list.iter().enumerate() {
            for (at, _) in weld.runs.iter().enumerate().filter(|(_, run)| run.count == Some(0)) {
                let runs = format!("{}.runs", list.path_of(&path(), index));
                none.push(format!("{}.count", weld.runs.path_of(&runs, at)));
            }
        }
    }
    let one = |count: Option<u32>, path: &dyn Fn() -> String, none: &mut Vec<String>| {
        if count == Some(0) {
            none.push(path());
        }
    };
    for (index, mount) in rig.mount.iter().enumerate() {
        bolts(&mut none, &mount.bolts, || format!("mount[{}].bolts", index + 1));
        runs(&mut none, &mount.welds, || format!("mount[{}].welds", index + 1));
    }
    for (index, member) in rig.cross_member.iter().enumerate() {
        bolts(&mut none, &member.bolts, || format!("cross_member[{}].bolts", index + 1));
        runs(&mut none, &member.welds, || format!("cross_member[{}].welds", index + 1));
    }
    for (index, recovery) in rig.recovery.iter().enumerate() {
        bolts(&mut none, &recovery.bolts, || format!("recovery[{}].bolts", index + 1));
        runs(&mut none, &recovery.welds, || format!("recovery[{}].welds", index + 1));
    }
    for (index, fixing) in rig.fixing.iter().enumerate() {
        bolts(&mut none, &fixing.bolts, || format!("fixing[{}].bolts", index + 1));
        screws(&mut none, &fixing.screws, || format!("fixing[{}].screws", index + 1));
    }
    for (index, item) in rig.roof_item.iter().enumerate() {
        bolts(&mut none, &item.bolts, || format!("roof_item[{}].bolts", index + 1));
        screws(&mut none, &item.screws, || format!("roof_item[{}].screws", index + 1));
        one(item.count, &|| format!("roof_item[{}].count", index + 1), &mut none);
        one(item.feet, &|| format!("roof_item[{}].feet", index + 1), &mut none);
    }
    for (index, awning) in rig.awning.iter().enumerate() {
        bolts(&mut none, &awning.bolts, || format!("awning[{}].bolts", index + 1));
        screws(&mut none, &awning.screws, || format!("awning[{}].screws", index + 1));
        one(awning.brackets, &|| format!("awning[{}].brackets", index + 1), &mut none);
    }
    for (index, strap) in rig.strap.iter().enumerate() {
        one(strap.count, &|| format!("strap[{}].count", index + 1), &mut none);
    }
    for (index, tie) in rig.tie.iter().enumerate() {
        one(tie.count, &|| format!("tie[{}].count", index + 1), &mut none);
    }
    none
}
