//! A command applied to a book.
//!
//! Enters: a book and a resolved command. Leaves: the changed book and the command that takes it back.
//! Always true: everything is checked before anything changes, so a refused command changes nothing; the
//! way back restores every cell exactly; commands name rows by their permanent keys.
//! Never: reads typed text (`super::resolve`) or copies an imported table.

use super::accepted::Acceptance;
use super::apply_rows::{add_rows, bring_back, drop_rows, import, take_off};
use super::column::{Column, Kind, Value};
use super::edit::{ColumnValues, Command};
use super::look_apply::{put_view, set_look};
use super::own_column::{drop_column, put_column, rename_column, set_formula};
use super::remembered::remember;
use super::resolve::{calculated, unknown_column, unknown_row};
use super::schema::SheetKind;
use super::set_kind::set_kind;
use super::settings::Settings;
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
        Command::TakeOff { sheet, rows } => take_off(book, sheet, rows),
        Command::BringBack { sheet, rows } => bring_back(book, sheet, rows),
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
        Command::SetKind {
            sheet,
            column,
            kind,
        } => set_kind(book, sheet, column, kind),
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
            if *row as usize >= table.n_keys() {
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
        let Some(position) = table.column_position(&key) else {
            continue; // every column was found above
        };
        let mut before: Vec<(u32, Value)> = rows
            .into_iter()
            .zip(values)
            .filter_map(|(key, value)| {
                // Every key was found above to be given.
                let (column, row) = table.cell_mut(position, key)?;
                Some((key, column.put(row, value)))
            })
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

pub(super) fn set_settings(book: &mut Workbook, settings: Settings) -> Result<Command, Error> {
    settings_rules::check(&settings)?;
    let before = std::mem::replace(&mut book.settings, settings);
    book.touch();
    let (from, to) = (before.weight_unit, book.settings.weight_unit);
    let mut commands = vec![Command::SetSettings(Box::new(before))];
    if from != to {
        for sheet in SheetKind::ALL {
            let mut columns = Vec::new();
            if book.sheet(sheet).n_keys() == 0 {
                continue;
            }
            for (column, keys) in book.sheet_mut(sheet).weights_mut() {
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
                        stubborn.rows.push(match keys {
                            Some(keys) => keys.get(row as usize).copied().unwrap_or(row),
                            None => row,
                        });
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
        if let Some(row) = doubt.row.filter(|&row| row as usize >= table.n_keys()) {
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
    fn weights_mut(&mut self) -> impl Iterator<Item = (&mut Column, Option<&[u32]>)> {
        self.columns_mut()
            .filter(|(column, _)| matches!(column.kind, Kind::Weight))
    }
}
