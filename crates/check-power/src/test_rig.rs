//! A rig's text, ready to be asked by unit tests.

use std::sync::Arc;

use check::{Check, Context, Day, Finding, LimitBook};
use rig_model::{Syntax, read_rig};

/// The rig with these tables.
pub(crate) fn context(tables: &str) -> Context {
    let text = format!("format = \"rigproof-rig/1\"\nrig = \"invented\"\n{tables}");
    let (document, rig) = read_rig(&text, Syntax::Toml).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let book = Arc::new(LimitBook::new(crate::limits()));
    let today = Day { year: 2026, month: 11, day: 25 };
    Context::new(Arc::new(document), Arc::new(rig), book, today).with_remedies(true)
}

/// The first answer of a check.
pub(crate) fn first(check: &dyn Check, tables: &str) -> Finding {
    check.run(&context(tables)).into_iter().next().expect("a check says something")
}
