//! What is said of the years in a file: of those with two digits, and of those far off.
//!
//! Enters: the filled columns, the table. Leaves: notes.
//! Always true: the century that was taken is said, with the rule.
//! Never: changes a date.

use super::fill::Filling;
use super::notes::Notes;
use super::plan::PlannedColumn;
use crate::note::{Severity, counted};
use crate::sheet::column::Origin;
use crate::sheet::day::Day;
use crate::sheet::table::Table;
use crate::trade::plausible::{EARLIEST_YEAR, FARTHEST_AHEAD_DAYS, LATEST_YEAR};

/// Dates with two-digit years: the century that was taken, and by which rule.
pub(super) fn short_years(
    notes: &mut Notes,
    planned: &PlannedColumn,
    filling: &Filling,
    line: impl Fn(u32) -> u32,
) {
    let to = filling.two_digit_year_to();
    let rule = format!("Years up to {to:02} are 20xx, later ones 19xx.");
    for (years, century) in [
        (&filling.short_years, 2000),
        (&filling.old_short_years, 1900),
    ] {
        let Some((row, text)) = &years.first else {
            continue;
        };
        let at = line(*row);
        let header = &planned.header;
        let n = match years.n {
            1 => format!(
                "1 date in \"{header}\" has a year with two digits, \"{text}\" in line {at}"
            ),
            n => format!(
                "{n} dates in \"{header}\" have years with two digits, first \"{text}\" in line {at}"
            ),
        };
        notes.cell(
            "import.date.two_digit_year",
            if century == 1900 {
                Severity::Doubtful
            } else {
                Severity::Remark
            },
            &planned.header,
            Some(at),
            text.clone(),
            format!("{n}: read as a year from {century} on. {rule}"),
            "Check that the century is right; type all four digits where it is not.",
        );
    }
}

/// Days of known columns that lie far ahead of the book's day (or of today), or long ago.
pub(super) fn about_far_days(notes: &mut Notes, table: &Table, as_of: Day) {
    let latest = if as_of.is_missing() {
        Day::from_ymd(LATEST_YEAR, 12, 31).unwrap_or(Day::MISSING)
    } else {
        as_of.plus(FARTHEST_AHEAD_DAYS)
    };
    let earliest = Day::from_ymd(EARLIEST_YEAR, 1, 1).unwrap_or(Day::MISSING);
    for column in table.columns() {
        let (Some(header), Origin::Known) = (&column.header, column.origin) else {
            continue;
        };
        let is_far = |day: &Day| !day.is_missing() && (*day > latest || *day < earliest);
        let days = column.days().unwrap_or(&[]);
        let Some(first) = days.iter().position(is_far) else {
            continue;
        };
        let n = days.iter().filter(|day| is_far(day)).count();
        let (day, line) = (days[first].iso(), table.source_line.get(first).copied());
        notes.cell(
            "import.date.far",
            Severity::Doubtful,
            header,
            line,
            day.clone(),
            format!(
                "{} in \"{header}\" {} after {} or before {EARLIEST_YEAR}, first {day}.",
                counted(n, "date"),
                if n == 1 { "lies" } else { "lie" },
                latest.iso(),
            ),
            "Look at the year: 2062 may be 1962 or 2026. Mend it here after bringing in, or in the file.",
        );
    }
}
