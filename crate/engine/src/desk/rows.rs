//! Rows taken off the record, put in, and hidden, as people ask for it.
//!
//! Enters: positions of a view. Leaves: journal records, and sentences about what was done.
//! Always true: rows are named to the record by their permanent keys; a range that does not begin and end
//! with the rows it did when it was chosen is refused; hiding and placing are of the view alone.
//! Never: asks; each of these is taken back by one undo.

use super::Desk;
use crate::animals::links::columns_of;
use crate::error::Error;
use crate::import::merge;
use crate::note::counted;
use crate::sheet::edit::Command;
use crate::sheet::interned::NO_TEXT;
use crate::sheet::schema::SheetKind;
use crate::sheet::view::ViewSpec;

/// Rows of a view, by position and as a check by key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RowRange {
    /// Position of the first.
    pub first: usize,
    /// Position of the last, which is in.
    pub last: usize,
    /// Permanent key of the first.
    pub first_key: u32,
    /// Permanent key of the last.
    pub last_key: u32,
}

/// What of a view is not in its filters and sort keys.
#[derive(Clone, Default)]
pub(super) struct Placing {
    /// Permanent keys of hidden rows, ascending.
    pub(super) hidden: Vec<u32>,
    /// Rows that were put in, each with the row it stands under (`None`: at the top), in the order in which
    /// they are placed.
    pub(super) placed: Vec<(u32, Option<u32>)>,
    /// The view they were placed in; another one forgets their places.
    pub(super) spec: ViewSpec,
    /// Keys given when the view was last brought in step.
    pub(super) n_keys: u32,
    /// Keys of the rows taken off then.
    pub(super) off: Vec<u32>,
}

impl Placing {
    /// Takes hidden rows out and puts placed ones where they were put.
    pub(super) fn arrange(&self, keys: &mut Vec<u32>, is_there: impl Fn(u32) -> bool) {
        if !self.placed.is_empty() {
            self.place(keys, is_there);
        }
        // Hidden rows go last: what stands under one is not moved by hiding it.
        if !self.hidden.is_empty() {
            keys.retain(|key| self.hidden.binary_search(key).is_err());
        }
    }

    fn place(&self, keys: &mut Vec<u32>, is_there: impl Fn(u32) -> bool) {
        let mut moved: Vec<u32> = self.placed.iter().map(|(key, _)| *key).collect();
        fairpen_stats::in_order::order(&mut moved);
        keys.retain(|key| moved.binary_search(key).is_err());
        // Rows placed one under the other go in together: one search for each run.
        let mut run: Vec<u32> = Vec::new();
        let mut under: Option<u32> = None;
        for &(key, after) in &self.placed {
            if !is_there(key) {
                continue;
            }
            if run.is_empty() || after != run.last().copied() {
                put_under(keys, under, &run);
                run.clear();
                under = after;
            }
            run.push(key);
        }
        put_under(keys, under, &run);
    }
}

impl Placing {
    /// Rows that stand under one that goes from the view stand under the nearest above it that stays, and is
    /// not placed after them. `keys` are the rows as they were shown.
    fn hold_on(&mut self, keys: &[u32], stays: impl Fn(u32) -> bool) {
        for at in 0..self.placed.len() {
            let Some(gone) = self.placed[at].1.filter(|&key| !stays(key)) else {
                continue;
            };
            let later = &self.placed[at..];
            let above = keys.iter().position(|&key| key == gone).unwrap_or(0);
            self.placed[at].1 = keys[..above]
                .iter()
                .rev()
                .copied()
                .find(|&key| stays(key) && !later.iter().any(|&(placed, _)| placed == key));
        }
    }
}

/// Puts rows under another; at the end where that one is not shown.
fn put_under(keys: &mut Vec<u32>, under: Option<u32>, run: &[u32]) {
    let at = match under {
        None => 0,
        Some(under) => keys
            .iter()
            .position(|&key| key == under)
            .map_or(keys.len(), |at| at + 1),
    };
    keys.splice(at..at, run.iter().copied());
}

