//! power/autonomy: how many dark days does the battery last?
//!
//! demand      days that the batteries last under the light of the five darkest days in a row (s), in the hardest month of use
//! capacity    the owner's wish, else the limit by season and by whether somebody's health hangs on it, at least
//! states      once for each set of what is on board when camped
//! leaves out  driving and plugging in; the rate at which it is drawn, small over days
//!
//! A wish counts in dark days, not in nights: some light comes through any cloud. How long it lasts without any is told too.

use std::borrow::Cow;

use basis::Basis;
use check::draft::GOAL;
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Proposal, Scope, Words};
use physics::battery::chemistry;
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_facts::power::{Bank, KELVIN, Month, month_name};
use rig_model::model::Stands;

use crate::house::{House, every_set, lasts, on_year, times_to_last, within};
use crate::ways_out;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/autonomy"),
    question: Cow::Borrowed("How many dark days does the battery last?"),
    words: Words::new("lasts", "is to last"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["load.power", "panel.rated", "battery.capacity", "site.latitude"]),
    uses: on_year!["power.dark_days", "battery.temperature"],
    limits: List::Static(&["power/dark-days-fair", "power/dark-days-winter", "power/dark-days-medical"]),
    formula: List::Static(&[
        "usable = what the batteries hold when full, with their age x (1 - floor) x way out x what cold leaves of it",
        "lasts = usable / (loads of a day - sun of a day, mean of the five darkest in a row of all years)",
    ]),
    cautions: List::Static(crate::house::CAUTIONS),
};

/// How many dark days does the battery last?
#[derive(Debug)]
pub struct Autonomy;

impl Check for Autonomy {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_set(cx, &CARD, "battery", answer)
    }
}

/// s of a day.
pub const DAY_S: f64 = 86_400.0;

/// Longer than this, in days, it does not matter how long. A choice of this project.
const MOST: f64 = 30.0;

/// What the batteries give, and how long.
struct Lasting {
    month: usize,
    /// Usable energy, Wh.
    usable: Estimate,
    /// Loads of a day, Wh.
    load: Estimate,
    /// Sun of a dark day, Wh.
    dark: Estimate,
}

impl Lasting {
    fn of(house: &House<'_>) -> Result<Self, Gap> {
        let (month, of) = house.hardest_month().ok_or_else(|| Gap::at("site.months"))?;
        let usable = usable(house, month)?;
        let five = house.year.worst_five_days;
        let dark = if of.sun.value() > 0.0 { of.sun.scale(five / of.sun.value()) } else { Estimate::exact(five) };
        Ok(Self { month, usable, load: of.load.clone(), dark })
    }

    /// Days under that light.
    fn days(&self, wished: f64) -> Estimate {
        lasts(&self.usable, &(&self.load - &self.dark), wished, MOST.max(wished * 2.0))
    }

    fn is_enough(&self, wished: f64) -> bool {
        let days = self.days(wished);
        days.value() * GOAL >= wished && days.interval95().0 >= wished
    }
}

/// What all batteries give until their floor, Wh.
fn usable(house: &House<'_>, month: usize) -> Result<Estimate, Gap> {
    let power = house.cx.facts().power();
    let mut parts = Vec::new();
    for year in house.banks() {
        let bank = power.banks().get(year.bank).ok_or_else(|| Gap::at("battery"))?;
        let capacity = bank.capacity.as_ref().map_err(Clone::clone)?;
        let way_out = year.drawn.store.discharge_efficiency;
        parts.push(((1.0 - bank.floor) * way_out * cold_share(house, bank, month), capacity));
    }
    Ok(Estimate::weighted_sum(&parts))
}

/// Share of its capacity that a bank has in the cold of a month: by the temperature of its box, else the air outside;
/// all of it in the room.
fn cold_share(house: &House<'_>, bank: &Bank, month: usize) -> f64 {
    let power = house.cx.facts().power();
    let told = power.told(&format!("{}.temperature", bank.path)).map(|kelvin| kelvin.value() - KELVIN);
    let entry = house.cx.rig().battery.iter().find(|battery| battery.name == bank.name);
    let inside = bank.portable || entry.is_some_and(|battery| battery.stands == Some(Stands::Inside));
    let air = || power.site().ok().and_then(|site| site.climate.air.as_ref()?.mean_c.get(month).copied());
    let cell = told.ok().or_else(|| if inside { None } else { air() });
    let share = bank.chemistry.zip(cell).and_then(|(word, cell)| chemistry::capacity_share(word.word(), cell));
    share.map_or(1.0, |share| share.min(1.0))
}

