//! Comparisons as they cross.
//!
//! Enters: [`Comparison`], in pounds. Leaves: [`ComparisonView`], in the book's unit, with texts for people.
//! Always true: a number that is missing crosses as `undefined`, never as NaN or zero.

use fairpen_engine::compare::choices::{
    Degrees, Margins, Places, RandomPart, Response, Several, unknown,
};
use fairpen_engine::compare::response::Offered;
use fairpen_engine::compare::result::{
    BalanceRow, Choices, Comparable, CompareSpec, Comparison, Estimate, Level, Measure, ModelFacts,
    Pair, RandomEffect, Reached, RepeatBy, Such, Verdict,
};
use fairpen_engine::desk::Desk;
use fairpen_engine::error::Error;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::write::{spoken, up_to};

use crate::beside::{could_see_of, matched_of};
use crate::columns::counts_of;
use crate::comparison_types::{
    CompareChoices, ModelInfo, RandomInfo, ResponseOption, SuchInfo, WithinInfo,
};
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

/// What can be compared of the calves.
pub fn offered_of(offered: Vec<Offered>) -> Vec<ResponseOption> {
    offered
        .into_iter()
        .map(|one| ResponseOption {
            key: one.key,
            words: one.words,
            n: one.n,
        })
        .collect()
}

/// What to compare.
pub fn spec_of(request: &CompareRequest) -> Result<CompareSpec, Error> {
    Ok(CompareSpec {
        column: request.column.clone(),
        levels: request.levels.clone(),
        seasons: request.seasons.clone(),
        hold: request.hold.clone(),
        choices: choices_of(&request.choices)?,
    })
}

fn choices_of(said: &CompareChoices) -> Result<Choices, Error> {
    Ok(Choices {
        response: Response::from_key(&said.response),
        margins: Margins::from_key(&said.margins).ok_or_else(|| unknown(&said.margins))?,
        several: Several::from_key(&said.several, &said.against)
            .ok_or_else(|| unknown(&said.several))?,
        by_sex: said.by_sex,
        by_dam_age: said.by_dam_age,
        random: RandomPart::from_key(&said.random).ok_or_else(|| unknown(&said.random))?,
        degrees: Degrees::from_key(&said.degrees).ok_or_else(|| unknown(&said.degrees))?,
        places: Places::from_key(&said.places).ok_or_else(|| unknown(&said.places))?,
    })
}

fn said_of(choices: &Choices) -> CompareChoices {
    CompareChoices {
        response: choices.response.key().to_owned(),
        margins: choices.margins.key().to_owned(),
        several: choices.several.key().to_owned(),
        against: choices.several.against().unwrap_or("").to_owned(),
        by_sex: choices.by_sex,
        by_dam_age: choices.by_dam_age,
        random: choices.random.key().to_owned(),
        degrees: choices.degrees.key().to_owned(),
        places: choices.places.key().to_owned(),
    }
}

fn model_of(scale: &Scale, comparison: &Comparison) -> ModelInfo {
    let facts: &ModelFacts = &comparison.model;
    ModelInfo {
        measure: comparison.measure.words.clone(),
        marks: comparison.measure.marks.clone(),
        has_age_step: comparison
            .levels
            .iter()
            .any(|level| !level.age_adjusted_mean.is_nan()),
        has_published_step: comparison
            .levels
            .iter()
            .any(|level| !level.adjusted_mean.is_nan()),
        random: facts
            .random
            .iter()
            .map(|effect| random_of(scale, effect))
            .collect(),
        several_together: facts.several != "unadjusted",
        no_such_because: comparison.scope.because.clone(),
    }
}

fn random_of(scale: &Scale, effect: &RandomEffect) -> RandomInfo {
    let mut notes = Vec::new();
    if effect.unnamed > 0 {
        notes.push(format!("{} without a name", effect.unnamed));
    }
    if effect.shared > 0 {
        notes.push(format!("{} with several possible", effect.shared));
    }
    RandomInfo {
        words: effect.words.clone(),
        used: effect.used,
        because: effect.because.clone(),
        levels: effect.levels,
        spread_text: match effect.sd {
            Some(_) if effect.at_zero => "no spread found".to_owned(),
            Some(sd) => scale.text(sd),
            None => String::new(),
        },
        note: notes.join(", "),
    }
}

fn such_of(scale: &Scale, such: &Such) -> SuchInfo {
    SuchInfo {
        judged_by: match such.by {
            RepeatBy::Places => format!("{} places against {}", such.n_first, such.n_second),
            RepeatBy::WithinPlaces => format!("differences within {} places", such.n_first),
            RepeatBy::Seasons => format!("differences in {} seasons", such.n_first),
        },
        difference: estimate_of(scale, &such.difference),
        differs: such.differs,
    }
}

