//! A command as the journal keeps it.
//!
//! Enters: a resolved command and how it came about. Leaves: a serde struct, and back.
//! Always true: the record says everything needed to apply the command again but for the imported file
//! itself, which is kept once under its digest; records that add rows at the end, or take such an addition
//! back, say how many rows there were before (rows taken off among them, for they keep their keys), so that a
//! record can never land on the wrong rows.
//! Never: holds what was typed unread; values are what was understood when it was typed.

// long because: each command is written and read back side by side.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::acceptance::{AcceptanceForm, acceptance_form, acceptance_from};
use super::form::{
    SettingsFormat, ValueForm, kind_from, kind_word, settings_form, settings_from, value_form,
    value_from,
};
use super::look_form::{LookForm, look_form, look_from};
use super::merge_form::{rows_from, runs_of};
use super::origin_form::{OriginForm, origin_form, origin_from};
use super::remembered_form::{RememberedForm, remembered_form, remembered_from};
use crate::sheet::edit::{ColumnValues, Command, ImportOrigin, OwnColumn};
use crate::sheet::look::{Look, LookChange};
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// How a command came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// A new change.
    Done,
    /// An earlier change taken back.
    Undone,
    /// A change taken back and done again.
    Redone,
    /// A change of a look that is no step: undo passes over it.
    Aside,
}

/// One entry of the journal.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Record {
    /// How it came about.
    pub way: Way,
    /// What the step did when first done, in words.
    pub words: String,
    /// The command.
    pub command: CommandForm,
}

/// A resolved command as it is written.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CommandForm {
    /// Values into cells.
    PutCells {
        /// Sheet key.
        sheet: String,
        /// Column by column.
        columns: Vec<ColumnForm>,
    },
    /// Blank rows at the end.
    AddRows {
        /// Sheet key.
        sheet: String,
        /// How many.
        n_rows: u32,
        /// Rows there before, rows taken off among them.
        rows_before: u32,
    },
    /// The last rows off.
    DropRows {
        /// Sheet key.
        sheet: String,
        /// How many.
        n_rows: u32,
        /// Rows there before, rows taken off among them.
        rows_before: u32,
        /// Own columns to take away with them.
        columns: Vec<String>,
        /// Headers from before.
        headers: Vec<(String, Option<String>)>,
        /// Where the rows came from.
        origin: Option<OriginForm>,
    },
    /// The rows of a kept file at the end.
    Import {
        /// Rows it brought when first read: another number means that it was read another way.
        n_rows: u32,
        /// Rows there before, rows taken off among them.
        rows_before: u32,
        /// Which file, and how it is read.
        origin: OriginForm,
    },
    /// Rows off the record.
    TakeOff {
        /// Sheet key.
        sheet: String,
        /// Runs of permanent keys: the first and how many.
        rows: Vec<(u32, u32)>,
    },
    /// Rows back on the record.
    BringBack {
        /// Sheet key.
        sheet: String,
        /// Runs of permanent keys: the first and how many.
        rows: Vec<(u32, u32)>,
    },
    /// A blank own column.
    PutColumn {
        /// Sheet key.
        sheet: String,
        /// Its key.
        key: String,
        /// What people read on top.
        label: String,
        /// Its header in the file it came from.
        header: Option<String>,
        /// Word for its kind.
        kind: String,
        /// Position among all columns.
        position: u32,
        /// Its formula, when it is calculated.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        formula: Option<String>,
    },
    /// Another kind for an own column.
    SetKind {
        /// Sheet key.
        sheet: String,
        /// Its key.
        column: String,
        /// Word for its kind.
        kind: String,
    },
    /// Another formula for an own column, or none.
    SetFormula {
        /// Sheet key.
        sheet: String,
        /// Its key.
        column: String,
        /// The formula.
        formula: Option<String>,
    },
    /// A blank own column away.
    DropColumn {
        /// Sheet key.
        sheet: String,
        /// Its key.
        column: String,
    },
    /// Another label for an own column.
    RenameColumn {
        /// Sheet key.
        sheet: String,
        /// Its key.
        column: String,
        /// What people read on top.
        label: String,
    },
    /// Parts of the look that a sheet has now.
    SetLook {
        /// Sheet key.
        sheet: String,
        /// The parts.
        look: LookForm,
    },
    /// A saved view, or its end.
    PutView {
        /// Sheet key.
        sheet: String,
        /// Its name.
        name: String,
        /// Its look; `null` deletes it.
        look: Option<LookForm>,
    },
    /// New settings.
    SetSettings(SettingsFormat),
    /// Doubts accepted, or no longer.
    Accept(Vec<AcceptanceForm>),
    /// Ways of reading remembered, or no longer.
    Remember(Vec<RememberedForm>),
    /// Several as one.
    Together(Vec<CommandForm>),
}

