//! mount/lift: can that lift truck, crane or set of legs put the body on?
//!
//! demand      mass of the body with all that rides on it (kg); how far the forks go under it, as a share of its width; angle
//!             of the slings (rad), pull in one of them and load on one leg, as masses (kg)
//! capacity    what the plates of lift truck, slings and legs leave, farther out and at a slant; the reserve of the chosen sets
//! states      once: in the state of `[lifting]`, else in the travel state in which the body weighs most
//! leaves out  the floor under forks and legs, wind, where the hook is over the body, what the ground bears

use std::borrow::Cow;

use check::draft::{GOAL, has_reserve};
use check::edits::{set, to_step, up_to_step};
use check::limits::HeldBound;
use check::remedy::{Effort, Proposal};
use check::working::{deg, figure, kg, number, percent};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Words, on_riders};
use physics::lifting::{leg_loads, lift_rating, sling_factor};
use quantity::{Dimension, Estimate, real};
use rig_facts::{Gap, StateFacts};
use rig_model::model::{LiftMethod, Lifting};
use rig_model::{Edit, EditOp, Free};

use crate::sources::{HOLDING, taken};
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/lift"),
    question: Cow::Borrowed("Can that lift truck, crane or set of legs put the body on?"),
    words: Words::new("weighs", "may weigh"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["lifting", "lifting.method"]),
    uses: on_riders![],
    limits: List::Static(&["mount/lift-share", "mount/fork-insertion", "mount/sling-angle"]),
    formula: List::Static(&[
        "lift truck = rated x (load centre + a) / (distance + a), a from front axle to fork face; without it a = 0",
        "sling = mass / slings that carry / sin(angle to the horizontal); of four slings two carry",
        "leg = load by levers between the legs x 1.5 on uneven ground; without their places half of the mass",
    ]),
    cautions: List::Static(&[
        "nobody under a body that hangs or stands on forks or jacks alone: stands or cribbing on hard ground first",
        "a plate is for an upright mast at its rated height, without attachment; ask who hires the machine out",
        "lifting wants a trained driver or rigger; empty the tanks, shut doors and cupboards, keep off in wind",
    ]),
};

/// Can that lift truck, crane or set of legs put the body on?
#[derive(Debug)]
pub struct Lift;

/// Ratings are hired in steps of half a ton. A choice of this project.
const RATED_STEP_KG: f64 = 500.0;
/// Forks go further in, and are longer, by steps of 5 cm.
const FORK_STEP_M: f64 = 0.05;

impl Check for Lift {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let begin = || CARD.about(cx, "lifting the body").at("lifting");
        let Some(lifting) = &cx.rig().lifting else { return vec![begin().missing("lifting")] };
        let Some(method) = lifting.method else { return vec![begin().missing("lifting.method")] };
        let body = match Body::of(cx, lifting) {
            Ok(body) => body,
            Err(gap) => return vec![begin().blocked(&gap)],
        };
        match method {
            LiftMethod::Forks => vec![rating(cx, lifting, &body), insertion(cx)],
            LiftMethod::Crane => vec![sling_angle(cx), sling(cx, lifting, &body)],
            LiftMethod::Legs | LiftMethod::Stands => vec![leg(cx, lifting, &body)],
        }
    }
}

fn begin<'c>(cx: &'c Context, case: &'static str) -> Draft<'c> {
    CARD.about(cx, "the body").at("lifting").case(case)
}

fn told(cx: &Context, key: &str) -> Result<Estimate, Gap> {
    cx.facts().mounts().told(&format!("lifting.{key}")).cloned()
}

/// What is lifted.
struct Body<'c> {
    mass: &'c Estimate,
    at: [Result<Estimate, Gap>; 3],
    state: &'c str,
}

impl<'c> Body<'c> {
    fn of(cx: &'c Context, lifting: &Lifting) -> Result<Self, Gap> {
        let read = |state: &'c StateFacts| {
            let riding = cx.facts().riding(state).map_err(Clone::clone)?;
            let mass = riding.mass.as_ref().map_err(Clone::clone)?;
            Ok(Self { mass, at: riding.at.clone(), state: &state.name })
        };
        if let Some(name) = &lifting.state {
            return read(cx.facts().state(name).ok_or_else(|| Gap::at("lifting.state"))?);
        }
        let mut heaviest: Option<Self> = None;
        for state in cx.states(Scope::Travel) {
            let body = read(state)?;
            if heaviest.as_ref().is_none_or(|most| body.mass.value() > most.mass.value()) {
                heaviest = Some(body);
            }
        }
        heaviest.ok_or_else(|| Gap::at("state"))
    }
}

