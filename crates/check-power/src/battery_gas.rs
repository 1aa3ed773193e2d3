//! power/battery-gas: does the gas of lead-acid batteries find its way out?
//!
//! demand      free area that each of two openings wants, for the gas of a charge to the end (boost)
//! capacity    the smaller of the box's two vents
//! states      once
//! leaves out  fans; acid in the air; lithium cells, which give off none in normal use
//!
//! A box that airs into the room people live in is a fault whatever its vents.

use std::borrow::Cow;

use check::draft::GOAL;
use check::remedy::{Effort, Proposal};
use check::subject::each_or_missing;
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Words, edits};
use physics::battery::chemistry;
use physics::hydrogen::{self, Charging};
use quantity::{Dimension, Estimate, How};
use rig_facts::{Gap, tables};
use rig_model::model::{CarriedBy, Chemistry, Stands, VentsTo};
use rig_model::{Edit, EditOp, Free};

use crate::banks::{self, Unit};
use crate::unsaid::constant_basis;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/battery-gas"),
    question: Cow::Borrowed("Does the gas of lead-acid batteries find its way out?"),
    words: Words::new("wants at each vent", "has"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["battery.chemistry", "battery.vents_to", "battery.vent_low", "battery.vent_high"]),
    uses: List::Static(&[
        "battery.voltage",
        "battery.capacity",
        "battery.stands",
        "battery.energy",
        "battery.in_series",
        "battery.in_parallel",
        "battery.count",
        "battery.serves",
        "battery.on",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "air = 0.05 m3/h x cells x A of gas; A of gas = mA/Ah x Ah / 1000: boost 20 of flooded, 8 of sealed",
        "each of two openings, one low and one high: 28 cm2 for each m3/h",
    ]),
    cautions: List::Static(&[
        "lead-acid gives off explosive gas: no spark, flame or smoking near it, and above it even where the vents are right",
        "its acid blinds: goggles, and water at hand",
        "a vent must not draw towards a heater, a burner or a flue",
    ]),
};

/// Does the gas find its way out?
#[derive(Debug)]
pub struct BatteryGas;

/// m2 of a cm2.
const CM2: f64 = 1e-4;
/// mm of a m.
const MM: f64 = 1e3;
/// Vents are cut in steps of 5 cm2. A choice of this project.
const VENT_STEP_CM2: f64 = 5.0;
/// Beyond this no box takes them. A choice of this project.
const VENT_MOST_CM2: f64 = 1000.0;

impl Check for BatteryGas {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        each_or_missing(cx, &CARD, "batteries", "battery", banks::all(cx).map(|unit| answer(cx, &unit)))
    }
}

fn answer(cx: &Context, unit: &Unit<'_>) -> Finding {
    let begin = || CARD.about(cx, unit.entry.name.clone()).at(unit.path());
    let key = |key: &str| format!("{}.{key}", unit.path());
    let outside = unit.entry.stands == Some(Stands::Outside)
        || (unit.entry.stands.is_none() && !unit.is_house() && unit.entry.on == Some(CarriedBy::Chassis));
    if outside {
        return begin().not_applicable("it stands outside, in the open air");
    }
    let Some(kind) = unit.entry.chemistry else { return begin().missing(key("chemistry")) };
    if !kind.is_lead() {
        let why = "lithium cells give off no gas in normal use; one that fails vents all the same: keep a way out of the room you sleep in";
        return begin().not_applicable(why);
    }
    if unit.entry.stands.is_none() {
        return begin().missing(key("stands"));
    }
    match unit.entry.vents_to {
        None => return begin().missing(key("vents_to")),
        Some(VentsTo::Inside) => return into_the_room(cx, unit, kind, begin()),
        Some(VentsTo::Outside) => {}
    }
    let wants = match Wants::of(cx, unit, kind.word()) {
        Ok(wants) => wants,
        Err(gap) => return begin().blocked(&gap),
    };
    let vents = |name: &str| unit.told(cx, name).cloned();
    let (low, high) = match (vents("vent_low"), vents("vent_high")) {
        (Ok(low), Ok(high)) => (low, high),
        (Err(gap), _) | (_, Err(gap)) => {
            let words = format!("each of two vents, one low, one high, wants {} cm2", number(wants.opening.value() / CM2, 0));
            return begin().blocked(&Gap::because(gap.path, words));
        }
    };
    let smaller = if low.value() < high.value() { low } else { high };
    let held = Held::at_most("smaller of its two vents", smaller, Dimension::Area, constant_basis("gas-opening"));
    let apart = number(hydrogen::clearance(wants.gas.value()), 0);
    begin()
        .compare(&wants.opening, &[held])
        .sentence(format!("charged to the end; nothing that sparks or glows within {apart} mm of it"))
        .working(|| wants.lines())
        .remedies(|goal| wider(cx, unit, &goal.demand).into_iter().collect())
        .done()
}

fn into_the_room(cx: &Context, unit: &Unit<'_>, kind: Chemistry, draft: Draft<'_>) -> Finding {
    let outside = Edit {
        path: format!("{}.vents_to", unit.path()),
        op: EditOp::Set,
        from: Some(Free::Text(VentsTo::Inside.word().to_owned())),
        to: Some(Free::Text(VentsTo::Outside.word().to_owned())),
    };
    let way_out = || {
        // Outside the next question is how large its vents are: one answer to both.
        let mut proposal = wider(cx, unit, &Wants::of(cx, unit, kind.word()).ok()?.opening)?;
        proposal.text = format!("close the box to the room: {}", proposal.text);
        proposal.edits.insert(0, outside);
        Some(proposal)
    };
    draft.require(Holds::No, "its gas goes into the room people live in").proposal(way_out).done()
}

