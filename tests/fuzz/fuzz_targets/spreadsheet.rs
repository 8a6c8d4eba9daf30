//! Opens any bytes as a spreadsheet file, and any bytes as one part of a sound one.
#![no_main]

use fairpen_tests::any_spreadsheet::{file_of, hold_to_promises};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    hold_to_promises(&file_of(bytes));
});
