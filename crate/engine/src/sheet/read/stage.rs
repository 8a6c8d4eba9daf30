//! How far along a bred cow is, from the words of a pregnancy check.
//!
//! Enters: the stage as it was said (`120 days`, `4 mo`, `early`, `calves in April`, `due
//! 2027-03-14`), the unit of a bare number, and
//! the day of the check. Leaves: the days bred on that day, from the fewest to the most, with the reason in words.
//! Always true: a range holds every day that the words allow; words that are not known give nothing.
//! Never: takes a bare number for days or months unless that was said.
//!
//! Sources. Gestation of 283 days: Clemson Cooperative Extension, gestation table for cattle. That a stage said in
//! months or weeks is meant to the nearest one, and that early, middle and late are thirds of a gestation: common
//! practice, no source.

use super::TWO_DIGIT_YEAR_TO;
use super::date::{DateText, parse, parse_without_year};
use crate::import::plan::DateOrder;
use crate::sheet::day::Day;

/// Days from conception to calving.
pub const GESTATION_DAYS: i32 = 283;
/// Days of a month, on the mean of the calendar.
const MONTH_DAYS: f64 = 365.25 / 12.0;

/// Unit of a stage written as a bare number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StageUnit {
    /// Days.
    Days,
    /// Weeks.
    Weeks,
    /// Months.
    Months,
}

impl StageUnit {
    /// In the order of the list of words.
    const ALL: [StageUnit; 3] = [StageUnit::Days, StageUnit::Weeks, StageUnit::Months];

    /// Position in the list of words.
    pub const fn position(self) -> u8 {
        self as u8
    }

    /// The unit at a position of the list of words.
    pub fn at(position: u8) -> Option<StageUnit> {
        StageUnit::ALL.get(usize::from(position)).copied()
    }
}

/// Days bred on the day of the check.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DaysBred {
    /// The fewest.
    pub from: i32,
    /// The most.
    pub to: i32,
    /// Why, in words.
    pub why: String,
}

/// A stage, as far as its words go.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Said {
    /// From one number to another, each meant to the nearest step.
    Numbers(f64, f64, StageUnit),
    /// A third of a gestation: 0 early, 1 middle, 2 late.
    Third(u8),
    /// A month of calving, 1 to 12.
    CalvingMonth(u32),
    /// The day on which she is due.
    DueDay(Day),
    /// The day of the year on which she is due: month, day.
    DueOn(u32, u32),
}

/// The days bred that a stage says; `None` when its words are not known, or when it is not known what they count
/// from.
pub fn days_bred(text: &str, unit: Option<StageUnit>, checked_on: Day) -> Option<DaysBred> {
    match said(text, unit)? {
        Said::Numbers(low, high, unit) => numbers(low, high, unit),
        Said::Third(third) => {
            let third_of = |n: u8| i32::from(n) * GESTATION_DAYS / 3;
            let (from, to) = (third_of(third) + 1, third_of(third + 1));
            Some(DaysBred {
                from,
                to,
                why: format!(
                    "{} is the {} third of a gestation of {GESTATION_DAYS} days: {from} to {to} days.",
                    text.trim(),
                    ["first", "second", "last"][usize::from(third)]
                ),
            })
        }
        Said::CalvingMonth(month) => in_month(month, checked_on),
        Said::DueDay(day) => due_on(day, checked_on),
        Said::DueOn(month, day) => {
            let year = checked_on.year()?;
            [year, year + 1].into_iter().find_map(|year| {
                let due = Day::from_ymd(year, month, day)?;
                (due >= checked_on).then(|| due_on(due, checked_on))?
            })
        }
    }
}

/// True when the words of a stage are known, whatever a bare number counts.
pub fn is_stage(text: &str) -> bool {
    said(text, Some(StageUnit::Days)).is_some()
}

/// The day on which a stage says that she is due: `due 2027-03-14`.
pub fn due_day(text: &str) -> Option<Day> {
    match said(text, None)? {
        Said::DueDay(day) => Some(day),
        _ => None,
    }
}

/// True when the stage is a number without a unit, so that its unit must be said.
pub fn is_bare_number(text: &str) -> bool {
    said(text, None).is_none() && said(text, Some(StageUnit::Days)).is_some()
}

/// The month, 1 to 12, that a text names and nothing else: `Mar`, `april`, `Sept.`
pub fn month_of(text: &str) -> Option<u32> {
    const MONTHS: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let word = text.trim().trim_end_matches('.').to_lowercase();
    if word.len() < 3 {
        return None;
    }
    let at = MONTHS.iter().position(|month| {
        *month == word || month[..3] == word || (word == "sept" && *month == "september")
    })?;
    u32::try_from(at + 1).ok()
}

