//! Traces of products of Z'PZ: what the likelihood's slopes and curvatures need.
//!
//! * **Enters:** the factored equations.
//! * **Leaves:** for each random factor the trace of `Z'PZ`, and for each pair the sum of squares of
//!   `Z_i'P Z_j`; on request the diagonal of the inverse.
//! * **Always true:** exact for any number of levels of the absorbed factor.
//! * **Never:** divides by the absorbed factor's ratio, which may be zero. Those of the other factors must
//!   be above zero; the search keeps them at a floor.
//!
//! With M the scaled equations, `Z_i'P Z_j = (I - M^ij) / sqrt(g_i g_j)` (from Searle, Casella and
//! McCulloch 1992, Variance Components, section 7.6, with the scaling of `system`). For the absorbed factor
//! a with crossproducts B against the columns beside it, S-tilde the inverse of S between the scales,
//! and n the counts: `Z_a'P Z_a = diag(n / d) - D^-1 B S-tilde B' D^-1` and `Z_a'P Z_j = D^-1 B
//! S-tilde_j / g_j` (with the scale of j once). Sums of squares of these need only the matrices
//! `B' D^-2 B` and `B' diag(n) D^-3 B`, which are as small as S.

use super::crossproduct::Crossproduct;
use super::rows::{Layout, Place};
use super::system::System;
use crate::matrix::product;

/// Traces for every random factor and pair of them, in units of H: `P` here is `P_H = s P`.
#[derive(Debug, Clone)]
pub(super) struct Traces {
    /// trace(Z_k'P Z_k).
    pub(super) single: Vec<f64>,
    /// Sum of squares of Z_k'P Z_l, as full rows.
    pub(super) pair: Vec<f64>,
}

impl Traces {
    /// With the fixed columns for the restricted likelihood, without them (H^-1 for P) for the full one.
    #[allow(clippy::cast_precision_loss)] // level counts are far below 2^53
    pub(super) fn new(
        system: &System,
        cross: &Crossproduct,
        layout: &Layout,
        ratios: &[f64],
        fixed: bool,
    ) -> Traces {
        let width = if fixed { layout.width() } else { layout.random };
        let inverse = system.factor.inverse(width);
        let factors = layout.places.len();
        let mut traces = Traces {
            single: vec![0.0; factors],
            pair: vec![0.0; factors * factors],
        };
        let absorbed = layout
            .places
            .iter()
            .position(|place| *place == Place::Absorbed);
        let through = absorbed.map(|_| {
            let squares = scaled_outer_products(system, cross, width, |level| {
                1.0 / (system.divisors[level] * system.divisors[level])
            });
            product(&inverse, &squares, width, false)
        });
        for (k, place) in layout.places.iter().enumerate() {
            let Place::Beside(own) = place else {
                let through = through.as_ref().expect("made when a factor is absorbed");
                let cubes = scaled_outer_products(system, cross, width, |level| {
                    let divisor = system.divisors[level];
                    cross.counts[level] / (divisor * divisor * divisor)
                });
                let shrunk = |level: usize| cross.counts[level] / system.divisors[level];
                let levels = 0..cross.counts.len();
                traces.single[k] = levels.clone().map(shrunk).sum::<f64>()
                    - (0..width).map(|at| through[at * width + at]).sum::<f64>();
                traces.pair[k * factors + k] =
                    levels.map(|level| shrunk(level).powi(2)).sum::<f64>()
                        - 2.0 * sum_of_products(&inverse, &cubes)
                        + trace_of_square(through, width);
                continue;
            };
            let count = own.len() as f64;
            let trace: f64 = own.clone().map(|at| inverse[at * width + at]).sum();
            traces.single[k] = (count - trace) / ratios[k];
            for (l, other) in layout.places.iter().enumerate().take(k + 1) {
                let value = match other {
                    Place::Beside(columns) => {
                        squares(&inverse, width, own.clone(), columns.clone(), k == l)
                            / (ratios[k] * ratios[l])
                    }
                    Place::Absorbed => {
                        through_own(&inverse, through.as_ref(), width, own.clone()) / ratios[k]
                    }
                };
                traces.pair[k * factors + l] = value;
                traces.pair[l * factors + k] = value;
            }
        }
        // A factor before the absorbed one meets it here.
        if let Some(a) = absorbed {
            for (k, place) in layout.places.iter().enumerate().take(a) {
                if let Place::Beside(own) = place {
                    let value =
                        through_own(&inverse, through.as_ref(), width, own.clone()) / ratios[k];
                    traces.pair[k * factors + a] = value;
                    traces.pair[a * factors + k] = value;
                }
            }
        }
        traces
    }
}

/// Sum over the levels of weight x B'B between the scales, for the first `width` columns, as full rows.
fn scaled_outer_products(
    system: &System,
    cross: &Crossproduct,
    width: usize,
    weight: impl Fn(usize) -> f64,
) -> Vec<f64> {
    let full = cross.width;
    let mut sums = vec![0.0; full * full];
    cross.add_outer_products(weight, &mut sums);
    let mut leading = vec![0.0; width * width];
    for row in 0..width {
        for column in 0..=row {
            let value = sums[row * full + column] * system.scales[row] * system.scales[column];
            leading[row * width + column] = value;
            leading[column * width + row] = value;
        }
    }
    leading
}

fn sum_of_products(left: &[f64], right: &[f64]) -> f64 {
    crate::matrix::dot(left, right)
}

/// trace(Y Y).
fn trace_of_square(matrix: &[f64], width: usize) -> f64 {
    (0..width)
        .map(|row| {
            (0..width)
                .map(|column| matrix[row * width + column] * matrix[column * width + row])
                .sum::<f64>()
        })
        .sum()
}

/// Sum of squares of a block of I - M^-1.
fn squares(
    inverse: &[f64],
    width: usize,
    rows: std::ops::Range<usize>,
    columns: std::ops::Range<usize>,
    diagonal: bool,
) -> f64 {
    rows.map(|row| {
        columns
            .clone()
            .map(|column| {
                let own = f64::from(u8::from(diagonal && row == column));
                (own - inverse[row * width + column]).powi(2)
            })
            .sum::<f64>()
    })
    .sum()
}

/// Sum over the factor's columns c of (S^-1 K S^-1)_cc, from Y = S^-1 K.
fn through_own(
    inverse: &[f64],
    through: Option<&Vec<f64>>,
    width: usize,
    own: std::ops::Range<usize>,
) -> f64 {
    let through = through.expect("made when a factor is absorbed");
    own.map(|row| {
        crate::matrix::dot(
            &through[row * width..(row + 1) * width],
            &inverse[row * width..(row + 1) * width],
        )
    })
    .sum()
}
