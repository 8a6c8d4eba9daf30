//! A column of values while a formula is computed.
//!
//! Enters: typed columns, borrowed from the book. Leaves: typed columns.
//! Always true: the form says what may stand in it, so that plain numbers are computed as plain numbers; a
//! blank among numbers is NaN and nothing else is.
//! Never: knows how many rows it stands for when all are alike.

use std::borrow::Cow;
use std::rc::Rc;

use super::cell::{Cell, Str};
use super::held::Table;
use crate::sheet::column::{Cells, Column, Kind, Value};
use crate::sheet::interned::NO_TEXT;

/// Values, one per row.
#[derive(Clone, Debug)]
pub enum Vector<'a> {
    /// The same in every row.
    One(Cell<'a>),
    /// Finite numbers, NaN where blank.
    Numbers(Cow<'a, [f64]>),
    /// TRUE or FALSE in every row.
    Logicals(Vec<bool>),
    /// A place in a list of texts, [`NO_TEXT`] where blank. A text may stand in the list twice.
    Texts {
        /// Place per row.
        codes: Cow<'a, [u32]>,
        /// The texts.
        texts: Rc<[Str<'a>]>,
    },
    /// Anything.
    Cells(Vec<Cell<'a>>),
}

impl<'a> Vector<'a> {
    /// The value of a row; blank beyond the end.
    pub fn at(&self, row: usize) -> Cell<'a> {
        match self {
            Vector::One(cell) => cell.clone(),
            Vector::Numbers(numbers) => match numbers.get(row) {
                Some(number) if !number.is_nan() => Cell::Number(*number),
                _ => Cell::Empty,
            },
            Vector::Logicals(logicals) => logicals
                .get(row)
                .map_or(Cell::Empty, |logical| Cell::Logical(*logical)),
            Vector::Texts { codes, texts } => codes
                .get(row)
                .and_then(|&code| texts.get(code as usize))
                .map_or(Cell::Empty, |text| Cell::Text(text.clone())),
            Vector::Cells(cells) => cells.get(row).cloned().unwrap_or(Cell::Empty),
        }
    }

    /// The value of every row, when they are all alike.
    pub fn one(&self) -> Option<&Cell<'a>> {
        match self {
            Vector::One(cell) => Some(cell),
            _ => None,
        }
    }

    /// A column of a sheet. What could not be read counts as the text that stands there, so that it gives an
    /// error in arithmetic and never a number.
    pub fn of_column(column: &'a Column) -> Vector<'a> {
        let whole = match &column.cells {
            Cells::Number(numbers) => Vector::Numbers(Cow::Borrowed(numbers)),
            Cells::Day(days) => Vector::Numbers(Cow::Owned(
                days.iter()
                    .map(|day| {
                        if day.is_missing() {
                            f64::NAN
                        } else {
                            super::date_serial::serial_of(*day)
                        }
                    })
                    .collect(),
            )),
            Cells::Text(cells) => Vector::Texts {
                codes: Cow::Borrowed(cells.codes()),
                texts: cells.texts().map(Str::Borrowed).collect(),
            },
            Cells::Code(codes) => {
                let words = match column.kind {
                    Kind::Code(codes) => codes.words,
                    _ => &[],
                };
                Vector::Texts {
                    codes: Cow::Owned(
                        codes
                            .iter()
                            .map(|&code| {
                                if usize::from(code) < words.len() {
                                    u32::from(code)
                                } else {
                                    NO_TEXT
                                }
                            })
                            .collect(),
                    ),
                    texts: words.iter().map(|word| Str::Borrowed(word.key)).collect(),
                }
            }
        };
        if column.unreadable.is_empty() {
            return whole;
        }
        let mut cells: Vec<Cell<'a>> = (0..column.len()).map(|row| whole.at(row)).collect();
        for (&row, text) in &column.unreadable {
            if let Some(cell) = cells.get_mut(row as usize) {
                *cell = Cell::Text(Str::Borrowed(text));
            }
        }
        Vector::Cells(cells)
    }

    /// One value of a sheet.
    pub fn of_value(value: Value) -> Cell<'static> {
        match value {
            Value::Missing => Cell::Empty,
            Value::Number(number) => Cell::Number(number),
            Value::Day(day) => Cell::Number(super::date_serial::serial_of(day)),
            Value::Text(text) | Value::Unreadable(text) => Cell::Text(text.into()),
        }
    }
}

/// Collects values row by row in the plainest form that holds them.
pub enum Collector<'a> {
    /// Only numbers and blanks so far.
    Numbers(Vec<f64>),
    /// Only TRUE and FALSE so far.
    Logicals(Vec<bool>),
    /// Anything.
    Cells(Vec<Cell<'a>>),
}

impl<'a> Collector<'a> {
    /// Room for `n` values.
    pub fn new(n: usize) -> Collector<'a> {
        Collector::Numbers(Vec::with_capacity(n))
    }

    /// Adds the value of the next row.
    pub fn push(&mut self, cell: Cell<'a>) {
        match (&mut *self, cell) {
            (Collector::Numbers(numbers), Cell::Number(number)) => numbers.push(number),
            (Collector::Numbers(numbers), Cell::Empty) => numbers.push(f64::NAN),
            (Collector::Logicals(logicals), Cell::Logical(logical)) => logicals.push(logical),
            (Collector::Cells(cells), cell) => cells.push(cell),
            (Collector::Numbers(numbers), Cell::Logical(logical)) if numbers.is_empty() => {
                let mut logicals = Vec::with_capacity(numbers.capacity());
                logicals.push(logical);
                *self = Collector::Logicals(logicals);
            }
            (_, cell) => {
                let mut cells = self.cells();
                cells.push(cell);
                *self = Collector::Cells(cells);
            }
        }
    }

    fn cells(&mut self) -> Vec<Cell<'a>> {
        fn widened<'a, T>(
            values: &[T],
            room: usize,
            cell: impl Fn(&T) -> Cell<'a>,
        ) -> Vec<Cell<'a>> {
            let mut cells = Vec::with_capacity(room);
            cells.extend(values.iter().map(cell));
            cells
        }
        match self {
            Collector::Numbers(numbers) => widened(numbers, numbers.capacity(), |number| {
                if number.is_nan() {
                    Cell::Empty
                } else {
                    Cell::Number(*number)
                }
            }),
            Collector::Logicals(logicals) => widened(logicals, logicals.capacity(), |logical| {
                Cell::Logical(*logical)
            }),
            Collector::Cells(cells) => std::mem::take(cells),
        }
    }

    /// The values.
    pub fn finish(self) -> Vector<'a> {
        match self {
            Collector::Numbers(numbers) => Vector::Numbers(Cow::Owned(numbers)),
            Collector::Logicals(logicals) => Vector::Logicals(logicals),
            Collector::Cells(cells) => Vector::Cells(cells),
        }
    }
}

