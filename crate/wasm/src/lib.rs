//! The boundary between Fairpen's engine and the page.
//!
//! Enters: calls from JavaScript. Leaves: shapes of [`types`], typed arrays and bytes, or a refusal.
//! Always true: every method delegates to the engine; what can be refused is refused with a sentence.
//! Never: holds a rule of the trade or a number of its own.

mod animals;
mod asked_names;
mod beside;
mod change;
mod columns;
mod comparison;
pub mod comparison_types;
mod differences;
mod formulas;
mod groups;
mod hand_over;
mod imports;
mod looks;
mod merging;
mod pad;
mod problems;
mod questions;
mod ranges;
mod refusal;
mod remembered;
pub mod rows;
pub mod session;
mod settings_form;
mod trial;
pub mod types;
mod working;

use wasm_bindgen::prelude::wasm_bindgen;

/// The version of Fairpen this core was built from, such as `0.1.0`.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
