//! What the linear model promises, one small case for each promise.

// long because: one small case for each promise, and the promises belong to one model.

// A test that cannot make its data should stop.
#![allow(clippy::unwrap_used)]

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    CovariateIndex, Data, Factor, FactorIndex, Fit, FitError, MISSING_LEVEL, Margins, MeansError,
    NotEstimable, Term, TermIndex, fit,
};

const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;
const A: FactorIndex = FactorIndex(0);
const B: FactorIndex = FactorIndex(1);
const X: CovariateIndex = CovariateIndex(0);
const Z: CovariateIndex = CovariateIndex(1);

/// Factors as codes with their number of levels, then covariates.
fn fitted(
    response: &[f64],
    factors: &[(&[u32], u32)],
    covariates: &[&[f64]],
    terms: &[Term],
) -> Result<Fit, FitError> {
    let factors: Vec<Factor<'_>> = factors
        .iter()
        .map(|&(codes, levels)| Factor { codes, levels })
        .collect();
    fit(
        &Data {
            response,
            factors: &factors,
            covariates,
        },
        terms,
    )
}

fn value(fit: &Fit, factor: FactorIndex, at: usize) -> f64 {
    let means = fit.means(&[factor], Margins::Equal, LEVEL).unwrap();
    means[at].estimate.as_ref().unwrap().value
}

#[track_caller]
fn near(got: f64, want: f64) {
    assert!(
        (got - want).abs() <= 1e-10 * want.abs().max(1.0),
        "got {got}, expected {want}"
    );
}

#[test]
fn one_factor_gives_the_raw_means_and_the_pooled_test() {
    let y = [1.0, 2.0, 3.0, 6.0, 8.0];
    let fit = fitted(&y, &[(&[0, 0, 0, 1, 1], 2)], &[], &[Term::Factor(A)]).unwrap();
    near(value(&fit, A, 0), 2.0);
    near(value(&fit, A, 1), 7.0);
    let means = fit.means(&[A], Margins::Equal, LEVEL).unwrap();
    let difference = fit.differences(&means, LEVEL)[0].estimate.clone().unwrap();
    let summary = |values: &[f64]| fairpen_stats::describe::summarise(values).unwrap();
    let pooled = fairpen_stats::test::pooled(&summary(&y[..3]), &summary(&y[3..]), LEVEL).unwrap();
    let spread = difference.uncertainty.unwrap();
    near(difference.value, pooled.difference);
    near(spread.standard_error, pooled.standard_error);
    near(spread.p, pooled.p);
    near(spread.lower, pooled.lower);
    near(spread.upper, pooled.upper);
}

/// All calves of one place have one dam age: the place difference has no number, and the alias says why.
#[test]
fn confounded_factors_are_refused_and_named() {
    let y = [500.0, 510.0, 530.0, 520.0, 505.0];
    let place = [0, 0, 1, 1, 0];
    let dam_age = [2, 2, 0, 0, 2];
    let terms = [Term::Factor(A), Term::Factor(B)];
    let fit = fitted(&y, &[(&place, 2), (&dam_age, 3)], &[], &terms).unwrap();
    assert_eq!(fit.rank(), 2);
    let aliases = fit.aliases();
    assert_eq!(aliases.len(), 1);
    let column = &fit.columns()[aliases[0].column];
    assert_eq!(
        (column.term, column.levels.clone()),
        (Some(TermIndex(1)), vec![(B, 0)])
    );
    assert_eq!(aliases[0].equals.len(), 1);
    let (other, weight) = aliases[0].equals[0];
    near(weight, 1.0);
    assert_eq!(fit.columns()[other].levels, vec![(A, 1)]);
    assert_eq!(
        fit.confounded_terms(&aliases[0]),
        [TermIndex(1), TermIndex(0)]
    );

    let means = fit.means(&[A], Margins::Equal, LEVEL).unwrap();
    let difference = &fit.differences(&means, LEVEL)[0];
    assert_eq!(difference.estimate, Err(NotEstimable::Confounded(aliases)));
    // The overall mean weighs both places and both ages alike, which the data do determine.
    assert!(
        fit.means(&[], Margins::Equal, LEVEL).unwrap()[0]
            .estimate
            .is_ok()
    );
    for test in fit.partial_tests() {
        assert_eq!((test.df, test.full_df, test.mean_square), (0, 1, None));
        assert_eq!(test.test, None);
    }
}

