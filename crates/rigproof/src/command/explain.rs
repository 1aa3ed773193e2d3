//! `rigproof checks` and `rigproof explain ID [FILE]`

use check::{Card, Registry};
use clap::Args;
use report::terminal;
use rigproof::Options;

use crate::command::audit::{Choice, audit_of, options};
use crate::command::own_files::{all_scripts_in, bytes_of};
use crate::command::plugins::{self, Plugins};
use crate::output;
use crate::status::Status;

/// What `rigproof explain` takes.
#[derive(Debug, Args)]
pub(crate) struct ExplainArguments {
    /// Id of a check, such as weight/axle-load
    #[arg(value_name = "ID")]
    id: String,
    /// Rig file: adds the numbers and the working of this rig; `-` reads stdin
    #[arg(value_name = "FILE")]
    file: Option<String>,
    #[command(flatten)]
    plugins: Plugins,
    #[command(flatten)]
    choice: Choice,
    /// Width of the text, 60 to 100
    #[arg(long, value_name = "COLUMNS", default_value_t = 100, value_parser = clap::value_parser!(u16).range(60..=100))]
    width: u16,
}

/// What `rigproof checks` takes.
#[derive(Debug, Args)]
pub(crate) struct ChecksArguments {
    #[command(flatten)]
    plugins: Plugins,
}

pub(crate) fn list(arguments: &ChecksArguments) -> Result<Status, String> {
    let own = arguments.plugins.load();
    output::result(&report::explain::list(own.registry().checks().iter().map(|check| check.card())), None)?;
    Ok(plugins::told(&own))
}

pub(crate) fn run(arguments: &ExplainArguments) -> Result<Status, String> {
    let own = arguments.plugins.load();
    // The rig is read first: it may bring checks along.
    let rig = match &arguments.file {
        Some(file) => Some((file, bytes_of(file, &options(file, &arguments.choice), &arguments.choice.scripts)?)),
        None => None,
    };
    let gathered = match &rig {
        Some((_, (_, options))) => own.gather(&options.scripts),
        None => own.gather(&all_scripts_in(&arguments.choice.scripts)?),
    };
    let registry = &gathered.registry;
    let Some(check) = registry.find(&arguments.id) else {
        if let Some(fault) = gathered.faults.first() {
            // A script's names its place already.
            let named = fault.text.starts_with(&fault.check);
            return Err(if named { fault.text.clone() } else { format!("{}: {}", fault.check, fault.text) });
        }
        let near: Vec<&str> =
            registry.checks().iter().map(|check| &*check.card().id).filter(|id| id.contains(&arguments.id)).collect();
        let hint =
            if near.is_empty() { "`rigproof checks` lists them".to_owned() } else { format!("perhaps {}", near.join(" or ")) };
        return Err(format!("there is no check called {}; {hint}", arguments.id));
    };
    let card = check.card();
    let needs: Vec<(String, String)> = card
        .needs
        .iter()
        .chain(card.uses.iter())
        .map(|path| (path.to_owned(), rig_facts::tables::how_to_get(path).to_owned()))
        .collect();
    let width = usize::from(arguments.width);
    let mut text = report::explain::render(card, &limits(registry, card)?, &needs, width);
    if let Some((file, (bytes, options))) = rig {
        let options = Options { only: vec![card.id.to_string()], remedies: false, ..options };
        let audit = audit_of(&own, &gathered, file, &bytes, &options)?;
        if !audit.errors.is_empty() {
            return Err(terminal::errors(&audit).trim_end().to_owned());
        }
        text.push('\n');
        text.push_str(&report::working::render(&audit, &card.id, width));
    }
    output::result(&text, None)?;
    Ok(plugins::told(&own))
}

/// Every limit of every set that the card names, with the name of its set.
fn limits(registry: &Registry, card: &Card) -> Result<Vec<(String, basis::Limit)>, String> {
    let sets = registry.book().all()?;
    let of_card = card.limits.iter().flat_map(|id| sets.iter().filter_map(move |set| set.limit(id)));
    Ok(of_card.map(|limit| (limit.set.clone(), limit.clone())).collect())
}
