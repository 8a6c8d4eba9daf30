//! Columns for formulas: from JSON, as the reference cases have them.
//!
//! Enters: JSON arrays of numbers, texts, TRUE and FALSE, `{"date": "2026-03-14"}` and null.
//! Leaves: columns of one sheet named `calves`.
//! Always true: null is a blank cell and nothing else is.
//! Never: works out an expected value.

use std::collections::BTreeMap;

use fairpen_engine::formula::cell::{Cell, Str};
use fairpen_engine::formula::evaluate::Columns;
use fairpen_engine::formula::vector::{Collector, Vector};
use serde_json::Value;

use crate::books::day;

/// Days from 1899-12-30 to 1970-01-01.
pub const SERIAL_OF_1970: f64 = 25_569.0;

/// Columns of one sheet.
pub struct JsonColumns {
    columns: BTreeMap<String, Vec<Cell<'static>>>,
    n_rows: usize,
}

impl JsonColumns {
    /// Columns from a JSON object of arrays, filled with blanks up to the longest and to `n_rows`.
    ///
    /// # Panics
    /// When the text is not that.
    pub fn new(json: &str, n_rows: usize) -> JsonColumns {
        let columns: BTreeMap<String, Vec<Value>> =
            serde_json::from_str(json).expect("an object of arrays");
        let n_rows = columns.values().map(Vec::len).fold(n_rows, usize::max);
        JsonColumns {
            columns: columns
                .into_iter()
                .map(|(key, values)| (key, values.iter().map(cell).collect()))
                .collect(),
            n_rows,
        }
    }
}

fn cell(value: &Value) -> Cell<'static> {
    match value {
        Value::Null => Cell::Empty,
        Value::Bool(logical) => Cell::Logical(*logical),
        Value::Number(number) => Cell::Number(number.as_f64().expect("a number")),
        Value::String(text) => Cell::Text(Str::from(text.clone())),
        Value::Object(object) => {
            let date = object["date"].as_str().expect("a date");
            Cell::Number(f64::from(day(date).count()) + SERIAL_OF_1970)
        }
        Value::Array(_) => panic!("no arrays in a cell"),
    }
}

impl Columns<'static> for JsonColumns {
    fn n_rows(&self, sheet: &str) -> Option<usize> {
        (sheet == "calves").then_some(self.n_rows)
    }

    fn column(&self, sheet: &str, key: &str) -> Option<Vector<'static>> {
        self.n_rows(sheet)?;
        let cells = self.columns.get(key)?;
        let mut collector = Collector::new(self.n_rows);
        for row in 0..self.n_rows {
            collector.push(cells.get(row).cloned().unwrap_or(Cell::Empty));
        }
        Some(collector.finish())
    }
}
