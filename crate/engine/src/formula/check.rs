//! What can be said of a formula before it is computed.
//!
//! Enters: a tree and what is known of the columns. Leaves: findings with their places, and what the formula
//! gives.
//! Always true: a formula without an error here names only what is there; what it gives is right for every
//! row that has a value.
//! Never: looks at the value of a row.

use super::function::{Function, Gives, Takes, find};
use super::names::{ColumnAbout, Holds, Names, Numbers, nearest};
use super::print::column_text;
use super::text_value;
use super::tree::{ColumnName, Form, Node, Operator};
use super::trouble::{Span, Trouble};

/// What was found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Checked {
    /// Findings, in the order of the text.
    pub troubles: Vec<Trouble>,
    /// What the formula gives.
    pub gives: Holds,
}

/// Checks a formula that fills a column of a sheet.
pub fn check(sheet: &str, formula: &Node, names: &dyn Names) -> Checked {
    let mut check = Check {
        home: sheet,
        names,
        troubles: Vec::new(),
        blank_asked: blank_asked(formula),
        array: false,
    };
    let gives = check.part(formula);
    let mut troubles = check.troubles;
    troubles.sort_by_key(|trouble| (trouble.span.start, trouble.span.end));
    troubles.dedup();
    Checked { troubles, gives }
}

/// Columns whose blanks the formula looks after itself.
fn blank_asked(formula: &Node) -> Vec<ColumnName> {
    let mut asked = Vec::new();
    let mut ahead = vec![formula];
    while let Some(node) = ahead.pop() {
        if let Form::Call {
            function,
            arguments,
            ..
        } = &node.form
            && matches!(function.as_str(), "ISBLANK" | "ISNUMBER" | "ISTEXT")
            && let [
                Some(Node {
                    form: Form::Column(name),
                    ..
                }),
            ] = arguments.as_slice()
        {
            asked.push(name.clone());
        }
        ahead.extend(node.parts());
    }
    asked
}

struct Check<'c> {
    home: &'c str,
    names: &'c dyn Names,
    troubles: Vec<Trouble>,
    blank_asked: Vec<ColumnName>,
    /// In arithmetic on whole columns.
    array: bool,
}

