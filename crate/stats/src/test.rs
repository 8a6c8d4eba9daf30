//! Tests of one mean or of two.
//!
//! * **Enters:** [`Summary`] values, so that counts, means and variances are taken once.
//! * **Leaves:** a [`TTest`]: the difference, its standard error, t, p and an interval.
//! * **Always true:** p and the interval agree: p is below one minus the level exactly when the interval
//!   leaves zero out.
//! * **Never:** tests groups too small to have a variance, or without one.

use std::fmt;

use crate::describe::Summary;
use crate::distribution::{ConfidenceLevel, StudentT};

/// Why there is no test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TestError {
    /// A group has fewer values than the test needs.
    TooFew {
        /// 0 for the first group, 1 for the second.
        group: usize,
        /// Values it has.
        used: usize,
        /// Values it needs.
        needed: usize,
    },
    /// No value differs from its group's mean, so there is nothing to judge a difference by.
    NoSpread,
}

impl fmt::Display for TestError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            TestError::TooFew {
                group,
                used,
                needed,
            } => {
                write!(
                    out,
                    "group {} has {used} values and needs {needed}",
                    group + 1
                )
            }
            TestError::NoSpread => write!(out, "the values do not vary"),
        }
    }
}

impl std::error::Error for TestError {}

/// A t test of a mean, or of a difference of means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TTest {
    /// What is tested against zero, in the values' units.
    pub difference: f64,
    /// Its standard error.
    pub standard_error: f64,
    /// Degrees of freedom, whole or not.
    pub df: f64,
    /// Difference over standard error.
    pub t: f64,
    /// Two-sided probability of a t at least this far from zero, were the true difference zero.
    pub p: f64,
    /// Lower end of the interval for the difference.
    pub lower: f64,
    /// Upper end of the interval.
    pub upper: f64,
}

/// Tests whether a mean differs from `expected`. Assumes independent values, roughly normal or many.
///
/// # Errors
///
/// [`TestError`]: fewer than two values, or none that differ.
#[allow(clippy::cast_precision_loss)] // counts are far below 2^53
pub fn one_sample(
    group: &Summary,
    expected: f64,
    level: ConfidenceLevel,
) -> Result<TTest, TestError> {
    let (mean, variance, count) = moments(group, 0)?;
    finish(mean - expected, variance / count, count - 1.0, level)
}

/// Tests whether two means differ, without assuming equal variances: first less second.
///
/// Welch 1938, Biometrika 29:350-362, with degrees of freedom by Satterthwaite 1946, Biometrics Bulletin
/// 2:110-114.
///
/// # Errors
///
/// [`TestError`]: a group of fewer than two values, or no spread in either.
pub fn welch(
    first: &Summary,
    second: &Summary,
    level: ConfidenceLevel,
) -> Result<TTest, TestError> {
    let (mean1, variance1, count1) = moments(first, 0)?;
    let (mean2, variance2, count2) = moments(second, 1)?;
    let (part1, part2) = (variance1 / count1, variance2 / count2);
    let squared_error = part1 + part2;
    if squared_error <= 0.0 {
        return Err(TestError::NoSpread);
    }
    // Shares first: squares of tiny variances would vanish.
    let (share1, share2) = (part1 / squared_error, part2 / squared_error);
    let df = 1.0 / (share1 * share1 / (count1 - 1.0) + share2 * share2 / (count2 - 1.0));
    finish(mean1 - mean2, squared_error, df, level)
}

/// Tests whether two means differ, taking both groups to have one variance: first less second.
///
/// Student's two-sample test. One of the groups may have a single value.
///
/// # Errors
///
/// [`TestError`]: an empty group, fewer than three values in all, or no spread.
#[allow(clippy::cast_precision_loss)] // counts are far below 2^53
pub fn pooled(
    first: &Summary,
    second: &Summary,
    level: ConfidenceLevel,
) -> Result<TTest, TestError> {
    for (group, summary) in [first, second].into_iter().enumerate() {
        if summary.used == 0 {
            return Err(TestError::TooFew {
                group,
                used: 0,
                needed: 1,
            });
        }
    }
    if first.used + second.used < 3 {
        return Err(TestError::TooFew {
            group: 0,
            used: first.used,
            needed: 2,
        });
    }
    let (mean1, squares1, count1) = sums(first);
    let (mean2, squares2, count2) = sums(second);
    let df = count1 + count2 - 2.0;
    let variance = (squares1 + squares2) / df;
    finish(
        mean1 - mean2,
        variance * (1.0 / count1 + 1.0 / count2),
        df,
        level,
    )
}

#[allow(clippy::cast_precision_loss)] // counts are far below 2^53
fn moments(summary: &Summary, group: usize) -> Result<(f64, f64, f64), TestError> {
    match (summary.mean, summary.variance) {
        (Some(mean), Some(variance)) => Ok((mean, variance, summary.used as f64)),
        _ => Err(TestError::TooFew {
            group,
            used: summary.used,
            needed: 2,
        }),
    }
}

/// Mean, sum of squares about it, and count; a single value has no squares.
#[allow(clippy::cast_precision_loss)] // counts are far below 2^53
fn sums(summary: &Summary) -> (f64, f64, f64) {
    let count = summary.used as f64;
    let squares = summary.variance.unwrap_or(0.0) * (count - 1.0);
    (summary.mean.unwrap_or(0.0), squares, count)
}

fn finish(
    difference: f64,
    squared_error: f64,
    df: f64,
    level: ConfidenceLevel,
) -> Result<TTest, TestError> {
    if squared_error <= 0.0 {
        return Err(TestError::NoSpread);
    }
    let standard_error = squared_error.sqrt();
    let distribution = StudentT::new(df).map_err(|_| TestError::NoSpread)?;
    let t = difference / standard_error;
    let reach = distribution.two_sided_quantile(level) * standard_error;
    Ok(TTest {
        difference,
        standard_error,
        df,
        t,
        p: distribution.two_sided_tail(t),
        lower: difference - reach,
        upper: difference + reach,
    })
}
