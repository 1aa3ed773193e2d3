//! Checks that a user brings along: native plugins.

use std::path::{Path, PathBuf};

use check::audit::{Audit, Fault, SourceFile};
use check::{Check, Registry};
use plugin_checks::{Bounds, Plugin};
use rig_model::Trade;

use crate::door;
use crate::gather::{Gathered, ScriptText, gather_with};

/// The program's checks and a user's own; and what of the latter did not load.
#[derive(Debug, Default)]
pub struct Own {
    registry: Option<Registry>,
    /// Files of checks that did not load, and why.
    pub faults: Vec<Fault>,
    sources: Vec<SourceFile>,
}

impl Own {
    /// Loads native plugins, each in a child of `program` (see [`plugin_checks::inside`]). To be named by the user alone,
    /// never by a rig file: a native library may do whatever its user may.
    #[must_use]
    pub fn plugins(paths: &[PathBuf], program: &Path, bounds: Bounds) -> Self {
        let mut own = Self::default();
        let mut taken: Vec<String> = Trade::ALL.iter().map(|trade| trade.word().to_owned()).collect();
        let mut checks: Vec<Box<dyn Check>> = Vec::new();
        for path in paths {
            match Plugin::load(path, program, bounds).and_then(|plugin| plugin.checks(&taken)) {
                Ok(more) => {
                    taken.extend(more.iter().map(|check| check.card().trade().to_owned()));
                    checks.extend(more);
                    own.sources.extend(std::fs::read(path).ok().map(|bytes| door::source(&path.to_string_lossy(), &bytes)));
                }
                Err(why) => own.fault(path, why.to_string()),
            }
        }
        if !checks.is_empty() {
            match door::registry().with(checks) {
                Ok(registry) => own.registry = Some(registry),
                Err(why) => paths.iter().for_each(|path| own.fault(path, why.to_string())),
            }
        }
        own
    }

    fn fault(&mut self, path: &Path, text: String) {
        self.faults.push(Fault { check: path.to_string_lossy().into_owned(), text });
    }

    /// All checks but scripts.
    #[must_use]
    pub fn registry(&self) -> &Registry {
        match &self.registry {
            Some(registry) => registry,
            None => door::registry(),
        }
    }

    /// All checks, and these scripts.
    #[must_use]
    pub fn gather(&self, scripts: &[ScriptText]) -> Gathered {
        let mut gathered = gather_with(self.registry(), scripts);
        gathered.faults.splice(0..0, self.faults.iter().cloned());
        gathered
    }

    /// Audits the bytes of a rig file with what was gathered. What did not load is a fault of the audit.
    #[must_use]
    pub fn audit_gathered(&self, gathered: &Gathered, bytes: &[u8], options: &door::Options) -> Audit {
        let mut audit = door::audit_gathered(gathered, bytes, options);
        audit.sources.extend(self.sources.iter().cloned());
        audit
    }

    /// The same with the scripts of the options.
    #[must_use]
    pub fn audit(&self, bytes: &[u8], options: &door::Options) -> Audit {
        self.audit_gathered(&self.gather(&options.scripts), bytes, options)
    }
}
