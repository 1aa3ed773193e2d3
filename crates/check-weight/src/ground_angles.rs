//! weight/ground-angles: where does it touch down?
//!
//! demand      steepest ramp at either end, sharpest crest between the wheels that the lowest corners clear (rad), and the
//!             height of the lowest corner (m)
//! capacity    the owner's wishes in `[ground]`, at least; without a wish the number and no verdict, since there is no law
//! states      every travel state: a piece that is out hangs where its `out_at` says
//! leaves out  springs pressed down (1 to 3 degrees), soft ground, the sides

use std::borrow::Cow;
use std::sync::Arc;

use basis::Basis;
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Words, draft::Goal};
use quantity::{Dimension, Estimate, real};
use rig_facts::StateFacts;
use rig_facts::extents::Corner;
use rig_facts::ground::{Ramp, Touch, first_touch};
use rig_model::model::Coord;

use crate::lower::reaches;
use crate::remedy::{metres, restate, step, up_to_step};
use crate::subject::every_state;
use crate::working;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/ground-angles"),
    question: Cow::Borrowed("Where does it touch down?"),
    words: Words::new("clears", "is to clear"),
    consequence: Consequence::Damage,
    scope: Scope::Travel,
    needs: List::Static(&["low_point", "axle.x", "axle.tyre.radius"]),
    uses: on_extents!["ground"],
    limits: List::Static(&[]),
    formula: List::Static(&[
        "approach, departure = atan((z - R) / D) + asin(R / distance of the point from the hub); D from hub to point, R radius",
        "breakover = the sum of the same two angles from the front and from the rear wheel",
        "the corner with the smallest angle counts; clearance = height of the lowest corner",
    ]),
    cautions: List::Static(&[
        "only what the file names can touch here: list bumper, steps, tanks, hitch and exhaust as [[low_point]]",
        "springs pressed down cost 1 to 3 degrees more",
    ]),
};

/// Where does it touch down?
#[derive(Debug)]
pub struct GroundAngles;

impl Check for GroundAngles {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| {
            let mut findings: Vec<Finding> = Ramp::ALL.iter().map(|ramp| angle(cx, state, *ramp)).collect();
            findings.push(clearance(cx, state));
            findings
        })
    }
}

fn begin<'c>(cx: &'c Context, state: &StateFacts, case: &str, touches: Option<&str>) -> Draft<'c> {
    let about = touches.map_or_else(|| case.to_owned(), |touches| format!("{case}, {touches}"));
    CARD.about(cx, about).at(format!("ground.{case}")).in_state(&state.name).case(case)
}

fn angle(cx: &Context, state: &StateFacts, ramp: Ramp) -> Finding {
    let ground = cx.rig().ground.as_ref();
    let wish = match ramp {
        Ramp::Approach => ground.and_then(|ground| ground.approach),
        Ramp::Departure => ground.and_then(|ground| ground.departure),
        Ramp::Breakover => ground.and_then(|ground| ground.breakover),
    };
    let wish = wish.map(|wish| wish.si());
    if cx.rig().low_point.is_empty() {
        return begin(cx, state, ramp.word(), None).missing("low_point");
    }
    let touch = match first_touch(ramp, state, cx.facts().axles()) {
        Err(gap) => return begin(cx, state, ramp.word(), None).blocked(&gap),
        Ok(None) if wish.is_some() => return begin(cx, state, ramp.word(), None).missing("low_point"),
        Ok(None) => return begin(cx, state, ramp.word(), None).not_applicable("no corner there is named, and no wish is stated"),
        Ok(Some(touch)) => touch,
    };
    let draft = begin(cx, state, ramp.word(), Some(&touch.corner.name)).exhibit("side-view");
    let Some(wish) = wish else {
        let why = format!("{} touches first; no {} is asked for in [ground]", touch.corner.name, ramp.word());
        return draft.words("clears", "").show(&touch.angle, Dimension::Angle, why);
    };
    let wish = Estimate::exact(wish);
    let held =
        [Held::at_least("the owner's wish", wish.clone(), Dimension::Angle, Basis::owner(&format!("ground.{}", ramp.word())))];
    draft
        .compare(&touch.angle, &held)
        .sentence(format!("{} touches first", touch.corner.name))
        .working(|| show_working(cx, state, ramp, &touch))
        .remedies(|goal| raise(cx, state, goal, &|state| meets(cx, state, ramp, &wish)).into_iter().collect())
        .done()
}

fn clearance(cx: &Context, state: &StateFacts) -> Finding {
    let wish = cx.rig().ground.as_ref().and_then(|ground| ground.clearance).map(|wish| wish.si());
    if cx.rig().low_point.is_empty() {
        return begin(cx, state, "clearance", None).missing("low_point");
    }
    let Some(lowest) = lowest(state) else { return begin(cx, state, "clearance", None).missing("low_point") };
    let draft = begin(cx, state, "clearance", Some(&lowest.name)).exhibit("side-view");
    let Some(wish) = wish else {
        let why = format!("{} hangs lowest; no clearance is asked for in [ground]", lowest.name);
        return draft.words("clears", "").show(&lowest.z, Dimension::Length, why);
    };
    let wish = Estimate::exact(wish);
    let held = [Held::at_least("the owner's wish", wish.clone(), Dimension::Length, Basis::owner("ground.clearance"))];
    let meets = |state: &StateFacts| match self::lowest(state) {
        Some(lowest) if !reaches(&lowest.z, &wish) => Some(lowest.clone()),
        _ => None,
    };
    draft
        .compare(&lowest.z, &held)
        .sentence(format!("{} hangs lowest", lowest.name))
        .working(|| [format!("{} hangs {} over the ground", lowest.name, working::m(lowest.z.value()))])
        .remedies(|goal| raise(cx, state, goal, &meets).into_iter().collect())
        .done()
}

