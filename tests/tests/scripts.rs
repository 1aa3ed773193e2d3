//! Users' own checks: what is shipped answers as its cases say, and what is hostile harms nobody but itself.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use check::{Audit, Verdict};
use rigproof::{Options, ScriptText, gather};
use rigproof_tests::{EXAMPLES, FULL, TODAY, example, quick, rigproof_command, root};
use script_checks::cases::Cases;

fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(root().join(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|is| is == ending));
    files.sort();
    files
}

fn script(path: &Path) -> ScriptText {
    ScriptText {
        file: path.strip_prefix(root()).unwrap().to_string_lossy().into_owned(),
        text: std::fs::read_to_string(path).unwrap(),
    }
}

fn shipped() -> Vec<ScriptText> {
    files("scripts", "rhai").iter().map(|path| script(path)).collect()
}

fn with(scripts: Vec<ScriptText>) -> Options {
    Options { scripts, ..quick() }
}

#[test]
fn every_shipped_script_has_cases_for_all_its_verdicts_and_they_hold() {
    let scripts = files("scripts", "rhai");
    assert!(scripts.len() >= 8);
    for path in &scripts {
        let beside = path.with_extension("cases.toml");
        let cases = Cases::read(&beside.to_string_lossy(), &std::fs::read_to_string(&beside).unwrap()).unwrap();
        let wanted: BTreeSet<Verdict> = cases.case.iter().flat_map(|case| &case.answers).map(|answer| answer.verdict).collect();
        assert_eq!(wanted.len(), 5, "{}: {wanted:?}", path.display());
    }
    let output = rigproof_command().args(["script", "test", "scripts"]).output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(0), "{text}");
    assert!(text.contains(" 0 not, 0 scripts could not be read"), "{text}");
}

/// A case that is wrong is told, and so is a script that is none.
#[test]
fn a_wrong_case_is_1_and_a_script_that_is_none_is_3() {
    let folder = tempfile::tempdir().unwrap();
    let new = rigproof_command().args(["script", "new", "my-check", "--to"]).arg(folder.path()).output().unwrap();
    assert_eq!(new.status.code(), Some(0), "{}", String::from_utf8_lossy(&new.stderr));
    let again = rigproof_command().args(["script", "new", "my-check", "--to"]).arg(folder.path()).output().unwrap();
    assert_eq!(again.status.code(), Some(2), "it overwrites nothing");
    let test = || {
        let output = rigproof_command().args(["script", "test"]).arg(folder.path()).output().unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap())
    };
    assert_eq!(test().0, Some(0), "{}", test().1);
    let checked = rigproof_command().args(["script", "check"]).arg(folder.path()).args(["--today", TODAY]).output().unwrap();
    assert_eq!(checked.status.code(), Some(0));
    assert!(String::from_utf8_lossy(&checked.stdout).contains("yard/my-check: spare wheel"));
    let file = folder.path().join("my-check.rhai");
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(&file, text.replace("25 kg", "250 kg")).unwrap();
    let (status, said) = test();
    assert_eq!(status, Some(1), "{said}");
    assert!(said.contains("wanted and not given: fail, used 2.48"), "{said}");
    std::fs::write(&file, text.replace("fn answer", "fn anwser")).unwrap();
    let (status, said) = test();
    assert_eq!(status, Some(3), "{said}");
    assert!(said.contains("my-check.rhai:1:1: there is no `fn answer(cx, state) { .. }`"), "{said}");
}

/// Findings of the program's own checks, as JSON.
fn own_findings(audit: &Audit) -> String {
    let own: Vec<_> = audit.findings.iter().filter(|finding| finding.trade() == "weight").collect();
    serde_json::to_string(&own).unwrap()
}

