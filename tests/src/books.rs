//! Books for tests, from CSV texts whose headers are the keys of the columns.

use std::path::Path;

use fairpen_engine::sheet::column::Cells;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::read::{Read, ReadOptions, read_cell};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::workbook::Workbook;

/// A book whose calves are these lines.
pub fn calves(text: &str) -> Workbook {
    let mut book = Workbook::new();
    fill(&mut book, SheetKind::Calves, text);
    book
}

/// A folder of CSV files named by sheet.
pub fn folder(path: &Path) -> Workbook {
    let mut book = Workbook::new();
    for sheet in SheetKind::ALL {
        let file = path.join(format!("{}.csv", sheet.key()));
        if let Ok(bytes) = std::fs::read(&file) {
            fill(&mut book, sheet, &String::from_utf8_lossy(&bytes));
        }
    }
    book
}

/// Adds the rows of a CSV text to a sheet, with the line each stands in. Columns that are not of the sheet
/// are left out; spaces before a line do not matter.
pub fn fill(book: &mut Workbook, sheet: SheetKind, text: &str) {
    let trimmed: Vec<&str> = text.lines().map(str::trim_start).collect();
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .from_reader(std::io::Cursor::new(trimmed.join("\n")));
    let header = reader.headers().expect("a header").clone();
    for record in reader.records() {
        let record = record.expect("a row");
        let line = record.position().map_or(0, csv::Position::line);
        let table = book.sheet_mut(sheet);
        let row = table.n_rows();
        table.resize(row + 1);
        table.source_line[row] = u32::try_from(line).expect("a short file");
        for (key, cell) in header.iter().zip(&record) {
            if sheet.column(key).is_some() {
                put(book, sheet, row, key, cell);
            }
        }
    }
}

/// Types a text into a cell; one that cannot be read is kept beside the column, as when typed.
pub fn put(book: &mut Workbook, sheet: SheetKind, row: usize, key: &str, text: &str) {
    let options = ReadOptions::of_book(book.settings.weight_unit);
    let column = book
        .sheet_mut(sheet)
        .column_mut(key)
        .unwrap_or_else(|| panic!("no column {key}"));
    match (read_cell(column.kind, text, &options), &mut column.cells) {
        (Ok(Read::Missing), _) => {}
        (Ok(Read::Text(text)), Cells::Text(cells)) => cells.set(row, &text),
        (Ok(Read::Number { number, .. }), Cells::Number(cells)) => cells[row] = number,
        (Ok(Read::Day { day, .. }), Cells::Day(cells)) => cells[row] = day,
        (Ok(Read::Code(code)), Cells::Code(cells)) => cells[row] = code,
        (Err(_), _) => {
            let row = u32::try_from(row).expect("a short sheet");
            column.unreadable.insert(row, text.to_owned());
        }
        (Ok(_), _) => panic!("{key} holds another kind"),
    }
}

/// `2026-03-01` as a day.
pub fn day(text: &str) -> Day {
    match read_cell(
        fairpen_engine::sheet::column::Kind::Date,
        text,
        &ReadOptions::of_book(fairpen_engine::sheet::settings::WeightUnit::Pound),
    ) {
        Ok(Read::Day { day, .. }) => day,
        other => panic!("{text} is no day: {other:?}"),
    }
}
