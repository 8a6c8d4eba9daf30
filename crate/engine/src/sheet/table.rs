//! A sheet: rows and typed columns.
//!
//! Enters: columns and rows, by import or by hand. Leaves: columns by key.
//! Always true: every column has `n_rows` cells. A row's number here is its permanent key: rows are only
//! added at the end (or taken off the end when an addition is undone), and sorting is a view.
//! Never: reorders or rewrites rows.

use super::column::{Column, Origin};
use super::schema::SheetKind;

/// A sheet of a book.
#[derive(Clone)]
pub struct Table {
    /// Which sheet.
    pub kind: SheetKind,
    columns: Vec<Column>,
    n_rows: usize,
    /// For each row the line of the file it came from, 0 when typed.
    pub source_line: Vec<u32>,
}

impl Table {
    /// A sheet with its known columns and no rows.
    pub fn new(kind: SheetKind) -> Table {
        let columns = kind
            .columns()
            .iter()
            .map(|known| Column::new(known.key, known.label, known.kind, Origin::Known))
            .collect();
        Table {
            kind,
            columns,
            n_rows: 0,
            source_line: Vec::new(),
        }
    }

    /// Number of rows.
    pub fn n_rows(&self) -> usize {
        self.n_rows
    }

    /// All columns: the known ones in schema order, then the person's own.
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// The column with this key.
    pub fn column(&self, key: &str) -> Option<&Column> {
        self.columns.iter().find(|column| column.key == key)
    }

    /// The column with this key, to change its cells. Its number of cells must stay.
    pub fn column_mut(&mut self, key: &str) -> Option<&mut Column> {
        self.columns.iter_mut().find(|column| column.key == key)
    }

    /// A known column. Every table has all of its schema's columns.
    pub fn known(&self, key: &'static str) -> &Column {
        self.column(key)
            .expect("the schema's columns are in every table")
    }

    /// Adds a column of the person's own, filled with missing cells up to the number of rows.
    pub fn add_column(&mut self, mut column: Column) {
        column.cells.resize(self.n_rows);
        self.columns.push(column);
    }

    /// Takes a column of the person's own away and hands it back.
    pub fn remove_own_column(&mut self, key: &str) -> Option<Column> {
        let at = self
            .columns
            .iter()
            .position(|c| c.key == key && c.origin == Origin::Own)?;
        Some(self.columns.remove(at))
    }

    /// Grows or shrinks to `n_rows` at the end; new cells are missing.
    pub fn resize(&mut self, n_rows: usize) {
        for column in &mut self.columns {
            column.cells.resize(n_rows);
            let _gone = column
                .unreadable
                .split_off(&u32::try_from(n_rows).unwrap_or(u32::MAX));
        }
        self.source_line.resize(n_rows, 0);
        self.n_rows = n_rows;
    }

    /// Puts a column of the person's own at a position among all columns (at the end when beyond it),
    /// filled with missing cells up to the number of rows.
    pub fn insert_column(&mut self, position: usize, mut column: Column) {
        column.cells.resize(self.n_rows);
        let at = position.clamp(self.kind.columns().len(), self.columns.len());
        self.columns.insert(at, column);
    }

    /// Position of the column with this key.
    pub fn column_position(&self, key: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.key == key)
    }

    /// Adds the rows of `more` at the end. Its own columns must stand here already; columns it does not
    /// have are missing in the new rows. Cells are moved, and converted where an own column here holds
    /// another kind.
    pub fn append(&mut self, more: Table) {
        let n_rows = self.n_rows + more.n_rows;
        for mut arriving in more.columns {
            if let Some(column) = self.column_mut(&arriving.key) {
                if !column.takes_cells_of(&arriving) {
                    arriving = arriving.read_as(column.kind);
                }
                column.append(arriving);
            }
        }
        for column in &mut self.columns {
            column.cells.resize(n_rows);
        }
        self.source_line.resize(self.n_rows, 0);
        self.source_line.extend(more.source_line);
        self.source_line.resize(n_rows, 0);
        self.n_rows = n_rows;
    }

    /// Takes the rows from `n_rows` on off and hands them back as a table with the same columns.
    pub fn split_off(&mut self, n_rows: usize) -> Table {
        let n_rows = n_rows.min(self.n_rows);
        let off = Table {
            kind: self.kind,
            columns: self
                .columns
                .iter_mut()
                .map(|column| column.split_off(n_rows))
                .collect(),
            n_rows: self.n_rows - n_rows,
            source_line: self
                .source_line
                .split_off(n_rows.min(self.source_line.len())),
        };
        self.n_rows = n_rows;
        off
    }

    /// Some rows, in the order given, as a table with the same columns. Every row must be there.
    pub fn select(&self, rows: &[u32]) -> Table {
        Table {
            kind: self.kind,
            columns: self
                .columns
                .iter()
                .map(|column| column.select(rows))
                .collect(),
            n_rows: rows.len(),
            source_line: rows
                .iter()
                .map(|&row| self.source_line.get(row as usize).copied().unwrap_or(0))
                .collect(),
        }
    }

    /// All columns, to change their cells. Keys and numbers of cells must stay.
    pub(super) fn columns_mut(&mut self) -> &mut [Column] {
        &mut self.columns
    }

    /// Takes own columns away that hold nothing, but for the named ones.
    pub(super) fn drop_blank_own_columns(&mut self, keep: &[String]) {
        self.columns.retain(|column| {
            column.origin == Origin::Known || keep.contains(&column.key) || !column.holds_nothing()
        });
    }
}
