//! Small symmetric systems of equations.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// A symmetric, positive definite matrix, factored once for many right sides.
#[derive(Clone, Debug)]
pub struct Spd {
    factor: Cholesky<f64, Dyn>,
}

impl Spd {
    /// Factors the matrix with these rows; only its lower triangle is read. `None` when rows and columns differ in
    /// number, or the matrix is not positive definite.
    #[must_use]
    pub fn new(rows: &[Vec<f64>]) -> Option<Self> {
        let n = rows.len();
        if n == 0 || rows.iter().any(|row| row.len() != n) {
            return None;
        }
        let matrix = DMatrix::from_row_iterator(n, n, rows.iter().flatten().copied());
        let factor = Cholesky::new(matrix)?;
        factor.l_dirty().diagonal().iter().all(|d| d.is_finite()).then_some(Self { factor })
    }

    /// Number of rows.
    #[must_use]
    pub fn size(&self) -> usize {
        self.factor.l_dirty().nrows()
    }

    /// Solves for one right side. `None` when its length is wrong.
    #[must_use]
    pub fn solve(&self, right: &[f64]) -> Option<Vec<f64>> {
        (right.len() == self.size()).then(|| self.factor.solve(&DVector::from_column_slice(right)).iter().copied().collect())
    }
}

/// Sum of products of two lists, as far as the shorter goes.
#[must_use]
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_residual_is_nothing() {
        let rows = vec![vec![4.0, 2.0, 0.5], vec![2.0, 5.0, 1.0], vec![0.5, 1.0, 3.0]];
        let x = Spd::new(&rows).and_then(|m| m.solve(&[1.0, -2.0, 3.0])).expect("positive definite");
        for (row, right) in rows.iter().zip([1.0, -2.0, 3.0]) {
            assert!((dot(row, &x) - right).abs() < 1e-14);
        }
    }

    #[test]
    fn what_is_not_positive_definite_is_refused() {
        assert!(Spd::new(&[]).is_none());
        assert!(Spd::new(&[vec![1.0, 2.0]]).is_none());
        assert!(Spd::new(&[vec![1.0, 2.0], vec![2.0, 1.0]]).is_none());
        assert!(Spd::new(&[vec![f64::NAN]]).is_none());
        assert!(Spd::new(&[vec![f64::INFINITY]]).is_none());
        assert!(Spd::new(&[vec![1.0]]).and_then(|m| m.solve(&[1.0, 2.0])).is_none());
    }
}
