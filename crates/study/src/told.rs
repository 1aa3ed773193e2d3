//! The rig with a value told to it, and its audit.
//!
//! Unlike a change that is tried out, a reading changes what was known when the tickets were read: they are taken in anew.

use std::collections::BTreeMap;
use std::sync::Arc;

use check::{Audit, Context, Detail, Registry};
use rig_model::path::{self, Segment};
use rig_model::{Document, Edit, EditOp, Free};
use runner::{Orders, Stamp};

/// The edit that sets a value, with the tables around it where the file has none.
///
/// # Errors
/// A sentence: the path makes no sense.
pub fn setting(document: &Document, path: &str, to: Free) -> Result<Edit, String> {
    let whole = path::parse(path)?;
    let (mut segments, mut value) = (whole.as_slice(), to);
    while let Some((Segment::Key(key), above)) = segments.split_last()
        && !above.is_empty()
        && !document.has(&path::join(above))
    {
        value = Free::Table(BTreeMap::from([(key.clone(), value)]));
        segments = above;
    }
    Ok(Edit { path: path::join(segments), op: EditOp::Set, from: None, to: Some(value) })
}

/// The rig as it is once the edits stand in its file; none where it would no longer be a rig.
#[must_use]
pub fn told(registry: &Registry, context: &Context, edits: &[Edit]) -> Option<Context> {
    let document = context.document().with(edits).ok()?;
    let (rig, problems) = document.read();
    if !problems.is_empty() {
        return None;
    }
    Some(Context::new(Arc::new(document), Arc::new(rig), Arc::clone(registry.book()), context.today()))
}

/// All checks of all states in that detail, without ways out.
#[must_use]
pub fn audit(registry: &Registry, context: Context, detail: Detail) -> Audit {
    let orders = Orders { only: Vec::new(), state: None, remedies: false, detail, threads: None };
    let stamp = Stamp { file: String::new(), sources: Vec::new(), version: String::new() };
    runner::run(registry, context, &orders, stamp)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_that_are_absent_are_made_around_the_value() {
        let (document, _) = Document::from_toml("format = \"rigproof-rig/1\"\nrig = \"invented\"\n[[axle]]\nname = \"front\"\n");
        let edit = setting(&document, "axle[front].tyre.load_index", Free::Number(152.0)).expect("it makes sense");
        assert_eq!(edit.path, "axle[front].tyre");
        let (rig, problems) = document.with(&[edit]).expect("it can be made").read();
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!(rig.axle[0].tyre.as_ref().and_then(|tyre| tyre.load_index), Some(152));
        let edit = setting(&document, "chassis.brakes.proved_at", Free::from("4000 kg")).expect("it makes sense");
        assert_eq!(edit.path, "chassis");
        // An entry of a list is not made: it would need a name and more.
        let edit = setting(&document, "axle[rear].rated", Free::from("1 kg")).expect("it makes sense");
        assert!(document.with(&[edit]).is_err());
    }
}
