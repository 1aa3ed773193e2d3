//! How the body is held: what mounts, straps, cuts and welds say of each other and of themselves.

use quantity::{Dimension, System};

use super::Checker;
use super::references::{Known, known, known_states, known_things, table_note};
use super::usual::ranges;
use crate::model::{Bolts, Coord, Face, Many, MountKind, Rig, Screws, Short, Trade, Welds};
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

/// A list of fasteners, and the table and place that it stands in.
type Fastened<'r, T> = (&'static str, usize, &'r Many<Short<T>>);

fn all_bolts(rig: &Rig) -> impl Iterator<Item = Fastened<'_, Bolts>> {
    let mounts = rig.mount.iter().enumerate().map(|(at, mount)| ("mount", at, &mount.bolts));
    let members = rig.cross_member.iter().enumerate().map(|(at, member)| ("cross_member", at, &member.bolts));
    let recoveries = rig.recovery.iter().enumerate().map(|(at, recovery)| ("recovery", at, &recovery.bolts));
    let fixings = rig.fixing.iter().enumerate().map(|(at, fixing)| ("fixing", at, &fixing.bolts));
    let items = rig.roof_item.iter().enumerate().map(|(at, item)| ("roof_item", at, &item.bolts));
    let awnings = rig.awning.iter().enumerate().map(|(at, awning)| ("awning", at, &awning.bolts));
    mounts.chain(members).chain(recoveries).chain(fixings).chain(items).chain(awnings)
}

fn all_screws(rig: &Rig) -> impl Iterator<Item = Fastened<'_, Screws>> {
    let fixings = rig.fixing.iter().enumerate().map(|(at, fixing)| ("fixing", at, &fixing.screws));
    let items = rig.roof_item.iter().enumerate().map(|(at, item)| ("roof_item", at, &item.screws));
    let awnings = rig.awning.iter().enumerate().map(|(at, awning)| ("awning", at, &awning.screws));
    fixings.chain(items).chain(awnings)
}

fn all_welds(rig: &Rig) -> impl Iterator<Item = Fastened<'_, Welds>> {
    let mounts = rig.mount.iter().enumerate().map(|(at, mount)| ("mount", at, &mount.welds));
    let members = rig.cross_member.iter().enumerate().map(|(at, member)| ("cross_member", at, &member.welds));
    let recoveries = rig.recovery.iter().enumerate().map(|(at, recovery)| ("recovery", at, &recovery.welds));
    mounts.chain(members).chain(recoveries)
}

/// A screw is as thick as screws are; a size that is no length ("#10") is left to those who know numbers.
pub(super) fn screw_sizes(checker: &mut Checker<'_>) {
    let range = &ranges().screw_size;
    for (table, at, list) in all_screws(checker.rig) {
        for (index, screws) in list.iter().enumerate() {
            let size = screws.size.as_deref().and_then(|size| quantity::parse(size, Dimension::Length).ok());
            if size.is_some_and(|size| !range.contains(&size)) {
                let shown = |si: f64| quantity::show(si, Dimension::Length, System::Metric, None);
                let expected = format!("a diameter between {} and {}", shown(*range.start()), shown(*range.end()));
                let path = list.path_of(&format!("{table}[{}].screws", at + 1), index);
                checker.say(format!("{path}.size"), "no screw has a diameter like that", Some(expected), None);
            }
        }
    }
}

/// Paths of the counts of pieces that say there is none: there is one at least.
pub(super) fn no_counts(checker: &Checker<'_>) -> Vec<String> {
    let rig = checker.rig;
    let mut none: Vec<String> = Vec::new();
    // A path is written only where something is wrong: copies by the dozen are checked too.
    let mut see = |count: Option<u32>, path: &dyn Fn() -> String| {
        if count == Some(0) {
            none.push(path());
        }
    };
    for (table, at, list) in all_bolts(rig) {
        for (index, bolts) in list.iter().enumerate() {
            let path = |key: &str| format!("{}.{key}", list.path_of(&format!("{table}[{}].bolts", at + 1), index));
            see(bolts.count, &|| path("count"));
            see(bolts.rows, &|| path("rows"));
        }
    }
    for (table, at, list) in all_screws(rig) {
        for (index, screws) in list.iter().enumerate() {
            see(screws.count, &|| format!("{}.count", list.path_of(&format!("{table}[{}].screws", at + 1), index)));
        }
    }
    for (table, at, list) in all_welds(rig) {
        for (index, welds) in list.iter().enumerate() {
            for (number, run) in welds.runs.iter().enumerate() {
                see(run.count, &|| {
                    let runs = format!("{}.runs", list.path_of(&format!("{table}[{}].welds", at + 1), index));
                    format!("{}.count", welds.runs.path_of(&runs, number))
                });
            }
        }
    }
    for (at, item) in rig.roof_item.iter().enumerate() {
        see(item.count, &|| format!("roof_item[{}].count", at + 1));
        see(item.feet, &|| format!("roof_item[{}].feet", at + 1));
    }
    for (at, awning) in rig.awning.iter().enumerate() {
        see(awning.brackets, &|| format!("awning[{}].brackets", at + 1));
    }
    for (at, strap) in rig.strap.iter().enumerate() {
        see(strap.count, &|| format!("strap[{}].count", at + 1));
    }
    for (at, tie) in rig.tie.iter().enumerate() {
        see(tie.count, &|| format!("tie[{}].count", at + 1));
    }
    none
}
