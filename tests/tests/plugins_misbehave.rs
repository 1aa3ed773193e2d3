//! Whatever a plugin does, it is a fault of its own check: one clear sentence within its bounds, every other answer the
//! same to the byte, and the plugin's next check answered by a new process.
#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use std::time::{Duration, Instant};

use check::{Audit, Finding, Verdict};
use plugin_checks::Bounds;
use rigproof::own::Own;
use rigproof_tests::{EXAMPLES, audit_of, example, library, options, program};

/// Little enough that the tests end soon.
const BOUNDS: Bounds =
    Bounds { greeting: Duration::from_secs(4), answer: Duration::from_secs(2), memory: 256 << 20, reply: 1 << 20 };

/// Starting, loading, ending, and everything else of an audit, on a machine that is busy.
const SLACK: Duration = Duration::from_secs(20);

/// Not the complete one: its ways out are asked for too, and many of them would take their time.
const RIG: &str = EXAMPLES[1];

static FOLDER: LazyLock<tempfile::TempDir> = LazyLock::new(|| tempfile::tempdir().unwrap());

/// A copy of the misbehaving plugin with a name that tells it how.
fn copy(way: &str) -> PathBuf {
    static LIBRARY: LazyLock<PathBuf> = LazyLock::new(|| library("misbehaving-plugin"));
    let file = FOLDER.path().join(way).with_extension("so");
    // Another test of this process may have made it.
    if !file.exists() {
        std::fs::copy(&*LIBRARY, &file).unwrap();
    }
    file
}

fn audit_with(file: &Path) -> Audit {
    let began = Instant::now();
    let own = Own::plugins(&[file.to_owned()], program(), BOUNDS);
    let audit = own.audit(example(RIG).as_bytes(), &options());
    let most = BOUNDS.greeting.max(BOUNDS.answer) + SLACK;
    assert!(began.elapsed() < most, "it took {:?}", began.elapsed());
    audit
}

fn of_plugin(finding: &&Finding) -> bool {
    finding.check.starts_with("stress/")
}

/// The answers of the program's own checks, as other programs read them.
fn own_answers(audit: &Audit) -> Vec<String> {
    audit.findings.iter().filter(|finding| !of_plugin(finding)).map(|finding| serde_json::to_string(finding).unwrap()).collect()
}

static UNDISTURBED: LazyLock<Vec<String>> = LazyLock::new(|| own_answers(&audit_of(RIG)));

/// A plugin that misbehaves over `stress/first` alone: its fault says all of these words.
fn is_a_fault_of_one_check(way: &str, words: &[&str]) {
    let audit = audit_with(&copy(way));
    let faults: Vec<_> = audit.faults.iter().map(|fault| (fault.check.as_str(), fault.text.as_str())).collect();
    let [("stress/first", text)] = faults.as_slice() else { panic!("{way}: {faults:?}") };
    assert!(words.iter().all(|word| text.contains(word)), "{way}: {text}");
    assert!(!text.contains('\n') && text.len() < 600, "{way}: {text}");
    assert_eq!(own_answers(&audit), *UNDISTURBED, "{way}");
    let second: Vec<_> = audit.findings.iter().filter(of_plugin).map(|f| (f.check.as_str(), f.verdict)).collect();
    assert_eq!(second, vec![("stress/second", Verdict::Pass); audit.states.len()], "{way}: the next check is answered");
}

/// A file that never becomes a plugin.
fn does_not_load(file: &Path, words: &[&str]) {
    let audit = audit_with(file);
    let faults: Vec<_> = audit.faults.iter().map(|fault| fault.text.as_str()).collect();
    let [text] = faults.as_slice() else { panic!("{}: {faults:?}", file.display()) };
    assert_eq!(audit.faults[0].check, file.to_string_lossy());
    assert!(words.iter().all(|word| text.contains(word)), "{}: {text}", file.display());
    assert_eq!(own_answers(&audit), *UNDISTURBED);
    assert!(!audit.findings.iter().any(|finding| of_plugin(&finding)));
}

macro_rules! faults {
    ($($name:ident: $way:literal, $words:expr;)*) => {$(
        #[test]
        fn $name() {
            is_a_fault_of_one_check($way, &$words);
        }
    )*};
}

faults! {
    it_leaves_in_the_middle: "leaves-in-the-middle", ["its process ended before its answer", "exit status 0"];
    it_leaves_with_a_status: "leaves-with-7", ["its process ended before its answer", "exit status 7"];
    it_hangs: "hangs", ["it gave no answer within 2 s and was ended"];
    it_floods_for_ever: "floods-for-ever", ["it gave no answer within 2 s and was ended"];
    it_answers_at_length: "long-answer", ["its answer is longer than 1048576 bytes"];
    it_answers_in_prose: "no-json", ["its answer is not of the form rigproof-plugin/1"];
    it_answers_half: "half-an-answer", ["its answer is not of the form rigproof-plugin/1"];
    it_answers_twice: "answers-twice", ["it answered more than once"];
    it_answers_for_another_check: "other-check", ["it answered for stress/second, which it was not asked"];
    it_answers_another_question: "other-question", ["it is the answer to another question"];
    it_answers_nothing: "nothing", ["it is empty"];
    it_answers_with_no_number: "nan-as-text", ["its answer is not of the form rigproof-plugin/1"];
    a_number_that_is_none_is_seen_where_it_arises: "no-number", ["about plugin is not finite"];
    it_answers_beyond_any_rig: "beyond", ["its answer about plugin", "is beyond any rig"];
    it_names_an_input_that_is_not_there: "input-of-nobody", ["there is no input number 4294967295"];
    it_speaks_between: "writes-between", ["something that is no answer came in place of its answer"];
    it_answers_again_what_was_asked_before: "answers-again", ["something that is no answer came in place of its answer"];
    it_aborts: "aborts", ["its process ended before its answer", "signal 6", "it wrote: I have had enough"];
    it_segfaults: "segfaults", ["its process ended before its answer", "signal 11"];
    it_eats_memory: "eats-memory", ["its process ended before its answer", "memory allocation", "failed"];
    it_overflows_the_stack: "overflows-the-stack", ["its process ended before its answer", "overflowed its stack"];
    it_panics: "panics", ["it panicked: this check panics on purpose at", "lib.rs:"];
    it_is_silent: "silent", ["it gives no answer", "an answer says so"];
    it_repeats_itself: "repeats", ["it answers twice about plugin (chassis)"];
    it_answers_for_a_state_of_nobody: "state-of-nobody", ["is for parked on the moon, for which it was not asked"];
    it_answers_at_no_path: "path-of-nowhere", ["the path axle[ makes no sense"];
}