fn numbers(low: f64, high: f64, unit: StageUnit) -> Option<DaysBred> {
    let (days, step, word) = match unit {
        StageUnit::Days => (1.0, 0.0, "days"),
        StageUnit::Weeks => (7.0, 1.0, "weeks"),
        // "4.5 months" is meant to the half month.
        StageUnit::Months if low.fract() != 0.0 || high.fract() != 0.0 => {
            (MONTH_DAYS, 0.5, "months")
        }
        StageUnit::Months => (MONTH_DAYS, 1.0, "months"),
    };
    let from = libm::ceil((low - step / 2.0).max(0.0) * days);
    let to = libm::floor((high + step / 2.0) * days);
    if !(low <= high && to <= f64::from(GESTATION_DAYS + 30)) {
        return None;
    }
    let (from, to) = (from as i32, to as i32);
    let number = |number: f64| {
        if number.fract() == 0.0 {
            format!("{number:.0}")
        } else {
            format!("{number}")
        }
    };
    let said = if low == high {
        number(low)
    } else {
        format!("{} to {}", number(low), number(high))
    };
    Some(DaysBred {
        from,
        to,
        why: if unit == StageUnit::Days {
            format!("The stage says {said} days.")
        } else {
            format!(
                "{said} {word}, to the nearest {}, at {days:.1} days each: {from} to {to} days.",
                match (unit, step < 1.0) {
                    (StageUnit::Weeks, _) => "week",
                    (_, true) => "half month",
                    (_, false) => "month",
                }
            )
        },
    })
}

/// The next such month that a cow bred by the day of the check can calve in.
fn in_month(month: u32, checked_on: Day) -> Option<DaysBred> {
    let year = checked_on.year()?;
    [year, year + 1].into_iter().find_map(|year| {
        let first = Day::from_ymd(year, month, 1)?;
        let after = if month == 12 {
            Day::from_ymd(year + 1, 1, 1)?
        } else {
            Day::from_ymd(year, month + 1, 1)?
        };
        let last = after.plus(-1);
        let to = GESTATION_DAYS - first.days_since(checked_on)?;
        let from = GESTATION_DAYS - last.days_since(checked_on)?;
        // Past already, or a calving before she could have been bred.
        (from <= GESTATION_DAYS && to > 0).then(|| {
            let (from, to) = (from.max(0), to.min(GESTATION_DAYS));
            DaysBred {
                from,
                to,
                why: format!(
                    "Calving from {} to {}, {GESTATION_DAYS} days after breeding: {from} to {to} days on {}.",
                    first.iso(),
                    last.iso(),
                    checked_on.iso()
                ),
            }
        })
    })
}

fn said(text: &str, unit: Option<StageUnit>) -> Option<Said> {
    let text = text.trim().to_lowercase();
    // A month alone may be the month she was bred in.
    if let Some(month) = ["calves in ", "calving in ", "calving ", "due in ", "due "]
        .iter()
        .find_map(|before| text.strip_prefix(before))
    {
        return month_of(month)
            .map(Said::CalvingMonth)
            .or_else(|| due_text(month));
    }
    let words: Vec<&str> = text
        .split(|ch: char| {
            ch.is_whitespace() || ch == '.' && !text.contains(|c: char| c.is_ascii_digit())
        })
        .filter(|word| !word.is_empty())
        .filter(|word| {
            !matches!(
                *word,
                "bred" | "pregnant" | "preg" | "along" | "trimester" | "stage" | "about"
            )
        })
        .collect();
    match words[..] {
        ["early" | "first" | "1st"] => return Some(Said::Third(0)),
        ["middle" | "mid" | "second" | "2nd"] => return Some(Said::Third(1)),
        ["late" | "third" | "3rd"] => return Some(Said::Third(2)),
        _ => {}
    }
    let joined = words.join(" ");
    let (low, rest) = number_at(&joined)?;
    let rest = rest.trim_start();
    let (high, rest) = match rest
        .strip_prefix(['-', '–'])
        .or_else(|| rest.strip_prefix("to "))
    {
        Some(rest) => number_at(rest.trim_start())?,
        None => (low, rest),
    };
    let unit = match rest.trim().trim_end_matches('.') {
        "" => unit?,
        "d" | "da" | "day" | "days" => StageUnit::Days,
        "w" | "wk" | "wks" | "week" | "weeks" => StageUnit::Weeks,
        "m" | "mo" | "mos" | "month" | "months" => StageUnit::Months,
        _ => return None,
    };
    Some(Said::Numbers(low, high, unit))
}

