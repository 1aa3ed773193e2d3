//! The crate map: which room may use which, and which outside crates each may use. The tables live here; DEVELOPERS.md
//! shows the rooms.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::{BTreeMap, BTreeSet};

use rigproof_tests::root;

/// Each room with the rooms it stands on, ground floor first. What those stand on may be used too.
const ROOMS: &[(&str, &[&str])] = &[
    ("quantity", &[]),
    ("basis", &["quantity"]),
    ("physics", &["quantity", "basis"]),
    ("weather", &["physics"]),
    ("kernels", &["physics", "weather"]),
    ("rig-model", &["quantity"]),
    ("rig-facts", &["rig-model", "physics", "weather"]),
    ("check", &["rig-facts"]),
    ("check-weight", &["check"]),
    ("check-mount", &["check"]),
    ("check-power", &["check"]),
    ("script-checks", &["check", "kernels"]),
    // Plugin authors pay for what it uses: nothing of ours.
    ("plugin-api", &[]),
    ("plugin-checks", &["check", "plugin-api"]),
    ("runner", &["check"]),
    ("study", &["runner"]),
    ("report", &["check"]),
    ("rigproof", &["kernels", "check-weight", "check-mount", "check-power", "script-checks", "plugin-checks", "study", "report"]),
];

/// Outside crates that each room may name, for the program itself (tests and benches may use more).
const OUTSIDE: &[(&str, &[&str])] = &[
    // pulp: the widest registers of the processor at hand, without unsafe code of ours.
    ("quantity", &["borsh", "serde", "schemars", "strsim", "libm", "pulp"]),
    ("basis", &["borsh", "serde", "schemars", "toml", "thiserror"]),
    ("physics", &["nalgebra", "pulp", "serde", "schemars", "thiserror"]),
    // serde, serde_json: weather files that are JSON.
    ("weather", &["serde", "serde_json"]),
    ("kernels", &["serde", "serde_json", "schemars", "thiserror"]),
    ("rig-model", &["serde", "schemars", "toml", "jsonc-parser", "strsim", "jiff"]),
    ("rig-facts", &["serde", "schemars", "toml", "thiserror"]),
    ("check", &["serde", "schemars", "toml", "thiserror"]),
    ("check-weight", &["serde", "schemars", "toml", "thiserror"]),
    ("check-mount", &["serde", "schemars", "toml", "thiserror"]),
    ("check-power", &["serde", "schemars", "toml", "thiserror"]),
    // serde, serde_json: a card, a basis and the inputs of a kernel go through JSON; toml: the cases beside a script.
    ("script-checks", &["rhai", "serde", "serde_json", "toml"]),
    ("plugin-api", &["serde", "serde_json", "schemars"]),
    // rustix: process groups, bounds and descriptors without unsafe code of ours.
    ("plugin-checks", &["libloading", "rustix", "serde", "serde_json", "thiserror"]),
    ("runner", &["rayon", "serde"]),
    ("study", &["rand", "rand_distr", "statrs", "argmin", "microlp", "rayon", "csv"]),
    // serde and schemars: the audit's JSON and its schema are written here.
    ("report", &["serde", "schemars", "serde_json", "svg", "anstyle", "textwrap", "unicode-width"]),
    // jiff: today's date; serde, serde_json, schemars: `calc` and `schema` speak JSON; rustix: the allocator asks for huge pages.
    (
        "rigproof",
        &[
            "clap",
            "clap_complete",
            "clap_mangen",
            "anstream",
            "terminal_size",
            "sha2",
            "jiff",
            "rustix",
            "serde",
            "serde_json",
            "schemars",
        ],
    ),
];

