//! Student's t, F, normal and chi-square. The only user of statrs.
//!
//! * **Enters:** degrees of freedom, a value or a probability.
//! * **Leaves:** lower and upper tail probabilities and quantiles.
//! * **Always true:** tails are computed as tails, never as one minus the other side, so that a small p
//!   keeps its digits. `quantile(p)` and `cdf` undo each other to about 1e-12.
//! * **Never:** returns `NaN` for a checked distribution and a finite or infinite value; a value that is
//!   itself `NaN` gives `NaN`.

use std::fmt;

use statrs::distribution::{ChiSquared, Continuous, ContinuousCDF, FisherSnedecor, StudentsT};

use crate::tolerance::QUANTILE_STEP;

/// Why a distribution or a quantile could not be had.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DistributionError {
    /// Degrees of freedom must be above zero and finite.
    DegreesOfFreedom(f64),
    /// A probability must lie strictly between zero and one.
    Probability(f64),
}

impl fmt::Display for DistributionError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            DistributionError::DegreesOfFreedom(df) => {
                write!(
                    out,
                    "degrees of freedom must be above zero and finite, not {df}"
                )
            }
            DistributionError::Probability(p) => {
                write!(out, "a probability must lie between zero and one, not {p}")
            }
        }
    }
}

impl std::error::Error for DistributionError {}

/// How often, in the long run, an interval is to hold the true value: strictly between zero and one.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct ConfidenceLevel(f64);

impl ConfidenceLevel {
    /// 95 in 100, the usual choice.
    pub const NINETY_FIVE: ConfidenceLevel = ConfidenceLevel(0.95);

    /// A level such as 0.95.
    ///
    /// # Errors
    ///
    /// [`DistributionError::Probability`] unless strictly between zero and one.
    pub fn new(level: f64) -> Result<Self, DistributionError> {
        probability(level).map(ConfidenceLevel)
    }

    /// The level as a fraction.
    #[must_use]
    pub fn fraction(self) -> f64 {
        self.0
    }

    /// The probability beyond one end of a two-sided interval.
    fn tail(self) -> f64 {
        (1.0 - self.0) / 2.0
    }
}

/// Student's t distribution.
#[derive(Debug, Clone, Copy)]
pub struct StudentT {
    inner: StudentsT,
}

impl StudentT {
    /// With `df` degrees of freedom, whole or not.
    ///
    /// # Errors
    ///
    /// [`DistributionError::DegreesOfFreedom`] unless above zero and finite.
    pub fn new(df: f64) -> Result<Self, DistributionError> {
        let df = degrees_of_freedom(df)?;
        let inner =
            StudentsT::new(0.0, 1.0, df).map_err(|_| DistributionError::DegreesOfFreedom(df))?;
        Ok(StudentT { inner })
    }

    /// Probability of a value at most `t`.
    #[must_use]
    pub fn cdf(&self, t: f64) -> f64 {
        self.upper_tail(-t)
    }

    /// Probability of a value above `t`.
    #[must_use]
    pub fn upper_tail(&self, t: f64) -> f64 {
        self.inner.sf(t)
    }

    /// Probability of a value at least as far from zero as `t`.
    #[must_use]
    pub fn two_sided_tail(&self, t: f64) -> f64 {
        (2.0 * self.upper_tail(t.abs())).min(1.0)
    }

    /// The value with probability `p` below it.
    ///
    /// # Errors
    ///
    /// [`DistributionError::Probability`] unless strictly between zero and one.
    pub fn quantile(&self, p: f64) -> Result<f64, DistributionError> {
        let p = probability(p)?;
        if p == 0.5 {
            return Ok(0.0);
        }
        let upper = self.upper_quantile(p.min(1.0 - p));
        Ok(if p < 0.5 { -upper } else { upper })
    }

    /// The value that t stays within, on both sides of zero, with the probability of the level: the
    /// multiplier of a standard error.
    #[must_use]
    pub fn two_sided_quantile(&self, level: ConfidenceLevel) -> f64 {
        self.upper_quantile(level.tail())
    }

    fn upper_quantile(&self, tail: f64) -> f64 {
        let start = -self.inner.inverse_cdf(tail);
        polish(start, tail, |t| self.inner.sf(t), |t| self.inner.pdf(t))
    }
}

/// The F distribution.
#[derive(Debug, Clone, Copy)]
pub struct FDistribution {
    inner: FisherSnedecor,
}

impl FDistribution {
    /// With the degrees of freedom of numerator and denominator.
    ///
    /// # Errors
    ///
    /// [`DistributionError::DegreesOfFreedom`] unless both are above zero and finite.
    pub fn new(numerator_df: f64, denominator_df: f64) -> Result<Self, DistributionError> {
        let numerator_df = degrees_of_freedom(numerator_df)?;
        let denominator_df = degrees_of_freedom(denominator_df)?;
        let inner = FisherSnedecor::new(numerator_df, denominator_df)
            .map_err(|_| DistributionError::DegreesOfFreedom(denominator_df))?;
        Ok(FDistribution { inner })
    }

