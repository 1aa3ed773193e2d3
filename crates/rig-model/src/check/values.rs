//! Numbers that can be, and texts that make sense.

use quantity::{Dim, Dimension, Stated, System};

use super::usual::ranges as usual_ranges;
use super::{Checker, mounts, power};
use crate::model::rig::FORMAT;
use crate::model::{Fill, Tank, Tyre};
use crate::path;
use crate::reader::Write;

/// The file says which format it is in.
pub(super) fn format(checker: &mut Checker<'_>) {
    let format = &checker.rig.format;
    if *format != FORMAT && (!format.is_empty() || checker.is_empty_text("format")) {
        let sentence = "this program does not read that format";
        checker.say("format".into(), sentence, Some(format!("\"{FORMAT}\"")), Some(Write::Text(FORMAT.into())));
    }
}

/// Places along, across and above the truck and what else may have either sign, where no row of the ranges says so.
const SIGNED: [&str; 21] = [
    "x",
    "at",
    "out_at",
    "centre",
    "front",
    "front_end",
    "rear_end",
    "bank",
    "from",
    "to",
    "sling_points",
    "legs",
    "offset",
    "rear",
    "corners",
    "before",
    "lifted",
    "pitch",
    "roll",
    "voc_change",
    "faces",
];
/// What may be nothing at all, where no row of the ranges begins at nothing.
const MAY_BE_ZERO: [&str; 25] = [
    "fill",
    "nose_load",
    "fixed_load",
    "error",
    "lift",
    "plank",
    "side_slope",
    "grade",
    "parking_hold",
    "floor",
    "head_wind",
    "stiffness",
    "gap",
    "gap_left",
    "gap_right",
    "overlap",
    "overhang",
    "arm",
    "heel",
    "preload",
    "bump_travel",
    "over_roof",
    "plan_angle",
    "angle",
    "thinned",
];

/// Every value lies where such a quantity can lie at all, and is above zero unless it may be zero or less; and where that
/// field can lie on a rig.
pub(super) fn ranges(checker: &mut Checker<'_>) {
    let mut wrong: Vec<(String, String, String)> = Vec::new();
    checker.rig.each_value_but(checker.document.keys_read(), &mut |trail, given| {
        let Some(value) = given.value.filter(|value| !value.is_nan()) else { return };
        let (low, high) = given.dimension.physical_range();
        let field = usual_ranges().of(trail);
        // A row that says where its field begins decides alone.
        let begins = field.is_some_and(|field| field.begins());
        let width = || field.and_then(|field| field.width(given.dimension)).unwrap_or(high - low);
        let too_wide = given.tolerance.is_some_and(|tolerance| tolerance > width());
        let fits = field.is_none_or(|field| field.holds(value, given.dimension));
        if (value > 0.0 || begins) && value < high && fits && !too_wide {
            return;
        }
        let has = |names: &[&str]| trail.keys().any(|key| names.contains(&key));
        let noun = given.dimension.with_article();
        let mut wrong_here = |sentence: String, expected: String| wrong.push((trail.path(), sentence, expected));
        let shown = |bound: f64| quantity::show(bound, given.dimension, System::Metric, None);
        let between = || format!("{noun} between {} and {}", shown(low), shown(high));
        let signed = has(&SIGNED) || field.is_some_and(|field| field.begins_below_zero(given.dimension));
        if value < 0.0 && (low >= 0.0 || !signed) {
            wrong_here("this is below zero".into(), format!("{noun} above zero"));
        } else if value == 0.0 && !signed && !has(&MAY_BE_ZERO) {
            wrong_here("this is zero".into(), format!("{noun} above zero, or \"?\" if it is not known"));
        } else if let Some(field) = field {
            let zero_is_fine = value == 0.0 && has(&MAY_BE_ZERO);
            if !zero_is_fine && !field.holds(value, given.dimension) {
                wrong_here(format!("no rig has {noun} like that here"), format!("{noun} {}", field.words()));
            }
        } else if value > high || value < low {
            wrong_here(format!("no rig has {noun} like that"), between());
        }
        if too_wide {
            let whole = field.map_or_else(between, |field| format!("{noun} {}", field.words()));
            let expected = format!("{whole}; and off by less than that span");
            wrong_here("this tolerance is wider than all that can stand here".into(), expected);
        }
    });
    for (path, sentence, expected) in wrong {
        checker.say(path, sentence, Some(expected), None);
    }
}

