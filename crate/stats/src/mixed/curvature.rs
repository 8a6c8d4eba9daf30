//! How the covariance of the fixed effects depends on the variances.
//!
//! * **Enters:** the fitted equations.
//! * **Leaves:** matrices of the order of the fixed part.
//! * **Always true:** holds for factors at zero too.
//! * **Never:** needs the rows.
//!
//! In units of H (V = s H): `F_k = X'H^-1 Z_k Z_k'H^-1 X`, and
//! `Q_kl = X'H^-1 Z_k Z_k'H^-1 Z_l Z_l'H^-1 X`.

use super::fit::MixedFit;
use super::rows::Columns;
use crate::matrix::dot;

/// `F_k` for every random factor, as full rows.
pub(super) struct Curvature {
    /// For each fixed column x, `T'H^-1 x`.
    through: Vec<Columns>,
    /// F_k.
    pub(super) first: Vec<Vec<f64>>,
}

impl Curvature {
    pub(super) fn new(fit: &MixedFit) -> Curvature {
        let layout = &fit.layout;
        let fixed = layout.fixed;
        let through: Vec<Columns> = (0..fixed)
            .map(|at| {
                let column = fit.cross.column(layout.random + at);
                fit.system.project(&fit.cross, &column, false)
            })
            .collect();
        let first = layout
            .places
            .iter()
            .map(|place| {
                let mut matrix = Vec::with_capacity(fixed * fixed);
                for one in &through {
                    matrix.extend(
                        through
                            .iter()
                            .map(|other| dot(one.part(place), other.part(place))),
                    );
                }
                matrix
            })
            .collect();
        Curvature { through, first }
    }

    /// Q_kl for every pair of random factors, in order k, then l.
    pub(super) fn second(&self, fit: &MixedFit) -> Vec<Vec<f64>> {
        let places = &fit.layout.places;
        let fixed = fit.layout.fixed;
        let factors = places.len();
        let mut second = vec![vec![0.0; fixed * fixed]; factors * factors];
        for (l, place) in places.iter().enumerate() {
            for (column, one) in self.through.iter().enumerate() {
                let mut only = Columns::zero(&fit.layout);
                only.part_mut(place).copy_from_slice(one.part(place));
                let right = fit.cross.times(&only);
                let projected = fit.system.project(&fit.cross, &right, false);
                for (k, other) in places.iter().enumerate() {
                    for (row, left) in self.through.iter().enumerate() {
                        second[k * factors + l][row * fixed + column] =
                            dot(left.part(other), projected.part(other));
                    }
                }
            }
        }
        second
    }
}

/// w'M v for a matrix given as full rows.
pub(super) fn form(left: &[f64], matrix: &[f64], right: &[f64]) -> f64 {
    left.iter()
        .zip(matrix.chunks_exact(right.len().max(1)))
        .map(|(weight, row)| weight * dot(row, right))
        .sum()
}

/// M v.
pub(super) fn times(matrix: &[f64], right: &[f64]) -> Vec<f64> {
    matrix
        .chunks_exact(right.len().max(1))
        .map(|row| dot(row, right))
        .collect()
}
