//! Seeded draws.
//!
//! Enters: a seed and a stream number. Leaves: whole numbers, dates' offsets, choices, bell-shaped
//! deviations. Always true: the same seed gives the same draws on every machine, because the source
//! is PCG-32 (O'Neill 2014) and everything after it is whole-number arithmetic. Never: floating
//! point, a clock, or a random source of the machine.

use rand_core::Rng;
use rand_pcg::Lcg64Xsh32;

/// A stream of draws fixed by its seed.
#[derive(Debug)]
pub struct Draws {
    source: Lcg64Xsh32,
}

impl Draws {
    /// Opens the stream `stream` of `seed`. Different streams of one seed do not overlap, so a
    /// book can grow a sheet without disturbing the draws of the others.
    pub fn new(seed: u64, stream: u64) -> Self {
        Self {
            source: Lcg64Xsh32::new(seed, stream),
        }
    }

    /// A whole number from 0 to `limit - 1`, each equally likely. `limit` must be above zero.
    pub fn below(&mut self, limit: u32) -> u32 {
        assert!(limit > 0, "a draw below zero has no answer");
        // Values past the last whole multiple of `limit` are thrown back, or low numbers would
        // come up a little too often.
        let fair = u32::MAX - u32::MAX % limit;
        loop {
            let value = self.source.next_u32();
            if value < fair {
                return value % limit;
            }
        }
    }

    /// A whole number from `low` to `high`, both included.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        let span = u32::try_from(high - low + 1).expect("spans of the sample books are small");
        low + i64::from(self.below(span))
    }

    /// True `percent` times in a hundred.
    pub fn percent(&mut self, percent: u32) -> bool {
        self.below(100) < percent
    }

    /// One of `items`, each equally likely.
    pub fn choose<'a, T>(&mut self, items: &'a [T]) -> &'a T {
        let count = u32::try_from(items.len()).expect("lists of the sample books are short");
        &items[self.below(count) as usize]
    }

    /// One of `items`, where each stands beside its share of the total.
    pub fn choose_weighted<T: Copy>(&mut self, items: &[(T, u32)]) -> T {
        let total: u32 = items.iter().map(|(_, share)| share).sum();
        let mut left = self.below(total);
        for (item, share) in items {
            if left < *share {
                return *item;
            }
            left -= share;
        }
        unreachable!("the draw is below the sum of the shares")
    }

    /// A bell-shaped deviation with mean 0 and standard deviation `spread`, in the unit of
    /// `spread`: the sum of twelve even draws (Irwin-Hall), so never past six spreads.
    pub fn bell(&mut self, spread: i64) -> i64 {
        const STEPS: i64 = 65_536;
        const MEAN_OF_SUM: i64 = 12 * (STEPS - 1) / 2;
        let sum: i64 = (0..12)
            .map(|_| i64::from(self.source.next_u32() >> 16))
            .sum();
        ((sum - MEAN_OF_SUM) * spread + STEPS / 2).div_euclid(STEPS)
    }

    /// Puts `items` in a drawn order.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            let limit = u32::try_from(last + 1).expect("lists of the sample books are short");
            items.swap(last, self.below(limit) as usize);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn draws_are_the_same_on_every_machine() {
        let mut draws = Draws::new(2026, 1);
        let first: Vec<u32> = (0..6).map(|_| draws.below(1000)).collect();
        let bells: Vec<i64> = (0..6).map(|_| draws.bell(1000)).collect();
        assert_eq!(first, FIRST_BELOW);
        assert_eq!(bells, FIRST_BELLS);
    }

    const FIRST_BELOW: [u32; 6] = [821, 924, 421, 450, 851, 367];
    const FIRST_BELLS: [i64; 6] = [-686, 273, -265, 998, -1378, -695];

    #[test]
    fn bell_has_the_stated_spread() {
        let mut draws = Draws::new(5, 5);
        let values: Vec<i64> = (0..20_000).map(|_| draws.bell(1000)).collect();
        let mean = values.iter().sum::<i64>() / 20_000;
        let square = values.iter().map(|v| v * v).sum::<i64>() / 20_000;
        assert!(mean.abs() < 25, "mean {mean}");
        assert!((960_000..1_040_000).contains(&square), "variance {square}");
    }
}
