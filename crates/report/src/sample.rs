//! The audit that the tests of all renderers share. Its rig is invented; its numbers agree with each other.

mod made;
mod pictures;
mod sparse;

use basis::{Basis, Known};
use check::audit::{Audit, AuditInput, AuditState, FORMAT, Fault, InputError, SourceFile, Summary, Units};
use check::baseline::{Earlier, EarlierFinding, compare};
use check::finding::{Accepted, Consequence, Finding, Replaced, Sense, Verdict};
use check::remedy::Effort;
use quantity::{Dimension, Num};

pub use pictures::{Year, pictures, roof_plan};
pub use sparse::sparse;

use made::{also, blank, held, load, measure, missing, need, next, note, practice, regulation, remedy};

/// Every verdict, every consequence, accepted, replaced, a fault, odd characters.
#[must_use]
pub fn audit() -> Audit {
    let mut findings = fails();
    findings.extend(open());
    findings.extend(quiet());
    let mut audit = of(findings);
    audit.faults =
        vec![Fault { check: "own/spare-wheel-lift".to_owned(), text: "the script ran past its time of 1 s".to_owned() }];
    audit.notes = vec![
        note("trade-not-told", "gas: nothing told yet; 18 checks wait", None),
        note("trade-not-told", "wiring: nothing told yet; 22 checks wait", None),
        note("accept-unmatched", "the acceptance of weight/side-slope touches no finding", Some(71)),
    ];
    audit.measure_next = vec![
        next("axle[rear].rated", "read the plate on the axle beam or in the door frame", 6, Consequence::Injury),
        next(
            "chassis.centre_height",
            "weigh the front axle level, then with the rear wheels on planks 0.2 m high",
            2,
            Consequence::Injury,
        ),
        next("mass[\"herbarium presses\"].mass", "stand with one on a bathroom scale, then without", 1, Consequence::Comfort),
        next("tank[fresh].volume", "fill it by the bucket and count", 1, Consequence::Comfort),
    ];
    audit
}

/// The same held against an earlier audit, in which the front axle passed when full, carried less when empty, nobody asked
/// of the frame, and three answers were given that are gone.
#[must_use]
pub fn since() -> Audit {
    let mut audit = audit();
    let mut before: Vec<EarlierFinding> = audit.findings.iter().map(made::earlier).collect();
    before.retain(|finding| finding.check != "weight/frame-notch");
    for finding in before.iter_mut().filter(|f| f.check == "weight/axle-load" && f.about == "front axle") {
        match finding.state.as_deref() {
            Some("travel-full") => (finding.verdict, finding.utilisation) = (Verdict::Pass, Some(Num(0.95))),
            Some("travel-empty") => finding.utilisation = Some(Num(1.01)),
            _ => {}
        }
    }
    let gone = |finding: &EarlierFinding, state: &str| EarlierFinding {
        path: "axle[tag]".to_owned(),
        about: "tag axle".to_owned(),
        state: Some(state.to_owned()),
        ..finding.clone()
    };
    let first = before.first().cloned();
    before.extend(first.iter().flat_map(|finding| ["travel-full", "travel-empty", "camped"].map(|state| gone(finding, state))));
    let earlier = Earlier { file: audit.file.clone(), findings: before };
    compare(&mut audit, &earlier, "before.json", false, |_| true);
    audit
}

/// Nothing wrong.
#[must_use]
pub fn fine() -> Audit {
    of(quiet().into_iter().filter(|finding| finding.replaced.is_none()).collect())
}

/// An audit without a single finding.
#[must_use]
pub fn empty() -> Audit {
    of(Vec::new())
}

/// A rig file that could not be read.
#[must_use]
pub fn unread() -> Audit {
    let error =
        |line, column, subject: &str, text: &str, found: Option<&str>, expected: Option<&str>, write: Option<&str>| InputError {
            line,
            column,
            subject: subject.to_owned(),
            text: text.to_owned(),
            found: found.map(str::to_owned),
            expected: expected.map(str::to_owned),
            write: write.map(str::to_owned),
        };
    let mut audit = of(Vec::new());
    audit.errors = vec![
        error(
            13,
            9,
            "axle \"front\", rated",
            "the number has no unit",
            Some("5200"),
            Some("a mass"),
            Some("rated = \"5200 kg\""),
        ),
        error(
            8,
            47,
            "chassis, frame, spacing",
            "this is a mass, and a length is wanted",
            Some("\"0.84 kg\""),
            Some("a length, such as \"0.84 m\" or \"33 in\""),
            None,
        ),
        error(
            16,
            42,
            "mass \"a\u{1b}[2Jb\"",
            "there is no key \"presure\" here",
            None,
            Some("pressure, or size"),
            Some("pressure"),
        ),
    ];
    audit
}

