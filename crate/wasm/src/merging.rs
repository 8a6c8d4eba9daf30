//! Rows of a file beside the rows on record, as the page shows them.
//!
//! Enters: what the desk found, and choices. Leaves: [`ImportMerge`], [`ImportRow`].
//! Always true: a choice given back is the choice shown.
//! Never: decides which row is which.

use fairpen_engine::desk::Desk;
use fairpen_engine::desk::bring_in::ShownRow;
use fairpen_engine::error::Error;
use fairpen_engine::import::merge::{CellState, MergeChoices, RowChoice, RowKind, TakenOffChoice};
use fairpen_engine::note::{Note, counted};
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::table::Table;

use crate::types::{
    ImportCandidate, ImportCell, ImportMerge, ImportMergeChoices, ImportRow, ImportRowChoice,
};

/// So many filled cells tell a row on record from the others.
const N_TELLING: usize = 4;

/// The counts and what will happen, with notes about what stays out; `None` when the sheet has no rows.
pub fn merge_of(desk: &Desk) -> Option<(ImportMerge, Vec<Note>)> {
    let shown = desk.import_merge_shown()?;
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let n_of = |kind| count(shown.merge.count(kind));
    let will_add = count(shown.plan.added.len());
    let merge = ImportMerge {
        new_rows: n_of(RowKind::New),
        same_rows: n_of(RowKind::Same),
        changed_rows: n_of(RowKind::Fills),
        conflict_rows: n_of(RowKind::Differs),
        unclear_rows: n_of(RowKind::Unclear),
        taken_off_rows: n_of(RowKind::TakenOff),
        choices: choices_form(shown.choices),
        will_add,
        will_change: shown.plan.n_changed,
        will_bring_back: count(shown.plan.brought_back.len()),
        will_leave: shown.plan.n_left,
        summary: format!(
            "{} will come in as new, {} on record will change, {}and {}.",
            counted(shown.plan.added.len(), "row"),
            counted(shown.plan.n_changed as usize, "row"),
            match shown.plan.brought_back.len() {
                0 => String::new(),
                n => format!("{} taken off will come back, ", counted(n, "row")),
            },
            match shown.plan.n_left {
                0 => "nothing stays out".to_owned(),
                n => format!("of {} something stays out", counted(n as usize, "line")),
            },
        ),
    };
    Some((merge, shown.plan.notes))
}

fn choice_form(row: u32, choice: RowChoice) -> ImportRowChoice {
    let (word, row_key) = match choice {
        RowChoice::Add => ("add", None),
        RowChoice::LeaveOut => ("leave_out", None),
        RowChoice::Into {
            row,
            overwrite: false,
        } => ("fill", Some(row)),
        RowChoice::Into {
            row,
            overwrite: true,
        } => ("overwrite", Some(row)),
        RowChoice::BringBack {
            key,
            overwrite: false,
        } => ("bring_back", Some(key)),
        RowChoice::BringBack {
            key,
            overwrite: true,
        } => ("bring_back_over", Some(key)),
    };
    ImportRowChoice {
        row,
        choice: word.to_owned(),
        row_key,
    }
}

fn choices_form(choices: &MergeChoices) -> ImportMergeChoices {
    ImportMergeChoices {
        match_rows: choices.match_rows,
        add_new: choices.add_new,
        fill_blanks: choices.fill_blanks,
        overwrite: choices.overwrite,
        taken_off: choices
            .taken_off
            .map_or_else(String::new, |choice| choice.key().to_owned()),
        rows: choices
            .rows
            .iter()
            .map(|(&row, &choice)| choice_form(row, choice))
            .collect(),
    }
}

/// What was chosen.
pub fn choices_of(form: ImportMergeChoices) -> Result<MergeChoices, Error> {
    let rows = form
        .rows
        .iter()
        .map(|row| {
            let choice = match (row.choice.as_str(), row.row_key) {
                ("add", _) => RowChoice::Add,
                ("leave_out", _) => RowChoice::LeaveOut,
                ("fill", Some(key)) => RowChoice::Into {
                    row: key,
                    overwrite: false,
                },
                ("overwrite", Some(key)) => RowChoice::Into {
                    row: key,
                    overwrite: true,
                },
                ("bring_back" | "bring_back_over", Some(key)) => RowChoice::BringBack {
                    key,
                    overwrite: row.choice == "bring_back_over",
                },
                (word, _) => {
                    return Err(Error::new(
                        "boundary.choice",
                        format!("There is no choice called {word} for a row, or it names no row."),
                        "Choose one of those shown.",
                    ));
                }
            };
            Ok((row.row, choice))
        })
        .collect::<Result<_, _>>()?;
    let taken_off = match form.taken_off.as_str() {
        "" => None,
        key => Some(TakenOffChoice::from_key(key).ok_or_else(|| {
            Error::new(
                "boundary.choice",
                format!("There is no choice called {key} for rows taken off."),
                "Choose one of those shown.",
            )
        })?),
    };
    Ok(MergeChoices {
        match_rows: form.match_rows,
        add_new: form.add_new,
        fill_blanks: form.fill_blanks,
        overwrite: form.overwrite,
        taken_off,
        rows,
    })
}