#[test]
fn what_never_greets_does_not_load_and_the_audit_goes_on() {
    does_not_load(&copy("leaves-before-the-greeting"), &["its process ended before its greeting", "exit status 0"]);
    does_not_load(&copy("interface-of-tomorrow"), &["built for version 2 of the plugin interface", "has version 1"]);
    does_not_load(&copy("form-of-tomorrow"), &["it speaks rigproof-plugin/9, and this program speaks rigproof-plugin/1"]);
    does_not_load(&copy("hangs-while-loading"), &["it gave no answer within 4 s and was ended"]);
    does_not_load(&copy("trade-that-is-taken"), &["weight/first", "a plugin brings a trade of its own"]);
}

#[test]
fn what_is_no_plugin_does_not_load_and_the_audit_goes_on() {
    let at = |name: &str| FOLDER.path().join(name);
    std::fs::write(at("prose.so"), "this is not a library\n").unwrap();
    std::fs::write(at("empty.so"), "").unwrap();
    does_not_load(&at("prose.so"), &["it is no library for this system"]);
    does_not_load(&at("empty.so"), &["it is no library for this system"]);
    does_not_load(&at("absent.so"), &["there is no such file"]);
    does_not_load(FOLDER.path(), &["there is no such file"]);
}

/// The C library of this very process: a library if there ever was one.
#[test]
fn a_library_that_is_no_plugin_does_not_load() {
    let maps = std::fs::read_to_string("/proc/self/maps").unwrap();
    let library = maps.lines().filter_map(|line| line.split_whitespace().nth(5)).find(|file| file.contains("libc.so")).unwrap();
    does_not_load(Path::new(library), &["it is a library and no plugin: it has no function rigproof_abi"]);
}

#[test]
fn noise_on_stdout_is_nobodys_answer() {
    let audit = audit_with(&copy("floods-stdout"));
    assert_eq!(audit.faults, []);
    assert!(audit.findings.iter().filter(of_plugin).all(|finding| finding.verdict == Verdict::Pass));
    assert_eq!(audit.findings.iter().filter(of_plugin).count(), 2 * audit.states.len());
    assert_eq!(own_answers(&audit), *UNDISTURBED);
}

/// A process that it started ends with it, and what it is told of its surroundings is nothing.
#[test]
fn what_it_leaves_behind_ends_with_it() {
    let file = copy("leaves-a-child-behind");
    let own = Own::plugins(&[file], program(), BOUNDS);
    let audit = own.audit(example(RIG).as_bytes(), &options());
    let said: Vec<_> = audit.findings.iter().filter(|f| f.check == "stress/first").filter_map(|f| f.sentence.clone()).collect();
    assert_eq!(said.len(), audit.states.len(), "{:?}", audit.faults);
    // Gone, or dead and not yet collected by whoever inherits it.
    let lives = |number: &String| {
        let stat = std::fs::read_to_string(format!("/proc/{number}/stat")).unwrap_or_default();
        stat.rsplit(')').next().is_some_and(|rest| !rest.is_empty() && !rest.trim_start().starts_with(['Z', 'X']))
    };
    assert!(said.iter().all(lives), "{said:?}");
    drop(own);
    let began = Instant::now();
    while said.iter().any(lives) {
        assert!(began.elapsed() < SLACK, "{said:?} live on");
        std::thread::sleep(Duration::from_millis(10));
    }
}

/// The same faults and findings, whatever the number of threads.
#[test]
fn a_fault_is_the_same_on_any_number_of_threads() {
    for way in ["panics", "aborts", "overflows-the-stack", "answers-twice"] {
        let with = |threads| {
            let own = Own::plugins(&[copy(way)], program(), BOUNDS);
            let audit = own.audit(example(RIG).as_bytes(), &rigproof::Options { threads: Some(threads), ..options() });
            report::json::render(&audit)
        };
        assert_eq!(with(1), with(8), "{way}");
    }
}

/// Several files in one run: twice it is tried again, then it is left alone, and the other check is still answered.
#[test]
fn a_check_that_loses_its_process_again_and_again_is_given_up() {
    let own = Own::plugins(&[copy("leaves-with-7")], program(), BOUNDS);
    let audits: Vec<Audit> = (0..3).map(|_| own.audit(example(RIG).as_bytes(), &options())).collect();
    let texts: Vec<_> = audits.iter().map(|audit| audit.faults[0].text.as_str()).collect();
    assert!(texts[0].contains("exit status 7") && texts[0] == texts[1], "{texts:?}");
    assert_eq!(texts[2], "its process was lost over this 2 times; it is not asked again");
    assert!(audits.iter().all(|audit| audit.findings.iter().any(|finding| finding.check == "stress/second")));
}
