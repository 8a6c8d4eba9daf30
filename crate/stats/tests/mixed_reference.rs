//! Mixed models on published data: lambs, steers, chickens.
//!
//! Data, answers and sources: `tests/reference/README.md`.

// A test that cannot read its data should stop.
#![allow(clippy::unwrap_used)]

mod reference;

use std::ops::ControlFlow;

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    CovariateIndex, Data, Estimate, Factor, FactorIndex, Margins, NotEstimable, Term,
};
use fairpen_stats::mixed::{
    Approximation, Likelihood, MixedFit, MixedSettings, RandomFactor, RandomIndex, fit_mixed,
};
use reference::{Table, answers, check};
use serde_json::Value;

/// Relative tolerance for variances found by search.
const VARIANCE: f64 = 1e-4;
/// Relative tolerance for predictions, which rest on the variances.
const PREDICTION: f64 = 1e-4;

/// Relative tolerance for degrees of freedom and what rests on them.
const DEGREES: f64 = 1e-3;
const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;

const A: FactorIndex = FactorIndex(0);
const B: FactorIndex = FactorIndex(1);
const RANDOM: RandomIndex = RandomIndex(0);

struct Model<'a> {
    file: &'a str,
    response: &'a str,
    factors: &'a [&'a str],
    covariates: &'a [&'a str],
    random: &'a [&'a str],
    terms: Vec<Term>,
}

impl Model<'_> {
    fn fit(&self, likelihood: Likelihood) -> MixedFit {
        let table = Table::read(self.file);
        let response = table.numbers(self.response);
        let coded = |names: &[&str]| -> Vec<(Vec<u32>, u32)> {
            names
                .iter()
                .map(|name| {
                    let (codes, levels) = table.codes(name);
                    (codes, u32::try_from(levels.len()).unwrap())
                })
                .collect()
        };
        let factor = |(codes, levels)| Factor { codes, levels };
        let (fixed, random) = (coded(self.factors), coded(self.random));
        let factors: Vec<Factor<'_>> = fixed
            .iter()
            .map(|(codes, levels)| factor((codes.as_slice(), *levels)))
            .collect();
        let random: Vec<RandomFactor<'_>> = random
            .iter()
            .map(|(codes, levels)| RandomFactor::Codes(factor((codes.as_slice(), *levels))))
            .collect();
        let covariates: Vec<Vec<f64>> = self
            .covariates
            .iter()
            .map(|name| table.numbers(name))
            .collect();
        let covariates: Vec<&[f64]> = covariates.iter().map(Vec::as_slice).collect();
        fit_mixed(
            &Data {
                response: &response,
                factors: &factors,
                covariates: &covariates,
            },
            &self.terms,
            &random,
            MixedSettings {
                likelihood,
                ..MixedSettings::default()
            },
            &mut |_| ControlFlow::Continue(()),
        )
        .unwrap()
    }
}

/// Line and dam age fixed, sire random.
fn lambs(likelihood: Likelihood) -> MixedFit {
    Model {
        file: "harville_lambs.csv",
        response: "birth_weight_lb",
        factors: &["line", "dam_age_class"],
        covariates: &[],
        random: &["sire"],
        terms: vec![Term::Factor(A), Term::Factor(B)],
    }
    .fit(likelihood)
}

/// Feed additive and initial weight fixed, barn random; with or without a slope for each additive.
fn steers_on_feed(slopes: bool) -> MixedFit {
    let covariate = CovariateIndex(0);
    let mut terms = vec![Term::Factor(A), Term::Covariate(covariate)];
    if slopes {
        terms.push(Term::Slopes {
            factor: A,
            covariate,
        });
    }
    Model {
        file: "adg_steers.csv",
        response: "average_daily_gain_lb",
        factors: &["additive"],
        covariates: &["initial_weight"],
        random: &["barn"],
        terms,
    }
    .fit(Likelihood::Restricted)
}

/// Line, dam age, weaning age and initial weight fixed, sire random.
fn hereford_steers(interaction: bool) -> MixedFit {
    let mut terms = vec![
        Term::Factor(A),
        Term::Factor(B),
        Term::Covariate(CovariateIndex(0)),
        Term::Covariate(CovariateIndex(1)),
    ];
    if interaction {
        terms.push(Term::Cross(vec![A, B]));
    }
    Model {
        file: "harvey_steers.csv",
        response: "average_daily_gain_lb",
        factors: &["line", "dam_age_class"],
        covariates: &["weaning_age_days", "initial_weight_lb"],
        random: &["sire"],
        terms,
    }
    .fit(Likelihood::Restricted)
}

