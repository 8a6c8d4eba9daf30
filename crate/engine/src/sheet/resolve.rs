//! What was asked, made definite before it is applied.
//!
//! Enters: a command as the page or an import gives it. Leaves: the same command with texts read into
//! values and keys chosen, or a refusal.
//! Always true: a resolved command means the same whenever it is applied again to the same book, whatever
//! later versions learn to read; so this is the form that the journal keeps.
//! Never: changes the book.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::codes::plain_words;
use super::column::{Column, Kind, Origin, Value};
use super::edit::{CellEdit, ColumnValues, Command, OwnColumn};
use super::look::{Look, LookChange};
use super::look_apply::{check_name, unknown_view};
use super::own_key::own_key;
use super::put::value_of;
use super::read::{ReadOptions, two_digit_year_to};
use super::schema::SheetKind;
use super::table::Table;
use super::workbook::Workbook;
use crate::error::Error;
use crate::note::counted;
use crate::trade::plausible::{EARLIEST_YEAR, LATEST_YEAR};

/// Most own columns of a sheet.
pub const MOST_OWN_COLUMNS: usize = 200;

/// Labels of the columns that the engine makes, by sheet and key: they cannot be typed over, and no own
/// column takes their key.
pub type Computed = fn(SheetKind, &str) -> Option<&'static str>;

/// Reads the texts of a command and chooses its keys.
///
/// # Errors
/// `sheet.column.computed`, `sheet.column.unknown`, `sheet.row.unknown`, `sheet.row.taken_off`,
/// `sheet.row.none`, `sheet.column.label`, `sheet.column.too_many`.
pub fn resolve(book: &Workbook, command: Command, computed: Computed) -> Result<Command, Error> {
    Ok(match command {
        Command::SetCells { sheet, cells } => Command::PutCells {
            sheet,
            columns: read_cells(book, sheet, cells, 0, computed)?,
        },
        Command::AddColumn { sheet, label, kind } => Command::PutColumn {
            sheet,
            column: OwnColumn {
                kind,
                ..new_column(book.sheet(sheet), &label, computed)?
            },
        },
        Command::AddCalculated {
            sheet,
            label,
            formula,
        } => Command::PutColumn {
            sheet,
            column: OwnColumn {
                formula: Some(formula.trim().to_owned()),
                ..new_column(book.sheet(sheet), &label, computed)?
            },
        },
        Command::SetFormula {
            sheet,
            column,
            formula,
        } => Command::SetFormula {
            sheet,
            column,
            formula: formula
                .map(|formula| formula.trim().to_owned())
                .filter(|formula| !formula.is_empty()),
        },
        Command::RenameColumn {
            sheet,
            column,
            label,
        } => Command::RenameColumn {
            label: fit_label(book.sheet(sheet), &label, Some(&column))?,
            sheet,
            column,
        },
        Command::RemoveColumn { sheet, column } => remove_column(book, sheet, column)?,
        Command::KeepView { sheet, name } => Command::PutView {
            sheet,
            name: name.trim().to_owned(),
            look: Some(Box::new(book.looks.of(sheet).present.clone())),
        },
        Command::ShowView { sheet, name } => Command::SetLook {
            sheet,
            change: Box::new(LookChange::from(view(book, sheet, &name)?.clone())),
            view: Some(name),
        },
        Command::RenameView {
            sheet,
            name,
            new_name,
        } => rename_view(book, sheet, name, new_name.trim())?,
        Command::Import { mut table, origin } => {
            settle_own_columns(book.sheet(table.kind), Arc::make_mut(&mut table), computed)?;
            Command::Import { table, origin }
        }
        Command::TakeOff { sheet, rows } => Command::TakeOff {
            sheet,
            rows: some_rows(rows)?,
        },
        Command::BringBack { sheet, rows } => Command::BringBack {
            sheet,
            rows: some_rows(rows)?,
        },
        Command::Together(commands) => {
            Command::Together(resolve_together(book, commands, computed)?)
        }
        definite => definite,
    })
}

