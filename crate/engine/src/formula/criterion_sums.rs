//! Counts and sums over the rows that meet criteria, for every row at once.
//!
//! Enters: columns with their criteria, and the column to sum. Leaves: one value per row.
//! Always true: rows that ask the same get one answer, worked out once; a criterion that is a plain value
//! finds its rows through a table, and one that compares numbers through their order, so that a group mean
//! or a rank within a group costs no more than sorting. Sums run in the order of the rows.
//! Never: lets the order of a hash table show.

use std::rc::Rc;

use super::cell::{Answer, Cell};
use super::criterion::Criterion;
use super::criterion_groups::{Groups, Ordered};
use super::error_value::ErrorValue;
use super::evaluate::{Evaluation, Range};
use super::function::Takes;
use super::held::{Held, Key, NO_KEY, Table};
use super::tally::{Tally, Wanted};
use super::tree::Node;
use super::vector::{Collector, Vector};
use super::wildcard::is_pattern;

/// A column with criteria that differ from row to row.
struct Asked<'a> {
    column: Rc<Held<'a>>,
    /// Which criterion each row asks with.
    of_row: Vec<u32>,
    criteria: Vec<Result<Criterion, ErrorValue>>,
    /// The value each row asks for, where that is known without reading the criteria.
    keys: Option<Vec<u32>>,
}

/// `COUNTIF`, `SUMIF` and `AVERAGEIF`: the column, the criterion, perhaps another column to sum.
pub fn single<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    arguments: &[Option<Node>],
    wanted: Wanted,
) -> Rc<Vector<'a>> {
    let sum = arguments.get(2).or(arguments.first()).cloned().flatten();
    let pairs: Vec<Option<Node>> = arguments.iter().take(2).cloned().collect();
    several(evaluation, sum.as_ref(), &pairs, wanted)
}

/// The many-criteria functions: columns and criteria by turns.
pub fn several<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    sum: Option<&Node>,
    pairs: &[Option<Node>],
    wanted: Wanted,
) -> Rc<Vector<'a>> {
    match collect(evaluation, sum, pairs, wanted) {
        Ok(values) => Rc::new(values),
        Err(error) => Rc::new(Vector::One(Cell::Error(error))),
    }
}

fn held<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    node: Option<&Node>,
) -> Result<Rc<Held<'a>>, ErrorValue> {
    match evaluation.range(node) {
        Range::Whole(held) => Ok(held),
        Range::Each(values) => match values.one() {
            Some(Cell::Error(error)) => Err(*error),
            Some(_) => Ok(Rc::new(Held::new(values, 1))),
            None => Err(ErrorValue::Value),
        },
    }
}

fn collect<'a>(
    evaluation: &mut Evaluation<'_, 'a>,
    sum: Option<&Node>,
    pairs: &[Option<Node>],
    wanted: Wanted,
) -> Result<Vector<'a>, ErrorValue> {
    let values = match sum {
        Some(node) => Some(held(evaluation, Some(node))?),
        None => None,
    };
    let mut meets: Option<Vec<bool>> = None;
    let mut asked = Vec::new();
    let mut n = values.as_ref().map(|values| values.n);
    for pair in pairs.chunks(2) {
        let column = held(evaluation, pair.first().and_then(Option::as_ref))?;
        let node = pair.get(1).and_then(Option::as_ref);
        let criterion = evaluation.argument(node, Takes::Criterion);
        if *n.get_or_insert(column.n) != column.n {
            return Err(ErrorValue::Value);
        }
        match criterion.one() {
            Some(cell) => {
                let criterion = Criterion::read(cell)?;
                let meets = meets.get_or_insert_with(|| vec![true; column.n]);
                mark(&column, &criterion, meets);
            }
            None if Rc::ptr_eq(&column.cells, &criterion) && all_plain(&criterion) => {
                // Each row asks for its own value.
                asked.push(Asked {
                    keys: Some(column.keys().ids.clone()),
                    column,
                    of_row: Vec::new(),
                    criteria: Vec::new(),
                });
            }
            None => asked.push(ask(column, &criterion, evaluation.n_rows)),
        }
    }
    let n = n.unwrap_or(0);
    let value = |row: usize| {
        values
            .as_ref()
            .map_or(Cell::Empty, |values| values.cells.at(row))
    };
    let groups = Groups::all(n, meets.as_deref());
    if asked.is_empty() {
        let mut tally = Tally::default();
        for row in (0..n).filter(|&row| groups.of_row[row] != NO_KEY) {
            tally.add(&value(row));
        }
        return Ok(Vector::One(Cell::from_answer(tally.answer(wanted))));
    }
    Ok(for_each_row(
        groups,
        asked,
        &value,
        wanted,
        evaluation.n_rows,
    ))
}

