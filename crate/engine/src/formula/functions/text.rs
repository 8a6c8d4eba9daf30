//! Text.
//!
//! Enters: one row's texts. Leaves: texts, and places in them.
//! Always true: places and lengths count characters from 1.
//! Never: makes a text longer than [`super::super::evaluate::LONGEST_TEXT`].

use super::super::cell::{Answer, Cell, finite};
use super::super::error_value::ErrorValue;
use super::super::evaluate::{LONGEST_TEXT, Now};
use super::super::function::{Function, Gives, Group, Run, function};
use super::super::number_format;
use super::super::text_value;
use super::super::wildcard::{Pattern, folded};
use super::{number, number_or, text, truth};

/// The group.
pub const GROUP: (Group, &[Function]) = (
    Group {
        key: "text",
        label: "Text",
    },
    &[
        function!("CONCATENATE" ("text" Text) repeats 1 -> Gives::Text, "6.20.6", Run::Rows(concatenate),
            "Texts one after the other.", "CONCATENATE(tag; \"/\"; sex)"),
        function!("EXACT" ("one" Text, "other" Text) -> Gives::Logical, "6.20.8", Run::Rows(exact),
            "TRUE when two texts are the same to the letter.", "EXACT(breed; \"AN\")"),
        function!("FIND" ("what" Text, "text" Text, "from" Number optional) -> Gives::Number, "6.20.9", Run::Rows(find),
            "Where a text stands in another, to the letter.", "FIND(\"-\"; tag)"),
        function!("LEFT" ("text" Text, "length" Number optional) -> Gives::Text, "6.20.12", Run::Rows(left),
            "The first characters, one unless said.", "LEFT(tag; 1)"),
        function!("LEN" ("text" Text) -> Gives::Number, "6.20.13", Run::Rows(len),
            "How many characters.", "LEN(tag)"),
        function!("LOWER" ("text" Text) -> Gives::Text, "6.20.14", Run::Rows(lower),
            "In small letters.", "LOWER(tag)"),
        function!("MID" ("text" Text, "from" Number, "length" Number) -> Gives::Text, "6.20.15", Run::Rows(mid),
            "Characters from a place on.", "MID(tag; 2; 3)"),
        function!("PROPER" ("text" Text) -> Gives::Text, "6.20.16", Run::Rows(proper),
            "Each word with a capital.", "PROPER(place)"),
        function!("REPLACE" ("text" Text, "from" Number, "length" Number, "new" Text) -> Gives::Text, "6.20.17", Run::Rows(replace),
            "Puts a text in the place of so many characters.", "REPLACE(tag; 1; 1; \"B\")"),
        function!("REPT" ("text" Text, "times" Number) -> Gives::Text, "6.20.18", Run::Rows(rept),
            "A text so many times.", "REPT(\"*\"; calving_ease)"),
        function!("RIGHT" ("text" Text, "length" Number optional) -> Gives::Text, "6.20.19", Run::Rows(right),
            "The last characters, one unless said.", "RIGHT(tag; 2)"),
        function!("SEARCH" ("what" Text, "text" Text, "from" Number optional) -> Gives::Number, "6.20.20", Run::Rows(search),
            "Where a text stands in another; case does not matter, ? and * stand for other letters.", "SEARCH(\"twin\"; note)"),
        function!("SUBSTITUTE" ("text" Text, "old" Text, "new" Text, "which" Number optional) -> Gives::Text, "6.20.21", Run::Rows(substitute),
            "Puts a text in the place of another, everywhere or at its first, second ... place.", "SUBSTITUTE(tag; \"-\"; \"\")"),
        function!("T" ("value" Any) -> Gives::Text, "6.20.22", Run::Rows(only_text),
            "The value if it is a text, else an empty text.", "T(note)"),
        function!("TEXT" ("value" Any, "format" Text) -> Gives::Text, "6.20.23", Run::Rows(formatted),
            "A number or date written in a format.", "TEXT(birth_date; \"yyyy-mm\")"),
        function!("TRIM" ("text" Text) -> Gives::Text, "6.20.24", Run::Rows(trim),
            "Without spaces at the ends, and with single ones inside.", "TRIM(note)"),
        function!("UPPER" ("text" Text) -> Gives::Text, "6.20.27", Run::Rows(upper),
            "In capitals.", "UPPER(tag)"),
        function!("VALUE" ("text" Text) -> Gives::Number, "6.13.34", Run::Rows(value),
            "The number a text reads as.", "VALUE(RIGHT(tag; 3))"),
    ],
);

/// A length or place, cut to a whole number; below `least` it is an error.
fn whole(row: &[Cell<'_>], place: usize, otherwise: f64, least: f64) -> Result<usize, ErrorValue> {
    let number = number_or(row, place, otherwise)?.floor();
    if number < least {
        return Err(ErrorValue::Number);
    }
    Ok(number as usize)
}

fn concatenate<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let mut whole = String::new();
    for place in 0..row.len() {
        whole.push_str(&text(row, place)?);
    }
    now.text(whole)
}

