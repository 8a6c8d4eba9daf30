//! Cholesky factor, inverse and products of large dense matrices.
//!
//! * **Enters:** a positive definite matrix, as full rows.
//! * **Leaves:** solutions, inverses and log-determinants, of the whole or of a leading block.
//! * **Always true:** sums run in a fixed order, eight running sums side by side, so that the compiler may
//!   use wide registers and the answer is the same whether it does or not.
//! * **Never:** pivots: the leading block of the factor is the factor of the leading block.
//!
//! Work goes tile by tile, so that a matrix far larger than the processor's cache is read few times.

/// Rows in a tile and columns in a strip: two strips of tiles take 128 KB, within any second-level cache.
const TILE: usize = 32;
const STRIP: usize = 256;

/// `A = L L'` for a positive definite A.
#[derive(Debug, Clone)]
pub(crate) struct PositiveFactor {
    order: usize,
    /// Full rows; what stands above the diagonal means nothing.
    lower: Vec<f64>,
}

impl PositiveFactor {
    /// Factors a matrix given as full rows, of which the part above the diagonal is not read. `None` when
    /// it is not positive definite to working accuracy.
    pub(crate) fn new(mut matrix: Vec<f64>, order: usize) -> Option<Self> {
        debug_assert_eq!(matrix.len(), order * order);
        let mut tile = vec![0.0; TILE * TILE];
        for first in (0..order).step_by(TILE) {
            let columns = first..(first + TILE).min(order);
            for top in (first..order).step_by(TILE) {
                let rows = top..(top + TILE).min(order);
                let at = (rows.clone(), columns.clone());
                row_products(&matrix, &matrix, order, at, 0..first, &mut tile);
                for (i, row) in rows.enumerate() {
                    for (j, column) in columns.clone().enumerate().filter(|&(_, c)| c <= row) {
                        let (above, below) = matrix.split_at(row * order);
                        let left = &below[first..column];
                        let right = if column == row {
                            left
                        } else {
                            &above[column * order + first..column * order + column]
                        };
                        let known = tile[i * TILE + j] + dot(left, right);
                        let pivot = matrix[column * order + column];
                        let entry = &mut matrix[row * order + column];
                        let rest = *entry - known;
                        if column < row {
                            *entry = rest / pivot;
                        } else if rest > f64::EPSILON * entry.abs() {
                            *entry = rest.sqrt();
                        } else {
                            return None;
                        }
                    }
                }
            }
        }
        Some(PositiveFactor {
            order,
            lower: matrix,
        })
    }

    fn row(&self, index: usize) -> &[f64] {
        &self.lower[index * self.order..index * self.order + index + 1]
    }

    /// Solves `A x = values` in place; shorter input uses the leading block of A.
    pub(crate) fn solve(&self, values: &mut [f64]) {
        for index in 0..values.len() {
            let row = self.row(index);
            let known = dot(&row[..index], &values[..index]);
            values[index] = (values[index] - known) / row[index];
        }
        for index in (0..values.len()).rev() {
            let row = self.row(index);
            let solved = values[index] / row[index];
            values[index] = solved;
            for (value, weight) in values[..index].iter_mut().zip(&row[..index]) {
                *value -= weight * solved;
            }
        }
    }

    /// The logarithm of the determinant of the leading block.
    pub(crate) fn log_determinant(&self, width: usize) -> f64 {
        (0..width)
            .map(|index| 2.0 * libm::log(self.row(index)[index]))
            .sum()
    }

    /// The inverse of the leading block, as full rows.
    pub(crate) fn inverse(&self, width: usize) -> Vec<f64> {
        // Row j is column j of the inverse of L.
        let mut columns = vec![0.0; width * width];
        for first in (0..width).step_by(TILE) {
            let last = (first + TILE).min(width);
            for index in first..width {
                let row = self.row(index);
                for column in first..last.min(index + 1) {
                    let solved = &mut columns[column * width..(column + 1) * width];
                    let own = f64::from(u8::from(index == column));
                    let known = dot(&row[column..index], &solved[column..index]);
                    solved[index] = (own - known) / row[index];
                }
            }
        }
        product(&columns, &columns, width, true)
    }
}

