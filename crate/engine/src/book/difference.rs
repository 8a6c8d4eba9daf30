//! What differs between two states of a book.
//!
//! Enters: the book as it was and as it is. Leaves: for each sheet how many rows stand in both, only in the one,
//! only in the other; and whether columns, formulas or settings differ.
//! Always true: a row counts as the same when all its filled cells are, wherever it stands; blank cells and blank
//! columns say nothing; rows that are alike are paired one to one. A changed row is found again by its permanent key.
//! Never: compares results, since they follow from the rows.

use std::collections::BTreeMap;
use std::collections::hash_map::DefaultHasher;
use std::hash::Hasher;

use crate::sheet::column::{Cells, Column, Kind};
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// Cells and rows of a sheet that are listed; the rest are counted.
pub const MOST_LISTED: usize = 40;

/// A cell that says something else.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellDifference {
    /// The row, by its present tag or name.
    pub row: String,
    /// Label of the column.
    pub column: String,
    /// What it said then; empty when it was blank.
    pub then: String,
    /// What it says now; empty when it is blank.
    pub now: String,
}

/// Some of a list, and how long all of it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part<T> {
    /// The first of them.
    pub listed: Vec<T>,
    /// All of them.
    pub n: usize,
}

impl<T> Part<T> {
    fn new() -> Part<T> {
        Part {
            listed: Vec::new(),
            n: 0,
        }
    }

    fn push(&mut self, item: impl FnOnce() -> T) {
        self.n += 1;
        if self.listed.len() < MOST_LISTED {
            self.listed.push(item());
        }
    }
}

/// What differs in one sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetDifference {
    /// The sheet.
    pub sheet: SheetKind,
    /// Rows it had then.
    pub n_then: usize,
    /// Rows it has now.
    pub n_now: usize,
    /// Rows that are alike in every filled cell.
    pub n_same: usize,
    /// Cells of rows that are there in both states, as far as the column is.
    pub cells: Part<CellDifference>,
    /// Rows that were there then only, by tag or name.
    pub gone: Part<String>,
    /// Rows that came since, by tag or name.
    pub came: Part<String>,
    /// Labels of the columns of the person's own that are only in the earlier state.
    pub columns_then: Vec<String>,
    /// Labels of the columns of the person's own that are only in the present state.
    pub columns_now: Vec<String>,
    /// Labels of the columns whose formula is another.
    pub formulas: Vec<String>,
}

impl SheetDifference {
    /// True when nothing in the sheet differs.
    pub fn is_none(&self) -> bool {
        self.n_then == self.n_same
            && self.n_now == self.n_same
            && self.columns_then.is_empty()
            && self.columns_now.is_empty()
            && self.formulas.is_empty()
    }
}

/// What differs in a book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BookDifference {
    /// The sheets that hold rows in either state, in the order of the book.
    pub sheets: Vec<SheetDifference>,
    /// The settings differ (the name of the book is one of them).
    pub settings: bool,
}

/// Holds the book as it was against the book as it is.
pub fn difference(then: &Workbook, now: &Workbook) -> BookDifference {
    let sheets = SheetKind::ALL
        .into_iter()
        .map(|kind| sheet_difference(then.sheet(kind), now.sheet(kind)))
        .filter(|sheet| sheet.n_then > 0 || sheet.n_now > 0 || !sheet.is_none())
        .collect();
    BookDifference {
        sheets,
        settings: then.settings != now.settings,
    }
}

fn sheet_difference(then: &Table, now: &Table) -> SheetDifference {
    let labels = |of: &Table, without: &Table| -> Vec<String> {
        of.columns()
            .iter()
            .filter(|column| without.column(&column.key).is_none())
            .map(|column| column.label.clone())
            .collect()
    };
    let formulas = now
        .columns()
        .iter()
        .filter(|column| {
            then.column(&column.key)
                .is_some_and(|before| before.formula != column.formula)
        })
        .map(|column| column.label.clone())
        .collect();
    let (marks_then, marks_now) = (row_marks(then), row_marks(now));
    let (cells, gone, came) = by_key((then, &marks_then), (now, &marks_now));
    SheetDifference {
        sheet: now.kind,
        n_then: then.n_rows(),
        n_now: now.n_rows(),
        n_same: n_in_both(marks_then, marks_now),
        cells,
        gone,
        came,
        columns_then: labels(then, now),
        columns_now: labels(now, then),
        formulas,
    }
}

