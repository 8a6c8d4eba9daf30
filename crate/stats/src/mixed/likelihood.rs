//! The likelihood at given variance ratios, its slopes and its curvatures.
//!
//! * **Enters:** the rows and variance ratios.
//! * **Leaves:** solutions, the residual variance that is best at these ratios, the log-likelihood, and
//!   its derivatives by the ratios.
//! * **Always true:** the residual variance is at its best, so only ratios are searched for.
//! * **Never:** decides where to go next.
//!
//! With N the used rows less the rank of X (restricted) or the used rows (full), e = y - T x = P_H y and
//! r_k = Z_k'e, the residual variance is s = y'P_H y / N and (Patterson and Thompson 1971, Biometrika
//! 58:545-554; derivatives: Searle, Casella and McCulloch 1992, Variance Components, chapter 6)
//!
//! * twice the log-likelihood: -N (1 + log(2 pi s)) - log |H| - log |X'H^-1 X| (the last only restricted);
//! * slope: (a_k - t_k) / 2 with a_k = r_k'r_k / s and t_k = trace(Z_k'P_H Z_k);
//! * average information: (A_kl - a_k a_l / N) / 2 with A_kl = r_k'Z_k'P_H Z_l r_l / s (Gilmour, Thompson
//!   and Cullis 1995, Biometrics 51:1440-1450);
//! * expected information: (T_kl - t_k t_l / N) / 2 with T_kl the sum of squares of Z_k'P_H Z_l;
//! * observed information: (2 A_kl - T_kl - a_k a_l / N) / 2.

use super::crossproduct::Crossproduct;
use super::rows::{Columns, Layout, Rows};
use super::system::System;
use super::traces::Traces;
use crate::matrix::dot;
use crate::sum::Sum;

/// Which likelihood the variances maximise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Likelihood {
    /// The likelihood of what the fixed effects leave (REML): the one to use. In balanced data its
    /// variances are those of the analysis of variance, where these are not negative.
    Restricted,
    /// The likelihood of the whole response (ML): its variances are too small, the more so the more
    /// fixed effects there are. For comparison with other programs and other fixed parts.
    Full,
}

/// What stays the same throughout the search.
pub(super) struct Problem {
    pub(super) rows: Rows,
    pub(super) layout: Layout,
    pub(super) cross: Crossproduct,
    /// T'y.
    pub(super) right: Columns,
    pub(super) likelihood: Likelihood,
    /// N.
    pub(super) spread_df: f64,
}

/// Everything at one set of ratios.
pub(super) struct Point {
    pub(super) ratios: Vec<f64>,
    pub(super) system: System,
    pub(super) solution: Columns,
    /// T'e; its random parts are r_k.
    pub(super) own: Columns,
    pub(super) residual_variance: f64,
    pub(super) log_likelihood: f64,
}

/// Derivatives at a point; matrices as full rows.
#[derive(Debug, Clone)]
pub(super) struct Slopes {
    pub(super) traces: Traces,
    /// a_k.
    pub(super) squares: Vec<f64>,
    /// A_kl.
    pub(super) average: Vec<f64>,
}

impl Problem {
    pub(super) fn restricted(&self) -> bool {
        self.likelihood == Likelihood::Restricted
    }

    /// `None` when the equations cannot be solved at these ratios.
    pub(super) fn at(&self, ratios: Vec<f64>) -> Option<Point> {
        let system = System::new(&self.cross, &self.layout, &ratios)?;
        let mut solution = system.solve(&self.cross, &self.right, true);
        // One step of correction from the true residuals, as in least squares.
        let own = self
            .rows
            .gather(&self.rows.residuals(&solution), &self.layout);
        let change = system.solve(&self.cross, &self.unmet(&own, &solution, &ratios), true);
        add(&mut solution.absorbed, &change.absorbed);
        add(&mut solution.beside, &change.beside);

        let residuals = self.rows.residuals(&solution);
        let own = self.rows.gather(&residuals, &self.layout);
        let mut quadratic: Sum = residuals.iter().map(|value| value * value).collect();
        for (place, &ratio) in self.layout.places.iter().zip(&ratios) {
            for value in own.part(place) {
                quadratic.add(ratio * value * value);
            }
        }
        let residual_variance = quadratic.total() / self.spread_df;
        if !(residual_variance > 0.0 && residual_variance.is_finite()) {
            return None;
        }
        let determinants = if self.restricted() {
            system.log_determinant_restricted()
        } else {
            system.log_determinant()
        };
        let scale = libm::log(2.0 * std::f64::consts::PI * residual_variance);
        Some(Point {
            ratios,
            system,
            solution,
            own,
            residual_variance,
            log_likelihood: -0.5 * (self.spread_df * (1.0 + scale) + determinants),
        })
    }

