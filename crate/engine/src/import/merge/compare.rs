//! A row of a file against a row on record, cell by cell.
//!
//! Enters: the two tables. Leaves: for each pair of cells whether they say the same.
//! Always true: a missing cell of the file says nothing; a text that was not read never stands against a value
//! that was; a measured value and its day stand together.
//! Never: takes 0 for missing.

use super::RowKind;
use super::measured::{Measured, measured};
use crate::animals::plain::{plain, plain_electronic_id};
use crate::sheet::column::{Column, Kind, Value};
use crate::sheet::table::Table;

/// How two cells stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellState {
    /// The file says nothing here.
    Silent,
    /// Both say the same.
    Same,
    /// The record is blank here.
    Fills,
    /// They differ.
    Differs,
    /// The text of the file could not be read, and the record has a value; or the cell goes with such a text.
    Unread,
}

/// Two cells.
#[derive(Clone, Debug, PartialEq)]
pub struct ComparedCell {
    /// Key of the column in the sheet.
    pub column: String,
    /// What the file says.
    pub incoming: Value,
    /// What is on record; for the day of a measured value the day that counts, in whichever column it stands.
    pub on_record: Value,
    /// How they stand to each other.
    pub state: CellState,
}

/// The columns of the file that hold something, each with its column in the sheet.
pub struct Columns<'a> {
    here: &'a Table,
    pairs: Vec<(&'a Column, Option<&'a Column>)>,
    /// What the file may say of measured values.
    measured: Vec<&'static Measured>,
}

impl<'a> Columns<'a> {
    /// Pairs by key.
    pub fn of(here: &'a Table, incoming: &'a Table) -> Columns<'a> {
        let pairs: Vec<(&Column, Option<&Column>)> = incoming
            .columns()
            .iter()
            .filter(|column| !column.holds_nothing())
            .map(|column| (column, here.column(&column.key)))
            .collect();
        Columns {
            here,
            measured: measured(here.kind)
                .iter()
                .filter(|one| pairs.iter().any(|(column, _)| one.has(&column.key)))
                .collect(),
            pairs,
        }
    }

    /// What the row of the file is to the row on record.
    pub fn kind(&self, row: u32, there: u32) -> RowKind {
        let kind_of = |state: CellState| match state {
            CellState::Silent | CellState::Same => RowKind::Same,
            CellState::Fills => RowKind::Fills,
            CellState::Differs | CellState::Unread => RowKind::Differs,
        };
        if !self.measured.is_empty() {
            return self
                .cells(row, Some(there))
                .into_iter()
                .fold(RowKind::Same, |kind, cell| kind.max(kind_of(cell.state)));
        }
        self.pairs
            .iter()
            .fold(RowKind::Same, |kind, (incoming, here)| {
                let on_record = here.map_or(Value::Missing, |here| here.value(there as usize));
                kind.max(kind_of(state(
                    incoming,
                    &incoming.value(row as usize),
                    &on_record,
                )))
            })
    }

    /// The cells of the row of the file, each beside the record's; no record for a new row. A day that the file gives a
    /// value through another column has a cell of its own where it would replace one on record.
    pub fn cells(&self, row: u32, there: Option<u32>) -> Vec<ComparedCell> {
        let mut cells: Vec<ComparedCell> = self
            .pairs
            .iter()
            .map(|(column, here)| {
                let incoming = column.value(row as usize);
                let on_record = match (here, there) {
                    (Some(here), Some(there)) => here.value(there as usize),
                    _ => Value::Missing,
                };
                ComparedCell {
                    column: column.key.clone(),
                    state: state(column, &incoming, &on_record),
                    incoming,
                    on_record,
                }
            })
            .collect();
        if let Some(there) = there {
            for one in &self.measured {
                one.settle(self.here, there, &mut cells);
            }
        }
        cells
    }
}

fn state(column: &Column, incoming: &Value, on_record: &Value) -> CellState {
    match (incoming, on_record) {
        (Value::Missing, _) => CellState::Silent,
        (_, Value::Missing) => CellState::Fills,
        (Value::Unreadable(one), Value::Unreadable(other)) if plain(one) == plain(other) => {
            CellState::Same
        }
        // A value in the place of a text that nobody could read mends it, but that is for the person to say.
        (_, Value::Unreadable(_)) => CellState::Differs,
        (Value::Unreadable(_), _) => CellState::Unread,
        (Value::Number(one), Value::Number(other)) => same(near(*one, *other)),
        (Value::Day(one), Value::Day(other)) => same(one == other),
        (Value::Text(one), Value::Text(other)) => same(match column.kind {
            _ if column.key == "eid" => plain_electronic_id(one) == plain_electronic_id(other),
            Kind::Code(_) => one == other,
            _ => plain(one) == plain(other),
        }),
        // An own column may hold another kind here than in the file.
        (one, other) => same(plain(&column.shown_value(one)) == plain(&column.shown_value(other))),
    }
}

fn same(same: bool) -> CellState {
    if same {
        CellState::Same
    } else {
        CellState::Differs
    }
}

/// Weights go through a conversion and back: the last digits may differ.
fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs())
}
