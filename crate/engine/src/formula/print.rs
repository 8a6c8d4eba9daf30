//! A tree written as text.
//!
//! Enters: a tree. Leaves: text in the form of the standard: `;` between arguments, sheets quoted.
//! Always true: the text reads back as the same tree; brackets stand only where they are needed.
//! Never: keeps spaces or brackets of the text the tree came from.

use super::token::{begins_a_name, continues_a_name};
use super::tree::{ColumnName, Form, Node, Sign};

/// Writes a tree.
pub fn print(node: &Node) -> String {
    let mut text = String::new();
    write(node, 0, &mut text);
    text
}

/// The tightness of a sign, above every operator, and of `%` below it.
const PREFIX: u8 = 7;
const PERCENT: u8 = 6;

fn binding(node: &Node) -> u8 {
    match &node.form {
        Form::Binary(operator, ..) => operator.binding(),
        Form::Percent(_) => PERCENT,
        Form::Prefix(..) => PREFIX,
        _ => u8::MAX,
    }
}

/// Writes a part that stands where at least `least` must bind it together.
fn write(node: &Node, least: u8, text: &mut String) {
    if binding(node) < least {
        text.push('(');
        write(node, 0, text);
        text.push(')');
        return;
    }
    match &node.form {
        Form::Number(number) => text.push_str(&number_text(*number)),
        Form::Text(inside) => {
            text.push('"');
            text.push_str(&inside.replace('"', "\"\""));
            text.push('"');
        }
        Form::Error(error) => text.push_str(error.name()),
        Form::Column(name) => text.push_str(&column_text(name)),
        Form::Prefix(sign, inner) => {
            text.push(if *sign == Sign::Minus { '-' } else { '+' });
            write(inner, PREFIX, text);
        }
        Form::Percent(inner) => {
            write(inner, PERCENT, text);
            text.push('%');
        }
        Form::Binary(operator, left, right) => {
            write(left, operator.binding(), text);
            text.push_str(operator.sign());
            write(right, operator.binding() + 1, text);
        }
        Form::Call {
            function,
            arguments,
            ..
        } => {
            text.push_str(function);
            text.push('(');
            for (at, argument) in arguments.iter().enumerate() {
                if at > 0 {
                    text.push(';');
                }
                if let Some(argument) = argument {
                    write(argument, 0, text);
                }
            }
            // A single empty argument would read as none at all; there is no such tree.
            text.push(')');
        }
        Form::Array(rows) => {
            text.push('{');
            for (at, row) in rows.iter().enumerate() {
                if at > 0 {
                    text.push('|');
                }
                for (at, item) in row.iter().enumerate() {
                    if at > 0 {
                        text.push(';');
                    }
                    write(item, 0, text);
                }
            }
            text.push('}');
        }
    }
}

fn number_text(number: f64) -> String {
    if number != 0.0 && !(1e-5..1e15).contains(&number) {
        format!("{number:E}")
    } else {
        format!("{number}")
    }
}

/// A column as it is written: `birth_date`, `'cows'.birth_date`, `$$'205_day'`.
pub fn column_text(name: &ColumnName) -> String {
    let mut text = String::new();
    if let Some(sheet) = &name.sheet {
        text.push_str(&in_marks(sheet));
        text.push('.');
    }
    if is_plain(&name.key) {
        text.push_str(&name.key);
    } else {
        text.push_str("$$");
        text.push_str(&in_marks(&name.key));
    }
    text
}

fn in_marks(name: &str) -> String {
    format!("'{}'", name.replace('\'', "''"))
}

/// Whether a key can stand without quotation marks.
pub fn is_plain(key: &str) -> bool {
    key.starts_with(begins_a_name)
        && key
            .chars()
            .all(|character| continues_a_name(character) && character != '.')
}