fn answer<'c>(house: &House<'c>, draft: Draft<'c>) -> Finding {
    let draft = house.weigh(draft);
    let lasting = match Lasting::of(house) {
        Ok(lasting) => lasting,
        Err(gap) => return draft.blocked(&gap),
    };
    let held = held(house);
    let wished = held.iter().map(|held| held.upper().value()).fold(0.0, f64::max) / DAY_S;
    let days = lasting.days(wished);
    let finding = draft
        .compare(&days.scale(DAY_S), &held)
        .sentence(sentence(&lasting))
        .working(|| working(&lasting))
        .remedies(|_| ways_out(house, &lasting, &days, wished))
        .done();
    within(finding, 0.0, MOST.max(wished * 2.0) * DAY_S)
}

/// The owner's wish, else what is usual: more where somebody's health hangs on it, or winter is among the months of use.
fn held(house: &House<'_>) -> Vec<Held> {
    let cx = house.cx;
    let wish = cx.rig().power.as_ref().and_then(|wishes| wishes.dark_days);
    if let Some(days) = wish {
        let days = Estimate::exact(days * DAY_S);
        return vec![Held::at_least("days wished", days, Dimension::Duration, Basis::owner("[power] dark_days"))];
    }
    cx.limits(if house.is_medical() {
        "power/dark-days-medical"
    } else if is_winter(house) {
        "power/dark-days-winter"
    } else {
        "power/dark-days-fair"
    })
}

/// A month with less than this share of the brightest month's sun is winter. A choice of this project.
const WINTER_SHARE: f64 = 0.5;

fn is_winter(house: &House<'_>) -> bool {
    let Ok(site) = house.cx.facts().power().site() else { return false };
    let brightest = site.climate.ghi.iter().copied().fold(0.0, f64::max);
    let of = |(month, _): (usize, &Month)| site.climate.ghi.get(month).copied().unwrap_or(0.0);
    house.months().map(of).any(|sun| sun < WINTER_SHARE * brightest)
}

fn sentence(lasting: &Lasting) -> String {
    let wh = |estimate: &Estimate| number(estimate.value(), 0);
    let night = number(lasting.usable.value() / lasting.load.value(), 1);
    let enough = if lasting.load.value() <= lasting.dark.value() { ", which is enough" } else { "" };
    format!(
        "in {}: a day takes {} Wh, the five darkest days in a row bring {} each{enough}; without any light it lasts {night} days",
        month_name(lasting.month),
        wh(&lasting.load),
        wh(&lasting.dark),
    )
}

fn working(lasting: &Lasting) -> Vec<String> {
    let (usable, load, dark) =
        (figure(lasting.usable.value(), 1), figure(lasting.load.value(), 1), figure(lasting.dark.value(), 1));
    let wanted = load.get() - dark.get();
    if wanted <= 0.0 {
        return vec![format!("{load} Wh - {dark} Wh = {} Wh", number(wanted, 1))];
    }
    vec![format!("{usable} Wh usable / ({load} Wh - {dark} Wh) = {} d", number(usable.get() / wanted, 2))]
}

fn ways_out(house: &House<'_>, lasting: &Lasting, days: &Estimate, wished: f64) -> Vec<Proposal> {
    let is_enough = |house: &House<'_>| Lasting::of(house).is_ok_and(|lasting| lasting.is_enough(wished));
    let times = times_to_last(days, wished);
    let largest = house.banks().iter().map(|bank| bank.bank).max_by(|a, b| {
        let size = |bank: usize| {
            let bank = house.cx.facts().power().banks().get(bank);
            bank.and_then(|bank| bank.capacity.as_ref().ok()).map_or(0.0, Estimate::value)
        };
        size(*a).total_cmp(&size(*b))
    });
    let wanted = lasting.usable.value() / (times * days.value()) + lasting.dark.value();
    [
        largest.and_then(|bank| ways_out::more_batteries(house, bank, times, is_enough)),
        ways_out::fewer_hours(house, lasting.month, wanted / lasting.load.value(), is_enough),
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The trade's worked year: 5120 Wh with a floor of 10 % and a way out of 97 % are 4469.8 Wh; 1775 Wh a day against 867 Wh
    /// on the darkest five days leaves 908 Wh a day: 4.923 days.
    #[test]
    fn dark_days_by_hand() {
        let exact = Estimate::exact;
        let mut lasting = Lasting { month: 11, usable: exact(5120.0 * 0.9 * 0.97), load: exact(1775.0), dark: exact(867.0) };
        let days = lasting.days(3.0).value();
        assert!((days - 4.9227).abs() < 1e-4, "{days}");
        assert!(lasting.is_enough(4.6) && !lasting.is_enough(4.7), "95 % of 4.92 days are 4.68");
        assert!(sentence(&lasting).ends_with("without any light it lasts 2.5 days"), "{}", sentence(&lasting));
        lasting.dark = exact(1775.0);
        assert_eq!(lasting.days(5.0).value(), MOST);
        assert!(lasting.is_enough(100.0));
    }
}
