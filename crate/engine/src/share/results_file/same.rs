//! Whether a figure in a file is the one the engine gets.
//!
//! Enters: a figure as the file states it, and a book rebuilt from the file. Leaves: yes or no, or what the
//! engine got.
//! Always true: weights agree within a millionth of a pound, ratios within a millionth; whole numbers and
//! names agree exactly.
//! Never: compares texts that were rounded for people.

use super::payload::{Cell, ColumnRecord, ComparisonRecord, EstimateRecord, GroupRecord};
use super::rebuild::Rebuilt;
use crate::compare::result::{CompareSpec, Estimate, Measure, Unit};
use crate::group::NO_GROUP;
use crate::results::{ResultColumn, Shown};
use crate::sheet::column::Value;

/// Largest difference between equal weights, lb; house rule: figures are decided on values rounded so.
pub const TOLERANCE: f64 = 1e-6;

/// What the engine gets for a computed cell.
pub fn recomputed(rebuilt: &Rebuilt, column: ResultColumn, row: usize) -> Value {
    column.value(&rebuilt.book, &rebuilt.results, row)
}

/// True when a computed cell is what the engine gets.
pub fn cell(rebuilt: &Rebuilt, column: ResultColumn, record: &ColumnRecord, row: usize) -> bool {
    match (&record.cells[row], recomputed(rebuilt, column, row)) {
        (Cell::Number(stated), Value::Number(number)) => match column.about().2 {
            Shown::Weight | Shown::WeightPerDay => weight(rebuilt, *stated, number),
            _ => (stated - number).abs() <= TOLERANCE,
        },
        (Cell::Text(stated), Value::Text(text)) => *stated == text,
        (Cell::Missing, Value::Missing) => true,
        _ => false,
    }
}

/// True when two weights in the book's unit are the same.
pub fn weight(rebuilt: &Rebuilt, one: f64, other: f64) -> bool {
    rebuilt
        .book
        .settings
        .weight_unit
        .to_pounds((one - other).abs())
        <= TOLERANCE
}

/// True when a group's number, mean and spread are what the engine gets.
pub fn group(rebuilt: &Rebuilt, record: &GroupRecord) -> bool {
    let first = record.rows.first().copied().unwrap_or(0) as usize;
    let Some(&number) = rebuilt
        .results
        .groups
        .group_of
        .get(first)
        .filter(|group| **group != NO_GROUP)
    else {
        return false;
    };
    let again = &rebuilt.results.groups.groups[number as usize];
    let unit = rebuilt.book.settings.weight_unit;
    let sd_same = match record.sd {
        Some(sd) => weight(rebuilt, sd, unit.from_pounds(again.sd_adj_205)),
        None => again.sd_adj_205.is_nan(),
    };
    again.rows.len() == record.n as usize
        && weight(rebuilt, record.mean, unit.from_pounds(again.mean_adj_205))
        && sd_same
}

/// What differs between a comparison in the file and the one the engine makes, in words; empty when nothing.
pub fn comparison(rebuilt: &Rebuilt, record: &ComparisonRecord) -> Vec<String> {
    let Some(choices) = record.choices.choices() else {
        return vec!["the way it is made, which this program does not know".to_owned()];
    };
    let spec = CompareSpec {
        column: record.column.clone(),
        levels: record.asked_levels.clone(),
        seasons: record.asked_seasons.clone(),
        hold: record.hold.clone(),
        choices,
    };
    let again = match crate::compare::compare(&rebuilt.book, &rebuilt.results, &spec) {
        Ok(again) => again,
        Err(refusal) => return vec![refusal.message().to_owned()],
    };
    let unit = rebuilt.book.settings.weight_unit;
    let measure = again.measure.clone();
    let estimate = |stated: Option<&EstimateRecord>, found: Option<Estimate>| {
        estimate(rebuilt, &measure, stated, found)
    };
    let mut differing = Vec::new();
    let mut check = |words: String, same: bool| {
        if !same {
            differing.push(words);
        }
    };
    check(
        "the groups compared".to_owned(),
        record
            .levels
            .iter()
            .map(|level| &level.name)
            .eq(again.levels.iter().map(|level| &level.name))
            && record.pairs.len() == again.pairs.len(),
    );
    check("the calves used".to_owned(), record.n_used == again.n_used);
    let mean = |stated: Option<f64>, number: f64| match stated {
        Some(stated) => near(rebuilt, &measure, stated, measure.shown(unit, number)),
        None => number.is_nan(),
    };
    for (level, again) in record.levels.iter().zip(&again.levels) {
        check(
            format!("{}: means", level.name),
            level.n == again.n
                && mean(level.raw_mean, again.raw_mean)
                && mean(level.age_adjusted_mean, again.age_adjusted_mean)
                && mean(level.adjusted_mean, again.adjusted_mean)
                && estimate(level.ls_mean.as_ref(), again.ls_mean),
        );
    }
    for (pair, again) in record.pairs.iter().zip(&again.pairs) {
        let steps = pair.steps.len() == again.steps.len()
            && pair
                .steps
                .iter()
                .zip(&again.steps)
                .all(|(step, again)| estimate(step.difference.as_ref(), again.difference));
        check(
            format!(
                "{} against {}",
                record.levels[pair.first as usize].name, record.levels[pair.second as usize].name
            ),
            steps && estimate(pair.difference.as_ref(), again.difference),
        );
    }
    differing
}

/// True when two numbers of a comparison, in the unit people read, are the same.
fn near(rebuilt: &Rebuilt, measure: &Measure, one: f64, other: f64) -> bool {
    match measure.unit {
        Unit::Weight | Unit::WeightPerDay => weight(rebuilt, one, other),
        Unit::Own(_) => (one - other).abs() <= TOLERANCE * one.abs().max(1.0),
    }
}

fn estimate(
    rebuilt: &Rebuilt,
    measure: &Measure,
    stated: Option<&EstimateRecord>,
    again: Option<Estimate>,
) -> bool {
    let same = |stated: f64, found: f64| {
        near(
            rebuilt,
            measure,
            stated,
            measure.shown(rebuilt.book.settings.weight_unit, found),
        )
    };
    match (stated, again.filter(is_finite)) {
        (None, None) => true,
        (Some(stated), Some(again)) => {
            same(stated.value, again.value)
                && same(stated.lower, again.lower)
                && same(stated.upper, again.upper)
        }
        _ => false,
    }
}

/// True when all of an estimate can be written down.
pub fn is_finite(estimate: &Estimate) -> bool {
    [
        estimate.value,
        estimate.se,
        estimate.df,
        estimate.lower,
        estimate.upper,
    ]
    .iter()
    .all(|number| number.is_finite())
}