/// Within a batch, rows added earlier may be typed into later.
fn resolve_together(
    book: &Workbook,
    commands: Vec<Command>,
    computed: Computed,
) -> Result<Vec<Command>, Error> {
    let mut added: Vec<(SheetKind, usize)> = Vec::new();
    commands
        .into_iter()
        .map(|command| match command {
            Command::SetCells { sheet, cells } => {
                let more: usize = added
                    .iter()
                    .filter(|(s, _)| *s == sheet)
                    .map(|(_, n)| n)
                    .sum();
                Ok(Command::PutCells {
                    sheet,
                    columns: read_cells(book, sheet, cells, more, computed)?,
                })
            }
            Command::AddRows { sheet, n_rows } => {
                added.push((sheet, n_rows as usize));
                Ok(Command::AddRows { sheet, n_rows })
            }
            other => resolve(book, other, computed),
        })
        .collect()
}

fn read_cells(
    book: &Workbook,
    sheet: SheetKind,
    cells: Vec<CellEdit>,
    n_added: usize,
    computed: Computed,
) -> Result<Vec<ColumnValues>, Error> {
    let table = book.sheet(sheet);
    let added = table.n_keys()..table.n_keys() + n_added;
    let mut columns: Vec<(ColumnValues, &Column, ReadOptions)> = Vec::new();
    for cell in cells {
        if table.row_of(cell.row).is_none() && !added.contains(&(cell.row as usize)) {
            return Err(if table.is_taken_off(cell.row) {
                taken_off(table)
            } else {
                unknown_row(table, cell.row)
            });
        }
        let at = match columns
            .iter()
            .position(|(values, ..)| values.column == cell.column)
        {
            Some(at) => at,
            None => {
                let column = table
                    .column(&cell.column)
                    .ok_or_else(|| untypable(table, &cell.column, computed))?;
                if column.formula.is_some() {
                    return Err(calculated(column));
                }
                let values = ColumnValues {
                    column: cell.column,
                    rows: Vec::new(),
                    values: Vec::new(),
                };
                columns.push((values, column, typing_options(book, table, column)));
                columns.len() - 1
            }
        };
        let (values, column, options) = &mut columns[at];
        values.rows.push(cell.row);
        values
            .values
            .push(value_of(column.kind, &cell.text, options));
    }
    Ok(columns.into_iter().map(|(values, ..)| values).collect())
}

/// Keys in order, each once.
fn some_rows(mut rows: Vec<u32>) -> Result<Vec<u32>, Error> {
    if rows.is_empty() {
        return Err(Error::new(
            "sheet.row.none",
            "No row was chosen.",
            "Choose rows first: a click on a row and Shift+Space choose it whole.",
        ));
    }
    fairpen_stats::in_order::order(&mut rows);
    rows.dedup();
    Ok(rows)
}

/// How what is typed into a column is read. A date without its year takes that of the book's day; where the
/// book has none, the year that most dates of the column have, or of its sheet: one date with a wrong year leads
/// no other astray.
pub fn typing_options(book: &Workbook, table: &Table, column: &Column) -> ReadOptions {
    let year = matches!(column.kind, Kind::Date).then(|| {
        book.settings
            .as_of
            .year()
            .or_else(|| usual_year(std::iter::once(column)))
            .or_else(|| usual_year(table.columns().iter()))
    });
    ReadOptions {
        two_digit_year_to: two_digit_year_to(book.settings.as_of),
        year: year.flatten(),
        ..ReadOptions::of_book(book.settings.weight_unit)
    }
}

