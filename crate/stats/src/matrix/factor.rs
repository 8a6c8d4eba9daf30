//! Cholesky factor of a positive semidefinite matrix, columns in a given order.
//!
//! * **Enters:** a crossproduct matrix and the order in which its columns are tried.
//! * **Leaves:** the columns kept, the triangular factor of their block, and each other column written as
//!   a combination of kept ones.
//! * **Always true:** a column is dropped exactly when [`DEPENDENT_COLUMN`] says that the kept columns
//!   before it explain it.
//! * **Never:** reorders by size.
//!
//! This is the bordering form of the Cholesky factor with dependent columns skipped, which gives the same
//! generalised inverse as a sweep that leaves zero pivots out (Goodnight 1979, The American Statistician
//! 33:149-158).

use super::Symmetric;
use crate::tolerance::DEPENDENT_COLUMN;

/// A column that was dropped, and how the kept ones make it.
#[derive(Debug, Clone)]
pub(crate) struct Dependent {
    pub(crate) column: usize,
    /// One weight for each of the first `weights.len()` kept columns.
    pub(crate) weights: Vec<f64>,
}

/// `A[kept, kept] = L L'` with L lower triangular, and the dependent columns.
#[derive(Debug, Clone)]
pub(crate) struct SemidefiniteFactor {
    pub(crate) kept: Vec<usize>,
    pub(crate) dependent: Vec<Dependent>,
    /// Row i of L starts at i (i + 1) / 2 and has i + 1 entries.
    lower: Vec<f64>,
}

impl SemidefiniteFactor {
    /// Factors `matrix`, trying the columns in `order`.
    pub(crate) fn new(matrix: &Symmetric, order: &[usize]) -> Self {
        let mut factor = SemidefiniteFactor {
            kept: Vec::with_capacity(order.len()),
            dependent: Vec::new(),
            lower: Vec::new(),
        };
        for &column in order {
            factor.try_column(matrix, column);
        }
        factor
    }

    fn try_column(&mut self, matrix: &Symmetric, column: usize) {
        let diagonal = matrix.get(column, column);
        let mut border: Vec<f64> = self.kept.iter().map(|&k| matrix.get(k, column)).collect();
        self.solve_lower(&mut border);
        let unexplained = diagonal - dot(&border, &border);
        if unexplained > DEPENDENT_COLUMN * diagonal {
            self.lower.extend_from_slice(&border);
            self.lower.push(unexplained.sqrt());
            self.kept.push(column);
        } else {
            // A column of zeros needs nothing of the others; its border is zero already.
            self.solve_upper(&mut border);
            self.dependent.push(Dependent {
                column,
                weights: border,
            });
        }
    }

    fn row(&self, index: usize) -> &[f64] {
        let start = index * (index + 1) / 2;
        &self.lower[start..start + index + 1]
    }

    /// Replaces `values` by the solution of L x = values. Shorter input uses the leading block.
    pub(crate) fn solve_lower(&self, values: &mut [f64]) {
        for index in 0..values.len() {
            let row = self.row(index);
            let known = dot(&row[..index], &values[..index]);
            values[index] = (values[index] - known) / row[index];
        }
    }

    /// Replaces `values` by the solution of L' x = values. Shorter input uses the leading block.
    pub(crate) fn solve_upper(&self, values: &mut [f64]) {
        for index in (0..values.len()).rev() {
            let row = self.row(index);
            let solved = values[index] / row[index];
            values[index] = solved;
            for (value, weight) in values[..index].iter_mut().zip(&row[..index]) {
                *value -= weight * solved;
            }
        }
    }

    /// Solves `A[kept, kept] x = right[kept]`; entries of the answer follow `kept`.
    pub(crate) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut values: Vec<f64> = self.kept.iter().map(|&k| right[k]).collect();
        self.solve_lower(&mut values);
        self.solve_upper(&mut values);
        values
    }
}

fn dot(left: &[f64], right: &[f64]) -> f64 {
    left.iter().zip(right).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn symmetric(rows: &[&[f64]]) -> Symmetric {
        let mut matrix = Symmetric::zero(rows.len());
        for (i, row) in rows.iter().enumerate() {
            for (j, &value) in row.iter().enumerate().skip(i) {
                matrix.add_upper(i, j, value);
            }
        }
        matrix
    }

    #[test]
    fn solves_a_full_rank_system() {
        let matrix = symmetric(&[&[4.0, 2.0, 0.6], &[2.0, 5.0, 1.0], &[0.6, 1.0, 3.0]]);
        let factor = SemidefiniteFactor::new(&matrix, &[0, 1, 2]);
        let x = [1.5, -2.0, 0.25];
        let right: Vec<f64> = (0..3)
            .map(|i| (0..3).map(|j| matrix.get(i, j) * x[j]).sum())
            .collect();
        for (got, want) in factor.solve(&right).iter().zip(x) {
            assert!((got - want).abs() < 1e-14);
        }
    }

    #[test]
    fn the_later_of_two_equal_columns_is_dropped() {
        // Columns: a, b, a + 2 b, zero, for a.a = 3, a.b = 1, b.b = 2.
        let matrix = symmetric(&[
            &[3.0, 1.0, 5.0, 0.0],
            &[1.0, 2.0, 5.0, 0.0],
            &[5.0, 5.0, 15.0, 0.0],
            &[0.0, 0.0, 0.0, 0.0],
        ]);
        let factor = SemidefiniteFactor::new(&matrix, &[0, 1, 2, 3]);
        assert_eq!(factor.kept, [0, 1]);
        assert_eq!(factor.dependent[0].column, 2);
        assert!((factor.dependent[0].weights[0] - 1.0).abs() < 1e-14);
        assert!((factor.dependent[0].weights[1] - 2.0).abs() < 1e-14);
        assert_eq!(factor.dependent[1].weights, [0.0, 0.0]);
        let other = SemidefiniteFactor::new(&matrix, &[2, 1, 0, 3]);
        assert_eq!(other.kept, [2, 1]);
    }
}
