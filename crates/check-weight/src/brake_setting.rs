//! weight/brake-setting: are the brakes set for what it weighs now, and does the parking brake hold it?
//!
//! demand      rear axle load over the load that the load-sensing valve was set for (1); the slope to stand on,
//!             `ground.grade` (rad)
//! capacity    a span around one; the slope that the parking brake was proved to hold, less for a heavier rig, at most
//! states      every travel state
//! leaves out  whether brakes work: only a brake test tells; braking itself (`weight/braking`)

use std::borrow::Cow;

use basis::Basis;
use check::limits::{Held, HeldBound};
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Finding, List, Scope, Words, draft::GOAL, on_ledger};
use quantity::{Dimension, Estimate, real};
use rig_facts::{Gap, StateFacts};
use rig_model::model::Brakes;

use crate::remedy::{kilograms, set, step, to_step};
use crate::subject::every_state;
use crate::working;
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/brake-setting"),
    question: Cow::Borrowed("Are the brakes set for what it weighs now, and does the parking brake hold it?"),
    words: Words::new("loads the rear axle with", "is set for"),
    consequence: Consequence::Injury,
    scope: Scope::Travel,
    needs: List::Static(&[
        "chassis.brakes.load_sensing_valve",
        "chassis.brakes.valve_set_for",
        "chassis.brakes.parking_hold",
        "chassis.brakes.proved_at",
        "axle.bare_load",
    ]),
    uses: on_ledger!["chassis.brakes", "ground.grade"],
    limits: List::Static(&["weight/valve-setting"]),
    formula: List::Static(&[
        "setting = load of the rear axle (its group together) / load the valve was set for",
        "sin(slope held) = sin(slope proved) x mass when proved / mass now; no better than proved",
    ]),
    cautions: List::Static(&[
        "brakes are a workshop's work; no answer here replaces a brake test",
        "chock the wheels whenever it stands on a slope",
    ]),
};

/// Are the brakes set for what it weighs now, and does the parking brake hold it?
#[derive(Debug)]
pub struct BrakeSetting;

impl Check for BrakeSetting {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let brakes = cx.rig().chassis.as_ref().and_then(|chassis| chassis.brakes.as_ref());
        every_state(cx, &CARD, |state| vec![valve(cx, state, brakes), parking(cx, state, brakes)])
    }
}

fn valve(cx: &Context, state: &StateFacts, brakes: Option<&Brakes>) -> Finding {
    const SET_FOR: &str = "chassis.brakes.valve_set_for";
    let draft = CARD.about(cx, "load-sensing valve").at(SET_FOR).in_state(&state.name).case("valve");
    match brakes.and_then(|brakes| brakes.load_sensing_valve) {
        None => return draft.missing("chassis.brakes.load_sensing_valve"),
        Some(false) => return draft.not_applicable("there is no valve that sets brake pressure by load"),
        Some(true) => {}
    }
    let set_for = brakes.and_then(|brakes| brakes.valve_set_for.as_ref()?.value()).filter(|load| *load > 0.0);
    let Some(set_for) = set_for else { return draft.missing(SET_FOR) };
    let load = match rear_load(cx, state) {
        Ok(load) => load,
        Err(gap) => return draft.blocked(&gap),
    };
    let ratio = load.scale(1.0 / set_for);
    let held = cx.limits("weight/valve-setting");
    if held.is_empty() {
        return draft.show(&ratio, Dimension::Ratio, NO_LIMIT);
    }
    draft
        .compare(&ratio, &held)
        .working(|| {
            let (load, set_for) = (working::figure(load.value(), 2), working::figure(set_for, 2));
            let percent = working::percent(load.get() / set_for.get());
            [format!("{load} kg on the rear axle / {set_for} kg set for = {percent}")]
        })
        .remedies(|_| set_anew(cx, set_for, &held).into_iter().collect())
        .done()
}

/// Load on the ground under the rearmost axle, or under its group.
fn rear_load(cx: &Context, state: &StateFacts) -> Result<Estimate, Gap> {
    let axles = cx.facts().axles();
    let (_, rear) = axles.ends(&state.lifted).ok_or_else(|| Gap::because("axle", "two axles on the ground are wanted"))?;
    let group = axles.list().get(rear).and_then(|axle| axle.group.as_ref());
    let member =
        |index: usize| index == rear || group.is_some() && axles.list().get(index).and_then(|axle| axle.group.as_ref()) == group;
    let loads = axles.standing(&state.lifted).filter(|index| member(*index)).map(|index| state.axle_load(index));
    let loads = loads.collect::<Result<Vec<_>, _>>().map_err(Clone::clone)?;
    Ok(Estimate::sum(loads.into_iter()))
}

