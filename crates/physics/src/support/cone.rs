//! Whether pushes of one-sided springs can balance a load at all: a question of places and directions, not of stiffness.

use nalgebra::{DMatrix, DVector, Vector6};

/// What is left counts as made up under this share of the load.
const BALANCED: f64 = 1e-8;
/// A push helps when it points along what is left by more than this share of both lengths: the lever that counts as one.
const HELPS: f64 = super::solve::LEVER;
/// Rounds, for each push: one lets a push in, and few go out again.
const ROUNDS: usize = 4;

/// The part of `wanted` that no sum of the pushes with shares of 0 or more can make up: least in length, so that no push
/// points along it by a lever that counts. `None` when they make up all of it, give or take the rounding of a load of this
/// size, or the search has not ended.
///
/// # Source
/// Least squares with shares not negative, by an active set: Lawson and Hanson, Solving Least Squares Problems, 1974,
/// chapter 23 (from memory).
pub(super) fn left_over(pushes: &[Vector6<f64>], wanted: &Vector6<f64>, load: f64) -> Option<Vector6<f64>> {
    // Pushes in use, with their shares.
    let mut used: Vec<(usize, f64)> = Vec::new();
    let mut left = *wanted;
    // A push whose own best share came out as none: rounding let it in, and would again.
    let mut idle: Option<usize> = None;
    for _ in 0..ROUNDS * (pushes.len() + 1) {
        if left.norm() <= BALANCED * load {
            return None;
        }
        let open = pushes.iter().enumerate().filter(|(i, _)| idle != Some(*i) && used.iter().all(|(u, _)| u != i));
        let helps = open.map(|(i, push)| (i, push.dot(&left), push.norm()));
        let best = helps.filter(|(_, along, norm)| *along > HELPS * norm * left.norm());
        let Some((next, ..)) = best.max_by(|a, b| a.1.total_cmp(&b.1)) else { return Some(left) };
        used.push((next, 0.0));
        let mut tried = shares(pushes, &used, wanted)?;
        idle = tried.last().is_none_or(|own| *own <= 0.0).then_some(next);
        // Go towards the best shares as far as none turns negative, and leave out the one that would.
        while tried.iter().any(|own| *own <= 0.0) {
            let falls = used.iter().zip(&tried).filter(|(_, to)| **to <= 0.0);
            let step = falls.map(|((_, from), to)| from / (from - to)).fold(1.0, f64::min);
            for ((_, from), to) in used.iter_mut().zip(&tried) {
                *from = if *to <= 0.0 && *from / (*from - to) <= step { 0.0 } else { *from + step * (to - *from) };
            }
            used.retain(|(_, share)| *share > 0.0);
            tried = shares(pushes, &used, wanted)?;
        }
        for ((_, share), own) in used.iter_mut().zip(&tried) {
            *share = *own;
        }
        let made = used.iter().filter_map(|(i, share)| Some(pushes.get(*i)? * *share));
        left = made.fold(*wanted, |left, push| left - push);
    }
    None
}

/// The shares, of any sign, of the pushes in use that come nearest to `wanted`.
fn shares(pushes: &[Vector6<f64>], used: &[(usize, f64)], wanted: &Vector6<f64>) -> Option<Vec<f64>> {
    if used.is_empty() {
        return Some(Vec::new());
    }
    let columns: Vec<Vector6<f64>> = used.iter().filter_map(|(i, _)| pushes.get(*i).copied()).collect();
    let matrix = DMatrix::from_fn(6, columns.len(), |row, column| columns.get(column).map_or(0.0, |c| c[row]));
    let qr = matrix.qr();
    let along = qr.q().tr_mul(&DVector::from_column_slice(wanted.as_slice()));
    Some(qr.r().solve_upper_triangular(&along)?.iter().copied().collect())
}
