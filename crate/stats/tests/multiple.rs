//! Several comparisons at once: the studentized range, Dunnett's comparisons, Holm's.
//!
//! Reference numbers: `tests/reference/README.md`.

// A test that cannot read its data should stop.
#![allow(clippy::unwrap_used)]

mod reference;

use fairpen_stats::distribution::{ConfidenceLevel, StudentT};
use fairpen_stats::linear::{Data, Estimate, Factor, FactorIndex, Margins, Term, Uncertainty, fit};
use fairpen_stats::multiple::{
    ManyAgainstOne, NotOneFactor, StudentizedRange, StudentizedRangeError, against_one, holm,
    tukey_kramer,
};
use reference::{answers, check};

const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;

fn number(value: &serde_json::Value) -> f64 {
    value.as_f64().unwrap()
}

fn correlation(loadings: &[f64]) -> Vec<f64> {
    let mut rows = Vec::new();
    for (i, one) in loadings.iter().enumerate() {
        for (j, other) in loadings.iter().enumerate() {
            rows.push(if i == j { 1.0 } else { one * other });
        }
    }
    rows
}

/// An estimate with standard error one.
fn estimate(t: f64, df: f64) -> Estimate {
    let distribution = StudentT::new(df).unwrap();
    let reach = distribution.two_sided_quantile(LEVEL);
    Estimate {
        value: t,
        uncertainty: Some(Uncertainty {
            standard_error: 1.0,
            df,
            t,
            p: distribution.two_sided_tail(t),
            lower: t - reach,
            upper: t + reach,
        }),
    }
}

#[test]
fn range_tails_and_quantiles() {
    let answers = answers("multiple_expected.json");
    let range = |row: &serde_json::Value| {
        let values = usize::try_from(row[0].as_u64().unwrap()).unwrap();
        StudentizedRange::new(values, number(&row[1])).unwrap()
    };
    for row in answers["range_tail"].as_array().unwrap() {
        let got = range(row).upper_tail(number(&row[2]));
        // The reference takes the tail as one less the other side.
        let want = number(&row[3]);
        assert!((got - want).abs() <= 1e-9 * want + 1e-11, "{row}: {got}");
    }
    for row in answers["range_quantile"].as_array().unwrap() {
        let got = range(row).upper_quantile(number(&row[2])).unwrap();
        check(&row.to_string(), got, &row[3], 1e-7);
    }
}

#[test]
fn largest_of_correlated_values() {
    let answers = answers("multiple_expected.json");
    for row in answers["largest_tail"].as_array().unwrap() {
        let loadings: Vec<f64> = row[0].as_array().unwrap().iter().map(number).collect();
        let largest = ManyAgainstOne::new(&correlation(&loadings), loadings.len()).unwrap();
        let (df, t) = (number(&row[1]), number(&row[2]));
        let got = largest.two_sided_tail(t, df).unwrap();
        check(&row.to_string(), got, &row[3], 1e-7);
        if let Ok(level) = ConfidenceLevel::new(1.0 - got) {
            let back = largest.two_sided_quantile(level, df).unwrap();
            assert!((back - t).abs() < 1e-7, "{row}: {back}");
        }
    }
}

/// Correlations that are no products: tails by Genz and Bretz's integration of the whole distribution.
#[test]
fn largest_of_values_that_are_nearly_of_the_form() {
    let answers = answers("nearly_one_factor_expected.json");
    let mut most_off = 0.0_f64;
    for row in answers["largest_tail"].as_array().unwrap() {
        let rows: Vec<f64> = row["correlation"]
            .as_array()
            .unwrap()
            .iter()
            .map(number)
            .collect();
        let comparisons = usize::try_from(row["comparisons"].as_u64().unwrap()).unwrap();
        assert_eq!(ManyAgainstOne::new(&rows, comparisons), Err(NotOneFactor));
        let (largest, off) = ManyAgainstOne::nearly(&rows, comparisons).unwrap();
        most_off = most_off.max(off);
        let got = largest
            .two_sided_tail(number(&row["t"]), number(&row["df"]))
            .unwrap();
        let want = number(&row["tail"]);
        assert!((got - want).abs() < 2e-3, "{row}: {got}, off by {off}");
    }
    assert!(most_off > 0.03, "{most_off}: the rows try the method");
    // Far from it: refused.
    let far = [1.0, 0.9, 0.0, 0.9, 1.0, 0.9, 0.0, 0.9, 1.0];
    assert_eq!(ManyAgainstOne::nearly(&far, 3), Err(NotOneFactor));
}

