//! Rows into groups: equal keys, then birth dates, then weigh dates.
//!
//! Enters: keys and dates. Leaves: members per group, each in identity order.
//! Always true: within a key a new group starts when a birth is more than the birth window after the
//! group's first, and within that when a weighing is more than the weigh window after the group's first.
//! Never: looks at a weight.

use std::collections::HashMap;
use std::hash::BuildHasherDefault;

use super::identity::IdentityOrder;
use super::key::{Key, KeyHash, Keys};
use super::member::{Member, Members};
use crate::adjust::Adjusted;
use crate::adjust::columns::CalfColumns;
use crate::sheet::day::Day;
use crate::sheet::settings::Settings;

/// A group's calves and what they have in common.
pub struct Formed {
    /// The key.
    pub key: Key,
    /// Its calves in identity order.
    pub members: Vec<Member>,
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
    for (key, members) in by_key(calves, adjusted, keys, order) {
        let born = |member: &Member| member.birth;
        for born_together in split(members, settings.birth_window_days, born) {
            let weighed = |member: &Member| member.weighed;
            for mut members in split(born_together, settings.weigh_window_days, weighed) {
                members.sort_unstable_by(|one, other| {
                    one.tag_start
                        .cmp(&other.tag_start)
                        .then_with(|| order.compare_rest(one.row, other.row))
                });
                formed.push(Formed { key, members });
            }
        }
    }
    formed
}

/// Calves with an adjusted weight, by key, in the order in which keys first appear.
fn by_key(
    calves: &CalfColumns,
    adjusted: &Adjusted,
    keys: &Keys,
    order: &IdentityOrder,
) -> Vec<(Key, Vec<Member>)> {
    let mut index: HashMap<Key, u32, BuildHasherDefault<KeyHash>> = HashMap::default();
    let mut sets: Vec<(Key, usize)> = Vec::new();
    let set_of_row: Vec<u32> = (0..calves.n_rows)
        .map(|row| {
            if adjusted.adj_205[row].is_nan() {
                return NO_SET;
            }
            let Some(key) = keys.of_row(row, adjusted.marks[row]) else {
                return NO_SET;
            };
            let set = *index.entry(key).or_insert_with(|| {
                sets.push((key, 0));
                u32::try_from(sets.len() - 1).expect("fewer keys than rows, which u32 counts")
            });
            sets[set as usize].1 += 1;
            set
        })
        .collect();
    // Counted first, so that each set is filled without growing.
    let mut filled: Vec<(Key, Vec<Member>)> = sets
        .into_iter()
        .map(|(key, n)| (key, Vec::with_capacity(n)))
        .collect();
    let members = Members::of(calves, adjusted, order);
    for (row, &set) in (0_u32..).zip(&set_of_row) {
        if let Some((_, set)) = filled.get_mut(set as usize) {
            set.push(members.member(row));
        }
    }
    filled
}

/// Row that is in no set.
const NO_SET: u32 = u32::MAX;

/// Sorts calves by a day and cuts wherever one is more than `window` days after the first of its part.
fn split(mut members: Vec<Member>, window: i32, day: impl Fn(&Member) -> Day) -> Vec<Vec<Member>> {
    let days = || members.iter().map(|member| day(member).count());
    let (Some(first), Some(last)) = (days().min(), days().max()) else {
        return Vec::new();
    };
    if last.saturating_sub(first) <= window {
        return vec![members];
    }
    members.sort_unstable_by_key(|member| (day(member), member.row));
    let mut parts: Vec<Vec<Member>> = Vec::new();
    let mut rest = &members[..];
    while let Some(first) = rest.first().map(|member| day(member).count()) {
        let end = rest
            .partition_point(|member| day(member).count().saturating_sub(first) <= window)
            // A window below zero parts nothing: one calf at a time still ends.
            .max(1);
        parts.push(rest[..end].to_vec());
        rest = &rest[end..];
    }
    parts
}
