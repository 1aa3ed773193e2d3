//! The numbers of the findings against worked examples, each with its source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

#[path = "../../check-weight/tests/support/mod.rs"]
mod support;

mod trade {
    pub(crate) use check_mount::{checks, limits};
}

use check::{Context, Finding};
use check_mount::bolt_joint::Joint;
use check_mount::places::{Place, of_mounts};
use support::{context, folder, registry};

fn rig(name: &str) -> Context {
    context(name, &std::fs::read_to_string(folder().join(name)).unwrap())
}

fn answer(cx: &Context, check: &str, path: &str, case: Option<&str>) -> Finding {
    let all = registry().find(check).unwrap().run(cx);
    let found = all.iter().find(|finding| finding.path == path && finding.case.as_deref() == case);
    found.unwrap_or_else(|| panic!("{check} {path} {case:?}")).clone()
}

fn demand(finding: &Finding) -> f64 {
    finding.demand.as_ref().unwrap().value.0
}

fn capacity(finding: &Finding) -> f64 {
    finding.capacity.as_ref().unwrap().value.0
}

fn near(got: f64, want: f64, share: f64) {
    assert!((got / want - 1.0).abs() <= share, "{got}, wanted {want}");
}

/// Source: the worked example of six mounts (2500 kg, centre 0.05 m right and 0.95 m up, mounts 0.4 m either side), computed
/// with numpy. At 0.5 g the weight moves across by 0.5 x 2500 g x 0.95 = 11 645 Nm; it holds by 2500 g x 0.35 = 8581 Nm
/// about the right-hand mounts, so that the body tips at 0.368 g. Tolerance: figures of four places.
#[test]
fn packers_alone_let_the_body_tip_at_half_a_g() {
    let finding = answer(&rig("restraint/packers.toml"), "mount/restraint", "mount", Some("right"));
    near(demand(&finding), 11_645.0, 1e-3);
    near(capacity(&finding), 8581.0, 1e-3);
    assert!(finding.sentence.unwrap().contains("tips over its right-hand mounts (y = 0.40 m)"));
}

/// Source: 49 CFR 393.102(a)(1) on 2500 kg: 19.61 kN forward, 12.26 kN rearward and sideways; the same numbers as EN 12195-1.
/// Tolerance: printed to four figures.
#[test]
fn the_push_of_each_direction_is_that_of_the_rule() {
    let cx = rig("restraint/held.toml");
    for (case, want) in [("forward", 19_610.0), ("rearward", 12_260.0), ("left", 12_260.0), ("right", 12_260.0)] {
        near(demand(&answer(&cx, "mount/restraint", "mount", Some(case))), want, 1e-3);
    }
    near(demand(&answer(&cx, "mount/restraint", "mount", Some("up"))), 24_517.0, 1e-3);
}

fn m12(kind: rig_model::model::MountKind, count: u32) -> Joint {
    let cx = rig("bolt/six.toml");
    let (_, mount) = of_mounts(&cx).next().unwrap();
    let place = Place {
        about: String::new(),
        path: String::new(),
        mounts: Vec::new(),
        lever: 1.0,
        arm: None,
        kind: Some(kind),
        part: None,
    };
    let joint = Joint::read(&cx, &place, &mount.bolts[0], "mount[FL].bolts".to_owned()).unwrap();
    joint.with("M12", "8.8", count).unwrap()
}

/// Source: EN 1993-1-8 table 3.4, worked by hand: M12 8.8, 48.56 kN in tension, 32.37 kN in shear; 15 kN across and 20 kN
/// along use 0.758 of it. The mount of the six that lifts most at 0.5 g (1890 N across, 1660 N along) uses 0.083.
#[test]
fn a_bolt_across_and_along_at_once() {
    let one = m12(rig_model::model::MountKind::Clamp, 1);
    near(one.tension, 48_560.0, 1e-3);
    near(one.shear, 32_370.0, 1e-3);
    near(one.under([9_000.0, 12_000.0, -20_000.0]).share, 0.758, 1e-3);
    near(one.under([1_890.0, 0.0, -1_660.0]).share, 0.083, 1e-2);
    // Pressed down, a bolt through a lying face is not pulled.
    assert_eq!(one.under([0.0, 0.0, 20_000.0]).pull, 0.0);
}

