//! Satterthwaite's degrees of freedom.
//!
//! * **Enters:** contrasts, and how surely the variances are known.
//! * **Leaves:** degrees of freedom for t, and for F.
//! * **Always true:** with no random factor above zero they are the residual's.
//! * **Never:** changes the standard error: see `kenward_roger`.
//!
//! A contrast's variance v depends on the variances p = (s, ratios). With A the covariance of p and g the
//! slopes of v by p, the degrees of freedom are `2 v^2 / (g'A g)` (Giesbrecht and Burns 1985, Biometrics
//! 41:477-486, after Satterthwaite 1946, Biometrics Bulletin 2:110-114). A is the inverse of the observed
//! information on the variances above zero; those at zero are taken as known to be so. The result does
//! not depend on how the variances are written.
//!
//! For several contrasts at once: Fai and Cornelius 1996, Journal of Statistical Computation and
//! Simulation 54:363-378. They are turned to be uncorrelated, the m-th with t_m on n_m degrees of freedom;
//! F is the mean of the squared t_m, and its denominator is chosen so that its mean is right: with E the
//! sum of n_m / (n_m - 2) over the q of them, 2 E / (E - q).

use super::curvature::{Curvature, form, times};
use super::fit::MixedFit;
use crate::matrix::{dot, eigen};
use crate::tolerance::{DEPENDENT_COLUMN, SAME_DF};

/// What the degrees of freedom need.
pub(super) struct Satterthwaite {
    curvature: Curvature,
}

/// F, and the degrees of freedom of numerator and denominator.
pub(super) type Ratio = (f64, f64, f64);

impl Satterthwaite {
    pub(super) fn new(fit: &MixedFit) -> Satterthwaite {
        Satterthwaite {
            curvature: Curvature::new(fit),
        }
    }

    /// `None` when the likelihood is too flat to say.
    ///
    /// v = s l'C l with C = (X'H^-1 X)^-1; by s its slope is v / s, by ratio k it is s l'C F_k C l.
    pub(super) fn df(&self, fit: &MixedFit, weights: &[f64]) -> Option<f64> {
        let known = fit.parameter_covariance.as_ref()?;
        let turned = times(&fit.unscaled_covariance, weights);
        let s = fit.residual_variance;
        let variance = s * dot(weights, &turned);
        let mut slopes = vec![variance / s];
        slopes.extend(
            known
                .above_zero
                .iter()
                .map(|&k| s * form(&turned, &self.curvature.first[k], &turned)),
        );
        let spread = form(&slopes, &known.matrix, &slopes);
        (spread > 0.0).then(|| 2.0 * variance * variance / spread)
    }

    /// `None` when there is no contrast, or a degree of freedom cannot be had.
    pub(super) fn ratio(&self, fit: &MixedFit, rows: &[Vec<f64>]) -> Option<Ratio> {
        let order = rows.len();
        let covariance: Vec<f64> = rows
            .iter()
            .flat_map(|one| {
                let turned = times(&fit.unscaled_covariance, one);
                rows.iter()
                    .map(move |other| fit.residual_variance * dot(&turned, other))
                    .collect::<Vec<f64>>()
            })
            .collect();
        let parts = eigen(&covariance, order);
        let largest = parts.iter().fold(0.0, |most: f64, part| most.max(part.0));
        let mut squares = Vec::new();
        let mut dfs = Vec::new();
        for (value, vector) in parts {
            if value <= DEPENDENT_COLUMN * largest {
                continue;
            }
            let mut contrast = vec![0.0; fit.coefficients.len()];
            for (row, share) in rows.iter().zip(&vector) {
                for (weight, own) in contrast.iter_mut().zip(row) {
                    *weight += share * own;
                }
            }
            let estimate = dot(&contrast, &fit.coefficients);
            squares.push(estimate * estimate / value);
            dfs.push(self.df(fit, &contrast)?);
        }
        let count = f64::from(u32::try_from(squares.len()).ok()?);
        if squares.is_empty() {
            return None;
        }
        Some((
            squares.iter().sum::<f64>() / count,
            count,
            denominator(&dfs, count),
        ))
    }
}

fn denominator(dfs: &[f64], count: f64) -> f64 {
    let least = dfs.iter().fold(f64::INFINITY, |least, &df| least.min(df));
    let most = dfs.iter().fold(0.0, |most: f64, &df| most.max(df));
    if most - least <= SAME_DF * most {
        return dfs.iter().sum::<f64>() / count;
    }
    if least <= 2.0 {
        // The mean of such an F does not exist; two is where it starts to.
        return 2.0;
    }
    let expected: f64 = dfs.iter().map(|df| df / (df - 2.0)).sum();
    2.0 * expected / (expected - count)
}
