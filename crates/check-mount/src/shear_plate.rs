//! Ways out for a body that nothing holds in some direction: a shear plate a side, a bolt at each corner that holds it
//! down. Each is a mount of its own, with bolts sized for its share.

use check::Context;
use check::draft::GOAL;
use check::remedy::{Effort, Proposal};
use physics::facts::gravity;
use physics::mount_facts;
use quantity::{Dimension, System, show_exact};
use rig_facts::mounts::{Case, MountFacts};
use rig_model::model::{Direction, MountKind};
use rig_model::{Edit, EditOp, Free};

use crate::bolt_joint::{Joint, MILLI};
use crate::loads::{cases, travel};
use crate::places::Place;
use crate::tipping::Tip;

/// What a plate is made of, and how it is bolted: choices of this project, sold everywhere.
const PLATE: &str = "6 mm S235";
const CLASS: &str = "8.8";
/// Thinner bolts shear when somebody leans on the spanner. A choice of this project.
const THINNEST_M: f64 = 0.01;
/// Bolts through each plate, so that it does not turn.
const BOLTS: u32 = 2;
/// Edge distances in bolt diameters.
const EDGE: f64 = 3.0;
const STEP_M: f64 = 0.005;

/// Mounts that hold one way or another, one a side.
#[must_use]
pub fn of(cx: &Context, direction: Direction, force: f64) -> Option<Proposal> {
    match direction {
        Direction::Forward | Direction::Rearward => pair(cx, &[Direction::Forward, Direction::Rearward], force),
        Direction::Left | Direction::Right => ends(cx, &[Direction::Left, Direction::Right], force),
        Direction::Up => corners(cx, force),
        Direction::Down => None,
    }
}

/// Against a turn: about an upright axis plates along the rails hold, about a lying one bolts at the corners.
#[must_use]
pub fn against(cx: &Context, yaw: bool) -> Option<Proposal> {
    if yaw {
        pair(cx, &[Direction::Forward, Direction::Rearward], heaviest(cx, true)?)
    } else {
        corners(cx, heaviest(cx, false)?)
    }
}

/// Against letting go: bolts at the corners for all that the tip lacks.
#[must_use]
pub fn hold_down(cx: &Context, _tip: &Tip<'_>) -> Option<Proposal> {
    corners(cx, heaviest(cx, true)?)
}

/// The hardest push along the level, or up, on the heaviest body, N.
fn heaviest(cx: &Context, level: bool) -> Option<f64> {
    let push = |case: &'static Case| match case.g {
        [x, y, _] if level => x.abs().max(y.abs()),
        [_, _, z] => z,
    };
    let hardest = cases(cx).map(push).fold(0.0, f64::max);
    let masses = travel(cx).filter_map(|state| cx.facts().riding(state).ok()?.mass.as_ref().ok().map(|mass| mass.interval95().1));
    let mass = masses.fold(0.0, f64::max);
    (mass > 0.0).then_some(mass * hardest * gravity())
}

/// A mount with its place, m.
type Placed<'c> = (&'c MountFacts, [f64; 3]);

fn placed(cx: &Context) -> Vec<Placed<'_>> {
    let bears = |mount: &&MountFacts| mount.kind != Some(MountKind::Strap);
    let place = |mount| Some((mount, at(mount)?));
    cx.facts().mounts().list().iter().filter(bears).filter_map(place).collect()
}

fn at(mount: &MountFacts) -> Option<[f64; 3]> {
    match &mount.at {
        [Ok(x), Ok(y), Ok(z)] => Some([x.value(), y.value(), z.value()]),
        _ => None,
    }
}

/// The mount that reaches farthest by a measure; of two alike the first.
fn farthest<'p, 'c>(all: &'p [Placed<'c>], measure: impl Fn(&[f64; 3]) -> f64) -> Option<&'p Placed<'c>> {
    all.iter().reduce(|best, other| if measure(&other.1) > measure(&best.1) { other } else { best })
}

