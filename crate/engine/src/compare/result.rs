//! What a comparison found. Weights in lb; the boundary turns them into the book's unit.

pub use super::choices::Choices;
pub use super::matched::Matched;
pub use super::model_facts::{
    Measure, ModelFacts, RandomEffect, RepeatBy, Scope, Such, TermTest, Unit, Within,
};
pub use super::power::{CouldSee, Seen};

/// What to compare.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CompareSpec {
    /// Key of a calves column (known, own, or one of the engine's: `dam_age_class`, `season`,
    /// `birth_year`).
    pub column: String,
    /// The levels to compare, in order; empty means all levels with a calf. Blank cells are no level.
    pub levels: Vec<String>,
    /// Only calves of these seasons; empty means all.
    pub seasons: Vec<String>,
    /// Keys of further calves columns to hold equal, beside sex, dam-age class, birth date and season.
    pub hold: Vec<String>,
    /// How it is made.
    pub choices: Choices,
}

/// A column that can be compared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Comparable {
    /// Its key.
    pub key: String,
    /// What people read.
    pub label: String,
    /// Its levels, with the calves of each that have an adjusted weight.
    pub levels: Vec<(String, u32)>,
}

/// An estimate with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The estimate.
    pub value: f64,
    /// Its standard error.
    pub se: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// Lower end of the interval at the book's confidence.
    pub lower: f64,
    /// Upper end.
    pub upper: f64,
    /// Two-sided p value against zero (differences only; NaN for means).
    pub p: f64,
}

/// One level of the compared column.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Its name, as it stands in the column.
    pub name: String,
    /// Calves in the comparison.
    pub n: u32,
    /// Their rows.
    pub rows: Vec<u32>,
    /// Calves of the level left out, with the reason in words and how many.
    pub left_out: Vec<(String, u32)>,
    /// Mean as recorded.
    pub raw_mean: f64,
    /// Standard deviation of it.
    pub raw_sd: f64,
    /// Mean put on one age; NaN where the compared numbers have no such step.
    pub age_adjusted_mean: f64,
    /// Mean with the published dam-age factors; NaN where the compared numbers have no such step.
    pub adjusted_mean: f64,
    /// Standard deviation of it.
    pub adjusted_sd: f64,
    /// Mean age at weighing, days.
    pub mean_age_days: f64,
    /// Least-squares mean from the model; `None` when it cannot be estimated.
    pub ls_mean: Option<Estimate>,
    /// Places in which its calves stood.
    pub places: Vec<String>,
    /// The number of each calf of `rows` for the picture: with the published factors where there are any.
    pub marks: Vec<f64>,
}

/// One step from raw to fair for a pair.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Stable key: `raw`, `age`, `published`, `model`.
    pub key: &'static str,
    /// What the step holds equal, in words.
    pub words: String,
    /// First minus second; `None` when it cannot be estimated.
    pub difference: Option<Estimate>,
}

/// Two levels against each other: first minus second.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// Position of the first level.
    pub first: usize,
    /// Position of the second level.
    pub second: usize,
    /// The difference in the model, with the interval and p that decide: adjusted where several pairs are judged
    /// together. `None` when it cannot be estimated.
    pub difference: Option<Estimate>,
    /// The same by itself, adjusted for no other pair.
    pub alone: Option<Estimate>,
    /// Within each class of what it was asked to differ between.
    pub within: Vec<Within>,
    /// Judged by places or seasons, where the records allow it.
    pub such: Option<Such>,
    /// From raw to fair.
    pub steps: Vec<Step>,
    /// What was found.
    pub verdict: Verdict,
    /// The verdict in one or two plain sentences.
    pub sentence: String,
}

/// What was found for a pair.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// The interval excludes zero.
    Differs {
        /// Position of the heavier level.
        heavier: usize,
        /// How much heavier, positive.
        by: f64,
        /// Interval of `by`.
        lower: f64,
        /// Interval of `by`.
        upper: f64,
    },
    /// The interval includes zero.
    NotShown {
        /// Lower end of first minus second.
        lower: f64,
        /// Upper end.
        upper: f64,
    },
    /// The records cannot separate the two levels from something else.
    CannotSeparate {
        /// What they are tangled with, in words, one per term.
        with: Vec<String>,
    },
    /// Too few calves to say anything.
    TooFew {
        /// Calves with a fair weight in the first level.
        n_first: u32,
        /// And in the second.
        n_second: u32,
    },
}

