//! Changes the page asks for, as engine commands.
//!
//! Enters: a [`Change`]. Leaves: a command, or a refusal.
//! Always true: texts cross as they were typed; the engine reads them.

use fairpen_engine::book::form::kind_word;
use fairpen_engine::error::Error;
use fairpen_engine::sheet::accepted::{Acceptance, Doubt};
use fairpen_engine::sheet::column::Kind;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::set_kind::OWN_KINDS;
use fairpen_engine::sheet::workbook::Workbook;

use crate::looks::change_of;
use crate::refusal::{Answer, refused, sheet};
use crate::remembered::forget;
use crate::settings_form::settings_of;
use crate::types::{CellText, Change};

/// The command of a change.
pub fn command_of(book: &Workbook, change: Change) -> Answer<Command> {
    Ok(match change {
        Change::SetCells { sheet: key, cells } => Command::SetCells {
            sheet: sheet(&key)?,
            cells: cells.into_iter().map(|cell| edit_of(cell, 0)).collect(),
        },
        Change::AddRows {
            sheet: key,
            n_rows,
            cells,
            existing,
        } => {
            let sheet = sheet(&key)?;
            let first = u32::try_from(book.sheet(sheet).n_keys()).unwrap_or(u32::MAX);
            if let Some(cell) = cells.iter().find(|cell| cell.row_key >= n_rows) {
                return Err(refused(&Error::new(
                    "sheet.row.unknown",
                    format!(
                        "A cell of new row {} was given, but only {n_rows} rows are new.",
                        u64::from(cell.row_key) + 1
                    ),
                    "This is a fault in the program: please report it.",
                )));
            }
            let rows = Command::AddRows { sheet, n_rows };
            if cells.is_empty() && existing.is_empty() {
                rows
            } else {
                let cells = existing
                    .into_iter()
                    .map(|cell| edit_of(cell, 0))
                    .chain(cells.into_iter().map(|cell| edit_of(cell, first)))
                    .collect();
                Command::Together(vec![rows, Command::SetCells { sheet, cells }])
            }
        }
        Change::AddColumn {
            sheet: key,
            label,
            kind,
        } => Command::AddColumn {
            sheet: sheet(&key)?,
            label,
            kind: own_kind(&kind)?,
        },
        Change::SetKind {
            sheet: key,
            column,
            kind,
        } => Command::SetKind {
            sheet: sheet(&key)?,
            column,
            kind: own_kind(&kind)?,
        },
        Change::Accept { doubts, accepted } => Command::Accept(
            doubts
                .into_iter()
                .map(|doubt| {
                    Ok(Acceptance {
                        doubt: Doubt {
                            sheet: sheet(&doubt.sheet)?,
                            row: doubt.row_key,
                            column: doubt.column,
                            code: doubt.code,
                        },
                        read: accepted.then_some(doubt.read),
                    })
                })
                .collect::<Answer<Vec<_>>>()?,
        ),
        Change::AddCalculated {
            sheet: key,
            label,
            formula,
        } => Command::AddCalculated {
            sheet: sheet(&key)?,
            label,
            formula,
        },
        Change::SetFormula {
            sheet: key,
            column,
            formula,
        } => Command::SetFormula {
            sheet: sheet(&key)?,
            column,
            formula: Some(formula),
        },
        Change::Forget { key } => forget(book, &key),
        Change::RenameColumn {
            sheet: key,
            column,
            label,
        } => Command::RenameColumn {
            sheet: sheet(&key)?,
            column,
            label,
        },
        Change::RemoveColumn { sheet: key, column } => Command::RemoveColumn {
            sheet: sheet(&key)?,
            column,
        },
        Change::SetLook { sheet: key, look } => Command::SetLook {
            sheet: sheet(&key)?,
            change: Box::new(change_of(look).map_err(|refusal| refused(&refusal))?),
            view: None,
        },
        Change::KeepView { sheet: key, name } => Command::KeepView {
            sheet: sheet(&key)?,
            name,
        },
        Change::ShowView { sheet: key, name } => Command::ShowView {
            sheet: sheet(&key)?,
            name,
        },
        Change::RenameView {
            sheet: key,
            name,
            new_name,
        } => Command::RenameView {
            sheet: sheet(&key)?,
            name,
            new_name,
        },
        Change::DeleteView { sheet: key, name } => Command::PutView {
            sheet: sheet(&key)?,
            name,
            look: None,
        },
        Change::SetSettings { settings } => Command::SetSettings(Box::new(
            settings_of(&book.settings, &settings).map_err(|refusal| refused(&refusal))?,
        )),
    })
}

/// A kind that an own column can be given.
fn own_kind(word: &str) -> Answer<Kind> {
    OWN_KINDS
        .into_iter()
        .find(|kind| kind_word(*kind) == word)
        .ok_or_else(|| {
            refused(&Error::new(
                "boundary.choice",
                format!("There is no kind of column called {word}."),
                "Choose one of those shown.",
            ))
        })
}

fn edit_of(cell: CellText, first: u32) -> CellEdit {
    CellEdit {
        row: first.saturating_add(cell.row_key),
        column: cell.column,
        text: cell.text,
    }
}
