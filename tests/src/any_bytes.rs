//! What must hold when a file of any bytes is brought in.
//!
//! Enters: bytes. Leaves: nothing; a broken promise ends the run with a message.
//! Always true: the property test and the fuzzer ask for the same promises.
//! Never: asks that the bytes make sense.

use fairpen_engine::import::letters::Unwrapped;
use fairpen_engine::import::plan::Target;
use fairpen_engine::import::scan::{Records, Scanner};
use fairpen_engine::import::{ImportOptions, Imported, Reader, read_all};
use fairpen_engine::sheet::column::Column;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::settings::WeightUnit;

/// Brings bytes in whole and in pieces of `piece` bytes, and holds the outcome against what is promised.
///
/// # Panics
/// When a promise is broken.
pub fn hold_to_promises(bytes: &[u8], piece: usize) {
    let options = || ImportOptions::of_book(WeightUnit::Pound, Day::MISSING);
    let whole = read_all(bytes, "herd.csv", options());
    let mut reader = Reader::begin("herd.csv", options());
    let pieces = bytes
        .chunks(piece.max(1))
        .try_for_each(|chunk| reader.push(chunk).map(drop))
        .and_then(|()| reader.finish());
    match (whole, pieces) {
        (Ok(whole), Ok(pieces)) => {
            assert_same(&whole, &pieces);
            assert_nothing_lost(bytes, &whole);
            let again = ImportOptions {
                plan: Some(whole.plan.clone()),
                ..options()
            };
            let again = read_all(bytes, "herd.csv", again).expect("its own plan fits the file");
            assert_same(&whole, &again);
        }
        (Err(whole), Err(pieces)) => {
            assert_eq!(whole, pieces, "refused for another reason in pieces");
            assert!(!whole.message().is_empty() && !whole.hint().is_empty());
        }
        (whole, pieces) => panic!(
            "whole: {:?}, in pieces: {:?}",
            whole.map(|read| read.table.n_rows()),
            pieces.map(|read| read.table.n_rows())
        ),
    }
}

fn assert_same(one: &Imported, other: &Imported) {
    assert_eq!(one.plan, other.plan);
    assert_eq!(one.columns, other.columns);
    assert_eq!(one.notes, other.notes);
    assert_eq!(one.date_order, other.date_order);
    assert_eq!(one.table.source_line, other.table.source_line);
    let keys = |read: &Imported| -> Vec<String> {
        read.table
            .columns()
            .iter()
            .map(|column| column.key.clone())
            .collect()
    };
    assert_eq!(keys(one), keys(other));
    for (left, right) in one.table.columns().iter().zip(other.table.columns()) {
        assert_eq!(left.len(), one.table.n_rows(), "{}", left.key);
        for row in 0..left.len() {
            assert_eq!(
                left.value(row),
                right.value(row),
                "{} of row {row}",
                left.key
            );
        }
    }
}

/// Every record is a row, blank, set aside, the header or above it; every filled cell is in the table.
///
/// # Panics
/// When it is not so.
pub fn assert_nothing_lost(bytes: &[u8], read: &Imported) {
    let mut records = Records::default();
    let mut scanner = Scanner::new(read.plan.delimiter);
    let mut unwrapped = Unwrapped::default();
    scanner.feed(&unwrapped.push(bytes), &mut records);
    scanner.feed(&unwrapped.finish(), &mut records);
    scanner.finish(&mut records);
    let n_records = records.records.len() + records.n_blank as usize;
    let n_told =
        read.table.n_rows() + (read.n_blank + read.n_above_header + read.n_set_aside) as usize + 1;
    assert_eq!(n_told, n_records);

    assert_eq!(read.plan.columns.len(), read.columns.len());
    for (planned, report) in read.plan.columns.iter().zip(&read.columns) {
        // Columns of months or of days due become one stage.
        if matches!(planned.target, Target::CalvingMonth | Target::DueDay) {
            continue;
        }
        let key = report.key.as_deref().expect("nothing is left out unasked");
        let column = read.table.column(key).expect("a column of the table");
        let n_kept = (0..column.len())
            .filter(|&row| holds_something(column, row))
            .count();
        // A row without a tag is named by its electronic ID; a stage may come from a month, a remark from a result.
        if ["animal", "cow", "stage", "remarks"].contains(&key) {
            continue;
        }
        // A word for missing ("n/a") is filled in the file and missing in the table.
        assert!(n_kept <= report.n_filled as usize, "{key}");
        if column.texts().is_some() {
            continue;
        }
        assert_eq!(
            column.unreadable.len(),
            report.n_unreadable as usize,
            "{key}"
        );
    }
}

fn holds_something(column: &Column, row: usize) -> bool {
    use fairpen_engine::sheet::column::Value;
    column.value(row) != Value::Missing
}
