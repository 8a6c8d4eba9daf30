//! The mixed model worked out the plain way, from the whole covariance matrix of the rows: nothing here is
//! shared with the crate. Matrices are lists of rows; everything costs the cube of the number of rows.

// Each test file is its own program and uses a part of this one.
#![allow(dead_code)]

pub mod approximations;
pub mod numbers;

pub type Matrix = Vec<Vec<f64>>;

pub fn transpose(a: &Matrix) -> Matrix {
    (0..a[0].len())
        .map(|column| a.iter().map(|row| row[column]).collect())
        .collect()
}

pub fn times(a: &Matrix, b: &Matrix) -> Matrix {
    let columns = transpose(b);
    a.iter()
        .map(|row| {
            columns
                .iter()
                .map(|column| row.iter().zip(column).map(|(x, y)| x * y).sum())
                .collect()
        })
        .collect()
}

pub fn combine(a: &Matrix, b: &Matrix, weight: f64) -> Matrix {
    a.iter()
        .zip(b)
        .map(|(one, other)| one.iter().zip(other).map(|(x, y)| x + weight * y).collect())
        .collect()
}

pub fn trace(a: &Matrix) -> f64 {
    (0..a.len()).map(|i| a[i][i]).sum()
}

pub fn column(values: &[f64]) -> Matrix {
    values.iter().map(|&value| vec![value]).collect()
}

pub fn identity(order: usize) -> Matrix {
    (0..order)
        .map(|i| (0..order).map(|j| f64::from(u8::from(i == j))).collect())
        .collect()
}

/// Inverse and log of the absolute determinant, by elimination with the largest pivot of each column.
pub fn inverse(a: &Matrix) -> (Matrix, f64) {
    let order = a.len();
    let mut left = a.clone();
    let mut right = identity(order);
    let mut log_determinant = 0.0;
    for at in 0..order {
        let pivot = (at..order)
            .max_by(|&i, &j| left[i][at].abs().total_cmp(&left[j][at].abs()))
            .unwrap();
        left.swap(at, pivot);
        right.swap(at, pivot);
        let value = left[at][at];
        log_determinant += libm::log(value.abs());
        for entry in left[at].iter_mut().chain(right[at].iter_mut()) {
            *entry /= value;
        }
        for row in 0..order {
            if row == at {
                continue;
            }
            let factor = left[row][at];
            for column in 0..order {
                let (l, r) = (left[at][column], right[at][column]);
                left[row][column] -= factor * l;
                right[row][column] -= factor * r;
            }
        }
    }
    (right, log_determinant)
}

/// A model with its design in full: y, X of full rank, and one Z for each random factor.
pub struct Plain {
    pub y: Matrix,
    pub x: Matrix,
    pub z: Vec<Matrix>,
}

/// Everything at given variances; the residual's comes last.
pub struct Solved {
    pub coefficients: Vec<f64>,
    /// (X'V^-1 X)^-1.
    pub covariance: Matrix,
    pub inverse: Matrix,
    pub p: Matrix,
    pub log_likelihood: f64,
    pub restricted_log_likelihood: f64,
}

impl Plain {
    /// ZZ' of each random factor, then the identity.
    pub fn parts(&self) -> Vec<Matrix> {
        let mut parts: Vec<Matrix> = self.z.iter().map(|z| times(z, &transpose(z))).collect();
        parts.push(identity(self.y.len()));
        parts
    }

    pub fn at(&self, variances: &[f64]) -> Solved {
        let rows = self.y.len();
        let mut v = vec![vec![0.0; rows]; rows];
        for (part, &variance) in self.parts().iter().zip(variances) {
            v = combine(&v, part, variance);
        }
        let (inverse_v, log_v) = inverse(&v);
        let xt_inverse = times(&transpose(&self.x), &inverse_v);
        let (covariance, log_information) = inverse(&times(&xt_inverse, &self.x));
        let coefficients = times(&covariance, &times(&xt_inverse, &self.y));
        let hat = times(&times(&transpose(&xt_inverse), &covariance), &xt_inverse);
        let p = combine(&inverse_v, &hat, -1.0);
        let quadratic = times(&transpose(&self.y), &times(&p, &self.y))[0][0];
        #[allow(clippy::cast_precision_loss)]
        let (n, rank) = (rows as f64, self.x[0].len() as f64);
        let constant = libm::log(2.0 * std::f64::consts::PI);
        Solved {
            coefficients: coefficients.iter().map(|row| row[0]).collect(),
            covariance,
            inverse: inverse_v,
            p,
            log_likelihood: -0.5 * (n * constant + log_v + quadratic),
            restricted_log_likelihood: -0.5
                * ((n - rank) * constant + log_v + log_information + quadratic),
        }
    }
}
