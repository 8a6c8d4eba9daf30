//! What was typed in a cell, or stood in a file, as a typed value.
//!
//! Enters: a column's kind, a text, and how numbers and dates are written. Leaves: a value, or the reason why
//! the text is not one, with a message and a hint.
//! Always true: a blank text is missing; a text that cannot be read gives a reason and never a zero.
//! Never: asks the clock, or knows where the text came from.

pub mod codes;
pub mod date;
pub mod list;
pub mod number;
pub mod stage;

use std::borrow::Cow;

use super::codes::{Codes, NO_CODE};
use super::column::Kind;
use super::day::Day;
use super::settings::WeightUnit;
use crate::import::plan::{AgeUnit, DateOrder};
use date::DateText;

/// How numbers and dates are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReadOptions {
    /// Unit of a weight that does not say its own.
    pub weight_unit: WeightUnit,
    /// Unit in which the book keeps weights.
    pub book_unit: WeightUnit,
    /// Unit of an age that does not say its own (`Kind::Number("years")` only).
    pub age_unit: AgeUnit,
    /// True when numbers are written with a decimal comma.
    pub decimal_comma: bool,
    /// Order of parts in dates written with numbers. `None`: month first, or day first where only that is a date.
    pub date_order: Option<DateOrder>,
    /// Two-digit years up to this one are 20xx, later ones 19xx.
    pub two_digit_year_to: u8,
    /// Year of a date written without one (`3/14`, `14 Mar`); `None`: such a date is not read.
    pub year: Option<i32>,
}

impl ReadOptions {
    /// For typing into a book that keeps weights in this unit.
    pub fn of_book(unit: WeightUnit) -> ReadOptions {
        ReadOptions {
            weight_unit: unit,
            book_unit: unit,
            age_unit: AgeUnit::Years,
            decimal_comma: false,
            date_order: None,
            two_digit_year_to: TWO_DIGIT_YEAR_TO,
            year: None,
        }
    }
}

/// Two-digit years up to 40 are 20xx where no day is given to count from: those of `LATEST_YEAR` of the trade. Common
/// practice, no source.
pub const TWO_DIGIT_YEAR_TO: u8 = 40;

/// Two-digit years up to the year after `as_of` are of its century: a herd record looks back.
pub fn two_digit_year_to(as_of: Day) -> u8 {
    as_of
        .year()
        .filter(|year| (2000..2099).contains(year))
        .and_then(|year| u8::try_from(year - 2000 + 1).ok())
        .unwrap_or(TWO_DIGIT_YEAR_TO)
}

/// A value as read.
#[derive(Clone, Debug, PartialEq)]
pub enum Read<'a> {
    /// Nothing there, or a word for nothing (`n/a`, `-`).
    Missing,
    /// A text, or names with `;` between them.
    Text(Cow<'a, str>),
    /// A number; a weight is in the book's unit, an age in years.
    Number {
        /// The number.
        number: f64,
        /// Unit the text itself gave, where it gave one and the kind is a weight.
        said_unit: Option<WeightUnit>,
    },
    /// A date.
    Day {
        /// The date.
        day: Day,
        /// True when both orders of the parts give a date and they differ.
        two_ways: bool,
        /// True when the year had two digits.
        short_year: bool,
    },
    /// Position in the column's list of words.
    Code(u8),
}

/// Why a text is not a value of its column's kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unreadable {
    /// A date in form, but no calendar has it.
    DateImpossible,
    /// A date only when the parts stand in the other order than the file's other dates.
    DateOtherOrder,
    /// Looks like the day count spreadsheets keep inside.
    DateSerial,
    /// Not a date.
    Date,
    /// A day without its year, and nothing to take the year from.
    DateNoYear,
    /// Not a number.
    Number,
    /// A decimal comma where numbers have decimal points.
    NumberDecimalComma,
    /// Not one of the column's words.
    Code(&'static str),
}

/// A reason in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Explained {
    /// Stable dotted code.
    pub code: &'static str,
    /// What is wrong, one plain sentence.
    pub message: String,
    /// How to mend it, one plain sentence.
    pub hint: String,
}

