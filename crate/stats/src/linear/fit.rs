//! The fit itself.
//!
//! * **Enters:** data and terms.
//! * **Leaves:** a [`Fit`], which owns everything it needs: the rows may go away.
//! * **Always true:** coefficients of dropped columns are zero, residuals are taken from the rows, and
//!   the degrees of freedom are used rows less rank.
//! * **Never:** keeps the rows.

use super::design::{Alias, Column, Design, EmptyCell, RowCounts};
use super::error::FitError;
use super::term::{CovariateIndex, Data, FactorIndex, Term, TermIndex};
use crate::matrix::{SemidefiniteFactor, Symmetric};
use crate::sum::Sum;
use crate::tolerance::{ESTIMABLE, EXACT_FIT};

/// A fitted linear model.
#[derive(Debug, Clone)]
pub struct Fit {
    pub(super) design: Design,
    pub(super) crossproduct: Symmetric,
    /// Crossproducts of the columns with the centred response.
    pub(super) right: Vec<f64>,
    pub(super) factor: SemidefiniteFactor,
    /// One for each column, in the scale used inside, for the centred response; zero where dropped.
    pub(super) solution: Vec<f64>,
    residual_sum_of_squares: f64,
    total_sum_of_squares: f64,
}

/// What the fit says of one row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowResult {
    /// The value the model gives the row, in the response's units.
    pub fitted: f64,
    /// Response less fitted value.
    pub residual: f64,
    /// How much the row pulls its own fitted value, between 0 and 1 (the diagonal of the hat matrix).
    pub leverage: f64,
}

/// Fits a linear model with an intercept and the given terms by ordinary least squares.
///
/// Rows without the response, or without any factor or covariate that a term names, are left out and
/// counted. A model that the data cannot separate is fitted all the same; see [`Fit::aliases`].
///
/// Assumes independent rows with one residual variance. Work grows as rows x (terms squared) + terms x
/// (columns cubed).
///
/// # Errors
///
/// [`FitError`]: a slice of the wrong length, a code past its levels, an infinite value, a model that is
/// not hierarchical or too wide, or no usable row.
pub fn fit(data: &Data<'_>, terms: &[Term]) -> Result<Fit, FitError> {
    let design = Design::new(data, terms)?;
    let width = design.columns.len();
    let mut crossproduct = Symmetric::zero(width);
    let mut right = vec![0.0; width];
    let mut total = Sum::default();
    let mut entries = Vec::with_capacity(terms.len() + 1);
    for row in design.used_rows() {
        design.entries(data, row, &mut entries);
        let response = data.response[row] - design.response_mean;
        total.add(response * response);
        for (position, &(column, value)) in entries.iter().enumerate() {
            right[column] += value * response;
            for &(other, other_value) in &entries[position..] {
                crossproduct.add_upper(column, other, value * other_value);
            }
        }
    }
    // Baseline columns last, so that a column dropped among the others is confounded by the data and not
    // by the coding.
    let mut order: Vec<usize> = (0..width)
        .filter(|&column| !design.redundant[column])
        .collect();
    order.extend((0..width).filter(|&column| design.redundant[column]));
    let factor = SemidefiniteFactor::new(&crossproduct, &order);

    let mut fit = Fit {
        design,
        crossproduct,
        right,
        factor,
        solution: vec![0.0; width],
        residual_sum_of_squares: 0.0,
        total_sum_of_squares: total.total(),
    };
    fit.add_to_solution(&fit.right.clone());
    fit.correct_once(data);
    fit.sum_residuals(data);
    Ok(fit)
}

impl Fit {
    /// The independent columns, in the order in which they were found so.
    pub(crate) fn kept_columns(&self) -> &[usize] {
        &self.factor.kept
    }