/// Source: the worked example of six mounts, static 4980 N on the front right one: three times that at a bump shears its
/// one M12 8.8 bolt through an upright face by 14.94 / 32.37 = 0.4615.
#[test]
fn the_worst_case_of_a_bolt_is_found() {
    let finding = answer(&rig("bolt/six.toml"), "mount/bolt", "mount[FR].bolts", None);
    near(demand(&finding), 0.4615, 1e-3);
    assert!(finding.sentence.unwrap().starts_with("worst a bump of 3 g, road"));
}

/// Source: textbook bracket (ex. 7.5 of a machine-elements book): 25 kN at 100 mm, 4 bolts in two rows 25 and 150 mm above
/// the heel: the upper ones are pulled by 8108.1 N, each is sheared by 6250 N. Prying of a thin part is ours: 1.3.
#[test]
fn a_bracket_pulls_its_upper_bolts() {
    let text = std::fs::read_to_string(folder().join("bolt/arm.toml")).unwrap();
    let told = "bolts = { size = \"M16\", class = \"8.8\", count = 4, rows = 2, heel = \"25 mm\", gauge = \"125 mm\", pitch = \"80 mm\", \
                arm = \"100 mm\", edge = \"60 mm\", side_edge = \"60 mm\", into = \"8 mm S355\" }";
    let (head, rest) = text.split_once("bolts = {").unwrap();
    let (_, tail) = rest.split_once('\n').unwrap();
    let cx = context("bracket", &format!("{head}{told}\n{tail}"));
    let (place, mount) = of_mounts(&cx).next().unwrap();
    let joint = Joint::read(&cx, &place, &mount.bolts[0], format!("{}.bolts", place.path)).unwrap();
    let used = joint.under([0.0, 0.0, 25_000.0]);
    near(used.shear, 6250.0, 1e-9);
    near(used.pull, 8108.1 * 1.3, 1e-5);
}

/// Source: EN 1993-1-8 4.5.3.3, worked by hand: S235, two runs of 72 mm sound weld, throat 4 mm: 119.7 kN; untested half, 59.8 kN.
#[test]
fn two_runs_hold_what_the_simplified_method_says() {
    let text = std::fs::read_to_string(folder().join("weld/six.toml")).unwrap();
    for (quality, want) in [("coded", 119_700.0), ("untested", 59_840.0)] {
        let told = format!(
            "welds = {{ throat = \"4 mm\", runs = {{ length = \"72 mm\", count = 2 }}, steel = \"S235\", quality = \"{quality}\" }}"
        );
        let (head, rest) = text.split_once("welds = {").unwrap();
        let (_, tail) = rest.split_once('\n').unwrap();
        let cx = context("weld", &format!("{head}{told}\n{tail}"));
        let (place, mount) = of_mounts(&cx).next().unwrap();
        let joint = check_mount::weld_joint::Joint::read(&cx, &place, &mount.welds[0], format!("{}.welds", place.path)).unwrap();
        near(joint.strength(), want, 1e-3);
        // Through its middle the stress is force over area, whichever way.
        near(joint.stress([30_000.0, 0.0, 40_000.0]).unwrap(), 50_000.0 / (2.0 * 0.072 * 0.004), 1e-9);
    }
}

