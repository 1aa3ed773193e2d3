//! The command line: files, terminal, exit status. Everything else is in the rooms below.

mod command;
mod memory;
mod output;
mod status;

use std::process::ExitCode;

fn main() -> ExitCode {
    if let Some(ended) = plugin_checks::inside::called(std::env::args_os()) {
        return ended;
    }
    runner::keep_panics_quiet();
    script_checks::measure_memory_with(memory::held);
    command::run(command::arguments()).into()
}