/// As many findings as a complete rig gives: 5 states, 30 subjects.
#[must_use]
pub fn many() -> Audit {
    let mut findings = Vec::new();
    for subject in 0..30 {
        for (at, state) in ["travel-full", "travel-empty", "camped", "winter", "market day"].into_iter().enumerate() {
            let used = 0.55 + f64::from(subject) * 0.018 + at as f64 * 0.004;
            let mut one = load(
                &format!("weight/check-{:02}", subject % 10),
                &format!("subject {subject}"),
                state,
                5000.0 * used,
                60.0,
                5000.0,
            );
            one.consequence = match subject % 3 {
                0 => Consequence::Injury,
                1 => Consequence::Legal,
                _ => Consequence::Damage,
            };
            one.cautions = vec!["a truck on jacks can fall; stands on hard ground before anyone goes under".to_owned()];
            if subject == 20 {
                one = missing(&one.check, "subject 20", Some(state), "axle[rear].rated", "read the plate");
            }
            findings.push(one);
        }
    }
    of(findings)
}

fn of(mut findings: Vec<Finding>) -> Audit {
    findings.sort_by(|a, b| a.key().cmp(&b.key()));
    Audit {
        format: FORMAT.to_owned(),
        rig: "Alpine herbarium truck".to_owned(),
        file: "rig.toml".to_owned(),
        sources: vec![SourceFile { path: "rig.toml".to_owned(), sha256: "00".repeat(32) }],
        version: "0.1.0".to_owned(),
        date: "2026-11-25".to_owned(),
        codes: vec!["us-federal".to_owned(), "good-practice".to_owned()],
        units: Units::Metric,
        states: ["travel-full", "travel-empty", "camped"].into_iter().map(state).collect(),
        summary: summary(&findings),
        findings,
        faults: Vec::new(),
        notes: Vec::new(),
        measure_next: Vec::new(),
        inputs: vec![AuditInput {
            path: "axle[front].bare_load".to_owned(),
            value: Num(3910.0),
            unit: "kg".to_owned(),
            how: "weighed".to_owned(),
            low: Num(3890.0),
            high: Num(3930.0),
        }],
        exhibits: Vec::new(),
        baseline: None,
        errors: Vec::new(),
    }
}

fn summary(findings: &[Finding]) -> Summary {
    let of = |verdict| findings.iter().filter(|finding| finding.verdict == verdict).count();
    let recalled = |finding: &&Finding| finding.basis.as_ref().is_some_and(|basis| basis.known == Known::FromMemory);
    Summary {
        answers: findings.len(),
        pass: of(Verdict::Pass),
        fail: of(Verdict::Fail),
        unsettled: of(Verdict::Unsettled),
        missing: of(Verdict::Missing),
        not_applicable: of(Verdict::NotApplicable),
        accepted: findings.iter().filter(|finding| finding.accepted.is_some()).count(),
        from_memory: findings.iter().filter(recalled).count(),
    }
}

fn state(name: &str) -> AuditState {
    let kind = if name == "camped" { "camp" } else { "travel" };
    AuditState { name: name.to_owned(), kind: kind.to_owned(), made: false }
}

fn fails() -> Vec<Finding> {
    let jacks = "a body on jacks can fall; stands on hard ground before anyone goes under".to_owned();
    let mut front = load("weight/axle-load", "front axle", "travel-full", 5347.2, 98.0, 5200.0);
    front.working = vec!["load = 3910 kg + 1437 kg = 5347 kg".to_owned()];
    front.cautions = vec![jacks.clone()];
    front.remedies = vec![
        remedy(
            "move the body 0.41 m rearward",
            Effort::CuttingAndWelding,
            4940.0,
            0.95,
            vec![
                also("weight/ground-angles", "departure", Verdict::Pass, Verdict::Fail),
                also("weight/roll-stability", "whole rig", Verdict::Unsettled, Verdict::Pass),
            ],
        ),
        remedy("take 410 kg off over the front axle", Effort::AnAfternoon, 4940.0, 0.95, Vec::new()),
        remedy("fill the fresh tank to 30 % only", Effort::Minutes, 4900.0, 0.942, Vec::new()),
        remedy("fit a stronger axle", Effort::PartsToBuy, 5347.2, 0.9, Vec::new()),
    ];
    let mut front_empty = load("weight/axle-load", "front axle", "travel-empty", 5320.0, 98.0, 5200.0);
    front_empty.cautions = vec![jacks.clone()];
    let front_camped = load("weight/axle-load", "front axle", "camped", 5180.0, 98.0, 5200.0);
    let mut tyre = load("weight/tyre-load", "front axle", "travel-full", 2760.0, 60.0, 2650.0);
    tyre.cautions = vec![jacks];
    let mut gross = load("weight/gross-mass", "whole rig", "travel-full", 12_900.0, 150.0, 12_500.0);
    gross.consequence = Consequence::Legal;
    gross.basis = Some(regulation());
    gross.accepted = Some(Accepted { why: "first weighing comes next week".to_owned(), until: Some("2027-05-01".to_owned()) });
    let mut papers = load("weight/registered-mass", "whole rig", "travel-full", 12_900.0, 150.0, 12_000.0);
    papers.consequence = Consequence::Legal;
    papers.basis = Some(regulation());
    let mut frame = blank("weight/frame-notch", "left rail", None, Verdict::Fail);
    frame.consequence = Consequence::Damage;
    frame.sentence = Some("the rail is notched in its lower flange, 1.2 m behind the cab".to_owned());
    let mut step = blank("access/step-length", "entry steps 冷蔵庫", Some("camped"), Verdict::Fail);
    (step.demand_words, step.capacity_words) = ("have".to_owned(), "want".to_owned());
    step.consequence = Consequence::Comfort;
    let mut step = held(step, (0.52, 0.01), 0.6, Dimension::Length, Sense::AtLeast);
    step.basis = Some(practice());
    vec![front, front_empty, front_camped, tyre, gross, papers, frame, step]
}