/// Two places share no level of another factor with the third: the linked pair is compared, the third is
/// not, though no single mean can be had.
#[test]
fn differences_are_judged_by_themselves() {
    let place = [0, 0, 1, 1, 2, 2];
    let year = [0, 1, 0, 1, 2, 2];
    let y = [1.0, 3.0, 2.0, 4.5, 9.0, 9.5];
    let terms = [Term::Factor(A), Term::Factor(B)];
    let fit = fitted(&y, &[(&place, 3), (&year, 3)], &[], &terms).unwrap();
    let means = fit.means(&[A], Margins::Equal, LEVEL).unwrap();
    assert!(
        means
            .iter()
            .all(|mean| matches!(mean.estimate, Err(NotEstimable::Confounded(_))))
    );
    let differences = fit.differences(&means, LEVEL);
    near(differences[0].estimate.as_ref().unwrap().value, -1.25);
    assert!(differences[1].estimate.is_err());
    assert!(differences[2].estimate.is_err());
}

#[test]
fn an_empty_cell_is_named_and_refuses_only_what_needs_it() {
    let a = [0, 0, 0, 1, 1, 0];
    let b = [0, 1, 0, 0, 0, 1];
    let y = [1.0, 2.0, 1.5, 4.0, 4.4, 2.6];
    let terms = [Term::Factor(A), Term::Factor(B), Term::Cross(vec![A, B])];
    let fit = fitted(&y, &[(&a, 2), (&b, 2)], &[], &terms).unwrap();
    let empty = fit.empty_cells(TermIndex(2));
    assert_eq!(empty.len(), 1);
    assert_eq!(empty[0].levels, [(A, 1), (B, 1)]);
    let means = fit.means(&[A], Margins::Equal, LEVEL).unwrap();
    near(
        means[0].estimate.as_ref().unwrap().value,
        (1.25 + 2.3) / 2.0,
    );
    assert_eq!(
        means[1].estimate,
        Err(NotEstimable::EmptyCells(empty.clone()))
    );
    let cells = fit.means(&[A, B], Margins::Equal, LEVEL).unwrap();
    near(cells[2].estimate.as_ref().unwrap().value, 4.2);
    assert_eq!(cells[3].estimate, Err(NotEstimable::EmptyCells(empty)));
    let tests = fit.partial_tests();
    assert_eq!((tests[2].df, tests[2].full_df), (0, 1));
}

#[test]
fn rows_with_anything_missing_are_left_out_and_counted() {
    let y = [1.0, f64::NAN, 3.0, 4.0, 7.0, 6.0, 2.5];
    let a = [0, 0, MISSING_LEVEL, 1, 1, 1, 0];
    let x = [1.0, 2.0, 3.0, f64::NAN, 5.0, 6.5, 8.0];
    let unused = [f64::NAN; 7];
    let terms = [Term::Factor(A), Term::Covariate(X)];
    let fit = fitted(&y, &[(&a, 2)], &[&x, &unused], &terms).unwrap();
    let rows = fit.rows();
    assert_eq!((rows.given, rows.used, rows.missing_response), (7, 4, 1));
    assert_eq!(rows.missing_factor, [1]);
    assert_eq!(rows.missing_covariate, [1, 0]);
    assert_eq!(fit.excluded_rows(), [1, 2, 3]);
    let without = fitted(
        &[1.0, 7.0, 6.0, 2.5],
        &[(&[0, 1, 1, 0], 2)],
        &[&[1.0, 5.0, 6.5, 8.0]],
        &terms,
    )
    .unwrap();
    assert_eq!(fit.coefficients(), without.coefficients());
    near(fit.covariate_mean(X).unwrap(), 20.5 / 4.0);
    assert_eq!(fit.covariate_mean(Z), None);
}

