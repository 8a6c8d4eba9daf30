//! Dates as the numbers a formula computes with.
//!
//! Enters: days, or serial numbers. Leaves: the other.
//! Always true: day 0 is 1899-12-30 (the epoch most spreadsheets share), so a date less a date is a count of
//! days and a date and a number a date.
//! Never: knows a time of day; a fraction is the share of the day gone and is cut off.

use super::error_value::ErrorValue;
use crate::sheet::day::{Day, days_in_month};

/// Serial number of 1970-01-01.
const EPOCH: f64 = 25_569.0;

/// The serial number of a day that is not missing.
pub fn serial_of(day: Day) -> f64 {
    f64::from(day.count()) + EPOCH
}

/// The day of a serial number, in the years 1 to 9999.
///
/// # Errors
/// `#NUM!` outside of them.
pub fn day_of(serial: f64) -> Result<Day, ErrorValue> {
    let count = serial.floor() - EPOCH;
    if !(-719_162.0..=2_932_896.0).contains(&count) {
        return Err(ErrorValue::Number);
    }
    Ok(Day::from_count(count as i32))
}

/// Year, month and day of a serial number.
///
/// # Errors
/// `#NUM!` outside of the years 1 to 9999.
pub fn ymd_of(serial: f64) -> Result<(i32, u32, u32), ErrorValue> {
    day_of(serial)?.ymd().ok_or(ErrorValue::Number)
}

/// A date from parts that may run over: month 14 is February of the next year, day 0 the day before.
///
/// # Errors
/// `#NUM!` outside of the years 1 to 9999.
pub fn from_parts(year: f64, month: f64, day: f64) -> Result<f64, ErrorValue> {
    let (year, month, day) = (year.trunc(), month.trunc(), day.trunc());
    if [year, month, day].iter().any(|part| part.abs() > 4e6) {
        return Err(ErrorValue::Number);
    }
    let months = year as i64 * 12 + month as i64 - 1;
    let year = i32::try_from(months.div_euclid(12)).map_err(|_| ErrorValue::Number)?;
    let month = u32::try_from(months.rem_euclid(12) + 1).map_err(|_| ErrorValue::Number)?;
    let first = Day::from_ymd(year, month, 1).ok_or(ErrorValue::Number)?;
    let serial = serial_of(first) + day - 1.0;
    day_of(serial).map(|_| serial)
}

/// The date `months` later, on the last day of the month where it has no such day; `end` for the month's end.
///
/// # Errors
/// `#NUM!` outside of the years 1 to 9999.
pub fn plus_months(serial: f64, months: f64, end: bool) -> Result<f64, ErrorValue> {
    let (year, month, day) = ymd_of(serial)?;
    if months.abs() > 200_000.0 {
        return Err(ErrorValue::Number);
    }
    let months = i64::from(year) * 12 + i64::from(month) - 1 + months.trunc() as i64;
    let year = i32::try_from(months.div_euclid(12)).map_err(|_| ErrorValue::Number)?;
    let month = u32::try_from(months.rem_euclid(12) + 1).map_err(|_| ErrorValue::Number)?;
    let last = days_in_month(year, month);
    let day = if end { last } else { day.min(last) };
    Day::from_ymd(year, month, day)
        .map(serial_of)
        .ok_or(ErrorValue::Number)
}

/// Day of the week, 0 for Monday.
pub fn weekday(day: Day) -> i32 {
    // 1970-01-01 was a Thursday.
    (day.count() + 3).rem_euclid(7)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn serials_are_days() {
        let day = Day::from_ymd(2026, 3, 14).expect("a real day");
        assert_eq!(serial_of(day), 46_095.0);
        assert_eq!(day_of(46_095.7), Ok(day));
        assert_eq!(ymd_of(0.0), Ok((1899, 12, 30)));
        assert_eq!(from_parts(2026.0, 14.0, 1.0), Ok(46_419.0));
        assert_eq!(from_parts(2026.0, 1.0, 0.0), Ok(46_022.0));
        assert!(day_of(1e18).is_err());
        assert!(day_of(f64::NAN).is_err());
        assert!(day_of(2_958_465.0).is_ok());
        assert!(day_of(2_958_466.0).is_err());
    }
}
