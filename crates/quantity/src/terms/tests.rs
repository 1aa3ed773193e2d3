use std::collections::BTreeMap;

use super::*;

/// Terms over `ids`, by a rule that gives no two the same; every seventh is zero.
fn some(ids: impl Iterator<Item = u32>, seed: f64) -> BTreeMap<u32, f64> {
    ids.map(|id| (id, if id % 7 == 3 { 0.0 } else { seed + f64::from(id) / 8.0 })).collect()
}

fn terms(all: &BTreeMap<u32, f64>) -> Terms {
    Terms::listed(all.iter().filter(|(_, t)| **t != 0.0).map(|(id, t)| (InputId(*id), *t)).collect())
}

fn by_id(terms: &Terms) -> BTreeMap<u32, f64> {
    terms.iter().map(|(id, t)| (id.0, t)).collect()
}

/// A few, many, many more with a gap, few that reach far, many that are thin, one out of all bounds.
fn kinds() -> Vec<BTreeMap<u32, f64>> {
    vec![
        BTreeMap::new(),
        some(2..5, 1.0),
        some(0..40, -2.0),
        some((0..90).filter(|id| !(30..50).contains(id)), 0.5),
        some([1, 39, 300].into_iter(), 4.0),
        some((0..400).step_by(9), 3.0),
        some([5, u32::MAX].into_iter(), 1.0),
    ]
}

#[test]
fn lists_and_slots_come_to_the_same() {
    assert!(matches!(terms(&kinds()[2]), Terms::Slots(_)) && matches!(terms(&kinds()[5]), Terms::Few(_)));
    for a in kinds() {
        for b in kinds() {
            let mut sum: BTreeMap<u32, f64> = BTreeMap::new();
            a.iter().for_each(|(id, t)| *sum.entry(*id).or_insert(0.0) += 2.0 * t);
            b.iter().for_each(|(id, t)| *sum.entry(*id).or_insert(0.0) -= 0.5 * t);
            sum.retain(|_, t| *t != 0.0);
            let (one, other) = (terms(&a), terms(&b));
            assert_eq!(by_id(&Terms::merged(2.0, &one, -0.5, &other)), sum);
            assert_eq!(by_id(&weighted_sum(&[(2.0, &one), (-0.5, &other)])), sum);
            assert_eq!(by_id(&weighted_sum(&[(1.5, &one), (-0.5, &other), (0.5, &one)])), sum);
            // Eighths and their products are exact.
            let dot: f64 = a.iter().filter_map(|(id, t)| Some(t * b.get(id)?)).sum();
            assert_eq!((one.dot(&other), other.dot(&one)), (dot, dot));
            a.keys().chain(b.keys()).for_each(|id| assert_eq!(one.get(InputId(*id)), a.get(id).copied().unwrap_or(0.0)));
        }
        let square: f64 = a.values().map(|t| t * t).sum();
        assert_eq!(terms(&a).square(), square);
        let mut scaled = terms(&a);
        scaled.scale(-4.0);
        assert!(scaled.iter().eq(a.iter().filter(|(_, t)| **t != 0.0).map(|(id, t)| (InputId(*id), -4.0 * t))));
    }
}

#[test]
fn what_cancels_leaves_no_term() {
    let all = terms(&some(0..40, 1.0));
    assert_eq!(Terms::merged(1.0, &all, -1.0, &all).iter().count(), 0);
    assert_eq!(Terms::merged(1.0, &all, -1.0, &all).square(), 0.0);
}

#[test]
fn slots_beyond_the_last_are_summed_too() {
    let many = SLOTS_AT_MOST as u32 + 5;
    let long = terms(&some(0..many, 1.0));
    assert!(matches!(&long, Terms::Slots(slots) if slots.len() > SLOTS_AT_MOST));
    let both = weighted_sum(&[(1.0, &long), (2.0, &terms(&some([1, many].into_iter(), 0.5)))]);
    assert_eq!(both.get(InputId(many - 2)), 1.0 + f64::from(many - 2) / 8.0);
    assert_eq!(both.get(InputId(1)), 1.125 + 2.0 * 0.625);
    assert_eq!(both.get(InputId(many)), 2.0 * (0.5 + f64::from(many) / 8.0));
}
