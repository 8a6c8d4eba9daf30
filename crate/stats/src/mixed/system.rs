//! The mixed-model equations at given variance ratios.
//!
//! * **Enters:** crossproducts, and for each random factor its variance over the residual variance.
//! * **Leaves:** solutions and log-determinants.
//! * **Always true:** holds for ratios of zero: such a factor's solutions are zero and the rest is as if
//!   it were not in the model.
//! * **Never:** forms anything of the size of the absorbed factor squared.
//!
//! With V = s H, H = I + sum of g Z Z' over the random factors, T = [Z X] and G the diagonal matrix of
//! ratios g, the equations (Henderson 1984, Applications of Linear Models in Animal Breeding, chapter 5)
//! are `(T'T + G^-1) x = T'y`. Here they are scaled by the square roots of the ratios, so that nothing is
//! divided by a ratio: for the random columns `(sqrt(G) Z'Z sqrt(G) + I) v = sqrt(G) Z'y`, `x = sqrt(G) v`.
//! The absorbed factor's block D is diagonal and is eliminated first; the factor of what remains, S, has
//! the other random columns before the fixed ones, so its leading block belongs to the model without
//! fixed effects: the same factor serves H^-1 and P = H^-1 - H^-1 X (X'H^-1 X)^-1 X'H^-1.

use super::crossproduct::Crossproduct;
use super::rows::{Columns, Layout, Place};
use crate::matrix::PositiveFactor;

/// The factored equations.
#[derive(Debug, Clone)]
pub(super) struct System {
    /// Ratio of the absorbed factor.
    pub(super) absorbed_ratio: f64,
    /// Ratio times count plus one for each absorbed level: D.
    pub(super) divisors: Vec<f64>,
    /// Square root of the ratio of each column beside; one for fixed columns.
    pub(super) scales: Vec<f64>,
    /// Factor of S.
    pub(super) factor: PositiveFactor,
    random: usize,
}

impl System {
    /// `None` when the equations are singular to working accuracy.
    pub(super) fn new(cross: &Crossproduct, layout: &Layout, ratios: &[f64]) -> Option<System> {
        let mut absorbed_ratio = 0.0;
        let mut scales = vec![1.0; layout.width()];
        for (place, &ratio) in layout.places.iter().zip(ratios) {
            match place {
                Place::Absorbed => absorbed_ratio = ratio,
                Place::Beside(range) => scales[range.clone()].fill(ratio.sqrt()),
            }
        }
        let divisors: Vec<f64> = cross
            .counts
            .iter()
            .map(|count| 1.0 + absorbed_ratio * count)
            .collect();
        let mut reduced = cross.beside.clone();
        cross.add_outer_products(|level| -absorbed_ratio / divisors[level], &mut reduced);
        for (row, &scale) in scales.iter().enumerate() {
            let start = row * cross.width;
            for (entry, other) in reduced[start..=start + row].iter_mut().zip(&scales) {
                *entry *= scale * other;
            }
            if row < layout.random {
                reduced[start + row] += 1.0;
            }
        }
        Some(System {
            absorbed_ratio,
            divisors,
            scales,
            factor: PositiveFactor::new(reduced, cross.width)?,
            random: layout.random,
        })
    }

    /// log |H|.
    pub(super) fn log_determinant(&self) -> f64 {
        let absorbed: crate::sum::Sum = self
            .divisors
            .iter()
            .map(|&value| libm::log(value))
            .collect();
        absorbed.total() + self.factor.log_determinant(self.random)
    }

    /// log |H| + log |X'H^-1 X|.
    pub(super) fn log_determinant_restricted(&self) -> f64 {
        self.log_determinant() + self.factor.log_determinant(self.scales.len())
            - self.factor.log_determinant(self.random)
    }

    /// The solution x for right-hand sides `T'v`, with the fixed columns or without them.
    ///
    /// With them, `v - T x = P v`; without, `v - Z x = H^-1 v`.
    pub(super) fn solve(&self, cross: &Crossproduct, right: &Columns, fixed: bool) -> Columns {
        let width = if fixed {
            self.scales.len()
        } else {
            self.random
        };
        let mut beside = right.beside.clone();
        for (level, (&value, divisor)) in right.absorbed.iter().zip(&self.divisors).enumerate() {
            let taken = self.absorbed_ratio * value / divisor;
            let (columns, values) = cross.level(level);
            for (&column, weight) in columns.iter().zip(values) {
                beside[column as usize] -= weight * taken;
            }
        }
        for (value, scale) in beside.iter_mut().zip(&self.scales) {
            *value *= scale;
        }
        self.factor.solve(&mut beside[..width]);
        beside[width..].fill(0.0);
        for (value, scale) in beside.iter_mut().zip(&self.scales) {
            *value *= scale;
        }
        let absorbed = right
            .absorbed
            .iter()
            .zip(&self.divisors)
            .enumerate()
            .map(|(level, (&value, divisor))| {
                let (columns, values) = cross.level(level);
                let known: f64 = columns
                    .iter()
                    .zip(values)
                    .map(|(&column, weight)| weight * beside[column as usize])
                    .sum();
                self.absorbed_ratio * (value - known) / divisor
            })
            .collect();
        Columns { absorbed, beside }
    }

    /// `T'P v`, or `T'H^-1 v` without the fixed columns, for `T'v`.
    pub(super) fn project(&self, cross: &Crossproduct, right: &Columns, fixed: bool) -> Columns {
        let mut left = right.clone();
        let taken = cross.times(&self.solve(cross, right, fixed));
        for (value, less) in left.absorbed.iter_mut().zip(&taken.absorbed) {
            *value -= less;
        }
        for (value, less) in left.beside.iter_mut().zip(&taken.beside) {
            *value -= less;
        }
        left
    }
}