/// Takes the mark off the rows that do not meet a criterion; a text of a list is asked once.
fn mark(column: &Held<'_>, criterion: &Criterion, meets: &mut [bool]) {
    if let Vector::Texts { codes, texts } = &*column.cells {
        let blank = criterion.meets(&Cell::Empty);
        let each: Vec<bool> = texts
            .iter()
            .map(|text| criterion.meets(&Cell::Text(text.clone())))
            .collect();
        for (meets, &code) in meets.iter_mut().zip(codes.iter()) {
            *meets &= each.get(code as usize).copied().unwrap_or(blank);
        }
        return;
    }
    for (row, meets) in meets.iter_mut().enumerate() {
        *meets = *meets && criterion.meets(&column.cells.at(row));
    }
}

/// Whether these are texts that mean themselves as criteria.
fn all_plain(criterion: &Vector<'_>) -> bool {
    match criterion {
        Vector::Texts { texts, .. } => texts.iter().all(|text| {
            !text.is_empty() && !text.starts_with(['<', '>', '=']) && !is_pattern(text)
        }),
        _ => false,
    }
}

/// Reads each distinct criterion once.
fn ask<'a>(column: Rc<Held<'a>>, criterion: &Vector<'a>, n_rows: usize) -> Asked<'a> {
    if let Vector::Texts { codes, texts } = criterion {
        let beyond = u32::try_from(texts.len()).unwrap_or(NO_KEY);
        let blanks = codes.iter().any(|&code| code >= beyond);
        return Asked {
            column,
            of_row: codes.iter().map(|&code| code.min(beyond)).collect(),
            criteria: texts
                .iter()
                .map(|text| Criterion::read(&Cell::Text(text.clone())))
                .chain(blanks.then(|| Criterion::read(&Cell::Empty)))
                .collect(),
            keys: None,
        };
    }
    let mut known: Table<Key, u32> = Table::default();
    let mut of_row = Vec::with_capacity(n_rows);
    let mut criteria = Vec::new();
    for row in 0..n_rows {
        let cell = criterion.at(row);
        let next = u32::try_from(criteria.len()).unwrap_or(NO_KEY);
        let number = match &cell {
            Cell::Error(_) => next,
            Cell::Empty => *known.entry(Key::of_number(0.0)).or_insert(next),
            cell => match Key::of(cell) {
                Some(key) => *known.entry(key).or_insert(next),
                None => next,
            },
        };
        if number == next {
            criteria.push(Criterion::read(&cell));
        }
        of_row.push(number);
    }
    Asked {
        column,
        of_row,
        criteria,
        keys: None,
    }
}

/// The value each criterion asks for; `None` when one asks for more than a single value.
fn keys_asked_for(asked: &Asked<'_>) -> Option<Vec<u32>> {
    let known = &asked.column.keys().of;
    asked
        .criteria
        .iter()
        .map(|criterion| {
            let Ok(criterion) = criterion else {
                return Some(NO_KEY);
            };
            let mut found = criterion
                .keys()?
                .into_iter()
                .filter_map(|key| known.get(&key).copied());
            match (found.next(), found.next()) {
                (None, _) => Some(NO_KEY),
                (Some(key), None) => Some(key),
                _ => None,
            }
        })
        .collect()
}

