//! A saved book gives what the files it was made from give.

mod run;

use std::fs;
use std::path::{Path, PathBuf};

use fairpen_engine::book::save::save;
use fairpen_engine::import::{ImportOptions, read_all};
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::workbook::Workbook;
use run::{Report, fairpen, number, repository, same};

fn two_barns_saved(folder: &Path) -> PathBuf {
    let mut book = Workbook::new();
    book.settings.as_of = Day::from_ymd(2026, 11, 1).expect("a real day");
    for sheet in [SheetKind::Calves, SheetKind::Cows, SheetKind::Places] {
        let name = format!("{}.csv", sheet.key());
        let bytes =
            fs::read(repository("sample-books/two-barns").join(&name)).expect("a sample file");
        let options = ImportOptions {
            sheet: Some(sheet),
            ..ImportOptions::of_book(WeightUnit::Pound, book.settings.as_of)
        };
        *book.sheet_mut(sheet) = read_all(&bytes, &name, options).expect("it is read").table;
    }
    let path = folder.join("two barns.zip");
    fs::write(&path, save(&book).expect("it is saved")).expect("written");
    path
}

#[test]
fn a_saved_book_gives_what_its_files_give() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = two_barns_saved(folder.path());
    let book = Report::of(&path, &["--compare", "management"]);
    let files = Report::of(
        &repository("sample-books/two-barns"),
        &["--compare", "management"],
    );
    assert_eq!(book.csv("adjusted.csv"), files.csv("adjusted.csv"));
    assert_eq!(book.csv("groups.csv"), files.csv("groups.csv"));
    assert_eq!(book.json("comparison.json"), files.json("comparison.json"));
    let document = book.json("report.json");
    assert_eq!(
        (&document["as_of"], &document["as_of_from"]),
        (&"2026-11-01".into(), &"the book".into())
    );
    assert_eq!(document["files"][0]["name"], "two barns.zip");
}

#[test]
fn a_book_is_shown_in_the_unit_of_the_settings_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = two_barns_saved(folder.path());
    let settings = folder.path().join("settings.json");
    fs::write(&settings, "{\"weight_unit\": \"kg\"}").expect("written");
    let settings = settings.to_str().expect("UTF-8");
    let kilograms = Report::of(&path, &["--settings", settings]).csv("adjusted.csv");
    let pounds = Report::of(&path, &[]).csv("adjusted.csv");
    for (kg, lb) in kilograms.iter().zip(&pounds) {
        let expected = number(&lb["adj_205_weight"]).map(|pounds| pounds * 0.453_592_37);
        same("weight", number(&kg["adj_205_weight"]), expected);
        same("ratio", number(&kg["ratio"]), number(&lb["ratio"]));
    }
    // Its own unit is settled: saying another would change what the weights are.
    let run = fairpen([
        "check".as_ref(),
        path.as_os_str(),
        "--unit".as_ref(),
        "kg".as_ref(),
    ]);
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    assert!(run.err.contains("--unit"), "{}", run.err);
}
