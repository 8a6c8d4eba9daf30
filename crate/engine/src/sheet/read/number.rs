//! Numbers, weights and ages as people write them.
//!
//! Enters: text without spaces at its ends. Leaves: a number, and the unit the text gave.
//! Always true: the number is the one nearest to the decimals written (correctly rounded).
//! Never: reads hexadecimal, infinities, or a number out of a longer text.

use super::Unreadable;
use crate::import::plan::AgeUnit;
use crate::sheet::settings::WeightUnit;

/// Powers of ten that a double holds exactly.
const EXACT_POWERS: [f64; 16] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// The fast way for what nearly every cell holds: digits, at most 15, perhaps with a decimal point.
///
/// Both the digits as a whole number and the power of ten are exact in a double, so one division rounds
/// correctly (W. Clinger, "How to read floating point numbers accurately", 1990). `None`: use the slow way.
#[inline]
pub fn plain_decimal(bytes: &[u8]) -> Option<f64> {
    if bytes.is_empty() || bytes.len() > 16 {
        return None;
    }
    let mut whole = 0_u64;
    let mut n_digits = 0_usize;
    let mut point_at = None;
    for (at, &byte) in bytes.iter().enumerate() {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 {
            whole = whole * 10 + u64::from(digit);
            n_digits += 1;
        } else if byte == b'.' && point_at.is_none() {
            point_at = Some(at);
        } else {
            return None;
        }
    }
    if n_digits == 0 || n_digits > 15 {
        return None;
    }
    let number = whole as f64;
    Some(match point_at {
        None => number,
        Some(at) => number / EXACT_POWERS[bytes.len() - 1 - at],
    })
}

/// A number: `1234.5`, `1,234.5`, `1 234`, `-3`, `1e3`; with a decimal comma `1234,5` and `1.234,5`.
///
/// # Errors
/// [`Unreadable::Number`], or [`Unreadable::NumberDecimalComma`] where only that would make it one.
pub fn read_number(text: &str, decimal_comma: bool) -> Result<f64, Unreadable> {
    if !decimal_comma && let Some(number) = plain_decimal(text.as_bytes()) {
        return Ok(number);
    }
    match with_sign(text, decimal_comma) {
        Some(number) => Ok(number),
        None if !decimal_comma && with_sign(text, true).is_some() => {
            Err(Unreadable::NumberDecimalComma)
        }
        None => Err(Unreadable::Number),
    }
}

/// A weight with the unit it says: `512 lb`, `232kg`, `512#`.
///
/// # Errors
/// As [`read_number`].
pub fn read_weight(
    text: &str,
    decimal_comma: bool,
) -> Result<(f64, Option<WeightUnit>), Unreadable> {
    let (number, word) = number_and_word(text);
    let unit = match word.to_ascii_lowercase().as_str() {
        "" => None,
        "lb" | "lbs" | "lb." | "lbs." | "pound" | "pounds" | "#" => Some(WeightUnit::Pound),
        "kg" | "kgs" | "kg." | "kgs." | "kilo" | "kilos" | "kilogram" | "kilograms" => {
            Some(WeightUnit::Kilogram)
        }
        _ => return Err(Unreadable::Number),
    };
    Ok((read_number(number, decimal_comma)?, unit))
}

/// An age in years, from a number in `unit` or with its own: `4`, `30 months`, `5 yrs`.
///
/// Months are twelfths of a year; days are 365.25ths.
///
/// # Errors
/// As [`read_number`].
pub fn read_years(text: &str, decimal_comma: bool, unit: AgeUnit) -> Result<f64, Unreadable> {
    let (number, word) = number_and_word(text);
    let unit = match word.to_ascii_lowercase().trim_end_matches('.') {
        "" => unit,
        "y" | "yr" | "yrs" | "year" | "years" | "year old" | "yr old" | "yo" => AgeUnit::Years,
        "m" | "mo" | "mos" | "mth" | "mths" | "month" | "months" => AgeUnit::Months,
        "d" | "day" | "days" => AgeUnit::Days,
        _ => return Err(Unreadable::Number),
    };
    Ok(years(read_number(number, decimal_comma)?, unit))
}

