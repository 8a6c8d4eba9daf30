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
    let weighed = |row: u32| calves.weighed_on(row as usize).count();
    for (key, rows) in by_key(calves, adjusted, keys) {
        // Each row travels with what it is sorted by: the columns are read once, in row order.
        let by_birth = rows
            .into_iter()
            .map(|row| (calves.birth[row as usize].count(), row))
            .collect();
        for born_together in split(by_birth, settings.birth_window_days) {
            let by_weighing = born_together
                .into_iter()
                .map(|(_, row)| (weighed(row), row))
                .collect();
            for rows in split(by_weighing, settings.weigh_window_days) {
                let mut by_tag: Vec<(u64, u32)> = rows
                    .into_iter()
                    .map(|(_, row)| (order.tag_start(row), row))
                    .collect();
                by_tag.sort_unstable_by(|one, other| {
                    one.0
                        .cmp(&other.0)
                        .then_with(|| order.compare_rest(one.1, other.1))
                });
                let rows = by_tag.into_iter().map(|(_, row)| row).collect();
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

/// Sorts rows by a day and cuts wherever one is more than `window` days after the first of its part.
fn split(mut rows: Vec<(i32, u32)>, window: i32) -> Vec<Vec<(i32, u32)>> {
    rows.sort_unstable();
    let mut parts: Vec<Vec<(i32, u32)>> = Vec::new();
    let fits_in_one = |rows: &[(i32, u32)]| match (rows.first(), rows.last()) {
        (Some(first), Some(last)) => last.0.saturating_sub(first.0) <= window,
        _ => true,
    };
    while !fits_in_one(&rows) {
        let first = rows[0].0;
        let end = rows.partition_point(|row| row.0.saturating_sub(first) <= window);
        // A window below zero parts nothing: one row at a time would still end.
        let rest = rows.split_off(end.max(1));
        parts.push(std::mem::replace(&mut rows, rest));
    }
    if !rows.is_empty() {
        parts.push(rows);
    }
    parts
}