/// Rows paired by their permanent keys: cells that changed, rows that are gone, rows that came.
fn by_key(
    (then, marks_then): (&Table, &[u64]),
    (now, marks_now): (&Table, &[u64]),
) -> (Part<CellDifference>, Part<String>, Part<String>) {
    let (mut cells, mut gone, mut came) = (Part::new(), Part::new(), Part::new());
    let rows = |table: &Table| (0_u32..).take(table.n_rows()).collect::<Vec<u32>>();
    let row_then: BTreeMap<u32, u32> = rows(then)
        .into_iter()
        .map(|row| (then.key_of(row), row))
        .collect();
    let mut met = vec![false; then.n_rows()];
    for row in rows(now) {
        let Some(&before) = row_then.get(&now.key_of(row)) else {
            came.push(|| name_of(now, row));
            continue;
        };
        met[before as usize] = true;
        if marks_then[before as usize] == marks_now[row as usize] {
            continue;
        }
        for column in now.columns() {
            let Some(was) = then.column(&column.key) else {
                continue;
            };
            let (value_then, value_now) = (was.value(before as usize), column.value(row as usize));
            if value_then != value_now {
                cells.push(|| CellDifference {
                    row: name_of(now, row),
                    column: column.label.clone(),
                    then: was.shown_value(&value_then),
                    now: column.shown_value(&value_now),
                });
            }
        }
    }
    for row in rows(then) {
        if !met[row as usize] {
            gone.push(|| name_of(then, row));
        }
    }
    (cells, gone, came)
}

/// What people call a row: its tag, name, or the animal it is about; else where it stands.
fn name_of(table: &Table, row: u32) -> String {
    ["tag", "name", "eid", "animal", "cow", "female", "place"]
        .into_iter()
        .filter_map(|key| table.column(key))
        .map(|column| column.shown(row as usize))
        .find(|text| !text.is_empty())
        .unwrap_or_else(|| format!("row {}", row + 1))
}

/// How many marks stand in both, paired one to one.
fn n_in_both(mut then: Vec<u64>, mut now: Vec<u64>) -> usize {
    then.sort_unstable();
    now.sort_unstable();
    let (mut left, mut right, mut n) = (0, 0, 0);
    while let (Some(a), Some(b)) = (then.get(left), now.get(right)) {
        match a.cmp(b) {
            std::cmp::Ordering::Less => left += 1,
            std::cmp::Ordering::Greater => right += 1,
            std::cmp::Ordering::Equal => {
                left += 1;
                right += 1;
                n += 1;
            }
        }
    }
    n
}

/// One mark of 64 bits per row, from its filled cells. Two rows that differ have the same mark about once in
/// ten thousand million million.
fn row_marks(table: &Table) -> Vec<u64> {
    let mut rows = vec![DefaultHasher::new(); table.n_rows()];
    let mut columns: Vec<&Column> = table.columns().iter().collect();
    columns.sort_by(|a, b| a.key.cmp(&b.key));
    for column in columns {
        mark_cells(column, &mut rows);
    }
    rows.iter().map(Hasher::finish).collect()
}

fn mark_cells(column: &Column, rows: &mut [DefaultHasher]) {
    let key = column.key.as_bytes();
    let mut put = |row: usize, kind: u8, value: &[u8]| {
        if let Some(mark) = rows.get_mut(row) {
            mark.write(key);
            mark.write_u8(kind);
            // 64 bits everywhere, so that native and WebAssembly runs agree.
            mark.write_u64(value.len() as u64);
            mark.write(value);
        }
    };
    match &column.cells {
        Cells::Text(cells) => {
            for row in 0..cells.len() {
                if let Some(text) = cells.get(row).filter(|text| !text.is_empty()) {
                    put(row, b't', text.as_bytes());
                }
            }
        }
        Cells::Number(cells) => {
            for (row, number) in cells.iter().enumerate() {
                if !number.is_nan() {
                    // -0 and 0 read the same.
                    put(row, b'n', &(number + 0.0).to_bits().to_le_bytes());
                }
            }
        }
        Cells::Day(cells) => {
            for (row, day) in cells.iter().enumerate() {
                if !day.is_missing() {
                    put(row, b'd', &day.count().to_le_bytes());
                }
            }
        }
        Cells::Code(cells) => {
            if let Kind::Code(codes) = column.kind {
                for (row, &position) in cells.iter().enumerate() {
                    if let Some(word) = codes.key(position) {
                        put(row, b'c', word.as_bytes());
                    }
                }
            }
        }
    }
    for (&row, text) in &column.unreadable {
        put(row as usize, b'u', text.as_bytes());
    }
}
