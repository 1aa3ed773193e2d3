//! `rigproof add KIND`, `rigproof add forgotten FILE`

use clap::Args;
use clap::builder::PossibleValuesParser;
use rigproof::add::{BLOCKS, block};
use rigproof::registry;

use crate::command::own_files::{bytes_of, context_of};
use crate::output;
use crate::status::Status;

/// What `rigproof add` takes.
#[derive(Debug, Args)]
pub(crate) struct AddArguments {
    /// Kind of table; `forgotten`: usual pieces that a rig file does not name, each with the mass it tends to add
    #[arg(value_name = "KIND", value_parser = PossibleValuesParser::new(kinds()))]
    kind: String,
    /// The rig file that `forgotten` looks at
    #[arg(value_name = "FILE", required_if_eq("kind", FORGOTTEN))]
    file: Option<String>,
}

const FORGOTTEN: &str = "forgotten";

fn kinds() -> Vec<&'static str> {
    BLOCKS.iter().map(|(kind, _)| *kind).chain([FORGOTTEN]).collect()
}

pub(crate) fn run(arguments: &AddArguments) -> Result<Status, String> {
    if let (FORGOTTEN, Some(file)) = (arguments.kind.as_str(), &arguments.file) {
        return forgotten(file);
    }
    let lines = block(&arguments.kind).ok_or_else(|| format!("there is no table called {}", arguments.kind))?;
    output::result(lines, None)?;
    Ok(Status::Fine)
}

/// Lines for what the file does not show.
fn forgotten(file: &str) -> Result<Status, String> {
    let options = rigproof::Options { file: file.to_owned(), ..rigproof::Options::default() };
    let (bytes, options) = bytes_of(file, &options, &[])?;
    let context = context_of(registry(), &bytes, &options)?;
    let pieces = context.facts().forgotten(context.rig());
    let lines: Vec<String> = pieces.iter().map(|piece| format!("# {}\n{}", piece.why, piece.line)).collect();
    if lines.is_empty() {
        output::message("nothing usual is absent from the file");
    }
    output::result(&lines.join("\n"), None)?;
    Ok(Status::Fine)
}
