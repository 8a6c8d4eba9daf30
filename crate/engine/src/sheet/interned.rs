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

/// What the table keeps of a text beside its code, so that most look-ups never go to the text itself: a
/// short text is its own eight bytes, a longer one is its hash.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Entry {
    low: u32,
    high: u32,
    /// The code; the top bit is set for a longer text, which has yet to be compared.
    code: u32,
}

/// Set in [`Entry::code`] for a text that does not fit the entry. Leaves room for two thousand million texts.
const LONG: u32 = 1 << 31;

impl Entry {
    fn word(self) -> u64 {
        u64::from(self.high) << 32 | u64::from(self.low)
    }
}

/// The eight bytes that stand for a text, and [`LONG`] when they are only its hash.
#[inline]
fn word_of(text: &str) -> (u64, u32) {
    let bytes = text.as_bytes();
    let four = |at: usize| {
        bytes
            .get(at..at + 4)
            .and_then(|four| four.try_into().ok())
            .map(u32::from_le_bytes)
    };
    let n = bytes.len();
    let word = match (n, four(0)) {
        (1..=3, _) => {
            u64::from(bytes[0])
                | u64::from(bytes[n / 2]) << (8 * (n / 2))
                | u64::from(bytes[n - 1]) << (8 * (n - 1))
        }
        // The first four and the last four bytes; where they overlap they agree.
        (4..=8, Some(first)) => {
            u64::from(first) | u64::from(four(n - 4).unwrap_or(0)) << (8 * (n - 4))
        }
        _ => return (hash_of(bytes), LONG),
    };
    // A zero byte could not be told from the end of the text.
    let beyond = if n == 8 { 0 } else { u64::MAX << (8 * n) };
    let filled = word | beyond;
    let has_zero =
        filled.wrapping_sub(0x0101_0101_0101_0101) & !filled & 0x8080_8080_8080_8080 != 0;
    if has_zero {
        (hash_of(bytes), LONG)
    } else {
        (word, 0)
    }
}

/// A fast hash (multiply and rotate, the FxHash scheme used by rustc, from memory).
fn hash_of(bytes: &[u8]) -> u64 {
    let mut state = bytes.len() as u64;
    let mut add = |word: u64| state = (state.rotate_left(5) ^ word).wrapping_mul(MULTIPLIER);
    let mut chunks = bytes.chunks_exact(8);
    for chunk in &mut chunks {
        add(u64::from_le_bytes(
            chunk.try_into().expect("chunks of eight"),
        ));
    }
    for &byte in chunks.remainder() {
        add(u64::from(byte));
    }
    state
}

const MULTIPLIER: u64 = 0x517c_c1b7_2722_0a95;