/// The share of a rating that the chosen sets leave; the whole where none does.
fn share(cx: &Context) -> (f64, Option<Held>) {
    let held = cx.limits("mount/lift-share").into_iter().filter_map(|held| match &held.bound {
        HeldBound::AtMost(most) => Some((most.value(), held.clone())),
        _ => None,
    });
    held.min_by(|a, b| a.0.total_cmp(&b.0)).map_or((1.0, None), |(share, held)| (share, Some(held)))
}

/// A mass that a plate and the reserve leave.
fn left(name: &str, capacity: Estimate, reserve: Option<Held>) -> Held {
    let bare = Held::plate(name, capacity.clone(), Dimension::Mass);
    reserve.map_or(bare, |reserve| Held { bound: HeldBound::AtMost(capacity), dimension: Dimension::Mass, ..reserve })
}

fn rating(cx: &Context, lifting: &Lifting, body: &Body<'_>) -> Finding {
    let parts = || {
        let (rated, centre) = (told(cx, "truck_rated")?, told(cx, "load_centre")?);
        let distance = told(cx, "load_distance").or_else(|_| half_width(cx))?;
        Ok((rated, centre, distance, told(cx, "face_to_axle").unwrap_or(Estimate::exact(0.0))))
    };
    let (rated, centre, distance, axle) = match parts() {
        Ok(parts) => parts,
        Err(gap) => return begin(cx, "rating").blocked(&gap),
    };
    let (reserve, held) = share(cx);
    let capacity = Estimate::propagate(&[&rated, &centre, &distance, &axle], |at| match at {
        [rated, centre, distance, axle] => Ok::<_, Gap>(reserve * lift_rating(*rated, *centre, *distance, *axle)),
        _ => Ok(0.0),
    });
    let capacity = match capacity {
        Ok(capacity) => capacity,
        Err(gap) => return begin(cx, "rating").blocked(&gap),
    };
    let from = if lifting.load_distance.is_some() { "" } else { ", half of the body's width" };
    let far = format!("{}{from}", to_step(cx, distance.value(), Dimension::Length, FORK_STEP_M));
    let sentence = format!("in {}, its centre of gravity {far} from the forks' face", body.state);
    begin(cx, "rating")
        .compare(body.mass, &[left("plate of the lift truck", capacity, held)])
        .sentence(sentence)
        .working(|| {
            let [rated, centre, far, a] =
                [(&rated, 1), (&centre, 3), (&distance, 3), (&axle, 3)].map(|(v, n)| figure(v.value(), n));
            let there = figure(lift_rating(rated.get(), centre.get(), far.get(), a.get()), 1);
            let lines = [
                format!("{rated} kg x ({centre} + {a} m) / ({far} + {a} m) = {there} kg, never more than the plate"),
                format!("{there} kg x {} = {}", percent(reserve), kg(there.get() * reserve)),
            ];
            lines.to_vec()
        })
        .remedies(|goal| {
            // What is left grows with the rating: nominal to the goal, and the worst body within the worst truck.
            let (heaviest, weakest) = (goal.demand.interval95().1, goal.capacity.interval95().0);
            let times = (goal.demand.value() / goal.capacity.value() / GOAL).max(heaviest / weakest);
            let to = up_to_step(rated.value() * times, RATED_STEP_KG);
            let emptier = emptier(cx, body, |mass| has_reserve(&goal.capacity, mass));
            emptier.into_iter().chain([larger(cx, "truck_rated", rated.value(), to, "a lift truck rated")]).collect()
        })
        .done()
}

