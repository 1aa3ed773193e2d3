//! `rigproof ask FILE`

use check::Day;
use clap::Args;
use rig_facts::beside::YEARS_DRAWN;
use rigproof::gather;

use crate::command::audit::{Choice, Format, options};
use crate::command::own_files::{bytes_of, context_of};
use crate::output;
use crate::status::Status;

/// What `rigproof ask` takes.
#[derive(Debug, Args)]
pub(crate) struct AskArguments {
    /// Rig file; `-` reads stdin
    #[arg(value_name = "FILE")]
    file: String,
    /// The measuring round: everything that is not known yet, in walking order, with a box to write in
    #[arg(long)]
    all: bool,
    /// The day to ask for, such as 2027-05-01; today if left out
    #[arg(long, value_name = "DATE")]
    today: Option<Day>,
    /// Form of the answer
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Width of the text, 60 to 100
    #[arg(long, value_name = "COLUMNS", default_value_t = 100, value_parser = clap::value_parser!(u16).range(60..=100))]
    width: u16,
}

pub(crate) fn run(arguments: &AskArguments) -> Result<Status, String> {
    let whole = Choice {
        only: Vec::new(),
        state: None,
        tries: Vec::new(),
        today: arguments.today,
        years: YEARS_DRAWN,
        scripts: Vec::new(),
    };
    let (bytes, options) = bytes_of(&arguments.file, &options(&arguments.file, &whole), &[])?;
    let gathered = gather(&options.scripts);
    let context = context_of(&gathered.registry, &bytes, &options)?;
    let asking = study::ask(&gathered.registry, &context);
    let width = usize::from(arguments.width);
    let text = match arguments.format {
        Format::Json => report::ask::json(&asking),
        Format::Text if arguments.all => report::ask::round(&asking, &arguments.file, width),
        Format::Text => report::ask::render(&asking, &arguments.file, width),
    };
    output::result(&text, None)?;
    Ok(Status::Fine)
}
