//! power/inverter-continuous: does an inverter carry what runs on it at once?
//!
//! demand      apparent power (VA) of the loads whose months, hours and use meet, all pieces of each; no two are taken for
//!             never on together
//! capacity    the plate's power for long (W, taken as VA), less where the air around it is warm
//! states      once: at the hour, month and use in which most is on
//! leaves out  the moment of a start (`power/inverter-surge`), what the battery makes of it (`power/battery-discharge`)

use std::borrow::Cow;

use check::draft::has_reserve;
use check::remedy::{Effort, Proposal};
use check::subject::each_or_missing;
use check::working::{figure, listed, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Words, edits};
use physics::{inverter, store_facts};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_facts::power::KELVIN;

use crate::mains::{self, Source, Taken};
use crate::shut_in;
use crate::unsaid::{End, constant_basis, judge, size_sold, supply};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/inverter-continuous"),
    question: Cow::Borrowed("Does an inverter carry what runs on it at once?"),
    words: Words::new("carries", "may carry"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["inverter.continuous", "portable.continuous", "load.power"]),
    uses: List::Static(&[
        "inverter.efficiency",
        "inverter.idle",
        "inverter.derates_above",
        "inverter.voltage",
        "portable.voltage",
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
        "load.medical",
        "site.hottest",
        // What warms the locker that it may stand in.
        "locker",
        "load.duty",
        "charger.kind",
        "charger.current",
        "charger.voltage",
        "charger.efficiency",
        "converter.current",
        "converter.voltage",
        "converter.efficiency",
        "controller.efficiency",
        "panel.rated",
        "panel.count",
        "panel.controller",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "VA of a load = count x W / power factor, or count x A x V",
        "may carry = continuous power x (1 - 0.0125 x K of the air above 40 °C, or above what its plate says)",
    ]),
    cautions: List::Static(&[
        "mains voltage kills, behind an inverter as behind a meter: everything unplugged and the battery off before a cover comes off",
        "the local electrical code and a licensed electrician come first",
    ]),
};

/// Does an inverter carry what runs on it?
#[derive(Debug)]
pub struct InverterContinuous;

impl Check for InverterContinuous {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let sources = mains::sources(cx);
        each_or_missing(cx, &CARD, "inverters", "inverter", sources.iter().map(|source| answer(cx, source)))
    }
}

fn begin<'c>(cx: &'c Context, source: &Source<'_>) -> Draft<'c> {
    CARD.about(cx, source.name).at(&source.path)
}

/// What runs at once, at an end of what is not told.
pub(crate) struct AtOnce {
    /// Numbers of the loads.
    pub set: Vec<usize>,
    /// Apparent power of all of them, VA.
    pub va: Estimate,
    /// Of each of them.
    pub each: Vec<Taken>,
}

/// The set of loads that takes most.
///
/// # Errors
/// The gap of the first load whose power is not told.
pub(crate) fn at_once(cx: &Context, source: &Source<'_>, end: End) -> Result<AtOnce, Gap> {
    let each = source.loads.iter().map(|fed| fed.va(cx, &source.path, end)).collect::<Result<Vec<_>, _>>()?;
    let of = |set: Vec<usize>| {
        let each: Vec<Taken> = set.iter().filter_map(|index| each.get(*index).cloned()).collect();
        AtOnce { va: Estimate::sum(each.iter().map(|taken| &taken.va)), set, each }
    };
    let sets = source.together().into_iter().map(of);
    let most = sets.reduce(|most, other| if other.va.value() > most.va.value() { other } else { most });
    Ok(most.unwrap_or_else(|| of(Vec::new())))
}

/// The power factor that is not told and moves most of a set.
pub(crate) fn open_factor(source: &Source<'_>, at_once: &AtOnce) -> Option<Gap> {
    let open = at_once.set.iter().zip(&at_once.each).filter_map(|(index, taken)| {
        let gap = source.loads.get(*index)?.power_factor_gap()?;
        Some((taken.va.value(), gap))
    });
    open.reduce(|most, other| if other.0 > most.0 { other } else { most }).map(|(_, gap)| gap)
}