/// Printed tables, two and three decimals, from memory: Tukey's 5 in 100 points of the range, and Dunnett's
/// two-sided 5 in 100 points at equal numbers (correlation one half).
#[test]
fn printed_tables() {
    for (values, df, printed) in [
        (3, 10.0, 3.877),
        (4, 20.0, 3.958),
        (3, 1e6, 3.314),
        (10, 5.0, 6.995),
    ] {
        let got = StudentizedRange::new(values, df)
            .unwrap()
            .upper_quantile(0.05)
            .unwrap();
        assert!((got - printed).abs() < 6e-4, "{values}, {df}: {got}");
    }
    for (comparisons, df, printed) in [
        (2, 10.0, 2.57),
        (2, 20.0, 2.38),
        (3, 20.0, 2.54),
        (3, 1e6, 2.35),
    ] {
        let rows = correlation(&vec![0.5f64.sqrt(); comparisons]);
        let largest = ManyAgainstOne::new(&rows, comparisons).unwrap();
        let got = largest.two_sided_quantile(LEVEL, df).unwrap();
        assert!((got - printed).abs() < 6e-3, "{comparisons}, {df}: {got}");
    }
}

/// For two means the range is Student's t; many degrees of freedom and few go the same way.
#[test]
fn two_means_need_no_adjustment() {
    for (t, df) in [(0.3, 1.2), (2.1, 7.5), (-4.0, 30.0), (9.0, 1e5)] {
        let one = estimate(t, df);
        let known = one.uncertainty.unwrap();
        let adjusted = tukey_kramer(&one, 2, LEVEL).unwrap();
        assert!((adjusted.p - known.p).abs() <= 1e-12);
        assert!((adjusted.lower - known.lower).abs() < 1e-8);
        let alone = against_one(&[one], &[1.0], LEVEL).unwrap()[0].unwrap();
        assert_eq!(alone.p, known.p);
        assert!((alone.upper - known.upper).abs() < 1e-12);
        let alone = holm(&[one], LEVEL)[0].unwrap();
        assert_eq!(alone.p, known.p);
    }
}

/// The same probability the long way: the range of three is above w unless all pairs are below.
#[test]
fn small_tails_keep_their_digits() {
    // One less the other side would leave nothing of these.
    let range = StudentizedRange::new(3, 60.0).unwrap();
    let tail = range.upper_tail(16.0);
    // At most the sum over three pairs, and nearly that: both at once is rarer still.
    let pair = StudentT::new(60.0)
        .unwrap()
        .two_sided_tail(16.0 / 2f64.sqrt());
    assert!(tail > 2.5 * pair && tail < 3.0 * pair, "{tail} {pair}");
    let largest = ManyAgainstOne::new(&correlation(&[0.0, 0.0]), 2).unwrap();
    let tail = largest.two_sided_tail(16.0, 1e6).unwrap();
    let one = StudentT::new(1e6).unwrap().two_sided_tail(16.0);
    assert!((tail / (2.0 * one) - 1.0).abs() < 1e-6, "{tail} {one}");
}

#[test]
fn tails_fall_and_intervals_agree_with_p() {
    for (values, df) in [(3, 3.3), (5, 18.0), (12, 400.0)] {
        let range = StudentizedRange::new(values, df).unwrap();
        let mut before = 1.0;
        for step in 1..60 {
            let tail = range.upper_tail(0.25 * f64::from(step));
            assert!(tail <= before + 1e-12);
            before = tail;
        }
        for t in [0.5, 1.9, 2.6, 3.4, 6.0] {
            let adjusted = tukey_kramer(&estimate(t, df), values, LEVEL).unwrap();
            assert_eq!(adjusted.p < 0.05, adjusted.lower > 0.0);
        }
    }
}

