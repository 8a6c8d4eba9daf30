//! Brings in files of any bytes; the first byte says into what pieces they are cut.
#![no_main]

use fairpen_tests::any_bytes::hold_to_promises;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let Some((&piece, file)) = bytes.split_first() {
        hold_to_promises(file, usize::from(piece) + 1);
    }
});
