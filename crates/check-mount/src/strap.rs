//! mount/strap: are the straps enough where nothing but straps holds the body?
//!
//! demand      cases "forward", "rearward", "left", "right": force of the chosen accelerations that friction does not hold (N); case
//!             "aggregate": working loads of all straps together as a share of the weight
//! capacity    what the straps hold along the floor: over the top by friction of their tension, direct ones by their pull
//! states      once: in the travel state in which the body weighs most
//! leaves out  tipping, the roof's edge under a strap, wear; a body that mounts hold (`mount/restraint`)

use std::borrow::Cow;

use check::draft::has_reserve;
use check::remedy::{Effort, Proposal};
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Verdict, Words, on_riders};
use physics::facts::gravity;
use physics::{lashing, mount_facts};
use quantity::{Dimension, Estimate, real};
use rig_facts::{Gap, mounts};
use rig_model::model::{Direction, Strap as Entry, StrapKind};
use rig_model::{Edit, EditOp, Free, path};

use crate::sources::source;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/strap"),
    question: Cow::Borrowed("Are the straps enough where nothing but straps holds the body?"),
    words: Words::new("slides with", "is held with"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["strap.capacity"]),
    uses: on_riders!["strap", "mount.name"],
    limits: List::Static(&["mount/strap-aggregate"]),
    formula: List::Static(&[
        "slides with mass x g x (acceleration - friction); a direct strap counts on three quarters of the friction",
        "over the top: 2 x friction x sin(angle) x tension / safety (1.25 forward, else 1.1); tension = STF, half of LC at most",
        "direct: LC x (cos(angle) x cos(plan angle) + friction x sin(angle))",
    ]),
    cautions: List::Static(&[
        "a strapped body is cargo: nobody rides in it, and a body that stays wants mounts",
        "straps over the top hold by friction alone: frost or grease halves it; re-tighten after 50 km",
        "an inspector or the local code may ask for more straps than the arithmetic",
    ]),
};

/// Are the straps enough?
#[derive(Debug)]
pub struct Strap;

/// The faces of which nothing better is told.
const WORST_FACES: &str = "unswept, frozen or greasy";
/// Beyond so many times the straps there is no room for them. A choice of this project.
const MOST_MORE: u32 = 2;

impl Check for Strap {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let begin = || CARD.about(cx, "the straps").at("strap");
        let rig = cx.rig();
        let alone = rig.mount.is_empty() || rig.strap.iter().any(|strap| strap.only_hold == Some(true));
        if !alone {
            return vec![begin().not_applicable("mounts hold the body; straps beside them are not counted on")];
        }
        if rig.strap.is_empty() {
            return vec![begin().missing("strap")];
        }
        let load = match Load::of(cx) {
            Ok(load) => load,
            Err(gap) => return vec![begin().blocked(&gap)],
        };
        let mut findings: Vec<Finding> = Way::ALL.iter().map(|way| answer(cx, &load, *way)).collect();
        findings.extend(aggregate(cx, &load));
        findings
    }
}

/// The ways in which the load is held.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    Forward,
    Rearward,
    Left,
    Right,
}

impl Way {
    const ALL: [Self; 4] = [Self::Forward, Self::Rearward, Self::Left, Self::Right];

    fn word(self) -> &'static str {
        match self {
            Self::Forward => "forward",
            Self::Rearward => "rearward",
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// The hardest acceleration of the codes in force that way, in g.
    fn acceleration(self, cx: &Context) -> f64 {
        let along = |[x, y, _]: [f64; 3]| match self {
            Self::Forward => -x,
            Self::Rearward => x,
            Self::Left => -y,
            Self::Right => y,
        };
        mounts::cases::in_force(cx.rig()).into_iter().map(|case| along(case.g)).fold(0.0, f64::max)
    }

    /// Whether a direct strap holds that way.
    fn is_held_by(self, strap: &Entry) -> bool {
        let direction = match self {
            Self::Forward => Direction::Forward,
            Self::Rearward => Direction::Rearward,
            Self::Left => Direction::Left,
            Self::Right => Direction::Right,
        };
        strap.holds.as_deref().unwrap_or(&[]).contains(&direction)
    }

    fn safety(self) -> f64 {
        if self == Self::Forward { mount_facts::lashing().safety_forward } else { mount_facts::lashing().safety }
    }
}

/// What is strapped, and on what it stands.
struct Load<'c> {
    mass: &'c Estimate,
    state: &'c str,
    friction: f64,
    /// The surface that is not told, where the worst was taken.
    open: Option<Gap>,
}