/// A year of the calendar; two digits are read as in dates: `19` is 2019.
///
/// # Errors
/// As [`read_number`].
pub fn read_year(text: &str, two_digit_year_to: u8) -> Result<f64, Unreadable> {
    let digits = text.strip_prefix('\'').unwrap_or(text);
    let number = read_number(digits, false)?;
    Ok(match digits.parse::<u8>() {
        Ok(short) if digits.len() == 2 => {
            number
                + if short <= two_digit_year_to {
                    2000.0
                } else {
                    1900.0
                }
        }
        _ => number,
    })
}

/// An age in a unit, in years.
pub fn years(age: f64, unit: AgeUnit) -> f64 {
    match unit {
        AgeUnit::Years => age,
        AgeUnit::Months => age / 12.0,
        AgeUnit::Days => age / 365.25,
    }
}

/// The text divided after its last digit (or sign of a decimal), both parts without spaces between.
fn number_and_word(text: &str) -> (&str, &str) {
    let end = text
        .rfind(|ch: char| ch.is_ascii_digit())
        .map_or(0, |at| at + 1);
    let (number, word) = text.split_at(end);
    // "512." is a number with its point; "512 lb." has the point in the unit.
    if word == "." || word == "," {
        return (text, "");
    }
    (number, super::trimmed(word).trim_start_matches('-'))
}

fn with_sign(text: &str, decimal_comma: bool) -> Option<f64> {
    let (negative, digits) = match text.as_bytes() {
        [b'-', ..] => (true, &text[1..]),
        [b'+', ..] => (false, &text[1..]),
        _ => (false, text),
    };
    let number = without_sign(super::trimmed(digits), decimal_comma)?;
    Some(if negative { -number } else { number })
}

fn without_sign(text: &str, decimal_comma: bool) -> Option<f64> {
    if !text.starts_with(|ch: char| ch.is_ascii_digit() || ch == '.' || ch == ',') {
        return None;
    }
    let (point, thousands) = if decimal_comma {
        (',', '.')
    } else {
        ('.', ',')
    };
    let (mantissa, exponent) = match text.find(['e', 'E']) {
        Some(at) => text.split_at(at),
        None => (text, ""),
    };
    let (whole, fraction) = match mantissa.split_once(point) {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (mantissa, None),
    };
    let mut plain = String::with_capacity(text.len());
    if !push_whole(whole, thousands, &mut plain) {
        // In a file with decimal commas a lone point that cannot divide thousands is a decimal point.
        let point_instead = decimal_comma && fraction.is_none() && exponent.is_empty();
        return if point_instead {
            plain_decimal(text.as_bytes())
        } else {
            None
        };
    }
    if let Some(fraction) = fraction {
        if !fraction.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        plain.push('.');
        plain.push_str(fraction);
    }
    plain.push_str(exponent);
    plain
        .parse::<f64>()
        .ok()
        .filter(|number| number.is_finite())
}

/// Adds the digits before the decimal sign; false when they are not digits in groups of three.
fn push_whole(whole: &str, thousands: char, plain: &mut String) -> bool {
    let divides = |ch: char| ch == thousands || matches!(ch, ' ' | '\u{a0}' | '\u{202f}' | '\'');
    let mut groups = whole.split(divides);
    let first = groups.next().unwrap_or("");
    let mut grouped = false;
    let all_digits = |group: &str| group.bytes().all(|byte| byte.is_ascii_digit());
    if !all_digits(first) {
        return false;
    }
    plain.push_str(first);
    for group in groups {
        grouped = true;
        if group.len() != 3 || !all_digits(group) {
            return false;
        }
        plain.push_str(group);
    }
    // Nobody writes thousands after a zero: "0,272" is a decimal comma.
    !grouped || ((1..=3).contains(&first.len()) && !first.starts_with('0'))
}
