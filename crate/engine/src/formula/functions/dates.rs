//! Dates.
//!
//! Enters: one row's dates as serial numbers. Leaves: dates and counts of days.
//! Always true: whole calendar days; months are calendar months, cut to the last day where there is none.
//! Never: knows the day of today unless it was told.

use super::super::cell::{Answer, Cell, finite};
use super::super::date_serial::{
    day_of, from_parts, plus_months, serial_of, weekday as weekday_of, ymd_of,
};
use super::super::error_value::ErrorValue;
use super::super::evaluate::Now;
use super::super::function::{Function, Gives, Group, Run, function};
use super::super::text_value;
use super::{number, number_or, text};
use crate::sheet::day::Day;

/// The group.
pub const GROUP: (Group, &[Function]) = (
    Group {
        key: "dates",
        label: "Dates",
    },
    &[
        function!("DATE" ("year" Number, "month" Number, "day" Number) -> Gives::Date, "6.10.2", Run::Rows(date),
            "A date from its parts; a month or day too many runs over.", "DATE(2026; 3; 14)"),
        function!("DATEDIF" ("from" Date, "to" Date, "unit" Text) -> Gives::Number, "6.10.3", Run::Rows(datedif),
            "Whole days \"d\", months \"m\" or years \"y\" from one date to a later one; \"ym\", \"md\" and \"yd\" leave the larger parts out.", "DATEDIF(birth_date; wean_date; \"m\")"),
        function!("DATEVALUE" ("text" Text) -> Gives::Date, "6.10.4", Run::Rows(datevalue),
            "The date a text reads as.", "DATEVALUE(\"2026-03-14\")"),
        function!("DAY" ("date" Date) -> Gives::Number, "6.10.5", Run::Rows(day),
            "The day of the month.", "DAY(birth_date)"),
        function!("DAYS" ("later" Date, "earlier" Date) -> Gives::Number, "6.10.6", Run::Rows(days),
            "Days from the second date to the first.", "DAYS(wean_date; birth_date)"),
        function!("EDATE" ("date" Date, "months" Number) -> Gives::Date, "6.10.8", Run::Rows(edate),
            "The same day so many months later.", "EDATE(birth_date; 12)"),
        function!("EOMONTH" ("date" Date, "months" Number) -> Gives::Date, "6.10.9", Run::Rows(eomonth),
            "The last day of the month so many months later.", "EOMONTH(birth_date; 0)"),
        function!("ISOWEEKNUM" ("date" Date) -> Gives::Number, "6.10.11", Run::Rows(isoweeknum),
            "The week of the year as ISO 8601 counts: weeks begin on Monday.", "ISOWEEKNUM(birth_date)"),
        function!("MONTH" ("date" Date) -> Gives::Number, "6.10.13", Run::Rows(month),
            "The month, 1 to 12.", "MONTH(birth_date)"),
        function!("NOW" () -> Gives::Date, "6.10.15", Run::Rows(today),
            "The book's day, without a time: a book knows no clock.", "NOW()"),
        function!("TODAY" () -> Gives::Date, "6.10.19", Run::Rows(today),
            "The book's day, a setting of the book.", "TODAY()-birth_date"),
        function!("WEEKDAY" ("date" Date, "kind" Number optional) -> Gives::Number, "6.10.20", Run::Rows(weekday),
            "The day of the week: kind 1 counts from Sunday as 1, kind 2 from Monday as 1, kind 3 from Monday as 0.", "WEEKDAY(birth_date; 2)"),
        function!("WEEKNUM" ("date" Date, "kind" Number optional) -> Gives::Number, "6.10.21", Run::Rows(weeknum),
            "The week of the year, the one with January 1 as the first; kind 1 begins weeks on Sunday, kind 2 on Monday, kind 21 counts as ISO 8601.", "WEEKNUM(birth_date; 2)"),
        function!("YEAR" ("date" Date) -> Gives::Number, "6.10.23", Run::Rows(year),
            "The year.", "YEAR(birth_date)"),
        function!("YEARFRAC" ("from" Date, "to" Date, "basis" Number optional) -> Gives::Number, "6.10.24", Run::Rows(yearfrac),
            "Years between two dates as a number: basis 3 takes 365 days as a year, basis 2 takes 360.", "YEARFRAC(birth_date; wean_date; 3)"),
    ],
);

fn date<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(from_parts(
        number(row, 0)?,
        number(row, 1)?,
        number(row, 2)?,
    )?)
}

fn datevalue<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    if let Cell::Number(serial) = row[0] {
        return finite(serial.floor());
    }
    let serial = text_value::day(&text(row, 0)?).ok_or(ErrorValue::Value)?;
    finite(serial.floor())
}

fn day<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(f64::from(ymd_of(number(row, 0)?)?.2))
}

fn month<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(f64::from(ymd_of(number(row, 0)?)?.1))
}

fn year<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(f64::from(ymd_of(number(row, 0)?)?.0))
}

fn days<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(number(row, 0)? - number(row, 1)?)
}

fn edate<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(plus_months(number(row, 0)?, number(row, 1)?, false)?)
}

fn eomonth<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(plus_months(number(row, 0)?, number(row, 1)?, true)?)
}

fn today<'a>(now: &Now, _: &[Cell<'a>]) -> Answer<'a> {
    now.today.map(Cell::Number).ok_or(ErrorValue::NotAvailable)
}

/// On which day a week begins, 0 for Monday, by the numbers the standard gives them.
fn first_day(kind: f64) -> Result<i32, ErrorValue> {
    Ok(match kind.trunc() as i64 {
        1 | 17 => 6,
        2 | 3 | 11 => 0,
        kind @ 12..=16 => i32::try_from(kind - 11).unwrap_or(0),
        _ => return Err(ErrorValue::Number),
    })
}

