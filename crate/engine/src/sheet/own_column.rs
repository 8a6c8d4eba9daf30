//! Columns of the person's own: put, taken away, renamed, given a formula.
//!
//! Enters: a book and what to do to a column. Leaves: the changed book and the command that takes it back.
//! Always true: everything is checked before anything changes; the key of a column is its for good, whatever
//! it is called.
//! Never: takes away a column that holds anything, or one of the sheet's fixed columns.

use super::column::{Column, Origin};
use super::edit::{Command, OwnColumn};
use super::resolve::unknown_column;
use super::schema::SheetKind;
use super::table::Table;
use super::workbook::Workbook;
use crate::error::Error;

pub(super) fn put_column(
    book: &mut Workbook,
    sheet: SheetKind,
    column: OwnColumn,
) -> Result<Command, Error> {
    let table = book.sheet(sheet);
    if table.column(&column.key).is_some() || column.key.is_empty() {
        return Err(Error::new(
            "sheet.column.exists",
            format!(
                "{} has a column called {} already.",
                table.kind.label(),
                column.key
            ),
            "Use that column, or give the new one another name.",
        ));
    }
    let mut blank = Column::new(&column.key, &column.label, column.kind, Origin::Own);
    blank.header = column.header;
    blank.formula = column.formula;
    book.sheet_mut(sheet)
        .insert_column(column.position as usize, blank);
    Ok(Command::DropColumn {
        sheet,
        column: column.key,
    })
}

/// The column of the person's own with this key, and its position.
///
/// # Errors
/// No such column; one of the sheet's fixed columns.
pub(super) fn own_column<'a>(table: &'a Table, key: &str) -> Result<(usize, &'a Column), Error> {
    let position = table
        .column_position(key)
        .ok_or_else(|| unknown_column(table, key))?;
    let column = &table.columns()[position];
    if column.origin != Origin::Own {
        return Err(known_stays(column));
    }
    Ok((position, column))
}

pub(super) fn drop_column(
    book: &mut Workbook,
    sheet: SheetKind,
    key: &str,
) -> Result<Command, Error> {
    let table = book.sheet(sheet);
    let (position, column) = own_column(table, key)?;
    if !column.holds_nothing() {
        return Err(still_holds(column));
    }
    if table.held_off_record(position) {
        return Err(held_off_record(column));
    }
    let back = OwnColumn {
        key: column.key.clone(),
        label: column.label.clone(),
        header: column.header.clone(),
        kind: column.kind,
        formula: column.formula.clone(),
        position: u32::try_from(position).unwrap_or(u32::MAX),
    };
    let _blank = book.sheet_mut(sheet).remove_own_column(key);
    Ok(Command::PutColumn {
        sheet,
        column: back,
    })
}

/// Whether a formula can be read, and what it names, is for those who give it; a book must open and a journal
/// must play whatever later versions make of a text.
pub(super) fn set_formula(
    book: &mut Workbook,
    sheet: SheetKind,
    key: String,
    formula: Option<String>,
) -> Result<Command, Error> {
    let table = book.sheet(sheet);
    let (position, column) = own_column(table, &key)?;
    if formula.is_some() && table.held_off_record(position) {
        return Err(held_off_record(column));
    }
    if formula.is_some() && !column.holds_nothing() {
        return Err(Error::new(
            "sheet.formula.not_blank",
            format!(
                "{} holds what was typed or brought in, and a formula would hide it.",
                column.label
            ),
            "Add a new column for the formula, or clear the cells of this one first.",
        ));
    }
    let before = match book.sheet_mut(sheet).column_mut(&key) {
        Some(column) => std::mem::replace(&mut column.formula, formula),
        None => None,
    };
    Ok(Command::SetFormula {
        sheet,
        column: key,
        formula: before,
    })
}

/// A fixed column is neither renamed nor taken away.
pub(super) fn known_stays(column: &Column) -> Error {
    Error::new(
        "sheet.column.known",
        format!(
            "{} is one of the sheet's fixed columns and stays as it is.",
            column.label
        ),
        "Only columns of your own can be renamed or taken away. A fixed column can be hidden.",
    )
}

/// What holds records is not taken away.
pub(super) fn still_holds(column: &Column) -> Error {
    Error::new(
        "sheet.column.not_blank",
        format!("The column {} still holds something.", column.label),
        "Clear its cells first. A column with records in it is not taken away.",
    )
}

/// What rows that were taken off hold is not lost either.
pub(super) fn held_off_record(column: &Column) -> Error {
    Error::new(
        "sheet.column.taken_off_rows",
        format!(
            "The column {} still holds something in rows that were taken off.",
            column.label
        ),
        "Bring those rows back and clear its cells first, so that nothing is lost.",
    )
}

/// Whether the label is a fit one is for those who give it (`super::resolve`).
pub(super) fn rename_column(
    book: &mut Workbook,
    sheet: SheetKind,
    key: String,
    label: String,
) -> Result<Command, Error> {
    own_column(book.sheet(sheet), &key)?;
    let before = match book.sheet_mut(sheet).column_mut(&key) {
        Some(column) => std::mem::replace(&mut column.label, label),
        None => label,
    };
    Ok(Command::RenameColumn {
        sheet,
        column: key,
        label: before,
    })
}
