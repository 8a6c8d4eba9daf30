//! Cells of the calves as they go into a file: unrounded, and as people read them.
//!
//! Enters: a column of the book and the chosen rows. Leaves: a [`ColumnRecord`].
//! Always true: one cell per chosen row, in their order; numbers are rounded for people only.
//! Never: turns missing into zero.

use super::payload::{Cell, ColumnRecord};
use crate::results::{ResultColumn, Results, Shown};
use crate::sheet::column::{Column, Kind, Origin, Value};
use crate::sheet::workbook::Workbook;
pub use crate::sheet::write::fixed;

/// An entered column or one of the person's own.
pub fn entered(book: &Workbook, column: &Column, rows: &[u32]) -> ColumnRecord {
    let values: Vec<Value> = rows.iter().map(|&row| column.value(row as usize)).collect();
    let (kind, unit) = kind_and_unit(book, column.kind);
    let as_they_are = values
        .iter()
        .all(|value| !matches!(value, Value::Number(_)));
    ColumnRecord {
        key: column.key.clone(),
        label: column.label.clone(),
        unit,
        kind: kind.to_owned(),
        origin: match column.origin {
            Origin::Known => "entered",
            Origin::Own => "own",
        }
        .to_owned(),
        help: book
            .calves()
            .kind
            .column(&column.key)
            .map_or_else(String::new, |known| known.help.to_owned()),
        shown: (!as_they_are).then(|| {
            values
                .iter()
                .map(|value| column.shown_value(value))
                .collect()
        }),
        cells: values.into_iter().map(cell).collect(),
        basis: None,
    }
}

/// A computed column; what its figures rest on is said later.
pub fn computed(
    book: &Workbook,
    results: &Results,
    column: ResultColumn,
    rows: &[u32],
) -> ColumnRecord {
    let (key, label, shown_as, help) = column.about();
    let values: Vec<Value> = rows
        .iter()
        .map(|&row| column.value(book, results, row as usize))
        .collect();
    let unit = match (column, shown_as) {
        (ResultColumn::DamAgeDays | ResultColumn::AgeDays, _) => "days".to_owned(),
        (_, Shown::Weight) => book.settings.weight_unit.symbol().to_owned(),
        (_, Shown::WeightPerDay) => format!("{}/day", book.settings.weight_unit.symbol()),
        _ => String::new(),
    };
    ColumnRecord {
        key: key.to_owned(),
        label: label.to_owned(),
        unit,
        kind: if shown_as == Shown::Text {
            "text"
        } else {
            "number"
        }
        .to_owned(),
        origin: "engine".to_owned(),
        help: help.to_owned(),
        shown: (shown_as != Shown::Text)
            .then(|| values.iter().map(|value| figure(shown_as, value)).collect()),
        cells: values.into_iter().map(cell).collect(),
        basis: None,
    }
}

/// A computed figure for people.
pub fn figure(shown_as: Shown, value: &Value) -> String {
    match value {
        Value::Number(number) => match shown_as {
            Shown::Whole => fixed(*number, 0),
            Shown::Weight | Shown::OneDecimal => fixed(*number, 1),
            Shown::WeightPerDay => fixed(*number, 2),
            Shown::Text => number.to_string(),
        },
        Value::Text(text) => text.clone(),
        _ => String::new(),
    }
}

fn cell(value: Value) -> Cell {
    match value {
        Value::Missing => Cell::Missing,
        Value::Text(text) => Cell::Text(text),
        Value::Number(number) if number.is_finite() => Cell::Number(number),
        Value::Number(number) => Cell::Unreadable {
            unreadable: number.to_string(),
        },
        Value::Day(day) => Cell::Text(day.iso()),
        Value::Unreadable(text) => Cell::Unreadable { unreadable: text },
    }
}

/// Words of a kind, as [`super::rebuild`] reads them, and the unit.
fn kind_and_unit(book: &Workbook, kind: Kind) -> (&'static str, String) {
    match kind {
        Kind::Text => ("text", String::new()),
        Kind::List => ("list", String::new()),
        Kind::Weight => ("weight", book.settings.weight_unit.symbol().to_owned()),
        Kind::Number(unit) => ("number", unit.to_owned()),
        Kind::Date => ("date", String::new()),
        Kind::Code(_) => ("code", String::new()),
    }
}
