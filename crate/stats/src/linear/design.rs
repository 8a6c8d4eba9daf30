//! From terms and rows to columns.
//!
//! * **Enters:** checked data and terms.
//! * **Leaves:** the columns, which cell of which term each stands for, and each row's few non-zero
//!   entries on request.
//! * **Always true:** columns are numbered intercept first, then term by term in the order given, cells
//!   in order of their codes, so a row's entries come out in ascending column order. Only cells that hold
//!   a used row have a column.
//! * **Never:** stores the design matrix itself.

use super::error::FitError;
use super::term::{CovariateIndex, Data, FactorIndex, MISSING_LEVEL, Term, TermIndex};
use crate::sum::Sum;
use crate::tolerance::CONSTANT_COVARIATE;

/// A term's table of cells takes four bytes each; a million cells is far past what a fit can hold anyway.
const MOST_CELLS: usize = 1 << 20;
/// The crossproducts of this many columns take 32 MB.
const MOST_COLUMNS: usize = 2_000;
/// Marks a cell of a term that holds no used row.
pub(super) const NO_COLUMN: u32 = u32::MAX;

/// One column of the design: an intercept, a cell of a factor term, a covariate, or a covariate within a
/// level.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// The term it belongs to; `None` for the intercept.
    pub term: Option<TermIndex>,
    /// The level of each of the term's factors, in the order of [`Term::factors`].
    pub levels: Vec<(FactorIndex, u32)>,
    /// The covariate, if the column holds one.
    pub covariate: Option<CovariateIndex>,
    /// How many used rows are in the cell (all of them for the intercept and a plain covariate).
    pub rows: usize,
}

/// A column that the data cannot tell from others, beyond what the coding itself makes redundant.
///
/// Each factor's most frequent level (the lowest code among equals) is its baseline. A column named here
/// is the effect of a level measured from that baseline, and equals the stated combination of other such
/// columns in every used row.
#[derive(Debug, Clone, PartialEq)]
pub struct Alias {
    /// The column that cannot be told apart: a place in [`Fit::columns`](super::Fit::columns).
    pub column: usize,
    /// What it equals: columns earlier in the model and their weights, in covariates' own units. Empty
    /// when the column is zero throughout, as a covariate that does not vary is.
    pub equals: Vec<(usize, f64)>,
}

/// A combination of levels, each of which occurs, that no used row holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EmptyCell {
    /// The term.
    pub term: TermIndex,
    /// The level of each of the term's factors.
    pub levels: Vec<(FactorIndex, u32)>,
}

/// Which rows a fit used. A row is used when it has the response and every factor and covariate that a
/// term names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowCounts {
    /// Rows given.
    pub given: usize,
    /// Rows used.
    pub used: usize,
    /// Rows without a response.
    pub missing_response: usize,
    /// For each factor, rows without its level (zero for factors that no term names). A row may be
    /// counted under several headings.
    pub missing_factor: Vec<usize>,
    /// For each covariate, rows without its value (zero for covariates that no term names).
    pub missing_covariate: Vec<usize>,
}

/// How one term's cells map to columns.
#[derive(Debug, Clone)]
pub(super) struct TermLayout {
    pub(super) factors: Vec<FactorIndex>,
    /// Levels of each factor; a cell's number is the mixed-radix number of its codes, last code fastest.
    pub(super) radix: Vec<usize>,
    pub(super) covariate: Option<CovariateIndex>,
    pub(super) nested: bool,
    pub(super) column_of_cell: Vec<u32>,
    pub(super) rows_of_cell: Vec<usize>,
}

impl TermLayout {
    pub(super) fn cell(&self, codes: impl Iterator<Item = u32>) -> usize {
        codes
            .zip(&self.radix)
            .fold(0, |cell, (code, levels)| cell * levels + code as usize)
    }

    pub(super) fn codes(&self, cell: usize) -> Vec<u32> {
        let mut codes = vec![0; self.radix.len()];
        let mut rest = cell;
        for (code, levels) in codes.iter_mut().zip(&self.radix).rev() {
            *code = u32::try_from(rest % levels).expect("a code came from a u32");
            rest /= levels;
        }
        codes
    }

    pub(super) fn labels(&self, cell: usize) -> Vec<(FactorIndex, u32)> {
        self.factors.iter().copied().zip(self.codes(cell)).collect()
    }
}

/// The columns of a model over given rows.
#[derive(Debug, Clone)]
pub(super) struct Design {
    pub(super) columns: Vec<Column>,
    /// True where the coding alone makes the column a combination of others.
    pub(super) redundant: Vec<bool>,
    pub(super) terms: Vec<TermLayout>,
    /// Rows at each level of each factor; empty for a factor that no term names.
    pub(super) rows_of_level: Vec<Vec<usize>>,
    pub(super) response_mean: f64,
    pub(super) covariate_mean: Vec<f64>,
    /// Root mean square about the mean; 1 where the covariate does not vary.
    pub(super) covariate_scale: Vec<f64>,
    pub(super) covariate_varies: Vec<bool>,
    pub(super) counts: RowCounts,
    pub(super) excluded: Vec<usize>,
}

