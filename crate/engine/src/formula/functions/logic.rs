//! Choosing and deciding.
//!
//! Enters: one row's values, errors among them. Leaves: the one that counts.
//! Always true: an error in a branch not taken does not show.
//! Never: reads a text as TRUE unless it says so.

use super::super::cell::{Answer, Cell};
use super::super::error_value::ErrorValue;
use super::super::evaluate::{Evaluation, Now, Range};
use super::super::function::{Function, Gives, Group, Run, function};
use super::super::tree::Node;
use super::super::vector::{Collector, Vector};
use super::truth;
use std::rc::Rc;

/// The group.
pub const GROUP: (Group, &[Function]) = (
    Group {
        key: "logic",
        label: "Choosing",
    },
    &[
        function!("AND" ("condition" List) repeats 1 -> Gives::Logical, "6.15.2", Run::Whole(and),
            "TRUE when every condition holds.", "AND(wean_weight>500; sex=\"bull\")"),
        function!("CHOOSE" ("number" Number, "value" Any) repeats 1 -> Gives::Like(1), "6.14.3", Run::RowsWithErrors(choose),
            "Takes the value that stands at a place in the list of values.", "CHOOSE(2; \"low\"; \"middle\"; \"high\")"),
        function!("FALSE" () -> Gives::Logical, "6.15.3", Run::Rows(no), "The value FALSE.", "FALSE()"),
        function!("IF" ("condition" Logical, "then" Any optional, "otherwise" Any optional) -> Gives::Like(1), "6.15.4", Run::RowsWithErrors(choice),
            "Takes one value when a condition holds and another when it does not.", "IF(wean_weight>600; \"heavy\"; \"light\")"),
        function!("IFERROR" ("value" Any, "instead" Any) -> Gives::Like(0), "6.15.5", Run::RowsWithErrors(if_error),
            "Takes another value where the first one is an error.", "IFERROR(wean_weight/age_days; 0)"),
        function!("IFNA" ("value" Any, "instead" Any) -> Gives::Like(0), "6.15.6", Run::RowsWithErrors(if_na),
            "Takes another value where the first one is #N/A, and lets other errors show.", "IFNA(MATCH(dam; 'cows'.tag; 0); 0)"),
        function!("NOT" ("condition" Logical) -> Gives::Logical, "6.15.7", Run::Rows(not),
            "TRUE when a condition does not hold.", "NOT(sex=\"heifer\")"),
        function!("OR" ("condition" List) repeats 1 -> Gives::Logical, "6.15.8", Run::Whole(or),
            "TRUE when at least one condition holds.", "OR(dam_age=2; dam_age=3)"),
        function!("TRUE" () -> Gives::Logical, "6.15.9", Run::Rows(yes), "The value TRUE.", "TRUE()"),
        function!("XOR" ("condition" List) repeats 1 -> Gives::Logical, "6.15.10", Run::Whole(xor),
            "TRUE when an odd number of conditions hold.", "XOR(creep=\"yes\"; management=\"pen\")"),
    ],
);

fn yes<'a>(_: &Now, _: &[Cell<'a>]) -> Answer<'a> {
    truth(true)
}

fn no<'a>(_: &Now, _: &[Cell<'a>]) -> Answer<'a> {
    truth(false)
}

fn not<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(!row[0].logical()?)
}

fn choice<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let taken = if row[0].logical()? { 1 } else { 2 };
    match row.get(taken) {
        Some(cell) => Ok(cell.clone()),
        None => truth(taken == 1),
    }
}

fn choose<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let place = row[0].number()?.trunc();
    if !(1.0..row.len() as f64).contains(&place) {
        return Err(ErrorValue::Number);
    }
    row.get(place as usize).cloned().ok_or(ErrorValue::Number)
}

fn if_error<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    Ok(row[usize::from(row[0].error().is_some())].clone())
}

fn if_na<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    Ok(row[usize::from(row[0].error() == Some(ErrorValue::NotAvailable))].clone())
}

fn and<'a>(evaluation: &mut Evaluation<'_, 'a>, arguments: &[Option<Node>]) -> Rc<Vector<'a>> {
    conditions(evaluation, arguments, |n_true, n| n_true == n)
}

fn or<'a>(evaluation: &mut Evaluation<'_, 'a>, arguments: &[Option<Node>]) -> Rc<Vector<'a>> {
    conditions(evaluation, arguments, |n_true, _| n_true > 0)
}

fn xor<'a>(evaluation: &mut Evaluation<'_, 'a>, arguments: &[Option<Node>]) -> Rc<Vector<'a>> {
    conditions(evaluation, arguments, |n_true, _| n_true % 2 == 1)
}

/// Counts the conditions that hold. Texts and blanks of a whole column are left out; no condition at all is
/// an error.
fn conditions<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    arguments: &[Option<Node>],
    decide: impl Fn(usize, usize) -> bool,
) -> Rc<Vector<'a>> {
    let (mut base_true, mut base) = (0, 0);
    let mut each = Vec::new();
    for argument in arguments {
        match evaluation.range(argument.as_ref()) {
            Range::Whole(held) => match held.numbers() {
                Ok(numbers) => {
                    base += numbers.len();
                    base_true += numbers.iter().filter(|number| **number != 0.0).count();
                }
                Err(error) => return Rc::new(Vector::One(Cell::Error(error))),
            },
            Range::Each(values) => each.push(values),
        }
    }
    let compute = |row: usize| -> Answer<'a> {
        let (mut n_true, mut n) = (base_true, base);
        for values in &each {
            n += 1;
            n_true += usize::from(values.at(row).logical()?);
        }
        if n == 0 {
            return Err(ErrorValue::Value);
        }
        truth(decide(n_true, n))
    };
    if each.iter().all(|values| values.one().is_some()) {
        return Rc::new(Vector::One(Cell::from_answer(compute(0))));
    }
    let mut collector = Collector::new(evaluation.n_rows);
    for row in 0..evaluation.n_rows {
        collector.push(Cell::from_answer(compute(row)));
    }
    Rc::new(collector.finish())
}
