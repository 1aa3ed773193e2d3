//! What the whole-program tests share: the examples, the hostile corpus and what must come of it, the binary.
#![forbid(unsafe_code)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "helpers of tests")]

pub mod corpus;
pub mod hand;
pub mod json_edit;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use check::{Audit, Day};
use rigproof::Options;

/// The example rigs, by the name of their folder. The first is the complete one.
pub const EXAMPLES: [&str; 2] = ["herbarium-truck", "flatbed-cabin"];

/// The complete example.
pub const FULL: &str = EXAMPLES[0];

/// The day all tests live in.
pub const TODAY: &str = "2026-11-25";

/// Top of the repository.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_path_buf()
}

/// The rig file of an example.
#[must_use]
pub fn example_file(name: &str) -> PathBuf {
    root().join("examples").join(name).join("rig.toml")
}

/// Text of an example's rig file.
#[must_use]
pub fn example(name: &str) -> String {
    let file = example_file(name);
    std::fs::read_to_string(&file).unwrap_or_else(|e| panic!("{}: {e}", file.display()))
}

/// [`TODAY`] as a day.
#[must_use]
pub fn today() -> Day {
    TODAY.parse().unwrap()
}

/// The options of a plain run over a TOML file called `rig.toml`.
#[must_use]
pub fn options() -> Options {
    Options { file: "rig.toml".to_owned(), today: today(), ..Options::default() }
}

/// The same, without remedies: an order of magnitude quicker.
#[must_use]
pub fn quick() -> Options {
    Options { remedies: false, ..options() }
}

/// Audit of an example, remedies on.
#[must_use]
pub fn audit_of(name: &str) -> Audit {
    rigproof::audit(&example(name), &options())
}

/// The `rigproof` program, built once by the cargo that runs the tests.
///
/// # Panics
/// When it does not build.
pub fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        let built = build(&["--package", "rigproof", "--bin", "rigproof"]);
        built
            .iter()
            .find_map(|message| message["executable"].as_str().map(PathBuf::from))
            .expect("cargo names the program it built")
    })
}

/// The native library of a package, built by the cargo that runs the tests.
///
/// # Panics
/// When it does not build.
#[must_use]
pub fn library(package: &str) -> PathBuf {
    let built = build(&["--package", package]);
    let files = built.iter().filter(|message| message["target"]["kind"][0] == "cdylib").flat_map(|message| {
        message["filenames"].as_array().into_iter().flatten().filter_map(|file| file.as_str()).map(PathBuf::from)
    });
    let mut libraries = files.filter(|file| file.extension().is_some_and(|ending| ending == std::env::consts::DLL_EXTENSION));
    libraries
        .find(|file| file.file_stem().is_some_and(|stem| stem.to_string_lossy().contains(&package.replace('-', "_"))))
        .expect("cargo names the library it built")
}

/// What cargo says of what it built.
fn build(what: &[&str]) -> Vec<serde_json::Value> {
    let output = Command::new(env!("CARGO"))
        .args(["build", "--quiet", "--message-format", "json"])
        .args(what)
        .current_dir(root())
        .output()
        .expect("cargo starts");
    assert!(output.status.success(), "cargo build: {}", String::from_utf8_lossy(&output.stderr));
    let messages = String::from_utf8(output.stdout).expect("cargo writes UTF-8");
    messages.lines().filter_map(|line| serde_json::from_str(line).ok()).collect()
}

/// A run of the program with the test's day, no colour, and no terminal.
#[must_use]
pub fn rigproof_command() -> assert_cmd::Command {
    let mut command = assert_cmd::Command::new(program());
    command.current_dir(root()).env_remove("CLICOLOR_FORCE").env("NO_COLOR", "1");
    command
}

/// JSON Pointers of all numbers that JSON could not hold: our renderer writes those as null where a number belongs.
#[must_use]
pub fn nulls_among_numbers(audit: &serde_json::Value) -> Vec<String> {
    const MUST_BE_NUMBERS: [&str; 5] = ["value", "low", "high", "share", "settles"];
    let mut found = Vec::new();
    walk(audit, "", &mut |pointer, key, value| {
        // A need without a share, and a measure that is absent, are null on purpose.
        let meant = key == "share";
        if value.is_null() && MUST_BE_NUMBERS.contains(&key) && !meant {
            found.push(pointer.to_owned());
        }
    });
    found
}

/// Walks every value of a JSON document with its pointer and the last key of it.
pub fn walk<'a>(value: &'a serde_json::Value, pointer: &str, see: &mut impl FnMut(&str, &'a str, &'a serde_json::Value)) {
    match value {
        serde_json::Value::Object(map) => {
            for (key, inner) in map {
                let here = format!("{pointer}/{key}");
                see(&here, key, inner);
                walk(inner, &here, see);
            }
        }
        serde_json::Value::Array(list) => {
            for (at, inner) in list.iter().enumerate() {
                let here = format!("{pointer}/{at}");
                walk(inner, &here, see);
            }
        }
        _ => {}
    }
}