/// Computes a value for every row from the values of some vectors. What depends on one text column only is
/// computed once per text of its list.
pub fn map<'a>(
    arguments: &[Rc<Vector<'a>>],
    n_rows: usize,
    compute: impl Fn(&[Cell<'a>]) -> Cell<'a>,
) -> Vector<'a> {
    let mut row: Vec<Cell<'a>> = arguments.iter().map(|vector| vector.at(0)).collect();
    let mut varying = arguments
        .iter()
        .enumerate()
        .filter(|(_, vector)| vector.one().is_none());
    match (varying.next(), varying.next()) {
        (None, _) => return Vector::One(compute(&row)),
        (Some((at, vector)), None) => {
            if let Vector::Texts { codes, texts } = &**vector
                && texts.len() <= n_rows
            {
                let mut compute_for = |cell| {
                    row[at] = cell;
                    compute(&row)
                };
                let blank = compute_for(Cell::Empty);
                let made: Vec<Cell<'a>> = texts
                    .iter()
                    .map(|text| compute_for(Cell::Text(text.clone())))
                    .collect();
                return spread(codes, &made, &blank);
            }
        }
        _ => {}
    }
    let mut collector = Collector::new(n_rows);
    for at in 0..n_rows {
        for (cell, vector) in row.iter_mut().zip(arguments) {
            if vector.one().is_none() {
                *cell = vector.at(at);
            }
        }
        collector.push(compute(&row));
    }
    collector.finish()
}

/// As [`map`], for what makes text: of numbers too, each value is computed once, so that what is asked of the
/// texts afterwards is asked once as well.
pub fn map_to_text<'a>(
    arguments: &[Rc<Vector<'a>>],
    n_rows: usize,
    compute: impl Fn(&[Cell<'a>]) -> Cell<'a>,
) -> Vector<'a> {
    let mut varying = arguments
        .iter()
        .enumerate()
        .filter(|(_, vector)| vector.one().is_none());
    let (Some((at, vector)), None) = (varying.next(), varying.next()) else {
        return map(arguments, n_rows, compute);
    };
    let Vector::Numbers(numbers) = &**vector else {
        return map(arguments, n_rows, compute);
    };
    let mut row: Vec<Cell<'a>> = arguments.iter().map(|vector| vector.at(0)).collect();
    let mut compute_for = |cell| {
        row[at] = cell;
        compute(&row)
    };
    let mut known: Table<u64, u32> = Table::default();
    let mut made = Vec::new();
    let mut codes = Vec::with_capacity(numbers.len());
    for number in numbers.iter() {
        if number.is_nan() {
            codes.push(NO_TEXT);
            continue;
        }
        let next = u32::try_from(made.len()).unwrap_or(NO_TEXT);
        let code = *known.entry(number.to_bits()).or_insert(next);
        if code == next {
            made.push(compute_for(Cell::Number(*number)));
        }
        codes.push(code);
    }
    let blank = compute_for(Cell::Empty);
    spread(&codes, &made, &blank)
}

/// The values of a list, spread over the rows by their place in it.
pub fn spread<'a>(codes: &[u32], list: &[Cell<'a>], blank: &Cell<'a>) -> Vector<'a> {
    let texts: Option<Vec<Str<'a>>> = list
        .iter()
        .chain([blank])
        .map(|cell| match cell {
            Cell::Text(text) => Some(text.clone()),
            _ => None,
        })
        .collect();
    if let Some(texts) = texts {
        let beyond = u32::try_from(list.len()).unwrap_or(NO_TEXT);
        return Vector::Texts {
            codes: codes.iter().map(|&code| code.min(beyond)).collect(),
            texts: texts.into(),
        };
    }
    let mut collector = Collector::new(codes.len());
    for &code in codes {
        collector.push(list.get(code as usize).unwrap_or(blank).clone());
    }
    collector.finish()
}
