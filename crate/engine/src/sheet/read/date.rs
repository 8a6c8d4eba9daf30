//! Dates as people write them.
//!
//! Enters: the bytes of a cell. Leaves: a day, or its parts where day and month could stand either way.
//! Always true: a time of day after the date is left off; what is left is a whole date or a reason.
//! Never: decides the order of day and month; that takes the other dates of the file.

use super::Unreadable;
use crate::import::plan::DateOrder;
use crate::sheet::day::Day;

/// A date as it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateText {
    /// Written so that it reads one way.
    Day {
        /// The date.
        day: Day,
        /// True when the year had two digits.
        short_year: bool,
    },
    /// Written with numbers, the year last: day and month could stand either way.
    Numeric(NumericDate),
}

/// The parts of a date like 3/4/2026.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NumericDate {
    /// First number, 1 to 31.
    pub first: u8,
    /// Second number, 1 to 31.
    pub second: u8,
    /// Year with all its digits.
    pub year: i32,
    /// True when the year had two digits.
    pub short_year: bool,
}

impl NumericDate {
    /// The date in an order, or `None` where the calendar has no such day.
    pub fn day(self, order: DateOrder) -> Option<Day> {
        let (month, day) = match order {
            DateOrder::MonthFirst => (self.first, self.second),
            DateOrder::DayFirst => (self.second, self.first),
        };
        Day::from_ymd(self.year, u32::from(month), u32::from(day))
    }
}

impl DateText {
    /// The year.
    pub fn year(self) -> Option<i32> {
        match self {
            DateText::Day { day, .. } => day.year(),
            DateText::Numeric(date) => Some(date.year),
        }
    }

    /// True when the year had two digits.
    pub fn short_year(self) -> bool {
        match self {
            DateText::Day { short_year, .. }
            | DateText::Numeric(NumericDate { short_year, .. }) => short_year,
        }
    }
}

/// `2026-03-14` or `2026/03/14`, the hot line of an import; `None` for everything else, real day or not.
#[inline]
pub fn iso(bytes: &[u8]) -> Option<Day> {
    let &[y1, y2, y3, y4, s1, m1, m2, s2, d1, d2] = bytes else {
        return None;
    };
    if s1 != s2 || (s1 != b'-' && s1 != b'/') {
        return None;
    }
    let digit = |byte: u8| u32::from(byte.wrapping_sub(b'0'));
    let digits = [y1, y2, y3, y4, m1, m2, d1, d2].map(digit);
    if digits.iter().any(|&digit| digit > 9) {
        return None;
    }
    let [y1, y2, y3, y4, m1, m2, d1, d2] = digits;
    let year = y1 * 1000 + y2 * 100 + y3 * 10 + y4;
    Day::from_ymd(year.cast_signed(), m1 * 10 + m2, d1 * 10 + d2)
}

/// One piece of a date: a number or a word.
#[derive(Clone, Copy)]
enum Piece<'a> {
    /// Its value and how many digits it had.
    Number(u32, usize),
    Word(&'a [u8]),
}

/// Reads a date without spaces at its ends.
///
/// # Errors
/// [`Unreadable::DateImpossible`] for a day no calendar has, [`Unreadable::DateSerial`] for a bare count of
/// days, else [`Unreadable::Date`].
pub fn parse(bytes: &[u8], two_digit_year_to: u8) -> Result<DateText, Unreadable> {
    if let Some(day) = iso(bytes) {
        return Ok(DateText::Day {
            day,
            short_year: false,
        });
    }
    if bytes.len() > 60 {
        return Err(Unreadable::Date);
    }
    let mut pieces = [Piece::Number(0, 0); 3];
    let n = divide(without_time(bytes), &mut pieces)?;
    match pieces[..n] {
        [Piece::Number(whole, 8)] => day_of(whole / 10_000, whole / 100 % 100, whole % 100, false),
        [Piece::Number(whole, 5)] if (20_000..80_000).contains(&whole) => {
            Err(Unreadable::DateSerial)
        }
        [
            Piece::Number(year, 4),
            Piece::Number(month, 1..=2),
            Piece::Number(day, 1..=2),
        ] => day_of(year, month, day, false),
        [
            Piece::Number(year, 4),
            Piece::Word(month),
            Piece::Number(day, 1..=2),
        ] => day_of(year, month_named(month)?, day, false),
        [
            Piece::Number(day, 1..=2),
            Piece::Word(month),
            Piece::Number(year, digits @ (2 | 4)),
        ]
        | [
            Piece::Word(month),
            Piece::Number(day, 1..=2),
            Piece::Number(year, digits @ (2 | 4)),
        ] => {
            let year = full_year(year, digits, two_digit_year_to);
            day_of(year, month_named(month)?, day, digits == 2)
        }
        [
            Piece::Number(first, 1..=2),
            Piece::Number(second, 1..=2),
            Piece::Number(year, digits @ (2 | 4)),
        ] => numeric(
            first,
            second,
            full_year(year, digits, two_digit_year_to),
            digits == 2,
        ),
        _ => Err(Unreadable::Date),
    }
}

