//! Power: what panels, batteries, inverters and loads say of themselves.

use quantity::{Dim, Stated};

use super::usual::ranges;
use super::{Checker, mounts};
use crate::model::{Battery, Bus, Drift, Load, LoadKind, Many, Mounted, Panel, Site};
use crate::reader::Write;

/// What a table says in two ways, or against itself.
pub(super) fn contradictions(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    if let Some(site) = &rig.site {
        self::site(checker, site);
    }
    for (index, panel) in rig.panel.iter().enumerate() {
        self::panel(checker, &format!("panel[{}]", index + 1), panel);
    }
    for (index, battery) in rig.battery.iter().enumerate() {
        self::battery(checker, &format!("battery[{}]", index + 1), battery);
    }
    for (index, controller) in rig.controller.iter().enumerate() {
        let table = format!("controller[{}]", index + 1);
        twice(checker, &format!("{table}.charges"), &controller.charges, String::as_str);
        let pair = (&controller.absorption, &controller.float);
        not_below(checker, (&table, "absorption"), pair, "the float voltage is above the absorption voltage");
    }
    for (index, inverter) in rig.inverter.iter().enumerate() {
        let table = format!("inverter[{}]", index + 1);
        let pair = (&inverter.surge, &inverter.continuous);
        not_below(checker, (&table, "surge"), pair, "for a moment it gives less than for long");
        let pair = (&inverter.alarm, &inverter.cut_off);
        not_below(checker, (&table, "alarm"), pair, "it switches off before it beeps");
    }
    for (index, unit) in rig.portable.iter().enumerate() {
        let table = format!("portable[{}]", index + 1);
        not_below(checker, (&table, "surge"), (&unit.surge, &unit.continuous), "for a moment it gives less than for long");
        let pair = (&unit.solar_max, &unit.solar_min);
        not_below(checker, (&table, "solar_max"), pair, "the highest voltage is below the lowest");
    }
    for (index, converter) in rig.converter.iter().enumerate() {
        let table = format!("converter[{}]", index + 1);
        not_below(checker, (&table, "peak"), (&converter.peak, &converter.current), "for a moment it gives less than for long");
    }
    for (index, load) in rig.load.iter().enumerate() {
        self::load(checker, &format!("load[{}]", index + 1), load);
    }
    for (index, locker) in rig.locker.iter().enumerate() {
        twice(checker, &format!("locker[{}].holds", index + 1), &locker.holds, String::as_str);
    }
}

/// The same entry twice in a list.
fn twice<T: PartialEq>(checker: &mut Checker<'_>, path: &str, list: &Many<T>, word: impl Fn(&T) -> &str) {
    for (at, one) in list.iter().enumerate() {
        if !word(one).is_empty() && list.iter().take(at).any(|other| other == one) {
            mounts::say_twice(checker, list.path_of(path, at), word(one));
        }
    }
}

/// Notes the first value where it is below the second, which it cannot be.
fn not_below<D: Dim>(
    checker: &mut Checker<'_>,
    (table, key): (&str, &str),
    (value, least): (&Option<Stated<D>>, &Option<Stated<D>>),
    sentence: &str,
) {
    let told = |stated: &Option<Stated<D>>| stated.as_ref().and_then(Stated::value).filter(|value| value.is_finite());
    if let (Some(value), Some(least)) = (told(value), told(least))
        && value < least
    {
        let shown = |si| quantity::show(si, D::DIMENSION, quantity::System::Metric, None);
        let expected = format!("at least {}, or a smaller value beside it", shown(least));
        checker.say(format!("{table}.{key}"), sentence, Some(expected), None);
    }
}

fn site(checker: &mut Checker<'_>, site: &Site) {
    twice(checker, "site.months", &site.months, |month| month.word());
    for (key, list) in [("sun", &site.sun), ("sunshine", &site.sunshine)] {
        for (at, number) in list.iter().flatten().enumerate() {
            self::number(checker, format!("site.{key}[{}]", at + 1), &format!("site.{key}"), *number);
        }
    }
    let (high, low) = (site.high.iter().flatten(), site.low.iter().flatten());
    let pairs = high.zip(low).enumerate().filter_map(|(at, (high, low))| Some((at, high.value()?, low.value()?)));
    for (at, high, low) in pairs {
        if high < low {
            let path = format!("site.high[{}]", at + 1);
            let sentence = "the warmest of this month's usual day is below its coldest";
            checker.say(path, sentence, Some("high at least as warm as low".into()), None);
        }
    }
    let pair = (&site.hottest, &site.coldest);
    not_below(checker, ("site", "hottest"), pair, "the highest temperature on record is below the lowest");
    if let Some(extra) = site.skyline.len().checked_sub(ranges().skyline + 1) {
        let path = format!("site.skyline[{}]", site.skyline.len() - extra);
        let sentence = format!("a horizon is told in at most {} directions", ranges().skyline);
        checker.say(path, sentence, Some("the directions that decide".into()), None);
    }
    for (at, point) in site.skyline.iter().enumerate() {
        let bearing = |point: &crate::model::Skyline| point.bearing.as_ref().and_then(Stated::value);
        let before = site.skyline.get(..at).unwrap_or(&[]);
        if bearing(point).is_some() && before.iter().any(|other| bearing(other) == bearing(point)) {
            let path = format!("site.skyline[{}].bearing", at + 1);
            checker.say(path, "this direction is told already", Some("each bearing once".into()), None);
        }
    }
}

