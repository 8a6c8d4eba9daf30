//! The errors that stand in cells as values.
//!
//! Enters: a condition met while computing. Leaves: the name people see.
//! Always true: the names are those of OpenFormula 5.12 (Table 4).
//! Never: stops a calculation; an error travels through the formula like any value.

use std::fmt;

/// An error as a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ErrorValue {
    /// Nothing was found, or there is no answer.
    NotAvailable,
    /// A division by zero.
    DivisionByZero,
    /// A name that stands for nothing.
    Name,
    /// Two ranges without a common cell. Only ever written, never computed here.
    Null,
    /// A number outside of what the operation takes or can give.
    Number,
    /// A reference to something that is not there, or a circle of references.
    Reference,
    /// A value of the wrong kind.
    Value,
}

impl ErrorValue {
    /// All of them.
    pub const ALL: [ErrorValue; 7] = [
        ErrorValue::NotAvailable,
        ErrorValue::DivisionByZero,
        ErrorValue::Name,
        ErrorValue::Null,
        ErrorValue::Number,
        ErrorValue::Reference,
        ErrorValue::Value,
    ];

    /// The name people see: `#N/A`.
    pub const fn name(self) -> &'static str {
        match self {
            ErrorValue::NotAvailable => "#N/A",
            ErrorValue::DivisionByZero => "#DIV/0!",
            ErrorValue::Name => "#NAME?",
            ErrorValue::Null => "#NULL!",
            ErrorValue::Number => "#NUM!",
            ErrorValue::Reference => "#REF!",
            ErrorValue::Value => "#VALUE!",
        }
    }

    /// What it means, one sentence for the person who sees it in a cell.
    pub const fn words(self) -> &'static str {
        match self {
            ErrorValue::NotAvailable => "What was looked for is not there, or there is no answer.",
            ErrorValue::DivisionByZero => {
                "Something is divided by zero, or by a cell that is blank."
            }
            ErrorValue::Name => "The formula names a column, sheet or function that is not there.",
            ErrorValue::Null => "Two ranges have no cell in common.",
            ErrorValue::Number => "A number is too large, too small, or not allowed here.",
            ErrorValue::Reference => {
                "The formula reaches outside of a column, or needs its own result."
            }
            ErrorValue::Value => "A value is of the wrong kind: text where a number is needed.",
        }
    }

    /// The number ERROR.TYPE gives (OpenFormula 6.13.11).
    pub const fn type_number(self) -> f64 {
        match self {
            ErrorValue::Null => 1.0,
            ErrorValue::DivisionByZero => 2.0,
            ErrorValue::Value => 3.0,
            ErrorValue::Reference => 4.0,
            ErrorValue::Name => 5.0,
            ErrorValue::Number => 6.0,
            ErrorValue::NotAvailable => 7.0,
        }
    }
}

impl fmt::Display for ErrorValue {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.name())
    }
}