/// Where the animals or places of a sheet are named: the sheet and the column.
fn named_in(sheet: SheetKind) -> impl Iterator<Item = (SheetKind, &'static str)> {
    let is_animal = matches!(
        sheet,
        SheetKind::Calves | SheetKind::Cows | SheetKind::Bulls
    );
    SheetKind::ALL
        .into_iter()
        .filter(move |by| *by != sheet)
        .flat_map(|by| columns_of(by).map(move |(key, stands_for)| (by, key, stands_for)))
        .filter(move |(_, _, stands_for)| match stands_for.home() {
            Some(home) => home == sheet,
            None => is_animal,
        })
        .map(|(by, key, _)| (by, key))
}

/// Rows of a sheet in its own words: `3 calves`, `1 row`.
pub(super) fn rows_words(sheet: SheetKind, n: usize) -> String {
    counted(
        n,
        match sheet {
            SheetKind::Calves => "calf",
            SheetKind::Cows => "cow",
            SheetKind::Bulls => "bull",
            _ => "row",
        },
    )
}

impl Desk {
    /// The permanent keys of a range of rows.
    ///
    /// # Errors
    /// `sheet.row.moved` when other rows stand there by now.
    pub fn keys_of(&self, sheet: SheetKind, range: RowRange) -> Result<Vec<u32>, Error> {
        let table = self.book.sheet(sheet);
        let end = range.last.saturating_add(1).min(self.n_shown(sheet));
        let keys: Vec<u32> = (range.first..end)
            .filter_map(|position| self.row_at(sheet, position))
            .map(|row| table.key_of(row))
            .collect();
        if keys.first() != Some(&range.first_key) || keys.last() != Some(&range.last_key) {
            return Err(Error::new(
                "sheet.row.moved",
                "Other rows stand there by now, so nothing was done.",
                "Choose the rows again.",
            ));
        }
        Ok(keys)
    }

    /// Takes the rows of a range off the record; gives the journal record and what to say.
    ///
    /// # Errors
    /// `sheet.row.moved`.
    pub fn take_off(
        &mut self,
        sheet: SheetKind,
        range: RowRange,
    ) -> Result<(Vec<u8>, String), Error> {
        let rows = self.keys_of(sheet, range)?;
        let words = self.taken_off_words(sheet, &rows);
        let record = self.change(Command::TakeOff { sheet, rows })?;
        Ok((record, words))
    }

    /// What taking rows off comes to, and who still names them. To be asked before.
    fn taken_off_words(&self, sheet: SheetKind, keys: &[u32]) -> String {
        let mut words = match sheet {
            SheetKind::Calves | SheetKind::Cows | SheetKind::Bulls => {
                format!("{} taken off.", rows_words(sheet, keys.len()))
            }
            _ => format!(
                "{} taken off {}.",
                rows_words(sheet, keys.len()),
                sheet.label()
            ),
        };
        let naming: Vec<String> = self
            .naming(sheet, keys)
            .into_iter()
            .map(|(by, column, n)| {
                let label = by.column(column).map_or(column, |known| known.label);
                match by {
                    SheetKind::Calves => format!("{} ({label})", rows_words(by, n)),
                    _ => format!("{} of {} ({label})", rows_words(by, n), by.label()),
                }
            })
            .collect();
        if !naming.is_empty() {
            words.push_str(&format!(" Still naming them: {}.", naming.join(", ")));
        }
        words
    }

    /// Rows of other sheets that name these rows, where no row that stays has the same name: the sheet, the
    /// column and how many.
    fn naming(&self, sheet: SheetKind, keys: &[u32]) -> Vec<(SheetKind, &'static str, usize)> {
        let table = self.book.sheet(sheet);
        let mut going = vec![false; table.n_rows()];
        for row in keys.iter().filter_map(|&key| table.row_of(key)) {
            going[row as usize] = true;
        }
        let names: Vec<&str> = ["tag", "name"]
            .into_iter()
            .filter_map(|key| table.column(key)?.texts())
            .flat_map(|texts| {
                // Bit 1: a row that goes has this name, bit 2: a row that stays.
                let mut had = vec![0_u8; texts.n_texts()];
                for (&code, &goes) in texts.codes().iter().zip(&going) {
                    if code != NO_TEXT {
                        had[code as usize] |= if goes { 1 } else { 2 };
                    }
                }
                texts
                    .texts()
                    .zip(had)
                    .filter(|(_, had)| *had == 1)
                    .map(|(name, _)| name)
                    .collect::<Vec<_>>()
            })
            .collect();
        let mut names = names;
        fairpen_stats::in_order::order(&mut names);
        let mut found = Vec::new();
        for (by, column) in named_in(sheet) {
            let Some(texts) = self.book.sheet(by).known(column).texts() else {
                continue;
            };
            let naming: Vec<bool> = texts
                .texts()
                .map(|text| {
                    text.split(';')
                        .any(|name| names.binary_search(&name.trim()).is_ok())
                })
                .collect();
            let n = texts
                .codes()
                .iter()
                .filter(|&&code| naming.get(code as usize).copied().unwrap_or(false))
                .count();
            if n > 0 {
                found.push((by, column, n));
            }
        }
        found
    }

