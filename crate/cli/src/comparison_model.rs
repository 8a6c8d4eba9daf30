//! What `comparison.json` says of its model: choices, random effects, reach.
//!
//! Enters: the values of a comparison. Leaves: documents, their fields explained in `docs/output-files.md`.
//! Always true: keys are the engine's stable ones; a spread of zero is 0, one that is not in the model `null`.
//! Never: leaves out a random effect that was thought of.

use fairpen_engine::compare::choices::Choices;
use fairpen_engine::compare::result::{
    Comparison, Measure, ModelFacts, RandomEffect, Scope, Such, Within,
};
use fairpen_engine::sheet::settings::WeightUnit;
use serde::Serialize;

use crate::document::{EstimateDocument, present};

#[derive(Debug, Serialize)]
pub struct ChoicesDocument {
    response: String,
    margins: &'static str,
    several: &'static str,
    against: Option<String>,
    by_sex: bool,
    by_dam_age: bool,
    random: &'static str,
    degrees: &'static str,
    places: &'static str,
}

impl ChoicesDocument {
    pub fn new(choices: &Choices) -> ChoicesDocument {
        ChoicesDocument {
            response: choices.response.key().to_owned(),
            margins: choices.margins.key(),
            several: choices.several.key(),
            against: choices.several.against().map(str::to_owned),
            by_sex: choices.by_sex,
            by_dam_age: choices.by_dam_age,
            random: choices.random.key(),
            degrees: choices.degrees.key(),
            places: choices.places.key(),
        }
    }
}

#[derive(Debug, Serialize)]
pub struct MeasureDocument {
    response: String,
    words: String,
    unit: String,
}

impl MeasureDocument {
    pub fn new(measure: &Measure, unit: WeightUnit) -> MeasureDocument {
        MeasureDocument {
            response: measure.key.clone(),
            words: measure.words.clone(),
            unit: measure.unit_words(unit),
        }
    }
}

#[derive(Debug, Serialize)]
pub struct ModelDocument {
    mixed: bool,
    degrees: &'static str,
    degrees_because: Option<String>,
    margins: &'static str,
    several: &'static str,
    several_because: Option<String>,
    random_levels: u32,
    random: Vec<RandomDocument>,
}

#[derive(Debug, Serialize)]
struct RandomDocument {
    key: &'static str,
    words: String,
    used: bool,
    because: Option<String>,
    levels: u32,
    repeats: u32,
    sd: Option<f64>,
    no_spread_found: bool,
    unnamed: u32,
    shared: u32,
}

impl ModelDocument {
    pub fn new(comparison: &Comparison, unit: WeightUnit) -> ModelDocument {
        let facts: &ModelFacts = &comparison.model;
        let said = |words: &String| (!words.is_empty()).then(|| words.clone());
        ModelDocument {
            mixed: facts.mixed,
            degrees: facts.degrees,
            degrees_because: said(&facts.degrees_because),
            margins: facts.margins,
            several: facts.several,
            several_because: said(&facts.several_because),
            random_levels: facts.random_levels,
            random: facts
                .random
                .iter()
                .map(|effect| random_document(effect, &comparison.measure, unit))
                .collect(),
        }
    }
}

fn random_document(effect: &RandomEffect, measure: &Measure, unit: WeightUnit) -> RandomDocument {
    RandomDocument {
        key: effect.key,
        words: effect.words.clone(),
        used: effect.used,
        because: (!effect.because.is_empty()).then(|| effect.because.clone()),
        levels: effect.levels,
        repeats: effect.repeats,
        sd: effect.sd.and_then(|sd| present(measure.shown(unit, sd))),
        no_spread_found: effect.at_zero,
        unnamed: effect.unnamed,
        shared: effect.shared,
    }
}

#[derive(Debug, Serialize)]
pub struct ScopeDocument {
    between_places: bool,
    places: Vec<u32>,
    seasons: u32,
    model_counts_places: bool,
    because: Option<String>,
}

impl ScopeDocument {
    pub fn new(scope: &Scope) -> ScopeDocument {
        ScopeDocument {
            between_places: scope.between_places,
            places: scope.places.clone(),
            seasons: scope.seasons,
            model_counts_places: scope.model_counts_places,
            because: (!scope.because.is_empty()).then(|| scope.because.clone()),
        }
    }
}

#[derive(Debug, Serialize)]
pub struct SuchDocument {
    by: &'static str,
    n_first: u32,
    n_second: u32,
    difference: EstimateDocument,
    differs: bool,
}

impl SuchDocument {
    pub fn new(such: &Such, measure: &Measure, unit: WeightUnit) -> SuchDocument {
        SuchDocument {
            by: such.by.key(),
            n_first: such.n_first,
            n_second: such.n_second,
            difference: EstimateDocument::of(&such.difference, measure, unit),
            differs: such.differs,
        }
    }
}

#[derive(Debug, Serialize)]
pub struct WithinDocument {
    key: &'static str,
    class: String,
    difference: Option<EstimateDocument>,
}

impl WithinDocument {
    pub fn new(within: &Within, measure: &Measure, unit: WeightUnit) -> WithinDocument {
        WithinDocument {
            key: within.key,
            class: within.class.clone(),
            difference: within
                .difference
                .as_ref()
                .map(|estimate| EstimateDocument::of(estimate, measure, unit)),
        }
    }
}
