//! The studentized range: the largest difference among so many independent normal values of one variance,
//! over an independent estimate of their standard deviation.
//!
//! * **Enters:** the number of values and degrees of freedom.
//! * **Leaves:** upper tail probabilities and quantiles.
//! * **Always true:** tails are computed as tails; relative error about 1e-10.
//! * **Never:** holds for more than a thousand values.
//!
//! With r values, P the normal distribution function and p its density, the range of normal values is
//! above w with probability `r` times the integral of `p(z) (P(z)^(r-1) - (P(z) - P(z - w))^(r-1))`; the
//! studentized range is above q with the mean of that at w = q S (the integrals of Copenhaver and Holland
//! 1988, Journal of Statistical Computation and Simulation 30:1-15, with plain sums at equal steps in place
//! of their quadrature).

use std::fmt;

use super::infinite_line::{NORMAL_REACH, NORMAL_STEP, mean_over_spread};
use crate::distribution::{ConfidenceLevel, DistributionError, Normal, StudentT};
use crate::tolerance::QUANTILE_SETTLED;

const MOST_VALUES: usize = 1_000;

/// The distribution of the studentized range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StudentizedRange {
    others: f64,
    df: f64,
}

/// Why the distribution or a quantile of it could not be had.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StudentizedRangeError {
    /// There must be two to a thousand values.
    Values(usize),
    /// Degrees of freedom or probability out of range.
    Distribution(DistributionError),
}

impl fmt::Display for StudentizedRangeError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            StudentizedRangeError::Values(values) => {
                write!(
                    out,
                    "a range is of two to {MOST_VALUES} values, not {values}"
                )
            }
            StudentizedRangeError::Distribution(error) => error.fmt(out),
        }
    }
}

impl std::error::Error for StudentizedRangeError {}

impl StudentizedRange {
    /// Of `values` values, with `df` degrees of freedom, whole or not.
    ///
    /// # Errors
    ///
    /// [`StudentizedRangeError`] unless there are two to a thousand values and the degrees of freedom are
    /// above zero and finite.
    pub fn new(values: usize, df: f64) -> Result<Self, StudentizedRangeError> {
        if !(2..=MOST_VALUES).contains(&values) {
            return Err(StudentizedRangeError::Values(values));
        }
        StudentT::new(df).map_err(StudentizedRangeError::Distribution)?;
        Ok(StudentizedRange {
            others: f64::from(u32::try_from(values - 1).expect("at most a thousand")),
            df,
        })
    }

    /// Probability of a range above `q`; one for `q` at most zero.
    #[must_use]
    pub fn upper_tail(&self, q: f64) -> f64 {
        if q.is_nan() {
            return q;
        }
        if q <= 0.0 {
            return 1.0;
        }
        if self.others == 1.0 {
            // Two values: their difference over its standard error is Student's t.
            return StudentT::new(self.df)
                .map_or(f64::NAN, |t| t.two_sided_tail(q / std::f64::consts::SQRT_2));
        }
        let nodes = nodes();
        // The tail of a range falls as the square over four.
        mean_over_spread(self.df, 0.25 * q * q, |spread| {
            self.normal_tail(q * spread, &nodes)
        })
        .min(1.0)
    }

    /// The value with probability `tail` above it.
    ///
    /// # Errors
    ///
    /// [`StudentizedRangeError`] unless `tail` lies strictly between zero and one.
    pub fn upper_quantile(&self, tail: f64) -> Result<f64, StudentizedRangeError> {
        if !(tail > 0.0 && tail < 1.0) {
            return Err(StudentizedRangeError::Distribution(
                DistributionError::Probability(tail),
            ));
        }
        let pairs = 0.5 * self.others * (self.others + 1.0);
        let (low, high) =
            bounds(tail, self.df, pairs).map_err(StudentizedRangeError::Distribution)?;
        let root = std::f64::consts::SQRT_2;
        Ok(falling_to(tail, (root * low, root * high), |q| {
            self.upper_tail(q)
        }))
    }

    /// Probability that the range of normal values with standard deviation one is above `w`.
    fn normal_tail(&self, w: f64, nodes: &[(f64, f64, f64)]) -> f64 {
        let sum: f64 = nodes
            .iter()
            .map(|&(z, below, density)| {
                // a^n - (a - b)^n, written so that a small b keeps its digits.
                let share = (Normal::cdf(z - w) / below).min(1.0);
                let kept = libm::exp(self.others * libm::log(below));
                density * kept * -libm::expm1(self.others * libm::log1p(-share))
            })
            .sum();
        ((self.others + 1.0) * NORMAL_STEP * sum).min(1.0)
    }
}

/// Points of the normal variable, with the probability below and the density.
fn nodes() -> Vec<(f64, f64, f64)> {
    let mut nodes = Vec::new();
    let mut z = -NORMAL_REACH;
    while z <= NORMAL_REACH {
        let density = libm::exp(-0.5 * z * z) / (2.0 * std::f64::consts::PI).sqrt();
        nodes.push((z, Normal::cdf(z), density));
        z += NORMAL_STEP;
    }
    nodes
}

/// Where a falling function comes to `tail`, between a value where it is above and one where it is below.
///
/// Secant steps on the logarithm of the tail, which is nearly straight there, with the end that stays put
/// weighed down each time it does (the Illinois rule: Dowell and Jarratt 1971, BIT 11:168-174).
pub(super) fn falling_to(tail: f64, between: (f64, f64), at: impl Fn(f64) -> f64) -> f64 {
    let target = libm::log(tail);
    let height = |q: f64| libm::log(at(q).max(f64::MIN_POSITIVE)) - target;
    let (mut low, mut high) = between;
    let (mut low_height, mut high_height) = (height(low).max(0.0), height(high).min(0.0));
    let mut value = high;
    let mut last_side = 0;
    for _ in 0..100 {
        if high - low <= QUANTILE_SETTLED * high || low_height <= high_height {
            break;
        }
        let share = low_height / (low_height - high_height);
        let next = low + share * (high - low);
        let settled = (next - value).abs() <= QUANTILE_SETTLED * next;
        value = next;
        if settled {
            break;
        }
        let own = height(value);
        if own > 0.0 {
            (low, low_height) = (value, own);
            if last_side == 1 {
                high_height /= 2.0;
            }
            last_side = 1;
        } else {
            (high, high_height) = (value, own);
            if last_side == -1 {
                low_height /= 2.0;
            }
            last_side = -1;
        }
    }
    value
}

/// Values of Student's t that the size of the largest of several stays above and below with probability
/// `tail`: it is at least any one of them, and at most the sum of the tails lies beyond it.
pub(super) fn bounds(
    tail: f64,
    df: f64,
    comparisons: f64,
) -> Result<(f64, f64), DistributionError> {
    let student = StudentT::new(df)?;
    Ok((
        student.two_sided_quantile(ConfidenceLevel::new(1.0 - tail)?),
        student.two_sided_quantile(ConfidenceLevel::new(1.0 - tail / comparisons)?),
    ))
}
