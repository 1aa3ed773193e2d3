//! The reader from outside: a good rig reads, and a poor one is told everything at once.
#![allow(clippy::unwrap_used, reason = "helpers of tests, where a panic is the answer")]

use rig_model::{Document, Place, Problem, Syntax, read_rig, read_rig_bytes};

const GOOD: &str = include_str!("rigs/good.toml");
const TWENTY: &str = include_str!("rigs/twenty-mistakes.toml");
/// The least that reads, for tests that add one thing to it.
const LEAST: &str = "format = \"rigproof-rig/1\"\nrig = \"R\"\n";

fn problems_of(more: &str) -> Vec<Problem> {
    read_rig(&format!("{LEAST}{more}"), Syntax::Toml).err().unwrap_or_default()
}

/// Place, subject and sentence of every problem, for comparing at a glance.
fn told(problems: &[Problem]) -> Vec<String> {
    problems.iter().map(|p| format!("{} {}: {}", p.place, p.subject, p.sentence)).collect()
}

fn only(more: &str) -> Problem {
    let mut problems = problems_of(more);
    assert_eq!(problems.len(), 1, "{more}\n{:#?}", told(&problems));
    problems.remove(0)
}

/// TOML as JSON, through the toml crate alone; dates become text as the reader takes them.
fn json_twin(text: &str) -> String {
    fn json(value: toml::Value) -> serde_json::Value {
        use serde_json::Value as J;
        match value {
            toml::Value::String(text) => J::String(text),
            toml::Value::Integer(number) => number.into(),
            toml::Value::Float(number) => serde_json::json!(number),
            toml::Value::Boolean(yes) => J::Bool(yes),
            toml::Value::Datetime(day) => J::String(day.to_string()),
            toml::Value::Array(list) => list.into_iter().map(json).collect(),
            toml::Value::Table(table) => J::Object(table.into_iter().map(|(key, v)| (key, json(v))).collect()),
        }
    }
    serde_json::to_string_pretty(&json(toml::from_str(text).unwrap())).unwrap()
}

#[test]
fn the_good_rig_reads() {
    let problems = read_rig(GOOD, Syntax::Toml).err().unwrap_or_default();
    assert!(problems.is_empty(), "{:#?}", told(&problems));
}

#[test]
fn the_least_rig_reads() {
    assert_eq!(told(&problems_of("")), Vec::<String>::new());
}

#[test]
fn twenty_mistakes_are_told_at_once() {
    let problems = read_rig(TWENTY, Syntax::Toml).unwrap_err();
    assert_eq!(problems.len(), 20, "{:#?}", told(&problems));
    // No two of them at the same place, and all in the order of the file.
    assert!(problems.windows(2).all(|pair| pair[0].place < pair[1].place));
    let rated = problems.iter().find(|p| p.path == "axle[front].rated").unwrap();
    let shown = "17:9: axle \"front\", rated: the number has no unit\n    found     5200\n    expected  a mass, such as \"1200 kg\" or \"2600 lb\"\n    write     rated = \"5200 kg\"";
    assert_eq!(rated.to_string(), shown);
}

#[test]
fn json_gives_the_same_rig() {
    let (_, rig) = read_rig(GOOD, Syntax::Toml).unwrap();
    let (_, twin) = read_rig(&json_twin(GOOD), Syntax::Json).unwrap();
    assert_eq!(rig, twin);
}

#[test]
fn json_gives_the_same_messages() {
    let words = |problems: Vec<Problem>| {
        let mut words: Vec<_> = problems
            .into_iter()
            .map(|p| {
                // Sentences may speak of lines, which differ between the two texts.
                let bare = |text: String| text.chars().filter(|c| !c.is_ascii_digit()).collect::<String>();
                (p.path, p.subject, bare(p.sentence), p.found)
            })
            .collect();
        words.sort();
        words
    };
    let toml = words(read_rig(TWENTY, Syntax::Toml).unwrap_err());
    let json = words(read_rig(&json_twin(TWENTY), Syntax::Json).unwrap_err());
    assert_eq!(toml, json);
}

#[test]
fn json_shows_json_to_write() {
    let problems = read_rig(&json_twin(TWENTY), Syntax::Json).unwrap_err();
    let rated = problems.iter().find(|p| p.path == "axle[front].rated").unwrap();
    assert_eq!(rated.write.as_deref(), Some("\"rated\": \"5200 kg\""));
}