#[test]
fn levels_without_rows_are_not_averaged_over() {
    let y = [1.0, 2.0, 5.0, 7.0];
    let terms = [Term::Factor(A), Term::Factor(B)];
    let few = fitted(&y, &[(&[0, 1, 0, 1], 2), (&[0, 0, 1, 1], 2)], &[], &terms).unwrap();
    let many = fitted(&y, &[(&[3, 7, 3, 7], 9), (&[2, 2, 5, 5], 6)], &[], &terms).unwrap();
    assert_eq!(many.present_levels(A), [3, 7]);
    assert_eq!(value(&few, A, 0), value(&many, A, 0));
    assert_eq!(value(&few, B, 1), value(&many, B, 1));
    let absent = many.mean_function(&[(A, 4)], Margins::Equal).unwrap();
    assert!(matches!(
        many.estimate(&absent, LEVEL),
        Err(NotEstimable::EmptyCells(_))
    ));
    assert_eq!(
        many.mean_function(&[(A, 9)], Margins::Equal),
        Err(MeansError::LevelOutOfRange {
            factor: A,
            level: 9
        })
    );
}

/// Weaning date is one day for all: age at weaning and birth date are one thing, and a constant is none.
#[test]
fn covariates_that_move_together_or_not_at_all() {
    let y = [1.0, 2.0, 2.5, 4.5, 5.0, 5.5];
    let birth = [44_000.0, 44_003.0, 44_010.0, 44_020.0, 44_021.0, 44_040.0];
    let age: Vec<f64> = birth.iter().map(|day| 44_200.0 - day).collect();
    let constant = [0.1 + 0.2; 6];
    let terms = [
        Term::Covariate(X),
        Term::Covariate(Z),
        Term::Covariate(CovariateIndex(2)),
    ];
    let fit = fitted(&y, &[], &[&birth, &age, &constant], &terms).unwrap();
    let aliases = fit.aliases();
    assert_eq!(aliases.len(), 2);
    assert_eq!((aliases[0].column, aliases[0].equals[0].0), (2, 1));
    near(aliases[0].equals[0].1, -1.0);
    assert_eq!((aliases[1].column, aliases[1].equals.len()), (3, 0));
    let slope = fit.slope_function(X).unwrap();
    assert!(fit.estimate(&slope, LEVEL).is_err());
    let mut both = fit.empty_function();
    both.add(1, 1.0);
    both.add(2, -1.0);
    let alone = fitted(&y, &[], &[&birth], &terms[..1]).unwrap();
    let slope = alone
        .estimate(&alone.slope_function(X).unwrap(), LEVEL)
        .unwrap();
    // b1 X + b2 (c - X): only b1 - b2 is determined, and it is the slope on X alone.
    near(fit.estimate(&both, LEVEL).unwrap().value, slope.value);
}

/// Slopes of their own: each group's slope is that of a regression within it, the common slope their
/// plain mean, and group means are taken at the overall mean of the covariate.
#[test]
fn slopes_by_level() {
    let a = [0, 0, 0, 1, 1, 1, 1];
    let x = [1.0, 2.0, 4.0, 1.0, 3.0, 5.0, 7.0];
    let y: Vec<f64> = a
        .iter()
        .zip(x)
        .zip([0.1, -0.15, 0.05, 0.2, -0.3, 0.0, 0.1])
        .map(|((&a, x), noise)| if a == 0 { 3.0 + 2.0 * x } else { 10.0 - x } + noise)
        .collect();
    let line = |rows: std::ops::Range<usize>| {
        let fit = fitted(&y[rows.clone()], &[], &[&x[rows]], &[Term::Covariate(X)]).unwrap();
        let slope = fit
            .estimate(&fit.slope_function(X).unwrap(), LEVEL)
            .unwrap()
            .value;
        let at_mean = fit.means(&[], Margins::Equal, LEVEL).unwrap()[0]
            .estimate
            .clone()
            .unwrap();
        (slope, at_mean.value, fit.covariate_mean(X).unwrap())
    };
    let (first, second) = (line(0..3), line(3..7));
    let terms = [
        Term::Factor(A),
        Term::Covariate(X),
        Term::Slopes {
            factor: A,
            covariate: X,
        },
    ];
    let fit = fitted(&y, &[(&a, 2)], &[&x], &terms).unwrap();
    let common = fit
        .estimate(&fit.slope_function(X).unwrap(), LEVEL)
        .unwrap()
        .value;
    near(common, f64::midpoint(first.0, second.0));
    let centre = x.iter().sum::<f64>() / 7.0;
    near(value(&fit, A, 0), first.1 + first.0 * (centre - first.2));
    near(value(&fit, A, 1), second.1 + second.0 * (centre - second.2));
}