    /// Probability of a value at most `f`; zero for negative values.
    #[must_use]
    pub fn cdf(&self, f: f64) -> f64 {
        if f <= 0.0 { 0.0 } else { self.inner.cdf(f) }
    }

    /// Probability of a value above `f`; one for negative values.
    #[must_use]
    pub fn upper_tail(&self, f: f64) -> f64 {
        if f <= 0.0 { 1.0 } else { self.inner.sf(f) }
    }

    /// The value with probability `p` below it.
    ///
    /// # Errors
    ///
    /// [`DistributionError::Probability`] unless strictly between zero and one.
    pub fn quantile(&self, p: f64) -> Result<f64, DistributionError> {
        let p = probability(p)?;
        let start = self.inner.inverse_cdf(p);
        Ok(polish(
            start,
            1.0 - p,
            |f| self.inner.sf(f),
            |f| self.inner.pdf(f),
        ))
    }
}

/// The standard normal distribution: mean zero, standard deviation one.
#[derive(Debug, Clone, Copy)]
pub struct Normal;

impl Normal {
    /// Probability of a value at most `z`.
    #[must_use]
    pub fn cdf(z: f64) -> f64 {
        Self::upper_tail(-z)
    }

    /// Probability of a value above `z`.
    #[must_use]
    pub fn upper_tail(z: f64) -> f64 {
        0.5 * libm::erfc(z / std::f64::consts::SQRT_2)
    }

    /// The value with probability `p` below it.
    ///
    /// # Errors
    ///
    /// [`DistributionError::Probability`] unless strictly between zero and one.
    pub fn quantile(p: f64) -> Result<f64, DistributionError> {
        let p = probability(p)?;
        let tail = p.min(1.0 - p);
        let start = std::f64::consts::SQRT_2 * statrs::function::erf::erfc_inv(2.0 * tail);
        let density = |z: f64| libm::exp(-0.5 * z * z) / (2.0 * std::f64::consts::PI).sqrt();
        let upper = polish(start, tail, Self::upper_tail, density);
        Ok(if p < 0.5 { -upper } else { upper })
    }
}

/// The chi-square distribution.
#[derive(Debug, Clone, Copy)]
pub struct ChiSquare {
    inner: ChiSquared,
}

impl ChiSquare {
    /// With `df` degrees of freedom.
    ///
    /// # Errors
    ///
    /// [`DistributionError::DegreesOfFreedom`] unless above zero and finite.
    pub fn new(df: f64) -> Result<Self, DistributionError> {
        let df = degrees_of_freedom(df)?;
        let inner = ChiSquared::new(df).map_err(|_| DistributionError::DegreesOfFreedom(df))?;
        Ok(ChiSquare { inner })
    }

    /// Probability of a value at most `x`; zero for negative values.
    #[must_use]
    pub fn cdf(&self, x: f64) -> f64 {
        if x <= 0.0 { 0.0 } else { self.inner.cdf(x) }
    }

    /// Probability of a value above `x`; one for negative values.
    #[must_use]
    pub fn upper_tail(&self, x: f64) -> f64 {
        if x <= 0.0 { 1.0 } else { self.inner.sf(x) }
    }

    /// The value with probability `p` below it.
    ///
    /// # Errors
    ///
    /// [`DistributionError::Probability`] unless strictly between zero and one.
    pub fn quantile(&self, p: f64) -> Result<f64, DistributionError> {
        let p = probability(p)?;
        let start = self.inner.inverse_cdf(p);
        Ok(polish(
            start,
            1.0 - p,
            |x| self.inner.sf(x),
            |x| self.inner.pdf(x),
        ))
    }
}

/// A few Newton steps on the upper tail from a value already close: takes the starting quantile, good to
/// eight digits or so, to the accuracy of the tail itself.
fn polish(
    start: f64,
    tail: f64,
    upper_tail: impl Fn(f64) -> f64,
    density: impl Fn(f64) -> f64,
) -> f64 {
    let mut value = start;
    for _ in 0..4 {
        let step = (upper_tail(value) - tail) / density(value);
        if !step.is_finite() || step.abs() > 0.1 * value.abs() {
            break;
        }
        value += step;
        if step.abs() <= QUANTILE_STEP * value.abs() {
            break;
        }
    }
    value
}

fn degrees_of_freedom(df: f64) -> Result<f64, DistributionError> {
    if df > 0.0 && df.is_finite() {
        Ok(df)
    } else {
        Err(DistributionError::DegreesOfFreedom(df))
    }
}

fn probability(p: f64) -> Result<f64, DistributionError> {
    if p > 0.0 && p < 1.0 {
        Ok(p)
    } else {
        Err(DistributionError::Probability(p))
    }
}
