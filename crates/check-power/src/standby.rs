//! power/standby: how much of a day goes to what is never switched off?
//!
//! demand      what is on day and night and serves nobody in particular: inverter and converter idling, monitors, detectors;
//!             as a share of what a usual day takes
//! capacity    the owner's share, else the limit's, at most
//! states      once for each set of what is on board when camped
//! leaves out  refrigerators: they work

use std::borrow::Cow;

use basis::Basis;
use check::draft::{GOAL, has_reserve_under};
use check::remedy::Effort;
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Finding, Held, List, Proposal, Scope, Verdict, Words};
use quantity::{Dimension, Estimate};
use rig_facts::power::loads::HOURS;
use rig_facts::power::{Drawn, HOUR_S, Set};
use rig_facts::{Gap, tables};
use rig_model::model::{Inverter, YesNo};
use rig_model::{Edit, EditOp, Free, path};

use crate::house::begin;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/standby"),
    question: Cow::Borrowed("How much of a day goes to what is never switched off?"),
    words: Words::new("takes of the day", "may take"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["load.power", "inverter.idle"]),
    uses: List::Static(&[
        "power.standby_share",
        "power.cooling_hours",
        "site.months",
        "mass.count",
        "load.name",
        "load.of",
        "load.count",
        "load.kind",
        "load.current",
        "load.on",
        "load.hours",
        "load.duty",
        "load.daily",
        "load.months",
        "load.when",
        "load.medical",
        "load.safety",
        "load.through",
        "load.wanted",
        "battery.name",
        "battery.voltage",
        "battery.in_series",
        "battery.order",
        "battery.serves",
        "battery.own_draw",
        "controller.name",
        "controller.own_draw",
        "controller.charges",
        "inverter.name",
        "inverter.searching",
        "inverter.search_mode",
        "inverter.efficiency",
        "inverter.battery",
        "converter.name",
        "converter.kind",
        "converter.idle",
        "converter.efficiency",
        "converter.battery",
        "portable.name",
        "portable.idle",
        "state.name",
        "state.kind",
        "state.absent",
    ]),
    limits: List::Static(&["power/standby-share"]),
    formula: List::Static(&[
        "standing = 24 h x what inverters, converters, controllers and monitors take idling + loads of kind \"standing\"",
        "takes of the day = standing / (standing + all other loads of a usual day)",
    ]),
    cautions: List::Static(&[
        crate::house::BATTERIES_BURN,
        crate::house::MAINS_KILL,
        "detectors of gas, smoke and fumes stay on, whatever they take",
    ]),
};

/// How much of a day goes to what is never switched off?
#[derive(Debug)]
pub struct Standby;

impl Check for Standby {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        (0..cx.facts().power().sets().len()).map(|index| answer(cx, index)).collect()
    }
}

/// So many of what stands are named.
const NAMED: usize = 3;

/// What stands and what a usual day takes, Wh.
struct Day<'c> {
    standing: Vec<(&'c Drawn, &'c Estimate)>,
    all: Estimate,
    /// What an inverter of which nobody told takes at worst: path, name, Wh.
    untold: Option<(String, String, f64)>,
}

impl<'c> Day<'c> {
    fn of(cx: &'c Context, set: &Set) -> Result<Self, Gap> {
        let power = cx.facts().power();
        let months = power.months();
        let used = months.iter().count() as f64;
        let (mut standing, mut parts) = (Vec::new(), Vec::new());
        for load in set.loads.iter().filter_map(|at| power.loads().get(*at)) {
            let daily = load.daily.as_ref().map_err(Clone::clone)?;
            let here = months.iter().filter(|month| load.standing || load.months.has(*month)).count() as f64;
            parts.push((here / used, daily));
            if load.standing {
                standing.push((load, daily));
            }
        }
        if cx.rig().load.is_empty() {
            return Err(Gap::at("load"));
        }
        standing.sort_by(|a, b| b.1.value().total_cmp(&a.1.value()));
        Ok(Self { standing, all: Estimate::weighted_sum(&parts), untold: untold(cx, set) })
    }

