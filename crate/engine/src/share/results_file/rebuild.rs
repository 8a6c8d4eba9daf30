//! A book again, from what a results file holds.
//!
//! Enters: a payload. Leaves: a book with one calf per row of the file, and its results.
//! Always true: only cells of the file stand in the book, with one stated exception: where the dates of a dam
//! or of the cow that raised a calf stay home, her age in the file stands for them, as the birth date it
//! implies.
//! Never: trusts a figure of the file that it can compute.

use super::basis::Basis;
use super::payload::{Cell, ColumnRecord, Payload};
use super::settings;
use super::shown::CALCULATED;
use crate::results::Results;
use crate::sheet::codes::{NO_CODE, PLACE_KIND};
use crate::sheet::column::{Cells, Column, Kind, Origin};
use crate::sheet::day::Day;
use crate::sheet::interned::Interned;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// The book a file makes, and what the engine says of it.
pub struct Rebuilt {
    /// One calf per row of the file.
    pub book: Workbook,
    /// Computed from that book.
    pub results: Results,
    /// Rows whose dam's age is taken from the file as stated.
    pub stated_dam_age: Vec<bool>,
}

/// Builds the book and computes it.
pub fn rebuild(payload: &Payload) -> Rebuilt {
    let mut book = entered(payload);
    let stated_dam_age = state_dam_ages(&mut book, payload);
    state_raising_ages(&mut book, payload);
    let results = Results::of_records(&book);
    Rebuilt {
        book,
        results,
        stated_dam_age,
    }
}

/// The book of the entered cells alone.
pub fn entered(payload: &Payload) -> Workbook {
    let mut book = Workbook::new();
    book.settings = settings::read(&payload.settings, &payload.weight_unit);
    let calves = book.sheet_mut(SheetKind::Calves);
    calves.resize(payload.n_calves as usize);
    for record in payload
        .columns
        .iter()
        .filter(|column| column.origin != "engine" && column.origin != CALCULATED)
    {
        if let Some(column) = calves.column_mut(&record.key) {
            fill(column, record);
        } else if record.origin == "own" {
            let mut column = Column::new(
                &record.key,
                &record.label,
                own_kind(&record.kind),
                Origin::Own,
            );
            fill(&mut column, record);
            calves.add_column(column);
        }
    }
    if !payload.place_kinds.is_empty() {
        let places = book.sheet_mut(SheetKind::Places);
        places.resize(payload.place_kinds.len());
        let mut names = Interned::new();
        let mut kinds = Vec::new();
        for (name, kind) in &payload.place_kinds {
            names.push(name);
            kinds.push(PLACE_KIND.position(kind).unwrap_or(NO_CODE));
        }
        for (key, cells) in [("name", Cells::Text(names)), ("kind", Cells::Code(kinds))] {
            if let Some(column) = places.column_mut(key) {
                column.cells = cells;
            }
        }
    }
    book
}

/// Where the file states a dam's age that its entered cells do not give, puts the birth date that follows
/// from it into the calf's row; where only her class is stated, the youngest age of the class.
fn state_dam_ages(book: &mut Workbook, payload: &Payload) -> Vec<bool> {
    let n_calves = payload.n_calves as usize;
    let mut stated = vec![false; n_calves];
    let births: Vec<Day> = book
        .calves()
        .known("birth_date")
        .days()
        .unwrap_or(&[])
        .to_vec();
    let classes = book.settings.factors.classes.clone();
    let mut dam_births = Vec::with_capacity(n_calves);
    for (row, born) in births.iter().enumerate() {
        let days = match (
            payload.column("dam_age_days"),
            payload.column("dam_age_class"),
        ) {
            (Some(column), _) if is_stated(column, row) => Some(column.number(row)),
            (None, Some(column)) if is_stated(column, row) => classes
                .iter()
                .find(|class| class.name == column.shown(row))
                .map(|class| f64::from(class.from_days)),
            _ => None,
        };
        let born_to = days
            .filter(|days| days.is_finite() && days.abs() < 100_000.0)
            .map_or(Day::MISSING, |days| born.plus(-(days as i32)));
        stated[row] = !born_to.is_missing();
        dam_births.push(born_to);
    }
    if let Some(column) = book
        .sheet_mut(SheetKind::Calves)
        .column_mut("dam_birth_date")
        && let Cells::Day(days) = &mut column.cells
    {
        for (row, born) in dam_births
            .into_iter()
            .enumerate()
            .filter(|(row, _)| stated[*row])
        {
            days[row] = born;
        }
    }
    stated
}

