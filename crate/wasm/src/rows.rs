//! Rows taken off, brought back, put in and hidden, as they cross.
//!
//! Enters: a range of the view. Leaves: journal records with what to say, and counts.
//! Always true: rows cross by their permanent keys; a range that no longer holds the rows it did is refused.

use fairpen_engine::desk::rows::RowRange;
use fairpen_engine::sheet::schema::SheetKind;
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::refusal::{Answer, give, refused, sheet, take};
use crate::session::Session;
use crate::types::{RowsAside, RowsRequest};

/// A change of rows that was made: its journal record, and what to say.
#[wasm_bindgen]
pub struct RowsDone {
    record: Vec<u8>,
    words: String,
}

#[wasm_bindgen]
impl RowsDone {
    /// Append it to the journal before the change is acknowledged.
    #[wasm_bindgen(getter)]
    pub fn record(&self) -> Vec<u8> {
        self.record.clone()
    }

    /// What was done, for people.
    #[wasm_bindgen(getter)]
    pub fn words(&self) -> String {
        self.words.clone()
    }
}

fn range_of(request: &RowsRequest) -> RowRange {
    RowRange {
        first: request.first as usize,
        last: request.last as usize,
        first_key: request.first_key,
        last_key: request.last_key,
    }
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

impl Session {
    /// The row with a permanent key; beyond every row where there is none on the record.
    pub(crate) fn row(&self, kind: SheetKind, row_key: u32) -> u32 {
        self.desk
            .book()
            .sheet(kind)
            .row_of(row_key)
            .unwrap_or(u32::MAX)
    }
}

#[wasm_bindgen]
impl Session {
    /// Takes rows off the record.
    pub fn take_off_rows(&mut self, r: Ts<RowsRequest>) -> Answer<RowsDone> {
        let request: RowsRequest = take(r)?;
        let kind = sheet(&request.sheet)?;
        let (record, words) = self
            .desk
            .take_off(kind, range_of(&request))
            .map_err(|refusal| refused(&refusal))?;
        Ok(RowsDone { record, words })
    }

    /// Permanent keys of all rows taken off a sheet.
    pub fn taken_off_keys(&self, sheet_key: &str) -> Answer<Vec<u32>> {
        Ok(self.desk.taken_off_keys(sheet(sheet_key)?))
    }

    /// Brings rows back by their permanent keys.
    pub fn bring_back(&mut self, sheet_key: &str, row_keys: Vec<u32>) -> Answer<RowsDone> {
        let (record, words) = self
            .desk
            .bring_back(sheet(sheet_key)?, row_keys)
            .map_err(|refusal| refused(&refusal))?;
        Ok(RowsDone { record, words })
    }

    /// Adds blank rows that stand from position `at` of the view on; gives the journal record.
    pub fn insert_rows(&mut self, sheet_key: &str, at: u32, n_rows: u32) -> Answer<Vec<u8>> {
        self.desk
            .insert_rows(sheet(sheet_key)?, at as usize, n_rows)
            .map_err(|refusal| refused(&refusal))
    }

    /// Hides rows of the view; gives how many are hidden now.
    pub fn hide_rows(&mut self, r: Ts<RowsRequest>) -> Answer<u32> {
        let request: RowsRequest = take(r)?;
        let kind = sheet(&request.sheet)?;
        self.desk
            .hide_rows(kind, range_of(&request))
            .map(count)
            .map_err(|refusal| refused(&refusal))
    }

    /// Shows hidden rows again.
    pub fn show_hidden_rows(&mut self, sheet_key: &str) -> Answer<()> {
        self.desk.show_hidden(sheet(sheet_key)?);
        Ok(())
    }

    /// Rows of a sheet that are not in its view for another reason than its filters.
    pub fn rows_aside(&self, sheet_key: &str) -> Answer<Ts<RowsAside>> {
        let kind = sheet(sheet_key)?;
        give(RowsAside {
            shown: count(self.desk.n_shown(kind)),
            hidden: count(self.desk.n_hidden(kind)),
            taken_off: count(self.desk.book().sheet(kind).n_taken_off()),
        })
    }
}
