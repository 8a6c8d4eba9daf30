//! A formula computed for all rows of a sheet at once.
//!
//! Enters: a tree, columns by sheet and key, the day that counts as today. Leaves: one value per row.
//! Always true: each part is computed for all rows before the next, so plain numbers stay plain numbers and
//! what concerns a whole column is worked out once; both sides of an IF are computed and the one that counts is
//! taken, which is the same as computing only that one, since an error is a value.
//! Never: reads a clock; grows without limit (texts made by one formula are bounded).

use std::cell::Cell as Counter;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::cell::{Answer, Cell, Str, finite};
use super::error_value::ErrorValue;
use super::function::{Function, Gives, ListRun, Run, Takes, find};
use super::held::Held;
use super::operators::{combine, plain};
use super::sample::{Base, Sample};
use super::tree::{ColumnName, Form, Node, Operator, Sign};
use super::vector::{Collector, Vector, map, map_to_text};

/// Most characters of a text.
pub const LONGEST_TEXT: usize = 32_767;

/// Most bytes of the texts that one formula makes.
const MOST_TEXT: usize = 256 << 20;

/// Where columns come from.
pub trait Columns<'a> {
    /// Number of rows of a sheet; `None` when there is no such sheet.
    fn n_rows(&self, sheet: &str) -> Option<usize>;

    /// A column of a sheet; `None` when there is none.
    fn column(&self, sheet: &str, key: &str) -> Option<Vector<'a>>;
}

/// What a row's computation may ask for beside its arguments.
pub struct Now {
    /// The day that counts as today, as a serial number; `None` when it is not known.
    pub today: Option<f64>,
    made: Counter<usize>,
}

impl Now {
    /// A text made by the formula.
    ///
    /// # Errors
    /// `#VALUE!` when it is too long, or when the formula has made too much text.
    pub fn text<'a>(&self, text: String) -> Answer<'a> {
        let made = self.made.get().saturating_add(text.len());
        self.made.set(made);
        let long = text.len() > LONGEST_TEXT && text.chars().count() > LONGEST_TEXT;
        if long || made > MOST_TEXT {
            return Err(ErrorValue::Value);
        }
        Ok(Cell::Text(Str::from(text)))
    }
}

