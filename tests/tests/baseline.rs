//! `--baseline` and the forms for machines as a script meets them: exit status, streams, files.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::path::PathBuf;
use std::process::Output;

use rigproof_tests::{TODAY, rigproof_command};
use serde_json::{Value, json};
use tempfile::TempDir;

const FULL: &str = "examples/herbarium-truck/rig.toml";
const SMALL: &str = "examples/flatbed-cabin/rig.toml";
const WRONG: &str = "crates/rig-model/tests/rigs/twenty-mistakes.toml";
const FORMS: [&str; 7] = ["text", "json", "sarif", "junit", "annotations", "csv", "markdown"];

fn audit(arguments: &[&str]) -> Output {
    rigproof_command().arg("audit").args(arguments).args(["--today", TODAY]).output().unwrap()
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

/// An earlier audit in a file.
struct Past {
    folder: TempDir,
}

impl Past {
    /// That of the files as they are.
    fn of(files: &[&str]) -> Self {
        let past = Self { folder: tempfile::tempdir().unwrap() };
        std::fs::write(past.path(), stdout(&audit(&[files, &["--format", "json"]].concat()))).unwrap();
        past
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("old.json")
    }

    fn text(&self) -> String {
        std::fs::read_to_string(self.path()).unwrap()
    }

    fn edited(self, edit: impl FnOnce(&mut Value)) -> Self {
        let mut document: Value = serde_json::from_str(&self.text()).unwrap();
        edit(&mut document);
        std::fs::write(self.path(), document.to_string()).unwrap();
        self
    }

    fn against(&self, arguments: &[&str]) -> Output {
        audit(&[arguments, &["--baseline", self.path().to_str().unwrap()]].concat())
    }
}

/// The finding of a check about a subject in a state.
fn finding<'a>(document: &'a mut Value, check: &str, about: &str, state: &str) -> &'a mut Value {
    let findings = document["findings"].as_array_mut().unwrap();
    findings.iter_mut().find(|f| f["check"] == check && f["about"] == about && f["state"] == state).expect("it is asked")
}

fn front(document: &mut Value) -> &mut Value {
    finding(document, "weight/axle-load", "front axle", "travel-full")
}

#[test]
fn what_stood_before_does_not_fail_and_without_a_baseline_it_does() {
    assert_eq!(status(&audit(&[FULL])), 1);
    let output = Past::of(&[FULL]).against(&[FULL]);
    assert_eq!(status(&output), 0, "{}", stderr(&output));
    assert!(stdout(&output).contains("Nothing became worse.  The rest stood before: "), "{}", stdout(&output));
    // Strictly too: open answers stood as well.
    assert_eq!(status(&Past::of(&[SMALL]).against(&[SMALL, "--strict"])), 0);
    assert_eq!(status(&audit(&[SMALL, "--strict"])), 1);
}

#[test]
fn a_verdict_that_rises_fails_and_the_report_says_which() {
    let past = Past::of(&[FULL]).edited(|document| {
        let front = front(document);
        assert_eq!(front["verdict"], "fail");
        (front["verdict"], front["utilisation"]) = (json!("pass"), json!(0.95));
    });
    let output = past.against(&[FULL]);
    assert_eq!(status(&output), 1);
    let text = stdout(&output).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("worse: weight/axle-load: front axle, travel-full: was pass 0.95, now fail 1."), "{text}");
    assert!(text.contains("1 answer became worse. The rest stood before: "), "{text}");
}

#[test]
fn a_change_tried_out_is_held_against_the_file_as_it_is() {
    let past = Past::of(&[SMALL]);
    let output = past.against(&[SMALL, "--try", "body.mass = 6000 kg"]);
    assert_eq!(status(&output), 1, "{}", stdout(&output));
    assert!(stdout(&output).contains("worse: weight/gross-mass"), "{}", stdout(&output));
}

#[test]
fn an_answer_that_loses_its_input_fails() {
    let past = Past::of(&[SMALL]);
    let rig = rigproof_tests::example("flatbed-cabin").replace("rated = \"6000 lb data-plate\"\n", "");
    let moved = past.folder.path().join("moved.toml");
    std::fs::write(&moved, rig).unwrap();
    let output = past.against(&[moved.to_str().unwrap()]);
    assert_eq!(status(&output), 1, "{}", stderr(&output));
    assert!(stdout(&output).contains("was pass 0.82, now missing"), "{}", stdout(&output));
}