/// One line of the balance table: how a level is made up.
#[derive(Clone, Debug, PartialEq)]
pub struct BalanceRow {
    /// Stable key: `sex:heifer`, `dam_age_class:2`, `birth_date`, `birth_weight`, `creep:yes`, `sire:...`.
    pub key: String,
    /// In words: `heifers`, `dams of class 2`, `mean birth date`.
    pub words: String,
    /// `share` (0 to 1), `day` (days since 1970-01-01, mean), or `weight` (lb) or `number`.
    pub kind: &'static str,
    /// One value per level; NaN when there is none.
    pub values: Vec<f64>,
    /// Largest standardised difference between any two levels; NaN when there is none.
    pub standardised_difference: f64,
}

/// What became of the calves of a level that never reached the scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// Position of the level.
    pub level: usize,
    /// Calves born into it (or that came with a cow).
    pub started: u32,
    /// Born dead or aborted.
    pub born_dead: u32,
    /// Died before weaning.
    pub died: u32,
    /// Sold or moved before weaning.
    pub sold_early: u32,
    /// Weighed at weaning.
    pub weighed: u32,
    /// Weaned but not weighed, or no record of what became of them.
    pub no_weight: u32,
    /// Calves that were treated by themselves by the day they were weaned or left; `None` where the book has no
    /// treatments. What was given to a whole place tells nothing of one calf and is not counted.
    pub treated: Option<u32>,
    /// Cows that started: each once in a season; a calf without a recorded dam counts as one cow's.
    pub cows_started: u32,
    /// Pounds weaned per cow started, weights as weighed; NaN when none started.
    pub pounds_weaned_per_cow: f64,
}

/// A term of the model and whether it could be used.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelTerm {
    /// In words: `sex`, `dam-age class`, `birth date`, `season`.
    pub words: String,
    /// True when it is in the model.
    pub used: bool,
    /// Why not, when it is not: `all calves are of one sex`.
    pub because: String,
    /// Partial (type III) test; `None` when not available.
    pub test: Option<TermTest>,
}

/// A comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// What was compared.
    pub spec: CompareSpec,
    /// Label of the column.
    pub column_label: String,
    /// The levels, in order.
    pub levels: Vec<Level>,
    /// Calves left out because they belong to no level, with the reason in words and how many.
    pub without_level: Vec<(String, u32)>,
    /// Every pair of levels, or each level against the one asked for.
    pub pairs: Vec<Pair>,
    /// What differs between the levels.
    pub balance: Vec<BalanceRow>,
    /// What is compared of the calves.
    pub measure: Measure,
    /// The kind of model, and what is random in it.
    pub model: ModelFacts,
    /// How far the findings reach.
    pub scope: Scope,
    /// The terms held equal.
    pub terms: Vec<ModelTerm>,
    /// Terms that cannot be separated, each in words.
    pub aliased: Vec<String>,
    /// What became of the others.
    pub reached: Vec<Reached>,
    /// Calves in the model.
    pub n_used: u32,
    /// Residual standard deviation and its degrees of freedom, with something random the rows less the fixed
    /// columns.
    pub residual: Option<(f64, f64)>,
    /// Share of the spread that the fixed terms explain by themselves.
    pub r_squared: f64,
    /// The headline, one or two plain sentences, rendered from the verdict of the leading pair.
    pub sentence: String,
    /// Like with like, without a model: every pair once, and once more by sire too where sires are recorded.
    pub matched: Vec<Matched>,
    /// What the records could have shown, for every pair.
    pub could_see: Vec<CouldSee>,
    /// Cautions, each a plain sentence, most important first.
    pub cautions: Vec<String>,
    /// How it was made, in a few sentences of method.
    pub method: String,
}