fn for_each_row<'a>(
    mut groups: Groups,
    asked: Vec<Asked<'a>>,
    value: &dyn Fn(usize) -> Cell<'a>,
    wanted: Wanted,
    n_rows: usize,
) -> Vector<'a> {
    let mut of_asking = vec![0; n_rows];
    let mut errors: Vec<Option<ErrorValue>> = vec![None; n_rows];
    let mut others = Vec::new();
    for mut asked in asked {
        if let Some(keys) = asked.keys.take() {
            groups.part(&asked.column, &keys, &mut of_asking);
            continue;
        }
        for (error, &number) in errors.iter_mut().zip(&asked.of_row) {
            if let Some(Err(found)) = asked.criteria.get(number as usize) {
                error.get_or_insert(*found);
            }
        }
        match keys_asked_for(&asked) {
            Some(keys) => {
                let key_of_asking: Vec<u32> = asked
                    .of_row
                    .iter()
                    .map(|&number| keys.get(number as usize).copied().unwrap_or(NO_KEY))
                    .collect();
                groups.part(&asked.column, &key_of_asking, &mut of_asking);
            }
            None => others.push(asked),
        }
    }
    let finish = |answer: &mut dyn FnMut(usize, u32) -> Answer<'a>| {
        let mut collector = Collector::new(n_rows);
        for (row, &group) in of_asking.iter().enumerate() {
            collector.push(match errors[row] {
                Some(error) => Cell::Error(error),
                None => Cell::from_answer(answer(row, group)),
            });
        }
        collector.finish()
    };
    if others.is_empty() {
        let mut tallies = vec![Tally::default(); groups.n];
        for (row, &group) in groups.of_row.iter().enumerate() {
            if let Some(tally) = tallies.get_mut(group as usize) {
                tally.add(&value(row));
            }
        }
        let none = Tally::default();
        return finish(&mut |_, group| tallies.get(group as usize).unwrap_or(&none).answer(wanted));
    }
    let by_order = others.iter().all(|asked| {
        Rc::ptr_eq(&asked.column.cells, &others[0].column.cells)
            && asked.criteria.iter().all(|criterion| match criterion {
                Err(_) | Ok(Criterion::Compares(..)) => true,
                // A sign alone, before a blank: no number compares with a text.
                Ok(Criterion::ComparesText(..)) => {
                    matches!(&*asked.column.cells, Vector::Numbers(_))
                }
                _ => false,
            })
    });
    if by_order {
        let extremes = matches!(wanted, Wanted::Smallest | Wanted::Largest);
        let ordered = Ordered::new(&groups, &others[0].column, value, extremes);
        return finish(&mut |row, group| {
            let mut comparisons = Vec::with_capacity(others.len());
            for asked in &others {
                match asked.criteria.get(asked.of_row[row] as usize) {
                    Some(Ok(Criterion::Compares(comparison, number))) => {
                        comparisons.push((*comparison, *number));
                    }
                    _ => return Tally::default().answer(wanted),
                }
            }
            ordered.tally(group, &comparisons).answer(wanted)
        });
    }
    let members = groups.members();
    let rows_of = |group: u32| members.get(group as usize).map_or(&[][..], Vec::as_slice);
    // Rows that ask the same share a question.
    let mut stages: Vec<Table<u64, u32>> = vec![Table::default(); others.len()];
    let mut n_questions = 0;
    let mut n_looks = 0;
    let question_of: Vec<u32> = of_asking
        .iter()
        .enumerate()
        .map(|(row, &group)| {
            let mut question = group;
            for (asked, questions) in others.iter().zip(&mut stages) {
                let next = u32::try_from(questions.len()).unwrap_or(NO_KEY);
                let place = u64::from(question) << 32 | u64::from(asked.of_row[row]);
                question = *questions.entry(place).or_insert(next);
            }
            if question == n_questions {
                n_questions += 1;
                n_looks += rows_of(group).len();
            }
            question
        })
        .collect();
    if n_looks > MOST_LOOKS {
        return Vector::One(Cell::Error(ErrorValue::Number));
    }
    let mut answers: Vec<Option<Answer<'a>>> = vec![None; n_questions as usize];
    finish(&mut |row, group| {
        let answer = || {
            let mut tally = Tally::default();
            for &member in rows_of(group) {
                let meets = others.iter().all(|asked| {
                    matches!(
                        asked.criteria.get(asked.of_row[row] as usize),
                        Some(Ok(criterion))
                            if criterion.meets(&asked.column.cells.at(member as usize))
                    )
                });
                if meets {
                    tally.add(&value(member as usize));
                }
            }
            tally.answer(wanted)
        };
        match answers.get_mut(question_of[row] as usize) {
            Some(known) => known.get_or_insert_with(answer).clone(),
            None => answer(),
        }
    })
}

/// Most cells that one function looks at when every row has to look through its group: some seconds of work,
/// enough for 30,000 rows in one group.
const MOST_LOOKS: usize = 1_000_000_000;
