//! mount/restraint: will the body stay on in a stop, a swerve, over a bump?
//!
//! demand      force that each case puts on the body in its direction, in the heaviest travel state (N); where mounts let
//!             go, the moment that tips it (Nm)
//! capacity    what the bolts and welds of all mounts hold that hold that way (N); the moment of its weight (Nm)
//! states      once: the worst travel state counts, and is named
//! leaves out  how the mounts share (`mount/bolt`, `mount/weld`, `mount/packer`), friction: rust and paint slip

use std::borrow::Cow;

use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Verdict, Words};
use physics::facts::gravity;
use physics::support::FreeMotion;
use quantity::{Dimension, Estimate};
use rig_facts::mounts::{Case, Outcome};
use rig_facts::{Gap, StateFacts};
use rig_model::model::{Direction, MountKind};

use crate::bolt::KILO;
use crate::bolt_joint::Joint;
use crate::loads::{case_words, cases, on_mounts, travel};
use crate::places::of_mounts;
use crate::shear_plate;
use crate::sources::source;
use crate::tipping::{self, Tip};
use crate::weld_joint;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/restraint"),
    question: Cow::Borrowed("Will the body stay on in a stop, a swerve, over a bump?"),
    words: Words::new("is pushed by", "is held by"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["mount.at"]),
    uses: on_mounts!["mount.bolts", "mount.welds", "mount.bracket"],
    limits: List::Static(&[]),
    formula: List::Static(&[
        "force = mass of the body and all that rides on it x acceleration of the case",
        "held by = sum over the mounts that hold that way of their weakest line of bolts or welds",
        "where one-sided mounts let go: moment of the push about the axis it tips over against the moment of the weight",
    ]),
    cautions: List::Static(&[
        "friction is not counted: rust, paint and wet wood slip",
        "changing how a body is held often needs an approval and the chassis maker's consent; this is neither",
        "never under a body or a raised axle that a jack, a hoist or a forklift holds alone",
    ]),
};

/// Will the body stay on in a stop, a swerve, over a bump?
#[derive(Debug)]
pub struct Restraint;

impl Check for Restraint {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().mount.is_empty() {
            return vec![begin(cx, "the body").missing("mount")];
        }
        let motions = match cx.facts().mounts().free_motions() {
            Ok(motions) => motions,
            Err(gap) => return vec![begin(cx, "the body").blocked(&gap)],
        };
        if travel(cx).next().is_none() {
            return vec![begin(cx, "the body").missing("state")];
        }
        let strengths = strengths(cx);
        let mut findings: Vec<Finding> = Direction::ALL.iter().map(|direction| held(cx, *direction, &strengths)).collect();
        findings.extend(Turn::ALL.iter().map(|turn| turns(cx, *turn, motions)));
        findings
    }
}

fn begin(cx: &Context, about: impl Into<String>) -> Draft<'_> {
    CARD.about(cx, about).at("mount")
}

/// "sliding rearward".
#[must_use]
pub fn moving(direction: Direction) -> &'static str {
    match direction {
        Direction::Forward => "sliding forward",
        Direction::Rearward => "sliding rearward",
        Direction::Left => "sliding to the left",
        Direction::Right => "sliding to the right",
        Direction::Up => "lifting up",
        Direction::Down => "sinking down",
    }
}

/// How hard a case pushes that way, in g; 0 where it does not.
fn push(case: &Case, direction: Direction) -> f64 {
    let [x, y, z] = case.g;
    let along = match direction {
        Direction::Forward => -x,
        Direction::Rearward => x,
        Direction::Left => -y,
        Direction::Right => y,
        Direction::Up => z,
        Direction::Down => -z,
    };
    along.max(0.0)
}

/// One direction: whether anything holds, whether it lets go, how strong it is.
fn held(cx: &Context, direction: Direction, strengths: &[Strong]) -> Finding {
    let draft = || begin(cx, format!("the body against {}", moving(direction))).case(direction.word());
    let hardest = match hardest(cx, direction) {
        Ok(hardest) => hardest,
        Err(gap) => return draft().blocked(&gap),
    };
    let holding = cx.facts().mounts().list().iter().filter(|mount| mount.does_hold(direction)).count();
    if holding == 0 {
        return nothing(cx, direction, draft(), hardest.as_ref());
    }
    if let Some(tip) = tipping::worst(cx, direction, |case| push(case, direction) > 0.0) {
        return lets_go(cx, draft(), &tip);
    }
    if direction == Direction::Down {
        return draft().require(Holds::Yes, format!("{} bear it", mounts(holding))).done();
    }
    let Some(hardest) = hardest else {
        return draft().require(Holds::Yes, format!("held by {}; no case pushes that way", mounts(holding))).done();
    };
    let (strength, open) = strength(strengths, direction);
    let bound = Held::at_most("bolts and welds", strength, Dimension::Force, source("bolt-tension").clone());
    let compared = draft().compare(&hardest.force, &[bound]);
    if let (true, Some(gap)) = (compared.verdict() != Verdict::Pass, open) {
        return draft().blocked(&gap);
    }
    let unheld = tipping::open_words(cx);
    compared
        .sentence(format!("{}, {}; held by {}{unheld}", case_words(hardest.case), hardest.state.name, mounts(holding)))
        .working(|| {
            let (mass, g, pull) =
                (figure(hardest.mass.value(), 1), figure(push(hardest.case, direction), 3), figure(gravity(), 5));
            let force = mass.get() * g.get() * pull.get() / KILO;
            [format!("{mass} kg x {g} x {pull} / 1000 = {} kN", number(force, 2))]
        })
        .remedies(|goal| shear_plate::of(cx, direction, goal.change()).into_iter().collect())
        .done()
}

