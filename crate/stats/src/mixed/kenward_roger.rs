//! Kenward and Roger's adjusted covariance, and the F and degrees of freedom that go with it.
//!
//! * **Enters:** a fit by restricted likelihood.
//! * **Leaves:** the covariance of the fixed effects with what it lacks in small samples added, scaled F
//!   and its degrees of freedom.
//! * **Always true:** where an exact F test exists (balanced data, split plots, Hotelling's T2) the
//!   result is that test.
//! * **Never:** leaves out a factor at zero: that its variance was found to be zero is not certain either.
//!
//! Kenward and Roger 1997, Biometrics 53:983-997. Their result does not depend on which combinations of
//! the variances are taken as parameters as long as V is linear in them. Taken here are the size of V as
//! a whole at fixed proportions, and each factor's own variance. The first then adds nothing to the
//! covariance, and with C = (X'H^-1 X)^-1, F_k and Q_kl of `curvature` and W the inverse of the expected
//! information, what remains of their equation (5) is
//!
//! `C + 2 C [ sum over k, l of W_kl (Q_kl - F_k C F_l) ] C`, times s.
//!
//! Names of theirs: Phi = s C, P_i = -F_i (and -C^-1 for the whole), l the number of contrasts.

use super::curvature::{Curvature, form};
use super::fit::MixedFit;
use super::satterthwaite::Ratio;
use crate::matrix::{PositiveFactor, dot, eigen, product};
use crate::tolerance::{DEPENDENT_COLUMN, MOST_DF};

/// The adjusted covariance and what the degrees of freedom need.
pub(super) struct KenwardRoger {
    /// Adjusted covariance of the kept coefficients, as full rows.
    pub(super) covariance: Vec<f64>,
    /// C F_k C.
    sandwiches: Vec<Vec<f64>>,
    /// Inverse of the expected information on (whole, factors), as full rows.
    inverse: Vec<f64>,
}

impl KenwardRoger {
    /// `None` when the expected information is singular.
    pub(super) fn new(fit: &MixedFit) -> Option<KenwardRoger> {
        let fixed = fit.layout.fixed;
        let factors = fit.layout.places.len();
        let curvature = Curvature::new(fit);
        let second = curvature.second(fit);
        let inverse = inverse_information(fit)?;
        let c = &fit.unscaled_covariance;
        let halves: Vec<Vec<f64>> = curvature
            .first
            .iter()
            .map(|first| product(c, first, fixed, false))
            .collect();
        let mut inner = vec![0.0; fixed * fixed];
        for k in 0..factors {
            for l in 0..factors {
                let weight = inverse[(k + 1) * (factors + 1) + l + 1];
                // F_k C F_l is F_k times the transpose of F_l C.
                let taken = product(
                    &curvature.first[k],
                    &transpose(&halves[l], fixed),
                    fixed,
                    false,
                );
                for ((sum, more), less) in
                    inner.iter_mut().zip(&second[k * factors + l]).zip(&taken)
                {
                    *sum += weight * (more - less);
                }
            }
        }
        let added = product(
            &product(c, &transpose(&inner, fixed), fixed, false),
            c,
            fixed,
            false,
        );
        let covariance = (0..fixed * fixed)
            .map(|at| {
                // The two halves differ by rounding.
                let mirrored = at % fixed * fixed + at / fixed;
                fit.residual_variance * (c[at] + added[at] + added[mirrored])
            })
            .collect();
        let sandwiches = halves
            .iter()
            .map(|half| product(half, c, fixed, false))
            .collect();
        Some(KenwardRoger {
            covariance,
            sandwiches,
            inverse,
        })
    }

    /// Degrees of freedom of one contrast.
    pub(super) fn df(&self, fit: &MixedFit, weights: &[f64]) -> Option<f64> {
        let (_, df) = self.scale(fit, &[weights.to_vec()])?;
        Some(df)
    }

    /// The scaled F of several contrasts.
    pub(super) fn ratio(&self, fit: &MixedFit, rows: &[Vec<f64>]) -> Option<Ratio> {
        let independent = independent(fit, rows);
        let order = independent.len();
        let (scale, df) = self.scale(fit, &independent)?;
        let covariance: Vec<f64> = forms(&independent, &self.covariance);
        let factor = PositiveFactor::new(covariance, order)?;
        let estimates: Vec<f64> = independent
            .iter()
            .map(|row| dot(row, &fit.coefficients))
            .collect();
        let mut solved = estimates.clone();
        factor.solve(&mut solved);
        let count = f64::from(u32::try_from(order).ok()?);
        Some((scale * dot(&estimates, &solved) / count, count, df))
    }

