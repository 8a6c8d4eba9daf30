//! Text cases: a CSV of calves goes in, a text comes out and is held against the one beside it.
//!
//! A case is `name.csv` with the expected `name.out` beside it. Lines before the header that start with `#`
//! say what the case shows; `# setting: outside_window = straight_age`, `# setting: weight_unit = kg` and
//! `# sheet: cows` (further sheets, each with its own header) are read by the runner. With FAIRPEN_BLESS=1
//! the expected texts are written anew, for review.

use std::path::{Path, PathBuf};

use fairpen_engine::results::{ResultColumn, Results};
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::{OutsideWindow, WeightUnit};
use fairpen_engine::sheet::workbook::Workbook;

use crate::books::fill;
use crate::reference::repository;

/// The cases of a folder of `tests/suite`, in order.
pub fn cases(folder: &str) -> Vec<PathBuf> {
    let path = repository("tests/suite").join(folder);
    let mut cases: Vec<PathBuf> = std::fs::read_dir(&path)
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()))
        .map(|entry| entry.expect("a readable folder").path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "csv"))
        .collect();
    cases.sort();
    cases
}

/// Runs every case of a folder and panics with all differences.
pub fn run(folder: &str, output: impl Fn(&Workbook, &Results) -> String) {
    run_cases(folder, |case| {
        let book = book(case);
        output(&book, &Results::recalculate(&book))
    });
}

/// Runs every file of a folder, by its name and bytes, and panics with all differences.
pub fn run_files(folder: &str, output: impl Fn(&str, &[u8]) -> String) {
    run_cases(folder, |case| {
        let bytes = std::fs::read(case).expect("a readable case");
        let name = case.file_name().expect("a name").to_string_lossy();
        output(&name, &bytes)
    });
}

fn run_cases(folder: &str, output: impl Fn(&Path) -> String) {
    let bless = std::env::var_os("FAIRPEN_BLESS").is_some_and(|value| value == "1");
    let mut wrong = Vec::new();
    let cases = cases(folder);
    assert!(!cases.is_empty(), "no cases in {folder}");
    for case in cases {
        let made = output(&case);
        let expected_path = case.with_extension("out");
        if bless {
            std::fs::write(&expected_path, &made).expect("a writable tree");
            continue;
        }
        let expected = std::fs::read_to_string(&expected_path).unwrap_or_default();
        if made != expected {
            wrong.push(format!(
                "{}:\n--- expected\n{expected}--- made\n{made}",
                case.display()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn book(case: &Path) -> Workbook {
    let text = std::fs::read_to_string(case).expect("a readable case");
    let mut book = Workbook::new();
    let mut sheet = SheetKind::Calves;
    let mut lines = String::new();
    let mut parts = Vec::new();
    for line in text.lines() {
        if let Some(setting) = line.strip_prefix("# setting: ") {
            set(&mut book, setting);
        } else if let Some(key) = line.strip_prefix("# sheet: ") {
            parts.push((sheet, std::mem::take(&mut lines)));
            sheet = SheetKind::from_key(key).unwrap_or_else(|| panic!("no sheet {key}"));
        } else if !line.starts_with('#') {
            lines.push_str(line);
            lines.push('\n');
        }
    }
    parts.push((sheet, lines));
    for (sheet, lines) in parts {
        fill(&mut book, sheet, &lines);
    }
    book
}

fn set(book: &mut Workbook, setting: &str) {
    match setting {
        "outside_window = straight_age" => {
            book.settings.outside_window = OutsideWindow::StraightAge;
        }
        "weight_unit = kg" => book.settings.weight_unit = WeightUnit::Kilogram,
        other => panic!("no setting {other}"),
    }
}

/// Some result columns of every calf as CSV, numbers rounded as people see them.
pub fn columns(book: &Workbook, results: &Results, columns: &[ResultColumn]) -> String {
    let mut out = String::from("tag");
    for column in columns {
        out.push(',');
        out.push_str(column.key());
    }
    out.push('\n');
    let tags = book.calves().known("tag").texts().expect("tags are text");
    for row in 0..book.calves().n_rows() {
        out.push_str(tags.get(row).unwrap_or(""));
        for column in columns {
            out.push(',');
            match column.value(book, results, row) {
                Value::Number(number) => {
                    let shown = format!("{number:.4}");
                    out.push_str(shown.trim_end_matches('0').trim_end_matches('.'));
                }
                Value::Text(text) if text.contains(',') => {
                    out.push('"');
                    out.push_str(&text);
                    out.push('"');
                }
                Value::Text(text) => out.push_str(&text),
                _ => {}
            }
        }
        out.push('\n');
    }
    out
}