#[test]
fn a_json_key_given_twice_is_told_with_its_place() {
    let problems = read_rig("{\"format\": \"rigproof-rig/1\", \"rig\": \"a\",\n \"rig\": \"b\"}", Syntax::Json).unwrap_err();
    assert_eq!(told(&problems), ["2:2 the file: this key is there twice in the same table"]);
}

#[test]
fn json_null_is_refused_where_it_stands() {
    let text = "{\"format\": \"rigproof-rig/1\", \"rig\": \"a\", \"note\": null, \"body\": null}";
    let problems = read_rig(text, Syntax::Json).unwrap_err();
    assert_eq!(told(&problems), ["1:50 the file: null says nothing", "1:64 the file: null says nothing"]);
}

#[test]
fn what_opens_a_value_is_understood_under_every_line_end_and_mark() {
    let (_, rig) = read_rig(GOOD, Syntax::Toml).unwrap();
    for text in [GOOD.replace('\n', "\r\n"), format!("\u{feff}{GOOD}")] {
        assert_eq!(read_rig(&text, Syntax::Toml).unwrap().1, rig);
    }
    let json = format!("\u{feff}{}", json_twin(GOOD));
    assert_eq!(read_rig(&json, Syntax::Json).unwrap().1, rig);
    let marked = format!("\u{feff}{TWENTY}");
    assert_eq!(told(&read_rig(&marked, Syntax::Toml).unwrap_err()), told(&read_rig(TWENTY, Syntax::Toml).unwrap_err()));
}

#[test]
fn bytes_that_are_no_text_are_told_with_their_place() {
    let problems = read_rig_bytes(b"format = \"\xc3\xa4\"\nrig = \"\xff\"", Syntax::Toml).unwrap_err();
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].place, Place { line: 2, column: 8 });
    assert_eq!(problems[0].found.as_deref(), Some("a byte 0xff, byte 22 of the file"));
}

#[test]
fn broken_syntax_does_not_hide_the_rest_nor_invent_what_is_missing() {
    let text = "format = \"rigproof-rig/1\"\nrig = Alpine\n[[axle]]\nname = \"front\nrated = 5200\n[[axle]]\nname = \"rear\"\nrated = \"8 bar\"\n[[state]]\nname = \"s\"\nkind = \"travel\"\nabsent = [\"ghost\"]\n";
    let problems = read_rig(text, Syntax::Toml).unwrap_err();
    let lines: Vec<u32> = problems.iter().map(|p| p.place.line).collect();
    assert!(lines.contains(&2) && lines.contains(&4) && lines.contains(&8), "{:#?}", told(&problems));
    let words = told(&problems).join("\n");
    assert!(!words.contains("missing") || words.contains("value is missing"), "{words}");
    assert!(!words.contains("ghost"), "{words}");
}

#[test]
fn syntax_is_spoken_of_in_plain_words() {
    let cases = [
        ("a = \n", "value is missing"),
        ("a\n", "without a value"),
        ("a = \"x\n", "never closed"),
        ("a = [1, 2\n", "never closed"),
        ("a = {b = 1\n", "never closed"),
        ("[a\nb = 1\n", "never closed"),
        ("note = \"1\"\nnote = \"2\"\n", "there twice"),
        ("a = 'x\n", "never closed"),
        ("a = \"\\q\"\n", "backslash"),
        ("a b = 1\n", "key"),
        ("= 1\n", "key is missing"),
        ("a = 1 2\n", ""),
        ("a = 012\n", "zero"),
        ("]\n", ""),
    ];
    for (text, part) in cases {
        let problems = problems_of(text);
        let words = told(&problems).join("\n");
        assert!(words.contains(part) && !problems.is_empty(), "{text:?}: {words}");
        for bad in ["invalid", "failed", "unexpected", "expected `"] {
            assert!(!words.contains(bad), "{text:?}: {words}");
        }
        assert_eq!(problems[0].place.line, if text.starts_with("note") { 4 } else { 3 }, "{text:?}: {words}");
    }
}

