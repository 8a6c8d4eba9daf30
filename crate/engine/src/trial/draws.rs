//! Seeded draws.
//!
//! Enters: a seed. Leaves: whole numbers, each equally likely, and shuffled lists.
//! Always true: the same seed gives the same draws on every machine: the source is PCG-32 (O'Neill 2014, PCG: A Family
//! of Simple Fast Space-Efficient Statistically Good Algorithms for Random Number Generation), and everything after
//! it is whole-number arithmetic.
//! Never: takes a seed of its own from a clock or a machine.

use rand_core::Rng;
use rand_pcg::Lcg64Xsh32;

/// The stream that trials draw from; another use of the same seed would take another.
const STREAM: u64 = 54;

/// Draws fixed by a seed.
pub(super) struct Draws {
    source: Lcg64Xsh32,
}

impl Draws {
    pub fn new(seed: u32) -> Draws {
        Draws {
            source: Lcg64Xsh32::new(u64::from(seed), STREAM),
        }
    }

    /// A whole number from 0 to `limit - 1`; 0 for a limit of 0.
    pub fn below(&mut self, limit: u32) -> u32 {
        if limit == 0 {
            return 0;
        }
        // Values past the last whole multiple of the limit are thrown back, or low numbers would come up a little
        // too often.
        let fair = u32::MAX - u32::MAX % limit;
        loop {
            let value = self.source.next_u32();
            if value < fair {
                return value % limit;
            }
        }
    }

    /// Puts a list in a drawn order (Fisher and Yates).
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let limit = u32::try_from(last + 1).unwrap_or(u32::MAX);
            list.swap(last, self.below(limit) as usize);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The six numbers that the generator's own demonstration prints for seed 42 and stream 54 (pcg-c-basic, from
    /// memory).
    #[test]
    fn the_source_is_the_published_one() {
        let mut draws = Draws::new(42);
        let first: Vec<u32> = (0..6).map(|_| draws.source.next_u32()).collect();
        assert_eq!(
            first,
            [
                0xa15c_02b7,
                0x7b47_f409,
                0xba1d_3330,
                0x83d2_f293,
                0xbfa4_784b,
                0xcbed_606e
            ]
        );
    }

    #[test]
    fn every_number_comes_up_about_as_often() {
        let mut draws = Draws::new(7);
        let mut counts = [0_u32; 7];
        for _ in 0..70_000 {
            counts[draws.below(7) as usize] += 1;
        }
        // Six standard deviations of a count are 556.
        assert!(
            counts.iter().all(|n| n.abs_diff(10_000) < 556),
            "{counts:?}"
        );
        assert_eq!(draws.below(0), 0);
    }
}
