//! Commands on whole rows, applied: added at the end, brought in, taken off the record and brought back.
//!
//! Enters: a book and such a command. Leaves: the changed book and the command that takes it back.
//! Always true: as in `super::apply`; a key is given to one row only.
//! Never: copies an imported table.

use std::sync::Arc;

use super::apply::{MOST_ROWS, set_settings};
use super::column::{Column, Origin};
use super::edit::{Command, ImportOrigin};
use super::own_column::{held_off_record, own_column, still_holds};
use super::resolve::{taken_off, unknown_column, unknown_row};
use super::schema::SheetKind;
use super::settings::{Settings, WeightUnit};
use super::table::Table;
use super::workbook::Workbook;
use crate::error::Error;
use crate::note::counted;

pub(super) fn add_rows(
    book: &mut Workbook,
    sheet: SheetKind,
    n_rows: u32,
) -> Result<Command, Error> {
    refuse_too_many_rows(book.sheet(sheet), n_rows as usize)?;
    let table = book.sheet_mut(sheet);
    table.resize(table.n_rows() + n_rows as usize);
    Ok(Command::DropRows {
        sheet,
        n_rows,
        columns: Vec::new(),
        headers: Vec::new(),
        origin: None,
    })
}

fn refuse_too_many_rows(table: &Table, more: usize) -> Result<(), Error> {
    if table.n_keys().saturating_add(more) > MOST_ROWS {
        return Err(Error::new(
            "sheet.rows.too_many",
            format!(
                "{} can hold at most {MOST_ROWS} rows, rows taken off among them.",
                table.kind.label()
            ),
            "Split the records over two books.",
        ));
    }
    Ok(())
}

pub(super) fn drop_rows(
    book: &mut Workbook,
    sheet: SheetKind,
    n_rows: u32,
    columns: Vec<String>,
    headers: Vec<(String, Option<String>)>,
    origin: Option<Box<ImportOrigin>>,
) -> Result<Command, Error> {
    let table = book.sheet(sheet);
    let n_rows = n_rows as usize;
    if n_rows > table.n_rows() {
        return Err(unknown_row(
            table,
            u32::try_from(n_rows - 1).unwrap_or(u32::MAX),
        ));
    }
    let keep = table.n_rows() - n_rows;
    // The last rows must be those with the last keys, or a key would be given twice.
    let first_key = table.n_keys() - n_rows;
    if n_rows > 0 && table.key_of(u32::try_from(keep).unwrap_or(u32::MAX)) as usize != first_key {
        return Err(taken_off(table));
    }
    for key in &columns {
        let (position, column) = own_column(table, key)?;
        if !column.holds_nothing_before(keep) {
            return Err(still_holds(column));
        }
        if table.held_off_record(position) {
            return Err(held_off_record(column));
        }
    }
    if origin.is_none() && !table.is_blank_from(keep) {
        return Err(Error::new(
            "sheet.rows.not_blank",
            format!(
                "{} at the end of {} cannot be taken off: not everything there is blank.",
                counted(n_rows, "row"),
                table.kind.label()
            ),
            "Clear them first. Rows with records in them are not taken away.",
        ));
    }
    let table = book.sheet_mut(sheet);
    let mut off = table.split_off(keep);
    for key in &columns {
        let _blank = table.remove_own_column(key);
    }
    let mut named: Vec<String> = columns;
    named.extend(headers.iter().map(|(key, _)| key.clone()));
    for (key, header) in headers {
        if let Some(column) = table.column_mut(&key) {
            column.header = header;
        }
    }
    let unit_before = origin.as_ref().and_then(|origin| origin.unit_before);
    let command = match origin {
        Some(origin) => {
            // Own columns of the sheet that did not come with these rows hold nothing in them. Those that the
            // file names under another header come back with it, also when they hold nothing.
            off.drop_blank_own_columns(&named);
            Command::Import {
                table: Arc::new(off),
                origin,
            }
        }
        None => Command::AddRows {
            sheet,
            n_rows: u32::try_from(n_rows).unwrap_or(u32::MAX),
        },
    };
    if let Some(unit) = unit_before {
        take_unit(book, unit)?;
    }
    Ok(command)
}

