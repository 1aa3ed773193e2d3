//! power/controller-current: does the controller bear the panels' current?
//!
//! demand      1.25 times the short-circuit current of all strings together, behind a controller that only switches; the
//!             short-circuit current itself where the plate of a tracking one bounds it, A
//! capacity    charging current by the plate; of a tracking controller the input current that its plate names, A
//! states      once for each controller
//! leaves out  portable units, which take no more than they bear; what the battery bears (`power/battery-charge-rate`);
//!             wires and fuses (the wiring trade)

use std::borrow::Cow;

use check::draft::has_reserve_under;
use check::edits::restate;
use check::remedy::{Effort, Proposal};
use check::working::{figure, number, percent};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Verdict, Words};
use physics::{strings, sun_facts};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::Thing;
use rig_model::model::{Controller, ControllerKind};

use crate::feeds::{self, Feed};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/controller-current"),
    question: Cow::Borrowed("Does the controller bear the panels' current?"),
    words: Words::new("has to carry", "may carry"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["panel.isc"]),
    uses: List::Static(&[
        "controller.kind",
        "controller.max_current",
        "panel.name",
        "panel.count",
        "panel.in_series",
        "panel.controller",
        "panel.rated",
        "panel.tilt",
        "panel.faces",
        "panel.mounted",
        "panel.gap",
        "panel.kind",
        "panel.age",
        "panel.glass",
        "panel.power_change",
        "controller.name",
        "controller.max_input_current",
        "controller.efficiency",
        "controller.charges",
        "battery.name",
        "battery.voltage",
        "battery.serves",
        "battery.order",
        "battery.in_series",
        "portable.name",
        "site",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "switching: 1.25 x Isc x strings in parallel, over all panels on the controller (NEC 690.8(A)(1))",
        "tracking: Isc x strings, where the plate names a highest input current",
        "tracking without one: it gives no more than its plate says; the rest of the sun is left over, and nothing breaks",
    ]),
    cautions: List::Static(&[
        "panels are live whenever there is light: cover them before anyone works on the wires",
        "local electrical code and a licensed electrician come before this arithmetic",
    ]),
};

/// Does the controller bear the panels' current?
#[derive(Debug)]
pub struct ControllerCurrent;

impl Check for ControllerCurrent {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if let Some(gap) = feeds::gap(cx.rig()) {
            return vec![CARD.about(cx, "panels").at("panel").blocked(&gap)];
        }
        let feeds = feeds::feeds(cx.rig());
        let of = |feed: &Feed| {
            let one = cx.rig().controller.get(feed.index).filter(|_| !feed.portable)?;
            Some(answer(cx, feed, one))
        };
        let findings: Vec<Finding> = feeds.iter().filter_map(of).collect();
        if findings.is_empty() {
            return vec![
                CARD.about(cx, "panels")
                    .at("panel")
                    .not_applicable("they feed portable units alone, which take no more than they bear"),
            ];
        }
        findings
    }
}

/// Short-circuit current of all strings on a controller, A.
fn short_circuit(cx: &Context, feed: &Feed) -> Result<Estimate, Gap> {
    let of = |at: &usize| {
        let panel = cx.rig().panel.get(*at).ok_or_else(|| Gap::at("panel"))?;
        let isc = cx.facts().power().told(&format!("{}.isc", panel.path()))?;
        Ok(isc.scale(feeds::strings(panel)))
    };
    let parts = feed.panels.iter().map(of).collect::<Result<Vec<Estimate>, Gap>>()?;
    Ok(Estimate::sum(parts.iter()))
}

fn answer(cx: &Context, feed: &Feed, controller: &Controller) -> Finding {
    let begin = || -> Draft<'_> { CARD.about(cx, &feed.name).at(&feed.path) };
    if feed.panels.is_empty() {
        return begin().not_applicable("no panel feeds it");
    }
    let told = |key: &str| cx.facts().power().told(&format!("{}.{key}", feed.path));
    let tracking = controller.kind == Some(ControllerKind::Tracking);
    let (key, name) = if tracking {
        ("max_input_current", "highest short-circuit current of the panels")
    } else {
        ("max_current", "rated charging current")
    };
    let most = match told(key) {
        Ok(most) => most,
        Err(_) if tracking => return left_over(cx, feed, begin()),
        Err(gap) => return begin().blocked(&gap),
    };
    let isc = match short_circuit(cx, feed) {
        Ok(isc) => isc,
        Err(gap) => return begin().blocked(&gap),
    };
    let demand = if tracking { isc.clone() } else { isc.scale(sun_facts::panel().array_current) };
    let draft = begin().compare(&demand, &[Held::plate(name, most.clone(), Dimension::Current)]);
    if controller.kind.is_none() && draft.verdict() != Verdict::Pass {
        return begin().missing(format!("{}.kind", feed.path));
    }
    let sentence = match controller.kind {
        Some(ControllerKind::Tracking) => "by the panels' labels",
        Some(ControllerKind::Pwm) => "the light of a sunny day with bright clouds is a quarter over the label's",
        None => "even if it only switches the panels onto the battery",
    };
    draft
        .sentence(sentence)
        .working(|| working(cx, feed, tracking))
        .remedies(|_| {
            let way = if tracking {
                longer(cx, feed, &demand, most.value())
            } else {
                larger(cx, feed, controller, &demand, most.value())
            };
            way.into_iter().collect()
        })
        .done()
}

