//! Ids do not change meaning: the list of all of them, so that a rename shows in review; and that they fit together.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use rigproof_tests::{EXAMPLES, audit_of};

#[test]
fn all_ids_are_as_they_were() {
    let registry = rigproof::registry();
    let mut list = String::new();
    for check in registry.checks() {
        let card = check.card();
        writeln!(list, "check  {}  {}, {}: {}", card.id, card.consequence.word(), card.scope.word(), card.question).unwrap();
        for limit in card.limits.iter() {
            writeln!(list, "           {limit}").unwrap();
        }
    }
    for set in registry.book().all().unwrap() {
        for limit in &set.limits {
            writeln!(list, "limit  {}", limit.key()).unwrap();
        }
        for table in &set.tables {
            writeln!(list, "table  {}: {}", set.name, table.id).unwrap();
        }
    }
    let mut names: Vec<&str> = kernels::all().iter().map(|kernel| kernel.name).collect();
    names.sort_unstable();
    for name in names {
        writeln!(list, "kernel {name}").unwrap();
    }
    insta::assert_snapshot!("ids", list);
}

#[test]
fn every_limit_has_a_check_and_every_check_its_limits() {
    let registry = rigproof::registry();
    let used: BTreeSet<String> =
        registry.checks().iter().flat_map(|check| check.card().limits.iter().map(str::to_owned).collect::<Vec<_>>()).collect();
    let sets = registry.book().all().unwrap();
    let known: BTreeSet<String> = sets
        .iter()
        .flat_map(|set| set.limits.iter().map(|l| l.id.clone()).chain(set.tables.iter().map(|t| t.id.clone())))
        .collect();
    let unused: Vec<_> = known.difference(&used).collect();
    assert!(unused.is_empty(), "no check uses {unused:?}");
    let absent: Vec<_> = used.difference(&known).collect();
    assert!(absent.is_empty(), "no set has {absent:?}");
}

#[test]
fn a_limit_has_one_dimension_in_all_sets_and_says_where_it_comes_from() {
    let registry = rigproof::registry();
    let mut dimensions = BTreeMap::new();
    for set in registry.book().all().unwrap() {
        for limit in &set.limits {
            let first = dimensions.entry(limit.id.clone()).or_insert(limit.dimension);
            assert_eq!(*first, limit.dimension, "{}", limit.key());
            assert!(!limit.basis.title.trim().is_empty(), "{}", limit.key());
            assert!(limit.id.contains('/'), "{}", limit.key());
        }
    }
}

#[test]
fn finding_keys_are_unique_and_paths_have_a_place() {
    for name in EXAMPLES {
        let audit = audit_of(name);
        let mut keys = BTreeSet::new();
        for finding in &audit.findings {
            assert!(keys.insert(finding.key()), "{name}: {:?} stands twice", finding.key());
            assert!(finding.place.line >= 1 && finding.place.column >= 1, "{name}: {:?}", finding.key());
            assert!(!finding.about.is_empty(), "{name}: {:?}", finding.key());
        }
        let ids: BTreeSet<&str> = audit.exhibits.iter().map(|e| e.id.as_str()).collect();
        assert_eq!(ids.len(), audit.exhibits.len(), "{name}: an exhibit stands twice");
        for finding in &audit.findings {
            assert!(finding.exhibits.iter().all(|id| ids.contains(id.as_str())), "{name}: {:?}", finding.key());
        }
    }
}

#[test]
fn every_check_answers_in_every_example() {
    let registry = rigproof::registry();
    for name in EXAMPLES {
        let audit = audit_of(name);
        for check in registry.checks() {
            let id = &*check.card().id;
            let silent = !audit.findings.iter().any(|f| f.check == id) && !audit.faults.iter().any(|f| f.check == id);
            assert!(!silent, "{name}: {id} says nothing");
        }
        assert!(audit.faults.is_empty(), "{name}: {:?}", audit.faults);
    }
}

/// The complete example shows each kind of answer.
#[test]
fn the_complete_example_shows_every_verdict() {
    let audit = audit_of(EXAMPLES[0]);
    for verdict in check::Verdict::ALL {
        assert!(audit.summary.of(verdict) > 0, "no answer is {}", verdict.word());
    }
    assert_eq!(audit.states.len(), 5);
}
