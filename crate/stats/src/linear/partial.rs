//! What each term adds when every other term is already in the model.
//!
//! * **Enters:** a fit.
//! * **Leaves:** for each term its partial sum of squares (type III), F and p; and F of one term's mean
//!   square over another's.
//! * **Always true:** every factor is coded so that its effects add up to zero, which makes the test of a
//!   main effect one of equally weighted means whether or not an interaction is in the model. Coding
//!   against a baseline level would give other numbers as soon as there is one.
//! * **Never:** depends on the order of the terms.

use std::ops::Range;

use super::design::NO_COLUMN;
use super::fit::Fit;
use super::term::TermIndex;
use crate::distribution::FDistribution;
use crate::matrix::{SemidefiniteFactor, Symmetric};

/// An F test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FTest {
    /// Mean square over mean square.
    pub f: f64,
    /// Degrees of freedom of the numerator.
    pub numerator_df: f64,
    /// Degrees of freedom of the denominator.
    pub denominator_df: f64,
    /// Probability of an F at least this large, were there no effect.
    pub p: f64,
}

/// One term's row of the analysis of variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartialTest {
    /// The term.
    pub term: TermIndex,
    /// Independent contrasts of the term that no other term can explain. Zero when the term is wholly
    /// confounded with others.
    pub df: usize,
    /// What `df` would be with every cell filled and nothing confounded. Where `df` is less, the sum of
    /// squares tests only the part of the term that can be told apart.
    pub full_df: usize,
    /// Rise of the residual sum of squares when the term is left out, in squared response units.
    pub sum_of_squares: f64,
    /// Sum of squares over `df`; `None` when `df` is zero.
    pub mean_square: Option<f64>,
    /// Test against the residual; `None` when either has no degrees of freedom or the fit is exact.
    pub test: Option<FTest>,
}

impl PartialTest {
    /// F of this term's mean square over that of another term, as for a line tested against the sires
    /// within it. `None` when either has no degrees of freedom or the other's mean square is zero.
    ///
    /// With unequal numbers, or with covariates in the model, such a ratio is only roughly distributed
    /// as F.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // degrees of freedom are far below 2^53
    pub fn against(&self, error: &PartialTest) -> Option<FTest> {
        ratio(
            self.mean_square?,
            self.df as f64,
            error.mean_square?,
            error.df as f64,
        )
    }
}

/// A column of the sum-to-zero coding: weights on columns of the design.
type Coded = Vec<(usize, f64)>;

/// The whole model in sum-to-zero coding.
struct Coding {
    /// The coded columns, term after term.
    columns: Vec<Coded>,
    /// Where each term's columns stand.
    blocks: Vec<Range<usize>>,
    crossproduct: Symmetric,
    /// Crossproducts with the centred response.
    right: Vec<f64>,
}

impl Coding {
    /// The factor with a term's columns tried last, and where the term's columns stand.
    fn with_last(&self, term: usize) -> (SemidefiniteFactor, Range<usize>) {
        let block = self.blocks[term].clone();
        let order: Vec<usize> = (0..block.start)
            .chain(block.end..self.columns.len())
            .chain(block.clone())
            .collect();
        (SemidefiniteFactor::new(&self.crossproduct, &order), block)
    }
}

/// What the partial test of a term says is zero.
#[derive(Debug, Clone)]
pub(crate) struct Hypothesis {
    pub(crate) term: TermIndex,
    /// What the number of rows would be with every cell filled and nothing confounded.
    pub(crate) full_df: usize,
    /// Independent linear functions; weights on the kept columns in their order, as scaled inside.
    pub(crate) rows: Vec<Vec<f64>>,
}

