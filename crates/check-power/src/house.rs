//! The house as checks of energy ask of it: set by set of what is on board, month by month.

use check::{Card, Context, Draft, Finding};
use quantity::{Estimate, InputId};
use rig_facts::power::{Bank, BankYear, Drawn, Month, Set, Year};
use rig_model::Edit;

/// Inputs that a year of the house rests on, and those named, as a list for a card.
macro_rules! on_year {
    [$($more:literal),* $(,)?] => {
        check::List::Static(&[
            $($more,)*
            "site.latitude",
            "site.longitude",
            "site.altitude",
            "site.weather",
            "site.sun",
            "site.sunshine",
            "site.high",
            "site.low",
            "site.setting",
            "site.months",
            "site.horizon",
            "site.skyline",
            "site.ground",
            "site.heading",
            "site.driving",
            "mass.count",
            "panel.name",
            "panel.of",
            "panel.count",
            "panel.rated",
            "panel.isc",
            "panel.imp",
            "panel.power_change",
            "panel.kind",
            "panel.mounted",
            "panel.gap",
            "panel.tilt",
            "panel.faces",
            "panel.in_series",
            "panel.controller",
            "panel.glass",
            "panel.age",
            "battery.name",
            "battery.of",
            "battery.count",
            "battery.chemistry",
            "battery.voltage",
            "battery.capacity",
            "battery.energy",
            "battery.in_series",
            "battery.in_parallel",
            "battery.floor",
            "battery.left",
            "battery.max_charge",
            "battery.max_discharge",
            "battery.heated",
            "battery.stands",
            "battery.order",
            "battery.serves",
            "battery.own_draw",
            "controller.name",
            "controller.kind",
            "controller.max_current",
            "controller.charges",
            "controller.efficiency",
            "controller.own_draw",
            "charger.name",
            "charger.from",
            "charger.charges",
            "charger.current",
            "charger.voltage",
            "inverter.name",
            "inverter.idle",
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
            "portable.of",
            "portable.count",
            "portable.energy",
            "portable.voltage",
            "portable.continuous",
            "portable.idle",
            "portable.solar_power",
            "load.name",
            "load.of",
            "load.count",
            "load.kind",
            "load.power",
            "load.current",
            "load.on",
            "load.hours",
            "load.duty",
            "load.daily",
            "load.months",
            "load.when",
            "load.from",
            "load.to",
            "load.medical",
            "load.safety",
            "load.battery",
            "load.through",
            "load.inside",
            "load.wanted",
            "power.cooling_hours",
            "state.name",
            "state.kind",
            "state.absent",
        ])
    };
}
pub(crate) use on_year;

/// Doubt that no input of the rig carries, such as that of two sources that differ. Not for two doubts of one number.
pub const NO_INPUT: InputId = InputId(u32::MAX);

/// What is on board in one or more camp states, and its years.
#[derive(Clone, Copy, Debug)]
pub struct House<'c> {
    /// Whose.
    pub cx: &'c Context,
    /// Number of the set.
    pub index: usize,
    /// What is on board.
    pub set: &'c Set,
    /// Its years.
    pub year: &'c Year,
}

/// What every store of power wants to be said.
pub const BATTERIES_BURN: &str =
    "batteries give thousands of amperes and start fires: fuse at the post, no ring or tool across it";
/// What mains and panels want to be said.
pub const MAINS_KILL: &str = "panels are live whenever there is light; mains voltage from inverters kills: local code and a licensed electrician come first";

/// Cautions of all that batteries and panels are part of.
pub const CAUTIONS: &[&str] = &[BATTERIES_BURN, MAINS_KILL];

/// Asks of every set. Where camp states differ in what is on board, the case is the state's name.
pub fn every_set<'c>(
    cx: &'c Context,
    card: &Card,
    path: &str,
    answer: impl Fn(&House<'c>, Draft<'c>) -> Finding,
) -> Vec<Finding> {
    let power = cx.facts().power();
    let sets = power.sets();
    let ask = |(index, set): (usize, &'c Set)| {
        let draft = begin(cx, card, path, index);
        match power.year(index) {
            Ok(year) => answer(&House { cx, index, set, year }, draft),
            Err(gap) => draft.blocked(&gap),
        }
    };
    sets.iter().enumerate().map(ask).collect()
}

