//! power/short-days: how often does the power run out?
//!
//! demand      share of the drawn years in which the worst month of use has more days short than the owner bears
//! capacity    the share of such months that the owner bears, else the limit's
//! states      once for each set of what is on board when camped; the bank that falls short most
//! leaves out  what plugging in would mend; snow on the panels; years unlike those of the climate told

use std::borrow::Cow;

use basis::Basis;
use check::draft::{GOAL, has_reserve_under};
use check::working::{figure, listed, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Proposal, Scope, Words};
use quantity::{Dimension, Estimate, Z95};
use rig_facts::Gap;
use rig_facts::power::run::{LANES, YearHours};
use rig_facts::power::{Answer, BankYear, Run, Side, Try, month_name};
use rig_model::model::Then;

use crate::house::{House, NO_INPUT, every_set, gets, on_year, takes, within};
use crate::ways_out;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/short-days"),
    question: Cow::Borrowed("How often does the power run out?"),
    words: Words::new("runs out in", "may run out in"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["power.short_days", "load.power", "panel.rated", "battery.capacity", "site.latitude"]),
    uses: on_year!["power.short_months", "power.then"],
    limits: List::Static(&["power/short-months"]),
    formula: List::Static(&[
        "hour by hour: charge + (sun - load) x way in or / way out, never above full, never below the floor; what is not there is short",
        "a day is short with an hour of it short; a month counts with more short days than borne",
        "counted over years drawn from the climate, the same for every rig; few years say little, and the range says how little (Wilson, 95 %)",
        "where none of them is bad, nor with one standard deviation less sun, more load or less capacity, it counts as never",
    ]),
    cautions: List::Static(crate::house::CAUTIONS),
};

/// How often does the power run out?
#[derive(Debug)]
pub struct ShortDays;

impl Check for ShortDays {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_set(cx, &CARD, "power", answer)
    }
}

/// Tenths: the owner counts such months in ten.
const TEN: f64 = 10.0;

/// The worst month of the bank that falls short most.
struct Worst<'c> {
    bank: &'c BankYear,
    month: usize,
    borne: f64,
}

impl<'c> Worst<'c> {
    fn of(house: &House<'c>, borne: f64) -> Option<Self> {
        let used = |bank: &'c BankYear| house.months().map(move |(month, _)| Self { bank, month, borne });
        // What fills a bank that neither sun nor driving does, nobody told.
        let any = house.banks().iter().any(is_filled);
        house.banks().iter().filter(|bank| !any || is_filled(bank)).flat_map(used).reduce(|worst, other| {
            let order = other.share().total_cmp(&worst.share());
            let order = order.then(other.far().total_cmp(&worst.far())).then(other.mean().total_cmp(&worst.mean()));
            if order.is_gt() { other } else { worst }
        })
    }

    fn run(&self) -> &'c Run {
        &self.bank.drawn
    }

    fn years(&self) -> usize {
        self.run().years.len()
    }

    /// Share of the drawn years.
    fn share(&self) -> f64 {
        self.run().nominal().bad_of_ten(self.month, self.borne) / TEN
    }

    /// Days short of a mean year.
    fn mean(&self) -> f64 {
        self.run().nominal().mean_short_days(self.month)
    }

    /// In how many of the drawn years.
    fn bad(&self) -> usize {
        self.run().nominal().short_days.iter().filter(|year| is_bad(year, self.month, self.borne)).count()
    }

    /// Whether not one of the drawn years is bad, nor with less sun, more load or a weaker battery (one standard deviation).
    fn is_never(&self) -> bool {
        self.far() <= 0.0
    }

    /// Months of ten with the worst of that doubt.
    fn far(&self) -> f64 {
        self.run().hull(|answer| answer.bad_of_ten(self.month, self.borne)).1
    }

    /// The share with the doubt of sun, load and capacity, and of how few years there are. That it never happens no number of
    /// years proves: none of those drawn, nor with all that doubt, is never.
    fn estimate(&self, may: f64) -> Estimate {
        let side = if self.share() > may { Side::Below } else { Side::Above };
        let share = self.run().leaning(side, |answer| answer.bad_of_ten(self.month, self.borne) / TEN);
        if self.is_never() { share } else { &share + &luck(share.value(), self.years(), side) }
    }
}

/// Whether sun or driving fills a bank.
fn is_filled(bank: &BankYear) -> bool {
    let brings = |year: &YearHours| year.sun.iter().any(|sun| *sun > 0.0) || year.load.iter().any(|load| *load < 0.0);
    bank.drawn.years.first().is_some_and(brings)
}

