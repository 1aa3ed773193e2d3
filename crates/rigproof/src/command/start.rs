//! `rigproof start`

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::PathBuf;

use clap::Args;
use rigproof::start::STARTER;

use crate::output;
use crate::status::Status;

/// What `rigproof start` takes.
#[derive(Debug, Args)]
pub(crate) struct StartArguments {
    /// File to write; one that is there already is left alone
    #[arg(value_name = "FILE", default_value = "rig.toml")]
    file: PathBuf,
}

pub(crate) fn run(arguments: &StartArguments) -> Result<Status, String> {
    let name = arguments.file.display();
    // create_new asks the file system itself, so nothing can slip in between looking and writing.
    let mut file = OpenOptions::new().write(true).create_new(true).open(&arguments.file).map_err(|why| match why.kind() {
        ErrorKind::AlreadyExists => format!("{name}: this file is there already and is left as it is; name another"),
        _ => format!("{name}: {why}"),
    })?;
    file.write_all(STARTER.as_bytes()).map_err(|why| format!("{name}: {why}"))?;
    output::result(&format!("{name} is written. Put numbers in place of each \"?\", then: rigproof audit {name}\n"), None)?;
    Ok(Status::Fine)
}