#[test]
fn one_cause_gives_one_message() {
    // A missing name, a bad coordinate, a table whose value cannot be read, a wrong table kind, an absent body.
    only("[[mass]]\nmass = \"1 kg\"\n");
    only("[[mass]]\nname = \"m\"\nat = [\"0.4 kgs\", \"0 m\", \"0 m\"]\n");
    only("[[mass]]\nname = \"m\"\nmass = { value = \"3 bar\", tolerance = \"1 kg\" }\n");
    only("chassis = 3\n");
    assert_eq!(only("[mass]\nname = \"m\"\n").write.as_deref(), Some("[[mass]]"));
    assert_eq!(only("[[body]]\nfront = \"1 m\"\n").write.as_deref(), Some("[body]"));
    let inside = "[[mass]]\nname = \"a\"\nin = \"body\"\n[[mass]]\nname = \"b\"\nin = \"body\"\n";
    assert!(only(inside).sentence.contains("1 more"));
}

#[test]
fn tables_of_stated_values_are_weighed_as_a_whole() {
    let problem = only("[chassis]\ngross_mass = { value = \"1200 kg\", bounds = true }\n");
    assert_eq!((problem.place.line, problem.subject.as_str()), (4, "chassis, gross_mass"));
    only("[chassis]\ngross_mass = { value = \"1200 kg\", how = \"guess\" }\n");
    only("[chassis]\ngross_mass = { how = \"weighed\" }\n");
}

#[test]
fn what_cannot_be_is_refused() {
    for more in [
        "[chassis]\ngross_mass = \"-1 kg\"\n",
        "[chassis]\ngross_mass = \"0 kg\"\n",
        "[chassis]\ngross_mass = \"1e308 kg\"\n",
        "[chassis]\ngross_mass = nan\n",
        "[chassis]\nwidth = \"-2 m\"\n",
        "[[axle]]\nname = \"a\"\nx = \"0 m\"\n[[axle]]\nname = \"a\"\nx = \"3 m\"\n",
        "[[axle]]\nname = \"a\"\nx = \"0 m\"\n[[axle]]\nname = \"b\"\nx = \"0 m\"\n",
        "[[axle]]\nname = \"a\"\nx = \"1 m\"\n[[axle]]\nname = \"b\"\nx = \"3 m\"\n",
        "[[axle]]\nname = \"a\"\nx = \"-1 m\"\n[[axle]]\nname = \"b\"\nx = \"0 m\"\n",
        "[[axle]]\nname = \"a\"\ngroup = \"g\"\n",
        "[[axle]]\nname = \"\"\n",
        "[[axle]]\nname = \"a\"\ntrack = { value = \"1.94 m\", tolerance = \"1e308 mm\" }\n",
        "[[axle]]\nname = \"a\"\ntrack = \"1.94 m +- 6 m\"\n",
        "top_speed = \"90 km/h +- 900 %\"\n",
        "[[roof_item]]\nname = \"a\"\nscrews = \"8 x 60 mm\"\n",
        "[[mass]]\nname = \"m\"\n[[fixing]]\nof = \"m\"\nscrews = [\"8 x #10\", \"4 x -6 mm\"]\n",
        "[[axle]]\nname = \"a\"\ntyre = { load_index = 20 }\n",
        "[[axle]]\nname = \"a\"\ntyre = { load_index = 70000 }\n",
        "[[axle]]\nname = \"a\"\ntyre = { per_side = 3 }\n",
        "[[axle]]\nname = \"a\"\ntyre = { date_code = \"5419\" }\n",
        "[[axle]]\nname = \"a\"\ntyre = { speed_symbol = \"k\" }\n",
        "[[axle]]\nname = \"a\"\ntyre = { load_exponent = inf }\n",
        "[[mass]]\nname = \"m\"\nat = [\"0 m\", \"left\", \"0 m\"]\n",
        "[body]\nfront = \"1 m\"\n[[mass]]\nname = \"m\"\nin = \"body\"\nat = [\"left\", \"0 m\", \"0 m\"]\n",
        "[[mass]]\nname = \"m\"\nsize = [\"1 m\", \"0 m\", \"1 m\"]\n",
        "[[mass]]\nname = \"m\"\nof = \"m\"\n",
        "[[mass]]\nname = \"m\"\nof = \"ghost\"\n",
        "[[mass]]\nname = \"m\"\nmass = \"1 kg\"\n[[seat]]\nname = \"s\"\nof = \"m\"\nmass = \"2 kg\"\n",
        "[[mass]]\nname = \"m\"\n[[tank]]\nname = \"m\"\n",
        "[[mass]]\nname = \"m\"\ncount = 0\n",
        "[[tank]]\nname = \"t\"\nfill = \"120 %\"\n",
        "[[tank]]\nname = \"t\"\nfill = \"3 bar\"\n",
        "[[tank]]\nname = \"t\"\nto = \"t\"\n",
        "[[seat]]\nname = \"s\"\n[[state]]\nname = \"x\"\nkind = \"camp\"\npeople = [\"s\", \"s\"]\n",
        "[[seat]]\nname = \"s\"\n[[state]]\nname = \"x\"\nkind = \"camp\"\npeople = [\"s: Ghost\"]\n",
        "[[state]]\nname = \"x\"\nkind = \"camp\"\nlifted = [\"ghost\"]\n",
        "[[state]]\nname = \"x\"\nkind = \"camp\"\ntrailer = true\n",
        "[[state]]\nname = \"x\"\n",
        "[[weighing]]\nname = \"w\"\n",
        "[[weighing]]\nname = \"w\"\nwhole = true\nside = \"left\"\n",
        "[[weighing]]\nname = \"w\"\nwhole = true\nstate = \"ghost\"\n",
        "[[weighing]]\nname = \"w\"\nwhole = true\nplank = \"0.2 m\"\n",
        "[[weighing]]\nname = \"w\"\nwhole = true\ndate = \"2026-02-30\"\n",
        "[[accept]]\ncheck = \"weight/gross-mass\"\nwhy = \"\"\n",
        "[[accept]]\ncheck = \"weight/gross-mass\"\nwhy = \"x\"\nuntil = \"2027-13-01\"\n",
        "without = [\"trailer\"]\n[trailer]\nname = \"t\"\n",
        "units = \"imperial\"\n",
        "[custom.a]\nb = nan\n",
    ] {
        only(more);
    }
}