/// Nothing fixed but the mean; dam and sire random. A dam has one mate.
fn chickens() -> MixedFit {
    Model {
        file: "becker_chickens.csv",
        response: "weight",
        factors: &[],
        covariates: &[],
        random: &["female", "male"],
        terms: Vec::new(),
    }
    .fit(Likelihood::Restricted)
}

#[track_caller]
fn check_variances(fit: &MixedFit, want: &Value, names: &[&str]) {
    check(
        "residual",
        fit.residual_variance(),
        &want["residual"],
        VARIANCE,
    );
    let components = fit.components();
    assert_eq!(components.len(), names.len());
    for (component, name) in components.iter().zip(names) {
        assert!(!component.at_zero, "{name}");
        check(name, component.variance, &want[*name], VARIANCE);
    }
}

/// Fails unless `got` rounds to the printed figure.
#[track_caller]
fn check_printed(what: &str, got: f64, printed: f64, decimals: i32) {
    let half = 0.5 * 10f64.powi(-decimals);
    assert!(
        (got - printed).abs() <= half,
        "{what}: got {got}, printed {printed}"
    );
}

#[track_caller]
fn check_predictions(fit: &MixedFit, want: &Value) {
    let predictions = fit.predictions(RANDOM).unwrap();
    let want = want.as_array().unwrap();
    assert_eq!(predictions.len(), want.len());
    for (prediction, row) in predictions.iter().zip(want) {
        check(
            row["sire"].as_str().unwrap(),
            prediction.value,
            &row["blup"],
            PREDICTION,
        );
    }
}

#[test]
fn lambs_restricted() {
    let answers = answers("harville_lambs_expected.json");
    let fit = lambs(Likelihood::Restricted);
    assert_eq!(fit.rows().fixed.used, 62);
    check_variances(&fit, &answers["reml"]["variance"], &["sire"]);
    check_predictions(&fit, &answers["sire_blup"]);
    let published = &answers["published"];
    check_printed(
        "sire",
        fit.components()[0].variance,
        published["sire"].as_f64().unwrap(),
        4,
    );
    check_printed(
        "residual",
        fit.residual_variance(),
        published["residual"].as_f64().unwrap(),
        4,
    );
}

/// The full likelihood is highest with no sire variance at all.
#[test]
fn lambs_full_likelihood_ends_at_zero() {
    let answers = answers("harville_lambs_expected.json");
    let fit = lambs(Likelihood::Full);
    let sire = fit.components()[0];
    assert!(sire.at_zero);
    assert_eq!(sire.variance, 0.0);
    assert_eq!(sire.standard_error, None);
    assert!(
        fit.predictions(RANDOM)
            .unwrap()
            .iter()
            .all(|one| one.value == 0.0 && one.error_variance == 0.0)
    );
    check(
        "residual",
        fit.residual_variance(),
        &answers["ml_variance"]["residual"],
        VARIANCE,
    );
    check(
        "-2 log L",
        -2.0 * fit.log_likelihood(),
        &answers["ml_neg2loglik"],
        1e-9,
    );
}

#[test]
fn hereford_steers_variances() {
    let answers = answers("harvey_steers_expected.json");
    let want = &answers["mixed_model_sire_random"];
    let fit = hereford_steers(true);
    check_variances(&fit, &want["fit"]["variance"], &["sire"]);
    check_predictions(&fit, &want["sire_blup"]);
    let want = &answers["mixed_model_no_interaction"]["fit"]["variance"];
    check_variances(&hereford_steers(false), want, &["sire"]);
}

#[test]
fn steers_on_feed_variances() {
    let answers = answers("adg_steers_expected.json");
    for (slopes, name) in [(false, "common_slope"), (true, "separate_slopes")] {
        let fit = steers_on_feed(slopes);
        let want = &answers[name]["fit"]["variance"];
        let named = serde_json::json!({ "barn": want["b"], "residual": want["residual"] });
        check_variances(&fit, &named, &["barn"]);
        let printed = &answers["published"][name];
        let number = |key: &str| printed[key].as_f64().unwrap();
        check_printed(
            "block",
            fit.components()[0].variance.sqrt(),
            number("sd_block"),
            4,
        );
        check_printed(
            "residual",
            fit.residual_variance().sqrt(),
            number("sd_residual"),
            4,
        );
    }
}

