//! The boundary between the engine and the page.
//!
//! - Enters: messages from a worker, as JavaScript values and typed arrays.
//! - Leaves: the engine's answers in the same form; TypeScript types are generated from this crate.
//! - Always true: the engine decides; this crate converts.
//! - Never: holds a rule of the herd, reads a clock, or reaches the network.

pub mod types;

use wasm_bindgen::prelude::wasm_bindgen;

/// The version of Fairpen this core was built from, such as `0.1.0`.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
