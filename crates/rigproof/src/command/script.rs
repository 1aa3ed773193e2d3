//! `rigproof script new|check|test|words`

use std::path::{Path, PathBuf};

use check::registry::is_word;
use check::{Audit, Card, Day};
use clap::{Args, Subcommand};
use report::terminal::{self, Look};
use rigproof::{Gathered, Options, ScriptText, door, gather};
use script_checks::cases::{Case, Cases};

use crate::command::audit::clock;
use crate::command::own_files::{bytes_of, files_in, scripts_in, text_of};
use crate::output;
use crate::status::Status;

/// What `rigproof script` takes.
#[derive(Debug, Args)]
pub(crate) struct ScriptArguments {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Write a check to begin with, and cases for it
    New {
        /// Its name, such as spare-wheel
        name: String,
        /// Folder to write into
        #[arg(long, value_name = "DIR", default_value = ".")]
        to: PathBuf,
    },
    /// Compile a check, run it on a rig, and show its answers and what it costs
    Check {
        /// The script, or a folder of them
        #[arg(value_name = "FILE")]
        script: PathBuf,
        /// A rig to run it on; the complete example if left out
        #[arg(long, value_name = "FILE")]
        rig: Option<String>,
        /// The day to audit for; today if left out
        #[arg(long, value_name = "DATE")]
        today: Option<Day>,
    },
    /// Run the cases beside scripts: NAME.cases.toml beside NAME.rhai
    Test {
        /// Scripts, or folders of them
        #[arg(required = true, value_name = "PATH")]
        paths: Vec<PathBuf>,
    },
    /// Print the functions that a script may call
    Words {
        /// As a definition file for editors that know Rhai
        #[arg(long)]
        definitions: bool,
    },
}

pub(crate) fn run(arguments: &ScriptArguments) -> Result<Status, String> {
    match &arguments.what {
        What::New { name, to } => new(name, to),
        What::Check { script, rig, today } => check(script, rig.as_deref(), today.unwrap_or_else(clock)),
        What::Test { paths } => test(paths),
        What::Words { definitions: true } => printed(&script_checks::page::definitions()),
        What::Words { definitions: false } => printed(&script_checks::page::functions()),
    }
}

fn printed(text: &str) -> Result<Status, String> {
    output::result(text, None)?;
    Ok(Status::Fine)
}

const SCRIPT: &str = include_str!("../../data/new-check.rhai");
const CASES: &str = include_str!("../../data/new-check.cases.toml");
/// Stands for the name in both.
const NAME: &str = "NAME";

fn new(name: &str, to: &Path) -> Result<Status, String> {
    if !is_word(name) {
        return Err(format!("\"{name}\": a name is made of small letters, figures and dashes, such as spare-wheel"));
    }
    let files = [(to.join(format!("{name}.rhai")), SCRIPT), (to.join(format!("{name}.cases.toml")), CASES)];
    if let Some((file, _)) = files.iter().find(|(file, _)| file.exists()) {
        return Err(format!("{} is there already; it is not overwritten", file.display()));
    }
    let mut text = String::new();
    for (file, lines) in &files {
        output::result(&lines.replace(NAME, name), Some(file.as_path()))?;
        text.push_str(&format!("wrote {}\n", file.display()));
    }
    let script = files.first().map(|(file, _)| file.display().to_string()).unwrap_or_default();
    text.push_str(&format!("next: rigproof script check {script}, then rigproof script test {script}\n"));
    printed(&text)
}

/// The complete example, for scripts that come without a rig.
const EXAMPLE: &str = include_str!("../../../../examples/herbarium-truck/rig.toml");

fn check(path: &Path, rig: Option<&str>, today: Day) -> Result<Status, String> {
    let gathered = gather(&scripts_in(path)?);
    let cards = gathered.own_cards();
    let name = rig.unwrap_or("the complete example");
    let options = Options { today, only: cards.iter().map(|card| card.id.to_string()).collect(), ..Options::new(name) };
    let (bytes, options) = match rig {
        Some(file) => bytes_of(file, &options, &[])?,
        None => (EXAMPLE.as_bytes().to_vec(), options),
    };
    if cards.is_empty() {
        return Err(faults_of(&gathered));
    }
    let audit = door::audit_gathered(&gathered, &bytes, &options);
    if !audit.errors.is_empty() {
        return Err(terminal::errors(&audit).trim_end().to_owned());
    }
    let mut text = terminal::render(&audit, &Look { all: true, ..Look::default() });
    text.push('\n');
    for script in &gathered.scripts {
        text.push_str(&format!("{}: {:.2} ms in all its calls, on {name}.\n", script.file(), script.spent().as_secs_f64() * 1e3));
    }
    output::result(&text, None)?;
    Ok(if audit.faults.is_empty() { Status::Fine } else { Status::Fault })
}

fn faults_of(gathered: &Gathered) -> String {
    gathered.faults.iter().map(|fault| fault.text.as_str()).collect::<Vec<_>>().join("\n")
}

/// How the cases of all scripts came out.
#[derive(Default)]
struct Tally {
    text: String,
    cases: usize,
    wrong: usize,
    faults: usize,
}

fn test(paths: &[PathBuf]) -> Result<Status, String> {
    let mut tally = Tally::default();
    for path in paths {
        for script in files_in(path, "rhai")? {
            test_one(&script, &mut tally)?;
        }
    }
    let Tally { mut text, cases, wrong, faults } = tally;
    text.push_str(&format!("{cases} cases: {} as wanted, {wrong} not, {faults} scripts could not be read.\n", cases - wrong));
    output::result(&text, None)?;
    Ok(match (wrong, faults) {
        (_, 1..) => Status::Fault,
        (1.., 0) => Status::Fails,
        (0, 0) => Status::Fine,
    })
}

fn test_one(path: &Path, tally: &mut Tally) -> Result<(), String> {
    let script = ScriptText { file: path.to_string_lossy().into_owned(), text: text_of(path)? };
    let gathered = gather(std::slice::from_ref(&script));
    let Some(card) = gathered.own_cards().into_iter().next() else {
        tally.text.push_str(&faults_of(&gathered));
        tally.text.push('\n');
        tally.faults += 1;
        return Ok(());
    };
    let beside = path.with_extension("cases.toml");
    if !beside.exists() {
        tally.text.push_str(&format!("{}: no cases; they would stand in {}\n", path.display(), beside.display()));
        return Ok(());
    }
    let name = beside.to_string_lossy();
    for case in Cases::read(&name, &text_of(&beside)?)?.case {
        tally.cases += 1;
        let differences = differences(&gathered, &card, &case);
        if !differences.is_empty() {
            tally.wrong += 1;
            tally.text.push_str(&format!("{name}: {}\n", case.name));
            for difference in differences {
                tally.text.push_str(&format!("    {difference}\n"));
            }
        }
    }
    Ok(())
}

fn differences(gathered: &Gathered, card: &Card, case: &Case) -> Vec<String> {
    let options = Options { only: vec![card.id.to_string()], ..Options::new("the case") };
    let audit: Audit = door::audit_gathered(gathered, case.whole_rig().as_bytes(), &options);
    if !audit.errors.is_empty() {
        return vec![format!("its rig does not read: {}", terminal::errors(&audit).trim_end().replace('\n', "; "))];
    }
    case.differences(&audit.findings, audit.faults.first().map(|fault| fault.text.as_str()))
}