impl<'c> Load<'c> {
    fn of(cx: &'c Context) -> Result<Self, Gap> {
        let mut heaviest: Option<(&Estimate, &str)> = None;
        for state in cx.states(Scope::Travel) {
            let riding = cx.facts().riding(state).map_err(Clone::clone)?;
            let mass = riding.mass.as_ref().map_err(Clone::clone)?;
            if heaviest.is_none_or(|(most, _)| mass.value() > most.value()) {
                heaviest = Some((mass, &state.name));
            }
        }
        let (mass, state) = heaviest.ok_or_else(|| Gap::at("state"))?;
        let worst = lashing::friction(WORST_FACES, true).unwrap_or_default();
        let (mut friction, mut open) = (f64::INFINITY, None);
        for (index, strap) in cx.rig().strap.iter().enumerate() {
            let wet = strap.wet.unwrap_or(true);
            let told = strap.surface.as_deref().and_then(|faces| lashing::friction(faces, wet));
            if told.is_none() && strap.surface.is_none() {
                open = open.or_else(|| Some(Gap::at(format!("{}.surface", at(strap, index)))));
            }
            friction = friction.min(told.unwrap_or(worst));
        }
        Ok(Self { mass, state, friction, open })
    }
}

fn at(strap: &Entry, index: usize) -> String {
    path::of("strap", &strap.name, index)
}

fn count(strap: &Entry) -> u32 {
    strap.count.unwrap_or(1)
}

/// What all straps of one entry hold along the floor, N; none where they do not hold that way.
fn holds(cx: &Context, strap: &Entry, index: usize, load: &Load<'_>, way: Way) -> Result<Option<Estimate>, Gap> {
    let path = at(strap, index);
    let told = |key: &str| cx.facts().mounts().told(&format!("{path}.{key}")).cloned();
    let kind = strap.kind.ok_or_else(|| Gap::at(format!("{path}.kind")))?;
    let capacity = told("capacity")?;
    let one = match kind {
        StrapKind::Over => {
            let (angle, tension) =
                (told("angle").or_else(|gap| lies(cx, strap, &path, way).map(|at| at.0).ok_or(gap))?, told("standard_tension")?);
            Estimate::propagate(&[&angle, &tension, &capacity], |at| match at {
                [angle, tension, capacity] => {
                    let tension = lashing::counted_tension(*tension, *capacity);
                    Ok::<_, Gap>(lashing::over_top_hold(load.friction, *angle, tension) / way.safety())
                }
                _ => Ok(0.0),
            })?
        }
        StrapKind::Direct if !way.is_held_by(strap) => return Ok(None),
        StrapKind::Direct => {
            let (angle, plan) = match lies(cx, strap, &path, way) {
                Some(lies) => lies,
                None => (told("angle")?, told("plan_angle")?),
            };
            let moving = load.friction * mount_facts::lashing().dynamic;
            Estimate::propagate(&[&angle, &plan, &capacity], |at| match at {
                [angle, plan, capacity] => Ok::<_, Gap>(capacity * lashing::direct_share(moving, *angle, *plan)),
                _ => Ok(0.0),
            })?
        }
    };
    Ok(Some(one.scale(count(strap).into())))
}

/// Angle to the floor, and in plan to the way it holds, of a strap of which both ends are told in numbers, rad. Their tape is
/// taken as exact: it is small beside the friction.
fn lies(cx: &Context, strap: &Entry, path: &str, way: Way) -> Option<(Estimate, Estimate)> {
    let frame = cx.facts().body();
    let told = |end: &str, axis: usize| Some(cx.facts().mounts().told(&format!("{path}.{end}[{axis}]")).ok()?.value());
    let from_body = |value: &Result<Estimate, Gap>| Some(if strap.in_.is_some() { value.as_ref().ok()?.value() } else { 0.0 });
    let x = told("from", 1)? + from_body(&frame.front)? - told("to", 1)?;
    let y = told("from", 2)? - told("to", 2)?;
    let z = told("from", 2 + 1)? + from_body(&frame.floor)? - told("to", 2 + 1)?;
    let flat = (x * x + y * y).sqrt();
    let along = if matches!(way, Way::Forward | Way::Rearward) { x.abs() } else { y.abs() };
    let plan = if flat > 0.0 { real::acos((along / flat).min(1.0)) } else { 0.0 };
    Some((Estimate::exact(real::atan2(z.abs(), flat)), Estimate::exact(plan)))
}