/// Three panels before and one behind a hatch are two strings of two; three alone are not, nor with one of another string.
#[test]
fn a_string_of_panels_may_go_on_in_another_entry() {
    let of = |front: &str, rear: &str| {
        let entry = |name: &str, more: &str| format!("[[panel]]\nname = \"{name}\"\ncontroller = \"c\"\n{more}\n");
        let controller = "[[controller]]\nname = \"c\"\n";
        told(&problems_of(&format!("{}{}{controller}", entry("front", front), entry("rear", rear))))
    };
    let none = Vec::<String>::new();
    assert_eq!(of("count = 3\nin_series = 2", "in_series = 2"), none);
    assert_eq!(of("count = 4\nin_series = 2", "count = 2\nin_series = 2"), none);
    let wrong = of("count = 3\nin_series = 2", "in_series = 1");
    assert!(matches!(wrong.as_slice(), [one] if one.contains("3 panels make no whole strings of 2")), "{wrong:?}");
    let wrong = of("count = 3\nin_series = 2", "count = 2\nin_series = 2");
    assert!(matches!(wrong.as_slice(), [one] if one.contains("all of that controller are 5")), "{wrong:?}");
}

#[test]
fn what_may_be_is_taken() {
    for more in [
        "[[weighing]]\nname = \"w\"\nwhole = true\nstate = \"travel-full\"\n",
        "[[weighing]]\nname = \"w\"\nside = \"left\"\nplank = \"0 m\"\n",
        "[[accept]]\ncheck = \"weight/gross-mass\"\nwhy = \"x\"\nuntil = \"first weighing\"\n",
        "[[axle]]\nname = \"a\"\ntyre = { load_index = 152.0 }\n",
        "[[axle]]\nname = \"a\"\ntrack = \"1.94 m +- 1 m\"\n",
        "[[roof_item]]\nname = \"a\"\nscrews = [\"8 x #10\", \"8 x 1/4 in\"]\n",
        "[[axle]]\nname = \"a\"\ntyre = { date_code = \"409\" }\n",
        "[[tank]]\nname = \"t\"\nfill = \"?\"\n",
        "[chassis]\ngross_mass = \"?\"\n",
        "[chassis]\nfront_end = \"-1.3 m\"\n",
        "[body]\nfront = \"1 m\"\n[[mass]]\nname = \"m\"\nin = \"body\"\nat = [\"front wall\", \"center\", \"roof\"]\n",
        "[[mass]]\nname = \"m\"\n[[seat]]\nname = \"s\"\nof = \"m\"\nmass = \"2 kg\"\n",
        "[custom.a]\nb = [1, \"x\", { c = true }]\n",
    ] {
        assert_eq!(told(&problems_of(more)), Vec::<String>::new(), "{more}");
    }
}

