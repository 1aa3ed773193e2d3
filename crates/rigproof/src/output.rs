//! Where words go: results to stdout or a file, messages to stderr.

use std::fs;
use std::io::{self, IsTerminal, Read, Write};
use std::path::Path;

use rig_model::MAX_BYTES;

/// Writes a result to stdout, or to a file that is whole or not there at all: a temporary one beside it, then renamed.
/// A reader that has gone away ends quietly.
///
/// # Errors
/// A sentence that names the file and why it cannot be written.
pub(crate) fn result(text: &str, to: Option<&Path>) -> Result<(), String> {
    match to {
        None => match io::stdout().lock().write_all(text.as_bytes()).and_then(|()| io::stdout().flush()) {
            Err(why) if why.kind() != io::ErrorKind::BrokenPipe => Err(format!("stdout: {why}")),
            _ => Ok(()),
        },
        Some(path) => write_whole(path, text.as_bytes()).map_err(|why| format!("{}: {why}", path.display())),
    }
}

fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let name = path.file_name().ok_or_else(|| io::Error::other("this names no file"))?;
    let mut beside = name.to_owned();
    beside.push(format!(".{}.part", std::process::id()));
    let beside = path.with_file_name(beside);
    let written = fs::File::create(&beside)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written
}

/// Writes a message to stderr; if even that fails there is nobody left to tell.
pub(crate) fn message(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{text}");
}

/// Reads a rig file, or stdin for `-`, up to the largest size taken.
///
/// # Errors
/// A sentence that names the file and why it cannot be read.
pub(crate) fn read(path: &str) -> Result<Vec<u8>, String> {
    read_up_to(MAX_BYTES, path, "a rig file is a text of some kilobytes")
}

/// Reads earlier audits, which are longer than the rigs they are of.
///
/// # Errors
/// A sentence that names the file and why it cannot be read.
pub(crate) fn read_audits(path: &str) -> Result<Vec<u8>, String> {
    read_up_to(MAX_AUDIT_BYTES, path, "an audit of a complete rig takes about one")
}

/// Earlier audits are read up to this size: as many complete rigs as one run would be given.
const MAX_AUDIT_BYTES: usize = 16 * MAX_BYTES;

fn read_up_to(most: usize, path: &str, usual: &str) -> Result<Vec<u8>, String> {
    let limit = u64::try_from(most).unwrap_or(u64::MAX);
    let take = |from: &mut dyn Read| {
        let mut bytes = Vec::new();
        from.take(limit.saturating_add(1)).read_to_end(&mut bytes).map(|_| bytes)
    };
    let bytes =
        if path == "-" { take(&mut io::stdin().lock()) } else { fs::File::open(path).and_then(|mut file| take(&mut file)) };
    let bytes = bytes.map_err(|why| format!("{path}: {why}"))?;
    if bytes.len() > most {
        return Err(format!("{path}: this is larger than {} MiB; {usual}", most / (1024 * 1024)));
    }
    Ok(bytes)
}

/// Whether stdout is a terminal.
pub(crate) fn on_terminal() -> bool {
    io::stdout().is_terminal()
}