fn panel(checker: &mut Checker<'_>, table: &str, panel: &Panel) {
    let pair = (&panel.voc, &panel.vmp);
    not_below(checker, (table, "voc"), pair, "the open-circuit voltage is below the voltage at highest power");
    let pair = (&panel.isc, &panel.imp);
    not_below(checker, (table, "isc"), pair, "the short-circuit current is below the current at highest power");
    product(checker, &format!("{table}.rated"), &panel.rated, (&panel.vmp, &panel.imp), "vmp times imp");
    let drift = panel.voc_change.as_ref().and_then(Drift::value);
    let power = panel.power_change.as_ref().and_then(Stated::value);
    for (key, value, noun) in [("voc_change", drift, "voltage"), ("power_change", power, "power")] {
        if value.is_some_and(|value| value > 0.0) {
            let path = format!("{table}.{key}");
            let write = checker.text(&path).map(|text| Write::Text(format!("-{}", text.trim_start_matches('+'))));
            let sentence = format!("a panel's {noun} falls as it warms, so this is below zero");
            checker.say(path, sentence, Some("a change below zero, such as \"-0.3 %/K\"".into()), write);
        }
    }
    if panel.mounted == Some(Mounted::Bonded)
        && checker.text(&format!("{table}.mounted")) == Some(Mounted::Bonded.word())
        && panel.gap.as_ref().and_then(Stated::value).is_some_and(|gap| gap > 0.0)
    {
        let sentence = "a panel that is glued down has no air gap";
        checker.say(format!("{table}.gap"), sentence, Some("mounted = \"gap\", or no gap".into()), None);
    }
    if let (Some(count), Some(series)) = (panel.count, panel.in_series)
        && series > 0
        && count % series != 0
    {
        // A string may go on in another entry of the same controller.
        let same = |other: &&Panel| other.controller == panel.controller && other.in_series == panel.in_series;
        let all = checker.rig.panel.iter().filter(same).fold(0_u64, |sum, other| sum + u64::from(other.count.unwrap_or(1)));
        let shared = panel.controller.is_some() && all > u64::from(count);
        if !shared || all % u64::from(series) != 0 {
            let all = if shared { format!("; all of that controller are {all}") } else { String::new() };
            let sentence = format!("{count} panels make no whole strings of {series}{all}");
            checker.say(format!("{table}.in_series"), sentence, Some("a number that divides count".into()), None);
        }
    }
}

fn battery(checker: &mut Checker<'_>, table: &str, battery: &Battery) {
    product(
        checker,
        &format!("{table}.energy"),
        &battery.energy,
        (&battery.voltage, &battery.capacity),
        "voltage times capacity",
    );
    let series = battery.in_series.unwrap_or(1).max(1);
    let wired = series.saturating_mul(battery.in_parallel.unwrap_or(1).max(1));
    if let Some(count) = battery.count
        && (battery.in_series.is_some() || battery.in_parallel.is_some())
        && count > 0
        && count != wired
    {
        let sentence = format!("{wired} batteries are wired together, and count says {count}");
        checker.say(format!("{table}.count"), sentence, Some("in_series times in_parallel, or no count".into()), None);
    }
}

/// Notes a value that is not the product of two others, by more than a label rounds.
fn product<C: Dim, A: Dim, B: Dim>(
    checker: &mut Checker<'_>,
    path: &str,
    whole: &Option<Stated<C>>,
    (a, b): (&Option<Stated<A>>, &Option<Stated<B>>),
    words: &str,
) {
    fn told<D: Dim>(stated: &Option<Stated<D>>) -> Option<f64> {
        stated.as_ref().and_then(Stated::value).filter(|value| value.is_finite() && *value > 0.0)
    }
    let (Some(value), Some(a), Some(b)) = (told(whole), told(a), told(b)) else { return };
    let (low, high) = whole.as_ref().and_then(Stated::bounds).unwrap_or((value, value));
    let slack = ranges().label_product * a * b + whole.as_ref().and_then(Stated::tolerance).unwrap_or(0.0);
    if low > a * b + slack || high < a * b - slack {
        let shown = quantity::show(a * b, C::DIMENSION, quantity::System::Metric, None);
        checker.say(path.to_owned(), format!("{words} is {shown}"), Some("three values that agree, or two of them".into()), None);
    }
}

