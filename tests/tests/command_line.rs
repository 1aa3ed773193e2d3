//! The program as a person or a script meets it: what goes to stdout, what to stderr, and how it ends.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::process::Output;

use rigproof_tests::{EXAMPLES, TODAY, example, rigproof_command, root};
use serde_json::Value;

const FULL: &str = "examples/herbarium-truck/rig.toml";
const SMALL: &str = "examples/flatbed-cabin/rig.toml";

fn run(arguments: &[&str]) -> Output {
    rigproof_command().args(arguments).output().unwrap()
}

fn status(output: &Output) -> i32 {
    output.status.code().expect("it ended by itself")
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Minimal rig of which nothing fails and little is known.
const QUIET: &str = "format = \"rigproof-rig/1\"\nrig = \"Quiet\"\nwithout = [\"trailer\"]\n[chassis]\ngross_mass = \"7500 kg data-plate\"\n\
    [[axle]]\nname = \"front\"\nx = \"0 m\"\nrated = \"3500 kg data-plate\"\ntrack = \"1.9 m\"\nbare_load = \"1800 kg weighed\"\n\
    [[axle]]\nname = \"rear\"\nx = \"3.6 m\"\nrated = \"5200 kg data-plate\"\ntrack = \"1.8 m\"\nbare_load = \"1500 kg weighed\"\n";

#[test]
fn an_audit_goes_to_stdout_and_a_failure_ends_with_1() {
    let output = run(&["audit", FULL, "--today", TODAY]);
    assert_eq!(status(&output), 1, "{}", stderr(&output));
    assert!(stderr(&output).is_empty(), "{}", stderr(&output));
    let text = stdout(&output);
    assert!(text.contains("Alpine herbarium truck") && text.contains("weight/axle-load"));
    assert!(!text.contains('\u{1b}'), "no styles off a terminal");
    assert!(text.lines().all(|line| line.chars().count() <= 100));
}

#[test]
fn json_is_one_document_and_several_files_are_lines() {
    let output = run(&["audit", FULL, "--format", "json", "--today", TODAY]);
    assert_eq!(status(&output), 1);
    let audit: Value = serde_json::from_str(&stdout(&output)).unwrap();
    assert_eq!(audit["format"], "rigproof-audit/1");
    assert_eq!(audit["date"], TODAY);
    assert_eq!(audit["file"], FULL);
    assert_eq!(audit["sources"][0]["sha256"].as_str().unwrap().len(), 64);
    let output = run(&["audit", FULL, SMALL, "--format", "json", "--today", TODAY]);
    let rigs: Vec<Value> =
        stdout(&output).lines().map(|line| serde_json::from_str::<Value>(line).unwrap()["rig"].clone()).collect();
    assert_eq!(rigs, ["Alpine herbarium truck", "Flatbed cabin"]);
}

#[test]
fn nothing_failing_ends_with_0_and_strict_with_1() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("quiet.toml");
    std::fs::write(&file, QUIET).unwrap();
    let file = file.to_str().unwrap();
    let plain = run(&["audit", file, "--today", TODAY]);
    assert_eq!(status(&plain), 0, "{}", stdout(&plain));
    let strict = run(&["audit", file, "--today", TODAY, "--strict"]);
    assert_eq!(status(&strict), 1, "something is missing, and strict counts that");
    // An answer does not change by being asked strictly.
    assert_eq!(stdout(&plain), stdout(&strict));
}

#[test]
fn a_dash_reads_from_stdin() {
    let by_name = run(&["audit", SMALL, "--format", "json", "--today", TODAY]);
    let output = rigproof_command()
        .args(["audit", "-", "--format", "json", "--today", TODAY])
        .write_stdin(example(EXAMPLES[1]))
        .output()
        .unwrap();
    assert_eq!(status(&output), status(&by_name));
    let (mut a, mut b): (Value, Value) =
        (serde_json::from_str(&stdout(&output)).unwrap(), serde_json::from_str(&stdout(&by_name)).unwrap());
    for audit in [&mut a, &mut b] {
        audit["file"] = Value::Null;
        audit["sources"] = Value::Null;
    }
    assert_eq!(a, b);
}