#[test]
fn hostile_scripts_are_faults_in_time_and_the_rest_stays_the_same_to_the_byte() {
    // Some longer than the deadline of a call: a busy machine starts late.
    const IN_TIME: Duration = Duration::from_secs(5);
    let text = example(EXAMPLES[1]);
    let before = own_findings(&rigproof::audit(&text, &quick()));
    let mut seen = 0;
    for path in files("tests/hostile-scripts", "rhai") {
        let hostile = script(&path);
        let wanted = hostile.text.lines().next().unwrap().strip_prefix("// The fault says: ").unwrap().to_owned();
        let file = hostile.file.clone();
        let began = Instant::now();
        let audit = rigproof::audit(&text, &with(vec![hostile]));
        assert!(began.elapsed() < IN_TIME, "{file} took {:?}", began.elapsed());
        let said: Vec<&str> = audit.faults.iter().map(|fault| fault.text.as_str()).collect();
        assert!(!said.is_empty(), "{file} is no fault: {:?}", audit.findings.iter().filter(|f| f.trade() == "own").count());
        assert!(said.iter().any(|said| wanted.split('|').any(|words| said.contains(words))), "{file}: {wanted} in {said:?}");
        assert!(said.iter().all(|said| said.starts_with(&format!("{file}:")) && !said.contains('\n')), "{said:?}");
        let place = said[0].strip_prefix(&format!("{file}:")).unwrap();
        let numbers: Vec<&str> = place.splitn(3, ':').collect();
        assert!(numbers[0].parse::<usize>().is_ok() && numbers[1].parse::<usize>().is_ok(), "{place}");
        assert_eq!(own_findings(&audit), before, "{file}");
        seen += 1;
    }
    assert!(seen >= 20, "{seen}");
}

/// All of them together with the shipped ones: each is its own fault, and the shipped ones answer as they do alone.
#[test]
fn the_shipped_scripts_answer_beside_hostile_ones_as_they_do_alone() {
    let text = example(EXAMPLES[1]);
    let yard = |audit: &Audit| {
        let own: Vec<_> = audit.findings.iter().filter(|finding| finding.trade() == "yard").collect();
        serde_json::to_string(&own).unwrap()
    };
    let alone = rigproof::audit(&text, &with(shipped()));
    assert!(alone.faults.is_empty(), "{:?}", alone.faults);
    let mut all = shipped();
    all.extend(files("tests/hostile-scripts", "rhai").iter().map(|path| script(path)));
    let hostile = all.len() - shipped().len();
    let together = rigproof::audit(&text, &with(all));
    assert_eq!(yard(&together), yard(&alone));
    let faulty: BTreeSet<&str> = together.faults.iter().map(|fault| fault.check.as_str()).collect();
    assert_eq!(faulty.len(), hostile, "{faulty:?}");
}

#[test]
fn the_page_for_authors_lists_what_is_registered() {
    let page = std::fs::read_to_string(root().join("scripts/README.md")).unwrap();
    let (_, from) = page.split_once("<!-- words -->\n").unwrap();
    let (listed, _) = from.split_once("<!-- end of words -->").unwrap();
    assert_eq!(listed, script_checks::page::functions(), "`rigproof script words` goes between the marks of scripts/README.md");
    let definitions = script_checks::page::definitions();
    for word in ["compare", "need", "axle_loads", "through"] {
        assert!(definitions.contains(&format!("fn {word}(")), "{word}");
    }
    // The check on the page is a check.
    let (_, from) = page.split_once("```rhai\n").unwrap();
    let (code, _) = from.split_once("```").unwrap();
    let scripts = vec![ScriptText { file: "page.rhai".to_owned(), text: code.to_owned() }];
    assert!(gather(&scripts).faults.is_empty(), "{:?}", gather(&scripts).faults);
}

#[test]
fn a_rig_names_its_own_folder_and_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let rig = folder.path().join("rig.toml");
    let text = "format = \"rigproof-rig/1\"\nrig = \"invented\"\nscripts = \"checks\"\n[[mass]]\nname = \"spare wheel\"\nmass = \"62 kg weighed\"\n";
    std::fs::write(&rig, text).unwrap();
    let audit = |more: &[&str]| rigproof_command().arg("audit").arg(&rig).args(["--today", TODAY]).args(more).output().unwrap();
    assert_eq!(audit(&[]).status.code(), Some(2), "there is no such folder");
    std::fs::create_dir(folder.path().join("checks")).unwrap();
    let to = folder.path().join("checks");
    rigproof_command().args(["script", "new", "spare-wheel", "--to"]).arg(&to).output().unwrap();
    let output = audit(&["--only", "yard/spare-wheel"]);
    let said = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("fail  yard/spare-wheel: spare wheel") && said.contains("rig.toml:4:1"), "{said}");
    let json = audit(&["--format", "json"]);
    let json: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let sources: Vec<&str> = json["sources"].as_array().unwrap().iter().map(|source| source["path"].as_str().unwrap()).collect();
    assert!(sources.iter().any(|source| source.ends_with("spare-wheel.rhai")), "{sources:?}");
    let sarif = audit(&["--format", "sarif"]);
    assert!(String::from_utf8_lossy(&sarif.stdout).contains("Can one person lift the spare wheel down?"));
    for elsewhere in ["../elsewhere", "/etc"] {
        std::fs::write(&rig, text.replace("\"checks\"", &format!("\"{elsewhere}\""))).unwrap();
        assert_eq!(audit(&[]).status.code(), Some(2), "{elsewhere}");
    }
}