fn map(table: &[(&'static str, &'static [&'static str])]) -> BTreeMap<&'static str, BTreeSet<&'static str>> {
    table.iter().map(|(name, list)| (*name, list.iter().copied().collect())).collect()
}

/// Names in one table of a room's manifest.
fn named(room: &str, table: &str) -> BTreeSet<String> {
    let file = root().join("crates").join(room).join("Cargo.toml");
    let text = std::fs::read_to_string(&file).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    let manifest: toml::Table = text.parse().unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    tables(&manifest, table).flat_map(|table| table.keys().cloned()).collect()
}

/// That table of a manifest, and those of the same name for some systems alone.
fn tables<'m>(manifest: &'m toml::Table, name: &str) -> impl Iterator<Item = &'m toml::Table> {
    let systems = manifest.get("target").and_then(toml::Value::as_table).into_iter().flat_map(|all| all.values());
    let own = manifest.get(name).into_iter();
    let of_systems: Vec<&toml::Value> = systems.filter_map(|system| system.get(name)).collect();
    own.chain(of_systems).filter_map(toml::Value::as_table)
}

fn folders() -> BTreeSet<String> {
    std::fs::read_dir(root().join("crates")).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect()
}

/// A room and all it may use, the floors below included.
fn may_use(rooms: &BTreeMap<&str, BTreeSet<&'static str>>, room: &str) -> BTreeSet<&'static str> {
    let direct = &rooms[room];
    direct.iter().copied().chain(direct.iter().flat_map(|below| may_use(rooms, below))).collect()
}

#[test]
fn every_crate_is_on_the_map_and_the_map_has_no_others() {
    let on_map: BTreeSet<String> = ROOMS.iter().map(|(room, _)| (*room).to_owned()).collect();
    assert_eq!(on_map, folders());
    assert_eq!(on_map, OUTSIDE.iter().map(|(room, _)| (*room).to_owned()).collect());
}

#[test]
fn each_room_uses_only_floors_below() {
    let rooms = map(ROOMS);
    let outside = map(OUTSIDE);
    let mut wrong = Vec::new();
    for room in folders() {
        let below = may_use(&rooms, &room);
        for used in named(&room, "dependencies") {
            let is_room = rooms.contains_key(used.as_str());
            let allowed = if is_room { below.contains(used.as_str()) } else { outside[room.as_str()].contains(used.as_str()) };
            if !allowed {
                wrong.push(format!("{room} may not use {used}"));
            }
        }
        // A build script runs on the builder's machine: ours packs data files, and needs nothing else for it.
        let packs = named(&room, "build-dependencies");
        assert!(packs.iter().all(|used| used == "basis" && below.contains("basis")), "{room}: {packs:?}");
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn no_trade_knows_another_and_physics_knows_no_rig() {
    let rooms = map(ROOMS);
    for room in folders().iter().filter(|room| room.starts_with("check-")) {
        let others = may_use(&rooms, room).into_iter().filter(|used| used.starts_with("check-")).count();
        assert_eq!(others, 0, "{room}");
        let named: Vec<String> = ["dependencies", "dev-dependencies"]
            .into_iter()
            .flat_map(|table| named(room, table))
            .filter(|used| used.starts_with("check-"))
            .collect();
        assert!(named.is_empty(), "{room} uses {named:?}");
    }
    for low in ["physics", "weather", "kernels", "quantity", "basis"] {
        for table in ["dependencies", "dev-dependencies"] {
            assert!(!named(low, table).contains("rig-model"), "{low}");
        }
    }
}

#[test]
fn versions_stand_once_in_the_workspace() {
    for room in folders() {
        let file = root().join("crates").join(&room).join("Cargo.toml");
        let manifest: toml::Table = std::fs::read_to_string(&file).unwrap().parse().unwrap();
        for table in ["dependencies", "dev-dependencies"] {
            for (name, entry) in tables(&manifest, table).flatten() {
                let inherited = entry.get("workspace").and_then(toml::Value::as_bool) == Some(true);
                assert!(inherited, "{room}: {name} gives a version of its own");
            }
        }
        let unsafe_is_lint_of_workspace = manifest.get("lints").and_then(|l| l.get("workspace")).and_then(toml::Value::as_bool);
        assert_eq!(unsafe_is_lint_of_workspace, Some(true), "{room} leaves the workspace's lints");
        let library = std::fs::read_to_string(root().join("crates").join(&room).join("src/lib.rs")).unwrap();
        let forbids = library.contains("#![forbid(unsafe_code)]");
        // The files of `UNSAFE` stand in these libraries; that of the program stands in its binary.
        assert_eq!(forbids, !["plugin-api", "plugin-checks"].contains(&&*room), "{room}");
    }
}

/// Folder of what the sources of a room may not reach for, and why.
const NOT_IN_SOURCES: &[(&str, &[&str])] = &[
    // Only the binary opens files or knows the terminal.
    ("physics", &["std::fs", "println!", "eprintln!", "std::env"]),
    ("weather", &["std::fs", "println!", "eprintln!", "std::env", "HashMap"]),
    ("kernels", &["std::fs", "println!", "eprintln!", "std::env"]),
    ("rig-model", &["std::fs", "println!", "eprintln!", "std::env"]),
    ("rig-facts", &["std::fs", "println!", "eprintln!", "std::env", "HashMap"]),
    ("check", &["std::fs", "println!", "eprintln!", "std::env", "HashMap"]),
    ("check-weight", &["std::fs", "println!", "eprintln!", "std::env", "HashMap"]),
    ("runner", &["std::fs", "println!", "eprintln!", "std::env", "HashMap"]),
    ("report", &["std::fs", "println!", "eprintln!", "std::env", "HashMap"]),
];

/// Rooms that may hold unsafe code, and in which files.
const UNSAFE: &[(&str, &[&str])] =
    &[("plugin-api", &["abi.rs"]), ("plugin-checks", &["inside.rs"]), ("rigproof", &["memory.rs"])];

#[test]
fn unsafe_code_stands_where_it_must_and_each_block_says_why_it_is_sound() {
    for room in folders() {
        let files = UNSAFE.iter().find(|(name, _)| *name == room).map_or(&[][..], |(_, files)| *files);
        for file in sources(&root().join("crates").join(&room).join("src")) {
            let text = std::fs::read_to_string(&file).unwrap();
            let lines: Vec<&str> = text.lines().collect();
            let allowed = files.iter().any(|name| file.ends_with(name));
            assert!(allowed || !text.contains("allow(unsafe_code"), "{}", file.display());
            for (at, _) in lines.iter().enumerate().filter(|(_, line)| line.contains("unsafe {")) {
                let above = lines[..at].iter().rev().take_while(|line| line.trim_start().starts_with("//"));
                assert!(above.into_iter().any(|line| line.contains("SAFETY:")), "{}:{}", file.display(), at + 1);
            }
        }
    }
}

#[test]
fn only_the_program_opens_files_and_no_hash_map_reaches_output() {
    for (room, words) in NOT_IN_SOURCES {
        for file in sources(&root().join("crates").join(room).join("src")) {
            let text = std::fs::read_to_string(&file).unwrap();
            // Unit tests stand last in a file and may do as they like.
            let text = text.split("#[cfg(test)]").next().unwrap_or_default();
            for word in *words {
                let line = text.lines().position(|line| line.contains(word) && !line.trim_start().starts_with("//"));
                assert_eq!(line, None, "{}: {word}", file.display());
            }
        }
    }
}

fn sources(folder: &std::path::Path) -> Vec<std::path::PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|e| e == "rs") && path.file_stem().is_some_and(|s| s != "tests") {
            found.push(path);
        }
    }
    found.sort();
    found
}