/// Source: own figures computed with numpy: bracket of two 120 mm runs 80 mm apart, throat 3.5 mm, 12 kN at 90 mm off the plane:
/// 14.29 MPa shear, 64.29 bending, together 65.85 MPa.
#[test]
fn a_welded_bracket_is_bent_about_its_middle() {
    let text = std::fs::read_to_string(folder().join("weld/six.toml")).unwrap();
    let told = "welds = { throat = \"3.5 mm\", runs = { length = \"120 mm\", count = 2, apart = \"80 mm\" }, arm = \"90 mm\", steel = \"S355\" }";
    let (head, rest) = text.split_once("welds = {").unwrap();
    let (_, tail) = rest.split_once('\n').unwrap();
    let cx = context("weld", &format!("{head}{told}\n{tail}"));
    let (place, mount) = of_mounts(&cx).next().unwrap();
    let joint = check_mount::weld_joint::Joint::read(&cx, &place, &mount.welds[0], format!("{}.welds", place.path)).unwrap();
    // Two runs along the truck, one above the other: 12 kN / 840 mm2 across them; 1.08 kNm / (840 mm2 x 40 mm / ...) bends.
    let area = 2.0 * 0.12 * 0.0035;
    let bends = 12_000.0 * 0.09 * 0.04 / (area * 0.04 * 0.04);
    let shear = 12_000.0 / area;
    near(joint.stress([0.0, 0.0, 12_000.0]).unwrap(), shear.hypot_of(bends), 1e-6);
    near(shear / 1e6, 14.29, 1e-3);
}

trait Together {
    fn hypot_of(self, other: f64) -> f64;
}

impl Together for f64 {
    fn hypot_of(self, other: f64) -> f64 {
        (self * self + other * other).sqrt()
    }
}

/// Source: own figures: L 80x8, 100 mm long, 6 kN at 40 mm: 225 MPa in the leg. The front left of the six carries 3958 N
/// standing, three times that at a bump: 225 x 11 874 / 6000 = 445 MPa.
#[test]
fn a_bracket_bends_in_its_leg() {
    let finding = answer(&rig("member/brackets.toml"), "mount/member", "mount[FL].bracket", Some("strength"));
    near(demand(&finding), 225e6 * 11_874.0 / 6000.0, 1e-3);
}

/// Source: own figures: UPN 100 (41.2 cm3), 5 kN at 0.60 m overhang: 72.8 MPa; here the overhang is 0.9 - 0.42 = 0.48 m and
/// the stress follows the load, which the finding's sentence and working say.
#[test]
fn an_outrigger_bends_over_the_rail() {
    let finding = answer(&rig("member/outriggers.toml"), "mount/member", "mount[FL].member", Some("strength"));
    let line = finding.working.first().unwrap();
    let load: f64 = line.split(' ').next().unwrap().parse().unwrap();
    near(demand(&finding), 72.8e6 * load / 5000.0 * 0.48 / 0.60, 1e-3);
}

/// Source: own figures by EN 1995-1-1: 12.45 kN on 100 x 80 mm is 1.556 MPa, against C24 outdoors 1.346 MPa (1.156 of it), D40
/// 2.962 (0.525). The front left of the six presses with 11 874 N at a bump.
#[test]
fn a_wet_softwood_packer_crushes() {
    let finding = answer(&rig("packer/six.toml"), "mount/packer", "mount[FL].packer", Some("crush"));
    near(demand(&finding), 1.556e6 * 11_874.0 / 12_450.0, 1e-3);
    near(capacity(&finding), 1.346e6, 1e-3);
    let oak = answer(&rig("packer/six.toml"), "mount/packer", "mount[ML].packer", Some("crush"));
    near(capacity(&oak), 5.3e6 * 0.7 / 1.3, 1e-3);
}

/// Source: EN 1993-1-8 table 3.4: M16 10.9 with the thread in the plane, 62.8 kN; a quarter of 70 kN each is 0.279.
/// Tolerance 0.4 %: the table goes by a stress area rounded to 157 mm2.
#[test]
fn a_recovery_eye_shears_its_bolts() {
    let finding = answer(&rig("recovery/eyes.toml"), "mount/recovery", "recovery[\"front eye\"].bolts", Some("bolts"));
    near(demand(&finding), 70.0 / 4.0 / 62.8, 4e-3);
}
