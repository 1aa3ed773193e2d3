//! What an audit of the complete example costs: the whole process, and its parts.
//!
//! Run: `cargo bench -p rigproof`. Quote ratios from one run; the machine may be busy.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a bench")]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Arc, LazyLock};

use divan::{Bencher, black_box};
use report::terminal::Look;
use rig_facts::Facts;
use rig_model::{Rig, Syntax, read_rig};
use rigproof::own::Own;
use rigproof::{Options, audit, door};

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/herbarium-truck/rig.toml");

const SCRIPTS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scripts");

fn main() {
    divan::main();
}

fn text() -> String {
    std::fs::read_to_string(FILE).expect("the example is there")
}

fn rig() -> Arc<Rig> {
    Arc::new(read_rig(&text(), Syntax::Toml).expect("it reads").1)
}

/// Tables of the trade power.
const POWER: &[&str] = &[
    "alternator",
    "battery",
    "body.heat",
    "charger",
    "controller",
    "converter",
    "inlet",
    "inverter",
    "load",
    "panel",
    "power",
    "roof",
    "roof.hatch",
    "site",
];

/// Tables of the trade mount.
const MOUNT: &[&str] = &[
    "awning",
    "chassis.frame",
    "chassis.frame.found",
    "chassis.frame.hole",
    "clearance",
    "cross_member",
    "fixing",
    "levelling",
    "lifting",
    "mount",
    "roof_item",
    "tie",
];

/// The example without some tables, and without what is about a thing of them: the path of the file.
fn without(name: &str, tables: &[&[&str]]) -> String {
    let text = text();
    let mut parts: Vec<String> = vec![String::new()];
    for line in text.lines() {
        if line.starts_with('[') {
            parts.push(String::new());
        }
        parts.last_mut().expect("there is one").extend([line, "\n"]);
    }
    let table = |part: &str| part.lines().next().unwrap_or_default().trim_matches(['[', ']']).to_owned();
    let is_cut = |part: &String| tables.iter().any(|tables| tables.contains(&table(part).as_str()));
    let (cut, kept): (Vec<String>, Vec<String>) = parts.into_iter().partition(is_cut);
    let names: Vec<&str> = cut.iter().flat_map(|part| part.lines()).filter_map(|line| line.strip_prefix("name = ")).collect();
    let is_about = |part: &String| names.iter().any(|name| part.lines().any(|line| line == format!("of = {name}")));
    let rest: String = kept.into_iter().filter(|part| !is_about(part)).collect();
    read_rig(&rest, Syntax::Toml).expect("it reads");
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.toml"));
    std::fs::write(&path, rest).expect("it can be written");
    path.to_str().expect("it is text").to_owned()
}

fn process(bencher: Bencher, arguments: &[&str]) {
    bencher.bench(|| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_rigproof"));
        command.args(arguments).stdout(Stdio::null()).status().expect("it starts")
    });
}

/// Start and end of the process alone.
#[divan::bench]
fn process_start(bencher: Bencher) {
    process(bencher, &["--version"]);
}

/// The whole process, remedies on.
#[divan::bench]
fn process_audit(bencher: Bencher) {
    process(bencher, &["audit", "--today", "2026-11-25", FILE]);
}

/// The same with one year drawn. What nine more cost: each panel is laid out under each of them, and so is each copy with
/// another horizon or tilt; every battery, and every size of one that is thought of, goes through all of them.
#[divan::bench]
fn process_audit_one_year(bencher: Bencher) {
    process(bencher, &["audit", "--today", "2026-11-25", "--years", "1", FILE]);
}

/// The whole process, remedies on, of the example without the tables of power.
#[divan::bench]
fn process_audit_of_weights_and_mounts(bencher: Bencher) {
    process(bencher, &["audit", "--today", "2026-11-25", &without("no-power", &[POWER])]);
}

/// The same of its weights alone: 43 masses, 4 tanks, 3 seats, 5 states, 5 tickets.
#[divan::bench]
fn process_audit_of_weights(bencher: Bencher) {
    process(bencher, &["audit", "--today", "2026-11-25", &without("weights", &[POWER, MOUNT])]);
}

