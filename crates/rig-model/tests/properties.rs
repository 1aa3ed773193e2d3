//! What holds for any text and any edit.
#![allow(clippy::unwrap_used, reason = "helpers of tests, where a panic is the answer")]

use std::sync::LazyLock;

use proptest::prelude::*;
use rig_model::path::{Segment, join, parse};
use rig_model::{Document, Edit, EditOp, Free, Place, Rig, Syntax, read_rig, read_rig_bytes};

const GOOD: &str = include_str!("rigs/good.toml");

static DOCUMENT: LazyLock<Document> = LazyLock::new(|| Document::from_toml(GOOD).0);
static RIG: LazyLock<Rig> = LazyLock::new(|| DOCUMENT.read().0);

/// Reads in both syntaxes; every problem has a place inside the text and says something.
fn read_any(text: &str) {
    for syntax in [Syntax::Toml, Syntax::Json] {
        if let Err(problems) = read_rig(text, syntax) {
            assert!(!problems.is_empty() && problems.len() <= 200);
            let lines = u32::try_from(text.matches('\n').count()).unwrap() + 1;
            for problem in problems {
                assert!(problem.place.line >= 1 && problem.place.line <= lines, "{problem}");
                assert!(!problem.sentence.is_empty() && !problem.subject.is_empty());
                assert!(problem.place.column >= 1);
            }
        }
    }
}

/// Pieces a rig file is made of, to be put together wrongly.
fn piece() -> impl Strategy<Value = String> {
    let known = vec![
        "[[axle]]\n",
        "[[mass]]\n",
        "[chassis]\n",
        "[body]\n",
        "[[state]]\n",
        "name = \"a\"\n",
        "kind = \"travel\"\n",
        "at = [\"1 m\", \"left\", \"floor\"]\n",
        "in = \"body\"\n",
        "of = \"a\"\n",
        "mass = ",
        "\"1 kg\"\n",
        "\"?\"\n",
        "1e308\n",
        "nan\n",
        "{ value = \"1 kg\", how = \"weighed\" }\n",
        "fill = { a = \"full\" }\n",
        "people = [\"a: b\"]\n",
        "tyre = { load_index = 152 }\n",
        "\"",
        "'",
        "\"\"\"",
        "[",
        "]",
        "{",
        "}",
        ",",
        "=",
        "\n",
        "\r\n",
        "\u{feff}",
        "é",
        "\\",
        "#",
        "x.y.z = 1\n",
        "2026-01-01\n",
        "true\n",
        "null",
        ":",
        "\u{0}",
    ];
    prop_oneof![4 => prop::sample::select(known).prop_map(str::to_owned), 1 => any::<String>()]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_panics(text in any::<String>()) {
        read_any(&text);
    }

    #[test]
    fn no_pieces_panic(pieces in prop::collection::vec(piece(), 0..24)) {
        read_any(&pieces.concat());
    }

    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = read_rig_bytes(&bytes, Syntax::Toml);
        let _ = read_rig_bytes(&bytes, Syntax::Json);
    }

    #[test]
    fn mutations_of_a_good_rig_never_panic(cuts in prop::collection::vec((0..GOOD.len(), 0..40usize, piece()), 1..4)) {
        let mut text = GOOD.to_owned();
        for (at, length, instead) in cuts {
            let on_character = |mut at: usize| { while !text.is_char_boundary(at) { at -= 1; } at };
            let from = on_character(at.min(text.len()));
            let to = on_character((from + length).min(text.len()));
            text.replace_range(from..to, &instead);
        }
        read_any(&text);
    }

    #[test]
    fn cutting_the_file_anywhere_never_panics(at in 0..GOOD.len()) {
        if let Some(text) = GOOD.get(..at) {
            read_any(text);
        }
    }

    #[test]
    fn a_path_reads_back(steps in prop::collection::vec(segment(), 0..6), key in "[a-z ]{1,6}") {
        let mut segments = vec![Segment::Key(key)];
        segments.extend(steps);
        prop_assert_eq!(parse(&join(&segments)).unwrap(), segments);
    }

    #[test]
    fn no_path_panics(path in any::<String>()) {
        let _ = DOCUMENT.place(&path);
        let _ = DOCUMENT.nearest_place(&path);
        let edit = Edit { path, op: EditOp::Set, from: None, to: Some("x".into()) };
        if let Ok(edited) = DOCUMENT.with(&[edit]) {
            let _ = edited.read();
        }
    }
}

