//! power/inlet: does the inlet, its lead and what stands behind it carry what runs on it?
//!
//! demand      case "at once": VA of chargers and mains loads that run together while the lead is plugged in; case "for
//!             hours": of those of them that run three hours or more
//! capacity    "at once": breaker, lead and source (pedestal, house, portable unit, generator in thin or hot air); "for hours":
//!             the share of the breaker that may be drawn for hours
//! states      once: at the hour, month and use in which most is on
//! leaves out  what is named as running through an inverter, which stays on the battery; the voltage lost in a long lead

use std::borrow::Cow;

use check::draft::has_reserve;
use check::remedy::{Effort, Proposal};
use check::working::{figure, listed, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Words, edits};
use physics::{charging, store_facts};
use quantity::{Dimension, Estimate, Stated};
use rig_facts::Gap;
use rig_facts::power::{HOUR_S, KELVIN};
use rig_model::model::{Bus, ChargerKind, Inlet as Entry, InletSource};
use rig_model::path;

use crate::mains::{self, Fed};
use crate::unsaid::{AMPERE_STEP, End, constant_basis, judge, lower, supply};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/inlet"),
    question: Cow::Borrowed("Does the mains inlet carry what runs on it?"),
    words: Words::new("draws", "may draw"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["inlet.breaker", "inlet.voltage"]),
    uses: List::Static(&[
        "load.power",
        "charger.voltage",
        "charger.current",
        "inlet.cord",
        "inlet.source",
        "inlet.source_current",
        "charger.kind",
        "charger.from",
        "charger.efficiency",
        "charger.power_factor",
        "generator.power",
        "portable.feeds",
        "portable.continuous",
        "portable.charge_power",
        "site.altitude",
        "site.hottest",
        "load.current",
        "load.on",
        "load.count",
        "load.from",
        "load.to",
        "load.months",
        "load.when",
        "load.kind",
        "load.power_factor",
        "load.through",
        "load.lasts",
        "load.hours",
    ]),
    limits: List::Static(&["power/inlet-lasting"]),
    formula: List::Static(&[
        "charger: V x A / efficiency / power factor; breaker: V x A",
        "generator: W x (1 - 0.03 x m above 152 m / 305 m) x (1 - 0.006 x K above 40 °C), where its label has no rule",
    ]),
    cautions: List::Static(&[
        "mains voltage kills; the local electrical code and a licensed electrician come first",
        "a generator's exhaust kills without a smell: outside, downwind, never under a window",
    ]),
};

/// Does the inlet carry what runs on it?
#[derive(Debug)]
pub struct Inlet;

impl Check for Inlet {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let inlets = &cx.rig().inlet;
        if inlets.is_empty() {
            return vec![CARD.about(cx, "inlets").at("inlet").not_applicable("no mains inlet is told")];
        }
        inlets.iter().enumerate().flat_map(|(index, inlet)| answers(cx, index, inlet)).collect()
    }
}

/// What draws on an inlet.
#[derive(Clone)]
struct Draw<'c> {
    name: &'c str,
    va: Estimate,
    line: String,
    /// Whether it runs for hours; none where that is not told.
    lasts: Option<bool>,
    /// The gap that would tell.
    gap: Option<Gap>,
    /// The charger's path, and its current.
    charger: Option<(String, f64)>,
}

fn told<'c>(cx: &'c Context, path: &str, key: &str) -> Result<&'c Estimate, Gap> {
    cx.facts().power().told(&format!("{path}.{key}"))
}

