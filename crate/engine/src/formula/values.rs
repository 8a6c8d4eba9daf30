//! The values of a calculated column, kept.
//!
//! Enters: what a formula gave. Leaves: a value per row, its text, and how it sorts.
//! Always true: one value per row; numbers sort before TRUE and FALSE, these before texts, errors after them,
//! blanks last.
//! Never: borrows from the book, so that it can be kept beside it.

use super::cell::Cell;
use super::error_value::ErrorValue;
use super::text_value::number_text;
use super::vector::{Collector, Vector};
use crate::sheet::order::{MISSING_LAST, natural_ranks, number_key, rank_keys};
use crate::sheet::write::up_to;

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub enum Kept {
    /// Blank.
    Blank,
    /// A number, or the serial number of a date.
    Number(f64),
    /// TRUE or FALSE.
    Logical(bool),
    /// A text.
    Text(Box<str>),
    /// An error.
    Error(ErrorValue),
}

/// The values of a column, in the plainest form that holds them.
#[derive(Clone, Debug)]
pub enum Values {
    /// Numbers, NaN where blank.
    Numbers(Vec<f64>),
    /// TRUE and FALSE.
    Logicals(Vec<bool>),
    /// A place in a list of texts, beyond its end where blank.
    Texts {
        /// Place per row.
        codes: Vec<u32>,
        /// The texts.
        texts: Vec<Box<str>>,
    },
    /// Anything.
    Mixed(Vec<Kept>),
}

impl Default for Values {
    fn default() -> Values {
        Values::Numbers(Vec::new())
    }
}

impl Values {
    /// Keeps what a formula gave for `n_rows` rows.
    pub fn of(vector: &Vector<'_>, n_rows: usize) -> Values {
        match vector {
            Vector::Numbers(numbers) if numbers.len() == n_rows => {
                Values::Numbers(numbers.to_vec())
            }
            Vector::Logicals(logicals) if logicals.len() == n_rows => {
                Values::Logicals(logicals.clone())
            }
            Vector::Texts { codes, texts } if codes.len() == n_rows => Values::Texts {
                codes: codes.to_vec(),
                texts: texts.iter().map(|text| Box::from(&**text)).collect(),
            },
            vector => Values::Mixed((0..n_rows).map(|row| kept(&vector.at(row))).collect()),
        }
    }

    /// Number of rows.
    pub fn len(&self) -> usize {
        match self {
            Values::Numbers(numbers) => numbers.len(),
            Values::Logicals(logicals) => logicals.len(),
            Values::Texts { codes, .. } => codes.len(),
            Values::Mixed(values) => values.len(),
        }
    }

    /// True without rows.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The value of a row; blank beyond the end.
    pub fn value(&self, row: usize) -> Kept {
        match self {
            Values::Numbers(numbers) => match numbers.get(row) {
                Some(number) if !number.is_nan() => Kept::Number(*number),
                _ => Kept::Blank,
            },
            Values::Logicals(logicals) => logicals
                .get(row)
                .map_or(Kept::Blank, |logical| Kept::Logical(*logical)),
            Values::Texts { codes, texts } => codes
                .get(row)
                .and_then(|&code| texts.get(code as usize))
                .map_or(Kept::Blank, |text| Kept::Text(text.clone())),
            Values::Mixed(values) => values.get(row).cloned().unwrap_or(Kept::Blank),
        }
    }

    /// The number of a row; NaN where there is none.
    pub fn number(&self, row: usize) -> f64 {
        match self {
            Values::Numbers(numbers) => numbers.get(row).copied().unwrap_or(f64::NAN),
            Values::Mixed(values) => match values.get(row) {
                Some(Kept::Number(number)) => *number,
                _ => f64::NAN,
            },
            Values::Logicals(_) | Values::Texts { .. } => f64::NAN,
        }
    }

