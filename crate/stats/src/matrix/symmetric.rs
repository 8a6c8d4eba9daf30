//! A dense symmetric matrix.
//!
//! * **Enters:** additions to its upper triangle.
//! * **Leaves:** entries, addressed either way round.
//! * **Always true:** entry (i, j) equals entry (j, i): only one of them is stored.
//! * **Never:** grows.

/// A symmetric matrix of order `order`, stored as full rows of which only column >= row is used.
///
/// Half of the room is unused on purpose: the address is a multiply and an add, which is what the
/// innermost loop over a million rows needs.
#[derive(Debug, Clone)]
pub(crate) struct Symmetric {
    order: usize,
    entries: Vec<f64>,
}

impl Symmetric {
    pub(crate) fn zero(order: usize) -> Self {
        Symmetric {
            order,
            entries: vec![0.0; order * order],
        }
    }

    /// Adds to entry (`row`, `column`); the caller keeps `row <= column`.
    #[inline]
    pub(crate) fn add_upper(&mut self, row: usize, column: usize, value: f64) {
        debug_assert!(row <= column);
        self.entries[row * self.order + column] += value;
    }

    #[inline]
    pub(crate) fn get(&self, row: usize, column: usize) -> f64 {
        let (low, high) = if row <= column {
            (row, column)
        } else {
            (column, row)
        };
        self.entries[low * self.order + high]
    }
}
