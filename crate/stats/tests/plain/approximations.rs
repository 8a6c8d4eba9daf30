//! Both approximations the plain way, with the variances themselves as parameters.

use super::{Matrix, Plain, Solved, column, combine, inverse, times, trace, transpose};

/// l'M r.
pub fn quadratic(left: &[f64], matrix: &Matrix, right: &[f64]) -> f64 {
    times(&vec![left.to_vec()], &times(matrix, &column(right)))[0][0]
}

/// Kenward and Roger 1997 with plain matrices and the variances themselves as parameters: adjusted
/// covariance, and degrees of freedom and scale by the moments of F.
pub struct PlainKenwardRoger {
    pub covariance: Matrix,
    phi: Matrix,
    p: Vec<Matrix>,
    w: Matrix,
}

impl PlainKenwardRoger {
    pub fn new(model: &Plain, solved: &Solved) -> Self {
        let parts = model.parts();
        let phi = solved.covariance.clone();
        let half: Vec<Matrix> = parts.iter().map(|part| times(&solved.p, part)).collect();
        let information: Matrix = half
            .iter()
            .map(|one| {
                half.iter()
                    .map(|other| 0.5 * trace(&times(one, other)))
                    .collect()
            })
            .collect();
        let w = inverse(&information).0;
        let inverse_x = times(&solved.inverse, &model.x);
        let p: Vec<Matrix> = parts
            .iter()
            .map(|part| {
                let positive = times(&transpose(&inverse_x), &times(part, &inverse_x));
                combine(&positive, &positive, -2.0)
            })
            .collect();
        let mut sum = vec![vec![0.0; phi.len()]; phi.len()];
        for (i, one) in parts.iter().enumerate() {
            for (j, other) in parts.iter().enumerate() {
                let right = times(&solved.inverse, &times(other, &inverse_x));
                let q = times(&transpose(&inverse_x), &times(one, &right));
                let taken = times(&p[i], &times(&phi, &p[j]));
                sum = combine(&sum, &combine(&q, &taken, -1.0), w[i][j]);
            }
        }
        let added = times(&phi, &times(&sum, &phi));
        PlainKenwardRoger {
            covariance: combine(&phi, &added, 2.0),
            phi,
            p,
            w,
        }
    }

    /// Scale and denominator degrees of freedom for the rows of `l`.
    #[allow(clippy::cast_precision_loss)]
    pub fn moments(&self, l: &Matrix) -> (f64, f64) {
        let q = l.len() as f64;
        let theta = times(
            &transpose(l),
            &times(&inverse(&times(&times(l, &self.phi), &transpose(l))).0, l),
        );
        let through: Vec<Matrix> = self
            .p
            .iter()
            .map(|p| times(&theta, &times(&self.phi, &times(p, &self.phi))))
            .collect();
        let (mut a1, mut a2) = (0.0, 0.0);
        for (i, one) in through.iter().enumerate() {
            for (j, other) in through.iter().enumerate() {
                a1 += self.w[i][j] * trace(one) * trace(other);
                a2 += self.w[i][j] * trace(&times(one, other));
            }
        }
        let b = (a1 + 6.0 * a2) / (2.0 * q);
        let g = ((q + 1.0) * a1 - (q + 4.0) * a2) / ((q + 2.0) * a2);
        let d = 3.0 * q + 2.0 * (1.0 - g);
        let (c1, c2, c3) = (g / d, (q - g) / d, (q + 2.0 - g) / d);
        let mean = 1.0 / (1.0 - a2 / q);
        let variance = 2.0 / q * (1.0 + c1 * b) / ((1.0 - c2 * b).powi(2) * (1.0 - c3 * b));
        let rho = variance / (2.0 * mean * mean);
        let m = 4.0 + (q + 2.0) / (q * rho - 1.0);
        (m / (mean * (m - 2.0)), m)
    }
}

/// Satterthwaite 1946 by Giesbrecht and Burns 1985 from plain matrices: observed information on the
/// variances above zero.
pub fn satterthwaite(model: &Plain, solved: &Solved, above: &[usize], weights: &[f64]) -> f64 {
    let parts = model.parts();
    let half: Vec<Matrix> = above.iter().map(|&k| times(&solved.p, &parts[k])).collect();
    let py = times(&solved.p, &model.y);
    let information: Matrix = half
        .iter()
        .map(|one| {
            half.iter()
                .map(|other| {
                    let inner = times(&transpose(&model.y), &times(one, &times(other, &py)));
                    inner[0][0] - 0.5 * trace(&times(one, other))
                })
                .collect()
        })
        .collect();
    let covariance = inverse(&information).0;
    let inverse_x = times(&solved.inverse, &model.x);
    let turned: Vec<f64> = times(&solved.covariance, &column(weights))
        .iter()
        .map(|row| row[0])
        .collect();
    let slopes: Vec<f64> = above
        .iter()
        .map(|&k| {
            let inner = times(&transpose(&inverse_x), &times(&parts[k], &inverse_x));
            quadratic(&turned, &inner, &turned)
        })
        .collect();
    let variance = quadratic(weights, &solved.covariance, weights);
    2.0 * variance * variance / quadratic(&slopes, &covariance, &slopes)
}
