//! Rows of one file that name the same animal.
//!
//! Enters: a typed table. Leaves: groups of rows: of calves, cows and bulls those with the same electronic ID, or the
//! same tag unless their years or electronic IDs say otherwise; of weights, checks and scores those of the same
//! animal and day.
//! Always true: groups stand in the order of their first rows; two days of one animal are two rows.
//! Never: puts two rows together that only have the same dam: twins do.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use super::merge::{plain_name, same_animal};
use crate::sheet::column::{Column, Value};
use crate::sheet::interned::NO_TEXT;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

/// Columns that name a row: all of one list.
const fn names(sheet: SheetKind) -> &'static [&'static [&'static str]] {
    match sheet {
        SheetKind::Calves => &[&["eid"], &["tag", "birth_date"], &["tag"]],
        SheetKind::Cows | SheetKind::Bulls => &[&["eid"], &["tag"]],
        SheetKind::Weights => &[&["animal", "date"]],
        SheetKind::Checks => &[&["cow", "date"]],
        SheetKind::Scores => &[&["animal", "date", "what"]],
        _ => &[],
    }
}

/// So many different animals under one name are told apart.
const MOST_DIFFERENT: usize = 64;

/// The rows that name the same animal, two or more together.
pub(super) fn find(table: &Table) -> Vec<Vec<u32>> {
    let mut together: BTreeMap<u32, u32> = BTreeMap::new();
    for keys in names(table.kind) {
        // Tags are used again every year: where every calf has a birth date, only those of one year are compared.
        let all_dated = table
            .column("birth_date")
            .and_then(Column::days)
            .is_some_and(|days| days.iter().all(|day| !day.is_missing()));
        match keys {
            ["tag", "birth_date"] if !all_dated => continue,
            ["tag"] if table.kind == SheetKind::Calves && all_dated => continue,
            _ => {}
        }
        let Some(hashes) = hashes(table, keys) else {
            continue;
        };
        for run in hashes.chunk_by(|one, other| one.0 == other.0) {
            // Different animals under one name are few; each is held against the next rows by its first one.
            let mut different: Vec<u32> = Vec::new();
            for &(_, row) in run {
                let same = different
                    .iter()
                    .copied()
                    .find(|&earlier| is_same(table, keys, earlier, row));
                match same {
                    Some(earlier) => join(&mut together, earlier, row),
                    None if different.len() < MOST_DIFFERENT => different.push(row),
                    None => {}
                }
            }
        }
    }
    let mut groups: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    let rows: Vec<u32> = together.keys().copied().collect();
    for row in rows {
        groups
            .entry(first_of(&together, row))
            .or_default()
            .push(row);
    }
    groups.into_values().filter(|rows| rows.len() > 1).collect()
}

fn first_of(together: &BTreeMap<u32, u32>, mut row: u32) -> u32 {
    while let Some(&before) = together.get(&row)
        && before != row
    {
        row = before;
    }
    row
}

fn join(together: &mut BTreeMap<u32, u32>, one: u32, other: u32) {
    together.entry(one).or_insert(one);
    together.entry(other).or_insert(other);
    let (one, other) = (first_of(together, one), first_of(together, other));
    together.insert(one.max(other), one.min(other));
}

fn is_same(table: &Table, keys: &[&str], one: u32, other: u32) -> bool {
    let same_text = |key: &str| {
        let text = |row: u32| match table.column(key).map(|column| column.value(row as usize)) {
            Some(Value::Text(text)) => plain_name(key, &text),
            Some(Value::Day(day)) => day.iso(),
            _ => String::new(),
        };
        text(one) == text(other)
    };
    match keys {
        ["eid"] => same_text("eid"),
        ["tag", ..] => same_text("tag") && same_animal(table, one, other),
        keys => keys.iter().all(|key| same_text(key)),
    }
}

