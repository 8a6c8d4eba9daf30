//! Tails and quantiles against an independent library.
//!
//! Answers: `tests/reference/README.md`.

// A test that cannot read its data should stop.
#![allow(clippy::unwrap_used)]

mod reference;

use fairpen_stats::distribution::{
    ChiSquare, ConfidenceLevel, DistributionError, FDistribution, Normal, StudentT,
};
use reference::answers;

/// Tighter than the tolerance for fits: a distribution must not be what limits them.
const TOLERANCE: f64 = 1e-12;

/// The library under chi-square loses digits with the degrees of freedom: 1e-10 at 100,000.
const GAMMA_TOLERANCE: f64 = 1e-9;

/// Every row of one table: inputs, then the expected number.
fn each(name: &str, tolerance: f64, got: impl Fn(&[f64]) -> f64) {
    let answers = answers("distributions_expected.json");
    let rows = answers[name].as_array().unwrap();
    assert!(rows.len() >= 7, "{name}");
    let mut worst = (0.0, String::new());
    for row in rows {
        let row: Vec<f64> = row
            .as_array()
            .unwrap()
            .iter()
            .map(|cell| cell.as_f64().unwrap())
            .collect();
        let (want, inputs) = row.split_last().unwrap();
        let got = got(inputs);
        let error = if got == *want {
            0.0
        } else {
            ((got - want) / want).abs()
        };
        if error.is_nan() || error > worst.0 {
            worst = (
                error,
                format!("{name} {inputs:?}: got {got}, expected {want}"),
            );
        }
    }
    assert!(worst.0 < tolerance, "{} (relative {})", worst.1, worst.0);
}

#[test]
fn student_t() {
    each("t_tail", TOLERANCE, |x| {
        StudentT::new(x[0]).unwrap().upper_tail(x[1])
    });
    each("t_quantile", TOLERANCE, |x| {
        StudentT::new(x[0]).unwrap().quantile(x[1]).unwrap()
    });
}

#[test]
fn f() {
    each("f_tail", TOLERANCE, |x| {
        FDistribution::new(x[0], x[1]).unwrap().upper_tail(x[2])
    });
    each("f_quantile", TOLERANCE, |x| {
        FDistribution::new(x[0], x[1])
            .unwrap()
            .quantile(x[2])
            .unwrap()
    });
}

#[test]
fn chi_square() {
    each("chi_square_tail", GAMMA_TOLERANCE, |x| {
        ChiSquare::new(x[0]).unwrap().upper_tail(x[1])
    });
    each("chi_square_quantile", GAMMA_TOLERANCE, |x| {
        ChiSquare::new(x[0]).unwrap().quantile(x[1]).unwrap()
    });
}

#[test]
fn normal() {
    each("normal_tail", TOLERANCE, |x| Normal::upper_tail(x[0]));
    each("normal_quantile", TOLERANCE, |x| {
        Normal::quantile(x[0]).unwrap()
    });
}

/// Printed in every table of percentage points, here to their last digit (from memory).
#[test]
fn percentage_points_of_printed_tables() {
    for (df, printed) in [
        (1.0, 12.706),
        (5.0, 2.571),
        (10.0, 2.228),
        (30.0, 2.042),
        (120.0, 1.980),
    ] {
        let t = StudentT::new(df).unwrap();
        assert!((t.two_sided_quantile(ConfidenceLevel::NINETY_FIVE) - printed).abs() <= 0.0005);
    }
    let f = FDistribution::new(2.0, 6.0).unwrap();
    assert!((f.quantile(0.95).unwrap() - 5.14).abs() <= 0.005);
    let chi_square = ChiSquare::new(1.0).unwrap();
    assert!((chi_square.quantile(0.95).unwrap() - 3.841).abs() <= 0.0005);
    assert!((Normal::quantile(0.975).unwrap() - 1.960).abs() <= 0.0005);
}

#[test]
fn tails_add_up_to_one_and_mirror() {
    let t = StudentT::new(7.0).unwrap();
    let f = FDistribution::new(3.0, 11.0).unwrap();
    let chi_square = ChiSquare::new(4.0).unwrap();
    for x in [0.0, 0.2, 1.0, 2.5, 6.0] {
        assert!((t.cdf(x) + t.upper_tail(x) - 1.0).abs() < 1e-14);
        assert!((t.cdf(-x) - t.upper_tail(x)).abs() < 1e-15);
        assert!((f.cdf(x) + f.upper_tail(x) - 1.0).abs() < 1e-14);
        assert!((chi_square.cdf(x) + chi_square.upper_tail(x) - 1.0).abs() < 1e-14);
        assert!((Normal::cdf(x) + Normal::upper_tail(x) - 1.0).abs() < 1e-15);
    }
    // t squared with n degrees of freedom is F with 1 and n.
    let f = FDistribution::new(1.0, 7.0).unwrap();
    assert!((f.upper_tail(4.0) - t.two_sided_tail(2.0)).abs() < 1e-14);
}

#[test]
fn ends_of_the_line() {
    let t = StudentT::new(4.0).unwrap();
    assert_eq!(t.upper_tail(f64::INFINITY), 0.0);
    assert_eq!(t.upper_tail(f64::NEG_INFINITY), 1.0);
    assert_eq!(t.two_sided_tail(0.0), 1.0);
    let f = FDistribution::new(2.0, 4.0).unwrap();
    assert_eq!((f.cdf(-1.0), f.upper_tail(-1.0)), (0.0, 1.0));
    assert_eq!(
        (f.cdf(f64::INFINITY), f.upper_tail(f64::INFINITY)),
        (1.0, 0.0)
    );
    let chi_square = ChiSquare::new(2.0).unwrap();
    assert_eq!(
        (chi_square.cdf(-1.0), chi_square.upper_tail(f64::INFINITY)),
        (0.0, 0.0)
    );
    assert_eq!(Normal::upper_tail(f64::INFINITY), 0.0);
}

#[test]
fn a_not_a_number_stays_one() {
    assert!(StudentT::new(3.0).unwrap().upper_tail(f64::NAN).is_nan());
    assert!(
        FDistribution::new(3.0, 3.0)
            .unwrap()
            .upper_tail(f64::NAN)
            .is_nan()
    );
    assert!(FDistribution::new(3.0, 3.0).unwrap().cdf(f64::NAN).is_nan());
    assert!(ChiSquare::new(3.0).unwrap().upper_tail(f64::NAN).is_nan());
    assert!(Normal::upper_tail(f64::NAN).is_nan());
}

#[test]
fn refused_inputs() {
    for df in [0.0, -1.0, f64::INFINITY] {
        let refused = Err(DistributionError::DegreesOfFreedom(df));
        assert_eq!(StudentT::new(df).map(|_| ()), refused);
        assert_eq!(ChiSquare::new(df).map(|_| ()), refused);
        assert_eq!(FDistribution::new(2.0, df).map(|_| ()), refused);
        assert_eq!(FDistribution::new(df, 2.0).map(|_| ()), refused);
    }
    assert!(StudentT::new(f64::NAN).is_err());
    for p in [0.0, 1.0, -0.1, 2.0] {
        assert_eq!(Normal::quantile(p), Err(DistributionError::Probability(p)));
        assert_eq!(
            StudentT::new(2.0).unwrap().quantile(p),
            Err(DistributionError::Probability(p))
        );
        assert_eq!(
            ConfidenceLevel::new(p).map(|_| ()),
            Err(DistributionError::Probability(p))
        );
    }
    assert!(Normal::quantile(f64::NAN).is_err());
}
