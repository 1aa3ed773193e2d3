//! The working is what a reader types into a pocket calculator: every printed line, redone by hand, gives the printed
//! result to its last figure.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use quantity::Dimension;
use rigproof_tests::hand::{Clause, outcome, redo};
use rigproof_tests::{quick, root};

/// How many different lines of each check are redone at least, so that a check that changes its words does not slip
/// through as prose. 0: its working is a look-up or a reading, nothing is worked out.
const AT_LEAST: &[(&str, usize)] = &[
    ("mount/awning", 2),
    ("mount/body-support", 0),
    ("mount/bolt", 20),
    ("mount/clearance", 1),
    ("mount/frame-found", 1),
    ("mount/frame-notch", 3),
    ("mount/guide-gap", 4),
    ("mount/inside", 4),
    ("mount/level", 4),
    ("mount/lift", 4),
    ("mount/member", 15),
    ("mount/metal-contact", 0),
    ("mount/packer", 6),
    ("mount/recovery", 4),
    ("mount/removable", 0),
    ("mount/restraint", 3),
    ("mount/roof-item", 4),
    ("mount/strap", 4),
    ("mount/twist", 4),
    ("mount/weld", 15),
    ("power/battery-charge-rate", 2),
    ("power/battery-discharge", 10),
    ("power/battery-gas", 6),
    ("power/centre-tap", 5),
    ("power/compartment-heat", 10),
    ("power/inlet", 3),
    ("power/inverter-continuous", 8),
    ("power/inverter-surge", 3),
    ("power/neutral-bond", 0),
    ("power/second-battery", 0),
    ("power/vehicle-charging", 4),
    ("power/autonomy", 4),
    ("power/battery-cold", 3),
    ("power/cooling-hours", 6),
    ("power/energy-balance", 8),
    ("power/full-charge", 0),
    ("power/short-days", 2),
    ("power/standby", 8),
    ("power/controller-current", 8),
    ("power/controller-match", 2),
    ("power/controller-voltage", 5),
    ("power/hot-voltage", 12),
    ("power/panel-heat", 8),
    ("power/panel-voltage", 5),
    ("power/roof-space", 0),
    ("power/shade", 5),
    ("power/string-fuse", 3),
    ("weight/axle-load", 100),
    ("weight/brake-setting", 8),
    ("weight/braking", 80),
    ("weight/bridge-formula", 15),
    ("weight/cornering", 50),
    ("weight/coupling-load", 5),
    ("weight/drive-share", 25),
    ("weight/envelope", 1),
    ("weight/free-surface", 25),
    ("weight/grade", 50),
    ("weight/gross-mass", 30),
    ("weight/ground-angles", 10),
    ("weight/licence", 0),
    ("weight/overhang", 12),
    ("weight/payload-left", 30),
    ("weight/roll-stability", 100),
    ("weight/scale-agreement", 20),
    ("weight/side-slope", 80),
    ("weight/steer-share", 25),
    ("weight/tyre-age", 0),
    ("weight/tyre-load", 20),
    ("weight/wheel-load", 80),
];

/// The examples, their stages, and the annotated rigs of the trades.
fn rigs() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders: Vec<PathBuf> =
        ["examples", "crates/check-weight/tests/rigs", "crates/check-mount/tests/rigs", "crates/check-power/tests/rigs"]
            .iter()
            .map(|folder| root().join(folder))
            .collect();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "toml") && is_rig(&path) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// Other files beside a rig are written in TOML too: cases of scripts, a plugin's manifest.
fn is_rig(path: &Path) -> bool {
    std::fs::read_to_string(path).unwrap().contains("format = \"rigproof-rig/")
}

fn audited(path: &Path) -> check::Audit {
    let audit = rigproof::audit(&std::fs::read_to_string(path).unwrap(), &quick());
    assert!(audit.errors.is_empty(), "{}: {:?}", path.display(), audit.errors);
    audit
}

/// A sum over several lines: what it comes to, what its lines must add up to, and what they came to so far.
struct Sum {
    whole: f64,
    wanted: f64,
    so_far: f64,
}

/// Half a unit of the one decimal that masses are printed with.
const HALF_A_FIGURE: f64 = 0.05;

