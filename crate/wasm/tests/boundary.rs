//! The boundary as JavaScript sees it. Runs in Node and, when told to, in a browser.
#![cfg(target_arch = "wasm32")]

use wasm_bindgen_test::wasm_bindgen_test;

#[wasm_bindgen_test]
fn the_core_says_its_version() {
    assert_eq!(fairpen_wasm::version(), env!("CARGO_PKG_VERSION"));
}
