//! Values as text: for people, and for typing over.
//!
//! Enters: a value and its column. Leaves: text.
//! Always true: the raw text of a cell, read again, gives the same value; text for people is rounded per
//! column, here and nowhere else, so that page, results file and command line agree.
//! Never: groups digits or writes a unit (the column's header has it).

use super::column::{Column, Kind, Origin, Value};

/// Separates the cells of a window that crosses as one text (ASCII unit separator).
pub const CELL_SEPARATOR: char = '\u{1f}';

impl Column {
    /// The cell as people read it; empty when missing. What was not understood is shown as it was read.
    pub fn shown(&self, row: usize) -> String {
        self.shown_value(&self.value(row))
    }

    /// A value as people read it in this column.
    pub fn shown_value(&self, value: &Value) -> String {
        match value {
            Value::Missing => String::new(),
            Value::Text(text) | Value::Unreadable(text) => text.clone(),
            Value::Day(day) => day.iso(),
            Value::Number(number) => match (self.kind, self.origin) {
                (Kind::Weight, _) => up_to(*number, 1),
                (_, Origin::Known) => up_to(*number, 2),
                (_, Origin::Own) => full(*number),
            },
        }
    }

    /// The cell as it is typed over: full precision, dates as `2026-03-14`; empty when missing.
    pub fn raw(&self, row: usize) -> String {
        raw(&self.value(row))
    }
}

/// A value as it is typed: full precision.
pub fn raw(value: &Value) -> String {
    match value {
        Value::Missing => String::new(),
        Value::Text(text) | Value::Unreadable(text) => text.clone(),
        Value::Day(day) => day.iso(),
        Value::Number(number) => full(*number),
    }
}

/// The shortest decimal text that reads back as the same number; empty for NaN.
pub fn full(number: f64) -> String {
    if number.is_nan() {
        String::new()
    } else {
        format!("{number}")
    }
}

/// Rounded to exactly `decimals` places (half to even on the binary value); empty for NaN. Never `-0`.
pub fn fixed(number: f64, decimals: usize) -> String {
    if number.is_nan() {
        return String::new();
    }
    let text = format!("{number:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| byte == b'0' || byte == b'.') => rest.to_owned(),
        _ => text,
    }
}

/// The minus sign people read (U+2212). Text for other programs keeps the hyphen of the keyboard.
pub const MINUS: char = '\u{2212}';

/// Like [`fixed`], with the minus sign people read. Not for text that another program reads.
pub fn spoken(number: f64, decimals: usize) -> String {
    with_minus(fixed(number, decimals))
}

/// The text of a number with the minus sign people read in place of a leading hyphen.
pub fn with_minus(number: String) -> String {
    match number.strip_prefix('-') {
        Some(rest) => format!("{MINUS}{rest}"),
        None => number,
    }
}

/// Rounded to at most `decimals` places, without zeros at the end: `512`, `512.5`.
pub fn up_to(number: f64, decimals: usize) -> String {
    let text = fixed(number, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_for_people() {
        assert_eq!(up_to(512.0, 1), "512");
        assert_eq!(up_to(512.46, 1), "512.5");
        assert_eq!(up_to(1000.0, 0), "1000");
        assert_eq!(fixed(551.86, 1), "551.9");
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert_eq!(fixed(f64::NAN, 1), "");
        assert_eq!(spoken(-1.25, 1), "\u{2212}1.2");
        assert_eq!(spoken(-0.04, 1), "0.0");
        assert_eq!(fixed(-1.25, 1), "-1.2");
        assert_eq!(full(0.1 + 0.2), "0.30000000000000004");
    }
}
