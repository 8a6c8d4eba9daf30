//! A command applied to a book.
//!
//! Enters: a book and a resolved command. Leaves: the changed book and the command that takes it back.
//! Always true: everything is checked before anything changes, so a refused command changes nothing; the
//! way back restores every cell exactly; row keys are permanent, since rows come and go at the end only.
//! Never: reads typed text (`super::resolve`) or copies an imported table.

use crate::note::counted;
use std::sync::Arc;

use super::accepted::Acceptance;
use super::column::{Column, Kind, Origin, Value};

use super::edit::{ColumnValues, Command, ImportOrigin};
use super::look_apply::{put_view, set_look};
use super::own_column::{
    drop_column, known_stays, put_column, rename_column, set_formula, still_holds,
};
use super::remembered::remember;
use super::resolve::{calculated, unknown_column, unknown_row};
use super::schema::SheetKind;
use super::settings::{Settings, WeightUnit};
use super::settings_rules;
use super::table::Table;
use super::workbook::Workbook;
use crate::error::Error;

/// Most rows of a sheet.
pub const MOST_ROWS: usize = 2_000_000;

/// Applies a resolved command and hands back the command that takes it back.
///
/// # Errors
/// `sheet.*`: what is not there, does not fit, or would be too much. The book is unchanged then.
pub fn apply(book: &mut Workbook, command: Command) -> Result<Command, Error> {
    match command {
        Command::PutCells { sheet, columns } => put_cells(book, sheet, columns),
        Command::AddRows { sheet, n_rows } => add_rows(book, sheet, n_rows),
        Command::DropRows {
            sheet,
            n_rows,
            columns,
            headers,
            origin,
        } => drop_rows(book, sheet, n_rows, columns, headers, origin),
        Command::Import { table, origin } => import(book, table, origin),
        Command::PutColumn { sheet, column } => put_column(book, sheet, column),
        Command::DropColumn { sheet, column } => drop_column(book, sheet, &column),
        Command::SetFormula {
            sheet,
            column,
            formula,
        } => set_formula(book, sheet, column, formula),
        Command::RenameColumn {
            sheet,
            column,
            label,
        } => rename_column(book, sheet, column, label),
        Command::SetLook { sheet, change, .. } => set_look(book, sheet, *change),
        Command::PutView { sheet, name, look } => put_view(book, sheet, name, look),
        Command::SetSettings(settings) => set_settings(book, *settings),
        Command::Accept(list) => accept(book, list),
        Command::Remember(list) => Ok(Command::Remember(remember(book, list))),
        Command::Together(commands) => together(book, commands),
        Command::SetCells { .. }
        | Command::AddColumn { .. }
        | Command::AddCalculated { .. }
        | Command::RemoveColumn { .. }
        | Command::KeepView { .. }
        | Command::ShowView { .. }
        | Command::RenameView { .. } => Err(Error::new(
            "sheet.not_resolved",
            "This change was not read before it was made.",
            "This is a fault in the program: please report it.",
        )),
    }
}

fn put_cells(
    book: &mut Workbook,
    sheet: SheetKind,
    columns: Vec<ColumnValues>,
) -> Result<Command, Error> {
    let table = book.sheet(sheet);
    for values in &columns {
        let column = table
            .column(&values.column)
            .ok_or_else(|| unknown_column(table, &values.column))?;
        if column.formula.is_some() {
            return Err(calculated(column));
        }
        if values.rows.len() != values.values.len() {
            return Err(misfit(column));
        }
        for (row, value) in values.rows.iter().zip(&values.values) {
            if *row as usize >= table.n_rows() {
                return Err(unknown_row(table, *row));
            }
            if !column.fits(value) {
                return Err(misfit(column));
            }
        }
    }
    let table = book.sheet_mut(sheet);
    let mut back = Vec::with_capacity(columns.len());
    for ColumnValues {
        column: key,
        rows,
        values,
    } in columns
    {
        let Some(column) = table.column_mut(&key) else {
            continue; // every column was found above
        };
        let mut before: Vec<(u32, Value)> = rows
            .into_iter()
            .zip(values)
            .map(|(row, value)| (row, column.put(row, value)))
            .collect();
        // A row may stand twice: the last value put back is the first that stood there.
        before.reverse();
        let (rows, values) = before.into_iter().unzip();
        back.push(ColumnValues {
            column: key,
            rows,
            values,
        });
    }
    back.reverse();
    Ok(Command::PutCells {
        sheet,
        columns: back,
    })
}

