//! Eigenvalues and eigenvectors of a small symmetric matrix.
//!
//! * **Enters:** a symmetric matrix as full rows, a few dozen wide.
//! * **Leaves:** eigenvalues and unit eigenvectors, in no promised order.
//! * **Always true:** small eigenvalues of a positive matrix keep their relative accuracy as far as the
//!   matrix itself has it.
//! * **Never:** used for anything large: each sweep costs the cube of the order.
//!
//! Jacobi's method: Golub and Van Loan 1996, Matrix Computations, section 8.4.

/// Sweeps after which nothing more can change; six to ten are usual.
const MOST_SWEEPS: usize = 50;

/// Eigenvalues, each with its eigenvector.
pub(crate) fn eigen(matrix: &[f64], order: usize) -> Vec<(f64, Vec<f64>)> {
    let mut a = matrix.to_vec();
    let mut vectors = vec![0.0; order * order];
    for i in 0..order {
        vectors[i * order + i] = 1.0;
    }
    for _ in 0..MOST_SWEEPS {
        let mut turned = false;
        for p in 0..order {
            for q in p + 1..order {
                turned |= turn(&mut a, &mut vectors, order, p, q);
            }
        }
        if !turned {
            break;
        }
    }
    (0..order)
        .map(|i| {
            let vector = (0..order).map(|row| vectors[row * order + i]).collect();
            (a[i * order + i], vector)
        })
        .collect()
}

/// One rotation that makes entry (p, q) zero; false when it is so already.
fn turn(a: &mut [f64], vectors: &mut [f64], order: usize, p: usize, q: usize) -> bool {
    let (app, aqq, apq) = (a[p * order + p], a[q * order + q], a[p * order + q]);
    if apq.abs() <= f64::EPSILON * (app.abs() * aqq.abs()).sqrt() {
        return false;
    }
    let tau = (aqq - app) / (2.0 * apq);
    let tangent = if tau >= 0.0 {
        1.0 / (tau + (1.0 + tau * tau).sqrt())
    } else {
        -1.0 / (-tau + (1.0 + tau * tau).sqrt())
    };
    let cosine = 1.0 / (1.0 + tangent * tangent).sqrt();
    let sine = tangent * cosine;
    for k in 0..order {
        let (kp, kq) = (a[k * order + p], a[k * order + q]);
        a[k * order + p] = cosine * kp - sine * kq;
        a[k * order + q] = sine * kp + cosine * kq;
    }
    for k in 0..order {
        let (pk, qk) = (a[p * order + k], a[q * order + k]);
        a[p * order + k] = cosine * pk - sine * qk;
        a[q * order + k] = sine * pk + cosine * qk;
        let (kp, kq) = (vectors[k * order + p], vectors[k * order + q]);
        vectors[k * order + p] = cosine * kp - sine * kq;
        vectors[k * order + q] = sine * kp + cosine * kq;
    }
    a[p * order + q] = 0.0;
    a[q * order + p] = 0.0;
    true
}

#[cfg(test)]
mod tests {
    use super::eigen;

    #[test]
    fn a_matrix_with_known_eigenvalues() {
        // 2 on the diagonal and -1 beside it: 2 - 2 cos(k pi / 4) for k = 1, 2, 3.
        let matrix = [2.0, -1.0, 0.0, -1.0, 2.0, -1.0, 0.0, -1.0, 2.0];
        let mut values: Vec<f64> = eigen(&matrix, 3).iter().map(|(value, _)| *value).collect();
        values.sort_by(f64::total_cmp);
        let root = 2f64.sqrt();
        for (got, want) in values.iter().zip([2.0 - root, 2.0, 2.0 + root]) {
            assert!((got - want).abs() < 1e-14);
        }
        for (value, vector) in eigen(&matrix, 3) {
            for row in 0..3 {
                let times: f64 = (0..3).map(|k| matrix[row * 3 + k] * vector[k]).sum();
                assert!((times - value * vector[row]).abs() < 1e-14);
            }
        }
    }

    #[test]
    fn a_diagonal_matrix_stays() {
        let parts = eigen(&[3.0, 0.0, 0.0, 0.0], 2);
        assert_eq!(parts[0], (3.0, vec![1.0, 0.0]));
        assert_eq!(parts[1], (0.0, vec![0.0, 1.0]));
    }
}
