//! weight/grade: what happens on a steep ramp?
//!
//! demand      share of the mass on the front end in steady climb, and on the rear end when braking down the same slope;
//!             loads square to the road (1)
//! capacity    the least that still steers, and that still holds its track, at least
//! states      every travel state
//! leaves out  whether engine, tyres and brakes hold it there; springs that give; a bump on the way

use std::borrow::Cow;

use basis::Basis;
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Words, draft::Goal, on_weights};
use quantity::{Dimension, Estimate, real};
use rig_facts::StateFacts;

use crate::lower::reaches_all;
use crate::remedy::{move_body, set, step, to_step};
use crate::subject::every_state;
use crate::two_ends::TwoEnds;
use crate::working;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/grade"),
    question: Cow::Borrowed("What happens on a steep ramp?"),
    words: Words::new("keeps", "must keep"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&["axle.x", "axle.bare_load", "chassis.centre_height"]),
    uses: on_weights!["ground.grade"],
    limits: List::Static(&["weight/climb-steer-share", "weight/descent-rear-share", "weight/deceleration"]),
    formula: List::Static(&[
        "front = (cos a x (base - x) - sin a x height + deceleration / g x height) / base, as a share of the mass",
        "rear = (cos a x x + sin a x height - deceleration / g x height) / base; a positive nose up, x behind the front end",
    ]),
    cautions: List::Static(&[
        "below nothing it tips over; a slope that tips it is not a slope to try",
        "wet ground, a step or a wheel in a hole need the share that is left",
    ]),
};

/// What happens on a steep ramp?
#[derive(Debug)]
pub struct Grade;

impl Check for Grade {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| [Way::Climb, Way::Descent].map(|way| answer(cx, state, way)).into())
    }
}

/// Up or down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Climb,
    Descent,
}

impl Way {
    fn case(self) -> &'static str {
        match self {
            Self::Climb => "climb",
            Self::Descent => "descent",
        }
    }

    fn about(self) -> &'static str {
        match self {
            Self::Climb => "front end on the climb",
            Self::Descent => "rear end when braking downhill",
        }
    }

    fn limit(self) -> &'static str {
        match self {
            Self::Climb => "weight/climb-steer-share",
            Self::Descent => "weight/descent-rear-share",
        }
    }

    /// Share of the mass on the end that gets light.
    fn share(self, rig: &TwoEnds, slope: f64, deceleration: f64) -> Estimate {
        match self {
            Self::Climb => rig.front_share(slope, 0.0),
            Self::Descent => rig.rear_share(-slope, deceleration),
        }
    }
}

fn answer(cx: &Context, state: &StateFacts, way: Way) -> Finding {
    let draft = CARD.about(cx, way.about()).at("ground.grade").in_state(&state.name).case(way.case());
    let rig = match TwoEnds::of(cx, state) {
        Ok(rig) => rig,
        Err(gap) => return draft.blocked(&gap),
    };
    let Some(slope) = cx.rig().ground.as_ref().and_then(|ground| ground.grade.as_ref()).map(|grade| grade.si()) else {
        let tips =
            rig.propagate(|rig| real::atan(if way == Way::Climb { rig.tips_backward_at() } else { rig.tips_forward_at() }));
        let why = "no slope is asked for: standing on this one it would tip over; write grade in [ground] for a verdict";
        return draft.words("tips at", "").show(&tips, Dimension::Slope, why);
    };
    let braking = cx.table("weight/deceleration").and_then(|table| table.number("what", "going downhill", "deceleration"));
    let deceleration = match (way, braking) {
        (Way::Climb, _) => 0.0,
        (Way::Descent, Some(braking)) => braking,
        (Way::Descent, None) => return draft.not_applicable("no set of limits in force says how hard it brakes downhill"),
    };
    let mut held = cx.limits(way.limit());
    held.push(Held::at_least("both ends stay on the ground", Estimate::exact(0.0), Dimension::Ratio, Basis::physics("statics")));
    let share = way.share(&rig, slope, deceleration);
    let draft = draft.compare(&share, &held).working(|| show_working(&rig, way, slope, deceleration)).remedies(|goal| {
        let gentler = gentler(cx, &rig, &held, way, slope, deceleration);
        balance(cx, state, &rig, way, goal, slope).into_iter().chain(gentler).collect()
    });
    match (share.interval95().0 < 0.0, way) {
        (true, Way::Climb) => draft.sentence("it may tip over backward").done(),
        (true, Way::Descent) => draft.sentence("its rear may lift").done(),
        (false, _) => draft.done(),
    }
}

fn show_working(rig: &TwoEnds, way: Way, slope: f64, deceleration: f64) -> Vec<String> {
    let n = working::figure;
    let (tangent, gravity) = (n(real::tan(slope), 5), physics::facts::gravity());
    let angle = real::atan(tangent.get());
    let (sine, cosine) = (n(real::sin(angle), 5), n(real::cos(angle), 5));
    let uphill = n(if way == Way::Climb { sine.get() } else { -sine.get() }, 5);
    let (base, behind, height) = (n(rig.base.value(), 4), n(rig.behind.value(), 4), n(rig.height.value(), 4));
    let pitch = n(height.get() * (uphill.get() - deceleration / gravity), 4);
    let (arm, lightens) = if way == Way::Climb { (n(base.get() - behind.get(), 4), -pitch.get()) } else { (behind, pitch.get()) };
    let (sign, size) = (if lightens < 0.0 { "-" } else { "+" }, n(lightens.abs(), 4));
    let share = working::percent((cosine.get() * arm.get() + lightens) / base.get());
    vec![
        format!("atan({tangent}) = {}", working::deg(angle)),
        format!("sin(atan({tangent})) = {sine}, cos(atan({tangent})) = {cosine}"),
        format!("pitching = {height} m x ({uphill} - {deceleration} / {gravity}) = {pitch} m"),
        format!("share = ({cosine} x {arm} m {sign} {size} m) / {base} m = {share}"),
    ]
}

/// Shift weight towards the end that gets light.
fn balance(cx: &Context, state: &StateFacts, rig: &TwoEnds, way: Way, goal: &Goal, slope: f64) -> Option<Proposal> {
    let axle = *rig.front.first()?;
    let change = goal.change() * rig.mass.value() / real::cos(slope) / rig.front.len() as f64;
    move_body(cx, state, axle, if way == Way::Climb { change } else { -change })
}

/// Keep to a gentler slope: the steepest whole per cent that holds.
fn gentler(cx: &Context, rig: &TwoEnds, held: &[Held], way: Way, slope: f64, deceleration: f64) -> Option<Proposal> {
    let holds = |slope: f64| reaches_all(&way.share(rig, slope, deceleration), held);
    if !holds(0.0) {
        return None;
    }
    let (mut low, mut high) = (0.0, slope);
    for _ in 0..f64::MANTISSA_DIGITS {
        let middle = (low + high) / 2.0;
        if holds(middle) { low = middle } else { high = middle }
    }
    let tangent = (real::tan(low) / step::SLOPE).floor() * step::SLOPE;
    let to = real::atan(tangent);
    (tangent > 0.0).then(|| Proposal {
        text: format!("keep to slopes of {}", to_step(cx, to, Dimension::Slope, step::SLOPE)),
        effort: Effort::Minutes,
        edits: vec![set("ground.grade", Some(slope), to, Dimension::Slope)],
    })
}
