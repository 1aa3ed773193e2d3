//! mount/body-support: does the body bear where it is strong, and often enough?
//!
//! demand      case "joist": distance from a mount that bears to the nearest joist or channel of the floor (m), each mount;
//!             cases "left" and "right": longest stretch of that side without a mount under it (m), its ends counted twice
//! capacity    the chosen sets, at most: more for a stiff body, less for a side whose wall was cut down for a door
//! states      once
//! leaves out  what a mount carries (`mount/restraint`), its packer (`mount/packer`), twist (`mount/twist`)

use std::borrow::Cow;
use std::collections::BTreeMap;

use check::draft::has_reserve_under;
use check::edits::{restate, to_step, up_to_step};
use check::remedy::{Effort, Proposal};
use check::working::figure;
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Verdict, Words};
use quantity::{Dimension, Estimate};
use rig_facts::{Gap, MountFacts};
use rig_model::model::{Along, Coord, Direction, Hardness, Side, WallSide};
use rig_model::{Edit, EditOp, Free};

use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/body-support"),
    question: Cow::Borrowed("Does the body bear where it is strong, and often enough?"),
    words: Words::new("bears beside a joist by", "may bear beside it by"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["mount", "mount.at", "body.joist"]),
    uses: List::Static(&[
        "mount.kind",
        "mount.holds",
        "mount.in",
        "mount.name",
        "body.front",
        "body.floor",
        "body.length",
        "body.width",
        "body.height",
        "body.walls",
        "body.twist",
        "body.door_cut",
    ]),
    limits: List::Static(&["mount/joist-offset", "mount/unsupported", "mount/unsupported-stiff", "mount/unsupported-cut"]),
    formula: List::Static(&[
        "a joist that runs across is met in x, one that runs along in y",
        "what hangs over the last mount bends like a span of twice its length",
    ]),
    cautions: List::Static(&[
        "nobody under a body that stands on jacks while mounts are moved: stands or cribbing on hard ground",
    ]),
};

/// Does the body bear where it is strong, and often enough?
#[derive(Debug)]
pub struct BodySupport;

/// Mounts are moved by whole centimetres. A choice of this project.
const STEP_M: f64 = 0.01;

impl Check for BodySupport {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let bearing: Vec<(usize, &MountFacts)> =
            cx.facts().mounts().list().iter().enumerate().filter(|(_, mount)| mount.does_hold(Direction::Down)).collect();
        if bearing.is_empty() {
            return vec![CARD.about(cx, "the body").at("mount").missing("mount")];
        }
        let mut findings = joists(cx, &bearing);
        findings.extend([Side::Left, Side::Right].map(|side| stretch(cx, &bearing, side)));
        findings
    }
}

fn joists(cx: &Context, bearing: &[(usize, &MountFacts)]) -> Vec<Finding> {
    let told = cx.rig().body.as_ref().is_some_and(|body| !body.joist.is_empty());
    if !told {
        return vec![CARD.about(cx, "joists under the floor").at("body").case("joist").missing("body.joist")];
    }
    bearing.iter().map(|(index, mount)| joist(cx, *index, mount)).collect()
}

/// A joist near a mount: how far the mount is off it, rearward (x) or to the right (y).
struct Near {
    off: Estimate,
    axis: usize,
}

fn nearest(cx: &Context, mount: &MountFacts) -> Result<Near, Gap> {
    let joists = cx.rig().body.iter().flat_map(|body| body.joist.iter()).enumerate();
    let [x, y, _] = &mount.at;
    let mut best: Option<Near> = None;
    for (index, joist) in joists {
        let path = format!("body.joist[{}]", index + 1);
        let offset = cx.facts().mounts().told(&format!("{path}.offset"))?;
        let near = match joist.runs {
            Some(Along::Across) => {
                let front = cx.facts().body().front.as_ref().map_err(Clone::clone)?;
                Near { off: x.as_ref().map_err(Clone::clone)? - &(front + offset), axis: 0 }
            }
            Some(Along::Along) => Near { off: y.as_ref().map_err(Clone::clone)? - offset, axis: 1 },
            _ => return Err(Gap::at(format!("{path}.runs"))),
        };
        if best.as_ref().is_none_or(|best| near.off.value().abs() < best.off.value().abs()) {
            best = Some(near);
        }
    }
    best.ok_or_else(|| Gap::at("body.joist"))
}

fn joist(cx: &Context, index: usize, mount: &MountFacts) -> Finding {
    let begin = || -> Draft<'_> { CARD.about(cx, mount.name.clone()).at(&mount.path).case("joist") };
    let near = match nearest(cx, mount) {
        Ok(near) => near,
        Err(gap) => return begin().blocked(&gap),
    };
    let distance = near.off.scale(if near.off.value() < 0.0 { -1.0 } else { 1.0 });
    let held = cx.limits("mount/joist-offset");
    if held.is_empty() {
        return begin().show(&distance, Dimension::Length, NO_LIMIT);
    }
    begin()
        .compare(&distance, &held)
        .remedies(|goal| move_mount(cx, index, mount, &near, goal.capacity.value()).into_iter().collect())
        .done()
}

