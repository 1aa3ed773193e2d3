//! The terms of an estimate: a short list while they are few, else one slot for each input.
//!
//! A thing's own mass and place rest on a handful of inputs; a sum over a rig rests on nearly all of them. Slots make
//! the sums quick: they are added and multiplied straight through, without looking at ids.

use std::collections::BTreeMap;

use crate::InputId;
use crate::wide::{combine, dot, filled, merge};

/// Gradient times standard deviation by input. No id stands twice; in the list they ascend and none is zero.
#[derive(Clone, Debug)]
pub(crate) enum Terms {
    /// Input and term.
    Few(Vec<(InputId, f64)>),
    /// The term of input 0, 1, 2 and so on; zero where it does not matter.
    Slots(Vec<f64>),
}

/// Up to so many terms stay a list.
const FEW: usize = 16;

/// Slots are worth it while at least one in so many is filled; one stray id must not cost gigabytes.
const SLOTS_FOR_ONE: usize = 4;

impl Default for Terms {
    fn default() -> Self {
        Terms::Few(Vec::new())
    }
}

impl Terms {
    /// One term; none where it is zero.
    pub(crate) fn one(id: InputId, term: f64) -> Terms {
        Terms::Few(if term == 0.0 { Vec::new() } else { vec![(id, term)] })
    }

    /// The terms by id, without those that are zero.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (InputId, f64)> + '_ {
        let (few, slots): (&[_], &[_]) = match self {
            Terms::Few(few) => (few, &[]),
            Terms::Slots(slots) => (&[], slots),
        };
        let slots = (0..).zip(slots).filter(|(_, t)| **t != 0.0).map(|(id, t)| (InputId(id), *t));
        few.iter().copied().chain(slots)
    }

    /// Whether they are a list of a few.
    pub(crate) fn are_few(&self) -> bool {
        matches!(self, Terms::Few(few) if few.len() <= FEW)
    }

    /// The term of one input.
    pub(crate) fn get(&self, id: InputId) -> f64 {
        match self {
            Terms::Few(few) => {
                few.binary_search_by_key(&id, |(id, _)| *id).ok().and_then(|at| few.get(at)).map_or(0.0, |(_, t)| *t)
            }
            Terms::Slots(slots) => slots.get(id.0 as usize).copied().unwrap_or(0.0),
        }
    }

    pub(crate) fn scale(&mut self, factor: f64) {
        match self {
            Terms::Few(few) => {
                few.iter_mut().for_each(|(_, t)| *t *= factor);
                few.retain(|(_, t)| *t != 0.0);
            }
            Terms::Slots(slots) => slots.iter_mut().for_each(|t| *t *= factor),
        }
    }

    /// Sum of squares.
    pub(crate) fn square(&self) -> f64 {
        match self {
            Terms::Few(few) => few.iter().map(|(_, t)| t * t).sum::<f64>() + 0.0,
            Terms::Slots(slots) => dot(slots, slots),
        }
    }

    /// Sum of products of what both have.
    pub(crate) fn dot(&self, other: &Terms) -> f64 {
        match (self, other) {
            (Terms::Slots(a), Terms::Slots(b)) => dot(a, b),
            (Terms::Few(few), all) | (all, Terms::Few(few)) => few.iter().map(|(id, t)| t * all.get(*id)).sum::<f64>() + 0.0,
        }
    }

    /// `left` times `a` and `right` times `b`.
    pub(crate) fn merged(left: f64, a: &Terms, right: f64, b: &Terms) -> Terms {
        match (a, b) {
            (Terms::Slots(these), Terms::Slots(those)) => Terms::Slots(merged_slots(left, these, right, those)),
            (Terms::Slots(slots), Terms::Few(few)) if has_room(slots.len(), few) => add_few(left, slots, right, few),
            (Terms::Few(few), Terms::Slots(slots)) if has_room(slots.len(), few) => add_few(right, slots, left, few),
            _ => Terms::listed(merged_one_by_one(left, a, right, b)),
        }
    }

    /// From a list by id: as slots if it is long and leaves few of them empty.
    fn listed(few: Vec<(InputId, f64)>) -> Terms {
        if few.len() <= FEW || !has_room(0, &few) {
            return Terms::Few(few);
        }
        let mut slots = vec![0.0; wanted(&few)];
        for (id, t) in few {
            slots.get_mut(id.0 as usize).into_iter().for_each(|slot| *slot = t);
        }
        Terms::Slots(slots)
    }
}

