//! Least-squares means and their differences.
//!
//! * **Enters:** a fit, and the factors whose levels or cells are asked for.
//! * **Leaves:** for each cell the mean the model gives it at equal (or observed) margins over the other
//!   factors and at the covariates' means, and every pair's difference.
//! * **Always true:** a mean is given only when the data determine it. A difference is judged by itself:
//!   it may be determined where neither mean is.
//! * **Never:** averages over a level that no used row has; adjusts p for the number of pairs.
//!
//! Method: Harvey 1960, Least-squares Analysis of Data with Unequal Subclass Numbers, USDA ARS-20-8;
//! named population marginal means by Searle, Speed and Milliken 1980, The American Statistician
//! 34:216-221.

use std::fmt;

use super::design::{NO_COLUMN, TermLayout};
use super::estimable::{Estimate, LinearFunction, NotEstimable};
use super::fit::Fit;
use super::term::FactorIndex;
use crate::distribution::ConfidenceLevel;

/// How a least-squares mean weighs the levels of the factors it averages over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Margins {
    /// Every level that occurs counts the same; levels of a nested factor count the same within their
    /// outer cell. The usual choice: it compares groups as if each were equally made up.
    Equal,
    /// Each combination counts as often as it occurs among all used rows: groups as if each were made up
    /// like the whole.
    Observed,
}

/// One cell's least-squares mean.
#[derive(Debug, Clone, PartialEq)]
pub struct CellMean {
    /// The level of each factor asked for; empty for the overall mean.
    pub levels: Vec<(FactorIndex, u32)>,
    /// Weights on the columns that make the mean.
    pub function: LinearFunction,
    /// The mean, or why there is none.
    pub estimate: Result<Estimate, NotEstimable>,
}

/// The difference of two least-squares means, the first less the second.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// Place of the first mean in the list given.
    pub first: usize,
    /// Place of the second.
    pub second: usize,
    /// The difference, or why there is none. Its p is for this pair alone.
    pub estimate: Result<Estimate, NotEstimable>,
}

/// What was wrong with a request for means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MeansError {
    /// No term of the model holds this factor, other than as the levels of a slope.
    FactorNotInModel {
        /// The factor.
        factor: FactorIndex,
    },
    /// A factor was named twice.
    RepeatedFactor {
        /// The factor.
        factor: FactorIndex,
    },
    /// A nested factor was named without what it is nested within: its levels have no meaning alone.
    NestedWithoutOuter {
        /// The nested factor.
        inner: FactorIndex,
        /// What must be named with it.
        outer: Vec<FactorIndex>,
    },
    /// A level is past the factor's last.
    LevelOutOfRange {
        /// The factor.
        factor: FactorIndex,
        /// The level named.
        level: u32,
    },
}

impl fmt::Display for MeansError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            MeansError::FactorNotInModel { factor } => {
                write!(out, "factor {} is not in the model", factor.0)
            }
            MeansError::RepeatedFactor { factor } => {
                write!(out, "factor {} is named twice", factor.0)
            }
            MeansError::NestedWithoutOuter { inner, .. } => {
                write!(
                    out,
                    "factor {} is nested and needs its outer factors named too",
                    inner.0
                )
            }
            MeansError::LevelOutOfRange { factor, level } => {
                write!(out, "factor {} has no level {level}", factor.0)
            }
        }
    }
}

impl std::error::Error for MeansError {}

impl Fit {
    /// Least-squares means of every cell of the given factors: one factor for the means of its levels,
    /// several for those of their cells, none for the overall mean.
    ///
    /// Cells come in ascending order of their levels, the last factor fastest, over the levels that used
    /// rows have. A nested factor is named together with what it is nested within, and only its occurring
    /// cells are listed. Covariates are held at their means over the used rows.
    ///
    /// # Errors
    ///
    /// [`MeansError`] when the request makes no sense for this model. A mean that the data do not
    /// determine is no error: see [`CellMean::estimate`].
    pub fn means(
        &self,
        factors: &[FactorIndex],
        margins: Margins,
        level: ConfidenceLevel,
    ) -> Result<Vec<CellMean>, MeansError> {
        self.check_factors(factors)?;
        let mut cells: Vec<Vec<(FactorIndex, u32)>> = vec![Vec::new()];
        for &factor in factors {
            let present = self.design.present(factor);
            cells = cells
                .iter()
                .flat_map(|cell| {
                    present.iter().map(move |&code| {
                        let mut longer = cell.clone();
                        longer.push((factor, code));
                        longer
                    })
                })
                .collect();
        }
        cells.retain(|cell| self.nested_cell_occurs(cell));
        cells
            .into_iter()
            .map(|levels| {
                let function = self.mean_function(&levels, margins)?;
                let estimate = self.estimate(&function, level);
                Ok(CellMean {
                    levels,
                    function,
                    estimate,
                })
            })
            .collect()
    }

