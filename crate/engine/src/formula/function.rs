//! The catalogue of functions: what each is called, takes, gives and means, and what computes it.
//!
//! Enters: a name. Leaves: everything known of the function; check, help and evaluation read it from here.
//! Always true: names are those of OpenFormula (ODF 1.3 part 4, section 6), but for the few whose section says
//! otherwise; the list is in the order of the alphabet within a group.
//! Never: computes anything itself.

use std::rc::Rc;

use super::cell::{Answer, Cell};
use super::error_value::ErrorValue;
use super::evaluate::{Evaluation, Now};
use super::functions;
use super::held::Held;
use super::sample::Sample;
use super::tree::Node;
use super::vector::Vector;

/// What an argument is taken as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// This row's number.
    Number,
    /// This row's text.
    Text,
    /// This row's TRUE or FALSE.
    Logical,
    /// This row's value, whatever it is.
    Any,
    /// This row's date.
    Date,
    /// Single values and whole columns.
    List,
    /// A whole column.
    Column,
    /// A criterion for the cells of the column before it.
    Criterion,
    /// A whole column, or arithmetic on whole columns.
    Array,
}

impl Takes {
    /// Whether a column named here is meant whole.
    pub const fn is_whole(self) -> bool {
        matches!(self, Takes::List | Takes::Column | Takes::Array)
    }
}

/// What a function gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gives {
    /// A number.
    Number,
    /// A text.
    Text,
    /// TRUE or FALSE.
    Logical,
    /// A date.
    Date,
    /// What its arguments from this place on are; 0 is the first.
    Like(usize),
}

/// One argument.
#[derive(Clone, Copy, Debug)]
pub struct Parameter {
    /// Its name in the help.
    pub name: &'static str,
    /// What it is taken as.
    pub takes: Takes,
    /// May be left out.
    pub optional: bool,
}

/// A group of functions in the help.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Group {
    /// Stable key.
    pub key: &'static str,
    /// What people read.
    pub label: &'static str,
}

/// Computes a row from the values of its arguments.
pub type RowRun = for<'a> fn(&Now, &[Cell<'a>]) -> Answer<'a>;
/// Computes from a list of numbers.
pub type ListRun = fn(&Sample<'_>) -> Result<f64, ErrorValue>;
/// Computes a row from whole columns and the values of the other arguments.
pub type ColumnRun = for<'a> fn(&Now, &[Rc<Held<'a>>], &[Cell<'a>]) -> Answer<'a>;
/// Computes one value from whole columns.
pub type ArrayRun = for<'a> fn(&[Rc<Held<'a>>]) -> Result<f64, ErrorValue>;
/// Computes all rows from the arguments themselves.
pub type WholeRun = for<'s, 'a> fn(&mut Evaluation<'s, 'a>, &[Option<Node>]) -> Rc<Vector<'a>>;

/// What computes a function.
#[derive(Clone, Copy)]
pub enum Run {
    /// Row by row; an error among the arguments is the answer.
    Rows(RowRun),
    /// Row by row; errors are handed to the function.
    RowsWithErrors(RowRun),
    /// From a list of numbers.
    List(ListRun),
    /// Row by row, with whole columns to look into.
    Columns(ColumnRun),
    /// Once, from arithmetic on whole columns.
    Arrays(ArrayRun),
    /// All rows at once.
    Whole(WholeRun),
}

/// A function.
#[derive(Clone, Copy)]
pub struct Function {
    /// Its name.
    pub name: &'static str,
    /// Where its meaning is laid down: a section of OpenFormula, or words.
    pub section: &'static str,
    /// What it takes.
    pub parameters: &'static [Parameter],
    /// How many of the last parameters may come again and again.
    pub repeats: usize,
    /// What it gives.
    pub gives: Gives,
    /// One plain sentence.
    pub help: &'static str,
    /// An example.
    pub example: &'static str,
    /// What computes it.
    pub run: Run,
}

/// Writes a function down: `"NAME" (parameters) -> gives, section, run, help, example`.
macro_rules! function {
    ($name:literal ( $($parameter:literal $takes:ident $($optional:ident)?),* ) $(repeats $repeats:literal)?
     -> $gives:expr, $section:literal, $run:expr, $help:literal, $example:literal) => {
        $crate::formula::function::Function {
            name: $name,
            section: $section,
            parameters: &[$($crate::formula::function::Parameter {
                name: $parameter,
                takes: $crate::formula::function::Takes::$takes,
                optional: function!(@optional $($optional)?),
            }),*],
            repeats: function!(@repeats $($repeats)?),
            gives: $gives,
            help: $help,
            example: $example,
            run: $run,
        }
    };
    (@optional) => { false };
    (@optional optional) => { true };
    (@repeats) => { 0 };
    (@repeats $repeats:literal) => { $repeats };
}
pub(super) use function;

/// All functions, group by group.
pub const GROUPS: [(Group, &[Function]); 8] = [
    functions::logic::GROUP,
    functions::lookup::GROUP,
    functions::criteria::GROUP,
    functions::statistics::GROUP,
    functions::math::GROUP,
    functions::dates::GROUP,
    functions::text::GROUP,
    functions::information::GROUP,
];

/// Names of old files for functions whose name is now shorter here.
const ALSO: [(&str, &str); 2] = [
    ("LEGACY.NORMSDIST", "NORMSDIST"),
    ("LEGACY.NORMSINV", "NORMSINV"),
];

/// All functions with their groups.
pub fn all() -> impl Iterator<Item = (Group, &'static Function)> {
    GROUPS
        .iter()
        .flat_map(|(group, functions)| functions.iter().map(|function| (*group, function)))
}

/// The function with a name in capitals.
pub fn find(name: &str) -> Option<&'static Function> {
    let name = ALSO
        .iter()
        .find(|(other, _)| *other == name)
        .map_or(name, |(_, name)| name);
    all()
        .map(|(_, function)| function)
        .find(|function| function.name == name)
}

impl Function {
    /// The parameter that stands for the argument at a place.
    pub fn parameter(&self, place: usize) -> Option<&'static Parameter> {
        self.parameters.get(place).or_else(|| {
            let beyond = place.checked_sub(self.parameters.len())?;
            let first = self.parameters.len().checked_sub(self.repeats)?;
            (self.repeats > 0).then(|| &self.parameters[first + beyond % self.repeats])
        })
    }

    /// Fewest arguments.
    pub fn fewest(&self) -> usize {
        self.parameters
            .iter()
            .filter(|parameter| !parameter.optional)
            .count()
    }

    /// Most arguments; `None` without limit.
    pub fn most(&self) -> Option<usize> {
        (self.repeats == 0).then_some(self.parameters.len())
    }

    /// Whether it takes so many arguments.
    pub fn takes_count(&self, n: usize) -> bool {
        let whole_rounds = match n.checked_sub(self.parameters.len()) {
            Some(beyond) if self.repeats > 1 => beyond % self.repeats == 0,
            _ => true,
        };
        n >= self.fewest() && self.most().is_none_or(|most| n <= most) && whole_rounds
    }

    /// How it is written: `ROUND(number; digits?)`; a question mark may be left out, dots come again.
    pub fn signature(&self) -> String {
        let parameters: Vec<String> = self
            .parameters
            .iter()
            .map(|parameter| {
                let mark = if parameter.optional { "?" } else { "" };
                format!("{}{mark}", parameter.name)
            })
            .collect();
        let more = if self.repeats > 0 { "; ..." } else { "" };
        format!("{}({}{more})", self.name, parameters.join("; "))
    }
}
