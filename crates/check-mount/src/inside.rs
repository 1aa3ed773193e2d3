//! mount/inside: what holds the heavy things in the body when the truck stops short?
//!
//! demand      force of the hardest of the chosen accelerations in a direction in which nothing solid bears it (N)
//! capacity    what its screws, bolts or straps hold, loaded sideways, which is their weaker way
//! states      once: each thing in the travel state in which it weighs most; case "others": heavy things of which no fixing is
//!             told
//! leaves out  a crash (10 g and more: rules for seats and belts), tall things that tip: they want a second hold high up

use std::borrow::Cow;

use check::draft::has_reserve;
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Words, on_riders};
use physics::facts::gravity;
use quantity::Estimate;
use rig_facts::{Gap, Item, ItemKind, mounts};
use rig_model::model::{Direction, Fixing, PlacedIn};
use rig_model::path;

use crate::fastened::{self, Hold, Way};
use crate::limits_told::least;
use crate::things;
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/inside"),
    question: Cow::Borrowed("What holds the heavy things in the body when the truck stops short?"),
    words: Words::new("pulls with", "is held with"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["fixing"]),
    uses: on_riders!["roof_item.of", "roof_item.name", "awning.of"],
    limits: List::Static(&["mount/inside-mass"]),
    formula: List::Static(&[
        "force = mass x acceleration of the chosen codes, of the ways in which nothing solid bears it",
        "held by the best of its screws, bolts and straps; a screw sideways holds a third of its pull",
    ]),
    cautions: List::Static(&[
        "these are the forces of hard braking and of bad roads, not of a crash: nobody sits where something heavy may land",
        "a tall thing tips before it slides: fasten it high up as well",
    ]),
};

/// What holds the heavy things in the body when the truck stops short?
#[derive(Debug)]
pub struct Inside;

/// How many loose things a sentence names.
const NAMED: usize = 3;

impl Check for Inside {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let mut findings: Vec<Finding> = cx
            .rig()
            .fixing
            .iter()
            .enumerate()
            .map(|(index, fixing)| answer(cx, fixing, &format!("fixing[{}]", index + 1)))
            .collect();
        findings.push(others(cx));
        findings.extend(seats(cx));
        findings
    }
}

/// People who ride in the body: nothing here says whether their seats and belts hold.
fn seats(cx: &Context) -> Option<Finding> {
    let seats = cx.rig().seat.iter().enumerate().filter(|(_, seat)| seat.in_ == Some(PlacedIn::Body));
    let (first, names): (Vec<String>, Vec<&str>) =
        seats.map(|(index, seat)| (path::of("seat", &seat.name, index), seat.name.as_str())).unzip();
    let sentence = format!(
        "seats and belts are not covered here: {} wants a tested seat, belts and anchors, and somebody licensed to sign for them; \
         until then nobody rides there",
        names.join(", ")
    );
    let subject = first.into_iter().next()?;
    let begin = CARD.about(cx, "seats and belts in the body").at(subject.clone()).case("seats");
    Some(begin.require(Holds::Unknown(subject), sentence).done())
}

/// A push that nothing solid bears.
struct Push {
    g: f64,
    words: &'static str,
}

/// Every way in which the codes in force push something, hardest first.
fn pushes(cx: &Context) -> Vec<(Direction, Push)> {
    let mut all: Vec<(Direction, Push)> = Vec::new();
    for case in mounts::cases::in_force(cx.rig()) {
        let [x, y, z] = case.g;
        let ways = [
            (Direction::Forward, -x, "braking"),
            (Direction::Rearward, x, "starting off"),
            (Direction::Left, -y, "swerving"),
            (Direction::Right, y, "swerving"),
            (Direction::Up, z, "a bump that throws it up"),
        ];
        all.extend(ways.into_iter().filter(|(_, g, _)| *g > 0.0).map(|(way, g, words)| (way, Push { g, words })));
    }
    all.sort_by(|a, b| b.1.g.total_cmp(&a.1.g));
    all
}