/// Reads a text as a value of a column's kind.
///
/// # Errors
/// The reason, when the text is neither blank nor a value of the kind.
pub fn read_cell<'a>(
    kind: Kind,
    text: &'a str,
    options: &ReadOptions,
) -> Result<Read<'a>, Unreadable> {
    let text = trimmed(text);
    if text.is_empty() {
        return Ok(Read::Missing);
    }
    match kind {
        Kind::Text => Ok(Read::Text(Cow::Borrowed(text))),
        Kind::List => Ok(list::read(text).map_or(Read::Missing, Read::Text)),
        Kind::Code(codes) => read_code(codes, text),
        Kind::Date => read_date(text, options),
        Kind::Weight => {
            if is_word_for_missing(text) {
                return Ok(Read::Missing);
            }
            let (number, said_unit) = number::read_weight(text, options.decimal_comma)?;
            let unit = said_unit.unwrap_or(options.weight_unit);
            Ok(Read::Number {
                number: convert_weight(number, unit, options.book_unit),
                said_unit,
            })
        }
        Kind::Number(unit) => {
            if is_word_for_missing(text) {
                return Ok(Read::Missing);
            }
            let number = match unit {
                "years" => number::read_years(text, options.decimal_comma, options.age_unit)?,
                "year" => number::read_year(text, options.two_digit_year_to)?,
                _ => number::read_number(text, options.decimal_comma)?,
            };
            Ok(Read::Number {
                number,
                said_unit: None,
            })
        }
    }
}

/// A weight from one unit in another. The same unit leaves it untouched to the last bit.
pub fn convert_weight(weight: f64, from: WeightUnit, to: WeightUnit) -> f64 {
    if from == to {
        weight
    } else {
        to.from_pounds(from.to_pounds(weight))
    }
}

fn read_code<'a>(codes: &'static Codes, text: &str) -> Result<Read<'a>, Unreadable> {
    match codes::position(codes, text) {
        Some(NO_CODE) => Ok(Read::Missing),
        Some(position) => Ok(Read::Code(position)),
        None => Err(Unreadable::Code(codes.of)),
    }
}

fn read_date<'a>(text: &str, options: &ReadOptions) -> Result<Read<'a>, Unreadable> {
    if is_word_for_missing(text) {
        return Ok(Read::Missing);
    }
    let parsed = match (
        date::parse(text.as_bytes(), options.two_digit_year_to),
        options.year,
    ) {
        (Err(Unreadable::Date), Some(year)) => date::parse_without_year(text.as_bytes(), year)?,
        // 2024 had a 29 February.
        (Err(Unreadable::Date), None)
            if date::parse_without_year(text.as_bytes(), 2024).is_ok() =>
        {
            return Err(Unreadable::DateNoYear);
        }
        (parsed, _) => parsed?,
    };
    let (day, two_ways) = match parsed {
        DateText::Day { day, .. } => (day, false),
        DateText::Numeric(numeric) => {
            let month_first = numeric.day(DateOrder::MonthFirst);
            let day_first = numeric.day(DateOrder::DayFirst);
            let day = match options.date_order {
                Some(DateOrder::MonthFirst) => month_first,
                Some(DateOrder::DayFirst) => day_first,
                None => month_first.or(day_first),
            };
            let two_ways = month_first.is_some() && day_first.is_some() && month_first != day_first;
            match day {
                Some(day) => (day, two_ways),
                None if month_first.or(day_first).is_some() => {
                    return Err(Unreadable::DateOtherOrder);
                }
                None => return Err(Unreadable::DateImpossible),
            }
        }
    };
    Ok(Read::Day {
        day,
        two_ways,
        short_year: parsed.short_year(),
    })
}

/// Without white space at the ends; the no-break space counts as white space.
pub fn trimmed(text: &str) -> &str {
    text.trim_matches(|ch: char| ch.is_whitespace() || ch == '\u{feff}')
}

