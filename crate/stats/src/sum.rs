//! Sums that lose almost nothing.
//!
//! * **Enters:** numbers, one at a time.
//! * **Leaves:** their sum.
//! * **Always true:** the error is about one rounding of the result plus a second-order term, whatever
//!   the order of the numbers, so that means agree between orderings to the last digit or so.
//! * **Never:** skips a value; missing ones are the caller's to leave out.

/// A running sum with its lost low part carried beside it (Neumaier 1974, ZAMM 54:39-51).
#[derive(Debug, Clone, Copy, Default)]
pub struct Sum {
    high: f64,
    lost: f64,
}

impl Sum {
    /// Adds a number.
    pub fn add(&mut self, value: f64) {
        let total = self.high + value;
        self.lost += if self.high.abs() >= value.abs() {
            (self.high - total) + value
        } else {
            (value - total) + self.high
        };
        self.high = total;
    }

    /// The sum.
    pub fn total(self) -> f64 {
        self.high + self.lost
    }

    /// What was added since an earlier state of the same sum.
    pub fn since(self, earlier: Sum) -> f64 {
        (self.high - earlier.high) + (self.lost - earlier.lost)
    }
}

impl FromIterator<f64> for Sum {
    fn from_iter<I: IntoIterator<Item = f64>>(values: I) -> Self {
        let mut sum = Sum::default();
        for value in values {
            sum.add(value);
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::Sum;

    #[test]
    fn small_values_survive_between_large_ones() {
        let sum: Sum = [1e16, 1.0, -1e16, 1.0].into_iter().collect();
        assert_eq!(sum.total(), 2.0);
    }
}