    /// Every pairwise difference of the given means, each earlier one less each later one.
    ///
    /// # Panics
    ///
    /// When the means come from a fit of another width.
    #[must_use]
    pub fn differences(&self, means: &[CellMean], level: ConfidenceLevel) -> Vec<Difference> {
        let mut differences = Vec::with_capacity(means.len() * means.len().saturating_sub(1) / 2);
        for (first, one) in means.iter().enumerate() {
            for (second, other) in means.iter().enumerate().skip(first + 1) {
                let estimate = self.estimate(&one.function.minus(&other.function), level);
                differences.push(Difference {
                    first,
                    second,
                    estimate,
                });
            }
        }
        differences
    }

    /// The weights that make the least-squares mean of one cell.
    ///
    /// # Errors
    ///
    /// [`MeansError`] when the cell makes no sense for this model.
    pub fn mean_function(
        &self,
        cell: &[(FactorIndex, u32)],
        margins: Margins,
    ) -> Result<LinearFunction, MeansError> {
        let factors: Vec<FactorIndex> = cell.iter().map(|&(factor, _)| factor).collect();
        self.check_factors(&factors)?;
        for &(factor, level) in cell {
            if level as usize >= self.design.rows_of_level[factor.0].len() {
                return Err(MeansError::LevelOutOfRange { factor, level });
            }
        }
        let mut function = self.empty_function();
        function.add(0, 1.0);
        for (index, term) in self.design.terms.iter().enumerate() {
            // Covariates are at their means, which is where their columns are zero.
            if term.covariate.is_some() {
                continue;
            }
            for (place, weight) in self.cell_weights(term, cell, margins) {
                match term.column_of_cell[place] {
                    NO_COLUMN => *function.absent.entry((index, place)).or_insert(0.0) += weight,
                    column => function.add(column as usize, weight),
                }
            }
        }
        Ok(function)
    }

    fn check_factors(&self, factors: &[FactorIndex]) -> Result<(), MeansError> {
        for (position, &factor) in factors.iter().enumerate() {
            let in_model = self
                .design
                .terms
                .iter()
                .any(|term| term.covariate.is_none() && term.factors.contains(&factor));
            if !in_model {
                return Err(MeansError::FactorNotInModel { factor });
            }
            if factors[..position].contains(&factor) {
                return Err(MeansError::RepeatedFactor { factor });
            }
        }
        for term in self.design.terms.iter().filter(|term| term.nested) {
            let (inner, outer) = term
                .factors
                .split_last()
                .expect("a nested term has factors");
            if factors.contains(inner) && !outer.iter().all(|factor| factors.contains(factor)) {
                return Err(MeansError::NestedWithoutOuter {
                    inner: *inner,
                    outer: outer.to_vec(),
                });
            }
        }
        Ok(())
    }

    /// False for a cell that names a nested level under an outer cell it does not belong to.
    fn nested_cell_occurs(&self, cell: &[(FactorIndex, u32)]) -> bool {
        self.design
            .terms
            .iter()
            .filter(|term| term.nested)
            .all(|term| {
                let codes: Vec<u32> = term
                    .factors
                    .iter()
                    .filter_map(|&factor| level_in(cell, factor))
                    .collect();
                codes.len() < term.factors.len()
                    || term.rows_of_cell[term.cell(codes.into_iter())] > 0
            })
    }

