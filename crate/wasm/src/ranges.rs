//! What is asked of a selected range: its facts, and finding and replacing in it.
//!
//! Enters: a sheet, positions of its view, column keys. Leaves: shapes of [`crate::types`], journal records.
//! Always true: no cell crosses; the engine reads and counts.

use fairpen_engine::desk::replace::Replacement;
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::refusal::{Answer, give, give_all, refused, sheet, take};
use crate::session::Session;
use crate::types::{RangeFact, ReplaceCount, ReplaceRequest};

#[wasm_bindgen]
impl Session {
    /// The facts of a range: counts, and sum, mean and spread of its numbers.
    pub fn range_facts(
        &self,
        sheet_key: &str,
        first: u32,
        last: u32,
        columns: Vec<String>,
    ) -> Answer<Vec<Ts<RangeFact>>> {
        let kind = sheet(sheet_key)?;
        let facts = self
            .desk
            .range_facts(kind, first as usize, last as usize, &columns);
        give_all(
            facts
                .into_iter()
                .map(|fact| RangeFact {
                    key: fact.key.to_owned(),
                    label: fact.label.to_owned(),
                    value: fact.value,
                })
                .collect(),
        )
    }

    /// What a replacement would change.
    pub fn count_replace(&self, r: Ts<ReplaceRequest>) -> Answer<Ts<ReplaceCount>> {
        let request: ReplaceRequest = take(r)?;
        let kind = sheet(&request.sheet)?;
        let count = self.desk.count_replace(kind, &replacement_of(request));
        let n = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        give(ReplaceCount {
            n_cells: n(count.n_cells),
            n_rows: n(count.n_rows),
            n_left_alone: n(count.n_left_alone),
            n_not_understood: n(count.n_not_understood),
            first: count.first.map(n),
        })
    }

    /// Replaces; append the bytes to the journal before you acknowledge it. No bytes when no cell holds the
    /// text.
    pub fn replace(&mut self, r: Ts<ReplaceRequest>) -> Answer<Vec<u8>> {
        let request: ReplaceRequest = take(r)?;
        let kind = sheet(&request.sheet)?;
        self.desk
            .replace(kind, &replacement_of(request))
            .map_err(|refusal| refused(&refusal))
    }
}

fn replacement_of(request: ReplaceRequest) -> Replacement {
    Replacement {
        find: request.find,
        with: request.with,
        whole_cell: request.whole_cell,
        match_case: request.match_case,
        first: request.first as usize,
        last: request.last as usize,
        columns: request.columns,
    }
}