fn is_bad(year: &[u8; 12], month: usize, borne: f64) -> bool {
    year.get(month).is_some_and(|days| f64::from(*days) > borne)
}

/// What so few years leave open of a share on one side: 0 and its doubt.
fn luck(share: f64, years: usize, side: Side) -> Estimate {
    let (low, high) = wilson(share, years as f64, Z95);
    let half = if side == Side::Below { share - low } else { high - share };
    Estimate::input(NO_INPUT, 0.0, half / Z95)
}

/// Interval of a share that was counted over so many tries (Wilson 1927).
fn wilson(share: f64, tries: f64, z: f64) -> (f64, f64) {
    let square = z * z / tries;
    let middle = (share + square / 2.0) / (1.0 + square);
    let half = (share * (1.0 - share) * square + square * square / 4.0).sqrt() / (1.0 + square);
    ((middle - half).max(0.0), (middle + half).min(1.0))
}

fn answer<'c>(house: &House<'c>, draft: Draft<'c>) -> Finding {
    let draft = house.weigh(draft);
    let wishes = house.cx.rig().power.as_ref();
    let Some(borne) = wishes.and_then(|wishes| wishes.short_days) else {
        let worst = Worst::of(house, 0.0);
        return draft.blocked(&Gap::because("power.short_days", worst.map_or(String::new(), |worst| sentence(house, &worst))));
    };
    let Some(worst) = Worst::of(house, borne) else { return draft.missing("site.months") };
    let Some((held, may)) = held(house.cx) else {
        return draft.show(&worst.estimate(1.0), Dimension::Ratio, check::limits::NO_LIMIT);
    };
    let finding = draft
        .compare(&worst.estimate(may), &held)
        .sentence(sentence(house, &worst))
        .working(|| working(&worst))
        .exhibit("power-months")
        .exhibit("power-hours")
        .remedies(|_| ways_out(house, &worst, may))
        .done();
    within(finding, 0.0, 1.0)
}

/// What holds it, and the share of such months that may be.
fn held(cx: &Context) -> Option<(Vec<Held>, f64)> {
    let owner = cx.rig().power.as_ref().and_then(|wishes| wishes.short_months).map(|months| {
        let may = Estimate::exact(months / TEN);
        Held::at_most("what the owner bears", may, Dimension::Ratio, Basis::owner("[power] short_months"))
    });
    let held = owner.map_or_else(|| cx.limits("power/short-months"), |owner| vec![owner]);
    let may = held.iter().map(|held| held.upper().value()).min_by(f64::total_cmp)?;
    Some((held, may))
}

fn sentence(house: &House<'_>, worst: &Worst<'_>) -> String {
    let (bad, years, month) = (worst.bad(), worst.years(), month_name(worst.month));
    let (low, high) = wilson(worst.share(), years as f64, Z95);
    let days = if worst.borne > 0.0 { format!("more than {} days", worst.borne) } else { "a day or more".to_owned() };
    let mut said = format!("in {bad} of {years} drawn {month}s {days} short");
    if bad > 0 {
        let spell = worst.run().nominal().longest_short;
        said += &format!(", {} in the mean, {spell} in a row at worst", number(worst.mean(), 1));
    }
    said += &if worst.is_never() {
        ", nor with as much less sun, more load or weaker a battery as there may be".to_owned()
    } else {
        let say = if years == 1 { "1 year says".to_owned() } else { format!("{years} years say") };
        format!("; {say}: in {} to {} of ten", number(low * TEN, 1), number(high * TEN, 1))
    };
    let name = |bank: &BankYear| house.cx.facts().power().banks().get(bank.bank).map(|bank| bank.name.as_str());
    if house.banks().len() > 1 && bad > 0 {
        said += &name(worst.bank).map_or(String::new(), |name| format!("; it is {name} that runs out"));
    }
    let empty: Vec<&str> = house.banks().iter().filter(|bank| !is_filled(bank)).filter_map(name).collect();
    if !empty.is_empty() && empty.len() < house.banks().len() {
        said += &format!("; {} is left out: nobody told what charges it", listed(&empty));
    }
    if bad > 0 && is_panel_shortage(house, worst.month) {
        said += &format!("; a larger battery alone mends little: in {month} the sun gives less than a day takes");
    }
    match house.cx.rig().power.as_ref().and_then(|wishes| wishes.then) {
        Some(Then::Drive) if bad > 0 => said += "; you then drive",
        Some(Then::PlugIn) if bad > 0 => said += "; you then plug in",
        _ => {}
    }
    said
}

