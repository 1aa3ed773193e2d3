//! Which limits of the chosen sets hold something.

use std::sync::OnceLock;

use basis::{Basis, BasisKind, Bound, Known, Limit, LimitSet};
use quantity::{Dimension, Estimate, Num};
use rig_model::Rig;

use crate::finding::Replaced;

/// One limit file that a trade brings: its trade, the name of its set, its text.
#[derive(Clone, Copy, Debug)]
pub struct LimitSource {
    /// Trade whose checks use it.
    pub trade: &'static str,
    /// Name of the set, as a rig's `codes` list names it.
    pub set: &'static str,
    /// The file, as [`basis::pack`] packed it.
    pub packed: &'static [u8],
}

/// What is said of a number where none of the chosen sets has a limit.
pub const NO_LIMIT: &str = "none of the chosen sets of limits holds it against anything";

/// The set that holds when a rig chooses none.
pub const DEFAULT_SET: &str = "good-practice";

/// All limit files of all trades; each is read when first asked for.
#[derive(Debug, Default)]
pub struct LimitBook {
    shelves: Vec<(LimitSource, OnceLock<Result<LimitSet, String>>)>,
}

impl LimitBook {
    /// A book over these files. Nothing is read yet.
    #[must_use]
    pub fn new(sources: impl IntoIterator<Item = LimitSource>) -> Self {
        Self { shelves: sources.into_iter().map(|source| (source, OnceLock::new())).collect() }
    }

    /// Names of all sets, sorted.
    #[must_use]
    pub fn set_names(&self) -> Vec<&'static str> {
        let mut names: Vec<_> = self.shelves.iter().map(|(source, _)| source.set).collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    /// The files of one trade that belong to one of these sets, read.
    pub fn sets<'a, 'b>(&'a self, trade: &'b str, codes: &'b [String]) -> impl Iterator<Item = &'a LimitSet> + use<'a, 'b> {
        self.shelves
            .iter()
            .filter(move |(source, _)| source.trade == trade && codes.iter().any(|code| code == source.set))
            .filter_map(|(source, shelf)| {
                shelf.get_or_init(|| basis::pack::unpack::<LimitSet>(source.packed).map_err(|e| e.to_string())).as_ref().ok()
            })
    }

    /// Everything of every set, for `explain` and for tests.
    ///
    /// # Errors
    /// The first file that does not load.
    pub fn all(&self) -> Result<Vec<&LimitSet>, String> {
        self.shelves
            .iter()
            .map(|(source, shelf)| {
                shelf
                    .get_or_init(|| basis::pack::unpack::<LimitSet>(source.packed).map_err(|e| e.to_string()))
                    .as_ref()
                    .map_err(|why| format!("{} {}: {why}", source.trade, source.set))
            })
            .collect()
    }

    /// What is wrong with the `codes` and `[[limit]]` entries of a rig: path and sentence of each.
    #[must_use]
    pub fn faults(&self, rig: &Rig) -> Vec<(String, String)> {
        let mut faults = Vec::new();
        let names = self.set_names();
        for (at, code) in rig.codes.iter().enumerate() {
            if !names.contains(&code.as_str()) {
                faults.push((
                    format!("codes[{}]", at + 1),
                    format!("there is no set of limits called \"{code}\"; there are {}", names.join(", ")),
                ));
            }
        }
        for (at, entry) in rig.limit.iter().enumerate() {
            let trade = basis::before_slash(&entry.id).unwrap_or(&entry.id);
            let all: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
            let known: Vec<&Limit> = self
                .sets(trade, &all)
                .filter(|set| entry.set.as_ref().is_none_or(|wanted| *wanted == set.name))
                .filter_map(|set| set.limit(&entry.id))
                .collect();
            let Some(limit) = known.first() else {
                faults.push((format!("limit[{}].id", at + 1), format!("there is no limit called \"{}\"", entry.id)));
                continue;
            };
            if let Err(why) = replaced_bound(limit, &entry.value) {
                faults.push((format!("limit[{}].value", at + 1), why));
            }
        }
        faults
    }
}

/// A bound with its spread: a legal rating has none, a computed strength has.
#[derive(Clone, Debug, PartialEq)]
pub enum HeldBound {
    /// The demand may not be above it.
    AtMost(Estimate),
    /// The demand may not be below it.
    AtLeast(Estimate),
    /// The demand stays between the two.
    Between(Estimate, Estimate),
}

/// Something a demand is held against.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Set and id of the limit, or what states it.
    pub name: String,
    /// The bound.
    pub bound: HeldBound,
    /// Dimension of bound and demand.
    pub dimension: Dimension,
    /// Where it comes from.
    pub basis: Basis,
    /// The limit of the set that the rig replaced.
    pub replaced: Option<Replaced>,
}

impl Held {
    /// Its bound; the upper one of two.
    #[must_use]
    pub fn upper(&self) -> &Estimate {
        match &self.bound {
            HeldBound::AtMost(bound) | HeldBound::AtLeast(bound) | HeldBound::Between(_, bound) => bound,
        }
    }

