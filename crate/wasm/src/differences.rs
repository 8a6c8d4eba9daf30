//! An earlier version of the book held against the book in hand.
//!
//! Enters: a saved book. Leaves: [`BookDifferenceInfo`].
//! Always true: the book in hand is not touched.

use fairpen_engine::book::difference::{SheetDifference, difference};
use fairpen_engine::book::open::open;
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::refusal::{Answer, give, refused};
use crate::session::Session;
use crate::types::{BookDifferenceInfo, CellDifferenceInfo, SheetDifferenceInfo};

#[wasm_bindgen]
impl Session {
    /// What differs between a saved book and the book in hand.
    pub fn difference(&self, earlier: &[u8]) -> Answer<Ts<BookDifferenceInfo>> {
        let then = open(earlier).map_err(|refusal| refused(&refusal))?;
        let found = difference(&then, self.desk.book());
        give(BookDifferenceInfo {
            sheets: found.sheets.into_iter().map(info_of).collect(),
            settings: found.settings,
        })
    }
}

fn info_of(sheet: SheetDifference) -> SheetDifferenceInfo {
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    SheetDifferenceInfo {
        label: sheet.sheet.label().to_owned(),
        n_then: count(sheet.n_then),
        n_now: count(sheet.n_now),
        n_same: count(sheet.n_same),
        n_cells: count(sheet.cells.n),
        cells: sheet
            .cells
            .listed
            .into_iter()
            .map(|cell| CellDifferenceInfo {
                row: cell.row,
                column: cell.column,
                then: cell.then,
                now: cell.now,
            })
            .collect(),
        n_gone: count(sheet.gone.n),
        gone: sheet.gone.listed,
        n_came: count(sheet.came.n),
        came: sheet.came.listed,
        columns_then: sheet.columns_then,
        columns_now: sheet.columns_now,
        formulas: sheet.formulas,
    }
}