/// So many slots a list wants.
fn wanted(few: &[(InputId, f64)]) -> usize {
    few.last().map_or(0, |(id, _)| (id.0 as usize).saturating_add(1))
}

fn has_room(slots: usize, few: &[(InputId, f64)]) -> bool {
    wanted(few) <= SLOTS_FOR_ONE * (slots + few.len())
}

fn add_few(left: f64, slots: &[f64], right: f64, few: &[(InputId, f64)]) -> Terms {
    let mut sum = Vec::with_capacity(slots.len().max(wanted(few)));
    sum.extend(slots.iter().map(|t| left * t));
    sum.resize(sum.len().max(wanted(few)), 0.0);
    for (id, t) in few {
        sum.get_mut(id.0 as usize).into_iter().for_each(|slot| *slot += right * t);
    }
    Terms::Slots(sum)
}

fn merged_slots(left: f64, these: &[f64], right: f64, those: &[f64]) -> Vec<f64> {
    let shared = these.len().min(those.len());
    let (head, tail) = these.split_at(shared);
    let (other, rest) = those.split_at(shared);
    let mut sum = Vec::with_capacity(these.len().max(those.len()));
    merge(left, head, right, other, &mut sum);
    // One of the two is empty.
    sum.extend(tail.iter().map(|s| left * s));
    sum.extend(rest.iter().map(|t| right * t));
    sum
}

fn merged_one_by_one(left: f64, a: &Terms, right: f64, b: &Terms) -> Vec<(InputId, f64)> {
    let room = |terms: &Terms| if let Terms::Few(few) = terms { few.len() } else { 0 };
    let mut sum = Vec::with_capacity(room(a) + room(b));
    let (mut these, mut those) = (a.iter().peekable(), b.iter().peekable());
    loop {
        let (id, t) = match (these.peek(), those.peek()) {
            (Some((i, s)), Some((j, t))) if i == j => {
                let both = (*i, left * s + right * t);
                these.next();
                those.next();
                both
            }
            (Some((i, s)), other) if other.is_none_or(|(j, _)| i < j) => {
                let one = (*i, left * s);
                these.next();
                one
            }
            (_, Some((j, t))) => {
                let one = (*j, right * t);
                those.next();
                one
            }
            (_, None) => break,
        };
        if t != 0.0 {
            sum.push((id, t));
        }
    }
    sum
}

/// Ids from here on share a tree.
const SLOTS_AT_MOST: usize = 1 << 16;

/// Sum of weight times terms, in a slot for each input.
pub(crate) fn weighted_sum(parts: &[(f64, &Terms)]) -> Terms {
    let near = |slots: &'_ [f64]| slots.len().min(SLOTS_AT_MOST);
    let (mut dense, mut reach) = (Vec::with_capacity(parts.len()), 0);
    for (weight, terms) in parts {
        match terms {
            Terms::Few(few) => reach = reach.max(wanted(few).min(SLOTS_AT_MOST)),
            Terms::Slots(slots) => {
                reach = reach.max(near(slots));
                dense.push((*weight, slots.split_at(near(slots)).0));
            }
        }
    }
    let mut slots = combine(&dense, reach);
    let mut far = BTreeMap::new();
    for (weight, terms) in parts {
        match terms {
            Terms::Few(few) => {
                for (id, t) in few {
                    match slots.get_mut(id.0 as usize) {
                        Some(slot) => *slot += weight * t,
                        None => *far.entry(*id).or_insert(0.0) += weight * t,
                    }
                }
            }
            Terms::Slots(all) => {
                let ids = (near(all)..).map(|at| InputId(u32::try_from(at).unwrap_or(u32::MAX)));
                let beyond = ids.zip(all.split_at(near(all)).1);
                beyond.for_each(|(id, t)| *far.entry(id).or_insert(0.0) += weight * t);
            }
        }
    }
    packed(slots, far)
}

/// As slots if there are many terms that leave few of them empty, else as a list.
fn packed(mut slots: Vec<f64>, far: BTreeMap<InputId, f64>) -> Terms {
    slots.truncate(slots.iter().rposition(|t| *t != 0.0).map_or(0, |last| last + 1));
    let filled = filled(&slots);
    if far.is_empty() && filled > FEW && slots.len() <= SLOTS_FOR_ONE * filled {
        return Terms::Slots(slots);
    }
    let mut few = Vec::with_capacity(filled + far.len());
    few.extend((0..).map(InputId).zip(slots).chain(far).filter(|(_, t)| *t != 0.0));
    Terms::Few(few)
}

#[cfg(test)]
mod tests;
