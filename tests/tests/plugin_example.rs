//! The worked plugin: built, run, its numbers by hand, its README as it is.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::path::PathBuf;
use std::sync::LazyLock;

use check::{Audit, Finding, Verdict};
use plugin_checks::Bounds;
use rigproof::own::Own;
use rigproof_tests::{library, options, program, rigproof_command, root};
use serde_json::Value;

const RIG: &str = "examples/plugin-frost/rig.toml";

static LIBRARY: LazyLock<PathBuf> = LazyLock::new(|| library("plugin-frost"));

fn text() -> String {
    std::fs::read_to_string(root().join(RIG)).unwrap()
}

fn audit_of(text: &str) -> Audit {
    let own = Own::plugins(std::slice::from_ref(&*LIBRARY), program(), Bounds::default());
    let audit = own.audit(text.as_bytes(), &options());
    assert_eq!((&audit.errors, &audit.faults), (&vec![], &vec![]));
    audit
}

fn about<'a>(audit: &'a Audit, name: &str) -> &'a Finding {
    audit.findings.iter().find(|finding| finding.check == "frost/water-tank" && finding.about == name).unwrap()
}

/// By hand: a tank of 1.0 x 0.5 x 0.2 m has 2 x (0.5 + 0.2 + 0.1) = 1.6 m2. At 10 W/m2K, 15 K on the mean and 8 hours it loses
/// 10 x 1.6 x 15 x 28 800 = 6.912 MJ. 100 L hold 0.1 x 4186 x 1000 x 10 = 4.186 MJ. 6.912 / 4.186 = 1.6512.
/// A wrap of 10 x 0.9 x 4.186 / 6.912 = 5.45, so 5.4 W/m2K, leaves 3.73248 MJ, 0.8917 of the limit.
#[test]
fn its_numbers_are_those_of_a_pocket_calculator() {
    let audit = audit_of(&text());
    let tank = about(&audit, "under the floor tank");
    let near = |got: f64, want: f64| assert!((got - want).abs() < 1e-9 * want.abs(), "{got} {want}");
    near(tank.demand.as_ref().unwrap().value.0, 6.912e6);
    near(tank.capacity.as_ref().unwrap().value.0, 4.186e6);
    near(tank.utilisation.unwrap().0, 6.912 / 4.186);
    assert_eq!((tank.verdict, tank.path.as_str(), tank.place.line), (Verdict::Fail, "tank[\"under the floor\"]", 27));
    let [remedy] = tank.remedies.as_slice() else { panic!("{:?}", tank.remedies) };
    assert_eq!((remedy.text.as_str(), remedy.edits.len(), remedy.worsens), ("wrap it to 5.4 W/m2K", 1, false));
    near(remedy.demand.unwrap().0, 3.732_48e6);
    near(remedy.utilisation.unwrap().0, 3.732_48 / 4.186);
    assert_eq!(tank.working, ["6.91 MJ lost in the night, 4.19 MJ above freezing"]);
    let inside = about(&audit, "kitchen tank");
    assert_eq!((inside.verdict, inside.sentence.as_deref()), (Verdict::NotApplicable, Some("it stands inside the body")));
}

/// The doubt of an input goes through the plugin and back: a range of 10 L to either side of 100, evenly, is a standard deviation of
/// 10 / root 3 L, and of the heat that the water holds 1.96 times that in 95 cases of 100.
#[test]
fn doubt_goes_through_a_plugin_and_comes_back() {
    let audit = audit_of(&text().replace("100 L measured", "90 to 110 L"));
    let capacity = about(&audit, "under the floor tank").capacity.clone().unwrap();
    let want = quantity::Z95 * 0.01 / f64::sqrt(3.0) * 4.186e7;
    assert!((capacity.high.0 - capacity.value.0 - want).abs() < 1e-6 * want, "{capacity:?} {want}");
    let settled = audit_of(&text().replace("100 L measured", "90 to 240 L"));
    let tank = about(&settled, "under the floor tank");
    assert_eq!(tank.verdict, Verdict::Unsettled);
    let need = &tank.needs[0];
    assert_eq!((need.path.as_str(), need.share.map(|share| share.0 > 0.9)), ("tank[\"under the floor\"].volume", Some(true)));
}

/// Nothing is lost to a night as warm as the mean of the water.
#[test]
fn a_warm_night_passes_without_a_way_out() {
    for night in ["5", "8", "4.9"] {
        let audit = audit_of(&text().replace("night_c = -10", &format!("night_c = {night}")));
        let tank = about(&audit, "under the floor tank");
        assert_eq!((tank.verdict, tank.remedies.len()), (Verdict::Pass, 0), "{night}");
    }
}

