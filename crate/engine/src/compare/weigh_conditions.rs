//! How the calves came to the scale.
//!
//! Enters: the weigh days and a calf's weigh day and place. Leaves: the row of the weigh days that tells of it.
//! Always true: a row that names the calf's place comes before one for the whole day; where two rows tell of the
//! same place and day, neither is taken.
//! Never: takes off shrink; fill and shrink are shown, not corrected.

use std::collections::BTreeMap;

use super::rows::Rows;
use crate::adjust::columns::{codes, days, numbers, texts};
use crate::animals::plain::plain;
use crate::sheet::codes::YES_NO;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// The weigh day of each calf.
pub(super) struct WeighConditions<'a> {
    book: &'a Workbook,
    /// For each calf row the row of the weigh days.
    day_of_row: Vec<Option<usize>>,
}

impl<'a> WeighConditions<'a> {
    pub fn of(book: &'a Workbook, rows: &Rows) -> WeighConditions<'a> {
        let table = book.sheet(SheetKind::WeighDays);
        let places = texts(table, "places");
        // The only row, or none where there are two.
        let mut told: BTreeMap<(i32, String), Option<usize>> = BTreeMap::new();
        for (row, day) in days(table, "date").iter().enumerate() {
            if day.is_missing() {
                continue;
            }
            let named = places.get(row).unwrap_or("");
            for place in named.split(';').map(plain) {
                told.entry((day.count(), place))
                    .and_modify(|one| *one = None)
                    .or_insert(Some(row));
            }
        }
        let day_of_row = (0..rows.calves.n_rows)
            .map(|row| {
                let day = rows.calves.weighed_on(row);
                if day.is_missing() || told.is_empty() {
                    return None;
                }
                let place = rows.calves.place.get(row).map(plain).unwrap_or_default();
                let of = |place: String| told.get(&(day.count(), place)).copied();
                of(place).or_else(|| of(String::new())).flatten()
            })
            .collect();
        WeighConditions { book, day_of_row }
    }

    /// A number of the calf's weigh day; NaN where there is none.
    pub fn number(&self, row: usize, key: &'static str) -> f64 {
        self.day_of_row[row].map_or(f64::NAN, |day| {
            numbers(self.book.sheet(SheetKind::WeighDays), key)[day]
        })
    }

    /// `yes` or `no`: hauled before the scale.
    pub fn hauled(&self, row: usize) -> Option<&'static str> {
        YES_NO.key(codes(self.book.sheet(SheetKind::WeighDays), "hauled")[self.day_of_row[row]?])
    }

    /// The scale.
    pub fn scale(&self, row: usize) -> Option<&str> {
        texts(self.book.sheet(SheetKind::WeighDays), "scale").get(self.day_of_row[row]?)
    }

    /// True when any calf's weigh day is told of.
    pub fn any(&self) -> bool {
        self.day_of_row.iter().any(Option::is_some)
    }
}