/// Balanced: the restricted likelihood gives the analysis of variance's own estimates.
#[test]
fn chickens_variances() {
    let answers = answers("becker_chickens_expected.json");
    let fit = chickens();
    check_variances(&fit, &answers["reml"]["variance"], &["female", "male"]);
    let want = &answers["anova_estimates"];
    check("within", fit.residual_variance(), &want["within"], 1e-8);
    check("dam", fit.components()[0].variance, &want["dam"], 1e-6);
    check("sire", fit.components()[1].variance, &want["sire"], 1e-6);
    // The printed figures are cut, not rounded.
    let published = &answers["published"];
    let printed = |name: &str| published[name].as_f64().unwrap();
    assert_eq!(fit.components()[1].variance.floor(), printed("sire"));
    assert_eq!(fit.components()[0].variance.floor(), printed("dam"));
    assert_eq!(fit.residual_variance().floor(), printed("within"));
}

#[track_caller]
fn check_uncertainty(what: &str, estimate: &Result<Estimate, NotEstimable>, row: &Value) {
    let estimate = estimate.as_ref().unwrap();
    let got = estimate.uncertainty.unwrap();
    let value = if row["emmean"].is_null() {
        &row["estimate"]
    } else {
        &row["emmean"]
    };
    check(what, estimate.value, value, VARIANCE);
    check(what, got.standard_error, &row["SE"], VARIANCE);
    check(what, got.df, &row["df"], DEGREES);
    check(what, got.lower, &row["lower.CL"], DEGREES);
    check(what, got.upper, &row["upper.CL"], DEGREES);
    if !row["p.value"].is_null() {
        check(what, got.t, &row["t.ratio"], VARIANCE);
        check(what, got.p, &row["p.value"], DEGREES);
    }
}

#[track_caller]
fn check_means(fit: &MixedFit, method: Approximation, factor: FactorIndex, want: &Value) {
    let inference = fit.inference(method).unwrap();
    let means = inference.means(&[factor], Margins::Equal, LEVEL).unwrap();
    let want = want.as_array().unwrap();
    assert_eq!(means.len(), want.len());
    for (mean, row) in means.iter().zip(want) {
        check_uncertainty(&format!("{:?}", mean.levels), &mean.estimate, row);
    }
}

#[track_caller]
fn check_differences(fit: &MixedFit, method: Approximation, factor: FactorIndex, want: &Value) {
    let inference = fit.inference(method).unwrap();
    let means = inference.means(&[factor], Margins::Equal, LEVEL).unwrap();
    let differences = inference.differences(&means, LEVEL);
    let want = want.as_array().unwrap();
    assert_eq!(differences.len(), want.len());
    for (difference, row) in differences.iter().zip(want) {
        check_uncertainty(row["contrast"].as_str().unwrap(), &difference.estimate, row);
    }
}

/// `order` names the term of the model for each row of the answers.
#[track_caller]
fn check_tests(fit: &MixedFit, method: Approximation, order: &[usize], want: &Value) {
    let tests = fit.inference(method).unwrap().partial_tests();
    let want = want.as_array().unwrap();
    assert_eq!(want.len(), order.len());
    for (&term, row) in order.iter().zip(want) {
        let name = row["term"].as_str().unwrap();
        let test = tests[term].test.unwrap();
        assert_eq!(row["NumDF"], tests[term].df, "{name}");
        assert_eq!(tests[term].df, tests[term].full_df, "{name}");
        check(name, test.f, &row["F value"], VARIANCE);
        check(name, test.denominator_df, &row["DenDF"], DEGREES);
        check(name, test.p, &row["Pr(>F)"], DEGREES);
    }
}

#[test]
fn lambs_satterthwaite() {
    let answers = answers("harville_lambs_expected.json");
    let fit = lambs(Likelihood::Restricted);
    let method = Approximation::Satterthwaite;
    check_means(&fit, method, A, &answers["lsmeans_line_satt"]);
    check_differences(&fit, method, B, &answers["dam_contrasts_satt"]);
    check_tests(&fit, method, &[0, 1], &answers["type3_satterthwaite"]);
}

