//! What a model is made of, and what can be wrong with it.
//!
//! * **Enters:** the caller's slices and terms.
//! * **Leaves:** the same, checked.
//! * **Always true:** a model that passes [`check`] is hierarchical: the parts of every product are terms
//!   themselves, so partial tests have one meaning.
//! * **Never:** looks at whether the data can carry the model; that is for the fit.

use std::fmt;

/// A level code that means "not known". A row with it is left out of the fit and listed.
pub const MISSING_LEVEL: u32 = u32::MAX;

/// Which factor, by its place in [`Data::factors`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FactorIndex(pub usize);

/// Which covariate, by its place in [`Data::covariates`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CovariateIndex(pub usize);

/// Which term, by its place in the list of terms given to [`fit`](super::fit).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TermIndex(pub usize);

/// A column of level codes.
#[derive(Debug, Clone, Copy)]
pub struct Factor<'a> {
    /// One code for each row: below `levels`, or [`MISSING_LEVEL`].
    pub codes: &'a [u32],
    /// How many levels there are. Levels that no used row has are allowed; they are treated as absent.
    pub levels: u32,
}

/// The rows of a model. All slices have one entry for each row.
#[derive(Debug, Clone, Copy)]
pub struct Data<'a> {
    /// The response; `NaN` means missing.
    pub response: &'a [f64],
    /// The factors that terms may name.
    pub factors: &'a [Factor<'a>],
    /// The covariates that terms may name, in their own units; `NaN` means missing. They are centred
    /// inside.
    pub covariates: &'a [&'a [f64]],
}

/// One term of a model. The intercept is always there and is not a term.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Term {
    /// A main effect: one column for each level.
    Factor(FactorIndex),
    /// A regression on a covariate, measured from the mean of the used rows.
    Covariate(CovariateIndex),
    /// An interaction of two or more factors: one column for each cell. The model must also hold the
    /// term for every subset with one factor fewer.
    Cross(Vec<FactorIndex>),
    /// A regression on a covariate that differs between the levels of a factor. The model must also hold
    /// both as terms of their own.
    Slopes {
        /// The factor whose levels have slopes of their own.
        factor: FactorIndex,
        /// The covariate.
        covariate: CovariateIndex,
    },
    /// A factor nested within another, or within the cells of several: one column for each level that
    /// has rows, apart within each outer cell. The same code in two outer cells is two levels. The model
    /// must also hold the outer term. A nested factor takes part in no other term.
    Nested {
        /// The nested factor, such as sire.
        inner: FactorIndex,
        /// What it is nested within, such as line; at least one.
        outer: Vec<FactorIndex>,
    },
}

impl Term {
    /// The factors of the term, outer ones first, in the order that cells of this term are listed in.
    #[must_use]
    pub fn factors(&self) -> Vec<FactorIndex> {
        match self {
            Term::Factor(factor) | Term::Slopes { factor, .. } => vec![*factor],
            Term::Covariate(_) => Vec::new(),
            Term::Cross(factors) => factors.clone(),
            Term::Nested { inner, outer } => {
                let mut factors = outer.clone();
                factors.push(*inner);
                factors
            }
        }
    }

    /// The covariate of the term, if it has one.
    #[must_use]
    pub fn covariate(&self) -> Option<CovariateIndex> {
        match self {
            Term::Covariate(covariate) | Term::Slopes { covariate, .. } => Some(*covariate),
            _ => None,
        }
    }

    /// Factors as a sorted set and the covariate: two terms with the same key have the same columns.
    fn key(&self) -> (Vec<FactorIndex>, Option<CovariateIndex>) {
        let mut factors = self.factors();
        factors.sort_unstable();
        (factors, self.covariate())
    }
}

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
    /// A code is neither below the number of levels nor [`MISSING_LEVEL`].
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

/// Checks lengths, codes and values of the data and the form of the terms.
pub(crate) fn check(data: &Data<'_>, terms: &[Term]) -> Result<(), FitError> {
    check_terms(data, terms)?;
    check_parts(terms)?;
    check_values(data)
}

