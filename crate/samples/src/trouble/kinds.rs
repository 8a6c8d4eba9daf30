//! The kinds of trouble.
//!
//! Enters: sane rows. Leaves: the same rows with one thing wrong. Always true: each kind names the note
//! it should draw. Never: two troubles in one row on purpose.

use super::herd::position;

/// The code of a trouble that the note of the row above counts: it is not listed by itself.
pub const SAID_ABOVE: &str = "";

/// How a trouble is put in.
pub enum Touch {
    /// It is in the header already.
    Header,
    /// Cells of the rows change.
    Cells(fn(&mut Vec<Vec<String>>)),
    /// The row is written as these bytes, line end included.
    Bytes(fn(&[String]) -> Vec<u8>),
}

/// One kind of trouble.
pub struct Kind {
    /// The note it should draw.
    pub code: &'static str,
    /// The column it shows in; empty for a whole row.
    pub column: &'static str,
    /// What is wrong, for people.
    pub what: &'static str,
    /// How many rows it takes; 0 for the header.
    pub rows: usize,
    /// How it is put in.
    pub touch: Touch,
}

/// A trouble of the header.
pub const fn header(code: &'static str, column: &'static str, what: &'static str) -> Kind {
    Kind {
        code,
        column,
        what,
        rows: 0,
        touch: Touch::Header,
    }
}

/// A trouble of one row.
pub const fn one(
    code: &'static str,
    column: &'static str,
    what: &'static str,
    change: fn(&mut Vec<Vec<String>>),
) -> Kind {
    Kind {
        code,
        column,
        what,
        rows: 1,
        touch: Touch::Cells(change),
    }
}

/// A trouble of two rows together.
pub const fn two(
    code: &'static str,
    column: &'static str,
    what: &'static str,
    change: fn(&mut Vec<Vec<String>>),
) -> Kind {
    Kind {
        code,
        column,
        what,
        rows: 2,
        touch: Touch::Cells(change),
    }
}

/// A trouble of the bytes of one row.
pub const fn raw(
    code: &'static str,
    column: &'static str,
    what: &'static str,
    change: fn(&[String]) -> Vec<u8>,
) -> Kind {
    Kind {
        code,
        column,
        what,
        rows: 1,
        touch: Touch::Bytes(change),
    }
}

/// Puts `value` in `column` of the last row.
pub fn set(rows: &mut [Vec<String>], column: &str, value: &str) {
    let row = rows.last_mut().expect("every kind takes a row");
    row[position(column)] = value.to_owned();
}

/// Empties `columns` of the last row.
pub fn clear(rows: &mut [Vec<String>], columns: &[&str]) {
    for column in columns {
        set(rows, column, "");
    }
}

/// Copies `column` of the first row into the second.
pub fn same(rows: &mut [Vec<String>], column: &str) {
    let at = position(column);
    rows[1][at] = rows[0][at].clone();
}

/// Columns a calf that never reached the scale leaves blank.
pub const AFTER_BIRTH: [&str; 5] = [
    "wean_date",
    "weigh_date",
    "wean_weight",
    "yearling_date",
    "yearling_weight",
];
/// The yearling columns.
pub const YEARLING: [&str; 2] = ["yearling_date", "yearling_weight"];
