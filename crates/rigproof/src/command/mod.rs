//! The subcommands, one file each.

mod add;
mod ask;
mod audit;
mod calc;
mod draw;
mod explain;
mod manual;
mod own_files;
mod parts;
mod place;
mod plugins;
mod schema;
mod script;
mod sheet;
mod start;
mod tell;

use std::env;
use std::ffi::OsString;

use clap::{Args, FromArgMatches, Parser, Subcommand};

use crate::output;
use crate::status::Status;

/// Checks a home-built rig: weights, axles, tyres and roll-over, from one file.
#[derive(Debug, Parser)]
#[command(name = "rigproof", version, max_term_width = 100)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Audit rig files: what holds, what fails, by how much, and the smallest change that puts it right
    Audit(audit::AuditArguments),
    /// Draw a rig from the side and from behind, one SVG file a picture
    Draw(draw::DrawArguments),
    /// Search the generic parts that a rig file may name instead of a mass
    Parts(parts::PartsArguments),
    /// Say what to find out next: what settles most answers, or the whole round through the yard
    Ask(ask::AskArguments),
    /// Find where along the frame the body leaves each axle its margin
    Place(place::PlaceArguments),
    /// Write a starter file whose every number is still to be found
    Start(start::StartArguments),
    /// Print a sheet to take along: the day on the weighbridge
    Sheet(sheet::SheetArguments),
    /// Print lines to paste for one more table, every number still to be found
    Add(add::AddArguments),
    /// Write one value into a rig file and say what it changes
    Tell(tell::TellArguments),
    /// List all checks
    Checks(explain::ChecksArguments),
    /// Explain a check: question, formula, limits and their sources, inputs and how to get them
    Explain(explain::ExplainArguments),
    /// Ask one physics function: JSON in, JSON out
    Calc(calc::CalcArguments),
    /// Print the JSON schema of rig files, of audits, or of what native plugins are asked and answer
    Schema(schema::SchemaArguments),
    /// Write, try and test checks of your own
    Script(script::ScriptArguments),
    /// Print completions for a shell
    Completions(manual::CompletionArguments),
    /// Print the manual page
    Man,
}

/// The arguments of this process. Ends it where they cannot be read, or where help is asked for.
pub(crate) fn arguments() -> Arguments {
    let words: Vec<OsString> = env::args_os().collect();
    match audit_alone(&words) {
        Some(arguments) => Arguments { command: Command::Audit(arguments) },
        None => Arguments::parse_from(words),
    }
}

/// The arguments of an audit, without looking at the other commands: that took a good part of a short audit. None for
/// another command, and where there is something to say: then the whole is read, and says it.
fn audit_alone(words: &[OsString]) -> Option<audit::AuditArguments> {
    if words.get(1)? != "audit" {
        return None;
    }
    let command = audit::AuditArguments::augment_args(clap::Command::new("audit"));
    let matches = command.try_get_matches_from(words.iter().skip(1)).ok()?;
    audit::AuditArguments::from_arg_matches(&matches).ok()
}

pub(crate) fn run(arguments: Arguments) -> Status {
    let ended = match arguments.command {
        Command::Audit(arguments) => audit::run(&arguments),
        Command::Draw(arguments) => draw::run(&arguments),
        Command::Parts(arguments) => parts::run(&arguments),
        Command::Ask(arguments) => ask::run(&arguments),
        Command::Place(arguments) => place::run(&arguments),
        Command::Start(arguments) => start::run(&arguments),
        Command::Sheet(arguments) => sheet::run(&arguments),
        Command::Add(arguments) => add::run(&arguments),
        Command::Tell(arguments) => tell::run(&arguments),
        Command::Checks(arguments) => explain::list(&arguments),
        Command::Explain(arguments) => explain::run(&arguments),
        Command::Calc(arguments) => calc::run(&arguments),
        Command::Schema(arguments) => schema::run(&arguments),
        Command::Script(arguments) => script::run(&arguments),
        Command::Completions(arguments) => manual::completions(&arguments),
        Command::Man => manual::page(),
    };
    ended.unwrap_or_else(|why| {
        output::message(&why);
        Status::Wrong
    })
}
