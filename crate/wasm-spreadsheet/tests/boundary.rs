//! The module as JavaScript sees it, in Node and in the browser.
#![cfg(target_family = "wasm")]

use fairpen_wasm_spreadsheet::{Refusal, SheetListed, SpreadsheetReader};
use tsify::Ts;
use wasm_bindgen::JsValue;
use wasm_bindgen_test::wasm_bindgen_test;

fn code(refused: JsValue) -> String {
    let refusal: Refusal = Ts::new_unchecked(refused)
        .to_rust()
        .expect("a refusal has its shape");
    assert!(!refusal.message.is_empty() && !refusal.hint.is_empty());
    refusal.code
}

#[wasm_bindgen_test]
fn sheets_are_listed_and_read() {
    let bytes = include_bytes!("files/three_sheets.xlsx").to_vec();
    let mut reader = SpreadsheetReader::new(bytes).expect("a spreadsheet");
    let sheets: Vec<SheetListed> = reader
        .sheets()
        .expect("sheets")
        .into_iter()
        .map(|sheet| sheet.to_rust().expect("it has its shape"))
        .collect();
    let names: Vec<&str> = sheets.iter().map(|sheet| sheet.name.as_str()).collect();
    assert_eq!(names, ["Read me", "Calves weaned", "Cows"]);
    let csv = String::from_utf8(reader.csv("Cows").expect("a sheet")).expect("UTF-8");
    assert!(csv.starts_with("Cow,Birth date\nC30,2016-04-02\n"), "{csv}");
    assert_eq!(reader.remarks("Calves weaned").expect("a sheet").len(), 2);
    assert_eq!(
        code(reader.csv("Bulls").expect_err("no such sheet")),
        "import.spreadsheet.no_sheet"
    );
}

#[wasm_bindgen_test]
fn what_is_no_spreadsheet_is_thrown_as_a_refusal() {
    let refused = SpreadsheetReader::new(b"tag,weight\n".to_vec())
        .err()
        .expect("no spreadsheet");
    assert_eq!(code(refused), "import.spreadsheet.unreadable");
}