fn answer(cx: &Context, fixing: &Fixing, at: &str) -> Finding {
    let begin = || CARD.about(cx, fixing.of.clone()).at(at);
    let Some(thing) = cx.rig().thing(&fixing.of) else { return begin().missing(format!("{at}.of")) };
    let laden = match things::heaviest(cx, &thing.path()) {
        Ok(Some(laden)) => laden,
        Ok(None) => return begin().not_applicable("it is at home in every travel state"),
        Err(gap) => return begin().blocked(&gap),
    };
    let bears = fixing.bears.as_deref().unwrap_or(&[]);
    let all = pushes(cx);
    let Some((way, push)) = all.iter().find(|(way, _)| !bears.contains(way)) else {
        return begin().require(Holds::Yes, "something solid bears it every way").done();
    };
    let straps = fastened::straps(cx, at, fixing.straps);
    let hold = match fastened::fasteners_or(cx, at, &fixing.screws, &fixing.bolts, straps) {
        Ok(Some(hold)) => hold,
        Ok(None) => {
            let why = format!("nothing is told that holds it {}", towards(*way));
            return begin().blocked(&Gap::because(format!("{at}.screws"), why));
        }
        Err(gap) => return begin().blocked(&gap),
    };
    let force = laden.mass.scale(push.g * gravity());
    let draft = match hold.judge(begin, &force, Way::Sideways) {
        Ok(draft) => draft,
        Err(finding) => return *finding,
    };
    let sentence = hold.remark(&draft, format!("{} at {} g, in {}", push.words, push.g, laden.state.name));
    draft
        .sentence(sentence)
        .working(|| {
            let mass = figure(laden.mass.value(), 1);
            let force = number(mass.get() * push.g * gravity(), 0);
            let line = format!("{mass} kg x {} x {} m/s2 = {force} N", push.g, gravity());
            std::iter::once(line).chain(hold.lines(Way::Sideways)).collect::<Vec<_>>()
        })
        .remedies(|_| {
            let group = hold.groups.first().filter(|_| hold.groups.len() == 1);
            let more = group.and_then(|group| {
                let count = fastened::enough(group, &force, Way::Sideways, 1)?;
                Some(fastened::more_of(group, count, &fixing.of))
            });
            let holds = |hold: &Hold| has_reserve(&hold.strength(Way::Sideways), &force);
            let through = || fastened::through_bolts(cx, at, &fixing.of, 2, holds);
            more.into_iter().chain(fixing.bolts.is_empty().then(through).flatten()).collect()
        })
        .done()
}

fn towards(way: Direction) -> &'static str {
    match way {
        Direction::Forward => "when the truck brakes",
        Direction::Rearward => "when the truck starts off",
        Direction::Left | Direction::Right => "when the truck swerves",
        Direction::Up | Direction::Down => "when a bump throws it up",
    }
}

/// Heavy things in the body of which no fixing is told.
fn others(cx: &Context) -> Finding {
    let begin = || -> Draft<'_> { CARD.about(cx, "what else is in the body").at("fixing").case("others") };
    let Some(least) = least(&cx.limits("mount/inside-mass")) else { return begin().not_applicable(NO_LIMIT) };
    let mut loose: Vec<(f64, &str)> = Vec::new();
    let (mut any, mut unknown) = (false, None);
    for state in cx.states(Scope::Travel) {
        for item in state.items.iter().map(AsRef::as_ref).filter(|item| is_inside(cx, item)) {
            any = true;
            unknown = unknown.or(item.mass.as_ref().err());
            let mass = item.mass.as_ref().map_or(0.0, Estimate::value);
            let told = cx.rig().fixing.iter().any(|fixing| fixing.of == item.name);
            if mass > least && !told && !loose.iter().any(|(_, name)| *name == item.name) {
                loose.push((mass, &item.name));
            }
        }
    }
    if !any {
        return begin().not_applicable("nothing is told to be in the body");
    }
    if loose.is_empty() && unknown.is_none() && cx.rig().fixing.is_empty() {
        return begin().not_applicable("nothing heavy is told to be in the body");
    }
    if let (true, Some(gap)) = (loose.is_empty(), unknown) {
        return begin().blocked(gap);
    }
    if loose.is_empty() {
        let sentence = format!(
            "no thing over {} in the body is without a fixing",
            check::edits::to_step(cx, least, quantity::Dimension::Mass, 1.0)
        );
        return begin().require(Holds::Yes, sentence).done();
    }
    loose.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    let weigh = |mass: f64| check::edits::to_step(cx, mass, quantity::Dimension::Mass, 1.0);
    let named: Vec<String> = loose.iter().take(NAMED).map(|(mass, name)| format!("{name} ({})", weigh(*mass))).collect();
    let more = if loose.len() > NAMED { format!(" and {} more", loose.len() - NAMED) } else { String::new() };
    let sentence = format!("no [[fixing]] is told of {}{more}", named.join(", "));
    begin().require(Holds::Unknown("fixing".to_owned()), sentence).done()
}

/// Whether a thing stands in the body, under its roof, and is not told of as something outside.
fn is_inside(cx: &Context, item: &Item) -> bool {
    let rig = cx.rig();
    let outside = rig.roof_item.iter().any(|roof| roof.name == item.name || roof.of.as_ref() == Some(&item.name))
        || rig.awning.iter().any(|awning| awning.name == item.name || awning.of.as_ref() == Some(&item.name));
    let roof = cx.facts().body().outer(2).map(|(_, top)| top.value());
    let above = matches!((&item.at, roof), ([.., Ok(z)], Ok(roof)) if z.value() > roof);
    matches!(item.kind, ItemKind::Piece | ItemKind::Tank) && item.in_body && item.rides && !outside && !above
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_direction_has_its_words() {
        let words: Vec<&str> = Direction::ALL.iter().map(|way| towards(*way)).collect();
        assert!(words.iter().all(|words| words.starts_with("when ")));
    }
}
