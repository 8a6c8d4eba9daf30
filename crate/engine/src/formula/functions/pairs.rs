//! How two columns go together: the straight line through them, and sums of products.
//!
//! Enters: whole columns of the same length. Leaves: numbers.
//! Always true: a row with a blank or a text in either column is left out of both.
//! Never: fits a line through fewer than two different values.

use std::rc::Rc;

use super::super::cell::{Cell, finite};
use super::super::error_value::ErrorValue;
use super::super::evaluate::Evaluation;
use super::super::function::Takes;
use super::super::held::Held;
use super::super::tree::Node;
use super::super::vector::{Vector, map};
use fairpen_stats::sum::Sum;

/// Counts, means and sums of squares and products of pairs; means first, deviations after.
struct Pairs {
    n: f64,
    mean_y: f64,
    mean_x: f64,
    yy: f64,
    xx: f64,
    xy: f64,
}

fn pairs(columns: &[Rc<Held<'_>>]) -> Result<Pairs, ErrorValue> {
    let (y, x) = (&columns[0], &columns[1]);
    if y.n != x.n {
        return Err(ErrorValue::NotAvailable);
    }
    let mut both = Vec::new();
    for row in 0..y.n {
        let (y, x) = (y.cells.at(row), x.cells.at(row));
        if let Some(error) = y.error().or_else(|| x.error()) {
            return Err(error);
        }
        let is_number = |cell: &Cell<'_>| matches!(cell, Cell::Number(_) | Cell::Logical(_));
        if is_number(&y) && is_number(&x) {
            both.push((y.number()?, x.number()?));
        }
    }
    if both.is_empty() {
        return Err(ErrorValue::DivisionByZero);
    }
    let n = both.len() as f64;
    let sum = |of: &dyn Fn(&(f64, f64)) -> f64| both.iter().map(of).collect::<Sum>().total();
    let (mean_y, mean_x) = (sum(&|(y, _)| *y) / n, sum(&|(_, x)| *x) / n);
    Ok(Pairs {
        n,
        mean_y,
        mean_x,
        yy: sum(&|(y, _)| (y - mean_y) * (y - mean_y)),
        xx: sum(&|(_, x)| (x - mean_x) * (x - mean_x)),
        xy: sum(&|(y, x)| (y - mean_y) * (x - mean_x)),
    })
}

fn over(above: f64, below: f64) -> Result<f64, ErrorValue> {
    if below == 0.0 {
        Err(ErrorValue::DivisionByZero)
    } else {
        Ok(above / below)
    }
}

/// The correlation of two columns.
pub fn correl(columns: &[Rc<Held<'_>>]) -> Result<f64, ErrorValue> {
    let pairs = pairs(columns)?;
    over(pairs.xy, (pairs.xx * pairs.yy).sqrt())
}

/// Their covariance over n.
pub fn covar(columns: &[Rc<Held<'_>>]) -> Result<f64, ErrorValue> {
    let pairs = pairs(columns)?;
    over(pairs.xy, pairs.n)
}

/// The square of their correlation.
pub fn rsq(columns: &[Rc<Held<'_>>]) -> Result<f64, ErrorValue> {
    correl(columns).map(|correlation| correlation * correlation)
}

/// The slope of the least-squares line.
pub fn slope(columns: &[Rc<Held<'_>>]) -> Result<f64, ErrorValue> {
    let pairs = pairs(columns)?;
    over(pairs.xy, pairs.xx)
}

/// The line at zero.
pub fn intercept(columns: &[Rc<Held<'_>>]) -> Result<f64, ErrorValue> {
    let pairs = pairs(columns)?;
    Ok(pairs.mean_y - over(pairs.xy, pairs.xx)? * pairs.mean_x)
}

/// The standard error about the line, over n - 2.
pub fn steyx(columns: &[Rc<Held<'_>>]) -> Result<f64, ErrorValue> {
    let pairs = pairs(columns)?;
    if pairs.n < 3.0 {
        return Err(ErrorValue::DivisionByZero);
    }
    let about = pairs.yy - over(pairs.xy * pairs.xy, pairs.xx)?;
    Ok((about.max(0.0) / (pairs.n - 2.0)).sqrt())
}

/// The line at a number that may differ from row to row.
pub fn forecast<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    arguments: &[Option<Node>],
) -> Rc<Vector<'a>> {
    let at = evaluation.argument(arguments[0].as_ref(), Takes::Number);
    let columns = evaluation.arrays(&arguments[1..]);
    let line = pairs(&columns).and_then(|pairs| Ok((over(pairs.xy, pairs.xx)?, pairs)));
    Rc::new(map(&[at], evaluation.n_rows, |row| match &line {
        Err(error) => Cell::Error(row[0].error().unwrap_or(*error)),
        Ok((slope, pairs)) => Cell::from_answer(
            row[0]
                .number()
                .and_then(|at| finite(pairs.mean_y + slope * (at - pairs.mean_x))),
        ),
    }))
}

/// The sum of the products of columns, row by row; what is no number counts as 0.
pub fn sumproduct(columns: &[Rc<Held<'_>>]) -> Result<f64, ErrorValue> {
    let n = columns.first().map_or(0, |column| column.n);
    if columns.iter().any(|column| column.n != n) {
        return Err(ErrorValue::Value);
    }
    let mut sum = Sum::default();
    for row in 0..n {
        let mut product = 1.0;
        for column in columns {
            product *= match column.cells.at(row) {
                Cell::Error(error) => return Err(error),
                Cell::Text(_) => 0.0,
                cell => cell.number()?,
            };
        }
        sum.add(product);
    }
    Ok(sum.total())
}
