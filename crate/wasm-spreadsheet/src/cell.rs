//! One spreadsheet cell as the text a person sees in it, or would type.
//!
//! Enters: a cell's value, and its number format where the file says one. Leaves: a text.
//! Always true: a date is ISO; a number has every digit of its value and no thousands mark.
//! Never: rounds to the digits shown, except that leading zeros of a format of zeros are kept: they belong
//! to a tag.

use calamine::{CellErrorType, Data, DataRef, ExcelDateTime};

/// Most leading zeros a number format may ask for: more than any tag or EID has.
const LONGEST_CODE: usize = 24;

/// The text of a cell.
pub fn text_of(value: &Data, format: Option<&str>) -> String {
    match value {
        Data::Empty => String::new(),
        Data::String(text) => one_line(text),
        Data::Int(number) => padded(number.to_string(), format),
        Data::Float(number) => padded(number.to_string(), format),
        Data::Bool(true) => "yes".to_owned(),
        Data::Bool(false) => "no".to_owned(),
        Data::DateTime(when) => day_or_time(*when),
        Data::DateTimeIso(text) => iso(text),
        Data::DurationIso(text) => text.clone(),
        Data::Error(error) => error_text(error).to_owned(),
    }
}

/// The text of a cell read in passing.
pub fn text_of_ref(value: &DataRef<'_>, format: Option<&str>) -> String {
    match value {
        DataRef::SharedString(text) => one_line(text),
        other => text_of(&Data::from(other.clone()), format),
    }
}

/// A text on one line: a break inside a cell would make line and row numbers part.
fn one_line(text: &str) -> String {
    if !text.contains(['\n', '\r']) {
        return text.to_owned();
    }
    text.split(['\n', '\r'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// A whole number under a format of zeros alone, such as `0000`, is a code: its leading zeros count.
fn padded(digits: String, format: Option<&str>) -> String {
    let width = match format {
        Some(format) if format.len() > 1 && format.bytes().all(|byte| byte == b'0') => format.len(),
        _ => return digits,
    };
    if width <= LONGEST_CODE && digits.bytes().all(|byte| byte.is_ascii_digit()) {
        format!("{digits:0>width$}")
    } else {
        digits
    }
}

/// A serial date as ISO, with the time when there is one; a length of time as hours and minutes.
fn day_or_time(when: ExcelDateTime) -> String {
    const MINUTES_A_DAY: f64 = 1440.0;
    if when.is_duration() {
        let minutes = (when.as_f64() * MINUTES_A_DAY).round();
        let (hours, minutes) = ((minutes / 60.0).trunc(), (minutes % 60.0).abs());
        return format!("{hours}:{minutes:02}");
    }
    let (year, month, day, hour, minute, ..) = when.to_ymd_hms_milli();
    // Below one day there is only a time of day.
    if (0.0..1.0).contains(&when.as_f64()) {
        return format!("{hour:02}:{minute:02}");
    }
    let date = format!("{year:04}-{month:02}-{day:02}");
    if hour == 0 && minute == 0 {
        date
    } else {
        format!("{date} {hour:02}:{minute:02}")
    }
}

/// An ISO date-time without what says nothing: a time of midnight.
fn iso(text: &str) -> String {
    match text.split_once('T') {
        Some((date, time))
            if time
                .bytes()
                .all(|byte| matches!(byte, b'0' | b':' | b'.' | b'Z')) =>
        {
            date.to_owned()
        }
        Some((date, time)) => format!("{date} {}", time.get(..5).unwrap_or(time)),
        None => text.to_owned(),
    }
}

fn error_text(error: &CellErrorType) -> &'static str {
    match error {
        CellErrorType::Div0 => "#DIV/0!",
        CellErrorType::NA => "#N/A",
        CellErrorType::Name => "#NAME?",
        CellErrorType::Null => "#NULL!",
        CellErrorType::Num => "#NUM!",
        CellErrorType::Ref => "#REF!",
        CellErrorType::Value => "#VALUE!",
        _ => "#ERROR!",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use calamine::ExcelDateTimeType;

    fn check(value: Data, format: Option<&str>, expected: &str) {
        assert_eq!(text_of(&value, format), expected);
    }

    #[test]
    fn numbers_keep_their_digits_and_codes_their_zeros() {
        check(Data::Float(612.0), None, "612");
        check(Data::Float(548.25), Some("0"), "548.25");
        check(Data::Float(840_003_123_456_789.0), None, "840003123456789");
        check(Data::Float(17.0), Some("0000"), "0017");
        check(Data::Float(17.0), Some("#,##0"), "17");
        check(Data::Float(-17.0), Some("0000"), "-17");
        check(Data::Float(1.5), Some("00"), "1.5");
    }

    /// Day 45,943 is 2025-10-13 (ECMA-376 part 1, 18.17.4.1: days from 1899-12-30 in the 1900 system).
    #[test]
    fn serial_days_are_iso() {
        let when = |value, kind| Data::DateTime(ExcelDateTime::new(value, kind, false));
        check(
            when(45_943.0, ExcelDateTimeType::DateTime),
            None,
            "2025-10-13",
        );
        check(
            when(45_943.5, ExcelDateTimeType::DateTime),
            None,
            "2025-10-13 12:00",
        );
        check(when(0.25, ExcelDateTimeType::DateTime), None, "06:00");
        check(when(1.5, ExcelDateTimeType::TimeDelta), None, "36:00");
        let in_1904 = ExcelDateTime::new(44_481.0, ExcelDateTimeType::DateTime, true);
        check(Data::DateTime(in_1904), None, "2025-10-13");
        check(
            Data::DateTimeIso("2026-03-04T00:00:00".to_owned()),
            None,
            "2026-03-04",
        );
        check(
            Data::DateTimeIso("2026-03-04T07:30:00".to_owned()),
            None,
            "2026-03-04 07:30",
        );
    }

    #[test]
    fn texts_stay_on_one_line() {
        check(
            Data::String("pulled\r\nweak".to_owned()),
            None,
            "pulled weak",
        );
        check(Data::String("=1+1".to_owned()), None, "=1+1");
    }
}