impl Fit {
    /// Partial (type III) sums of squares and tests, one for each term in the order of the model.
    ///
    /// Method: columns coded to sum to zero over the levels that occur (within each outer cell for a
    /// nested factor); the term's columns are put last, and its sum of squares is what they take of the
    /// response after all others (Searle 1971, Linear Models, section 8.1; called type III by Goodnight
    /// 1980, Communications in Statistics A9:167-180). In a model with empty cells a main effect within an
    /// interaction has no single right test; this one drops the columns that the rest can explain, and
    /// [`PartialTest::full_df`] and [`Fit::empty_cells`] tell when that happened. Covariates are centred,
    /// so a factor with slopes of its own is tested at the covariate's mean.
    #[must_use]
    pub fn partial_tests(&self) -> Vec<PartialTest> {
        let coding = self.coding();
        let mut tests = Vec::with_capacity(self.design.terms.len());
        for term in 0..self.design.terms.len() {
            let (factor, block) = coding.with_last(term);
            let right = &coding.right;
            let mut taken: Vec<f64> = factor.kept.iter().map(|&column| right[column]).collect();
            factor.solve_lower(&mut taken);
            let sum_of_squares: f64 = factor
                .kept
                .iter()
                .zip(&taken)
                .filter(|(column, _)| block.contains(*column))
                .map(|(_, value)| value * value)
                .sum();
            let df = factor
                .kept
                .iter()
                .filter(|&column| block.contains(column))
                .count();
            tests.push(self.partial_test(TermIndex(term), df, block.len(), sum_of_squares));
        }
        tests
    }

    /// The hypotheses behind [`Fit::partial_tests`], for models that share the columns but not the
    /// residual.
    ///
    /// The coded columns C and the kept ones K span the same space, so K = C A, and with b the
    /// coefficients of K those of C are A b. The rows of A that belong to the term say that its coded
    /// coefficients are zero.
    pub(crate) fn hypotheses(&self) -> Vec<Hypothesis> {
        let coding = self.coding();
        let kept = self.kept_columns();
        (0..self.design.terms.len())
            .map(|term| {
                let (factor, block) = coding.with_last(term);
                let own: Vec<usize> = (0..factor.kept.len())
                    .filter(|&place| block.contains(&factor.kept[place]))
                    .collect();
                let mut rows = vec![vec![0.0; kept.len()]; own.len()];
                for (at, &column) in kept.iter().enumerate() {
                    let right: Vec<f64> = coding
                        .columns
                        .iter()
                        .map(|coded| {
                            coded
                                .iter()
                                .map(|&(other, weight)| {
                                    weight * self.crossproduct.get(other, column)
                                })
                                .sum()
                        })
                        .collect();
                    let solved = factor.solve(&right);
                    for (row, &place) in rows.iter_mut().zip(&own) {
                        row[at] = solved[place];
                    }
                }
                if rows.len() == block.len() && !self.design.terms[term].nested {
                    self.against_first(term, &mut rows);
                }
                Hypothesis {
                    term: TermIndex(term),
                    full_df: block.len(),
                    rows,
                }
            })
            .collect()
    }

    /// Turns the effects of each factor's levels but the last into differences of the levels but the
    /// first from the first: the same hypothesis in the words that differences of means use.
    fn against_first(&self, term: usize, rows: &mut [Vec<f64>]) {
        let counts: Vec<usize> = self.design.terms[term]
            .factors
            .iter()
            .map(|&factor| self.design.present(factor).len() - 1)
            .collect();
        let mut stride = 1;
        for &count in counts.iter().rev() {
            for start in (0..rows.len()).filter(|at| at / stride % count == 0) {
                let effects: Vec<Vec<f64>> = (0..count)
                    .map(|level| rows[start + level * stride].clone())
                    .collect();
                for level in 0..count {
                    let row = &mut rows[start + level * stride];
                    for (at, value) in row.iter_mut().enumerate() {
                        // The last level's effect is minus the sum of the others.
                        let own = match effects.get(level + 1) {
                            Some(effect) => effect[at],
                            None => -effects.iter().map(|effect| effect[at]).sum::<f64>(),
                        };
                        *value = own - effects[0][at];
                    }
                }
            }
            stride *= count;
        }
    }

    #[allow(clippy::cast_precision_loss)] // degrees of freedom are far below 2^53
    fn partial_test(
        &self,
        term: TermIndex,
        df: usize,
        full_df: usize,
        sum_of_squares: f64,
    ) -> PartialTest {
        let mean_square = (df > 0).then(|| sum_of_squares / df as f64);
        let test = mean_square
            .zip(self.residual_mean_square())
            .and_then(|(own, residual)| ratio(own, df as f64, residual, self.residual_df() as f64));
        PartialTest {
            term,
            df,
            full_df,
            sum_of_squares,
            mean_square,
            test,
        }
    }

