//! The working behind a figure that a cow or a bull has from its own row as a calf.
//!
//! Enters: a book, its results, a row of the cows or the bulls and a figure. Leaves: which calf's row is meant and
//! why, and the figure with its cell there, where its own working stands.
//! Always true: the figure is that of the calves sheet.
//! Never: computes a figure of its own.

use super::says::NOT_RECORDED;
use super::{Working, WorkingInput};
use crate::results::Results;
use crate::results::as_calf::AsCalfColumn;
use crate::results::made::Made;
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;
use crate::sheet::write::{fixed, up_to};

/// The working; `None` when there is no such row or column.
pub fn as_calf(
    book: &Workbook,
    results: &Results,
    sheet: SheetKind,
    row: usize,
    key: &str,
) -> Option<Working> {
    let Some(Made::AsCalf(_, column)) = Made::from_key(sheet, key) else {
        return None;
    };
    let table = book.sheet(sheet);
    if row >= table.n_rows() {
        return None;
    }
    let shown = |sheet: SheetKind, key: &str, row: usize| {
        let table = book.sheet(sheet);
        match table.column(key).map(|column| (column, column.value(row))) {
            None | Some((_, Value::Missing)) => NOT_RECORDED.to_owned(),
            Some((column, value)) => column.shown_value(&value),
        }
    };
    let made = Made::AsCalf(sheet, column);
    let unit = made.unit(&book.settings);
    let calf = results.calf_row(book, sheet, row);
    let figure = match (made.value(book, results, row), column) {
        (Value::Number(number), AsCalfColumn::BirthWeight) => {
            format!("{} {unit}", up_to(number, 1))
        }
        (Value::Number(number), _) => format!("{} {unit}", fixed(number, 1)),
        (Value::Text(text), _) => text,
        _ => String::new(),
    };
    let figure = figure.trim().to_owned();
    let result = match (calf, figure.is_empty()) {
        (None, _) => "No figure: no row of the calves sheet, or more than one, fits this animal.",
        (Some(_), true) => "No figure: the row on the calves sheet has none.",
        (Some(_), false) => &figure,
    }
    .to_owned();
    let input = |words: &str, of: SheetKind, key: &str, at: usize| {
        Some(WorkingInput {
            words: words.to_owned(),
            value: shown(of, key, at),
            cell: Some((of.key().to_owned(), u32::try_from(at).ok()?, key.to_owned())),
        })
    };
    let about = made.about();
    let mut inputs: Vec<WorkingInput> = [
        input("Electronic ID here", sheet, "eid", row),
        input("Tag here", sheet, "tag", row),
        input("Birth date here", sheet, "birth_date", row),
    ]
    .into_iter()
    .flatten()
    .collect();
    if let Some(calf) = calf {
        let calf = calf as usize;
        inputs.extend(
            [
                input("Electronic ID as a calf", SheetKind::Calves, "eid", calf),
                input("Tag as a calf", SheetKind::Calves, "tag", calf),
                input(
                    "Birth date as a calf",
                    SheetKind::Calves,
                    "birth_date",
                    calf,
                ),
            ]
            .into_iter()
            .flatten(),
        );
        inputs.push(WorkingInput {
            words: format!("{} as a calf", about.label.trim_start_matches("Own ")),
            value: if figure.is_empty() {
                NOT_RECORDED.to_owned()
            } else {
                figure
            },
            cell: Some((
                SheetKind::Calves.key().to_owned(),
                u32::try_from(calf).ok()?,
                column.of_calf().to_owned(),
            )),
        });
    }
    Some(Working {
        column: key.to_owned(),
        title: format!("{} of {}", about.label, shown(sheet, "tag", row)),
        result,
        inputs,
        formula: about.help.to_owned(),
        with_numbers: String::new(),
        source: "A calf's row and a grown animal's are one animal when their electronic IDs are the same, or when \
                 they carry, or carried, one tag and were born on the same day: a rule of this program."
            .to_owned(),
        assumed: Vec::new(),
        would_change: vec![
            "The tag, electronic ID or birth date in either row; or the calf's own weights and dates.".to_owned(),
        ],
    })
}
