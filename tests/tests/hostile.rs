//! Broken, odd and spiteful rig files: never a panic; every problem at the place that the file itself names.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::io::Write;
use std::panic::catch_unwind;

use rigproof::Options;
use rigproof_tests::corpus::{Hostile, Want, hostile};
use rigproof_tests::{options, rigproof_command};

fn options_for(file: &Hostile) -> Options {
    Options { file: file.name.clone(), json: file.json, ..options() }
}

#[test]
fn the_corpus_is_large_enough() {
    let files = hostile();
    assert!(files.len() >= 100, "{} files", files.len());
    assert!(files.iter().filter(|file| file.want == Want::Clean).count() >= 8);
}

#[test]
fn every_file_gives_what_it_says() {
    let mut wrong = Vec::new();
    for file in hostile() {
        let run = catch_unwind(|| rigproof::audit_bytes(&file.bytes, &options_for(&file)));
        let Ok(audit) = run else {
            wrong.push(format!("{}: panicked", file.name));
            continue;
        };
        if !file.want.is_met_by(&audit.errors) {
            let got: Vec<String> =
                audit.errors.iter().map(|e| format!("{}:{} {}: {}", e.line, e.column, e.subject, e.text)).take(5).collect();
            wrong.push(format!(
                "{}: wanted {:?}, got {} problems: {}",
                file.name,
                file.want,
                audit.errors.len(),
                got.join(" | ")
            ));
        }
        if !audit.errors.is_empty() && !audit.findings.is_empty() {
            wrong.push(format!("{}: a file with problems was audited all the same", file.name));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Words that a yard does not use. Exemplars of good messages have none of them.
const NOT_IN_A_YARD: [&str; 9] =
    ["invalid", "failed to", "unexpected", "token", "parse", "deserialize", "i64", "f64", "expected `"];

#[test]
fn messages_are_in_plain_words_and_show_no_control_characters() {
    for file in hostile() {
        let audit = rigproof::audit_bytes(&file.bytes, &options_for(&file));
        for error in &audit.errors {
            assert!(error.line >= 1 && error.column >= 1, "{}: {error:?}", file.name);
            assert!(!error.subject.is_empty() && !error.text.is_empty(), "{}: {error:?}", file.name);
            let lower = error.text.to_lowercase();
            for word in NOT_IN_A_YARD {
                assert!(!lower.contains(word), "{}: \"{word}\" in: {}", file.name, error.text);
            }
        }
        let shown = report::terminal::errors(&audit);
        let control = shown.chars().find(|c| c.is_control() && *c != '\n');
        assert_eq!(control, None, "{}", file.name);
    }
}

#[test]
fn the_same_bytes_read_as_the_other_syntax_do_not_panic() {
    for file in hostile() {
        let other = Options { json: !file.json, ..options_for(&file) };
        assert!(catch_unwind(|| rigproof::audit_bytes(&file.bytes, &other)).is_ok(), "{}", file.name);
    }
}

#[test]
fn the_program_ends_with_status_2_and_an_address() {
    for name in ["unknown-key.toml", "noise.toml", "cut.json", "empty.toml"] {
        let file = hostile().into_iter().find(|file| file.name == name).unwrap();
        let Want::Problems(places) = &file.want else { panic!("{name}") };
        let relative = format!("tests/hostile/{name}");
        let output = rigproof_command().args(["audit", &relative]).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{name}");
        assert!(output.stdout.is_empty(), "{name}: nothing was audited, so there is no report");
        let stderr = String::from_utf8(output.stderr).unwrap();
        let address = format!("{relative}:{}:", places[0].line);
        assert!(stderr.contains(&address), "{name}: no \"{address}\" in:\n{stderr}");
        assert!(stderr.trim_end().ends_with("Nothing was checked."), "{name}:\n{stderr}");
    }
}

/// Bytes of a file that the door refuses.
const TOO_LARGE: usize = 50_000_000;

#[test]
fn a_key_of_50_mb_and_a_file_of_50_mb_are_refused_in_a_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let long_key = folder.path().join("long-key.toml");
    let mut file = std::fs::File::create(&long_key).unwrap();
    file.write_all(&vec![b'k'; TOO_LARGE]).unwrap();
    file.write_all(b" = 1\n").unwrap();
    let long_file = folder.path().join("long-file.toml");
    std::fs::write(&long_file, "# nothing\n".repeat(TOO_LARGE / 10)).unwrap();
    // Building it is not what is timed.
    rigproof_tests::program();
    for path in [long_key, long_file] {
        let started = std::time::Instant::now();
        let output = rigproof_command().arg("audit").arg(&path).output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        let stderr = String::from_utf8(output.stderr).unwrap();
        assert!(stderr.contains("8 MiB"), "{stderr}");
        assert!(stderr.len() < 1000, "the message does not repeat the file");
        // A refusal by size reads no more than the limit; half a minute is a hang on the slowest machine.
        assert!(started.elapsed().as_secs() < 30);
    }
}

#[test]
fn just_below_8_mib_is_read() {
    let mut text = rigproof_tests::example(rigproof_tests::FULL);
    let line = "# nothing to see here, nothing at all, and yet one more line of it\n";
    while text.len() + line.len() < 8 * 1024 * 1024 {
        text.push_str(line);
    }
    let audit = rigproof::audit_bytes(text.as_bytes(), &rigproof_tests::quick());
    assert!(audit.errors.is_empty(), "{:?}", audit.errors.first());
    text.push_str(line);
    let audit = rigproof::audit_bytes(text.as_bytes(), &rigproof_tests::quick());
    assert_eq!(audit.errors.len(), 1);
}