    fn stands(&self) -> Estimate {
        Estimate::sum(self.standing.iter().map(|(_, daily)| *daily))
    }

    /// The share, with so much more standing.
    fn share(&self, more: f64) -> Estimate {
        let all = self.all.offset(more);
        if all.value() > 0.0 { &self.stands().offset(more) / &all } else { Estimate::exact(0.0) }
    }
}

/// The first inverter on board of which nobody told what it takes idling.
fn untold(cx: &Context, set: &Set) -> Option<(String, String, f64)> {
    let here = |name: &str| {
        let absent =
            |state: &String| cx.rig().state.iter().any(|one| one.name == *state && one.absent.iter().any(|gone| gone == name));
        !set.states.iter().any(absent)
    };
    let power = cx.facts().power();
    cx.rig().inverter.iter().enumerate().filter(|(_, one)| here(&one.name)).find_map(|(index, one)| {
        let path = path::of("inverter", &one.name, index);
        let searches = one.search_mode == Some(YesNo::Yes) && power.told(&format!("{path}.searching")).is_ok();
        let watts = tables::usual("living/idle", "what", "inverter", "most");
        let idle = format!("{path}.idle");
        (!searches && power.told(&idle).is_err()).then(|| (idle, one.name.clone(), watts * HOURS as f64))
    })
}

fn answer(cx: &Context, index: usize) -> Finding {
    let draft = || begin(cx, &CARD, "load", index);
    let Some(set) = cx.facts().power().sets().get(index) else { return draft().missing("load") };
    let day = match Day::of(cx, set) {
        Ok(day) => day,
        Err(gap) => return draft().blocked(&gap),
    };
    let held = held(cx);
    let Some(may) = held.iter().map(|held| held.upper().value()).min_by(f64::total_cmp) else {
        return draft().show(&day.share(0.0), Dimension::Ratio, check::limits::NO_LIMIT);
    };
    let more = day.untold.as_ref().map_or(0.0, |(_, _, wh)| *wh);
    let worst = draft().compare(&day.share(more), &held);
    let (draft, even) = match &day.untold {
        None => (worst, String::new()),
        Some((_, name, wh)) if worst.verdict() == Verdict::Pass => {
            (worst, format!("; even if {name} takes {} W idling", number(wh / HOURS as f64, 0)))
        }
        Some((path, _, _)) => {
            let told = draft().compare(&day.share(0.0), &held);
            if told.verdict() != Verdict::Fail {
                return draft().missing(path);
            }
            (told, String::new())
        }
    };
    draft
        .sentence(format!("{}{even}", sentence(&day)))
        .working(|| working(&day))
        .remedies(|_| ways_out(cx, index, &day, may))
        .done()
}

fn held(cx: &Context) -> Vec<Held> {
    match cx.rig().power.as_ref().and_then(|wishes| wishes.standby_share.as_ref()) {
        None => cx.limits("power/standby-share"),
        Some(share) => {
            let share = Estimate::exact(share.si());
            vec![Held::at_most("share the owner allows", share, Dimension::Ratio, Basis::owner("[power] standby_share"))]
        }
    }
}

fn sentence(day: &Day<'_>) -> String {
    let (stands, all) = (number(day.stands().value(), 0), number(day.all.value(), 0));
    let largest: Vec<String> =
        day.standing.iter().take(NAMED).map(|(load, daily)| format!("{} {} Wh", load.name, number(daily.value(), 0))).collect();
    let named = if largest.is_empty() { String::new() } else { format!(": {}", largest.join(", ")) };
    format!("{stands} of {all} Wh a day go to what is never switched off{named}")
}

