//! power/controller-voltage: does the panels' voltage on the coldest morning break the controller?
//!
//! demand      open-circuit voltage of the longest string at the lowest temperature on record, V
//! capacity    highest panel voltage by the plate of the controller, or of the portable unit's solar socket, V
//! states      once for each controller and each portable unit that panels feed
//! leaves out  whether the voltage is enough in the heat (`power/hot-voltage`); currents (`power/controller-current`)

use std::borrow::Cow;

use check::draft::has_reserve_under;
use check::edits::restate;
use check::remedy::{Effort, Proposal};
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Verdict, Words};
use physics::{strings, sun_facts};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_facts::power::KELVIN;
use rig_model::Thing;
use rig_model::model::Panel;

use crate::feeds::{self, Feed, in_series, taken};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/controller-voltage"),
    question: Cow::Borrowed("Does the panels' voltage on the coldest morning break the controller?"),
    words: Words::new("meets", "bears"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["panel.voc", "controller.max_voltage", "portable.solar_max"]),
    uses: List::Static(&[
        "panel.name",
        "panel.voc_change",
        "panel.in_series",
        "panel.count",
        "panel.controller",
        "controller.name",
        "portable.name",
        "site.coldest",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "cold voltage = Voc x (1 + change x (coldest - 25 degC)) x panels in series; the change is below zero",
        "where no change is told: Voc x factor of NEC table 690.7(A) x panels in series",
        "no degrees are taken off for the dawn: a clear sky cools panels below the air",
    ]),
    cautions: List::Static(&[
        "panels are live whenever there is light: cover them, or open the plugs, before anyone works on the wires",
        "a controller bears no more than its plate says, not even for a moment; it may burn",
        "local electrical code and a licensed electrician come before this arithmetic",
    ]),
};

/// Does the panels' voltage on the coldest morning break the controller?
#[derive(Debug)]
pub struct ControllerVoltage;

impl Check for ControllerVoltage {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if let Some(gap) = feeds::gap(cx.rig()) {
            return vec![CARD.about(cx, "panels").at("panel").blocked(&gap)];
        }
        feeds::feeds(cx.rig()).iter().map(|feed| answer(cx, feed)).collect()
    }
}

/// How the cold voltage of one panel is known.
#[derive(Clone, Copy, Debug, PartialEq)]
enum By {
    /// Change of the data sheet, 1/K.
    Sheet(f64),
    /// Factor of the table.
    Table(f64),
    /// The bad case, 1/K.
    BadCase(f64),
}

/// The voltage of one entry's strings in the cold.
struct Cold<'c> {
    panel: &'c Panel,
    by: By,
    voc: &'c Estimate,
    volts: Estimate,
}

impl<'c> Cold<'c> {
    fn of(cx: &'c Context, panel: &'c Panel, coldest: f64) -> Result<Self, Gap> {
        let power = cx.facts().power();
        let voc = power.told(&format!("{}.voc", panel.path()))?;
        let colder = coldest - sun_facts::panel().rated_temperature;
        let (one, by) = match (power.voc_change(panel), strings::cold_factor(coldest)) {
            // A change in volts rests on the voltage too: their product is taken once.
            (Ok(change), _) => (voc + &(voc * &change).scale(colder), By::Sheet(change.value())),
            (Err(_), Some(factor)) => (voc.scale(factor), By::Table(factor)),
            (Err(_), None) => {
                let change = taken("change of open voltage, bad case");
                (voc.scale(1.0 + change * colder), By::BadCase(change))
            }
        };
        Ok(Self { panel, by, voc, volts: one.scale(in_series(panel).into()) })
    }