/// What the gas of a bank wants.
struct Wants {
    cells: f64,
    rate: f64,
    amp_hours: Estimate,
    gas: Estimate,
    opening: Estimate,
}

impl Wants {
    fn of(cx: &Context, unit: &Unit<'_>, kind: &str) -> Result<Self, Gap> {
        let volts = unit.volts(cx)?.value();
        let amp_hours = unit.amp_hours(cx)?;
        let cell = chemistry::cell_voltage(kind).unwrap_or(f64::NAN);
        let rate = hydrogen::gas_rate(kind, Charging::Boost).map_or(f64::NAN, |(rate, _)| rate);
        let cells = (volts / cell).round();
        let gas = amp_hours.scale(hydrogen::gas_current(rate, 1.0));
        let opening = gas.scale(hydrogen::opening(hydrogen::air_flow(cells, 1.0)) * CM2);
        Ok(Self { cells, rate, amp_hours, gas, opening })
    }

    fn lines(&self) -> Vec<String> {
        let facts = physics::store_facts::battery();
        let (amp_hours, rate, cells) = (figure(self.amp_hours.value(), 1), self.rate, self.cells);
        let gas = figure(hydrogen::gas_current(rate, amp_hours.get()), 3);
        let air = figure(hydrogen::air_flow(cells, gas.get()), 3);
        vec![
            format!("{rate} mA/Ah x {amp_hours} Ah / {MM} = {gas} A"),
            format!("{} m3/h x {cells} cells x {gas} A = {air} m3/h", facts.gas_air),
            format!("{} cm2 x {air} m3/h = {} cm2", facts.gas_opening, number(hydrogen::opening(air.get()), 1)),
        ]
    }
}

/// Vents that are large enough, even where they come out a little small.
fn wider(cx: &Context, unit: &Unit<'_>, wants: &Estimate) -> Option<Proposal> {
    let wanted = (wants.value() / GOAL).max(wants.interval95().1);
    let steps = (1..).map(|step| f64::from(step) * VENT_STEP_CM2).take_while(|area| *area <= VENT_MOST_CM2);
    let least = |area: f64| area - 2.0 * tables::tolerance("held/area-tolerance", How::Unsaid, area);
    let area = steps.map(|area| area * CM2).find(|area| least(*area) >= wanted)?;
    let edit = |key: &str| {
        let was = unit.told(cx, key).ok().map(Estimate::value);
        edits::set(format!("{}.{key}", unit.path()), was, area, Dimension::Area)
    };
    let words = edits::to_step(cx, area, Dimension::Area, CM2);
    let text = format!("two vents of {words} each to the outside, one low, one high on the opposite side");
    Some(Proposal { text, effort: Effort::AnAfternoon, edits: vec![edit("vent_low"), edit("vent_high")] })
}

#[cfg(test)]
mod tests {
    use check::Verdict;

    use super::*;
    use crate::test_rig::{context, first};

    fn wants(kind: &str) -> f64 {
        let text = format!(
            "[[battery]]\nname = \"b\"\nchemistry = \"{kind}\"\nvoltage = \"12 V\"\ncapacity = \"200 Ah\"\nstands = \"locker\"\n\
             vents_to = \"outside\"\nvent_low = \"40 cm2\"\nvent_high = \"40 cm2\""
        );
        first(&BatteryGas, &text).demand.map_or(0.0, |demand| demand.value.0 / CM2)
    }

    /// W12 of the power reference (computed outside this project): 12 V, 200 Ah: 33.6 cm2 of flooded, 13.4 cm2 of AGM.
    #[test]
    fn openings_by_the_reference() {
        assert!((wants("flooded") - 33.6).abs() < 0.01, "{}", wants("flooded"));
        assert!((wants("agm") - 13.44).abs() < 0.01, "{}", wants("agm"));
    }

    /// By hand, AGM of 110 Ah in 6 cells: 1 mA/Ah x 8 / 1000 x 110 Ah = 0.88 A of gas; 0.05 m3/h x 6 x 0.88 A x 28 cm2 =
    /// 7.39 cm2: vents of 10 cm2 are the first step that holds it with the reserve.
    #[test]
    fn what_vents_into_the_room_is_led_outside_through_vents_that_are_large_enough() {
        let text = "[[battery]]\nname = \"b\"\nchemistry = \"agm\"\nvoltage = \"12 V\"\ncapacity = \"110 Ah\"\n\
                    stands = \"locker\"\nvents_to = \"inside\"";
        let cx = context(text);
        let [inside] = BatteryGas.run(&cx).try_into().expect("one answer");
        assert_eq!(inside.verdict, Verdict::Fail);
        let [way_out] = inside.proposals.as_slice() else { panic!("one way out: {:?}", inside.proposals) };
        let outside = BatteryGas.run(&cx.with(&way_out.edits).expect("the edits fit")).remove(0);
        assert_eq!(outside.verdict, Verdict::Pass, "{outside:?}");
        let (wanted, held) = (outside.demand.expect("a demand"), outside.capacity.expect("a capacity"));
        assert!((wanted.value.0 / CM2 - 7.39).abs() < 0.01 && (held.value.0 / CM2 - 10.0).abs() < 0.01, "{wanted:?}");
    }
}
