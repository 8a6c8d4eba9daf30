//! A whole column (or an array) that functions look into, with what was worked out about it once.
//!
//! Enters: the values. Leaves: its numbers, their order, and where each value stands.
//! Always true: each of these is worked out at most once per column, however many rows ask for it.
//! Never: lets the order of a hash table show: the tables are only asked, never walked.

use std::cell::OnceCell;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};
use std::rc::Rc;

use super::cell::Cell;
use super::error_value::ErrorValue;
use super::vector::Vector;

/// No value that can be looked for: a blank or an error.
pub const NO_KEY: u32 = u32::MAX;

/// What a value is looked for by: texts without regard to case, numbers to about 14 digits.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Key {
    /// A number's bits, rounded.
    Number(u64),
    /// A text in small letters.
    Text(Box<str>),
}

impl Key {
    /// The key of a value; `None` for a blank and for an error.
    pub fn of(cell: &Cell<'_>) -> Option<Key> {
        match cell {
            Cell::Number(number) => Some(Key::of_number(*number)),
            Cell::Logical(logical) => Some(Key::of_number(f64::from(u8::from(*logical)))),
            Cell::Text(text) => Some(Key::of_text(text)),
            Cell::Empty | Cell::Error(_) => None,
        }
    }

    /// The key of a number.
    pub fn of_number(number: f64) -> Key {
        // Half a step is added before the last four bits go, so that neighbours fall together.
        Key::Number((number + 0.0).to_bits().wrapping_add(8) & !15)
    }

    /// The key of a text.
    pub fn of_text(text: &str) -> Key {
        Key::Text(text.to_lowercase().into())
    }
}

/// A quick hash that is the same on every machine (multiply and rotate, the FxHash scheme, from memory).
#[derive(Default)]
pub struct QuickHash(u64);

impl QuickHash {
    fn add(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(5) ^ word).wrapping_mul(0x517c_c1b7_2722_0a95);
    }
}

impl Hasher for QuickHash {
    fn finish(&self) -> u64 {
        // The table takes its places from the low bits, where multiplication leaves the least.
        let state = (self.0 ^ (self.0 >> 32)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        state ^ (state >> 29)
    }

    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.add(u64::from_le_bytes(word));
        }
        self.add(bytes.len() as u64);
    }

    fn write_u32(&mut self, word: u32) {
        self.add(u64::from(word));
    }

    fn write_u64(&mut self, word: u64) {
        self.add(word);
    }
}

/// A table that is asked and never walked.
pub type Table<K, V> = HashMap<K, V, BuildHasherDefault<QuickHash>>;

/// Which value stands in which row.
pub struct Keys {
    /// A number per row, the same for the same value; [`NO_KEY`] for a blank or an error.
    pub ids: Vec<u32>,
    /// The number of a value.
    pub of: Table<Key, u32>,
    /// The first row of each.
    pub first_row: Vec<u32>,
}

/// A column looked into.
pub struct Held<'a> {
    /// Its values.
    pub cells: Rc<Vector<'a>>,
    /// How many.
    pub n: usize,
    /// Values per row of an inline array, 1 for a column. They stand row by row.
    pub n_columns: usize,
    numbers: OnceCell<Result<Vec<f64>, ErrorValue>>,
    sorted: OnceCell<Vec<f64>>,
    keys: OnceCell<Keys>,
}

impl<'a> Held<'a> {
    /// A column of `n` values.
    pub fn new(cells: Rc<Vector<'a>>, n: usize) -> Held<'a> {
        Held {
            cells,
            n,
            n_columns: 1,
            numbers: OnceCell::new(),
            sorted: OnceCell::new(),
            keys: OnceCell::new(),
        }
    }

    /// The numbers in it, in the order of the rows; texts and blanks are left out (6.3.7).
    ///
    /// # Errors
    /// The first error in it.
    pub fn numbers(&self) -> Result<&[f64], ErrorValue> {
        self.numbers
            .get_or_init(|| match &*self.cells {
                Vector::Numbers(numbers) => Ok(numbers
                    .iter()
                    .copied()
                    .filter(|number| !number.is_nan())
                    .collect()),
                Vector::Texts { .. } => Ok(Vec::new()),
                cells => {
                    let mut numbers = Vec::new();
                    for row in 0..self.n {
                        match cells.at(row) {
                            Cell::Number(number) => numbers.push(number),
                            Cell::Logical(logical) => numbers.push(f64::from(u8::from(logical))),
                            Cell::Error(error) => return Err(error),
                            Cell::Empty | Cell::Text(_) => {}
                        }
                    }
                    Ok(numbers)
                }
            })
            .as_deref()
            .map_err(|error| *error)
    }

    /// The numbers in it, smallest first.
    ///
    /// # Errors
    /// The first error in it.
    pub fn sorted(&self) -> Result<&[f64], ErrorValue> {
        let numbers = self.numbers()?;
        Ok(self.sorted.get_or_init(|| {
            let mut sorted = numbers.to_vec();
            sorted.sort_unstable_by(f64::total_cmp);
            sorted
        }))
    }

    /// Where each value stands.
    pub fn keys(&self) -> &Keys {
        self.keys.get_or_init(|| {
            let mut keys = Keys {
                ids: Vec::with_capacity(self.n),
                of: Table::default(),
                first_row: Vec::new(),
            };
            match &*self.cells {
                Vector::Texts { codes, texts } => {
                    // A number per text of the list first, then per row: most texts stand in many rows.
                    let mut id_of_text: Vec<u32> = vec![NO_KEY; texts.len()];
                    for (row, &code) in (0_u32..).zip(codes.iter()) {
                        let Some(text) = texts.get(code as usize) else {
                            keys.ids.push(NO_KEY);
                            continue;
                        };
                        let known = id_of_text[code as usize];
                        if known != NO_KEY {
                            keys.ids.push(known);
                            continue;
                        }
                        let id = keys.add(Key::of_text(text), row);
                        id_of_text[code as usize] = id;
                        keys.ids.push(id);
                    }
                }
                cells => {
                    for row in 0..u32::try_from(self.n).unwrap_or(u32::MAX) {
                        let id = match Key::of(&cells.at(row as usize)) {
                            Some(key) => keys.add(key, row),
                            None => NO_KEY,
                        };
                        keys.ids.push(id);
                    }
                }
            }
            keys
        })
    }
}

impl Keys {
    fn add(&mut self, key: Key, row: u32) -> u32 {
        let next = u32::try_from(self.first_row.len()).unwrap_or(NO_KEY);
        let id = *self.of.entry(key).or_insert(next);
        if id == next {
            self.first_row.push(row);
        }
        id
    }

    /// The first row that holds a value.
    pub fn first(&self, key: &Key) -> Option<u32> {
        self.of
            .get(key)
            .and_then(|&id| self.first_row.get(id as usize))
            .copied()
    }
}
