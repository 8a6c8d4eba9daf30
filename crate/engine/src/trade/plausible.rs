//! What a calf can weigh and a cow can be: beyond it a figure is doubted, not refused.
//!
//! Enters: nothing. Leaves: ranges in pounds, days and years.
//! Always true: wide enough that a sound record is rarely doubted. Every range here is common practice, no
//! source.
//! Never: decides whether a figure is computed, except where a value is no measure at all (zero, negative).

use crate::sheet::codes::plain_words;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;

/// A closed range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Least value that is not doubted.
    pub from: f64,
    /// Greatest value that is not doubted.
    pub to: f64,
}

impl Range {
    /// True when the value lies in the range; NaN does not.
    pub fn holds(self, value: f64) -> bool {
        value >= self.from && value <= self.to
    }
}

/// Birth weights, lb. Common practice, no source.
pub const BIRTH_WEIGHT_LB: Range = Range {
    from: 30.0,
    to: 160.0,
};

/// Weaning weights, lb. Common practice, no source.
pub const WEANING_WEIGHT_LB: Range = Range {
    from: 150.0,
    to: 1_100.0,
};

/// Gain from birth to weaning, lb per day. Common practice, no source.
pub const GAIN_LB_PER_DAY: Range = Range { from: 0.5, to: 5.0 };

/// Oldest dam that is believed, years. Common practice, no source.
pub const OLDEST_DAM_YEARS: f64 = 25.0;

/// Days in a year where an age is given in years or by calendar years: the mean Julian year.
pub const DAYS_PER_YEAR: f64 = 365.25;

/// Youngest and oldest age at the yearling weight, days, inclusive. Beef Improvement Federation guidelines,
/// page Yearling_Weight, as kept in the project's written rules (320 to 410 days).
pub const YEARLING_AGE_DAYS: (i32, i32) = (320, 410);

/// Fewest days between two calvings of a cow that are believed. A gestation is about 283 days; the limit is
/// common practice, no source.
pub const FEWEST_DAYS_BETWEEN_CALVINGS: i32 = 270;

/// Twins are born within so many days of each other. Common practice, no source.
pub const TWINS_WITHIN_DAYS: i32 = 2;

/// Share of weights ending in 0 or 5 from which a column is taken for rounded, with at least
/// [`FEWEST_TO_CALL_ROUNDED`] weights; one in five is expected. Common practice, no source. That rounding to
/// 5 lb is not acceptable: Beef Improvement Federation guidelines, page Weaning_Weight.
pub const ROUNDED_SHARE: f64 = 0.8;

/// See [`ROUNDED_SHARE`].
pub const FEWEST_TO_CALL_ROUNDED: usize = 10;

/// So many calves of one place and day with one weight are taken for a written-down average. Common
/// practice, no source. That a group average is not a calf's weight: Beef Improvement Federation
/// guidelines, page Weaning_Weight.
pub const FEWEST_TO_CALL_SAME: usize = 4;

/// Dates and birth years before this one are doubted. Common practice, no source.
pub const EARLIEST_YEAR: i32 = 1970;

/// Dates after this year are doubted where nothing says which day it is; two-digit years up to it are then 20xx.
/// Common practice, no source.
pub const LATEST_YEAR: i32 = 2040;

/// A date this many days after the book's day is doubted, also where it may lie ahead: turnouts and moves are planned,
/// but hardly more than a year. Common practice, no source.
pub const FARTHEST_AHEAD_DAYS: i32 = 366;

/// Weights of cattle of any age, lb. Common practice, no source.
pub const ANY_WEIGHT_LB: Range = Range {
    from: 30.0,
    to: 3_500.0,
};

/// What a number in a sheet beside the calves can be, in the book's unit; `None` where anything can.
/// `scored` is what a score is of.
pub fn number_range(sheet: SheetKind, key: &str, scored: &str, unit: WeightUnit) -> Option<Range> {
    let range = |from: f64, to: f64| Some(Range { from, to });
    match (sheet, key) {
        (SheetKind::Cows, "birth_year") => range(f64::from(EARLIEST_YEAR), f64::from(LATEST_YEAR)),
        // Common practice, no source: less than nothing is no area and no cost.
        (SheetKind::Places, "area" | "daily_cost") => range(0.0, 1_000_000.0),
        (SheetKind::Weights, "weight") => range(
            unit.from_pounds(ANY_WEIGHT_LB.from),
            unit.from_pounds(ANY_WEIGHT_LB.to),
        ),
        // Common practice, no source.
        (SheetKind::WeighDays, "hours_off_feed" | "hours_off_water") => range(0.0, 72.0),
        // Common practice, no source: no label asks for more than a year.
        (SheetKind::Treatments, "withdrawal_days") => range(0.0, 365.0),
        (SheetKind::Scores, "value") => score_range(&plain_words(scored)),
        _ => None,
    }
}

/// Ends of the published scales: Beef Improvement Federation guidelines (docility 1 to 6; udder and teat 1 to 9;
/// claw set and foot angle 1 to 9); body condition 1 to 9, North Dakota State University Extension, Calving Book.
fn score_range(scored: &str) -> Option<Range> {
    let to = match scored {
        "body condition" | "foot angle" | "claw set" | "udder" | "teat" => 9.0,
        "temperament" => 6.0,
        _ => return None,
    };
    Some(Range { from: 1.0, to })
}
