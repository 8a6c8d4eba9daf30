//! Why a mixed model could not be fitted.
//!
//! * **Enters:** nothing.
//! * **Leaves:** [`MixedError`].
//! * **Always true:** each value names the broken condition and where it broke.
//! * **Never:** stands for a variance of zero: that is a result, and
//!   [`VarianceComponent::at_zero`](super::VarianceComponent::at_zero) says it.

use std::fmt;

use super::random::RandomIndex;
use crate::linear::FitError;

/// Why a mixed model could not be fitted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MixedError {
    /// The fixed part of the model or its data are at fault.
    Fixed(FitError),
    /// A random factor has another number of rows than the response.
    RandomLength {
        /// Which random factor.
        random: RandomIndex,
        /// How many rows it has.
        rows: usize,
        /// How many rows the response has.
        expected: usize,
    },
    /// A level is neither below the number of levels nor, among codes, missing.
    LevelOutOfRange {
        /// Which random factor.
        random: RandomIndex,
        /// Which row.
        row: usize,
        /// The level found.
        level: u32,
    },
    /// A weight is not above zero and finite.
    WeightOutOfRange {
        /// Which random factor.
        random: RandomIndex,
        /// Which row.
        row: usize,
    },
    /// The starts of the rows do not ascend from zero to the number of entries, or there are more or
    /// fewer weights than levels.
    MalformedShares {
        /// Which random factor.
        random: RandomIndex,
    },
    /// Beside the factor with the most levels, whose levels take no room, the model has more columns than
    /// a dense system is meant for.
    TooManyColumns {
        /// Random levels and fixed columns together.
        columns: usize,
        /// The most that there may be.
        limit: usize,
    },
    /// Used rows less the rank of the fixed part is zero: nothing is left to judge variances by.
    NoResidualDegreesOfFreedom,
    /// The fixed part explains every response exactly: there is no spread to divide.
    ExactFit,
    /// The fixed part already has a column for every level, so that nothing of this factor is left.
    ExplainedByFixed {
        /// Which random factor.
        random: RandomIndex,
    },
    /// The rows cannot tell this factor's variance from the residual's and those named: as with one row
    /// to each level, or two factors with the same rows together.
    NotSeparable {
        /// Which random factor.
        random: RandomIndex,
        /// Earlier random factors that take part; when there are none, it is the residual alone.
        from: Vec<RandomIndex>,
    },
    /// The residual variance runs towards zero: within the levels of the random factors the model leaves
    /// no spread. Often a factor has nearly one row to each level; without it the model can be fitted.
    ResidualVanishes,
    /// The iterations ended before the likelihood settled.
    NotConverged {
        /// How many there were.
        iterations: usize,
    },
    /// The caller stopped it.
    Cancelled,
}

impl From<FitError> for MixedError {
    fn from(error: FitError) -> Self {
        MixedError::Fixed(error)
    }
}

impl fmt::Display for MixedError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            MixedError::Fixed(error) => error.fmt(out),
            MixedError::RandomLength {
                random,
                rows,
                expected,
            } => write!(
                out,
                "random factor {} has {rows} rows, the response has {expected}",
                random.0
            ),
            MixedError::LevelOutOfRange { random, row, level } => write!(
                out,
                "random factor {} has level {level} in row {row}, past its last level",
                random.0
            ),
            MixedError::WeightOutOfRange { random, row } => write!(
                out,
                "random factor {} has a weight in row {row} that is not above zero",
                random.0
            ),
            MixedError::MalformedShares { random } => write!(
                out,
                "the shares of random factor {} do not fit together",
                random.0
            ),
            MixedError::TooManyColumns { columns, limit } => write!(
                out,
                "the model has {columns} columns beside its largest random factor, more than {limit}"
            ),
            MixedError::NoResidualDegreesOfFreedom => {
                write!(out, "there are as many fixed effects as rows")
            }
            MixedError::ExactFit => write!(out, "the fixed effects leave no spread at all"),
            MixedError::ExplainedByFixed { random } => write!(
                out,
                "the fixed effects leave nothing of random factor {}",
                random.0
            ),
            MixedError::NotSeparable { random, from } if from.is_empty() => write!(
                out,
                "the variance of random factor {} cannot be told from the residual's",
                random.0
            ),
            MixedError::NotSeparable { random, .. } => write!(
                out,
                "the variance of random factor {} cannot be told from others",
                random.0
            ),
            MixedError::ResidualVanishes => {
                write!(out, "the residual variance runs towards zero")
            }
            MixedError::NotConverged { iterations } => {
                write!(out, "the likelihood did not settle in {iterations} steps")
            }
            MixedError::Cancelled => write!(out, "stopped by the caller"),
        }
    }
}

impl std::error::Error for MixedError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            MixedError::Fixed(error) => Some(error),
            _ => None,
        }
    }
}