/// The air around a source, K, and in words; none where nothing tells it.
fn air(cx: &Context, source: &Source<'_>) -> Option<(Estimate, String)> {
    let in_locker = || {
        let locker = shut_in::of(cx, source.name)?;
        let heat = Estimate::sum(locker.warms(cx).ok()?.iter().map(|one| &one.heat));
        let opening = locker.opening(cx).unwrap_or_else(|_| Estimate::exact(0.0));
        let air = locker.air(cx, &heat, &opening).ok()?;
        Some((air, format!("in the locker \"{}\"", locker.entry.name)))
    };
    in_locker().or_else(|| {
        let hottest = cx.facts().power().told("site.hottest").ok()?;
        Some((hottest.clone(), "on the hottest day".to_owned()))
    })
}

/// What its plate says it carries for long, in the air around it.
struct Rating {
    bound: Held,
    line: Option<String>,
    words: String,
}

fn rating(cx: &Context, source: &Source<'_>, plate: &Estimate) -> Rating {
    let facts = store_facts::supply();
    let from = derates_from(cx, source);
    let whole = |words: String| {
        let bound = Held::plate("its plate", plate.clone(), Dimension::Power);
        Rating { bound, line: None, words }
    };
    let Some((air, place)) = air(cx, source) else { return whole(format!(", in air of up to {} °C", number(from, 0))) };
    let warm = air.value() - KELVIN;
    if warm <= from {
        return whole(format!(", in air of {} °C {place}", number(warm, 0)));
    }
    let left_of = derated(plate, &air, from).unwrap_or_else(|_| Estimate::exact(0.0));
    let (watt, warm_figure) = (figure(plate.value(), 0), figure(warm, 1));
    let left = inverter::derated(watt.get(), warm_figure.get(), from, facts.inverter_derate);
    let line = format!("{watt} W x (1 - {} x ({warm_figure} - {from})) = {} W", facts.inverter_derate, number(left, 1));
    let bound = Held::at_most("its plate, less in warm air", left_of, Dimension::Power, constant_basis("inverter-derate"));
    Rating { bound, line: Some(line), words: format!(", in air of {} °C {place}", number(warm, 0)) }
}

fn answer(cx: &Context, source: &Source<'_>) -> Finding {
    if source.loads.is_empty() {
        return if cx.rig().load.is_empty() {
            begin(cx, source).missing("load")
        } else {
            begin(cx, source).not_applicable("nothing that is told runs on it")
        };
    }
    let plate = match source.told(cx, "continuous") {
        Ok(plate) => plate,
        Err(gap) => return begin(cx, source).blocked(&gap),
    };
    let (worst, best) = match (at_once(cx, source, End::Worst), at_once(cx, source, End::Best)) {
        (Ok(worst), Ok(best)) => (worst, best),
        (Err(gap), _) | (_, Err(gap)) => return begin(cx, source).blocked(&gap),
    };
    let rating = rating(cx, source, plate);
    let of = |end| if end == End::Worst { &worst } else { &best };
    let open = open_factor(source, &worst);
    let judged = judge(open.as_ref(), |end| begin(cx, source).compare(&of(end).va, std::slice::from_ref(&rating.bound)));
    let Some(judged) = judged else {
        let gap = open.unwrap_or_else(|| Gap::at("load.power_factor"));
        let why = format!(
            "{} take {} to {} VA at once, and its power factor decides",
            listed(&source.names(&worst.set).0),
            number(best.va.value(), 0),
            number(worst.va.value(), 0)
        );
        return begin(cx, source).blocked(&Gap::because(gap.path, why));
    };
    let taken = of(judged.end);
    let (names, medical) = source.names(&taken.set);
    let even = if judged.even { ", even at the poorest power factor of their kind" } else { "" };
    let draft = judged.draft.sentence(format!("{} on at once{}{even}", listed(&names), rating.words));
    let draft = if medical { draft.consequence(Consequence::Injury) } else { draft };
    draft
        .working(|| {
            let mut lines: Vec<String> = taken.each.iter().map(|one| one.line.clone()).collect();
            if taken.each.len() > 1 {
                let each: Vec<_> = taken.each.iter().map(|one| figure(one.va.value(), 1)).collect();
                let sum = each.iter().map(|one| one.get()).sum();
                let parts: Vec<String> = each.iter().map(ToString::to_string).collect();
                lines.push(format!("{} = {} VA", parts.join(" + "), number(sum, 1)));
            }
            lines.extend(rating.line.clone());
            lines
        })
        .remedies(|goal| {
            // A way out holds at the poorest power factor where that is not told.
            let size = larger(cx, source, plate, &worst.va, &goal.capacity);
            rating.line.as_ref().and_then(|_| cooler(cx, source, plate, &worst.va)).into_iter().chain(size).collect()
        })
        .done()
}