#[test]
fn an_exact_fit_and_a_saturated_one_have_no_standard_errors() {
    let x = [1.0, 2.0, 3.0, 4.0];
    let y = x.map(|x| 1e6 + 0.1 * x);
    let exact = fitted(&y, &[], &[&x], &[Term::Covariate(X)]).unwrap();
    assert_eq!(
        (exact.residual_df(), exact.residual_sum_of_squares()),
        (2, 0.0)
    );
    let slope = exact
        .estimate(&exact.slope_function(X).unwrap(), LEVEL)
        .unwrap();
    assert!((slope.value - 0.1).abs() < 1e-9);
    assert_eq!(slope.uncertainty, None);
    assert_eq!(exact.partial_tests()[0].test, None);

    let saturated = fitted(&[1.0, 5.0], &[(&[0, 1], 2)], &[], &[Term::Factor(A)]).unwrap();
    assert_eq!(saturated.residual_df(), 0);
    assert_eq!(saturated.residual_standard_deviation(), None);
    let means = saturated.means(&[A], Margins::Equal, LEVEL).unwrap();
    let estimate = saturated.differences(&means, LEVEL)[0]
        .estimate
        .clone()
        .unwrap();
    near(estimate.value, -4.0);
    assert_eq!(estimate.uncertainty, None);
}

#[test]
fn one_row_and_an_intercept() {
    let fit = fitted(&[7.0], &[], &[], &[]).unwrap();
    assert_eq!(
        (fit.rank(), fit.residual_df(), fit.r_squared()),
        (1, 0, None)
    );
    let mean = fit.means(&[], Margins::Equal, LEVEL).unwrap()[0]
        .estimate
        .clone()
        .unwrap();
    assert_eq!((mean.value, mean.uncertainty), (7.0, None));
}

/// The Longley data of the NIST Statistical Reference Datasets, whose six covariates nearly determine
/// each other. Data and certified values from memory.
#[test]
fn longley_regression() {
    let rows: [[f64; 7]; 16] = [
        [60323.0, 83.0, 234_289.0, 2356.0, 1590.0, 107_608.0, 1947.0],
        [61122.0, 88.5, 259_426.0, 2325.0, 1456.0, 108_632.0, 1948.0],
        [60171.0, 88.2, 258_054.0, 3682.0, 1616.0, 109_773.0, 1949.0],
        [61187.0, 89.5, 284_599.0, 3351.0, 1650.0, 110_929.0, 1950.0],
        [63221.0, 96.2, 328_975.0, 2099.0, 3099.0, 112_075.0, 1951.0],
        [63639.0, 98.1, 346_999.0, 1932.0, 3594.0, 113_270.0, 1952.0],
        [64989.0, 99.0, 365_385.0, 1870.0, 3547.0, 115_094.0, 1953.0],
        [63761.0, 100.0, 363_112.0, 3578.0, 3350.0, 116_219.0, 1954.0],
        [66019.0, 101.2, 397_469.0, 2904.0, 3048.0, 117_388.0, 1955.0],
        [67857.0, 104.6, 419_180.0, 2822.0, 2857.0, 118_734.0, 1956.0],
        [68169.0, 108.4, 442_769.0, 2936.0, 2798.0, 120_445.0, 1957.0],
        [66513.0, 110.8, 444_546.0, 4681.0, 2637.0, 121_950.0, 1958.0],
        [68655.0, 112.6, 482_704.0, 3813.0, 2552.0, 123_366.0, 1959.0],
        [69564.0, 114.2, 502_601.0, 3931.0, 2514.0, 125_368.0, 1960.0],
        [69331.0, 115.7, 518_173.0, 4806.0, 2572.0, 127_852.0, 1961.0],
        [70551.0, 116.9, 554_894.0, 4007.0, 2827.0, 130_081.0, 1962.0],
    ];
    let columns: Vec<Vec<f64>> = (0..7)
        .map(|at| rows.iter().map(|row| row[at]).collect())
        .collect();
    let covariates: Vec<&[f64]> = columns[1..].iter().map(Vec::as_slice).collect();
    let terms: Vec<Term> = (0..6)
        .map(|at| Term::Covariate(CovariateIndex(at)))
        .collect();
    let fit = fitted(&columns[0], &[], &covariates, &terms).unwrap();
    let certified = [
        15.061_872_271_373_3,
        -0.035_819_179_292_591_0,
        -2.020_229_803_816_83,
        -1.033_226_867_173_59,
        -0.051_104_105_653_580_7,
        1_829.151_464_613_55,
    ];
    for (at, want) in certified.into_iter().enumerate() {
        let function = fit.slope_function(CovariateIndex(at)).unwrap();
        let got = fit.estimate(&function, LEVEL).unwrap().value;
        assert!((got / want - 1.0).abs() < 1e-10, "slope {at}: {got} {want}");
    }
    let close = |got: f64, want: f64| assert!((got / want - 1.0).abs() < 1e-10, "{got} {want}");
    close(fit.residual_sum_of_squares(), 836_424.055_505_915);
    close(
        fit.residual_standard_deviation().unwrap(),
        304.854_073_561_965,
    );
    close(fit.r_squared().unwrap(), 0.995_479_004_577_296);
}

