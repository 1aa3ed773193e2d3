//! The checks of one run: the program's own, and the owner's scripts.

use std::sync::Arc;

use check::audit::Fault;
use check::registry::RegistryFault;
use check::{Card, Registry};
use rig_model::Trade;
use script_checks::Script;

use crate::registry;

/// A script as it was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScriptText {
    /// Its file, as messages name it.
    pub file: String,
    /// What stands in it.
    pub text: String,
}

/// The checks of one run.
#[derive(Debug)]
pub struct Gathered {
    /// All that could be read.
    pub registry: Registry,
    /// The scripts among them.
    pub scripts: Vec<Arc<Script>>,
    /// Scripts that are no checks, and why.
    pub faults: Vec<Fault>,
}

impl Gathered {
    /// The cards of what is not the program's own.
    #[must_use]
    pub fn own_cards(&self) -> Vec<Card> {
        let own = self.registry.checks().iter().map(|check| check.card());
        own.filter(|card| registry().find(&card.id).is_none()).cloned().collect()
    }
}

/// The program's checks and these scripts. A script that is no check is a fault, and the others are there.
#[must_use]
pub fn gather(scripts: &[ScriptText]) -> Gathered {
    gather_with(registry(), scripts)
}

/// The same with other checks than the program's.
#[must_use]
pub fn gather_with(checks: &Registry, scripts: &[ScriptText]) -> Gathered {
    let taken = Trade::ALL.map(Trade::word);
    let mut registry = checks.with(Vec::new()).unwrap_or_else(|_| Registry::empty());
    let (mut read, mut faults) = (Vec::new(), Vec::new());
    for ScriptText { file, text } in scripts {
        let fault = |text: String| Fault { check: file.clone(), text };
        match Script::read(file, text, &taken) {
            Ok(script) => match joined(&registry, Arc::new(script)) {
                Ok((with, script)) => {
                    registry = with;
                    read.push(script);
                }
                Err(why) => faults.push(fault(format!("{file}:1:1: {why}"))),
            },
            Err(why) => faults.extend(why.0.into_iter().map(fault)),
        }
    }
    Gathered { registry, scripts: read, faults }
}

fn joined(registry: &Registry, script: Arc<Script>) -> Result<(Registry, Arc<Script>), RegistryFault> {
    Ok((registry.with(vec![Box::new(Arc::clone(&script))])?, script))
}