#[test]
fn the_nearest_spelling_is_offered_where_it_fits() {
    assert_eq!(only("untis = \"us\"\n").write.as_deref(), Some("units"));
    assert_eq!(only("units = \"metrik\"\n").write.as_deref(), Some("units = \"metric\""));
    let body = "[body]\nfront = \"1 m\"\n[[mass]]\nname = \"m\"\nin = \"body\"\nat = [\"0 m\", \"lft\", \"0 m\"]\n";
    assert_eq!(only(body).write.as_deref(), Some("\"left\""));
    let tank =
        "[[tank]]\nname = \"fresh water\"\n[[state]]\nname = \"s\"\nkind = \"camp\"\nfill = { \"fresh watr\" = \"full\" }\n";
    assert_eq!(only(tank).write.as_deref(), Some("\"fresh water\""));
}

#[test]
fn more_than_two_hundred_problems_are_counted() {
    let many: String = (0..300).map(|n| format!("k{n} = 1\n")).collect();
    let problems = problems_of(&many);
    assert_eq!(problems.len(), 200);
    assert!(problems[199].sentence.contains("101 more"), "{}", problems[199]);
    let texts: String = (0..300).map(|n| format!("[[mass]]\nname = \"m{n}\"\nmass = \"5\"\n")).collect();
    let problems = problems_of(&texts);
    assert_eq!(problems.len(), 200);
    assert!(problems[199].sentence.starts_with("at least"), "{}", problems[199]);
}

#[test]
fn hostile_texts_end_in_problems() {
    let deep_toml = format!("note = {}", "[".repeat(100_000));
    let deep_json = "[".repeat(100_000);
    let dotted = format!("{} = 1", vec!["a"; 100_000].join("."));
    let long_key = format!("{LEAST}{} = 1\n", "k".repeat(1 << 20));
    let too_large = " ".repeat((8 << 20) + 1);
    for (text, syntax) in [
        (deep_toml.as_str(), Syntax::Toml),
        (&deep_json, Syntax::Json),
        (&dotted, Syntax::Toml),
        (&long_key, Syntax::Toml),
        (&too_large, Syntax::Toml),
        (&too_large, Syntax::Json),
        ("", Syntax::Toml),
        ("", Syntax::Json),
        ("[]", Syntax::Json),
    ] {
        let problems = read_rig(text, syntax).unwrap_err();
        assert!(problems.iter().all(|problem| problem.to_string().len() < 2_000));
    }
}

#[test]
fn the_model_has_no_words_that_lose_places() {
    for (file, text) in [
        ("axle", include_str!("../src/model/axle.rs")),
        ("chassis", include_str!("../src/model/chassis.rs")),
        ("leaf/calendar", include_str!("../src/model/leaf/calendar.rs")),
        ("leaf/fill", include_str!("../src/model/leaf/fill.rs")),
        ("leaf/mod", include_str!("../src/model/leaf/mod.rs")),
        ("leaf/occupant", include_str!("../src/model/leaf/occupant.rs")),
        ("leaf/place", include_str!("../src/model/leaf/place.rs")),
        ("limits", include_str!("../src/model/limits.rs")),
        ("load", include_str!("../src/model/load.rs")),
        ("rig", include_str!("../src/model/rig.rs")),
        ("state", include_str!("../src/model/state.rs")),
        ("table", include_str!("../src/model/table.rs")),
        ("use_case", include_str!("../src/model/use_case.rs")),
    ] {
        for word in ["flatten", "untagged", "tag =", "default ="] {
            assert!(!text.contains(word), "{file}.rs has {word}: serde would buffer the value and lose its place");
        }
    }
}

