//! power/panel-voltage: do the panels fit the voltage of the battery?
//!
//! demand      voltage at highest power of a string by its label, over the class of the battery (12, 24, 48 V)
//! capacity    the share at least, and behind a controller that only switches also at most
//! states      once for each panel entry that feeds a controller
//! leaves out  heat (`power/hot-voltage`), frost (`power/controller-voltage`), the energy lost in a year
//!             (`power/controller-match`); portable units, whose sockets track (`power/hot-voltage`)

use std::borrow::Cow;

use check::remedy::{Effort, Proposal};
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Verdict, Words};
use quantity::Estimate;
use rig_facts::Gap;
use rig_model::model::{ControllerKind, Nominal, Panel};
use rig_model::{Edit, EditOp, Free, Thing};

use crate::feeds::{self, controller_of, in_series, portable_of};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/panel-voltage"),
    question: Cow::Borrowed("Do the panels fit the voltage of the battery?"),
    words: Words::new("has of the battery's voltage", "wants"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["panel.vmp", "battery.voltage"]),
    uses: List::Static(&[
        "panel.name",
        "panel.for_battery",
        "panel.in_series",
        "panel.count",
        "panel.controller",
        "controller.name",
        "controller.kind",
        "controller.charges",
        "battery.name",
        "battery.serves",
        "battery.order",
        "battery.in_series",
        "portable.name",
    ]),
    limits: List::Static(&["power/panel-voltage-least", "power/panel-voltage-switched"]),
    formula: List::Static(&[
        "share = Vmp x panels in series / class of the battery; 12.8 V counts as 12, 25.6 V as 24",
        "a controller that only switches holds the panel at the battery's voltage: what the panel has above it is lost",
    ]),
    cautions: List::Static(&[
        "panels are live whenever there is light: cover them before anyone works on the wires",
        "local electrical code and a licensed electrician come before this arithmetic",
    ]),
};

/// Do the panels fit the voltage of the battery?
#[derive(Debug)]
pub struct PanelVoltage;

impl Check for PanelVoltage {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if let Some(gap) = feeds::gap(cx.rig()) {
            return vec![CARD.about(cx, "panels").at("panel").blocked(&gap)];
        }
        cx.rig().panel.iter().map(|panel| answer(cx, panel)).collect()
    }
}

/// The class of the battery that a panel charges first, V.
pub(crate) fn class_of(cx: &Context, panel: &Panel) -> Result<f64, Gap> {
    let power = cx.facts().power();
    let facts = power.panels().iter().find(|one| one.path == panel.path());
    let bank = facts.and_then(|one| one.banks.first()).and_then(|bank| power.banks().get(*bank));
    let volts = bank.ok_or_else(|| Gap::at("battery"))?.volts.as_ref().map_err(Clone::clone)?.value();
    let off = |class: &f64| (class - volts).abs();
    let classes = [Nominal::V12, Nominal::V24, Nominal::V48].map(Nominal::volts);
    classes.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).ok_or_else(|| Gap::at("battery.voltage"))
}

fn answer(cx: &Context, panel: &Panel) -> Finding {
    let path = panel.path();
    let begin = || -> Draft<'_> { CARD.about(cx, &panel.name).at(&path) };
    if portable_of(cx.rig(), panel).is_some() {
        return begin().not_applicable("the unit it feeds tracks by itself; power/hot-voltage asks whether its voltage reaches");
    }
    let class = match class_of(cx, panel) {
        Ok(class) => class,
        Err(gap) => return begin().blocked(&gap),
    };
    let series = f64::from(in_series(panel));
    let kind = controller_of(cx.rig(), panel).and_then(|at| cx.rig().controller.get(at)?.kind);
    let Ok(vmp) = cx.facts().power().told(&format!("{path}.vmp")) else { return by_label(cx, begin(), panel, class) };
    let share = vmp.scale(series / class);
    let mut held = cx.limits("power/panel-voltage-least");
    let tracking = kind == Some(ControllerKind::Tracking);
    let least_holds = begin().compare(&share, &held).verdict();
    if !tracking {
        held.extend(cx.limits("power/panel-voltage-switched"));
    }
    let draft = begin().compare(&share, &held);
    if kind.is_none() && least_holds == Verdict::Pass && draft.verdict() != Verdict::Pass {
        let at = controller_of(cx.rig(), panel).and_then(|at| Some(format!("{}.kind", cx.rig().controller.get(at)?.path())));
        return begin().missing(at.unwrap_or_else(|| "controller.kind".to_owned()));
    }
    let low = least_holds != Verdict::Pass;
    let said = match (kind, low) {
        (_, true) => "a battery that these panels charge is never full; lead-acid dies of it",
        (Some(ControllerKind::Tracking), _) => "its controller tracks, so more voltage does no harm",
        (Some(ControllerKind::Pwm), _) if draft.verdict() == Verdict::Pass => {
            "its controller only switches, and the voltages fit"
        }
        (Some(ControllerKind::Pwm), _) => "its controller only switches: what the panel has above the battery's voltage is lost",
        (None, _) => "even if its controller only switches",
    };
    let draft = if low { draft.consequence(Consequence::Damage) } else { draft };
    draft
        .sentence(format!("on a battery of {} V; {said}", number(class, 0)))
        .working(|| {
            let (vmp, volts) = (figure(vmp.value(), 2), figure(class, 0));
            let share = vmp.get() * series / volts.get() * PERCENT;
            [format!("{vmp} V x {} / {volts} V = {} %", in_series(panel), number(share, 1))]
        })
        .remedies(|_| ways_out(cx, panel, vmp, class, tracking))
        .done()
}