fn segment() -> impl Strategy<Value = Segment> {
    prop_oneof![".{1,8}".prop_map(Segment::Key), ".{1,8}".prop_map(Segment::Name), (1..1000usize).prop_map(Segment::Index),]
}

/// The path of every value of the good rig.
fn every_path() -> Vec<String> {
    let mut paths = Vec::new();
    RIG.each_value(&mut |trail, _| paths.push(trail.path()));
    paths
}

/// A value told in one line of text with others: the whole text is its place.
fn in_one_line(path: &str) -> bool {
    const LINES: [&str; 9] = ["people", "bolts", "welds", "packer", "screws", "into", "plate", "bracket", "insulation"];
    let (_, found) = DOCUMENT.nearest_place(path);
    let key = found.rsplit('.').next().unwrap().split('[').next().unwrap();
    DOCUMENT.place(path).is_none() && LINES.contains(&key)
}

#[test]
fn every_value_of_the_good_rig_has_a_place() {
    let paths = every_path();
    assert!(paths.len() > 250, "only {} values", paths.len());
    for path in &paths {
        match DOCUMENT.place(path) {
            Some(Place { line, .. }) => {
                let text = GOOD.lines().nth(line as usize - 1).unwrap();
                let key = path.rsplit('.').next().unwrap().split('[').next().unwrap();
                assert!(text.contains(key.trim_matches('"')), "{path} is said to be in line {line}: {text}");
            }
            None => assert!(in_one_line(path), "{path} is not found"),
        }
    }
    assert_eq!(DOCUMENT.place("axle[front].rated"), Some(Place { line: 60, column: 9 }));
}

#[test]
fn an_absent_value_points_at_its_nearest_parent() {
    assert_eq!(DOCUMENT.place("axle[front].fixed_load"), None);
    assert_eq!(DOCUMENT.nearest_place("axle[front].fixed_load"), (Place { line: 57, column: 1 }, "axle[front]".into()));
    assert_eq!(DOCUMENT.nearest_place("cylinder[x].mass"), (Place { line: 1, column: 1 }, String::new()));
}

fn set(path: &str, to: &str) -> Edit {
    Edit { path: path.into(), op: EditOp::Set, from: None, to: Some(to.into()) }
}

/// Editing the tree gives the rig that editing the text gives.
#[test]
fn an_edit_reads_as_the_edited_text() {
    let table = Free::Table(
        [("name", "sand ladders"), ("mass", "about 30 kg")].map(|(k, v)| (k.to_owned(), v.into())).into_iter().collect(),
    );
    let cases: Vec<(Vec<Edit>, String)> = vec![
        (vec![set("body.front", "0.9 m")], GOOD.replace("front = \"0.75 m\"", "front = \"0.9 m\"")),
        (vec![set("chassis.gross_mass", "12000 kg")], GOOD.replace("value = \"12500 kg\", how", "value = \"12000 kg\", how")),
        (
            vec![set("axle[tag].tyre.pressure", "7 bar"), set("axle[tag].fixed_load", "900 kg")],
            GOOD.replace("pressure = \"?\" }", "pressure = \"7 bar\" }")
                .replace("can_lift = true", "can_lift = true\nfixed_load = \"900 kg\""),
        ),
        (
            vec![set("mass[\"spare wheel\"].at[1]", "1.2 m")],
            GOOD.replace("[\"6.3 m\", \"-0.3 m\", \"1.4 m\"]", "[\"1.2 m\", \"-0.3 m\", \"1.4 m\"]"),
        ),
        (
            vec![Edit { path: "mass".into(), op: EditOp::Add, from: None, to: Some(table) }],
            format!("{GOOD}\n[[mass]]\nname = \"sand ladders\"\nmass = \"about 30 kg\"\n"),
        ),
        (vec![Edit { path: "chassis.brakes".into(), op: EditOp::Remove, from: None, to: None }], {
            let (head, tail) = GOOD.split_once("[chassis.brakes]").unwrap();
            format!("{head}{}", &tail[tail.find("[[axle]]").unwrap()..])
        }),
        (vec![Edit { path: "passage[1]".into(), op: EditOp::Remove, from: None, to: None }], {
            let (head, tail) = GOOD.split_once("[[passage]]").unwrap();
            format!("{head}{}", &tail[tail.find("[ground]").unwrap()..])
        }),
        (
            vec![
                Edit { path: "state[camped].absent".into(), op: EditOp::Add, from: None, to: Some("awning".into()) },
                set("state[camped].fill.oil", "10 L"),
            ],
            GOOD.replace("absent = [\"spare wheel\"]", "absent = [\"spare wheel\", \"awning\"]")
                .replace("\"diesel main\" = \"about 50 %\" }", "\"diesel main\" = \"about 50 %\", oil = \"10 L\" }"),
        ),
    ];
    for (edits, text) in cases {
        assert_ne!(text, GOOD, "the case {:?} changes nothing", edits[0].path);
        let edited = DOCUMENT.with(&edits).unwrap();
        let (rig, problems) = edited.read();
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!(rig, read_rig(&text, Syntax::Toml).unwrap().1, "{}", edits[0].path);
        assert_ne!(rig, *RIG);
    }
    assert_eq!(DOCUMENT.read().0, *RIG, "the original is as it was");
}

