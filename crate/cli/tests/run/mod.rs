//! Runs of the real command, and its output read back.
//!
//! Enters: arguments. Leaves: what the command said, wrote, and its exit code.
//! Always true: every run has a folder of its own, taken away at the end.
//! Never: looks inside the program.

// Every test file is a program of its own and uses its share of this.
#![allow(dead_code)]

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

/// What a run left behind.
pub struct Run {
    /// Exit code.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

/// Runs the command.
pub fn fairpen<S: AsRef<OsStr>>(arguments: impl IntoIterator<Item = S>) -> Run {
    let output = Command::new(env!("CARGO_BIN_EXE_fairpen"))
        .args(arguments)
        .output()
        .expect("the command starts");
    Run {
        code: output.status.code().expect("the command ends by itself"),
        out: String::from_utf8(output.stdout).expect("standard output is UTF-8"),
        err: String::from_utf8(output.stderr).expect("standard error is UTF-8"),
    }
}

/// A file of the repository.
pub fn repository(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .join(path)
}

/// Rows of a CSV by column name.
pub type Rows = Vec<BTreeMap<String, String>>;

/// Reads a CSV file.
pub fn csv_rows(path: &Path) -> Rows {
    let bytes = fs::read(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    reader
        .deserialize()
        .map(|row| row.unwrap_or_else(|error| panic!("{}: {error}", path.display())))
        .collect()
}

/// Reads a JSON file. `NaN` is no JSON, so this also holds that none was written.
pub fn json(path: &Path) -> Value {
    let text =
        fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// A report in a folder of its own.
pub struct Report {
    folder: tempfile::TempDir,
    /// What the command said.
    pub run: Run,
}

impl Report {
    /// Runs `report INPUT --out FOLDER` with further arguments; it must succeed.
    pub fn of(input: &Path, more: &[&str]) -> Report {
        let folder = tempfile::tempdir().expect("a folder");
        let mut arguments = vec![
            "report".into(),
            input.as_os_str().to_owned(),
            "--out".into(),
            folder.path().into(),
        ];
        arguments.extend(more.iter().map(|argument| argument.into()));
        let run = fairpen(arguments);
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{}", input.display());
        Report { folder, run }
    }

    /// A table it wrote.
    pub fn csv(&self, name: &str) -> Rows {
        csv_rows(&self.folder.path().join(name))
    }

    /// A document it wrote.
    pub fn json(&self, name: &str) -> Value {
        json(&self.folder.path().join(name))
    }
}

/// The number in a cell; `None` when it is empty.
pub fn number(cell: &str) -> Option<f64> {
    (!cell.is_empty()).then(|| {
        cell.parse()
            .unwrap_or_else(|_| panic!("{cell:?} is no number"))
    })
}

/// Fails unless two numbers agree to 1e-9 of their size, or both are missing.
pub fn same(what: &str, found: Option<f64>, expected: Option<f64>) {
    let agree = match (found, expected) {
        (Some(found), Some(expected)) => (found - expected).abs() <= 1e-9 * expected.abs().max(1.0),
        (None, None) => true,
        _ => false,
    };
    assert!(agree, "{what}: found {found:?}, expected {expected:?}");
}

/// Compares text with a committed snapshot; rewrites it instead when `FAIRPEN_BLESS` is set.
pub fn snapshot(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/snapshots")
        .join(name);
    if std::env::var_os("FAIRPEN_BLESS").is_some() {
        fs::write(&path, text).expect("the snapshot can be written");
        return;
    }
    let expected = fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(
        text, expected,
        "\n{name} has changed; if that is right, run the tests with FAIRPEN_BLESS=1"
    );
}
