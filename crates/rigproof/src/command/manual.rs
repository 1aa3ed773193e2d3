//! `rigproof completions SHELL` and `rigproof man`

use clap::{Args, CommandFactory};
use clap_complete::Shell;

use crate::command::Arguments;
use crate::output;
use crate::status::Status;

/// What `rigproof completions` takes.
#[derive(Debug, Args)]
pub(crate) struct CompletionArguments {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

pub(crate) fn completions(arguments: &CompletionArguments) -> Result<Status, String> {
    let mut bytes = Vec::new();
    clap_complete::generate(arguments.shell, &mut Arguments::command(), "rigproof", &mut bytes);
    output::result(&String::from_utf8_lossy(&bytes), None)?;
    Ok(Status::Fine)
}

pub(crate) fn page() -> Result<Status, String> {
    let mut bytes = Vec::new();
    clap_mangen::Man::new(Arguments::command()).render(&mut bytes).map_err(|why| why.to_string())?;
    output::result(&String::from_utf8_lossy(&bytes), None)?;
    Ok(Status::Fine)
}
