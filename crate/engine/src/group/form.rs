//! Rows into groups: equal keys, then birth dates, then weigh dates.
//!
//! Enters: keys and dates. Leaves: rows per group, each in identity order.
//! Always true: within a key a new group starts when a birth is more than the birth window after the
//! group's first, and within that when a weighing is more than the weigh window after the group's first.
//! Never: looks at a weight.

use std::collections::HashMap;
use std::hash::BuildHasherDefault;

use super::identity::IdentityOrder;
use super::key::{Key, KeyHash, Keys};
use crate::adjust::Adjusted;
use crate::adjust::columns::CalfColumns;
use crate::sheet::settings::Settings;

/// A group's rows and what they have in common.
pub struct Formed {
    /// The key.
    pub key: Key,
    /// Rows in identity order.
    pub rows: Vec<u32>,
}

/// Forms the groups of all rows that have an adjusted weight. Their order is that of the rows: names settle
/// the final one.
pub fn form(
    calves: &CalfColumns,
    settings: &Settings,
    adjusted: &Adjusted,
    keys: &Keys,
    order: &IdentityOrder,
) -> Vec<Formed> {
    let mut formed = Vec::new();
    for (key, mut rows) in by_key(calves, adjusted, keys) {
        rows.sort_unstable_by_key(|&row| calves.birth[row as usize]);
        let birth = |row: u32| calves.birth[row as usize].count();
        for mut born_together in split(rows, settings.birth_window_days, birth) {
            let weighed = |row: u32| calves.weighed_on(row as usize).count();
            born_together.sort_unstable_by_key(|&row| weighed(row));
            for mut rows in split(born_together, settings.weigh_window_days, weighed) {
                rows.sort_unstable_by(|&one, &other| order.compare(one, other));
                formed.push(Formed { key, rows });
            }
        }
    }
    formed
}

/// Rows with an adjusted weight, by key, in the order in which keys first appear.
fn by_key(calves: &CalfColumns, adjusted: &Adjusted, keys: &Keys) -> Vec<(Key, Vec<u32>)> {
    let mut index: HashMap<Key, usize, BuildHasherDefault<KeyHash>> = HashMap::default();
    let mut sets: Vec<(Key, Vec<u32>)> = Vec::new();
    for (row_key, row) in (0_u32..).zip(0..calves.n_rows) {
        if adjusted.adj_205[row].is_nan() {
            continue;
        }
        let Some(key) = keys.of_row(row, adjusted.marks[row]) else {
            continue;
        };
        let at = *index.entry(key).or_insert_with(|| {
            sets.push((key, Vec::new()));
            sets.len() - 1
        });
        sets[at].1.push(row_key);
    }
    sets
}

/// Cuts rows sorted by a day wherever one is more than `window` days after the first of its part.
fn split(rows: Vec<u32>, window: i32, day: impl Fn(u32) -> i32) -> Vec<Vec<u32>> {
    let Some(&first) = rows.first() else {
        return Vec::new();
    };
    if rows
        .last()
        .is_some_and(|&last| day(last) - day(first) <= window)
    {
        return vec![rows];
    }
    let mut parts: Vec<Vec<u32>> = Vec::new();
    let mut part_first = i32::MIN;
    for row in rows {
        if parts.is_empty() || day(row) - part_first > window {
            part_first = day(row);
            parts.push(Vec::new());
        }
        if let Some(part) = parts.last_mut() {
            part.push(row);
        }
    }
    parts
}