#[test]
fn lambs_kenward_roger() {
    let answers = answers("harville_lambs_expected.json");
    let fit = lambs(Likelihood::Restricted);
    let method = Approximation::KenwardRoger;
    check_means(&fit, method, A, &answers["lsmeans_line_KR"]);
    check_means(&fit, method, B, &answers["lsmeans_dam_KR"]);
    check_differences(&fit, method, B, &answers["dam_contrasts_KR"]);
    check_tests(&fit, method, &[0, 1], &answers["type3_KR"]);
}

#[test]
fn hereford_steers_tests_and_means() {
    let answers = answers("harvey_steers_expected.json");
    let want = &answers["mixed_model_sire_random"];
    let fit = hereford_steers(true);
    let (satterthwaite, kenward_roger) =
        (Approximation::Satterthwaite, Approximation::KenwardRoger);
    let order = [0, 1, 2, 3, 4];
    check_tests(&fit, satterthwaite, &order, &want["type3_satterthwaite"]);
    check_tests(&fit, kenward_roger, &order, &want["type3_kenward_roger"]);
    check_means(&fit, kenward_roger, A, &want["lsmeans_line_KR"]);
    check_means(&fit, kenward_roger, B, &want["lsmeans_damage_KR"]);
    check_differences(&fit, kenward_roger, A, &want["line_contrasts_KR"]);
    check_differences(
        &fit,
        satterthwaite,
        A,
        &want["line_contrasts_satterthwaite"],
    );

    let want = &answers["mixed_model_no_interaction"];
    let fit = hereford_steers(false);
    let order = [0, 1, 2, 3];
    check_tests(&fit, satterthwaite, &order, &want["type3_satterthwaite"]);
    check_tests(&fit, kenward_roger, &order, &want["type3_KR"]);
}

#[test]
fn steers_on_feed_tests_and_means() {
    let answers = answers("adg_steers_expected.json");
    let want = &answers["common_slope"];
    let fit = steers_on_feed(false);
    let (satterthwaite, kenward_roger) =
        (Approximation::Satterthwaite, Approximation::KenwardRoger);
    check_tests(&fit, satterthwaite, &[0, 1], &want["type3_satterthwaite"]);
    check_tests(&fit, kenward_roger, &[0, 1], &want["type3_KR"]);
    check_means(&fit, kenward_roger, A, &want["lsmeans_KR"]);
    check_differences(&fit, kenward_roger, A, &want["contrasts_KR"]);
    check_differences(&fit, satterthwaite, A, &want["contrasts_satt"]);

    let slope = fit.fixed_part().slope_function(CovariateIndex(0)).unwrap();
    let slope = fit
        .inference(satterthwaite)
        .unwrap()
        .estimate(&slope, LEVEL)
        .unwrap();
    let rows = want["fit"]["fixef"].as_array().unwrap();
    let row = rows.iter().find(|row| row["term"] == "w").unwrap();
    check("slope", slope.value, &row["Estimate"], VARIANCE);
    check(
        "slope",
        slope.uncertainty.unwrap().standard_error,
        &row["Std. Error"],
        VARIANCE,
    );
    check("slope", slope.uncertainty.unwrap().df, &row["df"], DEGREES);
    check_printed("slope", slope.value, 0.00278, 5);
}

#[test]
fn chickens_mean() {
    let answers = answers("becker_chickens_expected.json");
    let fit = chickens();
    let mut overall = fit.fixed_part().empty_function();
    overall.add(0, 1.0);
    let row = &answers["reml"]["fixef"][0];
    for method in [Approximation::Satterthwaite, Approximation::KenwardRoger] {
        let mean = fit
            .inference(method)
            .unwrap()
            .estimate(&overall, LEVEL)
            .unwrap();
        let got = mean.uncertainty.unwrap();
        check("mean", mean.value, &row["Estimate"], 1e-9);
        check("mean", got.standard_error, &row["Std. Error"], VARIANCE);
        // Balanced: the mean is judged by the five sires alone, exactly.
        check("mean", got.df, &serde_json::json!(4.0), 1e-6);
    }
}