    /// A key per row by which the column sorts.
    pub fn sort_keys(&self) -> Vec<u64> {
        match self {
            Values::Numbers(numbers) => numbers.iter().map(|&number| number_key(number)).collect(),
            Values::Logicals(logicals) => {
                logicals.iter().map(|logical| u64::from(*logical)).collect()
            }
            Values::Texts { codes, texts } => {
                let texts: Vec<&str> = texts.iter().map(AsRef::as_ref).collect();
                rank_keys(codes, &texts)
            }
            Values::Mixed(values) => {
                let texts: Vec<&str> = values
                    .iter()
                    .filter_map(|value| match value {
                        Kept::Text(text) => Some(&**text),
                        _ => None,
                    })
                    .collect();
                let mut ranks = natural_ranks(&texts).into_iter();
                values
                    .iter()
                    .map(|value| match value {
                        Kept::Blank => MISSING_LAST,
                        Kept::Number(number) => number_key(*number),
                        Kept::Logical(logical) => LOGICALS_FROM + u64::from(*logical),
                        Kept::Text(_) => TEXTS_FROM + ranks.next().map_or(0, u64::from),
                        Kept::Error(error) => ERRORS_FROM + *error as u64,
                    })
                    .collect()
            }
        }
    }
}

/// Keys above that of every finite number.
const LOGICALS_FROM: u64 = 0xfff2 << 48;
const TEXTS_FROM: u64 = 0xfff4 << 48;
const ERRORS_FROM: u64 = 0xfff8 << 48;

fn kept(cell: &Cell<'_>) -> Kept {
    match cell {
        Cell::Empty => Kept::Blank,
        Cell::Number(number) => Kept::Number(*number),
        Cell::Logical(logical) => Kept::Logical(*logical),
        Cell::Text(text) => Kept::Text(Box::from(&**text)),
        Cell::Error(error) => Kept::Error(*error),
    }
}

/// One value in every row, written out.
pub fn written_out<'a>(vector: Vector<'a>, n_rows: usize) -> Vector<'a> {
    let Vector::One(cell) = vector else {
        return vector;
    };
    let mut collector = Collector::new(n_rows);
    for _ in 0..n_rows {
        collector.push(cell.clone());
    }
    collector.finish()
}

/// A value as people read it: dates as `2026-03-14`, numbers to four places.
pub fn shown(value: &Kept, dates: bool) -> String {
    match value {
        Kept::Blank => String::new(),
        Kept::Number(number) if dates => date_text(*number),
        Kept::Number(number) if *number != 0.0 && number.abs() < 0.001 => {
            number_text(super::rounding::significant(*number, 4.0))
        }
        Kept::Number(number) => up_to(*number, 4),
        Kept::Logical(true) => "TRUE".to_owned(),
        Kept::Logical(false) => "FALSE".to_owned(),
        Kept::Text(text) => text.to_string(),
        Kept::Error(error) => error.name().to_owned(),
    }
}

/// A serial number as a date; as the number when it is none.
fn date_text(serial: f64) -> String {
    super::date_serial::day_of(serial).map_or_else(|_| number_text(serial), |day| day.iso())
}

/// A serial number as days since 1970-01-01.
pub fn days_since_1970(serial: f64) -> f64 {
    super::date_serial::day_of(serial).map_or(f64::NAN, |day| f64::from(day.count()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_come_before_words_and_errors_and_blanks_last() {
        let in_order = [
            Kept::Number(-3.0),
            Kept::Number(f64::MAX),
            Kept::Logical(false),
            Kept::Logical(true),
            Kept::Text("Pen 2".into()),
            Kept::Text("Pen 10".into()),
            Kept::Error(ErrorValue::NotAvailable),
            Kept::Error(ErrorValue::Value),
            Kept::Blank,
        ];
        let keys = Values::Mixed(in_order.to_vec()).sort_keys();
        assert!(keys.is_sorted_by(|one, other| one < other), "{keys:?}");
    }
}