/// Reads a date that leaves the year out: `3/14`, `3-14`, `14 Mar`, `March 14`.
///
/// # Errors
/// [`Unreadable::DateImpossible`] for a day the year does not have, else [`Unreadable::Date`].
pub fn parse_without_year(bytes: &[u8], year: i32) -> Result<DateText, Unreadable> {
    if bytes.len() > 40 {
        return Err(Unreadable::Date);
    }
    let year = u32::try_from(year).map_err(|_| Unreadable::Date)?;
    let mut pieces = [Piece::Number(0, 0); 3];
    let n = divide(bytes, &mut pieces)?;
    match pieces[..n] {
        [Piece::Number(first, 1..=2), Piece::Number(second, 1..=2)]
            // A point or a space between two numbers is more likely a slip than a date.
            if bytes.iter().any(|byte| matches!(byte, b'/' | b'-')) =>
        {
            numeric(first, second, year, false)
        }
        [Piece::Number(day, 1..=2), Piece::Word(month)]
        | [Piece::Word(month), Piece::Number(day, 1..=2)] => {
            day_of(year, month_named(month)?, day, false)
        }
        _ => Err(Unreadable::Date),
    }
}

fn day_of(year: u32, month: u32, day: u32, short_year: bool) -> Result<DateText, Unreadable> {
    Day::from_ymd(year.cast_signed(), month, day)
        .map(|day| DateText::Day { day, short_year })
        .ok_or(Unreadable::DateImpossible)
}

fn numeric(first: u32, second: u32, year: u32, short_year: bool) -> Result<DateText, Unreadable> {
    let date = NumericDate {
        first: u8::try_from(first).map_err(|_| Unreadable::Date)?,
        second: u8::try_from(second).map_err(|_| Unreadable::Date)?,
        year: year.cast_signed(),
        short_year,
    };
    let possible =
        date.day(DateOrder::MonthFirst).is_some() || date.day(DateOrder::DayFirst).is_some();
    if possible {
        Ok(DateText::Numeric(date))
    } else {
        Err(Unreadable::DateImpossible)
    }
}

fn full_year(year: u32, digits: usize, two_digit_year_to: u8) -> u32 {
    if digits == 4 {
        year
    } else if year <= u32::from(two_digit_year_to) {
        2000 + year
    } else {
        1900 + year
    }
}

/// The bytes before a time of day: `2026-03-14T00:00:00Z`, `3/14/2026 12:00:00 AM`.
fn without_time(bytes: &[u8]) -> &[u8] {
    let Some(colon) = bytes.iter().position(|&byte| byte == b':') else {
        return bytes;
    };
    let hour = bytes[..colon]
        .iter()
        .rposition(|byte| !byte.is_ascii_digit());
    match hour {
        Some(at) if matches!(bytes[at], b' ' | b'T' | b't') => bytes[..at].trim_ascii(),
        _ => bytes,
    }
}

/// Divides at spaces and at `/ - . ,`, and between digits and letters; leaves off the day of the week and
/// the ending of a counted day (14th).
fn divide<'a>(bytes: &'a [u8], pieces: &mut [Piece<'a>; 3]) -> Result<usize, Unreadable> {
    let mut n = 0;
    let mut at = 0;
    while at < bytes.len() {
        let start = at;
        let piece = if bytes[at].is_ascii_digit() {
            let mut number = 0_u32;
            while at < bytes.len() && bytes[at].is_ascii_digit() {
                number = number
                    .wrapping_mul(10)
                    .wrapping_add(u32::from(bytes[at] - b'0'));
                at += 1;
            }
            if at - start > 8 {
                return Err(Unreadable::Date);
            }
            Piece::Number(number, at - start)
        } else if bytes[at].is_ascii_alphabetic() {
            while at < bytes.len() && bytes[at].is_ascii_alphabetic() {
                at += 1;
            }
            let word = &bytes[start..at];
            let counted = start > 0
                && bytes[start - 1].is_ascii_digit()
                && [&b"st"[..], b"nd", b"rd", b"th"]
                    .iter()
                    .any(|ending| word.eq_ignore_ascii_case(ending));
            if counted || is_weekday(word) {
                continue;
            }
            Piece::Word(word)
        } else if matches!(bytes[at], b' ' | b'/' | b'-' | b'.' | b',') {
            at += 1;
            continue;
        } else {
            return Err(Unreadable::Date);
        };
        *pieces.get_mut(n).ok_or(Unreadable::Date)? = piece;
        n += 1;
    }
    // A sign before the first number is no date: -3/4/2026.
    match bytes.first() {
        Some(b'-' | b'/' | b'.' | b',') | None => Err(Unreadable::Date),
        _ => Ok(n),
    }
}

const MONTHS: [&[u8]; 12] = [
    b"january",
    b"february",
    b"march",
    b"april",
    b"may",
    b"june",
    b"july",
    b"august",
    b"september",
    b"october",
    b"november",
    b"december",
];

/// The month of a name: whole, or its first three or four letters.
fn month_named(word: &[u8]) -> Result<u32, Unreadable> {
    let matches = |name: &[u8]| {
        word.eq_ignore_ascii_case(name)
            || ((3..=4).contains(&word.len())
                && name
                    .get(..word.len())
                    .is_some_and(|start| word.eq_ignore_ascii_case(start)))
    };
    MONTHS
        .iter()
        .position(|name| matches(name))
        .and_then(|at| u32::try_from(at + 1).ok())
        .ok_or(Unreadable::Date)
}

fn is_weekday(word: &[u8]) -> bool {
    const DAYS: [&[u8]; 7] = [
        b"monday",
        b"tuesday",
        b"wednesday",
        b"thursday",
        b"friday",
        b"saturday",
        b"sunday",
    ];
    DAYS.iter().any(|name| {
        word.eq_ignore_ascii_case(name)
            || ((3..=5).contains(&word.len())
                && name
                    .get(..word.len())
                    .is_some_and(|start| word.eq_ignore_ascii_case(start)))
    })
}