    /// The rows that were used, ascending.
    pub(crate) fn used_rows(&self) -> impl Iterator<Item = usize> + '_ {
        self.design.used_rows()
    }

    /// The non-zero entries of a used row, as scaled inside.
    pub(crate) fn entries(&self, data: &Data<'_>, row: usize, out: &mut Vec<(usize, f64)>) {
        self.design.entries(data, row, out);
    }

    fn add_to_solution(&mut self, right: &[f64]) {
        let step = self.factor.solve(right);
        for (&column, change) in self.factor.kept.iter().zip(step) {
            self.solution[column] += change;
        }
    }

    /// One step of the corrected seminormal equations: solves for what the residuals still hold.
    fn correct_once(&mut self, data: &Data<'_>) {
        let mut right = vec![0.0; self.solution.len()];
        let mut entries = Vec::new();
        for row in self.design.used_rows() {
            self.design.entries(data, row, &mut entries);
            let residual = data.response[row] - self.design.response_mean - self.predict(&entries);
            for &(column, value) in &entries {
                right[column] += value * residual;
            }
        }
        self.add_to_solution(&right);
    }

    #[allow(clippy::cast_precision_loss)] // row counts are far below 2^53
    fn sum_residuals(&mut self, data: &Data<'_>) {
        let mut sum = Sum::default();
        let mut entries = Vec::new();
        for row in self.design.used_rows() {
            self.design.entries(data, row, &mut entries);
            let residual = data.response[row] - self.design.response_mean - self.predict(&entries);
            sum.add(residual * residual);
        }
        let rows = self.design.counts.used as f64;
        let size = self.design.response_mean.abs() + (self.total_sum_of_squares / rows).sqrt();
        let rounding = rows * (EXACT_FIT * size).powi(2);
        self.residual_sum_of_squares = if sum.total() <= rounding {
            0.0
        } else {
            sum.total()
        };
    }

    fn predict(&self, entries: &[(usize, f64)]) -> f64 {
        entries
            .iter()
            .map(|&(column, value)| value * self.solution[column])
            .sum()
    }

    /// How many rows were given and used, and what the others lacked.
    #[must_use]
    pub fn rows(&self) -> &RowCounts {
        &self.design.counts
    }

    /// The rows left out, ascending.
    #[must_use]
    pub fn excluded_rows(&self) -> &[usize] {
        &self.design.excluded
    }

    /// The number of independent columns, intercept included.
    #[must_use]
    pub fn rank(&self) -> usize {
        self.factor.kept.len()
    }

    /// Used rows less rank.
    #[must_use]
    pub fn residual_df(&self) -> usize {
        self.design.counts.used - self.rank()
    }

    /// Sum of squared residuals; exactly zero when what is left is rounding.
    #[must_use]
    pub fn residual_sum_of_squares(&self) -> f64 {
        self.residual_sum_of_squares
    }

    /// Sum of squares of the response about its mean, over the used rows.
    #[must_use]
    pub fn total_sum_of_squares(&self) -> f64 {
        self.total_sum_of_squares
    }

    /// Residual mean square; `None` with no residual degrees of freedom.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // row counts are far below 2^53
    pub fn residual_mean_square(&self) -> Option<f64> {
        match self.residual_df() {
            0 => None,
            df => Some(self.residual_sum_of_squares / df as f64),
        }
    }

    /// Residual standard deviation, in the response's units; `None` with no residual degrees of freedom.
    #[must_use]
    pub fn residual_standard_deviation(&self) -> Option<f64> {
        self.residual_mean_square().map(f64::sqrt)
    }

    /// Share of the response's sum of squares that the model explains; `None` when the response does not
    /// vary.
    #[must_use]
    pub fn r_squared(&self) -> Option<f64> {
        (self.total_sum_of_squares > 0.0)
            .then(|| 1.0 - self.residual_sum_of_squares / self.total_sum_of_squares)
    }

    /// Mean of the response over the used rows.
    #[must_use]
    pub fn response_mean(&self) -> f64 {
        self.design.response_mean
    }

    /// Mean of a covariate over the used rows: where least-squares means are taken. `None` when no term
    /// names it.
    #[must_use]
    pub fn covariate_mean(&self, covariate: CovariateIndex) -> Option<f64> {
        let named = self
            .design
            .terms
            .iter()
            .any(|term| term.covariate == Some(covariate));
        named.then(|| self.design.covariate_mean[covariate.0])
    }

    /// The columns of the design, intercept first, then term by term.
    #[must_use]
    pub fn columns(&self) -> &[Column] {
        &self.design.columns
    }

    /// One solution of the normal equations, one number for each of [`Fit::columns`], in the units of the
    /// response over those of the covariate. The intercept is at the covariates' means.
    ///
    /// Dropped columns are zero. By itself a coefficient has no meaning: use [`Fit::estimate`].
    #[must_use]
    pub fn coefficients(&self) -> Vec<f64> {
        let mut values: Vec<f64> = self
            .solution
            .iter()
            .enumerate()
            .map(|(column, value)| value / self.design.scale(column))
            .collect();
        values[0] += self.design.response_mean;
        values
    }

    /// What the data cannot tell apart, in the order of the model. Empty when every effect is separable.
    ///
    /// Of two confounded columns the one of the earlier term is kept, and the later one is listed here as
    /// equal to it.
    #[must_use]
    pub fn aliases(&self) -> Vec<Alias> {
        self.factor
            .dependent
            .iter()
            .filter(|dependent| !self.design.redundant[dependent.column])
            .map(|dependent| self.alias(dependent.column))
            .collect()
    }

    /// The combination of kept columns that a dependent column equals.
    pub(super) fn alias(&self, column: usize) -> Alias {
        let weights = self
            .factor
            .dependent
            .iter()
            .find(|dependent| dependent.column == column)
            .map_or(&[][..], |dependent| &dependent.weights);
        let unit = self.design.scale(column);
        let equals = self
            .factor
            .kept
            .iter()
            .zip(weights)
            .filter(|(_, weight)| weight.abs() > ESTIMABLE)
            .map(|(&kept, &weight)| (kept, weight * unit / self.design.scale(kept)))
            .collect();
        Alias { column, equals }
    }

    /// The terms whose effects an alias mixes: its own first, then those of what it equals, each once.
    /// The intercept is no term and is not listed.
    #[must_use]
    pub fn confounded_terms(&self, alias: &Alias) -> Vec<TermIndex> {
        let mut terms = Vec::new();
        let mixed = alias.equals.iter().map(|&(column, _)| column);
        for column in std::iter::once(alias.column).chain(mixed) {
            if let Some(term) = self.design.columns[column].term
                && !terms.contains(&term)
            {
                terms.push(term);
            }
        }
        terms
    }

    /// The combinations of levels that a term asks about and no used row holds.
    #[must_use]
    pub fn empty_cells(&self, term: TermIndex) -> Vec<EmptyCell> {
        if term.0 < self.design.terms.len() {
            self.design.empty_cells(term.0)
        } else {
            Vec::new()
        }
    }

    /// The levels of a factor that used rows have, ascending. Empty when no term names the factor.
    #[must_use]
    pub fn present_levels(&self, factor: FactorIndex) -> Vec<u32> {
        if factor.0 < self.design.rows_of_level.len() {
            self.design.present(factor)
        } else {
            Vec::new()
        }
    }

    /// Fitted value, residual and leverage of one row of the data that was fitted; `None` when the row
    /// was left out.
    ///
    /// `data` must be the data given to [`fit`]; with other data of the same length the answer is about
    /// nothing.
    #[must_use]
    pub fn row(&self, data: &Data<'_>, row: usize) -> Option<RowResult> {
        if row >= self.design.counts.given || self.design.excluded.binary_search(&row).is_ok() {
            return None;
        }
        let mut entries = Vec::new();
        self.design.entries(data, row, &mut entries);
        let fitted = self.design.response_mean + self.predict(&entries);
        let mut weights = vec![0.0; self.solution.len()];
        for &(column, value) in &entries {
            weights[column] += value;
        }
        let leverage = self.variance_factor(&weights);
        Some(RowResult {
            fitted,
            residual: data.response[row] - fitted,
            leverage,
        })
    }

    /// Variance of a linear function over the residual variance; `weights` in the scale used inside.
    pub(super) fn variance_factor(&self, weights: &[f64]) -> f64 {
        let mut values: Vec<f64> = self
            .factor
            .kept
            .iter()
            .map(|&column| weights[column])
            .collect();
        self.factor.solve_lower(&mut values);
        values.iter().map(|value| value * value).sum()
    }
}