fn open() -> Vec<Finding> {
    let mut roll = blank("weight/roll-stability", "whole rig", Some("travel-full"), Verdict::Unsettled);
    (roll.demand_words, roll.capacity_words) = ("tips at".to_owned(), "may not tip below".to_owned());
    let mut roll = held(roll, (0.52, 0.07), 0.5, Dimension::Angle, Sense::AtLeast);
    roll.basis = Some(Basis::physics("level ground, rigid suspension"));
    roll.needs = vec![
        need("chassis.centre_height", "weigh the front axle level, then with the rear wheels on planks 0.2 m high", 0.47),
        need("axle[front].track", "measure between the tyres' centre lines", 0.31),
    ];
    let mut lamps = blank("wiring/voltage-drop", "step lamps", Some("camped"), Verdict::Unsettled);
    (lamps.demand_words, lamps.capacity_words) = ("loses".to_owned(), "may lose".to_owned());
    lamps.consequence = Consequence::Comfort;
    let mut lamps = held(lamps, (0.031, 0.007), 0.03, Dimension::Ratio, Sense::AtMost);
    lamps.basis = Some(practice());
    lamps.needs = vec![need("circuit[step lamps].area", "strip 10 mm, count the strands, gauge one", 0.78)];
    let mut waiting: Vec<Finding> = ["travel-full", "travel-empty", "camped"]
        .iter()
        .flat_map(|state| {
            ["weight/axle-load", "weight/tyre-load"].map(|check| {
                missing(
                    check,
                    "rear axle",
                    Some(state),
                    "axle[rear].rated",
                    "read the plate on the axle beam or in the door frame",
                )
            })
        })
        .collect();
    let mut bolts = missing(
        "mount/bolt-shear",
        "pump \u{1b}[31m\nbox \"a\"",
        Some("travel-full"),
        "mount[pump].bolts.class",
        "read the number on a bolt head, such as 8.8",
    );
    bolts.consequence = Consequence::Damage;
    bolts.sentence = Some("even 8.8 would hold with 14 mm bolts".to_owned());
    waiting.extend([roll, lamps, bolts]);
    waiting
}

fn quiet() -> Vec<Finding> {
    let mut middle = load("weight/axle-load", "middle axle", "travel-full", 6400.0, 80.0, 8000.0);
    middle.sentence = Some("even with the spare wheel on the rear wall".to_owned());
    let light = load("weight/axle-load", "middle axle", "travel-empty", 3100.0, 80.0, 8000.0);
    let mut tyre = load("weight/tyre-load", "middle axle", "travel-full", 3200.0, 60.0, 3450.0);
    tyre.basis = Some(practice());
    tyre.replaced = Some(Replaced {
        limit: "good-practice: weight/tyre-share".to_owned(),
        old: Num(3100.0),
        new: Num(3450.0),
        unit: "kg".to_owned(),
        why: "the maker's letter of 2024".to_owned(),
        weaker: true,
    });
    let trailer = {
        let mut none = blank("weight/combination-mass", "whole rig", None, Verdict::NotApplicable);
        none.sentence = Some("the rig is without a trailer".to_owned());
        none
    };
    let approach = |state: &str, angle: f64| {
        let mut shown = blank("weight/ground-angles", "approach", Some(state), Verdict::NotApplicable);
        shown.demand_words = "is".to_owned();
        shown.demand = Some(measure(angle, 0.02, Dimension::Angle));
        shown.sentence = Some("the file names no angle that is wished for".to_owned());
        shown
    };
    vec![middle, light, tyre, trailer, approach("travel-full", 0.5), approach("camped", 0.48)]
}