const PERCENT: f64 = 100.0;

/// What the label says it is sold for, where no voltage is told.
fn by_label(cx: &Context, draft: Draft<'_>, panel: &Panel, class: f64) -> Finding {
    let Some(sold_for) = panel.for_battery else { return draft.missing(format!("{}.vmp", panel.path())) };
    let controller = controller_of(cx.rig(), panel).and_then(|at| cx.rig().controller.get(at));
    let tracking = controller.is_some_and(|one| one.kind == Some(ControllerKind::Tracking));
    let volts = sold_for.volts() * f64::from(in_series(panel));
    let holds = if volts == class || (tracking && volts > class) { Holds::Yes } else { Holds::No };
    let sentence = format!("its label is for {} V, the battery has {} V", number(volts, 0), number(class, 0));
    draft.require(holds, sentence).proposal(|| controller.filter(|_| volts > class).map(tracker)).done()
}

fn ways_out(cx: &Context, panel: &Panel, vmp: &Estimate, class: f64, tracking: bool) -> Vec<Proposal> {
    let limits = |id| cx.limits(id);
    let mut held = limits("power/panel-voltage-least");
    if !tracking {
        held.extend(limits("power/panel-voltage-switched"));
    }
    let holds = |share: &Estimate, held: &[check::Held]| CARD.about(cx, "").compare(share, held).verdict() == Verdict::Pass;
    let share = |length: u32| vmp.scale(f64::from(length) / class);
    let mut ways: Vec<Proposal> = feeds::other_lengths(panel)
        .filter(|length| holds(&share(*length), &held))
        .min()
        .map(|length| feeds::rewire(panel, length))
        .into_iter()
        .collect();
    let controller = controller_of(cx.rig(), panel).and_then(|at| cx.rig().controller.get(at));
    if let (false, Some(one)) = (tracking, controller)
        && holds(&share(in_series(panel)), &limits("power/panel-voltage-least"))
    {
        ways.push(tracker(one));
    }
    ways
}

/// A controller that tracks in place of one that only switches.
pub(crate) fn tracker(controller: &rig_model::model::Controller) -> Proposal {
    let word = |kind: ControllerKind| Some(Free::Text(kind.word().to_owned()));
    Proposal {
        text: format!("a tracking controller in place of {}", controller.name),
        effort: Effort::PartsToBuy,
        edits: vec![Edit {
            path: format!("{}.kind", controller.path()),
            op: EditOp::Set,
            from: controller.kind.and_then(word),
            to: word(ControllerKind::Tracking),
        }],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    fn rig(panel: &str, kind: &str, volts: &str) -> String {
        format!(
            "[[panel]]\nname = \"roof\"\n{panel}\n[[controller]]\nname = \"sun\"\n{kind}\n[[battery]]\nname = \"house\"\nvoltage = \"{volts}\"\ncapacity = \"100 Ah\"\n"
        )
    }

    #[test]
    fn a_panel_of_31_volts_wants_a_tracking_controller_on_12() {
        let of = |kind: &str| first(&PanelVoltage, &rig("vmp = \"31 V\"", kind, "12.8 V"));
        let switched = of("kind = \"pwm\"");
        assert_eq!(switched.verdict, Verdict::Fail);
        assert!((switched.demand.expect("a number").value.0 - 31.0 / 12.0).abs() < 1e-12);
        assert_eq!(switched.proposals.len(), 1);
        assert_eq!(of("kind = \"tracking\"").verdict, Verdict::Pass);
        assert_eq!(of("").verdict, Verdict::Missing);
    }

    #[test]
    fn two_of_36_cells_in_series_fit_24_volts() {
        let of =
            |more: &str| first(&PanelVoltage, &rig(&format!("vmp = \"18.6 V\"\ncount = 2\n{more}"), "kind = \"pwm\"", "25.6 V"));
        let alone = of("");
        assert_eq!((alone.verdict, alone.consequence), (Verdict::Fail, Consequence::Damage));
        assert_eq!(alone.proposals.first().map(|way| way.text.as_str()), Some("wire the 2 panels of roof in series"));
        assert_eq!(of("in_series = 2").verdict, Verdict::Pass);
    }

    #[test]
    fn a_label_for_a_battery_tells_as_much() {
        let of = |volts: &str| first(&PanelVoltage, &rig(&format!("for_battery = \"{volts}\""), "", "12 V")).verdict;
        assert_eq!((of("12 V"), of("24 V")), (Verdict::Pass, Verdict::Fail));
        assert_eq!(first(&PanelVoltage, &rig("", "", "12 V")).verdict, Verdict::Missing);
    }
}