/// A number per row that names it whole, in order, rows with the same number in the order of the file. `None` when a
/// column is not there.
fn hashes(table: &Table, keys: &[&str]) -> Option<Vec<(u64, u32)>> {
    let n_rows = u32::try_from(table.n_rows()).ok()?;
    let mut hashes: Vec<(u64, u32)> = (0..n_rows).map(|row| (0, row)).collect();
    let mut whole = vec![true; n_rows as usize];
    for key in keys {
        let column = table.column(key).filter(|column| !column.holds_nothing())?;
        let add = |hash: &mut (u64, u32), part: u64| {
            hash.0 = hash.0.rotate_left(17).wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ part;
        };
        if let Some(texts) = column.texts() {
            let of_text: Vec<u64> = texts
                .texts()
                .map(|text| {
                    let mut hasher = DefaultHasher::new();
                    plain_name(key, text).hash(&mut hasher);
                    hasher.finish()
                })
                .collect();
            for (hash, &code) in hashes.iter_mut().zip(texts.codes()) {
                if code == NO_TEXT {
                    whole[hash.1 as usize] = false;
                } else {
                    add(hash, of_text.get(code as usize).copied().unwrap_or(0));
                }
            }
        } else if let Some(days) = column.days() {
            let by_year = *key == "birth_date";
            for (hash, day) in hashes.iter_mut().zip(days) {
                match day.year() {
                    None => whole[hash.1 as usize] = false,
                    Some(year) if by_year => add(hash, u64::from(year.unsigned_abs())),
                    Some(_) => add(hash, u64::from(day.count().unsigned_abs())),
                }
            }
        } else {
            return None;
        }
    }
    hashes.retain(|(_, row)| whole[*row as usize]);
    hashes.sort_unstable();
    Some(hashes)
}

#[cfg(test)]
mod tests {
    use crate::import::{ImportOptions, read_all};
    use crate::sheet::day::Day;
    use crate::sheet::settings::WeightUnit;

    fn groups(name: &str, text: &str) -> Vec<Vec<u32>> {
        let options = ImportOptions::of_book(WeightUnit::Pound, Day::MISSING);
        let read = read_all(text.as_bytes(), name, options).expect("a table");
        super::find(&read.table)
    }

    #[test]
    fn the_same_tag_is_the_same_animal_unless_something_says_otherwise() {
        let file = "tag,eid,sex,birth_date\n\
                    1,,heifer,2026-03-01\n\
                    2,,heifer,2026-03-02\n\
                     1 ,,steer,2026-03-09\n\
                    1,,steer,2025-03-09\n\
                    3,84000 1,steer,2026-03-09\n\
                    4,840-001,steer,2026-03-10\n\
                    5,840002,steer,2026-03-10\n\
                    5,840003,steer,2026-03-10\n\
                    ,,steer,2026-03-10\n\
                    ,,steer,2026-03-10\n";
        assert_eq!(groups("calves.csv", file), [vec![0, 2], vec![4, 5]]);
        // Nothing tells the years apart: they meet.
        assert_eq!(
            groups(
                "calves.csv",
                "tag,wean_weight\n1,500\n2,510\n1,505\n1,499\n"
            ),
            [vec![0, 2, 3]]
        );
        assert_eq!(
            groups("cows.csv", "tag,birth_year\nA7,2019\na7,\n"),
            [vec![0, 1]]
        );
    }

    #[test]
    fn two_days_of_one_animal_are_two_rows() {
        let file = "animal,date,weight\n1,2026-03-01,500\n1,2026-03-02,500\n1,2026-03-01,502\n,2026-03-01,9\n,2026-03-01,9\n";
        assert_eq!(groups("weights.csv", file), [vec![0, 2]]);
        assert_eq!(
            groups(
                "checks.csv",
                "cow,date,result\n1,2026-03-01,open\n2,2026-03-01,bred\n"
            ),
            Vec::<Vec<u32>>::new()
        );
    }
}