/// "4 mounts".
fn mounts(count: usize) -> String {
    if count == 1 { "1 mount".to_owned() } else { format!("{count} mounts") }
}

/// The hardest push in a direction.
struct Hardest<'c> {
    state: &'c StateFacts,
    case: &'static Case,
    mass: Estimate,
    force: Estimate,
}

/// None where no case pushes that way.
fn hardest(cx: &Context, direction: Direction) -> Result<Option<Hardest<'_>>, Gap> {
    let case =
        cases(cx).max_by(|a, b| push(a, direction).total_cmp(&push(b, direction))).filter(|case| push(case, direction) > 0.0);
    let mut worst: Option<Hardest<'_>> = None;
    for state in travel(cx) {
        let mass = cx.facts().riding(state).map_err(Clone::clone)?.mass.clone()?;
        let Some(case) = case else { continue };
        if worst.as_ref().is_none_or(|worst| mass.value() > worst.mass.value()) {
            let force = mass.scale(push(case, direction) * gravity());
            worst = Some(Hardest { state, case, mass, force });
        }
    }
    Ok(worst)
}

/// Nothing holds that way.
fn nothing(cx: &Context, direction: Direction, draft: Draft<'_>, hardest: Option<&Hardest<'_>>) -> Finding {
    let clamped = cx.facts().mounts().list().iter().any(|mount| mount.kind == Some(MountKind::Clamp));
    let sideways_only = !matches!(direction, Direction::Up | Direction::Down);
    let clamps = if clamped && sideways_only { ": U-bolts only clamp; rust and paint slip" } else { "" };
    let wanted = hardest.map_or(String::new(), |hardest| {
        let each = number(hardest.force.value() / 2.0 / KILO, 1);
        match direction {
            Direction::Up => format!("; missing: a bolt a side that holds it down, {each} kN each"),
            Direction::Down => format!("; missing: a bearing a side for {each} kN each"),
            _ => format!("; missing: one shear plate a side for {each} kN each"),
        }
    });
    let sentence = format!("nothing stops the body {}{clamps}{wanted}", moving(direction));
    let force = hardest.map_or(0.0, |hardest| hardest.force.interval95().1);
    draft.require(Holds::No, sentence).proposal(|| shear_plate::of(cx, direction, force)).done()
}

/// One-sided mounts let go, or may.
fn lets_go(cx: &Context, draft: Draft<'_>, tip: &Tip<'_>) -> Finding {
    let basis = basis::Basis::physics("moments about the axis it tips over");
    let when = format!("{}, {}", case_words(tip.case), tip.state.name);
    match &tip.moments {
        Some((tips, holds)) => {
            let bound = Held::at_most("the moment of its weight", holds.clone(), Dimension::Torque, basis);
            draft
                .words("is tipped by", "is held down by")
                .compare(tips, &[bound])
                .sentence(format!("{when}: {}{}", tip.words, tip.let_go_words(cx)))
                .working(|| [format!("tipped by {} Nm, held down by {} Nm", number(tips.value(), 0), number(holds.value(), 0))])
                .remedies(|_| shear_plate::hold_down(cx, tip).into_iter().collect())
                .done()
        }
        None => {
            let basis = basis::Basis::physics("a block only presses");
            let bound = Held::at_least("it presses", Estimate::exact(0.0), Dimension::Force, basis);
            draft
                .words("still presses with", "is to press with")
                .compare(&tip.least, &[bound])
                .sentence(format!("{when}: {}", tip.words))
                .remedies(|_| shear_plate::hold_down(cx, tip).into_iter().collect())
                .done()
        }
    }
}

/// What one mount holds.
struct Strong {
    holds: Vec<Direction>,
    /// Along x, y, z, N; none where neither bolts nor welds are told.
    along: Option<[f64; 3]>,
    /// What to ask where it is not enough.
    open: Option<Gap>,
}

