//! The columns that people calculate.
//!
//! Enters: a book with formulas, and what follows from its records. Leaves: the values of every calculated
//! column.
//! Always true: each column is computed after all that it uses, the engine's own results among them; a column
//! in a circle, or one that uses such a column, is `#REF!` in every row; one that cannot be read is `#NAME?`.
//! Never: refuses; whether a formula makes sense is asked when it is given.

use std::borrow::Cow;
use std::rc::Rc;

use super::formula_check::BookNames;
use super::made::Made;
use super::{ResultColumn, Results, Shown};
use crate::formula::cell::{Cell, Str};
use crate::formula::check::check;
use crate::formula::error_value::ErrorValue;
use crate::formula::evaluate::{Columns, Evaluation};
use crate::formula::names::{Holds, Numbers};
use crate::formula::order::{Needing, order};
use crate::formula::parse::parse;
use crate::formula::tree::Node;
use crate::formula::values::{Kept, Values, written_out};
use crate::formula::vector::{Collector, Vector};
use crate::group::NO_GROUP;
use crate::sheet::column::Column;
use crate::sheet::interned::NO_TEXT;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// A calculated column with its values.
#[derive(Clone, Debug)]
pub struct CalculatedColumn {
    /// Its sheet.
    pub sheet: SheetKind,
    /// Its key.
    pub key: String,
    /// One value per row.
    pub values: Values,
    /// What its formula gives.
    pub gives: Holds,
    /// Labels of the columns of its circle, from itself to itself; empty outside of one.
    pub circle: Vec<String>,
}

impl CalculatedColumn {
    /// Its numbers are dates.
    pub fn is_dates(&self) -> bool {
        self.gives.numbers == Some(Numbers::Dates)
    }

    /// The error of a row, if it is one.
    pub fn error(&self, row: usize) -> Option<ErrorValue> {
        match self.values.value(row) {
            Kept::Error(error) => Some(error),
            _ => None,
        }
    }
}

/// All calculated columns, in the order of sheets and columns.
#[derive(Clone, Debug, Default)]
pub struct Calculated {
    columns: Vec<CalculatedColumn>,
}

impl Calculated {
    /// All of them.
    pub fn columns(&self) -> &[CalculatedColumn] {
        &self.columns
    }

    /// The column of a sheet with a key.
    pub fn column(&self, sheet: SheetKind, key: &str) -> Option<&CalculatedColumn> {
        self.columns
            .iter()
            .find(|column| column.sheet == sheet && column.key == key)
    }
}

/// The serial number of the book's day.
pub fn today_of(book: &Workbook) -> Option<f64> {
    let day = book.settings.as_of;
    match Vector::of_value(crate::sheet::column::Value::Day(day)) {
        Cell::Number(serial) if !day.is_missing() => Some(serial),
        _ => None,
    }
}

/// A formula that can be read.
struct Read<'b> {
    sheet: SheetKind,
    column: &'b Column,
    tree: Node,
}

/// The calculated columns of a book that can be read, those that cannot, in the order of the book.
fn formulas(book: &Workbook) -> (Vec<Read<'_>>, Vec<(SheetKind, &Column)>) {
    let (mut read, mut unread) = (Vec::new(), Vec::new());
    for sheet in SheetKind::ALL {
        for column in book.sheet(sheet).columns() {
            let Some(formula) = &column.formula else {
                continue;
            };
            match parse(formula) {
                Ok(tree) => read.push(Read {
                    sheet,
                    column,
                    tree,
                }),
                Err(_) => unread.push((sheet, column)),
            }
        }
    }
    (read, unread)
}