    /// Adds blank rows that stand from a position of the view on, until the view is made otherwise.
    ///
    /// # Errors
    /// `sheet.rows.too_many`.
    pub fn insert_rows(
        &mut self,
        sheet: SheetKind,
        at: usize,
        n_rows: u32,
    ) -> Result<Vec<u8>, Error> {
        let table = self.book.sheet(sheet);
        let first = u32::try_from(table.n_keys()).unwrap_or(u32::MAX);
        let mut under = at
            .checked_sub(1)
            .and_then(|above| self.row_at(sheet, above.min(self.n_shown(sheet).checked_sub(1)?)))
            .map(|row| table.key_of(row));
        let record = self.change(Command::AddRows { sheet, n_rows })?;
        let placing = &mut self.placing[sheet.position()];
        for key in first..first.saturating_add(n_rows) {
            placing.placed.push((key, under));
            under = Some(key);
        }
        let spec = placing.spec.clone();
        self.set_view(sheet, &spec);
        Ok(record)
    }

    /// Hides the rows of a range in this view; gives how many are hidden now.
    ///
    /// # Errors
    /// `sheet.row.moved`.
    pub fn hide_rows(&mut self, sheet: SheetKind, range: RowRange) -> Result<usize, Error> {
        let more = self.keys_of(sheet, range)?;
        let placing = &mut self.placing[sheet.position()];
        placing.hidden.extend(more);
        fairpen_stats::in_order::order(&mut placing.hidden);
        placing.hidden.dedup();
        let spec = placing.spec.clone();
        self.set_view(sheet, &spec);
        Ok(self.n_hidden(sheet))
    }

    /// Shows the hidden rows again.
    pub fn show_hidden(&mut self, sheet: SheetKind) {
        let placing = &mut self.placing[sheet.position()];
        placing.hidden.clear();
        let spec = placing.spec.clone();
        self.set_view(sheet, &spec);
    }

    /// How many rows on the record are hidden.
    pub fn n_hidden(&self, sheet: SheetKind) -> usize {
        let table = self.book.sheet(sheet);
        self.placing[sheet.position()]
            .hidden
            .iter()
            .filter(|&&key| table.row_of(key).is_some())
            .count()
    }

    /// Keeps a view in step with the rows that are there.
    pub(super) fn follow_rows(&mut self, sheet: SheetKind) {
        let table = self.book.sheet(sheet);
        let n_keys = u32::try_from(table.n_keys()).unwrap_or(u32::MAX);
        let off = table.taken_off().map_or(&[][..], |off| off.keys());
        let placing = &mut self.placing[sheet.position()];
        let known = placing.n_keys;
        let other_off = placing.off != off;
        if n_keys == known && !other_off {
            return;
        }
        if let Some(keys) = &mut self.shown[sheet.position()] {
            placing.hold_on(keys, |key| table.row_of(key).is_some());
            keys.retain(|&key| table.row_of(key).is_some());
            keys.extend((known..n_keys).filter(|&key| table.row_of(key).is_some()));
            let back = placing.off.iter().filter(|&&key| {
                key < known
                    && table.row_of(key).is_some()
                    && placing.hidden.binary_search(&key).is_err()
            });
            keys.extend(back);
        }
        placing.hidden.retain(|&key| key < n_keys);
        placing.placed.retain(|(key, _)| *key < n_keys);
        placing.n_keys = n_keys;
        placing.off = off.to_vec();
        // Rows of a file being brought in are held against rows by their numbers, which are others now.
        if other_off && let Some(file) = &mut self.bringing_in {
            file.held_anew(|table| merge::find(&self.book, table));
        }
    }
}
