//! Day one in the yard: what to find out next, telling it to the file, where the body goes.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::{BTreeMap, BTreeSet};

use check::asking::{Asked, Asking};
use check::{Audit, Finding, Verdict};
use quantity::System;
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use rig_model::{Free, Syntax};
use rigproof::tell::tell;
use rigproof::{door, registry};
use rigproof_tests::{EXAMPLES, FULL, TODAY, example, quick, rigproof_command, root};

fn asking(text: &str) -> Asking {
    let context = door::context(registry(), text.as_bytes(), &quick()).expect("it reads");
    study::ask(registry(), &context)
}

fn audit(text: &str) -> Audit {
    rigproof::audit(text, &quick())
}

fn is_open(finding: &Finding) -> bool {
    matches!(finding.verdict, Verdict::Unsettled | Verdict::Missing) && finding.accepted.is_none()
}

/// Answers that are open in one audit and no longer in the other: found anew here, not by the code under test. Where a first
/// entry has taken the place of the absent table, it answers for it.
fn settled(before: &Audit, after: &Audit) -> usize {
    assert_eq!(after.errors, [], "what was told reads");
    let is: BTreeMap<_, &Finding> = after.findings.iter().map(|finding| (finding.key(), finding)).collect();
    let closed = |was: &&Finding| match is.get(&was.key()) {
        Some(is) => !is_open(is),
        None => {
            let same = after.findings.iter().filter(|is| is.check == was.check && is.state == was.state);
            let same: Vec<_> = same.collect();
            !same.is_empty() && !same.iter().any(|is| is_open(is))
        }
    };
    before.findings.iter().filter(|finding| is_open(finding)).filter(closed).count()
}

/// The text with each of these told to it, one after the other; none where one of them is refused.
fn told(text: &str, tells: &[(String, String)]) -> Option<String> {
    tells
        .iter()
        .try_fold(text.to_owned(), |text, (path, value)| tell(&text, Syntax::Toml, path, value).ok().map(|told| told.text))
}

fn tells(asked: &Asked) -> Vec<(String, String)> {
    asked.told.iter().map(|tell| (tell.path.clone(), tell.value.clone())).collect()
}

/// The text with what a trial told: by `tell`, or by hand where it takes an entry of a list.
fn after_trial(text: &str, asked: &Asked) -> String {
    match rig_facts::tables::ask(&asked.path).map(|way| &way.expected) {
        Some(rig_facts::ask::Expected::Entry(Free::Table(entry))) if asked.add.is_some() => {
            let lines: Vec<String> = entry.iter().map(|(key, value)| format!("{key} = {}", written(value))).collect();
            format!("{text}\n[[{}]]\n{}\n", asked.path, lines.join("\n"))
        }
        _ => told(text, &tells(asked)).unwrap_or_else(|| panic!("{} takes {:?}", asked.path, asked.told)),
    }
}

fn written(value: &Free) -> String {
    match value {
        Free::Text(text) => format!("\"{text}\""),
        Free::Bool(yes) => yes.to_string(),
        Free::List(list) => format!("[{}]", list.iter().map(written).collect::<Vec<_>>().join(", ")),
        other => panic!("{other:?}"),
    }
}

const START: &str = rigproof::start::STARTER;

#[test]
fn ask_on_an_unedited_start_file_names_what_is_unknown_in_walking_order() {
    let asking = asking(START);
    assert!(audit(START).findings.iter().all(|finding| finding.verdict != Verdict::Pass));
    let unknown = START.lines().filter(|line| !line.starts_with('#')).map(|line| line.matches("\"?\"").count()).sum::<usize>();
    assert!(unknown > 10);
    let places: Vec<usize> = asking.round.iter().map(|asked| asked.stop).collect();
    assert!(places.is_sorted(), "{places:?}");
    // Nothing can be judged yet: what most answers wait for comes first.
    let waits: Vec<usize> = asking.next.iter().map(|asked| asked.waits).collect();
    assert!(waits.is_sorted_by(|a, b| a >= b) && asking.next[0].path == "axle[front].bare_load", "{:?}", asking.next[0].path);
    // Every "?" of the file is on the round, once.
    let paths: Vec<&str> = asking.round.iter().map(|asked| asked.path.as_str()).collect();
    for path in ["chassis.gross_mass", "axle[front].rated", "axle[rear].x", "axle[rear].bare_load", "body.front", "body.mass"] {
        assert_eq!(paths.iter().filter(|known| **known == path).count(), 1, "{path} in {paths:?}");
    }
    let stated = |path: &&str| START.contains(&format!("{} = \"?\"", path.rsplit('.').next().unwrap()));
    assert!(paths.iter().filter(|path| stated(path)).count() >= unknown, "{paths:?}");
    assert!(asking.round.iter().all(|asked| asked.settles <= asking.open));
}