/// `A B'` for square matrices given as full rows; for symmetric B that is A B. With `upper`, both have
/// nothing below the diagonal and the result is symmetric.
pub(crate) fn product(left: &[f64], right: &[f64], order: usize, upper: bool) -> Vec<f64> {
    let mut answer = vec![0.0; order * order];
    let mut tile = vec![0.0; TILE * TILE];
    for top in (0..order).step_by(TILE) {
        let rows = top..(top + TILE).min(order);
        let from = if upper { top } else { 0 };
        for first in (from..order).step_by(TILE) {
            let columns = first..(first + TILE).min(order);
            let within = if upper { first..order } else { 0..order };
            let at = (rows.clone(), columns.clone());
            row_products(left, right, order, at, within, &mut tile);
            for (i, row) in rows.clone().enumerate() {
                for (j, column) in columns.clone().enumerate() {
                    answer[row * order + column] = tile[i * TILE + j];
                    if upper {
                        answer[column * order + row] = tile[i * TILE + j];
                    }
                }
            }
        }
    }
    answer
}

/// Products of some rows of one matrix with some rows of another, over a range of their columns.
fn row_products(
    left: &[f64],
    right: &[f64],
    order: usize,
    (rows, columns): (std::ops::Range<usize>, std::ops::Range<usize>),
    within: std::ops::Range<usize>,
    tile: &mut [f64],
) {
    tile.fill(0.0);
    for start in within.clone().step_by(STRIP) {
        let end = (start + STRIP).min(within.end);
        for (i, row) in rows.clone().enumerate() {
            let one = &left[row * order + start..row * order + end];
            for (j, column) in columns.clone().enumerate() {
                let other = &right[column * order + start..column * order + end];
                tile[i * TILE + j] += dot(one, other);
            }
        }
    }
}

/// Sum of products, in eight running sums.
pub(crate) fn dot(left: &[f64], right: &[f64]) -> f64 {
    let mut sums = [0.0; 8];
    let (left_eights, left_rest) = left.as_chunks::<8>();
    let (right_eights, right_rest) = right.as_chunks::<8>();
    for (a, b) in left_eights.iter().zip(right_eights) {
        for lane in 0..8 {
            sums[lane] += a[lane] * b[lane];
        }
    }
    let pairs = [
        sums[0] + sums[4],
        sums[1] + sums[5],
        sums[2] + sums[6],
        sums[3] + sums[7],
    ];
    let rest: f64 = left_rest.iter().zip(right_rest).map(|(a, b)| a * b).sum();
    (pairs[0] + pairs[2]) + (pairs[1] + pairs[3]) + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A well-conditioned matrix with no pattern that a wrong tile could hide in.
    #[allow(clippy::cast_precision_loss)]
    fn example(order: usize) -> Vec<f64> {
        let mut matrix = vec![0.0; order * order];
        for i in 0..order {
            for j in 0..=i {
                let value = ((i * 7 + j * 13) % 11) as f64 / 11.0 - 0.4;
                matrix[i * order + j] = value;
                matrix[j * order + i] = value;
            }
            matrix[i * order + i] = 2.0 + order as f64;
        }
        matrix
    }

    #[test]
    fn inverse_of_every_leading_block() {
        for order in [1, 5, 31, 32, 33, 70, 300] {
            let matrix = example(order);
            let factor = PositiveFactor::new(matrix.clone(), order).expect("it dominates");
            for width in [0, 1, order / 2, order] {
                let inverse = factor.inverse(width);
                let leading: Vec<f64> = (0..width)
                    .flat_map(|i| matrix[i * order..i * order + width].to_vec())
                    .collect();
                let one = product(&leading, &inverse, width, false);
                for i in 0..width {
                    for j in 0..width {
                        let want = f64::from(u8::from(i == j));
                        assert!((one[i * width + j] - want).abs() < 1e-12);
                    }
                    let mut column = vec![0.0; width];
                    column[i] = 1.0;
                    factor.solve(&mut column);
                    for (j, value) in column.iter().enumerate() {
                        assert!((value - inverse[i * width + j]).abs() < 1e-13);
                    }
                }
            }
        }
    }

    #[test]
    fn log_determinant_of_a_known_matrix() {
        let factor = PositiveFactor::new(vec![4.0, 0.0, 2.0, 5.0], 2).expect("positive");
        assert!((factor.log_determinant(2) - libm::log(16.0)).abs() < 1e-15);
        assert!((factor.log_determinant(1) - libm::log(4.0)).abs() < 1e-15);
    }

    #[test]
    fn an_indefinite_matrix_is_refused() {
        assert!(PositiveFactor::new(vec![1.0, 0.0, 2.0, 3.0], 2).is_none());
        assert!(PositiveFactor::new(vec![1.0, 0.0, 1.0, 1.0], 2).is_none());
    }
}