#[test]
#[ignore = "prints times; run by hand with --release"]
fn times() {
    // The best of many: what the work takes when nothing else runs.
    let time = |what: &str, run: &dyn Fn()| {
        let once = || {
            let clock = std::time::Instant::now();
            run();
            clock.elapsed()
        };
        eprintln!("{what}: {:?}", (0..500).map(|_| once()).min());
    };
    let (document, _) = Document::from_toml(GOOD);
    let edit = rig_model::Edit { path: "body.front".into(), op: rig_model::EditOp::Set, from: None, to: Some("0.9 m".into()) };
    eprintln!("{} bytes", GOOD.len());
    time("parse and read", &|| drop(std::hint::black_box(read_rig(GOOD, Syntax::Toml))));
    time("read whole, with the parse", &|| drop(std::hint::black_box(Document::from_toml(GOOD).0.read())));
    time("parse alone", &|| drop(std::hint::black_box(Document::from_toml(GOOD))));
    time("toml alone", &|| drop(std::hint::black_box(toml::de::DeTable::parse_recoverable(GOOD))));
    time("read again", &|| drop(std::hint::black_box(document.read())));
    time("edit and read", &|| {
        let edited = document.with(std::slice::from_ref(&edit)).unwrap();
        drop(std::hint::black_box(edited.read()));
    });
    time("edit alone", &|| drop(std::hint::black_box(document.with(std::slice::from_ref(&edit)))));
}

#[test]
fn a_value_broken_off_over_several_lines_is_told_once_and_its_neighbours_still() {
    let problems = problems_of("[[mass]]\nname = \"a\"\ncolour = \"red\"\nat = [\"1 m\",\n  \"0 m\"\n");
    let told = told(&problems);
    assert_eq!(told.len(), 2, "{told:#?}");
    assert!(told[0].starts_with("5:1 mass \"a\": there is no key \"colour\""), "{told:#?}");
    assert!(told[1].contains("a [ is never closed"), "{told:#?}");
}

#[test]
fn a_null_hides_no_other_mistake_of_its_line() {
    let text = "{\"format\": \"rigproof-rig/1\", \"rig\": \"a\", \"note\": null, \"axle\": [null], \"top_speed\": \"80\"}";
    let problems = read_rig(text, Syntax::Json).unwrap_err();
    assert_eq!(
        told(&problems),
        ["1:50 the file: null says nothing", "1:65 the file: null says nothing", "1:85 top_speed: the number has no unit"]
    );
}

/// So that whatever goes through every key goes through these too.
#[test]
fn the_good_rig_has_every_key_of_the_power_tables() {
    let schema = serde_json::to_value(rig_model::schema()).unwrap();
    let file: toml::Table = toml::from_str(GOOD).unwrap();
    let missing = |table: &str, name: &str, entries: &[&toml::Value]| -> Vec<String> {
        let keys = schema["$defs"][name]["properties"].as_object().unwrap().keys();
        let has = |key: &str| entries.iter().any(|entry| entry.get(key).is_some());
        keys.filter(|key| !has(key)).map(|key| format!("{table}.{key}")).collect()
    };
    let mut lacking = Vec::new();
    for (table, name) in [
        ("site", "Site"),
        ("power", "PowerWishes"),
        ("panel", "Panel"),
        ("battery", "Battery"),
        ("controller", "Controller"),
        ("charger", "Charger"),
        ("alternator", "Alternator"),
        ("inverter", "Inverter"),
        ("converter", "Converter"),
        ("portable", "Portable"),
        ("load", "Load"),
        ("inlet", "Inlet"),
        ("generator", "Generator"),
        ("roof", "Roof"),
        ("locker", "Locker"),
    ] {
        let entries: Vec<&toml::Value> = match &file[table] {
            toml::Value::Array(list) => list.iter().collect(),
            one => vec![one],
        };
        lacking.extend(missing(table, name, &entries));
    }
    lacking.extend(missing("body.heat", "Heat", &[&file["body"]["heat"]]));
    lacking.extend(missing("roof.hatch", "Hatch", &[&file["roof"]["hatch"][0]]));
    lacking.extend(missing("site.skyline", "Skyline", &[&file["site"]["skyline"][0]]));
    // What weighs and stands somewhere is the same for all of them.
    let common = ["mass", "like", "at", "size", "in", "on", "of", "count"];
    let panel = |key: &str| file["panel"].as_array().unwrap().iter().any(|panel| panel.get(key).is_some());
    assert!(common.iter().all(|key| panel(key)));
    lacking.retain(|path| !common.contains(&path.rsplit('.').next().unwrap_or_default()) || path == "load.on");
    assert_eq!(lacking, [""; 0]);
}