fn exact<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    truth(*text(row, 0)? == *text(row, 1)?)
}

fn find<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (what, within) = (text(row, 0)?, text(row, 1)?);
    let skipped = whole(row, 2, 1.0, 1.0)? - 1;
    let begin = byte_at(&within, skipped).ok_or(ErrorValue::Value)?;
    let at = within[begin..].find(&*what).ok_or(ErrorValue::Value)?;
    finite((within[..begin + at].chars().count() + 1) as f64)
}

/// The byte where a character begins; the end for the one after the last.
fn byte_at(text: &str, n_characters: usize) -> Option<usize> {
    text.char_indices()
        .map(|(at, _)| at)
        .chain([text.len()])
        .nth(n_characters)
}

fn left<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let length = whole(row, 1, 1.0, 0.0)?;
    now.text(text(row, 0)?.chars().take(length).collect())
}

fn right<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let length = whole(row, 1, 1.0, 0.0)?;
    let text = text(row, 0)?;
    let skipped = text.chars().count().saturating_sub(length);
    now.text(text.chars().skip(skipped).collect())
}

fn len<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(text(row, 0)?.chars().count() as f64)
}

fn lower<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    now.text(text(row, 0)?.to_lowercase())
}

fn upper<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    now.text(text(row, 0)?.to_uppercase())
}

fn mid<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (from, length) = (whole(row, 1, 0.0, 1.0)?, whole(row, 2, 0.0, 0.0)?);
    now.text(text(row, 0)?.chars().skip(from - 1).take(length).collect())
}

fn proper<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let mut made = String::new();
    let mut after_letter = false;
    for character in text(row, 0)?.chars() {
        if after_letter {
            made.extend(character.to_lowercase());
        } else {
            made.extend(character.to_uppercase());
        }
        after_letter = character.is_alphabetic();
    }
    now.text(made)
}

fn replace<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (from, length) = (whole(row, 1, 0.0, 1.0)?, whole(row, 2, 0.0, 0.0)?);
    let (old, new) = (text(row, 0)?, text(row, 3)?);
    let made = old
        .chars()
        .take(from - 1)
        .chain(new.chars())
        .chain(old.chars().skip((from - 1).saturating_add(length)))
        .collect();
    now.text(made)
}

fn rept<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (text, times) = (text(row, 0)?, whole(row, 1, 0.0, 0.0)?);
    if text.len().saturating_mul(times) > LONGEST_TEXT * 4 {
        return Err(ErrorValue::Value);
    }
    now.text(text.repeat(times))
}

fn search<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (what, within) = (text(row, 0)?, folded(&text(row, 1)?));
    let from = whole(row, 2, 1.0, 1.0)? - 1;
    if what.is_empty() || from > within.len() {
        return Err(ErrorValue::Value);
    }
    let at = Pattern::new(&what)
        .find(&within, from)
        .ok_or(ErrorValue::Value)?;
    finite((at + 1) as f64)
}

fn substitute<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (whole_text, old, new) = (text(row, 0)?, text(row, 1)?, text(row, 2)?);
    let which = match row.get(3) {
        Some(_) => Some(whole(row, 3, 0.0, 1.0)?),
        None => None,
    };
    if old.is_empty() {
        return Ok(Cell::Text(whole_text));
    }
    let Some(which) = which else {
        let n = whole_text.matches(&*old).count();
        if whole_text.len() + n.saturating_mul(new.len()) > LONGEST_TEXT * 8 {
            return Err(ErrorValue::Value);
        }
        return now.text(whole_text.replace(&*old, &new));
    };
    match whole_text.match_indices(&*old).nth(which - 1) {
        Some((at, _)) => {
            now.text([&whole_text[..at], &*new, &whole_text[at + old.len()..]].concat())
        }
        None => Ok(Cell::Text(whole_text)),
    }
}

fn only_text<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    match &row[0] {
        Cell::Text(text) => Ok(Cell::Text(text.clone())),
        _ => Ok(Cell::Text(super::Str::Borrowed(""))),
    }
}

fn formatted<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let format = text(row, 1)?;
    let value = match &row[0] {
        Cell::Text(text) => match text_value::number(text) {
            Some(number) => number,
            None => return Ok(Cell::Text(text.clone())),
        },
        cell => cell.number()?,
    };
    now.text(number_format::write(value, &format)?)
}

fn trim<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let words: Vec<String> = text(row, 0)?
        .split_whitespace()
        .map(str::to_owned)
        .collect();
    now.text(words.join(" "))
}

fn value<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(number(row, 0)?)
}
