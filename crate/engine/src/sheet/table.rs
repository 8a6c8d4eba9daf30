//! A sheet: rows and typed columns.
//!
//! Enters: columns and rows, by import or by hand. Leaves: columns by key.
//! Always true: every column has `n_rows` cells. Rows are numbered from 0 as they stand; their permanent keys
//! ascend with them and are the same numbers until rows are taken off ([`Table::key_of`],
//! [`Table::row_of`]). Rows are added at the end, and sorting is a view.
//! Never: reorders or rewrites rows. Rows taken off are kept apart, where nobody meets them who walks the
//! table.

use super::column::{Column, Origin};
use super::schema::SheetKind;
use super::taken_off::{TakenOff, merged, place_of};

/// A sheet of a book.
#[derive(Clone)]
pub struct Table {
    /// Which sheet.
    pub kind: SheetKind,
    columns: Vec<Column>,
    n_rows: usize,
    /// For each row the line of the file it came from, 0 when typed.
    pub source_line: Vec<u32>,
    taken_off: Option<Box<TakenOff>>,
}

impl Table {
    /// A sheet with its known columns and no rows.
    pub fn new(kind: SheetKind) -> Table {
        let columns = kind
            .columns()
            .iter()
            .map(|known| Column::new(known.key, known.label, known.kind, Origin::Known))
            .collect();
        Table {
            kind,
            columns,
            n_rows: 0,
            source_line: Vec::new(),
            taken_off: None,
        }
    }

    /// Number of rows on the record.
    pub fn n_rows(&self) -> usize {
        self.n_rows
    }

    /// Number of keys given: rows on the record and rows taken off. The next row gets this key.
    pub fn n_keys(&self) -> usize {
        self.n_rows + self.n_taken_off()
    }

    /// Number of rows taken off.
    pub fn n_taken_off(&self) -> usize {
        self.taken_off.as_ref().map_or(0, |off| off.keys.len())
    }

    /// What was taken off, if anything.
    pub fn taken_off(&self) -> Option<&TakenOff> {
        self.taken_off.as_deref()
    }

    /// The permanent key of a row.
    pub fn key_of(&self, row: u32) -> u32 {
        match &self.taken_off {
            None => row,
            // Rows beyond the end get the keys they will have.
            Some(off) => off.on_record.get(row as usize).copied().unwrap_or_else(|| {
                row.saturating_add(u32::try_from(off.keys.len()).unwrap_or(u32::MAX))
            }),
        }
    }

    /// The row with a permanent key; `None` when there is none on the record.
    pub fn row_of(&self, key: u32) -> Option<u32> {
        match &self.taken_off {
            None => Some(key).filter(|&key| (key as usize) < self.n_rows),
            Some(off) => place_of(&off.on_record, key).and_then(|place| u32::try_from(place).ok()),
        }
    }

    /// True when the row with this key was taken off.
    pub fn is_taken_off(&self, key: u32) -> bool {
        self.taken_off
            .as_ref()
            .is_some_and(|off| place_of(&off.keys, key).is_some())
    }

    /// Takes rows off the record. Their keys ascend and all stand on the record.
    pub(super) fn take_off(&mut self, keys: &[u32]) {
        let rows: Vec<u32> = keys.iter().filter_map(|&key| self.row_of(key)).collect();
        self.source_line.resize(self.n_rows, 0);
        let off = Table {
            kind: self.kind,
            columns: self
                .columns
                .iter_mut()
                .map(|column| column.take_rows(&rows))
                .collect(),
            n_rows: rows.len(),
            source_line: rows
                .iter()
                .map(|&row| self.source_line[row as usize])
                .collect(),
            taken_off: None,
        };
        super::taken_off::cut(&mut self.source_line, &rows);
        let n_before = u32::try_from(self.n_rows).expect("a table has fewer rows than u32 counts");
        self.n_rows -= rows.len();
        match &mut self.taken_off {
            Some(there) => {
                super::taken_off::cut(&mut there.on_record, &rows);
                let (all, places) = merged(&there.keys, keys);
                there.keys = all;
                there.rows.put_rows(&places, &off);
            }
            None => {
                let mut on_record: Vec<u32> = (0..n_before).collect();
                super::taken_off::cut(&mut on_record, &rows);
                self.taken_off = Some(Box::new(TakenOff {
                    on_record,
                    keys: keys.to_vec(),
                    rows: off,
                }));
            }
        }
    }

