//! A plugin that behaves badly on demand, for tests alone. How is the name of its file: a copy called `hangs.so` hangs.
//!
//! It has two checks. `stress/first` misbehaves; `stress/second` never does, and must be answered all the same.
#![allow(unsafe_code, clippy::panic, clippy::print_stdout, clippy::print_stderr, reason = "it misbehaves")]

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::time::Duration;

use plugin_api::abi::{self, ABI, Buf};
use plugin_api::session::Session;
use plugin_api::{Card, Check, Consequence, Context, Dimension, Finding, Limit, Number, Scope};

/// How this copy misbehaves.
fn way() -> &'static str {
    static WAY: OnceLock<String> = OnceLock::new();
    WAY.get_or_init(|| {
        // The host's command line: program, word, this library's path.
        let path = std::env::args_os().nth(2).map(PathBuf::from).unwrap_or_default();
        path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default()
    })
}

struct First;
struct Second;

fn card(id: &str) -> Card {
    Card::new(id, "Does it behave?", Consequence::Comfort, Scope::Every).uses(&["tank"])
}

/// An answer that passes.
fn good(cx: &Context<'_>) -> Finding {
    let limit = Limit::at_most("what is usual", 2.0).common_practice();
    cx.about("plugin").at("chassis").compare(&Number::exact(1.0), Dimension::Ratio, vec![limit]).done()
}

impl Check for First {
    fn card(&self) -> Card {
        match way() {
            "trade-that-is-taken" => card("weight/first"),
            "weighs" => card("stress/first").needs(&["facts"]).limits(&["weight/steer-share"]),
            _ => card("stress/first"),
        }
    }

    fn answer(&self, cx: &Context<'_>) -> Vec<Finding> {
        let good = good(cx);
        let compared = |value: f64| {
            let limit = Limit::at_most("what is usual", 2.0).common_practice();
            vec![cx.about("plugin").at("chassis").compare(&Number::exact(value), Dimension::Ratio, vec![limit]).done()]
        };
        match way() {
            "panics" => panic!("this check panics on purpose"),
            "no-number" => compared(f64::NAN),
            "beyond" => compared(1e300),
            "silent" => Vec::new(),
            "repeats" => vec![good.clone(), good],
            "state-of-nobody" => vec![Finding { state: Some("parked on the moon".to_owned()), ..good }],
            "path-of-nowhere" => vec![Finding { path: "axle[".to_owned(), ..good }],
            "input-of-nobody" => {
                let demand = Number::input(u32::MAX, 1.0, 0.1);
                let limit = Limit::at_most("what is usual", 2.0).common_practice();
                vec![cx.about("plugin").at("chassis").compare(&demand, Dimension::Ratio, vec![limit]).done()]
            }
            "weighs" => {
                let draft = cx.about("whole rig").at("chassis");
                let heavy = Limit::at_most("more than any", 1e9).common_practice();
                let whole = match cx.need(&["mass_kg"]) {
                    Ok(mass) => draft.clone().compare(&mass, Dimension::Mass, vec![heavy]).done(),
                    Err(gap) => draft.clone().missing(gap),
                };
                let share = Number::exact(0.001);
                let steers = draft.case("share").compare(&share, Dimension::Ratio, vec![Limit::of("weight/steer-share")]).done();
                let axle = match cx.need(&["axle", "front", "load_kg"]) {
                    Ok(_) => cx.about("front axle").at("axle").not_applicable("it is known"),
                    Err(gap) => cx.about("front axle").at("axle").missing(gap),
                };
                vec![whole, steers, axle]
            }
            "tells-what-it-sees" => {
                let keys = |seen: plugin_api::Seen<'_>| seen.entries().map(|(key, _)| key).collect::<Vec<_>>().join(" ");
                let surroundings = (std::env::vars_os().count(), std::env::current_dir().ok(), std::io::stdin().lines().count());
                let told = format!("{}; {}; {surroundings:?}", keys(cx.rig()), keys(cx.state()));
                vec![Finding { sentence: Some(told), ..good }]
            }
            "leaves-a-child-behind" => {
                let child = Command::new("/bin/sleep").arg("60").stdin(Stdio::null()).spawn();
                let number = child.map(|child| child.id()).unwrap_or_default();
                vec![Finding { sentence: Some(number.to_string()), ..good }]
            }
            _ => vec![good],
        }
    }
}

impl Check for Second {
    fn card(&self) -> Card {
        card("stress/second")
    }

    fn answer(&self, cx: &Context<'_>) -> Vec<Finding> {
        vec![good(cx)]
    }
}

fn session() -> &'static Session {
    static SESSION: OnceLock<Session> = OnceLock::new();
    SESSION.get_or_init(|| Session::new("misbehaving-plugin", vec![Box::new(First), Box::new(Second)]))
}

