//! The text of a formula read into a tree.
//!
//! Enters: text, with or without the `=` in front. Leaves: a tree, or the first trouble with its place.
//! Always true: what binds how tightly is OpenFormula 5.5, Table 1; no text makes the reader go deeper than
//! [`DEEPEST`]; `parse(print(tree))` is the same tree.
//! Never: looks a column or a function up; that is `check`.

use super::token::{Token, tokens};
use super::tree::{ColumnName, DEEPEST, Form, Node, Operator, Sign};
use super::trouble::{Span, Trouble};

/// Most bytes of a formula.
pub const LONGEST: usize = 8_000;

/// Most arguments of a function: each takes room for all rows at once.
pub const MOST_ARGUMENTS: usize = 100;

/// Reads a formula.
///
/// # Errors
/// The first trouble: `formula.*`.
pub fn parse(text: &str) -> Result<Node, Trouble> {
    if text.len() > LONGEST {
        return Err(Trouble::error(
            "formula.long",
            Span::new(0, text.len()),
            format!("The formula is longer than {LONGEST} characters."),
            "Put a part of it into a column of its own and use that column.",
        ));
    }
    let mut reader = Reader {
        tokens: tokens(text)?,
        at: 0,
        end: text.len(),
        level: 0,
    };
    if reader.peek() == Some(&Token::Operator(Operator::Equal)) {
        reader.at += 1;
    }
    let node = reader.expression(0)?;
    match reader.peek() {
        None => Ok(node),
        Some(Token::Close) => Err(Trouble::error(
            "formula.bracket",
            reader.span(),
            "This bracket closes nothing.",
            "Take it out, or open one before it.",
        )),
        Some(_) => Err(reader.missing_operator()),
    }
}

struct Reader {
    tokens: Vec<(Token, Span)>,
    at: usize,
    /// Where the text ends.
    end: usize,
    level: usize,
}

