//! The cells of a table as texts, for comparing.

use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::table::Table;

/// The values of a column: text, number, ISO day, empty for missing, `!` before what was not read.
pub fn column_texts(table: &Table, key: &str) -> Vec<String> {
    let column = table.column(key).expect("the column");
    (0..table.n_rows())
        .map(|row| match column.value(row) {
            Value::Missing => String::new(),
            Value::Text(text) => text,
            Value::Number(number) => number.to_string(),
            Value::Day(day) => day.iso(),
            Value::Unreadable(text) => format!("!{text}"),
        })
        .collect()
}