/// Lift it in the state of the file in which it weighs least, where that is enough.
fn emptier(cx: &Context, body: &Body<'_>, enough: impl Fn(&Estimate) -> bool) -> Option<Proposal> {
    let mass = |state: &StateFacts| Some(cx.facts().riding(state).ok()?.mass.as_ref().ok()?.value());
    let told = cx.facts().states().iter().filter(|state| !state.made && state.name != body.state);
    let (state, _) = told.filter_map(|state| Some((state, mass(state)?))).min_by(|a, b| a.1.total_cmp(&b.1))?;
    let lightest = cx.facts().riding(state).ok()?.mass.as_ref().ok()?;
    enough(lightest).then(|| Proposal {
        text: format!("lift it as in {}: {}", state.name, to_step(cx, lightest.value(), Dimension::Mass, 1.0)),
        effort: Effort::Minutes,
        edits: vec![Edit {
            path: "lifting.state".to_owned(),
            op: EditOp::Set,
            from: None,
            to: Some(Free::Text(state.name.clone())),
        }],
    })
}

/// A machine that is rated for more.
fn larger(cx: &Context, key: &str, from: f64, to: f64, what: &str) -> Proposal {
    Proposal {
        text: format!("take {what} {} or more", to_step(cx, to, Dimension::Mass, 1.0)),
        effort: Effort::PartsToBuy,
        edits: vec![set(format!("lifting.{key}"), Some(from), to, Dimension::Mass)],
    }
}

fn half_width(cx: &Context) -> Result<Estimate, Gap> {
    cx.facts().body().outer(1).map(|(_, right)| right).map_err(|_| Gap::at("lifting.load_distance"))
}

fn insertion(cx: &Context) -> Finding {
    let draft = || begin(cx, "forks").words("has forks under", "must have forks under");
    let parts = || Ok((told(cx, "fork_insertion")?, half_width(cx)?.scale(2.0)));
    let (forks, width) = match parts() {
        Ok(parts) => parts,
        Err(gap) => return draft().blocked(&gap),
    };
    let under = &forks / &width;
    let held = cx.limits("mount/fork-insertion");
    if held.is_empty() {
        return draft().show(&under, Dimension::Ratio, NO_LIMIT);
    }
    draft()
        .compare(&under, &held)
        .working(|| {
            let [forks, width] = [&forks, &width].map(|side| figure(side.value(), 3));
            [format!("{forks} m / {width} m = {}", percent(forks.get() / width.get()))]
        })
        .remedies(|goal| {
            let to = up_to_step(forks.value() + goal.change() * width.value(), FORK_STEP_M);
            let text =
                format!("forks, or sleeves over them, that reach {} under it", to_step(cx, to, Dimension::Length, FORK_STEP_M));
            let edits = vec![set("lifting.fork_insertion", Some(forks.value()), to, Dimension::Length)];
            (to <= width.value()).then_some(Proposal { text, effort: Effort::PartsToBuy, edits }).into_iter().collect()
        })
        .done()
}

fn sling_angle(cx: &Context) -> Finding {
    let draft = || begin(cx, "sling angle").words("slings at", "slings at no less than");
    let angle = match told(cx, "sling_angle") {
        Ok(angle) => angle,
        Err(gap) => return draft().blocked(&gap),
    };
    let held = cx.limits("mount/sling-angle");
    if held.is_empty() {
        return draft().show(&angle, Dimension::Angle, NO_LIMIT);
    }
    draft().compare(&angle, &held).remedies(|goal| vec![steeper(cx, &angle, angle.value() + goal.change())]).done()
}

/// Longer slings, so that they stand steeper, in whole degrees.
fn steeper(cx: &Context, angle: &Estimate, to: f64) -> Proposal {
    let to = up_to_step(to, 1.0_f64.to_radians());
    let stated = cx.rig().lifting.as_ref().and_then(|lifting| lifting.sling_angle.as_ref());
    let edit = check::edits::restate(cx, "lifting.sling_angle", stated, to);
    let now = quantity::show(angle.value(), Dimension::Angle, check::edits::system(cx), None);
    let text = format!("longer slings, so that they stand at {} deg ({now} now)", number(to.to_degrees(), 0));
    Proposal { text, effort: Effort::PartsToBuy, edits: vec![edit] }
}