/// Asks of every bank of every set. Where camp states differ in what is on board, the case is the state's name.
pub fn every_bank<'c>(
    cx: &'c Context,
    card: &Card,
    answer: impl Fn(&House<'c>, (&'c Bank, &'c BankYear), Draft<'c>) -> Finding,
) -> Vec<Finding> {
    let power = cx.facts().power();
    let ask = |(index, set): (usize, &'c Set)| -> Vec<Finding> {
        let year = match power.year(index) {
            Ok(year) => year,
            Err(gap) => return vec![begin(cx, card, "battery", index).blocked(&gap)],
        };
        let house = House { cx, index, set, year };
        let of = |one: &'c BankYear| {
            let bank = power.banks().get(one.bank)?;
            Some(answer(&house, (bank, one), begin_about(cx, card, (&bank.name, &bank.path), index)))
        };
        year.banks.iter().filter_map(of).collect()
    };
    power.sets().iter().enumerate().flat_map(ask).collect()
}

/// Begins the answer about a set: of worse consequence where somebody's health hangs on what it feeds.
pub fn begin<'c>(cx: &'c Context, card: &Card, path: &str, index: usize) -> Draft<'c> {
    begin_about(cx, card, ("the house", path), index)
}

/// Begins the answer about a thing of a set, by its name and path.
pub fn begin_about<'c>(cx: &'c Context, card: &Card, (name, path): (&str, &str), index: usize) -> Draft<'c> {
    let sets = cx.facts().power().sets();
    let state = sets.get(index).and_then(|set| set.states.first());
    let draft = card.about(cx, name).at(path);
    match state.filter(|_| sets.len() > 1) {
        Some(state) => draft.case(state),
        None => draft,
    }
}

impl<'c> House<'c> {
    /// Its loads, and what its converters take for themselves.
    pub fn loads(&self) -> impl Iterator<Item = &'c Drawn> + use<'c> {
        let loads = self.cx.facts().power().loads();
        self.set.loads.iter().filter_map(|at| loads.get(*at))
    }

    /// Whether somebody's health hangs on a load of it.
    #[must_use]
    pub fn is_medical(&self) -> bool {
        self.loads().any(|load| load.medical)
    }

    /// The draft with the consequence of a house that somebody's health hangs on.
    pub fn weigh<'d>(&self, draft: Draft<'d>) -> Draft<'d> {
        if self.is_medical() { draft.consequence(check::Consequence::Injury) } else { draft }
    }

    /// Its months of use, from 0, with what they bring and take.
    pub fn months(&self) -> impl Iterator<Item = (usize, &'c Month)> + use<'c> {
        let used = self.cx.facts().power().months();
        self.year.months.iter().enumerate().filter(move |(month, _)| used.has(*month))
    }

    /// The month of use in which most is taken of what comes in.
    #[must_use]
    pub fn hardest_month(&self) -> Option<(usize, &'c Month)> {
        self.months().reduce(|worst, other| if used(other.1) > used(worst.1) { other } else { worst })
    }

    /// Its banks with their years.
    #[must_use]
    pub fn banks(&self) -> &'c [BankYear] {
        &self.year.banks
    }

    /// Whether the same question about the same set is answered with those edits.
    #[must_use]
    pub fn with(&self, edits: &[Edit], is_enough: impl Fn(&House<'_>) -> bool) -> bool {
        let Ok(cx) = self.cx.tried_with(edits) else { return false };
        let power = cx.facts().power();
        let (Some(set), Ok(year)) = (power.sets().get(self.index), power.year(self.index)) else { return false };
        is_enough(&House { cx: &cx, index: self.index, set, year })
    }
}

/// What a day of the month takes of sun and driving, Wh: the loads, and what batteries lose of what they feed of them.
#[must_use]
pub fn takes(month: &Month) -> Estimate {
    let load = month.load.value();
    if load > 0.0 { month.load.scale(1.0 + month.lost / load) } else { month.load.clone() }
}