    fn working(&self, coldest: f64) -> Vec<String> {
        let series = in_series(self.panel);
        let voc = figure(self.voc.value(), 2);
        let rated = sun_facts::panel().rated_temperature;
        match self.by {
            By::Sheet(change) | By::BadCase(change) => {
                let (change, colder) = (figure(-change, 5), figure(rated - coldest, 1));
                let volts = voc.get() * (1.0 + change.get() * colder.get()) * f64::from(series);
                let sign = if colder.get() < 0.0 {
                    format!("- {change} x {}", figure(-colder.get(), 1))
                } else {
                    format!("+ {change} x {colder}")
                };
                vec![
                    format!("cells at {} degC; the label holds at {rated}", number(coldest, 1)),
                    format!("{voc} V x (1 {sign} K) x {series} = {} V", number(volts, 1)),
                ]
            }
            By::Table(factor) => {
                let volts = voc.get() * factor * f64::from(series);
                vec![
                    format!("{factor} is the factor of NEC table 690.7(A) at {} degC", number(coldest, 1)),
                    format!("{voc} V x {factor} x {series} = {} V", number(volts, 1)),
                ]
            }
        }
    }
}

/// The coldest that the panels get, degrees Celsius, and whether it was told.
fn coldest(cx: &Context) -> (f64, bool) {
    match cx.facts().power().told("site.coldest") {
        Ok(kelvin) => (kelvin.value() - KELVIN, true),
        Err(_) => (feeds::coldest(), false),
    }
}

