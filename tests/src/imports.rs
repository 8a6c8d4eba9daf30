//! A file brought in, written out in full.
//!
//! Enters: what an import understood. Leaves: a text: the sheet, every cell of every row, every note, every
//! question.

use std::fmt::Write;

use fairpen_engine::import::Imported;
use fairpen_engine::sheet::column::{Column, Value};
use fairpen_engine::sheet::workbook::Workbook;

use crate::books::day;

/// An empty book that stands at a day.
pub fn book_of_day(as_of: &str) -> Workbook {
    let mut book = Workbook::new();
    book.settings.as_of = day(as_of);
    book
}

/// A cell: its value, `!` before a text that was not read.
pub fn cell(column: &Column, row: usize) -> String {
    match column.value(row) {
        Value::Missing => String::new(),
        Value::Text(text) => text,
        Value::Number(number) => number.to_string(),
        Value::Day(day) => day.iso(),
        Value::Unreadable(text) => format!("!{text}"),
    }
}

/// Everything that was understood of a file.
pub fn describe(read: &Imported) -> String {
    let mut out = format!(
        "sheet: {}, weights in {}, {} rows, {} blank, {} above the header, {} set aside\n\n",
        read.plan.sheet.key(),
        read.table_unit.symbol(),
        read.table.n_rows(),
        read.n_blank,
        read.n_above_header,
        read.n_set_aside
    );
    for (planned, report) in read.plan.columns.iter().zip(&read.columns) {
        let key = report.key.as_deref().unwrap_or("left out");
        writeln!(out, "\"{}\" -> {key}", planned.header).expect("a String grows");
    }
    out.push_str("\nline");
    let columns: Vec<&Column> = read
        .table
        .columns()
        .iter()
        .filter(|column| !column.holds_nothing())
        .collect();
    for column in &columns {
        write!(out, " | {}", column.key).expect("a String grows");
    }
    out.push('\n');
    for row in 0..read.table.n_rows() {
        write!(out, "{}", read.table.source_line[row]).expect("a String grows");
        for column in &columns {
            write!(out, " | {}", cell(column, row)).expect("a String grows");
        }
        out.push('\n');
    }
    out.push_str("\nnotes\n");
    for note in &read.notes {
        let line = note
            .place
            .line
            .map_or_else(String::new, |line| line.to_string());
        let column = note.place.column.as_deref().unwrap_or("");
        writeln!(out, "{line} | {column} | {} | {}", note.code, note.message)
            .expect("a String grows");
    }
    out.push_str("\nquestions\n");
    for question in &read.questions {
        writeln!(out, "{question:?}").expect("a String grows");
    }
    out
}
