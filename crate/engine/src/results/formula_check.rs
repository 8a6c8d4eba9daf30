//! What formulas of a book may name, and what is wrong or doubtful in one before it is given.
//!
//! Enters: a book, its results, the text of a formula. Leaves: names with what they hold, and troubles with places.
//! Always true: blanks are counted in every column that holds numbers, the engine's and calculated ones too.
//! Never: gives a value; [`calculate`](super::calculated::calculate) does.

use super::Results;
use super::Shown;
use super::calculated::circle_with;
use super::made::Made;
use crate::formula::check::check;
use crate::formula::names::{ColumnAbout, Holds, Names};
use crate::formula::parse::parse;
use crate::formula::tree::{Form, Node};
use crate::formula::trouble::{Span, Trouble};
use crate::formula::values::Kept;
use crate::sheet::column::{Cells, Column, Kind, Value};
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// What there is to name in the formulas of a book.
pub struct BookNames<'b> {
    book: &'b Workbook,
    /// For the count of blanks in columns that follow from others.
    results: Option<&'b Results>,
    /// Calculated columns whose kind is known.
    pub(super) calculated: Vec<(SheetKind, String, Holds)>,
}

impl<'b> BookNames<'b> {
    pub(super) fn of(
        book: &'b Workbook,
        calculated: Vec<(SheetKind, String, Holds)>,
    ) -> BookNames<'b> {
        BookNames {
            book,
            results: None,
            calculated,
        }
    }

    /// Of a book with its results.
    pub fn with_results(book: &'b Workbook, results: &'b Results) -> BookNames<'b> {
        let calculated = results
            .calculated
            .columns()
            .iter()
            .map(|column| (column.sheet, column.key.clone(), column.gives))
            .collect();
        BookNames {
            results: Some(results),
            ..BookNames::of(book, calculated)
        }
    }

    /// Rows of a column, the engine's or a calculated one, that hold nothing.
    fn n_blank_of_results(&self, sheet: SheetKind, key: &str) -> usize {
        let Some(results) = self.results else {
            return 0;
        };
        let n_rows = self.book.sheet(sheet).n_rows();
        if let Some(calculated) = results.calculated.column(sheet, key) {
            return (0..n_rows)
                .filter(|&row| matches!(calculated.values.value(row), Kept::Blank))
                .count();
        }
        Made::from_key(sheet, key).map_or(0, |made| {
            (0..n_rows)
                .filter(|&row| made.value(self.book, results, row) == Value::Missing)
                .count()
        })
    }

    fn about(&self, sheet: SheetKind, column: &Column) -> ColumnAbout {
        let holds = match column.kind {
            _ if column.formula.is_some() => self
                .calculated
                .iter()
                .find(|(of, key, _)| *of == sheet && *key == column.key)
                .map_or(Holds::default(), |(_, _, gives)| *gives),
            Kind::Weight | Kind::Number(_) => Holds::NUMBERS,
            Kind::Date => Holds::DATES,
            Kind::Text | Kind::List | Kind::Code(_) => Holds::TEXTS,
        };
        ColumnAbout {
            key: column.key.clone(),
            label: column.label.clone(),
            help: sheet.column(&column.key).map_or_else(
                || "A column of your own.".to_owned(),
                |known| known.help.to_owned(),
            ),
            holds,
            words: matches!(column.kind, Kind::Code(_)),
            n_blank: match &column.cells {
                Cells::Number(cells) => cells.iter().filter(|number| number.is_nan()).count(),
                Cells::Day(cells) => cells.iter().filter(|day| day.is_missing()).count(),
                Cells::Text(_) | Cells::Code(_) => 0,
            }
            .saturating_sub(column.unreadable.len()),
        }
    }
}