/// Wampler1 of the NIST Statistical Reference Datasets, by its rule: the sum of the first six powers of 0
/// to 20, whose certified coefficients are all exactly 1. Squaring this design would cost digits that the
/// correction from the residuals brings back.
#[test]
fn wampler_polynomial() {
    let x: Vec<f64> = (0..21).map(f64::from).collect();
    let powers: Vec<Vec<f64>> = (1..6)
        .map(|power| x.iter().map(|x| x.powi(power)).collect())
        .collect();
    let y: Vec<f64> = (0..21)
        .map(|row| 1.0 + powers.iter().map(|power| power[row]).sum::<f64>())
        .collect();
    let covariates: Vec<&[f64]> = powers.iter().map(Vec::as_slice).collect();
    let terms: Vec<Term> = (0..5)
        .map(|at| Term::Covariate(CovariateIndex(at)))
        .collect();
    let fit = fitted(&y, &[], &covariates, &terms).unwrap();
    for (at, slope) in fit.coefficients()[1..].iter().enumerate() {
        assert!(
            (slope - 1.0).abs() < 1e-10,
            "power {}: {:e}",
            at + 1,
            slope - 1.0
        );
    }
    assert_eq!(fit.residual_sum_of_squares(), 0.0);
}

#[test]
fn leverage_adds_up_to_the_rank_and_residuals_to_their_sum_of_squares() {
    let a = [0, 1, 2, 0, 1, 2, 0, 0, MISSING_LEVEL];
    let x = [1.0, 4.0, 2.0, 8.0, 5.0, 7.0, 1.5, 3.0, 2.0];
    let y = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0, 6.0, 5.0];
    let factors = [Factor {
        codes: &a,
        levels: 3,
    }];
    let data = Data {
        response: &y,
        factors: &factors,
        covariates: &[&x],
    };
    let fit = fit(&data, &[Term::Factor(A), Term::Covariate(X)]).unwrap();
    assert_eq!(fit.row(&data, 8), None);
    assert_eq!(fit.row(&data, 9), None);
    let rows: Vec<_> = (0..8).map(|row| fit.row(&data, row).unwrap()).collect();
    near(rows.iter().map(|row| row.leverage).sum(), 4.0);
    near(
        rows.iter().map(|row| row.residual.powi(2)).sum(),
        fit.residual_sum_of_squares(),
    );
    for (row, &y) in rows.iter().zip(&y) {
        near(row.fitted + row.residual, y);
    }
}