    /// Brings rows back to the record. Their keys ascend and all were taken off.
    pub(super) fn bring_back(&mut self, keys: &[u32]) {
        let Some(mut there) = self.taken_off.take() else {
            return;
        };
        let places: Vec<u32> = keys
            .iter()
            .filter_map(|&key| place_of(&there.keys, key))
            .filter_map(|place| u32::try_from(place).ok())
            .collect();
        let off = there.rows.select(&places);
        let (all, to) = merged(&there.on_record, keys);
        there.on_record = all;
        self.put_rows(&to, &off);
        if places.len() < there.keys.len() {
            super::taken_off::cut(&mut there.keys, &places);
            for column in &mut there.rows.columns {
                let _back = column.take_rows(&places);
            }
            super::taken_off::cut(&mut there.rows.source_line, &places);
            there.rows.n_rows -= places.len();
            self.taken_off = Some(there);
        }
    }

    /// Puts the rows of a table with the same columns in at ascending places.
    fn put_rows(&mut self, places: &[u32], off: &Table) {
        for (column, off) in self.columns.iter_mut().zip(&off.columns) {
            column.put_rows(places, off);
        }
        super::taken_off::put_in(&mut self.source_line, places, &off.source_line);
        self.n_rows += off.n_rows;
    }

    /// A table and the rows taken off it, as a saved book holds them. Where the keys cannot be those of rows
    /// taken off this table (another program has changed it since), the rows taken off get the last keys.
    pub fn set_taken_off(&mut self, mut keys: Vec<u32>, rows: Table) {
        let n_keys = self.n_rows + rows.n_rows;
        let sound = keys.len() == rows.n_rows
            && keys.is_sorted_by(|one, next| one < next)
            && keys.last().is_none_or(|&last| (last as usize) < n_keys);
        if rows.n_rows == 0 {
            return;
        }
        for column in &rows.columns {
            if self.column(&column.key).is_none() && !column.holds_nothing() {
                self.add_column(Column::new(
                    &column.key,
                    &column.label,
                    column.kind,
                    Origin::Own,
                ));
            }
        }
        let number = |n: usize| u32::try_from(n).expect("a table has fewer rows than u32 counts");
        if !sound {
            keys = (number(self.n_rows)..number(n_keys)).collect();
        }
        let mut on_record: Vec<u32> = (0..number(n_keys)).collect();
        super::taken_off::cut(&mut on_record, &keys);
        let mut off = Table {
            kind: self.kind,
            columns: Vec::with_capacity(self.columns.len()),
            n_rows: rows.n_rows,
            source_line: rows.source_line.clone(),
            taken_off: None,
        };
        for column in &self.columns {
            let mut cells = match rows.column(&column.key) {
                Some(cells) if column.takes_cells_of(cells) => cells.clone(),
                Some(cells) => cells.read_as(column.kind),
                None => Column::new(&column.key, &column.label, column.kind, column.origin),
            };
            cells.formula = None;
            cells.cells.resize(rows.n_rows);
            off.columns.push(cells);
        }
        off.source_line.resize(rows.n_rows, 0);
        self.taken_off = Some(Box::new(TakenOff {
            on_record,
            keys,
            rows: off,
        }));
    }

    /// All columns: the known ones in schema order, then the person's own.
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// The column with this key.
    pub fn column(&self, key: &str) -> Option<&Column> {
        self.columns.iter().find(|column| column.key == key)
    }

    /// The column with this key, to change its cells. Its number of cells must stay.
    pub fn column_mut(&mut self, key: &str) -> Option<&mut Column> {
        self.columns.iter_mut().find(|column| column.key == key)
    }

    /// A known column. Every table has all of its schema's columns.
    pub fn known(&self, key: &'static str) -> &Column {
        self.column(key)
            .expect("the schema's columns are in every table")
    }

    /// Adds a column of the person's own, filled with missing cells up to the number of rows.
    pub fn add_column(&mut self, column: Column) {
        self.insert_column(self.columns.len(), column);
    }

    /// Takes a column of the person's own away and hands it back.
    pub fn remove_own_column(&mut self, key: &str) -> Option<Column> {
        let at = self
            .columns
            .iter()
            .position(|c| c.key == key && c.origin == Origin::Own)?;
        if let Some(off) = &mut self.taken_off {
            off.rows.columns.remove(at);
        }
        Some(self.columns.remove(at))
    }

    /// Grows or shrinks to `n_rows` at the end; new cells are missing.
    pub fn resize(&mut self, n_rows: usize) {
        self.follow_keys(n_rows);
        for column in &mut self.columns {
            column.cells.resize(n_rows);
            let _gone = column
                .unreadable
                .split_off(&u32::try_from(n_rows).unwrap_or(u32::MAX));
        }
        self.source_line.resize(n_rows, 0);
        self.n_rows = n_rows;
    }

