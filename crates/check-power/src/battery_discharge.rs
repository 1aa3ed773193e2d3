//! power/battery-discharge: does a battery bear what is drawn from it at once, and does its voltage hold up?
//!
//! demand      case "current": amperes of all that is on at once, at the voltage at which the inverter gives up; case "sag":
//!             volts left at the inverter at the lowest charge that counts
//! capacity    "current": the label's current for long, else what is usual for its chemistry; "sag": the inverter's cut-off
//! states      once: at the hour, month and use in which most is on
//! leaves out  starts (`power/inverter-surge`); cables but for a usual share of the voltage; frost, which takes of both

use std::borrow::Cow;

use check::draft::{GOAL, has_reserve};
use check::remedy::{Effort, Proposal};
use check::working::{figure, listed, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Verdict, Words, edits};
use physics::battery::chemistry::{self, Quantity};
use physics::battery::sag;
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::path;

use crate::banks::{self, Draws, Unit};
use crate::unsaid::{End, judge, supply, usual_basis};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/battery-discharge"),
    question: Cow::Borrowed("Does a battery bear what is drawn from it at once?"),
    words: Words::new("gives", "may give"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["battery.chemistry", "battery.capacity", "battery.voltage", "battery.max_discharge", "load.power"]),
    uses: List::Static(&[
        "battery.energy",
        "battery.in_series",
        "battery.in_parallel",
        "battery.count",
        "battery.resistance",
        "battery.floor",
        "battery.cut_off",
        "battery.serves",
        "inverter.battery",
        "inverter.cut_off",
        "inverter.alarm",
        "inverter.efficiency",
        "inverter.idle",
        "inverter.voltage",
        "converter.battery",
        "converter.efficiency",
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
        "load.battery",
        "load.medical",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "amperes = W at the battery / volts at which the inverter gives up",
        "volts left = V / 2 + root(V x V / 4 - W x ohm), V at rest at the lowest charge that counts",
    ]),
    cautions: List::Static(&[
        "a battery gives thousands of amperes into a spanner: insulated tools, no rings, the fuse at its post drawn first",
        "a lithium battery's own switch opens without warning, and everything is dark at once",
    ]),
};

/// Does a battery bear what is drawn from it?
#[derive(Debug)]
pub struct BatteryDischarge;

impl Check for BatteryDischarge {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().battery.is_empty() {
            return vec![CARD.about(cx, "batteries").at("battery").missing("battery")];
        }
        let mut draws = Draws::by_battery(cx);
        banks::all(cx).flat_map(|unit| answers(cx, &unit, draws.remove(&unit.index))).collect()
    }
}

fn begin<'c>(cx: &'c Context, unit: &Unit<'_>, case: &str) -> Draft<'c> {
    CARD.about(cx, unit.entry.name.clone()).at(unit.path()).case(case)
}

/// What is drawn at once.
struct Most<'c> {
    draws: Draws<'c>,
    set: Vec<usize>,
    watts: Estimate,
    lines: Vec<String>,
}

impl Most<'_> {
    fn names(&self) -> String {
        let chosen = self.set.iter().filter_map(|index| self.draws.loads.get(*index));
        listed(&chosen.map(|draw| draw.load.name.as_str()).collect::<Vec<_>>())
    }

    fn medical(&self) -> bool {
        self.set.iter().filter_map(|index| self.draws.loads.get(*index)).any(|draw| draw.load.medical == Some(true))
    }

    fn consequence<'c>(&self, draft: Draft<'c>, usual: Consequence) -> Draft<'c> {
        draft.consequence(if self.medical() { Consequence::Injury } else { usual })
    }
}

