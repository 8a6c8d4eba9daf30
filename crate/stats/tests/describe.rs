//! Description and t tests on numbers worked by hand or published.

// A test that cannot read its data should stop.
#![allow(clippy::unwrap_used)]

use fairpen_stats::describe::{
    DescribeError, Summary, median, quantile, ranks, standardised_difference,
    standardised_difference_of_proportions, summarise,
};
use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::test::{TestError, one_sample, pooled, welch};

const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;
const MISSING: f64 = f64::NAN;

#[track_caller]
fn near(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, expected {want}"
    );
}

#[test]
fn missing_values_are_counted_and_left_out() {
    let summary = summarise(&[4.0, MISSING, 1.0, 7.0, MISSING]).unwrap();
    assert_eq!((summary.used, summary.missing), (3, 2));
    assert_eq!((summary.mean, summary.variance), (Some(4.0), Some(9.0)));
    assert_eq!((summary.minimum, summary.maximum), (Some(1.0), Some(7.0)));
    assert_eq!(summary.standard_deviation(), Some(3.0));
    near(
        summary.standard_error().unwrap(),
        3.0 / 3.0_f64.sqrt(),
        1e-15,
    );
}

#[test]
fn nothing_is_made_up_for_too_few_values() {
    let none = summarise(&[MISSING]).unwrap();
    assert_eq!((none.used, none.missing), (0, 1));
    assert_eq!((none.mean, none.variance, none.minimum), (None, None, None));
    let one = summarise(&[5.0]).unwrap();
    assert_eq!((one.mean, one.variance), (Some(5.0), None));
    assert_eq!(median(&[]), Ok(None));
}

/// The NumAcc3 data of the NIST Statistical Reference Datasets (rule and answers from memory): 1000000.2, then
/// 1000000.1 and 1000000.3 in turn 500 times; mean 1000000.2 and standard deviation 0.1 exactly.
#[test]
fn a_large_mean_does_not_swamp_the_variance() {
    let mut values = vec![1_000_000.2];
    for _ in 0..500 {
        values.extend([1_000_000.1, 1_000_000.3]);
    }
    let summary = summarise(&values).unwrap();
    near(summary.mean.unwrap(), 1_000_000.2, 1e-9);
    // The values themselves are stored only to 1e-10.
    near(summary.standard_deviation().unwrap(), 0.1, 2e-10);
}

#[test]
fn an_infinite_value_is_refused_with_its_place() {
    let values = [1.0, MISSING, f64::NEG_INFINITY];
    let refused = DescribeError::Infinite { index: 2 };
    assert_eq!(summarise(&values), Err(refused));
    assert_eq!(median(&values), Err(refused));
    assert_eq!(ranks(&values), Err(refused));
}

/// Type 7 on 1..=10 by its formula: position 1 + 9 p.
#[test]
fn quantiles_are_of_type_7() {
    let values = [10.0, 1.0, 9.0, 2.0, MISSING, 8.0, 3.0, 7.0, 4.0, 6.0, 5.0];
    for (p, want) in [
        (0.0, 1.0),
        (0.1, 1.9),
        (0.25, 3.25),
        (0.5, 5.5),
        (0.9, 9.1),
        (1.0, 10.0),
    ] {
        near(quantile(&values, p).unwrap().unwrap(), want, 1e-14);
    }
    assert_eq!(quantile(&values, 1.5), Err(DescribeError::Probability(1.5)));
    assert!(quantile(&values, MISSING).is_err());
    assert_eq!(median(&[3.0, 1.0, 2.0]), Ok(Some(2.0)));
}

#[test]
fn tied_values_share_the_mean_rank() {
    let got = ranks(&[20.0, 10.0, MISSING, 20.0, 30.0, 20.0]).unwrap();
    assert_eq!(
        got,
        [Some(3.0), Some(1.0), None, Some(3.0), Some(5.0), Some(3.0)]
    );
    assert_eq!(ranks(&[0.0, -0.0]).unwrap(), [Some(1.5), Some(1.5)]);
}