/// "X = sum of" and "X = A bare + B from what stands on it": the lines that follow add up, and the line of the tickets
/// goes on from there. Says what does not, and how many sums it redid.
fn redo_sums(lines: &[String]) -> (usize, Vec<String>) {
    let (mut redone, mut wrong) = (0, Vec::new());
    let mut open: Option<Sum> = None;
    let mut close = |sum: &Sum| {
        redone += 1;
        if (sum.so_far - sum.wanted).abs() > HALF_A_FIGURE {
            wrong.push(format!("the lines add up to {:.1}, not {:.1}: {lines:#?}", sum.so_far, sum.wanted));
        }
    };
    for line in lines {
        if let Some(said) = line.strip_prefix("weighbridge tickets: ") {
            let Some(sum) = open.take() else { continue };
            close(&sum);
            let by = outcome(said).unwrap() * if said.contains(" less, ") { -1.0 } else { 1.0 };
            let (_, to) = said.split_once(", so ").unwrap();
            close(&Sum { whole: 0.0, wanted: outcome(to).unwrap(), so_far: sum.whole + by });
        } else if let Some(whole) = line.strip_suffix(" = sum of") {
            let whole = outcome(whole).unwrap();
            open = Some(Sum { whole, wanted: whole, so_far: 0.0 });
        } else if line.ends_with(" from what stands on it") {
            let (whole, parts) = line.split_once(" = ").unwrap();
            let (_, wanted) = parts.split_once(" bare + ").unwrap();
            open = Some(Sum { whole: outcome(whole).unwrap(), wanted: outcome(wanted).unwrap(), so_far: 0.0 });
        } else if let Some(sum) = &mut open {
            sum.so_far += outcome(line).unwrap();
        }
    }
    open.iter().for_each(close);
    (redone, wrong)
}

#[test]
fn every_line_of_working_redone_by_hand_gives_its_last_figure() {
    let mut redone: BTreeMap<String, usize> = BTreeMap::new();
    let (mut wrong, mut unread) = (BTreeSet::new(), BTreeSet::new());
    let mut seen = BTreeSet::new();
    for path in rigs() {
        for finding in audited(&path).findings {
            let about = |what: &str| format!("{}: {}: {what}", path.file_name().unwrap().display(), finding.check);
            let count = redone.entry(finding.check.clone()).or_default();
            let (sums, off) = redo_sums(&finding.working);
            *count += sums;
            wrong.extend(off.iter().map(|off| about(off)));
            for line in &finding.working {
                if !seen.insert((finding.check.clone(), line.clone())) {
                    continue;
                }
                let clauses = redo(line);
                *count += usize::from(clauses.contains(&Clause::Right));
                for clause in clauses {
                    match clause {
                        Clause::Right | Clause::Prose => {}
                        Clause::Wrong(how) => drop(wrong.insert(about(&format!("{line}: {how}")))),
                        Clause::Unread(why) => drop(unread.insert(about(&format!("{line}: {why}")))),
                    }
                }
            }
        }
    }
    let list = |set: BTreeSet<String>| set.into_iter().collect::<Vec<_>>().join("\n");
    let (count, unread_count) = (wrong.len(), unread.len());
    assert!(wrong.is_empty(), "{count} lines do not come out:\n{}\nunread:\n{}", list(wrong), list(unread));
    assert!(unread.is_empty(), "{unread_count} lines have the form of a sum and could not be read:\n{}", list(unread));
    for check in rigproof::registry().checks() {
        let id = &check.card().id;
        let (_, least) =
            AT_LEAST.iter().find(|(known, _)| known == id).unwrap_or_else(|| panic!("{id}: how many lines at least?"));
        let got = redone.get(&**id).copied().unwrap_or_default();
        assert!(got >= *least, "{id}: {got} lines were redone, {least} at least are wanted");
    }
}

/// What the working comes to is the demand: a share to the last figure printed and half as much again, since the line
/// goes by figures that are cut.
#[test]
fn a_share_that_the_working_comes_to_is_the_demand() {
    const FIGURE: f64 = 0.001;
    let mut compared = 0;
    for path in rigs() {
        for finding in audited(&path).findings {
            let Some(demand) = finding.demand.as_ref().filter(|demand| demand.dimension == Dimension::Ratio) else { continue };
            let Some(line) = finding.working.last().filter(|line| line.ends_with(" %")) else { continue };
            let came_to = outcome(line).unwrap();
            compared += 1;
            let off = (came_to - demand.value.0).abs();
            assert!(off <= FIGURE * 0.75, "{}: {line}: the demand is {}", path.display(), demand.value.0);
        }
    }
    assert!(compared > 200, "only {compared} shares were compared");
}