fn needing<'r>(read: &'r [Read<'_>]) -> Vec<Needing<'r>> {
    read.iter()
        .map(|read| Needing {
            sheet: read.sheet.key(),
            key: &read.column.key,
            formula: &read.tree,
        })
        .collect()
}

/// Computes every calculated column.
pub fn calculate(book: &Workbook, results: &Results) -> Calculated {
    let (read, unread) = formulas(book);
    if read.is_empty() && unread.is_empty() {
        return Calculated::default();
    }
    let source = BookColumns { book, results };
    let mut evaluation = Evaluation::new(&source, today_of(book));
    let mut names = BookNames::of(book, Vec::new());
    let mut made = Vec::new();
    let mut fail = |evaluation: &mut Evaluation<'_, '_>,
                    sheet: SheetKind,
                    column: &Column,
                    error: ErrorValue,
                    circle: Vec<String>| {
        let n_rows = book.sheet(sheet).n_rows();
        let failed = written_out(Vector::One(Cell::Error(error)), n_rows);
        made.push(CalculatedColumn {
            sheet,
            key: column.key.clone(),
            values: Values::of(&failed, n_rows),
            gives: Holds::default(),
            circle,
        });
        evaluation.put(sheet.key(), &column.key, Rc::new(failed));
    };
    for (sheet, column) in unread {
        fail(&mut evaluation, sheet, column, ErrorValue::Name, Vec::new());
    }
    let order = order(&needing(&read));
    for &at in &order.without_value {
        let circle = order
            .circles
            .iter()
            .find(|circle| circle.contains(&at))
            .map_or_else(Vec::new, |circle| circle_words(&read, circle, at));
        let column = read[at].column;
        fail(
            &mut evaluation,
            read[at].sheet,
            column,
            ErrorValue::Reference,
            circle,
        );
    }
    for at in order.order {
        let Read {
            sheet,
            column,
            tree,
        } = &read[at];
        let n_rows = book.sheet(*sheet).n_rows();
        let gives = check(sheet.key(), tree, &names).gives;
        names.calculated.push((*sheet, column.key.clone(), gives));
        let vector = evaluation.evaluate(sheet.key(), tree);
        made.push(CalculatedColumn {
            sheet: *sheet,
            key: column.key.clone(),
            values: Values::of(&vector, n_rows),
            gives,
            circle: Vec::new(),
        });
        let vector = match &*vector {
            Vector::One(_) => Rc::new(written_out(Vector::clone(&vector), n_rows)),
            _ => vector,
        };
        evaluation.put(sheet.key(), &column.key, vector);
    }
    let place = |column: &CalculatedColumn| {
        (
            column.sheet,
            book.sheet(column.sheet).column_position(&column.key),
        )
    };
    fairpen_stats::in_order::order_by(&mut made, |one, other| place(one).cmp(&place(other)));
    Calculated { columns: made }
}

/// The labels of a circle from one of its columns around to it again.
fn circle_words(read: &[Read<'_>], circle: &[usize], from: usize) -> Vec<String> {
    let begin = circle.iter().position(|&at| at == from).unwrap_or(0);
    circle
        .iter()
        .cycle()
        .skip(begin)
        .take(circle.len() + 1)
        .map(|&at| read[at].column.label.clone())
        .collect()
}

/// The other calculated columns whose formulas use a column, by sheet and label, in the order of the book.
pub fn users(book: &Workbook, sheet: SheetKind, key: &str) -> Vec<(SheetKind, String)> {
    let (read, _) = formulas(book);
    read.iter()
        .filter(|read| !(read.sheet == sheet && read.column.key == key))
        .filter(|read| {
            read.tree.columns().into_iter().any(|(name, _)| {
                name.key == key && name.sheet.as_deref().unwrap_or(read.sheet.key()) == sheet.key()
            })
        })
        .map(|read| (read.sheet, read.column.label.clone()))
        .collect()
}

/// The labels of the circle that a formula would close if a column had it; `None` when it closes none.
pub fn circle_with(
    book: &Workbook,
    sheet: SheetKind,
    key: &str,
    formula: &Node,
) -> Option<Vec<String>> {
    let (mut read, _) = formulas(book);
    read.retain(|read| !(read.sheet == sheet && read.column.key == key));
    let column = book.sheet(sheet).column(key)?;
    read.push(Read {
        sheet,
        column,
        tree: formula.clone(),
    });
    let last = read.len() - 1;
    let order = order(&needing(&read));
    order
        .circles
        .iter()
        .find(|circle| circle.contains(&last))
        .map(|circle| circle_words(&read, circle, last))
}

/// What a formula gives when it is tried, in the rows that are asked for.
pub fn preview(
    book: &Workbook,
    results: &Results,
    sheet: SheetKind,
    formula: &Node,
    rows: &[u32],
) -> Vec<Kept> {
    let source = BookColumns { book, results };
    let mut evaluation = Evaluation::new(&source, today_of(book));
    let vector = evaluation.evaluate(sheet.key(), formula);
    let n_rows = book.sheet(sheet).n_rows();
    let values = Values::of(&written_out(Vector::clone(&vector), n_rows), n_rows);
    rows.iter().map(|&row| values.value(row as usize)).collect()
}

/// The columns of a book as formulas see them.
struct BookColumns<'a> {
    book: &'a Workbook,
    results: &'a Results,
}

impl<'a> Columns<'a> for BookColumns<'a> {
    fn n_rows(&self, sheet: &str) -> Option<usize> {
        Some(self.book.sheet(SheetKind::from_key(sheet)?).n_rows())
    }

    fn column(&self, sheet: &str, key: &str) -> Option<Vector<'a>> {
        let sheet = SheetKind::from_key(sheet)?;
        if let Some(column) = self.book.sheet(sheet).column(key) {
            return Some(match self.results.calculated.column(sheet, key) {
                Some(calculated) => of_values(&calculated.values),
                None => Vector::of_column(column),
            });
        }
        Some(of_made(
            self.book,
            self.results,
            sheet,
            Made::from_key(sheet, key)?,
        ))
    }
}

