//! power/hot-voltage: do the hot panels still reach the voltage that fills the battery?
//!
//! demand      voltage at highest power of a string whose cells are as hot as on the hottest day in full sun, less what wires
//!             take, V
//! capacity    absorption voltage of the battery and what the controller wants above it, V; of a portable unit the lowest
//!             voltage of its solar socket
//! states      once for each panel entry that feeds a controller or a portable unit
//! leaves out  shaded panels, whose voltage falls further; the hours of such heat in a year

use std::borrow::Cow;

use check::remedy::Proposal;
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Verdict, Words};
use physics::cell::{Mounting, faiman, mounting};
use physics::sun_facts;
use quantity::{Dimension, Estimate};
use rig_facts::power::KELVIN;
use rig_facts::{Gap, tables};
use rig_model::Thing;
use rig_model::model::{ControllerKind, Nominal, Panel};

use crate::feeds::{self, controller_of, in_series, portable_of, taken};
use crate::panel_voltage::class_of;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/hot-voltage"),
    question: Cow::Borrowed("Do the hot panels still reach the voltage that fills the battery?"),
    words: Words::new("reaches", "has to reach"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["panel.vmp", "battery.voltage", "portable.solar_min"]),
    uses: List::Static(&[
        "panel.name",
        "panel.power_change",
        "panel.mounted",
        "panel.gap",
        "panel.in_series",
        "panel.count",
        "panel.controller",
        "controller.name",
        "controller.kind",
        "controller.absorption",
        "controller.headroom",
        "controller.charges",
        "battery.name",
        "battery.serves",
        "battery.order",
        "battery.in_series",
        "portable.name",
        "site.hottest",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "cells = hottest air + 1000 W/m2 / (u0 + u1 x wind at the roof)",
        "hot voltage = Vmp x (1 + change of power x (cells - 25 degC)) x panels in series x (1 - loss of wires)",
        "wanted = absorption voltage + what the controller wants above the battery to run",
    ]),
    cautions: List::Static(&[
        "a panel in the sun burns the hand that lifts it, and is live: cover it before anyone works on the wires",
        "local electrical code and a licensed electrician come before this arithmetic",
    ]),
};

/// Do the hot panels still reach the voltage that fills the battery?
#[derive(Debug)]
pub struct HotVoltage;

impl Check for HotVoltage {
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

/// What the hot voltage of a panel rests on beside its label.
#[derive(Clone, Copy)]
struct Heat {
    /// Warmest air, degrees Celsius.
    air: f64,
    /// Wind at the roof, m/s.
    wind: f64,
    /// Heat that the panel loses.
    mounting: Mounting,
    /// Change of its power, 1/K.
    change: f64,
}

impl Heat {
    fn cell(&self) -> f64 {
        faiman(sun_facts::panel().rated_irradiance, self.air, self.wind, self.mounting)
    }

