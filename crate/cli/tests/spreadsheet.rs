//! Spreadsheet files give the same results as their sheets saved as CSV.

mod run;

use std::fs;

use run::{fairpen, repository};

#[test]
fn a_spreadsheet_reports_as_its_sheets_would() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("out");
    let sheets = repository("crate/wasm-spreadsheet/tests/files/three_sheets.xlsx");
    let report = fairpen([
        "report".as_ref(),
        sheets.as_os_str(),
        "--sheet".as_ref(),
        "calves weaned".as_ref(),
        "--out".as_ref(),
        out.as_os_str(),
        "--as-of".as_ref(),
        "2026-11-01".as_ref(),
    ]);
    assert_eq!(report.code, 0, "{}", report.err);
    let adjusted = fs::read_to_string(out.join("adjusted.csv")).expect("written");
    let calf = adjusted
        .lines()
        .find(|line| line.starts_with("0101,"))
        .expect("the tag keeps its zero");
    // 470 lb at 214 days of a heifer from a mature cow (born 2016-04-02, nine years old) by the standard
    // birth weight of heifers.
    let cells: Vec<&str> = calf.split(',').collect();
    assert_eq!(cells[1..4], ["2026", "heifer", "C30"]);
    assert_eq!(cells[5], "214");
    let problems = fs::read_to_string(out.join("problems.csv")).expect("written");
    assert!(problems.contains("import.spreadsheet.merged"));
    assert!(problems.contains("import.rows.summary"));
    assert!(
        !problems.contains("check.dam_age.unknown"),
        "the cows' sheet was read too"
    );
}
