//! Asking what a value is.
//!
//! Enters: one row's value, an error perhaps. Leaves: TRUE or FALSE, mostly.
//! Always true: an error asked about does not spread.
//! Never: takes an empty text for a blank cell.

use super::super::cell::{Answer, Cell, finite};
use super::super::error_value::ErrorValue;
use super::super::evaluate::Now;
use super::super::function::{Function, Gives, Group, Run, function};
use super::truth;

/// The group.
pub const GROUP: (Group, &[Function]) = (
    Group {
        key: "information",
        label: "What a value is",
    },
    &[
        function!("ERROR.TYPE" ("value" Any) -> Gives::Number, "6.13.11", Run::RowsWithErrors(error_type),
            "The number of an error; #N/A when there is none.", "ERROR.TYPE(1/0)"),
        function!("ISBLANK" ("value" Any) -> Gives::Logical, "6.13.14", Run::RowsWithErrors(is_blank),
            "TRUE when nothing stands in the cell.", "IF(ISBLANK(birth_weight); NA(); birth_weight)"),
        function!("ISERR" ("value" Any) -> Gives::Logical, "6.13.15", Run::RowsWithErrors(is_err),
            "TRUE for any error but #N/A.", "ISERR(1/0)"),
        function!("ISERROR" ("value" Any) -> Gives::Logical, "6.13.16", Run::RowsWithErrors(is_error),
            "TRUE for any error.", "ISERROR(MATCH(dam; 'cows'.tag; 0))"),
        function!("ISEVEN" ("number" Number) -> Gives::Logical, "6.13.17", Run::Rows(is_even),
            "TRUE when the whole part is even.", "ISEVEN(dam_age)"),
        function!("ISLOGICAL" ("value" Any) -> Gives::Logical, "6.13.19", Run::RowsWithErrors(is_logical),
            "TRUE for TRUE and FALSE.", "ISLOGICAL(TRUE())"),
        function!("ISNA" ("value" Any) -> Gives::Logical, "6.13.20", Run::RowsWithErrors(is_na),
            "TRUE for #N/A.", "ISNA(MATCH(dam; 'cows'.tag; 0))"),
        function!("ISNONTEXT" ("value" Any) -> Gives::Logical, "6.13.21", Run::RowsWithErrors(is_non_text),
            "TRUE for anything but a text.", "ISNONTEXT(note)"),
        function!("ISNUMBER" ("value" Any) -> Gives::Logical, "6.13.22", Run::RowsWithErrors(is_number),
            "TRUE for a number or a date.", "ISNUMBER(wean_weight)"),
        function!("ISODD" ("number" Number) -> Gives::Logical, "6.13.23", Run::Rows(is_odd),
            "TRUE when the whole part is odd.", "ISODD(dam_age)"),
        function!("ISTEXT" ("value" Any) -> Gives::Logical, "6.13.25", Run::RowsWithErrors(is_text),
            "TRUE for a text.", "ISTEXT(note)"),
        function!("N" ("value" Any) -> Gives::Number, "6.13.26", Run::Rows(only_number),
            "The value if it is a number, else 0.", "N(creep=\"yes\")"),
        function!("NA" () -> Gives::Number, "6.13.27", Run::Rows(na),
            "The error #N/A: no answer.", "IF(ISBLANK(birth_weight); NA(); birth_weight)"),
    ],
);

fn error_type<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let error = row[0].error().ok_or(ErrorValue::NotAvailable)?;
    finite(error.type_number())
}

fn is_blank<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(row[0] == Cell::Empty)
}

fn is_err<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(
        row[0]
            .error()
            .is_some_and(|error| error != ErrorValue::NotAvailable),
    )
}

fn is_error<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(row[0].error().is_some())
}

fn is_na<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(row[0].error() == Some(ErrorValue::NotAvailable))
}

fn is_even<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(row[0].number()?.trunc() % 2.0 == 0.0)
}

fn is_odd<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(row[0].number()?.trunc() % 2.0 != 0.0)
}

fn is_logical<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(matches!(row[0], Cell::Logical(_)))
}

fn is_non_text<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(!matches!(row[0], Cell::Text(_)))
}

fn is_number<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(matches!(row[0], Cell::Number(_) | Cell::Logical(_)))
}

fn is_text<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(matches!(row[0], Cell::Text(_)))
}

fn only_number<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    match &row[0] {
        Cell::Text(_) => finite(0.0),
        cell => finite(cell.number()?),
    }
}

fn na<'a>(_: &Now, _: &[Cell<'a>]) -> Answer<'a> {
    Err(ErrorValue::NotAvailable)
}
