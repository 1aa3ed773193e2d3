//! Every way out is one: its edits, made by hand, turn the finding to pass, with the utilisation and the side effects
//! that the audit promised.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::BTreeMap;

use check::{Audit, Finding, Verdict};
use rigproof::Options;
use rigproof_tests::json_edit::{apply, rig_as_json};
use rigproof_tests::{EXAMPLES, audit_of, example, quick};

fn audit_json(rig: &serde_json::Value) -> Audit {
    rigproof::audit(&serde_json::to_string_pretty(rig).unwrap(), &Options { json: true, ..quick() })
}

type Key = (String, String, Option<String>, Option<String>);

fn key(finding: &Finding) -> Key {
    let (check, path, case, state) = finding.key();
    (check.to_owned(), path.to_owned(), case.map(str::to_owned), state.map(str::to_owned))
}

fn verdicts(audit: &Audit) -> BTreeMap<Key, Verdict> {
    audit.findings.iter().map(|finding| (key(finding), finding.verdict)).collect()
}

#[test]
fn every_remedy_cures_its_finding_and_says_what_else_it_changes() {
    let mut tried = 0;
    for name in EXAMPLES {
        let rig = rig_as_json(&example(name));
        let audit = audit_of(name);
        let before = verdicts(&audit);
        for finding in audit.findings.iter().filter(|finding| matches!(finding.verdict, Verdict::Fail | Verdict::Unsettled)) {
            for remedy in &finding.remedies {
                tried += 1;
                let about = format!("{name}: {:?}: {}", finding.key(), remedy.text);
                assert!(!remedy.edits.is_empty(), "{about}: it changes nothing");
                let mut edited = rig.clone();
                remedy.edits.iter().for_each(|edit| apply(&mut edited, edit));
                let after = audit_json(&edited);
                assert!(after.errors.is_empty(), "{about}: {:?}", after.errors.first());
                let cured = after
                    .findings
                    .iter()
                    .find(|f| f.key() == finding.key())
                    .unwrap_or_else(|| panic!("{about}: the finding is gone"));
                assert_eq!(cured.verdict, Verdict::Pass, "{about}: {:?}", cured.utilisation);
                // What is promised of numbers holds for the edit itself: tickets were read before it.
                let tried = rigproof::audit(&example(name), &Options { edits: remedy.edits.clone(), ..quick() });
                let after = tried.clone();
                let cured = tried.findings.iter().find(|f| f.key() == finding.key()).unwrap();
                assert_eq!(cured.verdict, Verdict::Pass, "{about}");
                if let (Some(promised), Some(got)) = (&remedy.utilisation, &cured.utilisation) {
                    // Printed to nine digits; the second reading goes through decimal text.
                    assert!((promised.0 - got.0).abs() < 1e-6, "{about}: {} promised, {} got", promised.0, got.0);
                }
                let mut changed: Vec<Key> = Vec::new();
                for (other, verdict) in verdicts(&after) {
                    if other != key(finding) && before.get(&other).is_some_and(|was| *was != verdict) {
                        changed.push(other);
                    }
                }
                let told: Vec<(&str, &str, Option<&str>)> =
                    remedy.also.iter().map(|a| (&*a.check, &*a.path, a.state.as_deref())).collect();
                for (check, path, _, state) in &changed {
                    assert!(told.contains(&(check, path, state.as_deref())), "{about}: says nothing of {check} {path} {state:?}");
                }
                for also in &remedy.also {
                    let real = changed
                        .iter()
                        .any(|(check, path, _, state)| *check == also.check && *path == also.path && *state == also.state);
                    // What fails and then fails by more has the same word for it.
                    let fails_more = also.was == Verdict::Fail && also.is == Verdict::Fail;
                    assert!(real || fails_more, "{about}: {} {} does not change", also.check, also.path);
                }
                let worsens = remedy.also.iter().any(|also| also.is.rank() > also.was.rank() || also.is == Verdict::Fail);
                assert_eq!(worsens, remedy.worsens, "{about}");
            }
        }
    }
    assert!(tried >= 3, "only {tried} remedies in the examples");
}

#[test]
fn a_failing_axle_has_a_remedy_with_an_effort() {
    let audit = audit_of(EXAMPLES[0]);
    let axle = audit
        .findings
        .iter()
        .find(|f| f.check == "weight/axle-load" && f.verdict == Verdict::Fail)
        .expect("the complete example has an axle over");
    assert!(!axle.remedies.is_empty());
    assert!(axle.remedies.iter().all(|remedy| !remedy.text.is_empty()));
    // Better ones first; one that breaks something else last.
    let worsens: Vec<bool> = axle.remedies.iter().map(|remedy| remedy.worsens).collect();
    assert!(worsens.is_sorted());
}
