//! Next year's cows, and what is known of each.
//!
//! Enters: a book as of its day. Leaves: the cows on hand, those set aside with the reason, in an order that does
//! not depend on the sheet.
//! Always true: a cow of the sheet is on the list once, or counted once as set aside; what is not known is said to
//! be so and never guessed.
//! Never: takes a cow that was not checked for open.

use std::collections::BTreeMap;

use super::about::About;
use crate::results::Results;
use crate::sheet::day::Day;
use crate::sheet::natural::natural_order;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// Where an expected calving date is known from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DueFrom {
    /// The stage read at the pregnancy check.
    Check,
    /// The day of insemination and 283 days.
    Insemination,
    /// The first day with the bulls and 283 days: the earliest she can.
    FirstDayWithBulls,
    /// A year after her last calf.
    LastCalf,
    /// Nowhere.
    Unknown,
}

impl DueFrom {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            DueFrom::Check => "by the pregnancy check",
            DueFrom::Insemination => "283 days after AI",
            DueFrom::FirstDayWithBulls => "283 days after her first day with the bulls",
            DueFrom::LastCalf => "a year after her last calf",
            DueFrom::Unknown => "not known",
        }
    }
}

/// A cow to be allotted.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialCow {
    /// Permanent key of her row.
    pub row_key: u32,
    /// Her tag; empty where she has none.
    pub tag: String,
    /// Her electronic ID; empty where she has none.
    pub eid: String,
    /// Age at the expected calving, days; `None` when her birth is not known.
    pub age_days: Option<i32>,
    /// Class of that age in the book's table of factors.
    pub age_class: Option<String>,
    /// The bull or bulls of her service, as written.
    pub service: Option<String>,
    /// Expected calving date.
    pub due: Option<Day>,
    /// Where it is known from.
    pub due_from: DueFrom,
    /// Mean ratio of her calves; NaN without.
    pub ratio: f64,
    /// Where she stands, or her last calf was raised.
    pub place: Option<String>,
}

/// The cows, and who is set aside.
pub(super) struct Cows {
    /// In order of tag.
    pub cows: Vec<TrialCow>,
    /// Reasons with counts.
    pub set_aside: Vec<(String, u32)>,
}

/// The cows on hand on a day.
pub(super) fn cows(book: &Workbook, results: &Results, as_of: Day) -> Cows {
    let about = About::of(book, results, as_of);
    let table = book.sheet(SheetKind::Cows);
    let mut set_aside: BTreeMap<&'static str, u32> = BTreeMap::new();
    let mut found: Vec<(TrialCow, Day)> = Vec::new();
    for row in 0..table.n_rows() {
        match about.why_not(row) {
            Some(reason) => *set_aside.entry(reason).or_insert(0) += 1,
            None => found.push((about.cow(row), about.born(row))),
        }
    }
    fairpen_stats::in_order::order_by(&mut found, |(one, born), (other, other_born)| {
        natural_order(&one.tag, &other.tag)
            .then_with(|| natural_order(&one.eid, &other.eid))
            .then_with(|| born.cmp(other_born))
            .then_with(|| one.row_key.cmp(&other.row_key))
    });
    Cows {
        cows: found.into_iter().map(|(cow, _)| cow).collect(),
        set_aside: set_aside
            .into_iter()
            .map(|(reason, n)| (reason.to_owned(), n))
            .collect(),
    }
}
