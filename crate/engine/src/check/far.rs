//! The day after which a date of the book is doubted.
//!
//! Enters: a book. Leaves: a day.
//! Always true: a year that few dates have sets no limit for the others; without any date the limit is fixed.
//! Never: looks at the clock.

use std::collections::BTreeMap;

use super::sheets::DONE;
use crate::sheet::column::Column;
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;
use crate::trade::plausible::{FARTHEST_AHEAD_DAYS, LATEST_YEAR};

/// Dates of things done among the calves.
const OF_CALVES: [&str; 3] = ["birth_date", "wean_date", "weigh_date"];
/// A year with one in so many of the dates that the most common year has is one in which the book was kept. Common
/// practice, no source.
const ONE_IN: usize = 10;

/// A year after the book's day. Where it has none, the end of the year after the last one of which it holds a fair share
/// of dates, at most [`LATEST_YEAR`].
pub(super) fn latest(book: &Workbook) -> Day {
    let as_of = book.settings.as_of;
    if !as_of.is_missing() {
        return as_of.plus(FARTHEST_AHEAD_DAYS);
    }
    let mut n_of: BTreeMap<i32, usize> = BTreeMap::new();
    let calves = OF_CALVES.iter().map(|key| (SheetKind::Calves, *key));
    for (sheet, key) in calves.chain(DONE.iter().copied()) {
        let days = book.sheet(sheet).column(key).and_then(Column::days);
        for year in days.unwrap_or(&[]).iter().filter_map(|day| day.year()) {
            if year <= LATEST_YEAR {
                *n_of.entry(year).or_default() += 1;
            }
        }
    }
    let most = n_of.values().copied().max().unwrap_or(0);
    let last = n_of
        .iter()
        .rev()
        .find(|&(_, &n)| n * ONE_IN >= most)
        .map_or(LATEST_YEAR, |(&year, _)| (year + 1).min(LATEST_YEAR));
    Day::from_ymd(last, 12, 31).unwrap_or(Day::MISSING)
}
