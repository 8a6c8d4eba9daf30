//! An order of calves that does not depend on how the sheet is sorted.
//!
//! Enters: calf rows. Leaves: a comparison of two rows.
//! Always true: the order is by tag, then EID, birth date, adjusted weight, dam and sire, each by its
//! content (missing first). Rows that tie on all of these have the same figures, so which comes first
//! changes no sum, rank or name.
//! Never: compares by the code of a text or by the place of a row, except to settle such a tie.

use std::cmp::Ordering;

use crate::adjust::columns::CalfColumns;
use crate::sheet::interned::{Interned, NO_TEXT};

/// Compares calf rows by what they hold.
pub struct IdentityOrder<'a> {
    calves: &'a CalfColumns<'a>,
    adj_205: &'a [f64],
    /// First eight bytes of each distinct tag, so that most comparisons touch no text.
    tag_starts: Vec<u64>,
}

impl<'a> IdentityOrder<'a> {
    /// The order of the calves of a book with these adjusted weights.
    pub fn of(calves: &'a CalfColumns<'a>, adj_205: &'a [f64]) -> IdentityOrder<'a> {
        let tag_starts = calves.tag.texts().map(start).collect();
        IdentityOrder {
            calves,
            adj_205,
            tag_starts,
        }
    }

    /// First eight bytes of the tag as a number that sorts as the bytes do; 0 without a tag.
    pub fn tag_start(&self, row: u32) -> u64 {
        let code = self.calves.tag.codes()[row as usize];
        self.tag_starts.get(code as usize).copied().unwrap_or(0)
    }

    /// Compares two rows.
    pub fn compare(&self, one: u32, other: u32) -> Ordering {
        self.tag_start(one)
            .cmp(&self.tag_start(other))
            .then_with(|| self.compare_rest(one, other))
    }

    /// Compares two rows whose tags start with the same eight bytes.
    pub fn compare_rest(&self, one: u32, other: u32) -> Ordering {
        let (a, b) = (one as usize, other as usize);
        let calves = self.calves;
        by_text(calves.tag, a, b)
            .then_with(|| by_text(calves.eid, a, b))
            .then_with(|| calves.birth[a].cmp(&calves.birth[b]))
            .then_with(|| self.adj_205[a].total_cmp(&self.adj_205[b]))
            .then_with(|| by_text(calves.dam, a, b))
            .then_with(|| by_text(calves.sire, a, b))
            .then_with(|| one.cmp(&other))
    }
}

fn by_text(column: &Interned, a: usize, b: usize) -> Ordering {
    let (one, other) = (column.codes()[a], column.codes()[b]);
    if one == other {
        return Ordering::Equal;
    }
    match (one == NO_TEXT, other == NO_TEXT) {
        (true, false) => Ordering::Less,
        (false, true) => Ordering::Greater,
        _ => column.text_of(one).cmp(&column.text_of(other)),
    }
}

fn start(text: &str) -> u64 {
    let mut bytes = [0_u8; 8];
    let n = text.len().min(8);
    bytes[..n].copy_from_slice(&text.as_bytes()[..n]);
    u64::from_be_bytes(bytes)
}
