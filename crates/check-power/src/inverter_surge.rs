//! power/inverter-surge: does an inverter start what it feeds?
//!
//! demand      apparent power (VA) of the largest start on top of all else that runs then
//! capacity    the plate's peak, where it lasts as long as the start; else what it gives for long
//! states      once: at the hour, month and use in which a start meets most else
//! leaves out  two starts in the same half second; what the battery's own switch makes of a start
//!             (`power/battery-discharge` has what runs)

use std::borrow::Cow;

use check::draft::has_reserve;
use check::remedy::{Effort, Proposal};
use check::subject::each_or_missing;
use check::working::{figure, listed, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Verdict, Words, edits};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;

use crate::mains::{self, Fed, Source, Taken};
use crate::unsaid::{End, judge, size_sold, supply};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/inverter-surge"),
    question: Cow::Borrowed("Does an inverter start what it feeds?"),
    words: Words::new("is asked for", "gives for a moment"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["inverter.surge", "inverter.surge_seconds", "portable.surge", "portable.surge_seconds", "load.power"]),
    uses: List::Static(&[
        "inverter.continuous",
        "inverter.voltage",
        "portable.continuous",
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
        "load.start",
        "load.locked_rotor",
        "load.soft_start",
        "load.start_seconds",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "start = its told start, or V x A with the rotor still x (1 - share of a soft starter)",
        "asked for = start of one piece + VA of all else that runs then",
    ]),
    cautions: List::Static(&[
        "mains voltage kills, behind an inverter as behind a meter",
        "a compressor that stalls at its start overheats: after a stop it rests three minutes before it starts again",
        "the local electrical code and a licensed electrician come first",
    ]),
};

/// Does an inverter start what it feeds?
#[derive(Debug)]
pub struct InverterSurge;

