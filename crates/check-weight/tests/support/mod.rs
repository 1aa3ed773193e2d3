//! What the tests of a trade share: reading a rig, asking a check. Each test file names its trade in a module `trade`.
#![allow(dead_code, reason = "each test file uses its part")]

use std::path::{Path, PathBuf};
use std::sync::Arc;

use check::card::IMPLIED;
use check::{Card, Check, Context, Day, Finding, LimitBook, Registry};
use quantity::{Dimension, System};
use rig_model::path::{Segment, parse};
use rig_model::{Edit, EditOp, Free, Syntax, read_rig};

use crate::trade;

/// The day all tests live in.
pub(crate) const TODAY: Day = Day { year: 2026, month: 11, day: 25 };

/// Folder of the annotated rigs.
pub(crate) fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rigs")
}

/// All checks of the trade.
pub(crate) fn registry() -> Registry {
    Registry::new(trade::checks(), trade::limits()).expect("ids are unique and well formed")
}

/// A rig's text, ready to be asked, with ways out wanted; or what is wrong with it, a line each.
pub(crate) fn read(text: &str) -> Result<Context, Vec<String>> {
    let (document, rig) = read_rig(text, Syntax::Toml).map_err(|problems| {
        problems.iter().map(|p| format!("line {}: {}: {}", p.place.line, p.subject, p.sentence)).collect::<Vec<_>>()
    })?;
    let book = Arc::new(LimitBook::new(trade::limits()));
    let faults = book.faults(&rig);
    if !faults.is_empty() {
        return Err(faults.into_iter().map(|(path, sentence)| format!("{path}: {sentence}")).collect());
    }
    Ok(Context::new(Arc::new(document), Arc::new(rig), book, TODAY).with_remedies(true))
}

/// A rig that is known to be read without problems.
pub(crate) fn context(name: &str, text: &str) -> Context {
    read(text).unwrap_or_else(|problems| panic!("{name}: {problems:#?}"))
}

/// The answer with the same key, if there is one.
pub(crate) fn same<'f>(findings: &'f [Finding], wanted: &Finding) -> Option<&'f Finding> {
    findings.iter().find(|finding| finding.key() == wanted.key())
}

/// A finding in one line: case, state, verdict, utilisation.
pub(crate) fn told(finding: &Finding) -> String {
    let state = finding.state.as_deref().unwrap_or("-");
    let case = finding.case.as_ref().map_or(String::new(), |case| format!("[{case}]"));
    let utilisation = finding.utilisation.as_ref().map_or(String::new(), |u| format!(" {:.2}", u.0));
    format!("{}{case} {state} {}{utilisation} (at `{}`)", finding.check, finding.verdict.word(), finding.path)
}

/// Answers of a check, each key once.
pub(crate) fn ask(name: &str, check: &dyn Check, cx: &Context) -> Vec<Finding> {
    let findings = check.run(cx);
    for (at, finding) in findings.iter().enumerate() {
        assert_eq!(finding.check, check.card().id, "{name}");
        let twice = findings[..at].iter().any(|other| other.key() == finding.key());
        assert!(!twice, "{name}: answered twice: {}", told(finding));
    }
    assert!(!findings.is_empty(), "{name}: {} says nothing", check.card().id);
    findings
}

/// A path without its brackets, as cards write it.
pub(crate) fn pattern(path: &str) -> String {
    let keys = parse(path).expect("a path").into_iter().filter_map(|segment| match segment {
        Segment::Key(key) => Some(key),
        Segment::Name(_) | Segment::Index(_) => None,
    });
    keys.collect::<Vec<_>>().join(".")
}

/// Whether a card lists what moves there, or every card does.
pub(crate) fn listed(card: &Card, pattern: &str) -> bool {
    card.needs.iter().chain(card.uses.iter()).chain(IMPLIED).any(|listed| check::card::covers(listed, pattern))
}

/// Every value with a dimension: the edit that moves it a little. Downward fits everywhere: shares of a tank end at 1, and a
/// volume at the tank's.
pub(crate) fn moved_values(cx: &Context) -> Vec<Edit> {
    let mut all = Vec::new();
    cx.rig().each_value(&mut |trail, given| {
        let Some(value) = given.value.filter(|_| given.dimension != Dimension::Temperature) else { return };
        let value = if value == 0.0 { 0.001 } else { value * 0.995 };
        let to = quantity::show_exact(value, given.dimension, System::Metric);
        all.push(Edit { path: trail.path(), op: EditOp::Set, from: None, to: Some(Free::Text(to)) });
    });
    all
}
