//! Whether the rows can tell the variances apart at all.
//!
//! * **Enters:** a problem, before the search.
//! * **Leaves:** nothing, or the first factor at fault.
//! * **Always true:** judged by the expected information alone, so the response plays no part.
//! * **Never:** judges whether a variance is well enough known to be of use; its standard error tells.

use super::error::MixedError;
use super::likelihood::Problem;
use super::random::RandomIndex;
use super::system::System;
use super::traces::Traces;
use crate::matrix::{SemidefiniteFactor, Symmetric};
use crate::tolerance::{ESTIMABLE, EXPLAINED_FACTOR};

/// The expected information on the residual variance and the ratios, all at one: (N, t_k; t_k, T_kl)
/// over two. A variance that others can stand in for is a dependent column of it. As with one row to
/// each level, where Z Z' is the identity and the factor is the residual over again.
pub(super) fn separable(problem: &Problem) -> Result<(), MixedError> {
    let layout = &problem.layout;
    let factors = layout.places.len();
    let ratios = vec![1.0; factors];
    let system =
        System::new(&problem.cross, layout, &ratios).ok_or(MixedError::ResidualVanishes)?;
    let traces = Traces::new(&system, &problem.cross, layout, &ratios, true);
    for (k, place) in layout.places.iter().enumerate() {
        let whole: f64 = problem.cross.diagonal(place).sum();
        if traces.single[k] <= EXPLAINED_FACTOR * whole {
            return Err(MixedError::ExplainedByFixed {
                random: RandomIndex(k),
            });
        }
    }
    // In these units the residual's direction is H itself: N = trace(P H P H), t_k = trace(P H P Z Z').
    let rows = u32::try_from(problem.rows.count() - layout.fixed).unwrap_or(u32::MAX);
    let mut information = Symmetric::zero(factors + 1);
    information.add_upper(0, 0, f64::from(rows));
    for k in 0..factors {
        information.add_upper(0, k + 1, traces.single[k]);
        for l in k..factors {
            information.add_upper(k + 1, l + 1, traces.pair[k * factors + l]);
        }
    }
    let order: Vec<usize> = (0..=factors).collect();
    let factor = SemidefiniteFactor::new(&information, &order);
    match factor.dependent.first() {
        None => Ok(()),
        Some(dependent) => Err(MixedError::NotSeparable {
            random: RandomIndex(dependent.column - 1),
            from: factor
                .kept
                .iter()
                .zip(&dependent.weights)
                .filter(|&(&kept, weight)| kept > 0 && weight.abs() > ESTIMABLE)
                .map(|(&kept, _)| RandomIndex(kept - 1))
                .collect(),
        }),
    }
}
