//! What a calf can weigh and a cow can be: beyond it a figure is doubted, not refused.
//!
//! Enters: nothing. Leaves: ranges in pounds, days and years.
//! Always true: wide enough that a sound record is rarely doubted. Every range here is common practice, no
//! source.
//! Never: decides whether a figure is computed, except where a value is no measure at all (zero, negative).

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