/// Chargers that run from it, and portable units that charge on mains.
fn chargers<'c>(cx: &'c Context, inlet: &Entry) -> Result<Vec<Draw<'c>>, Gap> {
    let rig = cx.rig();
    let facts = store_facts::supply();
    let only = rig.inlet.len() == 1;
    let mut found = Vec::new();
    for (index, charger) in rig.charger.iter().enumerate() {
        let named = charger.from.as_deref() == Some(inlet.name.as_str());
        let unsaid = only && charger.from.is_none() && charger.kind == Some(ChargerKind::Mains);
        if !(named || unsaid) {
            continue;
        }
        let path = path::of("charger", &charger.name, index);
        let (amps, volts) = (told(cx, &path, "current")?, told(cx, &path, "voltage")?);
        let efficiency = told(cx, &path, "efficiency").cloned().unwrap_or_else(|_| Estimate::exact(facts.charger_efficiency));
        let factor = charger.power_factor.unwrap_or(facts.charger_power_factor);
        let va = &(amps * volts).scale(1.0 / factor) / &efficiency;
        let (a, v, share) = (figure(amps.value(), 1), figure(volts.value(), 1), figure(efficiency.value(), 3));
        let (_, shown) = charging::mains_input(a.get(), v.get(), share.get(), factor);
        let line = format!("{}: {a} A x {v} V / {share} / {factor} = {} VA", charger.name, number(shown, 1));
        let charger_at = Some((path, amps.value()));
        found.push(Draw { name: &charger.name, va, line, lasts: Some(true), gap: None, charger: charger_at });
    }
    for (index, unit) in rig.portable.iter().enumerate().filter(|(_, unit)| only && unit.feeds.is_none()) {
        let Ok(power) = told(cx, &path::of("portable", &unit.name, index), "charge_power") else { continue };
        let line = format!("{}: {} W", unit.name, figure(power.value(), 1));
        found.push(Draw { name: &unit.name, va: power.clone(), line, lasts: Some(true), gap: None, charger: None });
    }
    Ok(found)
}

/// Loads on mains voltage that go through nothing: they run on the inlet while the lead is plugged in.
fn fed(cx: &Context) -> Vec<Fed<'_>> {
    let all = cx.rig().load.iter().enumerate();
    let mine = all.filter(|(_, load)| load.on == Some(Bus::Ac) && load.through.is_none());
    mine.map(|(index, load)| Fed { path: path::of("load", &load.name, index), load }).collect()
}

/// Whether a load runs for so many hours at a stretch.
fn lasts(fed: &Fed<'_>) -> Option<bool> {
    let from = store_facts::supply().breaker_hours;
    let hours = |stated: &Option<Stated<quantity::dim::Duration>>| stated.as_ref().and_then(Stated::value).map(|s| s / HOUR_S);
    match (hours(&fed.load.lasts), hours(&fed.load.hours)) {
        (Some(stretch), _) => Some(stretch >= from),
        (None, Some(day)) if day < from => Some(false),
        (None, _) => None,
    }
}

fn loads<'c>(cx: &'c Context, path: &str, end: End) -> Result<Vec<Draw<'c>>, Gap> {
    let draws = fed(cx).into_iter().map(|fed| {
        let taken = fed.va(cx, path, end)?;
        let gap = fed.power_factor_gap();
        Ok(Draw { name: &fed.load.name, va: taken.va, line: taken.line, lasts: lasts(&fed), gap, charger: None })
    });
    draws.collect()
}