impl Design {
    /// Reads the rows once for what is present, then lays out the columns.
    pub(super) fn new(data: &Data<'_>, terms: &[Term]) -> Result<Self, FitError> {
        super::term::check(data, terms)?;
        let mut layouts = Vec::with_capacity(terms.len());
        for (index, term) in terms.iter().enumerate() {
            layouts.push(empty_layout(data, term, TermIndex(index))?);
        }
        let (counts, excluded) = count_rows(data, &layouts);
        if counts.used == 0 {
            return Err(FitError::NoUsableRow);
        }
        let mut design = Design {
            columns: vec![Column {
                term: None,
                levels: Vec::new(),
                covariate: None,
                rows: counts.used,
            }],
            redundant: vec![false],
            terms: layouts,
            rows_of_level: vec![Vec::new(); data.factors.len()],
            response_mean: 0.0,
            covariate_mean: vec![0.0; data.covariates.len()],
            covariate_scale: vec![1.0; data.covariates.len()],
            covariate_varies: vec![false; data.covariates.len()],
            counts,
            excluded,
        };
        design.count_cells(data);
        design.measure(data);
        design.lay_out_columns()?;
        Ok(design)
    }

    /// The rows that are used, ascending.
    pub(super) fn used_rows(&self) -> impl Iterator<Item = usize> + '_ {
        let mut excluded = self.excluded.iter().copied().peekable();
        (0..self.counts.given).filter(move |row| excluded.next_if_eq(row).is_none())
    }

    /// Writes the non-zero entries of a used row, in ascending column order.
    #[inline]
    pub(super) fn entries(&self, data: &Data<'_>, row: usize, out: &mut Vec<(usize, f64)>) {
        out.clear();
        out.push((0, 1.0));
        for term in &self.terms {
            let cell = term.cell(
                term.factors
                    .iter()
                    .map(|factor| data.factors[factor.0].codes[row]),
            );
            let value = match term.covariate {
                Some(covariate) => self.centred(data, covariate, row),
                None => 1.0,
            };
            out.push((term.column_of_cell[cell] as usize, value));
        }
    }

    fn centred(&self, data: &Data<'_>, covariate: CovariateIndex, row: usize) -> f64 {
        let at = covariate.0;
        if self.covariate_varies[at] {
            (data.covariates[at][row] - self.covariate_mean[at]) / self.covariate_scale[at]
        } else {
            0.0
        }
    }

    /// The unit of a column inside, in the covariate's own units.
    pub(super) fn scale(&self, column: usize) -> f64 {
        self.columns[column]
            .covariate
            .map_or(1.0, |covariate| self.covariate_scale[covariate.0])
    }

    fn count_cells(&mut self, data: &Data<'_>) {
        let used: Vec<usize> = self.used_rows().collect();
        for term in &mut self.terms {
            for &row in &used {
                let codes = term
                    .factors
                    .iter()
                    .map(|factor| data.factors[factor.0].codes[row]);
                let cell = term.cell(codes);
                term.rows_of_cell[cell] += 1;
            }
            for factor in &term.factors {
                let rows_of_level = &mut self.rows_of_level[factor.0];
                if rows_of_level.is_empty() {
                    rows_of_level.resize(data.factors[factor.0].levels as usize, 0);
                    for &row in &used {
                        rows_of_level[data.factors[factor.0].codes[row] as usize] += 1;
                    }
                }
            }
        }
    }

    #[allow(clippy::cast_precision_loss)] // row counts are far below 2^53
    fn measure(&mut self, data: &Data<'_>) {
        let rows = self.counts.used as f64;
        let sum: Sum = self.used_rows().map(|row| data.response[row]).collect();
        self.response_mean = sum.total() / rows;
        let mut named: Vec<usize> = self
            .terms
            .iter()
            .filter_map(|term| term.covariate)
            .map(|covariate| covariate.0)
            .collect();
        named.dedup();
        for at in named {
            let values = data.covariates[at];
            let sum: Sum = self.used_rows().map(|row| values[row]).collect();
            let mean = sum.total() / rows;
            let squares: Sum = self
                .used_rows()
                .map(|row| (values[row] - mean).powi(2))
                .collect();
            let spread = (squares.total() / rows).sqrt();
            self.covariate_mean[at] = mean;
            if spread > CONSTANT_COVARIATE * mean.abs() {
                self.covariate_varies[at] = true;
                self.covariate_scale[at] = spread;
            }
        }
    }

    fn lay_out_columns(&mut self) -> Result<(), FitError> {
        let baseline: Vec<u32> = self
            .rows_of_level
            .iter()
            .map(|rows| most_frequent(rows))
            .collect();
        for (index, term) in self.terms.iter_mut().enumerate() {
            for cell in 0..term.rows_of_cell.len() {
                if term.rows_of_cell[cell] == 0 {
                    continue;
                }
                let codes = term.codes(cell);
                let redundant = if term.nested {
                    let inner_levels = *term.radix.last().expect("a nested term has factors");
                    let first = cell - cell % inner_levels;
                    let siblings = &term.rows_of_cell[first..first + inner_levels];
                    most_frequent(siblings) as usize == cell - first
                } else {
                    codes
                        .iter()
                        .zip(&term.factors)
                        .any(|(&code, factor)| code == baseline[factor.0])
                };
                term.column_of_cell[cell] =
                    u32::try_from(self.columns.len()).expect("columns are limited below");
                self.columns.push(Column {
                    term: Some(TermIndex(index)),
                    levels: term.labels(cell),
                    covariate: term.covariate,
                    rows: term.rows_of_cell[cell],
                });
                self.redundant.push(redundant);
            }
        }
        if self.columns.len() > MOST_COLUMNS {
            return Err(FitError::TooManyColumns {
                columns: self.columns.len(),
                limit: MOST_COLUMNS,
            });
        }
        Ok(())
    }

    /// Cells of a term that no used row holds though each of their levels occurs.
    pub(super) fn empty_cells(&self, index: usize) -> Vec<EmptyCell> {
        let term = &self.terms[index];
        if term.nested {
            return Vec::new();
        }
        let occurs = |&(factor, level): &(FactorIndex, u32)| {
            self.rows_of_level[factor.0][level as usize] > 0
        };
        (0..term.rows_of_cell.len())
            .filter(|&cell| term.rows_of_cell[cell] == 0)
            .map(|cell| EmptyCell {
                term: TermIndex(index),
                levels: term.labels(cell),
            })
            .filter(|cell| cell.levels.iter().all(occurs))
            .collect()
    }

    /// The levels of a factor that used rows have.
    pub(super) fn present(&self, factor: FactorIndex) -> Vec<u32> {
        (0u32..)
            .zip(&self.rows_of_level[factor.0])
            .filter(|&(_, &rows)| rows > 0)
            .map(|(level, _)| level)
            .collect()
    }
}

