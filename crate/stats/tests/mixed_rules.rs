//! What a mixed model must say of particular layouts: balanced ones with exact answers, variances at zero,
//! and models that the rows cannot carry.

// long because: one small case for each promise, and the promises belong to one model.

// A test that cannot make its data should stop.
#![allow(clippy::unwrap_used)]

use std::ops::ControlFlow;

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    Data, Estimate, Factor, FactorIndex, FitError, LinearFunction, MISSING_LEVEL, Margins, Term,
    fit,
};
use fairpen_stats::mixed::{
    Approximation, InferenceError, Likelihood, MixedError, MixedFit, MixedSettings, RandomFactor,
    RandomIndex, Shares, fit_mixed,
};

use fairpen_stats::multiple::{against_one, tukey_kramer};

const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;
const TREATMENT: FactorIndex = FactorIndex(0);

fn codes(codes: &[u32], levels: u32) -> RandomFactor<'_> {
    RandomFactor::Codes(Factor { codes, levels })
}

fn try_fit(
    response: &[f64],
    fixed: Option<(&[u32], u32)>,
    random: &[RandomFactor<'_>],
) -> Result<MixedFit, MixedError> {
    let factors: Vec<Factor<'_>> = fixed
        .iter()
        .map(|&(codes, levels)| Factor { codes, levels })
        .collect();
    let terms: Vec<Term> = fixed.iter().map(|_| Term::Factor(TREATMENT)).collect();
    fit_mixed(
        &Data {
            response,
            factors: &factors,
            covariates: &[],
        },
        &terms,
        random,
        MixedSettings::default(),
        &mut |_| ControlFlow::Continue(()),
    )
}

#[track_caller]
fn close(got: f64, want: f64, relative: f64) {
    assert!(
        (got - want).abs() <= relative * want.abs(),
        "got {got}, expected {want}"
    );
}

/// Six blocks by four treatments, one row each, numbers without a pattern.
fn blocks() -> (Vec<f64>, Vec<u32>, Vec<u32>) {
    let mut rows = (Vec::new(), Vec::new(), Vec::new());
    for block in 0..6u32 {
        for treatment in 0..4u32 {
            let noise = f64::from((block * 37 + treatment * 61 + block * treatment * 17) % 23);
            rows.0
                .push(f64::from(block * block % 5) * 9.0 + f64::from(treatment) * 2.0 + noise);
            rows.1.push(block);
            rows.2.push(treatment);
        }
    }
    rows
}

/// Balanced one way: the variance is (mean square between less mean square within) over the rows of a
/// level (Searle, Casella and `McCulloch` 1992, Variance Components, section 3.8).
#[test]
fn one_way_balanced_is_the_analysis_of_variance() {
    let (y, block, _) = blocks();
    let factors = [Factor {
        codes: &block,
        levels: 6,
    }];
    let data = Data {
        response: &y,
        factors: &factors,
        covariates: &[],
    };
    let anova = fit(&data, &[Term::Factor(TREATMENT)]).unwrap();
    let between = anova.partial_tests()[0].mean_square.unwrap();
    let within = anova.residual_mean_square().unwrap();
    let fit = try_fit(&y, None, &[codes(&block, 6)]).unwrap();
    close(fit.residual_variance(), within, 1e-8);
    close(fit.components()[0].variance, (between - within) / 4.0, 1e-7);
    // A block's effect is its mean's deviation drawn in by the variance it does not share.
    let mean = y.iter().sum::<f64>() / 24.0;
    let share = 1.0 - within / between;
    for (at, prediction) in fit.predictions(RandomIndex(0)).unwrap().iter().enumerate() {
        let own = y[4 * at..4 * at + 4].iter().sum::<f64>() / 4.0;
        close(prediction.value, share * (own - mean), 1e-6);
        assert_eq!(prediction.rows, 4);
    }
}

/// Complete blocks: treatments are compared within blocks, by the exact F of the analysis of variance.
#[test]
fn complete_blocks_give_the_exact_f() {
    let (y, block, treatment) = blocks();
    let factors = [
        Factor {
            codes: &treatment,
            levels: 4,
        },
        Factor {
            codes: &block,
            levels: 6,
        },
    ];
    let data = Data {
        response: &y,
        factors: &factors,
        covariates: &[],
    };
    let anova = fit(
        &data,
        &[Term::Factor(TREATMENT), Term::Factor(FactorIndex(1))],
    )
    .unwrap();
    let want = anova.partial_tests()[0].test.unwrap();
    let fit = try_fit(&y, Some((&treatment, 4)), &[codes(&block, 6)]).unwrap();
    assert!(!fit.components()[0].at_zero);
    for method in [Approximation::Satterthwaite, Approximation::KenwardRoger] {
        let inference = fit.inference(method).unwrap();
        let test = inference.partial_tests()[0];
        assert_eq!((test.df, test.full_df), (3, 3));
        let test = test.test.unwrap();
        close(test.f, want.f, 1e-7);
        close(test.numerator_df, 3.0, 1e-12);
        close(test.denominator_df, 15.0, 1e-6);
        close(test.p, want.p, 1e-6);
        let means = inference
            .means(&[TREATMENT], Margins::Equal, LEVEL)
            .unwrap();
        for difference in inference.differences(&means, LEVEL) {
            let got = difference.estimate.unwrap().uncertainty.unwrap();
            let variance = 2.0 * anova.residual_mean_square().unwrap() / 6.0;
            close(got.standard_error, variance.sqrt(), 1e-7);
            close(got.df, 15.0, 1e-6);
        }
    }
}

/// Equal numbers: comparisons with one treatment are correlated by one half.
#[test]
fn comparisons_with_one_treatment() {
    let (y, block, treatment) = blocks();
    let fit = try_fit(&y, Some((&treatment, 4)), &[codes(&block, 6)]).unwrap();
    let inference = fit.inference(Approximation::KenwardRoger).unwrap();
    let means = inference
        .means(&[TREATMENT], Margins::Equal, LEVEL)
        .unwrap();
    let functions: Vec<LinearFunction> = means[1..]
        .iter()
        .map(|mean| mean.function.minus(&means[0].function))
        .collect();
    let correlations = inference.correlations(&functions).unwrap();
    for (at, value) in correlations.iter().enumerate() {
        close(*value, if at % 4 == 0 { 1.0 } else { 0.5 }, 1e-9);
    }
    close(
        inference.covariance(&functions[0], &functions[1]).unwrap(),
        fit.residual_variance() / 6.0,
        1e-6,
    );
    let estimates: Vec<Estimate> = functions
        .iter()
        .map(|function| inference.estimate(function, LEVEL).unwrap())
        .collect();
    // Fewer comparisons than pairs: less to adjust for, but something.
    for (one, estimate) in against_one(&estimates, &correlations, LEVEL)
        .unwrap()
        .iter()
        .zip(&estimates)
    {
        let (one, pairs) = (one.unwrap(), tukey_kramer(estimate, 4, LEVEL).unwrap());
        let plain = estimate.uncertainty.unwrap();
        assert!(plain.p < one.p && one.p < pairs.p);
        assert!(pairs.upper > one.upper && one.upper > plain.upper);
    }
}

/// A treatment given to whole blocks is a difference between blocks: the blocks are what is counted.
#[test]
fn a_treatment_of_whole_blocks_is_judged_by_blocks() {
    let (y, block, _) = blocks();
    let kind: Vec<u32> = block.iter().map(|block| block % 2).collect();
    let fit = try_fit(&y, Some((&kind, 2)), &[codes(&block, 6)]).unwrap();
    let means: Vec<f64> = y
        .chunks(4)
        .map(|rows| rows.iter().sum::<f64>() / 4.0)
        .collect();
    let factors_of_means: Vec<u32> = (0..6).map(|block| block % 2).collect();
    let factors = [Factor {
        codes: &factors_of_means,
        levels: 2,
    }];
    let data = Data {
        response: &means,
        factors: &factors,
        covariates: &[],
    };
    let of_means = fairpen_stats::linear::fit(&data, &[Term::Factor(TREATMENT)]).unwrap();
    let want = of_means.partial_tests()[0].test.unwrap();
    for method in [Approximation::Satterthwaite, Approximation::KenwardRoger] {
        let test = fit.inference(method).unwrap().partial_tests()[0]
            .test
            .unwrap();
        close(test.f, want.f, 1e-6);
        close(test.denominator_df, 4.0, 1e-6);
    }
}

/// Levels that differ less than chance has it: variance zero, and the fit without the factor.
#[test]
fn at_zero_the_fit_is_the_fixed_one() {
    // Every block holds the same four numbers, so block means do not differ at all.
    let mut y = Vec::new();
    let (mut block, mut treatment) = (Vec::new(), Vec::new());
    for b in 0..5u32 {
        for r in 0..4u32 {
            y.push(f64::from((r + b) % 4) * 3.0 + f64::from((b * 7 + r * 5) % 3) * 0.1);
            block.push(b);
            treatment.push(u32::from((b * 3 + r) % 5 < 2));
        }
    }
    let factors = [Factor {
        codes: &treatment,
        levels: 2,
    }];
    let data = Data {
        response: &y,
        factors: &factors,
        covariates: &[],
    };
    let ordinary = fit(&data, &[Term::Factor(TREATMENT)]).unwrap();
    let mixed = try_fit(&y, Some((&treatment, 2)), &[codes(&block, 5)]).unwrap();
    let component = mixed.components()[0];
    assert!(component.at_zero && component.variance == 0.0);
    assert_eq!(component.standard_error, None);
    close(
        mixed.residual_variance(),
        ordinary.residual_mean_square().unwrap(),
        1e-12,
    );
    let inference = mixed.inference(Approximation::Satterthwaite).unwrap();
    let means = inference
        .means(&[TREATMENT], Margins::Equal, LEVEL)
        .unwrap();
    let want = ordinary.means(&[TREATMENT], Margins::Equal, LEVEL).unwrap();
    for (got, want) in means.iter().zip(&want) {
        let (got, want) = (
            got.estimate.as_ref().unwrap(),
            want.estimate.as_ref().unwrap(),
        );
        close(got.value, want.value, 1e-12);
        let (got, want) = (got.uncertainty.unwrap(), want.uncertainty.unwrap());
        close(got.standard_error, want.standard_error, 1e-12);
        close(got.df, want.df, 1e-12);
        close(got.p, want.p, 1e-9);
    }
    let (got, want) = (inference.partial_tests()[0], ordinary.partial_tests()[0]);
    close(got.test.unwrap().f, want.test.unwrap().f, 1e-10);
    let effects = mixed.predictions(RandomIndex(0)).unwrap();
    assert!(
        effects
            .iter()
            .all(|one| one.value == 0.0 && one.error_variance == 0.0)
    );
}

#[test]
fn without_random_factors_it_is_the_fixed_model() {
    let (y, _, treatment) = blocks();
    let mixed = try_fit(&y, Some((&treatment, 4)), &[]).unwrap();
    let ordinary = mixed.fixed_part();
    close(
        mixed.residual_variance(),
        ordinary.residual_mean_square().unwrap(),
        1e-12,
    );
    for method in [Approximation::Satterthwaite, Approximation::KenwardRoger] {
        let inference = mixed.inference(method).unwrap();
        let got = inference.partial_tests()[0].test.unwrap();
        let want = ordinary.partial_tests()[0].test.unwrap();
        close(got.f, want.f, 1e-10);
        close(got.denominator_df, want.denominator_df, 1e-10);
    }
}

#[test]
fn one_row_to_each_level_is_the_residual_over_again() {
    let (y, _, treatment) = blocks();
    let own: Vec<u32> = (0..24).collect();
    let error = try_fit(&y, Some((&treatment, 4)), &[codes(&own, 24)]).unwrap_err();
    assert_eq!(
        error,
        MixedError::NotSeparable {
            random: RandomIndex(0),
            from: Vec::new()
        }
    );
    // The same when its rows are given as shares, which are not absorbed.
    let starts: Vec<usize> = (0..=24).collect();
    let weights = [1.0; 24];
    let shares = Shares {
        starts: &starts,
        levels: &own,
        weights: &weights,
        level_count: 24,
    };
    let error = try_fit(&y, None, &[RandomFactor::Shares(shares)]).unwrap_err();
    assert!(matches!(error, MixedError::NotSeparable { .. }), "{error}");
}

#[test]
fn two_factors_with_the_same_rows_together_cannot_be_told_apart() {
    let (y, block, _) = blocks();
    let renamed: Vec<u32> = block.iter().map(|block| 5 - block).collect();
    let error = try_fit(&y, None, &[codes(&block, 6), codes(&renamed, 6)]).unwrap_err();
    assert_eq!(
        error,
        MixedError::NotSeparable {
            random: RandomIndex(1),
            from: vec![RandomIndex(0)]
        }
    );
}

#[test]
fn a_factor_that_is_also_fixed_is_explained_by_it() {
    let (y, block, treatment) = blocks();
    let random = [codes(&treatment, 4), codes(&block, 6)];
    let error = try_fit(&y, Some((&block, 6)), &random).unwrap_err();
    assert_eq!(
        error,
        MixedError::ExplainedByFixed {
            random: RandomIndex(1)
        }
    );
}

#[test]
fn rows_without_a_level_are_left_out_and_counted() {
    let (mut y, mut block, mut treatment) = blocks();
    y.extend([f64::NAN, 7.0, 8.0, 1e9]);
    block.extend([0, MISSING_LEVEL, 1, MISSING_LEVEL]);
    treatment.extend([0, 1, MISSING_LEVEL, MISSING_LEVEL]);
    let fit = try_fit(&y, Some((&treatment, 4)), &[codes(&block, 9)]).unwrap();
    let counts = fit.rows();
    assert_eq!((counts.fixed.given, counts.fixed.used), (28, 24));
    assert_eq!(counts.fixed.missing_response, 1);
    assert_eq!(counts.fixed.missing_factor, [2]);
    assert_eq!(counts.missing_random, [2]);
    assert_eq!(fit.excluded_rows(), [24, 25, 26, 27]);
    let (y, block, treatment) = blocks();
    let without = try_fit(&y, Some((&treatment, 4)), &[codes(&block, 6)]).unwrap();
    assert_eq!(fit.residual_variance(), without.residual_variance());
    // Levels without a row are known no better than the factor's variance says.
    let effects = fit.predictions(RandomIndex(0)).unwrap();
    assert_eq!(effects.len(), 9);
    assert_eq!((effects[8].value, effects[8].rows), (0.0, 0));
    assert_eq!(effects[8].error_variance, fit.components()[0].variance);
    assert_eq!(fit.components()[0].levels_used, 6);
}

#[test]
fn a_row_without_shares_is_missing() {
    let (y, block, _) = blocks();
    let starts: Vec<usize> = (0..=23).chain([23]).collect();
    let weights = [1.0; 23];
    let shares = Shares {
        starts: &starts,
        levels: &block[..23],
        weights: &weights,
        level_count: 6,
    };
    let fit = try_fit(&y, None, &[RandomFactor::Shares(shares)]).unwrap();
    assert_eq!(fit.rows().missing_random, [1]);
    assert_eq!(fit.excluded_rows(), [23]);
}

/// Two shares in the same level are one share of their sum.
#[test]
fn repeated_shares_add_up() {
    let (y, block, _) = blocks();
    let starts: Vec<usize> = (0..=24).map(|row| 2 * row).collect();
    let levels: Vec<u32> = block.iter().flat_map(|&level| [level, level]).collect();
    let weights: Vec<f64> = [0.25, 0.75].repeat(24);
    let shares = Shares {
        starts: &starts,
        levels: &levels,
        weights: &weights,
        level_count: 6,
    };
    let halves = try_fit(&y, None, &[RandomFactor::Shares(shares)]).unwrap();
    let whole = try_fit(&y, None, &[codes(&block, 6)]).unwrap();
    close(
        halves.components()[0].variance,
        whole.components()[0].variance,
        1e-9,
    );
    close(halves.residual_variance(), whole.residual_variance(), 1e-9);
}

#[test]
fn bad_input_is_named() {
    let (y, block, treatment) = blocks();
    let first = RandomIndex(0);
    let fails =
        |random: RandomFactor<'_>| try_fit(&y, Some((&treatment, 4)), &[random]).unwrap_err();
    assert_eq!(
        fails(codes(&block[1..], 6)),
        MixedError::RandomLength {
            random: first,
            rows: 23,
            expected: 24
        }
    );
    assert_eq!(
        fails(codes(&block, 5)),
        MixedError::LevelOutOfRange {
            random: first,
            row: 20,
            level: 5
        }
    );
    let starts: Vec<usize> = (0..=24).collect();
    let shares = |weights: &[f64], starts: &[usize]| {
        fails(RandomFactor::Shares(Shares {
            starts,
            levels: &block,
            weights,
            level_count: 6,
        }))
    };
    let mut weights = [1.0; 24];
    assert_eq!(
        shares(&weights, &[]),
        MixedError::RandomLength {
            random: first,
            rows: 0,
            expected: 24
        }
    );
    assert_eq!(
        shares(&weights[1..], &starts),
        MixedError::MalformedShares { random: first }
    );
    let mut backwards = starts.clone();
    backwards.swap(3, 4);
    assert_eq!(
        shares(&weights, &backwards),
        MixedError::MalformedShares { random: first }
    );
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        weights[7] = bad;
        assert_eq!(
            shares(&weights, &starts),
            MixedError::WeightOutOfRange {
                random: first,
                row: 7
            }
        );
    }
    let infinite: Vec<f64> = y.iter().map(|_| f64::INFINITY).collect();
    assert_eq!(
        try_fit(&infinite, None, &[codes(&block, 6)]).unwrap_err(),
        MixedError::Fixed(FitError::InfiniteResponse { row: 0 })
    );
}