#[test]
fn a_failing_utilisation_fails_above_the_rise_alone() {
    for (rise, ends) in [(0.0049, 0), (0.0051, 1), (-0.2, 0)] {
        let past = Past::of(&[FULL]).edited(|document| {
            let front = front(document);
            front["utilisation"] = json!(front["utilisation"].as_f64().unwrap() - rise);
        });
        assert_eq!(status(&past.against(&[FULL])), ends, "{rise}");
    }
}

#[test]
fn a_new_failure_fails_and_a_new_pass_does_not() {
    for (about, state, ends) in [("front axle", "travel-full", 1), ("rear axle", "travel-empty", 0)] {
        let past = Past::of(&[FULL]).edited(|document| {
            finding(document, "weight/axle-load", about, state)["path"] = json!("axle[of another name]");
        });
        let output = past.against(&[FULL]);
        assert_eq!(status(&output), ends, "{about}");
        assert!(stdout(&output).contains("gone: weight/axle-load: "), "{}", stdout(&output));
    }
}

#[test]
fn what_was_not_asked_for_is_not_missed() {
    let output = Past::of(&[FULL]).against(&[FULL, "--only", "weight/axle-load", "--state", "travel-full", "--format", "json"]);
    assert_eq!(status(&output), 0);
    let document: Value = serde_json::from_str(&stdout(&output)).unwrap();
    assert_eq!(document["baseline"]["gone"], 0, "{}", document["notes"]);
    assert!(document["findings"].as_array().unwrap().iter().all(|finding| finding["since"]["changed"] == false));
}

#[test]
fn a_baseline_works_with_every_form() {
    let past = Past::of(&[FULL]).edited(|document| {
        front(document)["verdict"] = json!("pass");
        let mut gone = front(document).clone();
        gone["path"] = json!("axle[tag]");
        document["findings"].as_array_mut().unwrap().push(gone);
    });
    for form in FORMS {
        let output = past.against(&[FULL, "--format", form]);
        assert_eq!(status(&output), 1, "{form}: {}", stderr(&output));
        let text = stdout(&output);
        let mark = match form {
            "json" => "\"worse\": true",
            "sarif" => "\"baselineState\": \"updated\"",
            "junit" => "<property name=\"since\" value=\"worse: ",
            "csv" => "\"pass\",\"yes\"",
            "markdown" => "| **fail, worse** | weight/axle-load |",
            _ => "worse: ",
        };
        assert_eq!(text.matches(mark).count(), 1, "{form}");
        let gone = "is not asked any more";
        assert_eq!(text.matches(gone).count(), 1, "{form}");
        let plain = stdout(&audit(&[FULL, "--format", form]));
        assert!(!plain.contains("worse: ") && !plain.contains("\"worse\": true") && !plain.contains("baselineState"), "{form}");
    }
    // The first error that a pull request shows is what became worse.
    let commands = stdout(&past.against(&[FULL, "--format", "annotations"]));
    assert!(commands.lines().next().unwrap().contains("title=weight/axle-load::fail: front axle, travel-full"), "{commands}");
}

#[test]
fn a_bad_baseline_ends_with_2_and_a_place() {
    let past = Past::of(&[SMALL]);
    let good = past.text();
    for (text, place) in [
        (String::new(), ":1:1: there is no audit in it"),
        ("{\n  \"format\": oops".to_owned(), ":2:13: this is not JSON"),
        (good.replacen("\"verdict\": \"pass\"", "\"verdict\": \"passed\"", 1), ": found `passed`, expected one of"),
        (good.replace("rigproof-audit/1", "rigproof-audit/9"), ":2:30: the format is"),
        (good[..good.len() / 2].to_owned(), ": the text ends in the middle of an audit"),
        (stdout(&audit(&[WRONG, "--format", "json"])), ": the rig file of this audit could not be read"),
    ] {
        std::fs::write(past.path(), text).unwrap();
        let output = past.against(&[SMALL]);
        assert_eq!(status(&output), 2, "{place}");
        assert!(stdout(&output).is_empty());
        let said = stderr(&output);
        let rest = said.strip_prefix(past.path().to_str().unwrap()).expect("the file is named first");
        let numbers: Vec<&str> = rest.split(':').skip(1).take(2).collect();
        assert!(numbers.iter().all(|number| number.parse::<usize>().is_ok_and(|number| number > 0)), "{said}");
        assert!(rest.contains(place), "{said}");
    }
    std::fs::remove_file(past.path()).unwrap();
    assert_eq!(status(&past.against(&[SMALL])), 2, "it is not there");
}

