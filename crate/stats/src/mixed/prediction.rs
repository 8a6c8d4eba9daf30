//! Predicted effects of the random factors' levels.
//!
//! * **Enters:** the final solution and the inverse of the reduced equations.
//! * **Leaves:** for every level of the caller its predicted effect and how far that may be off.
//! * **Always true:** a level without a used row is predicted as zero, with the factor's whole variance.
//! * **Never:** ranks; a level's effect and its uncertainty belong together.
//!
//! Best linear unbiased prediction: Henderson 1975, Biometrics 31:423-447. With M the scaled equations the
//! variance of prediction error is s g M^ii.

use super::likelihood::{Point, Problem};
use super::random::ABSENT;
use super::rows::Place;

/// One level's predicted effect.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prediction {
    /// The effect, in response units, drawn towards zero by what is not known of it.
    pub value: f64,
    /// Variance of the true effect less the predicted one, in squared response units; the variances of
    /// the model are taken as known.
    pub error_variance: f64,
    /// How many used rows have a share in the level.
    pub rows: usize,
}

/// One list for each random factor, one entry for each level of the caller.
pub(super) fn predict(problem: &Problem, point: &Point, inverse: &[f64]) -> Vec<Vec<Prediction>> {
    let layout = &problem.layout;
    layout
        .levels
        .iter()
        .zip(&layout.places)
        .zip(&point.ratios)
        .map(|((levels, place), &ratio)| {
            let variance = ratio * point.residual_variance;
            let values = point.solution.part(place);
            levels
                .number_of
                .iter()
                .map(|&number| {
                    if number == ABSENT {
                        return Prediction {
                            value: 0.0,
                            error_variance: variance,
                            rows: 0,
                        };
                    }
                    let number = number as usize;
                    let known = match place {
                        Place::Absorbed => absorbed_diagonal(problem, point, inverse, number),
                        Place::Beside(range) => {
                            inverse[(range.start + number) * (layout.width() + 1)]
                        }
                    };
                    Prediction {
                        value: values[number],
                        error_variance: variance * known,
                        rows: levels.rows[number],
                    }
                })
                .collect()
        })
        .collect()
}

/// 1 / d + g B S-tilde B' / d^2 for one absorbed level.
fn absorbed_diagonal(problem: &Problem, point: &Point, inverse: &[f64], level: usize) -> f64 {
    let system = &point.system;
    let width = problem.layout.width();
    let (columns, values) = problem.cross.level(level);
    let mut sum = 0.0;
    for (&column, value) in columns.iter().zip(values) {
        let column = column as usize;
        let row = &inverse[column * width..(column + 1) * width];
        let inner: f64 = columns
            .iter()
            .zip(values)
            .map(|(&other, weight)| row[other as usize] * system.scales[other as usize] * weight)
            .sum();
        sum += value * system.scales[column] * inner;
    }
    let divisor = system.divisors[level];
    1.0 / divisor + system.absorbed_ratio * sum / (divisor * divisor)
}
