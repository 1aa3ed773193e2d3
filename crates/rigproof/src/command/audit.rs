//! `rigproof audit FILE...`

mod form;
mod look;
mod past;

use std::path::{Path, PathBuf};

use check::{Audit, Card, Day, Detail};
use clap::{Args, ValueEnum};
use report::terminal;
use rig_facts::beside::{YEARS_DRAWN, YEARS_MOST};
use rigproof::own::Own;
use rigproof::{Gathered, Options};

use crate::command::own_files::bytes_of;
use crate::command::plugins::Plugins;
use crate::output;
use crate::status::Status;
use form::Form;
use past::Past;

/// What `rigproof audit` takes.
#[derive(Debug, Args)]
pub(crate) struct AuditArguments {
    /// Rig files; `-` reads stdin
    #[arg(required = true, value_name = "FILE")]
    files: Vec<String>,
    #[command(flatten)]
    choice: Choice,
    #[command(flatten)]
    plugins: Plugins,
    /// Form of the answer
    #[arg(long, value_enum, default_value_t = Form::Text)]
    format: Form,
    /// Hold it against an earlier audit, written with --format json: only what became worse fails
    ///
    /// Worse is a verdict that rises (pass, then unsettled and missing, then fail), a new failure, or a failing utilisation
    /// that rises by more than 0.005. With several files the earlier audits are found by the name of the file.
    #[arg(long, value_name = "OLD.json", conflicts_with = "changes")]
    baseline: Option<PathBuf>,
    /// Also fail on what is unsettled or missing
    #[arg(long)]
    strict: bool,
    /// Write the answer to a file instead of stdout
    #[arg(long, value_name = "PATH")]
    output: Option<PathBuf>,
    /// Leave out the search for ways out
    #[arg(long)]
    no_remedies: bool,
    /// List passing and not applicable answers too
    #[arg(long)]
    all: bool,
    /// One line an answer, without bars, styles or wrapping
    #[arg(long)]
    plain: bool,
    /// With --try: only what changes against the file as it is
    #[arg(long, requires = "tries")]
    changes: bool,
    /// When to use styles and colour
    #[arg(long, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    colour: Colour,
    /// Width of the text, 60 to 100
    #[arg(long, value_name = "COLUMNS", value_parser = clap::value_parser!(u16).range(60..=100))]
    width: Option<u16>,
    /// Number of threads
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
}

/// Which part of the rig to look at, and for which day.
#[derive(Debug, Args)]
pub(crate) struct Choice {
    /// Only this check or this trade; may be given several times
    #[arg(long, value_name = "ID")]
    pub(crate) only: Vec<String>,
    /// Only this state
    #[arg(long, value_name = "NAME")]
    pub(crate) state: Option<String>,
    /// Try a change on a copy of the file, such as "tank.fresh.volume = 400 L"; may be given several times
    #[arg(long = "try", value_name = "PATH = VALUE")]
    pub(crate) tries: Vec<String>,
    /// The day to audit for, such as 2027-05-01; today if left out
    #[arg(long, value_name = "DATE")]
    pub(crate) today: Option<Day>,
    /// How many years are drawn where the rig names no weather file, up to 50
    #[arg(long, value_name = "N", default_value_t = YEARS_DRAWN, value_parser = clap::value_parser!(u32).range(1..=i64::from(YEARS_MOST)))]
    pub(crate) years: u32,
    /// Folder of further checks written in Rhai, or one such file; may be given several times
    #[arg(long, value_name = "DIR")]
    pub(crate) scripts: Vec<PathBuf>,
}

