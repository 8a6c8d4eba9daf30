//! What a comparison says of its model: the measure, what was drawn at random, how far a finding reaches.
//!
//! Enters: nothing. Leaves: plain values; weights in lb, which the boundary turns into the book's unit.
//! Always true: every random effect that was thought of is listed, with why it is not in the model if it is not.
//! Never: holds a sentence that a value does not bear out.

use super::result::Estimate;
use crate::sheet::settings::WeightUnit;

/// What the compared numbers are measured in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unit {
    /// A weight, lb inside.
    Weight,
    /// A weight per day, lb inside.
    WeightPerDay,
    /// As typed or calculated; the words of the unit, or empty.
    Own(String),
}

/// What is compared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measure {
    /// Key of the response.
    pub key: String,
    /// In words: `weaning weight put on 205 days by age alone`.
    pub words: String,
    /// What the picture's marks are: `Adjusted 205-day weight`.
    pub marks: String,
    /// Its unit.
    pub unit: Unit,
    /// Decimals in tables.
    pub decimals: usize,
    /// Decimals in sentences.
    pub spoken_decimals: usize,
}

impl Measure {
    /// A number in the unit people read.
    pub fn shown(&self, book: WeightUnit, number: f64) -> f64 {
        match self.unit {
            Unit::Weight | Unit::WeightPerDay => book.from_pounds(number),
            Unit::Own(_) => number,
        }
    }

    /// The words of the unit; may be empty.
    pub fn unit_words(&self, book: WeightUnit) -> String {
        match &self.unit {
            Unit::Weight => book.symbol().to_owned(),
            Unit::WeightPerDay => format!("{} a day", book.symbol()),
            Unit::Own(words) => words.clone(),
        }
    }
}

/// Something whose levels may be a sample: dams, sires, places, groups.
#[derive(Clone, Debug, PartialEq)]
pub struct RandomEffect {
    /// `dam`, `sire`, `place` or `contemporary_group`.
    pub key: &'static str,
    /// In words: `cow that raised the calf`.
    pub words: String,
    /// Whether it is in the model.
    pub used: bool,
    /// Why not; empty when it is.
    pub because: String,
    /// Levels with a calf used.
    pub levels: u32,
    /// Calves that share a level with an earlier calf.
    pub repeats: u32,
    /// Standard deviation between levels; `None` when not in the model, zero when no spread was found.
    pub sd: Option<f64>,
    /// True when the likelihood is highest without it: no spread found. It stays in the model.
    pub at_zero: bool,
    /// Calves without a name for it that were given a level made for them.
    pub unnamed: u32,
    /// Calves with several possible levels.
    pub shared: u32,
}

/// The kind of model and how its numbers were had.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelFacts {
    /// True when something in it is random.
    pub mixed: bool,
    /// `kenward_roger`, `satterthwaite`, or `residual` for a model without random effects.
    pub degrees: &'static str,
    /// Why not the method asked for, or the usual one; empty when it is.
    pub degrees_because: String,
    /// `equal` or `observed`.
    pub margins: &'static str,
    /// `unadjusted`, `tukey_kramer`, `dunnett` or `holm`.
    pub several: &'static str,
    /// Why not the method asked for; empty when it is.
    pub several_because: String,
    /// Levels of everything random together.
    pub random_levels: u32,
    /// Every random effect thought of.
    pub random: Vec<RandomEffect>,
}

/// The partial (type III) test of a term.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TermTest {
    /// Numerator degrees of freedom.
    pub df: f64,
    /// Denominator degrees of freedom.
    pub denominator_df: f64,
    /// F.
    pub f: f64,
    /// Its p.
    pub p: f64,
}

/// A pair's difference within one class of a column that it may differ between.
#[derive(Clone, Debug, PartialEq)]
pub struct Within {
    /// `sex` or `dam_age_class`.
    pub key: &'static str,
    /// The column in words.
    pub words: String,
    /// The class.
    pub class: String,
    /// First minus second, each by itself; `None` when it cannot be estimated.
    pub difference: Option<Estimate>,
}

/// What stands for one independent repeat of the comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RepeatBy {
    /// Places of one level against places of the other.
    Places,
    /// The difference within each place that has both.
    WithinPlaces,
    /// The difference in each season that has both.
    Seasons,
}

impl RepeatBy {
    /// Stable key.
    pub fn key(self) -> &'static str {
        match self {
            RepeatBy::Places => "places",
            RepeatBy::WithinPlaces => "within_places",
            RepeatBy::Seasons => "seasons",
        }
    }
}

/// A pair's difference judged by places or seasons: what may be said of such places.
#[derive(Clone, Debug, PartialEq)]
pub struct Such {
    /// What was counted.
    pub by: RepeatBy,
    /// How many of the first level; for differences, how many differences.
    pub n_first: u32,
    /// How many of the second level; the same number for differences.
    pub n_second: u32,
    /// First minus second, adjusted for nothing but the terms held equal.
    pub difference: Estimate,
    /// True when its interval leaves out zero.
    pub differs: bool,
}

/// How far the findings reach.
#[derive(Clone, Debug, PartialEq)]
pub struct Scope {
    /// True when every place has one level only: the difference is one between places.
    pub between_places: bool,
    /// Places of each level, in the order of the levels.
    pub places: Vec<u32>,
    /// Seasons with a calf used.
    pub seasons: u32,
    /// True when the model itself counts places as draws, so that its interval speaks of such places.
    pub model_counts_places: bool,
    /// Why there is no interval for such places, in words; empty when at least one pair has one.
    pub because: String,
}
