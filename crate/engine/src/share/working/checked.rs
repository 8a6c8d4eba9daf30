//! The working behind a figure of a pregnancy check.
//!
//! Enters: a book, a row of the checks and a figure. Leaves: what went in, how the stage was read, what would change
//! it.
//! Always true: the figures are those of the sheet.
//! Never: computes a figure of its own.

use super::says::NOT_RECORDED;
use super::{Working, WorkingInput};
use crate::results::checked::{CheckColumn, bred_of};
use crate::sheet::column::Value;
use crate::sheet::read::stage::GESTATION_DAYS;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// The working; `None` when there is no such row or column.
pub fn checked(book: &Workbook, row: usize, key: &str) -> Option<Working> {
    let column = CheckColumn::from_key(key)?;
    let table = book.sheet(SheetKind::Checks);
    if row >= table.n_rows() {
        return None;
    }
    let shown = |key: &str| match table.column(key).map(|column| (column, column.value(row))) {
        None | Some((_, Value::Missing)) => NOT_RECORDED.to_owned(),
        Some((column, value)) => column.shown_value(&value),
    };
    let bred = bred_of(book, row);
    let (_, label, help) = column.about();
    let result = match column.value(book, row) {
        Value::Number(days) => format!("{days:.0} days"),
        Value::Day(day) => day.iso(),
        _ => "No figure: the stage does not say how many days, or she is not said to be bred."
            .to_owned(),
    };
    let with_numbers = match (&bred, column.is_date()) {
        (Some(bred), false) => bred.why.clone(),
        (Some(bred), true) => format!(
            "{} Due from {} + {GESTATION_DAYS} - {} days to {} + {GESTATION_DAYS} - {} days.",
            bred.why,
            shown("date"),
            bred.to,
            shown("date"),
            bred.from
        ),
        (None, _) => String::new(),
    };
    Some(Working {
        column: key.to_owned(),
        title: format!("{label} of {}", shown("cow")),
        result,
        inputs: ["stage", "stage_unit", "date", "result"]
            .into_iter()
            .filter_map(|key| {
                Some(WorkingInput {
                    words: table.column(key)?.label.clone(),
                    value: shown(key),
                    cell: Some((
                        SheetKind::Checks.key().to_owned(),
                        u32::try_from(row).ok()?,
                        key.to_owned(),
                    )),
                })
            })
            .collect(),
        formula: help.to_owned(),
        with_numbers,
        source: format!(
            "Gestation of {GESTATION_DAYS} days: Clemson Cooperative Extension. A stage in months or weeks is read to the nearest one, and early, middle and late as thirds: common practice, no source."
        ),
        assumed: Vec::new(),
        would_change: vec![
            "A stage in days, or a bare number with its unit under Stage in.".to_owned(),
        ],
    })
}
