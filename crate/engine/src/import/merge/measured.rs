//! A measured value and its day are one fact.
//!
//! Enters: the cells of a row of a file beside a row on record. Leaves: the same cells, the states of value and day
//! settled together.
//! Always true: what stands after the row came in is the value and the day of the record, or both of the file; never
//! one of each.
//! Never: takes a day for a value that stays out, or a value for a day that stays out.

use super::compare::{CellState, ComparedCell};
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

/// A column of values, and the columns that say on which day they were measured.
pub(super) struct Measured {
    value: &'static str,
    day: &'static str,
    /// The day that counts where `day` is blank.
    otherwise: Option<&'static str>,
}

/// The measured values of a sheet.
pub(super) const fn measured(sheet: SheetKind) -> &'static [Measured] {
    match sheet {
        SheetKind::Calves => &[
            Measured {
                value: "wean_weight",
                day: "weigh_date",
                otherwise: Some("wean_date"),
            },
            Measured {
                value: "yearling_weight",
                day: "yearling_date",
                otherwise: None,
            },
        ],
        SheetKind::Weights => &[Measured {
            value: "weight",
            day: "date",
            otherwise: None,
        }],
        _ => &[],
    }
}

impl Measured {
    /// Whether a column is one of these.
    pub(super) fn has(&self, key: &str) -> bool {
        key == self.value || key == self.day || self.otherwise == Some(key)
    }

    /// Settles the states of value and day against the row `there` on record.
    pub(super) fn settle(&self, here: &Table, there: u32, cells: &mut Vec<ComparedCell>) {
        let on_record = |key: &str| {
            here.column(key)
                .map(|column| column.value(there as usize))
                .filter(|value| *value != Value::Missing)
        };
        let said = |key: &str| {
            find(cells, key)
                .filter(|&at| cells[at].incoming != Value::Missing)
                .map(|at| (at, cells[at].incoming.clone(), cells[at].state))
        };
        let (own_here, other_here) = (on_record(self.day), self.otherwise.and_then(on_record));
        let held = on_record(self.value).is_some();
        let value = said(self.value);
        let state = value.as_ref().map_or(CellState::Silent, |value| value.2);
        let (own, other) = (said(self.day), self.otherwise.and_then(said));
        let Some(day) = own.as_ref().or(other.as_ref()).map(|said| said.1.clone()) else {
            return;
        };
        let day_here = own_here.as_ref().or(other_here.as_ref());
        let other_moves = other
            .as_ref()
            .is_some_and(|other| matches!(other.2, CellState::Fills | CellState::Differs));
        if day_here == Some(&day) {
            // The day of the value on record, said in the other of its columns: nothing new, unless the file moves
            // that one away from under it.
            if let Some((at, _, CellState::Fills)) = own
                && held
            {
                cells[at].state = if other_moves {
                    CellState::Differs
                } else {
                    CellState::Same
                };
            }
            return;
        }
        let mut bound: Vec<usize> = Vec::new();
        match state {
            // A day alone: another day of a value that has one.
            CellState::Silent | CellState::Same => {
                if held && day_here.is_some() {
                    bound.extend(own.map(|own| own.0));
                }
            }
            CellState::Fills if day_here.is_none() || (own.is_some() && own_here.is_none()) => {}
            CellState::Fills | CellState::Differs | CellState::Unread => {
                bound.extend(value.map(|value| value.0));
                if let Some(own) = &own {
                    bound.push(own.0);
                } else if let Some(own_here) = &own_here {
                    // The file says the day in the other column only; the own day on record would outlive its value.
                    bound.push(put(cells, self.day, &day, own_here));
                }
                if own_here.is_none() && other_moves {
                    bound.extend(other.map(|other| other.0));
                }
            }
        }
        let unread = bound.iter().any(|&at| cells[at].state == CellState::Unread);
        for at in bound {
            if cells[at].column == self.day && own_here.is_none() {
                // What the file's day stands against, wherever the record has it.
                cells[at].on_record = other_here.clone().unwrap_or(Value::Missing);
            }
            cells[at].state = if unread {
                CellState::Unread
            } else {
                CellState::Differs
            };
        }
    }
}

fn find(cells: &[ComparedCell], key: &str) -> Option<usize> {
    cells.iter().position(|cell| cell.column == key)
}

/// Puts a day into the cell of a column that the file leaves blank, or does not have.
fn put(cells: &mut Vec<ComparedCell>, key: &str, day: &Value, on_record: &Value) -> usize {
    let at = find(cells, key).unwrap_or(cells.len());
    let cell = ComparedCell {
        column: key.to_owned(),
        incoming: day.clone(),
        on_record: on_record.clone(),
        state: CellState::Differs,
    };
    match cells.get_mut(at) {
        Some(there) => *there = cell,
        None => cells.push(cell),
    }
    at
}
