//! Several comparisons at once: p-values and intervals that hold for all of them together.
//!
//! * **Enters:** estimates with their standard errors and degrees of freedom, of a fixed or a mixed model.
//! * **Leaves:** for each an adjusted p and an interval.
//! * **Always true:** an adjusted p is never below the plain one, and an interval leaves zero out exactly
//!   when its adjusted p is below one minus the level (Holm's p excepted, which is sharper than any
//!   interval that goes with it).
//! * **Never:** picks the adjustment by its result.
//!
//! | comparisons | adjustment |
//! | --- | --- |
//! | every pair of means | [`tukey_kramer`] |
//! | each mean with one of them | [`against_one`] (Dunnett's), where the correlations allow it |
//! | any others | [`holm`] |

mod against_one;
pub(crate) mod infinite_line;
mod studentized_range;

pub use against_one::{ManyAgainstOne, NotOneFactor, against_one, against_one_nearly};
pub use studentized_range::{StudentizedRange, StudentizedRangeError};

use crate::distribution::{ConfidenceLevel, StudentT};
use crate::linear::Estimate;

/// A comparison's p and interval, adjusted for the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adjusted {
    /// Probability that, were nothing different, the largest of the comparisons would stand out as much
    /// as this one.
    pub p: f64,
    /// Lower end of the interval; with the stated level all intervals hold at once.
    pub lower: f64,
    /// Upper end of the interval.
    pub upper: f64,
}

/// Adjusts the difference of two means for all pairs among so many means.
///
/// `None` when the estimate has no uncertainty, or there are fewer than two means.
///
/// Method: the studentized range, with each difference's own standard error (Tukey 1953; Kramer 1956,
/// Biometrics 12:307-310). Exact when the means are independent with equal variances, and otherwise on the
/// safe side (Hayter 1984, Annals of Statistics 12:61-75, for independent means; with correlated means by
/// wide experience). With degrees of freedom that differ between pairs each pair uses its own.
#[must_use]
pub fn tukey_kramer(estimate: &Estimate, means: usize, level: ConfidenceLevel) -> Option<Adjusted> {
    let known = estimate.uncertainty?;
    let range = StudentizedRange::new(means, known.df).ok()?;
    let root = std::f64::consts::SQRT_2;
    let quantile = range.upper_quantile(1.0 - level.fraction()).ok()?;
    let reach = quantile / root * known.standard_error;
    Some(Adjusted {
        // For two means this is Student's t, whose plain p has more digits.
        p: range.upper_tail(root * known.t.abs()).max(known.p),
        lower: estimate.value - reach,
        upper: estimate.value + reach,
    })
}

/// Adjusts any set of comparisons by Holm's method; intervals by Bonferroni's inequality.
///
/// Estimates without uncertainty are not counted among the comparisons and give `None`.
///
/// Method: the smallest p times the number of comparisons, the next times one less, and so on, never
/// falling (Holm 1979, Scandinavian Journal of Statistics 6:65-70). Assumes nothing of how the comparisons
/// hang together. No intervals of ordinary form go with it; those given hold at once, and may hold zero
/// where the adjusted p is small.
#[must_use]
pub fn holm(estimates: &[Estimate], level: ConfidenceLevel) -> Vec<Option<Adjusted>> {
    let mut order: Vec<(usize, f64)> = estimates
        .iter()
        .enumerate()
        .filter_map(|(at, estimate)| Some((at, estimate.uncertainty?.p)))
        .collect();
    crate::in_order::order_by(&mut order, |one, other| one.1.total_cmp(&other.1));
    let count = f64::from(u32::try_from(order.len()).unwrap_or(u32::MAX));
    let each = ConfidenceLevel::new(1.0 - (1.0 - level.fraction()) / count.max(1.0));
    let mut adjusted = vec![None; estimates.len()];
    let mut least = 0.0_f64;
    let mut left = count;
    for (at, p) in order {
        least = least.max((p * left).min(1.0));
        left -= 1.0;
        adjusted[at] = estimates[at].uncertainty.and_then(|known| {
            let distribution = StudentT::new(known.df).ok()?;
            let reach = distribution.two_sided_quantile(each.ok()?) * known.standard_error;
            Some(Adjusted {
                p: least,
                lower: estimates[at].value - reach,
                upper: estimates[at].value + reach,
            })
        });
    }
    adjusted
}
