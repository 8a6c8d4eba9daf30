//! Columns, views and windows as they cross.
//!
//! Enters: what the engine shows. Leaves: shapes of [`crate::types`], and the window of a grid.

use fairpen_engine::desk::columns::ColumnAbout;
use fairpen_engine::desk::views::Window;
use fairpen_engine::sheet::view;
use fairpen_engine::sheet::write::CELL_SEPARATOR;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::types::{ColumnFilter, ColumnInfo, SortKey, ValueCount, ViewSpec};

/// Nothing stands in the cell.
const MISSING: u8 = 1;
/// The text of the cell was not understood.
const UNREADABLE: u8 = 2;
/// What stands in the cell may be wrong.
pub const DOUBTFUL: u8 = 4;
/// What stands in the cell keeps a figure from being worked out.
pub const IN_ERROR: u8 = 8;

/// A window of rows: row keys, cell texts joined by U+001F row after row, a byte of marks per cell
/// (1 missing, 2 not understood, 4 doubtful, 8 in error), and the number behind each cell.
#[wasm_bindgen]
pub struct GridWindow {
    row_keys: Vec<u32>,
    text: String,
    flags: Vec<u8>,
    values: Vec<f64>,
}

#[wasm_bindgen]
impl GridWindow {
    /// Permanent keys of the rows.
    #[wasm_bindgen(getter, js_name = rowKeys)]
    pub fn row_keys(&self) -> Vec<u32> {
        self.row_keys.clone()
    }

    /// Cell texts joined by U+001F, row after row.
    #[wasm_bindgen(getter)]
    pub fn text(&self) -> String {
        self.text.clone()
    }

    /// Marks per cell.
    #[wasm_bindgen(getter)]
    pub fn flags(&self) -> Vec<u8> {
        self.flags.clone()
    }

    /// The number behind each cell: NaN for text and missing, days since 1970-01-01 for dates.
    #[wasm_bindgen(getter)]
    pub fn values(&self) -> Vec<f64> {
        self.values.clone()
    }
}

/// A window as it crosses; `marks` gives the further marks of a cell by row key and position of its column.
pub fn window_of(window: Window, n_columns: usize, marks: impl Fn(u32, usize) -> u8) -> GridWindow {
    let mut text = String::new();
    let mut flags = Vec::with_capacity(window.texts.len());
    for (at, cell) in window.texts.iter().enumerate() {
        if at > 0 {
            text.push(CELL_SEPARATOR);
        }
        // A separator inside a text would shift every cell behind it.
        text.extend(
            cell.chars()
                .map(|ch| if ch == CELL_SEPARATOR { ' ' } else { ch }),
        );
        let mut flag = marks(window.row_keys[at / n_columns], at % n_columns);
        if cell.is_empty() {
            flag |= MISSING;
        }
        if window.unreadable[at] {
            flag |= UNREADABLE;
        }
        if window.errors[at] {
            flag |= IN_ERROR;
        }
        flags.push(flag);
    }
    GridWindow {
        row_keys: window.row_keys,
        text,
        flags,
        values: window.values,
    }
}

/// A column as it crosses.
pub fn info_of(about: ColumnAbout) -> ColumnInfo {
    ColumnInfo {
        key: about.key,
        label: about.label,
        unit: about.unit,
        kind: about.kind.to_owned(),
        origin: about.origin.to_owned(),
        help: about.help,
        editable: about.editable,
        choices: about.choices.into_iter().map(str::to_owned).collect(),
        names_another: about.names_another,
        bar: about.bar,
        empty: about.empty,
        from_file: about.from_file,
        formula: about.formula,
    }
}

/// Counted texts as they cross.
pub fn counts_of(counts: Vec<(String, u32)>) -> Vec<ValueCount> {
    counts
        .into_iter()
        .map(|(text, n)| ValueCount { text, n })
        .collect()
}

/// A view as the engine takes it.
pub fn view_of(spec: ViewSpec) -> view::ViewSpec {
    view::ViewSpec {
        sort: spec.sort.into_iter().map(sort_key_of).collect(),
        text: spec.text,
        filters: spec.filters.into_iter().map(filter_of).collect(),
    }
}

/// A sort key as the engine takes it.
pub fn sort_key_of(key: SortKey) -> view::SortKey {
    view::SortKey {
        column: key.column,
        descending: key.descending,
    }
}

/// A filter as the engine takes it.
pub fn filter_of(filter: ColumnFilter) -> view::ColumnFilter {
    view::ColumnFilter {
        column: filter.column,
        contains: filter.contains,
        values: filter.values,
    }
}