#[test]
fn only_and_state_narrow_and_a_name_that_matches_nothing_ends_with_2() {
    let output =
        run(&["audit", FULL, "--format", "json", "--today", TODAY, "--only", "weight/axle-load", "--state", "travel-full"]);
    assert_eq!(status(&output), 1);
    let audit: Value = serde_json::from_str(&stdout(&output)).unwrap();
    let findings = audit["findings"].as_array().unwrap();
    assert_eq!(findings.len(), 2);
    assert!(findings.iter().all(|f| f["check"] == "weight/axle-load" && f["state"] == "travel-full"));
    for (option, word) in [("--only", "weight/axle-lode"), ("--state", "travel-fool")] {
        let output = run(&["audit", FULL, "--today", TODAY, option, word]);
        assert_eq!(status(&output), 2, "{option} {word}");
        assert!(stdout(&output).is_empty());
        assert!(stderr(&output).contains(word), "{}", stderr(&output));
    }
}

#[test]
fn output_writes_a_file_whole_or_not_at_all() {
    let folder = tempfile::tempdir().unwrap();
    let target = folder.path().join("audit.json");
    let output = run(&["audit", SMALL, "--format", "json", "--today", TODAY, "--output", target.to_str().unwrap()]);
    assert!(status(&output) <= 1, "{}", stderr(&output));
    assert!(stdout(&output).is_empty());
    let written = std::fs::read_to_string(&target).unwrap();
    assert_eq!(written, stdout(&run(&["audit", SMALL, "--format", "json", "--today", TODAY])));
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["audit.json"], "nothing temporary is left behind");
    let nowhere = folder.path().join("no/such/folder/audit.json");
    let output = run(&["audit", SMALL, "--today", TODAY, "--output", nowhere.to_str().unwrap()]);
    assert_eq!(status(&output), 2);
    assert!(!stderr(&output).is_empty());
}

#[test]
fn a_file_that_is_not_there_and_a_wrong_command_line_end_with_2() {
    for arguments in [
        &["audit", "no-such-rig.toml"][..],
        &["audit", "examples"],
        &["audit"],
        &["audit", FULL, "--today", "soon"],
        &["audit", FULL, "--format", "poem"],
        &["weigh"],
        &["explain", "weight/nothing"],
        &["calc", "no-such-kernel"],
        &["schema", "poem"],
    ] {
        let output = run(arguments);
        assert_eq!(status(&output), 2, "{arguments:?}");
        assert!(stdout(&output).is_empty(), "{arguments:?}");
        assert!(!stderr(&output).trim().is_empty(), "{arguments:?}");
    }
}

#[test]
fn a_rig_with_mistakes_lists_them_on_stderr_and_ends_with_2() {
    let output = run(&["audit", "crates/rig-model/tests/rigs/twenty-mistakes.toml"]);
    assert_eq!(status(&output), 2);
    assert!(stdout(&output).is_empty());
    assert!(stderr(&output).trim_end().ends_with("Nothing was checked."));
    let output = run(&["audit", "crates/rig-model/tests/rigs/twenty-mistakes.toml", "--format", "json", "--today", TODAY]);
    assert_eq!(status(&output), 2);
    let audit: Value = serde_json::from_str(&stdout(&output)).unwrap();
    assert_eq!(audit["errors"].as_array().unwrap().len(), 20);
    assert_eq!(audit["findings"].as_array().unwrap().len(), 0);
}

#[test]
fn one_bad_file_among_good_ones_outranks_a_failure() {
    let output = run(&["audit", FULL, "tests/hostile/unknown-key.toml", "--format", "json", "--today", TODAY]);
    assert_eq!(status(&output), 2);
    assert_eq!(stdout(&output).lines().count(), 2, "the good one is audited all the same");
}

#[test]
fn a_start_file_is_twelve_lines_passes_nothing_and_overwrites_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("rig.toml");
    let start = || rigproof_command().current_dir(folder.path()).args(["start", "rig.toml"]).output().unwrap();
    let output = start();
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    let text = std::fs::read_to_string(&file).unwrap();
    let said = text.lines().filter(|line| !line.trim().is_empty() && !line.trim_start().starts_with('#')).count();
    assert!(said <= 30, "{said} lines:\n{text}");
    let audit =
        rigproof_command().args(["audit", file.to_str().unwrap(), "--format", "json", "--today", TODAY]).output().unwrap();
    let audit: Value = serde_json::from_str(&stdout(&audit)).unwrap();
    assert_eq!(audit["errors"].as_array().unwrap().len(), 0, "{}", audit["errors"]);
    assert_eq!(audit["summary"]["pass"], 0, "an unedited file passes nothing");
    assert_eq!(audit["summary"]["fail"], 0);
    std::fs::write(&file, "mine").unwrap();
    let output = start();
    assert_eq!(status(&output), 2);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
}