fn working(day: &Day<'_>) -> Vec<String> {
    let parts: Vec<_> = day.standing.iter().map(|(_, daily)| figure(daily.value(), 1)).collect();
    let stands: f64 = parts.iter().map(|part| part.get()).sum();
    let terms: Vec<String> = parts.iter().map(|part| format!("{part} Wh")).collect();
    let all = figure(day.all.value(), 1);
    let mut lines = Vec::new();
    if terms.len() > 1 {
        lines.push(format!("{} = {} Wh standing", terms.join(" + "), number(stands, 1)));
    }
    if all.get() > 0.0 {
        lines.push(format!("{} Wh / {all} Wh = {}", number(stands, 1), number(stands / all.get(), 3)));
    }
    lines
}

fn ways_out(cx: &Context, index: usize, day: &Day<'_>, may: f64) -> Vec<Proposal> {
    let is_enough = |edits: &[Edit]| {
        let Ok(edited) = cx.with(edits) else { return false };
        let share = edited.facts().power().sets().get(index).and_then(|set| Day::of(&edited, set).ok().map(|day| day.share(0.0)));
        share.is_some_and(|share| has_reserve_under(may, &share))
    };
    let (stands, all) = (day.stands().value(), day.all.value());
    // Both standing and the whole fall: (stands - x) / (all - x) = share.
    let off = |share: f64| (stands - share * all) / (1.0 - share);
    let wide = day.share(0.0).interval95().1 / day.share(0.0).value();
    let less = off((may / wide).min(GOAL * may));
    let search = searching(cx, day);
    let saved = search.as_ref().map_or(0.0, |(_, wh)| *wh);
    let search = search.map(|(one, _)| one);
    let hours = |less: f64, with: &[Edit]| {
        let named = day.standing.iter().take(NAMED);
        let tries = named.flat_map(|(load, daily)| off_hours(cx, load, daily.value(), less));
        tries.into_iter().find(|one| is_enough(&[with, &one.edits].concat()))
    };
    let alone = [search.clone().filter(|one| is_enough(&one.edits)), hours(less, &[])];
    let alone: Vec<Proposal> = alone.into_iter().flatten().collect();
    if !alone.is_empty() {
        return alone;
    }
    let both = search.and_then(|search| hours(less - saved, &search.edits).map(|hours| (search, hours)));
    let both = both.map(|(search, hours)| Proposal {
        text: format!("{}, and {}", search.text, hours.text),
        effort: Effort::Minutes,
        edits: [search.edits, hours.edits].concat(),
    });
    both.into_iter().collect()
}

/// The search mode of an inverter that has one and idles without, and what it saves in a day, Wh.
fn searching(cx: &Context, day: &Day<'_>) -> Option<(Proposal, f64)> {
    let has = |one: &Inverter| one.search_mode != Some(YesNo::Yes);
    cx.rig().inverter.iter().enumerate().filter(|(_, one)| has(one)).find_map(|(index, one)| {
        let path = path::of("inverter", &one.name, index);
        let searching = cx.facts().power().told(&format!("{path}.searching")).ok()?.value() * HOURS as f64;
        let (_, idles) = day.standing.iter().find(|(load, _)| load.path == format!("{path}.idle"))?;
        let path = format!("{path}.search_mode");
        let proposal = Proposal {
            text: format!("switch on the search mode of {}", one.name),
            effort: Effort::Minutes,
            edits: vec![Edit { path, op: EditOp::Set, from: None, to: Some(Free::Bool(true)) }],
        };
        Some((proposal, idles.value() - searching))
    })
}

/// Hours are set to this, h. A choice of this project.
const STEP_H: f64 = 0.5;

/// So many steps below a guess are tried. A choice of this project.
const TRIES: u32 = 8;

