//! Reads "1200 kg", "13 ft 6 in", "-1.5 m", "3 1/2 in", "2/0 AWG", "35 °C", "1:8".
//!
//! A text is a sum of number and unit, larger unit first, with one sign in front that belongs to the whole sum.

use crate::fault::{Fault, Reason};
use crate::number::{Number, decimal};
use crate::units::{AMBIGUOUS, GAUGE_RANGE, Scale, Unit};
use crate::{Dimension, real};

/// Reads `text` as a value of the dimension `wanted`, in SI.
///
/// # Errors
/// A `Fault` that says what was met, what is wanted and, where that can be told, what to write.
pub fn parse(text: &str, wanted: Dimension) -> Result<f64, Fault> {
    read(text, wanted, Meaning::Value).map(|sum| sum.si)
}

/// The dimension of a text, whatever it is. Where a unit serves two ("12 %", "12 deg", "3 g"), the commoner one:
/// share before slope, angle before slope, mass before acceleration.
pub fn dimension_of(text: &str) -> Option<Dimension> {
    if slope_ratio(text.trim_matches(is_space)).is_some() {
        return Some(Dimension::Slope);
    }
    let mut order = Dimension::ALL.iter().filter(|d| **d != Dimension::Slope);
    order.find(|d| read(text, **d, Meaning::Guess).is_ok()).copied()
}

/// What a text stands for, which decides how units with an offset are taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Meaning {
    /// A value.
    Value,
    /// A value, but faults need not be explained.
    Guess,
    /// The distance between two values, such as a tolerance: 2 °C is 2 K. Slopes come as rise over run, since the
    /// angle of a difference depends on where it lies.
    Difference,
}

/// What was read.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sum {
    pub(crate) si: f64,
    /// The last unit, which a range lends to its first end.
    pub(crate) unit: Option<&'static Unit>,
    /// Number of terms.
    pub(crate) terms: usize,
}

const PERCENT: f64 = 1e-2; // exact, the word

pub(crate) fn is_space(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\u{a0}' | '\u{2000}'..='\u{200a}' | '\u{202f}')
}

pub(crate) fn read(text: &str, wanted: Dimension, meaning: Meaning) -> Result<Sum, Fault> {
    let text = text.trim_matches(is_space);
    let reader = Reader { text, wanted, meaning };
    if text.is_empty() {
        return Err(reader.fault(Reason::Empty));
    }
    if text.contains(',') {
        return Err(reader.fault(Reason::Comma));
    }
    if let Some(slope) = slope_ratio(text) {
        return reader.slope(slope);
    }
    let (sign, rest) = signed(text);
    reader.sum(sign, rest)
}

/// One leading sign, and what follows it.
fn signed(text: &str) -> (f64, &str) {
    if let Some(rest) = text.strip_prefix(['-', '\u{2212}']) {
        (-1.0, rest.trim_start_matches(is_space))
    } else if let Some(rest) = text.strip_prefix('+') {
        (1.0, rest.trim_start_matches(is_space))
    } else {
        (1.0, text)
    }
}

/// "1:8" as rise over run.
fn slope_ratio(text: &str) -> Option<f64> {
    let (sign, rest) = signed(text);
    let (rise, run) = rest.split_once(':')?;
    let number = |part: &str| {
        let part = part.trim_matches(is_space);
        let (value, rest) = decimal(part)?;
        rest.is_empty().then_some(value)
    };
    Some(sign * number(rise)? / number(run)?)
}

struct Reader<'a> {
    text: &'a str,
    wanted: Dimension,
    meaning: Meaning,
}

