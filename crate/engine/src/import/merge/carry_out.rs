//! What choices make of the rows of a file.
//!
//! Enters: the outcome of each row and the choices. Leaves: which rows come in new, which cells on record change,
//! and notes about all that stays out.
//! Always true: a row that is not taken, and a cell that is not, is named; the same choices give the same changes.
//! Never: puts a text that could not be read over a value.

use std::collections::BTreeMap;

use super::compare::{CellState, Columns};
use super::{Merge, MergeChoices, MergeRow, RowChoice, RowKind, TakenOffChoice, Why};
use crate::import::notes::{Lines, Notes};
use crate::note::{Note, Severity};
use crate::sheet::column::Value;
use crate::sheet::edit::ColumnValues;
use crate::sheet::put::value_of;
use crate::sheet::read::ReadOptions;
use crate::sheet::settings::WeightUnit;
use crate::sheet::table::Table;
use crate::sheet::write::raw;

/// What happens when the file comes in.
#[derive(Default)]
pub struct Plan {
    /// Rows of the table that come in new, in order.
    pub added: Vec<u32>,
    /// Permanent keys of rows taken off that come back, ascending.
    pub brought_back: Vec<u32>,
    /// New values of cells on record and of rows that come back, by permanent keys.
    pub changes: Vec<ColumnValues>,
    /// Rows on record that change; those that come back are not among them.
    pub n_changed: u32,
    /// Rows of the file of which something stays out.
    pub n_left: u32,
    /// What stays out and why.
    pub notes: Vec<Note>,
}

/// What becomes of one row.
pub(super) enum Deed {
    Add,
    Into {
        row: u32,
        fill: bool,
        overwrite: bool,
    },
    BringBack {
        key: u32,
        fill: bool,
        overwrite: bool,
    },
    Nothing,
    LeaveOut,
    Ask,
    /// The same for a row that was taken off.
    AskTakenOff,
}

/// What the choices make of a row.
pub(super) fn deed(row: &MergeRow, at: u32, choices: &MergeChoices) -> Deed {
    match choices.rows.get(&at) {
        Some(RowChoice::Add) => return Deed::Add,
        Some(RowChoice::LeaveOut) => return Deed::LeaveOut,
        Some(RowChoice::Into { row, overwrite }) => {
            return Deed::Into {
                row: *row,
                fill: true,
                overwrite: *overwrite,
            };
        }
        Some(RowChoice::BringBack { key, overwrite }) => {
            return Deed::BringBack {
                key: *key,
                fill: true,
                overwrite: *overwrite,
            };
        }
        None => {}
    }
    match (row.kind, row.target) {
        (RowKind::TakenOff, _) => of_taken_off(row, choices),
        (RowKind::New, _) if choices.add_new => Deed::Add,
        (RowKind::New, _) => Deed::LeaveOut,
        (RowKind::Same, _) => Deed::Nothing,
        (RowKind::Fills | RowKind::Differs, Some(target)) => Deed::Into {
            row: target,
            fill: choices.fill_blanks,
            overwrite: choices.overwrite,
        },
        (RowKind::Fills | RowKind::Differs, None) | (RowKind::Unclear, _) => Deed::Ask,
    }
}

fn of_taken_off(row: &MergeRow, choices: &MergeChoices) -> Deed {
    match (choices.taken_off, &row.taken_off[..]) {
        (Some(TakenOffChoice::BringBack), &[key])
            if row.why.is_sure() && row.candidates.is_empty() =>
        {
            Deed::BringBack {
                key,
                fill: choices.fill_blanks,
                overwrite: choices.overwrite,
            }
        }
        (Some(TakenOffChoice::Add), _) => Deed::Add,
        (Some(TakenOffChoice::LeaveOut), _) => Deed::LeaveOut,
        (Some(TakenOffChoice::BringBack) | None, _) => Deed::AskTakenOff,
    }
}

/// A row of the file to be put over a row, on the record or off it.
struct Over {
    /// Number of the row in its table.
    row: u32,
    key: u32,
    fill: bool,
    overwrite: bool,
}