/// What an argument that may be a whole column turned out to be.
pub enum Range<'a> {
    /// A whole column, or an array.
    Whole(Rc<Held<'a>>),
    /// A value for each row.
    Each(Rc<Vector<'a>>),
}

/// Computes formulas over one set of columns; what is worked out about a column serves them all.
pub struct Evaluation<'s, 'a> {
    source: &'s dyn Columns<'a>,
    /// What rows may ask for.
    pub now: Now,
    /// The sheet whose rows are computed.
    home: String,
    /// How many rows that sheet has.
    pub n_rows: usize,
    /// In arithmetic on whole columns.
    array: bool,
    held: BTreeMap<(String, String), Rc<Held<'a>>>,
}

impl<'s, 'a> Evaluation<'s, 'a> {
    /// Over some columns; `today` is a serial number.
    pub fn new(source: &'s dyn Columns<'a>, today: Option<f64>) -> Evaluation<'s, 'a> {
        Evaluation {
            source,
            now: Now {
                today,
                made: Counter::new(0),
            },
            home: String::new(),
            n_rows: 0,
            array: false,
            held: BTreeMap::new(),
        }
    }

    /// The values of a formula for the rows of a sheet.
    pub fn evaluate(&mut self, sheet: &str, formula: &Node) -> Rc<Vector<'a>> {
        self.home = sheet.to_owned();
        self.n_rows = self.source.n_rows(sheet).unwrap_or(0);
        self.array = false;
        self.now.made.set(0);
        self.scalar(formula)
    }

    /// Makes a computed column known to the formulas after it.
    pub fn put(&mut self, sheet: &str, key: &str, values: Rc<Vector<'a>>) {
        let n = self.source.n_rows(sheet).unwrap_or(0);
        self.held.insert(
            (sheet.to_owned(), key.to_owned()),
            Rc::new(Held::new(values, n)),
        );
    }

    /// The values of a part, one per row.
    pub fn scalar(&mut self, node: &Node) -> Rc<Vector<'a>> {
        match &node.form {
            Form::Number(number) => Rc::new(Vector::One(Cell::Number(*number))),
            Form::Text(text) => Rc::new(Vector::One(Cell::Text(Str::from(text.clone())))),
            Form::Error(error) => Rc::new(Vector::One(Cell::Error(*error))),
            Form::Column(name) => self.column(name),
            Form::Prefix(Sign::Plus, inner) => self.scalar(inner),
            Form::Prefix(Sign::Minus, inner) => {
                let inner = self.scalar(inner);
                let zero = Vector::One(Cell::Number(0.0));
                self.operate(Operator::Minus, &Rc::new(zero), &inner)
            }
            Form::Percent(inner) => {
                let inner = self.scalar(inner);
                let hundred = Vector::One(Cell::Number(100.0));
                self.operate(Operator::Divide, &inner, &Rc::new(hundred))
            }
            Form::Binary(operator, left, right) => {
                let left = self.scalar(left);
                let right = self.scalar(right);
                self.operate(*operator, &left, &right)
            }
            Form::Call {
                function,
                arguments,
                ..
            } => self.call(function, arguments),
            Form::Array(rows) => match rows.first().and_then(|row| row.first()) {
                Some(first) => self.scalar(first),
                None => Rc::new(Vector::One(Cell::Error(ErrorValue::Value))),
            },
        }
    }

    /// A column in a scalar place: this row's value. Rows of another sheet do not stand beside these.
    fn column(&mut self, name: &ColumnName) -> Rc<Vector<'a>> {
        let Some(held) = self.hold(name) else {
            return Rc::new(Vector::One(Cell::Error(ErrorValue::Name)));
        };
        match &name.sheet {
            Some(sheet) if *sheet != self.home => {
                Rc::new(Vector::One(Cell::Error(ErrorValue::Value)))
            }
            _ => held.cells.clone(),
        }
    }

    fn hold(&mut self, name: &ColumnName) -> Option<Rc<Held<'a>>> {
        let sheet = name.sheet.as_deref().unwrap_or(&self.home);
        let place = (sheet.to_owned(), name.key.clone());
        if let Some(held) = self.held.get(&place) {
            return Some(held.clone());
        }
        let n = self.source.n_rows(sheet)?;
        let held = Rc::new(Held::new(Rc::new(self.source.column(sheet, &name.key)?), n));
        self.held.insert(place, held.clone());
        Some(held)
    }

    /// The values of an argument; left empty it is blank, or 0 where any value is taken.
    pub fn argument(&mut self, argument: Option<&Node>, takes: Takes) -> Rc<Vector<'a>> {
        match argument {
            Some(node) => self.scalar(node),
            None if takes == Takes::Any => Rc::new(Vector::One(Cell::Number(0.0))),
            None => Rc::new(Vector::One(Cell::Empty)),
        }
    }

    /// An argument that may be a whole column.
    pub fn range(&mut self, argument: Option<&Node>) -> Range<'a> {
        let Some(node) = argument else {
            return Range::Each(Rc::new(Vector::One(Cell::Empty)));
        };
        match &node.form {
            Form::Column(name) => match self.hold(name) {
                Some(held) => Range::Whole(held),
                None => Range::Each(Rc::new(Vector::One(Cell::Error(ErrorValue::Name)))),
            },
            Form::Array(rows) => {
                let cells: Vec<Cell<'a>> = rows
                    .iter()
                    .flatten()
                    .map(|item| self.scalar(item).at(0))
                    .collect();
                let n = cells.len();
                let mut held = Held::new(Rc::new(Vector::Cells(cells)), n);
                held.n_columns = rows.first().map_or(1, Vec::len);
                Range::Whole(Rc::new(held))
            }
            _ => {
                let values = self.scalar(node);
                if self.array {
                    let n = if values.one().is_some() {
                        1
                    } else {
                        self.n_rows
                    };
                    Range::Whole(Rc::new(Held::new(values, n)))
                } else {
                    Range::Each(values)
                }
            }
        }
    }

    fn call(&mut self, name: &str, arguments: &[Option<Node>]) -> Rc<Vector<'a>> {
        let failed = |error| Rc::new(Vector::One(Cell::Error(error)));
        let Some(function) = find(name) else {
            return failed(ErrorValue::Name);
        };
        if !function.takes_count(arguments.len()) {
            return failed(ErrorValue::Value);
        }
        match function.run {
            Run::Rows(run) => {
                let values = self.arguments(function, arguments);
                let now = &self.now;
                let compute = |row: &[Cell<'a>]| {
                    if let Some(error) = row.iter().find_map(Cell::error) {
                        return Cell::Error(error);
                    }
                    Cell::from_answer(run(now, row))
                };
                Rc::new(if function.gives == Gives::Text {
                    map_to_text(&values, self.n_rows, compute)
                } else {
                    map(&values, self.n_rows, compute)
                })
            }
            Run::RowsWithErrors(run) => {
                let values = self.arguments(function, arguments);
                let now = &self.now;
                Rc::new(map(&values, self.n_rows, |row| {
                    Cell::from_answer(run(now, row))
                }))
            }
            Run::List(run) => self.list(arguments, run),
            Run::Columns(_) => self.with_columns(function, arguments),
            Run::Arrays(run) => {
                let answer = run(&self.arrays(arguments)).and_then(finite);
                Rc::new(Vector::One(Cell::from_answer(answer)))
            }
            Run::Whole(run) => run(self, arguments),
        }
    }

    /// Arguments that are arithmetic on whole columns.
    pub fn arrays(&mut self, arguments: &[Option<Node>]) -> Vec<Rc<Held<'a>>> {
        let before = (self.array, self.home.clone(), self.n_rows);
        self.turn_to_arrays(arguments);
        let held = arguments
            .iter()
            .map(|argument| match self.range(argument.as_ref()) {
                Range::Whole(held) => held,
                Range::Each(values) => Rc::new(Held::new(values, 1)),
            })
            .collect();
        (self.array, self.home, self.n_rows) = before;
        held
    }

    /// Arithmetic on whole columns goes over the rows of the sheet the columns are of.
    fn turn_to_arrays(&mut self, arguments: &[Option<Node>]) {
        self.array = true;
        let mut sheets = arguments
            .iter()
            .flatten()
            .flat_map(Node::columns)
            .map(|(name, _)| name.sheet.as_deref().unwrap_or(&self.home));
        let Some(first) = sheets.next() else {
            return;
        };
        if sheets.all(|sheet| sheet == first) {
            let first = first.to_owned();
            self.n_rows = self.source.n_rows(&first).unwrap_or(0);
            self.home = first;
        }
    }

    fn arguments(
        &mut self,
        function: &Function,
        arguments: &[Option<Node>],
    ) -> Vec<Rc<Vector<'a>>> {
        arguments
            .iter()
            .enumerate()
            .map(|(place, argument)| {
                let takes = function
                    .parameter(place)
                    .map_or(Takes::Any, |parameter| parameter.takes);
                self.argument(argument.as_ref(), takes)
            })
            .collect()
    }

    fn list(&mut self, arguments: &[Option<Node>], run: ListRun) -> Rc<Vector<'a>> {
        let mut base = Vec::new();
        let mut each = Vec::new();
        for argument in arguments {
            let listed = match self.range(argument.as_ref()) {
                Range::Whole(held) => held
                    .numbers()
                    .map(|numbers| base.extend_from_slice(numbers)),
                Range::Each(values) => match values.one() {
                    Some(cell) => listed(cell).map(|number| base.extend(number)),
                    None => {
                        each.push(values);
                        Ok(())
                    }
                },
            };
            if let Err(error) = listed {
                return Rc::new(Vector::One(Cell::Error(error)));
            }
        }
        let base = Base::new(base);
        let mut more = Vec::new();
        let mut compute = |row: usize| -> Answer<'a> {
            more.clear();
            for values in &each {
                more.extend(listed(&values.at(row))?);
            }
            run(&Sample::new(&base, &mut more)).and_then(finite)
        };
        if each.is_empty() {
            return Rc::new(Vector::One(Cell::from_answer(compute(0))));
        }
        let mut collector = Collector::new(self.n_rows);
        for row in 0..self.n_rows {
            collector.push(Cell::from_answer(compute(row)));
        }
        Rc::new(collector.finish())
    }

    fn with_columns(&mut self, function: &Function, arguments: &[Option<Node>]) -> Rc<Vector<'a>> {
        let Run::Columns(run) = function.run else {
            return Rc::new(Vector::One(Cell::Error(ErrorValue::Value)));
        };
        let mut columns = Vec::new();
        let mut values = Vec::new();
        let mut each = Vec::new();
        for (place, argument) in arguments.iter().enumerate() {
            let takes = function
                .parameter(place)
                .map_or(Takes::Any, |parameter| parameter.takes);
            if takes.is_whole() {
                match self.range(argument.as_ref()) {
                    Range::Whole(held) => columns.push(held),
                    Range::Each(vector) => {
                        if vector.one().is_none() {
                            each.push((columns.len(), vector.clone()));
                        }
                        columns.push(Rc::new(Held::new(vector, 1)));
                    }
                }
            } else {
                values.push(self.argument(argument.as_ref(), takes));
            }
        }
        let now = &self.now;
        let compute = |columns: &[Rc<Held<'a>>], row: &[Cell<'a>]| {
            if let Some(error) = row.iter().find_map(Cell::error) {
                return Cell::Error(error);
            }
            Cell::from_answer(run(now, columns, row))
        };
        if each.is_empty() {
            return Rc::new(map(&values, self.n_rows, |row| compute(&columns, row)));
        }
        // A value in the place of a column is a list of one, another in each row.
        let mut collector = Collector::new(self.n_rows);
        for row in 0..self.n_rows {
            for (place, vector) in &each {
                columns[*place] = Rc::new(Held::new(Rc::new(Vector::One(vector.at(row))), 1));
            }
            let cells: Vec<Cell<'a>> = values.iter().map(|vector| vector.at(row)).collect();
            collector.push(compute(&columns, &cells));
        }
        Rc::new(collector.finish())
    }

    fn operate(
        &self,
        operator: Operator,
        left: &Rc<Vector<'a>>,
        right: &Rc<Vector<'a>>,
    ) -> Rc<Vector<'a>> {
        if let Some(made) = plain(operator, left, right, self.n_rows) {
            return Rc::new(made);
        }
        let now = &self.now;
        let compute =
            |row: &[Cell<'a>]| Cell::from_answer(combine(now, operator, &row[0], &row[1]));
        let values = [left.clone(), right.clone()];
        Rc::new(if operator == Operator::Join {
            map_to_text(&values, self.n_rows, compute)
        } else {
            map(&values, self.n_rows, compute)
        })
    }
}

/// A value given directly to a list: a blank is left out, a text is refused.
pub fn listed(cell: &Cell<'_>) -> Result<Option<f64>, ErrorValue> {
    match cell {
        Cell::Empty => Ok(None),
        Cell::Text(_) => Err(ErrorValue::Value),
        cell => cell.number().map(Some),
    }
}