/// A day due: whole, or a day of the year. Numbers that could have the month or the day first are not read.
fn due_text(text: &str) -> Option<Said> {
    let bytes = text.trim().as_bytes();
    let one_way = |date: DateText| match date {
        DateText::Day { day, .. } => Some(day),
        DateText::Numeric(date) => {
            match (
                date.day(DateOrder::MonthFirst),
                date.day(DateOrder::DayFirst),
            ) {
                (Some(one), Some(other)) => (one == other).then_some(one),
                (one, other) => one.or(other),
            }
        }
    };
    if let Ok(date) = parse(bytes, TWO_DIGIT_YEAR_TO) {
        return one_way(date).map(Said::DueDay);
    }
    // A leap year: 29 February is a day of some years.
    let day = one_way(parse_without_year(bytes, 2024).ok()?)?;
    let (_, month, day) = day.ymd()?;
    Some(Said::DueOn(month, day))
}

/// The days bred of a cow that is due on a day; a month more than a gestation is allowed for calving late.
fn due_on(due: Day, checked_on: Day) -> Option<DaysBred> {
    let days = GESTATION_DAYS - due.days_since(checked_on)?;
    (0..=GESTATION_DAYS + 30).contains(&days).then(|| DaysBred {
        from: days,
        to: days,
        why: format!(
            "Due {}, {GESTATION_DAYS} days after breeding: {days} days on {}.",
            due.iso(),
            checked_on.iso()
        ),
    })
}

/// A number without a sign at the start of a text, and what follows it.
fn number_at(text: &str) -> Option<(f64, &str)> {
    let mut seen_point = false;
    let end = text
        .char_indices()
        .find(|(at, ch)| {
            let point = *ch == '.'
                && !seen_point
                && text[at + 1..].starts_with(|next: char| next.is_ascii_digit());
            seen_point |= point;
            !ch.is_ascii_digit() && !point
        })
        .map_or(text.len(), |(at, _)| at);
    let number: f64 = text[..end].parse().ok()?;
    (number < 1000.0).then_some((number, &text[end..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn range(text: &str, unit: Option<StageUnit>) -> Option<(i32, i32)> {
        let day = Day::from_ymd(2025, 10, 20).expect("a day");
        days_bred(text, unit, day).map(|bred| (bred.from, bred.to))
    }

    #[test]
    fn stages_are_read_as_they_are_said() {
        for (text, expected) in [
            ("120 days", (120, 120)),
            ("120d", (120, 120)),
            ("90-100 da", (90, 100)),
            // 3.5 and 4.5 months of 30.4375 days: 106.5 and 136.97.
            ("4 mo", (107, 136)),
            ("4 months bred", (107, 136)),
            // 5.25 and 5.75 months: 159.8 and 175.02.
            ("5.5 mos.", (160, 175)),
            ("3 to 4 months", (77, 136)),
            ("12 wks", (81, 87)),
            // Thirds of 283 days.
            ("early", (1, 94)),
            ("mid", (95, 188)),
            ("2nd trimester", (95, 188)),
            ("late", (189, 283)),
            // March 2026 is 132 to 162 days after 20 October 2025.
            ("calves in March", (121, 151)),
            ("due mar", (121, 151)),
            // 145 days after 20 October 2025, 283 - 145.
            ("due 2026-03-14", (138, 138)),
            ("due March 14", (138, 138)),
            ("due 3/14/26", (138, 138)),
            // Calving in the month of the check: from the check day on.
            ("calves in October", (272, 283)),
        ] {
            assert_eq!(range(text, None), Some(expected), "{text}");
        }
    }

    #[test]
    fn a_bare_number_needs_its_unit() {
        assert_eq!(range("5.5", None), None);
        assert!(is_bare_number("5.5") && is_bare_number("90 - 120"));
        assert!(!is_bare_number("early") && !is_bare_number("4 mo") && !is_bare_number(""));
        assert_eq!(range("120", Some(StageUnit::Days)), Some((120, 120)));
        assert_eq!(range("4", Some(StageUnit::Months)), Some((107, 136)));
        assert_eq!(range("4 days", Some(StageUnit::Months)), Some((4, 4)));
    }

    #[test]
    fn what_cannot_be_is_not_a_stage() {
        for text in [
            "",
            "12 mo",
            "400 days",
            "5-4 mo",
            "heavy",
            "-3 mo",
            "4 mo?",
            "1e3 days",
            "June",
            "due June July",
            "due 3/4/2026",
            "due 2027-03-14",
        ] {
            assert_eq!(range(text, None), None, "{text}");
        }
        // August 2025 is past and August 2026 further off than a gestation.
        assert_eq!(range("due Aug", None), None);
        assert_eq!(days_bred("due Mar", None, Day::MISSING), None);
    }

    #[test]
    fn months_are_words_of_their_own() {
        assert_eq!(month_of("Sept."), Some(9));
        assert_eq!(month_of("MAY"), Some(5));
        for text in ["Marc", "ma", "may be", "Decem"] {
            assert_eq!(month_of(text), None, "{text}");
        }
    }
}