/// The level with the most rows, the lowest among equals. Chosen over the first level because a rare
/// baseline makes the other indicators nearly add up to the intercept.
fn most_frequent(rows: &[usize]) -> u32 {
    let mut best = 0;
    for (level, &count) in rows.iter().enumerate() {
        if count > rows[best] {
            best = level;
        }
    }
    u32::try_from(best).expect("a level is a u32")
}

fn empty_layout(data: &Data<'_>, term: &Term, at: TermIndex) -> Result<TermLayout, FitError> {
    let factors = term.factors();
    let radix: Vec<usize> = factors
        .iter()
        .map(|factor| data.factors[factor.0].levels as usize)
        .collect();
    let cells = radix
        .iter()
        .try_fold(1usize, |cells, &levels| cells.checked_mul(levels))
        .filter(|&cells| cells <= MOST_CELLS)
        .ok_or(FitError::TooManyCells {
            term: at,
            limit: MOST_CELLS,
        })?;
    Ok(TermLayout {
        factors,
        radix,
        covariate: term.covariate(),
        nested: matches!(term, Term::Nested { .. }),
        column_of_cell: vec![NO_COLUMN; cells],
        rows_of_cell: vec![0; cells],
    })
}

fn count_rows(data: &Data<'_>, terms: &[TermLayout]) -> (RowCounts, Vec<usize>) {
    let given = data.response.len();
    let mut counts = RowCounts {
        given,
        used: 0,
        missing_response: 0,
        missing_factor: vec![0; data.factors.len()],
        missing_covariate: vec![0; data.covariates.len()],
    };
    let mut left_out = vec![false; given];
    let mut note = |row: usize, missing: bool, count: &mut usize| {
        if missing {
            *count += 1;
            left_out[row] = true;
        }
    };
    for (row, value) in data.response.iter().enumerate() {
        note(row, value.is_nan(), &mut counts.missing_response);
    }
    for (index, factor) in data.factors.iter().enumerate() {
        if terms
            .iter()
            .any(|term| term.factors.contains(&FactorIndex(index)))
        {
            for (row, &code) in factor.codes.iter().enumerate() {
                note(
                    row,
                    code == MISSING_LEVEL,
                    &mut counts.missing_factor[index],
                );
            }
        }
    }
    for (index, values) in data.covariates.iter().enumerate() {
        if terms
            .iter()
            .any(|term| term.covariate == Some(CovariateIndex(index)))
        {
            for (row, value) in values.iter().enumerate() {
                note(row, value.is_nan(), &mut counts.missing_covariate[index]);
            }
        }
    }
    let excluded: Vec<usize> = (0..given).filter(|&row| left_out[row]).collect();
    counts.used = given - excluded.len();
    (counts, excluded)
}
