//! Workings as they cross.
//!
//! Enters: a working of the engine. Leaves: [`WorkingInfo`].
//! Always true: an input that is a cell names its sheet, row and column.

use fairpen_engine::share::working::Working;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::workbook::Workbook;

use crate::types::{WorkingInfo, WorkingInputInfo};

/// The shape of a working.
pub fn info_of(book: &Workbook, working: Working) -> WorkingInfo {
    WorkingInfo {
        column: working.column,
        title: working.title,
        result: working.result,
        inputs: working
            .inputs
            .into_iter()
            .map(|input| {
                let (sheet, row_key, column) = match input.cell {
                    Some((sheet, row, column)) => {
                        let kind = SheetKind::from_key(&sheet);
                        let key = kind.map_or(row, |kind| book.sheet(kind).key_of(row));
                        (sheet, Some(key), column)
                    }
                    None => (String::new(), None, String::new()),
                };
                WorkingInputInfo {
                    words: input.words,
                    value: input.value,
                    sheet,
                    row_key,
                    column,
                }
            })
            .collect(),
        formula: working.formula,
        with_numbers: working.with_numbers,
        source: working.source,
        assumed: working.assumed,
        would_change: working.would_change,
    }
}
