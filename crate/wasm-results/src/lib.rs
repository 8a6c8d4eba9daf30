//! The engine inside a results file, a module of its own: it carries what computes the figures of a file
//! again and leaves import, editing and saving at home, so that the file stays small.
//!
//! Enters: the payload of the file. Leaves: a mark per figure, and the working behind a figure.
//! Always true: it is built from the same engine as the rest of the program; the book is rebuilt once and
//! serves every question; nothing but the payload is read.
//! Never: changes the payload, reads a clock, or reaches the network.

pub mod types;

use fairpen_engine::error::Error;
use fairpen_engine::share::results_file::behind::{behind, behind_group};
use fairpen_engine::share::results_file::payload::Payload;
use fairpen_engine::share::results_file::rebuild::{Rebuilt, rebuild};
use fairpen_engine::share::results_file::verify::{Mark, verify_rebuilt};
use fairpen_engine::share::working::Working;
use tsify::{Ts, Tsify};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::types::{
    ColumnMarksView, DifferenceView, FigureInput, FigureWorking, Refusal, VerificationView,
};

/// Reads one results file.
#[wasm_bindgen]
pub struct ResultsReader {
    payload: Payload,
    rebuilt: Rebuilt,
}

#[wasm_bindgen]
impl ResultsReader {
    /// Reads a payload and rebuilds its book. Throws a refusal when it is damaged or of a later version.
    #[wasm_bindgen(constructor)]
    pub fn new(payload: &str) -> Result<ResultsReader, JsValue> {
        let payload = Payload::from_json(payload).map_err(|refusal| refused(&refusal))?;
        let rebuilt = rebuild(&payload);
        Ok(ResultsReader { payload, rebuilt })
    }

    /// Computes every figure again.
    pub fn verify(&self) -> Result<Ts<VerificationView>, JsValue> {
        let found = verify_rebuilt(&self.payload, &self.rebuilt);
        let letters = |marks: &[Mark]| marks.iter().map(|mark| mark.letter()).collect::<String>();
        give(VerificationView {
            columns: found
                .columns
                .iter()
                .map(|column| ColumnMarksView {
                    key: column.key.clone(),
                    marks: letters(&column.marks),
                })
                .collect(),
            groups: letters(&found.groups),
            comparison: letters(&[found.comparison]),
            recomputed: found.counts.recomputed,
            from_totals: found.counts.from_totals,
            stated: found.counts.stated,
            differ: found.counts.differ,
            differences: found
                .differences
                .into_iter()
                .map(|difference| DifferenceView {
                    what: difference.what,
                    stated: difference.stated,
                    recomputed: difference.recomputed,
                })
                .collect(),
            inputs_as_stated: found.inputs_as_stated,
            contents_as_stated: found.contents_as_stated,
        })
    }

    /// The working behind a figure of a calf; `undefined` where there is none.
    pub fn working(&self, row: u32, column: &str) -> Result<Option<Ts<FigureWorking>>, JsValue> {
        let row = row as usize;
        if row >= self.payload.n_calves as usize {
            return Ok(None);
        }
        behind(&self.payload, &self.rebuilt, row, column)
            .map(shape_of)
            .map(give)
            .transpose()
    }

    /// The working behind the mean of a group, by its line; `undefined` where there is none.
    pub fn group_working(&self, at: u32) -> Result<Option<Ts<FigureWorking>>, JsValue> {
        behind_group(&self.payload, &self.rebuilt, at as usize)
            .map(shape_of)
            .map(give)
            .transpose()
    }
}

/// The version of Fairpen this module was built from, such as `0.1.0`.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

fn shape_of(working: Working) -> FigureWorking {
    FigureWorking {
        title: working.title,
        result: working.result,
        inputs: working
            .inputs
            .into_iter()
            .map(|input| FigureInput {
                words: input.words,
                value: input.value,
            })
            .collect(),
        formula: working.formula,
        with_numbers: working.with_numbers,
        source: working.source,
        assumed: working.assumed,
    }
}

fn give<T: Tsify + serde::Serialize>(value: T) -> Result<Ts<T>, JsValue> {
    value
        .into_ts()
        .map_err(|cause| JsValue::from_str(&cause.to_string()))
}

fn refused(refusal: &Error) -> JsValue {
    let shape = Refusal {
        code: refusal.code().to_owned(),
        message: refusal.message().to_owned(),
        hint: refusal.hint().to_owned(),
    };
    shape
        .into_ts()
        .map_or_else(|_| JsValue::from_str(refusal.message()), JsValue::from)
}