/// No tank holds more than its volume.
pub(super) fn fills(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    for (index, state) in rig.state.iter().enumerate() {
        for (name, fill) in &state.fill {
            let tank = rig.tank.iter().position(|tank| tank.name == *name);
            over_full(checker, format!("state[{}].fill.{}", index + 1, path::quote_key(name)), fill, tank);
        }
    }
    for (index, tank) in rig.tank.iter().enumerate() {
        if let Some(fill) = &tank.fill {
            over_full(checker, format!("tank[{}].fill", index + 1), fill, Some(index));
        }
    }
}

fn over_full(checker: &mut Checker<'_>, path: String, fill: &Fill, tank: Option<usize>) {
    if let Fill::Share(share) = fill
        && share.value().is_some_and(|share| share > 1.0)
    {
        checker.say(path, "a tank holds no more than 100 %", Some("a share from 0 % to 100 %".into()), None);
        return;
    }
    let Some((index, tank)) = tank.and_then(|index| Some((index, checker.rig.tank.get(index)?))) else { return };
    let Some((_, volume)) = tank.volume.as_ref().and_then(span) else { return };
    let (least, dimension) = match fill {
        Fill::Volume(fill) => (span(fill).map(|(low, _)| low), Dimension::Volume),
        Fill::Mass(fill) => (span(fill).map(|(low, _)| low), Dimension::Mass),
        Fill::Share(_) | Fill::Unknown => return,
    };
    // How heavy what is in it is, the model knows only where the file says so.
    let most = match (dimension, tank.density.as_ref().and_then(span)) {
        (Dimension::Mass, Some((_, density))) => volume * density,
        (Dimension::Mass, None) => return,
        _ => volume,
    };
    let Some(least) = least.filter(|least| *least > most * (1.0 + usual_ranges().full_tank)) else { return };
    let shown = |si: f64, dimension: Dimension| quantity::show(si, dimension, System::Metric, None);
    let line = checker.line(&format!("tank[{}].volume", index + 1));
    let sentence = format!("a tank of {} cannot hold {}", shown(volume, Dimension::Volume), shown(least, dimension));
    let expected = format!("at most {}, or a larger volume in line {line}", shown(most, dimension));
    checker.say(path, sentence, Some(expected), None);
}

/// From where to where a stated value may lie, by what the file itself says of its spread.
fn span<D: Dim>(stated: &Stated<D>) -> Option<(f64, f64)> {
    let value = stated.value().filter(|value| value.is_finite())?;
    let tolerance = stated.tolerance().unwrap_or(0.0);
    Some(stated.bounds().unwrap_or((value - tolerance, value + tolerance)))
}

const NO_SUCH_NUMBER: &str = "this number is not one that can stand here";

