//! The fit of a mixed model, and what it found.
//!
//! * **Enters:** data, terms of the fixed part, random factors.
//! * **Leaves:** a [`MixedFit`], which owns everything it needs: the rows may go away.
//! * **Always true:** the rows used have the response, every fixed factor and covariate that a term
//!   names, and every random factor; all others are counted and listed.
//! * **Never:** drops a random factor. One whose variance is zero stays in the list and says so.

use std::ops::ControlFlow;

use super::check;
use super::crossproduct::Crossproduct;
use super::error::MixedError;
use super::likelihood::{Likelihood, Problem, Slopes};
use super::maximise::{Maximum, Progress, maximise};
use super::prediction::{Prediction, predict};
use super::random::{RandomFactor, RandomIndex};
use super::rows::{Columns, Layout, Rows};
use super::system::System;
use crate::linear::{Data, Fit, RowCounts, Term, fit};
use crate::matrix::PositiveFactor;
use crate::tolerance::LIKELIHOOD_ROUNDING;

/// The dense system of this many columns takes 72 MB, and three of them are in use at a time.
const MOST_COLUMNS: usize = 3_000;
/// Where the search begins: the variance of each random factor over the residual's.
const SMALL_RATIO: f64 = 0.1;
/// Where it begins again.
const LARGE_RATIO: f64 = 2.0;

/// How to fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MixedSettings {
    /// Which likelihood the variances maximise.
    pub likelihood: Likelihood,
    /// The search gives up after this many steps; ordinary data take five to fifteen.
    pub most_iterations: usize,
}

impl Default for MixedSettings {
    fn default() -> Self {
        MixedSettings {
            likelihood: Likelihood::Restricted,
            most_iterations: 100,
        }
    }
}

/// Which rows a mixed fit used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MixedRowCounts {
    /// Rows given and used, and what the others lacked of the response and the fixed part.
    pub fixed: RowCounts,
    /// For each random factor, rows without any of its levels. A row may be counted under several
    /// headings.
    pub missing_random: Vec<usize>,
}

/// The variance of one random factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VarianceComponent {
    /// Variance between levels, in squared response units. Exactly zero when `at_zero`.
    pub variance: f64,
    /// True when the likelihood is highest without this factor: the levels differ no more, or less, than
    /// chance alone would have it. The fit is then the same as without the factor.
    pub at_zero: bool,
    /// Standard error of the variance for large numbers of levels, from the observed information; `None`
    /// at zero and where the likelihood is too flat. A rough guide only: the distribution is skew.
    pub standard_error: Option<f64>,
    /// Levels that used rows have.
    pub levels_used: usize,
}

/// A fitted mixed model.
#[derive(Debug, Clone)]
pub struct MixedFit {
    pub(super) fixed: Fit,
    pub(super) layout: Layout,
    pub(super) cross: Crossproduct,
    /// At the final ratios, zeros included.
    pub(super) system: System,
    pub(super) ratios: Vec<f64>,
    pub(super) at_zero: Vec<bool>,
    pub(super) solution: Columns,
    /// Kept fixed columns' coefficients, for the centred response, as scaled inside.
    pub(super) coefficients: Vec<f64>,
    /// (X'H^-1 X)^-1, as full rows.
    pub(super) unscaled_covariance: Vec<f64>,
    pub(super) residual_variance: f64,
    /// With factors at zero held at the search's floor.
    pub(super) slopes: Slopes,
    pub(super) spread_df: f64,
    pub(super) likelihood: Likelihood,
    /// Inverse of the information on the residual variance and the ratios above zero: which those are,
    /// and the matrix as full rows, the residual first.
    pub(super) parameter_covariance: Option<ParameterCovariance>,
    predictions: Vec<Vec<Prediction>>,
    rows: MixedRowCounts,
    excluded: Vec<usize>,
    log_likelihood: f64,
    iterations: usize,
}

/// How surely the variances are known.
#[derive(Debug, Clone)]
pub(super) struct ParameterCovariance {
    /// The random factors above zero.
    pub(super) above_zero: Vec<usize>,
    /// Covariance of (residual variance, their ratios), as full rows.
    pub(super) matrix: Vec<f64>,
}