#[test]
fn standardised_differences() {
    let a = summarise(&[1.0, 2.0, 3.0]).unwrap(); // mean 2, variance 1
    let b = summarise(&[1.0, 4.0, 7.0]).unwrap(); // mean 4, variance 9
    near(
        standardised_difference(&a, &b).unwrap(),
        -2.0 / 5.0_f64.sqrt(),
        1e-15,
    );
    let still = summarise(&[2.0, 2.0]).unwrap();
    assert_eq!(standardised_difference(&still, &still), None);
    assert_eq!(
        standardised_difference(&a, &summarise(&[1.0]).unwrap()),
        None
    );
    // (0.5 - 0.2) / sqrt((0.25 + 0.16) / 2)
    near(
        standardised_difference_of_proportions(0.5, 0.2).unwrap(),
        0.3 / 0.205_f64.sqrt(),
        1e-15,
    );
    assert_eq!(standardised_difference_of_proportions(1.0, 1.0), None);
    assert_eq!(standardised_difference_of_proportions(1.2, 0.5), None);
}

/// Student's own example: extra hours of sleep with two drugs (Student 1908, Biometrika 6:1-25; the data
/// set `sleep` of R, from memory). R prints t = -1.8608, df = 17.776, p = 0.07939, interval -3.3654832 to
/// 0.2054832 for Welch's test, df = 18 and p = 0.07919 for the pooled one.
#[test]
fn students_sleep_data() {
    let first = summarise(&[0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]).unwrap();
    let second = summarise(&[1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]).unwrap();
    near(first.mean.unwrap(), 0.75, 1e-15);
    near(second.mean.unwrap(), 2.33, 1e-15);

    let unequal = welch(&first, &second, LEVEL).unwrap();
    near(unequal.difference, -1.58, 1e-15);
    near(unequal.t, -1.8608, 0.000_05);
    near(unequal.df, 17.776, 0.0005);
    near(unequal.p, 0.07939, 0.000_005);
    near(unequal.lower, -3.365_483_2, 0.000_000_05);
    near(unequal.upper, 0.205_483_2, 0.000_000_05);

    let equal = pooled(&first, &second, LEVEL).unwrap();
    near(equal.t, -1.8608, 0.000_05);
    assert_eq!(equal.df, 18.0);
    near(equal.p, 0.07919, 0.000_005);

    // Paired, as Student meant it: t = -4.0621, df = 9, p = 0.002833.
    let gaps: Vec<f64> = [-1.2, -2.4, -1.3, -1.3, 0.0, -1.0, -1.8, -0.8, -4.6, -1.4].to_vec();
    let paired = one_sample(&summarise(&gaps).unwrap(), 0.0, LEVEL).unwrap();
    near(paired.t, -4.0621, 0.000_05);
    near(paired.p, 0.002_833, 0.000_000_5);
    near(paired.lower, -2.459_885_8, 0.000_000_05);
    near(paired.upper, -0.700_114_2, 0.000_000_05);
}

#[test]
fn tests_that_cannot_be_made() {
    let of = |values: &[f64]| -> Summary { summarise(values).unwrap() };
    let (good, single, empty, still) = (of(&[1.0, 2.0]), of(&[1.0]), of(&[]), of(&[3.0, 3.0, 3.0]));
    let few = |group, used, needed| {
        Err(TestError::TooFew {
            group,
            used,
            needed,
        })
    };
    assert_eq!(one_sample(&single, 0.0, LEVEL), few(0, 1, 2));
    assert_eq!(welch(&good, &single, LEVEL), few(1, 1, 2));
    assert_eq!(pooled(&good, &empty, LEVEL), few(1, 0, 1));
    assert_eq!(pooled(&single, &single, LEVEL), few(0, 1, 2));
    assert!(pooled(&good, &single, LEVEL).is_ok());
    assert_eq!(welch(&still, &still, LEVEL), Err(TestError::NoSpread));
    assert_eq!(one_sample(&still, 1.0, LEVEL), Err(TestError::NoSpread));
}