/// The forms of the commands that answer in two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people
    Text,
    /// For programs: one document, or one a line for several files
    Json,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Colour {
    /// On a terminal that wants it
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

pub(crate) fn run(arguments: &AuditArguments) -> Result<Status, String> {
    if arguments.threads.is_none() {
        runner::ask_on_this_thread(processors());
    }
    let past = arguments.baseline.as_deref().map(Past::read).transpose()?;
    let own = arguments.plugins.load();
    let (mut audits, mut status) = (Vec::new(), Status::Fine);
    let mut own_cards: Vec<Card> = Vec::new();
    for file in &arguments.files {
        match audited(arguments, &own, past.as_ref(), file) {
            Ok((audit, cards, ended)) => {
                status = status.and(ended);
                own_cards.extend(
                    cards.into_iter().filter(|card| own_cards.iter().all(|known| known.id != card.id)).collect::<Vec<_>>(),
                );
                audits.push((file.as_str(), audit));
            }
            Err(why) => {
                output::message(&why);
                status = status.and(Status::Wrong);
            }
        }
    }
    let text = match arguments.format {
        Form::Text => for_people(arguments, &own, &audits)?,
        format => {
            let audits: Vec<Audit> = audits.into_iter().map(|(_, audit)| audit).collect();
            format.written(&audits, &own_cards, arguments.files.len() > 1, arguments.strict)
        }
    };
    output::result(&text, arguments.output.as_deref())?;
    Ok(status)
}

/// How many threads are worth having; 0 leaves it to the pool, which reads what share of its processors a container may use.
/// Where two are all there is, that changes little and takes a share of a short audit.
fn processors() -> usize {
    #[cfg(target_os = "linux")]
    if let Ok(set) = rustix::thread::sched_getaffinity(None)
        && set.count() <= 2
    {
        return usize::try_from(set.count()).unwrap_or(0);
    }
    0
}

/// The audit of one file, held against the earlier one if there is one, and how that ends.
fn audited(arguments: &AuditArguments, own: &Own, past: Option<&Past>, file: &str) -> Result<(Audit, Vec<Card>, Status), String> {
    let (mut audit, cards) = one_with_cards(own, file, &wanted(arguments, file), &arguments.choice.scripts)?;
    let mut status = Status::Fine;
    if let Some(past) = past.filter(|_| audit.errors.is_empty()) {
        past.compare(&mut audit, arguments.files.len() > 1, &arguments.choice, arguments.strict).unwrap_or_else(|why| {
            output::message(&why);
            status = Status::Wrong;
        });
    }
    status = status.and(ended(&audit, arguments.strict));
    Ok((audit, cards, status))
}

/// The options of one file as the command line has them.
fn wanted(arguments: &AuditArguments, file: &str) -> Options {
    // Of plain lines each stands for itself.
    let report = arguments.format == Form::Text && !arguments.changes && !arguments.plain;
    Options {
        file: arguments.format.told(file),
        remedies: !arguments.no_remedies,
        detail: if report { Detail::Report } else { Detail::Everything },
        threads: arguments.threads.map(usize::from),
        ..options(file, &arguments.choice)
    }
}

/// The reports one after the other; problems of a file go to stderr.
fn for_people(arguments: &AuditArguments, own: &Own, audits: &[(&str, Audit)]) -> Result<String, String> {
    let look = look::look(arguments);
    let mut text = String::new();
    for (file, audit) in audits {
        if !audit.errors.is_empty() {
            output::message(terminal::errors(audit).trim_end());
        } else if arguments.changes {
            let before = Options { tries: Vec::new(), ..wanted(arguments, file) };
            let before = one_with(own, file, &before, &arguments.choice.scripts)?;
            text.push_str(&report::changes::render(&before, audit, look.width));
        } else {
            if !text.is_empty() {
                text.push('\n');
            }
            text.push_str(&terminal::render(audit, &look));
        }
    }
    Ok(text)
}

/// Options for one file; the day is the clock's where none is given.
pub(crate) fn options(file: &str, choice: &Choice) -> Options {
    Options {
        json: Path::new(file).extension().is_some_and(|ending| ending.eq_ignore_ascii_case("json")),
        years: choice.years,
        today: choice.today.unwrap_or_else(clock),
        only: choice.only.clone(),
        state: choice.state.clone(),
        tries: choice.tries.clone(),
        ..Options::new(file)
    }
}

/// Reads and audits one file.
///
/// # Errors
/// A sentence: the file cannot be read, or no check or state is called what was asked for.
pub(crate) fn one(file: &str, options: &Options, scripts: &[PathBuf]) -> Result<Audit, String> {
    one_with(&Own::default(), file, options, scripts)
}

/// The same with what the user brings along.
///
/// # Errors
/// As for [`one`].
pub(crate) fn one_with(own: &Own, file: &str, options: &Options, scripts: &[PathBuf]) -> Result<Audit, String> {
    Ok(one_with_cards(own, file, options, scripts)?.0)
}

/// The same, and the cards of the checks that are not the program's own.
fn one_with_cards(own: &Own, file: &str, options: &Options, scripts: &[PathBuf]) -> Result<(Audit, Vec<Card>), String> {
    let (bytes, options) = bytes_of(file, options, scripts)?;
    let gathered = own.gather(&options.scripts);
    Ok((audit_of(own, &gathered, file, &bytes, &options)?, gathered.own_cards()))
}

/// Audits what was read with what was gathered.
///
/// # Errors
/// A sentence: no check or state is called what was asked for.
pub(crate) fn audit_of(own: &Own, gathered: &Gathered, file: &str, bytes: &[u8], options: &Options) -> Result<Audit, String> {
    for word in &options.only {
        let known = gathered.registry.checks().iter().any(|check| check.card().id == *word || check.card().trade() == word);
        if !known {
            let unloaded: String =
                own.faults.iter().map(|fault| format!("\n{} did not load: {}", fault.check, fault.text)).collect();
            return Err(format!("--only {word}: there is no such check or trade; `rigproof checks` lists them{unloaded}"));
        }
    }
    let audit = own.audit_gathered(gathered, bytes, options);
    if let Some(state) = &options.state
        && audit.errors.is_empty()
        && !audit.states.iter().any(|known| known.name == *state)
    {
        let names: Vec<&str> = audit.states.iter().map(|state| state.name.as_str()).collect();
        return Err(format!("{file}: --state {state}: there is no such state; there are {}", names.join(", ")));
    }
    Ok(audit)
}

fn ended(audit: &Audit, strict: bool) -> Status {
    let mut status = Status::Fine;
    if !audit.errors.is_empty() {
        status = status.and(Status::Wrong);
    }
    if !audit.faults.is_empty() {
        status = status.and(Status::Fault);
    }
    if audit.fails(strict) {
        status = status.and(Status::Fails);
    }
    status
}

/// Today in UTC.
pub(crate) fn clock() -> Day {
    let date = jiff::tz::TimeZone::UTC.to_datetime(jiff::Timestamp::now()).date();
    let part = |number: i8| u8::try_from(number).unwrap_or(1);
    Day { year: u16::try_from(date.year()).unwrap_or(1), month: part(date.month()), day: part(date.day()) }
}
