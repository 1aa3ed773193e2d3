//! The herbarium truck as it grew: each stage settles what the one before left open, and the finished rig fails nowhere
//! that its owner did not accept.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::BTreeMap;

use check::{Audit, Verdict};
use rigproof_tests::{quick, root};

type Key = (String, String, Option<String>, Option<String>);

fn stage(name: &str) -> Audit {
    let file = root().join("examples/herbarium-truck/as-it-grew").join(name);
    let audit = rigproof::audit(&std::fs::read_to_string(&file).unwrap(), &quick());
    assert!(audit.errors.is_empty(), "{name}: {:?}", audit.errors);
    assert!(audit.faults.is_empty(), "{name}: {:?}", audit.faults);
    audit
}

fn verdicts(audit: &Audit) -> BTreeMap<Key, Verdict> {
    let key = |f: &check::Finding| (f.check.clone(), f.path.clone(), f.case.clone(), f.state.clone());
    audit.findings.iter().map(|finding| (key(finding), finding.verdict)).collect()
}

fn open(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Unsettled | Verdict::Missing)
}

#[test]
fn each_stage_settles_what_was_open_before() {
    let stages = ["1-planning.toml", "2-weighed.toml", "3-finished.toml"].map(stage);
    for pair in stages.windows(2) {
        let (before, after) = (verdicts(&pair[0]), verdicts(&pair[1]));
        let settled = before.iter().filter(|(key, was)| open(**was) && after.get(*key).is_some_and(|is| !open(*is))).count();
        let reopened = before.iter().filter(|(key, was)| !open(**was) && after.get(*key).is_some_and(|is| open(*is))).count();
        assert!(settled >= 5, "{} -> {}: only {settled} settled", pair[0].rig, pair[1].rig);
        assert!(settled > 2 * reopened, "{} -> {}: {settled} settled, {reopened} opened again", pair[0].rig, pair[1].rig);
        let left = |verdicts: &BTreeMap<Key, Verdict>| verdicts.values().filter(|verdict| open(**verdict)).count();
        assert!(left(&after) < left(&before));
    }
    let finished = &stages[2];
    let failing: Vec<_> = finished.findings.iter().filter(|f| f.verdict == Verdict::Fail && f.accepted.is_none()).collect();
    assert!(failing.is_empty(), "{failing:#?}");
    assert!(!finished.findings.iter().any(|f| open(f.verdict)));
}