fn load(checker: &mut Checker<'_>, table: &str, load: &Load) {
    twice(checker, &format!("{table}.months"), &load.months, |month| month.word());
    twice(checker, &format!("{table}.when"), &load.when, |when| when.word());
    if load.power.is_some() && load.current.is_some() {
        let sentence = "what it takes is told twice, as power and as current";
        checker.say(format!("{table}.current"), sentence, Some("power, or current".into()), None);
    }
    let told = |key: &str, told: bool| (key.to_owned(), told);
    let cools = [LoadKind::Cooling];
    let keeps = [LoadKind::Fridge, LoadKind::Freezer];
    for ((key, is_told), kinds) in [
        (told("ua", load.ua.is_some()), &keeps[..]),
        (told("cooling_capacity", load.cooling_capacity.is_some()), &cools[..]),
        (told("cop", load.cop.is_some()), &cools[..]),
    ] {
        let said = |kind: &LoadKind| checker.text(&format!("{table}.kind")) == Some(kind.word());
        if let Some(kind) = load.kind.filter(|kind| is_told && !kinds.contains(kind) && said(kind)) {
            let words: Vec<String> = kinds.iter().map(|kind| format!("kind = \"{}\"", kind.word())).collect();
            let sentence = format!("this is not said of a load of kind \"{}\"", kind.word());
            checker.say(format!("{table}.{key}"), sentence, Some(words.join(" or ")), None);
        }
    }
    if load.from.is_some() != load.to.is_some() {
        let sentence = "the hours of use have two ends, and this one tells of one";
        let key = if load.from.is_some() { "from" } else { "to" };
        checker.say(format!("{table}.{key}"), sentence, Some("from and to".into()), None);
    }
    if load.tap == Some(true) {
        let said = |bus: &Bus| checker.text(&format!("{table}.on")) == Some(bus.word());
        if load.on.filter(said).is_some_and(|bus| bus != Bus::V12) {
            let sentence = "what is taken from one of two batteries in series runs on 12 V";
            checker.say(format!("{table}.on"), sentence, Some("on = \"12 V\", or no tap".into()), None);
        } else if load.through.is_some() {
            let sentence = "what runs through something is not taken from one battery of the pair";
            checker.say(format!("{table}.tap"), sentence, Some("tap or through".into()), None);
        }
    }
}

/// Notes a plain number that is not one that can stand there. `field` is its path without names.
fn number(checker: &mut Checker<'_>, path: String, field: &str, number: f64) {
    let (least, most) = ranges().number(field);
    if number.is_finite() && !(least..=most).contains(&number) {
        let expected = format!("a number from {least} to {most}");
        checker.say(path, "this number is not one that can stand here", Some(expected), None);
    }
}

/// Every plain number of the power tables.
pub(super) fn numbers(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let mut all: Vec<(String, &str, Option<f64>)> = Vec::new();
    if let Some(power) = &rig.power {
        let fields = [
            ("power.dark_days", power.dark_days),
            ("power.short_days", power.short_days),
            ("power.short_months", power.short_months),
        ];
        all.extend(fields.map(|(field, number)| (field.to_owned(), field, number)));
    }
    for (index, panel) in rig.panel.iter().enumerate() {
        let table = format!("panel[{}]", index + 1);
        all.push((format!("{table}.age"), "panel.age", panel.age));
        all.push((format!("{table}.heat_level"), "panel.heat_level", panel.heat_level.map(f64::from)));
    }
    for (index, battery) in rig.battery.iter().enumerate() {
        all.push((format!("battery[{}].peukert", index + 1), "battery.peukert", battery.peukert));
    }
    for (index, charger) in rig.charger.iter().enumerate() {
        all.push((format!("charger[{}].power_factor", index + 1), "charger.power_factor", charger.power_factor));
    }
    for (index, load) in rig.load.iter().enumerate() {
        all.push((format!("load[{}].power_factor", index + 1), "load.power_factor", load.power_factor));
        all.push((format!("load[{}].cop", index + 1), "load.cop", load.cop));
    }
    if let Some(heat) = rig.body.as_ref().and_then(|body| body.heat.as_ref()) {
        all.push(("body.heat.air_changes".to_owned(), "body.heat.air_changes", heat.air_changes));
        all.push(("body.heat.people".to_owned(), "body.heat.people", heat.people.map(f64::from)));
    }
    for (path, field, number) in all {
        if let Some(number) = number {
            self::number(checker, path, field, number);
        }
    }
}

/// Paths of the counts of the power tables that say there is none: there is one at least.
pub(super) fn no_counts(checker: &Checker<'_>) -> Vec<String> {
    let rig = checker.rig;
    let mut none: Vec<String> = Vec::new();
    macro_rules! of {
        ($($key:literal $list:ident: $($field:ident),*;)*) => {
            $(for (index, entry) in rig.$list.iter().enumerate() {
                $(if entry.$field == Some(0) {
                    none.push(format!(concat!($key, "[{}].", stringify!($field)), index + 1));
                })*
            })*
        };
    }
    of! {
        "panel" panel: count, cells, groups, in_series;
        "battery" battery: count, in_series, in_parallel, order;
        "controller" controller: count;
        "charger" charger: count;
        "inverter" inverter: count;
        "converter" converter: count;
        "portable" portable: count;
        "load" load: count;
        "generator" generator: count;
    }
    none
}
