//! A text column that keeps each distinct text once.
//!
//! Enters: texts, row by row. Leaves: a code per row and the text of a code.
//! Always true: two rows hold the same text exactly when they hold the same code, so grouping and the
//! search for duplicates compare numbers. Codes are in order of first appearance: they are never used
//! to order results, which sort by text.
//! Never: trims or changes a text.

use hashbrown::HashTable;

/// The code of a cell without text.
pub const NO_TEXT: u32 = u32::MAX;

/// A fast hash for short texts (multiply and rotate, the FxHash scheme used by rustc, from memory).
/// Order of iteration over the table is never used, so the hash cannot influence a result.
#[inline]
fn short_text_hash(text: &str) -> u32 {
    const MULTIPLIER: u64 = 0x517c_c1b7_2722_0a95;
    let mut state = 0_u64;
    let mut chunks = text.as_bytes().chunks_exact(8);
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
    state = (state.rotate_left(5) ^ text.len() as u64).wrapping_mul(MULTIPLIER);
    // Multiplication carries upward only, so the last letters of a text reach the top bits alone: without
    // turning them down and multiplying again, tags that count up fall into few places of the table and a
    // million of them take a second.
    state ^= state >> 32;
    state = state.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    (state >> 32) as u32
}

/// A text column: a code per row into a list of distinct texts.
///
/// The distinct texts stand one after the other in one allocation: a million tags cost a million pieces
/// of text and not two million small allocations.
#[derive(Clone)]
pub struct Interned {
    codes: Vec<u32>,
    text: String,
    /// Where the text of each code ends.
    ends: Vec<u32>,
    /// Code by text, with the hash beside it: a table that grows need not go back to the texts, and texts
    /// are compared only when their hashes agree.
    index: HashTable<(u32, u32)>,
    last: u32,
}

impl Default for Interned {
    fn default() -> Interned {
        Interned::new()
    }
}

impl Interned {
    /// An empty column.
    pub fn new() -> Interned {
        Interned {
            codes: Vec::new(),
            text: String::new(),
            ends: Vec::new(),
            index: HashTable::new(),
            last: NO_TEXT,
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
    pub fn texts(&self) -> impl ExactSizeIterator<Item = &str> {
        (0..self.ends.len()).map(|at| stored(&self.text, &self.ends, at))
    }

    /// How many distinct texts there are.
    pub fn n_texts(&self) -> usize {
        self.ends.len()
    }

    /// The text of a row, or `None`.
    pub fn get(&self, row: usize) -> Option<&str> {
        let code = *self.codes.get(row)?;
        self.text_of(code)
    }

    /// The text of a code, or `None` for [`NO_TEXT`].
    pub fn text_of(&self, code: u32) -> Option<&str> {
        let at = code as usize;
        (at < self.ends.len()).then(|| stored(&self.text, &self.ends, at))
    }

    /// The code of a text that stands in the column, if any.
    pub fn code_of(&self, text: &str) -> Option<u32> {
        let hash = short_text_hash(text);
        self.index
            .find(place(hash), |&(other, code)| {
                other == hash && stored(&self.text, &self.ends, code as usize) == text
            })
            .map(|&(_, code)| code)
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
        if self.text_of(self.last) == Some(text) {
            return self.last;
        }
        let Interned {
            text: all,
            ends,
            index,
            ..
        } = self;
        let hash = short_text_hash(text);
        let entry = index.entry(
            place(hash),
            |&(other, code)| other == hash && stored(all, ends, code as usize) == text,
            |&(hash, _)| place(hash),
        );
        let code = match entry {
            hashbrown::hash_table::Entry::Occupied(found) => found.get().1,
            hashbrown::hash_table::Entry::Vacant(free) => {
                let code = u32::try_from(ends.len()).expect("fewer distinct texts than u32 counts");
                free.insert((hash, code));
                all.push_str(text);
                ends.push(u32::try_from(all.len()).expect("less than 4 GiB of distinct texts"));
                code
            }
        };
        self.last = code;
        code
    }
}

/// The text of a code in the common allocation.
#[inline]
fn stored<'a>(all: &'a str, ends: &[u32], at: usize) -> &'a str {
    let start = if at == 0 { 0 } else { ends[at - 1] as usize };
    &all[start..ends[at] as usize]
}

/// Where a hash has its place in the table, which takes it from both ends of 64 bits.
#[inline]
fn place(hash: u32) -> u64 {
    u64::from(hash) << 32 | u64::from(hash)
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
        assert_eq!(column.texts().collect::<Vec<_>>(), ["a", "b"]);
    }

    #[test]
    fn many_texts_are_all_found_again() {
        let mut column = Interned::new();
        for number in 0..10_000 {
            column.push(&format!("tag {}", number % 5_000));
        }
        assert_eq!(column.n_texts(), 5_000);
        for number in 0..10_000 {
            assert_eq!(
                column.get(number).map(str::to_owned),
                Some(format!("tag {}", number % 5_000))
            );
        }
    }
}
