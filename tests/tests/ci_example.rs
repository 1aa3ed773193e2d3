//! `examples/ci`: every command of its recipe runs, and does what its README says.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use rigproof_tests::{program, root};
use tempfile::TempDir;

fn folder() -> PathBuf {
    root().join("examples/ci")
}

/// Lines of a file of the example that begin with the program's name, in their order.
fn commands(file: &str) -> Vec<String> {
    let text = std::fs::read_to_string(folder().join(file)).unwrap();
    text.lines().map(str::trim).filter(|line| line.starts_with("rigproof ")).map(str::to_owned).collect()
}

/// A place as the hosted build has it: the rig, and how it was before the change.
fn place() -> TempDir {
    let place = tempfile::tempdir().unwrap();
    for name in ["rig.toml", "before.toml"] {
        std::fs::copy(folder().join("rig.toml"), place.path().join(name)).unwrap();
    }
    std::fs::create_dir(place.path().join("checks")).unwrap();
    for name in ["shelf-load.rhai", "shelf-load.cases.toml"] {
        let from = folder().join("checks").join(name);
        std::fs::copy(from, place.path().join("checks").join(name)).unwrap();
    }
    place
}

/// Runs a line as the hosted build's shell does.
fn run(line: &str, place: &Path) -> Output {
    let path = format!("{}:{}", program().parent().unwrap().display(), std::env::var("PATH").unwrap_or_default());
    Command::new("bash")
        .args(["--noprofile", "--norc", "-eo", "pipefail", "-c", line])
        .current_dir(place)
        .env("PATH", path)
        .env("GITHUB_STEP_SUMMARY", place.join("summary.md"))
        .output()
        .unwrap()
}

#[test]
fn every_command_of_the_recipe_runs_and_nothing_is_worse() {
    let place = place();
    let commands = commands("workflow.yml");
    assert_eq!(commands.len(), 6, "{commands:?}");
    for line in &commands {
        let output = run(line, place.path());
        assert_eq!(output.status.code(), Some(0), "{line}: {}", String::from_utf8_lossy(&output.stderr));
        assert!(output.stderr.is_empty(), "{line}");
    }
    let written = |name: &str| std::fs::read_to_string(place.path().join(name)).unwrap();
    assert!(written("summary.md").starts_with("## Seed library\n") && written("summary.md").contains("Nothing became worse"));
    let sarif: serde_json::Value = serde_json::from_str(&written("rig.sarif")).unwrap();
    assert!(sarif["runs"][0]["results"].as_array().unwrap().iter().all(|result| result["baselineState"] == "unchanged"));
    assert!(roxmltree::Document::parse(&written("rig.xml")).is_ok());
}

#[test]
fn a_change_for_the_worse_fails_the_last_step_alone() {
    let place = place();
    let rig = std::fs::read_to_string(folder().join("rig.toml")).unwrap();
    let heavier = rig.replace("mass = \"720 kg weighed\"", "mass = \"1720 kg weighed\"");
    assert_ne!(rig, heavier, "the README's change is one of this rig");
    std::fs::write(place.path().join("rig.toml"), heavier).unwrap();
    let commands = commands("workflow.yml");
    let ends: Vec<Option<i32>> = commands.iter().map(|line| run(line, place.path()).status.code()).collect();
    assert_eq!(ends, [Some(0), Some(0), Some(0), Some(0), Some(0), Some(1)]);
    let last = run(&commands[5], place.path());
    let said = String::from_utf8(last.stdout).unwrap();
    // The build's own check is asked too: 1720 kg on 9 boards is 191 kg each, 2.12 of 90 kg.
    assert!(said.contains("seeds/shelf-load") && said.contains("2.12"), "{said}");
    assert!(said.starts_with("::error file=rig.toml,line="), "{said}");
    assert!(said.contains("worse: was pass"), "{said}");
    assert!(std::fs::read_to_string(place.path().join("summary.md")).unwrap().contains("became worse**"));
}

#[test]
fn a_rig_that_cannot_be_read_ends_each_step_with_2() {
    let place = place();
    let commands = commands("workflow.yml");
    for line in &commands[..2] {
        assert_eq!(run(line, place.path()).status.code(), Some(0));
    }
    std::fs::write(place.path().join("rig.toml"), "format = 5").unwrap();
    for line in &commands[2..] {
        // The bracket behind a command lets 1 through and nothing else.
        assert_ne!(run(line, place.path()).status.code(), Some(0), "{line}");
    }
    assert_eq!(run(&commands[5], place.path()).status.code(), Some(2));
}

#[test]
fn the_readme_shows_the_commands_of_the_recipe() {
    let bare = |line: &String| line.split(" || ").next().unwrap().split(" >> ").next().unwrap().to_owned();
    let recipe: Vec<String> = commands("workflow.yml").iter().map(bare).collect();
    assert_eq!(commands("README.md"), recipe);
    let readme = std::fs::read_to_string(folder().join("README.md")).unwrap();
    let recipe = std::fs::read_to_string(folder().join("workflow.yml")).unwrap();
    assert!(readme.contains("git show HEAD^1:rig.toml > before.toml"));
    assert!(recipe.contains("git show \"$BEFORE:rig.toml\" > before.toml") && recipe.contains("|| 'HEAD^1' }}"));
    assert!(readme.contains("is invented"));
}