impl Check<'_> {
    /// A part in a scalar place.
    fn part(&mut self, node: &Node) -> Holds {
        match &node.form {
            Form::Number(_) => Holds::NUMBERS,
            Form::Text(_) => Holds::TEXTS,
            Form::Error(_) => Holds::default(),
            Form::Column(name) => self
                .column(name, node.span, self.array)
                .map_or(Holds::default(), |about| about.holds),
            Form::Prefix(_, inner) | Form::Percent(inner) => {
                self.number(inner);
                Holds::NUMBERS
            }
            Form::Binary(operator, left, right) => self.binary(*operator, left, right),
            Form::Call {
                function,
                arguments,
            } => self.call(function, arguments, node.span),
            Form::Array(rows) => rows
                .iter()
                .flatten()
                .map(|item| self.part(item))
                .fold(Holds::default(), Holds::or),
        }
    }

    fn binary(&mut self, operator: Operator, left: &Node, right: &Node) -> Holds {
        match operator {
            Operator::Plus | Operator::Minus => {
                let (left, right) = (self.number(left), self.number(right));
                let dates = |holds: Holds| holds.numbers == Some(Numbers::Dates);
                // A date and a number is a date; a date less a date is a count of days.
                if dates(left) != dates(right) && (operator == Operator::Plus || dates(left)) {
                    Holds::DATES
                } else {
                    Holds::NUMBERS
                }
            }
            Operator::Times | Operator::Divide | Operator::Power => {
                self.number(left);
                self.number(right);
                Holds::NUMBERS
            }
            Operator::Join => {
                self.part(left);
                self.part(right);
                Holds::TEXTS
            }
            _ => {
                let (left_holds, right_holds) = (self.part(left), self.part(right));
                if matches!(operator, Operator::Equal | Operator::NotEqual) {
                    self.text_by_number(left_holds, right);
                    self.text_by_number(right_holds, left);
                }
                self.compared(left, right_holds);
                self.compared(right, left_holds);
                Holds::LOGICALS
            }
        }
    }

    /// A part that is computed with as a number.
    fn number(&mut self, node: &Node) -> Holds {
        let holds = self.part(node);
        match &node.form {
            Form::Text(text) if text_value::number(text).is_none() => {
                self.troubles.push(Trouble::error(
                    "formula.kind",
                    node.span,
                    "This text is no number, and a number is needed here.",
                    "Take the quotation marks off a column key, or use & to join texts.",
                ));
            }
            Form::Column(name) => {
                let Some(about) = self.lookup(name) else {
                    return holds;
                };
                if about.words {
                    self.troubles.push(Trouble::error(
                        "formula.kind",
                        node.span,
                        format!("{} holds words, and a number is needed here.", about.label),
                        "Compare it with a word, like sex = \"heifer\".",
                    ));
                }
                self.blanks_count_as_zero(name, &about, node.span);
            }
            _ => {}
        }
        holds
    }

    /// A column compared with a number, like `ratio < 95`.
    fn compared(&mut self, node: &Node, with: Holds) {
        if let Form::Column(name) = &node.form
            && with.numbers.is_some()
            && !with.texts
            && let Some(about) = self.lookup(name)
        {
            self.blanks_count_as_zero(name, &about, node.span);
        }
    }

    fn blanks_count_as_zero(&mut self, name: &ColumnName, about: &ColumnAbout, span: Span) {
        if about.words
            || about.n_blank == 0
            || self.blank_asked.contains(name)
            || about.holds.numbers.is_none()
        {
            return;
        }
        let rows = if about.n_blank == 1 {
            "1 row".to_owned()
        } else {
            format!("{} rows", about.n_blank)
        };
        let key = column_text(name);
        self.troubles.push(Trouble::remark(
            "formula.blank",
            span,
            format!("{} is blank in {rows}, and counts as 0 there.", about.label),
            format!(
                "To leave those rows without a value write IF(ISBLANK({key}); NA(); ...) around it."
            ),
        ));
    }

    fn lookup(&self, name: &ColumnName) -> Option<ColumnAbout> {
        self.names
            .column(name.sheet.as_deref().unwrap_or(self.home), &name.key)
    }

    /// A column; `whole` where all of it is meant.
    fn column(&mut self, name: &ColumnName, span: Span, whole: bool) -> Option<ColumnAbout> {
        let found = self.lookup(name);
        if found.is_none() {
            let trouble = self.unknown_column(name, span);
            self.troubles.push(trouble);
            return None;
        }
        if let Some(sheet) = &name.sheet
            && sheet != self.home
            && !whole
        {
            self.troubles.push(Trouble::error(
                "formula.column.other_sheet",
                span,
                format!("A row of {sheet} does not stand beside this row."),
                format!(
                    "Look the row up, like INDEX({}; MATCH(dam; '{sheet}'.tag; 0)).",
                    column_text(name)
                ),
            ));
        }
        found
    }

    fn unknown_column(&self, name: &ColumnName, span: Span) -> Trouble {
        let sheet = name.sheet.as_deref().unwrap_or(self.home);
        if !self.names.sheets().iter().any(|known| known == sheet) {
            return Trouble::error(
                "formula.sheet.unknown",
                span,
                format!("There is no sheet called {sheet}."),
                format!("The sheets are {}.", self.names.sheets().join(", ")),
            );
        }
        let upper = name.key.to_ascii_uppercase();
        if name.sheet.is_none() && (find(&upper).is_some()) {
            return Trouble::error(
                "formula.column.unknown",
                span,
                format!("{upper} is a function, and its brackets are missing."),
                format!("Write {upper}(...), or {upper}() when it takes nothing."),
            );
        }
        let columns = self.names.columns(sheet);
        let by_label = columns
            .iter()
            .find(|column| column.label.eq_ignore_ascii_case(&name.key));
        let near = by_label
            .map(|column| column.key.as_str())
            .or_else(|| nearest(&name.key, columns.iter().map(|column| column.key.as_str())));
        Trouble::error(
            "formula.column.unknown",
            span,
            format!("There is no column {} in {sheet}.", name.key),
            match near {
                Some(near) => format!("Did you mean {near}?"),
                None => "Choose one from the list; text stands between double quotation marks."
                    .to_owned(),
            },
        )
    }

    fn call(&mut self, name: &str, arguments: &[Option<Node>], span: Span) -> Holds {
        let name_span = Span::new(span.start, span.start + name.len());
        let Some(function) = find(name) else {
            let near = nearest(
                name,
                super::function::all().map(|(_, function)| function.name),
            );
            self.troubles.push(Trouble::error(
                "formula.function.unknown",
                name_span,
                format!("There is no function {name}."),
                match near {
                    Some(near) => format!("Did you mean {near}?"),
                    None => "Choose one from the list of functions.".to_owned(),
                },
            ));
            for argument in arguments.iter().flatten() {
                // Columns in it may be whole or not; only what is unknown can be said.
                for (name, span) in argument.columns() {
                    self.column(name, span, true);
                }
            }
            return Holds::default();
        };
        if !function.takes_count(arguments.len()) {
            self.troubles.push(Trouble::error(
                "formula.arguments",
                span,
                format!(
                    "{name} takes {}, and {} stand here.",
                    counted(function),
                    arguments.len()
                ),
                format!("Write it like {}.", function.signature()),
            ));
        }
        let array_before = self.array;
        let holds: Vec<Holds> = arguments
            .iter()
            .enumerate()
            .map(
                |(place, argument)| match (argument, function.parameter(place)) {
                    (Some(argument), Some(parameter)) => self.argument(argument, parameter.takes),
                    _ => Holds::default(),
                },
            )
            .collect();
        self.array = array_before;
        self.looked_for(function, arguments, &holds);
        gives(function, &holds)
    }

    fn argument(&mut self, argument: &Node, takes: Takes) -> Holds {
        self.array |= takes == Takes::Array;
        match (takes, &argument.form) {
            (Takes::List | Takes::Column | Takes::Array, Form::Column(name)) => self
                .column(name, argument.span, true)
                .map_or(Holds::default(), |about| about.holds),
            (Takes::Number | Takes::Date, _) => self.number(argument),
            _ => self.part(argument),
        }
    }

    /// A number looked for in a column of texts is never found.
    fn looked_for(&mut self, function: &Function, arguments: &[Option<Node>], holds: &[Holds]) {
        for (place, argument) in arguments.iter().enumerate() {
            let Some(argument) = argument else { continue };
            let takes = function.parameter(place).map(|parameter| parameter.takes);
            let column = match (takes, function.name) {
                (Some(Takes::Criterion), _) => place.checked_sub(1),
                (_, "MATCH" | "LOOKUP" | "VLOOKUP") if place == 0 => Some(1),
                _ => None,
            };
            if let Some(column) = column.and_then(|column| holds.get(column)) {
                self.text_by_number(*column, argument);
            }
        }
    }

    fn text_by_number(&mut self, column: Holds, by: &Node) {
        if column == Holds::TEXTS
            && let Form::Number(number) = by.form
        {
            self.troubles.push(Trouble::remark(
                "formula.text_by_number",
                by.span,
                "Texts are compared with a number here, and no text is a number.",
                format!("Write it as text: \"{}\".", text_value::number_text(number)),
            ));
        }
    }
}

