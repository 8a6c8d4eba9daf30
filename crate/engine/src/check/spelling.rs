//! One name written two ways, which makes two groups or two bulls of one.
//!
//! Enters: the distinct texts of a column. Leaves: a finding for each rarer way, at its first row.
//! Always true: ways that differ only in case, spaces, dots, hyphens and underscores are taken for one name,
//! except that a mark between two digits counts (1-23 is not 12-3).
//! Never: joins them.

use std::collections::BTreeMap;

use super::Look;
use super::code::Code;
use crate::sheet::interned::{Interned, NO_TEXT};

/// A way of writing a name: how often, first row, code of the first text that has it.
struct Way {
    n: u32,
    first_row: u32,
    text: u32,
}

pub(super) fn look(look: &mut Look) {
    let calves = look.calves;
    for (code, key, column) in [
        (Code::PlaceSpelling, "place", calves.place),
        (Code::SireSpelling, "sire", calves.sire),
    ] {
        let at = look.column(key);
        for (row, other) in rarer_ways(column) {
            look.add(code, at, row, other);
        }
    }
}

/// Each rarer way of writing a name: its first row, and a text with the way most used.
fn rarer_ways(column: &Interned) -> Vec<(u32, u32)> {
    let mut count = vec![(0_u32, NO_TEXT); column.n_texts()];
    for (row, &code) in (0_u32..).zip(column.codes()) {
        if let Some((n, first)) = count.get_mut(code as usize) {
            *n += 1;
            *first = (*first).min(row);
        }
    }
    let mut ways: BTreeMap<String, BTreeMap<&str, Way>> = BTreeMap::new();
    for ((text, &(n, first_row)), code) in column.texts().zip(&count).zip(0_u32..) {
        if n == 0 {
            continue;
        }
        for name in text
            .split(';')
            .map(str::trim)
            .filter(|name| !name.is_empty())
        {
            ways.entry(plain(name))
                .or_default()
                .entry(name)
                .and_modify(|way| {
                    way.n += n;
                    if first_row < way.first_row {
                        (way.first_row, way.text) = (first_row, code);
                    }
                })
                .or_insert(Way {
                    n,
                    first_row,
                    text: code,
                });
        }
    }
    let mut rarer = Vec::new();
    for ways in ways.values().filter(|ways| ways.len() > 1) {
        let Some(main) = ways
            .values()
            .min_by_key(|way| (std::cmp::Reverse(way.n), way.first_row))
        else {
            continue;
        };
        for way in ways.values().filter(|way| !std::ptr::eq(*way, main)) {
            rarer.push((way.first_row, main.text));
        }
    }
    rarer
}

fn plain(name: &str) -> String {
    let mut plain = String::new();
    let mut parted = false;
    for ch in name.chars() {
        if ch.is_whitespace() || matches!(ch, '.' | '-' | '_' | '#') {
            parted = true;
            continue;
        }
        if parted && ch.is_ascii_digit() && plain.ends_with(|before: char| before.is_ascii_digit())
        {
            plain.push(' ');
        }
        parted = false;
        plain.extend(ch.to_lowercase());
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::{plain, rarer_ways};
    use crate::sheet::interned::Interned;

    #[test]
    fn marks_between_digits_count() {
        assert_eq!(plain("North  pen"), plain("north pen"));
        assert_eq!(plain("88-k"), plain("88K"));
        assert_ne!(plain("1-23"), plain("12-3"));
        assert_ne!(plain("Pen 1"), plain("Pen 11"));
    }

    #[test]
    fn the_rarer_way_is_named_at_its_first_row() {
        let mut column = Interned::new();
        for text in ["pen 1", "Pen 1", "Pen 1", "Pen 2"] {
            column.push(text);
        }
        assert_eq!(rarer_ways(&column), [(0, 1)]);
    }
}
