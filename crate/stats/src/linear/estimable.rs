//! Linear functions of the coefficients: whether the data determine them, and what they come to.
//!
//! * **Enters:** a fit and weights on its columns.
//! * **Leaves:** an estimate with its spread, or the columns that stand in the way.
//! * **Always true:** the answer is the same for every solution of the normal equations, for every order
//!   of terms, levels and rows.
//! * **Never:** gives a number for a function that is not estimable.

use std::collections::BTreeMap;

use super::design::{Alias, EmptyCell};
use super::fit::Fit;
use super::term::{CovariateIndex, TermIndex};
use crate::distribution::{ConfidenceLevel, StudentT};
use crate::tolerance::ESTIMABLE;

/// Weights on the columns of one fit. Covariate columns count from the covariate's mean, in its own units.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearFunction {
    pub(super) weights: Vec<f64>,
    /// Weights on cells that no row holds, by term and cell: they must cancel.
    pub(super) absent: BTreeMap<(usize, usize), f64>,
}

impl LinearFunction {
    /// Adds to the weight of a column of [`Fit::columns`].
    ///
    /// # Panics
    ///
    /// When the fit that made this function has no such column.
    pub fn add(&mut self, column: usize, weight: f64) {
        self.weights[column] += weight;
    }

    /// The weights, one for each of [`Fit::columns`].
    #[must_use]
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// This function less another of the same fit.
    ///
    /// # Panics
    ///
    /// When the two come from fits of different width.
    #[must_use]
    pub fn minus(&self, other: &LinearFunction) -> LinearFunction {
        assert_eq!(
            self.weights.len(),
            other.weights.len(),
            "functions of different fits"
        );
        let mut difference = self.clone();
        for (weight, taken) in difference.weights.iter_mut().zip(&other.weights) {
            *weight -= taken;
        }
        for (&cell, &taken) in &other.absent {
            *difference.absent.entry(cell).or_insert(0.0) -= taken;
        }
        difference
    }

    fn largest(&self) -> f64 {
        self.weights
            .iter()
            .fold(0.0, |largest, weight| weight.abs().max(largest))
    }
}

/// Why a linear function has no estimate.
#[derive(Debug, Clone, PartialEq)]
pub enum NotEstimable {
    /// It needs combinations of levels that no used row holds.
    EmptyCells(Vec<EmptyCell>),
    /// It needs effects told apart that the data do not tell apart. The same shape as
    /// [`Fit::aliases`]; never empty.
    Confounded(Vec<Alias>),
}

/// An estimable function's value and, where there is residual spread to judge by, its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The estimate, in the response's units (over the covariate's for a slope).
    pub value: f64,
    /// `None` when no residual degrees of freedom are left, when the fit is exact, or when the function
    /// is zero: there is nothing to judge the value by.
    pub uncertainty: Option<Uncertainty>,
}

/// How sure an estimate is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertainty {
    /// Standard error, in the estimate's units.
    pub standard_error: f64,
    /// Degrees of freedom of the residual it rests on.
    pub df: f64,
    /// Estimate over standard error.
    pub t: f64,
    /// Two-sided probability of a t at least this far from zero, were the true value zero.
    pub p: f64,
    /// Lower end of the interval at the level asked for.
    pub lower: f64,
    /// Upper end of the interval.
    pub upper: f64,
}

impl Uncertainty {
    /// Of an estimate whose error over its standard error follows Student's t with `df` degrees of freedom,
    /// which `distribution` is.
    pub(crate) fn of(
        value: f64,
        standard_error: f64,
        df: f64,
        distribution: &StudentT,
        level: ConfidenceLevel,
    ) -> Uncertainty {
        let t = value / standard_error;
        let reach = distribution.two_sided_quantile(level) * standard_error;
        Uncertainty {
            standard_error,
            df,
            t,
            p: distribution.two_sided_tail(t),
            lower: value - reach,
            upper: value + reach,
        }
    }
}

impl Fit {
    /// A linear function with every weight zero, to add to.
    #[must_use]
    pub fn empty_function(&self) -> LinearFunction {
        LinearFunction {
            weights: vec![0.0; self.design.columns.len()],
            absent: BTreeMap::new(),
        }
    }

