//! What stands beside the model in `comparison.json`: calves matched like with like, and what the records could
//! have shown.
//!
//! Enters: a [`Comparison`] (pounds). Leaves: its parts in the book's unit, explained in `docs/output-files.md`.
//! Always true: a difference asked about with `--difference` stands after the usual ones, once.
//! Never: words a finding of its own.

use fairpen_engine::compare::power::seen;
use fairpen_engine::compare::result::{Comparison, Seen, Unit};
use fairpen_engine::sheet::settings::WeightUnit;
use serde::Serialize;

use crate::comparison::level_name;
use crate::document::{EstimateDocument, present};

/// Two levels, like with like.
#[derive(Debug, Serialize)]
pub struct MatchedDocument {
    first: String,
    second: String,
    by: Vec<String>,
    partners_first: u32,
    partners_second: u32,
    n_first: u32,
    n_second: u32,
    kinds: u32,
    cows: u32,
    mean_difference: Option<f64>,
    difference: Option<EstimateDocument>,
    model_is_off_by: Option<f64>,
    sentence: String,
}

impl MatchedDocument {
    /// Every pair, in order.
    pub fn list(comparison: &Comparison, unit: WeightUnit) -> Vec<MatchedDocument> {
        let measure = &comparison.measure;
        let weight = |number: f64| present(measure.shown(unit, number));
        comparison
            .matched
            .iter()
            .map(|matched| MatchedDocument {
                first: level_name(comparison, matched.first),
                second: level_name(comparison, matched.second),
                by: matched.by.clone(),
                partners_first: matched.partners.0,
                partners_second: matched.partners.1,
                n_first: matched.used.0,
                n_second: matched.used.1,
                kinds: matched.n_kinds,
                cows: matched.n_cows,
                mean_difference: matched.difference.and_then(weight),
                difference: matched
                    .estimate
                    .as_ref()
                    .map(|estimate| EstimateDocument::of(estimate, measure, unit)),
                model_is_off_by: matched.model_is_off_by.and_then(weight),
                sentence: matched.sentence.clone(),
            })
            .collect()
    }
}

/// What a pair could have shown.
#[derive(Debug, Serialize)]
pub struct CouldSeeDocument {
    first: String,
    second: String,
    units: &'static str,
    n: u32,
    smallest: Option<f64>,
    at: Vec<SeenDocument>,
    sentence: String,
}

#[derive(Debug, Serialize)]
struct SeenDocument {
    difference: Option<f64>,
    chance: Option<f64>,
    needed: Option<u32>,
}

impl CouldSeeDocument {
    /// Every pair, in order.
    pub fn list(
        comparison: &Comparison,
        unit: WeightUnit,
        confidence: f64,
        differences: &[f64],
    ) -> Vec<CouldSeeDocument> {
        let measure = &comparison.measure;
        let weight = |number: f64| present(measure.shown(unit, number));
        let document = |seen: Seen| SeenDocument {
            difference: weight(seen.difference),
            chance: present(seen.chance),
            needed: seen.needed,
        };
        comparison
            .could_see
            .iter()
            .map(|could| {
                let asked = differences.iter().filter_map(|&difference| {
                    let pounds = match measure.unit {
                        Unit::Weight | Unit::WeightPerDay => unit.to_pounds(difference),
                        Unit::Own(_) => difference,
                    };
                    let usual = could.at.iter().any(|seen| seen.difference == pounds);
                    (!usual).then(|| seen(&could.difference?, could.n, pounds, confidence))?
                });
                CouldSeeDocument {
                    first: level_name(comparison, could.first),
                    second: level_name(comparison, could.second),
                    units: could.units,
                    n: could.n,
                    smallest: could.smallest.and_then(weight),
                    at: could
                        .at
                        .iter()
                        .copied()
                        .chain(asked)
                        .map(document)
                        .collect(),
                    sentence: could.sentence.clone(),
                }
            })
            .collect()
    }
}
