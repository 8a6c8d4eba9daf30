//! Findings in words.
//!
//! Enters: a finding, the book it was found in. Leaves: a note: where, what was read, what is wrong, how to
//! mend it.
//! Always true: weights are said in the book's unit, dates as year-month-day.
//! Never: looks for anything itself.

use super::code::Code;
use super::{Finding, WHOLE_COLUMN};
use crate::note::{Note, Place};
use crate::results::Results;
use crate::sheet::column::{Column, Value};
use crate::sheet::read::explain_unreadable;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::Settings;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;
use crate::trade::plausible::Range;

/// A cell of a row as it stands, or `blank`, also where there is no such column.
fn text_or_blank(table: &Table, row: u32, key: &str) -> String {
    table
        .column(key)
        .map(|column| cell_text(column, row))
        .filter(|text| !text.is_empty())
        .unwrap_or_else(|| "blank".to_owned())
}

/// A finding in words; `None` when its row or column is no longer there.
pub fn note(book: &Workbook, results: &Results, finding: &Finding) -> Option<Note> {
    let table = book.sheet(finding.sheet);
    let column = table.columns().get(usize::from(finding.column))?;
    let whole = finding.row == WHOLE_COLUMN;
    if !whole && finding.row as usize >= table.n_rows() {
        return None;
    }
    let said = Said {
        book,
        results,
        table,
        finding,
    };
    let (code, message, hint) = match (finding.code, column.unreadable.get(&finding.row)) {
        (Code::Unreadable, Some(raw)) => {
            let why = explain_unreadable(column.kind, raw);
            (why.code, why.message, why.hint)
        }
        (Code::Unreadable, None) => return None,
        (code, _) if whole => {
            let (message, hint) = said.whole_column(code, column);
            (code.key(), message, hint)
        }
        (code, _) => {
            let (message, hint) = said.row(code, column);
            (code.key(), message, hint.to_owned())
        }
    };
    Some(Note {
        code,
        severity: finding.code.severity(),
        place: place(table, column, finding),
        read: if whole {
            String::new()
        } else {
            cell_text(column, finding.row)
        },
        message,
        hint,
    })
}

fn place(table: &Table, column: &Column, finding: &Finding) -> Place {
    let row = (finding.row != WHOLE_COLUMN).then_some(finding.row);
    Place {
        sheet: Some(finding.sheet),
        row,
        line: row.and_then(|row| line(table, row)),
        tag: row.and_then(|row| tag(table, row)),
        column: Some(column.key.clone()),
        header: column.header.clone(),
    }
}

fn line(table: &Table, row: u32) -> Option<u32> {
    table
        .source_line
        .get(row as usize)
        .copied()
        .filter(|line| *line > 0)
}

fn tag(table: &Table, row: u32) -> Option<String> {
    table
        .column("tag")?
        .texts()?
        .get(row as usize)
        .map(str::to_owned)
}

fn cell_text(column: &Column, row: u32) -> String {
    match column.value(row as usize) {
        Value::Missing => String::new(),
        Value::Text(text) | Value::Unreadable(text) => text,
        Value::Number(number) => number.to_string(),
        Value::Day(day) => day.iso(),
    }
}

/// What a message is made from.
pub(super) struct Said<'a> {
    pub(super) book: &'a Workbook,
    pub(super) results: &'a Results,
    table: &'a Table,
    pub(super) finding: &'a Finding,
}

impl Said<'_> {
    pub(super) fn settings(&self) -> &Settings {
        &self.book.settings
    }

    /// The cell of another column in the row of the finding, or `blank`.
    pub(super) fn cell(&self, key: &str) -> String {
        self.cell_of(self.finding.row, key)
    }

    pub(super) fn cell_of(&self, row: u32, key: &str) -> String {
        text_or_blank(self.table, row, key)
    }

    /// A weight cell with its unit.
    pub(super) fn weight(&self, key: &str) -> String {
        format!(
            "{} {}",
            self.cell(key),
            self.settings().weight_unit.symbol()
        )
    }

    pub(super) fn range(&self, range: Range) -> String {
        let unit = self.settings().weight_unit;
        format!(
            "{:.0} to {:.0} {}",
            unit.from_pounds(range.from),
            unit.from_pounds(range.to),
            unit.symbol()
        )
    }

    /// Where another row is: its line in the file, or its place in the sheet.
    pub(super) fn other_row(&self) -> String {
        match line(self.table, self.finding.other) {
            Some(line) => format!("line {line} of the file"),
            None => format!("row {} of the sheet", self.finding.other.saturating_add(1)),
        }
    }

    /// A calf in words: `heifer born 2026-03-04`.
    pub(super) fn sex_and_birth(&self, row: u32) -> String {
        let said = |key: &str| {
            self.table
                .column(key)
                .map(|column| cell_text(column, row))
                .filter(|text| !text.is_empty())
        };
        format!(
            "{} born {}",
            said("sex").unwrap_or_else(|| "sex blank,".to_owned()),
            self.cell_of(row, "birth_date")
        )
    }

    /// The column at a position of the table.
    pub(super) fn column_at(&self, position: u32) -> Option<&Column> {
        self.table.columns().get(position as usize)
    }

    /// A cell of another sheet, or `blank`.
    pub(super) fn text_in(&self, sheet: SheetKind, row: u32, key: &str) -> String {
        text_or_blank(self.book.sheet(sheet), row, key)
    }

    pub(super) fn other_text(&self, key: &str) -> String {
        self.table
            .column(key)
            .and_then(Column::texts)
            .and_then(|texts| texts.text_of(self.finding.other))
            .unwrap_or("")
            .to_owned()
    }

    pub(super) fn outside_window(&self) -> &'static str {
        match self.settings().outside_window {
            crate::sheet::settings::OutsideWindow::ActualOnly => {
                "it has no adjusted weight and no ratio"
            }
            crate::sheet::settings::OutsideWindow::StraightAge => {
                "it is adjusted for age alone and grouped apart"
            }
        }
    }

    /// The cow a column names, with her tag.
    pub(super) fn cow(&self, column: &Column) -> String {
        if column.key == "raised_dam" {
            format!("cow {} that raised it", self.cell("raised_dam"))
        } else {
            format!("dam {}", self.cell("dam"))
        }
    }

    /// Age of the dam in years with one decimal.
    pub(super) fn dam_years(&self) -> String {
        let days = self
            .results
            .adjusted
            .dam_age_days
            .get(self.finding.row as usize);
        match days {
            Some(&days) if days != i32::MIN => {
                format!(
                    "{:.1} years",
                    f64::from(days) / crate::trade::plausible::DAYS_PER_YEAR
                )
            }
            _ => "unknown".to_owned(),
        }
    }

    /// The cell that the dam's age came from, as it stands: `"Cow age" 34`, or the cow in the cows sheet.
    pub(super) fn source_of_age(&self, column: &Column) -> String {
        let cell = self.cell(&column.key);
        if column.key == "dam" {
            return format!("The birth of cow {cell} in the cows sheet");
        }
        let header = column.header.as_deref().unwrap_or(&column.label);
        format!("\"{header}\" {cell}")
    }

    /// What is stated with the calf about the dam's age.
    pub(super) fn other_ages(&self) -> String {
        let mut said: Vec<String> = Vec::new();
        for (key, words) in [
            ("dam_birth_date", "born"),
            ("dam_birth_year", "birth year"),
            ("dam_age", "age in years"),
        ] {
            let cell = self.cell(key);
            if cell != "blank" {
                said.push(format!("{words} {cell}"));
            }
        }
        format!("with the calf it is given as {}", said.join(", "))
    }
}