fn answer(cx: &Context, load: &Load<'_>, way: Way) -> Finding {
    let begin = || -> Draft<'_> { CARD.about(cx, "the straps").at("strap").case(way.word()) };
    let mut parts: Vec<(usize, Estimate)> = Vec::new();
    for (index, strap) in cx.rig().strap.iter().enumerate() {
        match holds(cx, strap, index, load, way) {
            Ok(held) => parts.extend(held.map(|held| (index, held))),
            Err(gap) => return begin().blocked(&gap),
        }
    }
    let direct = |index: usize| cx.rig().strap.get(index).is_some_and(|strap| strap.kind == Some(StrapKind::Direct));
    let moving = parts.iter().any(|(index, _)| direct(*index));
    let friction = if moving { load.friction * mount_facts::lashing().dynamic } else { load.friction };
    let c = way.acceleration(cx);
    if c <= friction {
        let sentence = format!("friction alone holds {c} g; one strap all the same, against bumps");
        return begin().require(Holds::Yes, sentence).done();
    }
    let force = load.mass.scale((c - friction) * gravity());
    let strength = Estimate::sum(parts.iter().map(|(_, held)| held));
    let held = Held::at_most("what the straps hold", strength.clone(), Dimension::Force, source("lashing-ends").clone());
    let draft = begin().compare(&force, &[held]);
    match &load.open {
        Some(gap) if draft.verdict() != Verdict::Pass => return begin().blocked(gap),
        _ => {}
    }
    let taken = if load.open.is_some() { ", even on a frozen or greasy floor" } else { "" };
    draft
        .sentence(format!("{c} g, friction {}, in {}{taken}", number(friction, 2), load.state))
        .working(|| {
            let (mass, mu) = (figure(load.mass.value(), 1), figure(friction, 3));
            let slide = number(mass.get() * gravity() * (c - mu.get()), 0);
            let head = format!("{mass} kg x {} m/s2 x ({c} - {mu}) = {slide} N", gravity());
            let each = parts.iter().filter_map(|(index, held)| {
                let strap = cx.rig().strap.get(*index)?;
                let one = figure(held.value() / f64::from(count(strap).max(1)), 0);
                Some(format!("{}: {} x {one} N = {} N", strap.name, count(strap), number(f64::from(count(strap)) * one.get(), 0)))
            });
            std::iter::once(head).chain(each).collect::<Vec<_>>()
        })
        .remedies(|_| more(cx, &parts, &force, &strength).into_iter().collect())
        .done()
}

/// More straps of the kind that holds most.
fn more(cx: &Context, parts: &[(usize, Estimate)], force: &Estimate, strength: &Estimate) -> Option<Proposal> {
    let (index, held) = parts.iter().max_by(|a, b| a.1.value().total_cmp(&b.1.value()))?;
    let strap = cx.rig().strap.get(*index)?;
    let now = count(strap).max(1);
    let each = held.scale(1.0 / f64::from(now));
    let enough = |count: u32| has_reserve(&(strength + &each.scale(f64::from(count - now))), force);
    let to = (now + 1..=now.saturating_mul(MOST_MORE)).find(|count| enough(*count))?;
    let number = |count: u32| Some(Free::Number(count.into()));
    Some(Proposal {
        text: format!("{to} straps like {} instead of {now}", strap.name),
        effort: Effort::PartsToBuy,
        edits: vec![Edit { path: format!("{}.count", at(strap, *index)), op: EditOp::Set, from: number(now), to: number(to) }],
    })
}

/// Working loads together against the weight, where a chosen set asks for it.
fn aggregate(cx: &Context, load: &Load<'_>) -> Option<Finding> {
    let limits = cx.limits("mount/strap-aggregate");
    if limits.is_empty() {
        return None;
    }
    let begin = || CARD.about(cx, "the straps").at("strap").case("aggregate").words("hold of the weight", "must hold");
    let mut sums = [Estimate::exact(0.0), Estimate::exact(0.0)];
    for (index, strap) in cx.rig().strap.iter().enumerate() {
        let capacity = match cx.facts().mounts().told(&format!("{}.capacity", at(strap, index))) {
            Ok(capacity) => capacity.scale(count(strap).into()),
            Err(gap) => return Some(begin().blocked(&gap)),
        };
        let slot = usize::from(strap.kind == Some(StrapKind::Over));
        sums.iter_mut().skip(slot).take(1).for_each(|sum| *sum = &*sum + &capacity);
    }
    let [direct, over] = &sums;
    let all = Estimate::propagate(&[direct, over], |at| match at {
        [direct, over] => Ok::<_, Gap>(lashing::aggregate_limit(*direct, *over)),
        _ => Ok(0.0),
    });
    let share = match all {
        Ok(all) => &all / &load.mass.scale(gravity()),
        Err(gap) => return Some(begin().blocked(&gap)),
    };
    Some(
        begin()
            .compare(&share, &limits)
            .sentence("the half of a strap from vehicle to load counts, the whole of one over it")
            .done(),
    )
}
