//! Files as other people keep them, from bytes to ratios.
//!
//! Expected figures: `tests/suite/import/headers/*.expect.json`, worked out apart in Python by the
//! `expected.py` beside them (sources at its top). Tolerance: relative 1e-9.

use std::path::Path;

use fairpen_engine::check::check;
use fairpen_engine::group::NO_GROUP;
use fairpen_engine::import::{ImportOptions, read_all};
use fairpen_engine::results::{ResultColumn, Results};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_tests::books::day;
use fairpen_tests::reference::repository;
use serde_json::Value as Json;

/// A book with the rows of an imported file, weights in the file's own unit.
fn book(path: &Path, unit: WeightUnit) -> Workbook {
    let bytes = std::fs::read(path).expect("a file of the repository");
    let name = path.file_name().expect("a name").to_string_lossy();
    let imported = read_all(
        &bytes,
        &name,
        ImportOptions::of_book(unit, day("2026-11-25")),
    )
    .expect("a table");
    let mut book = Workbook::new();
    book.settings.weight_unit = unit;
    book.settings.as_of = day("2026-11-25");
    *book.sheet_mut(SheetKind::Calves) = imported.table;
    book
}

#[test]
fn sixteen_header_styles_give_the_figures_worked_out_apart() {
    let mut n_calves = 0;
    let folder = repository("tests/suite/import/headers");
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|extension| extension != "csv") {
            continue;
        }
        let text = std::fs::read_to_string(path.with_extension("expect.json")).expect("text");
        let expected: Json = serde_json::from_str(&text).expect("JSON");
        let unit = match expected["weight_unit"].as_str() {
            Some("kg") => WeightUnit::Kilogram,
            _ => WeightUnit::Pound,
        };
        let book = book(&path, unit);
        let results = Results::recalculate(&book);
        let figure = |column: ResultColumn, row: usize| column.number(&book, &results, row);
        let near = |made: f64, expected: &Json, what: &str| {
            let want = expected.as_f64().unwrap_or(f64::NAN);
            let same = (made.is_nan() && want.is_nan()) || (made - want).abs() <= 1e-9 * want.abs();
            assert!(same, "{} {what}: {made}, expected {want}", path.display());
        };
        let n_rows = book.calves().n_rows();
        let adjusted: Vec<f64> = (0..n_rows)
            .map(|row| figure(ResultColumn::Adj205Weight, row))
            .filter(|weight| !weight.is_nan())
            .collect();
        let mean = adjusted.iter().sum::<f64>() / adjusted.len() as f64;
        near(mean, &expected["mean_adj_205"], "mean");
        let tags = book.calves().known("tag").texts().expect("text");
        for (tag, calf) in expected["calves"].as_object().expect("calves") {
            n_calves += 1;
            let row = (0..n_rows)
                .find(|row| tags.get(*row) == Some(tag))
                .expect("the calf");
            near(figure(ResultColumn::AgeDays, row), &calf["age_days"], tag);
            near(
                figure(ResultColumn::BirthWeightUsed, row),
                &calf["birth_weight_used"],
                tag,
            );
            near(
                figure(ResultColumn::Adj205Weight, row),
                &calf["adj_205"],
                tag,
            );
            near(figure(ResultColumn::Ratio, row), &calf["ratio"], tag);
            near(
                unit.from_pounds(results.adjusted.dam_age_factor[row]),
                &calf["dam_age_factor"],
                tag,
            );
            assert_ne!(results.groups.group_of[row], NO_GROUP);
            near(
                figure(ResultColumn::GroupSize, row),
                &calf["group_size"],
                tag,
            );
        }
    }
    assert_eq!(n_calves, 48, "three calves of each of sixteen files");
}

/// After an import the check names every listed trouble that the book itself still shows, at its line and
/// column: contradictions, and the cells that could not be read. Troubles of the file's layout are notes of
/// the import alone, and tested with it.
#[test]
fn the_check_names_every_listed_trouble_of_an_imported_book() {
    const UNREADABLE: [&str; 4] = [
        "import.date.impossible",
        "import.date.unreadable",
        "import.number.unreadable",
        "import.code.unknown",
    ];
    let book = book(
        &repository("sample-books/trouble/calves.csv"),
        WeightUnit::Pound,
    );
    let results = Results::recalculate(&book);
    let findings = check(&book, &results);
    let found: Vec<(u32, String, &str)> = findings
        .notes(&book, &results)
        .map(|note| {
            (
                note.place.line.unwrap_or(1),
                note.place.column.unwrap_or_default(),
                note.code,
            )
        })
        .collect();
    let listed = repository("tests/suite/import/trouble.expect.csv");
    let mut missed = Vec::new();
    let mut n_listed = 0;
    for record in csv::Reader::from_path(listed).expect("the list").records() {
        let record = record.expect("a row");
        let (line, column, code) = (&record[0], &record[1], &record[2]);
        if !code.starts_with("check.") && !UNREADABLE.contains(&code) {
            continue;
        }
        n_listed += 1;
        let line: u32 = line.parse().expect("a line number");
        if !found.contains(&(line, column.to_owned(), code)) {
            missed.push(format!("{line} {column} {code}"));
        }
    }
    assert!(n_listed > 50, "the list was read: {n_listed}");
    assert!(missed.is_empty(), "{missed:#?}");
}