/// Puts a cow into the book for each calf that another cow raised and whose age is in the file. She gets a
/// tag that no calf can name, so that she stands for nobody else.
fn state_raising_ages(book: &mut Workbook, payload: &Payload) {
    let births: Vec<Day> = book
        .calves()
        .known("birth_date")
        .days()
        .unwrap_or(&[])
        .to_vec();
    let mut tags = Interned::new();
    let mut born = Vec::new();
    for (row, days) in &payload.raising_ages {
        let Some(birth) = births
            .get(*row as usize)
            .filter(|birth| !birth.is_missing())
        else {
            continue;
        };
        let tag = format!("\u{1}raised {row}");
        tags.push(&tag);
        born.push(birth.plus(days.saturating_neg().clamp(-100_000, 100_000)));
        if let Some(Cells::Text(cells)) = book
            .sheet_mut(SheetKind::Calves)
            .column_mut("raised_dam")
            .map(|column| &mut column.cells)
        {
            cells.set(*row as usize, &tag);
        }
    }
    let cows = book.sheet_mut(SheetKind::Cows);
    cows.resize(born.len());
    for (key, cells) in [("tag", Cells::Text(tags)), ("birth_date", Cells::Day(born))] {
        if let Some(column) = cows.column_mut(key) {
            column.cells = cells;
        }
    }
}

fn is_stated(column: &ColumnRecord, row: usize) -> bool {
    Basis::of(column.basis.as_deref(), row) == Some(Basis::Stated)
}

fn own_kind(kind: &str) -> Kind {
    match kind {
        "number" => Kind::Number(""),
        "weight" => Kind::Weight,
        "date" => Kind::Date,
        "list" => Kind::List,
        _ => Kind::Text,
    }
}

fn fill(column: &mut Column, record: &ColumnRecord) {
    let mut unreadable = std::collections::BTreeMap::new();
    for (row, cell) in (0_u32..).zip(&record.cells) {
        if let Cell::Unreadable { unreadable: text } = cell {
            unreadable.insert(row, text.clone());
        }
    }
    column.unreadable = unreadable;
    let text = |cell: &Cell| match cell {
        Cell::Text(text) => text.clone(),
        _ => String::new(),
    };
    let cells = record.cells.iter();
    column.cells = match column.kind {
        Kind::Text | Kind::List => {
            let mut texts = Interned::new();
            for cell in cells {
                texts.push(&text(cell));
            }
            Cells::Text(texts)
        }
        Kind::Weight | Kind::Number(_) => Cells::Number(
            cells
                .map(|cell| match cell {
                    Cell::Number(number) => *number,
                    _ => f64::NAN,
                })
                .collect(),
        ),
        Kind::Date => Cells::Day(cells.map(|cell| iso_day(&text(cell))).collect()),
        Kind::Code(codes) => Cells::Code(
            cells
                .map(|cell| codes.position(&text(cell)).unwrap_or(NO_CODE))
                .collect(),
        ),
    };
}

/// A date as a results file writes it, `2026-03-14`; missing when it is not one.
pub fn iso_day(text: &str) -> Day {
    let mut parts = text.splitn(3, '-');
    let mut part = || parts.next()?.parse::<u32>().ok();
    let day = (|| {
        let (year, month, day) = (part()?, part()?, part()?);
        Day::from_ymd(i32::try_from(year).ok()?, month, day)
    })();
    day.unwrap_or(Day::MISSING)
}
