//! Opens any bytes as a book, any bytes as one part of a sound one, and plays any bytes as a journal.
#![no_main]

use fairpen_tests::any_book::{file_of, hold_to_promises, play};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| match bytes.split_first() {
    Some((255, journal)) => play(journal),
    _ => hold_to_promises(&file_of(bytes)),
});
