//! A text column that keeps each distinct text once.
//!
//! Enters: texts, row by row. Leaves: a code per row and the text of a code.
//! Always true: two rows hold the same text exactly when they hold the same code, so grouping and the
//! search for duplicates compare numbers. Codes are in order of first appearance: they are never used
//! to order results, which sort by text.
//! Never: trims or changes a text.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// The code of a cell without text.
pub const NO_TEXT: u32 = u32::MAX;

/// A fast hash for short texts (multiply and rotate, the FxHash scheme used by rustc, from memory).
/// Order of iteration over the map is never used, so the hash cannot influence a result.
#[derive(Default, Clone)]
pub struct ShortTextHash(u64);

impl Hasher for ShortTextHash {
    fn finish(&self) -> u64 {
        // The table uses the top bits: spread what multiplication left in the low ones.
        self.0 ^ (self.0 >> 29)
    }

    fn write(&mut self, bytes: &[u8]) {
        const MULTIPLIER: u64 = 0x517c_c1b7_2722_0a95;
        let mut state = self.0;
        let mut chunks = bytes.chunks_exact(8);
        for chunk in &mut chunks {
            let word = u64::from_le_bytes(chunk.try_into().expect("chunks of eight"));
            state = (state.rotate_left(5) ^ word).wrapping_mul(MULTIPLIER);
        }
        let rest = chunks.remainder();
        if !rest.is_empty() {
            let mut word = [0_u8; 8];
            word[..rest.len()].copy_from_slice(rest);
            state = (state.rotate_left(5) ^ u64::from_le_bytes(word)).wrapping_mul(MULTIPLIER);
        }
        self.0 = (state.rotate_left(5) ^ bytes.len() as u64).wrapping_mul(MULTIPLIER);
    }
}

/// A text column: a code per row into a list of distinct texts.
#[derive(Clone, Default)]
pub struct Interned {
    codes: Vec<u32>,
    texts: Vec<Box<str>>,
    index: HashMap<Box<str>, u32, BuildHasherDefault<ShortTextHash>>,
    last: u32,
}

impl Interned {
    /// An empty column.
    pub fn new() -> Interned {
        Interned {
            last: NO_TEXT,
            ..Interned::default()
        }
    }

    /// Number of rows.
    pub fn len(&self) -> usize {
        self.codes.len()
    }

    /// True when there are no rows.
    pub fn is_empty(&self) -> bool {
        self.codes.is_empty()
    }

    /// The code of each row; [`NO_TEXT`] where there is none.
    pub fn codes(&self) -> &[u32] {
        &self.codes
    }

    /// The distinct texts, by code. May hold texts that no row uses any more.
    pub fn texts(&self) -> &[Box<str>] {
        &self.texts
    }

    /// The text of a row, or `None`.
    pub fn get(&self, row: usize) -> Option<&str> {
        let code = *self.codes.get(row)?;
        self.text_of(code)
    }

    /// The text of a code, or `None` for [`NO_TEXT`].
    pub fn text_of(&self, code: u32) -> Option<&str> {
        self.texts.get(code as usize).map(AsRef::as_ref)
    }

    /// The code of a text that stands in the column, if any.
    pub fn code_of(&self, text: &str) -> Option<u32> {
        self.index.get(text).copied()
    }

    /// Adds a row; an empty text is a missing one.
    pub fn push(&mut self, text: &str) {
        let code = self.intern(text);
        self.codes.push(code);
    }

    /// Replaces the text of a row; an empty text makes it missing.
    pub fn set(&mut self, row: usize, text: &str) {
        let code = self.intern(text);
        self.codes[row] = code;
    }

    /// Drops all rows from `n_rows` on.
    pub fn truncate(&mut self, n_rows: usize) {
        self.codes.truncate(n_rows);
    }

    fn intern(&mut self, text: &str) -> u32 {
        if text.is_empty() {
            return NO_TEXT;
        }
        // Files are often sorted: the same place, sire or date follows itself.
        if let Some(previous) = self.texts.get(self.last as usize)
            && previous.as_ref() == text
        {
            return self.last;
        }
        if let Some(&code) = self.index.get(text) {
            self.last = code;
            return code;
        }
        let code = u32::try_from(self.texts.len()).expect("fewer distinct texts than u32 counts");
        self.texts.push(text.into());
        self.index.insert(text.into(), code);
        self.last = code;
        code
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_texts_share_a_code_and_blank_is_missing() {
        let mut column = Interned::new();
        for text in ["a", "b", "", "a", "b"] {
            column.push(text);
        }
        assert_eq!(column.codes(), [0, 1, NO_TEXT, 0, 1]);
        column.set(1, "a");
        assert_eq!(column.get(1), Some("a"));
        assert_eq!(column.get(2), None);
        assert_eq!(column.code_of("b"), Some(1));
    }
}