/// Every stated value and everything missing that has a way to be told, told alone: none settles more than the first.
#[test]
fn ask_is_honest() {
    let mut stated = 0;
    let planned = std::fs::read_to_string(root().join("examples/herbarium-truck/as-it-grew/1-planning.toml")).unwrap();
    for (name, text) in EXAMPLES.iter().map(|name| (*name, example(name))).chain([("planned", planned)]) {
        let (before, asking) = (audit(&text), asking(&text));
        let first = asking.next.first().expect("something is open");
        let claimed = first.settles;
        // What is claimed of each is what comes of it.
        for asked in asking.next.iter().filter(|asked| asked.tried) {
            assert_eq!(settled(&before, &audit(&after_trial(&text, asked))), asked.settles, "{name}: {}", asked.path);
            stated += usize::from(asked.now.is_some());
        }
        let mut tried = 0;
        for (path, tells) in better_readings(&text) {
            let Some(told) = told(&text, &tells) else {
                // Who sits where is one text: a mass in it has no place of its own.
                assert!(path.contains(".people["), "{path} takes {tells:?}");
                continue;
            };
            let by_it = settled(&before, &audit(&told));
            assert!(by_it <= claimed, "{name}: {path} settles {by_it}, and {} only {claimed}", first.path);
            tried += 1;
        }
        assert!(tried >= 5, "{name}: {tried} readings tried");
    }
    assert!(stated > 0, "no better reading of a stated value settles anything: the test shows little");
}

/// Every stated value whose spread the audit shows, with the half width that a reading leaves, where that is less.
fn better_readings(text: &str) -> Vec<(String, Vec<(String, String)>)> {
    let context = door::context(registry(), text.as_bytes(), &quick()).expect("it reads");
    let mut given = Vec::new();
    context.rig().each_value(&mut |trail, value| {
        if let (Some(si), Some(_)) = (value.value, value.how) {
            given.push((trail.path(), si, value.dimension));
        }
    });
    let mut all = Vec::new();
    for input in &audit(text).inputs {
        let Some((path, value, dimension)) = given.iter().find(|(path, ..)| *path == input.path) else { continue };
        // What stands in one line with others, such as "7 mm S355", has no place of its own.
        if !context.document().has(path) {
            continue;
        }
        let Some(way) = rig_facts::ask::ask_as(path, *dimension) else { continue };
        let (Some(spread), Some(how)) = (way.spread(*value), way.how) else { continue };
        if spread < (input.high.0 - input.low.0) / 2.0 {
            let exact = |si: f64| quantity::show_exact(si, *dimension, quantity::System::Metric);
            // The long form has keys of its own for these.
            let long = context.document().has(&format!("{path}.value"));
            let tells = if long {
                [("", exact(*value)), (".how", how.word().to_owned()), (".tolerance", exact(spread))]
                    .map(|(key, value)| (format!("{path}{key}"), value))
                    .to_vec()
            } else {
                vec![(path.clone(), format!("{} +- {} {}", exact(*value), exact(spread), how.word()))]
            };
            all.push((path.clone(), tells));
        }
    }
    all
}

