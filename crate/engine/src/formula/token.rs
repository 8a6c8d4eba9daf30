//! The text of a formula cut into tokens.
//!
//! Enters: text. Leaves: tokens with their places, or the first trouble.
//! Always true: tokens stand in the order of the text and cover all of it but for spaces.
//! Never: looks a name up.

use super::error_value::ErrorValue;
use super::tree::Operator;
use super::trouble::{Span, Trouble};

/// A token.
#[derive(Clone, Debug, PartialEq)]
pub enum Token {
    /// A number.
    Number(f64),
    /// A text between double quotation marks, its doubled marks undone.
    Text(String),
    /// A name between single quotation marks, its doubled marks undone.
    Quoted(String),
    /// A name: letters, digits, `_`, and `.` inside.
    Name(String),
    /// An error written out.
    Error(ErrorValue),
    /// An operator; `+` and `-` may turn out to be signs.
    Operator(Operator),
    /// `%`
    Percent,
    /// `(`
    Open,
    /// `)`
    Close,
    /// `{`
    OpenArray,
    /// `}`
    CloseArray,
    /// `;` or `,`
    Separator,
    /// `|`
    RowSeparator,
    /// `.` between a quoted sheet and a column.
    Dot,
    /// `$`
    Dollar,
    /// `$$`
    TwoDollars,
}

/// Cuts a text into tokens.
///
/// # Errors
/// The first stretch that is no token.
pub fn tokens(text: &str) -> Result<Vec<(Token, Span)>, Trouble> {
    let mut tokens = Vec::new();
    let mut at = 0;
    while let Some(character) = text[at..].chars().next() {
        if character.is_whitespace() {
            at += character.len_utf8();
            continue;
        }
        let (token, end) = token(text, at, character)?;
        tokens.push((token, Span::new(at, end)));
        at = end;
    }
    Ok(tokens)
}

fn token(text: &str, at: usize, first: char) -> Result<(Token, usize), Trouble> {
    let rest = &text[at..];
    let after = at + first.len_utf8();
    let second = rest[first.len_utf8()..].chars().next();
    let simple = |token| Ok((token, after));
    let operator = |operator: Operator| Ok((Token::Operator(operator), at + operator.sign().len()));
    match (first, second) {
        ('0'..='9', _) | ('.', Some('0'..='9')) => number(text, at),
        ('"', _) => quoted(text, at, '"').map(|(inside, end)| (Token::Text(inside), end)),
        ('\'', _) => quoted(text, at, '\'').map(|(inside, end)| (Token::Quoted(inside), end)),
        ('#', _) => error(text, at),
        ('+', _) => operator(Operator::Plus),
        ('-', _) => operator(Operator::Minus),
        ('*', _) => operator(Operator::Times),
        ('/', _) => operator(Operator::Divide),
        ('^', _) => operator(Operator::Power),
        ('&', _) => operator(Operator::Join),
        ('=', _) => operator(Operator::Equal),
        ('<', Some('>')) => operator(Operator::NotEqual),
        ('<', Some('=')) => operator(Operator::AtMost),
        ('<', _) => operator(Operator::Less),
        ('>', Some('=')) => operator(Operator::AtLeast),
        ('>', _) => operator(Operator::More),
        ('%', _) => simple(Token::Percent),
        ('(', _) => simple(Token::Open),
        (')', _) => simple(Token::Close),
        ('{', _) => simple(Token::OpenArray),
        ('}', _) => simple(Token::CloseArray),
        (';' | ',', _) => simple(Token::Separator),
        ('|', _) => simple(Token::RowSeparator),
        ('.', _) => simple(Token::Dot),
        ('$', Some('$')) => Ok((Token::TwoDollars, at + 2)),
        ('$', _) => simple(Token::Dollar),
        _ if begins_a_name(first) => {
            let end = rest
                .char_indices()
                .find(|(_, character)| !continues_a_name(*character))
                .map_or(text.len(), |(offset, _)| at + offset);
            let name = text[at..end].trim_end_matches('.');
            Ok((Token::Name(name.to_owned()), at + name.len()))
        }
        _ => Err(Trouble::error(
            "formula.character",
            Span::new(at, after),
            format!("A formula cannot hold the character {first} here."),
            "Take it out, or put text between double quotation marks.",
        )),
    }
}

/// Whether a name can begin with it.
pub fn begins_a_name(character: char) -> bool {
    character.is_alphabetic() || character == '_'
}

/// Whether a name can go on with it.
pub fn continues_a_name(character: char) -> bool {
    character.is_alphanumeric() || matches!(character, '_' | '.')
}

fn number(text: &str, at: usize) -> Result<(Token, usize), Trouble> {
    let bytes = text.as_bytes();
    let digits = |mut end: usize| {
        while bytes.get(end).is_some_and(u8::is_ascii_digit) {
            end += 1;
        }
        end
    };
    let mut end = digits(at);
    if bytes.get(end) == Some(&b'.') {
        end = digits(end + 1);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let signed = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let with_exponent = digits(signed);
        if with_exponent > signed {
            end = with_exponent;
        }
    }
    let span = Span::new(at, end);
    if text[end..].chars().next().is_some_and(continues_a_name) {
        return Err(Trouble::error(
            "formula.number",
            span,
            format!(
                "A number cannot run into letters, as after {} here.",
                &text[at..end]
            ),
            "Put a sign like * between them. A column key that begins with a digit is written $$'205_day'.",
        ));
    }
    match text[at..end].parse::<f64>() {
        Ok(number) if number.is_finite() => Ok((Token::Number(number), end)),
        _ => Err(Trouble::error(
            "formula.number",
            span,
            format!("{} is too large a number.", &text[at..end]),
            "Use a smaller one.",
        )),
    }
}

fn quoted(text: &str, at: usize, mark: char) -> Result<(String, usize), Trouble> {
    let mut inside = String::new();
    let mut characters = text[at + 1..].char_indices().peekable();
    while let Some((offset, character)) = characters.next() {
        if character != mark {
            inside.push(character);
        } else if characters.next_if(|(_, next)| *next == mark).is_some() {
            inside.push(mark);
        } else {
            return Ok((inside, at + 1 + offset + 1));
        }
    }
    Err(Trouble::error(
        "formula.quote",
        Span::new(at, text.len()),
        format!("The quotation mark {mark} that opens here is never closed."),
        format!("Put another {mark} where the text ends. A mark inside the text is written twice."),
    ))
}

fn error(text: &str, at: usize) -> Result<(Token, usize), Trouble> {
    let rest = &text[at..];
    ErrorValue::ALL
        .into_iter()
        .find(|error| {
            rest.get(..error.name().len())
                .is_some_and(|start| start.eq_ignore_ascii_case(error.name()))
        })
        .map(|error| (Token::Error(error), at + error.name().len()))
        .ok_or_else(|| {
            Trouble::error(
                "formula.error_name",
                Span::new(at, at + 1),
                "No error has this name.",
                "The names are #N/A, #DIV/0!, #NAME?, #NULL!, #NUM!, #REF! and #VALUE!.",
            )
        })
}