/// Without a path of its own an answer points at the check's own table, whose name is that of the check.
#[test]
fn an_answer_without_a_path_points_at_the_checks_own_table() {
    let code = r#"
        fn card() {
            #{ id: "own/two-words", question: "Where?", consequence: "comfort", scope: "once", uses: ["custom"],
               basis: #{ kind: "owner", title: "a test", known: "from-memory" } }
        }
        fn answer(cx, state) { require(true, "it is there") }
    "#;
    let rig = "format = \"rigproof-rig/1\"\nrig = \"invented\"\n[custom.two-words]\nm = \"3 kg\"\n";
    let scripts = vec![ScriptText { file: "where.rhai".to_owned(), text: code.to_owned() }];
    let audit = rigproof::audit(rig, &Options { only: vec!["own".to_owned()], ..with(scripts) });
    let [finding] = audit.findings.as_slice() else { panic!("{:?}", audit.faults) };
    assert_eq!((finding.path.as_str(), finding.place.line, finding.about.as_str()), ("custom.two-words", 3, "two words"));
}

/// `tell` and `ask` have the rig's own checks too; a table that none of them reads is a slip, and so is a misplaced folder.
#[test]
fn tell_and_ask_know_the_rigs_own_checks_and_slips_are_remarked() {
    let folder = tempfile::tempdir().unwrap();
    let rig = folder.path().join("rig.toml");
    let to = folder.path().join("checks");
    std::fs::create_dir(&to).unwrap();
    std::fs::copy(root().join("scripts/wading-depth.rhai"), to.join("wading-depth.rhai")).unwrap();
    let text = "format = \"rigproof-rig/1\"\nrig = \"invented\"\nscripts = \"checks\"\n\
                [custom.wading-depth]\ndepth = \"0.6 m\"\nair_intake = \"?\"\n[custom.wadding]\nparts = \"parts.toml\"\n";
    std::fs::write(&rig, text).unwrap();
    let run = |command: &str, more: &[&str]| {
        let output = rigproof_command().arg(command).arg(&rig).args(more).args(["--today", TODAY]).output().unwrap();
        format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
    };
    assert!(run("ask", &["--all"]).contains("custom.wading-depth.air_intake"), "{}", run("ask", &["--all"]));
    let said = run("audit", &[]);
    let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("no check reads [custom.wadding]") && !flat.contains("no check reads [custom.wading-depth]"), "{said}");
    assert!(flat.contains("parts stands inside [custom.wadding] and names nothing there"), "{said}");
    let told = run("tell", &["custom.wading-depth.air_intake", "0.5 m measured"]);
    assert!(told.contains("yard/wading-depth"), "{told}");
}

