//! The good example, spoilt at random: never a panic; problems with a place, or a clean audit without NaN.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::ops::Range;
use std::sync::LazyLock;

use proptest::prelude::*;
use proptest::sample::Index;
use rigproof_tests::{FULL, example, nulls_among_numbers, quick};

static GOOD: LazyLock<String> = LazyLock::new(|| example(FULL));

/// One way to spoil a file.
#[derive(Clone, Debug)]
enum Spoil {
    /// The file ends early.
    CutAt(Index),
    /// Some bytes are gone.
    Drop(Index, usize),
    /// A byte is another.
    Byte(Index, u8),
    /// Two lines change places.
    SwapLines(Index, Index),
    /// A line stands twice.
    RepeatLine(Index),
    /// A line is gone.
    DropLine(Index),
    /// Two words change places.
    SwapWords(Index, Index),
    /// A number is another.
    Number(Index, &'static str),
    /// A quoted text is another.
    Text(Index, &'static str),
}

const NUMBERS: [&str; 14] =
    ["0", "-0", "-1", "1e308", "-1e308", "1e-308", "nan", "inf", "99999999999999999999", "0.0000001", "1e5", "1,5", "?", ""];

const TEXTS: [&str; 12] =
    ["?", "", "0 kg", "-5 m", "about 1e6 kg", "0 to 0 kg", "5 to 2 m", "left", "full", "front", "12 bar", "\u{7}\u{202e}"];

fn spoil() -> impl Strategy<Value = Spoil> {
    use proptest::sample::select;
    prop_oneof![
        1 => any::<Index>().prop_map(Spoil::CutAt),
        2 => (any::<Index>(), 1usize..40).prop_map(|(at, n)| Spoil::Drop(at, n)),
        2 => (any::<Index>(), any::<u8>()).prop_map(|(at, b)| Spoil::Byte(at, b)),
        2 => (any::<Index>(), any::<Index>()).prop_map(|(a, b)| Spoil::SwapLines(a, b)),
        2 => any::<Index>().prop_map(Spoil::RepeatLine),
        3 => any::<Index>().prop_map(Spoil::DropLine),
        2 => (any::<Index>(), any::<Index>()).prop_map(|(a, b)| Spoil::SwapWords(a, b)),
        5 => (any::<Index>(), select(&NUMBERS[..])).prop_map(|(at, n)| Spoil::Number(at, n)),
        5 => (any::<Index>(), select(&TEXTS[..])).prop_map(|(at, t)| Spoil::Text(at, t)),
    ]
}

fn apply(bytes: &mut Vec<u8>, spoil: &Spoil) {
    if bytes.is_empty() {
        return;
    }
    match spoil {
        Spoil::CutAt(at) => bytes.truncate(at.index(bytes.len())),
        Spoil::Drop(at, n) => {
            let from = at.index(bytes.len());
            bytes.drain(from..(from + n).min(bytes.len()));
        }
        Spoil::Byte(at, byte) => {
            let at = at.index(bytes.len());
            bytes[at] = *byte;
        }
        Spoil::SwapLines(a, b) => swap(bytes, lines, a, b),
        Spoil::SwapWords(a, b) => swap(bytes, words, a, b),
        Spoil::RepeatLine(at) => {
            if let Some(line) = pick(lines(bytes), at) {
                let copy = bytes[line.clone()].to_vec();
                bytes.splice(line.end..line.end, copy);
            }
        }
        Spoil::DropLine(at) => replace(bytes, lines, at, b""),
        Spoil::Number(at, number) => replace(bytes, numbers, at, number.as_bytes()),
        Spoil::Text(at, text) => replace(bytes, texts, at, text.as_bytes()),
    }
}

type Spans = fn(&[u8]) -> Vec<Range<usize>>;

fn pick(spans: Vec<Range<usize>>, at: &Index) -> Option<Range<usize>> {
    (!spans.is_empty()).then(|| spans[at.index(spans.len())].clone())
}

fn replace(bytes: &mut Vec<u8>, spans: Spans, at: &Index, with: &[u8]) {
    if let Some(span) = pick(spans(bytes), at) {
        bytes.splice(span, with.iter().copied());
    }
}

fn swap(bytes: &mut Vec<u8>, spans: Spans, a: &Index, b: &Index) {
    let found = spans(bytes);
    if found.len() < 2 {
        return;
    }
    let (mut first, mut second) = (a.index(found.len()), b.index(found.len()));
    if first == second {
        return;
    }
    if first > second {
        std::mem::swap(&mut first, &mut second);
    }
    let (early, late) = (found[first].clone(), found[second].clone());
    let (one, other) = (bytes[early.clone()].to_vec(), bytes[late.clone()].to_vec());
    bytes.splice(late, one);
    bytes.splice(early, other);
}

/// Lines with their line end.
fn lines(bytes: &[u8]) -> Vec<Range<usize>> {
    let mut from = 0;
    bytes
        .split_inclusive(|byte| *byte == b'\n')
        .map(|line| {
            let span = from..from + line.len();
            from = span.end;
            span
        })
        .collect()
}

fn runs(bytes: &[u8], inside: impl Fn(u8) -> bool) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut from = None;
    for (at, byte) in bytes.iter().enumerate() {
        match (inside(*byte), from) {
            (true, None) => from = Some(at),
            (false, Some(start)) => {
                found.push(start..at);
                from = None;
            }
            _ => {}
        }
    }
    if let Some(start) = from {
        found.push(start..bytes.len());
    }
    found
}

fn words(bytes: &[u8]) -> Vec<Range<usize>> {
    runs(bytes, |byte| !byte.is_ascii_whitespace())
}

fn numbers(bytes: &[u8]) -> Vec<Range<usize>> {
    runs(bytes, |byte| byte.is_ascii_digit() || byte == b'.')
}

/// What stands between quotes.
fn texts(bytes: &[u8]) -> Vec<Range<usize>> {
    let quotes: Vec<usize> = bytes.iter().enumerate().filter(|(_, byte)| **byte == b'"').map(|(at, _)| at).collect();
    quotes.chunks_exact(2).map(|pair| pair[0] + 1..pair[1]).collect()
}

fn check_one(bytes: &[u8], json: bool) {
    let options = rigproof::Options { json, ..quick() };
    let audit = rigproof::audit_bytes(bytes, &options);
    assert!(audit.faults.is_empty(), "a check broke down: {:?}", audit.faults);
    for error in &audit.errors {
        assert!(error.line >= 1 && error.column >= 1, "{error:?}");
    }
    assert!(audit.errors.is_empty() || audit.findings.is_empty());
    let text = report::json::render(&audit);
    let value: serde_json::Value = serde_json::from_str(&text).expect("the audit is JSON");
    let nulls = nulls_among_numbers(&value);
    assert!(nulls.is_empty(), "no number at {nulls:?}");
    if audit.errors.is_empty() {
        assert!(!audit.findings.is_empty(), "no problem and no answer");
        let counted: usize = check::Verdict::ALL.iter().map(|verdict| audit.summary.of(*verdict)).sum();
        assert_eq!(counted, audit.findings.len());
    }
}

#[test]
fn the_good_example_itself_is_clean() {
    let audit = rigproof::audit_bytes(GOOD.as_bytes(), &quick());
    assert!(audit.errors.is_empty(), "{:?}", audit.errors);
    check_one(GOOD.as_bytes(), false);
}

/// One number after the other: what breaks at a single one of them, chance meets in one run of many.
#[test]
fn no_single_absurd_number_breaks_anything() {
    let spans = numbers(GOOD.as_bytes());
    assert!(spans.len() > 700, "{}", spans.len());
    for span in spans {
        for absurd in ["1e308", "1e-308", "0"] {
            let mut bytes = GOOD.clone().into_bytes();
            bytes.splice(span.clone(), absurd.bytes());
            check_one(&bytes, false);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn a_spoilt_example_never_panics(spoils in prop::collection::vec(spoil(), 1..4)) {
        let mut bytes = GOOD.clone().into_bytes();
        for spoil in &spoils {
            apply(&mut bytes, spoil);
        }
        check_one(&bytes, false);
    }

    #[test]
    fn any_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..300), json in any::<bool>()) {
        check_one(&bytes, json);
    }

    #[test]
    fn any_toml_like_text_never_panics(text in r#"(\[{1,2}(axle|mass|tank|state|chassis|body)\]{1,2}\n|(name|x|at|mass|rated|kind|in|of|fill) = ("(front|rear|[0-9]{1,4} (kg|m|bar)|\?|)"|[-0-9.e]{1,6}|\[\]|\{\}|true)\n){0,30}"#) {
        check_one(text.as_bytes(), false);
    }
}
