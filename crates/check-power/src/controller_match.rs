//! power/controller-match: what does a controller that only switches cost in a year?
//!
//! demand      share of the energy of the years drawn that the panels lose because they are held at the battery's voltage
//! capacity    the owner's share, or the usual one, at most
//! states      once for each panel entry that feeds a controller
//! leaves out  what a tracking controller costs in money; shade, in which a switching one loses more

use std::borrow::Cow;

use check::working::{figure, number, percent};
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Words};
use quantity::Estimate;
use rig_facts::Gap;
use rig_model::Thing;
use rig_model::model::{ControllerKind, Panel};

use crate::feeds::{self, controller_of, owners, portable_of};
use crate::panel_voltage::tracker;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/controller-match"),
    question: Cow::Borrowed("What does a controller that only switches cost in a year?"),
    words: Words::new("loses of a year's energy", "may lose"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["controller.kind"]),
    uses: List::Static(&[
        "site.latitude",
        "battery.voltage",
        "panel.isc",
        "panel.rated",
        "panel.name",
        "panel.imp",
        "panel.count",
        "panel.in_series",
        "panel.controller",
        "panel.tilt",
        "panel.faces",
        "panel.mounted",
        "panel.gap",
        "panel.kind",
        "panel.age",
        "panel.glass",
        "panel.power_change",
        "controller.name",
        "controller.efficiency",
        "controller.charges",
        "battery.name",
        "battery.serves",
        "battery.order",
        "battery.in_series",
        "portable.name",
        "site",
        "power.pwm_loss",
    ]),
    limits: List::Static(&["power/pwm-loss"]),
    formula: List::Static(&[
        "switched power = battery voltage while charging x Isc x light / 1000 W/m2, and no more than the panel has",
        "lost = 1 - energy switched / energy tracked, over the hours of the years drawn from the climate",
        "in heat a panel of 36 cells loses little on 12 V, in frost a third; one of 54 cells loses half all year",
    ]),
    cautions: List::Static(&[
        "panels are live whenever there is light: cover them before anyone works on the wires",
        "local electrical code and a licensed electrician come before this arithmetic",
    ]),
};

/// What does a controller that only switches cost in a year?
#[derive(Debug)]
pub struct ControllerMatch;

impl Check for ControllerMatch {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if let Some(gap) = feeds::gap(cx.rig()) {
            return vec![CARD.about(cx, "panels").at("panel").blocked(&gap)];
        }
        cx.rig().panel.iter().enumerate().map(|(index, panel)| answer(cx, index, panel)).collect()
    }
}

/// Energy of a mean year, Wh, tracked and switched, and the share lost.
struct Found {
    tracked: f64,
    switched: f64,
    volts: f64,
    lost: Estimate,
}

impl Found {
    fn of(cx: &Context, index: usize, panel: &Panel) -> Result<Self, Gap> {
        let power = cx.facts().power();
        let path = panel.path();
        let facts = power.panels().get(index).ok_or_else(|| Gap::at("panel"))?;
        let watts = facts.watts.as_ref().map_err(Clone::clone)?;
        let amps = power.told(&format!("{path}.isc")).or_else(|gap| power.told(&format!("{path}.imp")).map_err(|_| gap))?;
        let bank = facts.banks.first().and_then(|bank| power.banks().get(*bank)).ok_or_else(|| Gap::at("battery"))?;
        bank.volts.as_ref().map_err(Clone::clone)?;
        let volts = facts.switched.ok_or_else(|| Gap::at("controller.kind"))?.volts;
        let (tracked, switched) = (power.per_watt(index, true)?, power.per_watt(index, false)?);
        let years = tracked.len().max(1) as f64;
        let sum = |hours: &rig_facts::power::planes::PerWatt| -> f64 {
            hours.iter().flatten().map(|share| f64::from(*share)).sum::<f64>() / years * watts.value() * facts.kept
        };
        let (tracked, switched) = (sum(&tracked), sum(&switched));
        let kept = if tracked > 0.0 { switched / tracked } else { 1.0 };
        // What is switched goes with the panel's current, what is tracked with its power.
        let lost = Estimate::with_gradients(1.0 - kept, &[(-kept / amps.value(), amps), (kept / watts.value(), watts)]);
        Ok(Self { tracked, switched, volts, lost })
    }

