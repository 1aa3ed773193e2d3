//! Pictures of the house's power: energy month by month, and the charge of its battery hour by hour.

use check::exhibit::{DayHourMap, Exhibit, HourRun, MonthBars, MonthEnergy, Picture, Span};
use check::{Context, Finding};
use quantity::{Estimate, Num};
use rig_facts::power::{BankYear, HOUR_S, Set, Year};

/// Names that findings use for the views of the set of things that they are about.
const MONTHS: &str = "power-months";
const HOURS: &str = "power-hours";

/// The views that findings ask for, of every set; those findings get the ids of their own set's.
pub(super) fn all(context: &Context, findings: &mut [Finding]) -> Vec<Exhibit> {
    let power = context.facts().power();
    let sets = power.sets();
    let asks = |findings: &[Finding], wanted: &str| findings.iter().any(|finding| finding.exhibits.iter().any(|id| id == wanted));
    let (months, hours) = (asks(findings, MONTHS), asks(findings, HOURS));
    if !months && !hours {
        return Vec::new();
    }
    let mut exhibits = Vec::new();
    for (index, set) in sets.iter().enumerate() {
        let Ok(year) = power.year(index) else { continue };
        let state = state_of(sets, set);
        let made =
            |kind: &str, title: String, picture| Exhibit { id: id(kind, state), title, state: state.map(str::to_owned), picture };
        if months {
            exhibits.push(made(MONTHS, "energy of a day, month by month".to_owned(), Picture::MonthBars(bars(context, year))));
        }
        let bank = if hours { shortest(year) } else { None };
        exhibits.extend(bank.and_then(|bank| {
            let (map, title) = map(context, bank)?;
            Some(made(HOURS, title, Picture::DayHourMap(map)))
        }));
    }
    for finding in findings {
        let own = sets.iter().find_map(|set| state_of(sets, set).filter(|state| finding.case.as_deref() == Some(*state)));
        for name in finding.exhibits.iter_mut().filter(|name| *name == MONTHS || *name == HOURS) {
            *name = id(name, own);
        }
    }
    exhibits
}

/// The state by which a set is named, where there are several.
fn state_of<'s>(sets: &[Set], set: &'s Set) -> Option<&'s str> {
    set.states.first().filter(|_| sets.len() > 1).map(String::as_str)
}

fn id(kind: &str, state: Option<&str>) -> String {
    state.map_or_else(|| kind.to_owned(), |state| format!("{kind}/{state}"))
}

fn bars(context: &Context, year: &Year) -> MonthBars {
    let used = context.facts().power().months();
    let span = |wh: &Estimate| {
        let (low, high) = wh.interval95();
        Span { value: Num(wh.value() * HOUR_S), low: Num(low.max(0.0) * HOUR_S), high: Num(high * HOUR_S) }
    };
    let of = |(number, month): (u8, &rig_facts::power::Month)| {
        let came = year.outcome(usize::from(number) - 1).unwrap_or_default();
        let load = month.load.value();
        let in_use = used.has(usize::from(number) - 1);
        MonthEnergy {
            month: number,
            in_use,
            sun: span(&month.sun),
            used: Num((load - came.short).max(0.0) * HOUR_S),
            left_over: Num(came.left_over.max(0.0) * HOUR_S),
            gone_without: Num(came.short * HOUR_S),
            wanted: in_use.then_some(Num(load * HOUR_S)),
        }
    };
    MonthBars { a_day: true, months: (1..).zip(&year.months).map(of).collect() }
}

/// The bank that is gone without most.
fn shortest(year: &Year) -> Option<&BankYear> {
    let short = |bank: &BankYear| bank.usual().nominal().hours_short;
    year.banks.iter().reduce(|most, other| if short(other) > short(most) { other } else { most })
}

/// Its charge in the year with most days short, or the year of the weather file, and what that year is.
fn map(context: &Context, bank: &BankYear) -> Option<(DayHourMap, String)> {
    let power = context.facts().power();
    let run = bank.usual();
    let days = |year: &[u8; 12]| year.iter().map(|days| u32::from(*days)).sum::<u32>();
    let short = run.nominal().short_days.iter().map(days);
    let worst = short.enumerate().reduce(|most, other| if other.1 > most.1 { other } else { most }).map_or(0, |(year, _)| year);
    let hours = run.hours_of(worst);
    let charge: Vec<f64> = hours.iter().map(|hour| hour.charge).collect();
    let mut map = DayHourMap::of_year("state of charge", &charge)?;
    map.short = HourRun::of(hours.iter().map(|hour| hour.short));
    map.floor = Some(Num(run.store.floor));
    map.months_of_use = (1..=12).filter(|month| power.months().has(usize::from(*month) - 1)).collect();
    let name = power.banks().get(bank.bank).map_or("", |bank| bank.name.as_str());
    let which = if bank.file.is_some() {
        "the year of the weather file".to_owned()
    } else {
        format!("the worst of {} years drawn", run.years.len())
    };
    Some((map, format!("charge of {name}, {which}")))
}

