//! The settings that results depend on.
//!
//! Enters: choices. Leaves: the same choices, for every later step.
//! Always true: two books with the same rows and the same settings give the same numbers.
//! Never: holds anything that only the screen needs.

use super::day::Day;
use crate::trade::factors::FactorTable;

/// A unit of weight. Inside the arithmetic weights are pounds, since the published factors are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeightUnit {
    /// Pounds (avoirdupois).
    Pound,
    /// Kilograms.
    Kilogram,
}

/// Kilograms in one pound, exact by definition (international yard and pound agreement, 1959).
pub const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;

impl WeightUnit {
    /// `lb` or `kg`.
    pub const fn symbol(self) -> &'static str {
        match self {
            WeightUnit::Pound => "lb",
            WeightUnit::Kilogram => "kg",
        }
    }

    /// A weight in this unit, in pounds.
    pub fn to_pounds(self, weight: f64) -> f64 {
        match self {
            WeightUnit::Pound => weight,
            WeightUnit::Kilogram => weight / KILOGRAMS_PER_POUND,
        }
    }

    /// A weight in pounds, in this unit.
    pub fn from_pounds(self, pounds: f64) -> f64 {
        match self {
            WeightUnit::Pound => pounds,
            WeightUnit::Kilogram => pounds * KILOGRAMS_PER_POUND,
        }
    }
}

/// What to do with a calf weighed outside the age window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutsideWindow {
    /// No adjusted weight and no ratio; the actual weight, age and gain are shown (the default).
    ActualOnly,
    /// The straight age adjustment without a dam-age factor, marked, in groups of its own.
    StraightAge,
}

/// The first day, every year, of a calving season.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeasonStart {
    /// Name shown after the year: `spring`.
    pub name: String,
    /// Month, 1 to 12.
    pub month: u32,
    /// Day of the month.
    pub day: u32,
}

/// The settings of a book. Defaults are the published guideline's where it has one.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// The book's name.
    pub title: String,
    /// Unit in which weights stand in the sheets.
    pub weight_unit: WeightUnit,
    /// "Today" for the book; births after it are a problem. Missing: not checked.
    pub as_of: Day,
    /// Youngest age at weighing that is adjusted, days.
    pub window_from_days: i32,
    /// Oldest age at weighing that is adjusted, days, inclusive.
    pub window_to_days: i32,
    /// What happens outside the window.
    pub outside_window: OutsideWindow,
    /// Weaning weights are adjusted to this age, days.
    pub standard_age_days: i32,
    /// Used, and marked, when a male was not weighed at birth, lb.
    pub standard_birth_weight_male_lb: f64,
    /// Used, and marked, when a female was not weighed at birth, lb.
    pub standard_birth_weight_female_lb: f64,
    /// The dam-age factors in use.
    pub factors: FactorTable,
    /// Calves weighed more than this many days after they left the cow are grouped apart.
    pub weighed_after_weaning_days: i32,
    /// Births of one contemporary group span at most this many days.
    pub birth_window_days: i32,
    /// Weighings of one contemporary group span at most this many days.
    pub weigh_window_days: i32,
    /// Calving seasons of a year. December births belong to the next year's spring by default.
    pub seasons: Vec<SeasonStart>,
    /// Confidence of intervals, 0.95.
    pub confidence: f64,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            title: String::new(),
            weight_unit: WeightUnit::Pound,
            as_of: Day::MISSING,
            window_from_days: 160,
            window_to_days: 250,
            outside_window: OutsideWindow::ActualOnly,
            standard_age_days: 205,
            standard_birth_weight_male_lb: 75.0,
            standard_birth_weight_female_lb: 70.0,
            factors: FactorTable::guideline(),
            weighed_after_weaning_days: 7,
            birth_window_days: 90,
            weigh_window_days: 3,
            seasons: vec![
                SeasonStart {
                    name: "spring".to_owned(),
                    month: 12,
                    day: 1,
                },
                SeasonStart {
                    name: "fall".to_owned(),
                    month: 7,
                    day: 1,
                },
            ],
            confidence: 0.95,
        }
    }
}