    /// The slope on a covariate: with [`Term::Slopes`](super::Term::Slopes) in the model, the equally
    /// weighted mean of the slopes of the levels that occur. `None` when the model has no
    /// [`Term::Covariate`](super::Term::Covariate) for it.
    #[must_use]
    pub fn slope_function(&self, covariate: CovariateIndex) -> Option<LinearFunction> {
        let main = self
            .design
            .terms
            .iter()
            .position(|term| term.covariate == Some(covariate) && term.factors.is_empty())?;
        let mut function = self.empty_function();
        function.add(self.design.terms[main].column_of_cell[0] as usize, 1.0);
        for term in &self.design.terms {
            if term.covariate == Some(covariate) && !term.factors.is_empty() {
                let columns: Vec<u32> = (0..term.rows_of_cell.len())
                    .filter(|&cell| term.rows_of_cell[cell] > 0)
                    .map(|cell| term.column_of_cell[cell])
                    .collect();
                #[allow(clippy::cast_precision_loss)] // columns are at most thousands
                let weight = 1.0 / columns.len() as f64;
                for column in columns {
                    function.add(column as usize, weight);
                }
            }
        }
        Some(function)
    }

    /// Estimates a linear function of the coefficients.
    ///
    /// With L the weights, b a solution and G a generalised inverse of X'X: value L'b, variance L'G L s2,
    /// s2 the residual mean square, t on the residual degrees of freedom (Searle 1971, Linear Models,
    /// section 5.4). L is estimable when, for each dependent column of X, its weight is the same
    /// combination of the kept columns' weights as the column is of the kept columns.
    ///
    /// # Errors
    ///
    /// [`NotEstimable`] when the data do not determine the function.
    ///
    /// # Panics
    ///
    /// When the function was made by a fit of another width.
    pub fn estimate(
        &self,
        function: &LinearFunction,
        level: ConfidenceLevel,
    ) -> Result<Estimate, NotEstimable> {
        let weights = self.checked_weights(function)?;
        let value = weights[0] * self.design.response_mean
            + weights
                .iter()
                .zip(&self.solution)
                .map(|(weight, value)| weight * value)
                .sum::<f64>();
        let uncertainty = self
            .residual_mean_square()
            .map(|mean_square| (self.variance_factor(&weights) * mean_square).sqrt())
            .filter(|&standard_error| standard_error > 0.0)
            .map(|standard_error| self.uncertainty(value, standard_error, level));
        Ok(Estimate { value, uncertainty })
    }

    /// The weights of a function on the columns as scaled inside, once it is known to be estimable.
    ///
    /// Whether it is depends on the columns alone, so the answer serves every model with these columns.
    pub(crate) fn checked_weights(
        &self,
        function: &LinearFunction,
    ) -> Result<Vec<f64>, NotEstimable> {
        assert_eq!(
            function.weights.len(),
            self.solution.len(),
            "a function of another fit"
        );
        self.check_cells(function)?;
        // Inside, covariates are in units of their spread, and so are their weights.
        let weights: Vec<f64> = function
            .weights
            .iter()
            .enumerate()
            .map(|(column, weight)| weight / self.design.scale(column))
            .collect();
        self.check_dependence(&weights)?;
        Ok(weights)
    }

    #[allow(clippy::cast_precision_loss)] // row counts are far below 2^53
    fn uncertainty(&self, value: f64, standard_error: f64, level: ConfidenceLevel) -> Uncertainty {
        let df = self.residual_df() as f64;
        let distribution =
            StudentT::new(df).expect("residual degrees of freedom are at least one here");
        Uncertainty::of(value, standard_error, df, &distribution, level)
    }

    fn check_cells(&self, function: &LinearFunction) -> Result<(), NotEstimable> {
        let limit = ESTIMABLE * function.largest().max(1.0);
        let cells: Vec<EmptyCell> = function
            .absent
            .iter()
            .filter(|(_, weight)| weight.abs() > limit)
            .map(|(&(term, cell), _)| EmptyCell {
                term: TermIndex(term),
                levels: self.design.terms[term].labels(cell),
            })
            .collect();
        if cells.is_empty() {
            Ok(())
        } else {
            Err(NotEstimable::EmptyCells(cells))
        }
    }

    fn check_dependence(&self, weights: &[f64]) -> Result<(), NotEstimable> {
        let largest = weights
            .iter()
            .fold(0.0_f64, |largest, weight| weight.abs().max(largest));
        let mut broken = Vec::new();
        for dependent in &self.factor.dependent {
            let implied: f64 = self
                .factor
                .kept
                .iter()
                .zip(&dependent.weights)
                .map(|(&kept, &weight)| weight * weights[kept])
                .sum();
            if (weights[dependent.column] - implied).abs() > ESTIMABLE * largest {
                broken.push(dependent.column);
            }
        }
        if broken.is_empty() {
            return Ok(());
        }
        // Baseline columns break along with the others; they are worth naming only when alone.
        let by_data = broken.iter().any(|&column| !self.design.redundant[column]);
        broken.retain(|&column| !by_data || !self.design.redundant[column]);
        Err(NotEstimable::Confounded(
            broken
                .into_iter()
                .map(|column| self.alias(column))
                .collect(),
        ))
    }
}
