//! Reads the committed reference data and compares numbers with it.

// Each test file is its own program and uses a part of this one.
#![allow(dead_code)]

use std::path::PathBuf;

use serde_json::Value;

/// Relative tolerance for results that have a closed form.
pub const CLOSED_FORM: f64 = 1e-6;

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/reference")
        .join(name)
}

/// A committed file of expected answers.
pub fn answers(name: &str) -> Value {
    let text = std::fs::read_to_string(path(name)).unwrap();
    serde_json::from_str(&text).unwrap()
}

/// Fails unless `got` is within a relative tolerance of the expected number.
#[track_caller]
pub fn check(what: &str, got: f64, want: &Value, tolerance: f64) {
    let want = want
        .as_f64()
        .unwrap_or_else(|| panic!("{what}: no expected number"));
    assert!(
        (got - want).abs() <= tolerance * want.abs(),
        "{what}: got {got}, expected {want}"
    );
}

/// A committed data file: plain comma-separated text without quotes.
pub struct Table {
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    pub fn read(name: &str) -> Table {
        let text = std::fs::read_to_string(path(name)).unwrap();
        let mut lines = text
            .lines()
            .map(|line| line.split(',').map(str::to_owned).collect());
        let header = lines.next().unwrap();
        Table {
            header,
            rows: lines.collect(),
        }
    }

    fn column(&self, name: &str) -> impl Iterator<Item = &str> {
        let at = self
            .header
            .iter()
            .position(|header| header == name)
            .unwrap();
        self.rows.iter().map(move |row| row[at].as_str())
    }

    pub fn numbers(&self, name: &str) -> Vec<f64> {
        self.column(name)
            .map(|cell| cell.parse().unwrap())
            .collect()
    }

    /// Codes in order of the level names, and the names; names that are numbers go by value.
    pub fn codes(&self, name: &str) -> (Vec<u32>, Vec<String>) {
        let mut names: Vec<String> = self.column(name).map(str::to_owned).collect();
        names.sort_by_key(|name| (name.parse::<u64>().unwrap_or(0), name.clone()));
        names.dedup();
        let code = |cell: &str| names.iter().position(|name| name == cell).unwrap();
        let codes = self
            .column(name)
            .map(|cell| u32::try_from(code(cell)).unwrap())
            .collect();
        (codes, names)
    }
}
