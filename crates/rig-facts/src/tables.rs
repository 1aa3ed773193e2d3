//! The data that facts themselves need. Part of the program; a test loads it, so a user never meets a fault here.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use basis::pack::unpack;
use basis::{LimitSet, Table};
use quantity::How;

pub use crate::ask::ask;

const TOLERANCES: &[u8] = basis::packed!("tolerances");
const YARD: &[u8] = basis::packed!("yard");
const MOUNTS: &[u8] = basis::packed!("mounts");
const HELD: &[u8] = basis::packed!("held-tolerances");
const POWER: &[u8] = basis::packed!("power");
const LIVING: &[u8] = basis::packed!("living");

static SET: LazyLock<Option<LimitSet>> = LazyLock::new(|| unpack::<LimitSet>(TOLERANCES).ok());

static MOUNT_SET: LazyLock<Option<LimitSet>> = LazyLock::new(|| unpack::<LimitSet>(MOUNTS).ok());

static HELD_SET: LazyLock<Option<LimitSet>> = LazyLock::new(|| unpack::<LimitSet>(HELD).ok());

static POWER_SET: LazyLock<Option<LimitSet>> = LazyLock::new(|| unpack::<LimitSet>(POWER).ok());

static LIVING_SET: LazyLock<Option<LimitSet>> = LazyLock::new(|| unpack::<LimitSet>(LIVING).ok());

static HOW_TO_GET: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| {
    let Ok(set) = unpack::<LimitSet>(YARD) else { return BTreeMap::new() };
    set.tables.iter().flat_map(|table| table.words("path", "how")).map(|(path, how)| (path.to_owned(), how.to_owned())).collect()
});

/// A table of the facts' own data.
#[must_use]
pub fn table(id: &str) -> Option<&'static Table> {
    let set = match basis::before_slash(id) {
        Some("mounts") => &MOUNT_SET,
        Some("held") => &HELD_SET,
        Some("power") => &POWER_SET,
        Some("living") => &LIVING_SET,
        _ => &SET,
    };
    set.as_ref()?.table(id)
}

/// All tables of the facts' own data, for `explain` and for tests.
pub fn all() -> impl Iterator<Item = &'static Table> {
    let sets = [&SET, &MOUNT_SET, &HELD_SET, &POWER_SET, &LIVING_SET];
    sets.into_iter().filter_map(|set| set.as_ref()).flat_map(|set| set.tables.iter())
}

/// The 95 % half width of a value by what it is and how it is known, SI. Infinite where the table has no row, so that
/// nothing passes by mistake.
#[must_use]
pub fn tolerance(id: &str, how: How, value: f64) -> f64 {
    let found =
        table(id).and_then(|table| Some((table.number("how", how.word(), "share")?, table.number("how", how.word(), "least")?)));
    found.map_or(f64::INFINITY, |(share, least)| (share * value.abs()).max(least))
}

/// A number of a table by its first column; `None` where there is no such row.
#[must_use]
pub fn number(id: &str, by: &str, key: &str, want: &str) -> Option<f64> {
    table(id)?.number(by, key, want)
}

/// A number of a table of what is taken where nobody told. Not a number where there is no such row, so that nothing passes
/// by mistake.
#[must_use]
pub fn usual(id: &str, by: &str, key: &str, want: &str) -> f64 {
    number(id, by, key, want).unwrap_or(f64::NAN)
}

/// How to get an input in a yard. The nearest parent's advice where the input has none of its own.
#[must_use]
pub fn how_to_get(path: &str) -> &'static str {
    let mut bare = without_names(path);
    loop {
        if let Some(how) = as_piece(&bare, |name| HOW_TO_GET.get(name)) {
            return how;
        }
        let Some(at) = bare.rfind('.') else { return "measure it, or read it on its plate or in its papers" };
        bare.truncate(at);
    }
}

/// What is known of a path without names: of itself, else of the piece at its end in whatever table ("*.bolts.size").
pub(crate) fn as_piece<T>(bare: &str, mut known: impl FnMut(&str) -> Option<T>) -> Option<T> {
    let ends = || bare.match_indices('.').filter_map(|(at, _)| bare.get(at..));
    known(bare).or_else(|| ends().find_map(|end| known(&format!("*{end}"))))
}

/// A path without the names and numbers in brackets: `axle["rear left"].tyre` becomes `axle.tyre`.
#[must_use]
pub fn without_names(path: &str) -> String {
    let mut bare = String::with_capacity(path.len());
    let (mut depth, mut quoted, mut escaped) = (0_u32, false, false);
    for c in path.chars() {
        if escaped {
            escaped = false;
        } else if quoted {
            match c {
                '\\' => escaped = true,
                '"' => quoted = false,
                _ => {}
            }
        } else {
            match c {
                '"' => quoted = true,
                '[' => depth += 1,
                ']' => depth = depth.saturating_sub(1),
                _ if depth == 0 => bare.push(c),
                _ => {}
            }
        }
    }
    bare
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_files_load() {
        for file in [TOLERANCES, YARD, MOUNTS, HELD, POWER, LIVING] {
            assert_eq!(unpack::<LimitSet>(file).err(), None);
        }
    }

    #[test]
    fn every_way_of_knowing_has_a_tolerance_in_every_table() {
        for table in all().filter(|table| table.id.ends_with("-tolerance")) {
            for how in How::SAID.into_iter().chain([How::Unsaid]) {
                assert!(tolerance(&table.id, how, 1.0).is_finite(), "{} {}", table.id, how.word());
            }
        }
    }

    #[test]
    fn names_are_taken_out_of_paths() {
        assert_eq!(without_names(r#"mass["a ] b\" c"].at[1]"#), "mass.at");
        assert_eq!(without_names("axle[front].tyre.pressure"), "axle.tyre.pressure");
        assert_eq!(without_names("chassis.gross_mass"), "chassis.gross_mass");
    }

    #[test]
    fn advice_falls_back_to_the_parent() {
        assert_eq!(how_to_get("axle[front].rated"), "read the plate on the axle beam or in the door frame");
        assert_eq!(how_to_get("mass[press].at[2]"), how_to_get("mass.at"));
        assert!(how_to_get("nothing.like.it").starts_with("measure"));
    }
}