fn answers<'c>(cx: &'c Context, unit: &Unit<'_>, draws: Option<Result<Draws<'c>, Gap>>) -> Vec<Finding> {
    let draws = match draws {
        Some(Ok(draws)) => draws,
        Some(Err(gap)) => return vec![begin(cx, unit, "current").blocked(&gap)],
        None if cx.rig().load.is_empty() => return vec![begin(cx, unit, "current").missing("load")],
        None => return vec![begin(cx, unit, "current").not_applicable("nothing that is told draws on it")],
    };
    let (set, watts, lines) = draws.most(cx);
    let most = Most { draws, set, watts, lines };
    let mut findings = vec![current(cx, unit, &most)];
    if most.draws.loads.iter().any(|draw| draw.inverter.is_some()) {
        findings.push(sags(cx, unit, &most));
    }
    findings
}

/// Highest told value of a key of the inverters on a battery.
fn of_inverters(cx: &Context, most: &Most<'_>, key: &str) -> Option<f64> {
    let at = cx.rig().inverter.iter().enumerate();
    let mine = at.filter(|(at, _)| most.draws.loads.iter().any(|draw| draw.inverter == Some(*at)));
    let told = mine.filter_map(|(at, one)| {
        let path = path::of("inverter", &one.name, at);
        cx.facts().power().told(&format!("{path}.{key}")).ok().map(Estimate::value)
    });
    told.reduce(f64::max)
}

/// Voltage at which what runs on it gives up, and whether that is told.
fn gives_up(cx: &Context, unit: &Unit<'_>, most: &Most<'_>) -> Result<(f64, bool), Gap> {
    if let Some(volts) = of_inverters(cx, most, "cut_off") {
        return Ok((volts, true));
    }
    if let Ok(own) = unit.told(cx, "cut_off") {
        return Ok((own.value() * unit.series(), true));
    }
    match unit.units_of_12v(cx) {
        Some(units) => Ok((units * supply("cut-off of an inverter on a 12 V unit, V"), false)),
        // No table knows its chemistry: its nominal voltage, which is near the end of its charge.
        None => Ok((unit.volts(cx)?.value(), false)),
    }
}

fn current(cx: &Context, unit: &Unit<'_>, most: &Most<'_>) -> Finding {
    let draft = || begin(cx, unit, "current");
    let volts = match gives_up(cx, unit, most) {
        Ok((volts, _)) => volts,
        Err(gap) => return draft().blocked(&gap),
    };
    let amps = most.watts.scale(1.0 / volts);
    let told = unit.told(cx, "max_discharge").is_ok();
    let may = |end| unit.current(cx, "max_discharge", Quantity::Discharge, end);
    let (worst, best) = match (may(End::Worst), may(End::Best)) {
        (Ok(worst), Ok(best)) => (worst, best),
        (Err(gap), _) | (_, Err(gap)) => return draft().blocked(&gap),
    };
    let open = (!told && worst.value() != best.value()).then(|| Gap::at(format!("{}.max_discharge", unit.path())));
    let held = |end| {
        let may = if end == End::Worst { &worst } else { &best };
        if told {
            Held::plate("its label", may.clone(), Dimension::Current)
        } else {
            let basis = banks::basis_of_usual(unit, Quantity::Discharge);
            Held::at_most("usual of its chemistry", may.clone(), Dimension::Current, basis)
        }
    };
    let Some(judged) = judge(open.as_ref(), |end| draft().compare(&amps, &[held(end)])) else {
        let path = open.map_or_else(|| "battery.max_discharge".to_owned(), |gap| gap.path);
        let (now, low, high) = (number(amps.value(), 0), number(worst.value(), 0), number(best.value(), 0));
        return draft()
            .blocked(&Gap::because(path, format!("it gives {now} A at once; usual of its chemistry is {low} to {high} A")));
    };
    let even = if judged.even { ", even at the least that is usual of its chemistry" } else { "" };
    let many = supply("current that wants a higher voltage, A");
    let higher = if amps.value() > many {
        format!("; above {many} A a bank of twice the voltage halves current and cable")
    } else {
        String::new()
    };
    let sentence = format!("{} on at once, at {} V{even}{higher}", most.names(), number(volts, 1));
    most.consequence(judged.draft.sentence(sentence), Consequence::Damage)
        .working(|| {
            let (watt, volt) = (figure(most.watts.value(), 1), figure(volts, 2));
            let last = format!("{watt} W / {volt} V = {} A", number(watt.get() / volt.get(), 2));
            most.lines.iter().cloned().chain([last]).collect::<Vec<_>>()
        })
        .remedies(|goal| {
            // Where the label is silent a way out holds at the least that is usual.
            let row = worst.scale(1.0 / f64::from(unit.rows()));
            let enough = |rows: u32| has_reserve(&row.scale(rows.into()), &goal.demand);
            unit.more_rows_where(enough).into_iter().collect()
        })
        .done()
}