impl Reader<'_> {
    fn fault(&self, reason: Reason) -> Fault {
        Fault::new(reason, self.text, self.wanted)
    }

    fn slope(&self, ratio: f64) -> Result<Sum, Fault> {
        if self.wanted != Dimension::Slope {
            let text = self.text.to_string();
            return Err(self.fault(Reason::OtherDimension(text, Dimension::Slope, self.wanted)));
        }
        if !ratio.is_finite() {
            return Err(self.fault(Reason::ZeroBelow));
        }
        let si = if self.meaning == Meaning::Difference { ratio } else { real::atan(ratio) };
        Ok(Sum { si: si + 0.0, unit: None, terms: 1 })
    }

    fn sum(&self, sign: f64, mut rest: &str) -> Result<Sum, Fault> {
        let (mut total, mut terms) = (0.0, 0);
        let mut last: Option<&'static Unit> = None;
        while !rest.is_empty() || last.is_none() {
            let (number, after) = Number::read(rest).ok_or_else(|| self.no_number(rest))?;
            let after = after.trim_start_matches(is_space);
            let (unit, after) = self.unit(&number, after, last.is_none())?;
            total += self.term(sign, &number, unit, last)?;
            terms += 1;
            last = Some(unit);
            rest = after.trim_start_matches(is_space);
        }
        if !total.is_finite() {
            return Err(self.fault(Reason::NotFinite));
        }
        Ok(Sum { si: total + 0.0, unit: last, terms })
    }

    fn no_number(&self, rest: &str) -> Fault {
        let lower = rest.to_lowercase();
        let nan = ["nan", "inf", "\u{221e}"].iter().any(|word| lower.starts_with(word));
        self.fault(if nan { Reason::NotFinite } else { Reason::NoNumber(rest.to_string()) })
    }

    /// One number in one unit, in SI and with the sign of the sum.
    fn term(&self, sign: f64, number: &Number, unit: &'static Unit, before: Option<&'static Unit>) -> Result<f64, Fault> {
        if let Some(before) = before {
            let (Scale::Factor(larger), Scale::Factor(smaller)) = (before.scale, unit.scale) else {
                return Err(self.fault(Reason::NoSum(if matches!(before.scale, Scale::Factor(_)) {
                    unit.name
                } else {
                    before.name
                })));
            };
            if larger <= smaller {
                return Err(self.fault(Reason::LargerFirst(before.name, unit.name)));
            }
        }
        if unit.scale == Scale::Gauge {
            return self.gauge(sign, number, unit);
        }
        if number.is_divided_by_zero() {
            return Err(self.fault(Reason::ZeroBelow));
        }
        let written = sign * number.value;
        let si = match (unit.scale, self.meaning) {
            (Scale::Offset { factor, .. }, Meaning::Difference) => written * factor,
            (Scale::Rise, Meaning::Difference) => written * PERCENT,
            _ => unit.to_si(written),
        };
        if si.is_finite() && written.is_finite() { Ok(si) } else { Err(self.fault(Reason::NotFinite)) }
    }

    fn gauge(&self, sign: f64, number: &Number, unit: &'static Unit) -> Result<f64, Fault> {
        let (low, high) = GAUGE_RANGE;
        if self.meaning == Meaning::Difference {
            return Err(self.fault(Reason::NoSum(unit.name)));
        }
        match number.gauge() {
            Some(gauge) if sign > 0.0 && low <= gauge && gauge <= high => Ok(unit.to_si(gauge)),
            _ => Err(self.fault(Reason::NoSuchGauge(number.text.to_string()))),
        }
    }

    /// The unit at the start of `rest`, and what follows it.
    fn unit<'r>(&self, number: &Number, rest: &'r str, first: bool) -> Result<(&'static Unit, &'r str), Fault> {
        if rest.is_empty() || rest.starts_with(|c: char| c.is_ascii_digit()) {
            return Err(self.no_unit(number, first && rest.is_empty()));
        }
        let here = longest(self.wanted, rest);
        if self.meaning == Meaning::Guess {
            return here.ok_or_else(|| self.fault(Reason::Empty));
        }
        if let Some((unit, "")) = here {
            return Ok((unit, "")); // nothing can be longer
        }
        let other = other_dimension(self.wanted, rest);
        match (here, other) {
            (Some((unit, after)), other) if other.as_ref().is_none_or(|(_, _, o)| after.len() <= o.len()) => Ok((unit, after)),
            (_, Some((unit, is, _))) => Err(self.other_dimension(unit, is)),
            _ => Err(self.unknown_unit(rest)),
        }
    }

    fn no_unit(&self, number: &Number, whole: bool) -> Fault {
        let fault = self.fault(Reason::NoUnit(number.text.to_string()));
        let write = format!("{} {}", self.text, self.wanted.usual_unit());
        if whole { fault.writing(self.if_read(write)) } else { fault }
    }

    /// `text` if it would be accepted, so that no fault ever offers what gives the next fault.
    fn if_read(&self, text: String) -> Option<String> {
        read(&text, self.wanted, Meaning::Guess).is_ok().then_some(text)
    }

    fn other_dimension(&self, unit: &'static str, is: Dimension) -> Fault {
        let whole = read(self.text, is, Meaning::Guess).is_ok();
        self.fault(if whole {
            Reason::OtherDimension(self.text.to_string(), is, self.wanted)
        } else {
            Reason::OtherUnit(unit.to_string(), is)
        })
    }

    fn unknown_unit(&self, rest: &str) -> Fault {
        let word = unit_word(rest);
        if let Some((word, _)) = AMBIGUOUS.iter().find(|(ambiguous, _)| *ambiguous == word) {
            return self.fault(Reason::Ambiguous(word));
        }
        let spellings = self.wanted.units().iter().flat_map(Unit::all_spellings);
        let nearest = nearest(word, spellings);
        let start = self.text.len() - rest.len();
        let write = nearest.and_then(|name| {
            let (before, after) = (self.text.get(..start)?, self.text.get(start + word.len()..)?);
            self.if_read(format!("{before}{name}{after}"))
        });
        self.fault(Reason::UnknownUnit(word.to_string(), nearest, self.wanted)).writing(write)
    }
}