/// Whether the month has less sun than it takes, however large the battery.
fn is_panel_shortage(house: &House<'_>, month: usize) -> bool {
    house.year.months.get(month).is_some_and(|month| takes(month).value() > gets(month).value())
}

fn working(worst: &Worst<'_>) -> Vec<String> {
    let days: Vec<String> =
        worst.run().nominal().short_days.iter().filter_map(|year| year.get(worst.month)).map(ToString::to_string).collect();
    let (bad, years) = (figure(worst.bad() as f64, 0), figure(worst.years() as f64, 0));
    vec![
        format!("days short of each {} drawn: {}", month_name(worst.month), days.join(" ")),
        format!("{bad} / {years} = {}", number(bad.get() / years.get(), 3)),
    ]
}

fn ways_out(house: &House<'_>, worst: &Worst<'_>, may: f64) -> Vec<Proposal> {
    let borne = worst.borne;
    let is_enough = |house: &House<'_>| Worst::of(house, borne).is_some_and(|worst| is_borne(&worst, may));
    let run = worst.run();
    // What a guess has to stand: one standard deviation of sun, load and battery.
    let (dim, more, less) = (1.0 - run.lumped.sun.sd(), 1.0 + run.lumped.load.sd(), 1.0 - run.lumped.capacity.sd());
    let months = house.cx.facts().power().months();
    let fine = |answer: &Answer| {
        let bad = |month| answer.bad_of_ten(month, borne) / TEN;
        let share = months.iter().map(bad).fold(0.0, f64::max);
        share <= 0.0 || share + luck(share, worst.years(), Side::Above).interval95().1 <= GOAL * may
    };
    let first = |size: fn(f64) -> f64, of: &dyn Fn(f64) -> Try| {
        let tries = std::array::from_fn(|lane| of(size(lane as f64 + 1.0)));
        ways_out::first_enough(run, tries, fine)
    };
    let panels = first(|step| 1.0 + step / 4.0, &|size| Try { sun: size * dim, load: more, capacity: less });
    // Storing summer for winter is no way out.
    let stores = !is_panel_shortage(house, worst.month);
    let battery = stores.then(|| first(|step| 1.0 + step, &|size| Try { sun: dim, load: more, capacity: size * less })).flatten();
    let load = first(|step| 1.0 - step / TEN, &|size| Try { sun: dim, load: size * more, capacity: less });
    let alone = [
        panels.and_then(|found| ways_out::more_panels(house, found.sun / dim, is_enough)),
        battery.and_then(|found| ways_out::more_batteries(house, worst.bank.bank, found.capacity / less, is_enough)),
        load.and_then(|found| ways_out::fewer_hours(house, worst.month, found.load / more, is_enough)),
    ];
    let alone: Vec<Proposal> = alone.into_iter().flatten().collect();
    if !alone.is_empty() {
        return alone;
    }
    let both = BOTH.map(|(sun, capacity)| Try { sun: sun * dim, load: more, capacity: capacity * less });
    let found = ways_out::first_enough(run, both, fine);
    let both = found
        .and_then(|found| ways_out::more_of_both(house, worst.bank.bank, (found.sun / dim, found.capacity / less), is_enough));
    both.into_iter().collect()
}

/// Sizes of panels and battery that are tried together, in multiples of what there is, the smallest outlay first. A choice of
/// this project.
const BOTH: [(f64, f64); LANES] =
    [(1.5, 2.0), (2.0, 2.0), (3.0, 2.0), (2.0, 3.0), (3.0, 3.0), (4.0, 3.0), (3.0, 4.0), (4.0, 4.0)];

/// Whether the share is borne with the reserve that every way out aims at.
fn is_borne(worst: &Worst<'_>, may: f64) -> bool {
    let share = worst.estimate(may);
    has_reserve_under(may, &share)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the formula of Wilson 1927 on a pocket calculator, z 1.96: 3 of 10 gives 0.1078 to 0.6032; 0 of 10 gives 0 to
    /// 0.2775, which is z2 / (n + z2).
    #[test]
    fn few_years_say_little() {
        let (low, high) = wilson(0.3, 10.0, Z95);
        assert!((low - 0.1078).abs() < 1e-4 && (high - 0.6032).abs() < 1e-4, "{low} {high}");
        let (low, high) = wilson(0.0, 10.0, Z95);
        assert!(low == 0.0 && (high - 0.2775).abs() < 1e-4, "{high}");
        let (low, high) = wilson(1.0, 50.0, Z95);
        assert!((low - (1.0 - 0.0713)).abs() < 1e-4 && high == 1.0, "{low}");
    }
}
