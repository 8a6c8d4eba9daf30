//! Why a model could not be fitted.
//!
//! * **Enters:** nothing.
//! * **Leaves:** [`FitError`].
//! * **Always true:** each value names the broken condition and where it broke.
//! * **Never:** stands for a question the data cannot answer: that is
//!   [`NotEstimable`](super::NotEstimable), and no error.

use std::fmt;

use super::term::{CovariateIndex, FactorIndex, TermIndex};

/// Why a model could not be fitted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FitError {
    /// A factor has another number of rows than the response.
    FactorLength {
        /// Which factor.
        factor: FactorIndex,
        /// How many codes it has.
        rows: usize,
        /// How many rows the response has.
        expected: usize,
    },
    /// A covariate has another number of rows than the response.
    CovariateLength {
        /// Which covariate.
        covariate: CovariateIndex,
        /// How many values it has.
        rows: usize,
        /// How many rows the response has.
        expected: usize,
    },
    /// A code is neither below the number of levels nor [`MISSING_LEVEL`](super::MISSING_LEVEL).
    CodeOutOfRange {
        /// Which factor.
        factor: FactorIndex,
        /// Which row.
        row: usize,
        /// The code found.
        code: u32,
    },
    /// A response is infinite.
    InfiniteResponse {
        /// Which row.
        row: usize,
    },
    /// A covariate value is infinite.
    InfiniteCovariate {
        /// Which covariate.
        covariate: CovariateIndex,
        /// Which row.
        row: usize,
    },
    /// A term names a factor that is not in the data.
    UnknownFactor {
        /// Which term.
        term: TermIndex,
        /// The factor named.
        factor: FactorIndex,
    },
    /// A term names a covariate that is not in the data.
    UnknownCovariate {
        /// Which term.
        term: TermIndex,
        /// The covariate named.
        covariate: CovariateIndex,
    },
    /// A term names the same factor twice, or a `Cross` has fewer than two factors, or a `Nested` has no
    /// outer one.
    MalformedTerm {
        /// Which term.
        term: TermIndex,
    },
    /// Two terms have the same columns.
    RepeatedTerm {
        /// The earlier term.
        first: TermIndex,
        /// The later term.
        second: TermIndex,
    },
    /// A product stands in the model without one of its parts: a cross without a subset, slopes without
    /// the factor or the covariate, a nested factor without what it is nested within.
    MissingPart {
        /// Which term.
        term: TermIndex,
        /// The factors of the missing part; with a `Slopes` term and no factor, the covariate is missing.
        factors: Vec<FactorIndex>,
    },
    /// A nested factor also takes part in another term.
    NestedFactorReused {
        /// The nested term.
        nested: TermIndex,
        /// The other term.
        other: TermIndex,
    },
    /// No row has a response and every factor and covariate that the terms name.
    NoUsableRow,
    /// A term's factors have more combinations of levels than can be tabulated.
    TooManyCells {
        /// Which term.
        term: TermIndex,
        /// The most that a term may have.
        limit: usize,
    },
    /// The model has more columns than a dense fit is meant for.
    TooManyColumns {
        /// How many it has.
        columns: usize,
        /// The most that a model may have.
        limit: usize,
    },
}

impl fmt::Display for FitError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FitError::FactorLength {
                factor,
                rows,
                expected,
            } => {
                write!(
                    out,
                    "factor {} has {rows} rows, the response has {expected}",
                    factor.0
                )
            }
            FitError::CovariateLength {
                covariate,
                rows,
                expected,
            } => {
                write!(
                    out,
                    "covariate {} has {rows} rows, the response has {expected}",
                    covariate.0
                )
            }
            FitError::CodeOutOfRange { factor, row, code } => {
                write!(
                    out,
                    "factor {} has code {code} in row {row}, past its last level",
                    factor.0
                )
            }
            FitError::InfiniteResponse { row } => {
                write!(out, "the response is infinite in row {row}")
            }
            FitError::InfiniteCovariate { covariate, row } => {
                write!(out, "covariate {} is infinite in row {row}", covariate.0)
            }
            FitError::UnknownFactor { term, factor } => {
                write!(
                    out,
                    "term {} names factor {}, which is not in the data",
                    term.0, factor.0
                )
            }
            FitError::UnknownCovariate { term, covariate } => {
                write!(
                    out,
                    "term {} names covariate {}, which is not in the data",
                    term.0, covariate.0
                )
            }
            FitError::MalformedTerm { term } => {
                write!(
                    out,
                    "term {} names a factor twice or too few factors",
                    term.0
                )
            }
            FitError::RepeatedTerm { first, second } => {
                write!(out, "terms {} and {} are the same", first.0, second.0)
            }
            FitError::MissingPart { term, .. } => {
                write!(
                    out,
                    "term {} is a product and one of its parts is not in the model",
                    term.0
                )
            }
            FitError::NestedFactorReused { nested, other } => {
                write!(
                    out,
                    "the nested factor of term {} is also in term {}",
                    nested.0, other.0
                )
            }
            FitError::NoUsableRow => write!(out, "no row has every value that the model needs"),
            FitError::TooManyCells { term, limit } => {
                write!(
                    out,
                    "term {} has more than {limit} combinations of levels",
                    term.0
                )
            }
            FitError::TooManyColumns { columns, limit } => {
                write!(out, "the model has {columns} columns, more than {limit}")
            }
        }
    }
}

impl std::error::Error for FitError {}
