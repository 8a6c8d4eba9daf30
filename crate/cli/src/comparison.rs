//! `comparison.json`: a comparison as documented JSON.
//!
//! Enters: a [`Comparison`] (pounds). Leaves: [`ComparisonDocument`] in the book's unit, its fields explained
//! in `docs/output-files.md`.
//! Always true: levels are named, not numbered; what could not be estimated is `null`.
//! Never: words a verdict of its own; the sentences are the engine's.

use fairpen_engine::compare::result::{Comparison, Estimate, Level, Measure, Pair, Verdict};
use fairpen_engine::sheet::settings::WeightUnit;
use serde::Serialize;

use crate::beside::{CouldSeeDocument, MatchedDocument};
use crate::comparison_model::{
    ChoicesDocument, MeasureDocument, ModelDocument, ScopeDocument, SuchDocument, WithinDocument,
};
use crate::document::{CountDocument, EstimateDocument, MADE_BY, present};

/// A comparison, ready to write.
#[derive(Debug, Serialize)]
pub struct ComparisonDocument {
    made_by: &'static str,
    column: String,
    column_label: String,
    hold: Vec<String>,
    choices: ChoicesDocument,
    measure: MeasureDocument,
    unit: &'static str,
    confidence: f64,
    sentence: String,
    levels: Vec<LevelDocument>,
    pairs: Vec<PairDocument>,
    balance: Vec<BalanceDocument>,
    model: ModelDocument,
    scope: ScopeDocument,
    terms: Vec<TermDocument>,
    aliased: Vec<String>,
    reached: Vec<ReachedDocument>,
    without_level: Vec<CountDocument>,
    n_used: u32,
    residual: Option<ResidualDocument>,
    r_squared: Option<f64>,
    like_with_like: Vec<MatchedDocument>,
    could_see: Vec<CouldSeeDocument>,
    cautions: Vec<String>,
    method: String,
}

#[derive(Debug, Serialize)]
struct LevelDocument {
    name: String,
    n: u32,
    left_out: Vec<CountDocument>,
    raw_mean: Option<f64>,
    raw_sd: Option<f64>,
    age_adjusted_mean: Option<f64>,
    adjusted_mean: Option<f64>,
    adjusted_sd: Option<f64>,
    mean_age_days: Option<f64>,
    ls_mean: Option<EstimateDocument>,
    places: Vec<String>,
}

#[derive(Debug, Serialize)]
struct PairDocument {
    first: String,
    second: String,
    difference: Option<EstimateDocument>,
    alone: Option<EstimateDocument>,
    within: Vec<WithinDocument>,
    such: Option<SuchDocument>,
    steps: Vec<StepDocument>,
    verdict: VerdictDocument,
    sentence: String,
}

#[derive(Debug, Serialize)]
struct StepDocument {
    key: &'static str,
    words: String,
    difference: Option<EstimateDocument>,
}

#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum VerdictDocument {
    Differs {
        heavier: String,
        by: Option<f64>,
        lower: Option<f64>,
        upper: Option<f64>,
    },
    NotShown {
        lower: Option<f64>,
        upper: Option<f64>,
    },
    CannotSeparate {
        with: Vec<String>,
    },
    TooFew {
        n_first: u32,
        n_second: u32,
    },
}

#[derive(Debug, Serialize)]
struct BalanceDocument {
    key: String,
    words: String,
    kind: &'static str,
    values: Vec<Option<f64>>,
    standardised_difference: Option<f64>,
}

#[derive(Debug, Serialize)]
struct TermDocument {
    words: String,
    used: bool,
    because: Option<String>,
    test: Option<TestDocument>,
}

