//! The comparison of a file.
//!
//! Enters: a comparison (weights in lb) and what may be said. Leaves: its record in the file's unit, with
//! texts for people.
//! Always true: numbers are the comparison's own, unrounded; a line made of a column that stays home is left
//! out.
//! Never: compares.

use super::guard::Guard;
use super::payload::{
    BalanceRecord, ChoicesRecord, ComparisonRecord, EstimateRecord, LevelRecord, PairRecord,
    ReachedRecord, StepRecord,
};
use super::same::is_finite;
use crate::compare::result::{BalanceRow, Comparison, Estimate, Measure, Unit, Verdict};
use crate::share::choice::Choice;
use crate::sheet::day::Day;
use crate::sheet::settings::WeightUnit;
use crate::sheet::workbook::Workbook;
use crate::sheet::write::spoken;

/// The record of a comparison.
pub fn record(
    comparison: &Comparison,
    unit: WeightUnit,
    guard: &Guard,
    reached_goes: bool,
) -> ComparisonRecord {
    let measure = &comparison.measure;
    let number = |value: f64| value.is_finite().then(|| measure.shown(unit, value));
    let estimate = |found: Estimate| estimate(found, measure, unit);
    let levels = comparison.levels.iter().map(|level| LevelRecord {
        name: level.name.clone(),
        n: level.n,
        left_out: level.left_out.clone(),
        raw_mean: number(level.raw_mean),
        age_adjusted_mean: number(level.age_adjusted_mean),
        adjusted_mean: number(level.adjusted_mean),
        shown: [level.raw_mean, level.age_adjusted_mean, level.adjusted_mean]
            .map(|value| spoken(measure.shown(unit, value), measure.decimals)),
        ls_mean: level.ls_mean.and_then(&estimate),
    });
    let pairs = comparison.pairs.iter().map(|pair| PairRecord {
        first: u32::try_from(pair.first).unwrap_or(u32::MAX),
        second: u32::try_from(pair.second).unwrap_or(u32::MAX),
        difference: pair.difference.and_then(&estimate),
        steps: pair
            .steps
            .iter()
            .map(|step| StepRecord {
                key: step.key.to_owned(),
                words: step.words.clone(),
                difference: step.difference.and_then(&estimate),
            })
            .collect(),
        verdict: match pair.verdict {
            Verdict::Differs { .. } => "differs",
            Verdict::NotShown { .. } => "not_shown",
            Verdict::CannotSeparate { .. } => "cannot_separate",
            Verdict::TooFew { .. } => "too_few",
        }
        .to_owned(),
        sentence: one(guard, &pair.sentence),
    });
    let reached = comparison
        .reached
        .iter()
        .filter(|_| reached_goes)
        .map(|reached| ReachedRecord {
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
        });
    ComparisonRecord {
        column: comparison.spec.column.clone(),
        column_label: comparison.column_label.clone(),
        asked_levels: comparison.spec.levels.clone(),
        asked_seasons: comparison.spec.seasons.clone(),
        hold: comparison.spec.hold.clone(),
        choices: ChoicesRecord::of(&comparison.spec.choices),
        unit: (measure.unit != Unit::Weight).then(|| measure.unit_words(unit)),
        sentence: one(guard, &comparison.sentence),
        levels: levels.collect(),
        pairs: pairs.collect(),
        balance: comparison
            .balance
            .iter()
            .filter(|row| guard.balance(&row.key) && guard.tells(&row.words).is_none())
            .map(|row| balance(row, unit))
            .collect(),
        reached: reached.collect(),
        aliased: guard.sentences(&comparison.aliased),
        cautions: guard.sentences(&comparison.cautions),
        method: one(guard, &comparison.method),
        n_used: comparison.n_used,
        basis: super::basis::Basis::Stated.letter().to_string(),
    }
}

/// What to say where the model lets cows, bulls or places differ whose names stay home.
pub fn stays_stated(comparison: &Comparison, book: &Workbook, choice: &Choice) -> Option<String> {
    let home: Vec<&str> = comparison
        .model
        .random
        .iter()
        .filter(|effect| effect.used)
        .filter_map(|effect| match effect.key {
            "dam" => (!choice.is_open(book, "dam") || !choice.is_open(book, "raised_dam"))
                .then_some("cows"),
            "sire" => (!choice.is_open(book, "sire")).then_some("bulls"),
            "place" | "place_within" => (!choice.is_open(book, "place")).then_some("places"),
            _ => None,
        })
        .collect();
    (!home.is_empty()).then(|| {
        format!(
            "The comparison counts calves of the same {} as alike. Their names stay home, so this file cannot do that sum again: the comparison is as stated.",
            home.join(" and of the same ")
        )
    })
}

fn one(guard: &Guard, sentence: &str) -> String {
    if sentence.is_empty() {
        return String::new();
    }
    guard.sentences(&[sentence.to_owned()]).join(" ")
}

fn estimate(estimate: Estimate, measure: &Measure, unit: WeightUnit) -> Option<EstimateRecord> {
    is_finite(&estimate).then(|| {
        let [value, lower, upper] = [estimate.value, estimate.lower, estimate.upper]
            .map(|value| measure.shown(unit, value));
        let decimals = measure.decimals;
        EstimateRecord {
            value,
            se: measure.shown(unit, estimate.se),
            df: estimate.df,
            lower,
            upper,
            p: estimate.p.is_finite().then_some(estimate.p),
            shown: format!(
                "{} ({} to {})",
                spoken(value, decimals),
                spoken(lower, decimals),
                spoken(upper, decimals)
            ),
        }
    })
}

fn balance(row: &BalanceRow, unit: WeightUnit) -> BalanceRecord {
    let shown = row.values.iter().map(|&value| match row.kind {
        _ if value.is_nan() => "none".to_owned(),
        "share" => format!("{} %", spoken(value * 100.0, 0)),
        "day" => Day::from_count(libm::round(value) as i32).iso(),
        "weight" => format!("{} {}", spoken(unit.from_pounds(value), 1), unit.symbol()),
        _ => spoken(value, 1),
    });
    BalanceRecord {
        words: row.words.clone(),
        shown: shown.collect(),
        standardised_difference: row
            .standardised_difference
            .is_finite()
            .then_some(row.standardised_difference),
    }
}
