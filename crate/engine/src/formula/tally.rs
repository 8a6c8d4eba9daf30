//! What is known of some rows of a column: how many, their sum, their ends.
//!
//! Enters: values, row by row. Leaves: the figure that is wanted.
//! Always true: texts and blanks are rows without a number.
//! Never: gives a mean of nothing.

use super::cell::{Answer, Cell, finite};
use super::error_value::ErrorValue;
use fairpen_stats::sum::Sum;

/// What is wanted of the rows that meet the criteria.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// How many.
    Count,
    /// Their sum.
    Sum,
    /// Their mean.
    Average,
    /// The smallest.
    Smallest,
    /// The largest.
    Largest,
}

/// What is known of some rows.
#[derive(Clone, Copy, Default)]
pub struct Tally {
    /// How many rows.
    pub n_rows: usize,
    /// How many of them hold a number.
    pub n_numbers: usize,
    /// Sum of the numbers.
    pub sum: Sum,
    /// The smallest.
    pub smallest: Option<f64>,
    /// The largest.
    pub largest: Option<f64>,
    /// The first error.
    pub error: Option<ErrorValue>,
}

impl Tally {
    /// Adds a row's value.
    pub fn add(&mut self, value: &Cell<'_>) {
        self.n_rows += 1;
        match value {
            Cell::Error(error) => {
                self.error.get_or_insert(*error);
            }
            Cell::Number(_) | Cell::Logical(_) => {
                let number = value.number().unwrap_or(0.0);
                self.n_numbers += 1;
                self.sum.add(number);
                self.smallest = Some(self.smallest.map_or(number, |other| other.min(number)));
                self.largest = Some(self.largest.map_or(number, |other| other.max(number)));
            }
            Cell::Empty | Cell::Text(_) => {}
        }
    }

    /// What is wanted.
    ///
    /// # Errors
    /// An error among the values, `#DIV/0!` for a mean of nothing.
    pub fn answer<'a>(&self, wanted: Wanted) -> Answer<'a> {
        if let (Some(error), true) = (self.error, wanted != Wanted::Count) {
            return Err(error);
        }
        finite(match wanted {
            Wanted::Count => self.n_rows as f64,
            Wanted::Sum => self.sum.total(),
            Wanted::Average if self.n_numbers == 0 => return Err(ErrorValue::DivisionByZero),
            Wanted::Average => self.sum.total() / self.n_numbers as f64,
            Wanted::Smallest => self.smallest.unwrap_or(0.0),
            Wanted::Largest => self.largest.unwrap_or(0.0),
        })
    }
}
