//! `rigproof tell FILE PATH VALUE`

use std::path::Path;

use clap::Args;
use report::terminal;
use rig_model::Syntax;
use rigproof::{Options, audit_bytes, tell};

use crate::command::audit::{Choice, options};
use crate::command::own_files::bytes_of;
use crate::output;
use crate::status::Status;

/// What `rigproof tell` takes.
#[derive(Debug, Args)]
pub(crate) struct TellArguments {
    /// Rig file; every byte but the value's stays as it is
    #[arg(value_name = "FILE")]
    file: String,
    /// Where the value stands, such as tank.fresh.volume or "axle[front].rated"
    #[arg(value_name = "PATH")]
    path: String,
    /// The value, such as "400 L" or "about 300 kg"
    #[arg(value_name = "VALUE", allow_hyphen_values = true)]
    value: String,
    #[command(flatten)]
    choice: Choice,
}

pub(crate) fn run(arguments: &TellArguments) -> Result<Status, String> {
    let file = &arguments.file;
    let options = Options { remedies: false, ..options(file, &arguments.choice) };
    let (bytes, options) = bytes_of(file, &options, &arguments.choice.scripts)?;
    let before = audit_bytes(&bytes, &options);
    if !before.errors.is_empty() {
        return Err(terminal::errors(&before).trim_end().to_owned());
    }
    let text = std::str::from_utf8(&bytes).map_err(|why| format!("{file}: {why}"))?;
    let syntax = if options.json { Syntax::Json } else { Syntax::Toml };
    let told = tell::tell(text, syntax, &arguments.path, &arguments.value)
        .map_err(|why| format!("{file}: {why}; nothing was written"))?;
    let after = audit_bytes(told.text.as_bytes(), &options);
    // What a link points at is written, not the link.
    let target = std::fs::canonicalize(file).map_err(|why| format!("{file}: {why}"))?;
    output::result(&told.text, Some(Path::new(&target)))?;
    output::result(&format!("{file}: {} is {}.\n", told.path, arguments.value), None)?;
    output::result(&report::changes::render(&before, &after, 100), None)?;
    Ok(Status::Fine)
}
