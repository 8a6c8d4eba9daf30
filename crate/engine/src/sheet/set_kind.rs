//! What a column of the person's own holds, changed.
//!
//! Enters: a column and another kind. Leaves: the same cells read as that kind, and the way back.
//! Always true: what cannot be read as the new kind stays as text beside its cell; the way back restores every
//! cell exactly, also where the new kind writes it another way (`007` as a number is 7).
//! Never: changes a column that the program knows, or one that is calculated.

use super::column::{Column, Kind, Origin, Value};
use super::edit::{ColumnValues, Command};
use super::put::value_of;
use super::read::ReadOptions;
use super::resolve::{calculated, typing_options, unknown_column};
use super::schema::SheetKind;
use super::workbook::Workbook;
use crate::error::Error;

/// The kinds that a column of the person's own can be given.
pub const OWN_KINDS: [Kind; 4] = [Kind::Text, Kind::Number(""), Kind::Weight, Kind::Date];

/// True when both kinds read a text the same way.
pub fn same_kind(one: Kind, other: Kind) -> bool {
    match (one, other) {
        (Kind::Text, Kind::Text)
        | (Kind::List, Kind::List)
        | (Kind::Weight, Kind::Weight)
        | (Kind::Date, Kind::Date) => true,
        (Kind::Number(one), Kind::Number(other)) => one == other,
        (Kind::Code(one), Kind::Code(other)) => std::ptr::eq(one, other),
        _ => false,
    }
}

/// Gives a column of the person's own another kind.
pub(super) fn set_kind(
    book: &mut Workbook,
    sheet: SheetKind,
    key: String,
    kind: Kind,
) -> Result<Command, Error> {
    let table = book.sheet(sheet);
    let column = table
        .column(&key)
        .ok_or_else(|| unknown_column(table, &key))?;
    if column.origin != Origin::Own {
        return Err(Error::new(
            "sheet.column.kind",
            format!(
                "{} is one of the sheet's fixed columns, and what it holds is fixed too.",
                column.label
            ),
            "Add a column of your own for anything else.",
        ));
    }
    if column.formula.is_some() {
        return Err(calculated(column));
    }
    let before = column.kind;
    let options = typing_options(book, table, column);
    let mut back = ColumnValues {
        column: key.clone(),
        rows: Vec::new(),
        values: Vec::new(),
    };
    let columns = book.sheet_mut(sheet).columns_mut();
    for (column, keys) in columns.filter(|(column, _)| column.key == key) {
        let changed = read_as(column, kind, &options);
        let again = read_as(&changed, before, &options);
        for row in 0..column.len() {
            let was = column.value(row);
            if !same_value(&was, &again.value(row)) {
                let number = u32::try_from(row).expect("a table has fewer rows than u32 counts");
                back.rows.push(match keys {
                    Some(keys) => keys.get(row).copied().unwrap_or(number),
                    None => number,
                });
                back.values.push(was);
            }
        }
        *column = changed;
    }
    let kind_back = Command::SetKind {
        sheet,
        column: key,
        kind: before,
    };
    Ok(if back.rows.is_empty() {
        kind_back
    } else {
        Command::Together(vec![
            kind_back,
            Command::PutCells {
                sheet,
                columns: vec![back],
            },
        ])
    })
}

/// The column with its cells written out and read as another kind, as if they had been typed.
fn read_as(column: &Column, kind: Kind, options: &ReadOptions) -> Column {
    let mut other = Column::new(&column.key, &column.label, kind, column.origin);
    other.header.clone_from(&column.header);
    other.cells.resize(column.len());
    for row in 0..column.len() {
        let text = column.raw(row);
        if text.is_empty() {
            continue;
        }
        let number = u32::try_from(row).expect("a table has fewer rows than u32 counts");
        let _missing = other.put(number, value_of(kind, &text, options));
    }
    other
}

/// Equal to the last bit.
fn same_value(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Number(one), Value::Number(other)) => one.to_bits() == other.to_bits(),
        (one, other) => one == other,
    }
}
