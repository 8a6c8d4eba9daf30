//! What must hold when any bytes are opened as a spreadsheet file.
//!
//! Enters: bytes. Leaves: nothing; a broken promise ends the run with a message.
//! Always true: the property test and the fuzzer ask for the same promises: the file is refused with a sentence, or
//! its sheets are listed and each is text that the import reads, or is refused.
//! Never: asks that the bytes make sense.

use std::panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook};
use std::sync::{Arc, Mutex};

use fairpen_wasm_spreadsheet::file::File;

use crate::any_bytes;
use crate::packed::{overwritten, pack, parts};

const XLSX: &[u8] = include_bytes!("../../crate/wasm-spreadsheet/tests/files/three_sheets.xlsx");
const XLS: &[u8] = include_bytes!("../../crate/wasm-spreadsheet/tests/files/old_weights.xls");
const ODS: [(&str, &str); 2] = [
    ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
    (
        "META-INF/manifest.xml",
        r#"<?xml version="1.0"?><manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"><manifest:file-entry manifest:full-path="/" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/></manifest:manifest>"#,
    ),
];

/// A file made of the bytes: as they are, or as one part of a sound file, which the first byte chooses.
pub fn file_of(bytes: &[u8]) -> Vec<u8> {
    let Some((&choice, rest)) = bytes.split_first() else {
        return Vec::new();
    };
    let part_of_xlsx = |name: &str, with: &dyn Fn(&[u8]) -> Vec<u8>| {
        let mut all = parts(XLSX);
        for (part, bytes) in &mut all {
            if part == name {
                *bytes = with(bytes);
            }
        }
        pack(&all)
    };
    let whole = |_: &[u8]| rest.to_vec();
    let changed = |bytes: &[u8]| overwritten(bytes, rest);
    match choice % 9 {
        0 => rest.to_vec(),
        1 => part_of_xlsx("xl/worksheets/sheet2.xml", &whole),
        2 => part_of_xlsx("xl/worksheets/sheet2.xml", &changed),
        3 => part_of_xlsx("xl/styles.xml", &whole),
        4 => part_of_xlsx("xl/workbook.xml", &changed),
        5 => overwritten(XLS, rest),
        6 => overwritten(XLSX, rest),
        7 => {
            let mut all = parts(XLSX);
            all.push(("xl/sharedStrings.xml".to_owned(), rest.to_vec()));
            pack(&all)
        }
        _ => {
            let mut all: Vec<(String, Vec<u8>)> = ODS
                .iter()
                .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
                .collect();
            all.push(("content.xml".to_owned(), rest.to_vec()));
            pack(&all)
        }
    }
}

/// Opens the bytes and reads every sheet.
///
/// # Panics
/// When a promise is broken.
pub fn hold_to_promises(bytes: &[u8]) {
    let texts = quietly(|| {
        let mut file = match File::open(bytes.to_vec()) {
            Ok(file) => file,
            Err(refused) => {
                assert!(!refused.message.is_empty() && !refused.hint.is_empty());
                return Vec::new();
            }
        };
        let Ok(sheets) = file.sheets() else {
            return Vec::new();
        };
        assert!(!sheets.is_empty(), "a file without sheets is refused");
        let mut texts = Vec::new();
        for sheet in sheets {
            assert!(sheet.n_rows > 0);
            if let Ok(text) = file.csv(&sheet.name) {
                texts.push(text.bytes);
            }
        }
        texts
    });
    for text in texts {
        assert!(std::str::from_utf8(&text).is_ok(), "the text is UTF-8");
        any_bytes::hold_to_promises(&text, 97);
    }
}

/// Runs with the panics of the library silent: they are caught where they happen, and a fuzzer's own hook would end
/// the run before. A panic that is not caught there is told here.
fn quietly<T>(run: impl FnOnce() -> T) -> T {
    let said = Arc::new(Mutex::new(String::new()));
    let ears = Arc::clone(&said);
    let loud = take_hook();
    set_hook(Box::new(move |info| {
        if let Ok(mut said) = ears.lock() {
            *said = info.to_string();
        }
    }));
    let done = catch_unwind(AssertUnwindSafe(run));
    set_hook(loud);
    done.unwrap_or_else(|_| {
        let said = said.lock().map(|said| said.clone()).unwrap_or_default();
        panic!("not caught: {said}")
    })
}
