//! Counts, moments, quantiles, ranks, and how far apart two groups stand.
//!
//! * **Enters:** a slice of numbers; `NaN` is missing.
//! * **Leaves:** a [`Summary`], a quantile, ranks, a standardised difference.
//! * **Always true:** missing values are counted and left out; what cannot be had is `None`. Sums are
//!   compensated, so the order of the values shows only in the last digit.
//! * **Never:** reads a missing value as zero, or drops an infinite one: that is an error.

use std::fmt;

use crate::sum::Sum;

/// What was wrong with the input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DescribeError {
    /// A value is infinite.
    Infinite {
        /// Its place in the slice.
        index: usize,
    },
    /// A quantile's probability is not between zero and one.
    Probability(f64),
}

impl fmt::Display for DescribeError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            DescribeError::Infinite { index } => write!(out, "value {index} is infinite"),
            DescribeError::Probability(p) => {
                write!(out, "a probability must lie between zero and one, not {p}")
            }
        }
    }
}

impl std::error::Error for DescribeError {}

/// Counts and moments of a slice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Values that are not missing.
    pub used: usize,
    /// Missing values.
    pub missing: usize,
    /// Mean; `None` without values.
    pub mean: Option<f64>,
    /// Variance over n - 1, in squared units; `None` with fewer than two values.
    pub variance: Option<f64>,
    /// Smallest value; `None` without values.
    pub minimum: Option<f64>,
    /// Largest value; `None` without values.
    pub maximum: Option<f64>,
}

impl Summary {
    /// Square root of the variance, in the values' units.
    #[must_use]
    pub fn standard_deviation(&self) -> Option<f64> {
        self.variance.map(f64::sqrt)
    }

    /// Standard deviation of the mean: the square root of variance over count.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // counts are far below 2^53
    pub fn standard_error(&self) -> Option<f64> {
        self.variance
            .map(|variance| (variance / self.used as f64).sqrt())
    }
}

/// Counts, mean, variance and range of the values that are not missing.
///
/// The mean is taken first and the variance from deviations about it, corrected for the rounding of the
/// mean (Chan, Golub and LeVeque 1983, The American Statistician 37:242-247).
///
/// # Errors
///
/// [`DescribeError::Infinite`].
#[allow(clippy::cast_precision_loss)] // counts are far below 2^53
pub fn summarise(values: &[f64]) -> Result<Summary, DescribeError> {
    refuse_infinite(values)?;
    let known = || values.iter().copied().filter(|value| !value.is_nan());
    let used = known().count();
    let mut summary = Summary {
        used,
        missing: values.len() - used,
        mean: None,
        variance: None,
        minimum: known().reduce(f64::min),
        maximum: known().reduce(f64::max),
    };
    if used > 0 {
        let mean = known().collect::<Sum>().total() / used as f64;
        summary.mean = Some(mean);
        if used > 1 {
            let squares: Sum = known()
                .map(|value| (value - mean) * (value - mean))
                .collect();
            let drift = known().map(|value| value - mean).collect::<Sum>().total();
            let about_mean = squares.total() - drift * drift / used as f64;
            summary.variance = Some(about_mean.max(0.0) / (used - 1) as f64);
        }
    }
    Ok(summary)
}

/// Sum of the values that are not missing; 0 without values.
///
/// # Errors
///
/// [`DescribeError::Infinite`].
pub fn total(values: &[f64]) -> Result<f64, DescribeError> {
    refuse_infinite(values)?;
    let known = values.iter().copied().filter(|value| !value.is_nan());
    Ok(known.collect::<Sum>().total())
}