/// Where a word has its place in the table, which takes it from both ends of 64 bits. Multiplication carries
/// upward only: without turning the top down and multiplying again, tags that count up would fall into few
/// places. Order of iteration over the table is never used, so the hash cannot influence a result.
#[inline]
fn place(word: u64) -> u64 {
    let mut state = word.wrapping_mul(MULTIPLIER);
    state ^= state >> 32;
    state = state.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    state ^ (state >> 29)
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
    /// Code by text. Not there as long as every new text was greater than all before it, as the tags of a
    /// sorted file are: a search by halves finds them then, and a million tags cost no table.
    index: Option<HashTable<Entry>>,
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
            index: None,
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

    /// Whether a row holds it, for each distinct text.
    pub fn in_use(&self) -> Vec<bool> {
        let mut used = vec![false; self.n_texts()];
        for &code in self.codes() {
            if let Some(used) = used.get_mut(code as usize) {
                *used = true;
            }
        }
        used
    }

    /// The distinct texts that a row holds.
    pub fn texts_in_use(&self) -> impl Iterator<Item = &str> {
        self.texts()
            .zip(self.in_use())
            .filter(|(_, used)| *used)
            .map(|(text, _)| text)
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
        if text.is_empty() {
            return None;
        }
        let Some(index) = &self.index else {
            return self.code_by_halves(text);
        };
        let (word, long) = word_of(text);
        index
            .find(place(word), |entry| self.is_at(*entry, word, long, text))
            .map(|entry| entry.code & !LONG)
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

    /// Takes ascending rows out, and forgets the texts that no row uses any more: who asks which texts there
    /// are shall not hear of rows that are gone.
    pub(super) fn take_rows(&mut self, rows: &[u32]) {
        super::taken_off::cut(&mut self.codes, rows);
        let mut used = vec![false; self.ends.len()];
        for &code in &self.codes {
            if let Some(used) = used.get_mut(code as usize) {
                *used = true;
            }
        }
        if used.iter().all(|&used| used) {
            return;
        }
        let mut kept = Interned::new();
        let codes: Vec<u32> = self
            .texts()
            .zip(&used)
            .map(|(text, &used)| if used { kept.intern(text) } else { NO_TEXT })
            .collect();
        kept.codes = self
            .codes
            .iter()
            .map(|&code| codes.get(code as usize).copied().unwrap_or(NO_TEXT))
            .collect();
        *self = kept;
    }

    /// Puts the rows of `more` in, so that they stand at these ascending places afterwards.
    pub(super) fn put_rows(&mut self, places: &[u32], more: &Interned) {
        let codes: Vec<u32> = (0..more.len())
            .map(|row| self.intern(more.get(row).unwrap_or("")))
            .collect();
        super::taken_off::put_in(&mut self.codes, places, &codes);
    }

    fn intern(&mut self, text: &str) -> u32 {
        if text.is_empty() {
            return NO_TEXT;
        }
        // Files are often sorted: the same place, sire or date follows itself.
        if self.text_of(self.last) == Some(text) {
            return self.last;
        }
        let code = if self.index.is_none() && self.is_greatest(text) {
            self.add(text)
        } else {
            self.intern_by_table(text)
        };
        self.last = code;
        code
    }

    fn intern_by_table(&mut self, text: &str) -> u32 {
        let mut index = self.index.take().unwrap_or_else(|| self.table());
        let (word, long) = word_of(text);
        let entry = index.entry(
            place(word),
            |entry| self.is_at(*entry, word, long, text),
            |entry| place(entry.word()),
        );
        let code = match entry {
            hashbrown::hash_table::Entry::Occupied(found) => found.get().code & !LONG,
            hashbrown::hash_table::Entry::Vacant(free) => {
                let code = self.add(text);
                free.insert(entry_of(code, word, long));
                code
            }
        };
        self.index = Some(index);
        code
    }

    fn add(&mut self, text: &str) -> u32 {
        let code = u32::try_from(self.ends.len())
            .ok()
            .filter(|code| code & LONG == 0)
            .expect("fewer than 2^31 distinct texts");
        self.text.push_str(text);
        self.ends
            .push(u32::try_from(self.text.len()).expect("less than 4 GiB of distinct texts"));
        code
    }

    /// The table of all texts so far.
    fn table(&self) -> HashTable<Entry> {
        let mut index = HashTable::with_capacity(self.ends.len());
        for (code, text) in (0_u32..).zip(self.texts()) {
            let (word, long) = word_of(text);
            index.insert_unique(place(word), entry_of(code, word, long), |entry| {
                place(entry.word())
            });
        }
        index
    }

    #[inline]
    fn is_at(&self, entry: Entry, word: u64, long: u32, text: &str) -> bool {
        entry.word() == word
            && entry.code & LONG == long
            && (long == 0 || stored(&self.text, &self.ends, (entry.code & !LONG) as usize) == text)
    }

    fn is_greatest(&self, text: &str) -> bool {
        let n = self.ends.len();
        n == 0 || order(stored(&self.text, &self.ends, n - 1), text).is_lt()
    }

    fn code_by_halves(&self, text: &str) -> Option<u32> {
        let (mut from, mut to) = (0, self.ends.len());
        while from < to {
            let middle = from + (to - from) / 2;
            match order(stored(&self.text, &self.ends, middle), text) {
                std::cmp::Ordering::Less => from = middle + 1,
                std::cmp::Ordering::Greater => to = middle,
                std::cmp::Ordering::Equal => return u32::try_from(middle).ok(),
            }
        }
        None
    }
}

fn entry_of(code: u32, word: u64, long: u32) -> Entry {
    Entry {
        low: (word & u64::from(u32::MAX)) as u32,
        high: (word >> 32) as u32,
        code: code | long,
    }
}

/// Shorter before longer, so that 999 stands before 1000 as in a file sorted by number.
#[inline]
fn order(one: &str, other: &str) -> std::cmp::Ordering {
    (one.len().cmp(&other.len())).then_with(|| one.cmp(other))
}

/// The text of a code in the common allocation.
#[inline]
fn stored<'a>(all: &'a str, ends: &[u32], at: usize) -> &'a str {
    let start = if at == 0 { 0 } else { ends[at - 1] as usize };
    &all[start..ends[at] as usize]
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
    fn sorted_texts_need_no_table_and_the_others_get_one() {
        let mut column = Interned::new();
        for number in 1..=2_000 {
            column.push(&number.to_string());
        }
        column.push("2000");
        assert!(column.index.is_none());
        assert_eq!(column.code_of("1000"), Some(999));
        assert_eq!(column.code_of("2001"), None);
        column.push("7");
        column.push("12");
        assert!(column.index.is_some());
        assert_eq!(&column.codes()[2_000..], [1_999, 6, 11]);
        assert_eq!(column.n_texts(), 2_000);
        assert_eq!(column.code_of("1000"), Some(999));
    }

    #[test]
    fn short_texts_long_ones_and_zero_bytes_are_told_apart() {
        let texts = [
            "a",
            "a\0",
            "\0",
            "\0a",
            "ab",
            "abc",
            "abcd",
            "abcde",
            "abcdefg",
            "abcdefgh",
            "abcdefg\0",
            "abcdefghi",
            "abcdefghij",
            "ba",
            "é",
            "éé",
        ];
        let mut column = Interned::new();
        for text in texts.iter().rev().chain(&texts) {
            column.push(text);
        }
        assert_eq!(column.n_texts(), texts.len());
        for (row, text) in texts.iter().rev().chain(&texts).enumerate() {
            assert_eq!(column.get(row), Some(*text));
            assert_eq!(column.code_of(text), Some(column.codes()[row]));
        }
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
