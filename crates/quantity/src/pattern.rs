//! Regular expressions for JSON Schema, made from the unit table that the parser uses.
//!
//! Whatever the parser accepts the pattern accepts. It is laxer in what a pattern cannot hold: larger units
//! first in a sum, gauge numbers, division by zero, and whether the ends of a range and the words agree.

use crate::Dimension;
use crate::stated::How;
use crate::units::Unit;

const SPACE: &str = r"[ \t\u00a0\u2000-\u200a\u202f]";
const SIGN: &str = r"[-+\u2212]";
const DECIMAL: &str = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+\u2212]?[0-9]+)?";

/// What the parser reads as a value of `d`.
pub fn pattern(d: Dimension) -> String {
    format!("^{SPACE}*{}{SPACE}*$", sum(d))
}

/// What is read as a stated value of `d`, in its one-line form.
pub fn stated_pattern(d: Dimension) -> String {
    let (sum, tolerance, number) = (sum(d), tolerance(d), number());
    let words: Vec<&str> = How::SAID.iter().map(|how| how.word()).chain(["data plate"]).collect();
    let how = format!("(?:{SPACE}+(?:{}))?", words.join("|"));
    let low = format!("(?:{sum}|{SIGN}?{SPACE}*{number})");
    let mark = r"(?:\+-|\+/-|±)";
    let about = format!("(?:[Aa]bout{SPACE}+)?");
    format!(
        "^{SPACE}*(?:\\?|{about}(?:{low}{SPACE}+to{SPACE}+{sum}|{sum}(?:{how}{SPACE}*{mark}{SPACE}*{tolerance})?){how}){SPACE}*$"
    )
}

/// What is read as a tolerance of a value of `d`.
pub(crate) fn tolerance_pattern(d: Dimension) -> String {
    format!("^{SPACE}*{}{SPACE}*$", tolerance(d))
}

fn tolerance(d: Dimension) -> String {
    // A share of a temperature means nothing; shares and slopes have their own percent.
    match d {
        Dimension::Temperature | Dimension::Ratio | Dimension::Slope => sum(d),
        _ => format!("(?:{}|{})", sum(d), sum(Dimension::Ratio)),
    }
}

fn number() -> String {
    format!("(?:(?:[0-9]+{SPACE}+)?[0-9]+/[0-9]+|{DECIMAL})")
}

fn sum(d: Dimension) -> String {
    let units: Vec<String> = d.units().iter().flat_map(Unit::all_spellings).map(escaped).collect();
    let term = format!("{}{SPACE}*(?:{})", number(), units.join("|"));
    let ratio = if d == Dimension::Slope { format!("|{DECIMAL}{SPACE}*:{SPACE}*{DECIMAL}") } else { String::new() };
    format!("{SIGN}?{SPACE}*(?:{term}(?:{SPACE}*{term})*{ratio})")
}

/// A spelling as a pattern: a blank in it is any run of blanks.
fn escaped(spelling: &str) -> String {
    let mut out = String::new();
    for c in spelling.chars() {
        match c {
            ' ' => out.push_str(&format!("{SPACE}+")),
            '.' | '\\' | '^' | '$' | '|' | '(' | ')' | '[' | ']' | '{' | '}' | '*' | '+' | '?' => {
                out.push('\\');
                out.push(c);
            }
            _ => out.push(c),
        }
    }
    out
}
