//! `rigproof parts [WORDS]`

use std::fmt::Write as _;

use clap::Args;
use quantity::{Dimension, System, show_range};
use rig_facts::parts::{Part, Parts};

use crate::output;
use crate::status::Status;

/// What `rigproof parts` takes.
#[derive(Debug, Args)]
pub(crate) struct PartsArguments {
    /// Words to search for, such as: sandwich wall
    #[arg(value_name = "WORDS")]
    words: Vec<String>,
}

pub(crate) fn run(arguments: &PartsArguments) -> Result<Status, String> {
    let parts = Parts::shipped();
    let words = arguments.words.join(" ");
    let found = parts.search(&words);
    if found.is_empty() {
        let near = parts.nearest(&words);
        let near = if near.is_empty() { String::new() } else { format!("; perhaps {}", near.join(" or ")) };
        return Err(format!("no part has all of these words: {words}{near}"));
    }
    let mut text = String::new();
    let width = found.iter().map(|part| part.name.chars().count()).max().unwrap_or(0);
    let mut group = "";
    for part in found {
        if words.is_empty() && group != part.group {
            let _ = writeln!(text, "{}{}", if group.is_empty() { "" } else { "\n" }, part.group.to_uppercase());
            group = &part.group;
        }
        let _ = writeln!(text, "{:width$}  {}  {}", part.name, mass(part), part.basis.line());
    }
    let _ = writeln!(
        text,
        "In a rig file: [[mass]] name = \"...\", like = \"NAME\", and how much of it: count, length, area, volume, power, charge or energy."
    );
    output::result(&text, None)?;
    Ok(Status::Fine)
}

/// "9.6 kg (8.2 to 12 kg) a square metre".
fn mass(part: &Part) -> String {
    let kg = |value: f64| quantity::show(value, Dimension::Mass, System::Metric, None);
    format!(
        "{} ({}) a {}",
        kg(part.each.usual),
        show_range(part.each.low, part.each.high, Dimension::Mass, System::Metric),
        part.by.word()
    )
}
