//! The chance of seeing a difference, against an independent library, a printed example and plain rules.
//!
//! Answers: `tests/reference/README.md`.

// A test that cannot read its data should stop.
#![allow(clippy::unwrap_used)]

mod reference;

use fairpen_stats::distribution::{ConfidenceLevel, DistributionError, StudentT};
use fairpen_stats::power::{chance_of_seeing, seen_with_chance};
use proptest::prelude::*;
use reference::answers;

fn rows(name: &str) -> Vec<Vec<f64>> {
    answers("power_expected.json")[name]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| {
            let cells = row.as_array().unwrap();
            cells.iter().map(|cell| cell.as_f64().unwrap()).collect()
        })
        .collect()
}

#[test]
fn the_chance_is_that_of_an_independent_library() {
    let rows = rows("chance");
    assert!(rows.len() > 150);
    for row in rows {
        let got = chance_of_seeing(row[0], row[1], row[2]).unwrap();
        assert!((got - row[3]).abs() < 1e-9, "{row:?}: got {got}");
    }
}

#[test]
fn the_difference_seen_is_that_of_an_independent_library() {
    let rows = rows("seen_with_chance");
    assert!(rows.len() >= 15);
    for row in rows {
        let got = seen_with_chance(row[0], row[1], row[2]).unwrap();
        assert!((got / row[3] - 1.0).abs() < 1e-8, "{row:?}: got {got}");
    }
}

/// Twenty in each of two groups, a difference of one standard deviation, 95 %: 0.8689528, as the help of R's
/// power.t.test prints it (from memory).
#[test]
fn twenty_against_twenty() {
    let df = 38.0;
    let critical = StudentT::new(df)
        .unwrap()
        .two_sided_quantile(ConfidenceLevel::NINETY_FIVE);
    let got = chance_of_seeing((10.0_f64).sqrt(), df, critical).unwrap();
    // R leaves the far tail out, 2 in ten million here.
    assert!((got - 0.868_952_8).abs() < 3e-7, "{got}");
}

#[test]
fn far_out_the_normal_curve_is_a_step() {
    // On either side of the border the two ways agree.
    let near = chance_of_seeing(999.9, 1.0, 636.619).unwrap();
    let far = chance_of_seeing(1000.1, 1.0, 636.619).unwrap();
    assert!((near - far).abs() < 1e-3 && far > near, "{near} {far}");
    assert!((chance_of_seeing(1e9, 20.0, 2.0).unwrap() - 1.0).abs() < 1e-15);
}

#[test]
fn what_cannot_be_is_refused() {
    assert_eq!(
        chance_of_seeing(1.0, 0.0, 2.0),
        Err(DistributionError::DegreesOfFreedom(0.0))
    );
    assert!(chance_of_seeing(f64::NAN, 5.0, 2.0).is_err());
    assert!(chance_of_seeing(1.0, 5.0, -1.0).is_err());
    assert!(seen_with_chance(1.0, 5.0, 2.0).is_err());
    // An interval so narrow that it nearly always leaves zero out.
    assert_eq!(seen_with_chance(0.5, 5.0, 0.1), Ok(0.0));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn larger_differences_and_both_signs(df in 1.0..400.0_f64, d in 0.0..8.0_f64, more in 0.01..2.0_f64) {
        let critical = StudentT::new(df).unwrap().two_sided_quantile(ConfidenceLevel::NINETY_FIVE);
        let at = |d: f64| chance_of_seeing(d, df, critical).unwrap();
        prop_assert!(at(d + more) >= at(d) - 1e-12);
        prop_assert!((at(d) - at(-d)).abs() < 1e-13);
        prop_assert!((at(0.0) - 0.05).abs() < 1e-9);
        let back = seen_with_chance(0.8, df, critical).unwrap();
        prop_assert!((at(back) - 0.8).abs() < 1e-9);
    }
}
