//! Reads any text as a formula and computes what can be read.
#![no_main]

use fairpen_tests::any_formula::hold_to_promises;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    hold_to_promises(text);
});
