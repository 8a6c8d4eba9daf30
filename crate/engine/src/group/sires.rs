//! The bulls named behind the calves of a group.
//!
//! Enters: the sire column. Leaves: how many distinct bulls a group names, and how many calves name none.
//! Always true: a list of possible sires counts each bull; a sire said to be unknown is none named.
//! Never: decides which of several bulls it was.

use std::collections::HashMap;

use crate::sheet::interned::{Interned, NO_TEXT};
use crate::sheet::read::list::is_unknown;

/// The bulls of each distinct text of the sire column.
pub struct Sires {
    bulls_of_text: Vec<Vec<u32>>,
}

impl Sires {
    /// Reads every distinct text once.
    pub fn of(column: &Interned) -> Sires {
        let mut number_of: HashMap<&str, u32> = HashMap::new();
        let bulls_of_text = column
            .texts()
            .map(|text| {
                text.split(';')
                    .map(str::trim)
                    .filter(|name| !name.is_empty() && !is_unknown(name))
                    .map(|name| {
                        let next = u32::try_from(number_of.len()).unwrap_or(u32::MAX);
                        *number_of.entry(name).or_insert(next)
                    })
                    .collect()
            })
            .collect();
        Sires { bulls_of_text }
    }

    fn names_none(&self, code: u32) -> bool {
        self.bulls_of_text
            .get(code as usize)
            .is_none_or(Vec::is_empty)
    }

    /// Distinct bulls named by calves with these codes of the sire column, and calves that name none.
    pub fn count(&self, codes: impl Iterator<Item = u32>) -> (u32, u32) {
        let mut distinct: Vec<u32> = Vec::new();
        let mut n_missing = 0;
        let mut last = NO_TEXT;
        for code in codes {
            if code == NO_TEXT || self.names_none(code) {
                n_missing += 1;
            } else if code != last {
                last = code;
                distinct.push(code);
            }
        }
        distinct.sort_unstable();
        distinct.dedup();
        let mut bulls: Vec<u32> = distinct
            .iter()
            .filter_map(|&code| self.bulls_of_text.get(code as usize))
            .flatten()
            .copied()
            .collect();
        bulls.sort_unstable();
        bulls.dedup();
        (u32::try_from(bulls.len()).unwrap_or(u32::MAX), n_missing)
    }
}