/// A battery as a source of voltage.
struct Behind {
    /// At rest, at the lowest charge that counts.
    open_v: f64,
    /// That charge.
    floor: f64,
    /// Of the bank at an end of what it can be, ohm.
    bank: [Estimate; 2],
    /// Of its cables, ohm.
    cables: f64,
    told: bool,
}

impl Behind {
    fn of(cx: &Context, unit: &Unit<'_>, watts: f64) -> Result<Option<Self>, Gap> {
        let word = unit.entry.chemistry.ok_or_else(|| Gap::at(format!("{}.chemistry", unit.path())))?.word();
        let floor = match unit.told(cx, "floor") {
            Ok(floor) => floor.value(),
            Err(_) => chemistry::usual(word, Quantity::Floor).map_or(0.0, |usual| usual.middle()),
        };
        let volts = unit.volts(cx)?;
        let (Some(one), Some(units)) = (chemistry::rest_voltage(word, floor), unit.units_of_12v(cx)) else { return Ok(None) };
        let told = unit.told(cx, "resistance").ok().map(|ohm| ohm.scale(unit.series() / f64::from(unit.rows())));
        let bank = match (&told, chemistry::usual(word, Quantity::Resistance)) {
            (Some(ohm), _) => [ohm.clone(), ohm.clone()],
            (None, Some(usual)) => {
                let amp_hours = unit.amp_hours(cx)?;
                let of = |ohm: f64| Estimate::exact(ohm * units).scale(sag::bank_resistance(1.0, amp_hours.value(), 1.0));
                [of(usual.high * supply("resistance of a worn or cold battery over a new one")), of(usual.low)]
            }
            (None, None) => return Ok(None),
        };
        let cables = supply("voltage lost in battery cables, share") * volts.value() * volts.value() / watts;
        Ok(Some(Self { open_v: one * units, floor, bank, cables, told: told.is_some() }))
    }

    fn ohm(&self, end: End) -> &Estimate {
        let [worst, best] = &self.bank;
        if end == End::Worst { worst } else { best }
    }

    /// Voltage left; half of that at rest where no more can be carried.
    fn left(&self, watts: &Estimate, ohm: &Estimate) -> Estimate {
        let left = Estimate::propagate(&[watts, ohm], |at| match at {
            [watts, ohm] => Ok::<_, Gap>(sag::load_voltage(self.open_v, ohm + self.cables, *watts).unwrap_or(self.open_v / 2.0)),
            _ => Ok(f64::NAN),
        });
        left.unwrap_or_else(|_| Estimate::exact(f64::NAN))
    }

    fn can_carry(&self, watts: &Estimate, end: End) -> bool {
        sag::load_voltage(self.open_v, self.ohm(end).value() + self.cables, watts.value()).is_some()
    }
}