/// How the compared numbers are shown.
struct Scale<'a> {
    measure: &'a Measure,
    unit: WeightUnit,
}

impl Scale<'_> {
    fn shown(&self, number: f64) -> f64 {
        self.measure.shown(self.unit, number)
    }

    fn bare(&self, number: f64) -> String {
        spoken(self.shown(number), self.measure.decimals)
    }

    /// The number with its unit; empty when missing.
    fn text(&self, number: f64) -> String {
        if number.is_nan() {
            return String::new();
        }
        self.with_unit(self.bare(number))
    }

    fn with_unit(&self, text: String) -> String {
        let unit = self.measure.unit_words(self.unit);
        if unit.is_empty() {
            text
        } else {
            format!("{text} {unit}")
        }
    }
}

/// A comparison as it crosses.
pub fn view_of(desk: &Desk, comparison: &Comparison) -> ComparisonView {
    let unit = desk.book().settings.weight_unit;
    let scale = &Scale {
        measure: &comparison.measure,
        unit,
    };
    ComparisonView {
        revision: u32::try_from(desk.book().revision()).unwrap_or(u32::MAX),
        request: CompareRequest {
            column: comparison.spec.column.clone(),
            levels: comparison.spec.levels.clone(),
            seasons: comparison.spec.seasons.clone(),
            hold: comparison.spec.hold.clone(),
            choices: said_of(&comparison.spec.choices),
        },
        column_label: comparison.column_label.clone(),
        unit: comparison.measure.unit_words(unit),
        model: model_of(scale, comparison),
        sentence: comparison.sentence.clone(),
        cautions: comparison.cautions.clone(),
        levels: comparison
            .levels
            .iter()
            .map(|level| level_of(scale, level))
            .collect(),
        pairs: comparison
            .pairs
            .iter()
            .map(|pair| pair_of(scale, pair))
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
                test: term.test.map_or_else(String::new, |test| {
                    format!(
                        "F {} with {} and {} d.f., {}",
                        spoken(test.f, 2),
                        up_to(test.df, 1),
                        up_to(test.denominator_df, 1),
                        p_words(test.p)
                    )
                }),
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
            format!("sd {} with {} d.f.", scale.text(sd), up_to(df, 1))
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

fn estimate_of(scale: &Scale, estimate: &Estimate) -> EstimateInfo {
    EstimateInfo {
        value: scale.shown(estimate.value),
        se: scale.shown(estimate.se),
        df: estimate.df,
        lower: scale.shown(estimate.lower),
        upper: scale.shown(estimate.upper),
        p: present(estimate.p),
        text: scale.text(estimate.value),
        interval_text: scale.with_unit(format!(
            "{} to {}",
            scale.bare(estimate.lower),
            scale.bare(estimate.upper)
        )),
        p_text: p_text(estimate.p),
    }
}

fn level_of(scale: &Scale, level: &Level) -> LevelInfo {
    let weights = level
        .marks
        .iter()
        .copied()
        .filter(|mark| !mark.is_nan())
        .collect();
    let mean = |number: f64| present(scale.shown(number));
    LevelInfo {
        name: level.name.clone(),
        n: level.n,
        left_out: counts_of(level.left_out.clone()),
        raw_mean: mean(level.raw_mean),
        raw_mean_text: scale.text(level.raw_mean),
        age_adjusted_mean: mean(level.age_adjusted_mean),
        age_adjusted_mean_text: scale.text(level.age_adjusted_mean),
        adjusted_mean: mean(level.adjusted_mean),
        adjusted_mean_text: scale.text(level.adjusted_mean),
        ls_mean: level.ls_mean.as_ref().map(|mean| estimate_of(scale, mean)),
        places: level.places.clone(),
        weights: thinned(weights)
            .into_iter()
            .map(|mark| scale.shown(mark))
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

fn pair_of(scale: &Scale, pair: &Pair) -> PairInfo {
    let position = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    PairInfo {
        first: position(pair.first),
        second: position(pair.second),
        difference: pair.difference.as_ref().map(|d| estimate_of(scale, d)),
        alone: pair.alone.as_ref().map(|d| estimate_of(scale, d)),
        within: pair
            .within
            .iter()
            .map(|within| WithinInfo {
                words: format!("{}: {}", within.words, within.class),
                difference: within.difference.as_ref().map(|d| estimate_of(scale, d)),
            })
            .collect(),
        such: pair.such.as_ref().map(|such| such_of(scale, such)),
        steps: pair
            .steps
            .iter()
            .map(|step| StepInfo {
                key: step.key.to_owned(),
                words: step.words.clone(),
                difference: step.difference.as_ref().map(|d| estimate_of(scale, d)),
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
