//! The forms an audit can take.

use std::path::Path;

use check::{Audit, Card};
use clap::ValueEnum;
use rigproof::registry;

/// The doc comments are the help: each says what it does with several files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    /// For people; several files: one report after the other
    Text,
    /// For programs; several files: one document a line
    Json,
    /// SARIF 2.1.0, for viewers of static analysis; several files: one run a file
    Sarif,
    /// JUnit XML, for whatever shows test results; several files: one document, suites named after file and trade
    Junit,
    /// Workflow commands that a hosted build shows beside the lines of a pull request; several files: the worst of all first
    Annotations,
    /// A table for a spreadsheet, one answer a row; several files: one table, told apart by its column `file`
    Csv,
    /// A summary for a pull request; several files: one section a file
    Markdown,
}

impl Form {
    /// All audits in a form for programs; `own` are the cards of checks that are not the program's. Whether there are `several` is a matter of what was asked for, not of what could be
    /// read.
    pub(super) fn written(self, audits: &[Audit], own: &[Card], several: bool, strict: bool) -> String {
        match self {
            Self::Text => String::new(),
            Self::Json if several => audits.iter().map(report::json::line).collect(),
            Self::Json => audits.iter().map(report::json::render).collect(),
            Self::Sarif => {
                let cards: Vec<&Card> = registry().checks().iter().map(|check| check.card()).chain(own).collect();
                report::sarif::render(audits, &cards, strict)
            }
            Self::Junit => report::junit::render(audits, several, strict),
            Self::Annotations => report::annotations::render(audits, strict),
            Self::Csv => report::csv::render(audits),
            Self::Markdown => report::markdown::render(audits, strict),
        }
    }

    /// How the answer names the file: as it was named; where the form wants an address that holds on another machine,
    /// from the folder of this run.
    pub(super) fn told(self, file: &str) -> String {
        match self {
            Self::Text | Self::Json => file.to_owned(),
            _ => relative(file),
        }
    }
}

/// A path below this run's folder, from there; any other as it is.
pub(super) fn relative(file: &str) -> String {
    let here = std::env::current_dir().unwrap_or_default();
    let below = Path::new(file).strip_prefix(&here).ok().and_then(Path::to_str);
    let file = below.unwrap_or(file);
    file.strip_prefix("./").unwrap_or(file).to_owned()
}
