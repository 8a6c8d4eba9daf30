//! Numbers and dates written in a format, for TEXT.
//!
//! Enters: a number and a format: `0.0`, `#,##0`, `0%`, `000`, `yyyy-mm-dd`. Leaves: text.
//! Always true: halves go away from zero; words between double quotation marks, and what follows a backslash,
//! stand as they are; a format may have parts for above, below and at zero, divided by `;`.
//! Never: depends on a locale: the decimal point is a point, thousands are parted by commas, months are English.

use super::date_serial::{day_of, weekday};
use super::error_value::ErrorValue;
use super::rounding::{Way, round};
use super::text_value::number_text;

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];
const DAYS: [&str; 7] = [
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
];

/// Writes a number.
///
/// # Errors
/// `#NUM!` for a date outside of the years 1 to 9999, `#VALUE!` for a format of more than 500 characters.
pub fn write(number: f64, format: &str) -> Result<String, ErrorValue> {
    if format.len() > 500 {
        return Err(ErrorValue::Value);
    }
    if format.eq_ignore_ascii_case("general") || format == "@" {
        return Ok(number_text(number));
    }
    let parts = parts(format);
    let (part, number) = match (parts.len(), number) {
        (2.., n) if n < 0.0 => (&parts[1], -n),
        (3.., 0.0) => (&parts[2], 0.0),
        _ => (&parts[0], number),
    };
    if part.iter().any(is_date_letter) {
        date(number, part)
    } else {
        Ok(decimal(number, part))
    }
}

/// A character of a format, and whether it stands as it is.
type Piece = (char, bool);

fn parts(format: &str) -> Vec<Vec<Piece>> {
    let mut parts = vec![Vec::new()];
    let mut quoted = false;
    let mut characters = format.chars();
    while let Some(character) = characters.next() {
        match character {
            '"' => quoted = !quoted,
            '\\' if !quoted => {
                if let (Some(part), Some(next)) = (parts.last_mut(), characters.next()) {
                    part.push((next, true));
                }
            }
            ';' if !quoted => parts.push(Vec::new()),
            _ => {
                if let Some(part) = parts.last_mut() {
                    part.push((character, quoted));
                }
            }
        }
    }
    parts
}

fn is_date_letter(piece: &Piece) -> bool {
    matches!(piece, ('y' | 'Y' | 'm' | 'M' | 'd' | 'D', false))
}

fn date(number: f64, part: &[Piece]) -> Result<String, ErrorValue> {
    let day = day_of(number)?;
    let (year, month, of_month) = day.ymd().ok_or(ErrorValue::Number)?;
    let month_name = MONTHS[month as usize - 1];
    let day_name = DAYS[weekday(day).unsigned_abs() as usize];
    let mut text = String::new();
    let mut at = 0;
    while at < part.len() {
        let piece = part[at];
        if !is_date_letter(&piece) {
            text.push(piece.0);
            at += 1;
            continue;
        }
        let letter = piece.0.to_ascii_lowercase();
        let n = part[at..]
            .iter()
            .take_while(|(next, plain)| !plain && next.eq_ignore_ascii_case(&letter))
            .count();
        at += n;
        match (letter, n) {
            ('y', 1..=2) => text.push_str(&format!("{:02}", year % 100)),
            ('y', _) => text.push_str(&format!("{year:04}")),
            ('m', 1) => text.push_str(&month.to_string()),
            ('m', 2) => text.push_str(&format!("{month:02}")),
            ('m', 3) => text.push_str(&month_name[..3]),
            ('m', _) => text.push_str(month_name),
            (_, 1) => text.push_str(&of_month.to_string()),
            (_, 2) => text.push_str(&format!("{of_month:02}")),
            (_, 3) => text.push_str(&day_name[..3]),
            _ => text.push_str(day_name),
        }
    }
    Ok(text)
}

fn is_digit_sign(piece: &Piece) -> bool {
    matches!(piece, ('0' | '#' | '?', false))
}

fn decimal(number: f64, part: &[Piece]) -> String {
    let (Some(first), Some(last)) = (
        part.iter().position(is_digit_sign),
        part.iter().rposition(is_digit_sign),
    ) else {
        return part.iter().map(|(character, _)| *character).collect();
    };
    let percents = part.iter().filter(|piece| **piece == ('%', false)).count();
    let scaled = number * libm::exp10(2.0 * percents as f64);
    let body = &part[first..=last];
    let (whole, fraction) = match body.iter().position(|piece| *piece == ('.', false)) {
        Some(point) => (&body[..point], &body[point + 1..]),
        None => (body, &[][..]),
    };
    let most = fraction.iter().filter(|piece| is_digit_sign(piece)).count();
    let least = fraction
        .iter()
        .filter(|piece| **piece == ('0', false))
        .count();
    let least_whole = whole.iter().filter(|piece| **piece == ('0', false)).count();
    let grouped = whole.contains(&(',', false));
    let rounded = round(scaled, most as f64, Way::Nearest);
    let written = format!("{:.most$}", rounded.abs());
    let (digits, decimals) = written.split_once('.').unwrap_or((&written, ""));
    let digits = if digits == "0" && least_whole == 0 {
        String::new()
    } else {
        format!("{digits:0>least_whole$}")
    };
    let mut decimals = decimals.to_owned();
    while decimals.len() > least && decimals.ends_with('0') {
        decimals.pop();
    }
    let mut text: String = part[..first]
        .iter()
        .map(|(character, _)| *character)
        .collect();
    if rounded < 0.0 {
        text.insert(0, '-');
    }
    for (at, digit) in digits.chars().enumerate() {
        if grouped && at > 0 && (digits.len() - at) % 3 == 0 {
            text.push(',');
        }
        text.push(digit);
    }
    if !decimals.is_empty() {
        text.push('.');
        text.push_str(&decimals);
    }
    text.extend(part[last + 1..].iter().map(|(character, _)| *character));
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_dates_in_formats() {
        for (number, format, expected) in [
            (612.0, "0.0", "612.0"),
            (1_234_567.891, "#,##0.00", "1,234,567.89"),
            (46_064.0, "yyyy-mm-dd", "2026-02-11"),
            (46_064.0, "d mmm yy", "11 Feb 26"),
            (46_064.0, "dddd", "Wednesday"),
            (0.256, "0%", "26%"),
            (0.256, "0.0%", "25.6%"),
            (7.0, "000", "007"),
            (-3.13581, "0.00", "-3.14"),
            (-3.0, "0;(0)", "(3)"),
            (0.0, "0;-0;\"none\"", "none"),
            (5.0, "0 \"lb\"", "5 lb"),
            (0.5, "#.##", ".5"),
            (1.0, "#.##", "1"),
            (1e300, "0", &format!("{:.0}", 1e300)),
        ] {
            assert_eq!(write(number, format).as_deref(), Ok(expected), "{format}");
        }
    }
}
