//! One value of a calculation.
//!
//! Enters: values of cells. Leaves: values converted and compared as OpenFormula 6.3 and 6.4 have it.
//! Always true: a number is finite; a blank cell counts as 0 in arithmetic and as an empty text in text
//! (6.3.5, 6.3.14), and stays blank where it is only passed on; TRUE and FALSE are numbers that show as words.
//! Never: loses which error it was.

use std::cmp::Ordering;
use std::rc::Rc;

use super::error_value::ErrorValue;
use super::text_value;

/// A text, borrowed from a column or made by the formula.
#[derive(Clone, Debug)]
pub enum Str<'a> {
    /// From a column.
    Borrowed(&'a str),
    /// Made.
    Made(Rc<str>),
}

impl std::ops::Deref for Str<'_> {
    type Target = str;

    fn deref(&self) -> &str {
        match self {
            Str::Borrowed(text) => text,
            Str::Made(text) => text,
        }
    }
}

impl PartialEq for Str<'_> {
    fn eq(&self, other: &Self) -> bool {
        **self == **other
    }
}

impl From<String> for Str<'_> {
    fn from(text: String) -> Self {
        Str::Made(text.into())
    }
}

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell<'a> {
    /// A blank cell, or an argument left empty.
    Empty,
    /// A number; a date is the count of days since 1899-12-30.
    Number(f64),
    /// TRUE or FALSE.
    Logical(bool),
    /// A text.
    Text(Str<'a>),
    /// An error.
    Error(ErrorValue),
}

/// A value, or the error that takes its place.
pub type Answer<'a> = Result<Cell<'a>, ErrorValue>;

/// A number as a value; what is not finite is an error.
pub fn finite<'a>(number: f64) -> Answer<'a> {
    if number.is_finite() {
        // Minus zero would show its sign.
        Ok(Cell::Number(number + 0.0))
    } else {
        Err(ErrorValue::Number)
    }
}

/// Close enough to be the same decimal: about 14 digits (OpenFormula 6.4.7 leaves a few bits of slack).
pub fn nearly_equal(one: f64, other: f64) -> bool {
    const SLACK: f64 = 1.0 / (1_u64 << 48) as f64;
    one == other || (one - other).abs() <= one.abs().max(other.abs()) * SLACK
}

impl<'a> Cell<'a> {
    /// The error, if it is one.
    pub fn error(&self) -> Option<ErrorValue> {
        match self {
            Cell::Error(error) => Some(*error),
            _ => None,
        }
    }

    /// From an answer: an error becomes a value.
    pub fn from_answer(answer: Answer<'a>) -> Cell<'a> {
        answer.unwrap_or_else(Cell::Error)
    }

    /// As a number (6.3.5).
    ///
    /// # Errors
    /// The error it is, or `#VALUE!` for a text that reads as no number.
    pub fn number(&self) -> Result<f64, ErrorValue> {
        match self {
            Cell::Empty => Ok(0.0),
            Cell::Number(number) => Ok(*number),
            Cell::Logical(logical) => Ok(f64::from(u8::from(*logical))),
            Cell::Text(text) => text_value::number(text).ok_or(ErrorValue::Value),
            Cell::Error(error) => Err(*error),
        }
    }

    /// As TRUE or FALSE (6.3.12).
    ///
    /// # Errors
    /// The error it is, or `#VALUE!` for a text that is neither.
    pub fn logical(&self) -> Result<bool, ErrorValue> {
        match self {
            Cell::Empty => Ok(false),
            Cell::Number(number) => Ok(*number != 0.0),
            Cell::Logical(logical) => Ok(*logical),
            Cell::Text(text) => {
                if text.eq_ignore_ascii_case("TRUE") {
                    Ok(true)
                } else if text.eq_ignore_ascii_case("FALSE") {
                    Ok(false)
                } else {
                    Err(ErrorValue::Value)
                }
            }
            Cell::Error(error) => Err(*error),
        }
    }

    /// As text (6.3.14).
    ///
    /// # Errors
    /// The error it is.
    pub fn text(&self) -> Result<Str<'a>, ErrorValue> {
        match self {
            Cell::Empty => Ok(Str::Borrowed("")),
            Cell::Number(number) => Ok(text_value::number_text(*number).into()),
            Cell::Logical(true) => Ok(Str::Borrowed("TRUE")),
            Cell::Logical(false) => Ok(Str::Borrowed("FALSE")),
            Cell::Text(text) => Ok(text.clone()),
            Cell::Error(error) => Err(*error),
        }
    }

    /// Compares (6.4.7, 6.4.8): numbers before texts, texts without regard to case, a blank as the other
    /// side's nothing.
    ///
    /// # Errors
    /// The first error of the two.
    pub fn compare(&self, other: &Cell<'_>) -> Result<Ordering, ErrorValue> {
        if let Some(error) = self.error().or_else(|| other.error()) {
            return Err(error);
        }
        Ok(match (self, other) {
            (Cell::Text(one), Cell::Text(other)) => order_of_texts(one, other),
            (Cell::Text(one), Cell::Empty) => order_of_texts(one, ""),
            (Cell::Empty, Cell::Text(other)) => order_of_texts("", other),
            (Cell::Text(_), _) => Ordering::Greater,
            (_, Cell::Text(_)) => Ordering::Less,
            _ => {
                let (one, other) = (self.number()?, other.number()?);
                if nearly_equal(one, other) {
                    Ordering::Equal
                } else {
                    one.total_cmp(&other)
                }
            }
        })
    }
}

/// The order of two texts, letter by letter without regard to case.
pub fn order_of_texts(one: &str, other: &str) -> Ordering {
    if one.is_ascii() && other.is_ascii() {
        return one
            .bytes()
            .map(|byte| byte.to_ascii_lowercase())
            .cmp(other.bytes().map(|byte| byte.to_ascii_lowercase()));
    }
    one.chars()
        .flat_map(char::to_lowercase)
        .cmp(other.chars().flat_map(char::to_lowercase))
}