#[unsafe(no_mangle)]
extern "C" fn rigproof_abi() -> u32 {
    match way() {
        "leaves-before-the-greeting" => std::process::exit(0),
        "interface-of-tomorrow" => ABI + 1,
        "hangs-while-loading" => hang(),
        _ => ABI,
    }
}

#[unsafe(no_mangle)]
unsafe extern "C" fn rigproof_free(buf: Buf) {
    // SAFETY: the program gives back what `rigproof_call` gave it, once.
    unsafe { abi::free(buf) }
}

#[unsafe(no_mangle)]
unsafe extern "C" fn rigproof_call(ptr: *const u8, len: usize) -> Buf {
    // SAFETY: the program hands over bytes that it keeps until this returns.
    let question = String::from_utf8_lossy(unsafe { std::slice::from_raw_parts(ptr, len) });
    let hello = question.contains(r#""kind":"hello""#);
    if hello && way() == "form-of-tomorrow" {
        return text(r#"{"kind":"cards","format":"rigproof-plugin/9","plugin":"from tomorrow","cards":[]}"#);
    }
    if question.contains(r#""kind":"check""#)
        && question.contains("stress/first")
        && let Some(bad) = misbehave()
    {
        return bad;
    }
    // SAFETY: as above.
    unsafe { abi::call(session, ptr, len) }
}

fn text(text: &str) -> Buf {
    text.to_owned().into_bytes().into()
}

const FINDINGS_OF_NONE: &str = r#"{"kind":"findings","check":"stress/first","findings":[]}"#;
const MEGABYTE: usize = 1 << 20;

/// Misbehaves in a way that no check written with the crate for plugins could.
fn misbehave() -> Option<Buf> {
    match way() {
        "leaves-in-the-middle" => std::process::exit(0),
        "leaves-with-7" => std::process::exit(7),
        "hangs" => hang(),
        "floods-stdout" => (0..64).for_each(|_| println!("{}", "flood ".repeat(MEGABYTE / 8))),
        "floods-for-ever" => loop {
            println!("{}", "flood ".repeat(MEGABYTE));
        },
        "long-answer" => return Some(text(&" ".repeat(4 * MEGABYTE))),
        "no-json" => return Some(text("I would rather not say")),
        "half-an-answer" => return Some(text(&FINDINGS_OF_NONE[..FINDINGS_OF_NONE.len() / 2])),
        "answers-twice" => return Some(text(&format!("{FINDINGS_OF_NONE}\n{FINDINGS_OF_NONE}"))),
        "other-check" => return Some(text(&FINDINGS_OF_NONE.replace("first", "second"))),
        "other-question" => return Some(text(r#"{"kind":"ready"}"#)),
        "nan-as-text" => {
            let answer = r#"{"kind":"compare","demand":{"value":NaN},"dimension":"mass","against":[]}"#;
            let finding = format!(r#"{{"about":"x","path":"chassis","answer":{answer}}}"#);
            return Some(text(&FINDINGS_OF_NONE.replace("[]", &format!("[{finding}]"))));
        }
        "nothing" => return Some(Buf { ptr: std::ptr::null_mut(), len: 7, cap: 7 }),
        "writes-between" => write_between(b"psst\n"),
        // A whole answer, to a question that was answered before.
        "answers-again" => write_between(b"1 16\n{\"kind\":\"ready\"}"),
        "aborts" => {
            eprintln!("I have had enough");
            std::process::abort();
        }
        // SAFETY: there is none; that is the point.
        "segfaults" => unsafe { std::ptr::without_provenance_mut::<u8>(8).write_volatile(1) },
        "eats-memory" => {
            let mut eaten: Vec<Vec<u8>> = Vec::new();
            loop {
                eaten.push(vec![1; MEGABYTE]);
            }
        }
        "overflows-the-stack" => {
            std::hint::black_box(deeper(0));
        }
        _ => {}
    }
    None
}

/// Writes where the answers go through: a pipe that can be written alone, and is not the terminal's.
fn write_between(bytes: &[u8]) {
    let mut found = false;
    for descriptor in 3..64 {
        let of = |folder: &str| format!("/proc/self/{folder}/{descriptor}");
        let is_pipe = std::fs::read_link(of("fd")).is_ok_and(|to| to.to_string_lossy().starts_with("pipe:"));
        let flags = std::fs::read_to_string(of("fdinfo")).unwrap_or_default();
        let for_writing = flags.lines().any(|line| line.starts_with("flags:") && line.ends_with('1'));
        if is_pipe
            && for_writing
            && let Ok(mut file) = std::fs::OpenOptions::new().write(true).open(of("fd"))
        {
            let _ = file.write_all(bytes);
            found = true;
        }
    }
    assert!(found, "there is no such pipe");
}

fn hang() -> ! {
    loop {
        std::thread::sleep(Duration::from_secs(1));
    }
}

#[allow(unconditional_recursion, reason = "that is the point")]
fn deeper(depth: u64) -> u64 {
    let room = std::hint::black_box([depth; 64]);
    deeper(depth + 1) + room.iter().sum::<u64>()
}
