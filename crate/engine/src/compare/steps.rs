//! From raw to fair, one step at a time.
//!
//! Enters: the used calves of two levels and the model's contrast. Leaves: the steps that the compared numbers have, the
//! model last.
//! Always true: every step uses the same calves, so what moves from step to step is the footing alone.
//! Never: hides a step that moves the answer the other way.

use fairpen_stats::describe::summarise;
use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::test::welch;

use super::levels::Chosen;
use super::model::{Contrast, Fitted};
use super::model_facts::Unit;
use super::response::Compared;
use super::result::{Estimate, Step};
use super::words::list;

pub(super) fn steps(
    compared: &Compared,
    chosen: &Chosen,
    fitted: &Fitted,
    pair: (usize, usize),
    contrast: &Contrast,
    confidence: f64,
) -> Vec<Step> {
    let level = ConfidenceLevel::new(confidence).unwrap_or(ConfidenceLevel::NINETY_FIVE);
    let means = |values: &[f64]| {
        let of = |position| {
            chosen
                .used_rows(position)
                .map(|row| values[row])
                .collect::<Vec<f64>>()
        };
        difference_of_means(&of(pair.0), &of(pair.1), level)
    };
    let held = fitted.held_words();
    let model_words = if held.is_empty() {
        "the model: nothing else varies, so nothing else is held equal".to_owned()
    } else {
        format!("the model: holding {} equal", list(&held))
    };
    let mut steps = vec![Step {
        key: "raw",
        words: match compared.measure.unit {
            Unit::Weight => "weights as weighed".to_owned(),
            Unit::WeightPerDay | Unit::Own(_) => "as recorded".to_owned(),
        },
        difference: means(&compared.raw),
    }];
    if let Some(by_age) = &compared.by_age {
        steps.push(Step {
            key: "age",
            words: "put on one age".to_owned(),
            difference: means(by_age),
        });
    }
    if let Some(published) = &compared.published {
        steps.push(Step {
            key: "published",
            words: "and the published dam-age factors added".to_owned(),
            difference: means(published),
        });
    }
    steps.push(Step {
        key: "model",
        words: model_words,
        difference: contrast.estimate,
    });
    steps
}

/// Difference of two means without a model (Welch 1938), `None` when either has fewer than two calves.
fn difference_of_means(first: &[f64], second: &[f64], level: ConfidenceLevel) -> Option<Estimate> {
    let test = welch(&summarise(first).ok()?, &summarise(second).ok()?, level).ok()?;
    Some(Estimate {
        value: test.difference,
        se: test.standard_error,
        df: test.df,
        lower: test.lower,
        upper: test.upper,
        p: test.p,
    })
}
