use super::*;
use crate::audit::{FORMAT, Summary, Units};
use crate::finding::{Accepted, Consequence, Where};

fn finding(verdict: Verdict, utilisation: Option<f64>) -> Finding {
    Finding {
        check: "weight/axle-load".to_owned(),
        about: "front axle".to_owned(),
        path: "axle[front]".to_owned(),
        case: None,
        state: Some("travel-full".to_owned()),
        verdict,
        consequence: Consequence::Injury,
        demand_words: "carries".to_owned(),
        capacity_words: "may carry".to_owned(),
        demand: None,
        capacity: None,
        sense: None,
        margin: None,
        utilisation: utilisation.map(Num),
        sentence: None,
        basis: None,
        also_limits: Vec::new(),
        replaced: None,
        working: Vec::new(),
        needs: Vec::new(),
        remedies: Vec::new(),
        exhibits: Vec::new(),
        place: Where::default(),
        cautions: Vec::new(),
        accepted: None,
        since: None,
        proposals: Vec::new(),
    }
}

fn was(verdict: Verdict, utilisation: Option<f64>) -> EarlierFinding {
    let now = finding(verdict, utilisation);
    EarlierFinding {
        check: now.check,
        about: now.about,
        path: now.path,
        case: now.case,
        state: now.state,
        verdict,
        utilisation: now.utilisation,
    }
}

fn audit(findings: Vec<Finding>) -> Audit {
    Audit {
        format: FORMAT.to_owned(),
        rig: "invented".to_owned(),
        file: "rig.toml".to_owned(),
        sources: Vec::new(),
        version: "0".to_owned(),
        date: "2026-11-25".to_owned(),
        codes: Vec::new(),
        units: Units::Metric,
        states: Vec::new(),
        summary: Summary::default(),
        findings,
        faults: Vec::new(),
        notes: Vec::new(),
        measure_next: Vec::new(),
        inputs: Vec::new(),
        exhibits: Vec::new(),
        baseline: None,
        errors: Vec::new(),
    }
}

fn compared(before: Vec<EarlierFinding>, now: Vec<Finding>, strict: bool) -> Audit {
    let mut audit = audit(now);
    compare(&mut audit, &Earlier { file: "rig.toml".to_owned(), findings: before }, "old.json", strict, |_| true);
    audit
}

/// Whether one answer that was so and is now so became worse.
fn worse(before: (Verdict, Option<f64>), now: (Verdict, Option<f64>)) -> bool {
    let audit = compared(vec![was(before.0, before.1)], vec![finding(now.0, now.1)], false);
    assert_eq!(audit.fails(false), audit.findings[0].since.unwrap().worse);
    audit.fails(false)
}

#[test]
fn a_verdict_whose_rank_rises_is_worse_and_no_other_change_of_verdict_is() {
    use Verdict::{Fail, Missing, NotApplicable, Pass, Unsettled};
    let rising = [
        (Pass, Unsettled),
        (Pass, Missing),
        (Pass, Fail),
        (NotApplicable, Unsettled),
        (NotApplicable, Missing),
        (NotApplicable, Fail),
        (Unsettled, Fail),
        (Missing, Fail),
    ];
    for before in Verdict::ALL {
        for now in Verdict::ALL {
            assert_eq!(worse((before, None), (now, None)), rising.contains(&(before, now)), "{before:?} to {now:?}");
        }
    }
}

#[test]
fn a_failure_that_nobody_asked_about_is_worse_and_another_new_answer_is_not() {
    for verdict in Verdict::ALL {
        let new = |strict| compared(Vec::new(), vec![finding(verdict, Some(1.2))], strict).fails(strict);
        assert_eq!(new(false), verdict == Verdict::Fail, "{verdict:?}");
        assert_eq!(new(true), verdict.rank() > 0, "{verdict:?}, strictly");
    }
}

#[test]
fn each_part_of_the_key_makes_another_answer() {
    let change: [fn(&mut EarlierFinding); 4] = [
        |f| f.check = "weight/tyre-load".to_owned(),
        |f| f.path = "axle[rear]".to_owned(),
        |f| f.case = Some("left".to_owned()),
        |f| f.state = None,
    ];
    for change in change {
        let mut before = was(Verdict::Fail, Some(1.2));
        change(&mut before);
        let audit = compared(vec![before], vec![finding(Verdict::Fail, Some(1.2))], false);
        assert!(audit.fails(false));
        assert_eq!(audit.baseline.as_ref().unwrap().gone, 1);
    }
    // The words for the subject are no part of it.
    let renamed = EarlierFinding { about: "the axle in front".to_owned(), ..was(Verdict::Fail, Some(1.2)) };
    assert!(!compared(vec![renamed], vec![finding(Verdict::Fail, Some(1.2))], false).fails(false));
}

