//! The crossproducts of a mixed model's columns, summed once.
//!
//! * **Enters:** the rows.
//! * **Leaves:** the diagonal of the absorbed factor, its sparse crossproducts with the columns beside it,
//!   and the dense crossproducts of those.
//! * **Always true:** nothing here depends on the variances, so every step of the search uses it again.
//! * **Never:** scales or adds anything.

use super::rows::{Columns, Layout, Rows};

/// T'T for T = [absorbed | other random | fixed].
#[derive(Debug, Clone)]
pub(super) struct Crossproduct {
    pub(super) width: usize,
    /// Rows of each absorbed level.
    pub(super) counts: Vec<f64>,
    starts: Vec<usize>,
    columns: Vec<u32>,
    values: Vec<f64>,
    /// Full rows, both triangles.
    pub(super) beside: Vec<f64>,
}

impl Crossproduct {
    pub(super) fn new(rows: &Rows, layout: &Layout) -> Crossproduct {
        let width = layout.width();
        let mut beside = vec![0.0; width * width];
        for row in 0..rows.count() {
            for (column, value) in rows.entries(row) {
                for (other, other_value) in rows.entries(row) {
                    if other <= column {
                        beside[column * width + other] += value * other_value;
                    }
                }
            }
        }
        for row in 0..width {
            for column in 0..row {
                beside[column * width + row] = beside[row * width + column];
            }
        }
        let mut crossproduct = Crossproduct {
            width,
            counts: vec![0.0; layout.absorbed],
            starts: vec![0],
            columns: Vec::new(),
            values: Vec::new(),
            beside,
        };
        crossproduct.sum_absorbed(rows);
        crossproduct
    }

    /// Takes the rows level by level, in their own order within each.
    fn sum_absorbed(&mut self, rows: &Rows) {
        let mut ends = vec![0usize; self.counts.len() + 1];
        for &level in &rows.absorbed {
            ends[level as usize + 1] += 1;
            self.counts[level as usize] += 1.0;
        }
        for level in 1..ends.len() {
            ends[level] += ends[level - 1];
        }
        let mut next = ends.clone();
        let mut by_level = vec![0usize; rows.absorbed.len()];
        for (row, &level) in rows.absorbed.iter().enumerate() {
            by_level[next[level as usize]] = row;
            next[level as usize] += 1;
        }
        let mut sums = vec![0.0; self.width];
        let mut seen = vec![false; self.width];
        let mut touched: Vec<usize> = Vec::new();
        for level in 0..self.counts.len() {
            for &row in &by_level[ends[level]..ends[level + 1]] {
                for (column, value) in rows.entries(row) {
                    if !seen[column] {
                        seen[column] = true;
                        touched.push(column);
                    }
                    sums[column] += value;
                }
            }
            crate::in_order::order(&mut touched);
            for &column in &touched {
                self.columns
                    .push(u32::try_from(column).expect("columns are limited"));
                self.values.push(sums[column]);
                sums[column] = 0.0;
                seen[column] = false;
            }
            touched.clear();
            self.starts.push(self.columns.len());
        }
    }

    /// The crossproducts of an absorbed level with the columns beside: column numbers and values.
    #[inline]
    pub(super) fn level(&self, level: usize) -> (&[u32], &[f64]) {
        let range = self.starts[level]..self.starts[level + 1];
        (&self.columns[range.clone()], &self.values[range])
    }

    /// Sum over the absorbed levels of weight x (crossproducts) (crossproducts)', added to the lower
    /// triangle of `target`.
    pub(super) fn add_outer_products(&self, weight: impl Fn(usize) -> f64, target: &mut [f64]) {
        for level in 0..self.counts.len() {
            let factor = weight(level);
            let (columns, values) = self.level(level);
            for (at, (&column, &value)) in columns.iter().zip(values).enumerate() {
                let scaled = factor * value;
                let start = column as usize * self.width;
                for (&other, &other_value) in columns[..=at].iter().zip(values) {
                    target[start + other as usize] += scaled * other_value;
                }
            }
        }
    }

    /// T'T x.
    pub(super) fn times(&self, x: &Columns) -> Columns {
        let mut answer = Columns {
            absorbed: Vec::with_capacity(self.counts.len()),
            beside: (0..self.width)
                .map(|row| {
                    crate::matrix::dot(
                        &self.beside[row * self.width..(row + 1) * self.width],
                        &x.beside,
                    )
                })
                .collect(),
        };
        for (level, &count) in self.counts.iter().enumerate() {
            let mut sum = count * x.absorbed[level];
            let (columns, values) = self.level(level);
            for (&column, &value) in columns.iter().zip(values) {
                sum += value * x.beside[column as usize];
                answer.beside[column as usize] += value * x.absorbed[level];
            }
            answer.absorbed.push(sum);
        }
        answer
    }

    /// T'x for one of the columns beside: column `at` of T'T.
    pub(super) fn column(&self, at: usize) -> Columns {
        let mut absorbed = vec![0.0; self.counts.len()];
        for (level, sum) in absorbed.iter_mut().enumerate() {
            let (columns, values) = self.level(level);
            if let Ok(place) = columns.binary_search(&u32::try_from(at).expect("limited")) {
                *sum = values[place];
            }
        }
        Columns {
            absorbed,
            beside: self.beside[at * self.width..(at + 1) * self.width].to_vec(),
        }
    }

    /// The largest sum of squared weights of any one level of a random factor.
    pub(super) fn largest_diagonal(&self, place: &super::rows::Place) -> f64 {
        self.diagonal(place).fold(0.0, f64::max)
    }

    /// The sums of squared weights of the levels of a random factor.
    pub(super) fn diagonal<'a>(
        &'a self,
        place: &super::rows::Place,
    ) -> Box<dyn Iterator<Item = f64> + 'a> {
        match place {
            super::rows::Place::Absorbed => Box::new(self.counts.iter().copied()),
            super::rows::Place::Beside(range) => Box::new(
                range
                    .clone()
                    .map(|column| self.beside[column * self.width + column]),
            ),
        }
    }
}