fn answer(cx: &Context, feed: &Feed) -> Finding {
    let begin = || CARD.about(cx, &feed.name).at(&feed.path);
    if feed.panels.is_empty() {
        return begin().not_applicable("no panel feeds it");
    }
    let key = if feed.portable { "solar_max" } else { "max_voltage" };
    let most = match cx.facts().power().told(&format!("{}.{key}", feed.path)) {
        Ok(most) => most,
        Err(gap) => return begin().blocked(&gap),
    };
    let (coldest, told) = coldest(cx);
    let panels = feed.panels.iter().filter_map(|at| cx.rig().panel.get(*at));
    let (mut known, mut open): (Vec<Cold<'_>>, Option<Gap>) = (Vec::new(), None);
    for cold in panels.map(|panel| Cold::of(cx, panel, coldest)) {
        match cold {
            Ok(cold) => known.push(cold),
            Err(gap) => open = open.or(Some(gap)),
        }
    }
    let worst = known.iter().max_by(|a, b| a.volts.value().total_cmp(&b.volts.value()));
    let Some(worst) = worst else { return begin().blocked(&open.unwrap_or_else(|| Gap::at("panel.voc"))) };
    let name = if feed.portable { "highest voltage of its solar socket" } else { "highest panel voltage" };
    let draft = begin().compare(&worst.volts, &[Held::plate(name, most.clone(), Dimension::Voltage)]);
    if let (Some(gap), true) = (&open, draft.verdict() != Verdict::Fail) {
        return begin().blocked(gap);
    }
    let touch = feeds::touch();
    let draft = if worst.volts.value() > touch {
        draft
            .consequence(Consequence::Injury)
            .caution("over 60 V DC can kill: bare ends of this string are not for touching, in the dry either")
    } else {
        draft
    };
    draft
        .sentence(sentence(worst, coldest, told))
        .working(|| worst.working(coldest))
        .remedies(|_| ways_out(cx, feed, &known, most.value(), &worst.volts))
        .done()
}

fn sentence(worst: &Cold<'_>, coldest: f64, told: bool) -> String {
    let name = &worst.panel.name;
    let string = match in_series(worst.panel) {
        1 => name.clone(),
        series => format!("{series} of {name} in series"),
    };
    let taken = if told { "" } else { " (taken: the coldest place the rig goes to is not told)" };
    let by = match worst.by {
        By::Sheet(_) => "",
        By::Table(_) => "; their change with temperature is not told, a code's table stands in",
        By::BadCase(_) => "; their change with temperature is not told, a bad case stands in",
    };
    format!("{string} at {} degC{taken}{by}", number(coldest, 0))
}

fn ways_out(cx: &Context, feed: &Feed, all: &[Cold<'_>], most: f64, worst: &Estimate) -> Vec<Proposal> {
    let mut ways = Vec::new();
    let too_long = all.iter().filter(|cold| !has_reserve_under(most, &cold.volts));
    let shorter = |cold: &Cold<'_>| {
        let of = |length: u32| cold.volts.scale(f64::from(length) / f64::from(in_series(cold.panel)));
        let length = feeds::other_lengths(cold.panel).filter(|length| has_reserve_under(most, &of(*length))).max()?;
        Some(feeds::rewire(cold.panel, length))
    };
    if let Some(parts) = too_long.map(shorter).collect::<Option<Vec<Proposal>>>().filter(|parts| !parts.is_empty()) {
        let text = parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(", ");
        let edits = parts.into_iter().flat_map(|part| part.edits).collect();
        ways.push(Proposal { text, effort: Effort::AnAfternoon, edits });
    }
    if let (false, Some(size), Some(one)) =
        (feed.portable, feeds::on_sale("controller for ", worst), cx.rig().controller.get(feed.index))
    {
        ways.push(Proposal {
            text: format!("a controller for {} V instead of {} V", number(size, 0), number(most, 0)),
            effort: Effort::PartsToBuy,
            edits: vec![restate(cx, format!("{}.max_voltage", feed.path), one.max_voltage.as_ref(), size)],
        });
    }
    ways
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::{context, first};

    fn rig(panel: &str, plate: &str) -> String {
        format!("[[panel]]\nname = \"roof\"\n{panel}\n[[controller]]\nname = \"sun\"\n{plate}")
    }

    #[test]
    fn the_worked_examples_by_hand() {
        let met = |panel: &str, coldest: &str| {
            let site = format!("\n[site]\ncoldest = \"{coldest}\"");
            let finding = first(&ControllerVoltage, &(rig(panel, "max_voltage = \"600 V\"") + &site));
            finding.demand.expect("a number").value.0
        };
        // Public worked example of the code's coefficient method: 49.5 V, -0.27 %/K, -10 degC: 54.18 V. Its table: 1.14.
        assert!((met("voc = \"49.5 V\"\nvoc_change = \"-0.27 %/K\"", "-10 °C") - 54.177_75).abs() < 1e-9);
        assert!((met("voc = \"49.5 V\"", "-10 °C") - 56.43).abs() < 1e-9);
        // Below the table the bad case: 49.5 x (1 + 0.0035 x 75).
        assert!((met("voc = \"49.5 V\"", "-50 °C") - 62.493_75).abs() < 1e-9);
    }

    #[test]
    fn two_of_an_invented_panel_hold_and_three_do_not() {
        // Diode model of an open library at -25 degC: 43.267 V each.
        let of = |count: u32| {
            let panel = format!("voc = \"37.39 V\"\nvoc_change = \"-0.314 %/K\"\ncount = {count}\nin_series = {count}");
            first(&ControllerVoltage, &rig(&panel, "max_voltage = \"100 V\""))
        };
        let two = of(2);
        assert_eq!((two.verdict, two.consequence), (Verdict::Pass, Consequence::Injury));
        assert!((two.demand.expect("a number").value.0 - 2.0 * 43.267).abs() < 0.02);
        let three = of(3);
        assert_eq!(three.verdict, Verdict::Fail);
        let texts: Vec<&str> = three.proposals.iter().map(|way| way.text.as_str()).collect();
        assert_eq!(texts, ["wire the 3 panels of roof in parallel", "a controller for 150 V instead of 100 V"]);
    }

    #[test]
    fn a_string_that_breaks_it_fails_whatever_the_other_panels_are() {
        let more = "[[panel]]\nname = \"other\"\n";
        let rig = format!("{more}{}", rig("voc = \"40 V\"\nin_series = 3\ncount = 3", "max_voltage = \"100 V\""));
        assert_eq!(first(&ControllerVoltage, &rig).verdict, Verdict::Fail);
        let rig = rig.replace("100 V", "250 V");
        assert_eq!(first(&ControllerVoltage, &rig).needs.first().map(|need| need.path.as_str()), Some("panel[other].voc"));
        let cx = context("[[panel]]\nname = \"roof\"\n");
        assert_eq!(ControllerVoltage.run(&cx).first().map(|finding| finding.verdict), Some(Verdict::Missing));
    }
}
