//! The search for the most likely variances.
//!
//! * **Enters:** a problem and starting ratios.
//! * **Leaves:** the point of highest likelihood found, with its derivatives, and which factors ended at
//!   zero.
//! * **Always true:** the likelihood never falls from one step to the next; ratios never leave their
//!   range; a factor is at zero only when the likelihood falls away from zero.
//! * **Never:** reads a clock: whoever wants to stop it says so between steps.
//!
//! Each step solves the observed information against the slopes; where that matrix has no maximum to
//! offer, the average information (Gilmour, Thompson and Cullis 1995); where that is singular, the expected
//! one. A step that would pass below the floor stops there. A step that loses likelihood is halved; if that
//! does not help, one step of expectation and maximisation is taken (Dempster, Laird and Rubin 1977,
//! Journal of the Royal Statistical Society B 39:1-38), which never loses.

use std::ops::ControlFlow;

use super::error::MixedError;
use super::likelihood::{Point, Problem, Slopes};
use crate::matrix::PositiveFactor;
use crate::tolerance::{LIKELIHOOD_ROUNDING, LIKELIHOOD_SETTLED, RATIO_FLOOR, RESIDUAL_VANISHES};

/// Where the search stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Steps taken, from zero.
    pub iteration: usize,
    /// The log-likelihood so far.
    pub log_likelihood: f64,
    /// How much more the next step promises; the search ends when this is next to nothing.
    pub expected_gain: f64,
}

/// Where the search ended.
pub(super) struct Maximum {
    pub(super) point: Point,
    pub(super) slopes: Slopes,
    pub(super) at_floor: Vec<bool>,
    pub(super) iterations: usize,
}

/// A step no longer than this many times the ratio, and one tenth: beyond it the curvature means nothing.
const LONGEST_STEP: f64 = 10.0;
const HALVINGS: usize = 8;

pub(super) fn maximise(
    problem: &Problem,
    start: Vec<f64>,
    first_iteration: usize,
    most_iterations: usize,
    least_residual_variance: f64,
    progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<Maximum, MixedError> {
    let floors: Vec<f64> = problem
        .layout
        .places
        .iter()
        .map(|place| RATIO_FLOOR / problem.cross.largest_diagonal(place).max(f64::MIN_POSITIVE))
        .collect();
    let start = start
        .iter()
        .zip(&floors)
        .map(|(ratio, floor)| ratio.max(*floor))
        .collect();
    let mut point = problem.at(start).ok_or(MixedError::ResidualVanishes)?;
    let mut iteration = first_iteration;
    loop {
        if point.residual_variance <= RESIDUAL_VANISHES * least_residual_variance {
            return Err(MixedError::ResidualVanishes);
        }
        let slopes = problem.slopes(&point);
        let gradient = slopes.gradient();
        let free: Vec<usize> = (0..floors.len())
            .filter(|&k| point.ratios[k] > floors[k] || gradient[k] > 0.0)
            .collect();
        let step = direction(problem, &slopes, &gradient, &free);
        let expected_gain: f64 = 0.5
            * free
                .iter()
                .zip(&step)
                .map(|(&k, change)| gradient[k] * change)
                .sum::<f64>();
        let told = progress(Progress {
            iteration,
            log_likelihood: point.log_likelihood,
            expected_gain,
        });
        if told.is_break() {
            return Err(MixedError::Cancelled);
        }
        let rounding = LIKELIHOOD_ROUNDING * point.log_likelihood.abs().max(1.0);
        if expected_gain <= LIKELIHOOD_SETTLED {
            return Ok(finish(point, slopes, &floors, iteration));
        }
        if iteration >= most_iterations {
            return Err(MixedError::NotConverged {
                iterations: iteration,
            });
        }
        iteration += 1;
        let next = along(problem, &point, &floors, &free, &step, rounding)
            .or_else(|| expectation_step(problem, &point, &slopes, &gradient, &free, &floors));
        match next {
            Some(better) if better.log_likelihood >= point.log_likelihood - rounding => {
                point = better;
            }
            // Nothing near is better: what the step promised is less than rounding.
            _ if expected_gain <= rounding.sqrt() => {
                return Ok(finish(point, slopes, &floors, iteration));
            }
            _ => {
                return Err(MixedError::NotConverged {
                    iterations: iteration,
                });
            }
        }
    }
}

fn finish(point: Point, slopes: Slopes, floors: &[f64], iterations: usize) -> Maximum {
    let at_floor = point
        .ratios
        .iter()
        .zip(floors)
        .map(|(ratio, floor)| ratio <= floor)
        .collect();
    Maximum {
        point,
        slopes,
        at_floor,
        iterations,
    }
}

/// The step for the free factors.
fn direction(problem: &Problem, slopes: &Slopes, gradient: &[f64], free: &[usize]) -> Vec<f64> {
    let mut step: Vec<f64> = free.iter().map(|&k| gradient[k]).collect();
    if free.is_empty() {
        return step;
    }
    let df = problem.spread_df;
    let factor = PositiveFactor::new(slopes.observed(free, df), free.len())
        .or_else(|| PositiveFactor::new(slopes.average(free, df), free.len()))
        .or_else(|| PositiveFactor::new(slopes.expected(free, df), free.len()));
    // Without any curvature to go by it is the slope alone, for which the halving finds a length.
    if let Some(factor) = factor {
        factor.solve(&mut step);
    }
    step
}

/// The step, halved until it gains.
fn along(
    problem: &Problem,
    point: &Point,
    floors: &[f64],
    free: &[usize],
    step: &[f64],
    rounding: f64,
) -> Option<Point> {
    let mut share = 1.0;
    for _ in 0..HALVINGS {
        let mut ratios = point.ratios.clone();
        for (&k, change) in free.iter().zip(step) {
            let longest = LONGEST_STEP * ratios[k] + 0.1;
            ratios[k] = (ratios[k] + share * change.min(longest)).max(floors[k]);
        }
        if let Some(next) = problem.at(ratios)
            && next.log_likelihood >= point.log_likelihood - rounding
        {
            return Some(next);
        }
        share /= 2.0;
    }
    None
}

/// One step of expectation and maximisation for the ratios, the residual variance at its best.
#[allow(clippy::cast_precision_loss)] // level counts are far below 2^53
fn expectation_step(
    problem: &Problem,
    point: &Point,
    slopes: &Slopes,
    gradient: &[f64],
    free: &[usize],
    floors: &[f64],
) -> Option<Point> {
    debug_assert_eq!(slopes.squares.len(), gradient.len());
    let mut ratios = point.ratios.clone();
    for &k in free {
        let levels = problem.layout.levels[k].count() as f64;
        let change = 2.0 * ratios[k] * gradient[k] / levels;
        ratios[k] = (ratios[k] * (1.0 + change)).max(floors[k]);
    }
    problem.at(ratios)
}