/// Gives a book without weights another unit. Weights that are there against expectation are converted.
fn take_unit(book: &mut Workbook, unit: WeightUnit) -> Result<(), Error> {
    let settings = Settings {
        weight_unit: unit,
        ..book.settings.clone()
    };
    set_settings(book, settings).map(|_back| ())
}

pub(super) fn import(
    book: &mut Workbook,
    table: Arc<Table>,
    origin: Box<ImportOrigin>,
) -> Result<Command, Error> {
    let sheet = table.kind;
    let here = book.sheet(sheet);
    refuse_too_many_rows(here, table.n_rows())?;
    let mut columns = Vec::new();
    let mut headers = Vec::new();
    for column in table.columns() {
        match here.column(&column.key) {
            None if column.origin == Origin::Known => {
                return Err(unknown_column(here, &column.key));
            }
            None => columns.push(column.key.clone()),
            Some(standing) if standing.header != column.header && column.header.is_some() => {
                headers.push((column.key.clone(), standing.header.clone()));
            }
            Some(_) => {}
        }
    }
    let n_rows = u32::try_from(table.n_rows()).unwrap_or(u32::MAX);
    let table = Arc::unwrap_or_clone(table);
    if origin.unit_before.is_some() {
        take_unit(book, origin.plan.weight_unit)?;
    }
    let here = book.sheet_mut(sheet);
    for column in table.columns() {
        if columns.contains(&column.key) {
            let mut blank = Column::new(&column.key, &column.label, column.kind, Origin::Own);
            blank.header.clone_from(&column.header);
            here.add_column(blank);
        } else if column.header.is_some()
            && let Some(standing) = here.column_mut(&column.key)
        {
            standing.header.clone_from(&column.header);
        }
    }
    here.append(table);
    Ok(Command::DropRows {
        sheet,
        n_rows,
        columns,
        headers,
        origin: Some(origin),
    })
}

/// The keys in ascending order, each once.
fn each_once(mut keys: Vec<u32>) -> Vec<u32> {
    fairpen_stats::in_order::order(&mut keys);
    keys.dedup();
    keys
}

pub(super) fn take_off(
    book: &mut Workbook,
    sheet: SheetKind,
    rows: Vec<u32>,
) -> Result<Command, Error> {
    let table = book.sheet(sheet);
    let keys = each_once(rows);
    for &key in &keys {
        if table.row_of(key).is_none() {
            return Err(if table.is_taken_off(key) {
                taken_off(table)
            } else {
                unknown_row(table, key)
            });
        }
    }
    if !keys.is_empty() {
        book.sheet_mut(sheet).take_off(&keys);
    }
    Ok(Command::BringBack { sheet, rows: keys })
}

pub(super) fn bring_back(
    book: &mut Workbook,
    sheet: SheetKind,
    rows: Vec<u32>,
) -> Result<Command, Error> {
    let table = book.sheet(sheet);
    let keys = each_once(rows);
    if let Some(&key) = keys.iter().find(|&&key| !table.is_taken_off(key)) {
        return Err(if table.row_of(key).is_some() {
            Error::new(
                "sheet.row.on_record",
                format!(
                    "A row of {} that was to be brought back is on the record.",
                    table.kind.label()
                ),
                "Nothing to mend: it is there.",
            )
        } else {
            unknown_row(table, key)
        });
    }
    if !keys.is_empty() {
        book.sheet_mut(sheet).bring_back(&keys);
    }
    Ok(Command::TakeOff { sheet, rows: keys })
}

impl Table {
    fn is_blank_from(&self, row: usize) -> bool {
        self.source_line.iter().skip(row).all(|&line| line == 0)
            && self
                .columns()
                .iter()
                .all(|column| column.is_blank_in(row, self.n_rows()))
    }
}