/// Vents that let its locker cool until it carries all.
fn cooler(cx: &Context, source: &Source<'_>, plate: &Estimate, demand: &Estimate) -> Option<Proposal> {
    let locker = shut_in::of(cx, source.name)?;
    let heat = Estimate::sum(locker.warms(cx).ok()?.iter().map(|one| &one.heat));
    let from = derates_from(cx, source);
    locker.vents(cx, &heat, |air| derated(plate, air, from).is_ok_and(|left| has_reserve(&left, demand)))
}

/// Air temperature above which it gives less, °C.
fn derates_from(cx: &Context, source: &Source<'_>) -> f64 {
    let usual = store_facts::supply().inverter_derate_from;
    source.told(cx, "derates_above").map_or(usual, |from| from.value() - KELVIN)
}

/// What is left of a plate's power in air of some K.
fn derated(plate: &Estimate, air: &Estimate, from: f64) -> Result<Estimate, Gap> {
    let share = store_facts::supply().inverter_derate;
    Estimate::propagate(&[plate, air], |at| match at {
        [plate, air] => Ok(inverter::derated(*plate, air - KELVIN, from, share)),
        _ => Ok(0.0),
    })
}

/// A choice of this project.
const MOST_TIMES: f64 = 4.0;

/// The next size that carries it; beyond a few times the plate the air is the fault.
fn larger(cx: &Context, source: &Source<'_>, plate: &Estimate, demand: &Estimate, capacity: &Estimate) -> Option<Proposal> {
    // Of what its plate says, the same share is left in warm air.
    let left = capacity.scale(1.0 / plate.value());
    let size = size_sold("living/inverter-size", "watt", |size| has_reserve(&left.scale(size), demand))?;
    if size > MOST_TIMES * plate.value() {
        return None;
    }
    let mut all = vec![edits::set(format!("{}.continuous", source.path), Some(plate.value()), size, Dimension::Power)];
    // For a moment none gives less than for long.
    let surge = source.told(cx, "surge").ok().map(Estimate::value);
    if let Some(surge) = surge.filter(|surge| *surge < size) {
        let over = supply("surge of an inverter to be bought over its continuous power");
        all.push(edits::set(format!("{}.surge", source.path), Some(surge), size * over, Dimension::Power));
    }
    let kind = if source.portable { "a portable unit" } else { "an inverter" };
    let watts = quantity::show(size, Dimension::Power, edits::system(cx), None);
    Some(Proposal { text: format!("{kind} of {watts} in place of \"{}\"", source.name), effort: Effort::PartsToBuy, edits: all })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;
    use check::Verdict;

    fn with(more: &str) -> Finding {
        let text = format!(
            r#"
            [[inverter]]
            name = "i"
            continuous = "2000 W"
            [[load]]
            name = "kettle"
            on = "ac"
            power = "1500 W weighed"
            power_factor = 1
            {more}
            "#
        );
        first(&InverterContinuous, &text)
    }

    #[test]
    fn a_load_without_power_factor_passes_where_the_poorest_would() {
        let found = with("[[load]]\nname = \"saw\"\nkind = \"motor\"\non = \"ac\"\npower = \"200 W weighed\"");
        // 1500 + 200 / 0.6 = 1833.3.
        assert_eq!(found.verdict, Verdict::Pass);
        assert!((found.demand.map_or(0.0, |demand| demand.value.0) - 1833.333).abs() < 0.01);
        assert!(found.sentence.is_some_and(|said| said.contains("even at the poorest power factor")));
    }

    #[test]
    fn between_the_ends_the_power_factor_is_missing() {
        let found = with("[[load]]\nname = \"saw\"\nkind = \"motor\"\non = \"ac\"\npower = \"400 W weighed\"");
        assert_eq!(found.verdict, Verdict::Missing);
        assert_eq!(found.needs[0].path, "load[saw].power_factor");
    }

    #[test]
    fn hot_air_takes_some_of_the_rating() {
        // 2000 x (1 - 0.0125 x (60 - 40)) = 1500 W.
        let found = with("[site]\nhottest = \"60 °C\"");
        assert!((found.capacity.map_or(0.0, |capacity| capacity.value.0) - 1500.0).abs() < 1e-6);
        assert!(found.utilisation.is_some_and(|used| (used.0 - 1.0).abs() < 1e-9));
    }

    #[test]
    fn health_makes_it_an_injury() {
        let found = with("medical = true");
        assert_eq!((found.consequence, found.verdict), (Consequence::Injury, Verdict::Pass));
    }
}