    /// Puts a column of the person's own at a position among all columns (at the end when beyond it),
    /// filled with missing cells up to the number of rows.
    pub fn insert_column(&mut self, position: usize, mut column: Column) {
        column.cells.resize(self.n_rows);
        let at = position.clamp(self.kind.columns().len(), self.columns.len());
        if let Some(off) = &mut self.taken_off {
            let mut blank = Column::new(&column.key, &column.label, column.kind, column.origin);
            blank.cells.resize(off.rows.n_rows);
            off.rows.columns.insert(at, blank);
        }
        self.columns.insert(at, column);
    }

    /// Gives rows at the end the next keys, or takes the last keys away with theirs.
    fn follow_keys(&mut self, n_rows: usize) {
        let next = u32::try_from(self.n_keys()).expect("a table has fewer rows than u32 counts");
        if let Some(off) = &mut self.taken_off {
            let more = n_rows.saturating_sub(off.on_record.len());
            off.on_record.truncate(n_rows);
            off.on_record.extend((next..).take(more));
        }
    }

    /// Position of the column with this key.
    pub fn column_position(&self, key: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.key == key)
    }

    /// Adds the rows of `more` at the end. Its own columns must stand here already; columns it does not
    /// have are missing in the new rows. Cells are moved, and converted where an own column here holds
    /// another kind.
    pub fn append(&mut self, more: Table) {
        let n_rows = self.n_rows + more.n_rows;
        self.follow_keys(n_rows);
        for mut arriving in more.columns {
            if let Some(column) = self.column_mut(&arriving.key) {
                if !column.takes_cells_of(&arriving) {
                    arriving = arriving.read_as(column.kind);
                }
                column.append(arriving);
            }
        }
        for column in &mut self.columns {
            column.cells.resize(n_rows);
        }
        self.source_line.resize(self.n_rows, 0);
        self.source_line.extend(more.source_line);
        self.source_line.resize(n_rows, 0);
        self.n_rows = n_rows;
    }

    /// Takes the rows from `n_rows` on off and hands them back as a table with the same columns.
    pub fn split_off(&mut self, n_rows: usize) -> Table {
        let n_rows = n_rows.min(self.n_rows);
        self.follow_keys(n_rows);
        let off = Table {
            kind: self.kind,
            columns: self
                .columns
                .iter_mut()
                .map(|column| column.split_off(n_rows))
                .collect(),
            n_rows: self.n_rows - n_rows,
            source_line: self
                .source_line
                .split_off(n_rows.min(self.source_line.len())),
            taken_off: None,
        };
        self.n_rows = n_rows;
        off
    }

    /// Some rows, in the order given, as a table with the same columns. Every row must be there.
    pub fn select(&self, rows: &[u32]) -> Table {
        Table {
            kind: self.kind,
            columns: self
                .columns
                .iter()
                .map(|column| column.select(rows))
                .collect(),
            n_rows: rows.len(),
            source_line: rows
                .iter()
                .map(|&row| self.source_line.get(row as usize).copied().unwrap_or(0))
                .collect(),
            taken_off: None,
        }
    }

    /// Each column, to change its cells, with the permanent key of each of its rows where these are not the
    /// row numbers; after the columns of the record those of the rows taken off. Numbers of cells must stay.
    pub(super) fn columns_mut(&mut self) -> impl Iterator<Item = (&mut Column, Option<&[u32]>)> {
        let (keys, off) = match self.taken_off.as_deref_mut() {
            Some(off) => (
                Some(&off.on_record[..]),
                Some((&mut off.rows.columns, &off.keys[..])),
            ),
            None => (None, None),
        };
        let off = off
            .into_iter()
            .flat_map(|(columns, keys)| columns.iter_mut().map(move |column| (column, Some(keys))));
        self.columns
            .iter_mut()
            .map(move |column| (column, keys))
            .chain(off)
    }

    /// The column at a position and the number in it of the row with a permanent key, on the record or off it.
    pub(super) fn cell_mut(&mut self, column: usize, key: u32) -> Option<(&mut Column, u32)> {
        match self.row_of(key) {
            Some(row) => Some((self.columns.get_mut(column)?, row)),
            None => {
                let off = self.taken_off.as_deref_mut()?;
                let row = u32::try_from(place_of(&off.keys, key)?).ok()?;
                Some((off.rows.columns.get_mut(column)?, row))
            }
        }
    }

    /// True when rows that were taken off hold something in the column at this position.
    pub(super) fn held_off_record(&self, column: usize) -> bool {
        self.taken_off.as_ref().is_some_and(|off| {
            off.rows
                .columns
                .get(column)
                .is_some_and(|column| !column.holds_nothing())
        })
    }

    /// Takes own columns away that hold nothing, but for the named ones.
    pub(super) fn drop_blank_own_columns(&mut self, keep: &[String]) {
        self.columns.retain(|column| {
            column.origin == Origin::Known || keep.contains(&column.key) || !column.holds_nothing()
        });
    }
}