/// True for the words people put where there is no value: `n/a`, `-`, a longer dash, `.`, `none`, `unknown`.
/// Only asked for numbers, dates and codes; in a text column they stay as they are.
pub fn is_word_for_missing(text: &str) -> bool {
    const WORDS: [&str; 16] = [
        "n/a", "na", "#n/a", "n.a.", "none", "null", "nan", "nil", "unknown", "unk", "-", "--",
        ".", "?", "—", "–",
    ];
    text.len() <= 8 && WORDS.iter().any(|word| text.eq_ignore_ascii_case(word))
}

impl Unreadable {
    /// Stable dotted code, explained in `docs/errors.md`.
    pub const fn code(self) -> &'static str {
        match self {
            Unreadable::DateImpossible | Unreadable::DateOtherOrder => "import.date.impossible",
            Unreadable::DateSerial | Unreadable::Date | Unreadable::DateNoYear => {
                "import.date.unreadable"
            }
            Unreadable::Number | Unreadable::NumberDecimalComma => "import.number.unreadable",
            Unreadable::Code(_) => "import.code.unknown",
        }
    }

    /// The reason in words, for this text.
    pub fn explain(self, kind: Kind, raw: &str) -> Explained {
        let raw = trimmed(raw);
        let (message, hint) = match self {
            Unreadable::DateImpossible => (
                format!("\"{raw}\" is not a day of the calendar."),
                "Look the day up and type it as year-month-day, like 2026-03-14.".to_owned(),
            ),
            Unreadable::DateOtherOrder => (
                format!(
                    "\"{raw}\" is a date only if day and month stand the other way round than in the other dates of the file."
                ),
                "Find out which day it was and type it as year-month-day, like 2026-03-14."
                    .to_owned(),
            ),
            Unreadable::DateSerial => (
                format!("\"{raw}\" looks like the day count a spreadsheet keeps inside, not a date."),
                "Give the column a date format in the spreadsheet and save it as CSV again, or type the date."
                    .to_owned(),
            ),
            Unreadable::Date => (
                format!("\"{raw}\" is not a date."),
                "Type a date like 2026-03-14, 3/14/2026 or 14 Mar 2026, or clear the cell."
                    .to_owned(),
            ),
            Unreadable::DateNoYear => (
                format!("\"{raw}\" has no year."),
                "Type the year too, like 2026-03-14 or 3/14/2026. Or set the day of the book under Settings (As of); what you then type without a year takes the year of that day."
                    .to_owned(),
            ),
            Unreadable::Number => (
                format!("\"{raw}\" is not a number."),
                match kind {
                    Kind::Weight => {
                        "Type the weight alone, or with lb or kg after it, or clear the cell."
                    }
                    _ => "Type a number like 512 or 512.5, or clear the cell.",
                }
                .to_owned(),
            ),
            Unreadable::NumberDecimalComma => (
                format!("\"{raw}\" is not a number with a decimal point."),
                "Type it with a point, like 32.7; in a file, save it with semicolons between the columns."
                    .to_owned(),
            ),
            Unreadable::Code(of) => (
                format!("\"{raw}\" is not a known word for {of}."),
                match kind {
                    Kind::Code(codes) => {
                        let words: Vec<&str> = codes.words.iter().map(|word| word.key).collect();
                        format!("Use one of: {}; or clear the cell.", words.join(", "))
                    }
                    _ => "Use one of the words of the column, or clear the cell.".to_owned(),
                },
            ),
        };
        Explained {
            code: self.code(),
            message,
            hint,
        }
    }
}

/// Why a text kept in a column as unreadable could not be read.
///
/// A text that reads well by itself is one whose file contradicted it: a date with day and month the other
/// way round than the file's other dates, or a number with the other decimal sign.
pub fn explain_unreadable(kind: Kind, raw: &str) -> Explained {
    let options = ReadOptions::of_book(WeightUnit::Pound);
    let reason = match (read_cell(kind, raw, &options), kind) {
        (Err(reason), _) => reason,
        (Ok(_), Kind::Date) => Unreadable::DateOtherOrder,
        (Ok(_), Kind::Code(codes)) => Unreadable::Code(codes.of),
        (Ok(_), _) => Unreadable::Number,
    };
    reason.explain(kind, raw)
}

#[cfg(test)]
#[path = "read/tests.rs"]
mod tests;