fn sags(cx: &Context, unit: &Unit<'_>, most: &Most<'_>) -> Finding {
    let draft = || begin(cx, unit, "sag").words("falls to", "must stay at");
    let behind = match Behind::of(cx, unit, most.watts.value()) {
        Ok(Some(behind)) => behind,
        Ok(None) => return draft().not_applicable("no table tells how the voltage of its chemistry falls with its charge"),
        Err(gap) => return draft().blocked(&gap),
    };
    let (cut, told) = match gives_up(cx, unit, most) {
        Ok(found) => found,
        Err(gap) => return draft().blocked(&gap),
    };
    let basis = if told { basis::Basis::data_plate("cut-off") } else { usual_basis("living/supply") };
    let held = Held::at_least("cut-off of the inverter", Estimate::exact(cut), Dimension::Voltage, basis);
    let open = (!behind.told).then(|| Gap::at(format!("{}.resistance", unit.path())));
    let collapsed = !behind.can_carry(&most.watts, End::Best);
    if collapsed {
        let ohm = behind.ohm(End::Best).value() + behind.cables;
        let watts = number(sag::most_power(behind.open_v, ohm), 0);
        let sentence =
            format!("{} together want {} W, and it cannot give more than {watts} W", most.names(), number(most.watts.value(), 0));
        return most.consequence(draft(), Consequence::Comfort).require(Holds::No, sentence).done();
    }
    let ask = |end| draft().compare(&behind.left(&most.watts, behind.ohm(end)), std::slice::from_ref(&held));
    let Some(judged) = judge(open.as_ref(), ask) else {
        let path = open.map_or_else(|| "battery.resistance".to_owned(), |gap| gap.path);
        let left = |end| number(behind.left(&most.watts, behind.ohm(end)).value(), 1);
        let why = format!(
            "it falls to {} V new and warm, to {} V worn or cold, and at {cut} V all is dark",
            left(End::Best),
            left(End::Worst)
        );
        return draft().blocked(&Gap::because(path, why));
    };
    let end = judged.end;
    let left = behind.left(&most.watts, behind.ohm(end));
    let alarm = of_inverters(cx, most, "alarm").filter(|alarm| left.value() < *alarm && judged.draft.verdict() == Verdict::Pass);
    let beeps = alarm.map_or(String::new(), |alarm| format!("; it beeps below {alarm} V"));
    let even = if judged.even { ", even worn or cold" } else { "" };
    let share = number(behind.floor * PERCENT, 0);
    let cables = number(supply("voltage lost in battery cables, share") * PERCENT, 0);
    let sentence = format!("{} on at once at {share} % charge, {cables} % lost in its cables{even}{beeps}", most.names());
    most.consequence(judged.draft.sentence(sentence), Consequence::Comfort)
        .working(|| {
            let (open, watt) = (figure(behind.open_v, 3), figure(most.watts.value(), 1));
            let (bank, cables) = (figure(behind.ohm(end).value(), 6), figure(behind.cables, 6));
            let ohm = figure(bank.get() + cables.get(), 6);
            let left = sag::load_voltage(open.get(), ohm.get(), watt.get()).map_or_else(String::new, |left| number(left, 2));
            let lines = most.lines.iter().cloned();
            lines
                .chain([
                    format!("{bank} ohm + {cables} ohm in its cables = {ohm} ohm"),
                    format!("{open} V / 2 + root({open} x {open} / 4 - {watt} x {ohm}) = {left} V"),
                ])
                .collect::<Vec<_>>()
        })
        .remedies(|_| {
            let holds = |left: &Estimate| left.value() * GOAL >= cut && left.interval95().0 >= cut;
            let more = |rows: u32| {
                let ohm = behind.ohm(End::Worst).scale(f64::from(unit.rows()) / f64::from(rows));
                holds(&behind.left(&most.watts, &ohm))
            };
            unit.more_rows_where(more).into_iter().chain(higher_floor(cx, unit, most, &holds)).collect()
        })
        .done()
}

/// Per cent of one.
const PERCENT: f64 = 100.0;
/// A floor is set in steps of ten per cent, and above this little is left to use. Choices of this project.
const FLOOR_STEP: f64 = 0.1;
const HIGHEST_FLOOR: f64 = 0.6;

