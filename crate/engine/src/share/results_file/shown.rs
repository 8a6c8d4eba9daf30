//! Cells of the calves as they go into a file: unrounded, and as people read them.
//!
//! Enters: a column of the book and the chosen rows. Leaves: a [`ColumnRecord`].
//! Always true: one cell per chosen row, in their order; numbers are rounded for people only.
//! Never: turns missing into zero.

use super::basis::Basis;
use super::payload::{Cell, ColumnRecord};
use crate::formula::values::{self, Kept};
use crate::results::calculated::CalculatedColumn;
use crate::results::{ResultColumn, Results, Shown};
use crate::sheet::column::{Column, Kind, Origin, Value};
use crate::sheet::schema::SheetKind;
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

/// A column that a formula of the ranch gives. What it gives is stated only: the engine in the file has the
/// calves chosen and not all that a formula may look at.
pub fn calculated(column: &Column, results: &Results, rows: &[u32]) -> ColumnRecord {
    let values = results.calculated.column(SheetKind::Calves, &column.key);
    let value_of = |row: u32| {
        values.map_or(Kept::Blank, |calculated| {
            calculated.values.value(row as usize)
        })
    };
    let dates = values.is_some_and(CalculatedColumn::is_dates);
    let mut any_text = false;
    let mut cells = Vec::with_capacity(rows.len());
    let mut shown = Vec::with_capacity(rows.len());
    let mut basis = String::with_capacity(rows.len());
    for &row in rows {
        let value = value_of(row);
        let text = values::shown(&value, dates);
        basis.push(match value {
            Kept::Blank => '-',
            _ => Basis::Stated.letter(),
        });
        cells.push(match value {
            Kept::Blank => Cell::Missing,
            Kept::Number(number) if !dates && number.is_finite() => Cell::Number(number),
            Kept::Number(_) | Kept::Logical(_) | Kept::Text(_) | Kept::Error(_) => {
                any_text |= !dates;
                Cell::Text(text.clone())
            }
        });
        shown.push(text);
    }
    let kind = match (dates, any_text) {
        (true, _) => "date",
        (false, true) => "text",
        (false, false) => "number",
    };
    ColumnRecord {
        key: column.key.clone(),
        label: column.label.clone(),
        unit: String::new(),
        kind: kind.to_owned(),
        origin: CALCULATED.to_owned(),
        help: format!(
            "Worked out by a formula of the ranch: {}. Stated only.",
            column.formula.as_deref().unwrap_or_default()
        ),
        cells,
        shown: Some(shown),
        basis: Some(basis),
    }
}

/// The origin of a column that a formula of the ranch gives.
pub const CALCULATED: &str = "calculated";

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
            Shown::Text | Shown::Date => number.to_string(),
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