/// The year that most dates have, the later one of two; years that no date of a herd has count for nothing.
fn usual_year<'a>(columns: impl Iterator<Item = &'a Column>) -> Option<i32> {
    let mut n_of: BTreeMap<i32, usize> = BTreeMap::new();
    for day in columns.filter_map(Column::days).flatten() {
        if let Some(year) = day.year()
            && (EARLIEST_YEAR..=LATEST_YEAR).contains(&year)
        {
            *n_of.entry(year).or_default() += 1;
        }
    }
    n_of.into_iter()
        .max_by_key(|&(year, n)| (n, year))
        .map(|(year, _)| year)
}

fn untypable(table: &Table, key: &str, computed: Computed) -> Error {
    match computed(table.kind, key) {
        Some(label) => Error::new(
            "sheet.column.computed",
            format!("{label} is worked out by Fairpen and cannot be typed over."),
            "Change what it is worked out from: the working of the cell shows each of those cells.",
        ),
        None => unknown_column(table, key),
    }
}

/// A calculated column cannot be typed over.
pub(super) fn calculated(column: &Column) -> Error {
    Error::new(
        "sheet.column.calculated",
        format!(
            "{} is worked out by its formula and cannot be typed over.",
            column.label
        ),
        "Change the formula, or the cells it is worked out from.",
    )
}

/// There is no such column in the sheet.
pub(super) fn unknown_column(table: &Table, key: &str) -> Error {
    Error::new(
        "sheet.column.unknown",
        format!("{} has no column called {key}.", table.kind.label()),
        "Add the column first, or choose one that is there.",
    )
}

/// The row is not on the record any more.
pub(super) fn taken_off(table: &Table) -> Error {
    Error::new(
        "sheet.row.taken_off",
        format!("A row of {} was taken off.", table.kind.label()),
        "Bring it back first: with Undo, or with Bring back under Rows.",
    )
}

/// There is no such row in the sheet.
pub(super) fn unknown_row(table: &Table, row: u32) -> Error {
    Error::new(
        "sheet.row.unknown",
        format!(
            "{} has {}, so there is no row {}.",
            table.kind.label(),
            counted(table.n_keys(), "row"),
            u64::from(row) + 1
        ),
        "Add rows first, or choose one that is there.",
    )
}

/// The label of a column of the person's own, trimmed. `key` is the column that has it to be.
fn fit_label(table: &Table, label: &str, key: Option<&str>) -> Result<String, Error> {
    let label = label.trim();
    if label.is_empty() || label.chars().count() > 100 || label.chars().any(char::is_control) {
        return Err(Error::new(
            "sheet.column.label",
            "A column needs a name of 1 to 100 characters on one line.",
            "Give it a short name, such as Frame or Hip height.",
        ));
    }
    if let Some(same) = table.columns().iter().find(|column| {
        Some(column.key.as_str()) != key && plain_words(&column.label) == plain_words(label)
    }) {
        return Err(Error::new(
            "sheet.column.label",
            format!(
                "{} has a column called {} already.",
                table.kind.label(),
                same.label
            ),
            "Use that column, or give the new one another name.",
        ));
    }
    Ok(label.to_owned())
}

fn view<'a>(book: &'a Workbook, sheet: SheetKind, name: &str) -> Result<&'a Look, Error> {
    let found = book.looks.of(sheet).views.get(name);
    found.ok_or_else(|| unknown_view(sheet, name))
}

fn rename_view(
    book: &Workbook,
    sheet: SheetKind,
    name: String,
    new_name: &str,
) -> Result<Command, Error> {
    let look = view(book, sheet, &name)?.clone();
    check_name(new_name)?;
    if new_name != name && book.looks.of(sheet).views.contains_key(new_name) {
        return Err(Error::new(
            "sheet.view.exists",
            format!(
                "{} has a saved view called {new_name} already.",
                sheet.label()
            ),
            "Choose another name, or delete that view first.",
        ));
    }
    Ok(Command::Together(vec![
        Command::PutView {
            sheet,
            name,
            look: None,
        },
        Command::PutView {
            sheet,
            name: new_name.to_owned(),
            look: Some(Box::new(look)),
        },
    ]))
}