/// Rows of one kind, or of all kinds when `kind` is empty.
pub fn rows_of(desk: &Desk, kind: &str, first: u32, n: u32) -> Result<Vec<ImportRow>, Error> {
    let kind = match kind {
        "" => None,
        key => Some(
            RowKind::ALL
                .into_iter()
                .find(|kind| kind.key() == key)
                .ok_or_else(|| {
                    Error::new(
                        "boundary.choice",
                        format!("There is no kind of rows called {key}."),
                        "Choose one of those shown.",
                    )
                })?,
        ),
    };
    let Some((_, imported)) = desk.import_shown() else {
        return Ok(Vec::new());
    };
    let here = desk.book().sheet(imported.plan.sheet);
    let shown = desk.import_rows(kind, first as usize, n as usize);
    Ok(shown
        .into_iter()
        .map(|row| row_of(row, here, &imported.table))
        .collect())
}

/// What a row is called: by the file, else by the record it is held against.
fn name_of(shown: &ShownRow<'_>, here: &Table, incoming: &Table) -> String {
    const NAMES: [&str; 6] = ["tag", "animal", "cow", "eid", "name", "date"];
    let in_file = NAMES.map(|key| (incoming, key, Some(shown.row)));
    let on_record = NAMES.map(|key| (here, key, shown.against));
    // The tag on record says more than the electronic ID in the file.
    let tag_on_record = [(here, "tag", shown.against)];
    in_file[..3]
        .iter()
        .chain(&tag_on_record)
        .chain(&in_file[3..])
        .chain(&on_record)
        .find_map(|&(table, key, row)| {
            let column = table.column(key)?;
            Some(column.shown_value(&column.value(row? as usize))).filter(|text| !text.is_empty())
        })
        .unwrap_or_default()
}

fn row_of(shown: ShownRow<'_>, here: &Table, incoming: &Table) -> ImportRow {
    ImportRow {
        row: shown.row,
        line: shown.line,
        name: name_of(&shown, here, incoming),
        kind: shown.outcome.kind.key().to_owned(),
        because: match shown.outcome.kind {
            RowKind::TakenOff => shown.outcome.why.words_of_taken_off(),
            _ => shown.outcome.why.words(),
        }
        .to_owned(),
        choice: shown
            .choice
            .map_or_else(String::new, |choice| choice_form(shown.row, choice).choice),
        against: shown.against,
        candidates: shown
            .outcome
            .candidates
            .iter()
            .map(|&row| ImportCandidate {
                row_key: row,
                words: words_of(here, row),
            })
            .collect(),
        taken_off: shown
            .outcome
            .taken_off
            .iter()
            .filter_map(|&key| {
                let off = here.taken_off()?;
                let at = off.keys().binary_search(&key).ok()?;
                Some(ImportCandidate {
                    row_key: key,
                    words: words_of(off.rows(), u32::try_from(at).ok()?),
                })
            })
            .collect(),
        against_taken_off: shown.against_taken_off,
        cells: shown
            .cells
            .into_iter()
            .map(|cell| {
                let column = here.column(&cell.column).or(incoming.column(&cell.column));
                let text = |value: &Value| match (value, column) {
                    (Value::Missing, _) | (_, None) => String::new(),
                    (value, Some(column)) => column.shown_value(value),
                };
                ImportCell {
                    label: column.map_or_else(String::new, |column| column.label.clone()),
                    incoming: text(&cell.incoming),
                    on_record: text(&cell.on_record),
                    state: match cell.state {
                        CellState::Silent => "silent",
                        CellState::Same => "same",
                        CellState::Fills => "fills",
                        CellState::Differs => "differs",
                        CellState::Unread => "unread",
                    }
                    .to_owned(),
                    column: cell.column,
                }
            })
            .collect(),
    }
}

/// The first filled cells of a row, which tell it from the others.
fn words_of(table: &Table, row: u32) -> String {
    let cells: Vec<String> = table
        .columns()
        .iter()
        .filter_map(|column| match column.value(row as usize) {
            Value::Missing => None,
            value => Some(format!("{} {}", column.label, column.shown_value(&value))),
        })
        .take(N_TELLING)
        .collect();
    cells.join(", ")
}
