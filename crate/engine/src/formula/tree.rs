//! A formula as a tree.
//!
//! Enters: parts with their places. Leaves: the tree that [`super::print`] writes and `evaluate` computes.
//! Always true: no tree is deeper than [`DEEPEST`], so walking one by recursion is safe; two trees are equal
//! when they say the same, wherever their parts stood in the text.
//! Never: holds a value of a row.

use super::error_value::ErrorValue;
use super::trouble::Span;

/// Most levels of a tree. Each takes a few hundred bytes of stack, of which a browser gives a megabyte.
pub const DEEPEST: usize = 120;

/// A part of a formula.
#[derive(Clone, Debug)]
pub struct Node {
    /// Where it stands in the text.
    pub span: Span,
    /// What it says.
    pub form: Form,
    /// Levels from here down, 1 for a part without parts.
    pub depth: usize,
}

impl PartialEq for Node {
    fn eq(&self, other: &Node) -> bool {
        self.form == other.form
    }
}

/// What a part says.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// A number, not negative.
    Number(f64),
    /// A text.
    Text(String),
    /// An error written out.
    Error(ErrorValue),
    /// A column.
    Column(ColumnName),
    /// A sign before a part.
    Prefix(Sign, Box<Node>),
    /// A part followed by `%`.
    Percent(Box<Node>),
    /// Two parts and what stands between them.
    Binary(Operator, Box<Node>, Box<Node>),
    /// A function with its arguments; an argument left empty is `None`. Its name stands where it begins.
    Call {
        /// The function's name in capitals.
        function: String,
        /// The arguments.
        arguments: Vec<Option<Node>>,
    },
    /// An inline array: rows of numbers, texts and errors.
    Array(Vec<Vec<Node>>),
}

/// The name of a column.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ColumnName {
    /// The sheet, when it is not the formula's own.
    pub sheet: Option<String>,
    /// The column's key.
    pub key: String,
}

/// A sign before a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// `+`, which changes nothing.
    Plus,
    /// `-`.
    Minus,
}

/// What stands between two parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Operator {
    /// `^`
    Power,
    /// `*`
    Times,
    /// `/`
    Divide,
    /// `+`
    Plus,
    /// `-`
    Minus,
    /// `&`
    Join,
    /// `=`
    Equal,
    /// `<>`
    NotEqual,
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    More,
    /// `>=`
    AtLeast,
}

impl Operator {
    /// How it is written.
    pub const fn sign(self) -> &'static str {
        match self {
            Operator::Power => "^",
            Operator::Times => "*",
            Operator::Divide => "/",
            Operator::Plus => "+",
            Operator::Minus => "-",
            Operator::Join => "&",
            Operator::Equal => "=",
            Operator::NotEqual => "<>",
            Operator::Less => "<",
            Operator::AtMost => "<=",
            Operator::More => ">",
            Operator::AtLeast => ">=",
        }
    }

    /// How tightly it binds (OpenFormula 5.5, Table 1); all of them group from the left.
    pub const fn binding(self) -> u8 {
        match self {
            Operator::Power => 5,
            Operator::Times | Operator::Divide => 4,
            Operator::Plus | Operator::Minus => 3,
            Operator::Join => 2,
            _ => 1,
        }
    }
}

impl Node {
    /// A part; its depth follows from what it holds.
    pub fn new(span: Span, form: Form) -> Node {
        let below = match &form {
            Form::Prefix(_, inner) | Form::Percent(inner) => inner.depth,
            Form::Binary(_, left, right) => left.depth.max(right.depth),
            Form::Call { arguments, .. } => arguments
                .iter()
                .flatten()
                .map(|argument| argument.depth)
                .max()
                .unwrap_or(0),
            Form::Array(_) => 1,
            _ => 0,
        };
        Node {
            span,
            form,
            depth: below + 1,
        }
    }

    /// The parts directly inside this one.
    pub fn parts(&self) -> Vec<&Node> {
        match &self.form {
            Form::Prefix(_, inner) | Form::Percent(inner) => vec![inner],
            Form::Binary(_, left, right) => vec![left, right],
            Form::Call { arguments, .. } => arguments.iter().flatten().collect(),
            Form::Array(rows) => rows.iter().flatten().collect(),
            _ => Vec::new(),
        }
    }

    /// Every column named in it, with its place, in the order of the text.
    pub fn columns(&self) -> Vec<(&ColumnName, Span)> {
        let mut found = Vec::new();
        let mut ahead = vec![self];
        while let Some(node) = ahead.pop() {
            if let Form::Column(name) = &node.form {
                found.push((name, node.span));
            }
            ahead.extend(node.parts().into_iter().rev());
        }
        found
    }
}
