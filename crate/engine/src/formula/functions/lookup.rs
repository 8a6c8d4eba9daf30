//! Looking a value up in a column, of this sheet or another.
//!
//! Enters: a value, and whole columns. Leaves: a place or a value.
//! Always true: an exact search goes through a table made once per column; the first row that fits counts.
//! Never: finds a text by a number or the other way round (OpenFormula 6.4.7).

use std::cmp::Ordering;
use std::rc::Rc;

use super::super::cell::{Answer, Cell, finite};
use super::super::error_value::ErrorValue;
use super::super::evaluate::Now;
use super::super::function::{Function, Gives, Group, Run, function};
use super::super::held::{Held, Key};
use super::super::wildcard::{Pattern, is_pattern};
use super::number_or;

/// The group.
pub const GROUP: (Group, &[Function]) = (
    Group {
        key: "lookup",
        label: "Looking up",
    },
    &[
        function!("INDEX" ("column" Column, "row" Number, "across" Number optional) -> Gives::Like(0), "6.14.6", Run::Columns(index),
            "The value in a row of a column, counted from 1.", "INDEX('cows'.birth_date; MATCH(dam; 'cows'.tag; 0))"),
        function!("LOOKUP" ("value" Any, "column" Column, "results" Column optional) -> Gives::Like(2), "6.14.8", Run::Columns(lookup),
            "Finds the last value that is not above the one looked for, in a column sorted upward, and takes the result beside it.", "LOOKUP(wean_weight; {0;500;600}; {\"light\";\"middle\";\"heavy\"})"),
        function!("MATCH" ("value" Any, "column" Column, "how" Number optional) -> Gives::Number, "6.14.9", Run::Columns(place),
            "The row, counted from 1, where a value stands: how is 0 for the very value, 1 for the last one not above it, -1 for the last one not below it.", "MATCH(dam; 'cows'.tag; 0)"),
        function!("VLOOKUP" ("value" Any, "table" Column, "across" Number, "sorted" Logical optional) -> Gives::Like(1), "6.14.12", Run::Columns(vlookup),
            "Finds a value in the first column of a table and takes the one beside it.", "VLOOKUP(dam_age; {2;54|3;36|4;18}; 2; FALSE())"),
    ],
);

/// The first row that holds a value; `*` and `?` in a text stand for other letters.
fn exact(held: &Held<'_>, wanted: &Cell<'_>) -> Result<usize, ErrorValue> {
    let found = match wanted {
        Cell::Text(text) if is_pattern(text) => {
            let pattern = Pattern::new(text);
            let keys = held.keys();
            // The first row of each distinct value is enough; they come in the order of the rows.
            keys.first_row.iter().copied().find(|&row| {
                matches!(held.cells.at(row as usize), Cell::Text(text) if pattern.fits(&text))
            })
        }
        Cell::Empty => held.keys().first(&Key::of_number(0.0)),
        wanted => Key::of(wanted).and_then(|key| held.keys().first(&key)),
    };
    found
        .map(|row| row as usize)
        .ok_or(ErrorValue::NotAvailable)
}

/// The last row not beyond a value, in a column sorted upward (`upward`) or downward. Blanks at the end are
/// left out.
fn sorted(held: &Held<'_>, wanted: &Cell<'_>, upward: bool) -> Result<usize, ErrorValue> {
    let beyond = |row: usize| {
        let cell = held.cells.at(row);
        match (&cell, cell.compare(wanted)) {
            (Cell::Empty, _) | (_, Err(_)) => true,
            (_, Ok(order)) => {
                order
                    == if upward {
                        Ordering::Greater
                    } else {
                        Ordering::Less
                    }
            }
        }
    };
    let (mut low, mut high) = (0, held.n);
    while low < high {
        let middle = low + (high - low) / 2;
        if beyond(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    let row = low.checked_sub(1).ok_or(ErrorValue::NotAvailable)?;
    let same_kind = matches!(held.cells.at(row), Cell::Text(_)) == matches!(wanted, Cell::Text(_));
    same_kind.then_some(row).ok_or(ErrorValue::NotAvailable)
}

fn place<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    let how = number_or(row, 1, 1.0)?;
    let found = if how == 0.0 {
        exact(&columns[0], &row[0])?
    } else {
        sorted(&columns[0], &row[0], how > 0.0)?
    };
    finite((found + 1) as f64)
}

fn index<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    let held = &columns[0];
    let n_rows = held.n / held.n_columns.max(1);
    let (mut down, mut across) = (
        number_or(row, 0, 1.0)?.trunc(),
        number_or(row, 1, 1.0)?.trunc(),
    );
    // In a single row the place counts across.
    if n_rows == 1 && held.n_columns > 1 && row.len() < 2 {
        (down, across) = (1.0, down);
    }
    if !(1.0..=n_rows as f64).contains(&down) || !(1.0..=held.n_columns as f64).contains(&across) {
        return Err(ErrorValue::Reference);
    }
    let cell = held
        .cells
        .at((down as usize - 1) * held.n_columns + across as usize - 1);
    cell.error().map_or(Ok(cell), Err)
}

fn lookup<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    let found = sorted(&columns[0], &row[0], true)?;
    let results = columns.get(1).unwrap_or(&columns[0]);
    if found >= results.n {
        return Err(ErrorValue::Reference);
    }
    Ok(results.cells.at(found))
}

fn vlookup<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    let held = &columns[0];
    let across = row[1].number()?.trunc();
    if across < 1.0 {
        return Err(ErrorValue::Value);
    }
    if across > held.n_columns as f64 {
        return Err(ErrorValue::Reference);
    }
    let in_order = row.get(2).map_or(Ok(true), Cell::logical)?;
    let first_column = (held.n_columns > 1).then(|| {
        let n = held.n / held.n_columns;
        let cells = (0..n)
            .map(|at| held.cells.at(at * held.n_columns))
            .collect();
        Held::new(Rc::new(super::super::vector::Vector::Cells(cells)), n)
    });
    let first_column = first_column.as_ref().unwrap_or(held);
    let found = if in_order {
        sorted(first_column, &row[0], true)?
    } else {
        exact(first_column, &row[0])?
    };
    Ok(held.cells.at(found * held.n_columns + across as usize - 1))
}