/// Values of one column.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ColumnForm {
    column: String,
    rows: Vec<u32>,
    values: Vec<Option<ValueForm>>,
}

/// Why a command cannot be read back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotReady {
    /// It does not belong to this book: a word is not known or the rows before are not as many as they were.
    OtherBook,
    /// The rows of its file cannot be had, in words.
    File(String),
}

/// The record of a resolved command, made before it is applied; `None` for a command that is not resolved.
pub fn command_form(book: &Workbook, command: &Command) -> Option<CommandForm> {
    let mut added = [0_u32; SheetKind::ALL.len()];
    form_after(book, command, &mut added)
}

/// Within a batch the rows before a command include those that the batch added before it.
fn form_after(
    book: &Workbook,
    command: &Command,
    added: &mut [u32; SheetKind::ALL.len()],
) -> Option<CommandForm> {
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let mut rows_before = |sheet: SheetKind, more: i64| {
        let added = &mut added[sheet.position()];
        let before = count(book.sheet(sheet).n_keys()).wrapping_add(*added);
        *added = added.wrapping_add(more as u32);
        before
    };
    Some(match command {
        Command::PutCells { sheet, columns } => CommandForm::PutCells {
            sheet: sheet.key().to_owned(),
            columns: columns
                .iter()
                .map(|values| ColumnForm {
                    column: values.column.clone(),
                    rows: values.rows.clone(),
                    values: values.values.iter().map(value_form).collect(),
                })
                .collect(),
        },
        Command::AddRows { sheet, n_rows } => CommandForm::AddRows {
            sheet: sheet.key().to_owned(),
            n_rows: *n_rows,
            rows_before: rows_before(*sheet, i64::from(*n_rows)),
        },
        Command::DropRows {
            sheet,
            n_rows,
            columns,
            headers,
            origin,
        } => CommandForm::DropRows {
            sheet: sheet.key().to_owned(),
            n_rows: *n_rows,
            rows_before: rows_before(*sheet, -i64::from(*n_rows)),
            columns: columns.clone(),
            headers: headers.clone(),
            origin: origin.as_deref().map(origin_form),
        },
        Command::Import { table, origin } => CommandForm::Import {
            n_rows: count(table.n_rows()),
            rows_before: rows_before(table.kind, i64::from(count(table.n_rows()))),
            origin: origin_form(origin),
        },
        Command::TakeOff { sheet, rows } => CommandForm::TakeOff {
            sheet: sheet.key().to_owned(),
            rows: runs_of(rows),
        },
        Command::BringBack { sheet, rows } => CommandForm::BringBack {
            sheet: sheet.key().to_owned(),
            rows: runs_of(rows),
        },
        Command::PutColumn { sheet, column } => CommandForm::PutColumn {
            sheet: sheet.key().to_owned(),
            key: column.key.clone(),
            label: column.label.clone(),
            header: column.header.clone(),
            kind: kind_word(column.kind),
            position: column.position,
            formula: column.formula.clone(),
        },
        Command::SetKind {
            sheet,
            column,
            kind,
        } => CommandForm::SetKind {
            sheet: sheet.key().to_owned(),
            column: column.clone(),
            kind: kind_word(*kind),
        },
        Command::SetFormula {
            sheet,
            column,
            formula,
        } => CommandForm::SetFormula {
            sheet: sheet.key().to_owned(),
            column: column.clone(),
            formula: formula.clone(),
        },
        Command::DropColumn { sheet, column } => CommandForm::DropColumn {
            sheet: sheet.key().to_owned(),
            column: column.clone(),
        },
        Command::RenameColumn {
            sheet,
            column,
            label,
        } => CommandForm::RenameColumn {
            sheet: sheet.key().to_owned(),
            column: column.clone(),
            label: label.clone(),
        },
        Command::SetLook { sheet, change, .. } => CommandForm::SetLook {
            sheet: sheet.key().to_owned(),
            look: look_form(change),
        },
        Command::PutView { sheet, name, look } => CommandForm::PutView {
            sheet: sheet.key().to_owned(),
            name: name.clone(),
            look: look
                .as_deref()
                .map(|look| look_form(&LookChange::from(look.clone()))),
        },
        Command::SetSettings(settings) => CommandForm::SetSettings(settings_form(settings)),
        Command::Accept(list) => CommandForm::Accept(list.iter().map(acceptance_form).collect()),
        Command::Remember(list) => {
            CommandForm::Remember(list.iter().map(remembered_form).collect())
        }
        Command::Together(commands) => CommandForm::Together(
            commands
                .iter()
                .map(|command| form_after(book, command, added))
                .collect::<Option<Vec<_>>>()?,
        ),
        Command::SetCells { .. }
        | Command::AddColumn { .. }
        | Command::AddCalculated { .. }
        | Command::RemoveColumn { .. }
        | Command::KeepView { .. }
        | Command::ShowView { .. }
        | Command::RenameView { .. } => return None,
    })
}