/// Have the valve set for the middle of what the travel states put on the rear axle, if that suits all of them.
fn set_anew(cx: &Context, set_for: f64, held: &[Held]) -> Option<Proposal> {
    let loads: Vec<Estimate> = cx.states(Scope::Travel).filter_map(|state| rear_load(cx, state).ok()).collect();
    let least = loads.iter().map(Estimate::value).fold(f64::INFINITY, f64::min);
    let most = loads.iter().map(Estimate::value).fold(0.0, f64::max);
    let to = ((least + most) / 2.0 / step::MASS_KG).round() * step::MASS_KG;
    let suits = |load: &Estimate| {
        let (low, high) = load.scale(1.0 / to).interval95();
        held.iter().all(|held| match &held.bound {
            HeldBound::Between(least, most) => low >= least.value() && high <= most.value(),
            HeldBound::AtLeast(least) => low >= least.value(),
            HeldBound::AtMost(most) => high <= most.value(),
        })
    };
    (to > 0.0 && loads.iter().all(suits)).then(|| Proposal {
        text: format!("have a workshop set the valve for {} on the rear axle", kilograms(cx, to)),
        effort: Effort::AnAfternoon,
        edits: vec![set("chassis.brakes.valve_set_for", Some(set_for), to, Dimension::Mass)],
    })
}

fn parking(cx: &Context, state: &StateFacts, brakes: Option<&Brakes>) -> Finding {
    const HOLD: &str = "chassis.brakes.parking_hold";
    let draft =
        CARD.about(cx, "parking brake").at(HOLD).in_state(&state.name).case("parking").words("is to stand on", "holds on");
    let Some(proved) = brakes.and_then(|brakes| brakes.parking_hold.as_ref()?.value()) else { return draft.missing(HOLD) };
    let proved_at = brakes.and_then(|brakes| brakes.proved_at.as_ref()?.value()).filter(|mass| *mass > 0.0);
    let Some(proved_at) = proved_at else { return draft.missing("chassis.brakes.proved_at") };
    let mass = match state.mass() {
        Ok(mass) => mass,
        Err(gap) => return draft.blocked(gap),
    };
    let holds = Estimate::propagate(&[mass], |v| {
        let now: f64 = v.iter().sum();
        // A lighter rig is not credited: then the tyres slip first.
        Ok::<_, Gap>(real::asin(real::sin(proved) * (proved_at / now).min(1.0)))
    });
    let holds = holds.unwrap_or(Estimate::exact(0.0));
    let lines = || {
        let proved = working::figure(proved.to_degrees(), 3);
        let [then, now] = [proved_at, mass.value().max(proved_at)].map(|mass| working::figure(mass, 1));
        let holds = working::deg(real::asin(real::sin(proved.get().to_radians()) * then.get() / now.get()));
        [format!("asin(sin({proved} deg) x {then} kg / {now} kg) = {holds}; proved {proved} deg at {then} kg")]
    };
    let Some(wish) = cx.rig().ground.as_ref().and_then(|ground| ground.grade).map(|grade| grade.si()) else {
        let why = "no slope is asked for; write grade in [ground] for a verdict";
        return draft.words("holds on", "").working(lines).show(&holds, Dimension::Slope, why);
    };
    let basis = Basis::data_plate("parking brake as proved");
    let held = Held::at_most("parking brake as proved", holds, Dimension::Slope, basis);
    draft
        .compare(&Estimate::exact(wish), &[held])
        .working(lines)
        .remedies(|goal| {
            let most = goal.capacity.interval95().0.min(GOAL * goal.capacity.value());
            let tangent = (real::tan(most) / step::SLOPE).floor() * step::SLOPE;
            let to = real::atan(tangent);
            let words = to_step(cx, to, Dimension::Slope, step::SLOPE);
            let edits = vec![set("ground.grade", Some(wish), to, Dimension::Slope)];
            let proposal = Proposal { text: format!("park on slopes of {words} and less"), effort: Effort::Minutes, edits };
            if tangent > 0.0 { vec![proposal] } else { Vec::new() }
        })
        .done()
}