#[test]
fn ask_speaks_at_the_command_line() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("rig.toml");
    std::fs::write(&file, START).unwrap();
    let run = |arguments: &[&str]| {
        let output = rigproof_command().arg("ask").arg(&file).args(arguments).args(["--today", TODAY]).output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    let next = run(&["--width", "80"]);
    assert_eq!(next.matches("rigproof tell").count() + next.matches("rigproof add").count(), 3, "{next}");
    let round = run(&["--all", "--width", "60"]);
    assert!(round.lines().all(|line| line.len() <= 60), "{round}");
    let place = |path: &str| round.find(path).unwrap_or_else(|| panic!("{path} in {round}"));
    assert!(place("chassis.gross_mass") < place("axle[front].track") && place("axle[front].track") < place("axle[rear].track"));
    assert!(place("axle[rear].x") < place("body.length") && place("body.length") < place("axle[front].bare_load"));
    let json: serde_json::Value = serde_json::from_str(&run(&["--format", "json"])).unwrap();
    assert!(json["round"].as_array().unwrap().len() > 10);
    let output = rigproof_command().args(["ask", "nowhere.toml"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
}

/// Leaves of a TOML document by their way from the top.
fn leaves(text: &str) -> BTreeMap<String, String> {
    fn walk(value: &toml::Value, way: &str, all: &mut BTreeMap<String, String>) {
        match value {
            toml::Value::Table(table) => table.iter().for_each(|(key, inner)| walk(inner, &format!("{way}/{key}"), all)),
            toml::Value::Array(list) => list.iter().enumerate().for_each(|(at, inner)| walk(inner, &format!("{way}/{at}"), all)),
            leaf => {
                let text = leaf.as_str().map_or_else(|| format!("{leaf:?}"), str::to_owned);
                assert!(all.insert(way.to_owned(), text).is_none());
            }
        }
    }
    let mut all = BTreeMap::new();
    walk(&toml::Value::Table(text.trim_start_matches('\u{feff}').parse().expect("it is TOML")), "", &mut all);
    all
}

/// What differs between two texts: the piece of each between what they begin and end with alike.
fn differing<'a>(old: &'a str, new: &'a str) -> (&'a str, &'a str) {
    let alike = |a: &[u8], b: &[u8]| a.iter().zip(b).take_while(|(a, b)| a == b).count();
    let (a, b) = (old.as_bytes(), new.as_bytes());
    let begin = alike(a, b);
    let (a, b) = (&a[begin..], &b[begin..]);
    let end = a.iter().rev().zip(b.iter().rev()).take_while(|(a, b)| a == b).count();
    (&old[begin..old.len() - end], &new[begin..new.len() - end])
}

#[test]
fn tell_keeps_every_other_byte() {
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    let plain = example(FULL);
    let texts = [plain.clone(), plain.replace('\n', "\r\n"), format!("\u{feff}{plain}"), example(EXAMPLES[1])];
    let (mut told, mut made, mut refused) = (0, 0, 0);
    while told < 200 {
        let text = &texts[told % texts.len()];
        let (_, rig) = rig_model::read_rig(text, Syntax::Toml).expect("it reads");
        let mut given = Vec::new();
        rig.each_value(&mut |trail, value| given.extend(value.value.map(|si| (trail.path(), si, value.dimension))));
        let (path, si, dimension) = &given[rng.random_range(0..given.len())];
        let (path, value) = match rng.random_range(0..10) {
            0 => (
                format!("mass[\"{}\"].count", rig.mass.first().map_or("none", |mass| &mass.name)),
                rng.random_range(2..9).to_string(),
            ),
            1 => ("chassis.brakes.proved_at".to_owned(), format!("{} kg weighed", rng.random_range(3000..12000))),
            2 => ("chassis.frame.steel".to_owned(), "S355 # \"so\" they say".to_owned()),
            _ => {
                let system = if rng.random() { System::Metric } else { System::Us };
                (path.clone(), quantity::show_exact(si * rng.random_range(0.95..1.05), *dimension, system))
            }
        };
        // Outside of what a rig can be, or in a text with a word in it: refused whole.
        let Ok(new) = tell(text, Syntax::Toml, &path, &value) else {
            refused += 1;
            continue;
        };
        told += 1;
        let (gone, come) = differing(text, &new.text);
        assert!(!gone.contains(['\n', '#']) && come.trim_end().lines().count() <= 1, "{path}: {gone:?} became {come:?}");
        let (was, is) = (leaves(text), leaves(&new.text));
        let changed: Vec<&String> = is.iter().filter(|(way, leaf)| was.get(*way) != Some(leaf)).map(|(way, _)| way).collect();
        assert!(changed.len() <= 1 && was.keys().all(|way| is.contains_key(way)), "{path}: {changed:?}");
        for way in changed {
            assert!(is[way] == value || is[way] == format!("Integer({value})"), "{path} = {value} became {way} = {}", is[way]);
            made += usize::from(!was.contains_key(way));
        }
    }
    assert!(made > 10 && refused < told, "{made} made, {refused} refused");
}

const SMALL: &str = "# of the yard\nformat = \"rigproof-rig/1\"\nrig = \"invented\"\n\n[chassis]   # plate\ngross_mass = \"7500 kg\"   # kept\n\
    [[axle]]\nname = \"front\"\nx = \"0 m\"\nrated = \"3000 kg\"\n[[axle]]\nname = \"rear\"\nx = \"3.6 m\"\nrated = \"5600 kg\"\n";

#[test]
fn tell_killed_at_any_moment_leaves_the_old_file_or_the_new_one() {
    let mut rng = ChaCha8Rng::seed_from_u64(200);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("rig.toml");
    let texts = ["7500 kg", "8000 kg"].map(|mass| SMALL.replace("\"7500 kg\"", &format!("\"{mass}\"")));
    std::fs::write(&file, &texts[0]).unwrap();
    let start = |mass: &str| {
        let mut command = std::process::Command::new(rigproof_tests::program());
        command.arg("tell").arg(&file).args(["chassis.gross_mass", mass, "--today", TODAY]);
        command.stdout(std::process::Stdio::null()).stderr(std::process::Stdio::null()).spawn().unwrap()
    };
    // How long it takes where nobody disturbs it: the least of a few, since the machine may be busy with something else.
    let undisturbed = |mass: &str| {
        let began = std::time::Instant::now();
        assert!(start(mass).wait().unwrap().success());
        began.elapsed()
    };
    let whole = ["8000 kg", "7500 kg", "8000 kg", "7500 kg", "8000 kg"].map(undisturbed).into_iter().min().unwrap();
    assert_eq!(std::fs::read_to_string(&file).unwrap(), texts[1]);
    let mut outcomes = [0, 0];
    let mut now = 1;
    for _ in 0..200 {
        let next = 1 - now;
        let mut child = start(["7500 kg", "8000 kg"][next]);
        std::thread::sleep(whole.mul_f64(rng.random_range(0.0..1.5)));
        child.kill().unwrap();
        child.wait().unwrap();
        let is = std::fs::read_to_string(&file).unwrap();
        let written = is == texts[next];
        assert!(written || is == texts[now], "neither the old file nor the new one: {is:?}");
        outcomes[usize::from(written)] += 1;
        now = if written { next } else { now };
    }
    assert!(outcomes.iter().all(|times| *times > 0), "{outcomes:?}: killed too early or too late to show anything");
}

#[test]
fn the_weighing_sheet_goes_back_into_the_file() {
    for (name, states) in [(FULL, false), (EXAMPLES[1], true)] {
        let output =
            rigproof_command().args(["sheet", "weighing", &format!("examples/{name}/rig.toml"), "--today", TODAY]).output();
        let output = output.unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        let sheet = String::from_utf8(output.stdout).unwrap();
        assert!(sheet.lines().all(|line| line.len() <= 80) && sheet.contains("CAREFUL"), "{sheet}");
        let begin = sheet.find(if states { "[[state]]" } else { "[[weighing]]" }).expect("lines for the file");
        let text = format!("{}\n{}", example(name), &sheet[begin..]);
        let (before, after) = (audit(&example(name)), audit(&text));
        assert_eq!(after.errors, [], "{text}");
        // With "?" for readings nothing is known that was not; the states that were made stay.
        let states = |audit: &Audit| audit.states.iter().map(|state| state.name.clone()).collect::<Vec<_>>();
        assert!(states(&before).iter().all(|state| states(&after).contains(state)), "{:?}", states(&after));
        for was in &before.findings {
            // Where there was no ticket at all, each of the new ones answers in its place.
            let same = |is: &&Finding| {
                if was.key().1 == "weighing" && was.case.is_none() { is.check == was.check } else { is.key() == was.key() }
            };
            let verdicts: Vec<Verdict> = after.findings.iter().filter(same).map(|is| is.verdict).collect();
            assert!(!verdicts.is_empty() && verdicts.iter().all(|is| *is == was.verdict), "{:?}: {verdicts:?}", was.key());
        }
    }
}

#[test]
fn what_add_prints_is_known_to_ask_and_the_nearest_kind_is_named() {
    let known: Vec<&str> = rigproof::add::BLOCKS.iter().map(|(kind, _)| *kind).collect();
    for (path, way) in rig_facts::ask::all() {
        let table = matches!(way.expected, rig_facts::ask::Expected::Table | rig_facts::ask::Expected::Entry(_));
        assert!(!table || known.contains(&path), "`rigproof ask` says `rigproof add {path}`, and there is no such block");
    }
    let output = rigproof_command().args(["add", "low_point"]).output().unwrap();
    assert_eq!(String::from_utf8(output.stdout).unwrap(), rigproof::add::block("low_point").unwrap());
    let output = rigproof_command().args(["add", "wieghing"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("'weighing'"));
}

/// Usual pieces are named once with what they tend to add; a line that is pasted, or a refusal, takes the piece off the list.
#[test]
fn what_is_usually_forgotten_is_named_once_and_can_be_taken_or_refused() {
    let text = example("ten-lines");
    let notes = |text: &str| {
        let audit = audit(text);
        assert_eq!(audit.errors, []);
        let notes: Vec<String> = audit.notes.iter().filter(|note| note.id == "forgotten").map(|note| note.text.clone()).collect();
        assert!(audit.notes.iter().all(|note| note.id != "accept-unused"), "{:?}", audit.notes);
        assert!(notes.len() <= 1);
        notes.into_iter().next().unwrap_or_default()
    };
    let named = notes(&text);
    // By hand: 4.22 x 2.22 x 2.12 m outside are 2 x (9.368 + 8.946 + 4.706) = 46.04 m2 at 0.4 to 1.6 kg.
    assert!(named.contains("windows and glass 18 to 74 kg"), "{named}");
    let output = rigproof_command().args(["add", "forgotten", "examples/ten-lines/rig.toml"]).output().unwrap();
    let lines = String::from_utf8(output.stdout).unwrap();
    // The example's masses stand in one line: a piece of the list goes in among them.
    let mass = "name = \"windows and glass\"\nmass = \"18 kg to 74 kg\"\nin = \"body\"";
    assert!(lines.contains(mass), "{lines}");
    let glass = ", { name = \"windows and glass\", mass = \"18 kg to 74 kg\", in = \"body\", at = [\"centre\", \"centre\", \"about 1.3 m\"] }]";
    let taken = text.replacen("\"0.8 m\"] }]", &format!("\"0.8 m\"] }}{glass}"), 1);
    assert_ne!(taken, text);
    assert!(!notes(&taken).contains("glass") && notes(&taken).contains("cable"));
    let refused = format!("{text}\n[[accept]]\ncheck = \"forgotten\"\nabout = \"cable\"\nwhy = \"nothing electric aboard\"\n");
    assert!(!notes(&refused).contains("cable 1") && notes(&refused).contains("glass"), "{}", notes(&refused));
    let all = format!("{text}\n[[accept]]\ncheck = \"forgotten\"\nwhy = \"all of it is in the fit-out\"\n");
    assert_eq!(notes(&all), "");
}

/// Where the body may go, against an audit at every centimetre: the ends of the range lie within one.
#[test]
fn place_agrees_with_brute_force_at_every_centimetre_on_three_rigs() {
    const STEP: f64 = 0.01;
    let rigs = [("ten-lines", example("ten-lines")), ("flatbed", example(EXAMPLES[1])), ("seed library", example("ci"))];
    let mut narrower = 0;
    for (name, text) in rigs {
        let context = door::context(registry(), text.as_bytes(), &quick()).expect("it reads");
        let placement = study::place(registry(), &context).unwrap_or_else(|why| panic!("{name}: {why:?}"));
        let steps = ((placement.to.0 - placement.from.0) / STEP).round() as i64;
        let places: Vec<f64> = (0..=steps).map(|step| placement.from.0 + step as f64 * STEP).collect();
        let open: Vec<BTreeSet<String>> = places.iter().map(|front| not_passing(&text, *front)).collect();
        // What passes nowhere is no matter of the place.
        let nowhere = open.iter().skip(1).fold(open[0].clone(), |common, here| common.intersection(here).cloned().collect());
        let passes: Vec<f64> =
            places.iter().zip(&open).filter(|(_, open)| open.is_subset(&nowhere)).map(|(front, _)| *front).collect();
        let mut runs: Vec<(f64, f64)> = Vec::new();
        for front in passes {
            match runs.last_mut() {
                Some((_, last)) if front - *last < 1.5 * STEP => *last = front,
                _ => runs.push((front, front)),
            }
        }
        let found: Vec<(f64, f64)> = placement.ranges.iter().map(|range| (range.from.0, range.to.0)).collect();
        assert_eq!(found.len(), runs.len(), "{name}: {found:?}, by brute force {runs:?}");
        assert!(!runs.is_empty(), "{name}: the test shows nothing");
        for ((from, to), (first, last)) in found.iter().zip(&runs) {
            let near = |a: f64, b: f64| (a - b).abs() <= STEP + 1e-9;
            assert!(near(*from, *first) && near(*to, *last), "{name}: {found:?}, by brute force {runs:?}");
        }
        narrower += usize::from(runs != [(places[0], places[places.len() - 1])]);
    }
    assert!(narrower >= 2, "most of these rigs pass wherever the body stands: the test shows little");
}

/// Keys of what fails or is unsettled with the body there, by an audit of everything.
fn not_passing(text: &str, front: f64) -> BTreeSet<String> {
    let to = Free::from(quantity::show_exact(front, quantity::Dimension::Length, System::Metric));
    let edit = rig_model::Edit { path: "body.front".to_owned(), op: rig_model::EditOp::Set, from: None, to: Some(to) };
    let audit = rigproof::audit(text, &rigproof::Options { edits: vec![edit], ..quick() });
    assert_eq!(audit.errors, []);
    let open = audit.findings.iter().filter(|f| matches!(f.verdict, Verdict::Fail | Verdict::Unsettled));
    open.map(|finding| format!("{:?}", finding.key())).collect()
}