/// An edited copy is read by halves; what comes out is what a full reading gives, problems included.
#[test]
fn an_edited_copy_reads_as_if_read_whole() {
    let _ = DOCUMENT.read();
    let mut keys: Vec<&str> = vec![
        "format",
        "rig",
        "note",
        "codes",
        "units",
        "use",
        "top_speed",
        "without",
        "scripts",
        "chassis",
        "axle",
        "mass",
        "tank",
        "seat",
        "person",
        "body",
        "state",
        "weighing",
        "coupling",
        "trailer",
        "envelope",
        "passage",
        "ground",
        "low_point",
        "accept",
        "limit",
        "custom",
    ];
    keys.extend(["mass[1]", "axle[2].tyre", "state[1].fill", "tank[2].name", "axle[front].rated", "body.front"]);
    for key in keys {
        let edits = [
            Edit { path: key.into(), op: EditOp::Remove, from: None, to: None },
            set(key, "tracks"),
            set(key, "12 kg"),
            Edit { path: key.into(), op: EditOp::Set, from: None, to: Some(Free::List(vec!["gas".into()])) },
            Edit { path: key.into(), op: EditOp::Set, from: None, to: Some(Free::Table(Default::default())) },
        ];
        for edit in edits {
            let Ok(edited) = DOCUMENT.with(std::slice::from_ref(&edit)) else { panic!("{key}") };
            let fresh = Document::from_toml(GOOD).0.with(std::slice::from_ref(&edit)).unwrap();
            // `fresh` has read nothing yet, so it is read whole. Written out, since a blank (NaN) is not equal to itself.
            let (halves, whole) = (format!("{:?}", edited.read()), format!("{:?}", fresh.read()));
            assert!(halves == whole, "{edit:?} reads differently");
        }
    }
}

/// Every value can be set, and then says what was set; one told in a line with others leaves those as they were.
#[test]
fn every_value_can_be_set() {
    for path in every_path().iter().filter(|path| !path.ends_with("people[1].mass")) {
        let edited = DOCUMENT.with(&[set(path, "?")]).unwrap();
        let (rig, problems) = edited.read();
        let mut still = 0;
        rig.each_value(&mut |trail, given| still += usize::from(trail.path() == *path && given.value.is_some()));
        assert!(still == 0 || !problems.is_empty(), "{path}");
    }
}