#[test]
fn checks_are_listed_and_each_is_explained() {
    let list = stdout(&run(&["checks"]));
    let registry = rigproof::registry();
    for check in registry.checks() {
        let id = &*check.card().id;
        assert!(list.contains(id), "{id}");
        let output = run(&["explain", id]);
        assert_eq!(status(&output), 0, "{id}: {}", stderr(&output));
        // The question may be wrapped; its first words stand on one line.
        let question: String = check.card().question.split_whitespace().take(3).collect::<Vec<_>>().join(" ");
        assert!(stdout(&output).contains(&question), "{id}");
    }
}

#[test]
fn drawings_are_written_one_file_each() {
    let folder = tempfile::tempdir().unwrap();
    let output = run(&["draw", FULL, "--to", folder.path().to_str().unwrap()]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    let mut names: Vec<String> =
        std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    assert!(names.len() >= 2 && names.iter().all(|name| name.ends_with(".svg")), "{names:?}");
}

#[test]
fn calc_answers_lines_with_lines() {
    let good = r#"{"axle_load_kg": 5200, "track_m": 1.94, "offset_y_m": 0.06}"#;
    let one = rigproof_command().args(["calc", "wheel-loads"]).write_stdin(good).output().unwrap();
    assert_eq!(status(&one), 0, "{}", stderr(&one));
    // Worked by hand: 5200 (1/2 -+ 0.06/1.94).
    let answer: Value = serde_json::from_str(&stdout(&one)).unwrap();
    assert!((answer["left_kg"].as_f64().unwrap() - 2_439.175_257_731_959).abs() < 1e-5);
    let bad = r#"{"axle_load_kg": 5200, "track_m": -1, "offset_y_m": 0}"#;
    let stream = rigproof_command()
        .args(["calc", "wheel-loads"])
        .write_stdin(format!("{good}\n{bad}\nnot json\n{good}\n"))
        .output()
        .unwrap();
    assert_eq!(status(&stream), 2, "a bad line shows in the status");
    let lines: Vec<Value> = stdout(&stream).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines.len(), 4);
    assert_eq!(lines[0], lines[3]);
    assert!(lines[1]["error"].as_str().unwrap().contains("track_m") && lines[2]["error"].is_string());
}

#[test]
fn calc_lists_its_kernels_and_gives_their_schemas() {
    let list = stdout(&run(&["calc", "--list"]));
    for kernel in kernels::all() {
        assert!(list.contains(kernel.name), "{}", kernel.name);
        let output = run(&["calc", kernel.name, "--schema"]);
        assert_eq!(status(&output), 0, "{}: {}", kernel.name, stderr(&output));
        let _: Value = serde_json::from_str(&stdout(&output)).unwrap();
    }
}

#[test]
fn help_version_completions_and_manual_go_to_stdout() {
    for arguments in [&["--help"][..], &["--version"], &["audit", "--help"], &["completions", "bash"], &["man"]] {
        let output = run(arguments);
        assert_eq!(status(&output), 0, "{arguments:?}: {}", stderr(&output));
        assert!(!stdout(&output).trim().is_empty(), "{arguments:?}");
    }
}

#[test]
fn colour_comes_only_when_asked_for_off_a_terminal() {
    let plain = run(&["audit", FULL, "--today", TODAY]);
    let asked = run(&["audit", FULL, "--today", TODAY, "--colour", "always"]);
    assert!(!stdout(&plain).contains('\u{1b}'));
    assert!(stdout(&asked).contains('\u{1b}'));
    assert_eq!(status(&asked), status(&plain));
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let mut child = std::process::Command::new(rigproof_tests::program())
        .current_dir(root())
        .args(["audit", FULL, "--format", "json"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert!(!stderr(&output).contains("panicked"), "{}", stderr(&output));
}
