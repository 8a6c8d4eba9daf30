//! The text cases of `tests/suite/adjust`, `tests/suite/group` and `tests/suite/import/ugly`.

use std::fmt::Write;

use fairpen_engine::import::{ImportOptions, read_all};
use fairpen_engine::results::{ResultColumn, Results};
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_tests::any_bytes::assert_nothing_lost;
use fairpen_tests::imports::{book_of_day, describe};
use fairpen_tests::suite::{columns, run, run_files};

#[test]
fn adjust() {
    run("adjust", |book, results| {
        columns(
            book,
            results,
            &[
                ResultColumn::DamAgeDays,
                ResultColumn::DamAgeClass,
                ResultColumn::AgeDays,
                ResultColumn::BirthWeightUsed,
                ResultColumn::AdjBirthWeight,
                ResultColumn::GainPerDay,
                ResultColumn::Adj205Weight,
                ResultColumn::Flags,
            ],
        )
    });
}

#[test]
fn group() {
    run("group", |book: &Workbook, results: &Results| {
        let mut out = columns(
            book,
            results,
            &[
                ResultColumn::Adj205Weight,
                ResultColumn::ContemporaryGroup,
                ResultColumn::GroupSize,
                ResultColumn::Ratio,
                ResultColumn::RankInGroup,
                ResultColumn::Flags,
            ],
        );
        for group in &results.groups.groups {
            writeln!(out, "\n{}: {}", group.name, group.flags.join("; ")).expect("a String grows");
            for part in &group.parts {
                writeln!(out, "  {}: {}", part.key, part.words).expect("a String grows");
            }
        }
        out
    });
}

/// Files as they come, of different shapes: every row, note and question of each is listed.
#[test]
fn ugly_files() {
    run_files("import/ugly", |name, bytes| {
        let book = book_of_day("2026-11-25");
        let read = read_all(bytes, name, ImportOptions::for_book(&book)).expect("a table");
        assert_nothing_lost(bytes, &read);
        describe(&read)
    });
}