/// The quantile at `probability`, from 0 (smallest) to 1 (largest), of the values that are not missing;
/// `None` without values.
///
/// Type 7 of Hyndman and Fan 1996 (The American Statistician 50:361-365): on sorted values x1..xn, linear
/// between the two values around position 1 + (n - 1) p. The default of R and of most spreadsheets.
///
/// # Errors
///
/// [`DescribeError`]: an infinite value, or a probability outside 0 to 1.
pub fn quantile(values: &[f64], probability: f64) -> Result<Option<f64>, DescribeError> {
    if !(0.0..=1.0).contains(&probability) {
        return Err(DescribeError::Probability(probability));
    }
    refuse_infinite(values)?;
    let mut sorted: Vec<f64> = values
        .iter()
        .copied()
        .filter(|value| !value.is_nan())
        .collect();
    sorted.sort_unstable_by(f64::total_cmp);
    Ok(quantile_of_sorted(&sorted, probability))
}

/// The middle value, or the mean of the two middle ones, of the values that are not missing; `None`
/// without values.
///
/// # Errors
///
/// [`DescribeError::Infinite`].
pub fn median(values: &[f64]) -> Result<Option<f64>, DescribeError> {
    quantile(values, 0.5)
}

#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss
)]
fn quantile_of_sorted(sorted: &[f64], probability: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let position = last as f64 * probability;
    let below = (position.floor() as usize).min(last);
    let above = (below + 1).min(last);
    let share = position - below as f64;
    // Weighted sum, not low + share * gap: the same from either side, and exact for equal neighbours.
    Some(if share == 0.0 || sorted[below] == sorted[above] {
        sorted[below]
    } else {
        sorted[below] * (1.0 - share) + sorted[above] * share
    })
}

/// Ascending ranks from 1; tied values share the mean of their ranks; a missing value has none.
///
/// # Errors
///
/// [`DescribeError::Infinite`].
#[allow(clippy::cast_precision_loss)] // counts are far below 2^53
pub fn ranks(values: &[f64]) -> Result<Vec<Option<f64>>, DescribeError> {
    refuse_infinite(values)?;
    let mut order: Vec<usize> = (0..values.len())
        .filter(|&at| !values[at].is_nan())
        .collect();
    crate::in_order::order_by(&mut order, |&a, &b| values[a].total_cmp(&values[b]));
    let mut ranks = vec![None; values.len()];
    // Equality, not total order, decides ties, so that 0 and -0 share a rank.
    for tied in order.chunk_by(|&a, &b| values[a] == values[b]) {
        let before = order.partition_point(|&at| values[at] < values[tied[0]]);
        let rank = before as f64 + (tied.len() + 1) as f64 / 2.0;
        for &at in tied {
            ranks[at] = Some(rank);
        }
    }
    Ok(ranks)
}

/// How far two groups' means stand apart, in standard deviations: (mean1 - mean2) over the square root of
/// the plain average of the two variances.
///
/// Austin 2009, Statistics in Medicine 28:3083-3107, who calls more than 0.1 in size a sign of imbalance.
/// `None` when either group has fewer than two values or neither varies.
#[must_use]
pub fn standardised_difference(first: &Summary, second: &Summary) -> Option<f64> {
    let spread = f64::midpoint(first.variance?, second.variance?).sqrt();
    (spread > 0.0).then_some((first.mean? - second.mean?) / spread)
}

/// The same for two proportions: (p1 - p2) over the square root of the average of p (1 - p).
///
/// Austin 2009, as above. `None` when either is not between 0 and 1 or neither group varies.
#[must_use]
pub fn standardised_difference_of_proportions(first: f64, second: f64) -> Option<f64> {
    let valid = |p: f64| (0.0..=1.0).contains(&p);
    if !valid(first) || !valid(second) {
        return None;
    }
    let spread = f64::midpoint(first * (1.0 - first), second * (1.0 - second)).sqrt();
    (spread > 0.0).then_some((first - second) / spread)
}

fn refuse_infinite(values: &[f64]) -> Result<(), DescribeError> {
    match values.iter().position(|value| value.is_infinite()) {
        Some(index) => Err(DescribeError::Infinite { index }),
        None => Ok(()),
    }
}
