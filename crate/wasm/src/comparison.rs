//! Comparisons as they cross.
//!
//! Enters: [`Comparison`], in pounds. Leaves: [`ComparisonView`], in the book's unit, with texts for people.
//! Always true: a number that is missing crosses as `undefined`, never as NaN or zero.

use fairpen_engine::compare::result::{
    BalanceRow, Comparable, CompareSpec, Comparison, Estimate, Level, Pair, Reached, Verdict,
};
use fairpen_engine::desk::Desk;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::write::{spoken, up_to};

use crate::beside::{could_see_of, matched_of};
use crate::columns::counts_of;
use crate::types::{
    BalanceInfo, ComparableColumn, CompareRequest, ComparisonView, EstimateInfo, LevelInfo,
    PairInfo, ReachedInfo, StepInfo, TermInfo,
};

/// Most weights of a level handed over for the picture.
const MOST_WEIGHTS: usize = 2000;

/// Standardised differences over this are worth a word (Imbens and Rubin 2015, from memory).
const LARGE_DIFFERENCE: f64 = 0.25;

/// The columns that can be compared.
pub fn comparable_of(columns: Vec<Comparable>) -> Vec<ComparableColumn> {
    columns
        .into_iter()
        .map(|column| ComparableColumn {
            key: column.key,
            label: column.label,
            levels: counts_of(column.levels),
        })
        .collect()
}

/// What to compare.
pub fn spec_of(request: &CompareRequest) -> CompareSpec {
    CompareSpec {
        column: request.column.clone(),
        levels: request.levels.clone(),
        seasons: request.seasons.clone(),
        hold: request.hold.clone(),
    }
}

/// A comparison as it crosses.
pub fn view_of(desk: &Desk, comparison: &Comparison) -> ComparisonView {
    let unit = desk.book().settings.weight_unit;
    ComparisonView {
        revision: u32::try_from(desk.book().revision()).unwrap_or(u32::MAX),
        request: CompareRequest {
            column: comparison.spec.column.clone(),
            levels: comparison.spec.levels.clone(),
            seasons: comparison.spec.seasons.clone(),
            hold: comparison.spec.hold.clone(),
        },
        column_label: comparison.column_label.clone(),
        unit: unit.symbol().to_owned(),
        sentence: comparison.sentence.clone(),
        cautions: comparison.cautions.clone(),
        levels: comparison
            .levels
            .iter()
            .map(|level| level_of(unit, level, &desk.results().adjusted.adj_205))
            .collect(),
        pairs: comparison
            .pairs
            .iter()
            .map(|pair| pair_of(unit, pair))
            .collect(),
        balance: comparison
            .balance
            .iter()
            .map(|row| balance_of(unit, row))
            .collect(),
        terms: comparison
            .terms
            .iter()
            .map(|term| TermInfo {
                words: term.words.clone(),
                used: term.used,
                because: term.because.clone(),
                test: match (term.test, comparison.residual) {
                    (Some((df, f, p)), Some((_, residual_df))) => format!(
                        "F {} with {} and {} d.f., {}",
                        spoken(f, 2),
                        up_to(df, 1),
                        up_to(residual_df, 1),
                        p_words(p)
                    ),
                    _ => String::new(),
                },
            })
            .collect(),
        aliased: comparison.aliased.clone(),
        reached: comparison
            .reached
            .iter()
            .map(|reached| reached_of(unit, comparison, reached))
            .collect(),
        matched: comparison.matched.iter().map(matched_of).collect(),
        could_see: comparison
            .could_see
            .iter()
            .map(|could_see| could_see_of(unit, could_see))
            .collect(),
        n_used: comparison.n_used,
        residual_text: comparison.residual.map_or_else(String::new, |(sd, df)| {
            format!(
                "sd {} {} with {} d.f.",
                spoken(unit.from_pounds(sd), 1),
                unit.symbol(),
                up_to(df, 1)
            )
        }),
        method: comparison.method.clone(),
    }
}

fn weight_text(unit: WeightUnit, pounds: f64) -> String {
    if pounds.is_nan() {
        String::new()
    } else {
        format!("{} {}", spoken(unit.from_pounds(pounds), 1), unit.symbol())
    }
}

fn present(number: f64) -> Option<f64> {
    Some(number).filter(|number| number.is_finite())
}

/// `0.012`, `< 0.001`, or empty.
fn p_text(p: f64) -> String {
    if p.is_nan() {
        String::new()
    } else if p < 0.001 {
        "< 0.001".to_owned()
    } else {
        spoken(p, 3)
    }
}

fn p_words(p: f64) -> String {
    format!("p {}", p_text(p))
}

