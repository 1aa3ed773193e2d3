//! `rigproof draw FILE --to DIR`

use std::path::PathBuf;

use clap::Args;
use report::terminal;

use crate::command::audit::{Choice, one, options};
use crate::output;
use crate::status::Status;

/// What `rigproof draw` takes.
#[derive(Debug, Args)]
pub(crate) struct DrawArguments {
    /// Rig file; `-` reads stdin
    #[arg(value_name = "FILE")]
    file: String,
    /// Folder for the pictures; made if it is not there
    #[arg(long, value_name = "DIR")]
    to: PathBuf,
    #[command(flatten)]
    choice: Choice,
}

pub(crate) fn run(arguments: &DrawArguments) -> Result<Status, String> {
    let mut options = options(&arguments.file, &arguments.choice);
    options.remedies = false;
    let audit = one(&arguments.file, &options, &arguments.choice.scripts)?;
    if !audit.errors.is_empty() {
        return Err(terminal::errors(&audit).trim_end().to_owned());
    }
    std::fs::create_dir_all(&arguments.to).map_err(|why| format!("{}: {why}", arguments.to.display()))?;
    let wanted = |state: &Option<String>| arguments.choice.state.is_none() || *state == arguments.choice.state;
    let mut written = Vec::new();
    for exhibit in audit.exhibits.iter().filter(|exhibit| wanted(&exhibit.state)) {
        let Some(picture) = report::draw::render(exhibit, audit.units.into()) else { continue };
        let path = arguments.to.join(format!("{}.svg", file_name(&exhibit.id)));
        output::result(&picture, Some(&path))?;
        written.push(path.display().to_string());
    }
    output::result(&written.iter().map(|path| format!("{path}\n")).collect::<String>(), None)?;
    Ok(Status::Fine)
}

/// The id with everything that is no letter, figure or dash made a dash: a state may be called anything.
fn file_name(id: &str) -> String {
    id.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}
