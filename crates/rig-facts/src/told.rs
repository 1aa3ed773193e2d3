//! Stated values of the tables of a trade, each an input with its spread.

use std::collections::BTreeMap;

use quantity::Estimate;
use rig_model::walk::{Trail, Walk};

use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::tables;

/// Which table of half widths each field has; none for a value that stands as it is marked.
pub(crate) type Spreads = BTreeMap<&'static str, Option<&'static str>>;

/// The spreads that a table of fields by table of half widths tells.
pub(crate) fn spreads(id: &str) -> Spreads {
    let rows = tables::table(id).into_iter().flat_map(|table| table.words("table", "fields"));
    rows.flat_map(|(table, fields)| fields.split_whitespace().map(move |field| (field, Some(table).filter(|t| *t != "-"))))
        .collect()
}

/// A part of the rig and the keys that lead to it.
pub(crate) type Part<'r> = (&'static [&'static str], Option<&'r dyn Walk>);

/// The values, by their path.
#[derive(Clone, Debug, Default)]
pub struct Told {
    values: BTreeMap<String, Estimate>,
}

impl Told {
    /// Reads them in the order of the parts. A field without a row is read elsewhere: masses, sizes and places of things are
    /// the ledger's.
    pub(crate) fn read(parts: &[Part<'_>], spreads: &Spreads, inputs: &mut Inputs) -> Self {
        let mut values = BTreeMap::new();
        for (keys, part) in parts {
            let Some(part) = part else { continue };
            let mut trail = Trail::default();
            keys.iter().for_each(|key| trail.enter_key(key));
            part.walk(&mut trail, &mut |trail, given| {
                let (Some(value), Some(_)) = (given.value, given.how) else { return };
                let field = trail.keys().collect::<Vec<_>>().join(".");
                let Some(table) = tables::as_piece(&field, |field| spreads.get(field).copied()) else { return };
                let path = trail.path();
                let estimate = inputs.take_given(|| path.clone(), value, given, table);
                values.insert(path, estimate);
            });
        }
        Self { values }
    }

    /// The value at that path, SI, as the file writes it: a place with `in = "body"` is counted in the body.
    ///
    /// # Errors
    /// The gap at that path where it is absent or "?".
    pub fn get(&self, path: &str) -> Result<&Estimate, Gap> {
        self.values.get(path).ok_or_else(|| Gap::at(path))
    }
}

/// A list as a part of the rig; none where it is empty.
pub(crate) fn some<T: Walk>(list: &Vec<T>) -> Option<&dyn Walk> {
    (!list.is_empty()).then_some(list as &dyn Walk)
}