    /// The weight of each cell of a factor term in the mean of `target`; they add up to one.
    #[allow(clippy::cast_precision_loss)] // row counts are far below 2^53
    fn cell_weights(
        &self,
        term: &TermLayout,
        target: &[(FactorIndex, u32)],
        margins: Margins,
    ) -> Vec<(usize, f64)> {
        let crossed = term.factors.len() - usize::from(term.nested);
        let crossed_rows = rows_of_crossed(term, crossed);
        let free: Vec<usize> = (0..crossed)
            .filter(|&at| level_in(target, term.factors[at]).is_none())
            .collect();
        let weights = match margins {
            Margins::Equal => self.equal_weights(term, target, &free),
            Margins::Observed => observed_weights(term, target, &free, &crossed_rows, crossed),
        };
        if !term.nested {
            return weights;
        }
        let inner = *term.factors.last().expect("a nested term has factors");
        let inner_levels = *term.radix.last().expect("a nested term has factors");
        let mut spread = Vec::new();
        for (outer_cell, weight) in weights {
            let first = outer_cell * inner_levels;
            if let Some(code) = level_in(target, inner) {
                spread.push((first + code as usize, weight));
                continue;
            }
            let rows = &term.rows_of_cell[first..first + inner_levels];
            let occurring = rows.iter().filter(|&&count| count > 0).count();
            if occurring == 0 {
                // Nothing is nested here: the weight stays on a cell without rows, which refuses the mean.
                spread.push((first, weight));
            }
            for (code, &count) in rows.iter().enumerate().filter(|&(_, &count)| count > 0) {
                let share = match margins {
                    Margins::Equal => 1.0 / occurring as f64,
                    Margins::Observed => count as f64 / crossed_rows[outer_cell] as f64,
                };
                spread.push((first + code, weight * share));
            }
        }
        spread
    }

    /// Equal weights over the occurring levels of the free factors, the others fixed by the target.
    #[allow(clippy::cast_precision_loss)] // level counts are small
    fn equal_weights(
        &self,
        term: &TermLayout,
        target: &[(FactorIndex, u32)],
        free: &[usize],
    ) -> Vec<(usize, f64)> {
        let crossed = term.factors.len() - usize::from(term.nested);
        let mut cells = vec![(0usize, 1.0f64)];
        for at in 0..crossed {
            let factor = term.factors[at];
            let levels = if free.contains(&at) {
                self.design.present(factor)
            } else {
                level_in(target, factor).into_iter().collect()
            };
            let share = 1.0 / levels.len() as f64;
            cells = cells
                .iter()
                .flat_map(|&(cell, weight)| {
                    levels
                        .iter()
                        .map(move |&code| (cell * term.radix[at] + code as usize, weight * share))
                })
                .collect();
        }
        cells
    }
}

/// How often each combination of the free factors occurs among all used rows, on the cells that hold the
/// target's levels for the others.
#[allow(clippy::cast_precision_loss)] // row counts are far below 2^53
fn observed_weights(
    term: &TermLayout,
    target: &[(FactorIndex, u32)],
    free: &[usize],
    crossed_rows: &[usize],
    crossed: usize,
) -> Vec<(usize, f64)> {
    let radix = &term.radix[..crossed];
    let total: usize = crossed_rows.iter().sum();
    let mut rows_at = std::collections::BTreeMap::<usize, usize>::new();
    for (cell, &rows) in crossed_rows
        .iter()
        .enumerate()
        .filter(|&(_, &rows)| rows > 0)
    {
        let mut rest = cell;
        let mut moved = 0;
        let mut step = 1;
        for at in (0..crossed).rev() {
            let own = rest % radix[at];
            rest /= radix[at];
            let code = if free.contains(&at) {
                own
            } else {
                level_in(target, term.factors[at]).map_or(own, |code| code as usize)
            };
            moved += code * step;
            step *= radix[at];
        }
        *rows_at.entry(moved).or_insert(0) += rows;
    }
    rows_at
        .into_iter()
        .map(|(cell, rows)| (cell, rows as f64 / total as f64))
        .collect()
}

/// Rows of each combination of a term's crossed factors, the nested one summed out.
fn rows_of_crossed(term: &TermLayout, crossed: usize) -> Vec<usize> {
    let inner: usize = term.radix[crossed..].iter().product();
    if inner == 0 {
        return Vec::new();
    }
    term.rows_of_cell
        .chunks(inner)
        .map(|rows| rows.iter().sum())
        .collect()
}

fn level_in(cell: &[(FactorIndex, u32)], factor: FactorIndex) -> Option<u32> {
    cell.iter()
        .find(|&&(named, _)| named == factor)
        .map(|&(_, level)| level)
}
