//! Pictures of the house's power: energy month by month, and the charge of its battery hour by hour.

use check::exhibit::{DayHourMap, Exhibit, HourRun, MonthBars, MonthEnergy, Picture, Span};
use check::{Context, Finding};
use quantity::{Estimate, Num};
use rig_facts::power::{BankYear, Set, Year};

/// Names that findings use for the views of the set of things that they are about.
const MONTHS: &str = "power-months";
const HOURS: &str = "power-hours";

/// J of a Wh.
const WH: f64 = 3600.0;

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
        Span { value: Num(wh.value() * WH), low: Num(low.max(0.0) * WH), high: Num(high * WH) }
    };
    let of = |(number, month): (u8, &rig_facts::power::Month)| {
        let load = month.load.value();
        let in_use = used.has(usize::from(number) - 1);
        MonthEnergy {
            month: number,
            in_use,
            sun: span(&month.sun),
            used: Num((load - month.short).max(0.0) * WH),
            left_over: Num(month.left_over * WH),
            gone_without: Num(month.short * WH),
            wanted: in_use.then_some(Num(load * WH)),
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
    let charge: Vec<f64> = run.charge(worst).into_iter().map(f64::from).collect();
    let mut map = DayHourMap::of_year("state of charge", &charge)?;
    map.short = HourRun::of(run.short_hours(worst));
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
