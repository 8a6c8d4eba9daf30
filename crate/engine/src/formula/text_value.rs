//! Numbers written as text, and texts that read as numbers.
//!
//! Enters: a text or a number. Leaves: the other.
//! Always true: what reads as a number reads one way: decimals with a point, thousands with commas, a
//! percentage, a fraction, a time, or a date with a four-digit year, month first where only numbers stand.
//! Never: guesses; a text that is not wholly a number is none.

use super::date_serial::serial_of;
use crate::sheet::day::Day;
use crate::sheet::read::date::{DateText, parse as read_date};

/// A number as text: up to 15 digits, no zeros at the end.
pub fn number_text(number: f64) -> String {
    if number.fract() == 0.0 && number.abs() < 1e15 {
        return format!("{}", number + 0.0);
    }
    // The shortest text that reads back is the one wanted, unless it needs more digits than that.
    let shortest = format!("{number}");
    if (1e-5..1e15).contains(&number.abs())
        && shortest.bytes().filter(u8::is_ascii_digit).count() <= 15
    {
        return shortest;
    }
    let written = format!("{number:.14e}");
    let (digits, exponent) = written.split_once('e').unwrap_or((&written, "0"));
    let exponent: i32 = exponent.parse().unwrap_or(0);
    let (sign, digits) = match digits.strip_prefix('-') {
        Some(digits) => ("-", digits),
        None => ("", digits),
    };
    let digits: String = digits.chars().filter(char::is_ascii_digit).collect();
    let digits = digits.trim_end_matches('0');
    let n_digits = i32::try_from(digits.len()).unwrap_or(i32::MAX);
    if !(-5..15).contains(&exponent) {
        let (first, rest) = digits.split_at(digits.len().min(1));
        let point = if rest.is_empty() { "" } else { "." };
        let plus = if exponent < 0 { '-' } else { '+' };
        return format!("{sign}{first}{point}{rest}E{plus}{:02}", exponent.abs());
    }
    if exponent < 0 {
        let zeros = "0".repeat((-exponent - 1).unsigned_abs() as usize);
        return format!("{sign}0.{zeros}{digits}");
    }
    if exponent + 1 >= n_digits {
        let zeros = "0".repeat((exponent + 1 - n_digits).unsigned_abs() as usize);
        return format!("{sign}{digits}{zeros}");
    }
    let (whole, fraction) = digits.split_at((exponent + 1).unsigned_abs() as usize);
    format!("{sign}{whole}.{fraction}")
}

/// The number a text reads as, or `None`.
pub fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    if text.is_empty() || text.len() > 60 || !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    decimal(text)
        .or_else(|| percentage(text))
        .or_else(|| fraction(text))
        .or_else(|| day(text))
        .or_else(|| time(text))
        .filter(|number| number.is_finite())
}

/// The day a text reads as, as a serial number with the share of the day gone when a time follows.
pub fn day(text: &str) -> Option<f64> {
    let text = text.trim();
    let day = date(text)?;
    let clock = match text.find(':') {
        Some(colon) => {
            let hour = text[..colon]
                .rfind(|character: char| !character.is_ascii_digit())
                .map_or(0, |at| at + 1);
            time(text.get(hour..)?.trim_end_matches(['Z', 'z']))?
        }
        None => 0.0,
    };
    Some(serial_of(day) + clock)
}

fn date(text: &str) -> Option<Day> {
    // A bare count of digits is a number, not a date.
    if !text
        .bytes()
        .any(|byte| matches!(byte, b'-' | b'/' | b'.' | b' '))
    {
        return None;
    }
    match read_date(text.as_bytes(), 0).ok()? {
        DateText::Day {
            day,
            short_year: false,
        } => Some(day),
        DateText::Numeric(date) if !date.short_year => {
            Day::from_ymd(date.year, u32::from(date.first), u32::from(date.second))
        }
        _ => None,
    }
}

