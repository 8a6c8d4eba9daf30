//! Words of coded columns.
//!
//! Enters: a list of words and what was typed. Leaves: a position in the list.
//! Always true: a word of the list is tried before the words for missing (`none` is a *no* to creep feed).
//! Never: guesses.

use super::is_word_for_missing;
use crate::sheet::codes::{Codes, NO_CODE};

/// The position of what was typed, [`NO_CODE`] when it means nothing was recorded, `None` when it is not
/// understood.
pub fn position(codes: &Codes, text: &str) -> Option<u8> {
    codes
        .position(text)
        .or_else(|| is_word_for_missing(text).then_some(NO_CODE))
}