    /// What the solution still leaves of the equations: T'e less each effect over its ratio.
    fn unmet(&self, own: &Columns, solution: &Columns, ratios: &[f64]) -> Columns {
        let mut unmet = own.clone();
        for (place, &ratio) in self.layout.places.iter().zip(ratios) {
            let effects = solution.part(place);
            for (value, effect) in unmet.part_mut(place).iter_mut().zip(effects) {
                *value = if ratio > 0.0 {
                    *value - effect / ratio
                } else {
                    0.0
                };
            }
        }
        unmet
    }

    /// Ratios of factors beside the absorbed one must be above zero.
    pub(super) fn slopes(&self, point: &Point) -> Slopes {
        let factors = point.ratios.len();
        let traces = Traces::new(
            &point.system,
            &self.cross,
            &self.layout,
            &point.ratios,
            self.restricted(),
        );
        let mut slopes = Slopes {
            traces,
            squares: Vec::with_capacity(factors),
            average: vec![0.0; factors * factors],
        };
        for (l, place) in self.layout.places.iter().enumerate() {
            let part = point.own.part(place);
            slopes
                .squares
                .push(dot(part, part) / point.residual_variance);
            let mut only = Columns::zero(&self.layout);
            only.part_mut(place).copy_from_slice(part);
            let right = self.cross.times(&only);
            let projected = point.system.project(&self.cross, &right, true);
            for (k, other) in self.layout.places.iter().enumerate() {
                slopes.average[k * factors + l] =
                    dot(point.own.part(other), projected.part(other)) / point.residual_variance;
            }
        }
        slopes
    }
}

impl Slopes {
    fn factors(&self) -> usize {
        self.squares.len()
    }

    pub(super) fn gradient(&self) -> Vec<f64> {
        self.squares
            .iter()
            .zip(&self.traces.single)
            .map(|(square, trace)| 0.5 * (square - trace))
            .collect()
    }

    /// Observed information among the chosen factors, the residual variance taken out.
    pub(super) fn observed(&self, chosen: &[usize], spread_df: f64) -> Vec<f64> {
        self.among(chosen, |k, l| {
            2.0 * self.average[k * self.factors() + l]
                - self.traces.pair[k * self.factors() + l]
                - self.squares[k] * self.squares[l] / spread_df
        })
    }

    /// Average information.
    pub(super) fn average(&self, chosen: &[usize], spread_df: f64) -> Vec<f64> {
        self.among(chosen, |k, l| {
            self.average[k * self.factors() + l] - self.squares[k] * self.squares[l] / spread_df
        })
    }

    /// Expected information.
    pub(super) fn expected(&self, chosen: &[usize], spread_df: f64) -> Vec<f64> {
        let single = &self.traces.single;
        self.among(chosen, |k, l| {
            self.traces.pair[k * self.factors() + l] - single[k] * single[l] / spread_df
        })
    }

    fn among(&self, chosen: &[usize], twice: impl Fn(usize, usize) -> f64) -> Vec<f64> {
        let mut matrix = Vec::with_capacity(chosen.len() * chosen.len());
        for &k in chosen {
            // The two orders differ by rounding; one of them stands for both.
            matrix.extend(chosen.iter().map(|&l| 0.5 * twice(k.max(l), k.min(l))));
        }
        matrix
    }
}

fn add(values: &mut [f64], more: &[f64]) {
    for (value, change) in values.iter_mut().zip(more) {
        *value += change;
    }
}
