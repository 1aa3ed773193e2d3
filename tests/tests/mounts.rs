//! A body on mounts that leave it free one way is told so, for each of the six ways; and the sets of limits are words a rig
//! may choose.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use check::{Audit, Finding, Verdict};
use rigproof_tests::quick;

const WAYS: [(&str, &str); 6] = [
    ("forward", "nothing stops the body sliding forward"),
    ("rearward", "nothing stops the body sliding rearward"),
    ("left", "nothing stops the body sliding to the left"),
    ("right", "nothing stops the body sliding to the right"),
    ("up", "nothing stops the body lifting up"),
    ("down", "nothing stops the body sinking down"),
];

/// Invented: a box of 1.2 t on four mounts that hold these ways.
fn rig(holds: &[&str], codes: &str) -> String {
    let holds = holds.iter().map(|way| format!("\"{way}\"")).collect::<Vec<_>>().join(", ");
    let mounts = [("FL", 0.5, -0.4), ("FR", 0.5, 0.4), ("RL", 3.1, -0.4), ("RR", 3.1, 0.4)].map(|(name, x, y)| {
        format!(
            "[[mount]]\nname = \"{name}\"\nat = [\"{x} m\", \"{y} m\", \"1 m\"]\nholds = [{holds}]\n\
             bolts = {{ size = \"M12\", class = \"8.8\", count = 4, edge = \"40 mm\", side_edge = \"40 mm\", into = \"7 mm S355\" }}\n"
        )
    });
    format!(
        "format = \"rigproof-rig/1\"\nrig = \"invented\"\n{codes}\n\
         [[axle]]\nname = \"front\"\nx = \"0 m\"\nbare_load = \"2000 kg\"\n[[axle]]\nname = \"rear\"\nx = \"3.6 m\"\nbare_load = \"1500 kg\"\n\
         [body]\nfront = \"0 m\"\nfloor = \"1 m\"\nlength = \"3.6 m\"\nwidth = \"2 m\"\nheight = \"0.6 m\"\nmass = \"1200 kg\"\n\
         [[state]]\nname = \"road\"\nkind = \"travel\"\n{}",
        mounts.concat()
    )
}

fn audited(text: &str) -> Audit {
    let audit = rigproof::audit(text, &quick());
    assert!(audit.errors.is_empty(), "{:?}", audit.errors);
    assert!(audit.faults.is_empty(), "{:?}", audit.faults);
    audit
}

fn about<'a>(audit: &'a Audit, case: &str) -> &'a Finding {
    let mut all =
        audit.findings.iter().filter(|finding| finding.check == "mount/restraint" && finding.case.as_deref() == Some(case));
    all.next().unwrap_or_else(|| panic!("nothing is said of {case}"))
}

#[test]
fn a_way_that_nothing_holds_is_named() {
    for (free, sentence) in WAYS {
        let holds: Vec<&str> = WAYS.iter().map(|(way, _)| *way).filter(|way| *way != free).collect();
        let audit = audited(&rig(&holds, ""));
        let finding = about(&audit, free);
        assert_eq!(finding.verdict, Verdict::Fail, "{free}");
        let said = finding.sentence.as_deref().unwrap_or_default();
        assert!(said.starts_with(sentence), "{free}: {said}");
        // Only that way is free; what it costs the others (a body that tips) they say themselves.
        for (other, sentence) in WAYS.iter().filter(|(other, _)| *other != free) {
            let said = about(&audit, other).sentence.as_deref().unwrap_or_default();
            assert!(!said.starts_with(sentence), "{free} free, {other}: {said}");
        }
    }
}

#[test]
fn a_body_held_every_way_is_told_so() {
    let all: Vec<&str> = WAYS.iter().map(|(way, _)| *way).collect();
    let audit = audited(&rig(&all, ""));
    for (way, _) in WAYS {
        assert_eq!(about(&audit, way).verdict, Verdict::Pass, "{way}");
    }
    for turn in ["roll", "pitch", "yaw"] {
        assert_eq!(about(&audit, turn).verdict, Verdict::Pass, "{turn}");
    }
}

/// Off the road it brakes at 1 g where 0.8 g is asked for on it: a quarter more.
#[test]
fn off_road_is_a_word_that_codes_may_hold_and_it_asks_for_more() {
    let all: Vec<&str> = WAYS.iter().map(|(way, _)| *way).collect();
    let demand = |codes: &str| about(&audited(&rig(&all, codes)), "forward").demand.as_ref().unwrap().value.0;
    let (road, off) = (demand("codes = [\"good-practice\"]"), demand("codes = [\"good-practice\", \"off-road\"]"));
    assert!((off / road - 1.25).abs() < 1e-9, "{off} {road}");
    for code in ["eu", "us-federal", "off-road"] {
        audited(&rig(&all, &format!("codes = [\"{code}\"]")));
    }
}
