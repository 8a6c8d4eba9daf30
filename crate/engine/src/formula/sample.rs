//! A list of numbers that functions like SUM and MEDIAN take.
//!
//! Enters: whole columns and single values. Leaves: counts, sums, moments and order of them all together.
//! Always true: columns are worked through once; a value that differs from row to row is added to what is
//! known of the columns, so a row costs no more than its own values. Sums are compensated, so that the order
//! of rows does not show.
//! Never: reads a blank as zero.

use std::cell::OnceCell;

use fairpen_stats::sum::Sum;

use super::error_value::ErrorValue;

/// The numbers of all columns of a list.
#[derive(Default)]
pub struct Base {
    /// The numbers.
    pub numbers: Vec<f64>,
    sum: OnceCell<f64>,
    about_mean: OnceCell<f64>,
    sorted: OnceCell<Vec<f64>>,
    mode: OnceCell<Option<(f64, usize)>>,
}

impl Base {
    /// From the numbers of all columns.
    pub fn new(numbers: Vec<f64>) -> Base {
        Base {
            numbers,
            ..Base::default()
        }
    }

    fn sum(&self) -> f64 {
        *self
            .sum
            .get_or_init(|| self.numbers.iter().copied().collect::<Sum>().total())
    }

    fn mean(&self) -> f64 {
        self.sum() / self.numbers.len() as f64
    }

    /// Sum of squared deviations from the mean.
    fn about_mean(&self) -> f64 {
        *self.about_mean.get_or_init(|| {
            if self.numbers.is_empty() {
                return 0.0;
            }
            let mean = self.mean();
            let squares: Sum = self
                .numbers
                .iter()
                .map(|number| (number - mean) * (number - mean))
                .collect();
            squares.total()
        })
    }

    fn sorted(&self) -> &[f64] {
        self.sorted.get_or_init(|| {
            let mut sorted = self.numbers.clone();
            sorted.sort_unstable_by(f64::total_cmp);
            sorted
        })
    }

    fn count_of(&self, number: f64) -> usize {
        let sorted = self.sorted();
        let from = sorted.partition_point(|other| *other < number);
        sorted[from..].partition_point(|other| *other <= number)
    }

    /// The value that stands most often, the smallest of them, and how often.
    fn mode(&self) -> Option<(f64, usize)> {
        *self.mode.get_or_init(|| {
            let mut best: Option<(f64, usize)> = None;
            for run in self.sorted().chunk_by(|one, other| one == other) {
                if best.is_none_or(|(_, n)| run.len() > n) {
                    best = run.first().map(|number| (*number, run.len()));
                }
            }
            best
        })
    }
}

/// The numbers of the columns and those of one row.
pub struct Sample<'s> {
    base: &'s Base,
    /// Numbers of the row, smallest first.
    more: &'s [f64],
}

