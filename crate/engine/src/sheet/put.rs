//! Values into cells and rows onto columns.
//!
//! Enters: a value, or a column of further rows. Leaves: the changed column.
//! Always true: a value that does not fit the column's kind is refused by [`Column::fits`] before anything
//! changes; text that was not understood stays beside its cell, under its row.
//! Never: changes a value on its way.

use std::collections::BTreeMap;

use super::codes::NO_CODE;
use super::column::{Cells, Column, Kind, Value};
use super::day::Day;
use super::interned::{Interned, NO_TEXT};
use super::read::{Read, ReadOptions, read_cell};
use super::settings::WeightUnit;

/// A text as the value of a column of this kind; what cannot be read is kept as it stands.
pub fn value_of(kind: Kind, text: &str, options: &ReadOptions) -> Value {
    match read_cell(kind, text, options) {
        Ok(Read::Missing) => Value::Missing,
        Ok(Read::Text(text)) => Value::Text(text.into_owned()),
        Ok(Read::Number { number, .. }) => Value::Number(number),
        Ok(Read::Day { day, .. }) => Value::Day(day),
        Ok(Read::Code(position)) => match kind {
            Kind::Code(codes) => codes
                .key(position)
                .map_or(Value::Missing, |key| Value::Text(key.to_owned())),
            _ => Value::Missing,
        },
        Err(_) => Value::Unreadable(text.to_owned()),
    }
}

impl Column {
    /// True when the value can stand in this column.
    pub fn fits(&self, value: &Value) -> bool {
        match (value, self.kind) {
            (Value::Missing, _) => true,
            (Value::Unreadable(text), _) => !text.is_empty(),
            (Value::Text(text), Kind::Text | Kind::List) => !text.is_empty(),
            (Value::Text(key), Kind::Code(codes)) => codes.words.iter().any(|word| word.key == key),
            (Value::Number(number), Kind::Weight | Kind::Number(_)) => !number.is_nan(),
            (Value::Day(day), Kind::Date) => !day.is_missing(),
            _ => false,
        }
    }

    /// Puts a value into a cell and hands back what stood there. The value must fit and the row must
    /// exist; a value that does not fit leaves the cell missing.
    pub fn put(&mut self, row: u32, value: Value) -> Value {
        let at = row as usize;
        let before = self.value(at);
        let _text_that_stood_here = self.unreadable.remove(&row);
        let value = match value {
            Value::Unreadable(text) => {
                self.unreadable.insert(row, text);
                Value::Missing
            }
            value => value,
        };
        match &mut self.cells {
            Cells::Text(cells) => cells.set(
                at,
                match &value {
                    Value::Text(text) => text,
                    _ => "",
                },
            ),
            Cells::Number(cells) => {
                cells[at] = match value {
                    Value::Number(number) => number,
                    _ => f64::NAN,
                }
            }
            Cells::Day(cells) => {
                cells[at] = match value {
                    Value::Day(day) => day,
                    _ => Day::MISSING,
                }
            }
            Cells::Code(cells) => {
                cells[at] = match (&value, self.kind) {
                    (Value::Text(key), Kind::Code(codes)) => codes
                        .words
                        .iter()
                        .position(|word| word.key == key)
                        .and_then(|position| u8::try_from(position).ok())
                        .unwrap_or(NO_CODE),
                    _ => NO_CODE,
                }
            }
        }
        before
    }

    /// True when every cell is missing and no text waits to be mended.
    pub fn holds_nothing(&self) -> bool {
        self.is_blank_in(0, self.len())
    }

    /// True when the rows before `n_rows` hold nothing.
    pub fn holds_nothing_before(&self, n_rows: usize) -> bool {
        self.is_blank_in(0, n_rows)
    }

    /// True when the rows from `from` to before `to` hold nothing.
    pub fn is_blank_in(&self, from: usize, to: usize) -> bool {
        let to = to.min(self.len());
        let from = from.min(to);
        let first = u32::try_from(from).unwrap_or(u32::MAX);
        let end = u32::try_from(to).unwrap_or(u32::MAX);
        self.unreadable.range(first..end).next().is_none()
            && match &self.cells {
                Cells::Text(cells) => cells.codes()[from..to].iter().all(|&code| code == NO_TEXT),
                Cells::Number(cells) => cells[from..to].iter().all(|number| number.is_nan()),
                Cells::Day(cells) => cells[from..to].iter().all(|day| day.is_missing()),
                Cells::Code(cells) => cells[from..to].iter().all(|&code| code == NO_CODE),
            }
    }

    /// The numbers, to convert them; `None` when the column does not hold numbers.
    pub fn numbers_mut(&mut self) -> Option<&mut [f64]> {
        match &mut self.cells {
            Cells::Number(cells) => Some(cells),
            _ => None,
        }
    }

