//! Each of several means against one of them: Dunnett's comparisons.
//!
//! * **Enters:** the comparisons and how they are correlated.
//! * **Leaves:** adjusted p and intervals.
//! * **Always true:** tails are computed as tails; relative error about 1e-9.
//! * **Never:** pretends that correlations have a form that they have not: [`NotOneFactor`] says so, and
//!   [`holm`](super::holm) is left to use.
//!
//! The comparisons share the one mean, so they are correlated. When each correlation is a product
//! `b_i b_j`, they are independent once one normal variable is given, and the probability that the largest
//! is above t is a double integral (Dunnett 1955, Journal of the American Statistical Association
//! 50:1096-1121; Dunnett and Sobel 1955, Biometrika 42:258-260). So it is for independent means, with
//! any variances; for any two comparisons; and for three nearly always.

use std::fmt;

use super::Adjusted;
use super::infinite_line::{NORMAL_REACH, NORMAL_STEP, mean_over_spread};
use super::studentized_range::{bounds, falling_to};
use crate::distribution::{ConfidenceLevel, DistributionError, Normal, StudentT};
use crate::linear::Estimate;
use crate::tolerance::{NEARLY_ONE_FACTOR, ONE_FACTOR};

/// The correlations are not products of one number for each comparison.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotOneFactor;

impl fmt::Display for NotOneFactor {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(
            "the comparisons' correlations do not have the form that Dunnett's method needs",
        )
    }
}

impl std::error::Error for NotOneFactor {}

/// Above this a comparison is next to a copy of the shared variable, and sums at fixed steps fail.
const LARGEST_LOADING: f64 = 0.999;

/// The largest, in size, of several correlated values with Student's t distribution and a common spread.
#[derive(Debug, Clone, PartialEq)]
pub struct ManyAgainstOne {
    loadings: Vec<f64>,
}

impl ManyAgainstOne {
    /// For the correlations of the comparisons, as full rows: `correlation` has the square of the number
    /// of comparisons entries.
    ///
    /// # Errors
    ///
    /// [`NotOneFactor`] when they are not products `b_i b_j` to within a thousandth.
    ///
    /// # Panics
    ///
    /// When `correlation` is not of that length.
    pub fn new(correlation: &[f64], comparisons: usize) -> Result<Self, NotOneFactor> {
        ManyAgainstOne::within(correlation, comparisons, ONE_FACTOR).map(|(largest, _)| largest)
    }

    /// For correlations that are nearly products, with how far off the furthest is: the products nearest to them
    /// stand in (the factor-analytic approach of Hsu 1992, Journal of Computational and Graphical Statistics
    /// 1:151-168). A tail between 0.005 and 0.2 is then off by at most 0.002.
    ///
    /// # Errors
    ///
    /// [`NotOneFactor`] when one is off by more than a tenth.
    ///
    /// # Panics
    ///
    /// When `correlation` does not have the square of the number of comparisons entries.
    pub fn nearly(correlation: &[f64], comparisons: usize) -> Result<(Self, f64), NotOneFactor> {
        ManyAgainstOne::within(correlation, comparisons, NEARLY_ONE_FACTOR)
    }

    fn within(
        correlation: &[f64],
        comparisons: usize,
        most_off: f64,
    ) -> Result<(Self, f64), NotOneFactor> {
        assert_eq!(correlation.len(), comparisons * comparisons, "full rows");
        let of = |i: usize, j: usize| correlation[i * comparisons + j];
        let loadings = loadings_of(&of, comparisons);
        let mut off = 0.0_f64;
        for i in 0..comparisons {
            if loadings[i].abs() > LARGEST_LOADING || loadings[i].is_nan() {
                return Err(NotOneFactor);
            }
            for j in 0..i {
                off = off.max((loadings[i] * loadings[j] - of(i, j)).abs());
            }
        }
        if off > most_off {
            return Err(NotOneFactor);
        }
        Ok((ManyAgainstOne { loadings }, off))
    }

    /// Probability that the largest of them, in size, is above `t`, with `df` degrees of freedom.
    ///
    /// # Errors
    ///
    /// [`DistributionError`] unless the degrees of freedom are above zero and finite.
    pub fn two_sided_tail(&self, t: f64, df: f64) -> Result<f64, DistributionError> {
        let student = StudentT::new(df)?;
        if self.loadings.len() < 2 {
            return Ok(student.two_sided_tail(t));
        }
        if t.is_nan() || t == 0.0 {
            return Ok(if t == 0.0 { 1.0 } else { t });
        }
        let t = t.abs();
        Ok(mean_over_spread(df, 0.5 * t * t, |spread| self.normal_tail(t * spread)).min(1.0))
    }

