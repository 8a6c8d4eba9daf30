//! The rows of a mixed model: which are used, and their few non-zero entries.
//!
//! * **Enters:** data, the fixed part's fit, and checked random factors.
//! * **Leaves:** for each used row the centred response, its level of the absorbed factor, and its
//!   entries in the other columns.
//! * **Always true:** the other columns are the levels of the other random factors, factor by factor,
//!   then the kept columns of the fixed part. The absorbed factor is the one with codes and most levels.
//! * **Never:** holds a dense row.

use std::ops::Range;

use super::random::{Levels, RandomFactor};
use crate::linear::{Data, Fit};

/// Where a random factor's levels stand among the columns.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Place {
    Absorbed,
    Beside(Range<usize>),
}

/// The columns: those absorbed, and those beside them.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub(super) levels: Vec<Levels>,
    pub(super) places: Vec<Place>,
    /// Levels of the absorbed factor; zero when there is none.
    pub(super) absorbed: usize,
    /// Random columns beside the absorbed ones; they come first.
    pub(super) random: usize,
    /// Fixed columns.
    pub(super) fixed: usize,
}

impl Layout {
    pub(super) fn new(factors: &[RandomFactor<'_>], used: &[usize], fixed: usize) -> Layout {
        let levels: Vec<Levels> = factors
            .iter()
            .map(|factor| Levels::new(factor, used))
            .collect();
        let mut largest: Option<usize> = None;
        for (at, factor) in factors.iter().enumerate() {
            let better = largest.is_none_or(|best| levels[at].count() > levels[best].count());
            if matches!(factor, RandomFactor::Codes(_)) && better {
                largest = Some(at);
            }
        }
        let mut random = 0;
        let places = levels
            .iter()
            .enumerate()
            .map(|(at, own)| {
                if largest == Some(at) {
                    Place::Absorbed
                } else {
                    random += own.count();
                    Place::Beside(random - own.count()..random)
                }
            })
            .collect();
        Layout {
            absorbed: largest.map_or(0, |at| levels[at].count()),
            levels,
            places,
            random,
            fixed,
        }
    }

    /// Columns beside the absorbed ones.
    pub(super) fn width(&self) -> usize {
        self.random + self.fixed
    }
}

/// A number for each column: absorbed ones and those beside.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Columns {
    pub(super) absorbed: Vec<f64>,
    pub(super) beside: Vec<f64>,
}

impl Columns {
    pub(super) fn zero(layout: &Layout) -> Columns {
        Columns {
            absorbed: vec![0.0; layout.absorbed],
            beside: vec![0.0; layout.width()],
        }
    }

    /// The part of one random factor.
    pub(super) fn part(&self, place: &Place) -> &[f64] {
        match place {
            Place::Absorbed => &self.absorbed,
            Place::Beside(range) => &self.beside[range.clone()],
        }
    }

    pub(super) fn part_mut(&mut self, place: &Place) -> &mut [f64] {
        match place {
            Place::Absorbed => &mut self.absorbed,
            Place::Beside(range) => &mut self.beside[range.clone()],
        }
    }
}

/// The used rows.
pub(super) struct Rows {
    /// The response less its mean.
    pub(super) response: Vec<f64>,
    /// The number of the absorbed level; empty when nothing is absorbed.
    pub(super) absorbed: Vec<u32>,
    starts: Vec<usize>,
    columns: Vec<u32>,
    values: Vec<f64>,
}

impl Rows {
    pub(super) fn new(
        data: &Data<'_>,
        fit: &Fit,
        factors: &[RandomFactor<'_>],
        used: &[usize],
        layout: &Layout,
    ) -> Rows {
        let mut place_of = vec![None; fit.columns().len()];
        for (place, &column) in fit.kept_columns().iter().enumerate() {
            place_of[column] = Some(layout.random + place);
        }
        let mut rows = Rows {
            response: Vec::with_capacity(used.len()),
            absorbed: Vec::new(),
            starts: vec![0],
            columns: Vec::new(),
            values: Vec::new(),
        };
        let mut own: Vec<(usize, f64)> = Vec::new();
        let mut fixed = Vec::new();
        for &row in used {
            rows.response.push(data.response[row] - fit.response_mean());
            for ((factor, levels), place) in factors.iter().zip(&layout.levels).zip(&layout.places)
            {
                own.clear();
                factor.entries(row, |level, weight| {
                    let number = levels.number_of[level as usize] as usize;
                    match own.iter_mut().find(|(other, _)| *other == number) {
                        Some((_, sum)) => *sum += weight,
                        None => own.push((number, weight)),
                    }
                });
                match place {
                    Place::Absorbed => rows.absorbed.extend(
                        own.iter()
                            .map(|&(number, _)| u32::try_from(number).expect("made of a u32")),
                    ),
                    Place::Beside(range) => {
                        for &(number, weight) in &own {
                            rows.push(range.start + number, weight);
                        }
                    }
                }
            }
            fit.entries(data, row, &mut fixed);
            for &(column, value) in &fixed {
                if let Some(place) = place_of[column] {
                    rows.push(place, value);
                }
            }
            rows.starts.push(rows.columns.len());
        }
        rows
    }

    fn push(&mut self, column: usize, value: f64) {
        self.columns
            .push(u32::try_from(column).expect("columns are limited"));
        self.values.push(value);
    }

    pub(super) fn count(&self) -> usize {
        self.response.len()
    }

    /// The entries of a row beside the absorbed level.
    #[inline]
    pub(super) fn entries(&self, row: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let range = self.starts[row]..self.starts[row + 1];
        self.columns[range.clone()]
            .iter()
            .map(|&column| column as usize)
            .zip(self.values[range].iter().copied())
    }

    /// For each column the sum of the rows' values times its entries.
    pub(super) fn gather(&self, values: &[f64], layout: &Layout) -> Columns {
        let mut sums = Columns::zero(layout);
        for (row, &value) in values.iter().enumerate() {
            if let Some(&level) = self.absorbed.get(row) {
                sums.absorbed[level as usize] += value;
            }
            for (column, entry) in self.entries(row) {
                sums.beside[column] += entry * value;
            }
        }
        sums
    }

    /// The response less what the solution gives each row.
    pub(super) fn residuals(&self, solution: &Columns) -> Vec<f64> {
        (0..self.count())
            .map(|row| {
                let absorbed = self
                    .absorbed
                    .get(row)
                    .map_or(0.0, |&level| solution.absorbed[level as usize]);
                let beside: f64 = self
                    .entries(row)
                    .map(|(column, entry)| entry * solution.beside[column])
                    .sum();
                self.response[row] - absorbed - beside
            })
            .collect()
    }
}