    /// Held at most at a value that the thing's own plate or papers state.
    #[must_use]
    pub fn plate(name: &str, at_most: Estimate, dimension: Dimension) -> Self {
        Self {
            name: name.to_owned(),
            bound: HeldBound::AtMost(at_most),
            dimension,
            basis: Basis::data_plate(name),
            replaced: None,
        }
    }

    /// Held at most at a computed value.
    #[must_use]
    pub fn at_most(name: &str, value: Estimate, dimension: Dimension, basis: Basis) -> Self {
        Self { name: name.to_owned(), bound: HeldBound::AtMost(value), dimension, basis, replaced: None }
    }

    /// Held at least at a value.
    #[must_use]
    pub fn at_least(name: &str, value: Estimate, dimension: Dimension, basis: Basis) -> Self {
        Self { name: name.to_owned(), bound: HeldBound::AtLeast(value), dimension, basis, replaced: None }
    }

    /// The same limit with its bound multiplied by a number above zero, such as a share of a computed whole.
    #[must_use]
    pub fn times(mut self, factor: &Estimate, dimension: Dimension) -> Self {
        self.bound = match self.bound {
            HeldBound::AtMost(value) => HeldBound::AtMost(&value * factor),
            HeldBound::AtLeast(value) => HeldBound::AtLeast(&value * factor),
            HeldBound::Between(low, high) => HeldBound::Between(&low * factor, &high * factor),
        };
        self.dimension = dimension;
        self
    }
}

/// The limits of one id in the chosen sets, replacements of the rig applied, in the order of `codes`; `words` says whether
/// anybody reads where they come from.
pub(crate) fn held(book: &LimitBook, rig: &Rig, codes: &[String], id: &str, words: bool) -> Vec<Held> {
    let trade = basis::before_slash(id).unwrap_or(id);
    let mut found: Vec<(usize, Held)> = Vec::new();
    for set in book.sets(trade, codes) {
        let Some(limit) = set.limit(id) else { continue };
        let at = codes.iter().position(|code| *code == set.name).unwrap_or(codes.len());
        found.push((at, held_one(rig, limit, words)));
    }
    found.sort_by_key(|(at, _)| *at);
    found.into_iter().map(|(_, held)| held).collect()
}

fn held_one(rig: &Rig, limit: &Limit, words: bool) -> Held {
    let entry = rig.limit.iter().find(|entry| entry.id == limit.id && entry.set.as_ref().is_none_or(|set| *set == limit.set));
    let mut bound = limit.bound;
    let mut basis = if words { limit.basis.clone() } else { Basis::physics("") };
    let mut replaced = None;
    if let Some(entry) = entry
        && let Ok(new) = replaced_bound(limit, &entry.value)
    {
        let (old_value, new_value, weaker) = compare_bounds(limit.bound, new);
        replaced = Some(Replaced {
            limit: limit.key(),
            old: Num(old_value),
            new: Num(new_value),
            unit: limit.dimension.si_unit().to_owned(),
            why: entry.why.clone(),
            weaker,
        });
        bound = new;
        basis = Basis {
            kind: BasisKind::Owner,
            title: format!("the owner's own limit in place of {}", limit.key()),
            clause: None,
            edition: None,
            known: Known::Read,
            seen: Some("[[limit]] of the rig file".to_owned()),
        };
    }
    let bound = match bound {
        Bound::AtMost(value) => HeldBound::AtMost(Estimate::exact(value)),
        Bound::AtLeast(value) => HeldBound::AtLeast(Estimate::exact(value)),
        Bound::Between(low, high) => HeldBound::Between(Estimate::exact(low), Estimate::exact(high)),
    };
    Held { name: limit.key(), bound, dimension: limit.dimension, basis, replaced }
}

fn replaced_bound(limit: &Limit, text: &str) -> Result<Bound, String> {
    let number = |text: &str| quantity::parse(text.trim(), limit.dimension).map_err(|fault| fault.to_string());
    match limit.bound {
        Bound::AtMost(_) => number(text).map(Bound::AtMost),
        Bound::AtLeast(_) => number(text).map(Bound::AtLeast),
        Bound::Between(..) => {
            let Some((low, high)) = text.split_once(" to ") else {
                return Err(format!("\"{}\" has a lower and an upper bound; write both, such as \"0.60 m to 0.66 m\"", limit.id));
            };
            let (low, high) = (number(low)?, number(high)?);
            if low < high { Ok(Bound::Between(low, high)) } else { Err("the lower bound is not below the upper one".to_owned()) }
        }
    }
}

/// Old and new value to show (the end that changed most), and whether the new bound asks less.
fn compare_bounds(old: Bound, new: Bound) -> (f64, f64, bool) {
    match (old, new) {
        (Bound::AtMost(old), Bound::AtMost(new)) => (old, new, new > old),
        (Bound::AtLeast(old), Bound::AtLeast(new)) => (old, new, new < old),
        (Bound::Between(old_low, old_high), Bound::Between(low, high)) => {
            if (low - old_low).abs() > (high - old_high).abs() {
                (old_low, low, low < old_low || high > old_high)
            } else {
                (old_high, high, low < old_low || high > old_high)
            }
        }
        (_, new) => match new {
            Bound::AtMost(value) | Bound::AtLeast(value) | Bound::Between(_, value) => (value, value, false),
        },
    }
}
