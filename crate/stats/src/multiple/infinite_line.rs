//! Averages over a residual spread that is itself estimated.
//!
//! * **Enters:** degrees of freedom and a function of the spread that falls as the spread grows.
//! * **Leaves:** its mean.
//! * **Always true:** every term of the sums is positive, so small tails keep their digits.
//! * **Never:** adapts to rounding: the points depend on the arguments alone.
//!
//! With S the ratio of the estimated to the true standard deviation and n degrees of freedom, x = log S
//! has the density `2 (n/2)^(n/2) / Gamma(n/2) exp(n x - n exp(2 x) / 2)`. Integrals of such functions over
//! the whole line are had to nearly full accuracy by plain sums at equal steps (Trefethen and Weideman 2014,
//! SIAM Review 56:385-458).

use crate::tolerance::NEGLIGIBLE_TERM;

/// The largest step in log S. The transform of the density falls as exp(-pi |u| / 4), so that the error
/// is about exp(-pi^2 / (2 step)), 1e-21 here.
const WIDEST_STEP: f64 = 0.1;
/// The step in standard deviations of log S; the error for a normal curve is exp(-2 pi^2 / step^2).
const STEP_IN_DEVIATIONS: f64 = 0.7;
/// The step of sums over a standard normal variable.
pub(super) const NORMAL_STEP: f64 = 0.2;
/// Beyond this a standard normal variable has a density of 1e-19.
pub(super) const NORMAL_REACH: f64 = 9.4;

/// The step in log S that its own density needs.
pub(crate) fn narrowest_step(df: f64) -> f64 {
    WIDEST_STEP.min(STEP_IN_DEVIATIONS / (2.0 * df).sqrt())
}

/// The density of log S.
pub(crate) struct LogSpread {
    df: f64,
    constant: f64,
}

impl LogSpread {
    /// With `df` degrees of freedom, above zero.
    pub(crate) fn new(df: f64) -> LogSpread {
        LogSpread {
            df,
            constant: log_constant(0.5 * df),
        }
    }

    /// Its height at x = log S; largest at zero.
    pub(crate) fn density(&self, x: f64) -> f64 {
        libm::exp(self.constant + self.df * (x - 0.5 * libm::expm1(2.0 * x)))
    }
}

/// The mean of `tail(S)`, for a function that falls about as `exp(-rate S^2)`.
pub(super) fn mean_over_spread(df: f64, rate: f64, tail: impl Fn(f64) -> f64) -> f64 {
    let half = 0.5 * df;
    let step = narrowest_step(df);
    // The product of density and function is largest where exp(2 x) = half / (half + rate).
    let peak = 0.5 * libm::log(half / (half + rate));
    let spread = LogSpread::new(df);
    let term = |x: f64| spread.density(x) * tail(libm::exp(x));
    let mut sum = term(peak);
    for direction in [-1.0, 1.0] {
        let mut steps = 1.0;
        loop {
            let value = term(peak + direction * steps * step);
            sum += value;
            if value <= NEGLIGIBLE_TERM * sum {
                break;
            }
            steps += 1.0;
        }
    }
    sum * step
}

/// log(2 a^a exp(-a) / Gamma(a)).
fn log_constant(a: f64) -> f64 {
    let two = std::f64::consts::LN_2;
    if a < 30.0 {
        return two + a * libm::log(a) - a - libm::lgamma(a);
    }
    // Stirling's series, because the terms above would cancel.
    let square = 1.0 / (a * a);
    two + 0.5 * libm::log(a / (2.0 * std::f64::consts::PI))
        - (1.0 / 12.0 - square * (1.0 / 360.0 - square / 1260.0)) / a
}