    fn working(&self) -> [String; 2] {
        let kwh = |wh: f64| figure(wh / WH_PER_KWH, 3);
        let (tracked, switched) = (kwh(self.tracked), kwh(self.switched));
        let lost = (tracked.get() - switched.get()) / tracked.get();
        [
            format!("a mean year gives {tracked} kWh tracked, {switched} kWh held at {} V", number(self.volts, 2)),
            format!("({tracked} kWh - {switched} kWh) / {tracked} kWh = {}", percent(lost)),
        ]
    }
}

const WH_PER_KWH: f64 = 1000.0;

fn answer(cx: &Context, index: usize, panel: &Panel) -> Finding {
    let begin = || -> Draft<'_> { CARD.about(cx, &panel.name).at(panel.path()) };
    if portable_of(cx.rig(), panel).is_some() {
        return begin().not_applicable("the unit it feeds tracks by itself");
    }
    let controller = controller_of(cx.rig(), panel).and_then(|at| cx.rig().controller.get(at));
    let Some(controller) = controller else { return begin().missing(format!("{}.controller", panel.path())) };
    match controller.kind {
        None => return begin().missing(format!("{}.kind", controller.path())),
        Some(ControllerKind::Tracking) => return begin().require(Holds::Yes, "its controller tracks: nothing is lost so").done(),
        Some(ControllerKind::Pwm) => {}
    }
    let found = match Found::of(cx, index, panel) {
        Ok(found) => found,
        Err(gap) => return begin().blocked(&gap),
    };
    let wish = cx.rig().power.as_ref().and_then(|power| power.pwm_loss.as_ref());
    let held = owners(cx, wish.map(|share| share.si()), "power.pwm_loss", "power/pwm-loss");
    begin()
        .compare(&found.lost, &held)
        .sentence(format!("{} holds it at {} V, the battery's while it charges", controller.name, number(found.volts, 1)))
        .working(|| found.working())
        .remedies(|_| vec![tracker(controller)])
        .done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    /// A cool cloudy place at 46 N, made up.
    const SITE: &str = "[site]\nlatitude = \"46.5 deg\"\nlongitude = \"8.2 deg\"\n\
        sun = [1.2, 2.1, 3.3, 4.4, 5.2, 5.8, 6.0, 5.1, 3.7, 2.2, 1.3, 0.9]\n\
        high = [\"3 °C\", \"5 °C\", \"10 °C\", \"14 °C\", \"19 °C\", \"23 °C\", \"25 °C\", \"24 °C\", \"20 °C\", \"14 °C\", \"8 °C\", \"4 °C\"]\n\
        low = [\"-4 °C\", \"-4 °C\", \"0 °C\", \"4 °C\", \"8 °C\", \"12 °C\", \"14 °C\", \"13 °C\", \"10 °C\", \"6 °C\", \"1 °C\", \"-3 °C\"]\n";

    fn lost(rated: f64, isc: f64, volts: &str) -> f64 {
        let rig = format!(
            "{SITE}[[panel]]\nname = \"roof\"\nrated = \"{rated} W\"\nisc = \"{isc} A\"\nmounted = \"gap\"\ngap = \"30 mm\"\n\
             [[controller]]\nname = \"sun\"\nkind = \"pwm\"\n[[battery]]\nname = \"house\"\nvoltage = \"{volts}\"\ncapacity = \"100 Ah\"\n"
        );
        first(&ControllerMatch, &rig).demand.expect("a number").value.0
    }

    #[test]
    fn about_what_the_reference_has_for_a_cool_place() {
        // Outside years hour by hour with diode curves: of 36 cells 0.81 are left at 12.8 V and 0.85 at 13.6 V (here 13.44 V),
        // of 54 cells 0.51 and 0.54 (Greensboro). Another place, and no curve: to three hundredths.
        let (small, large) = (lost(100.0, 5.75, "12.8 V"), lost(410.0, 13.9, "12.8 V"));
        assert!((small - 0.16).abs() < 0.05, "{small}");
        assert!((large - 0.47).abs() < 0.06, "{large}");
    }

    #[test]
    fn a_higher_battery_voltage_loses_less() {
        let (low, high) = (lost(200.0, 5.75, "12.8 V"), lost(200.0, 5.75, "25.6 V"));
        assert!(high < low && low > 0.5, "{low} {high}");
    }
}
