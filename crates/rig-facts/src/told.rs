//! Every stated value of the tables of a trade, as an input with its spread.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use quantity::Estimate;
use rig_model::walk::{Trail, Walk};

use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::tables;

/// The table of half widths of each field of a trade; none for a value that stands as it is marked.
pub(crate) type Spreads = LazyLock<BTreeMap<&'static str, Option<&'static str>>>;

/// Reads the table `id` of that form: a table of half widths, and the fields that have it, parted by spaces.
pub(crate) fn spreads(id: &str) -> BTreeMap<&'static str, Option<&'static str>> {
    let rows = tables::table(id).into_iter().flat_map(|table| table.words("table", "fields"));
    rows.flat_map(|(table, fields)| fields.split_whitespace().map(move |field| (field, Some(table).filter(|t| *t != "-"))))
        .collect()
}

/// A table of the rig, with the keys that lead to it.
pub(crate) type Part<'a> = (&'static [&'static str], Option<&'a dyn Walk>);

/// A list as a part; none where it is empty.
pub(crate) fn some<T: Walk>(list: &Vec<T>) -> Option<&dyn Walk> {
    (!list.is_empty()).then_some(list as &dyn Walk)
}

/// A table as a part.
pub(crate) fn one<T: Walk>(table: Option<&T>) -> Option<&dyn Walk> {
    table.map(|table| table as &dyn Walk)
}

/// The values, by their path.
#[derive(Clone, Debug, Default)]
pub struct Told {
    values: BTreeMap<String, Estimate>,
}

impl Told {
    /// Reads these tables in this order. A field without a row is read elsewhere: masses, sizes and places of things are
    /// the ledger's.
    pub(crate) fn read<'a>(parts: impl IntoIterator<Item = Part<'a>>, spreads: &Spreads, inputs: &mut Inputs) -> Self {
        let (mut values, mut field) = (BTreeMap::new(), String::new());
        for (keys, part) in parts {
            let Some(part) = part else { continue };
            let mut trail = Trail::default();
            keys.iter().for_each(|key| trail.enter_key(key));
            part.walk(&mut trail, &mut |trail, given| {
                let (Some(value), Some(_)) = (given.value, given.how) else { return };
                field.clear();
                for key in trail.keys() {
                    if !field.is_empty() {
                        field.push('.');
                    }
                    field.push_str(key);
                }
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

/// What the tests of each trade hold of its reader.
#[cfg(test)]
pub(crate) mod proof {
    use super::{Spreads, Told};
    use crate::tables;
    use rig_model::model::Rig;

    /// Of every key of the rig: what is of this trade, and not read elsewhere, is told with its value and a spread. How many
    /// were seen.
    pub(crate) fn every_value_is_told(rig: &Rig, told: &Told, mine: impl Fn(&str) -> bool, elsewhere: &[&str]) -> usize {
        let mut seen = 0;
        rig.each_value(&mut |trail, given| {
            let field = trail.keys().collect::<Vec<_>>().join(".");
            if !mine(&field) || elsewhere.contains(&field.as_str()) || given.value.is_none() || given.how.is_none() {
                return;
            }
            let path = trail.path();
            let estimate = told.get(&path).unwrap_or_else(|_| panic!("{path} has no row"));
            assert_eq!(Some(estimate.value()), given.value, "{path}");
            assert!(estimate.sd().is_finite(), "{path}");
            seen += 1;
        });
        seen
    }

    pub(crate) fn every_row_names_a_table(spreads: &Spreads, least: usize) {
        assert!(spreads.len() > least, "{}", spreads.len());
        for (field, table) in spreads.iter() {
            assert!(table.is_none_or(|table| tables::table(table).is_some()), "{field}: {table:?}");
        }
    }
}
