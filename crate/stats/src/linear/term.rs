//! What a model is made of, and what can be wrong with it.
//!
//! * **Enters:** the caller's slices and terms.
//! * **Leaves:** the same, checked.
//! * **Always true:** a model that passes [`check`] is hierarchical: the parts of every product are terms
//!   themselves, so partial tests have one meaning.
//! * **Never:** looks at whether the data can carry the model; that is for the fit.

use super::error::FitError;

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
        crate::in_order::order(&mut factors);
        (factors, self.covariate())
    }
}

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
        crate::in_order::order(&mut factors);
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
