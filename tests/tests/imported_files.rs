//! Files as other people keep them, from bytes to ratios.
//!
//! Expected figures: `tests/suite/import/headers/*.expect.json`, worked out apart in Python by the
//! `expected.py` beside them (sources at its top). Tolerance: relative 1e-9.

use std::collections::BTreeSet;
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

/// What an import and the check say of the book of troubles, at its line and column: everything that is listed,
/// and nothing of the import that is not.
#[test]
fn every_listed_trouble_is_named_and_the_import_names_no_other() {
    type Said = BTreeSet<(u32, String, String)>;
    let bytes = std::fs::read(repository("sample-books/trouble/calves.csv")).expect("the book");
    let mut book = Workbook::new();
    book.settings.as_of = day("2026-11-25");
    let imported = read_all(&bytes, "calves.csv", ImportOptions::for_book(&book)).expect("a table");
    *book.sheet_mut(SheetKind::Calves) = imported.table;
    let results = Results::recalculate(&book);
    let findings = check(&book, &results);
    let found: Said = imported
        .notes
        .into_iter()
        .chain(findings.notes(&book, &results))
        .map(|note| {
            (
                note.place.line.unwrap_or(1),
                note.place.column.unwrap_or_default(),
                note.code.to_owned(),
            )
        })
        .collect();
    let listed: Said = csv::Reader::from_path(repository("tests/suite/import/trouble.expect.csv"))
        .expect("the list")
        .records()
        .map(|record| {
            let record = record.expect("a row");
            let line = record[0].parse().expect("a line number");
            (line, record[1].to_owned(), record[2].to_owned())
        })
        .collect();
    assert!(listed.len() > 70, "the list was read: {}", listed.len());
    let missed: Vec<_> = listed.difference(&found).collect();
    assert!(missed.is_empty(), "{missed:#?}");
    let repeated: Vec<u32> = found
        .iter()
        .filter(|(_, _, code)| code == "import.rows.repeated")
        .map(|(line, _, _)| *line)
        .collect();
    assert_eq!(repeated, [26, 27]);
    let of_import = |said: &Said| -> Said {
        let mut said = said.clone();
        // Two rows with one electronic ID are named by the check, and listed there.
        said.retain(|(_, _, code)| code.starts_with("import.") && code != "import.rows.repeated");
        said
    };
    assert_eq!(of_import(&found), of_import(&listed));
}
