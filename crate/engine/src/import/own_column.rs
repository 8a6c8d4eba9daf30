//! Keys and labels of columns of the person's own.
//!
//! Enters: a header and the keys already there. Leaves: a key and a label no other column has.
//! Always true: lower_snake_case, never a known key of the sheet nor one of a result.
//! Never: changes a header that people read, unless it is blank or stands there twice.

use crate::results::ResultColumn;
use crate::sheet::own_key::own_key;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

/// A key made from a header: `Temper (1-5)` becomes `temper_1_5`.
pub fn key_for(sheet: SheetKind, table: &Table, header: &str) -> String {
    own_key(sheet, header, |key| {
        table.column(key).is_some() || ResultColumn::from_key(key).is_some()
    })
}

/// A label from a header: the header itself, numbered when another column has it.
pub fn label_for(table: &Table, header: &str, position: usize) -> String {
    let header = header.trim();
    if header.is_empty() {
        return numbered(&format!("Column {}", position + 1), " ", |label| {
            has_label(table, label)
        });
    }
    numbered(header, " ", |label| has_label(table, label))
}

fn has_label(table: &Table, label: &str) -> bool {
    table
        .columns()
        .iter()
        .any(|column| column.label.eq_ignore_ascii_case(label))
}

fn numbered(stem: &str, between: &str, taken: impl Fn(&str) -> bool) -> String {
    if !taken(stem) {
        return stem.to_owned();
    }
    let mut number = 2_u32;
    loop {
        let name = format!("{stem}{between}{number}");
        if !taken(&name) {
            return name;
        }
        number += 1;
    }
}
