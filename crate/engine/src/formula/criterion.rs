//! A criterion: what COUNTIF and its kin ask of a cell (OpenFormula 4.11.8).
//!
//! Enters: the value of a criterion. Leaves: whether a cell meets it.
//! Always true: a text beginning with a comparison sign compares with what follows; a text without a sign
//! must be the whole cell, with wildcards; `=` alone meets blank cells and `<>` alone all others.
//! Never: meets a blank cell with `=0`.

use std::cmp::Ordering;

use super::cell::{Cell, nearly_equal, order_of_texts};
use super::error_value::ErrorValue;
use super::held::Key;
use super::text_value;
use super::wildcard::{Pattern, is_pattern};

/// A criterion, read.
#[derive(Clone, Debug)]
pub enum Criterion {
    /// The cell is this number, or this text where the criterion was written as text: a tag of digits is
    /// found among tags, which are texts, and among numbers.
    Is {
        /// The number.
        number: Option<f64>,
        /// The text.
        text: Option<String>,
    },
    /// The cell fits a pattern.
    Fits(Pattern),
    /// The cell is blank or an empty text.
    Blank,
    /// The cell is blank.
    Nothing,
    /// A number that compares so.
    Compares(Comparison, f64),
    /// A text that compares so.
    ComparesText(Comparison, String),
    /// Anything but.
    Not(Box<Criterion>),
}

/// How a number compares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparison {
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    More,
    /// `>=`
    AtLeast,
}

impl Comparison {
    /// Whether an order is what is asked for.
    pub fn holds(self, order: Ordering) -> bool {
        match self {
            Comparison::Less => order == Ordering::Less,
            Comparison::AtMost => order != Ordering::Greater,
            Comparison::More => order == Ordering::Greater,
            Comparison::AtLeast => order != Ordering::Less,
        }
    }
}

impl Criterion {
    /// Reads a criterion.
    ///
    /// # Errors
    /// The error it is.
    pub fn read(cell: &Cell<'_>) -> Result<Criterion, ErrorValue> {
        Ok(match cell {
            Cell::Error(error) => return Err(*error),
            Cell::Empty | Cell::Number(_) | Cell::Logical(_) => Criterion::Is {
                number: Some(cell.number()?),
                text: None,
            },
            Cell::Text(text) => Criterion::of_text(text),
        })
    }

    fn of_text(text: &str) -> Criterion {
        let compared = |sign: &str, comparison| {
            text.strip_prefix(sign)
                .map(|rest| match text_value::number(rest) {
                    Some(number) => Criterion::Compares(comparison, number),
                    None => Criterion::ComparesText(comparison, rest.to_owned()),
                })
        };
        if let Some(rest) = text.strip_prefix("<>") {
            return Criterion::Not(Box::new(if rest.is_empty() {
                Criterion::Nothing
            } else {
                Criterion::equal(rest)
            }));
        }
        if let Some(criterion) = compared("<=", Comparison::AtMost)
            .or_else(|| compared(">=", Comparison::AtLeast))
            .or_else(|| compared("<", Comparison::Less))
            .or_else(|| compared(">", Comparison::More))
        {
            return criterion;
        }
        match text.strip_prefix('=') {
            Some("") => Criterion::Nothing,
            Some(rest) => Criterion::equal(rest),
            None if text.is_empty() => Criterion::Blank,
            None => Criterion::equal(text),
        }
    }

    fn equal(text: &str) -> Criterion {
        if is_pattern(text) {
            return Criterion::Fits(Pattern::new(text));
        }
        Criterion::Is {
            number: text_value::number(text),
            text: Some(text.to_owned()),
        }
    }

    /// Whether a cell meets it.
    pub fn meets(&self, cell: &Cell<'_>) -> bool {
        match self {
            Criterion::Is { number, text } => match cell {
                Cell::Number(_) | Cell::Logical(_) => match (number, cell.number()) {
                    (Some(wanted), Ok(found)) => nearly_equal(*wanted, found),
                    _ => false,
                },
                Cell::Text(found) => text
                    .as_ref()
                    .is_some_and(|wanted| order_of_texts(wanted, found) == Ordering::Equal),
                Cell::Empty | Cell::Error(_) => false,
            },
            Criterion::Fits(pattern) => matches!(cell, Cell::Text(text) if pattern.fits(text)),
            Criterion::Blank => match cell {
                Cell::Empty => true,
                Cell::Text(text) => text.is_empty(),
                _ => false,
            },
            Criterion::Nothing => matches!(cell, Cell::Empty),
            Criterion::Compares(comparison, wanted) => match cell {
                Cell::Number(_) | Cell::Logical(_) => cell.number().is_ok_and(|found| {
                    comparison.holds(if nearly_equal(found, *wanted) {
                        Ordering::Equal
                    } else {
                        found.total_cmp(wanted)
                    })
                }),
                _ => false,
            },
            Criterion::ComparesText(comparison, wanted) => {
                matches!(cell, Cell::Text(found) if comparison.holds(order_of_texts(found, wanted)))
            }
            Criterion::Not(inner) => !matches!(cell, Cell::Error(_)) && !inner.meets(cell),
        }
    }

    /// The values it asks for, when it asks for nothing else.
    pub fn keys(&self) -> Option<Vec<Key>> {
        match self {
            Criterion::Is { number, text } => Some(
                number
                    .map(Key::of_number)
                    .into_iter()
                    .chain(text.as_deref().map(Key::of_text))
                    .collect(),
            ),
            _ => None,
        }
    }
}
