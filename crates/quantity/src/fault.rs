//! Why a text could not be read, in words a person can act on.

use std::fmt;

use crate::Dimension;
use crate::units::AMBIGUOUS;

/// Why a text could not be read as a value.
///
/// `{}` gives the sentence alone ("the number has no unit"). `{:#}` gives the sentence and then, each on a line of
/// its own and parted from its word by a tab, `found`, `expected` and `write`: the form in which a fault travels
/// through serde, whose errors carry text only. `Fault::parts` takes it apart again.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// What is the matter.
    pub reason: Reason,
    /// The text as it was met, without quotes.
    pub found: String,
    /// What is wanted: `a mass, such as "1200 kg" or "2600 lb"`.
    pub expected: String,
    /// A text that would be accepted here, where one can be offered.
    pub write: Option<String>,
}

/// What is the matter with a text.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// Nothing but blanks.
    Empty,
    /// A number is wanted at this spot; holds what stands there, empty at the end of the text.
    NoNumber(String),
    /// A number without a unit; holds the number.
    NoUnit(String),
    /// A comma, which means thousands to some and a decimal point to others.
    Comma,
    /// A unit nobody here knows; holds the unit, the nearest known one, and the dimension wanted.
    UnknownUnit(String, Option<&'static str>, Dimension),
    /// The whole text is a value of another dimension: its words, what it is, what is wanted.
    OtherDimension(String, Dimension, Dimension),
    /// One unit among several belongs to another dimension.
    OtherUnit(String, Dimension),
    /// A unit word that means several things ("ton").
    Ambiguous(&'static str),
    /// nan, inf, or a number too large to hold.
    NotFinite,
    /// A sum whose units do not become smaller: first and second unit.
    LargerFirst(&'static str, &'static str),
    /// A sum of something that cannot be added up; holds the unit.
    NoSum(&'static str),
    /// A gauge number that no wire has; holds it.
    NoSuchGauge(String),
    /// Division by zero in a fraction or slope.
    ZeroBelow,
    /// A dash between two ends, where `to` is wanted.
    Dash,
    /// A range whose first end is above its second.
    RangeReversed,
    /// Two words that say differently how the value is known.
    TwoWays(&'static str, &'static str),
    /// A word after the value that does not say how it is known; holds it.
    UnknownWord(String, Option<&'static str>),
    /// A tolerance below zero, or one for a value that is not known.
    Tolerance,
    /// Two spreads where one is wanted: a range and a tolerance.
    TwoSpreads,
    /// `bounds = true` without a tolerance.
    BoundsAlone,
}

impl Fault {
    pub(crate) fn new(reason: Reason, found: &str, wanted: Dimension) -> Fault {
        Fault { reason, found: shortened(found), expected: expectation(wanted), write: None }
    }

    pub(crate) fn writing(mut self, write: Option<String>) -> Fault {
        self.write = write;
        self
    }

    /// A number stands where a text with a unit is wanted, as in `rated = 5200`.
    pub fn bare_number(number: &str, wanted: Dimension) -> Fault {
        let write = format!("{number} {}", wanted.usual_unit());
        let write = crate::parse(&write, wanted).is_ok().then_some(write);
        Fault::new(Reason::NoUnit(number.to_string()), number, wanted).writing(write)
    }

    /// Takes the `{:#}` form apart: sentence, and where they are there found, expected, write.
    pub fn parts(text: &str) -> Parts<'_> {
        let mut parts = Parts::default();
        for (at, line) in text.split('\n').enumerate() {
            match line.split_once('\t') {
                Some(("found", rest)) => parts.found = Some(rest),
                Some(("expected", rest)) => parts.expected = Some(rest),
                Some(("write", rest)) => parts.write = Some(rest),
                _ if at == 0 => parts.sentence = line,
                _ => {}
            }
        }
        parts
    }
}

/// What `Fault::parts` finds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Parts<'a> {
    /// The sentence.
    pub sentence: &'a str,
    /// What was met.
    pub found: Option<&'a str>,
    /// What is wanted.
    pub expected: Option<&'a str>,
    /// What to write.
    pub write: Option<&'a str>,
}

/// `a mass, such as "1200 kg" or "2600 lb"`.
pub(crate) fn expectation(wanted: Dimension) -> String {
    format!("{}, such as \"{}\" or \"{}\"", wanted.with_article(), wanted.example(), wanted.second_example())
}

/// Long texts are quoted by their beginning, and never over several lines.
fn shortened(text: &str) -> String {
    const MOST: usize = 64; // characters: one line of a terminal with its label
    let mut short: String = text.chars().take(MOST).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(MOST).is_some() {
        short.push_str("...");
    }
    short
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.reason.fmt(f)?;
        if f.alternate() {
            write!(f, "\nfound\t{}\nexpected\t{}", self.found, self.expected)?;
            if let Some(write) = &self.write {
                write!(f, "\nwrite\t{write}")?;
            }
        }
        Ok(())
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Reason::Empty => write!(f, "there is nothing here"),
            Reason::NoNumber(found) if found.is_empty() => write!(f, "the number is missing"),
            Reason::NoNumber(found) => write!(f, "a number is wanted, and here stands `{}`", shortened(found)),
            Reason::NoUnit(_) => write!(f, "the number has no unit"),
            Reason::Comma => write!(f, "a comma can mean thousands or decimals: write 1200 or 1.2, without comma"),
            Reason::UnknownUnit(unit, nearest, wanted) => {
                let known: Vec<&str> = wanted.units().iter().map(|unit| unit.name).collect();
                let known = known.join(", ");
                write!(f, "there is no unit `{}` here; known: {known}", shortened(unit))?;
                nearest.map_or(Ok(()), |name| write!(f, "; nearest is `{name}`"))
            }
            Reason::OtherDimension(text, is, wanted) => {
                write!(f, "{} is {}; {} is wanted here", shortened(text), is.with_article(), wanted.with_article())
            }
            Reason::OtherUnit(unit, is) => write!(f, "`{unit}` is a unit of {}", is.noun()),
            Reason::Ambiguous(unit) => {
                let instead = AMBIGUOUS.iter().find(|(word, _)| word == unit).map_or("another unit", |(_, instead)| instead);
                write!(f, "`{unit}` means several things: write {instead}")
            }
            Reason::NotFinite => write!(f, "this is not a number that can be counted with"),
            Reason::LargerFirst(first, second) => {
                write!(f, "in a sum the larger unit stands first, and `{second}` follows `{first}`")
            }
            Reason::NoSum(unit) => write!(f, "values in `{unit}` cannot be added up"),
            Reason::NoSuchGauge(gauge) => write!(f, "there is no wire of gauge {gauge}: AWG runs from 4/0 to 40"),
            Reason::ZeroBelow => write!(f, "a number is divided by zero"),
            Reason::Dash => write!(f, "between the ends of a range stands the word `to`"),
            Reason::RangeReversed => write!(f, "the lower end of a range stands first"),
            Reason::TwoWays(one, other) => write!(f, "`{one}` and `{other}` say differently how the value is known"),
            Reason::UnknownWord(word, nearest) => {
                write!(f, "`{}` does not say how the value is known", shortened(word))?;
                nearest.map_or(Ok(()), |name| write!(f, "; nearest is `{name}`"))
            }
            Reason::Tolerance => write!(f, "a tolerance belongs to a known value, and is never below zero"),
            Reason::TwoSpreads => write!(f, "a range and a tolerance both say how far the value may be off"),
            Reason::BoundsAlone => write!(f, "hard bounds need the tolerance that makes them"),
        }
    }
}

impl std::error::Error for Fault {}
