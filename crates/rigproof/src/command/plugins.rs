//! `--plugin PATH`: checks that a user brings along.

use std::path::PathBuf;

use clap::Args;
use plugin_checks::Bounds;
use rigproof::own::Own;

use crate::output;
use crate::status::Status;

/// The plugins that a command line names.
#[derive(Debug, Args)]
pub(crate) struct Plugins {
    /// Checks of a native library; may be given several times. It may do whatever you may: name only what you trust
    #[arg(long = "plugin", value_name = "PATH")]
    paths: Vec<PathBuf>,
}

impl Plugins {
    /// Loads them, each in a process of its own.
    pub(crate) fn load(&self) -> Own {
        if self.paths.is_empty() {
            return Own::default();
        }
        // Without a program of that name its process does not start, and that is told.
        let program = std::env::current_exe().unwrap_or_default();
        Own::plugins(&self.paths, &program, Bounds::default())
    }
}

/// Tells what did not load, where no audit does.
pub(crate) fn told(own: &Own) -> Status {
    for fault in &own.faults {
        output::message(&format!("{} did not load: {}", fault.check, fault.text));
    }
    if own.faults.is_empty() { Status::Fine } else { Status::Fault }
}
