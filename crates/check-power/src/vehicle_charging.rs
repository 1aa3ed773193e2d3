//! power/vehicle-charging: does what charges from the engine ask too much of the alternator?
//!
//! demand      amperes that all chargers on the alternator draw at its voltage
//! capacity    case "on the road": a share of its rating; case "idling": what it gives hot at idle, less what the truck takes
//! states      once
//! leaves out  energy of a day's driving (`power/energy-balance`), wires and fuses
//!
//! Case "direct", once for each charger: a relay or a cable to lithium cells limits no current, a fault whatever the sizes.

use std::borrow::Cow;

use check::draft::has_reserve;
use check::remedy::{Effort, Proposal};
use check::working::{figure, listed, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Words, draft::Goal, edits};
use physics::{charging, store_facts};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{Charger, ChargerKind};
use rig_model::{Edit, EditOp, Free, path};

use crate::banks;
use crate::unsaid::{AMPERE_STEP, constant_basis, lower};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/vehicle-charging"),
    question: Cow::Borrowed("Does charging from the engine ask too much of the alternator?"),
    words: Words::new("draws", "may draw"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&[
        "charger.kind",
        "alternator.rated",
        "alternator.voltage",
        "alternator.vehicle_loads",
        "charger.current",
        "charger.voltage",
    ]),
    uses: List::Static(&[
        "alternator.idle",
        "charger.from",
        "charger.charges",
        "charger.efficiency",
        "battery.name",
        "battery.chemistry",
        "battery.serves",
    ]),
    limits: List::Static(&["power/alternator-share"]),
    formula: List::Static(&[
        "draws = V out x A out / (efficiency x V of the alternator)",
        "idling: A at hot idle - A of lights, engine and fan",
    ]),
    cautions: List::Static(&[
        "a battery gives thousands of amperes into a spanner: the fuse at its post drawn first",
        "a battery that switches itself off while the alternator charges it leaves a spike that kills electronics",
        "never run the engine where its exhaust can get in",
    ]),
};

/// Does charging ask too much of the alternator?
#[derive(Debug)]
pub struct VehicleCharging;

impl Check for VehicleCharging {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let all = || cx.rig().charger.iter().enumerate().filter(|(_, charger)| runs_from_engine(charger));
        if all().next().is_none() {
            let begin = CARD.about(cx, "alternator").at("alternator");
            return vec![begin.not_applicable("nothing that is told charges from the engine")];
        }
        let mut findings: Vec<Finding> = all().map(|(index, charger)| relay(cx, index, charger)).collect();
        let limited: Vec<_> = all().filter(|(_, charger)| charger.kind != Some(ChargerKind::Direct)).collect();
        if !limited.is_empty() {
            findings.extend(alternator(cx, &limited));
        }
        findings
    }
}

/// What a charger says it runs from, where that is the engine.
const ALTERNATOR: &str = "alternator";

fn runs_from_engine(charger: &Charger) -> bool {
    let kind = matches!(charger.kind, Some(ChargerKind::DcDc | ChargerKind::Direct));
    charger.from.as_deref() == Some(ALTERNATOR) || (charger.from.is_none() && kind)
}

/// Whether anything limits the current of a charger.
fn relay(cx: &Context, index: usize, charger: &Charger) -> Finding {
    let path = path::of("charger", &charger.name, index);
    let draft = CARD.about(cx, charger.name.clone()).at(path.clone()).case("direct");
    match charger.kind {
        None => return draft.missing(format!("{path}.kind")),
        Some(ChargerKind::DcDc | ChargerKind::Mains) => {
            return draft.require(Holds::Yes, "it limits its own current").done();
        }
        Some(ChargerKind::Direct) => {}
    }
    let Some(unit) = banks::feeding(cx, charger.charges.as_ref()) else { return draft.missing(format!("{path}.charges")) };
    let Some(chemistry) = unit.entry.chemistry else { return draft.missing(format!("{}.chemistry", unit.path())) };
    let name = &unit.entry.name;
    if chemistry.is_lead() {
        let sentence =
            format!("\"{name}\" is lead-acid, which takes less as it fills; the relay must open with the ignition off");
        return draft.require(Holds::Yes, sentence).done();
    }
    let sentence =
        format!("\"{name}\" is lithium, and nothing between it and the alternator limits the current: it overheats at idle");
    let set = |key: &str, to: &str| Edit {
        path: format!("{path}.{key}"),
        op: EditOp::Set,
        from: None,
        to: Some(Free::Text(to.to_owned())),
    };
    let way_out = || Proposal {
        text: format!("a DC-DC charger in place of \"{}\"", charger.name),
        effort: Effort::PartsToBuy,
        edits: vec![set("kind", ChargerKind::DcDc.word())],
    };
    draft.require(Holds::No, sentence).proposal(|| Some(way_out())).done()
}

