//! `rigproof sheet weighing FILE`

use check::Day;
use clap::{Args, ValueEnum};
use rig_facts::beside::YEARS_DRAWN;
use rigproof::registry;

use crate::command::audit::{Choice, options};
use crate::command::own_files::{bytes_of, context_of};
use crate::output;
use crate::status::Status;

/// What `rigproof sheet` takes.
#[derive(Debug, Args)]
pub(crate) struct SheetArguments {
    /// Which sheet
    #[arg(value_enum)]
    of: Of,
    /// Rig file; `-` reads stdin
    #[arg(value_name = "FILE")]
    file: String,
    /// The state to be weighed in; the one of the file's tickets, or the first on the road, if left out
    #[arg(long, value_name = "NAME")]
    state: Option<String>,
    /// The day the list is read for, such as 2027-05-01; today if left out
    #[arg(long, value_name = "DATE")]
    today: Option<Day>,
    /// Width of the text, 60 to 100
    #[arg(long, value_name = "COLUMNS", default_value_t = 80, value_parser = clap::value_parser!(u16).range(60..=100))]
    width: u16,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Of {
    /// What to weigh, in which state, with the limit beside each reading and the lines for the file
    Weighing,
}

pub(crate) fn run(arguments: &SheetArguments) -> Result<Status, String> {
    let Of::Weighing = arguments.of;
    let whole = Choice {
        only: Vec::new(),
        state: None,
        tries: Vec::new(),
        today: arguments.today,
        years: YEARS_DRAWN,
        scripts: Vec::new(),
    };
    let (bytes, options) = bytes_of(&arguments.file, &options(&arguments.file, &whole), &[])?;
    let context = context_of(registry(), &bytes, &options)?;
    let day = study::weighing_day(&context, arguments.state.as_deref()).map_err(|why| format!("{}: {why}", arguments.file))?;
    output::result(&report::sheet::weighing(&day, &arguments.file, usize::from(arguments.width)), None)?;
    Ok(Status::Fine)
}