#[derive(Debug, Serialize)]
struct TestDocument {
    df: Option<f64>,
    denominator_df: Option<f64>,
    f: Option<f64>,
    p: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ReachedDocument {
    level: String,
    started: u32,
    born_dead: u32,
    died: u32,
    sold_early: u32,
    weighed: u32,
    no_weight: u32,
    treated: Option<u32>,
    cows_started: u32,
    weight_weaned_per_cow: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ResidualDocument {
    sd: Option<f64>,
    df: Option<f64>,
}

impl ComparisonDocument {
    /// A comparison in the book's unit; `differences`, in that unit, are asked about beside the usual ones.
    pub fn new(
        comparison: &Comparison,
        unit: WeightUnit,
        confidence: f64,
        differences: &[f64],
    ) -> ComparisonDocument {
        let weight = |pounds: f64| present(unit.from_pounds(pounds));
        let name = |position: usize| level_name(comparison, position);
        ComparisonDocument {
            made_by: MADE_BY,
            column: comparison.spec.column.clone(),
            column_label: comparison.column_label.clone(),
            hold: comparison.spec.hold.clone(),
            choices: ChoicesDocument::new(&comparison.spec.choices),
            measure: MeasureDocument::new(&comparison.measure, unit),
            unit: unit.symbol(),
            confidence,
            sentence: comparison.sentence.clone(),
            levels: comparison
                .levels
                .iter()
                .map(|level| level_document(level, &comparison.measure, unit))
                .collect(),
            pairs: comparison
                .pairs
                .iter()
                .map(|pair| pair_document(comparison, pair, unit))
                .collect(),
            balance: comparison
                .balance
                .iter()
                .map(|row| BalanceDocument {
                    key: row.key.clone(),
                    words: row.words.clone(),
                    kind: row.kind,
                    values: row
                        .values
                        .iter()
                        .map(|&value| {
                            if row.kind == "weight" {
                                weight(value)
                            } else {
                                present(value)
                            }
                        })
                        .collect(),
                    standardised_difference: present(row.standardised_difference),
                })
                .collect(),
            model: ModelDocument::new(comparison, unit),
            scope: ScopeDocument::new(&comparison.scope),
            terms: comparison
                .terms
                .iter()
                .map(|term| TermDocument {
                    words: term.words.clone(),
                    used: term.used,
                    because: (!term.because.is_empty()).then(|| term.because.clone()),
                    test: term.test.map(|test| TestDocument {
                        df: present(test.df),
                        denominator_df: present(test.denominator_df),
                        f: present(test.f),
                        p: present(test.p),
                    }),
                })
                .collect(),
            aliased: comparison.aliased.clone(),
            reached: comparison
                .reached
                .iter()
                .map(|reached| ReachedDocument {
                    level: name(reached.level),
                    started: reached.started,
                    born_dead: reached.born_dead,
                    died: reached.died,
                    sold_early: reached.sold_early,
                    weighed: reached.weighed,
                    no_weight: reached.no_weight,
                    treated: reached.treated,
                    cows_started: reached.cows_started,
                    weight_weaned_per_cow: weight(reached.pounds_weaned_per_cow),
                })
                .collect(),
            without_level: CountDocument::list(&comparison.without_level),
            n_used: comparison.n_used,
            residual: comparison.residual.map(|(sd, df)| ResidualDocument {
                sd: present(comparison.measure.shown(unit, sd)),
                df: present(df),
            }),
            r_squared: present(comparison.r_squared),
            like_with_like: MatchedDocument::list(comparison, unit),
            could_see: CouldSeeDocument::list(comparison, unit, confidence, differences),
            cautions: comparison.cautions.clone(),
            method: comparison.method.clone(),
        }
    }
}

/// The name of a level.
pub fn level_name(comparison: &Comparison, position: usize) -> String {
    comparison
        .levels
        .get(position)
        .map(|level| level.name.clone())
        .unwrap_or_default()
}

fn level_document(level: &Level, measure: &Measure, unit: WeightUnit) -> LevelDocument {
    let weight = |number: f64| present(measure.shown(unit, number));
    LevelDocument {
        name: level.name.clone(),
        n: level.n,
        left_out: CountDocument::list(&level.left_out),
        raw_mean: weight(level.raw_mean),
        raw_sd: weight(level.raw_sd),
        age_adjusted_mean: weight(level.age_adjusted_mean),
        adjusted_mean: weight(level.adjusted_mean),
        adjusted_sd: weight(level.adjusted_sd),
        mean_age_days: present(level.mean_age_days),
        ls_mean: level
            .ls_mean
            .as_ref()
            .map(|mean| EstimateDocument::of(mean, measure, unit)),
        places: level.places.clone(),
    }
}

fn pair_document(comparison: &Comparison, pair: &Pair, unit: WeightUnit) -> PairDocument {
    let measure = &comparison.measure;
    let weight = |number: f64| present(measure.shown(unit, number));
    let estimate = |found: &Estimate| EstimateDocument::of(found, measure, unit);
    PairDocument {
        first: level_name(comparison, pair.first),
        second: level_name(comparison, pair.second),
        difference: pair.difference.as_ref().map(estimate),
        alone: pair.alone.as_ref().map(estimate),
        within: pair
            .within
            .iter()
            .map(|within| WithinDocument::new(within, measure, unit))
            .collect(),
        such: pair
            .such
            .as_ref()
            .map(|such| SuchDocument::new(such, measure, unit)),
        steps: pair
            .steps
            .iter()
            .map(|step| StepDocument {
                key: step.key,
                words: step.words.clone(),
                difference: step.difference.as_ref().map(estimate),
            })
            .collect(),
        verdict: match &pair.verdict {
            Verdict::Differs {
                heavier,
                by,
                lower,
                upper,
            } => VerdictDocument::Differs {
                heavier: level_name(comparison, *heavier),
                by: weight(*by),
                lower: weight(*lower),
                upper: weight(*upper),
            },
            Verdict::NotShown { lower, upper } => VerdictDocument::NotShown {
                lower: weight(*lower),
                upper: weight(*upper),
            },
            Verdict::CannotSeparate { with } => {
                VerdictDocument::CannotSeparate { with: with.clone() }
            }
            Verdict::TooFew { n_first, n_second } => VerdictDocument::TooFew {
                n_first: *n_first,
                n_second: *n_second,
            },
        },
        sentence: pair.sentence.clone(),
    }
}