/// One charger that limits its current.
struct Draw<'c> {
    name: &'c str,
    path: String,
    out: f64,
    amps: Estimate,
    line: String,
}

fn draws<'c>(cx: &'c Context, chargers: &[(usize, &'c Charger)]) -> Result<Vec<Draw<'c>>, Gap> {
    let power = cx.facts().power();
    let supply = power.told("alternator.voltage")?;
    let each = chargers.iter().map(|(index, charger)| {
        let path = path::of("charger", &charger.name, *index);
        let (amps, volts) = (power.told(&format!("{path}.current"))?, power.told(&format!("{path}.voltage"))?);
        let usual = store_facts::supply().dc_dc_efficiency;
        let efficiency = power.told(&format!("{path}.efficiency")).cloned().unwrap_or_else(|_| Estimate::exact(usual));
        let drawn = &(amps * volts) / &(&efficiency * supply);
        let (a, v, share, from) =
            (figure(amps.value(), 1), figure(volts.value(), 2), figure(efficiency.value(), 3), figure(supply.value(), 2));
        let shown = number(a.get() * v.get() / (share.get() * from.get()), 2);
        let line = format!("{}: {v} V x {a} A / ({share} x {from} V) = {shown} A", charger.name);
        Ok(Draw { name: &charger.name, path, out: amps.value(), amps: drawn, line })
    });
    each.collect()
}

fn alternator(cx: &Context, chargers: &[(usize, &Charger)]) -> Vec<Finding> {
    let begin = |case: &str| CARD.about(cx, "alternator").at("alternator").case(case);
    let draws = match draws(cx, chargers) {
        Ok(draws) => draws,
        Err(gap) => return vec![begin("on the road").blocked(&gap)],
    };
    let drawn = Estimate::sum(draws.iter().map(|draw| &draw.amps));
    vec![on_the_road(cx, begin("on the road"), &draws, &drawn), idling(cx, &|| begin("idling"), &draws, &drawn)]
}

fn on_the_road(cx: &Context, draft: Draft<'_>, draws: &[Draw<'_>], drawn: &Estimate) -> Finding {
    let rated = match cx.facts().power().told("alternator.rated") {
        Ok(rated) => rated,
        Err(gap) => return draft.blocked(&gap),
    };
    let held: Vec<Held> =
        cx.limits("power/alternator-share").into_iter().map(|held| held.times(rated, Dimension::Current)).collect();
    let draft = draft.compare(drawn, &held);
    with_words(cx, draft, draws, format!("{} on the road", listed(&names(draws))), Vec::new())
}

fn idling<'c>(cx: &'c Context, begin: &dyn Fn() -> Draft<'c>, draws: &[Draw<'_>], drawn: &Estimate) -> Finding {
    let power = cx.facts().power();
    let vehicle = match power.told("alternator.vehicle_loads") {
        Ok(vehicle) => vehicle,
        Err(gap) => return begin().blocked(&gap),
    };
    let told = power.told("alternator.idle");
    let gives = match (&told, power.told("alternator.rated")) {
        (Ok(idle), _) => (*idle).clone(),
        (Err(_), Ok(rated)) => Estimate::exact(charging::idle_current(1.0)).scale(rated.value()),
        (Err(gap), Err(_)) => return begin().blocked(gap),
    };
    let spare = &gives - vehicle;
    let name = "what it can spare at hot idle";
    let basis = if told.is_ok() { basis::Basis::physics("sum of currents") } else { constant_basis("alternator-idle-share") };
    let draft = begin().compare(drawn, &[Held::at_most(name, spare.clone(), Dimension::Current, basis)]);
    if let (Err(gap), true) = (&told, draft.verdict() != check::Verdict::Pass) {
        let usual = number(gives.value(), 0);
        let why = format!(
            "an alternator of its size gives about {usual} A hot at idle, the truck takes {} A of that",
            number(vehicle.value(), 0)
        );
        return begin().blocked(&Gap::because(gap.path.clone(), why));
    }
    let idle = if told.is_ok() { "at hot idle" } else { "at hot idle, even if it gives no more than a third of its rating" };
    let (a, b) = (figure(gives.value(), 1), figure(vehicle.value(), 1));
    let line = format!("{a} A - {b} A of the truck = {} A to spare", number(a.get() - b.get(), 1));
    with_words(cx, draft, draws, format!("{} {idle}", listed(&names(draws))), vec![line])
}

