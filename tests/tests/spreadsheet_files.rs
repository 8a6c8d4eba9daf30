//! Spreadsheet files as people keep them, sheet by sheet: every row, note and question of each is listed in the text
//! beside it.

use std::fmt::Write;

use fairpen_engine::import::{ImportOptions, read_all};
use fairpen_tests::any_bytes::assert_nothing_lost;
use fairpen_tests::imports::{book_of_day, describe};
use fairpen_tests::reference::repository;
use fairpen_wasm_spreadsheet::file::File;

#[test]
fn every_sheet_is_read_and_every_trouble_named() {
    let bless = std::env::var_os("FAIRPEN_BLESS").is_some_and(|value| value == "1");
    let folder = repository("tests/suite/import/spreadsheets");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|end| ["xlsx", "xls", "ods"].iter().any(|known| end == *known))
        })
        .collect();
    paths.sort();
    assert!(paths.len() >= 3, "the files were found");
    let mut wrong = Vec::new();
    for path in paths {
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let mut file = File::open(std::fs::read(&path).expect("a file")).expect("a spreadsheet");
        let mut made = String::new();
        for sheet in file.sheets().expect("sheets") {
            let text = file.csv(&sheet.name).expect("cells");
            let book = book_of_day("2026-11-25");
            let options = ImportOptions {
                part: sheet.name.clone(),
                ..ImportOptions::for_book(&book)
            };
            let called = format!("{name} ({})", sheet.name);
            writeln!(made, "== {called}").expect("a String grows");
            for remark in &text.remarks {
                writeln!(made, "{remark}").expect("a String grows");
            }
            let read = read_all(&text.bytes, &called, options).expect("a table");
            assert_nothing_lost(&text.bytes, &read);
            made.push_str(&describe(&read));
        }
        let expected_path = path.with_extension("out");
        if bless {
            std::fs::write(&expected_path, &made).expect("a writable tree");
            continue;
        }
        let expected = std::fs::read_to_string(&expected_path).unwrap_or_default();
        if made != expected {
            wrong.push(format!("{name}:\n--- expected\n{expected}--- made\n{made}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