/// Fits `y = X b + sum of Z_k u_k + e` with normal, independent `u_k` of variance `s_k` and `e` of
/// variance `s`.
///
/// X is the design that [`linear::fit`](crate::linear::fit) makes of `terms`; `Z_k` holds the levels or
/// shares of each random factor. See the [module](super) for the method. Rows without the response, or
/// without any factor, covariate or random factor of the model, are left out and counted.
///
/// `progress` is called before each step of the search and may stop it.
///
/// # Errors
///
/// [`MixedError`]: bad input; a model whose variances the rows cannot tell apart; a search that does not
/// settle, or was stopped.
pub fn fit_mixed(
    data: &Data<'_>,
    terms: &[Term],
    random: &[RandomFactor<'_>],
    settings: MixedSettings,
    progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<MixedFit, MixedError> {
    for (at, factor) in random.iter().enumerate() {
        factor.check(RandomIndex(at), data.response.len())?;
    }
    // A row without a random factor is left out of the fixed part by leaving out its response.
    let mut response = data.response.to_vec();
    let mut missing_random = vec![0; random.len()];
    for (factor, missing) in random.iter().zip(&mut missing_random) {
        for (row, value) in response.iter_mut().enumerate() {
            if factor.is_missing(row) {
                *missing += 1;
                *value = f64::NAN;
            }
        }
    }
    let complete = Data {
        response: &response,
        ..*data
    };
    let fixed = fit(&complete, terms)?;
    let mut counts = fixed.rows().clone();
    counts.missing_response = data.response.iter().filter(|value| value.is_nan()).count();
    let rows = MixedRowCounts {
        fixed: counts,
        missing_random,
    };
    if fixed.residual_df() == 0 {
        return Err(MixedError::NoResidualDegreesOfFreedom);
    }
    if fixed.residual_sum_of_squares() <= 0.0 {
        return Err(MixedError::ExactFit);
    }
    let problem = set_up(&complete, &fixed, random, settings.likelihood)?;
    check::separable(&problem)?;
    let best = search(&problem, &fixed, settings, progress)?;
    finish(problem, fixed, best, rows)
}

#[allow(clippy::cast_precision_loss)] // row counts are far below 2^53
fn set_up(
    data: &Data<'_>,
    fixed: &Fit,
    random: &[RandomFactor<'_>],
    likelihood: Likelihood,
) -> Result<Problem, MixedError> {
    let used: Vec<usize> = fixed.used_rows().collect();
    let layout = Layout::new(random, &used, fixed.rank());
    if layout.width() > MOST_COLUMNS {
        return Err(MixedError::TooManyColumns {
            columns: layout.width(),
            limit: MOST_COLUMNS,
        });
    }
    let rows = Rows::new(data, fixed, random, &used, &layout);
    let cross = Crossproduct::new(&rows, &layout);
    let right = rows.gather(&rows.response, &layout);
    let spread_df = match likelihood {
        Likelihood::Restricted => fixed.residual_df(),
        Likelihood::Full => used.len(),
    };
    Ok(Problem {
        rows,
        layout,
        cross,
        right,
        likelihood,
        spread_df: spread_df as f64,
    })
}

/// A search from small ratios; when a factor ends at zero, a second one from large ratios, because the
/// likelihood may have a hill there too. The higher of the two counts.
fn search(
    problem: &Problem,
    fixed: &Fit,
    settings: MixedSettings,
    progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<Maximum, MixedError> {
    let factors = problem.layout.places.len();
    let mut from = |ratio: f64, first: usize| {
        maximise(
            problem,
            vec![ratio; factors],
            first,
            first + settings.most_iterations,
            fixed.residual_mean_square().unwrap_or(0.0),
            progress,
        )
    };
    let near = from(SMALL_RATIO, 0)?;
    if !near.at_floor.contains(&true) {
        return Ok(near);
    }
    match from(LARGE_RATIO, near.iterations) {
        Ok(mut far) => {
            let gain = far.point.log_likelihood - near.point.log_likelihood;
            let rounding = LIKELIHOOD_ROUNDING.sqrt() * near.point.log_likelihood.abs().max(1.0);
            if gain > rounding {
                Ok(far)
            } else {
                far.point = near.point;
                Ok(Maximum {
                    iterations: far.iterations,
                    point: far.point,
                    slopes: near.slopes,
                    at_floor: near.at_floor,
                })
            }
        }
        Err(MixedError::Cancelled) => Err(MixedError::Cancelled),
        Err(_) => Ok(near),
    }
}

fn finish(
    problem: Problem,
    fixed: Fit,
    best: Maximum,
    rows: MixedRowCounts,
) -> Result<MixedFit, MixedError> {
    let Maximum {
        point,
        slopes,
        at_floor,
        iterations,
    } = best;
    let point = if at_floor.contains(&true) {
        let ratios = point
            .ratios
            .iter()
            .zip(&at_floor)
            .map(|(&ratio, &zero)| if zero { 0.0 } else { ratio })
            .collect();
        problem
            .at(ratios)
            .ok_or(MixedError::NotConverged { iterations })?
    } else {
        point
    };
    let layout = &problem.layout;
    let width = layout.width();
    let inverse = point.system.factor.inverse(width);
    let predictions = predict(&problem, &point, &inverse);
    let unscaled_covariance = (layout.random..width)
        .flat_map(|row| &inverse[row * width + layout.random..(row + 1) * width])
        .copied()
        .collect();
    let parameter_covariance = covariance_of_parameters(
        &slopes,
        &at_floor,
        point.residual_variance,
        problem.spread_df,
    );
    Ok(MixedFit {
        coefficients: point.solution.beside[layout.random..].to_vec(),
        solution: point.solution,
        unscaled_covariance,
        residual_variance: point.residual_variance,
        spread_df: problem.spread_df,
        likelihood: problem.likelihood,
        parameter_covariance,
        predictions,
        excluded: fixed.excluded_rows().to_vec(),
        log_likelihood: point.log_likelihood,
        ratios: point.ratios,
        system: point.system,
        layout: problem.layout,
        cross: problem.cross,
        at_zero: at_floor,
        fixed,
        slopes,
        rows,
        iterations,
    })
}

/// Inverse of the observed information on (s, ratios above zero): with N the degrees of freedom of the
/// spread, N / (2 s s), a_k / (2 s), (2 A_kl - T_kl) / 2.
fn covariance_of_parameters(
    slopes: &Slopes,
    at_floor: &[bool],
    residual_variance: f64,
    spread_df: f64,
) -> Option<ParameterCovariance> {
    let above_zero: Vec<usize> = (0..at_floor.len()).filter(|&k| !at_floor[k]).collect();
    let order = above_zero.len() + 1;
    // The block of the ratios with the residual variance taken out is what the search steps by.
    let among = PositiveFactor::new(slopes.observed(&above_zero, spread_df), order - 1)
        .or_else(|| PositiveFactor::new(slopes.average(&above_zero, spread_df), order - 1))?
        .inverse(order - 1);
    // Bordering: the residual's row is minus (its coupling over its own information) times the block.
    let coupling: Vec<f64> = above_zero
        .iter()
        .map(|&k| slopes.squares[k] * residual_variance / spread_df)
        .collect();
    let mut matrix = vec![0.0; order * order];
    for row in 1..order {
        for column in 1..order {
            matrix[row * order + column] = among[(row - 1) * (order - 1) + column - 1];
        }
    }
    for row in 1..order {
        let with: f64 = (1..order)
            .map(|column| matrix[row * order + column] * coupling[column - 1])
            .sum();
        matrix[row * order] = -with;
        matrix[row] = -with;
    }
    let own: f64 = (1..order).map(|row| -matrix[row] * coupling[row - 1]).sum();
    matrix[0] = 2.0 * residual_variance * residual_variance / spread_df + own;
    Some(ParameterCovariance { above_zero, matrix })
}

impl MixedFit {
    /// How many rows were given and used, and what the others lacked.
    #[must_use]
    pub fn rows(&self) -> &MixedRowCounts {
        &self.rows
    }

    /// The rows left out, ascending.
    #[must_use]
    pub fn excluded_rows(&self) -> &[usize] {
        &self.excluded
    }

    /// The fixed part fitted to the same rows without the random factors.
    ///
    /// Ask it for columns, aliases, empty cells, and the functions of
    /// [`mean_function`](Fit::mean_function) and [`slope_function`](Fit::slope_function): those do not
    /// depend on the random factors. Its estimates and standard errors do, and are not those of this
    /// model.
    #[must_use]
    pub fn fixed_part(&self) -> &Fit {
        &self.fixed
    }

    /// Which likelihood the variances maximise.
    #[must_use]
    pub fn likelihood(&self) -> Likelihood {
        self.likelihood
    }

    /// Residual variance, in squared response units.
    #[must_use]
    pub fn residual_variance(&self) -> f64 {
        self.residual_variance
    }

    /// The random factors' variances, in the order they were given.
    #[must_use]
    pub fn components(&self) -> Vec<VarianceComponent> {
        (0..self.ratios.len())
            .map(|k| VarianceComponent {
                variance: self.ratios[k] * self.residual_variance,
                at_zero: self.at_zero[k],
                standard_error: self.variance_standard_error(k),
                levels_used: self.layout.levels[k].count(),
            })
            .collect()
    }

    /// With variance = ratio x s: (s, ratio) times their covariance times the same.
    fn variance_standard_error(&self, k: usize) -> Option<f64> {
        let known = self.parameter_covariance.as_ref()?;
        let order = known.above_zero.len() + 1;
        let at = known.above_zero.iter().position(|&other| other == k)? + 1;
        let (ratio, s) = (self.ratios[k], self.residual_variance);
        let variance = ratio * ratio * known.matrix[0]
            + 2.0 * ratio * s * known.matrix[at]
            + s * s * known.matrix[at * order + at];
        (variance > 0.0).then(|| variance.sqrt())
    }

    /// The log-likelihood at the variances found, constants included.
    ///
    /// The restricted one depends on how the fixed effects are coded: compare it only between models with
    /// the same fixed part on the same rows.
    #[must_use]
    pub fn log_likelihood(&self) -> f64 {
        self.log_likelihood
    }

    /// Steps that the search took.
    #[must_use]
    pub fn iterations(&self) -> usize {
        self.iterations
    }

    /// The predicted effect of every level of a random factor that the caller has, by level; `None` when
    /// there is no such factor.
    #[must_use]
    pub fn predictions(&self, random: RandomIndex) -> Option<&[Prediction]> {
        self.predictions.get(random.0).map(Vec::as_slice)
    }
}