/// What each mount holds by its weakest line of bolts or welds.
fn strengths(cx: &Context) -> Vec<Strong> {
    let straps = cx.facts().mounts().list().iter().filter(|mount| mount.kind == Some(MountKind::Strap));
    let straps = straps.map(|mount| Strong {
        holds: mount.holds.clone().unwrap_or_default(),
        along: Some([0.0; 3]),
        open: Some(Gap::because("strap", "what a strap holds is told in a [[strap]] table, and asked by mount/strap")),
    });
    let mounts = of_mounts(cx).map(|(place, mount)| {
        let facts = place.mounts.first().and_then(|at| cx.facts().mounts().list().get(*at));
        let holds = facts.and_then(|mount| mount.holds.clone().ok()).unwrap_or_default();
        let (mut weakest, mut open) = ([f64::INFINITY; 3], None);
        let mut less = |along: [f64; 3]| weakest.iter_mut().zip(along).for_each(|(weakest, along)| *weakest = weakest.min(along));
        for (index, bolts) in mount.bolts.iter().enumerate() {
            match Joint::read(cx, &place, bolts, mount.bolts.path_of(&format!("{}.bolts", place.path), index)) {
                Ok(joint) => {
                    less(joint.strength());
                    let why = |words: &str| format!("if {words}, the bolts do not hold it");
                    let first = || joint.assumed.first().map(|one| Gap::because(&*one.path, why(&one.words)));
                    open = open.or_else(first);
                }
                Err(gap) => {
                    less([0.0; 3]);
                    open = open.or(Some(gap));
                }
            }
        }
        for (index, welds) in mount.welds.iter().enumerate() {
            match weld_joint::Joint::read(cx, &place, welds, mount.welds.path_of(&format!("{}.welds", place.path), index)) {
                Ok(joint) => less([joint.strength(); 3]),
                Err(gap) => {
                    less([0.0; 3]);
                    open = open.or(Some(gap));
                }
            }
        }
        let along = weakest.iter().all(|along| along.is_finite()).then_some(weakest);
        let untold = || Gap::because(format!("{}.bolts", place.path), "what it holds depends on its bolts or welds");
        Strong { holds, open: open.or_else(|| along.is_none().then(untold)), along }
    });
    mounts.chain(straps).collect()
}

/// What the mounts that hold a way hold together, N; and what to ask where that is not enough.
fn strength(strengths: &[Strong], direction: Direction) -> (Estimate, Option<Gap>) {
    let axis = match direction {
        Direction::Forward | Direction::Rearward => 0,
        Direction::Left | Direction::Right => 1,
        Direction::Up | Direction::Down => 2,
    };
    let holding = || strengths.iter().filter(|strong| strong.holds.contains(&direction));
    let along = holding().filter_map(|strong| strong.along?.get(axis).copied());
    (Estimate::exact(along.sum()), holding().find_map(|strong| strong.open.clone()))
}

/// A way to turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Turn {
    Roll,
    Pitch,
    Yaw,
}

impl Turn {
    const ALL: [Turn; 3] = [Turn::Roll, Turn::Pitch, Turn::Yaw];

    fn word(self) -> &'static str {
        match self {
            Turn::Roll => "roll",
            Turn::Pitch => "pitch",
            Turn::Yaw => "yaw",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Turn::Roll => "rolling over sideways",
            Turn::Pitch => "pitching nose up or down",
            Turn::Yaw => "turning about an upright axis",
        }
    }

    /// The turn that a motion is most of; none for a slide.
    fn of(motion: &FreeMotion) -> Option<Self> {
        let [x, y, z] = motion.rotation.map(f64::abs);
        if x + y + z == 0.0 {
            None
        } else if x >= y && x >= z {
            Some(Turn::Roll)
        } else if y >= z {
            Some(Turn::Pitch)
        } else {
            Some(Turn::Yaw)
        }
    }
}

/// Whether the mounts leave the body free to turn, whatever the load.
fn turns(cx: &Context, turn: Turn, motions: &[FreeMotion]) -> Finding {
    let draft = begin(cx, format!("the body against {}: {}", turn.word(), turn.words())).case(turn.word());
    let Some(motion) = motions.iter().find(|motion| Turn::of(motion) == Some(turn)) else {
        return draft.require(Holds::Yes, format!("the mounts hold it from {}", turn.words())).done();
    };
    let place = motion.axis_point.map_or(String::new(), |[x, y, _]| {
        let metres = |value: f64| number(value, 2);
        match turn {
            Turn::Roll => format!(" about a line {} m to the right of the middle", metres(y)),
            Turn::Pitch | Turn::Yaw => format!(" about x = {} m", metres(x)),
        }
    });
    let sentence = format!("nothing stops the body {}{place}", turn.words());
    draft.require(Holds::No, sentence).proposal(|| shear_plate::against(cx, turn == Turn::Yaw)).done()
}

/// The outcome of a case in a state, for [`tipping`].
pub(crate) fn outcome<'c>(cx: &'c Context, state: &StateFacts, case: &Case) -> Option<&'c Outcome> {
    cx.facts().mount_outcome(state, case).ok()
}