    /// True when the cells of `arriving` mean the same here as there.
    pub fn takes_cells_of(&self, arriving: &Column) -> bool {
        match (self.kind, arriving.kind) {
            (Kind::Code(here), Kind::Code(there)) => std::ptr::eq(here, there),
            _ => std::mem::discriminant(&self.cells) == std::mem::discriminant(&arriving.cells),
        }
    }

    /// The same cells written out and read as another kind; what cannot be read stays as text.
    pub fn read_as(&self, kind: Kind) -> Column {
        let mut column = Column::new(&self.key, &self.label, kind, self.origin);
        column.header.clone_from(&self.header);
        column.cells.resize(self.len());
        // Both sides are in the book's unit, so that naming one unit converts nothing.
        let options = ReadOptions::of_book(WeightUnit::Pound);
        for row in 0..self.len() {
            let number = u32::try_from(row).expect("a table has fewer rows than u32 counts");
            let _missing = column.put(number, value_of(kind, &self.raw(row), &options));
        }
        column
    }

    /// Adds the cells of `more`, a column of the same kind of cells, below this one's.
    pub fn append(&mut self, more: Column) {
        let n_rows = u32::try_from(self.len()).expect("a table has fewer rows than u32 counts");
        match (&mut self.cells, more.cells) {
            (cells, more) if cells.is_empty() => *cells = more,
            (Cells::Text(cells), Cells::Text(more)) => {
                for row in 0..more.len() {
                    cells.push(more.get(row).unwrap_or(""));
                }
            }
            (Cells::Number(cells), Cells::Number(mut more)) => cells.append(&mut more),
            (Cells::Day(cells), Cells::Day(mut more)) => cells.append(&mut more),
            (Cells::Code(cells), Cells::Code(mut more)) => cells.append(&mut more),
            // Callers bring cells of one form (`Table::append` converts first).
            (cells, more) => cells.resize(n_rows as usize + more.len()),
        }
        self.unreadable.extend(
            more.unreadable
                .into_iter()
                .map(|(row, text)| (row + n_rows, text)),
        );
    }

    /// The cells of some rows, in the order given, as a column of their own.
    pub fn select(&self, rows: &[u32]) -> Column {
        let at = rows.iter().map(|&row| row as usize);
        let cells = match &self.cells {
            Cells::Text(cells) => {
                let mut selected = Interned::new();
                at.for_each(|at| selected.push(cells.get(at).unwrap_or("")));
                Cells::Text(selected)
            }
            Cells::Number(cells) => Cells::Number(at.map(|at| cells[at]).collect()),
            Cells::Day(cells) => Cells::Day(at.map(|at| cells[at]).collect()),
            Cells::Code(cells) => Cells::Code(at.map(|at| cells[at]).collect()),
        };
        let unreadable = if self.unreadable.is_empty() {
            BTreeMap::new()
        } else {
            (0_u32..)
                .zip(rows)
                .filter_map(|(to, from)| Some((to, self.unreadable.get(from)?.clone())))
                .collect()
        };
        self.with_cells(cells, unreadable)
    }

    /// A column like this one that holds other cells, and no formula: its values are cells now.
    fn with_cells(&self, cells: Cells, unreadable: BTreeMap<u32, String>) -> Column {
        Column {
            key: self.key.clone(),
            label: self.label.clone(),
            kind: self.kind,
            origin: self.origin,
            header: self.header.clone(),
            formula: None,
            cells,
            unreadable,
        }
    }

    /// Takes the cells from `n_rows` on off and hands them back as a column of their own.
    pub fn split_off(&mut self, n_rows: usize) -> Column {
        let cells = match &mut self.cells {
            cells if n_rows == 0 => std::mem::replace(cells, Cells::empty(self.kind)),
            Cells::Text(cells) => {
                let mut off = Interned::new();
                for row in n_rows..cells.len() {
                    off.push(cells.get(row).unwrap_or(""));
                }
                cells.truncate(n_rows);
                Cells::Text(off)
            }
            Cells::Number(cells) => Cells::Number(cells.split_off(n_rows.min(cells.len()))),
            Cells::Day(cells) => Cells::Day(cells.split_off(n_rows.min(cells.len()))),
            Cells::Code(cells) => Cells::Code(cells.split_off(n_rows.min(cells.len()))),
        };
        let first = u32::try_from(n_rows).unwrap_or(u32::MAX);
        let unreadable = self
            .unreadable
            .split_off(&first)
            .into_iter()
            .map(|(row, text)| (row - first, text))
            .collect();
        self.with_cells(cells, unreadable)
    }
}