impl<'s> Sample<'s> {
    /// The columns' numbers and a row's, which are put in order.
    pub fn new(base: &'s Base, more: &'s mut [f64]) -> Sample<'s> {
        more.sort_unstable_by(f64::total_cmp);
        Sample { base, more }
    }

    /// How many numbers.
    pub fn n(&self) -> usize {
        self.base.numbers.len() + self.more.len()
    }

    /// How many numbers, as a number.
    pub fn count(&self) -> f64 {
        self.n() as f64
    }

    /// Their sum.
    pub fn sum(&self) -> f64 {
        let mut sum = Sum::default();
        sum.add(self.base.sum());
        for number in self.more {
            sum.add(*number);
        }
        sum.total()
    }

    /// Their mean.
    ///
    /// # Errors
    /// `#DIV/0!` without numbers.
    pub fn mean(&self) -> Result<f64, ErrorValue> {
        if self.n() == 0 {
            return Err(ErrorValue::DivisionByZero);
        }
        Ok(self.sum() / self.count())
    }

    /// The sum of squared deviations from the mean (Chan, Golub and LeVeque 1983, for putting two lists
    /// together).
    pub fn about_mean(&self) -> f64 {
        let mut n = self.base.numbers.len() as f64;
        let mut mean = if n > 0.0 { self.base.mean() } else { 0.0 };
        let mut squares = self.base.about_mean();
        for number in self.more {
            n += 1.0;
            let difference = number - mean;
            mean += difference / n;
            squares += difference * (number - mean);
        }
        squares
    }

    /// Variance over `n - less`.
    ///
    /// # Errors
    /// `#DIV/0!` with too few numbers.
    pub fn variance(&self, less: usize) -> Result<f64, ErrorValue> {
        if self.n() <= less {
            return Err(ErrorValue::DivisionByZero);
        }
        Ok(self.about_mean() / (self.n() - less) as f64)
    }

    /// The number at a place in the order, 0 for the smallest.
    pub fn in_order(&self, place: usize) -> Option<f64> {
        let sorted = self.base.sorted();
        let mut before = 0;
        for (at, number) in self.more.iter().enumerate() {
            let stands = sorted.partition_point(|other| other < number) + at;
            match stands.cmp(&place) {
                std::cmp::Ordering::Equal => return Some(*number),
                std::cmp::Ordering::Less => before = at + 1,
                std::cmp::Ordering::Greater => break,
            }
        }
        sorted.get(place.checked_sub(before)?).copied()
    }

    /// The smallest number.
    pub fn smallest(&self) -> Option<f64> {
        self.in_order(0)
    }

    /// The largest number.
    pub fn largest(&self) -> Option<f64> {
        self.in_order(self.n().checked_sub(1)?)
    }

    /// The number at a share of the way from the smallest to the largest, between the two around it
    /// (type 7 of Hyndman and Fan 1996, The American Statistician 50:361-365).
    ///
    /// # Errors
    /// `#VALUE!` without numbers.
    pub fn quantile(&self, share: f64) -> Result<f64, ErrorValue> {
        let last = self.n().checked_sub(1).ok_or(ErrorValue::Value)?;
        let place = last as f64 * share;
        let below = (place.floor() as usize).min(last);
        let low = self.in_order(below).ok_or(ErrorValue::Value)?;
        let high = self
            .in_order((below + 1).min(last))
            .ok_or(ErrorValue::Value)?;
        Ok(low + (high - low) * (place - below as f64))
    }

    /// The number that stands most often, the smallest of them.
    ///
    /// # Errors
    /// `#VALUE!` when none stands twice.
    pub fn mode(&self) -> Result<f64, ErrorValue> {
        let mut best = self.base.mode();
        for run in self.more.chunk_by(|one, other| one == other) {
            let n = run.len() + self.base.count_of(run[0]);
            let better =
                best.is_none_or(|(number, most)| n > most || (n == most && run[0] < number));
            if better {
                best = Some((run[0], n));
            }
        }
        match best {
            Some((number, n)) if n > 1 => Ok(number),
            _ => Err(ErrorValue::Value),
        }
    }

    /// All numbers, in no particular order.
    pub fn numbers(&self) -> impl Iterator<Item = f64> {
        self.base.numbers.iter().chain(self.more).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #[test]
        fn a_row_added_is_as_if_it_had_always_been_there(
            base in proptest::collection::vec(-5_i32..5, 0..12),
            more in proptest::collection::vec(-5_i32..5, 0..5),
        ) {
            let numbers = |list: &[i32]| list.iter().map(|&n| f64::from(n)).collect::<Vec<_>>();
            let whole: Vec<i32> = base.iter().chain(&more).copied().collect();
            let (whole, apart) = (Base::new(numbers(&whole)), Base::new(numbers(&base)));
            let (mut none, mut extra) = (Vec::new(), numbers(&more));
            let whole = Sample::new(&whole, &mut none);
            let apart = Sample::new(&apart, &mut extra);
            for place in 0..whole.n() + 1 {
                proptest::prop_assert_eq!(whole.in_order(place), apart.in_order(place));
            }
            proptest::prop_assert_eq!(whole.mode(), apart.mode());
            proptest::prop_assert!((whole.about_mean() - apart.about_mean()).abs() < 1e-9);
            proptest::prop_assert_eq!(whole.sum(), apart.sum());
        }
    }
}