    /// The scale of F and the degrees of freedom of its denominator; `None` without contrasts.
    fn scale(&self, fit: &MixedFit, rows: &[Vec<f64>]) -> Option<(f64, f64)> {
        let order = rows.len();
        if order == 0 {
            return None;
        }
        let count = f64::from(u32::try_from(order).ok()?);
        let theta =
            PositiveFactor::new(forms(rows, &fit.unscaled_covariance), order)?.inverse(order);
        // Theta Phi P_i Phi seen through the contrasts; for the whole it is minus the identity.
        let mut through: Vec<Vec<f64>> = vec![identity(order)];
        through.extend(
            self.sandwiches
                .iter()
                .map(|sandwich| product(&theta, &forms(rows, sandwich), order, false)),
        );
        let traces: Vec<f64> = through
            .iter()
            .map(|matrix| (0..order).map(|at| matrix[at * (order + 1)]).sum())
            .collect();
        let size = through.len();
        let (mut a1, mut a2) = (0.0, 0.0);
        for i in 0..size {
            for j in 0..size {
                let weight = self.inverse[i * size + j];
                let crossed: f64 = dot(&through[i], &transpose(&through[j], order));
                a1 += weight * traces[i] * traces[j];
                a2 += weight * crossed;
            }
        }
        Some(moments(count, a1, a2))
    }
}

/// Matches the mean and variance of F (their section 3): scale and denominator degrees of freedom.
fn moments(count: f64, a1: f64, a2: f64) -> (f64, f64) {
    let b = (a1 + 6.0 * a2) / (2.0 * count);
    let g = ((count + 1.0) * a1 - (count + 4.0) * a2) / ((count + 2.0) * a2);
    let below = 3.0 * count + 2.0 * (1.0 - g);
    let (c1, c2, c3) = (g / below, (count - g) / below, (count + 2.0 - g) / below);
    // V* over 2 E*^2 / l is (1 + c1 B) (1 - A2 / l)^2 / ((1 - c2 B)^2 (1 - c3 B)).
    let mean = 1.0 - a2 / count;
    let unit = 1.0 - c2 * b;
    let mut relative = mean / unit;
    relative *= relative;
    if !relative.is_finite() {
        relative = 1.0;
    }
    // l rho, with rho = V* / (2 E*^2).
    let spread = relative * (1.0 + c1 * b) / (1.0 - c3 * b);
    let df = 4.0 + (count + 2.0) / (spread - 1.0);
    if !(df > 0.0 && df < MOST_DF) {
        return (mean, MOST_DF);
    }
    let scale = if (df - 2.0).abs() < 1e-2 {
        1.0
    } else {
        df * mean / (df - 2.0)
    };
    (scale, df)
}

/// Inverse of (N, t_l; t_k, T_kl) / 2.
fn inverse_information(fit: &MixedFit) -> Option<Vec<f64>> {
    let traces = &fit.slopes.traces;
    let factors = traces.single.len();
    let order = factors + 1;
    let mut information = vec![0.0; order * order];
    information[0] = 0.5 * fit.spread_df;
    for k in 0..factors {
        information[(k + 1) * order] = 0.5 * traces.single[k];
        information[k + 1] = 0.5 * traces.single[k];
        for l in 0..factors {
            information[(k + 1) * order + l + 1] = 0.5 * traces.pair[k * factors + l];
        }
    }
    Some(PositiveFactor::new(information, order)?.inverse(order))
}

/// As many combinations of the contrasts as are independent.
fn independent(fit: &MixedFit, rows: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let parts = eigen(&forms(rows, &fit.unscaled_covariance), rows.len());
    let largest = parts.iter().fold(0.0, |most: f64, part| most.max(part.0));
    parts
        .iter()
        .filter(|part| part.0 > DEPENDENT_COLUMN * largest)
        .map(|(_, vector)| {
            let mut contrast = vec![0.0; fit.coefficients.len()];
            for (row, share) in rows.iter().zip(vector) {
                for (weight, own) in contrast.iter_mut().zip(row) {
                    *weight += share * own;
                }
            }
            contrast
        })
        .collect()
}

/// r_i'M r_j for every pair of rows.
fn forms(rows: &[Vec<f64>], matrix: &[f64]) -> Vec<f64> {
    rows.iter()
        .flat_map(|one| {
            rows.iter()
                .map(|other| form(one, matrix, other))
                .collect::<Vec<f64>>()
        })
        .collect()
}

fn identity(order: usize) -> Vec<f64> {
    (0..order * order)
        .map(|at| f64::from(u8::from(at % (order + 1) == 0)))
        .collect()
}

fn transpose(matrix: &[f64], order: usize) -> Vec<f64> {
    (0..order * order)
        .map(|at| matrix[at % order * order + at / order])
        .collect()
}