impl Reader {
    fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.at).map(|(token, _)| token)
    }

    /// The place of the next token, or of the end.
    fn span(&self) -> Span {
        self.tokens
            .get(self.at)
            .map_or(Span::new(self.end, self.end), |(_, span)| *span)
    }

    fn take(&mut self) -> Option<(Token, Span)> {
        let taken = self.tokens.get(self.at).cloned();
        self.at += usize::from(taken.is_some());
        taken
    }

    fn take_if(&mut self, token: &Token) -> Option<Span> {
        (self.peek() == Some(token)).then(|| {
            let span = self.span();
            self.at += 1;
            span
        })
    }

    fn missing_operator(&self) -> Trouble {
        Trouble::error(
            "formula.operator",
            self.span(),
            "A sign like +, *, & or = is missing before this.",
            "Put it in, or take this out.",
        )
    }

    fn node(&self, span: Span, form: Form) -> Result<Node, Trouble> {
        let node = Node::new(span, form);
        if node.depth > DEEPEST {
            return Err(too_deep(span));
        }
        Ok(node)
    }

    fn expression(&mut self, least: u8) -> Result<Node, Trouble> {
        let mut left = self.operand()?;
        while let Some(Token::Operator(operator)) = self.peek() {
            let operator = *operator;
            if operator.binding() <= least {
                break;
            }
            self.at += 1;
            let right = self.expression(operator.binding())?;
            let span = left.span.to(right.span);
            left = self.node(
                span,
                Form::Binary(operator, Box::new(left), Box::new(right)),
            )?;
        }
        Ok(left)
    }

    /// Signs, a part, and percents after it: a sign binds tighter than `%`.
    fn operand(&mut self) -> Result<Node, Trouble> {
        let mut signs = Vec::new();
        while let Some(Token::Operator(operator @ (Operator::Plus | Operator::Minus))) = self.peek()
        {
            let sign = if *operator == Operator::Plus {
                Sign::Plus
            } else {
                Sign::Minus
            };
            signs.push((sign, self.span()));
            self.at += 1;
        }
        let mut node = self.part()?;
        for (sign, span) in signs.into_iter().rev() {
            let span = span.to(node.span);
            node = self.node(span, Form::Prefix(sign, Box::new(node)))?;
        }
        while let Some(span) = self.take_if(&Token::Percent) {
            let span = node.span.to(span);
            node = self.node(span, Form::Percent(Box::new(node)))?;
        }
        Ok(node)
    }

    fn part(&mut self) -> Result<Node, Trouble> {
        let Some((token, span)) = self.take() else {
            return Err(self.missing_part(self.span()));
        };
        let form = match token {
            Token::Number(number) => Form::Number(number),
            Token::Text(text) => Form::Text(text),
            Token::Error(error) => Form::Error(error),
            Token::Open => return self.in_brackets(span),
            Token::OpenArray => return self.array(span),
            Token::Name(name) => {
                return match self.peek() {
                    Some(Token::Open) => self.call(&name, span),
                    Some(Token::Dot) => self.column_of(name, span),
                    _ => self.plain_column(&name, span),
                };
            }
            Token::Quoted(name) => return self.column_of(name, span),
            Token::TwoDollars => return self.column(None, span),
            Token::Dollar => {
                return match self.take() {
                    Some((Token::Name(name), after)) if self.peek() != Some(&Token::Dot) => {
                        self.plain_column(&name, span.to(after))
                    }
                    Some((Token::Name(name) | Token::Quoted(name), after)) => {
                        self.column_of(name, span.to(after))
                    }
                    _ => Err(column_expected(span)),
                };
            }
            _ => return Err(self.missing_part(span)),
        };
        self.node(span, form)
    }

    fn missing_part(&self, span: Span) -> Trouble {
        let (message, hint) = if self.tokens.is_empty() {
            (
                "There is no formula yet.",
                "Type one, like wean_weight - birth_weight.",
            )
        } else {
            (
                "A number, a text, a column or a function is missing here.",
                "Put it in, or take the sign before it out.",
            )
        };
        Trouble::error("formula.part", span, message, hint)
    }

    /// A name without quotation marks: `key`, or `sheet.key`.
    fn plain_column(&self, name: &str, span: Span) -> Result<Node, Trouble> {
        let (sheet, key) = match name.split_once('.') {
            Some((sheet, key)) => (Some(sheet.to_owned()), key),
            None => (None, name),
        };
        self.node(
            span,
            Form::Column(ColumnName {
                sheet,
                key: key.to_owned(),
            }),
        )
    }

    /// The column after a sheet's name.
    fn column_of(&mut self, sheet: String, span: Span) -> Result<Node, Trouble> {
        if self.take_if(&Token::Dot).is_none() {
            return Err(Trouble::error(
                "formula.sheet_dot",
                span,
                "A name between single quotation marks is a sheet, and its column is missing.",
                "Write 'cows'.birth_date, or put text between double quotation marks.",
            ));
        }
        if let Some(dollars) = self.take_if(&Token::TwoDollars) {
            return self.column(Some(sheet), span.to(dollars));
        }
        match self.take() {
            Some((Token::Name(key), after)) if !key.contains('.') => self.node(
                span.to(after),
                Form::Column(ColumnName {
                    sheet: Some(sheet),
                    key,
                }),
            ),
            _ => Err(column_expected(span)),
        }
    }

    /// The quoted or plain name after `$$`.
    fn column(&mut self, sheet: Option<String>, span: Span) -> Result<Node, Trouble> {
        match self.take() {
            Some((Token::Quoted(key), after)) if !key.is_empty() => {
                self.node(span.to(after), Form::Column(ColumnName { sheet, key }))
            }
            Some((Token::Name(key), after)) if !key.contains('.') => {
                self.node(span.to(after), Form::Column(ColumnName { sheet, key }))
            }
            _ => Err(column_expected(span)),
        }
    }

    fn deeper(&mut self, span: Span) -> Result<(), Trouble> {
        self.level += 1;
        if self.level > DEEPEST {
            return Err(too_deep(span));
        }
        Ok(())
    }

    fn in_brackets(&mut self, open: Span) -> Result<Node, Trouble> {
        self.deeper(open)?;
        let inside = self.expression(0)?;
        self.level -= 1;
        self.close(open, &Token::Close)?;
        Ok(inside)
    }

    fn close(&mut self, open: Span, with: &Token) -> Result<Span, Trouble> {
        if let Some(span) = self.take_if(with) {
            return Ok(span);
        }
        if self.peek().is_none() {
            return Err(Trouble::error(
                "formula.bracket",
                open,
                "The bracket that opens here is never closed.",
                "Put the closing bracket where its part ends.",
            ));
        }
        Err(self.missing_operator())
    }

    fn call(&mut self, name: &str, name_span: Span) -> Result<Node, Trouble> {
        let open = self.span();
        self.at += 1;
        self.deeper(open)?;
        let mut arguments = Vec::new();
        if self.peek() != Some(&Token::Close) {
            loop {
                let empty = matches!(self.peek(), Some(Token::Separator | Token::Close));
                arguments.push(if empty {
                    None
                } else {
                    Some(self.expression(0)?)
                });
                if self.take_if(&Token::Separator).is_none() {
                    break;
                }
                if arguments.len() == MOST_ARGUMENTS {
                    return Err(Trouble::error(
                        "formula.arguments",
                        name_span,
                        format!("A function takes at most {MOST_ARGUMENTS} arguments."),
                        "Put a part of them into a column of its own and use that column.",
                    ));
                }
            }
        }
        self.level -= 1;
        let close = self.close(open, &Token::Close)?;
        self.node(
            name_span.to(close),
            Form::Call {
                function: name.to_ascii_uppercase(),
                arguments,
            },
        )
    }

    fn array(&mut self, open: Span) -> Result<Node, Trouble> {
        let mut rows = vec![Vec::new()];
        loop {
            let negative = self.take_if(&Token::Operator(Operator::Minus));
            let Some((token, span)) = self.take() else {
                return Err(self.missing_part(self.span()));
            };
            let form = match (token, negative) {
                (Token::Number(number), _) => Form::Number(number),
                (Token::Text(text), None) => Form::Text(text),
                (Token::Error(error), None) => Form::Error(error),
                _ => {
                    return Err(Trouble::error(
                        "formula.array",
                        span,
                        "Between { and } only numbers, texts and errors may stand.",
                        "Write the values out, like {2;54|3;36}.",
                    ));
                }
            };
            let mut item = self.node(span, form)?;
            if let Some(minus) = negative {
                item = self.node(minus.to(span), Form::Prefix(Sign::Minus, Box::new(item)))?;
            }
            if let Some(row) = rows.last_mut() {
                row.push(item);
            }
            if self.take_if(&Token::Separator).is_some() {
                continue;
            }
            if self.take_if(&Token::RowSeparator).is_some() {
                rows.push(Vec::new());
                continue;
            }
            break;
        }
        let close = self.close(open, &Token::CloseArray)?;
        let span = open.to(close);
        if rows.iter().any(|row| row.len() != rows[0].len()) {
            return Err(Trouble::error(
                "formula.array",
                span,
                "The rows between { and } do not have the same number of values.",
                "Rows are parted by | and the values of a row by a semicolon.",
            ));
        }
        self.node(span, Form::Array(rows))
    }
}

fn too_deep(span: Span) -> Trouble {
    Trouble::error(
        "formula.deep",
        span,
        format!("The formula goes more than {DEEPEST} levels deep."),
        "Put a part of it into a column of its own and use that column.",
    )
}

fn column_expected(span: Span) -> Trouble {
    Trouble::error(
        "formula.column_name",
        span,
        "The name of a column is missing here.",
        "Write its key, like birth_date, or between single quotation marks after $$, like $$'205_day'.",
    )
}
