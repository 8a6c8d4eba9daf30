//! The text cases of `tests/suite/adjust` and `tests/suite/group`.

use std::fmt::Write;

use fairpen_engine::results::{ResultColumn, Results};
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_tests::suite::{columns, run};

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