#[cfg(test)]
mod tests {
    use std::borrow::Cow;
    use std::collections::BTreeSet;
    use std::sync::Arc;

    use check::{Card, Consequence, Day, Holds, LimitBook, List, Scope, Words};
    use rig_model::{Syntax, read_rig};

    use super::*;

    static CARD: Card = Card {
        id: Cow::Borrowed("power/pictures"),
        question: Cow::Borrowed("Are there pictures?"),
        words: Words::new("has", "wants"),
        consequence: Consequence::Comfort,
        scope: Scope::Once,
        needs: List::Static(&[]),
        uses: List::Static(&[]),
        limits: List::Static(&[]),
        formula: List::Static(&[]),
        cautions: List::Static(&[]),
    };

    /// A house of 400 W and 2.6 kWh by 36 degrees north, too small for its winter. Invented.
    const HOUSE: &str = r#"
format = "rigproof-rig/1"
rig = "invented"
[site]
latitude = "36.1 deg"
longitude = "-79.9 deg"
sun = [2.4, 3.2, 4.2, 5.4, 5.9, 6.2, 6.0, 5.4, 4.6, 3.7, 2.6, 2.2]
high = ["9 °C", "12 °C", "16 °C", "21 °C", "25 °C", "29 °C", "31 °C", "30 °C", "26 °C", "21 °C", "16 °C", "11 °C"]
low = ["-1 °C", "0 °C", "4 °C", "8 °C", "13 °C", "18 °C", "20 °C", "19 °C", "16 °C", "9 °C", "4 °C", "0 °C"]
[[panel]]
name = "roof"
rated = "400 W"
[[battery]]
name = "house"
chemistry = "lifepo4"
voltage = "12.8 V"
capacity = "200 Ah"
stands = "inside"
[[load]]
name = "lamps"
power = "50 W"
hours = "24 h"
from = "0 h"
to = "0 h"
"#;

    fn context(tables: &str) -> Context {
        let (document, rig) = read_rig(&format!("{HOUSE}{tables}"), Syntax::Toml).expect("it reads");
        let today = Day { year: 2026, month: 11, day: 25 };
        Context::new(Arc::new(document), Arc::new(rig), Arc::new(LimitBook::default()), today)
    }

    fn asking(context: &Context, case: Option<&str>) -> Finding {
        let draft = CARD.about(context, "the house").at("power").exhibit(MONTHS).exhibit(HOURS);
        let draft = match case {
            Some(case) => draft.case(case),
            None => draft,
        };
        draft.require(Holds::Yes, "").done()
    }

    #[test]
    fn what_is_used_and_gone_without_is_what_is_wanted() {
        let context = context("");
        let exhibits = all(&context, &mut [asking(&context, None)]);
        let Some(Picture::MonthBars(bars)) = exhibits.first().map(|exhibit| &exhibit.picture) else { panic!("no bars") };
        assert_eq!((bars.months.len(), bars.a_day), (12, true));
        for month in &bars.months {
            // By hand: 50 W day and night are 1200 Wh, 4.32 MJ.
            assert!(month.wanted.is_some_and(|wanted| (wanted.0 - 4.32e6).abs() < 1.0));
            assert!((month.used.0 + month.gone_without.0 - 4.32e6).abs() < 1.0);
        }
        assert!(bars.months[11].gone_without.0 > 0.0 && bars.months[5].left_over.0 > 0.0);
    }

    #[test]
    fn days_short_on_the_map_are_those_that_were_counted() {
        let context = context("");
        let exhibits = all(&context, &mut [asking(&context, None)]);
        let Some(Picture::DayHourMap(map)) = exhibits.get(1).map(|exhibit| &exhibit.picture) else { panic!("no map") };
        let year = context.facts().power().year(0).expect("a year");
        let counted =
            year.banks[0].drawn.nominal().short_days.iter().map(|year| year.iter().map(|d| usize::from(*d)).sum::<usize>());
        let drawn = |run: &HourRun| (usize::from(run.from)..usize::from(run.from + run.hours)).map(|hour| hour / 24);
        let days: BTreeSet<usize> = map.short.iter().flat_map(drawn).collect();
        assert_eq!(Some(days.len()), counted.max());
        assert_eq!((map.days(), map.months_of_use.len()), (Some(365), 12));
    }

    #[test]
    fn each_set_has_its_own_and_nobody_asking_none() {
        let states = "[[state]]\nname = \"with lamps\"\nkind = \"camp\"\n\n[[state]]\nname = \"dark\"\nkind = \"camp\"\nabsent = [\"roof\"]\n";
        let context = context(states);
        let mut findings = [asking(&context, Some("with lamps")), asking(&context, Some("dark"))];
        let exhibits = all(&context, &mut findings);
        assert_eq!(findings[0].exhibits, ["power-months/with lamps", "power-hours/with lamps"]);
        // Without a panel there is no year and no picture.
        assert_eq!(exhibits.len(), 2);
        findings.iter_mut().for_each(|finding| finding.exhibits.clear());
        assert_eq!(all(&context, &mut findings), []);
    }
}