impl Check for InverterSurge {
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

/// One piece that starts while others run.
struct Start {
    /// Number of the load that starts.
    starts: usize,
    /// All that is on then, the one that starts too.
    set: Vec<usize>,
    start: Taken,
    /// What runs beside it: names, VA.
    beside: Vec<(String, Estimate)>,
    va: Estimate,
}

/// Which starts are looked at.
type Counts<'f> = &'f dyn Fn(&Fed<'_>) -> bool;

/// Of the starts that count the one that asks for most, at an end of what is not told.
fn largest(cx: &Context, source: &Source<'_>, end: End, counts: Counts<'_>) -> Result<Option<Start>, Gap> {
    let running = source.loads.iter().map(|fed| fed.va(cx, &source.path, end)).collect::<Result<Vec<_>, _>>()?;
    let starting = source.loads.iter().map(|fed| fed.start(cx, &source.path, end)).collect::<Result<Vec<_>, _>>()?;
    // What one piece asks for beyond what it takes running.
    let beyond = |index: &usize| {
        let (fed, start, taken) = (source.loads.get(*index)?, starting.get(*index)?, running.get(*index)?);
        counts(fed).then(|| start.va.value() - taken.va.value() / fed.count())
    };
    let mut most: Option<(f64, usize, Vec<usize>)> = None;
    for set in source.together() {
        let all: f64 = set.iter().filter_map(|index| running.get(*index)).map(|taken| taken.va.value()).sum();
        let hardest = set.iter().filter_map(|index| Some((beyond(index)?, *index)));
        let Some((more, starts)) = hardest.reduce(|most, other| if other.0 > most.0 { other } else { most }) else { continue };
        if most.as_ref().is_none_or(|(va, ..)| all + more > *va) {
            most = Some((all + more, starts, set));
        }
    }
    let Some((_, starts, set)) = most else { return Ok(None) };
    let Some(start) = starting.get(starts).cloned() else { return Ok(None) };
    let beside = set.iter().filter_map(|index| {
        let (fed, taken) = (source.loads.get(*index)?, running.get(*index)?);
        let left = if *index == starts { 1.0 - 1.0 / fed.count() } else { 1.0 };
        (left > 0.0).then(|| (fed.load.name.clone(), taken.va.scale(left)))
    });
    let beside: Vec<(String, Estimate)> = beside.collect();
    let va = &start.va + &Estimate::sum(beside.iter().map(|(_, va)| va));
    Ok(Some(Start { starts, set, start, beside, va }))
}

fn continuous(source: &Source<'_>, cx: &Context) -> Result<Held, Gap> {
    Ok(Held::plate("continuous by its plate", source.told(cx, "continuous")?.clone(), Dimension::Power))
}

fn answer(cx: &Context, source: &Source<'_>) -> Finding {
    if source.loads.is_empty() {
        return if cx.rig().load.is_empty() {
            begin(cx, source).missing("load")
        } else {
            begin(cx, source).not_applicable("nothing that is told runs on it")
        };
    }
    let worst = match largest(cx, source, End::Worst, &|_| true) {
        Ok(Some(worst)) => worst,
        Ok(None) => return begin(cx, source).missing("load"),
        Err(gap) => return begin(cx, source).blocked(&gap),
    };
    // What it gives for long it gives for a moment.
    if let Ok(held) = continuous(source, cx) {
        let draft = begin(cx, source).compare(&worst.va, &[held]);
        if draft.verdict() == Verdict::Pass {
            let open = open(source, &worst).is_some();
            return told(draft, source, &worst, open, "within what it gives for long, whatever its peak");
        }
    }
    let lasts = match source.told(cx, "surge").and_then(|_| source.told(cx, "surge_seconds")) {
        Ok(lasts) => lasts.value(),
        Err(gap) => return without_peak(cx, source, &gap),
    };
    // A start that is over before the peak is meets the peak; of a longer one what it gives for long counts.
    let short = judged(cx, source, &|fed| fed.start_seconds() <= lasts, Some(lasts));
    let long = judged(cx, source, &|fed| fed.start_seconds() > lasts, None);
    let used = |finding: &Finding| finding.utilisation.map_or(0.0, |used| used.0);
    let worse = |one: Finding, other: Finding| {
        let order = other.verdict.rank().cmp(&one.verdict.rank()).then(used(&other).total_cmp(&used(&one)));
        if order.is_gt() { other } else { one }
    };
    short.into_iter().chain(long).reduce(worse).unwrap_or_else(|| begin(cx, source).missing("load"))
}

/// The largest of the starts that count, against the peak that lasts so long, or against what it gives for long.
fn judged(cx: &Context, source: &Source<'_>, counts: Counts<'_>, lasts: Option<f64>) -> Option<Finding> {
    let of = |end| largest(cx, source, end, counts).ok().flatten();
    let (worst, best) = (of(End::Worst)?, of(End::Best)?);
    let seconds = source.loads.get(worst.starts).map_or(0.0, Fed::start_seconds);
    let held = match lasts {
        Some(_) => source.told(cx, "surge").map(|surge| Held::plate("peak by its plate", surge.clone(), Dimension::Power)),
        None => continuous(source, cx),
    };
    let held = match held {
        Ok(held) => held,
        Err(gap) => return Some(begin(cx, source).blocked(&gap)),
    };
    let open = open(source, &worst);
    let of = |end| if end == End::Worst { &worst } else { &best };
    let judged = judge(open.as_ref(), |end| begin(cx, source).compare(&of(end).va, std::slice::from_ref(&held)));
    let Some(judged) = judged else {
        let gap = open.unwrap_or_else(|| Gap::at("load.start"));
        let why = format!("a start asks for {} to {} VA by its kind", number(best.va.value(), 0), number(worst.va.value(), 0));
        return Some(begin(cx, source).blocked(&Gap::because(gap.path, why)));
    };
    let words = match lasts {
        Some(lasts) => format!("its peak lasts {lasts} s, the start {seconds} s"),
        None => format!("the start takes {seconds} s, longer than its peak lasts, so what it gives for long counts"),
    };
    let draft = judged.draft.remedies(|goal| {
        let soft = softer(cx, source, &worst, &goal.capacity);
        soft.into_iter().chain(larger(cx, source, &worst, seconds)).collect()
    });
    Some(told(draft, source, of(judged.end), judged.even, &words))
}

/// What of the worst start is not told and moves the answer.
fn open(source: &Source<'_>, start: &Start) -> Option<Gap> {
    let starts = source.loads.get(start.starts)?;
    let beside = start.set.iter().filter(|index| **index != start.starts || starts.count() > 1.0);
    let factors = beside.filter_map(|index| source.loads.get(*index)?.power_factor_gap());
    starts.start_gap().or_else(|| factors.into_iter().next())
}

/// The plate does not tell the peak, or how long it lasts: only what is above it in any case fails.
fn without_peak(cx: &Context, source: &Source<'_>, gap: &Gap) -> Finding {
    let Ok(Some(best)) = largest(cx, source, End::Best, &|_| true) else { return begin(cx, source).blocked(gap) };
    if let Ok(surge) = source.told(cx, "surge") {
        let held = Held::plate("peak by its plate", surge.clone(), Dimension::Power);
        let draft = begin(cx, source).compare(&best.va, &[held]);
        if draft.verdict() == Verdict::Fail {
            return told(draft, source, &best, false, "however long its peak lasts");
        }
    }
    let names = listed(&source.names(&[best.starts]).0);
    begin(cx, source)
        .blocked(&Gap::because(gap.path.clone(), format!("{names} asks for {} VA at its start", number(best.va.value(), 0))))
}

fn told(draft: Draft<'_>, source: &Source<'_>, start: &Start, even: bool, words: &str) -> Finding {
    let (starts, _) = source.names(&[start.starts]);
    let (_, medical) = source.names(&start.set);
    let beside: Vec<&str> = start.beside.iter().map(|(name, _)| name.as_str()).collect();
    let while_on = if beside.is_empty() { String::new() } else { format!(" with {} on", listed(&beside)) };
    let unknown = source.loads.get(start.starts).is_some_and(|fed| fed.start_gap().is_some());
    let even = match (even, unknown) {
        (false, _) => "",
        (true, true) => "; even at the hardest start of its kind",
        (true, false) => "; even at the poorest power factor of what runs",
    };
    let draft = draft.sentence(format!("{} starts{while_on}; {words}{even}", listed(&starts)));
    let draft = if medical { draft.consequence(Consequence::Injury) } else { draft };
    draft
        .working(|| {
            let each: Vec<_> = start.beside.iter().map(|(name, va)| (name, figure(va.value(), 1))).collect();
            let mut lines = vec![start.start.line.clone()];
            lines.extend(each.iter().map(|(name, va)| format!("{name} runs: {va} VA")));
            if !each.is_empty() {
                let first = figure(start.start.va.value(), 1);
                let sum = first.get() + each.iter().map(|(_, va)| va.get()).sum::<f64>();
                let parts: Vec<String> =
                    std::iter::once(first.to_string()).chain(each.iter().map(|(_, va)| va.to_string())).collect();
                lines.push(format!("{} = {} VA", parts.join(" + "), number(sum, 1)));
            }
            lines
        })
        .done()
}

/// A soft starter on what starts, where its start is told.
fn softer(cx: &Context, source: &Source<'_>, start: &Start, peak: &Estimate) -> Option<Proposal> {
    let fed = source.loads.get(start.starts).filter(|fed| fed.load.soft_start.is_none() && fed.start_gap().is_none())?;
    let share = supply("share of a start that a soft starter takes off");
    if !has_reserve(peak, &(&start.va - &start.start.va.scale(share))) {
        return None;
    }
    let left = start.start.va.value() * (1.0 - share);
    let edit = if fed.load.start.is_some() {
        edits::restate(cx, format!("{}.start", fed.path), fed.load.start.as_ref(), left)
    } else {
        edits::set(format!("{}.soft_start", fed.path), None, share, Dimension::Ratio)
    };
    let text = format!("a soft starter on {}, that takes {} % off its start", fed.load.name, number(share * PERCENT, 0));
    Some(Proposal { text, effort: Effort::PartsToBuy, edits: vec![edit] })
}

/// Per cent of one.
const PERCENT: f64 = 100.0;

/// The next size that starts it.
fn larger(cx: &Context, source: &Source<'_>, start: &Start, seconds: f64) -> Option<Proposal> {
    let (over, lasts) =
        (supply("surge of an inverter to be bought over its continuous power"), supply("surge to be bought lasts, s"));
    let plate = source.told(cx, "continuous").ok()?.value();
    let does = |size: f64| size >= plate && has_reserve(&Estimate::exact(size * over), &start.va);
    let size = size_sold("living/inverter-size", "watt", does)?;
    if seconds > lasts {
        return None;
    }
    let was = |key: &str| source.told(cx, key).ok().map(Estimate::value);
    let edit = |key: &str, to: f64, dimension| edits::set(format!("{}.{key}", source.path), was(key), to, dimension);
    let all = vec![
        edit("continuous", size, Dimension::Power),
        edit("surge", size * over, Dimension::Power),
        edit("surge_seconds", lasts, Dimension::Duration),
    ];
    let watts = |watt: f64| quantity::show(watt, Dimension::Power, edits::system(cx), None);
    let kind = if source.portable { "a portable unit" } else { "an inverter" };
    let text = format!("{kind} of {} that gives {} for {lasts} s", watts(size), watts(size * over));
    Some(Proposal { text, effort: Effort::PartsToBuy, edits: all })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    /// W16 of the power reference (computed outside this project): 68 A with the rotor still at 120 V are 8.16 kVA: a peak
    /// of 6 kVA does not do (1.36); a soft starter of 65 % leaves 2.86 kVA (0.48).
    fn cooler(more: &str) -> Finding {
        let text = format!(
            r#"
            [[inverter]]
            name = "i"
            continuous = "2500 W"
            surge = "6 kVA"
            surge_seconds = "2 s"
            voltage = "120 V"
            [[load]]
            name = "cooler"
            kind = "cooling"
            on = "ac"
            current = {{ value = "12.7 A", tolerance = "0 A" }}
            locked_rotor = {{ value = "68 A", tolerance = "0 A" }}
            {more}
            "#
        );
        first(&InverterSurge, &text)
    }

    #[test]
    fn a_locked_rotor_and_a_soft_starter_by_the_reference() {
        let bare = cooler("");
        assert_eq!(bare.verdict, Verdict::Fail);
        assert!((bare.demand.map_or(0.0, |demand| demand.value.0) - 8160.0).abs() < 1e-6);
        assert!(bare.utilisation.is_some_and(|used| (used.0 - 1.36).abs() < 1e-9));
        let soft = cooler("soft_start = { value = \"65 %\", tolerance = \"0 %\" }");
        assert_eq!(soft.verdict, Verdict::Pass);
        assert!(soft.utilisation.is_some_and(|used| (used.0 - 0.476).abs() < 1e-9));
    }

    /// The larger start fits the peak; the smaller one outlasts it and meets 2500 W.
    #[test]
    fn a_smaller_start_may_outlast_the_peak() {
        let pump = "soft_start = { value = \"65 %\", tolerance = \"0 %\" }\n[[load]]\nname = \"pump\"\non = \"ac\"\npower = \"100 W\"\n\
                    power_factor = 1\nstart = { value = \"2600 VA\", tolerance = \"0 W\" }\nstart_seconds = \"3 s\"\nfrom = \"1 h\"\nto = \"2 h\"";
        let found = cooler(pump);
        assert_eq!(found.verdict, Verdict::Fail);
        assert!(found.sentence.is_some_and(|said| said.starts_with("pump starts")));
    }

    #[test]
    fn a_peak_that_is_over_too_soon_is_none() {
        let long = cooler("soft_start = { value = \"65 %\", tolerance = \"0 %\" }\nstart_seconds = \"3 s\"");
        assert_eq!(long.verdict, Verdict::Fail);
        assert!((long.capacity.map_or(0.0, |capacity| capacity.value.0) - 2500.0).abs() < 1e-9);
    }
}
