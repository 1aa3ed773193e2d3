//! Reads and writes a stated value in one line: "about 300 kg", "280 to 340 kg", "300 kg +- 20 kg weighed", "?".

use crate::dimension::Dim;
use crate::fault::{Fault, Reason};
use crate::parse::{Meaning, Sum, is_space, nearest, read};
use crate::stated::{How, Said};
use crate::units::Scale;
use crate::{Dimension, Stated, System, real, show_exact};

/// Marks between a value and its tolerance.
pub(crate) const PLUS_MINUS: [&str; 3] = ["+-", "+/-", "±"];
const ABOUT: &str = "about";
const TO: &str = "to";
const DASHES: [char; 4] = ['-', '\u{2212}', '\u{2013}', '\u{2014}'];

impl<D: Dim> Stated<D> {
    /// Reads the one-line form.
    ///
    /// # Errors
    /// A `Fault`, as `parse` gives it; also for a reversed range, a negative tolerance, or words that disagree.
    pub fn from_text(text: &str) -> Result<Stated<D>, Fault> {
        said_from_text(text, D::DIMENSION).map(Stated::of)
    }

    /// The one-line form, which `from_text` reads back; the source (`from`) is not part of it.
    pub fn to_text(&self) -> String {
        said_to_text(&self.said, D::DIMENSION)
    }
}

pub(crate) fn said_from_text(text: &str, d: Dimension) -> Result<Said, Fault> {
    let whole = text.trim_matches(is_space);
    line(whole, d).map_err(|fault| of_the_whole(fault, whole, d))
}

/// One line; a fault quotes only the part it is about.
fn line(whole: &str, d: Dimension) -> Result<Said, Fault> {
    if whole == "?" {
        return Ok(Said::default());
    }
    let (about, rest) = without_about(whole);
    let (tail_word, rest) = without_how(rest);
    let (said, value_word) = if let Some((value, tolerance)) = split_at_any(rest, &PLUS_MINUS) {
        let (word, value) = without_how(value);
        (with_tolerance(value, tolerance, d)?, word)
    } else if let Some((low, high)) = split_at_word(rest, TO) {
        (range(rest, low, high, d)?, None)
    } else {
        (single(rest, d)?, None)
    };
    let about = about.then_some((ABOUT, How::Estimated));
    let how = one_way([about, tail_word, value_word]).map_err(|reason| Fault::new(reason, whole, d))?;
    Ok(Said { how, ..said })
}

fn single(text: &str, d: Dimension) -> Result<Said, Fault> {
    let sum = read(text, d, Meaning::Value)?;
    Ok(Said { value: Some(sum.si), ..Said::default() })
}

fn with_tolerance(value: &str, tolerance: &str, d: Dimension) -> Result<Said, Fault> {
    let said = single(value, d)?;
    let tolerance = tolerance_from_text(tolerance, d)?.of(said.value.unwrap_or(f64::NAN));
    Ok(Said { tolerance: Some(tolerance), ..said })
}

/// "280 to 340 kg": the first end may borrow the unit of the second, if that has but one.
fn range(whole: &str, low: &str, high: &str, d: Dimension) -> Result<Said, Fault> {
    let above = read(high, d, Meaning::Value)?;
    let below = match (read(low, d, Meaning::Value), above.unit) {
        (Err(fault), Some(unit)) if matches!(fault.reason, Reason::NoUnit(_)) && above.terms == 1 => {
            read(&format!("{low} {}", unit.name), d, Meaning::Value)?
        }
        (other, _) => other?,
    };
    let (below, above) = (below.si, above.si);
    if below > above {
        let fault = Fault::new(Reason::RangeReversed, whole, d);
        let write = format!("{} {TO} {}", show_exact(above, d, System::Metric), show_exact(below, d, System::Metric));
        return Err(fault.writing(Some(write)));
    }
    Ok(Said { value: Some(below / 2.0 + above / 2.0), bounds: Some((below, above)), ..Said::default() })
}

/// A tolerance before the value is known that it belongs to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Tolerance {
    /// A half width in SI.
    Width(f64),
    /// A share of the value.
    Share(f64),
    /// A half width in rise over run of a slope.
    Rise(f64),
}

impl Tolerance {
    pub(crate) fn of(self, value: f64) -> f64 {
        match self {
            Tolerance::Width(width) => width,
            Tolerance::Share(share) => share * value.abs(),
            // d(atan u)/du = 1/(1 + u^2) = cos^2 of the angle
            Tolerance::Rise(rise) => rise * real::cos(value) * real::cos(value),
        }
    }
}

pub(crate) fn tolerance_from_text(text: &str, d: Dimension) -> Result<Tolerance, Fault> {
    let own_percent = matches!(d, Dimension::Ratio | Dimension::Slope | Dimension::Temperature);
    let share = if own_percent { None } else { read(text, Dimension::Ratio, Meaning::Guess).ok() };
    let tolerance = match share {
        Some(Sum { si, .. }) => Tolerance::Share(si),
        None => {
            let sum = read(text, d, Meaning::Difference)?;
            let rise = d == Dimension::Slope && sum.unit.is_none_or(|unit| unit.scale == Scale::Rise);
            if rise { Tolerance::Rise(sum.si) } else { Tolerance::Width(sum.si) }
        }
    };
    let (Tolerance::Width(size) | Tolerance::Share(size) | Tolerance::Rise(size)) = tolerance;
    if size < 0.0 { Err(Fault::new(Reason::Tolerance, text, d)) } else { Ok(tolerance) }
}