/// Move the mount to the middle of the joist.
fn move_mount(cx: &Context, index: usize, mount: &MountFacts, near: &Near, most: f64) -> Option<Proposal> {
    let entry = cx.rig().mount.get(index)?;
    let Coord::Length(stated) = entry.at.as_ref()?.get(near.axis)? else { return None };
    // Where the joist lies is not known well enough: moving the mount would not tell.
    if near.off.interval95().1 - near.off.value() > most - STEP_M {
        return None;
    }
    let by = up_to_step(near.off.value().abs(), STEP_M) * -near.off.value().signum();
    let way = match (near.axis, by > 0.0) {
        (0, true) => "rearward",
        (0, false) => "forward",
        (_, true) => "to the right",
        (_, false) => "to the left",
    };
    let path = format!("{}.at[{}]", mount.path, near.axis + 1);
    Some(Proposal {
        text: format!("move mount {} {} {way}, under the joist", mount.name, to_step(cx, by.abs(), Dimension::Length, STEP_M)),
        effort: Effort::CuttingAndWelding,
        edits: vec![restate(cx, path, Some(stated), stated.value()? + by)],
    })
}

/// A stretch of a side without a mount.
struct Stretch<'c> {
    /// Its length, an end twice.
    length: Estimate,
    /// Its middle, and the mount nearest to it.
    middle: f64,
    beside: &'c MountFacts,
    words: String,
}

fn longest<'c>(cx: &Context, bearing: &[(usize, &'c MountFacts)], side: Side) -> Result<Option<Stretch<'c>>, Gap> {
    let (front, rear) = cx.facts().body().outer(0)?;
    let mut under: Vec<(&Estimate, &'c MountFacts)> = Vec::new();
    for (_, mount) in bearing {
        let [x, y, _] = &mount.at;
        let (x, y) = (x.as_ref().map_err(Clone::clone)?, y.as_ref().map_err(Clone::clone)?.value());
        // One in the middle bears both sides.
        if (side == Side::Left && y <= 0.0) || (side == Side::Right && y >= 0.0) {
            under.push((x, mount));
        }
    }
    under.sort_by(|a, b| a.0.value().total_cmp(&b.0.value()));
    let (Some(first), Some(last)) = (under.first(), under.last()) else { return Ok(None) };
    let ends = [
        (first.0 - &front, (first.0.value() + front.value()) / 2.0, first.1, "before"),
        (&rear - last.0, (last.0.value() + rear.value()) / 2.0, last.1, "behind"),
    ];
    let ends = ends.into_iter().map(|(over, middle, beside, word)| Stretch {
        length: over.scale(2.0),
        middle,
        beside,
        words: format!("{word} {}, where it hangs over: counted twice", beside.name),
    });
    let between = under.iter().zip(under.iter().skip(1)).map(|(a, b)| Stretch {
        length: b.0 - a.0,
        middle: (a.0.value() + b.0.value()) / 2.0,
        beside: a.1,
        words: format!("from {} to {}", a.1.name, b.1.name),
    });
    Ok(ends.chain(between).max_by(|a, b| a.length.value().total_cmp(&b.length.value())))
}

fn stretch(cx: &Context, bearing: &[(usize, &MountFacts)], side: Side) -> Finding {
    let (case, wall) = match side {
        Side::Left => ("left", WallSide::Left),
        Side::Right => ("right", WallSide::Right),
    };
    let begin =
        || -> Draft<'_> { CARD.about(cx, format!("{case} side of the body")).at("body").case(case).words("spans", "may span") };
    let longest = match longest(cx, bearing, side) {
        Ok(Some(longest)) => longest,
        Ok(None) => return begin().missing("mount"),
        Err(gap) => return begin().blocked(&gap),
    };
    let body = cx.rig().body.as_ref();
    let cut = body.and_then(|body| body.door_cut) == Some(wall);
    let twist = body.and_then(|body| body.twist);
    let held = match (cut, twist) {
        (true, _) => cx.limits("mount/unsupported-cut"),
        (false, Some(Hardness::Stiff)) => cx.limits("mount/unsupported-stiff"),
        (false, _) => cx.limits("mount/unsupported"),
    };
    if held.is_empty() {
        return begin().show(&longest.length, Dimension::Length, NO_LIMIT);
    }
    let draft = begin().compare(&longest.length, &held);
    if !cut && twist.is_none() && draft.verdict() != Verdict::Pass {
        return begin().missing("body.twist");
    }
    let why = if cut { "; the wall on this side is cut down for the door" } else { "" };
    draft
        .sentence(format!("{}{why}", longest.words))
        .working(|| [format!("{}: {} m", longest.words, figure(longest.length.value(), 3))])
        .remedies(|goal| one_more(cx, case, &longest, &held, goal.capacity.value()).into_iter().collect())
        .done()
}

/// One more mount in the middle of the stretch, where half of it is short enough.
fn one_more(cx: &Context, case: &str, stretch: &Stretch<'_>, held: &[Held], most: f64) -> Option<Proposal> {
    let half = stretch.length.scale(1.0 / 2.0);
    let short = held.iter().all(|_| has_reserve_under(most, &half));
    let [_, Ok(y), Ok(z)] = &stretch.beside.at else { return None };
    let at = |value: f64| Free::Text(quantity::show_exact(value, Dimension::Length, quantity::System::Metric));
    let middle = up_to_step(stretch.middle, STEP_M);
    let place = to_step(cx, middle, Dimension::Length, STEP_M);
    let entry = [
        ("name", Some(Free::Text(format!("{case} support at {place}")))),
        ("at", Some(Free::List(vec![at(middle), at(y.value()), at(z.value())]))),
        ("kind", stretch.beside.kind.map(|kind| Free::Text(kind.word().to_owned()))),
    ];
    let entry: BTreeMap<String, Free> = entry.into_iter().filter_map(|(key, value)| Some((key.to_owned(), value?))).collect();
    short.then(|| Proposal {
        text: format!("one more mount on the {case}, {place} behind the front axle"),
        effort: Effort::CuttingAndWelding,
        edits: vec![Edit { path: "mount".to_owned(), op: EditOp::Add, from: None, to: Some(Free::Table(entry)) }],
    })
}
