//! What a filter says of numbers and dates: `>500`, `500..600`, `<=2026-03-31`, `=80`.
//!
//! Enters: the text of a filter. Leaves: the numbers (dates as days since 1970-01-01) that pass.
//! Always true: a blank cell never passes; a bound without `=` leaves its own value out; `a..b` takes both ends in.
//! Never: reads a text that has no sign of a range, so that plain text is found as before.

use super::read::date;
use super::read::number::plain_decimal;

/// Numbers from here to there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RangeFilter {
    least: f64,
    greatest: f64,
    /// The ends themselves pass.
    ends_pass: bool,
}

/// A range made from a value.
type Made = fn(f64) -> RangeFilter;

/// The signs, longer ones first; what each makes of a value.
const SIGNS: [(&str, Made); 7] = [
    (">=", |at| RangeFilter::of(at, f64::INFINITY, true)),
    ("<=", |at| RangeFilter::of(f64::NEG_INFINITY, at, true)),
    ("\u{2265}", |at| RangeFilter::of(at, f64::INFINITY, true)),
    ("\u{2264}", |at| {
        RangeFilter::of(f64::NEG_INFINITY, at, true)
    }),
    (">", |at| RangeFilter::of(at, f64::INFINITY, false)),
    ("<", |at| RangeFilter::of(f64::NEG_INFINITY, at, false)),
    ("=", |at| RangeFilter::of(at, at, true)),
];

impl RangeFilter {
    const fn of(least: f64, greatest: f64, ends_pass: bool) -> RangeFilter {
        RangeFilter {
            least,
            greatest,
            ends_pass,
        }
    }

    /// The range that a text says; `None` when it says none.
    pub fn read(text: &str) -> Option<RangeFilter> {
        let text = text.trim();
        for (sign, range) in SIGNS {
            if let Some(rest) = text.strip_prefix(sign) {
                return value(rest).map(range);
            }
        }
        let (from, to) = text.split_once("..")?;
        Some(RangeFilter::of(value(from)?, value(to)?, true))
    }

    /// Whether a number lies in the range; a missing one does not.
    pub fn holds(&self, number: f64) -> bool {
        if self.ends_pass {
            number >= self.least && number <= self.greatest
        } else {
            number > self.least && number < self.greatest
        }
    }
}

/// A number with or without commas between thousands, or a day written `2026-03-14`.
fn value(text: &str) -> Option<f64> {
    let text = text.trim();
    if let Some(day) = date::iso(text.as_bytes()) {
        return Some(f64::from(day.count()));
    }
    let plain = text.replace(',', "");
    match plain.strip_prefix(['-', '\u{2212}']) {
        Some(below_zero) => plain_decimal(below_zero.as_bytes()).map(|number| -number),
        None => plain_decimal(plain.as_bytes()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn passing(text: &str, numbers: &[f64]) -> Option<Vec<f64>> {
        let range = RangeFilter::read(text)?;
        let passing = numbers.iter().copied();
        Some(passing.filter(|&number| range.holds(number)).collect())
    }

    #[test]
    fn bounds_are_read_and_blanks_never_pass() {
        let numbers = [-1.5, 0.0, 500.0, 500.5, 1600.0, f64::NAN];
        let check = |text: &str, expected: Option<&[f64]>| {
            assert_eq!(passing(text, &numbers).as_deref(), expected, "{text}");
        };
        check(">500", Some(&[500.5, 1600.0]));
        check(">= 500", Some(&[500.0, 500.5, 1600.0]));
        check("< 0", Some(&[-1.5]));
        check("<=-1.5", Some(&[-1.5]));
        check("=500", Some(&[500.0]));
        check("0..500.5", Some(&[0.0, 500.0, 500.5]));
        check("> 1,000", Some(&[1600.0]));
        check("500", None);
        check(">heavy", None);
        check("..5", None);
        check("pen 1", None);
    }

    #[test]
    fn days_are_numbers() {
        let day = f64::from(date::iso(b"2026-03-14").expect("a day").count());
        assert_eq!(
            passing("2026-03-01..2026-03-31", &[day, day + 40.0]),
            Some(vec![day])
        );
        assert_eq!(
            passing(">2026-03-14", &[day, day + 1.0]),
            Some(vec![day + 1.0])
        );
    }
}
