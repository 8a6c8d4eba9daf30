//! Handing over: what would go, and the file.
//!
//! Enters: a request. Leaves: a preview, the payload, or the whole file's text.
//! Always true: the preview counts what the file's own engine will find.
//! Never: stores a choice.

use fairpen_engine::share;
use fairpen_engine::share::choice::{Choice, offered};
use fairpen_engine::share::results_file::{build, preview};
use fairpen_engine::sheet::workbook::Workbook;
use tsify::Ts;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::comparison::spec_of;
use crate::refusal::{Answer, give, refused, take};
use crate::session::Session;
use crate::types::{HandOverColumn, HandOverPreview, HandOverRequest};

/// What was chosen; rows that were taken off meanwhile do not go.
fn choice_of(book: &Workbook, request: &HandOverRequest) -> Result<Choice, JsValue> {
    Ok(Choice {
        columns: request.columns.clone(),
        rows: request.row_keys.as_ref().map(|keys| {
            let calves = book.calves();
            keys.iter().filter_map(|&key| calves.row_of(key)).collect()
        }),
        groups: request.groups,
        compare: request
            .compare
            .as_ref()
            .map(spec_of)
            .transpose()
            .map_err(|refusal| refused(&refusal))?,
        message: request.message.clone(),
        made_on: request.made_on.clone(),
    })
}

#[wasm_bindgen]
impl Session {
    /// What would go and what stays home. An empty choice is shown as one, not refused.
    pub fn hand_over_preview(&self, r: Ts<HandOverRequest>) -> Answer<Ts<HandOverPreview>> {
        let choice = choice_of(self.desk.book(), &take(r)?)?;
        let book = self.desk.book();
        let found =
            preview(book, self.desk.results(), &choice).map_err(|refusal| refused(&refusal))?;
        give(HandOverPreview {
            n_calves: found.n_calves,
            columns: offered(book)
                .into_iter()
                .map(|column| HandOverColumn {
                    goes: choice.has(&column.key),
                    key: column.key,
                    label: column.label,
                    usual: column.usual,
                })
                .collect(),
            stays_home: found.stays_home,
            recomputed: found.counts.recomputed,
            from_totals: found.counts.from_totals,
            stated: found.counts.stated,
        })
    }

    /// The payload of the results file, JSON.
    pub fn results_data(&self, r: Ts<HandOverRequest>) -> Answer<String> {
        let choice = choice_of(self.desk.book(), &take(r)?)?;
        build(self.desk.book(), self.desk.results(), &choice)
            .map(|payload| payload.to_json())
            .map_err(|refusal| refused(&refusal))
    }

    /// The whole results file. `template` is `results-template.html`, or the shell with the core put in.
    pub fn results_file(&self, template: &str, r: Ts<HandOverRequest>) -> Answer<String> {
        let choice = choice_of(self.desk.book(), &take(r)?)?;
        share::results_html(template, self.desk.book(), self.desk.results(), &choice)
            .map_err(|refusal| refused(&refusal))
    }
}
