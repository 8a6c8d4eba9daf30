//! How the rows of a file were put to rows on record, as the journal keeps it.
//!
//! Enters: choices and rows. Leaves: serde structs, and back.
//! Always true: rows stand as runs (first, how many), since most files come in with few gaps.
//! Never: keeps a cell; the changed cells stand in the record's own command.

use serde::{Deserialize, Serialize};

use crate::import::merge::{MergeChoices, RowChoice, TakenOffChoice};
use crate::sheet::edit::MergeOrigin;

/// Which rows came in, and what was chosen.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct MergeForm {
    /// Runs of rows of the file: the first and how many.
    rows: Vec<(u32, u32)>,
    match_rows: bool,
    add_new: bool,
    fill_blanks: bool,
    overwrite: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    taken_off: Option<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    single: Vec<(u32, RowChoiceForm)>,
}

/// A choice for one row.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum RowChoiceForm {
    Add,
    LeaveOut,
    Into { row: u32, overwrite: bool },
    BringBack { key: u32, overwrite: bool },
}

/// Ascending rows as runs: the first and how many.
pub fn runs_of(rows: &[u32]) -> Vec<(u32, u32)> {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for &row in rows {
        match runs.last_mut() {
            Some((first, n)) if first.checked_add(*n) == Some(row) => *n += 1,
            _ => runs.push((row, 1)),
        }
    }
    runs
}

/// The rows of runs; `None` when they do not ascend or are beyond the most a sheet holds, so that a short
/// record cannot ask for much memory.
pub fn rows_from(runs: Vec<(u32, u32)>) -> Option<Vec<u32>> {
    let mut rows = Vec::new();
    for (first, n) in runs {
        let end = first.checked_add(n)?;
        if end as usize > crate::sheet::apply::MOST_ROWS
            || rows.last().is_some_and(|&last| last >= first)
        {
            return None;
        }
        rows.extend(first..end);
    }
    Some(rows)
}

/// As it is written.
pub fn merge_form(origin: &MergeOrigin) -> MergeForm {
    let rows = runs_of(&origin.rows);
    let choices = &origin.choices;
    MergeForm {
        rows,
        match_rows: choices.match_rows,
        add_new: choices.add_new,
        fill_blanks: choices.fill_blanks,
        overwrite: choices.overwrite,
        taken_off: choices.taken_off.map(|choice| choice.key().to_owned()),
        single: choices
            .rows
            .iter()
            .map(|(&at, choice)| {
                let form = match *choice {
                    RowChoice::Add => RowChoiceForm::Add,
                    RowChoice::LeaveOut => RowChoiceForm::LeaveOut,
                    RowChoice::Into { row, overwrite } => RowChoiceForm::Into { row, overwrite },
                    RowChoice::BringBack { key, overwrite } => {
                        RowChoiceForm::BringBack { key, overwrite }
                    }
                };
                (at, form)
            })
            .collect(),
    }
}

/// As it was written; `None` when the runs cannot be rows of a file, or a choice is not known.
pub fn merge_from(form: MergeForm) -> Option<MergeOrigin> {
    Some(MergeOrigin {
        rows: rows_from(form.rows)?,
        choices: MergeChoices {
            match_rows: form.match_rows,
            add_new: form.add_new,
            fill_blanks: form.fill_blanks,
            overwrite: form.overwrite,
            taken_off: match form.taken_off {
                None => None,
                Some(key) => Some(TakenOffChoice::from_key(&key)?),
            },
            rows: form
                .single
                .into_iter()
                .map(|(at, form)| {
                    let choice = match form {
                        RowChoiceForm::Add => RowChoice::Add,
                        RowChoiceForm::LeaveOut => RowChoice::LeaveOut,
                        RowChoiceForm::Into { row, overwrite } => {
                            RowChoice::Into { row, overwrite }
                        }
                        RowChoiceForm::BringBack { key, overwrite } => {
                            RowChoice::BringBack { key, overwrite }
                        }
                    };
                    (at, choice)
                })
                .collect(),
        },
    })
}
