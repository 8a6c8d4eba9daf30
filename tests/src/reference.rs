//! The committed reference numbers.

use std::collections::BTreeMap;
use std::path::PathBuf;

/// A path inside the repository.
pub fn repository(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("..")
        .join(path)
}

/// A row of a CSV file by the names of its header.
pub type Row = BTreeMap<String, String>;

/// The rows of a CSV file of `tests/reference`.
pub fn rows(file: &str) -> Vec<Row> {
    let path = repository("tests/reference").join(file);
    let mut reader =
        csv::Reader::from_path(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    reader
        .deserialize()
        .map(|row| row.expect("a row of the header's length"))
        .collect()
}

/// A cell as a number; `None` when blank.
pub fn number(row: &Row, key: &str) -> Option<f64> {
    let cell = row.get(key).unwrap_or_else(|| panic!("no column {key}"));
    (!cell.is_empty()).then(|| cell.parse().unwrap_or_else(|_| panic!("{key}: {cell}")))
}