/// A load that is on day and night, switched off for some hours: about `less` Wh a day fewer, and then fewer still. Nothing for
/// a load that no way out may switch off.
fn off_hours(cx: &Context, load: &Drawn, daily: f64, less: f64) -> Vec<Proposal> {
    let entry = cx.rig().load.iter().find(|entry| entry.name == load.name && entry.daily.is_none() && !load.never_off);
    let Some(entry) = entry else { return Vec::new() };
    let now = entry.hours.as_ref().and_then(|hours| hours.value()).map_or(HOURS as f64, |s| s / HOUR_S);
    let first = ((now * (1.0 - less / daily)) / STEP_H).floor() * STEP_H;
    let proposal = |to: f64| Proposal {
        text: format!("{} on for {} h a day, off for the rest", load.name, number(to, 1)),
        effort: Effort::Minutes,
        // A clock switches it: its hours are known.
        edits: vec![Edit {
            path: format!("{}.hours", load.path),
            op: EditOp::Set,
            from: entry.hours.as_ref().and_then(|hours| hours.value()).map(|s| Free::Text(format!("{} h", s / HOUR_S))),
            to: Some(Free::Text(format!("{to} h measured"))),
        }],
    };
    let tries = (0..TRIES).map(|step| first - f64::from(step) * STEP_H);
    tries.filter(|to| *to > 0.0 && *to < now).map(proposal).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    const LAMP: &str = "[[load]]\nname = \"lamp\"\npower = \"36 W\"\nhours = \"10 h\"\n";
    const BATTERY: &str = "[[battery]]\nname = \"house\"\nvoltage = \"12 V\"\n";

    /// By hand: 15 W idling are 360 Wh a day, as much as a lamp of 36 W takes in 10 h: half of the day.
    #[test]
    fn an_idling_inverter_takes_half() {
        let finding = first(&Standby, &format!("{BATTERY}{LAMP}[[inverter]]\nname = \"inverter\"\nidle = \"15 W\"\n"));
        assert_eq!(finding.verdict, Verdict::Fail);
        assert!(finding.demand.is_some_and(|share| (share.value.0 - 0.5).abs() < 1e-9));
        assert!(finding.sentence.is_some_and(|said| said.contains("360 of 720 Wh") && said.contains("inverter 360 Wh")));
    }

    /// A router may rest for some hours. What watches over people does not, whether its name tells or the file.
    #[test]
    fn a_detector_is_never_switched_off() {
        let of = |name: &str, more: &str| {
            let stands = format!("[[load]]\nname = \"{name}\"\nkind = \"standing\"\npower = \"20 W measured\"\n{more}");
            first(&Standby, &format!("{BATTERY}{LAMP}{stands}"))
        };
        for (name, more) in [("router", ""), ("gas detector", "safety = false\n")] {
            let found = of(name, more);
            assert_eq!((found.verdict, found.proposals.len()), (Verdict::Fail, 1), "{name}");
        }
        for (name, more) in [("Gas Detector", ""), ("smoke", ""), ("fumes", "safety = true\n"), ("pump", "medical = true\n")] {
            let found = of(name, more);
            assert_eq!((found.verdict, found.proposals.len()), (Verdict::Fail, 0), "{name}");
        }
    }

    #[test]
    fn an_inverter_of_which_nobody_told_is_asked_for_where_it_could_matter() {
        let untold = "[[inverter]]\nname = \"inverter\"\n";
        let finding = first(&Standby, &format!("{BATTERY}{LAMP}{untold}"));
        assert_eq!((finding.verdict, finding.needs[0].path.as_str()), (Verdict::Missing, "inverter[inverter].idle"));
        // 25 W at worst are 600 of 4200 Wh.
        let large = LAMP.replace("36 W", "360 W measured");
        let finding = first(&Standby, &format!("{BATTERY}{large}{untold}"));
        assert_eq!(finding.verdict, Verdict::Pass);
        assert!(finding.sentence.is_some_and(|said| said.contains("even if inverter takes 25 W")));
        assert!(first(&Standby, LAMP).utilisation.is_none());
    }
}