    /// Share of the label's voltage that is left at the controller.
    fn left(&self) -> f64 {
        (1.0 + self.change * (self.cell() - sun_facts::panel().rated_temperature)) * (1.0 - wires())
    }
}

fn wires() -> f64 {
    tables::number("living/panel-loss", "what", "wires", "share").unwrap_or(1.0)
}

/// The heat of a panel as it is told; where something is not, the worst and the best that it can be, and its path.
fn heat(cx: &Context, panel: &Panel) -> (Heat, Heat, Option<String>) {
    let power = cx.facts().power();
    let path = panel.path();
    let air = power.told("site.hottest").map_or_else(|_| taken("hottest that a rig goes to, degC"), |k| k.value() - KELVIN);
    let calm = tables::number("living/wind", "what", "where nobody knows", "number").unwrap_or(0.0);
    let wind = calm * sun_facts::panel().wind_at_roof;
    let facts = power.panels().iter().find(|one| one.path == path);
    let aired = facts.filter(|one| one.airing_told).map(|one| Mounting { u0: one.airing.u0, u1: one.airing.u1 });
    let still = Mounting { u0: f64::NAN, u1: f64::NAN };
    let (bonded, free) = (mounting("bonded").unwrap_or(still), mounting("open").unwrap_or(still));
    let change = power.told(&format!("{path}.power_change")).ok().map(Estimate::value);
    let of = |mounting: Mounting, case: &str| Heat { air, wind, mounting, change: change.unwrap_or_else(|| taken(case)) };
    let open = match (aired, change) {
        (None, _) => Some(format!("{path}.mounted")),
        (_, None) => Some(format!("{path}.power_change")),
        _ => None,
    };
    (of(aired.unwrap_or(bonded), "change of power, bad case"), of(aired.unwrap_or(free), "change of power, good case"), open)
}

/// What has to be reached, V, with its name and how it is made up.
struct Wanted {
    held: Held,
    line: Option<String>,
    words: String,
}

fn wanted(cx: &Context, panel: &Panel) -> Result<Wanted, Gap> {
    let power = cx.facts().power();
    if let Some(unit) = portable_of(cx.rig(), panel).and_then(|at| cx.rig().portable.get(at)) {
        let least = power.told(&format!("{}.solar_min", unit.path()))?;
        let name = "lowest voltage of its solar socket";
        let held = Held::at_least(name, least.clone(), Dimension::Voltage, basis::Basis::data_plate(name));
        return Ok(Wanted { held, line: None, words: format!("{} starts to charge", unit.name) });
    }
    let controller = controller_of(cx.rig(), panel).and_then(|at| cx.rig().controller.get(at));
    let controller = controller.ok_or_else(|| Gap::at("controller"))?;
    let class = class_of(cx, panel)?;
    let told = |key: &str| power.told(&format!("{}.{key}", controller.path())).ok().cloned();
    let absorption =
        told("absorption").unwrap_or_else(|| Estimate::exact(taken("absorption of 12 V") * class / Nominal::V12.volts()));
    let usual = if controller.kind == Some(ControllerKind::Pwm) { "headroom, switching" } else { "headroom, tracking" };
    let headroom = told("headroom").unwrap_or_else(|| Estimate::exact(taken(usual)));
    let basis = tables::table(feeds::STRINGS).map_or_else(basis::Basis::common_practice, |table| table.basis.clone());
    let basis =
        if controller.absorption.is_some() { basis::Basis::data_plate("absorption voltage of the controller") } else { basis };
    let (volts, above) = (figure(absorption.value(), 2), figure(headroom.value(), 2));
    let sum = &absorption + &headroom;
    Ok(Wanted {
        line: Some(format!("wanted: {volts} V + {above} V = {} V", number(volts.get() + above.get(), 2))),
        held: Held::at_least("absorption voltage and the controller's own", sum, Dimension::Voltage, basis),
        words: format!("the battery gets its {} V", number(absorption.value(), 1)),
    })
}

fn answer(cx: &Context, panel: &Panel) -> Finding {
    let path = panel.path();
    let begin = || -> Draft<'_> { CARD.about(cx, &panel.name).at(&path) };
    let vmp = match cx.facts().power().told(&format!("{path}.vmp")) {
        Ok(vmp) => vmp,
        Err(gap) => return begin().blocked(&gap),
    };
    let wanted = match wanted(cx, panel) {
        Ok(wanted) => wanted,
        Err(gap) => return begin().blocked(&gap),
    };
    let (worst, best, open) = heat(cx, panel);
    let volts = |heat: &Heat| vmp.scale(heat.left() * f64::from(in_series(panel)));
    let held = [wanted.held];
    let mut draft = begin().compare(&volts(&worst), &held);
    let mut even = "";
    let mut heat = worst;
    if let Some(open) = open {
        if draft.verdict() == Verdict::Pass {
            even = if open.ends_with("mounted") {
                ", even if it is glued down"
            } else {
                ", even if it loses as much in the heat as old panels do"
            };
        } else {
            draft = begin().compare(&volts(&best), &held);
            if draft.verdict() != Verdict::Fail {
                return begin().missing(open);
            }
            even = ", however it is mounted";
            heat = best;
        }
    }
    let cell = number(heat.cell(), 0);
    let sentence = match draft.verdict() {
        Verdict::Pass => format!("with cells at {cell} degC {} in full sun{even}", wanted.words),
        _ => format!(
            "with cells at {cell} degC it is too little before {}: it fills late, or never on hot days{even}",
            wanted.words
        ),
    };
    draft
        .sentence(sentence)
        .working(|| working(&heat, vmp, in_series(panel)).into_iter().chain(wanted.line))
        .remedies(|_| longer(panel, &volts(&heat), &held).into_iter().collect())
        .done()
}

fn working(heat: &Heat, vmp: &Estimate, series: u32) -> Vec<String> {
    let facts = sun_facts::panel();
    let (air, wind) = (figure(heat.air, 1), figure(heat.wind, 2));
    let Mounting { u0, u1 } = heat.mounting;
    let (u0, u1) = (figure(u0, 2), figure(u1, 2));
    let rise = figure(facts.rated_irradiance / (u0.get() + u1.get() * wind.get()), 1);
    let hotter = figure(air.get() + rise.get() - facts.rated_temperature, 1);
    let (change, vmp, kept) = (figure(-heat.change, 5), figure(vmp.value(), 2), figure(1.0 - wires(), 3));
    let volts = vmp.get() * (1.0 - change.get() * hotter.get()) * f64::from(series) * kept.get();
    vec![
        format!("{} W/m2 / ({u0} + {u1} x {wind}) = {rise} K over the air", facts.rated_irradiance),
        format!("{air} + {rise} - {} = {hotter} K over the label's", facts.rated_temperature),
        format!("{vmp} V x (1 - {change} x {hotter}) x {series} x {kept} = {} V", number(volts, 2)),
    ]
}

/// The shortest string that reaches.
fn longer(panel: &Panel, now: &Estimate, held: &[Held]) -> Option<Proposal> {
    let wanted = held.iter().map(|held| match &held.bound {
        check::limits::HeldBound::AtLeast(least) => least.clone(),
        _ => Estimate::exact(f64::INFINITY),
    });
    let wanted = wanted.max_by(|a, b| a.value().total_cmp(&b.value()))?;
    let of = |length: u32| now.scale(f64::from(length) / f64::from(in_series(panel)));
    let reaches =
        |volts: Estimate| check::draft::GOAL * volts.value() >= wanted.value() && volts.interval95().0 >= wanted.value();
    let length = feeds::other_lengths(panel).filter(|length| reaches(of(*length))).min()?;
    Some(feeds::rewire(panel, length))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    fn rig(panel: &str, controller: &str, more: &str) -> String {
        format!(
            "[[panel]]\nname = \"roof\"\n{panel}\n[[controller]]\nname = \"sun\"\n{controller}\n[[battery]]\nname = \"house\"\nvoltage = \"12.8 V\"\ncapacity = \"100 Ah\"\n{more}"
        )
    }

    #[test]
    fn a_panel_of_36_cells_is_at_its_end_at_75_degrees() {
        // The invented 36-cell panel of the reference: 18.6 V, 14.18 V at 75 degC by the diode model of an open library; the
        // line with its change of power, -0.48 %/K, gives 18.6 x (1 - 0.0048 x 50) = 14.14 V.
        let heat = Heat { air: 75.0, wind: 0.0, mounting: Mounting { u0: 1e12, u1: 0.0 }, change: -0.0048 };
        assert!((18.6 * heat.left() / (1.0 - wires()) - 14.18).abs() < 0.05);
        let text = "vmp = \"18.6 V\"\npower_change = \"-0.48 %/K\"\nmounted = \"bonded\"";
        let finding = first(&HotVoltage, &rig(text, "kind = \"tracking\"", "[site]\nhottest = \"35 °C\"\n"));
        assert_eq!(finding.verdict, Verdict::Fail);
        // Cells at 35 + 1000 / 15 = 101.7 degC: 18.6 x (1 - 0.0048 x 76.67) x 0.98 = 11.52 V.
        assert!((finding.demand.expect("a number").value.0 - 11.52).abs() < 0.01);
        assert!((finding.capacity.expect("a number").value.0 - 15.4).abs() < 1e-9);
    }

    #[test]
    fn what_is_not_told_is_asked_for_only_where_it_decides() {
        let of = |vmp: f64| first(&HotVoltage, &rig(&format!("vmp = \"{vmp} V\""), "kind = \"tracking\"", ""));
        assert_eq!(of(40.0).verdict, Verdict::Pass);
        assert_eq!(of(20.0).needs.first().map(|need| need.path.as_str()), Some("panel[roof].mounted"));
        assert_eq!(of(14.0).verdict, Verdict::Fail);
    }
}