fn sling(cx: &Context, lifting: &Lifting, body: &Body<'_>) -> Finding {
    let draft = || begin(cx, "sling").words("pulls each sling with", "may pull each with");
    let parts = || Ok((told(cx, "sling_angle")?, told(cx, "sling_rated")?));
    let (angle, rated) = match parts() {
        Ok(parts) => parts,
        Err(gap) => return draft().blocked(&gap),
    };
    let most = taken(HOLDING, "slings that carry");
    let legs = if lifting.sling_points.is_empty() { most } else { (lifting.sling_points.len() as f64).min(most) };
    let pull = Estimate::propagate(&[body.mass, &angle], |at| match at {
        [mass, angle] if *angle > 0.0 => Ok(mass / legs * sling_factor(*angle)),
        _ => Err(Gap::because("lifting.sling_angle", "a sling that lies flat lifts nothing")),
    });
    let pull = match pull {
        Ok(pull) => pull,
        Err(gap) => return draft().blocked(&gap),
    };
    draft()
        .compare(&pull, &[Held::plate("label of the sling", rated.clone(), Dimension::Mass)])
        .sentence(format!("in {}; {legs} of the slings carry", body.state))
        .working(|| {
            let (mass, sine) = (figure(body.mass.value(), 1), figure(real::sin(angle.value()), 4));
            [format!("{mass} kg / {legs} / {sine} (sin {}) = {}", deg(angle.value()), kg(mass.get() / legs / sine.get()))]
        })
        .remedies(|goal| {
            let to = up_to_step(rated.value() + goal.change() / GOAL, RATED_STEP_KG);
            let per_mass = goal.demand.value() / body.mass.value();
            let emptier = emptier(cx, body, |mass| has_reserve(&rated, &mass.scale(per_mass)));
            emptier.into_iter().chain([larger(cx, "sling_rated", rated.value(), to, "slings that each lift")]).collect()
        })
        .done()
}

fn leg(cx: &Context, lifting: &Lifting, body: &Body<'_>) -> Finding {
    let draft = || begin(cx, "leg").words("loads one leg with", "may load it with");
    let rated = match told(cx, "leg_rated") {
        Ok(rated) => rated,
        Err(gap) => return draft().blocked(&gap),
    };
    let uneven = taken(HOLDING, "load of a leg on uneven ground over that on even ground");
    let (share, words) = match worst_leg(cx, lifting, body) {
        Some(share) => (share * uneven, format!("the hardest loaded of four; {uneven} times as on even ground")),
        None => (1.0 / 2.0, "the places of four legs are not told in numbers: it may rock on two".to_owned()),
    };
    let load = body.mass.scale(share);
    draft()
        .compare(&load, &[Held::plate("plate of the leg", rated.clone(), Dimension::Mass)])
        .sentence(format!("in {}; {words}", body.state))
        .working(|| {
            let (mass, share) = (figure(body.mass.value(), 1), figure(share, 3));
            [format!("{mass} kg x {share} = {}", kg(mass.get() * share.get()))]
        })
        .remedies(|goal| {
            let to = up_to_step(rated.value() + goal.change() / GOAL, RATED_STEP_KG / 2.0);
            let emptier = emptier(cx, body, |mass| has_reserve(&rated, &mass.scale(share)));
            emptier.into_iter().chain([larger(cx, "leg_rated", rated.value(), to, "legs that each carry")]).collect()
        })
        .done()
}

/// Share of the mass on the hardest loaded of four legs on even ground; none unless four are told in numbers.
fn worst_leg(cx: &Context, lifting: &Lifting, body: &Body<'_>) -> Option<f64> {
    const LEGS: usize = 2 + 2;
    if lifting.legs.len() != LEGS {
        return None;
    }
    let [Ok(x), Ok(y), _] = &body.at else { return None };
    let front = if lifting.in_.is_some() { cx.facts().body().front.as_ref().ok()?.value() } else { 0.0 };
    let ends = |axis: usize, from: f64| {
        let places = (1..=LEGS).map(|leg| told(cx, &format!("legs[{leg}][{axis}]")).map(|at| at.value() + from));
        let places: Vec<f64> = places.collect::<Result<_, _>>().ok()?;
        let (low, high) = places.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (at.min(low), at.max(high)));
        (high > low).then_some((low, high))
    };
    let ((fore, rear), (left, right)) = (ends(1, front)?, ends(2, 0.0)?);
    let each = leg_loads(1.0, x.value() - fore, rear - fore, y.value() - left, right - left);
    Some(each.into_iter().fold(0.0, f64::max))
}
