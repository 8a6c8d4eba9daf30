//! Several names in one cell: the bulls a calf could be by.
//!
//! Enters: text with `;`, `/`, `|`, `&` or `,` between names. Leaves: the names with `; ` between them.
//! Always true: every name stays as it was written, in its order, without spaces at its ends; a bull that is said
//! to be unknown stays said, and is not a blank.
//! Never: sorts names or drops one.

use std::borrow::Cow;

use super::trimmed;

/// The word for a bull that nobody knows, as it is kept.
pub const UNKNOWN: &str = "unknown";

/// True for the word that says that nobody knows.
pub fn is_unknown(name: &str) -> bool {
    name.eq_ignore_ascii_case(UNKNOWN)
}

/// The names with `; ` between them; `None` when there is none.
///
/// A cell that has a semicolon is divided at semicolons only, so that names may hold the other signs.
pub fn read(text: &str) -> Option<Cow<'_, str>> {
    let text = trimmed(text);
    let divides: fn(char) -> bool = if text.contains(';') {
        |ch| ch == ';'
    } else {
        |ch| matches!(ch, '/' | '|' | '&' | ',')
    };
    if ["unknown", "unk", "?"]
        .iter()
        .any(|word| text.eq_ignore_ascii_case(word))
    {
        return Some(Cow::Borrowed(UNKNOWN));
    }
    // "n/a" is one word for nothing, not the bulls N and A.
    if super::is_word_for_missing(text) {
        return None;
    }
    if !text.contains(divides) {
        return (!text.is_empty()).then_some(Cow::Borrowed(text));
    }
    let mut names = String::with_capacity(text.len() + 4);
    for name in text
        .split(divides)
        .map(trimmed)
        .filter(|name| !name.is_empty())
    {
        if !names.is_empty() {
            names.push_str("; ");
        }
        names.push_str(name);
    }
    (!names.is_empty()).then_some(Cow::Owned(names))
}