/// What sun and driving bring on a day of the month, Wh.
#[must_use]
pub fn gets(month: &Month) -> Estimate {
    month.sun.offset(month.driven)
}

/// How long a store lasts against what is drawn of it, `most` at most; exact to the sign of what is left after the time wished,
/// however little is drawn.
#[must_use]
pub fn lasts(usable: &Estimate, drawn: &Estimate, wished: f64, most: f64) -> Estimate {
    let usual = drawn.value().max(usable.value() / most);
    if usual <= 0.0 {
        return Estimate::exact(most);
    }
    let left = usable - &drawn.scale(wished);
    let time = left.scale(1.0 / usual).offset(wished);
    let beyond = (time.value() - most).max(0.0);
    time.offset(-beyond)
}

/// The finding with the range of its demand kept to what can be.
#[must_use]
pub fn within(mut finding: Finding, low: f64, high: f64) -> Finding {
    if let Some(demand) = &mut finding.demand {
        demand.low.0 = demand.low.0.max(low);
        demand.high.0 = demand.high.0.min(high);
    }
    finding
}

/// How many times as much it takes to last the time wished with the reserve that every way out aims at.
#[must_use]
pub fn times_to_last(time: &Estimate, wished: f64) -> f64 {
    let (low, usual) = (time.interval95().0, time.value());
    (1.0 + (wished - low) / usual).max(wished / (check::draft::GOAL * usual))
}

fn used(month: &Month) -> f64 {
    let (takes, gets) = (takes(month).value(), gets(month).value());
    if gets > 0.0 {
        takes / gets
    } else if takes > 0.0 {
        f64::INFINITY
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The trade's worked year: 1775 Wh a day in December against 46.8 kWh of sun in its 31 days, 1510 Wh a day: 1.1757 of it.
    /// A third of the load from a battery that gives back 75 % takes a ninth of it more.
    #[test]
    fn a_month_takes_its_loads_and_what_batteries_lose() {
        let (sun, load) = (Estimate::exact(46_800.0 / 31.0), Estimate::exact(1775.0));
        let mut month = Month { sun, load, lost: 0.0, driven: 0.0 };
        assert!((used(&month) - 1.1757).abs() < 1e-4, "{}", used(&month));
        month.lost = 1775.0 / 9.0;
        month.driven = 490.0;
        assert!((takes(&month).value() - 1775.0 * 10.0 / 9.0).abs() < 1e-9);
        assert!((gets(&month).value() - 1999.68).abs() < 0.01);
        // Nothing comes in: infinitely short, and of nothing nothing.
        month.sun = Estimate::exact(0.0);
        month.driven = 0.0;
        assert!(used(&month).is_infinite());
        month.load = Estimate::exact(0.0);
        assert_eq!(used(&month), 0.0);
    }

    /// By hand: 4000 Wh at 500 +- 100 Wh a day are 8 days. For 5 days 1500 Wh are left, 3 days' worth, and the doubt of what
    /// is left is that of 5 days, a fifth of them: a day.
    #[test]
    fn a_store_lasts_what_it_holds_over_what_is_drawn() {
        let drawn = Estimate::input(InputId(0), 500.0, 100.0);
        let usable = Estimate::exact(4000.0);
        let time = lasts(&usable, &drawn, 5.0, 30.0);
        assert!((time.value() - 8.0).abs() < 1e-9 && (time.sd() - 1.0).abs() < 1e-9);
        // Next to nothing is drawn: capped, and as sure as what is left after the time wished.
        let time = lasts(&usable, &drawn.offset(-500.0), 5.0, 30.0);
        assert!((time.value() - 30.0).abs() < 1e-9 && time.interval95().0 > 5.0);
        assert_eq!(lasts(&Estimate::exact(0.0), &Estimate::exact(-1.0), 5.0, 30.0), Estimate::exact(30.0));
        // Twice the store, twice the time; the reserve asks for a twentieth more.
        assert!((times_to_last(&Estimate::exact(4.0), 8.0) - 8.0 / 0.95 / 4.0).abs() < 1e-9);
    }
}