impl Names for BookNames<'_> {
    fn sheets(&self) -> Vec<String> {
        SheetKind::ALL
            .into_iter()
            .map(|sheet| sheet.key().to_owned())
            .collect()
    }

    fn columns(&self, sheet: &str) -> Vec<ColumnAbout> {
        let Some(sheet) = SheetKind::from_key(sheet) else {
            return Vec::new();
        };
        let entered = self
            .book
            .sheet(sheet)
            .columns()
            .iter()
            .map(|column| self.about(sheet, column));
        entered
            .chain(Made::all(sheet).into_iter().map(about_made))
            .collect()
    }

    fn column(&self, sheet: &str, key: &str) -> Option<ColumnAbout> {
        let sheet = SheetKind::from_key(sheet)?;
        match self.book.sheet(sheet).column(key) {
            Some(column) => {
                let about = self.about(sheet, column);
                Some(if column.formula.is_some() {
                    ColumnAbout {
                        n_blank: self.n_blank_of_results(sheet, key),
                        ..about
                    }
                } else {
                    about
                })
            }
            None => Made::from_key(sheet, key).map(|made| ColumnAbout {
                n_blank: self.n_blank_of_results(sheet, key),
                ..about_made(made)
            }),
        }
    }
}

fn about_made(made: Made) -> ColumnAbout {
    let about = made.about();
    ColumnAbout {
        key: about.key.to_owned(),
        label: about.label.to_owned(),
        help: about.help.to_owned(),
        holds: match about.shown {
            Shown::Text => Holds::TEXTS,
            Shown::Date => Holds::DATES,
            _ => Holds::NUMBERS,
        },
        ..ColumnAbout::default()
    }
}

/// A column written as people read it, `Weaning weight`, where a formula has its key.
fn written_as_label(names: &BookNames<'_>, sheet: SheetKind, text: &str) -> Option<Trouble> {
    // Letter by letter, so that a place in the small letters is a place in the text.
    let small = text.to_ascii_lowercase();
    let found = names
        .columns(sheet.key())
        .into_iter()
        .filter(|about| about.label.contains(' '))
        .filter_map(|about| {
            let start = small.find(&about.label.to_ascii_lowercase())?;
            Some((start, about))
        })
        .max_by_key(|(start, about)| (about.label.len(), std::cmp::Reverse(*start)))?;
    let (start, about) = found;
    Some(Trouble::error(
        "formula.label",
        Span::new(start, start + about.label.len()),
        format!("In a formula {} is written {}.", about.label, about.key),
        "Write columns by their keys; the list under the formula shows them.",
    ))
}

/// Where a formula asks for the present day.
fn asks_for_today(formula: &Node) -> Option<Span> {
    let mut ahead = vec![formula];
    while let Some(node) = ahead.pop() {
        if matches!(&node.form, Form::Call { function, .. } if matches!(function.as_str(), "TODAY" | "NOW"))
        {
            return Some(node.span);
        }
        ahead.extend(node.parts());
    }
    None
}

/// What is wrong or doubtful in a formula for a column of a book; `key` is empty for a column to come.
pub fn troubles(
    book: &Workbook,
    results: &Results,
    sheet: SheetKind,
    key: &str,
    text: &str,
) -> (Vec<Trouble>, Holds) {
    let names = BookNames::with_results(book, results);
    let tree = match parse(text) {
        Ok(tree) => tree,
        Err(trouble) => {
            return (
                vec![written_as_label(&names, sheet, text).unwrap_or(trouble)],
                Holds::default(),
            );
        }
    };
    let mut checked = check(sheet.key(), &tree, &names);
    if book.settings.as_of.is_missing()
        && let Some(span) = asks_for_today(&tree)
    {
        checked.troubles.push(Trouble::remark(
            "formula.today",
            span,
            "This book has no day of its own yet, so today is not known and the rows give #N/A.",
            "Set the day under Settings, As of.",
        ));
    }
    if let Some(circle) = circle_with(book, sheet, key, &tree) {
        checked.troubles.push(Trouble::error(
            "formula.cycle",
            tree.span,
            format!(
                "The formula would need its own result: {}.",
                circle.join(" needs ")
            ),
            "Take one of these columns out of the formula of the one before it.",
        ));
    }
    (checked.troubles, checked.gives)
}