#[test]
fn a_failing_utilisation_is_worse_above_the_rise_and_not_at_it() {
    let from = |before: f64, now: f64| worse((Verdict::Fail, Some(before)), (Verdict::Fail, Some(now)));
    assert!(from(1.03, 1.0351));
    assert!(!from(1.03, 1.03));
    assert!(!from(1.3, 1.2));
    // In binary some of these differences come out above 0.005, by less than a rig's numbers can mean.
    for thousandths in 1001..1400 {
        let before = f64::from(thousandths) / 1000.0;
        assert!(!from(before, before + RISE), "{before}");
        assert!(from(before, before + RISE + 1e-6), "{before}");
    }
}

#[test]
fn a_utilisation_that_rises_without_failing_is_not_worse() {
    assert!(!worse((Verdict::Pass, Some(0.5)), (Verdict::Pass, Some(0.99))));
    assert!(!worse((Verdict::Unsettled, Some(0.95)), (Verdict::Unsettled, Some(1.02))));
    assert!(!worse((Verdict::Fail, None), (Verdict::Fail, Some(1.2))));
    assert!(!worse((Verdict::Fail, Some(1.2)), (Verdict::Fail, None)));
    assert!(!worse((Verdict::Fail, Some(1.2)), (Verdict::Fail, Some(f64::NAN))));
}

#[test]
fn what_the_owner_accepts_is_not_worse() {
    let mut now = finding(Verdict::Fail, Some(1.2));
    now.accepted = Some(Accepted { why: "known".to_owned(), until: None });
    assert!(!compared(Vec::new(), vec![now], true).fails(true));
}

#[test]
fn an_answer_that_is_gone_is_a_note_and_no_failure() {
    let audit = compared(vec![was(Verdict::Fail, Some(1.2))], Vec::new(), true);
    assert!(!audit.fails(true));
    assert_eq!(audit.notes.len(), 1);
    assert_eq!(audit.notes[0].id, GONE);
    assert_eq!(audit.notes[0].text, "weight/axle-load: front axle, travel-full was fail before and is not asked any more");
    // What this run was not asked for is not missed.
    let mut part = self::audit(Vec::new());
    let before = Earlier { file: String::new(), findings: vec![was(Verdict::Fail, None)] };
    compare(&mut part, &before, "old.json", false, |finding| finding.check == "weight/tyre-load");
    assert!(part.notes.is_empty());
}

#[test]
fn what_stood_before_is_counted_and_the_changed_are_marked() {
    let other = |path: &str, verdict, used| Finding { path: path.to_owned(), ..finding(verdict, Some(used)) };
    let mut before: Vec<EarlierFinding> = Vec::new();
    for (path, verdict, used) in [("a", Verdict::Fail, 1.2), ("b", Verdict::Pass, 0.9), ("c", Verdict::Unsettled, 1.0)] {
        before.push(EarlierFinding { path: path.to_owned(), ..was(verdict, Some(used)) });
    }
    let now = vec![
        other("a", Verdict::Fail, 1.2),
        other("b", Verdict::Pass, 0.8),
        other("c", Verdict::Unsettled, 1.0),
        other("d", Verdict::Fail, 1.1),
    ];
    let audit = compared(before, now, false);
    let baseline = audit.baseline.as_ref().unwrap();
    assert_eq!((baseline.worse, baseline.stood, baseline.gone), (1, 2, 0));
    assert_eq!(baseline.from, "old.json");
    let changed: Vec<bool> = audit.findings.iter().map(|f| f.since.unwrap().changed).collect();
    assert_eq!(changed, [false, true, false, true]);
    assert_eq!(audit.findings[3].since.unwrap().was, None);
    assert_eq!(audit.findings[1].since.unwrap().was_utilisation, Some(Num(0.9)));
}

#[test]
fn without_a_baseline_each_failure_counts_and_strictly_each_open_answer() {
    for verdict in Verdict::ALL {
        let audit = audit(vec![finding(verdict, None)]);
        assert_eq!(audit.fails(false), verdict == Verdict::Fail);
        assert_eq!(audit.fails(true), verdict.rank() > 0);
    }
}