/// A column calculated before, for a formula that is tried.
fn of_values(values: &Values) -> Vector<'_> {
    match values {
        Values::Numbers(numbers) => Vector::Numbers(Cow::Borrowed(numbers)),
        Values::Logicals(logicals) => Vector::Logicals(logicals.clone()),
        Values::Texts { codes, texts } => Vector::Texts {
            codes: Cow::Borrowed(codes),
            texts: texts.iter().map(|text| Str::Borrowed(text)).collect(),
        },
        Values::Mixed(values) => Vector::Cells(
            values
                .iter()
                .map(|value| match value {
                    Kept::Blank => Cell::Empty,
                    Kept::Number(number) => Cell::Number(*number),
                    Kept::Logical(logical) => Cell::Logical(*logical),
                    Kept::Text(text) => Cell::Text(Str::Borrowed(text)),
                    Kept::Error(error) => Cell::Error(*error),
                })
                .collect(),
        ),
    }
}

fn of_made<'a>(
    book: &'a Workbook,
    results: &'a Results,
    sheet: SheetKind,
    made: Made,
) -> Vector<'a> {
    let n_rows = book.sheet(sheet).n_rows();
    match made {
        Made::Calf(ResultColumn::ContemporaryGroup) => Vector::Texts {
            codes: results
                .groups
                .group_of
                .iter()
                .map(|&group| if group == NO_GROUP { NO_TEXT } else { group })
                .collect(),
            texts: results
                .groups
                .groups
                .iter()
                .map(|group| Str::Borrowed(&group.name))
                .collect(),
        },
        Made::Calf(column) if column.about().2 != Shown::Text => Vector::Numbers(Cow::Owned(
            (0..n_rows)
                .map(|row| column.number(book, results, row))
                .collect(),
        )),
        made => {
            let mut collector = Collector::new(n_rows);
            for row in 0..n_rows {
                collector.push(Vector::of_value(made.value(book, results, row)));
            }
            collector.finish()
        }
    }
}