#[test]
fn models_that_make_no_sense_are_refused_with_the_place() {
    let y = [1.0, 2.0, 3.0];
    let codes: &[u32] = &[0, 1, 1];
    let factors = [(codes, 2), (codes, 2)];
    let x: &[f64] = &[1.0, 2.0, 4.0];
    let refused = |terms: &[Term]| fitted(&y, &factors, &[x], terms).map(|_| ()).unwrap_err();
    let term = TermIndex;
    assert_eq!(
        refused(&[Term::Factor(FactorIndex(2))]),
        FitError::UnknownFactor {
            term: term(0),
            factor: FactorIndex(2)
        }
    );
    assert_eq!(
        refused(&[Term::Covariate(Z)]),
        FitError::UnknownCovariate {
            term: term(0),
            covariate: Z
        }
    );
    assert_eq!(
        refused(&[Term::Factor(A), Term::Factor(B), Term::Factor(A)]),
        FitError::RepeatedTerm {
            first: term(0),
            second: term(2)
        }
    );
    assert_eq!(
        refused(&[Term::Factor(A), Term::Cross(vec![A])]),
        FitError::MalformedTerm { term: term(1) }
    );
    assert_eq!(
        refused(&[Term::Factor(A), Term::Cross(vec![A, A])]),
        FitError::MalformedTerm { term: term(1) }
    );
    assert_eq!(
        refused(&[Term::Factor(A), Term::Cross(vec![A, B])]),
        FitError::MissingPart {
            term: term(1),
            factors: vec![B]
        }
    );
    assert_eq!(
        refused(&[
            Term::Factor(A),
            Term::Slopes {
                factor: A,
                covariate: X
            }
        ]),
        FitError::MissingPart {
            term: term(1),
            factors: vec![]
        }
    );
    assert_eq!(
        refused(&[Term::Nested {
            inner: B,
            outer: vec![A]
        }]),
        FitError::MissingPart {
            term: term(0),
            factors: vec![A]
        }
    );
    assert_eq!(
        refused(&[
            Term::Factor(A),
            Term::Nested {
                inner: B,
                outer: vec![A]
            },
            Term::Factor(B)
        ]),
        FitError::NestedFactorReused {
            nested: term(1),
            other: term(2)
        }
    );
}

#[test]
fn data_that_do_not_fit_together_are_refused_with_the_place() {
    let terms = [Term::Factor(A), Term::Covariate(X)];
    let refused = |y: &[f64], codes: &[u32], x: &[f64]| {
        fitted(y, &[(codes, 2)], &[x], &terms)
            .map(|_| ())
            .unwrap_err()
    };
    let y = [1.0, 2.0];
    assert_eq!(
        refused(&y, &[0], &[1.0, 2.0]),
        FitError::FactorLength {
            factor: A,
            rows: 1,
            expected: 2
        }
    );
    assert_eq!(
        refused(&y, &[0, 1], &[1.0]),
        FitError::CovariateLength {
            covariate: X,
            rows: 1,
            expected: 2
        }
    );
    assert_eq!(
        refused(&y, &[0, 2], &[1.0, 2.0]),
        FitError::CodeOutOfRange {
            factor: A,
            row: 1,
            code: 2
        }
    );
    assert_eq!(
        refused(&[1.0, f64::INFINITY], &[0, 1], &[1.0, 2.0]),
        FitError::InfiniteResponse { row: 1 }
    );
    assert_eq!(
        refused(&y, &[0, 1], &[f64::NEG_INFINITY, 2.0]),
        FitError::InfiniteCovariate {
            covariate: X,
            row: 0
        }
    );
    assert_eq!(
        refused(&[f64::NAN, 2.0], &[0, MISSING_LEVEL], &[1.0, 2.0]),
        FitError::NoUsableRow
    );
    let many = fitted(
        &y,
        &[(&[0, 1], 5000), (&[0, 1], 5000)],
        &[],
        &[Term::Factor(A), Term::Factor(B), Term::Cross(vec![A, B])],
    );
    assert!(matches!(
        many,
        Err(FitError::TooManyCells {
            term: TermIndex(2),
            ..
        })
    ));
}

#[test]
fn requests_for_means_that_make_no_sense() {
    let y = [1.0, 2.0, 3.0, 5.0];
    let terms = [
        Term::Factor(A),
        Term::Nested {
            inner: B,
            outer: vec![A],
        },
    ];
    let fit = fitted(
        &y,
        &[(&[0, 0, 1, 1], 2), (&[0, 1, 0, 1], 2), (&[0, 0, 0, 0], 1)],
        &[],
        &terms,
    )
    .unwrap();
    let refused = |factors: &[FactorIndex]| {
        fit.means(factors, Margins::Equal, LEVEL)
            .map(|_| ())
            .unwrap_err()
    };
    let stranger = FactorIndex(2);
    assert_eq!(
        refused(&[stranger]),
        MeansError::FactorNotInModel { factor: stranger }
    );
    assert_eq!(refused(&[A, A]), MeansError::RepeatedFactor { factor: A });
    assert_eq!(
        refused(&[B]),
        MeansError::NestedWithoutOuter {
            inner: B,
            outer: vec![A]
        }
    );
}