    fn coding(&self) -> Coding {
        let by_term = self.coded_columns();
        // The first list is the intercept's.
        let mut end = by_term[0].len();
        let blocks = by_term[1..]
            .iter()
            .map(|columns| {
                let start = end;
                end += columns.len();
                start..end
            })
            .collect();
        let columns: Vec<Coded> = by_term.into_iter().flatten().collect();
        let (crossproduct, right) = self.code(&columns);
        Coding {
            columns,
            blocks,
            crossproduct,
            right,
        }
    }

    /// The sum-to-zero columns: the intercept's block, then one block for each term.
    fn coded_columns(&self) -> Vec<Vec<Coded>> {
        let mut blocks = vec![vec![vec![(0, 1.0)]]];
        for term in &self.design.terms {
            let column = |cell: usize| term.column_of_cell[cell];
            let patterns = if term.nested {
                let inner = *term.radix.last().expect("a nested term has factors");
                let mut patterns = Vec::new();
                for first in (0..term.rows_of_cell.len()).step_by(inner.max(1)) {
                    let occurring: Vec<usize> = (first..first + inner)
                        .filter(|&cell| term.rows_of_cell[cell] > 0)
                        .collect();
                    patterns.extend(contrasts(&occurring));
                }
                patterns
            } else {
                let mut patterns = vec![vec![(0usize, 1.0)]];
                for (factor, levels) in term.factors.iter().zip(&term.radix) {
                    let present: Vec<usize> = self
                        .design
                        .present(*factor)
                        .iter()
                        .map(|&code| code as usize)
                        .collect();
                    patterns = cross(&patterns, &contrasts(&present), *levels);
                }
                patterns
            };
            let block = patterns
                .into_iter()
                .map(|pattern| {
                    pattern
                        .into_iter()
                        .filter(|&(cell, _)| column(cell) != NO_COLUMN)
                        .map(|(cell, weight)| (column(cell) as usize, weight))
                        .collect()
                })
                .collect();
            blocks.push(block);
        }
        blocks
    }

    /// Crossproducts of coded columns with each other and with the response.
    fn code(&self, coded: &[Coded]) -> (Symmetric, Vec<f64>) {
        let mut crossproduct = Symmetric::zero(coded.len());
        for (i, left) in coded.iter().enumerate() {
            for (j, other) in coded.iter().enumerate().skip(i) {
                let mut sum = 0.0;
                for &(a, weight_a) in left {
                    for &(b, weight_b) in other {
                        sum += weight_a * weight_b * self.crossproduct.get(a, b);
                    }
                }
                crossproduct.add_upper(i, j, sum);
            }
        }
        let right = coded
            .iter()
            .map(|column| {
                column
                    .iter()
                    .map(|&(at, weight)| weight * self.right[at])
                    .sum()
            })
            .collect();
        (crossproduct, right)
    }
}

/// Each item but the last against the last.
fn contrasts(items: &[usize]) -> Vec<Vec<(usize, f64)>> {
    match items.split_last() {
        None => Vec::new(),
        Some((&last, others)) => others
            .iter()
            .map(|&item| vec![(item, 1.0), (last, -1.0)])
            .collect(),
    }
}

/// Every product of a pattern over cells with a contrast over the next factor's levels.
fn cross(
    patterns: &[Vec<(usize, f64)>],
    contrasts: &[Vec<(usize, f64)>],
    levels: usize,
) -> Vec<Vec<(usize, f64)>> {
    let mut crossed = Vec::with_capacity(patterns.len() * contrasts.len());
    for pattern in patterns {
        for contrast in contrasts {
            let mut product = Vec::with_capacity(pattern.len() * contrast.len());
            for &(cell, weight) in pattern {
                for &(level, sign) in contrast {
                    product.push((cell * levels + level, weight * sign));
                }
            }
            crossed.push(product);
        }
    }
    crossed
}

fn ratio(
    numerator: f64,
    numerator_df: f64,
    denominator: f64,
    denominator_df: f64,
) -> Option<FTest> {
    if denominator <= 0.0 {
        return None;
    }
    let distribution = FDistribution::new(numerator_df, denominator_df).ok()?;
    let f = numerator / denominator;
    Some(FTest {
        f,
        numerator_df,
        denominator_df,
        p: distribution.upper_tail(f),
    })
}
