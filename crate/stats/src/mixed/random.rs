//! What the caller says of a random factor, checked, and its levels numbered.
//!
//! * **Enters:** level codes, or each row's shares in several levels.
//! * **Leaves:** the same, checked, and a numbering of the levels that used rows have.
//! * **Always true:** a row without any level is counted as missing and left out; levels without a used
//!   row take no room.
//! * **Never:** makes up a level for rows that have none: that is the caller's to decide.

use super::error::MixedError;
use crate::linear::{Factor, MISSING_LEVEL};

/// Which random factor, by its place in the list given to [`fit_mixed`](super::fit_mixed).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RandomIndex(pub usize);

/// A factor whose levels are a sample: their effects are drawn from a normal distribution with mean zero
/// and one variance, independently of each other and of everything else.
#[derive(Debug, Clone, Copy)]
pub enum RandomFactor<'a> {
    /// One level for each row; [`MISSING_LEVEL`](crate::linear::MISSING_LEVEL) where it is not known.
    Codes(Factor<'a>),
    /// Each row has shares in one or more levels.
    Shares(Shares<'a>),
}

/// Rows of weights on levels, as for a calf with several possible sires.
///
/// Row i has the entries from `starts[i]` up to `starts[i + 1]`; a row without entries is missing. Weights
/// are above zero. They need not add up to one, but when they do, a row with several levels carries less
/// of the factor's variance than a row with one (the sum of its squared weights, times the variance): that
/// is what averaging does, and it understates the spread where in truth one of the levels is the right
/// one and only which one is unknown.
#[derive(Debug, Clone, Copy)]
pub struct Shares<'a> {
    /// One more than there are rows; the first is zero and the last the number of entries.
    pub starts: &'a [usize],
    /// The level of each entry, below `level_count`.
    pub levels: &'a [u32],
    /// The weight of each entry.
    pub weights: &'a [f64],
    /// How many levels there are.
    pub level_count: u32,
}

impl RandomFactor<'_> {
    /// How many levels the caller has, with rows or without.
    pub(super) fn level_count(&self) -> usize {
        match self {
            RandomFactor::Codes(factor) => factor.levels as usize,
            RandomFactor::Shares(shares) => shares.level_count as usize,
        }
    }

    /// Calls `each` with the levels of a row and their weights.
    #[inline]
    pub(super) fn entries(&self, row: usize, mut each: impl FnMut(u32, f64)) {
        match self {
            RandomFactor::Codes(factor) => {
                if factor.codes[row] != MISSING_LEVEL {
                    each(factor.codes[row], 1.0);
                }
            }
            RandomFactor::Shares(shares) => {
                for at in shares.starts[row]..shares.starts[row + 1] {
                    each(shares.levels[at], shares.weights[at]);
                }
            }
        }
    }

    pub(super) fn is_missing(&self, row: usize) -> bool {
        match self {
            RandomFactor::Codes(factor) => factor.codes[row] == MISSING_LEVEL,
            RandomFactor::Shares(shares) => shares.starts[row] == shares.starts[row + 1],
        }
    }

    pub(super) fn check(&self, index: RandomIndex, expected: usize) -> Result<(), MixedError> {
        match self {
            RandomFactor::Codes(factor) => check_codes(factor, index, expected),
            RandomFactor::Shares(shares) => check_shares(shares, index, expected),
        }
    }
}

fn check_codes(
    factor: &Factor<'_>,
    random: RandomIndex,
    expected: usize,
) -> Result<(), MixedError> {
    if factor.codes.len() != expected {
        return Err(MixedError::RandomLength {
            random,
            rows: factor.codes.len(),
            expected,
        });
    }
    let outside = |&code: &u32| code >= factor.levels && code != MISSING_LEVEL;
    match factor.codes.iter().position(outside) {
        Some(row) => Err(MixedError::LevelOutOfRange {
            random,
            row,
            level: factor.codes[row],
        }),
        None => Ok(()),
    }
}

fn check_shares(
    shares: &Shares<'_>,
    random: RandomIndex,
    expected: usize,
) -> Result<(), MixedError> {
    let rows = shares.starts.len().saturating_sub(1);
    if shares.starts.is_empty() || rows != expected {
        return Err(MixedError::RandomLength {
            random,
            rows,
            expected,
        });
    }
    let entries = shares.levels.len();
    let in_order = shares.starts.windows(2).all(|pair| pair[0] <= pair[1]);
    if shares.starts[0] != 0
        || shares.starts[rows] != entries
        || shares.weights.len() != entries
        || !in_order
    {
        return Err(MixedError::MalformedShares { random });
    }
    for row in 0..rows {
        for at in shares.starts[row]..shares.starts[row + 1] {
            let (level, weight) = (shares.levels[at], shares.weights[at]);
            if level >= shares.level_count {
                return Err(MixedError::LevelOutOfRange { random, row, level });
            }
            if !(weight > 0.0 && weight.is_finite()) {
                return Err(MixedError::WeightOutOfRange { random, row });
            }
        }
    }
    Ok(())
}

/// The levels of one random factor that used rows have.
#[derive(Debug, Clone)]
pub(super) struct Levels {
    /// For each level of the caller its number here, or `ABSENT`.
    pub(super) number_of: Vec<u32>,
    /// The caller's level for each number.
    pub(super) level_of: Vec<u32>,
    /// How many used rows have a share in the level, by number.
    pub(super) rows: Vec<usize>,
}

pub(super) const ABSENT: u32 = u32::MAX;

impl Levels {
    pub(super) fn new(factor: &RandomFactor<'_>, used: &[usize]) -> Levels {
        let mut rows_of = vec![0usize; factor.level_count()];
        for &row in used {
            factor.entries(row, |level, _| rows_of[level as usize] += 1);
        }
        let mut levels = Levels {
            number_of: vec![ABSENT; rows_of.len()],
            level_of: Vec::new(),
            rows: Vec::new(),
        };
        for (level, &rows) in (0u32..).zip(&rows_of) {
            if rows > 0 {
                levels.number_of[level as usize] =
                    u32::try_from(levels.level_of.len()).expect("fewer than there are codes");
                levels.level_of.push(level);
                levels.rows.push(rows);
            }
        }
        levels
    }

    pub(super) fn count(&self) -> usize {
        self.level_of.len()
    }
}