/// Bare numbers have their ranges too.
pub(super) fn numbers(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    let between = |checker: &mut Checker<'_>, path: &dyn Fn() -> String, number: u32, low: u32, high: u32| {
        if (low..=high).contains(&number) {
            return;
        }
        let expected = if high == u32::MAX { format!("{low} or more") } else { format!("a whole number from {low} to {high}") };
        checker.say(path(), NO_SUCH_NUMBER, Some(expected), None);
    };
    for (index, axle) in rig.axle.iter().enumerate() {
        let Some(Tyre { load_index, load_index_dual, per_side, .. }) = &axle.tyre else { continue };
        let table = |key: &str| format!("axle[{}].tyre.{key}", index + 1);
        for (key, number) in [("load_index", load_index), ("load_index_dual", load_index_dual)] {
            if let Some(number) = number {
                between(
                    checker,
                    &|| table(key),
                    u32::from(*number),
                    u32::from(*usual_ranges().load_index.start()),
                    u32::from(*usual_ranges().load_index.end()),
                );
            }
        }
        if let Some(number) = per_side {
            between(checker, &|| table("per_side"), u32::from(*number), 1, 2);
        }
    }
    for (index, mass) in rig.mass.iter().enumerate() {
        if let Some(count) = mass.count {
            between(checker, &|| format!("mass[{}].count", index + 1), count, 1, u32::MAX);
        }
    }
    for (index, Tank { cells_across, .. }) in rig.tank.iter().enumerate() {
        if let Some(cells) = cells_across {
            between(checker, &|| format!("tank[{}].cells_across", index + 1), u32::from(*cells), 1, u32::MAX);
        }
    }
    for path in mounts::no_counts(checker).into_iter().chain(power::no_counts(checker)) {
        checker.say(path, NO_SUCH_NUMBER, Some("1 or more".into()), None);
    }
    for (index, awning) in rig.awning.iter().enumerate() {
        if let Some(class) = awning.wind_class {
            let path = || format!("awning[{}].wind_class", index + 1);
            between(checker, &path, u32::from(class), 0, u32::from(usual_ranges().wind_class));
        }
    }
    for (index, axle) in rig.axle.iter().enumerate() {
        let exponent = axle.tyre.as_ref().and_then(|tyre| tyre.load_exponent);
        if exponent.is_some_and(|exponent| exponent <= 0.0 || exponent > 2.0) {
            let path = format!("axle[{}].tyre.load_exponent", index + 1);
            let expected = Some("a number above 0, at most 2".to_owned());
            checker.say(path, NO_SUCH_NUMBER, expected, None);
        }
    }
}

/// Codes moulded on tyres, and reasons that are wanted.
pub(super) fn texts(checker: &mut Checker<'_>) {
    let rig = checker.rig;
    for (index, axle) in rig.axle.iter().enumerate() {
        let Some(tyre) = &axle.tyre else { continue };
        if let Some(code) = tyre.date_code.as_deref()
            && !is_date_code(code)
        {
            let expected = "the last four digits, week and year, such as \"2319\": week 23 of 2019".to_owned();
            checker.say(format!("axle[{}].tyre.date_code", index + 1), "this is no tyre's date code", Some(expected), None);
        }
        if let Some(symbol) = tyre.speed_symbol.as_deref()
            && !is_speed_symbol(symbol)
        {
            let expected = "one capital letter such as \"K\", or A with a digit such as \"A8\"".to_owned();
            let path = format!("axle[{}].tyre.speed_symbol", index + 1);
            let upper = symbol.to_uppercase();
            let write = is_speed_symbol(&upper).then_some(Write::Text(upper));
            checker.say(path, "this is no tyre's speed symbol", Some(expected), write);
        }
    }
    let mut wanted: Vec<String> = vec!["rig".into()];
    for index in 1..=rig.accept.len() {
        wanted.extend([format!("accept[{index}].why"), format!("accept[{index}].check")]);
    }
    for index in 1..=rig.limit.len() {
        wanted.extend(["id", "value", "why"].map(|key| format!("limit[{index}].{key}")));
    }
    for path in wanted {
        if checker.is_empty_text(&path) {
            checker.say(path, "there is nothing here", Some("a few words".into()), None);
        }
    }
}

/// Four digits, the first two a week; or three, from before 2000. A year has at most 53 weeks.
fn is_date_code(code: &str) -> bool {
    let week = code.get(..2).and_then(|week| week.parse::<u8>().ok());
    let digits = code.bytes().all(|byte| byte.is_ascii_digit());
    digits && matches!(code.len(), 3 | 4) && week.is_some_and(|week| (1..=53).contains(&week))
}

fn is_speed_symbol(symbol: &str) -> bool {
    match symbol.as_bytes() {
        [b'A', digit] => (b'1'..=b'8').contains(digit),
        [letter] => letter.is_ascii_uppercase(),
        _ => false,
    }
}