/// Stop drawing earlier.
fn higher_floor(cx: &Context, unit: &Unit<'_>, most: &Most<'_>, holds: &dyn Fn(&Estimate) -> bool) -> Option<Proposal> {
    let behind = Behind::of(cx, unit, most.watts.value()).ok()??;
    let (word, units) = (unit.entry.chemistry?.word(), unit.units_of_12v(cx)?);
    let steps = (1..).map(|step| edits::up_to_step(behind.floor, FLOOR_STEP) + f64::from(step) * FLOOR_STEP);
    let floor = steps.take_while(|floor| *floor <= HIGHEST_FLOOR + f64::EPSILON).find(|floor| {
        let open_v = chemistry::rest_voltage(word, *floor).map_or(0.0, |one| one * units);
        let at = Behind { open_v, floor: *floor, bank: behind.bank.clone(), ..behind };
        holds(&at.left(&most.watts, at.ohm(End::Worst)))
    })?;
    let from = unit.told(cx, "floor").ok().map(Estimate::value);
    let text = format!("stop drawing \"{}\" at {} % of its charge", unit.entry.name, number(floor * PERCENT, 0));
    let edit = edits::set(format!("{}.floor", unit.path()), from, floor, Dimension::Ratio);
    Some(Proposal { text, effort: Effort::Minutes, edits: vec![edit] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    fn both(battery: &str, inverter: &str, watts: &str) -> [Finding; 2] {
        let text = format!(
            "[[battery]]\nname = \"b\"\n{battery}\n[[inverter]]\nname = \"i\"\nefficiency = {{ value = \"90 %\", tolerance = \"0 %\" }}\n\
             {inverter}\n[[load]]\nname = \"hob\"\non = \"ac\"\npower = {{ value = \"{watts}\", tolerance = \"0 W\" }}\npower_factor = 1"
        );
        BatteryDischarge.run(&context(&text)).try_into().expect("two answers")
    }

    /// W15 of the power reference: 1500 W at 90 % are 145 A at 11.5 V, 72.5 A at 23 V.
    #[test]
    fn amperes_at_the_cut_off_by_the_reference() {
        for (volts, cut, amps) in [("12.8 V", "11.5 V", 144.93), ("25.6 V", "23 V", 72.46)] {
            let battery =
                format!("chemistry = \"lifepo4\"\nvoltage = \"{volts}\"\ncapacity = \"100 Ah\"\nmax_discharge = \"150 A\"");
            let [current, _] = both(&battery, &format!("cut_off = \"{cut}\""), "1500 W");
            assert!((current.demand.map_or(0.0, |demand| demand.value.0) - amps).abs() < 0.01);
        }
    }

    /// W14 of the power reference, its 12 mohm taken as bank and cables together: 13.1 V at rest, 1667 W: 11.335 V.
    #[test]
    fn sag_by_the_reference() {
        let exact = Estimate::exact;
        let behind = Behind { open_v: 13.1, floor: 0.3, bank: [exact(0.012), exact(0.012)], cables: 0.0, told: true };
        let left = behind.left(&exact(1667.0), behind.ohm(End::Worst)).value();
        assert!((left - 11.335).abs() < 0.001, "{left}");
        let weak = Behind { open_v: 12.2, bank: [exact(0.025), exact(0.025)], ..behind };
        assert!(!weak.can_carry(&exact(1500.0), End::Best) && weak.can_carry(&exact(1488.0), End::Best));
    }

    #[test]
    fn a_battery_that_cannot_carry_it_at_all_says_so() {
        let battery =
            "chemistry = \"agm\"\nvoltage = \"12 V\"\ncapacity = \"20 Ah\"\nmax_discharge = \"500 A\"\nresistance = \"40 mohm\"";
        let [_, sag] = both(battery, "cut_off = \"10.5 V\"", "1500 W");
        assert_eq!(sag.verdict, Verdict::Fail);
        assert!(sag.sentence.is_some_and(|said| said.contains("cannot give more than")));
    }
}