#[test]
fn several_files_find_their_earlier_audit_by_name() {
    let past = Past::of(&[FULL, SMALL]);
    for files in [&[SMALL, FULL][..], &[FULL], &[SMALL]] {
        let output = past.against(files);
        assert_eq!(status(&output), 0, "{files:?}: {}", stderr(&output));
    }
    let output = Past::of(&[FULL]).against(&[FULL, SMALL]);
    assert_eq!(status(&output), 2);
    assert!(stderr(&output).contains("there is no audit of examples/flatbed-cabin/rig.toml in it"), "{}", stderr(&output));
    // One rig and one earlier audit need no name: the file has moved.
    let past = Past::of(&[SMALL]).edited(|document| document["file"] = json!("elsewhere.toml"));
    assert_eq!(status(&past.against(&[SMALL])), 0);
}

#[test]
fn a_rig_with_mistakes_tells_them_in_each_form_and_ends_with_2() {
    for form in FORMS.into_iter().filter(|form| *form != "text") {
        let output = audit(&[WRONG, "--format", form]);
        assert_eq!(status(&output), 2, "{form}");
        let text = stdout(&output);
        let told = match form {
            "json" => serde_json::from_str::<Value>(&text).unwrap()["errors"].as_array().unwrap().len(),
            "sarif" => text.matches("\"id\": \"input-error\"").count() - 1,
            "junit" => text.matches("<error ").count(),
            "annotations" => text.matches(&format!("::error file={WRONG},line=")).count() + 11,
            "csv" => text.matches(",\"error\",").count(),
            _ => text.matches("- line ").count(),
        };
        assert_eq!(told, 20, "{form}");
    }
    assert!(stdout(&audit(&[WRONG, "--format", "annotations"])).contains("::error title=rigproof::and 11 more"));
}

#[test]
fn forms_for_other_machines_name_a_file_from_the_folder_of_the_run() {
    let whole = rigproof_tests::root().join(SMALL);
    for form in ["sarif", "junit", "annotations", "csv", "markdown"] {
        let (by_whole, by_part) = (audit(&[whole.to_str().unwrap(), "--format", form]), audit(&[SMALL, "--format", form]));
        assert!(!stdout(&by_part).is_empty());
        assert_eq!(stdout(&by_whole), stdout(&by_part), "{form}");
    }
}

#[test]
fn several_files_give_one_document() {
    let runs: Value = serde_json::from_str(&stdout(&audit(&[FULL, SMALL, "--format", "sarif"]))).unwrap();
    let names: Vec<&Value> = runs["runs"].as_array().unwrap().iter().map(|run| &run["properties"]["rig"]).collect();
    assert_eq!(names, ["Alpine herbarium truck", "Flatbed cabin"]);
    let ids: Vec<&Value> = runs["runs"].as_array().unwrap().iter().map(|run| &run["automationDetails"]["id"]).collect();
    assert_ne!(ids[0], ids[1]);
    assert_eq!(stdout(&audit(&[FULL, SMALL, "--format", "csv"])).matches("file,kind,").count(), 1);
    assert_eq!(stdout(&audit(&[FULL, SMALL, "--format", "markdown"])).matches("\n## ").count() + 1, 2);
    let commands = stdout(&audit(&[FULL, SMALL, "--format", "annotations"]));
    assert!(["::error ", "::warning ", "::notice "].iter().all(|level| commands.matches(level).count() <= 10));
}