#[test]
fn what_is_absent_is_missing_with_its_path_and_no_tank_is_said() {
    let audit = audit_of(&text().replace("size = [\"1.0 m\", \"0.5 m\", \"0.2 m\"]\n", ""));
    let tank = about(&audit, "under the floor tank");
    assert_eq!((tank.verdict, tank.needs[0].path.as_str()), (Verdict::Missing, "tank[\"under the floor\"].size"));
    let audit = audit_of(&text().replace("night_c = -10", "#"));
    assert_eq!(about(&audit, "under the floor tank").needs[0].path, "custom.frost.night_c");
    let none = text().replace("holds = \"water\"", "holds = \"diesel\"");
    let audit = audit_of(&none);
    assert_eq!((about(&audit, "water").verdict, about(&audit, "water").path.as_str()), (Verdict::NotApplicable, "tank"));
}

fn run(arguments: &[&str]) -> (Option<i32>, String, String) {
    let output = rigproof_command().args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code(), text(output.stdout), text(output.stderr))
}

#[test]
fn the_command_line_audits_lists_and_explains_it() {
    let library = LIBRARY.to_str().unwrap();
    let (status, out, err) = run(&["audit", RIG, "--plugin", library, "--format", "json", "--today", rigproof_tests::TODAY]);
    assert_eq!((status, err.as_str()), (Some(1), ""));
    let audit: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(audit["sources"][1]["path"], library);
    assert!(audit["findings"].as_array().unwrap().iter().any(|finding| finding["check"] == "frost/water-tank"));
    let (status, out, _) = run(&["checks", "--plugin", library]);
    assert!(status == Some(0) && out.contains("frost/water-tank") && out.contains("weight/axle-load"));
    let (status, out, _) = run(&["explain", "frost/water-tank", RIG, "--plugin", library]);
    assert!(status == Some(0) && out.contains("4186 kJ/m3 K") && out.contains("6.91 MJ lost"), "{out}");
    // Named by nobody, it is not there.
    assert_eq!(run(&["audit", RIG, "--only", "frost"]).0, Some(2));
}

#[test]
fn a_plugin_that_does_not_load_ends_with_3_and_the_audit_goes_on() {
    let (status, out, err) = run(&["audit", RIG, "--plugin", "examples/plugin-frost/README.md", "--only", "weight/payload-left"]);
    assert_eq!((status, err.as_str()), (Some(3), ""), "{out}");
    let told = "examples/plugin-frost/README.md: it is no library for this system";
    assert!(out.contains("could not run") && out.contains(told), "{out}");
    let (status, out, err) = run(&["checks", "--plugin", "nowhere.so"]);
    assert!(
        status == Some(3) && out.contains("weight/axle-load") && err.contains("nowhere.so did not load: there is no such file")
    );
    let (status, _, err) = run(&["audit", RIG, "--plugin", "nowhere.so", "--only", "frost"]);
    assert!(status == Some(2) && err.contains("nowhere.so did not load"), "{err}");
    // Twice the same: the trade is taken.
    let library = LIBRARY.to_str().unwrap();
    let (status, out, _) = run(&["audit", RIG, "--plugin", library, "--plugin", library, "--only", "frost"]);
    assert!(status == Some(3) && out.contains("a plugin brings a trade of its own"), "{out}");
}

/// A rig file cannot load a plugin.
#[test]
fn a_rig_file_has_no_key_that_loads_a_plugin() {
    let file = root().join("schemas/rig.schema.json");
    assert!(!std::fs::read_to_string(file).unwrap().to_lowercase().contains("plugin"));
}

/// Each block that begins with a command of the program shows what it prints. The library is named as a release build has it.
#[test]
fn its_readme_shows_what_is_printed() {
    let readme = std::fs::read_to_string(root().join("examples/plugin-frost/README.md")).unwrap();
    let mut shown = 0;
    for block in readme.split("```").skip(1).step_by(2) {
        let Some((command, output)) = block.split_once('\n').and_then(|(_, body)| body.split_once('\n')) else { continue };
        let Some(words) = command.strip_prefix("$ rigproof ") else { continue };
        let name = format!("target/release/{}", LIBRARY.file_name().unwrap().to_str().unwrap());
        let library = LIBRARY.to_str().unwrap();
        let mut words: Vec<&str> = words.split_whitespace().map(|word| if word == name { library } else { word }).collect();
        assert!(words.contains(&library), "{command}");
        words.extend(["--today", rigproof_tests::TODAY].into_iter().filter(|_| words[0] == "audit").collect::<Vec<_>>());
        assert_eq!(run(&words).1.trim_end(), output.trim_end(), "{command}");
        shown += 1;
    }
    assert!(shown > 0, "it shows no output");
    let source = std::fs::read_to_string(root().join("examples/plugin-frost/src/lib.rs")).unwrap();
    let code = source.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with("//")).count();
    assert!(code < 60, "a worked example is short: {code} lines");
}
