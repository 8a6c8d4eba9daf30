//! The functions, group by group: what each is called and means stands beside what computes it.
//!
//! Enters: values. Leaves: values.
//! Always true: a function sees one row's values, a list of numbers, or whole columns, as its entry says.
//! Never: reaches for anything but its arguments and the day that counts as today.

pub mod criteria;
pub mod dates;
pub mod information;
pub mod logic;
pub mod lookup;
pub mod math;
pub mod pairs;
pub mod statistics;
pub mod text;

use super::cell::{Answer, Cell, Str};
use super::error_value::ErrorValue;

/// The number of an argument; `otherwise` when it is left out or blank.
fn number_or(row: &[Cell<'_>], place: usize, otherwise: f64) -> Result<f64, ErrorValue> {
    match row.get(place) {
        None | Some(Cell::Empty) => Ok(otherwise),
        Some(cell) => cell.number(),
    }
}

/// The number of an argument; 0 when blank.
fn number(row: &[Cell<'_>], place: usize) -> Result<f64, ErrorValue> {
    number_or(row, place, 0.0)
}

/// The text of an argument.
fn text<'a>(row: &[Cell<'a>], place: usize) -> Result<Str<'a>, ErrorValue> {
    row.get(place).map_or(Ok(Str::Borrowed("")), Cell::text)
}

/// TRUE or FALSE.
fn truth<'a>(logical: bool) -> Answer<'a> {
    Ok(Cell::Logical(logical))
}
