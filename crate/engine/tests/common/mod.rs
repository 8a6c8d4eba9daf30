//! Books for tests, from short comma-separated texts.
//!
//! Enters: a header of known keys and rows. Leaves: a book. The reading is the test's own and small: what
//! import makes of a file is tested elsewhere.

use fairpen_engine::sheet::codes::NO_CODE;
use fairpen_engine::sheet::column::{Cells, Kind};
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::workbook::Workbook;

/// A book whose calves are these lines.
#[allow(dead_code, reason = "not every test file needs both")]
pub fn calves(text: &str) -> Workbook {
    let mut book = Workbook::new();
    fill(&mut book, SheetKind::Calves, text);
    book
}

/// Adds these lines to a sheet.
pub fn fill(book: &mut Workbook, sheet: SheetKind, text: &str) {
    let mut lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    let header: Vec<&str> = lines.next().expect("a header").split(',').collect();
    for line in lines {
        let table = book.sheet_mut(sheet);
        let row = table.n_rows();
        table.resize(row + 1);
        for (key, cell) in header.iter().zip(line.split(',')) {
            put(book, sheet, row, key, cell);
        }
    }
}

/// Puts a text into a cell.
pub fn put(book: &mut Workbook, sheet: SheetKind, row: usize, key: &str, cell: &str) {
    let column = book
        .sheet_mut(sheet)
        .column_mut(key)
        .unwrap_or_else(|| panic!("no column {key}"));
    let kind = column.kind;
    match &mut column.cells {
        Cells::Text(cells) => cells.set(row, cell),
        Cells::Number(cells) => {
            cells[row] = if cell.is_empty() {
                f64::NAN
            } else {
                cell.parse().expect("a number")
            };
        }
        Cells::Day(cells) => cells[row] = day(cell),
        Cells::Code(cells) => {
            let Kind::Code(codes) = kind else {
                panic!("a coded column")
            };
            cells[row] = if cell.is_empty() {
                NO_CODE
            } else {
                codes.position(cell).expect("a word of the list")
            };
        }
    }
}

/// `2026-03-01`, or missing.
pub fn day(text: &str) -> Day {
    if text.is_empty() {
        return Day::MISSING;
    }
    let parts: Vec<u32> = text
        .split('-')
        .map(|part| part.parse().expect("a number"))
        .collect();
    Day::from_ymd(parts[0] as i32, parts[1], parts[2]).expect("a real day")
}
