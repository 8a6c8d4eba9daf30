//! What the fixed effects come to, and how surely.
//!
//! * **Enters:** a fit, and linear functions of its fixed part.
//! * **Leaves:** estimates with standard errors and degrees of freedom, F tests, least-squares means and
//!   their differences.
//! * **Always true:** a function that the data do not determine is refused, by the same rule and in the
//!   same words as without random factors.
//! * **Never:** adjusts p for many comparisons: see [`multiple`](crate::multiple).

use std::fmt;

use super::fit::MixedFit;
use super::kenward_roger::KenwardRoger;
use super::likelihood::Likelihood;
use super::satterthwaite::Satterthwaite;
use crate::distribution::{ConfidenceLevel, FDistribution, StudentT};
use crate::linear::{
    CellMean, Difference, Estimate, FTest, FactorIndex, Fit, LinearFunction, Margins, MeansError,
    NotEstimable, TermIndex, Uncertainty,
};
use crate::matrix::dot;

/// How degrees of freedom and standard errors are had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Approximation {
    /// Standard errors as if the variances were known; degrees of freedom by how surely they are. Errs
    /// towards too small a standard error where levels are few.
    Satterthwaite,
    /// Standard errors that allow for the variances being estimated, with degrees of freedom to match.
    KenwardRoger,
}

/// Why an approximation cannot be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InferenceError {
    /// Kenward and Roger's covariance is made for the restricted likelihood only.
    NeedsRestrictedLikelihood,
    /// The information on the variances is singular: the likelihood is too flat.
    FlatLikelihood,
}

impl fmt::Display for InferenceError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            InferenceError::NeedsRestrictedLikelihood => {
                "Kenward and Roger's method needs a fit by restricted likelihood"
            }
            InferenceError::FlatLikelihood => {
                "the likelihood is too flat to tell how surely the variances are known"
            }
        })
    }
}

impl std::error::Error for InferenceError {}

/// The partial (type III) test of a term.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MixedTest {
    /// The term.
    pub term: TermIndex,
    /// Independent contrasts of the term that no other term can explain.
    pub df: usize,
    /// What `df` would be with every cell filled and nothing confounded.
    pub full_df: usize,
    /// The test; `None` when `df` is zero or the degrees of freedom cannot be had.
    pub test: Option<FTest>,
}

/// Answers about the fixed effects of one fit by one approximation.
pub struct Inference<'a> {
    fit: &'a MixedFit,
    method: Method,
}

enum Method {
    Satterthwaite(Satterthwaite),
    KenwardRoger(KenwardRoger),
}

impl MixedFit {
    /// Prepares answers about the fixed effects.
    ///
    /// Satterthwaite's costs little at any size. Kenward and Roger's costs about (fixed columns squared) x
    /// (random levels) x (random factors) on top, and is exact at any size too.
    ///
    /// # Errors
    ///
    /// [`InferenceError`] when the approximation cannot be had for this fit.
    pub fn inference(&self, approximation: Approximation) -> Result<Inference<'_>, InferenceError> {
        let method = match approximation {
            Approximation::Satterthwaite => {
                if self.parameter_covariance.is_none() {
                    return Err(InferenceError::FlatLikelihood);
                }
                Method::Satterthwaite(Satterthwaite::new(self))
            }
            Approximation::KenwardRoger => {
                if self.likelihood() != Likelihood::Restricted {
                    return Err(InferenceError::NeedsRestrictedLikelihood);
                }
                Method::KenwardRoger(KenwardRoger::new(self).ok_or(InferenceError::FlatLikelihood)?)
            }
        };
        Ok(Inference { fit: self, method })
    }
}