fn names<'c>(draws: &[Draw<'c>]) -> Vec<&'c str> {
    draws.iter().map(|draw| draw.name).collect()
}

fn with_words(cx: &Context, draft: Draft<'_>, draws: &[Draw<'_>], sentence: String, more: Vec<String>) -> Finding {
    draft
        .sentence(sentence)
        .working(|| {
            let mut lines: Vec<String> = draws.iter().map(|draw| draw.line.clone()).collect();
            if draws.len() > 1 {
                let parts: Vec<_> = draws.iter().map(|draw| figure(draw.amps.value(), 2)).collect();
                let words: Vec<String> = parts.iter().map(ToString::to_string).collect();
                lines.push(format!("{} = {} A", words.join(" + "), number(parts.iter().map(|part| part.get()).sum(), 2)));
            }
            lines.extend(more);
            lines
        })
        .remedies(|goal| smaller(cx, draws, goal).into_iter().collect())
        .done()
}

/// The largest charger, set lower.
fn smaller(cx: &Context, draws: &[Draw<'_>], goal: &Goal) -> Option<Proposal> {
    let largest = draws.iter().reduce(|most, other| if other.out > most.out { other } else { most })?;
    let to = lower(largest.out)
        .find(|amps| has_reserve(&goal.capacity, &(&goal.demand - &largest.amps.scale(1.0 - amps / largest.out))))?;
    let words = edits::to_step(cx, to, Dimension::Current, AMPERE_STEP);
    Some(Proposal {
        text: format!("\"{}\" set to {words}, or one of that size", largest.name),
        effort: Effort::Minutes,
        edits: vec![edits::set(format!("{}.current", largest.path), Some(largest.out), to, Dimension::Current)],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    /// W19 of the power reference (computed outside this project): 30 A x 14.4 V / (0.90 x 13.5 V) = 35.6 A; an alternator
    /// that has 16 A to spare at hot idle: 2.2 times too much.
    #[test]
    fn a_charger_at_idle_by_the_reference() {
        let text = r#"
            [alternator]
            rated = "48 A"
            voltage = "13.5 V"
            idle = { value = "16 A", tolerance = "0 A" }
            vehicle_loads = { value = "0 A", tolerance = "0 A" }
            [[charger]]
            name = "drive"
            kind = "dc-dc"
            current = "30 A"
            voltage = "14.4 V"
            efficiency = { value = "90 %", tolerance = "0 %" }
            from = "alternator"
        "#;
        let found = VehicleCharging.run(&context(text));
        let used: Vec<f64> = found.iter().filter_map(|finding| Some(finding.utilisation?.0)).collect();
        assert!((used[1] - 35.5556 / 16.0).abs() < 1e-4 && (used[0] - 35.5556 / 24.0).abs() < 1e-4, "{used:?}");
        assert_eq!(found[1].verdict, check::Verdict::Fail);
    }
}