/// Chargers, and the set of loads that takes most.
fn most<'c>(cx: &'c Context, chargers: &[Draw<'c>], loads: &[Draw<'c>], counts: impl Fn(&Draw<'_>) -> bool) -> Vec<Draw<'c>> {
    let entries = fed(cx);
    let sets = mains::together(entries.iter().map(|fed| fed.load));
    let of = |set: Vec<usize>| set.iter().filter_map(|index| loads.get(*index)).filter(|draw| counts(draw)).cloned().collect();
    let all = sets
        .into_iter()
        .map(of)
        .reduce(|most: Vec<Draw<'c>>, other| if sum(&other).value() > sum(&most).value() { other } else { most });
    chargers.iter().cloned().chain(all.unwrap_or_default()).collect()
}

fn sum(draws: &[Draw<'_>]) -> Estimate {
    Estimate::sum(draws.iter().map(|draw| &draw.va))
}

fn answers(cx: &Context, index: usize, inlet: &Entry) -> Vec<Finding> {
    let path = path::of("inlet", &inlet.name, index);
    let begin = |case: &str| CARD.about(cx, inlet.name.clone()).at(path.clone()).case(case);
    let parts = || {
        let chargers = chargers(cx, inlet)?;
        let both = [loads(cx, &path, End::Worst)?, loads(cx, &path, End::Best)?];
        let (volts, breaker) = (told(cx, &path, "voltage")?, told(cx, &path, "breaker")?);
        Ok::<_, Gap>((chargers, both, volts.clone(), breaker.clone()))
    };
    let (chargers, [worst, best], volts, breaker) = match parts() {
        Ok(parts) => parts,
        Err(gap) => return vec![begin("at once").blocked(&gap)],
    };
    if chargers.is_empty() && worst.is_empty() {
        return vec![begin("at once").not_applicable("nothing that is told runs on it")];
    }
    let at_once = |end| most(cx, &chargers, if end == End::Worst { &worst } else { &best }, |_| true);
    let hours = |end: End| {
        let loads = if end == End::Worst { &worst } else { &best };
        most(cx, &chargers, loads, |draw| draw.lasts.unwrap_or(end == End::Worst))
    };
    let whole = &breaker * &volts;
    let lasting = cx.limits("power/inlet-lasting").into_iter().map(|held| held.times(&whole, Dimension::Power)).collect();
    let mut findings = vec![
        Asked { cx, path: &path, held: Box::new(|end| behind(cx, &path, inlet, &whole, &volts, end)), draws: Box::new(at_once) }
            .answer(&|| begin("at once"), behind_gap(cx, inlet)),
    ];
    let open = worst.iter().find(|draw| draw.lasts.is_none()).map(|draw| Gap::at(lasts_path(cx, draw.name)));
    let lasting: Vec<Held> = lasting;
    let asked = Asked { cx, path: &path, held: Box::new(|_| lasting.clone()), draws: Box::new(hours) };
    let of_hours = || begin("for hours").words("draws for hours", "may draw for hours").consequence(Consequence::Damage);
    findings.push(if hours(End::Worst).is_empty() {
        of_hours().not_applicable("nothing that is told runs for hours")
    } else {
        asked.answer(&of_hours, open)
    });
    findings
}

fn lasts_path(cx: &Context, name: &str) -> String {
    let at = cx.rig().load.iter().position(|load| load.name == name).unwrap_or_default();
    format!("{}.lasts", path::of("load", name, at))
}

/// A question of an inlet: what draws, and what holds it, at an end of what is not told.
struct Asked<'a, 'c> {
    cx: &'c Context,
    path: &'a str,
    held: Box<dyn Fn(End) -> Vec<Held> + 'a>,
    draws: Box<dyn Fn(End) -> Vec<Draw<'c>> + 'a>,
}

impl<'c> Asked<'_, 'c> {
    fn answer(&self, begin: &dyn Fn() -> Draft<'c>, open: Option<Gap>) -> Finding {
        let worst = (self.draws)(End::Worst);
        let open = open.or_else(|| worst.iter().find_map(|draw| draw.gap.clone()));
        let ask = |end| begin().compare(&sum(&(self.draws)(end)), &(self.held)(end));
        let Some(judged) = judge(open.as_ref(), ask) else {
            let gap = open.unwrap_or_else(|| Gap::at(self.path));
            let (low, high) = (sum(&(self.draws)(End::Best)).value(), sum(&worst).value());
            let why = if low < high {
                format!("it draws {} to {} VA, and this decides", number(low, 0), number(high, 0))
            } else {
                format!("it draws {} VA, and this decides how much stands behind it", number(high, 0))
            };
            return begin().blocked(&Gap::because(gap.path, why));
        };
        let draws = (self.draws)(judged.end);
        let names = listed(&draws.iter().map(|draw| draw.name).collect::<Vec<_>>());
        let even = if judged.even { ", even at the worst of what is not told" } else { "" };
        judged
            .draft
            .sentence(format!("with {names} on{even}"))
            .working(|| {
                let mut lines: Vec<String> = draws.iter().map(|draw| draw.line.clone()).collect();
                if draws.len() > 1 {
                    let parts: Vec<_> = draws.iter().map(|draw| figure(draw.va.value(), 1)).collect();
                    let words: Vec<String> = parts.iter().map(ToString::to_string).collect();
                    lines.push(format!("{} = {} VA", words.join(" + "), number(parts.iter().map(|part| part.get()).sum(), 1)));
                }
                lines
            })
            .remedies(|_| {
                let least = (self.held)(End::Worst)
                    .iter()
                    .map(|held| held.upper().clone())
                    .reduce(|a, b| if b.value() < a.value() { b } else { a });
                least.and_then(|capacity| turned_down(self.cx, &worst, &capacity)).into_iter().collect()
            })
            .done()
    }
}

/// Breaker, lead and what is behind them.
fn behind(cx: &Context, path: &str, inlet: &Entry, whole: &Estimate, volts: &Estimate, end: End) -> Vec<Held> {
    let plate = |name: &str, power: Estimate| Held::plate(name, power, Dimension::Power);
    let mut all = vec![plate("breaker of the inlet", whole.clone())];
    all.extend(told(cx, path, "cord").ok().map(|amps| plate("plug of the lead", amps * volts)));
    if inlet.source != Some(InletSource::Generator) {
        all.extend(told(cx, path, "source_current").ok().map(|amps| plate("breaker at the source", amps * volts)));
    }
    let rig = cx.rig();
    for (index, unit) in rig.portable.iter().enumerate().filter(|(_, unit)| unit.feeds.as_deref() == Some(inlet.name.as_str())) {
        let power = told(cx, &path::of("portable", &unit.name, index), "continuous");
        all.extend(power.ok().map(|power| plate("label of the portable unit", power.clone())));
    }
    if inlet.source == Some(InletSource::Generator) {
        all.extend(generator(cx, end));
    }
    all
}

/// The gap at the altitude, where a generator feeds it.
fn behind_gap(cx: &Context, inlet: &Entry) -> Option<Gap> {
    let thin = inlet.source == Some(InletSource::Generator) && !cx.rig().generator.is_empty();
    (thin && cx.facts().power().told("site.altitude").is_err()).then(|| Gap::at("site.altitude"))
}

/// The largest generator, in the air of the site.
fn generator(cx: &Context, end: End) -> Option<Held> {
    let all = cx.rig().generator.iter().enumerate();
    let power = all.filter_map(|(index, one)| told(cx, &path::of("generator", &one.name, index), "power").ok());
    let rated = power.reduce(|most, other| if other.value() > most.value() { other } else { most })?;
    let untold = if end == End::Worst { supply("highest place a rig goes to, m") } else { 0.0 };
    let site = |key: &str| cx.facts().power().told(key).ok().map(Estimate::value);
    let altitude = site("site.altitude").unwrap_or(untold);
    let air = site("site.hottest").map_or(0.0, |kelvin| kelvin - KELVIN);
    let share = charging::generator_power(1.0, altitude, air);
    let name = "generator, in the air of the site";
    Some(Held::at_most(name, rated.scale(share), Dimension::Power, constant_basis("generator-derate")))
}

/// The largest charger, set lower.
fn turned_down(cx: &Context, draws: &[Draw<'_>], capacity: &Estimate) -> Option<Proposal> {
    let chargers = draws.iter().filter(|draw| draw.charger.is_some());
    let largest = chargers.reduce(|most, other| if other.va.value() > most.va.value() { other } else { most })?;
    let (path, now) = largest.charger.as_ref()?;
    let demand = sum(draws);
    let to = lower(*now).find(|amps| has_reserve(capacity, &(&demand - &largest.va.scale(1.0 - amps / now))))?;
    let words = edits::to_step(cx, to, Dimension::Current, AMPERE_STEP);
    Some(Proposal {
        text: format!("set \"{}\" to {words} here", largest.name),
        effort: Effort::Minutes,
        edits: vec![edits::set(format!("{path}.current"), Some(*now), to, Dimension::Current)],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    /// 5.3 of the power reference (computed outside this project): 60 A at 14.4 V, 90 %, power factor 0.95: 1.01 kVA; a 6 A
    /// breaker at 230 V is 1.38 kW.
    #[test]
    fn a_charger_on_six_amperes_by_the_reference() {
        let text = r#"
            [[inlet]]
            name = "shore"
            breaker = "16 A"
            voltage = "230 V"
            source = "pedestal"
            source_current = "6 A"
            [[charger]]
            name = "c"
            kind = "mains"
            current = "60 A"
            voltage = "14.4 V"
        "#;
        let found = Inlet.run(&context(text));
        let numbers = |at: usize| {
            let value = |measure: &Option<check::Measure>| measure.as_ref().map_or(0.0, |measure| measure.value.0);
            (value(&found[at].demand), value(&found[at].capacity))
        };
        assert!((numbers(0).0 - 1010.5).abs() < 0.1 && (numbers(0).1 - 1380.0).abs() < 1e-9, "{:?}", numbers(0));
        // 80 % of 16 A x 230 V.
        assert!((numbers(1).1 - 2944.0).abs() < 1e-9);
    }

    #[test]
    fn thin_air_takes_of_a_generator() {
        let text = "[site]\naltitude = \"1982 m\"\n[[generator]]\nname = \"g\"\npower = \"2 kW\"";
        // By hand: 1830 m above 152 m are 6 steps of 3 %.
        let held = generator(&context(text), End::Worst).map(|held| held.upper().value());
        assert!(held.is_some_and(|watt| (watt - 1640.0).abs() < 1e-6));
    }
}
