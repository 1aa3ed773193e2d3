//! What the README shows is what the program prints.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::process::Command;

use rigproof_tests::{TODAY, program, root};

/// Fenced blocks whose first line is `$ rigproof ...`: the command's words, and what stands below it.
fn shown(text: &str) -> Vec<(Vec<String>, String)> {
    let blocks = text.split("```").skip(1).step_by(2);
    let commands = blocks.filter_map(|block| {
        let (_, body) = block.split_once('\n')?;
        let (command, output) = body.split_once('\n')?;
        let words = command.strip_prefix("$ rigproof ")?;
        Some((words.split_whitespace().map(str::to_owned).collect(), output.to_owned()))
    });
    commands.collect()
}

#[test]
fn every_output_in_the_readme_is_what_the_program_prints() {
    let text = std::fs::read_to_string(root().join("README.md")).unwrap();
    let shown = shown(&text);
    assert!(!shown.is_empty(), "the README shows no output");
    for (words, output) in shown {
        let mut command = Command::new(program());
        command.current_dir(root()).args(&words).env("NO_COLOR", "1");
        if words[0] == "audit" {
            command.args(["--today", TODAY]);
        }
        let run = command.output().unwrap();
        let printed = String::from_utf8(run.stdout).unwrap();
        assert_eq!(printed.trim_end(), output.trim_end(), "rigproof {}", words.join(" "));
    }
}

#[test]
fn the_commands_of_the_readme_are_those_of_ci() {
    let text = std::fs::read_to_string(root().join("README.md")).unwrap();
    let ci = std::fs::read_to_string(root().join(".ci/run")).unwrap();
    assert!(text.contains("cargo test --workspace"));
    assert!(ci.contains("cargo test --workspace"));
}
