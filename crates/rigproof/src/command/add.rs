//! `rigproof add KIND`

use clap::Args;
use clap::builder::PossibleValuesParser;
use rigproof::add::{BLOCKS, block};

use crate::output;
use crate::status::Status;

/// What `rigproof add` takes.
#[derive(Debug, Args)]
pub(crate) struct AddArguments {
    /// Kind of table
    #[arg(value_name = "KIND", value_parser = PossibleValuesParser::new(BLOCKS.iter().map(|(kind, _)| *kind)))]
    kind: String,
}

pub(crate) fn run(arguments: &AddArguments) -> Result<Status, String> {
    let lines = block(&arguments.kind).ok_or_else(|| format!("there is no table called {}", arguments.kind))?;
    output::result(lines, None)?;
    Ok(Status::Fine)
}
