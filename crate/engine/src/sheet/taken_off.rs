//! Rows that were taken off the record, and the permanent keys of those that stayed.
//!
//! Enters: rows of a table. Leaves: the same rows, cell for cell, when they are brought back.
//! Always true: every key below `n_keys` belongs to one row, on the record or off it, and keeps it; keys
//! ascend with the rows of the table. A table from which nothing was taken off has none of this.
//! Never: counts in anything. Whoever walks a table meets the rows on the record only.

use super::column::{Cells, Column};
use super::table::Table;

/// What was taken off a table.
#[derive(Clone)]
pub struct TakenOff {
    /// For each row of the table its key, ascending.
    pub(super) on_record: Vec<u32>,
    /// For each row of `rows` its key, ascending.
    pub(super) keys: Vec<u32>,
    /// The rows, with the columns of the table they were taken from.
    pub(super) rows: Table,
}

impl TakenOff {
    /// Keys of the rows that were taken off, ascending.
    pub fn keys(&self) -> &[u32] {
        &self.keys
    }

    /// The rows, in the order of their keys.
    pub fn rows(&self) -> &Table {
        &self.rows
    }
}

/// Where a key stands in keys that ascend and start at 0 at the earliest.
pub(super) fn place_of(keys: &[u32], key: u32) -> Option<usize> {
    // A key is never less than its place, so that most searches are over after a few steps.
    let end = (key as usize).saturating_add(1).min(keys.len());
    keys[..end].binary_search(&key).ok()
}

/// Both lists of ascending keys as one, and for each key of the second its place in it.
pub(super) fn merged(one: &[u32], other: &[u32]) -> (Vec<u32>, Vec<u32>) {
    let mut all = Vec::with_capacity(one.len() + other.len());
    let mut places = Vec::with_capacity(other.len());
    let mut rest = one;
    for &key in other {
        let before = rest.partition_point(|&standing| standing < key);
        all.extend_from_slice(&rest[..before]);
        rest = &rest[before..];
        places.push(u32::try_from(all.len()).expect("a table has fewer rows than u32 counts"));
        all.push(key);
    }
    all.extend_from_slice(rest);
    (all, places)
}

/// Takes the cells at ascending places out.
pub(super) fn cut<T: Copy>(cells: &mut Vec<T>, places: &[u32]) {
    let Some(&first) = places.first() else {
        return;
    };
    let mut to = first as usize;
    let mut next = 0;
    for from in first as usize..cells.len() {
        if places
            .get(next)
            .is_some_and(|&place| place as usize == from)
        {
            next += 1;
        } else {
            cells[to] = cells[from];
            to += 1;
        }
    }
    cells.truncate(to);
}

/// Puts cells in, so that they stand at these ascending places afterwards.
pub(super) fn put_in<T: Copy>(cells: &mut Vec<T>, places: &[u32], more: &[T]) {
    if places.is_empty() {
        return;
    }
    let mut all = Vec::with_capacity(cells.len() + more.len());
    let mut from = 0;
    for (&place, &cell) in places.iter().zip(more) {
        let upto = from + (place as usize).saturating_sub(all.len());
        all.extend_from_slice(&cells[from..upto.min(cells.len())]);
        from = upto.min(cells.len());
        all.push(cell);
    }
    all.extend_from_slice(&cells[from..]);
    *cells = all;
}

impl Table {
    /// Permanent keys of all rows, on the record and off it, that hold something in the column at a position.
    pub(super) fn keys_filled(&self, column: usize) -> Vec<u32> {
        let filled = |table: &Table| -> Vec<u32> {
            let column = table.columns().get(column);
            let n_rows = u32::try_from(table.n_rows()).unwrap_or(u32::MAX);
            (0..n_rows)
                .filter(|&row| {
                    column.is_some_and(|column| !column.is_blank_in(row as usize, row as usize + 1))
                })
                .collect()
        };
        let mut keys: Vec<u32> = filled(self)
            .into_iter()
            .map(|row| self.key_of(row))
            .collect();
        if let Some(off) = self.taken_off() {
            keys.extend(
                filled(&off.rows)
                    .into_iter()
                    .map(|row| off.keys[row as usize]),
            );
        }
        keys
    }
}

impl Column {
    /// Takes the cells of ascending rows out and hands them back.
    pub(super) fn take_rows(&mut self, rows: &[u32]) -> Column {
        let off = self.select(rows);
        match &mut self.cells {
            Cells::Text(cells) => cells.take_rows(rows),
            Cells::Number(cells) => cut(cells, rows),
            Cells::Day(cells) => cut(cells, rows),
            Cells::Code(cells) => cut(cells, rows),
        }
        if !self.unreadable.is_empty() {
            self.unreadable = std::mem::take(&mut self.unreadable)
                .into_iter()
                .filter_map(|(row, text)| {
                    let before = rows.binary_search(&row).err()?;
                    Some((row - u32::try_from(before).unwrap_or(row), text))
                })
                .collect();
        }
        off
    }

    /// Puts the cells of `off`, a column of the same kind, in at ascending places.
    pub(super) fn put_rows(&mut self, places: &[u32], off: &Column) {
        match (&mut self.cells, &off.cells) {
            (Cells::Text(cells), Cells::Text(more)) => cells.put_rows(places, more),
            (Cells::Number(cells), Cells::Number(more)) => put_in(cells, places, more),
            (Cells::Day(cells), Cells::Day(more)) => put_in(cells, places, more),
            (Cells::Code(cells), Cells::Code(more)) => put_in(cells, places, more),
            // The columns of rows taken off are those of their table (`Table` sees to it).
            (cells, _) => cells.resize(cells.len() + places.len()),
        }
        if !self.unreadable.is_empty() {
            // The place of a row grows by the rows put in before it.
            let mut moved = 0_u32;
            let mut next = places.iter().peekable();
            self.unreadable = std::mem::take(&mut self.unreadable)
                .into_iter()
                .map(|(row, text)| {
                    while next.next_if(|&&place| place <= row + moved).is_some() {
                        moved += 1;
                    }
                    (row + moved, text)
                })
                .collect();
        }
        for (row, text) in &off.unreadable {
            if let Some(&place) = places.get(*row as usize) {
                self.unreadable.insert(place, text.clone());
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_cut_goes_back_where_it_stood() {
        for mask in 0_u32..64 {
            let all = [10, 11, 12, 13, 14, 15];
            let places: Vec<u32> = (0..6).filter(|place| mask & (1 << place) != 0).collect();
            let off: Vec<i32> = places.iter().map(|&place| all[place as usize]).collect();
            let mut cells = all.to_vec();
            cut(&mut cells, &places);
            assert_eq!(cells.len() + off.len(), 6);
            assert!(off.iter().all(|cell| !cells.contains(cell)));
            put_in(&mut cells, &places, &off);
            assert_eq!(cells, all);
        }
    }

    #[test]
    fn merged_keys_ascend_and_say_where_the_new_ones_stand() {
        let (all, places) = merged(&[0, 2, 5], &[1, 3, 4, 9]);
        assert_eq!(all, [0, 1, 2, 3, 4, 5, 9]);
        assert_eq!(places, [1, 3, 4, 6]);
        assert_eq!(place_of(&[0, 2, 5], 5), Some(2));
        assert_eq!(place_of(&[0, 2, 5], 1), None);
        assert_eq!(place_of(&[], 0), None);
    }
}