/// The fault quotes the whole line. A word that is neither unit nor number is told as an unknown word, and a dash in
/// the place of `to` as that.
fn of_the_whole(fault: Fault, whole: &str, d: Dimension) -> Fault {
    let in_place = |write: &String| whole.replacen(&fault.found, write, 1);
    let written = fault.write.as_ref().map(in_place).filter(|write| line(write, d).is_ok());
    let mut told = Fault::new(fault.reason, whole, d).writing(written);
    if !matches!(told.reason, Reason::UnknownUnit(..) | Reason::NoNumber(_)) {
        return told;
    }
    if let Some(write) = with_to(whole, d) {
        return Fault::new(Reason::Dash, whole, d).writing(Some(write));
    }
    if let Some((head, word)) = whole.rsplit_once(is_space)
        && line(head, d).is_ok()
    {
        let near = nearest(word, How::SAID.iter().map(|how| how.word()));
        told = Fault::new(Reason::UnknownWord(word.to_string(), near), whole, d);
        told.write = near.map(|near| format!("{} {near}", head.trim_end_matches(is_space)));
    }
    told
}

/// "280-340 kg" as "280 to 340 kg", if that reads.
fn with_to(whole: &str, d: Dimension) -> Option<String> {
    let (at, dash) = whole.char_indices().skip(1).find(|(_, c)| DASHES.contains(c))?;
    let (low, high) = (whole.get(..at)?, whole.get(at + dash.len_utf8()..)?);
    let write = format!("{} {TO} {}", low.trim_end_matches(is_space), high.trim_start_matches(is_space));
    line(&write, d).is_ok().then_some(write)
}

fn without_about(text: &str) -> (bool, &str) {
    for word in [ABOUT, "About"] {
        if let Some(rest) = text.strip_prefix(word).filter(|rest| rest.starts_with(is_space)) {
            return (true, rest.trim_start_matches(is_space));
        }
    }
    (false, text)
}

/// The word at the end that says how, and the text before it. "data plate" may be two words.
fn without_how(text: &str) -> (Option<(&'static str, How)>, &str) {
    let text = text.trim_matches(is_space);
    let spoken = How::SAID.iter().map(|how| (how.word(), *how)).chain([("data plate", How::DataPlate)]);
    for (word, how) in spoken {
        if let Some(rest) = text.strip_suffix(word).filter(|rest| rest.ends_with(is_space)) {
            return (Some((how.word(), how)), rest.trim_end_matches(is_space));
        }
    }
    (None, text)
}

/// One way of knowing out of several words, which must agree.
pub(crate) fn one_way<const N: usize>(words: [Option<(&'static str, How)>; N]) -> Result<How, Reason> {
    let mut said: Option<(&'static str, How)> = None;
    for (word, how) in words.into_iter().flatten() {
        match said {
            Some((first, other)) if other != how => return Err(Reason::TwoWays(first, word)),
            _ => said = said.or(Some((word, how))),
        }
    }
    Ok(said.map_or(How::Unsaid, |(_, how)| how))
}

/// Whether there is a byte that one of these words begins with. It spares most values the search.
fn may_hold(text: &str, words: &[&str]) -> bool {
    text.bytes().any(|byte| words.iter().any(|word| word.bytes().next() == Some(byte)))
}

fn split_at_any<'t>(text: &'t str, marks: &[&str]) -> Option<(&'t str, &'t str)> {
    if !may_hold(text, marks) {
        return None;
    }
    marks.iter().find_map(|mark| text.split_once(mark))
}

/// Splits at a word that has blanks on both sides.
fn split_at_word<'t>(text: &'t str, word: &str) -> Option<(&'t str, &'t str)> {
    if !may_hold(text, &[word]) {
        return None;
    }
    text.match_indices(word).find_map(|(at, _)| {
        let (before, after) = (text.get(..at)?, text.get(at + word.len()..)?);
        let apart = before.ends_with(is_space) && after.starts_with(is_space);
        apart.then(|| (before.trim_end_matches(is_space), after.trim_start_matches(is_space)))
    })
}

pub(crate) fn said_to_text(said: &Said, d: Dimension) -> String {
    let Some(value) = said.value.filter(|value| value.is_finite()) else { return "?".to_string() };
    let exact = |si: f64| show_exact(si, d, System::Metric);
    let middle = match (said.bounds, said.tolerance) {
        (Some((low, high)), _) => format!("{} {TO} {}", exact(low), exact(high)),
        (None, Some(tolerance)) => format!("{} +- {}", exact(value), width_to_text(tolerance, d)),
        (None, None) => exact(value),
    };
    if said.how == How::Unsaid { middle } else { format!("{middle} {}", said.how.word()) }
}

/// A half width as text: of a temperature in kelvin, of a slope in rad, since °C and % would be read as values.
pub(crate) fn width_to_text(width: f64, d: Dimension) -> String {
    match d {
        Dimension::Temperature => format!("{width} K"),
        Dimension::Slope => format!("{width} rad"),
        _ => show_exact(width, d, System::Metric),
    }
}

#[cfg(test)]
mod tests;
