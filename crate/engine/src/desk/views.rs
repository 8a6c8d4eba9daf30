//! Sheets as they are shown: rows in order, a window of them, and moving about.
//!
//! Enters: a view, positions in it. Leaves: row keys, texts, positions.
//! Always true: an edit never moves a row that is on the screen: the view stays as it was made, rows that
//! are added stand at its end, rows that are taken off leave it. What crosses to the page are permanent keys.
//! Never: changes a cell.

use super::Desk;
use crate::sheet::schema::SheetKind;
use crate::sheet::view::{Search, ViewSpec, distinct, edge, rows_shown};

/// Most distinct values listed for a filter.
pub const MOST_VALUES: usize = 1000;

/// A window of rows, row by row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Window {
    /// Permanent keys of the rows.
    pub row_keys: Vec<u32>,
    /// Cells of the asked columns, row after row.
    pub texts: Vec<String>,
    /// Numbers behind the cells; dates as days since 1970-01-01; NaN for text and missing.
    pub values: Vec<f64>,
    /// True where the text of a cell was not understood.
    pub unreadable: Vec<bool>,
    /// True where a formula gave an error.
    pub errors: Vec<bool>,
}

impl Desk {
    /// Shows a sheet this way and gives the number of rows shown. Rows that were hidden stay hidden; rows that
    /// were put in stay where they were put as long as the view is made the same way.
    pub fn set_view(&mut self, sheet: SheetKind, spec: &ViewSpec) -> usize {
        let placing = &mut self.placing[sheet.position()];
        if placing.spec != *spec {
            placing.placed.clear();
            placing.spec = spec.clone();
        }
        let placing = &self.placing[sheet.position()];
        let table = self.book.sheet(sheet);
        let as_it_stands = *spec == ViewSpec::default();
        let arranged = !placing.hidden.is_empty() || !placing.placed.is_empty();
        let keys = (!as_it_stands || arranged).then(|| {
            let searched = if spec.text.is_empty() {
                Vec::new()
            } else {
                self.column_keys(sheet)
            };
            let mut keys = rows_shown(
                table.n_rows(),
                spec,
                |key| self.series(sheet, key),
                &searched,
            );
            if table.n_taken_off() > 0 {
                for row in &mut keys {
                    *row = table.key_of(*row);
                }
            }
            placing.arrange(&mut keys, |key| table.row_of(key).is_some());
            keys
        });
        let n_shown = keys.as_ref().map_or(table.n_rows(), Vec::len);
        self.shown[sheet.position()] = keys;
        n_shown
    }

    /// Number of rows shown.
    pub fn n_shown(&self, sheet: SheetKind) -> usize {
        match &self.shown[sheet.position()] {
            Some(rows) => rows.len(),
            None => self.book.sheet(sheet).n_rows(),
        }
    }

    /// The row at a position of the view.
    pub fn row_at(&self, sheet: SheetKind, position: usize) -> Option<u32> {
        match &self.shown[sheet.position()] {
            Some(keys) => self.book.sheet(sheet).row_of(*keys.get(position)?),
            None => u32::try_from(position)
                .ok()
                .filter(|_| position < self.book.sheet(sheet).n_rows()),
        }
    }

    /// The position in the view of the row with a permanent key; `None` when it is filtered out, hidden or
    /// not there.
    pub fn position_of(&self, sheet: SheetKind, key: u32) -> Option<usize> {
        match &self.shown[sheet.position()] {
            Some(keys) => keys.iter().position(|&shown| shown == key),
            None => self.book.sheet(sheet).row_of(key).map(|row| row as usize),
        }
    }

    /// Rows from position `first` on, at most `n` of them. Columns that are not there are blank.
    pub fn window(&self, sheet: SheetKind, first: usize, n: usize, columns: &[String]) -> Window {
        let end = first.saturating_add(n).min(self.n_shown(sheet));
        let mut window = Window::default();
        for position in first..end {
            let Some(row) = self.row_at(sheet, position) else {
                break;
            };
            window.row_keys.push(self.book.sheet(sheet).key_of(row));
            for key in columns {
                match self.shown_cell(sheet, key, row as usize) {
                    Some(cell) => {
                        window.texts.push(cell.text);
                        window.values.push(cell.value);
                        window.unreadable.push(cell.unreadable);
                        window.errors.push(cell.error);
                    }
                    None => {
                        window.texts.push(String::new());
                        window.values.push(f64::NAN);
                        window.unreadable.push(false);
                        window.errors.push(false);
                    }
                }
            }
        }
        window
    }

    /// The distinct shown texts of a column with their counts, blank last, at most [`MOST_VALUES`].
    pub fn values(&self, sheet: SheetKind, column: &str) -> Vec<(String, u32)> {
        let n_rows = self.book.sheet(sheet).n_rows();
        self.series(sheet, column)
            .map_or_else(Vec::new, |series| distinct(&series, n_rows, MOST_VALUES))
    }

    /// Where Ctrl with an arrow goes from a position: see [`edge`].
    pub fn edge(&self, sheet: SheetKind, from: usize, column: &str, forward: bool) -> usize {
        let Some(series) = self.series(sheet, column) else {
            return from;
        };
        match &self.shown[sheet.position()] {
            Some(keys) => {
                let table = self.book.sheet(sheet);
                let rows: Vec<u32> = keys.iter().filter_map(|&key| table.row_of(key)).collect();
                edge(&series, &rows, from, forward)
            }
            None => {
                let n_rows = u32::try_from(self.book.sheet(sheet).n_rows()).unwrap_or(u32::MAX);
                edge(&series, &(0..n_rows).collect::<Vec<_>>(), from, forward)
            }
        }
    }

    /// The next position after `from` (going round at the end) whose row holds the text in one of the columns;
    /// `None` when no row does. `from` of `None` starts at the top.
    pub fn find(
        &self,
        sheet: SheetKind,
        text: &str,
        from: Option<usize>,
        columns: &[String],
    ) -> Option<usize> {
        let n_shown = self.n_shown(sheet);
        if text.is_empty() || n_shown == 0 {
            return None;
        }
        let search = Search::new(
            self.book.sheet(sheet).n_rows(),
            text,
            columns.iter().filter_map(|key| self.series(sheet, key)),
        );
        let start = from.map_or(0, |from| from + 1);
        (0..n_shown)
            .map(|step| (start + step) % n_shown)
            .find(|&position| {
                self.row_at(sheet, position)
                    .is_some_and(|row| search.holds(row as usize))
            })
    }
}
