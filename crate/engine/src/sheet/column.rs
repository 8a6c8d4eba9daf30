//! One typed column of a sheet.
//!
//! Enters: cell texts through [`super::read`], or typed values from an import. Leaves: typed slices.
//! Always true: the column has one cell per row of its table; a cell is missing, a value of the column's
//! kind, or *unreadable*, in which case it counts as missing everywhere and the text as it was read is
//! kept beside it, so that nothing typed or imported is lost.
//! Never: turns missing into zero.

use std::collections::BTreeMap;

use super::codes::{Codes, NO_CODE};
use super::day::Day;
use super::interned::Interned;

/// What a column holds.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// Any text.
    Text,
    /// Names separated by `;` (several possible sires). Held as text in that form.
    List,
    /// A weight in the book's unit.
    Weight,
    /// A plain number, with the words for its unit (`"years"`, or empty).
    Number(&'static str),
    /// A date.
    Date,
    /// One of a few words.
    Code(&'static Codes),
}

/// Where a column comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Known to Fairpen: its key is in the schema of its sheet.
    Known,
    /// The person's own column.
    Own,
}

/// The cells of a column, one per row.
#[derive(Clone)]
pub enum Cells {
    /// Text or a list of names.
    Text(Interned),
    /// A number or a weight in the book's unit; NaN is missing.
    Number(Vec<f64>),
    /// A date.
    Day(Vec<Day>),
    /// Position in the column's code list; [`NO_CODE`] is missing.
    Code(Vec<u8>),
}

impl Cells {
    /// No cells yet, of the form a kind needs.
    pub fn empty(kind: Kind) -> Cells {
        match kind {
            Kind::Text | Kind::List => Cells::Text(Interned::new()),
            Kind::Weight | Kind::Number(_) => Cells::Number(Vec::new()),
            Kind::Date => Cells::Day(Vec::new()),
            Kind::Code(_) => Cells::Code(Vec::new()),
        }
    }

    /// Number of rows.
    pub fn len(&self) -> usize {
        match self {
            Cells::Text(cells) => cells.len(),
            Cells::Number(cells) => cells.len(),
            Cells::Day(cells) => cells.len(),
            Cells::Code(cells) => cells.len(),
        }
    }

    /// True when there are no rows.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Adds missing cells, or drops cells from the end, until there are `n_rows`.
    pub fn resize(&mut self, n_rows: usize) {
        match self {
            Cells::Text(cells) => {
                cells.truncate(n_rows);
                while cells.len() < n_rows {
                    cells.push("");
                }
            }
            Cells::Number(cells) => cells.resize(n_rows, f64::NAN),
            Cells::Day(cells) => cells.resize(n_rows, Day::MISSING),
            Cells::Code(cells) => cells.resize(n_rows, NO_CODE),
        }
    }
}

/// A cell's value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Nothing there.
    Missing,
    /// A text, a list, or a code's key.
    Text(String),
    /// A number; for weights in the book's unit.
    Number(f64),
    /// A date.
    Day(Day),
    /// What was read does not fit the column's kind; counts as missing.
    Unreadable(String),
}

/// A column of a sheet.
#[derive(Clone)]
pub struct Column {
    /// Stable key, lower_snake_case: `birth_weight`. Own columns get one made from their header.
    pub key: String,
    /// What people read on top. For own columns the file's own header.
    pub label: String,
    /// What it holds.
    pub kind: Kind,
    /// Known to Fairpen, or the person's own.
    pub origin: Origin,
    /// The header it had in the file it came from, if it came from one.
    pub header: Option<String>,
    /// The formula of a calculated column, as it was written. Its cells are blank: its values are results.
    pub formula: Option<String>,
    /// One cell per row.
    pub cells: Cells,
    /// Texts that could not be read as the column's kind, by row.
    pub unreadable: BTreeMap<u32, String>,
}

impl Column {
    /// A column without rows.
    pub fn new(key: &str, label: &str, kind: Kind, origin: Origin) -> Column {
        Column {
            key: key.to_owned(),
            label: label.to_owned(),
            kind,
            origin,
            header: None,
            formula: None,
            cells: Cells::empty(kind),
            unreadable: BTreeMap::new(),
        }
    }

    /// Number of rows.
    pub fn len(&self) -> usize {
        self.cells.len()
    }

    /// True when there are no rows.
    pub fn is_empty(&self) -> bool {
        self.cells.is_empty()
    }

    /// The value of a row. Rows beyond the end are missing.
    pub fn value(&self, row: usize) -> Value {
        if let Some(text) = u32::try_from(row)
            .ok()
            .and_then(|row| self.unreadable.get(&row))
        {
            return Value::Unreadable(text.clone());
        }
        match &self.cells {
            Cells::Text(cells) => cells
                .get(row)
                .map_or(Value::Missing, |text| Value::Text(text.to_owned())),
            Cells::Number(cells) => match cells.get(row) {
                Some(number) if !number.is_nan() => Value::Number(*number),
                _ => Value::Missing,
            },
            Cells::Day(cells) => match cells.get(row) {
                Some(day) if !day.is_missing() => Value::Day(*day),
                _ => Value::Missing,
            },
            Cells::Code(cells) => match (self.kind, cells.get(row)) {
                (Kind::Code(codes), Some(&position)) => codes
                    .key(position)
                    .map_or(Value::Missing, |key| Value::Text(key.to_owned())),
                _ => Value::Missing,
            },
        }
    }

    /// The numbers, NaN where missing; `None` when the column does not hold numbers.
    pub fn numbers(&self) -> Option<&[f64]> {
        match &self.cells {
            Cells::Number(cells) => Some(cells),
            _ => None,
        }
    }

    /// The dates; `None` when the column does not hold dates.
    pub fn days(&self) -> Option<&[Day]> {
        match &self.cells {
            Cells::Day(cells) => Some(cells),
            _ => None,
        }
    }

    /// The texts; `None` when the column does not hold text.
    pub fn texts(&self) -> Option<&Interned> {
        match &self.cells {
            Cells::Text(cells) => Some(cells),
            _ => None,
        }
    }

    /// The code positions; `None` when the column is not coded.
    pub fn codes(&self) -> Option<&[u8]> {
        match &self.cells {
            Cells::Code(cells) => Some(cells),
            _ => None,
        }
    }
}