/// A script's ways out are tried like any other's: one that settles is shown with what it comes to.
#[test]
fn a_way_out_of_a_script_is_proved() {
    let rig = "format = \"rigproof-rig/1\"\nrig = \"invented\"\n[custom.slide-in-tie-down]\nmass = \"900 kg weighed\"\nfriction = 0.3\n\
               straps = 1\nstrap_rated = \"3 kN data-plate\"\nangle_down = \"45 deg measured\"\nangle_along = \"0 deg\"\n";
    let only = vec!["yard/slide-in-tie-down".to_owned()];
    let audit = rigproof::audit(rig, &Options { only, remedies: true, ..with(shipped()) });
    let [finding] = audit.findings.as_slice() else { panic!("{:?}", audit.findings) };
    assert_eq!(finding.verdict, Verdict::Fail);
    // By hand: 900 x 9.80665 x 0.5 = 4413 N against 3000 x (0.70711 + 0.3 x 0.70711) = 2758 N a strap: 1.60 of one, 0.53 of three.
    assert!((finding.utilisation.unwrap().0 - 4412.99 / 2757.72).abs() < 1e-3);
    let [way] = finding.remedies.as_slice() else { panic!("{:?}", finding.remedies) };
    assert!((way.utilisation.unwrap().0 - 4412.99 / 8273.15).abs() < 1e-3);
    assert_eq!(way.text, "3 straps like these instead of 1");
    // What would settle is named: the doubt of the owner's own values is followed to them.
    assert!(finding.needs.iter().any(|need| need.path == "custom.slide-in-tie-down.mass"), "{:?}", finding.needs);
}

/// Numbers in doubt keep their doubt through a script's arithmetic, a kernel, and a function of its own.
#[test]
fn doubt_goes_through_arithmetic_kernels_and_functions() {
    let code = r#"
        fn card() {
            #{ id: "own/doubt", question: "Is it carried along?", consequence: "comfort", scope: "once", measures: "mass", uses: ["custom"],
               basis: #{ kind: "owner", title: "a test", known: "from-memory" } }
        }
        fn answer(cx, state) {
            let m = need(cx.rig, "custom.doubt.m");
            let n = need(cx.rig, "custom.doubt.n");
            let loads = axle_loads(#{ axles: [#{ x_m: 0 }, #{ x_m: 4.0 }], masses: [#{ mass_kg: m, x_m: 1.0 }, #{ mass_kg: n, x_m: 3.0 }] });
            [
                compare(m + n * 2.0, at_most(1e6)).case_of("sum"),
                compare(m - m, at_least(0.0)).case_of("difference"),
                compare(through([m, n], |x| sqrt(x[0] * x[0] + x[1] * x[1])), at_most(1e6)).case_of("through"),
                compare(loads.loads_kg[1], at_most(1e6)).case_of("kernel"),
            ]
        }
    "#;
    let rig = "format = \"rigproof-rig/1\"\nrig = \"invented\"\n[custom.doubt]\nm = \"300 kg +- 6 kg\"\nn = \"400 kg +- 8 kg\"\n";
    let scripts = vec![ScriptText { file: "doubt.rhai".to_owned(), text: code.to_owned() }];
    let audit = rigproof::audit(rig, &Options { only: vec!["own".to_owned()], ..with(scripts) });
    assert_eq!(audit.faults, []);
    let reach = |case: &str| {
        let finding = audit.findings.iter().find(|finding| finding.case.as_deref() == Some(case)).unwrap();
        let demand = finding.demand.as_ref().unwrap();
        (demand.value.0, (demand.high.0 - demand.low.0) / 2.0)
    };
    let close = |(value, half): (f64, f64), want: f64, spread: f64| {
        assert!(
            (value - want).abs() < 1e-6 && (half - spread).abs() < 1e-3 * spread.max(1.0),
            "{value} +- {half}, not {want} +- {spread}"
        );
    };
    close(reach("sum"), 1100.0, quantity::real::hypot(6.0, 16.0));
    close(reach("difference"), 0.0, 0.0);
    // Gradient of the hypotenuse: m / h and n / h.
    close(reach("through"), 500.0, quantity::real::hypot(6.0 * 0.6, 8.0 * 0.8));
    // A quarter of what stands at 1 m, three quarters of what stands at 3 m.
    close(reach("kernel"), 375.0, quantity::real::hypot(1.5, 6.0));
}

/// The complete example with all shipped scripts: nothing of theirs applies, nothing else changes.
#[test]
fn scripts_that_do_not_apply_change_nothing() {
    let text = example(FULL);
    let (without, with) = (rigproof::audit(&text, &quick()), rigproof::audit(&text, &with(shipped())));
    assert_eq!(own_findings(&without), own_findings(&with));
    let yard = with.findings.iter().filter(|finding| finding.trade() == "yard");
    assert!(yard.clone().count() >= 8 && yard.clone().all(|finding| finding.verdict == Verdict::NotApplicable));
}