impl Inference<'_> {
    /// Which approximation this is.
    #[must_use]
    pub fn approximation(&self) -> Approximation {
        match self.method {
            Method::Satterthwaite(_) => Approximation::Satterthwaite,
            Method::KenwardRoger(_) => Approximation::KenwardRoger,
        }
    }

    /// Estimates a linear function of the fixed effects, made by
    /// [`fixed_part`](MixedFit::fixed_part)'s methods.
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
        let (centre, weights) = self.weights(function)?;
        let value = centre + dot(&weights, &self.fit.coefficients);
        let variance = self.bilinear(&weights, &weights);
        let uncertainty = self
            .df(&weights)
            .filter(|_| variance > 0.0)
            .and_then(|df| {
                StudentT::new(df)
                    .ok()
                    .map(|distribution| (df, distribution))
            })
            .map(|(df, distribution)| {
                Uncertainty::of(value, variance.sqrt(), df, &distribution, level)
            });
        Ok(Estimate { value, uncertainty })
    }

    /// Covariance of the estimates of two linear functions, in squared response units: what adjustments
    /// for several comparisons with one level rest on.
    ///
    /// # Errors
    ///
    /// [`NotEstimable`] when the data do not determine one of them.
    ///
    /// # Panics
    ///
    /// When a function was made by a fit of another width.
    pub fn covariance(
        &self,
        one: &LinearFunction,
        other: &LinearFunction,
    ) -> Result<f64, NotEstimable> {
        let (_, one) = self.weights(one)?;
        let (_, other) = self.weights(other)?;
        Ok(self.bilinear(&one, &other))
    }

    /// Correlations of the estimates of linear functions, as full rows: what
    /// [`against_one`](crate::multiple::against_one) asks for.
    ///
    /// # Errors
    ///
    /// [`NotEstimable`] when the data do not determine one of them.
    ///
    /// # Panics
    ///
    /// When a function was made by a fit of another width.
    pub fn correlations(&self, functions: &[LinearFunction]) -> Result<Vec<f64>, NotEstimable> {
        let mut rows = Vec::with_capacity(functions.len());
        for function in functions {
            let weights = self.weights(function)?.1;
            let spread = self.bilinear(&weights, &weights).max(0.0).sqrt();
            rows.push((weights, spread));
        }
        let mut correlations = Vec::with_capacity(rows.len() * rows.len());
        for (at, (one, spread)) in rows.iter().enumerate() {
            for (other_at, (other, other_spread)) in rows.iter().enumerate() {
                let product = spread * other_spread;
                correlations.push(if at == other_at || product == 0.0 {
                    f64::from(u8::from(at == other_at))
                } else {
                    (self.bilinear(one, other) / product).clamp(-1.0, 1.0)
                });
            }
        }
        Ok(correlations)
    }

    /// Tests that all the given functions are zero at once. Functions that depend on each other count
    /// once. `None` when none is left or the degrees of freedom cannot be had.
    ///
    /// # Errors
    ///
    /// [`NotEstimable`] when the data do not determine one of them.
    ///
    /// # Panics
    ///
    /// When a function was made by a fit of another width.
    pub fn test(&self, functions: &[LinearFunction]) -> Result<Option<FTest>, NotEstimable> {
        let mut rows = Vec::with_capacity(functions.len());
        for function in functions {
            rows.push(self.weights(function)?.1);
        }
        Ok(self.f_test(&rows))
    }

    /// Partial (type III) tests of the terms, in the order of the model: the same hypotheses as
    /// [`Fit::partial_tests`](crate::linear::Fit::partial_tests) tests without random factors.
    #[must_use]
    pub fn partial_tests(&self) -> Vec<MixedTest> {
        self.fit
            .fixed
            .hypotheses()
            .into_iter()
            .map(|hypothesis| MixedTest {
                term: hypothesis.term,
                df: hypothesis.rows.len(),
                full_df: hypothesis.full_df,
                test: self.f_test(&hypothesis.rows),
            })
            .collect()
    }

    /// Least-squares means: as [`Fit::means`](crate::linear::Fit::means), judged by this model.
    ///
    /// # Errors
    ///
    /// [`MeansError`] when the request makes no sense for this model.
    pub fn means(
        &self,
        factors: &[FactorIndex],
        margins: Margins,
        level: ConfidenceLevel,
    ) -> Result<Vec<CellMean>, MeansError> {
        let mut means = self.fit.fixed.means(factors, margins, level)?;
        for mean in &mut means {
            mean.estimate = self.estimate(&mean.function, level);
        }
        Ok(means)
    }

    /// Every pairwise difference of the given means, each earlier one less each later one.
    ///
    /// # Panics
    ///
    /// When the means come from a fit of another width.
    #[must_use]
    pub fn differences(&self, means: &[CellMean], level: ConfidenceLevel) -> Vec<Difference> {
        let mut differences = self.fit.fixed.differences(means, level);
        for difference in &mut differences {
            let function = means[difference.first]
                .function
                .minus(&means[difference.second].function);
            difference.estimate = self.estimate(&function, level);
        }
        differences
    }

    fn weights(&self, function: &LinearFunction) -> Result<(f64, Vec<f64>), NotEstimable> {
        on_kept(&self.fit.fixed, function)
    }

    fn bilinear(&self, one: &[f64], other: &[f64]) -> f64 {
        match &self.method {
            Method::Satterthwaite(_) => {
                self.fit.residual_variance
                    * super::curvature::form(one, &self.fit.unscaled_covariance, other)
            }
            Method::KenwardRoger(method) => super::curvature::form(one, &method.covariance, other),
        }
    }

    fn df(&self, weights: &[f64]) -> Option<f64> {
        match &self.method {
            Method::Satterthwaite(method) => method.df(self.fit, weights),
            Method::KenwardRoger(method) => method.df(self.fit, weights),
        }
    }

    fn f_test(&self, rows: &[Vec<f64>]) -> Option<FTest> {
        let (f, numerator_df, denominator_df) = match &self.method {
            Method::Satterthwaite(method) => method.ratio(self.fit, rows),
            Method::KenwardRoger(method) => method.ratio(self.fit, rows),
        }?;
        let distribution = FDistribution::new(numerator_df, denominator_df).ok()?;
        Some(FTest {
            f,
            numerator_df,
            denominator_df,
            p: distribution.upper_tail(f),
        })
    }
}

/// The response's mean in a function, and its weights on the kept columns.
pub(super) fn on_kept(
    fixed: &Fit,
    function: &LinearFunction,
) -> Result<(f64, Vec<f64>), NotEstimable> {
    let weights = fixed.checked_weights(function)?;
    Ok((
        weights[0] * fixed.response_mean(),
        fixed
            .kept_columns()
            .iter()
            .map(|&column| weights[column])
            .collect(),
    ))
}