fn working(cx: &Context, feed: &Feed, tracking: bool) -> Vec<String> {
    let (mut lines, mut sum) = (Vec::new(), 0.0);
    for panel in feed.panels.iter().filter_map(|at| cx.rig().panel.get(*at)) {
        let Ok(isc) = cx.facts().power().told(&format!("{}.isc", panel.path())) else { continue };
        let (isc, strings) = (figure(isc.value(), 2), figure(feeds::strings(panel), 2));
        let amps = figure(isc.get() * strings.get(), 2);
        sum += amps.get();
        lines.push(format!("{}: {strings} x {isc} A = {amps} A", panel.name));
    }
    if !tracking {
        let sum = figure(sum, 2);
        lines.push(format!(
            "{} x {sum} A = {} A",
            sun_facts::panel().array_current,
            number(strings::array_current(sum.get()), 2)
        ));
    }
    lines
}

/// What a tracking controller leaves of the sun: no harm, and a number.
fn left_over(cx: &Context, feed: &Feed, draft: Draft<'_>) -> Finding {
    let harmless = "it tracks, and takes no more than it bears";
    let (kept, lost) = match clipped(cx, feed) {
        Some(found) => found,
        None => return draft.require(Holds::Yes, harmless).done(),
    };
    let all = kept + lost;
    let share = if all > 0.0 { lost / all } else { 0.0 };
    let sentence = format!("{harmless}; {} of the sun's energy a year finds it full", percent(share));
    let kwh = |wh: f64| figure(wh / WH_PER_KWH, 1);
    draft
        .require(Holds::Yes, sentence)
        .working(|| {
            let (kept, lost) = (kwh(kept), kwh(lost));
            [format!("a year: {kept} kWh + {lost} kWh left over = {} kWh", number(kept.get() + lost.get(), 1))]
        })
        .done()
}

const WH_PER_KWH: f64 = 1000.0;

/// Energy of a mean year that the controller passes on, and what it cannot, Wh.
fn clipped(cx: &Context, feed: &Feed) -> Option<(f64, f64)> {
    let power = cx.facts().power();
    let panels: Vec<_> = feed.panels.iter().filter_map(|at| Some((*at, power.panels().get(*at)?))).collect();
    let most = panels.first()?.1.clips_at;
    let given =
        panels.iter().map(|(at, panel)| Some((panel.watts.as_ref().ok()?.value() * panel.kept, power.per_watt(*at, true).ok()?)));
    let given: Vec<_> = given.collect::<Option<Vec<_>>>()?;
    let years = given.first()?.1.len();
    let (mut kept, mut lost) = (0.0, 0.0);
    for year in 0..years {
        let hours = given.iter().filter_map(|(_, hours)| hours.get(year)).map(Vec::len).min()?;
        for hour in 0..hours {
            let watts: f64 = given.iter().filter_map(|(watts, of)| Some(watts * f64::from(*of.get(year)?.get(hour)?))).sum();
            kept += watts.min(most);
            lost += (watts - most).max(0.0);
        }
    }
    Some((kept / years as f64, lost / years as f64))
}

/// The next larger controller on sale.
fn larger(cx: &Context, feed: &Feed, controller: &Controller, demand: &Estimate, now: f64) -> Option<Proposal> {
    let size = feeds::on_sale("controller of ", demand)?;
    Some(Proposal {
        text: format!("a controller of {} A instead of {} A", number(size, 0), number(now, 0)),
        effort: Effort::PartsToBuy,
        edits: vec![restate(cx, format!("{}.max_current", feed.path), controller.max_current.as_ref(), size)],
    })
}

/// Longer strings, of which fewer stand side by side, where one entry alone feeds a tracking controller.
fn longer(cx: &Context, feed: &Feed, demand: &Estimate, most: f64) -> Option<Proposal> {
    let [at] = feed.panels.as_slice() else { return None };
    let panel = cx.rig().panel.get(*at)?;
    let now = feeds::in_series(panel);
    let of = |length: u32| demand.scale(f64::from(now) / f64::from(length));
    let length = feeds::other_lengths(panel).filter(|length| *length > now && has_reserve_under(most, &of(*length))).min()?;
    Some(feeds::rewire(panel, length))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    fn rig(panel: &str, controller: &str) -> String {
        format!("[[panel]]\nname = \"roof\"\n{panel}\n[[controller]]\nname = \"sun\"\n{controller}\n")
    }

    #[test]
    fn a_switching_controller_carries_a_quarter_more_than_the_labels() {
        let of = |count: u32, kind: &str| {
            let panel = format!("isc = \"5.8 A data-plate\"\ncount = {count}");
            first(&ControllerCurrent, &rig(&panel, &format!("max_current = \"20 A\"\n{kind}")))
        };
        // 1.25 x 2 x 5.8 = 14.5 A of 20; four: 29 A, of which 40 A on sale leave enough.
        let two = of(2, "");
        assert_eq!(two.verdict, Verdict::Pass);
        assert!((two.demand.expect("a number").value.0 - 14.5).abs() < 1e-12);
        let four = of(4, "kind = \"pwm\"");
        assert_eq!(four.verdict, Verdict::Fail);
        assert_eq!(four.proposals.first().map(|way| way.text.as_str()), Some("a controller of 40 A instead of 20 A"));
        assert_eq!(of(4, "").verdict, Verdict::Missing);
        assert_eq!(of(4, "kind = \"tracking\"").verdict, Verdict::Pass);
        let bounded = of(4, "kind = \"tracking\"\nmax_input_current = \"20 A\"");
        assert!((bounded.utilisation.expect("both above zero").0 - 1.16).abs() < 1e-12);
    }
}