fn middle(all: &[Placed<'_>]) -> f64 {
    all.iter().map(|(_, [x, ..])| x).sum::<f64>() / (all.len().max(1) as f64)
}

/// One each side, half way along.
fn pair(cx: &Context, holds: &[Direction], force: f64) -> Option<Proposal> {
    let all = placed(cx);
    let middle = middle(&all);
    // The side counts before the place along it.
    let sided = |sign: f64| farthest(&all, move |[x, y, _]| sign * y * SIDE_FIRST - (x - middle).abs());
    let (left, right) = (sided(-1.0)?, sided(1.0)?);
    let there = |(_, [_, y, z]): &Placed<'_>, x: f64| [x, *y, *z];
    let places = [("left shear plate", there(left, middle)), ("right shear plate", there(right, middle))];
    let text = |bolts: &str| format!("bolt a shear plate ({PLATE}) to each rail, {bolts} each");
    holders(cx, holds, &places, force, text)
}

/// A metre across counts as much as so many along. A choice of this project.
const SIDE_FIRST: f64 = 1000.0;

/// One at each end, on the middle line of the mounts there.
fn ends(cx: &Context, holds: &[Direction], force: f64) -> Option<Proposal> {
    let all = placed(cx);
    let (front, rear) = (farthest(&all, |[x, ..]| -x)?, farthest(&all, |[x, ..]| *x)?);
    let places = [("front side stop", front.1), ("rear side stop", rear.1)];
    let text = |bolts: &str| format!("bolt a side stop ({PLATE}) to the frame at each end of the body, {bolts} each");
    holders(cx, holds, &places, force, text)
}

/// One at each corner.
fn corners(cx: &Context, force: f64) -> Option<Proposal> {
    let all = placed(cx);
    let corner = |along: f64, across: f64| farthest(&all, move |[x, y, _]| along * x + across * y);
    let names = ["front left hold-down", "front right hold-down", "rear left hold-down", "rear right hold-down"];
    let found = [corner(-1.0, -1.0)?, corner(-1.0, 1.0)?, corner(1.0, -1.0)?, corner(1.0, 1.0)?];
    let places: Vec<(&str, [f64; 3])> = names.into_iter().zip(found).map(|(name, (_, at))| (name, *at)).collect();
    // Two of four may carry all of it: a frame twists.
    let text = |bolts: &str| format!("bolt the body down at each corner, {bolts} each");
    holders(cx, &[Direction::Up], &places, force * 2.0, text)
}

/// New mounts that share a force, with the least bolts that hold it.
fn holders(
    cx: &Context,
    holds: &[Direction],
    places: &[(&str, [f64; 3])],
    force: f64,
    text: impl Fn(&str) -> String,
) -> Option<Proposal> {
    if places.iter().any(|(name, _)| cx.rig().mount.iter().any(|mount| mount.name == *name)) {
        return None;
    }
    let each = force / (places.len().max(1) as f64) / GOAL;
    let sizes = mount_facts::table("bolt/thread-metric")?.pairs("size", "diameter");
    let sizes = sizes.filter(|(_, diameter)| *diameter >= THINNEST_M);
    let (size, edge) =
        sizes.map(|(size, diameter)| (size, (diameter * EDGE / STEP_M).ceil() * STEP_M)).find(|(size, edge)| {
            joint(cx, size, *edge).is_some_and(|joint| joint.strength().iter().all(|strength| *strength >= each))
        })?;
    let shown = |value: f64| Free::Text(show_exact(value, Dimension::Length, System::Metric));
    let metres = |value: f64| Free::Text(show_exact((value / MILLI).round() * MILLI, Dimension::Length, System::Metric));
    let table =
        |entries: Vec<(&str, Free)>| Free::Table(entries.into_iter().map(|(key, value)| (key.to_owned(), value)).collect());
    let bolts = || {
        table(vec![
            ("size", Free::Text(size.to_owned())),
            ("class", Free::Text(CLASS.to_owned())),
            ("count", Free::Number(BOLTS.into())),
            ("edge", shown(edge)),
            ("side_edge", shown(edge)),
            ("pitch", shown(edge)),
            ("into", Free::Text(PLATE.to_owned())),
        ])
    };
    let mount = |(name, at): &(&str, [f64; 3])| {
        table(vec![
            ("name", Free::Text((*name).to_owned())),
            ("at", Free::List(at.iter().map(|value| metres(*value)).collect())),
            ("holds", Free::List(holds.iter().map(|way| Free::Text(way.word().to_owned())).collect())),
            ("bolts", bolts()),
        ])
    };
    let edit = |place| Edit { path: "mount".to_owned(), op: EditOp::Add, from: None, to: Some(mount(place)) };
    Some(Proposal {
        text: text(&format!("{BOLTS} x {size} {CLASS}")),
        effort: Effort::PartsToBuy,
        edits: places.iter().map(edit).collect(),
    })
}

/// Such bolts, as the check will read them.
fn joint(cx: &Context, size: &str, edge: f64) -> Option<Joint> {
    let place =
        Place { about: String::new(), path: String::new(), mounts: Vec::new(), lever: 1.0, arm: None, kind: None, part: None };
    let bolts = rig_model::model::Bolts {
        size: Some(size.to_owned()),
        class: Some(CLASS.to_owned()),
        count: Some(BOLTS),
        into: Some(rig_model::model::Short(rig_model::model::OneLine::from_line(PLATE)?)),
        ..Default::default()
    };
    Joint::read(cx, &place, &bolts, String::new()).ok().map(|joint| joint.at_edge(edge, plate_thickness()))
}

/// Thickness of [`PLATE`], m.
fn plate_thickness() -> f64 {
    let plate: Option<rig_model::model::Plate> = rig_model::model::OneLine::from_line(PLATE);
    plate.and_then(|plate| plate.thickness?.value()).unwrap_or_default()
}