/// The whole process, remedies off.
#[divan::bench]
fn process_audit_without_remedies(bencher: Bencher) {
    process(bencher, &["audit", "--today", "2026-11-25", "--no-remedies", FILE]);
}

/// The whole process, remedies on, with the eight scripts that are shipped: the difference is what they cost.
#[divan::bench]
fn process_audit_with_eight_scripts(bencher: Bencher) {
    process(bencher, &["audit", "--today", "2026-11-25", "--scripts", SCRIPTS, FILE]);
}

/// Text to model.
#[divan::bench]
fn part_read(bencher: Bencher) {
    let text = text();
    bencher.bench(|| read_rig(black_box(&text), Syntax::Toml));
}

/// Model to facts.
#[divan::bench]
fn part_facts(bencher: Bencher) {
    let rig = rig();
    bencher.bench(|| Facts::derive(black_box(Arc::clone(&rig))));
}

/// Text to audit, remedies off: read, facts, checks, views.
#[divan::bench]
fn audit_without_remedies(bencher: Bencher) {
    let (text, options) = (text(), Options { remedies: false, ..Options::new(FILE) });
    bencher.bench(|| audit(black_box(&text), &options));
}

/// Text to audit, remedies on: the difference is what solving and proving them costs.
#[divan::bench]
fn audit_with_remedies(bencher: Bencher) {
    let (text, options) = (text(), Options::new(FILE));
    bencher.bench(|| audit(black_box(&text), &options));
}

/// Audit to terminal text.
#[divan::bench]
fn part_render_text(bencher: Bencher) {
    let audit = audit(&text(), &Options::new(FILE));
    bencher.bench(|| report::terminal::render(black_box(&audit), &Look::default()));
}

/// Audit to JSON.
#[divan::bench]
fn part_render_json(bencher: Bencher) {
    let audit = audit(&text(), &Options::new(FILE));
    bencher.bench(|| report::json::render(black_box(&audit)));
}

/// Ten thousand ledgers: all states, loads, tickets.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn ten_thousand_ledgers(bencher: Bencher) {
    let rig = rig();
    bencher.bench(|| {
        for _ in 0..10_000 {
            black_box(Facts::derive(Arc::clone(&rig)));
        }
    });
}

/// The worked native plugin, built by the cargo that runs the bench.
static PLUGIN: LazyLock<PathBuf> = LazyLock::new(|| {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let built =
        Command::new(env!("CARGO")).args(["build", "--quiet", "--release", "-p", "plugin-frost"]).current_dir(&top).status();
    assert!(built.is_ok_and(|status| status.success()), "the plugin builds");
    let file = format!("{}plugin_frost{}", std::env::consts::DLL_PREFIX, std::env::consts::DLL_SUFFIX);
    // Beside the program, whatever the target folder is.
    Path::new(env!("CARGO_BIN_EXE_rigproof")).with_file_name(file)
});

fn plugin() -> Own {
    let own =
        Own::plugins(std::slice::from_ref(&*PLUGIN), Path::new(env!("CARGO_BIN_EXE_rigproof")), plugin_checks::Bounds::default());
    assert!(own.faults.is_empty(), "{:?}", own.faults);
    own
}

/// A plugin's process: start, load, greet, end.
#[divan::bench]
fn plugin_start(bencher: Bencher) {
    LazyLock::force(&PLUGIN);
    bencher.bench(plugin);
}

/// One question to a plugin that has the rig already.
#[divan::bench]
fn plugin_round_trip(bencher: Bencher) {
    let own = plugin();
    let context = door::context(own.registry(), text().as_bytes(), &Options::new(FILE)).expect("it reads");
    let check = own.registry().find("frost/water-tank").expect("it has that check");
    bencher.bench(|| check.try_run(black_box(&context)).expect("it answers"));
}

/// One question to a plugin that is sent the rig for it: tanks and its own table. The rig is read beforehand.
#[divan::bench]
fn plugin_round_trip_with_rig(bencher: Bencher) {
    let (own, text) = (plugin(), text());
    let check = own.registry().find("frost/water-tank").expect("it has that check");
    let read = || door::context(own.registry(), text.as_bytes(), &Options::new(FILE)).expect("it reads");
    bencher.with_inputs(read).bench_values(|context| check.try_run(black_box(&context)).expect("it answers"));
}
