//! What is wrong in a rig file, in the owner's words.

use std::fmt;

use crate::lines::Place;

/// One thing in the file that cannot be understood.
///
/// `Display` gives the house form without the file's name: `LINE:COLUMN: SUBJECT: SENTENCE`, then indented lines.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
pub struct Problem {
    /// Where in the file.
    pub place: Place,
    /// The path of what it is about, such as `axle[front].rated`; empty for the whole file.
    pub path: String,
    /// What it is about, in the file's words: `axle "front", rated`.
    pub subject: String,
    /// What is the matter, in plain words.
    pub sentence: String,
    /// What stands there, as it is written.
    pub found: Option<String>,
    /// What is wanted there.
    pub expected: Option<String>,
    /// Text that would be accepted there.
    pub write: Option<String>,
}

/// Problems shown for one file; beyond, a last one counts the rest.
pub(crate) const MAX_PROBLEMS: usize = 200;

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}: {}", self.place, self.subject, self.sentence)?;
        let lines = [("found   ", &self.found), ("expected", &self.expected), ("write   ", &self.write)];
        for (label, text) in lines {
            if let Some(text) = text {
                write!(f, "\n    {label}  {text}")?;
            }
        }
        Ok(())
    }
}

/// Sorts problems by place and caps them: at most [`MAX_PROBLEMS`], the last saying how many more there are.
/// `at_least` when the count itself was cut short.
pub(crate) fn sort_and_cap(mut problems: Vec<Problem>, at_least: bool) -> Vec<Problem> {
    problems.sort();
    problems.dedup();
    let more = problems.len().saturating_sub(MAX_PROBLEMS - 1);
    if problems.len() > MAX_PROBLEMS || at_least {
        problems.truncate(MAX_PROBLEMS - 1);
        let place = problems.last().map_or(Place { line: 1, column: 1 }, |problem| problem.place);
        let few = if at_least { "at least " } else { "" };
        problems.push(Problem {
            place,
            path: String::new(),
            subject: "the file".into(),
            sentence: format!("{few}{} more problems are not listed; put these right first", more.max(1)),
            found: None,
            expected: None,
            write: None,
        });
    }
    problems
}

/// "a, b or c".
pub(crate) fn list_words<'a>(words: impl IntoIterator<Item = &'a str>, joint: &str) -> String {
    let words: Vec<&str> = words.into_iter().collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [head @ .., last] => format!("{} {joint} {last}", head.join(", ")),
    }
}

/// Text cut to a line that fits a terminal, with what cannot be shown made visible.
pub(crate) fn shorten(text: &str) -> String {
    const LONGEST: usize = 60;
    let mut short: String = text.chars().take(LONGEST).map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
    if text.chars().nth(LONGEST).is_some() {
        short.push_str("...");
    }
    short
}
