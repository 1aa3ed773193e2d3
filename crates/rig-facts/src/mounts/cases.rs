//! The accelerations a body on its mounts is to stand, by code: data with a basis.

use std::sync::LazyLock;

use basis::{Basis, Cell, Table};
use rig_model::model::Rig;

use crate::tables;

/// A direction in which a body is to be held.
#[derive(Clone, Debug)]
pub struct Case {
    /// The table it stands in, such as `mounts/acceleration-en-12195-1`.
    pub table: &'static str,
    /// Its name, such as "forward".
    pub name: &'static str,
    /// Acceleration that the force on the body stands for, in g: x rearward, y to the right, z up; weight included.
    pub g: [f64; 3],
    /// Where it comes from.
    pub basis: &'static Basis,
    code: &'static str,
}

/// Word of the sets that are in force whatever the rig file says.
const ALWAYS: &str = "always";

static CASES: LazyLock<Vec<Case>> = LazyLock::new(|| {
    let sets = tables::table("mounts/acceleration-sets").into_iter().flat_map(|sets| sets.words("code", "table"));
    sets.filter_map(|(code, id)| Some((code, tables::table(id)?)))
        .flat_map(|(code, table)| table.rows.iter().filter_map(move |row| case(code, table, row)))
        .collect()
});

fn case(code: &'static str, table: &'static Table, row: &'static [Cell]) -> Option<Case> {
    let [Cell::Word(name), Cell::Number(x), Cell::Number(y), Cell::Number(z)] = row else { return None };
    Some(Case { table: &table.id, name, g: [*x, *y, *z], basis: &table.basis, code })
}

/// The cases that the rig's codes bring, in the order of the data; standing still is the first.
#[must_use]
pub fn in_force(rig: &Rig) -> Vec<&'static Case> {
    CASES.iter().filter(|case| case.code == ALWAYS || rig.codes.iter().any(|code| code == case.code)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_every_set_is_a_case() {
        let sets = tables::table("mounts/acceleration-sets").expect("it is there");
        let rows: usize = sets.words("code", "table").map(|(_, id)| tables::table(id).expect(id).rows.len()).sum();
        assert_eq!(CASES.len(), rows);
        // Braking pushes the body forward, which is negative x.
        let braking = CASES.iter().find(|case| case.table == "mounts/acceleration-en-12195-1" && case.name == "forward");
        assert_eq!(braking.map(|case| case.g), Some([-0.8, 0.0, -1.0]));
        assert_eq!(CASES.first().map(|case| (case.name, case.g)), Some(("static", [0.0, 0.0, -1.0])));
    }
}