/// The longest spelling among the units of `d` that `rest` begins with and that ends there.
fn longest(d: Dimension, rest: &str) -> Option<(&'static Unit, &str)> {
    let mut best: Option<(&'static Unit, &str)> = None;
    for unit in d.units() {
        // Every value of every rig comes through here, and most spellings begin otherwise.
        for spelling in unit.all_spellings().filter(|spelling| spelling.bytes().next() == rest.bytes().next()) {
            let Some(after) = strip_spelling(rest, spelling) else { continue };
            if ends_here(after) && best.is_none_or(|(_, shortest)| after.len() < shortest.len()) {
                best = Some((unit, after));
            }
        }
    }
    best
}

/// `rest` without `spelling`; a blank in the spelling matches any run of blanks.
fn strip_spelling<'r>(rest: &'r str, spelling: &str) -> Option<&'r str> {
    if !spelling.contains(' ') {
        return rest.strip_prefix(spelling);
    }
    let mut rest = rest;
    for (at, word) in spelling.split(' ').enumerate() {
        if at > 0 {
            let trimmed = rest.trim_start_matches(is_space);
            if trimmed.len() == rest.len() {
                return None;
            }
            rest = trimmed;
        }
        rest = rest.strip_prefix(word)?;
    }
    Some(rest)
}

/// A unit ends where the text ends, or a blank or the next number begins.
fn ends_here(after: &str) -> bool {
    let number = after.strip_prefix('.').unwrap_or(after);
    after.is_empty() || after.starts_with(is_space) || number.starts_with(|c: char| c.is_ascii_digit())
}

/// The longest unit of any dimension but `wanted`: its name, its dimension, and what follows.
fn other_dimension(wanted: Dimension, rest: &str) -> Option<(&'static str, Dimension, &str)> {
    let mut best: Option<(&'static str, Dimension, &str)> = None;
    for d in Dimension::ALL.into_iter().filter(|d| *d != wanted) {
        if let Some((unit, after)) = longest(d, rest)
            && best.is_none_or(|(_, _, shortest)| after.len() < shortest.len())
        {
            best = Some((unit.name, d, after));
        }
    }
    best
}

/// What stands in the unit's place: up to the next number or the end.
fn unit_word(rest: &str) -> &str {
    let mut end = rest.len();
    let mut blank_before = false;
    for (at, c) in rest.char_indices() {
        if blank_before && c.is_ascii_digit() {
            end = at;
            break;
        }
        blank_before = is_space(c);
    }
    rest.get(..end).unwrap_or(rest).trim_end_matches(is_space)
}

/// The nearest of `known` by edit distance in lower case, if it is near enough: within a third of the word, and
/// not all of it. Ties go to the first in alphabetical order.
pub(crate) fn nearest(word: &str, known: impl Iterator<Item = &'static str>) -> Option<&'static str> {
    let lower = word.to_lowercase();
    let length = lower.chars().count();
    let third = (length / 3).max(1); // common practice, no source: one slip in three letters
    if length > LONGEST_WORD {
        return None;
    }
    known
        .map(|name| (strsim::damerau_levenshtein(&lower, &name.to_lowercase()), name))
        .filter(|(distance, _)| *distance <= third && *distance < length)
        .min()
        .map(|(_, name)| name)
}

/// No unit or word is longer; edit distance costs the square of the length, and the text may be hostile.
const LONGEST_WORD: usize = 40;

#[cfg(test)]
mod tests;