fn weekday<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let kind = number_or(row, 1, 1.0)?;
    let first = first_day(kind)?;
    let place = (weekday_of(day_of(number(row, 0)?)?) - first).rem_euclid(7);
    finite(f64::from(place + i32::from(kind.trunc() != 3.0)))
}

fn iso_week(day: Day) -> Result<f64, ErrorValue> {
    // The week belongs to the year its Thursday lies in.
    let thursday = day.plus(3 - weekday_of(day));
    let year = thursday.year().ok_or(ErrorValue::Number)?;
    let first = Day::from_ymd(year, 1, 1).ok_or(ErrorValue::Number)?;
    let days = thursday.days_since(first).ok_or(ErrorValue::Number)?;
    Ok(f64::from(days / 7 + 1))
}

fn isoweeknum<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(iso_week(day_of(number(row, 0)?)?)?)
}

fn weeknum<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let day = day_of(number(row, 0)?)?;
    let kind = number_or(row, 1, 1.0)?;
    if kind.trunc() == 21.0 {
        return finite(iso_week(day)?);
    }
    if kind.trunc() == 3.0 {
        return Err(ErrorValue::Number);
    }
    let begins = first_day(kind)?;
    let (year, ..) = day.ymd().ok_or(ErrorValue::Number)?;
    let first = Day::from_ymd(year, 1, 1).ok_or(ErrorValue::Number)?;
    let days = day.days_since(first).ok_or(ErrorValue::Number)?;
    let lead = (weekday_of(first) - begins).rem_euclid(7);
    finite(f64::from((days + lead) / 7 + 1))
}

/// Whole months from one date to a later one, by the day of the month.
fn whole_months(from: (i32, u32, u32), to: (i32, u32, u32)) -> i32 {
    let months = |date: (i32, u32, u32)| date.0 * 12 + date.1.cast_signed();
    months(to) - months(from) - i32::from(to.2 < from.2)
}

fn datedif<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (from, to) = (number(row, 0)?.floor(), number(row, 1)?.floor());
    if from > to {
        return Err(ErrorValue::Number);
    }
    let (start, end) = (ymd_of(from)?, ymd_of(to)?);
    let months = whole_months(start, end);
    let answer = match text(row, 2)?.to_ascii_lowercase().as_str() {
        "d" => to - from,
        "m" => f64::from(months),
        "y" => f64::from(months.div_euclid(12)),
        "ym" => f64::from(months.rem_euclid(12)),
        "md" => to - after_months(start, end)?,
        "yd" => to - after_years(start, end)?,
        _ => return Err(ErrorValue::Value),
    };
    finite(answer)
}

/// The last date on the day of the month of `start` that is not after `end`; a day the month does not have
/// runs over into the next.
fn after_months(start: (i32, u32, u32), end: (i32, u32, u32)) -> Result<f64, ErrorValue> {
    let back = f64::from(u8::from(end.2 < start.2));
    from_parts(
        f64::from(end.0),
        f64::from(end.1) - back,
        f64::from(start.2),
    )
}

/// The last anniversary of `start` that is not after `end`.
fn after_years(start: (i32, u32, u32), end: (i32, u32, u32)) -> Result<f64, ErrorValue> {
    let back = f64::from(u8::from((end.1, end.2) < (start.1, start.2)));
    from_parts(
        f64::from(end.0) - back,
        f64::from(start.1),
        f64::from(start.2),
    )
}

fn yearfrac<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (one, other) = (number(row, 0)?.floor(), number(row, 1)?.floor());
    let (from, to) = (one.min(other), one.max(other));
    let days = to - from;
    finite(match number_or(row, 2, 0.0)?.trunc() as i64 {
        0 => days_360(from, to, false)? / 360.0,
        1 => {
            let (start, end) = (ymd_of(from)?, ymd_of(to)?);
            let whole = whole_months(start, end).div_euclid(12);
            let last = serial_of_year(start, whole)?;
            let next = serial_of_year(start, whole + 1)?;
            f64::from(whole) + (to - last) / (next - last)
        }
        2 => days / 360.0,
        3 => days / 365.0,
        4 => days_360(from, to, true)? / 360.0,
        _ => return Err(ErrorValue::Number),
    })
}

fn serial_of_year(start: (i32, u32, u32), years: i32) -> Result<f64, ErrorValue> {
    let first = Day::from_ymd(start.0, start.1, start.2).ok_or(ErrorValue::Number)?;
    plus_months(serial_of(first), f64::from(years) * 12.0, false)
}

/// Days between two dates when every month has 30, the American way or the European (6.10.7).
fn days_360(from: f64, to: f64, european: bool) -> Result<f64, ErrorValue> {
    let ((y1, m1, mut d1), (y2, m2, mut d2)) = (ymd_of(from)?, ymd_of(to)?);
    let february_end = |serial: f64, month: u32| -> Result<bool, ErrorValue> {
        Ok(month == 2 && ymd_of(serial + 1.0)?.1 == 3)
    };
    if european {
        d1 = d1.min(30);
        d2 = d2.min(30);
    } else {
        if february_end(from, m1)? {
            if february_end(to, m2)? {
                d2 = 30;
            }
            d1 = 30;
        }
        if d2 == 31 && d1 >= 30 {
            d2 = 30;
        }
        d1 = d1.min(30);
    }
    let count = |year: i32, month: u32, day: u32| {
        f64::from(year) * 360.0 + f64::from(month) * 30.0 + f64::from(day)
    };
    Ok(count(y2, m2, d2) - count(y1, m1, d1))
}