    /// The size that the largest of them stays below with the probability of the level.
    ///
    /// # Errors
    ///
    /// [`DistributionError`] unless the degrees of freedom are above zero and finite.
    pub fn two_sided_quantile(
        &self,
        level: ConfidenceLevel,
        df: f64,
    ) -> Result<f64, DistributionError> {
        let student = StudentT::new(df)?;
        if self.loadings.len() < 2 {
            return Ok(student.two_sided_quantile(level));
        }
        let tail = 1.0 - level.fraction();
        let count = f64::from(u32::try_from(self.loadings.len()).unwrap_or(u32::MAX));
        let between = bounds(tail, df, count)?;
        Ok(falling_to(tail, between, |t| {
            self.two_sided_tail(t, df).unwrap_or(0.0)
        }))
    }

    /// The same for normal values.
    fn normal_tail(&self, t: f64) -> f64 {
        let parts: Vec<(f64, f64)> = self
            .loadings
            .iter()
            .map(|&loading| (loading, 1.0 / (1.0 - loading * loading).sqrt()))
            .collect();
        // Given the shared variable each comparison is a step of this width in it.
        let narrowest = parts
            .iter()
            .map(|(loading, steep)| 1.0 / (loading.abs() * steep).max(1.0))
            .fold(1.0, f64::min);
        let step = NORMAL_STEP * narrowest;
        let at = |z: f64| {
            let inside: f64 = parts
                .iter()
                .map(|&(loading, steep)| {
                    let outside = Normal::upper_tail((t - loading * z) * steep)
                        + Normal::upper_tail((t + loading * z) * steep);
                    libm::log1p(-outside.min(1.0))
                })
                .sum();
            libm::exp(-0.5 * z * z) * -libm::expm1(inside)
        };
        // The same on both sides of zero.
        let mut sum = 0.5 * at(0.0);
        let mut z = step;
        while z <= NORMAL_REACH {
            sum += at(z);
            z += step;
        }
        (2.0 * sum * step / (2.0 * std::f64::consts::PI).sqrt()).min(1.0)
    }
}

/// One number for each comparison whose products are the correlations, or come near them.
fn loadings_of(of: &dyn Fn(usize, usize) -> f64, comparisons: usize) -> Vec<f64> {
    let mut loadings = vec![0.0; comparisons];
    if comparisons == 2 {
        let size = of(0, 1).abs().sqrt();
        return vec![size, size.copysign(of(0, 1))];
    }
    if comparisons < 2 {
        return loadings;
    }
    for (j, loading) in loadings.iter_mut().enumerate() {
        let (mut through, mut between) = (0.0, 0.0);
        for k in 0..comparisons {
            for l in k + 1..comparisons {
                if k != j && l != j {
                    through += (of(j, k) * of(j, l)).abs();
                    between += of(k, l).abs();
                }
            }
        }
        let square = if between > 0.0 {
            through / between
        } else {
            0.0
        };
        *loading = square.sqrt().copysign(if j == 0 { 1.0 } else { of(0, j) });
    }
    loadings
}

/// Adjusts comparisons of several means with one of them.
///
/// `correlation` holds the correlations of the comparisons as full rows; for a mixed model
/// [`Inference::correlations`](crate::mixed::Inference::correlations) gives them. With degrees of freedom
/// that differ each comparison uses its own. An estimate without uncertainty gives `None`.
///
/// # Errors
///
/// [`NotOneFactor`] when the correlations do not allow it; use [`holm`](super::holm) then.
///
/// # Panics
///
/// When `correlation` does not have the square of the number of estimates entries.
pub fn against_one(
    estimates: &[Estimate],
    correlation: &[f64],
    level: ConfidenceLevel,
) -> Result<Vec<Option<Adjusted>>, NotOneFactor> {
    let largest = ManyAgainstOne::new(correlation, estimates.len())?;
    Ok(adjust(&largest, estimates, level))
}

/// The same where the correlations allow it nearly: [`ManyAgainstOne::nearly`]. With it how far off they are.
///
/// # Errors
///
/// [`NotOneFactor`] when the correlations do not come near enough; use [`holm`](super::holm) then.
///
/// # Panics
///
/// When `correlation` does not have the square of the number of estimates entries.
pub fn against_one_nearly(
    estimates: &[Estimate],
    correlation: &[f64],
    level: ConfidenceLevel,
) -> Result<(Vec<Option<Adjusted>>, f64), NotOneFactor> {
    let (largest, off) = ManyAgainstOne::nearly(correlation, estimates.len())?;
    Ok((adjust(&largest, estimates, level), off))
}

fn adjust(
    largest: &ManyAgainstOne,
    estimates: &[Estimate],
    level: ConfidenceLevel,
) -> Vec<Option<Adjusted>> {
    estimates
        .iter()
        .map(|estimate| {
            let known = estimate.uncertainty?;
            let reach = largest.two_sided_quantile(level, known.df).ok()? * known.standard_error;
            Some(Adjusted {
                p: largest.two_sided_tail(known.t, known.df).ok()?.max(known.p),
                lower: estimate.value - reach,
                upper: estimate.value + reach,
            })
        })
        .collect()
}