#[test]
fn a_key_of_a_table_told_in_one_line_can_be_set() {
    let edited =
        DOCUMENT.with(&[set("mount[\"front left\"].bolts.class", "10.9"), set("mount[\"front left\"].packer.length", "150 mm")]);
    let (rig, problems) = edited.unwrap().read();
    assert_eq!(problems, []);
    let mount = &rig.mount[0];
    let bolts = &mount.bolts[0];
    assert_eq!((bolts.size.as_deref(), bolts.class.as_deref(), bolts.count), (Some("M12"), Some("10.9"), Some(4)));
    let packer = mount.packer.as_ref().unwrap();
    assert_eq!(packer.material.as_deref(), Some("oak"));
    assert_eq!([&packer.length, &packer.width].map(|side| side.as_ref().unwrap().value()), [Some(0.15), Some(0.07)]);
    // The line of one in a list of several too; a word that is no such line has no keys.
    let screws = DOCUMENT.with(&[set("fixing[1].screws[1].size", "8 mm")]).unwrap().read().0;
    assert_eq!(screws.fixing[0].screws[0].into.as_deref(), Some("spruce"));
    assert!(DOCUMENT.with(&[set("chassis.frame.rail.height", "1 m")]).is_err());
}

#[test]
fn an_edit_that_cannot_be_made_says_why() {
    let add = |path: &str| Edit { path: path.into(), op: EditOp::Add, from: None, to: Some("x".into()) };
    let remove = |path: &str| Edit { path: path.into(), op: EditOp::Remove, from: None, to: None };
    for (edit, words) in [
        (set("axle[middle].rated", "1 kg"), "the file has no axle[middle].rated, only axle"),
        (set("hoist.mass", "1 kg"), "the file has no hoist.mass"),
        (set("axle[", "1 kg"), "makes no sense at character 6"),
        (add("body.front"), "body.front is no list"),
        (remove("body.colour"), "the file has no body.colour, only body"),
        (remove("mass[99]"), "the file has no mass[99], only mass"),
        (Edit { path: "body.front".into(), op: EditOp::Set, from: None, to: None }, "says no value"),
    ] {
        let fault = DOCUMENT.with(std::slice::from_ref(&edit)).unwrap_err().to_string();
        assert!(fault.contains(words), "{edit:?}: {fault}");
    }
}

#[test]
fn an_edit_goes_through_json_unchanged() {
    let edit = Edit {
        path: "mass".into(),
        op: EditOp::Add,
        from: None,
        to: Some(Free::List(vec![Free::Number(1.5), Free::Bool(true)])),
    };
    let text = serde_json::to_string(&edit).unwrap();
    assert_eq!(text, r#"{"path":"mass","op":"add","to":[1.5,true]}"#);
    assert_eq!(serde_json::from_str::<Edit>(&text).unwrap(), edit);
}

mod one_line {
    use proptest::prelude::*;
    use rig_model::{Bolts, Bracket, Member, Metals, OneLine, Packer, Plate, Screws, Syntax, Welds, read_rig};

    proptest! {
        /// No line stops the reader, and what a line was understood as is what its table says.
        #[test]
        fn any_line_is_read_or_refused(line in "[ -~\u{d7}\u{e9}]{0,24}|[0-9]{1,3} ?x ?M?[0-9/.-]{1,6}( [0-9.]{1,4})?( mm| in)?( leg| throat| into)?( .{0,6})?") {
            let _ = (Bolts::from_line(&line), Welds::from_line(&line), Plate::from_line(&line), Screws::from_line(&line));
            let _ = (Bracket::from_line(&line), Member::from_line(&line), Packer::from_line(&line), Metals::from_line(&line));
            let quoted = serde_json::to_string(&line).unwrap();
            let json = format!("{{\"format\": \"rigproof-rig/1\", \"rig\": \"r\", \"mount\": [{{\"name\": \"a\", \"bolts\": {quoted}, \
                \"welds\": {quoted}, \"packer\": {quoted}, \"bracket\": {quoted}, \"metals\": {quoted}}}]}}");
            let _ = read_rig(&json, Syntax::Json);
        }

        /// Count, size and class come back as they were written.
        #[test]
        fn bolts_written_in_a_line_come_back(count in 1u32..99, size in "M[1-9][0-9]?(x[12](\\.[257]5?)?)?", class in "[1-9]{1,2}\\.[0-9]") {
            let bolts = Bolts::from_line(&format!("{count} x {size} {class}")).unwrap();
            prop_assert_eq!((bolts.count, bolts.size, bolts.class), (Some(count), Some(size), Some(class)));
        }
    }
}