fn misfit(column: &Column) -> Error {
    Error::new(
        "sheet.value.kind",
        format!("A value does not fit the column {}.", column.label),
        "Type the value again.",
    )
}

fn add_rows(book: &mut Workbook, sheet: SheetKind, n_rows: u32) -> Result<Command, Error> {
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
    if table.n_rows().saturating_add(more) > MOST_ROWS {
        return Err(Error::new(
            "sheet.rows.too_many",
            format!("{} can hold at most {MOST_ROWS} rows.", table.kind.label()),
            "Split the records over two books.",
        ));
    }
    Ok(())
}

fn drop_rows(
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
    for key in &columns {
        let column = table
            .column(key)
            .ok_or_else(|| unknown_column(table, key))?;
        if column.origin != Origin::Own {
            return Err(known_stays(column));
        }
        if !column.holds_nothing_before(keep) {
            return Err(still_holds(column));
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

fn import(
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

fn set_settings(book: &mut Workbook, settings: Settings) -> Result<Command, Error> {
    settings_rules::check(&settings)?;
    let before = std::mem::replace(&mut book.settings, settings);
    book.touch();
    let (from, to) = (before.weight_unit, book.settings.weight_unit);
    let mut commands = vec![Command::SetSettings(Box::new(before))];
    if from != to {
        for sheet in SheetKind::ALL {
            let mut columns = Vec::new();
            if book.sheet(sheet).n_rows() == 0 {
                continue;
            }
            for column in book.sheet_mut(sheet).weights_mut() {
                let mut stubborn = ColumnValues {
                    column: column.key.clone(),
                    rows: Vec::new(),
                    values: Vec::new(),
                };
                let Some(cells) = column.numbers_mut() else {
                    continue;
                };
                for (row, weight) in (0_u32..).zip(cells) {
                    let converted = settings_rules::convert(*weight, from, to);
                    let back = settings_rules::convert(converted, to, from);
                    if !weight.is_nan() && back.to_bits() != weight.to_bits() {
                        stubborn.rows.push(row);
                        stubborn.values.push(Value::Number(*weight));
                    }
                    *weight = converted;
                }
                if !stubborn.rows.is_empty() {
                    columns.push(stubborn);
                }
            }
            if !columns.is_empty() {
                commands.push(Command::PutCells { sheet, columns });
            }
        }
    }
    Ok(if commands.len() == 1 {
        commands.remove(0)
    } else {
        Command::Together(commands)
    })
}

fn accept(book: &mut Workbook, list: Vec<Acceptance>) -> Result<Command, Error> {
    for Acceptance { doubt, .. } in &list {
        let table = book.sheet(doubt.sheet);
        if let Some(row) = doubt.row.filter(|&row| row as usize >= table.n_rows()) {
            return Err(unknown_row(table, row));
        }
        if !doubt.column.is_empty() && table.column(&doubt.column).is_none() {
            return Err(unknown_column(table, &doubt.column));
        }
    }
    let mut back: Vec<Acceptance> = list
        .into_iter()
        .map(|Acceptance { doubt, read }| {
            let before = match read {
                Some(read) => book.accepted.insert(doubt.clone(), read),
                None => book.accepted.remove(&doubt),
            };
            Acceptance {
                doubt,
                read: before,
            }
        })
        .collect();
    // A doubt may stand twice: the last put back is the first that stood there.
    back.reverse();
    book.touch();
    Ok(Command::Accept(back))
}

fn together(book: &mut Workbook, commands: Vec<Command>) -> Result<Command, Error> {
    let mut back = Vec::with_capacity(commands.len());
    for command in commands {
        match apply(book, command) {
            Ok(inverse) => back.push(inverse),
            Err(refusal) => {
                while let Some(inverse) = back.pop() {
                    // The way back of a command that was just applied is always open.
                    let _again = apply(book, inverse)?;
                }
                return Err(refusal);
            }
        }
    }
    back.reverse();
    Ok(Command::Together(back))
}

impl Table {
    fn is_blank_from(&self, row: usize) -> bool {
        self.source_line.iter().skip(row).all(|&line| line == 0)
            && self
                .columns()
                .iter()
                .all(|column| column.is_blank_in(row, self.n_rows()))
    }

    fn weights_mut(&mut self) -> impl Iterator<Item = &mut Column> {
        self.columns_mut()
            .iter_mut()
            .filter(|column| matches!(column.kind, Kind::Weight))
    }
}