fn estimate_of(unit: WeightUnit, estimate: &Estimate) -> EstimateInfo {
    let shown = |pounds: f64| unit.from_pounds(pounds);
    EstimateInfo {
        value: shown(estimate.value),
        se: shown(estimate.se),
        df: estimate.df,
        lower: shown(estimate.lower),
        upper: shown(estimate.upper),
        p: present(estimate.p),
        text: weight_text(unit, estimate.value),
        interval_text: format!(
            "{} to {} {}",
            spoken(shown(estimate.lower), 1),
            spoken(shown(estimate.upper), 1),
            unit.symbol()
        ),
        p_text: p_text(estimate.p),
    }
}

fn level_of(unit: WeightUnit, level: &Level, adj_205: &[f64]) -> LevelInfo {
    let weights = level
        .rows
        .iter()
        .filter_map(|&row| adj_205.get(row as usize).copied())
        .filter(|weight| !weight.is_nan())
        .collect();
    let mean = |pounds: f64| present(unit.from_pounds(pounds));
    LevelInfo {
        name: level.name.clone(),
        n: level.n,
        left_out: counts_of(level.left_out.clone()),
        raw_mean: mean(level.raw_mean),
        raw_mean_text: weight_text(unit, level.raw_mean),
        age_adjusted_mean: mean(level.age_adjusted_mean),
        age_adjusted_mean_text: weight_text(unit, level.age_adjusted_mean),
        adjusted_mean: mean(level.adjusted_mean),
        adjusted_mean_text: weight_text(unit, level.adjusted_mean),
        ls_mean: level.ls_mean.as_ref().map(|mean| estimate_of(unit, mean)),
        places: level.places.clone(),
        weights: thinned(weights)
            .into_iter()
            .map(|pounds| unit.from_pounds(pounds))
            .collect(),
    }
}

/// At most [`MOST_WEIGHTS`] weights that keep the shape: evenly spaced order statistics.
fn thinned(mut weights: Vec<f64>) -> Vec<f64> {
    if weights.len() <= MOST_WEIGHTS {
        return weights;
    }
    weights.sort_unstable_by(f64::total_cmp);
    let last = weights.len() - 1;
    (0..MOST_WEIGHTS)
        .map(|at| weights[at * last / (MOST_WEIGHTS - 1)])
        .collect()
}

fn pair_of(unit: WeightUnit, pair: &Pair) -> PairInfo {
    let position = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    PairInfo {
        first: position(pair.first),
        second: position(pair.second),
        difference: pair.difference.as_ref().map(|d| estimate_of(unit, d)),
        steps: pair
            .steps
            .iter()
            .map(|step| StepInfo {
                key: step.key.to_owned(),
                words: step.words.clone(),
                difference: step.difference.as_ref().map(|d| estimate_of(unit, d)),
            })
            .collect(),
        verdict: match pair.verdict {
            Verdict::Differs { .. } => "differs",
            Verdict::NotShown { .. } => "not_shown",
            Verdict::CannotSeparate { .. } => "cannot_separate",
            Verdict::TooFew { .. } => "too_few",
        }
        .to_owned(),
        sentence: pair.sentence.clone(),
    }
}

fn balance_of(unit: WeightUnit, row: &BalanceRow) -> BalanceInfo {
    let text = |value: f64| {
        if value.is_nan() {
            return String::new();
        }
        match row.kind {
            "share" => format!("{} %", spoken(value * 100.0, 0)),
            // A mean of days falls between two; people are told the nearer one.
            "day" => Day::from_count(value.round() as i32).iso(),
            "weight" => weight_text(unit, value),
            _ => spoken(value, 1),
        }
    };
    BalanceInfo {
        key: row.key.clone(),
        words: row.words.clone(),
        kind: row.kind.to_owned(),
        values: row
            .values
            .iter()
            .map(|&value| match row.kind {
                "weight" => present(unit.from_pounds(value)),
                _ => present(value),
            })
            .collect(),
        texts: row.values.iter().map(|&value| text(value)).collect(),
        standardised_difference: present(row.standardised_difference),
        large: row.standardised_difference.abs() > LARGE_DIFFERENCE,
    }
}

fn reached_of(unit: WeightUnit, comparison: &Comparison, reached: &Reached) -> ReachedInfo {
    ReachedInfo {
        level: comparison
            .levels
            .get(reached.level)
            .map_or_else(String::new, |level| level.name.clone()),
        started: reached.started,
        born_dead: reached.born_dead,
        died: reached.died,
        sold_early: reached.sold_early,
        weighed: reached.weighed,
        no_weight: reached.no_weight,
        treated: reached.treated,
        cows_started: reached.cows_started,
        weaned_per_cow_text: weight_text(unit, reached.pounds_weaned_per_cow),
    }
}