/// `1234.5`, `-3`, `1e3`, `$1,234.50`.
fn decimal(text: &str) -> Option<f64> {
    let (negative, rest) = match text.as_bytes().first()? {
        b'-' => (true, &text[1..]),
        b'+' => (false, &text[1..]),
        _ => (false, text),
    };
    let rest = rest.strip_prefix('$').unwrap_or(rest);
    let first = *rest.as_bytes().first()?;
    if !first.is_ascii_digit() && first != b'.' {
        return None;
    }
    let number: f64 = if rest.contains(',') {
        without_commas(rest)?.parse().ok()?
    } else {
        if !rest
            .bytes()
            .all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b'e' | b'E' | b'+' | b'-'))
        {
            return None;
        }
        rest.parse().ok()?
    };
    Some(if negative { -number } else { number })
}

/// `1,234.5` as `1234.5`; `None` unless the commas part thousands.
fn without_commas(text: &str) -> Option<String> {
    let (whole, fraction) = text.split_once('.').unwrap_or((text, ""));
    let mut groups = whole.split(',');
    let first = groups.next()?;
    let digits = |group: &str| group.bytes().all(|byte| byte.is_ascii_digit());
    if first.is_empty() || first.len() > 3 || !digits(first) || !digits(fraction) {
        return None;
    }
    groups
        .all(|group| group.len() == 3 && digits(group))
        .then(|| text.replace(',', ""))
}

fn percentage(text: &str) -> Option<f64> {
    Some(decimal(text.strip_suffix('%')?.trim_end())? / 100.0)
}

/// `1 1/2`.
fn fraction(text: &str) -> Option<f64> {
    let (whole, parts) = text.split_once(' ')?;
    let (above, below) = parts.trim().split_once('/')?;
    let digits = |text: &str| {
        (!text.is_empty() && text.len() < 10 && text.bytes().all(|byte| byte.is_ascii_digit()))
            .then(|| text.parse::<f64>().ok())
            .flatten()
    };
    let (above, below) = (digits(above)?, digits(below)?);
    let (negative, whole) = match whole.strip_prefix('-') {
        Some(whole) => (true, digits(whole)?),
        None => (false, digits(whole)?),
    };
    let number = whole + above / below;
    (below > 0.0).then_some(if negative { -number } else { number })
}

/// `2:00` and `2:00:30` as a share of a day.
fn time(text: &str) -> Option<f64> {
    let mut share = 0.0;
    let mut n_parts = 0;
    for (part, (size, most)) in text.split(':').zip([
        (1.0 / 24.0, 9_999.0),
        (1.0 / 1_440.0, 59.0),
        (1.0 / 86_400.0, 59.0),
    ]) {
        if part.is_empty() || part.len() > 4 || !part.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let value: f64 = part.parse().ok()?;
        if value > most {
            return None;
        }
        share += value * size;
        n_parts += 1;
    }
    (n_parts >= 2 && n_parts == text.split(':').count()).then_some(share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_read_as_numbers() {
        for (text, expected) in [
            ("12", Some(12.0)),
            (" 8 ", Some(8.0)),
            ("-3e2", Some(-300.0)),
            ("50%", Some(0.5)),
            ("$1,234.50", Some(1234.5)),
            ("1 1/2", Some(1.5)),
            ("2026-03-14", Some(46095.0)),
            ("03/14/2026", Some(46095.0)),
            ("14 Mar 2026", Some(46095.0)),
            ("2026-03-14 06:00", Some(46095.25)),
            ("1,23", None),
            ("abc", None),
            ("", None),
            ("inf", None),
            ("1e999", None),
            ("3/14/26", None),
        ] {
            assert_eq!(number(text), expected, "{text}");
        }
    }

    #[test]
    fn numbers_are_written_with_fifteen_digits() {
        for (number, text) in [
            (0.1 + 0.2, "0.3"),
            (1.0 / 3.0, "0.333333333333333"),
            (-0.25, "-0.25"),
            (46064.0, "46064"),
            (1.5e20, "1.5E+20"),
            (0.00001, "0.00001"),
            (1.25e-9, "1.25E-09"),
            (123456.789, "123456.789"),
            (-0.0, "0"),
        ] {
            assert_eq!(number_text(number), text);
        }
    }
}
