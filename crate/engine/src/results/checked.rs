//! What a pregnancy check says in days: how long she was bred, and when she calves.
//!
//! Enters: a row of the checks. Leaves: days and dates, from the earliest to the latest that the stage allows.
//! Always true: a stage whose words or unit are not known gives nothing; only a cow that is said to be bred, or of
//! whom nothing else is said, has days.
//! Never: keeps a figure; it follows from the row whenever it is asked for.

use crate::sheet::codes::NO_CODE;
use crate::sheet::column::{Column, Value};
use crate::sheet::day::Day;
use crate::sheet::read::stage::{DaysBred, GESTATION_DAYS, StageUnit, days_bred, due_day};
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// Position of `bred` in the list of results.
const BRED: u8 = 0;

/// A figure of a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CheckColumn {
    /// Fewest days bred on the day of the check.
    DaysBredFrom,
    /// Most days bred on the day of the check.
    DaysBredTo,
    /// First day on which she is due.
    DueFrom,
    /// Last day on which she is due.
    DueTo,
}

impl CheckColumn {
    /// All of them, in the order in which they are shown.
    pub const ALL: [CheckColumn; 4] = [
        CheckColumn::DaysBredFrom,
        CheckColumn::DaysBredTo,
        CheckColumn::DueFrom,
        CheckColumn::DueTo,
    ];

    /// Stable key, label, and what it is in a sentence.
    pub const fn about(self) -> (&'static str, &'static str, &'static str) {
        match self {
            CheckColumn::DaysBredFrom => (
                "days_bred_from",
                "Days bred, least",
                "Fewest days she was bred on the day of the check, by the stage.",
            ),
            CheckColumn::DaysBredTo => (
                "days_bred_to",
                "Days bred, most",
                "Most days she was bred on the day of the check, by the stage.",
            ),
            CheckColumn::DueFrom => (
                "due_from",
                "Due from",
                "First day she is due, 283 days after breeding, by the stage. Calvings spread around it.",
            ),
            CheckColumn::DueTo => (
                "due_to",
                "Due to",
                "Last day she is due, 283 days after breeding, by the stage. Calvings spread around it.",
            ),
        }
    }

    /// Stable key.
    pub const fn key(self) -> &'static str {
        self.about().0
    }

    /// True for the two dates.
    pub const fn is_date(self) -> bool {
        matches!(self, CheckColumn::DueFrom | CheckColumn::DueTo)
    }

    /// The column with this key.
    pub fn from_key(key: &str) -> Option<CheckColumn> {
        CheckColumn::ALL
            .into_iter()
            .find(|column| column.key() == key)
    }

    /// Its value in a row of the checks.
    pub fn value(self, book: &Workbook, row: usize) -> Value {
        // A day that was said needs no day of the check.
        if self.is_date()
            && let Some(day) = stage_of(book, row).and_then(due_day)
        {
            return Value::Day(day);
        }
        let Some(bred) = bred_of(book, row) else {
            return Value::Missing;
        };
        let due = |days: i32| match checked_on(book, row) {
            Day::MISSING => Value::Missing,
            day => Value::Day(day.plus(GESTATION_DAYS - days)),
        };
        match self {
            CheckColumn::DaysBredFrom => Value::Number(f64::from(bred.from)),
            CheckColumn::DaysBredTo => Value::Number(f64::from(bred.to)),
            CheckColumn::DueFrom => due(bred.to),
            CheckColumn::DueTo => due(bred.from),
        }
    }
}

/// The day of a check.
pub fn checked_on(book: &Workbook, row: usize) -> Day {
    book.sheet(SheetKind::Checks)
        .column("date")
        .and_then(Column::days)
        .and_then(|days| days.get(row).copied())
        .unwrap_or(Day::MISSING)
}

/// The days bred that a check says.
pub fn bred_of(book: &Workbook, row: usize) -> Option<DaysBred> {
    let unit = code(book.sheet(SheetKind::Checks), "stage_unit", row);
    days_bred(
        stage_of(book, row)?,
        StageUnit::at(unit),
        checked_on(book, row),
    )
}

fn code(table: &Table, key: &str, row: usize) -> u8 {
    table
        .column(key)
        .and_then(Column::codes)
        .and_then(|codes| codes.get(row).copied())
        .unwrap_or(NO_CODE)
}

/// The stage of a cow that is said to be bred, or of whom nothing else is said.
fn stage_of(book: &Workbook, row: usize) -> Option<&str> {
    let table = book.sheet(SheetKind::Checks);
    let result = table.column("result")?;
    let unread = u32::try_from(row).is_ok_and(|row| result.unreadable.contains_key(&row));
    if unread || !matches!(code(table, "result", row), BRED | NO_CODE) {
        return None;
    }
    table.column("stage")?.texts()?.get(row)
}