/// What a function gives, from what its arguments hold.
fn gives(function: &Function, holds: &[Holds]) -> Holds {
    let first = match function.gives {
        Gives::Number => return Holds::NUMBERS,
        Gives::Text => return Holds::TEXTS,
        Gives::Logical => return Holds::LOGICALS,
        Gives::Date => return Holds::DATES,
        Gives::Like(first) => first,
    };
    let takes = |place: usize| function.parameter(place).map(|parameter| parameter.takes);
    match takes(first) {
        Some(Takes::Any | Takes::List) => {
            let all = holds
                .iter()
                .enumerate()
                .skip(first)
                .filter(|(place, _)| takes(*place) == takes(first))
                .fold(Holds::default(), |all, (_, holds)| all.or(*holds));
            if takes(first) == Some(Takes::List) {
                // Of a list only the numbers count.
                Holds {
                    numbers: all.numbers.or(Some(Numbers::Plain)),
                    ..Holds::default()
                }
            } else if function.name == "IF" && holds.len() < 3 {
                // Without an otherwise it gives FALSE.
                all.or(Holds::LOGICALS)
            } else {
                all
            }
        }
        _ => (0..=first)
            .rev()
            .filter(|place| takes(*place).is_some_and(Takes::is_whole))
            .find_map(|place| holds.get(place))
            .copied()
            .unwrap_or_default(),
    }
}

fn counted(function: &Function) -> String {
    let words = |n: usize| match n {
        0 => "nothing".to_owned(),
        1 => "1 argument".to_owned(),
        n => format!("{n} arguments"),
    };
    match (function.fewest(), function.most()) {
        (fewest, Some(most)) if fewest == most => words(fewest),
        (fewest, Some(most)) => format!("{fewest} to {}", words(most)),
        (fewest, None) => format!("at least {}", words(fewest)),
    }
}

#[cfg(test)]
mod tests;