fn check_terms(data: &Data<'_>, terms: &[Term]) -> Result<(), FitError> {
    for (index, term) in terms.iter().enumerate() {
        let at = TermIndex(index);
        let factors = term.factors();
        for (position, &factor) in factors.iter().enumerate() {
            if factor.0 >= data.factors.len() {
                return Err(FitError::UnknownFactor { term: at, factor });
            }
            if factors[..position].contains(&factor) {
                return Err(FitError::MalformedTerm { term: at });
            }
        }
        if let Some(covariate) = term.covariate()
            && covariate.0 >= data.covariates.len()
        {
            return Err(FitError::UnknownCovariate {
                term: at,
                covariate,
            });
        }
        let too_few = match term {
            Term::Cross(factors) => factors.len() < 2,
            Term::Nested { outer, .. } => outer.is_empty(),
            _ => false,
        };
        if too_few {
            return Err(FitError::MalformedTerm { term: at });
        }
        if let Some(first) = terms[..index]
            .iter()
            .position(|earlier| earlier.key() == term.key())
        {
            return Err(FitError::RepeatedTerm {
                first: TermIndex(first),
                second: at,
            });
        }
    }
    Ok(())
}

fn check_parts(terms: &[Term]) -> Result<(), FitError> {
    let has = |factors: &[FactorIndex], covariate: Option<CovariateIndex>| {
        let mut factors = factors.to_vec();
        factors.sort_unstable();
        terms.iter().any(|term| {
            term.key() == (factors.clone(), covariate) && !matches!(term, Term::Nested { .. })
        })
    };
    for (index, term) in terms.iter().enumerate() {
        let at = TermIndex(index);
        let missing = |factors: Vec<FactorIndex>| FitError::MissingPart { term: at, factors };
        match term {
            Term::Factor(_) | Term::Covariate(_) => {}
            Term::Cross(factors) => {
                for leave_out in 0..factors.len() {
                    let mut part = factors.clone();
                    part.remove(leave_out);
                    if !has(&part, None) {
                        return Err(missing(part));
                    }
                }
            }
            Term::Slopes { factor, covariate } => {
                if !has(&[*factor], None) {
                    return Err(missing(vec![*factor]));
                }
                if !has(&[], Some(*covariate)) {
                    return Err(missing(Vec::new()));
                }
            }
            Term::Nested { inner, outer } => {
                if !has(outer, None) {
                    return Err(missing(outer.clone()));
                }
                let reused = (0..terms.len())
                    .find(|&other| other != index && terms[other].factors().contains(inner));
                if let Some(other) = reused {
                    return Err(FitError::NestedFactorReused {
                        nested: at,
                        other: TermIndex(other),
                    });
                }
            }
        }
    }
    Ok(())
}

fn check_values(data: &Data<'_>) -> Result<(), FitError> {
    let expected = data.response.len();
    if let Some(row) = data.response.iter().position(|value| value.is_infinite()) {
        return Err(FitError::InfiniteResponse { row });
    }
    for (index, factor) in data.factors.iter().enumerate() {
        let at = FactorIndex(index);
        if factor.codes.len() != expected {
            return Err(FitError::FactorLength {
                factor: at,
                rows: factor.codes.len(),
                expected,
            });
        }
        let outside = |&code: &u32| code >= factor.levels && code != MISSING_LEVEL;
        if let Some(row) = factor.codes.iter().position(outside) {
            return Err(FitError::CodeOutOfRange {
                factor: at,
                row,
                code: factor.codes[row],
            });
        }
    }
    for (index, covariate) in data.covariates.iter().enumerate() {
        let at = CovariateIndex(index);
        if covariate.len() != expected {
            return Err(FitError::CovariateLength {
                covariate: at,
                rows: covariate.len(),
                expected,
            });
        }
        if let Some(row) = covariate.iter().position(|value| value.is_infinite()) {
            return Err(FitError::InfiniteCovariate { covariate: at, row });
        }
    }
    Ok(())
}
