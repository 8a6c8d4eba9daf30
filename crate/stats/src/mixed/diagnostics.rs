//! The rows seen from the fit: what is left of each, and what hangs on it.
//!
//! * **Enters:** a fit, and the data it was made from.
//! * **Leaves:** for each used row its fitted value and residual, and how far an estimate would move
//!   without it.
//! * **Always true:** leaving a row out is worked out exactly, at the variances of the whole.
//! * **Never:** calls a row wrong.
//!
//! With P_H as in `system` and e = P_H y the residuals, e_i has variance s P_ii, and the estimate l'b
//! without row i is `l'b - (l'C X'H^-1)_i e_i / P_ii` (Christensen, Pearson and Johnson 1992, Technometrics
//! 34:38-45, at given variances).

use super::fit::MixedFit;
use super::inference::on_kept;
use super::random::RandomFactor;
use super::rows::{Columns, Rows};
use crate::linear::{Data, LinearFunction, NotEstimable};
use crate::tolerance::DEPENDENT_COLUMN;

/// One used row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MixedRow {
    /// Its place in the data.
    pub row: usize,
    /// What the fixed part and its random levels give it, in response units.
    pub fitted: f64,
    /// Response less fitted value.
    pub residual: f64,
    /// Residual over its own standard deviation; `None` when the row is fitted exactly whatever its
    /// response.
    pub standardised: Option<f64>,
}

/// The used rows of a fit, ready to be asked.
pub struct Diagnostics<'a> {
    fit: &'a MixedFit,
    rows: Rows,
    used: Vec<usize>,
    residuals: Vec<f64>,
    /// P_ii.
    own: Vec<f64>,
    mean: f64,
}

impl MixedFit {
    /// Looks at the rows again. `data` and `random` must be those that were fitted; with others of the same
    /// shape the answer is about nothing.
    ///
    /// Costs one inverse of the dense part, and for each row the square of the columns that its absorbed
    /// level meets.
    ///
    /// # Panics
    ///
    /// When the data have another shape than those that were fitted.
    #[must_use]
    pub fn diagnostics(&self, data: &Data<'_>, random: &[RandomFactor<'_>]) -> Diagnostics<'_> {
        let used: Vec<usize> = self.fixed.used_rows().collect();
        let rows = Rows::new(data, &self.fixed, random, &used, &self.layout);
        let residuals = rows.residuals(&self.solution);
        let inverse = self.system.factor.inverse(self.layout.width());
        let own = (0..rows.count())
            .map(|row| self.own_share(&rows, row, &inverse))
            .collect();
        Diagnostics {
            fit: self,
            rows,
            used,
            residuals,
            own,
            mean: self.fixed.response_mean(),
        }
    }

    /// P_ii = 1 - t'M^-1 t for the row t of the scaled design.
    fn own_share(&self, rows: &Rows, row: usize, inverse: &[f64]) -> f64 {
        let width = self.layout.width();
        let system = &self.system;
        let mut reduced: Vec<(usize, f64)> = rows.entries(row).collect();
        let mut share = 1.0;
        if let Some(&level) = rows.absorbed.get(row) {
            let level = level as usize;
            let taken = system.absorbed_ratio / system.divisors[level];
            share -= taken;
            let (columns, values) = self.cross.level(level);
            for (&column, value) in columns.iter().zip(values) {
                // The row's own columns are among its level's.
                let column = column as usize;
                match reduced.iter_mut().find(|(other, _)| *other == column) {
                    Some((_, sum)) => *sum -= taken * value,
                    None => reduced.push((column, -taken * value)),
                }
            }
        }
        for (column, value) in &mut reduced {
            *value *= system.scales[*column];
        }
        let explained: f64 = reduced
            .iter()
            .map(|&(column, value)| {
                let line = &inverse[column * width..(column + 1) * width];
                let inner: f64 = reduced.iter().map(|&(other, v)| line[other] * v).sum();
                value * inner
            })
            .sum();
        share - explained
    }
}

impl Diagnostics<'_> {
    /// Every used row, ascending.
    #[must_use]
    pub fn rows(&self) -> Vec<MixedRow> {
        self.used
            .iter()
            .enumerate()
            .map(|(at, &row)| {
                let residual = self.residuals[at];
                let spread = (self.own[at] * self.fit.residual_variance).sqrt();
                MixedRow {
                    row,
                    fitted: self.mean + self.rows.response[at] - residual,
                    residual,
                    standardised: (self.own[at] > DEPENDENT_COLUMN).then(|| residual / spread),
                }
            })
            .collect()
    }

    /// How far the estimate of a function would move were each used row left out, variances unchanged: the
    /// estimate without the row less the one with it, in the function's units, in the order of
    /// [`rows`](Diagnostics::rows). `None` for a row that alone carries a part of the fixed effects.
    ///
    /// # Errors
    ///
    /// [`NotEstimable`] when the data do not determine the function.
    ///
    /// # Panics
    ///
    /// When the function was made by a fit of another width.
    pub fn moves_without(
        &self,
        function: &LinearFunction,
    ) -> Result<Vec<Option<f64>>, NotEstimable> {
        let fit = self.fit;
        let (_, weights) = on_kept(&fit.fixed, function)?;
        let turned = super::curvature::times(&fit.unscaled_covariance, &weights);
        let mut only = Columns::zero(&fit.layout);
        only.beside[fit.layout.random..].copy_from_slice(&turned);
        let right = fit.cross.times(&only);
        // v - Z x = H^-1 v for v = X C l, so a row's share is its entries times (C l less x).
        let mut shares = fit.system.solve(&fit.cross, &right, false);
        for value in shares.absorbed.iter_mut().chain(&mut shares.beside) {
            *value = -*value;
        }
        for (value, more) in shares.beside.iter_mut().zip(&only.beside) {
            *value += more;
        }
        Ok((0..self.rows.count())
            .map(|row| {
                let absorbed = self
                    .rows
                    .absorbed
                    .get(row)
                    .map_or(0.0, |&level| shares.absorbed[level as usize]);
                let beside: f64 = self
                    .rows
                    .entries(row)
                    .map(|(column, entry)| entry * shares.beside[column])
                    .sum();
                (self.own[row] > DEPENDENT_COLUMN)
                    .then(|| -(absorbed + beside) * self.residuals[row] / self.own[row])
            })
            .collect())
    }
}
