//! The working behind a value that a formula of the person's own gave.
//!
//! Enters: a book, its results, a row and a calculated column. Leaves: the formula, with this row's values put
//! in, and the cells they stand in.
//! Always true: a column that is meant whole stays as its key and is named with how many values it has.
//! Never: computes; the result is the one in the sheet.

use super::{Working, WorkingInput};
use crate::formula::function::find;
use crate::formula::names::Names;
use crate::formula::parse::parse;
use crate::formula::print::column_text;
use crate::formula::tree::{ColumnName, Form, Node};
use crate::formula::trouble::Span;
use crate::formula::values::shown;
use crate::note::counted;
use crate::results::Results;
use crate::results::formula_check::BookNames;
use crate::results::made::Made;
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;
use crate::sheet::write::up_to;

use super::says::NOT_RECORDED;

/// The working behind a calculated value; `None` when there is no such row or column.
pub fn calculated(
    book: &Workbook,
    results: &Results,
    sheet: SheetKind,
    row: usize,
    key: &str,
) -> Option<Working> {
    let table = book.sheet(sheet);
    let made = results.calculated.column(sheet, key)?;
    let column = table.column(key)?;
    let formula = column.formula.clone()?;
    if row >= table.n_rows() {
        return None;
    }
    let value = made.values.value(row);
    let mut result = shown(&value, made.is_dates());
    if let Some(error) = made.error(row) {
        result = format!("{error}: {}", error.words());
    }
    let mut working = Working {
        column: key.to_owned(),
        title: format!("{} of row {}", column.label, row + 1),
        result,
        source: "A formula of your own.".to_owned(),
        formula: formula.clone(),
        ..Working::default()
    };
    if !made.circle.is_empty() {
        working.would_change.push(format!(
            "The formulas go round in a circle: {}. Take one of these out.",
            made.circle.join(" needs ")
        ));
    }
    let Ok(tree) = parse(&formula) else {
        return Some(working);
    };
    let mut named = Vec::new();
    name(&tree, false, &mut named);
    named.sort_by_key(|named| named.span.start);
    let mut with_numbers = formula;
    let names = BookNames::with_results(book, results);
    for Named {
        column: name,
        span,
        whole,
    } in named.iter().rev()
    {
        let of = match &name.sheet {
            Some(sheet) => SheetKind::from_key(sheet),
            None => Some(sheet),
        };
        let Some(of) = of else { continue };
        let label = names
            .column(of.key(), &name.key)
            .map_or_else(|| column_text(name), |about| about.label);
        let input = if *whole {
            WorkingInput {
                words: format!("{label}, the whole column of {}", of.label()),
                value: counted(book.sheet(of).n_rows(), "row"),
                cell: None,
            }
        } else {
            let (value, written) = cell_words(book, results, of, row, &name.key);
            let about = names.column(of.key(), &name.key);
            if value == NOT_RECORDED && about.is_some_and(|about| about.holds.numbers.is_some()) {
                working.assumed.insert(
                    0,
                    format!("{label} is blank here. A blank counts as 0 in arithmetic and when numbers are compared."),
                );
            }
            with_numbers.replace_range(span.start..span.end, &written);
            WorkingInput {
                words: label,
                value,
                cell: u32::try_from(row)
                    .ok()
                    .map(|row| (of.key().to_owned(), row, name.key.clone())),
            }
        };
        if !working.inputs.contains(&input) {
            working.inputs.push(input);
        }
    }
    working.inputs.reverse();
    working.with_numbers = format!("{with_numbers} = {}", working.result);
    Some(working)
}

/// A column in a formula, and whether all of it is meant.
struct Named<'f> {
    column: &'f ColumnName,
    span: Span,
    whole: bool,
}

fn name<'f>(node: &'f Node, whole: bool, named: &mut Vec<Named<'f>>) {
    match &node.form {
        Form::Column(column) => named.push(Named {
            column,
            span: node.span,
            whole,
        }),
        Form::Call {
            function,
            arguments,
        } => {
            let function = find(function);
            for (place, argument) in arguments.iter().enumerate() {
                let Some(argument) = argument else { continue };
                let takes = function
                    .and_then(|function| function.parameter(place))
                    .map(|parameter| parameter.takes);
                let arrays = takes == Some(crate::formula::function::Takes::Array);
                let is_column = matches!(argument.form, Form::Column(_));
                let meant_whole = takes.is_some_and(|takes| takes.is_whole()) && is_column;
                name(argument, whole || arrays || meant_whole, named);
            }
        }
        _ => {
            for part in node.parts() {
                name(part, whole, named);
            }
        }
    }
}

/// A cell in words, and as it would be written in a formula.
fn cell_words(
    book: &Workbook,
    results: &Results,
    sheet: SheetKind,
    row: usize,
    key: &str,
) -> (String, String) {
    if let Some(made) = results.calculated.column(sheet, key) {
        let text = shown(&made.values.value(row), made.is_dates());
        return (text.clone(), text);
    }
    let (value, text) = match book.sheet(sheet).column(key) {
        Some(column) => (column.value(row), column.shown(row)),
        None => match Made::from_key(sheet, key) {
            Some(column) => {
                let value = column.value(book, results, row);
                let text = match &value {
                    Value::Number(number) => up_to(*number, 4),
                    Value::Text(text) => text.clone(),
                    _ => String::new(),
                };
                (value, text)
            }
            None => (Value::Missing, String::new()),
        },
    };
    match value {
        Value::Missing => (NOT_RECORDED.to_owned(), "(blank)".to_owned()),
        Value::Text(_) | Value::Unreadable(_) => (text.clone(), format!("\"{text}\"")),
        Value::Number(_) | Value::Day(_) => (text.clone(), text),
    }
}