#[test]
fn holm_by_hand() {
    let normal = |p: f64| {
        let t = StudentT::new(30.0)
            .unwrap()
            .quantile(1.0 - p / 2.0)
            .unwrap();
        estimate(t, 30.0)
    };
    let unknown = Estimate {
        value: 1.0,
        uncertainty: None,
    };
    let all = [
        normal(0.03),
        normal(0.01),
        unknown,
        normal(0.04),
        normal(0.5),
    ];
    let adjusted = holm(&all, LEVEL);
    assert_eq!(adjusted[2], None);
    // Sorted 0.01, 0.03, 0.04, 0.5 times 4, 3, 2, 1; the third may not fall below the second.
    for (at, want) in [(1, 0.04), (0, 0.09), (3, 0.09), (4, 0.5)] {
        assert!((adjusted[at].unwrap().p - want).abs() < 1e-9);
    }
    let reach = StudentT::new(30.0)
        .unwrap()
        .quantile(1.0 - 0.0125 / 2.0)
        .unwrap();
    assert!((adjusted[4].unwrap().upper - all[4].value - reach).abs() < 1e-9);
    assert!(holm(&[], LEVEL).is_empty());
}

/// Independent means of any numbers have correlations of the right form; correlated ones may not.
#[test]
fn correlations_are_judged() {
    let numbers = [4.0, 9.0, 2.0, 30.0];
    let control = 6.0;
    let loading = |n: &f64| (n / (n + control)).sqrt();
    let rows = correlation(&numbers.iter().map(loading).collect::<Vec<f64>>());
    assert!(ManyAgainstOne::new(&rows, 4).is_ok());
    let mut other = rows;
    other[1] += 0.1;
    other[4] += 0.1;
    assert_eq!(ManyAgainstOne::new(&other, 4).unwrap_err(), NotOneFactor);
    // Two comparisons that are the same comparison.
    assert_eq!(ManyAgainstOne::new(&[1.0; 4], 2).unwrap_err(), NotOneFactor);
}

/// Three groups of 4, 5 and 3: the adjusted p lies between the plain one and three times it.
#[test]
fn pairs_of_a_fitted_model() {
    let y = [5.1, 4.8, 5.6, 5.0, 6.3, 6.9, 6.1, 6.4, 6.6, 5.2, 5.9, 5.4];
    let group = [0, 0, 0, 0, 1, 1, 1, 1, 1, 2, 2, 2];
    let factors = [Factor {
        codes: &group,
        levels: 3,
    }];
    let data = Data {
        response: &y,
        factors: &factors,
        covariates: &[],
    };
    let fit = fit(&data, &[Term::Factor(FactorIndex(0))]).unwrap();
    let means = fit.means(&[FactorIndex(0)], Margins::Equal, LEVEL).unwrap();
    for difference in fit.differences(&means, LEVEL) {
        let estimate = difference.estimate.unwrap();
        let plain = estimate.uncertainty.unwrap();
        let adjusted = tukey_kramer(&estimate, 3, LEVEL).unwrap();
        assert!(adjusted.p > plain.p && adjusted.p < 3.0 * plain.p);
        assert!(adjusted.lower < plain.lower && adjusted.upper > plain.upper);
    }
}

#[test]
fn out_of_range_is_refused() {
    assert_eq!(
        StudentizedRange::new(1, 5.0),
        Err(StudentizedRangeError::Values(1))
    );
    assert!(StudentizedRange::new(3, 0.0).is_err());
    assert!(StudentizedRange::new(3, f64::INFINITY).is_err());
    let range = StudentizedRange::new(3, 5.0).unwrap();
    assert!(range.upper_quantile(0.0).is_err() && range.upper_quantile(1.0).is_err());
    assert_eq!(range.upper_tail(-1.0), 1.0);
    assert!(
        ManyAgainstOne::new(&[1.0], 1)
            .unwrap()
            .two_sided_tail(2.0, -1.0)
            .is_err()
    );
    assert_eq!(tukey_kramer(&estimate(2.0, 9.0), 1, LEVEL), None);
}
