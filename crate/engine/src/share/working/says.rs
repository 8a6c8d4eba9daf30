//! Cells and figures in words, with their units.
//!
//! Enters: a row. Leaves: texts and inputs.
//! Always true: a weight has one decimal where it needs one, a gain two; missing is `not recorded`.
//! Never: shows a number without its unit.

use super::WorkingInput;
use crate::adjust::columns::CalfColumns;
use crate::adjust::marks::Marks;
use crate::group::{Group, NO_GROUP};
use crate::results::Results;
use crate::sheet::column::{Column, Kind, Value};
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;
use crate::sheet::write::{spoken, with_minus};

/// What is not there.
pub const NOT_RECORDED: &str = "not recorded";

/// Puts one calf's cells and figures into words.
pub struct Says<'a> {
    /// The book.
    pub book: &'a Workbook,
    /// Its results.
    pub results: &'a Results,
    /// The calves.
    pub calves: CalfColumns<'a>,
    /// The row.
    pub row: usize,
}

impl<'a> Says<'a> {
    /// For one calf.
    pub fn of(book: &'a Workbook, results: &'a Results, row: usize) -> Says<'a> {
        Says {
            book,
            results,
            calves: CalfColumns::of(book),
            row,
        }
    }

    /// The calf's tag, or where it stands.
    pub fn calf(&self) -> String {
        match self.calves.tag.get(self.row) {
            Some(tag) => tag.to_owned(),
            None => format!("the calf in row {}", self.row + 1),
        }
    }

    /// The marks of the calf.
    pub fn marks(&self) -> Marks {
        self.results.adjusted.marks[self.row]
    }

    /// Its group.
    pub fn group(&self) -> Option<&'a Group> {
        let groups = &self.results.groups;
        groups
            .group_of
            .get(self.row)
            .filter(|group| **group != NO_GROUP)
            .and_then(|group| groups.groups.get(*group as usize))
    }

    /// A weight in lb, in the book's unit without its symbol: `551.9`, `512`; a blank for missing.
    pub fn bare(&self, pounds: f64) -> String {
        decimals(self.book.settings.weight_unit.from_pounds(pounds), 1)
    }

    /// A weight in lb, in the book's unit: `551.9 lb`.
    pub fn weight(&self, pounds: f64) -> String {
        if pounds.is_nan() {
            return NOT_RECORDED.to_owned();
        }
        format!("{} {}", self.bare(pounds), self.unit())
    }

    /// A gain in lb per day, in the book's unit: `2.31 lb a day`.
    pub fn per_day(&self, pounds: f64) -> String {
        let number = self.book.settings.weight_unit.from_pounds(pounds);
        format!("{} {} a day", spoken(number, 2), self.unit())
    }

    /// `lb` or `kg`.
    pub fn unit(&self) -> &'static str {
        self.book.settings.weight_unit.symbol()
    }

    /// A cell of the calf.
    pub fn cell(&self, key: &'static str) -> WorkingInput {
        self.cell_of(SheetKind::Calves, self.row, key)
    }

    /// A cell of any sheet.
    pub fn cell_of(&self, sheet: SheetKind, row: usize, key: &'static str) -> WorkingInput {
        let column = self.book.sheet(sheet).known(key);
        WorkingInput {
            words: if sheet == SheetKind::Calves {
                column.label.clone()
            } else {
                format!("{} ({})", column.label, sheet.label().to_lowercase())
            },
            value: self.cell_text(column, row),
            cell: u32::try_from(row)
                .ok()
                .map(|row| (sheet.key().to_owned(), row, key.to_owned())),
        }
    }

    fn cell_text(&self, column: &Column, row: usize) -> String {
        match column.value(row) {
            Value::Missing => NOT_RECORDED.to_owned(),
            Value::Text(text) => text,
            Value::Day(day) => day.iso(),
            Value::Unreadable(text) => format!("\"{text}\" (not understood)"),
            Value::Number(number) => match column.kind {
                Kind::Weight => format!("{} {}", decimals(number, 1), self.unit()),
                Kind::Number("years") => format!("{} years", decimals(number, 2)),
                _ => decimals(number, 2),
            },
        }
    }

    /// An input that is no cell.
    pub fn input(words: &str, value: String) -> WorkingInput {
        WorkingInput {
            words: words.to_owned(),
            value,
            cell: None,
        }
    }
}

/// A number with at most so many decimals, none where it is whole to that.
pub fn decimals(number: f64, most: usize) -> String {
    if number.is_nan() {
        return NOT_RECORDED.to_owned();
    }
    let text = format!("{number:.most$}");
    if text.contains('.') {
        let short = text.trim_end_matches('0').trim_end_matches('.');
        with_minus(if short == "-0" { "0" } else { short }.to_owned())
    } else {
        with_minus(text)
    }
}

/// A count of days: `1 day`, `205 days`.
pub fn days(count: i32) -> String {
    if count == 1 {
        "1 day".to_owned()
    } else {
        format!("{count} days")
    }
}