/// The digests of the files that a command needs.
pub fn files_needed(form: &CommandForm) -> Vec<String> {
    match form {
        CommandForm::Import { origin, .. } => vec![origin.digest.clone()],
        CommandForm::Together(commands) => commands.iter().flat_map(files_needed).collect(),
        _ => Vec::new(),
    }
}

/// The rows of a kept file, for an origin and the number of rows it must give.
pub type RowsOfFile<'a> = dyn FnMut(&ImportOrigin, u32) -> Result<Table, String> + 'a;

/// The command that was written, for the book as it stands. `rows_of_file` reads the files of imports again.
///
/// # Errors
/// [`NotReady`].
pub fn command_from(
    book: &Workbook,
    form: CommandForm,
    rows_of_file: &mut RowsOfFile,
) -> Result<Command, NotReady> {
    let mut added = [0_u32; SheetKind::ALL.len()];
    let mut refused = None;
    let command = ready(
        book,
        form,
        &mut added,
        &mut |origin, n_rows| match rows_of_file(origin, n_rows) {
            Ok(table) => Some(table),
            Err(words) => {
                refused = Some(words);
                None
            }
        },
    );
    command.ok_or_else(|| refused.map_or(NotReady::OtherBook, NotReady::File))
}

fn ready(
    book: &Workbook,
    form: CommandForm,
    added: &mut [u32; SheetKind::ALL.len()],
    rows_of_file: &mut dyn FnMut(&ImportOrigin, u32) -> Option<Table>,
) -> Option<Command> {
    let rows_now = |sheet: SheetKind, added: &[u32]| {
        u32::try_from(book.sheet(sheet).n_keys())
            .unwrap_or(u32::MAX)
            .wrapping_add(added[sheet.position()])
    };
    Some(match form {
        CommandForm::PutCells { sheet, columns } => Command::PutCells {
            sheet: SheetKind::from_key(&sheet)?,
            columns: columns
                .into_iter()
                .map(|form| {
                    Some(ColumnValues {
                        column: form.column,
                        rows: form.rows,
                        values: form
                            .values
                            .into_iter()
                            .map(value_from)
                            .collect::<Option<Vec<_>>>()?,
                    })
                })
                .collect::<Option<Vec<_>>>()?,
        },
        CommandForm::AddRows {
            sheet,
            n_rows,
            rows_before,
        } => {
            let sheet = SheetKind::from_key(&sheet)?;
            if rows_now(sheet, added) != rows_before {
                return None;
            }
            let added = &mut added[sheet.position()];
            *added = added.wrapping_add(n_rows);
            Command::AddRows { sheet, n_rows }
        }
        CommandForm::DropRows {
            sheet,
            n_rows,
            rows_before,
            columns,
            headers,
            origin,
        } => {
            let sheet = SheetKind::from_key(&sheet)?;
            if rows_now(sheet, added) != rows_before {
                return None;
            }
            let added = &mut added[sheet.position()];
            *added = added.wrapping_sub(n_rows);
            Command::DropRows {
                sheet,
                n_rows,
                columns,
                headers,
                origin: match origin {
                    None => None,
                    Some(origin) => Some(Box::new(origin_from(origin)?)),
                },
            }
        }
        CommandForm::TakeOff { sheet, rows } => Command::TakeOff {
            sheet: SheetKind::from_key(&sheet)?,
            rows: rows_from(rows)?,
        },
        CommandForm::BringBack { sheet, rows } => Command::BringBack {
            sheet: SheetKind::from_key(&sheet)?,
            rows: rows_from(rows)?,
        },
        CommandForm::PutColumn {
            sheet,
            key,
            label,
            header,
            kind,
            position,
            formula,
        } => Command::PutColumn {
            sheet: SheetKind::from_key(&sheet)?,
            column: OwnColumn {
                key,
                label,
                header,
                kind: kind_from(&kind)?,
                position,
                formula,
            },
        },
        CommandForm::SetKind {
            sheet,
            column,
            kind,
        } => Command::SetKind {
            sheet: SheetKind::from_key(&sheet)?,
            column,
            kind: kind_from(&kind)?,
        },
        CommandForm::SetFormula {
            sheet,
            column,
            formula,
        } => Command::SetFormula {
            sheet: SheetKind::from_key(&sheet)?,
            column,
            formula,
        },
        CommandForm::DropColumn { sheet, column } => Command::DropColumn {
            sheet: SheetKind::from_key(&sheet)?,
            column,
        },
        CommandForm::RenameColumn {
            sheet,
            column,
            label,
        } => Command::RenameColumn {
            sheet: SheetKind::from_key(&sheet)?,
            column,
            label,
        },
        CommandForm::SetLook { sheet, look } => Command::SetLook {
            sheet: SheetKind::from_key(&sheet)?,
            change: Box::new(look_from(look)),
            view: None,
        },
        CommandForm::PutView { sheet, name, look } => Command::PutView {
            sheet: SheetKind::from_key(&sheet)?,
            name,
            look: look.map(|form| {
                let mut whole = Look::default();
                let _plain = whole.take(look_from(form));
                Box::new(whole)
            }),
        },
        CommandForm::SetSettings(form) => Command::SetSettings(Box::new(settings_from(form)?)),
        CommandForm::Accept(list) => Command::Accept(
            list.into_iter()
                .map(acceptance_from)
                .collect::<Option<Vec<_>>>()?,
        ),
        CommandForm::Remember(list) => Command::Remember(
            list.into_iter()
                .map(remembered_from)
                .collect::<Option<Vec<_>>>()?,
        ),
        CommandForm::Together(commands) => Command::Together(
            commands
                .into_iter()
                .map(|form| ready(book, form, added, rows_of_file))
                .collect::<Option<Vec<_>>>()?,
        ),
        CommandForm::Import {
            n_rows,
            rows_before,
            origin,
        } => {
            let origin = Box::new(origin_from(origin)?);
            let sheet = origin.plan.sheet;
            if rows_now(sheet, added) != rows_before {
                return None;
            }
            let added = &mut added[sheet.position()];
            *added = added.wrapping_add(n_rows);
            Command::Import {
                table: Arc::new(rows_of_file(&origin, n_rows)?),
                origin,
            }
        }
    })
}
