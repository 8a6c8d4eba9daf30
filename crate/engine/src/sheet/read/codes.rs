//! Words of coded columns.
//!
//! Enters: a list of words and what was typed. Leaves: a position in the list.
//! Always true: a word of the list is tried before the words for missing (`none` is a *no* to creep feed).
//! Never: guesses.

use super::is_word_for_missing;
use crate::sheet::codes::{Codes, NO_CODE, RESULT};

/// The position of what was typed, [`NO_CODE`] when it means nothing was recorded, `None` when it is not
/// understood.
pub fn position(codes: &Codes, text: &str) -> Option<u8> {
    // "Preg -" and "P-" say the opposite of "preg": signs at the end are not passed over here.
    if std::ptr::eq(codes, &RESULT) && text.len() > 1 && text.ends_with(['-', '–', '—']) {
        return is_word_for_missing(text).then_some(NO_CODE);
    }
    codes
        .position(text)
        .or_else(|| is_word_for_missing(text).then_some(NO_CODE))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_check_found_is_never_turned_round() {
        let found = |text: &str| position(&RESULT, text).map(|at| RESULT.key(at).unwrap_or(""));
        for (text, key) in [
            ("P", "bred"),
            ("preg +", "bred"),
            ("O", "open"),
            ("not preg", "open"),
            ("?", "recheck"),
            ("N/C", "not checked"),
            ("not checked", "not checked"),
            ("-", ""),
            ("n/a", ""),
        ] {
            assert_eq!(found(text), Some(key), "{text}");
        }
        for text in ["Preg -", "P-", "bred –", "N", "X"] {
            assert_eq!(found(text), None, "{text}");
        }
    }
}