#[test]
fn models_without_any_spread_left_are_refused() {
    let (y, block, treatment) = blocks();
    let own: Vec<u32> = (0..24).collect();
    assert_eq!(
        try_fit(&y, Some((&own, 24)), &[codes(&block, 6)]).unwrap_err(),
        MixedError::NoResidualDegreesOfFreedom
    );
    let exact: Vec<f64> = treatment.iter().map(|&t| f64::from(t)).collect();
    assert_eq!(
        try_fit(&exact, Some((&treatment, 4)), &[codes(&block, 6)]).unwrap_err(),
        MixedError::ExactFit
    );
    // Blocks differ and nothing else does.
    let level: Vec<f64> = block.iter().map(|&b| f64::from(b * b)).collect();
    assert_eq!(
        try_fit(&level, None, &[codes(&block, 6)]).unwrap_err(),
        MixedError::ResidualVanishes
    );
}

#[test]
fn the_caller_may_stop_the_search_and_sees_it_rise() {
    let (y, block, treatment) = blocks();
    let run = |stop_at: usize| {
        let mut seen = Vec::new();
        let factors = [Factor {
            codes: &treatment,
            levels: 4,
        }];
        let result = fit_mixed(
            &Data {
                response: &y,
                factors: &factors,
                covariates: &[],
            },
            &[Term::Factor(TREATMENT)],
            &[codes(&block, 6)],
            MixedSettings::default(),
            &mut |progress| {
                seen.push(progress.log_likelihood);
                if progress.iteration == stop_at {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            },
        );
        (result.map(|fit| fit.iterations()), seen)
    };
    let (stopped, seen) = run(1);
    assert_eq!(stopped.unwrap_err(), MixedError::Cancelled);
    assert_eq!(seen.len(), 2);
    let (finished, seen) = run(usize::MAX);
    assert_eq!(finished.unwrap() + 1, seen.len());
    assert!(seen.windows(2).all(|pair| pair[1] >= pair[0] - 1e-9));
}

#[test]
fn too_few_steps_is_an_error_not_an_answer() {
    let (y, block, _) = blocks();
    let settings = MixedSettings {
        most_iterations: 1,
        ..MixedSettings::default()
    };
    let error = fit_mixed(
        &Data {
            response: &y,
            factors: &[],
            covariates: &[],
        },
        &[],
        &[codes(&block, 6)],
        settings,
        &mut |_| ControlFlow::Continue(()),
    )
    .unwrap_err();
    assert_eq!(error, MixedError::NotConverged { iterations: 1 });
}

#[test]
fn kenward_roger_is_for_the_restricted_likelihood() {
    let (y, block, _) = blocks();
    let settings = MixedSettings {
        likelihood: Likelihood::Full,
        ..MixedSettings::default()
    };
    let fit = fit_mixed(
        &Data {
            response: &y,
            factors: &[],
            covariates: &[],
        },
        &[],
        &[codes(&block, 6)],
        settings,
        &mut |_| ControlFlow::Continue(()),
    )
    .unwrap();
    assert_eq!(
        fit.inference(Approximation::KenwardRoger).err(),
        Some(InferenceError::NeedsRestrictedLikelihood)
    );
    assert!(fit.inference(Approximation::Satterthwaite).is_ok());
}