/// Everything in the column is taken out first, so that the way back puts it in again.
fn remove_column(book: &Workbook, sheet: SheetKind, key: String) -> Result<Command, Error> {
    let table = book.sheet(sheet);
    let position = table
        .column_position(&key)
        .ok_or_else(|| unknown_column(table, &key))?;
    let column = &table.columns()[position];
    let rows = table.keys_filled(position);
    let away = Command::DropColumn {
        sheet,
        column: key.clone(),
    };
    if column.origin != Origin::Own || rows.is_empty() {
        return Ok(away);
    }
    let values = vec![Value::Missing; rows.len()];
    Ok(Command::Together(vec![
        Command::PutCells {
            sheet,
            columns: vec![ColumnValues {
                column: key,
                rows,
                values,
            }],
        },
        away,
    ]))
}

fn new_column(table: &Table, label: &str, computed: Computed) -> Result<OwnColumn, Error> {
    let label = &fit_label(table, label, None)?;
    refuse_too_many(table, 1)?;
    let key = own_key(table.kind, label, |key| {
        table.column(key).is_some() || computed(table.kind, key).is_some()
    });
    Ok(OwnColumn {
        key,
        label: label.to_owned(),
        header: None,
        kind: Kind::Text,
        formula: None,
        position: u32::try_from(table.columns().len()).unwrap_or(u32::MAX),
    })
}

fn refuse_too_many(table: &Table, more: usize) -> Result<(), Error> {
    let own = table.columns().len() - table.kind.columns().len();
    if own + more > MOST_OWN_COLUMNS {
        return Err(Error::new(
            "sheet.column.too_many",
            format!(
                "{} would have {} columns of your own; {MOST_OWN_COLUMNS} is the most.",
                table.kind.label(),
                own + more
            ),
            "Leave out columns that you do not need.",
        ));
    }
    Ok(())
}

/// Gives the own columns of a table the keys they will have in the book. Doing it twice changes nothing.
///
/// # Errors
/// `sheet.column.too_many`.
pub fn settle_keys(book: &Workbook, table: &mut Table, computed: Computed) -> Result<(), Error> {
    settle_own_columns(book.sheet(table.kind), table, computed)
}

/// Own columns of an import join the sheet's own columns of the same name, and get a free key otherwise.
fn settle_own_columns(here: &Table, arriving: &mut Table, computed: Computed) -> Result<(), Error> {
    let own: Vec<(String, String)> = arriving
        .columns()
        .iter()
        .filter(|column| column.origin == Origin::Own)
        .map(|column| (column.key.clone(), column.label.clone()))
        .collect();
    let mut new = 0;
    let mut settled: Vec<String> = Vec::new();
    for (key, label) in own {
        let words = plain_words(&label);
        let open = |column: &&Column| {
            column.origin == Origin::Own
                && column.formula.is_none()
                && !settled.contains(&column.key)
        };
        let called = |column: &&Column| plain_words(&column.label) == words;
        // A column that was renamed since is still the one of its file.
        let came_as = |column: &&Column| {
            let header = column.header.as_deref();
            header.is_some_and(|header| plain_words(header) == words)
        };
        let own = || here.columns().iter().filter(open);
        let same = own().find(called).or_else(|| own().find(came_as));
        let free = match same {
            Some(column) => column.key.clone(),
            None => {
                new += 1;
                own_key(here.kind, &label, |key| {
                    here.column(key).is_some()
                        || computed(here.kind, key).is_some()
                        || settled.iter().any(|other| other == key)
                })
            }
        };
        settled.push(free.clone());
        // Two steps through a name that no header can make, so that swapped keys cannot meet.
        if let Some(column) = arriving.column_mut(&key) {
            column.key = format!("\u{1}{free}");
        }
    }
    for key in settled {
        if let Some(column) = arriving.column_mut(&format!("\u{1}{key}")) {
            column.key = key;
        }
    }
    refuse_too_many(here, new)
}
