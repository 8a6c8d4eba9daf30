//! Day counts that spreadsheets keep inside, where a date is due.
//!
//! Enters: a text like 45736 or 45736.35. Leaves: a day, by the date base that was said.
//! Always true: only counts from 1954 to 2119 are taken for days; a fraction is a time of day and is left off.
//! Never: decides which base a file has.
//!
//! Source: ECMA-376 part 1 (Office Open XML), 18.17.4.1; see [`DayCount`].

use super::plan::DayCount;
use crate::sheet::day::Day;

/// The whole days of a count, and whether a time of day stands behind them; `None` for any other text.
pub fn read(text: &str) -> Option<(i32, bool)> {
    let (whole, fraction) = match text.split_once(['.', ',']) {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (text, None),
    };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.len() != 5 || !digits(whole) || !fraction.is_none_or(digits) {
        return None;
    }
    let serial = whole.parse().ok()?;
    let has_time = fraction.is_some_and(|digits| digits.bytes().any(|digit| digit != b'0'));
    (20_000..80_000)
        .contains(&serial)
        .then_some((serial, has_time))
}

/// The day of a count; `None` when the numbers are said to be no dates.
pub fn day(serial: i32, base: DayCount) -> Option<Day> {
    let day_0 = match base {
        DayCount::From1900 => Day::from_ymd(1899, 12, 30),
        DayCount::From1904 => Day::from_ymd(1904, 1, 1),
        DayCount::NotDates => None,
    };
    day_0.map(|day| day.plus(serial))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_days_of_the_standard() {
        let day_of = |text: &str, base| {
            read(text)
                .and_then(|(serial, _)| day(serial, base))
                .map(Day::iso)
        };
        // The days by Python's calendar: date(1899, 12, 30) + timedelta(22269), and from 1904-01-01.
        for (text, base, iso) in [
            ("22269", DayCount::From1900, "1960-12-19"),
            ("20807", DayCount::From1904, "1960-12-19"),
            ("45736.75", DayCount::From1900, "2025-03-20"),
        ] {
            assert_eq!(day_of(text, base).as_deref(), Some(iso), "{text}");
        }
        assert_eq!(read("45736.0"), Some((45_736, false)));
        for text in [
            "4573",
            "457361",
            "4573a",
            "45736.",
            "12000",
            "-45736",
            "45736.1.2",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
