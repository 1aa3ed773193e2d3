//! `rigproof place FILE`

use std::path::PathBuf;

use clap::Args;
use rigproof::registry;

use crate::command::audit::{Choice, Format, options};
use crate::command::own_files::{bytes_of, context_of};
use crate::output;
use crate::status::Status;

/// What `rigproof place` takes.
#[derive(Debug, Args)]
pub(crate) struct PlaceArguments {
    /// Rig file; `-` reads stdin
    #[arg(value_name = "FILE")]
    file: String,
    #[command(flatten)]
    choice: Choice,
    /// Form of the answer
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Also draw axle loads over the place of the body, as SVG
    #[arg(long, value_name = "PATH")]
    draw: Option<PathBuf>,
    /// Width of the text, 60 to 100
    #[arg(long, value_name = "COLUMNS", default_value_t = 100, value_parser = clap::value_parser!(u16).range(60..=100))]
    width: u16,
}

pub(crate) fn run(arguments: &PlaceArguments) -> Result<Status, String> {
    let options = options(&arguments.file, &arguments.choice);
    let (bytes, options) = bytes_of(&arguments.file, &options, &arguments.choice.scripts)?;
    let context = context_of(registry(), &bytes, &options)?;
    let placement = study::place(registry(), &context).map_err(|wanted| {
        format!("{}: {} is wanted first: {}", arguments.file, wanted.path, rig_facts::tables::how_to_get(&wanted.path))
    })?;
    let text = match arguments.format {
        Format::Text => report::place::render(&placement, usize::from(arguments.width)),
        Format::Json => report::place::json(&placement),
    };
    output::result(&text, None)?;
    if let Some(path) = &arguments.draw {
        let picture = report::draw::placement(&placement).ok_or("no axle load is known, so there is nothing to draw")?;
        output::result(&picture, Some(path))?;
    }
    Ok(if placement.ranges.is_empty() { Status::Fails } else { Status::Fine })
}