fn lowest(state: &StateFacts) -> Option<&Corner> {
    state.extents.corners.iter().min_by(|a, b| a.z.value().total_cmp(&b.z.value()))
}

/// The corner that still touches too early, if one does.
fn meets(cx: &Context, state: &StateFacts, ramp: Ramp, wish: &Estimate) -> Option<Corner> {
    match first_touch(ramp, state, cx.facts().axles()) {
        Ok(Some(touch)) if !reaches(&touch.angle, wish) => Some(touch.corner),
        _ => None,
    }
}

fn show_working(cx: &Context, state: &StateFacts, ramp: Ramp, touch: &Touch) -> Vec<String> {
    let Some((front, rear)) = cx.facts().axles().ends(&state.lifted) else { return Vec::new() };
    let (x, z, r) = (touch.corner.x.value(), touch.corner.z.value(), touch.radius);
    let hub = |index: usize| cx.facts().axles().list().get(index).and_then(|axle| axle.x.as_ref().ok()).map(Estimate::value);
    let wheels: Vec<f64> = match ramp {
        Ramp::Approach | Ramp::Departure => vec![touch.wheel_x],
        Ramp::Breakover => [front, rear].into_iter().filter_map(hub).collect(),
    };
    let n = working::figure;
    let (z, r) = (n(z, 4), n(r, 4));
    let (mut lines, mut angles) = (Vec::new(), Vec::new());
    for wheel in wheels {
        let away = n((x - wheel).abs(), 4);
        let over = z.get() - r.get();
        let reach = n((over * over + away.get() * away.get()).sqrt(), 5);
        let angle = real::atan(over / away.get()) + real::asin(r.get() / reach.get());
        let angle = n(angle.to_degrees(), 2);
        lines.push(format!("{}: atan(({z} - {r}) / {away}) + asin({r} / {reach}) = {angle} deg", touch.corner.name));
        angles.push(angle);
    }
    if let [front, rear] = angles.as_slice() {
        lines.push(format!("{front} deg + {rear} deg = {} deg", working::number(front.get() + rear.get(), 2)));
    }
    lines
}

/// Raise the corners that touch too early, one after the other until all is well; only corners that the file names as
/// low points, stowed, and not under an axle, which hangs where it hangs. While it is unsettled a tape tells first.
fn raise(cx: &Context, state: &StateFacts, goal: &Goal, touches: &dyn Fn(&StateFacts) -> Option<Corner>) -> Option<Proposal> {
    if goal.margin.interval95().1 >= 0.0 {
        return None;
    }
    let mut raised = state.clone();
    let (mut edits, mut words) = (Vec::new(), Vec::new());
    while let Some(corner) = touches(&raised) {
        let at = raised.extents.corners.iter().position(|one| one.path == corner.path && one.name == corner.name)?;
        let index =
            cx.rig().low_point.iter().position(|point| point.name == corner.name && corner.path.starts_with("low_point"))?;
        let point = cx.rig().low_point.get(index)?;
        let free = point.of.is_none() && !under_an_axle(cx, &corner) && edits.len() < cx.rig().low_point.len();
        let by = free.then(|| lift_needed(&raised, &corner, touches)).flatten()?;
        let to = corner.z.offset(by);
        Arc::make_mut(&mut raised.extents).corners.get_mut(at)?.z = to.clone();
        let floor = if point.in_.is_some() { cx.facts().body().floor.as_ref().ok()?.value() } else { 0.0 };
        let stated = match point.at.as_ref() {
            Some([_, _, Coord::Length(stated)]) => Some(stated),
            _ => None,
        };
        edits.push(restate(cx, format!("{}.at[3]", corner.path), stated, to.value() - floor));
        words.push(format!("{} by {}", corner.name, metres(cx, by)));
    }
    (!edits.is_empty()).then(|| Proposal { text: format!("raise {}", words.join(" and ")), effort: Effort::AnAfternoon, edits })
}

fn under_an_axle(cx: &Context, corner: &Corner) -> bool {
    cx.facts().axles().list().iter().any(|axle| match (&axle.x, &axle.radius) {
        (Ok(x), Ok(radius)) => (corner.x.value() - x.value()).abs() < radius.value(),
        _ => false,
    })
}

/// Least rise of one corner, in whole centimetres, with which it no longer touches too early. None if no rise helps.
fn lift_needed(state: &StateFacts, corner: &Corner, touches: &dyn Fn(&StateFacts) -> Option<Corner>) -> Option<f64> {
    let mut alone = state.clone();
    let mut well = |by: f64| {
        Arc::make_mut(&mut alone.extents).corners = vec![Corner { z: corner.z.offset(by), ..corner.clone() }];
        touches(&alone).is_none()
    };
    // A corner that wants more than a metre is no bracket to be moved.
    let (mut low, mut high) = (0.0, 1.0);
    if !well(high) {
        return None;
    }
    for _ in 0..f64::MANTISSA_DIGITS {
        let middle = (low + high) / 2.0;
        if well(middle) { high = middle } else { low = middle }
    }
    Some(up_to_step(high, step::MOVE_M))
}
