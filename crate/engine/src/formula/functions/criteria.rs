//! Counting and summing what meets criteria.
//!
//! Enters: columns and criteria. Leaves: one value per row.
//! Always true: a criterion is this row's value, so that a row can ask for its own group.
//! Never: sums what is no number.

use std::rc::Rc;

use super::super::cell::{Answer, Cell, finite};
use super::super::criterion_sums::{several, single};
use super::super::evaluate::{Evaluation, Now, Range};
use super::super::function::{Function, Gives, Group, Run, function};
use super::super::held::Held;
use super::super::tally::Wanted;
use super::super::tree::Node;
use super::super::vector::{Collector, Vector};

/// The group.
pub const GROUP: (Group, &[Function]) = (
    Group {
        key: "criteria",
        label: "Counting and summing by criteria",
    },
    &[
        function!("AVERAGEIF" ("column" Column, "criterion" Criterion, "average" Column optional) -> Gives::Like(2), "6.18.5", Run::Whole(average_if),
            "Mean over the rows that meet a criterion.", "AVERAGEIF(sex; \"steer\"; wean_weight)"),
        function!("AVERAGEIFS" ("average" Column, "column" Column, "criterion" Criterion) repeats 2 -> Gives::Like(0), "6.18.6", Run::Whole(average_ifs),
            "Mean over the rows that meet every criterion.", "AVERAGEIFS(wean_weight; sex; sex; pen; pen)"),
        function!("COUNT" ("value" List) repeats 1 -> Gives::Number, "6.13.6", Run::Whole(count),
            "How many numbers there are.", "COUNT(wean_weight)"),
        function!("COUNTA" ("value" List) repeats 1 -> Gives::Number, "6.13.7", Run::Whole(count_all),
            "How many cells are not blank.", "COUNTA(tag)"),
        function!("COUNTBLANK" ("column" Column) -> Gives::Number, "6.13.8", Run::Columns(count_blank),
            "How many cells are blank.", "COUNTBLANK(birth_weight)"),
        function!("COUNTIF" ("column" Column, "criterion" Criterion) -> Gives::Number, "6.13.9", Run::Whole(count_if),
            "How many cells meet a criterion.", "COUNTIF(dam; dam)"),
        function!("COUNTIFS" ("column" Column, "criterion" Criterion) repeats 2 -> Gives::Number, "6.13.10", Run::Whole(count_ifs),
            "How many rows meet every criterion.", "COUNTIFS(sex; sex; wean_weight; \">\" & wean_weight) + 1"),
        function!("MAXIFS" ("largest" Column, "column" Column, "criterion" Criterion) repeats 2 -> Gives::Like(0), "not in ODF 1.3", Run::Whole(max_ifs),
            "The largest number of the rows that meet every criterion.", "MAXIFS(wean_weight; sex; sex)"),
        function!("MINIFS" ("smallest" Column, "column" Column, "criterion" Criterion) repeats 2 -> Gives::Like(0), "not in ODF 1.3", Run::Whole(min_ifs),
            "The smallest number of the rows that meet every criterion.", "MINIFS(birth_date; dam; tag)"),
        function!("SUMIF" ("column" Column, "criterion" Criterion, "sum" Column optional) -> Gives::Number, "6.16.62", Run::Whole(sum_if),
            "Sum over the rows that meet a criterion.", "SUMIF(sex; \"bull\"; wean_weight)"),
        function!("SUMIFS" ("sum" Column, "column" Column, "criterion" Criterion) repeats 2 -> Gives::Number, "6.16.63", Run::Whole(sum_ifs),
            "Sum over the rows that meet every criterion.", "SUMIFS(wean_weight; sex; \"heifer\"; pen; \"north\")"),
    ],
);

/// Functions that hand their arguments to the sums by criteria.
macro_rules! by_criteria {
    ($($name:ident $how:ident $wanted:ident;)*) => {
        $(fn $name<'a>(
            evaluation: &mut Evaluation<'_, 'a>,
            arguments: &[Option<Node>],
        ) -> Rc<Vector<'a>> {
            $how(evaluation, arguments, Wanted::$wanted)
        })*
    };
}

by_criteria! {
    count_if single Count;
    sum_if single Sum;
    average_if single Average;
    count_ifs pairs_only Count;
    sum_ifs value_first Sum;
    average_ifs value_first Average;
    min_ifs value_first Smallest;
    max_ifs value_first Largest;
}

fn pairs_only<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    arguments: &[Option<Node>],
    wanted: Wanted,
) -> Rc<Vector<'a>> {
    several(evaluation, None, arguments, wanted)
}

fn value_first<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    arguments: &[Option<Node>],
    wanted: Wanted,
) -> Rc<Vector<'a>> {
    match arguments.split_first() {
        Some((sum, pairs)) => several(evaluation, sum.as_ref(), pairs, wanted),
        None => several(evaluation, None, &[], wanted),
    }
}

fn count<'a>(evaluation: &mut Evaluation<'_, 'a>, arguments: &[Option<Node>]) -> Rc<Vector<'a>> {
    counted(evaluation, arguments, |cell, whole| match cell {
        Cell::Number(_) | Cell::Logical(_) => true,
        // A text given directly counts when it reads as a number.
        Cell::Text(_) => !whole && cell.number().is_ok(),
        _ => false,
    })
}

fn count_all<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    arguments: &[Option<Node>],
) -> Rc<Vector<'a>> {
    counted(evaluation, arguments, |cell, _| *cell != Cell::Empty)
}

/// Counts cells; errors are counted or not like anything else. `counts` is told whether the cell is of a
/// whole column.
fn counted<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    arguments: &[Option<Node>],
    counts: impl Fn(&Cell<'a>, bool) -> bool,
) -> Rc<Vector<'a>> {
    let mut base = 0;
    let mut each = Vec::new();
    for argument in arguments {
        match evaluation.range(argument.as_ref()) {
            Range::Whole(held) => {
                base += (0..held.n)
                    .filter(|&row| counts(&held.cells.at(row), true))
                    .count();
            }
            Range::Each(values) => each.push(values),
        }
    }
    let compute = |row: usize| {
        let n = base
            + each
                .iter()
                .filter(|values| counts(&values.at(row), false))
                .count();
        Cell::Number(n as f64)
    };
    if each.iter().all(|values| values.one().is_some()) {
        return Rc::new(Vector::One(compute(0)));
    }
    let mut collector = Collector::new(evaluation.n_rows);
    for row in 0..evaluation.n_rows {
        collector.push(compute(row));
    }
    Rc::new(collector.finish())
}

fn count_blank<'a>(_: &Now, columns: &[Rc<Held<'a>>], _: &[Cell<'a>]) -> Answer<'a> {
    let held = &columns[0];
    let n = (0..held.n)
        .filter(|&row| match held.cells.at(row) {
            Cell::Empty => true,
            Cell::Text(text) => text.is_empty(),
            _ => false,
        })
        .count();
    finite(n as f64)
}
