//! What a t interval could have shown: the chance that it leaves zero out, for a true difference of a given size.
//!
//! * **Enters:** a true difference in standard errors, degrees of freedom, the multiplier of the interval.
//! * **Leaves:** a probability, or the difference that has a given one.
//! * **Always true:** the chance rises with the size of the difference; its absolute error is about 1e-13.
//! * **Never:** says anything of the difference that was found; it speaks of the records alone.
//!
//! With d the true difference over its standard error, S the ratio of the estimated to the true standard
//! error and P the normal distribution function, the interval leaves zero out with the mean over S of
//! `P(d - c S) + P(-d - c S)`: both tails of the noncentral t distribution beyond the multiplier c (Johnson,
//! Kotz and Balakrishnan 1995, Continuous Univariate Distributions, volume 2, chapter 31; from memory). The
//! mean over log S is had by plain sums at equal steps, as for the studentized range.

use crate::distribution::{ChiSquare, DistributionError, Normal, StudentT};
use crate::multiple::infinite_line::{LogSpread, narrowest_step};
use crate::tolerance::{NEGLIGIBLE_TERM, QUANTILE_SETTLED};

/// The step in log S, in widths of the normal curve at the difference: the error for a normal curve is
/// exp(-2 pi^2 / step^2), 3e-18 here.
const STEP_IN_WIDTHS: f64 = 0.7;

/// Differences of more standard errors than this are so far out that the normal curve is a step.
const STEEP: f64 = 1_000.0;

/// The chance that an interval of `critical` standard errors on each side leaves zero out, when the true
/// difference is `standard_errors` of its own true standard errors from zero.
///
/// # Errors
///
/// [`DistributionError::DegreesOfFreedom`] unless above zero and finite; so for a `critical` or
/// `standard_errors` that is `NaN`, and for a `critical` below zero.
pub fn chance_of_seeing(
    standard_errors: f64,
    df: f64,
    critical: f64,
) -> Result<f64, DistributionError> {
    StudentT::new(df)?;
    if standard_errors.is_nan() || critical.is_nan() || critical < 0.0 {
        return Err(DistributionError::Probability(f64::NAN));
    }
    let size = standard_errors.abs();
    if size > STEEP {
        let reach = size / critical;
        return Ok(ChiSquare::new(df)?.cdf(df * reach * reach));
    }
    let spread = LogSpread::new(df);
    let step = narrowest_step(df).min(STEP_IN_WIDTHS / (1.0 + size));
    let largest = spread.density(0.0);
    let term = |x: f64| {
        let reach = critical * libm::exp(x);
        let density = spread.density(x);
        let beyond = Normal::cdf(size - reach) + Normal::cdf(-size - reach);
        (density, density * beyond)
    };
    let mut sum = term(0.0).1;
    for direction in [-1.0, 1.0] {
        let mut steps = 1.0;
        loop {
            let (density, value) = term(direction * steps * step);
            sum += value;
            if density <= NEGLIGIBLE_TERM * largest {
                break;
            }
            steps += 1.0;
        }
    }
    Ok((sum * step).min(1.0))
}

/// The true difference, in its own standard errors, that is seen with probability `chance`. Zero when even
/// no difference at all is "seen" as often as that.
///
/// # Errors
///
/// [`DistributionError`]: `chance` not strictly between zero and one, or as for [`chance_of_seeing`].
pub fn seen_with_chance(chance: f64, df: f64, critical: f64) -> Result<f64, DistributionError> {
    if !(chance > 0.0 && chance < 1.0) {
        return Err(DistributionError::Probability(chance));
    }
    let (mut low, mut high) = (0.0, 1.0);
    if chance_of_seeing(low, df, critical)? >= chance {
        return Ok(0.0);
    }
    while chance_of_seeing(high, df, critical)? < chance {
        low = high;
        high *= 2.0;
    }
    // Bisection: the chance is flat at both ends, where steps by the slope would leave the bracket.
    while high - low > QUANTILE_SETTLED * high {
        let middle = f64::midpoint(low, high);
        if chance_of_seeing(middle, df, critical)? < chance {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(f64::midpoint(low, high))
}