/// Settles every row.
pub fn carry_out(here: &Table, incoming: &Table, merge: &Merge, choices: &MergeChoices) -> Plan {
    let columns = Columns::of(here, incoming);
    let off = here.taken_off();
    let columns_off = off.map(|off| Columns::of(off.rows(), incoming));
    let mut plan = Plan::default();
    let mut values: BTreeMap<String, ColumnValues> = BTreeMap::new();
    let mut left = Left::default();
    for (at, row) in (0_u32..).zip(&merge.rows) {
        let line = incoming.source_line.get(at as usize).copied().unwrap_or(0);
        let (columns, over) = match deed(row, at, choices) {
            Deed::Add => {
                plan.added.push(at);
                continue;
            }
            Deed::Nothing => continue,
            Deed::LeaveOut => {
                plan.n_left += 1;
                left.chosen.add(line, String::new);
                continue;
            }
            Deed::Ask => {
                plan.n_left += 1;
                left.unclear.add(line, || row.why.words().to_owned());
                continue;
            }
            Deed::AskTakenOff => {
                plan.n_left += 1;
                left.taken_off
                    .add(line, || row.why.words_of_taken_off().to_owned());
                continue;
            }
            Deed::Into {
                row,
                fill,
                overwrite,
            } => (
                Some(&columns),
                Over {
                    row,
                    key: here.key_of(row),
                    fill,
                    overwrite,
                },
            ),
            Deed::BringBack {
                key,
                fill,
                overwrite,
            } => {
                plan.brought_back.push(key);
                let place = off.and_then(|off| off.keys().binary_search(&key).ok());
                let row = place
                    .and_then(|place| u32::try_from(place).ok())
                    .unwrap_or(u32::MAX);
                (
                    columns_off.as_ref().filter(|_| place.is_some()),
                    Over {
                        row,
                        key,
                        fill,
                        overwrite,
                    },
                )
            }
        };
        let Some(columns) = columns else { continue };
        let (mut changed, mut kept) = (false, Vec::new());
        for cell in columns.cells(at, Some(over.row)) {
            let take = match cell.state {
                CellState::Silent | CellState::Same => continue,
                CellState::Fills => over.fill,
                CellState::Differs => over.overwrite,
                CellState::Unread => false,
            };
            if !take {
                kept.push(cell.column);
                continue;
            }
            changed = true;
            let value = fitting(here, &cell.column, cell.incoming);
            let column = values
                .entry(cell.column.clone())
                .or_insert_with(|| ColumnValues {
                    column: cell.column,
                    rows: Vec::new(),
                    values: Vec::new(),
                });
            column.rows.push(over.key);
            column.values.push(value);
        }
        let is_back = plan.brought_back.last() == Some(&over.key);
        plan.n_changed += u32::from(changed && !is_back);
        if row.why == Why::TagAlone && changed {
            left.by_tag_alone.add(line, String::new);
        }
        if !kept.is_empty() {
            plan.n_left += 1;
            left.kept.add(line, || kept.join(", "));
        }
    }
    fairpen_stats::in_order::order(&mut plan.brought_back);
    plan.brought_back.dedup();
    plan.changes = values.into_values().collect();
    plan.notes = left.notes(incoming);
    plan
}

/// The value as the column on record holds it; own columns may hold another kind than in the file.
fn fitting(here: &Table, key: &str, value: Value) -> Value {
    match here.column(key) {
        Some(column) if !column.fits(&value) => {
            let options = ReadOptions::of_book(WeightUnit::Pound);
            value_of(column.kind, &raw(&value), &options)
        }
        _ => value,
    }
}

#[derive(Default)]
struct Left {
    chosen: Lines,
    unclear: Lines,
    taken_off: Lines,
    kept: Lines,
    by_tag_alone: Lines,
}

impl Left {
    fn notes(self, incoming: &Table) -> Vec<Note> {
        let mut notes = Notes::new(incoming.kind);
        notes.lines(
            "import.merge.unclear",
            Severity::Doubtful,
            &self.unclear,
            "It is not clear which row on record the line belongs to. It stays out until you say so.",
            "Say which row it is, or that it is a new one.",
        );
        notes.lines(
            "import.merge.taken_off",
            Severity::Doubtful,
            &self.taken_off,
            "The line fits a row that was taken off the record. It stays out until you say what becomes of it.",
            "Bring that row back and update it, add the line as a new row, or leave it out.",
        );
        notes.lines(
            "import.merge.kept",
            Severity::Remark,
            &self.kept,
            "Cells of the line say something else than the record, or something more, and are not taken: the record is kept.",
            "Choose to overwrite, for all lines or for this one, if the file is right.",
        );
        notes.lines(
            "import.merge.left_out",
            Severity::Remark,
            &self.chosen,
            "The line is left out by your choice.",
            "Nothing to mend, if you do not need it.",
        );
        notes.lines(
            "import.merge.tag_alone",
            Severity::Remark,
            &self.by_tag_alone,
            "The line went to the only animal with its tag: neither a year of birth nor a day could tell.",
            "Check that it is the same animal.",
        );
        notes.all()
    }
}
