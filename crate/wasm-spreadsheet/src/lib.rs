//! Spreadsheet files (XLSX, XLS, ODS) to plain cells, in a module of its own: it is large, and loaded only
//! when such a file comes in.
//!
//! Enters: the bytes of a file. Leaves: its sheets, and the cells of one of them as CSV text, which the
//! engine then reads like any other.
//! Always true: line `n` of that text is row `n` of the sheet; a formula leaves its last result.
//! Never: knows a rule of the herd, or links the engine.

pub mod cell;
mod compound;
pub mod file;
pub mod grid;
pub mod refusal;

use serde::{Deserialize, Serialize};
use tsify::{Ts, Tsify};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::refusal::Refused;

/// A refused call, as it is thrown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct Refusal {
    /// Dotted code.
    pub code: String,
    /// What happened.
    pub message: String,
    /// What to do.
    pub hint: String,
}

/// One sheet of a file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct SheetListed {
    /// Its name.
    pub name: String,
    /// Rows from the first to the last that holds something.
    pub n_rows: u32,
    /// Columns with something in them, the empty ones between included.
    pub n_columns: u32,
    /// Texts of the first row that holds at least two, to tell sheets apart.
    pub first_texts: Vec<String>,
}

/// A spreadsheet file in hand.
#[wasm_bindgen]
pub struct SpreadsheetReader(file::File);

#[wasm_bindgen]
impl SpreadsheetReader {
    /// Reads a file. Throws a refusal when it is none, damaged, locked or too large.
    #[wasm_bindgen(constructor)]
    pub fn new(bytes: Vec<u8>) -> Result<SpreadsheetReader, JsValue> {
        file::File::open(bytes)
            .map(SpreadsheetReader)
            .map_err(thrown)
    }

    /// Its sheets, in the order of the file.
    pub fn sheets(&mut self) -> Result<Vec<Ts<SheetListed>>, JsValue> {
        let sheets = self.0.sheets().map_err(thrown)?;
        sheets.into_iter().map(give).collect()
    }

    /// The cells of a sheet as CSV in UTF-8.
    pub fn csv(&mut self, sheet: &str) -> Result<Vec<u8>, JsValue> {
        self.0.csv(sheet).map(|text| text.bytes).map_err(thrown)
    }

    /// What was done to make plain cells of a sheet, in sentences.
    pub fn remarks(&mut self, sheet: &str) -> Result<Vec<String>, JsValue> {
        self.0.csv(sheet).map(|text| text.remarks).map_err(thrown)
    }
}

/// The version of Fairpen this module was built from, such as `0.1.0`.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

fn give<T: Tsify + Serialize>(value: T) -> Result<Ts<T>, JsValue> {
    value
        .into_ts()
        .map_err(|cause| JsValue::from_str(&cause.to_string()))
}

fn thrown(refused: Refused) -> JsValue {
    let shape = Refusal {
        code: refused.code.to_owned(),
        message: refused.message.clone(),
        hint: refused.hint.to_owned(),
    };
    shape
        .into_ts()
        .map_or_else(|_| JsValue::from_str(&refused.message), JsValue::from)
}
