//! Harvey's 65 steers: an unbalanced model with nested sires, an interaction and two covariates.
//!
//! Data: Harvey 1960, USDA ARS-20-8, pages 101-102. Answers: `tests/reference/README.md`.

// A test that cannot read its data should stop.
#![allow(clippy::unwrap_used)]

mod reference;

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    CovariateIndex, Data, Factor, FactorIndex, Fit, Margins, Term, TermIndex, fit,
};
use reference::{CLOSED_FORM, Table, answers, check};
use serde_json::Value;

const LINE: FactorIndex = FactorIndex(0);
const SIRE: FactorIndex = FactorIndex(1);
const DAM_AGE: FactorIndex = FactorIndex(2);
const WEANING_AGE: CovariateIndex = CovariateIndex(0);
const INITIAL_WEIGHT: CovariateIndex = CovariateIndex(1);
const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;

/// The order in which the expected file lists them.
const TERM_NAMES: [&str; 6] = [
    "line",
    "sire within line",
    "dam_age",
    "line x dam_age",
    "weaning_age",
    "initial_weight",
];

fn terms() -> Vec<Term> {
    vec![
        Term::Factor(LINE),
        Term::Nested {
            inner: SIRE,
            outer: vec![LINE],
        },
        Term::Factor(DAM_AGE),
        Term::Cross(vec![LINE, DAM_AGE]),
        Term::Covariate(WEANING_AGE),
        Term::Covariate(INITIAL_WEIGHT),
    ]
}

struct Steers {
    fit: Fit,
    names: [Vec<String>; 3],
    answers: Value,
}

fn steers() -> Steers {
    let table = Table::read("harvey_steers.csv");
    let (line, lines) = table.codes("line");
    let (sire, sires) = table.codes("sire");
    let (dam, dams) = table.codes("dam_age_class");
    let age = table.numbers("weaning_age_days");
    let weight = table.numbers("initial_weight_lb");
    let gain = table.numbers("average_daily_gain_lb");
    let levels = |names: &[String]| u32::try_from(names.len()).unwrap();
    let data = Data {
        response: &gain,
        factors: &[
            Factor {
                codes: &line,
                levels: levels(&lines),
            },
            Factor {
                codes: &sire,
                levels: levels(&sires),
            },
            Factor {
                codes: &dam,
                levels: levels(&dams),
            },
        ],
        covariates: &[&age, &weight],
    };
    let fit = fit(&data, &terms()).unwrap();
    Steers {
        fit,
        names: [lines, sires, dams],
        answers: answers("harvey_steers_expected.json"),
    }
}

#[test]
fn counts_means_and_rank() {
    let Steers { fit, answers, .. } = steers();
    assert_eq!(fit.rows().used, 65);
    assert_eq!(fit.rows().given, 65);
    assert_eq!(fit.rank(), 17);
    assert!(fit.aliases().is_empty());
    check(
        "mean gain",
        fit.response_mean(),
        &answers["means"]["y"],
        CLOSED_FORM,
    );
    let mean = |covariate| fit.covariate_mean(covariate).unwrap();
    check(
        "mean age",
        mean(WEANING_AGE),
        &answers["means"]["weaning_age"],
        CLOSED_FORM,
    );
    check(
        "mean weight",
        mean(INITIAL_WEIGHT),
        &answers["means"]["initial_weight"],
        CLOSED_FORM,
    );
    check("R2", fit.r_squared().unwrap(), &answers["R2"], CLOSED_FORM);
}

#[test]
fn analysis_of_variance() {
    let Steers { fit, answers, .. } = steers();
    let rows = answers["anova"].as_array().unwrap();
    assert_eq!(rows.len(), TERM_NAMES.len() + 1);
    for (test, row) in fit.partial_tests().iter().zip(rows) {
        let name = TERM_NAMES[test.term.0];
        assert_eq!(row["term"], name);
        assert_eq!(row["df"], test.df, "{name}");
        assert_eq!(test.df, test.full_df);
        check(name, test.sum_of_squares, &row["ss"], CLOSED_FORM);
        check(name, test.mean_square.unwrap(), &row["ms"], CLOSED_FORM);
        let f = test.test.unwrap();
        check(name, f.f, &row["F"], CLOSED_FORM);
        check(name, f.p, &row["p"], CLOSED_FORM);
        assert_eq!(f.denominator_df, 48.0);
    }
    let residual = &rows[TERM_NAMES.len()];
    assert_eq!(residual["term"], "residual");
    assert_eq!(residual["df"], fit.residual_df());
    check(
        "residual",
        fit.residual_sum_of_squares(),
        &residual["ss"],
        CLOSED_FORM,
    );
    check(
        "residual",
        fit.residual_mean_square().unwrap(),
        &residual["ms"],
        CLOSED_FORM,
    );
}

#[test]
fn line_against_sires_within_line() {
    let Steers { fit, answers, .. } = steers();
    let tests = fit.partial_tests();
    let f = tests[0].against(&tests[1]).unwrap();
    let row = &answers["line_F_tested_with_sire_within_line"];
    check("F", f.f, &row["F"], CLOSED_FORM);
    check("p", f.p, &row["p"], CLOSED_FORM);
    assert_eq!((f.numerator_df, f.denominator_df), (2.0, 6.0));
    assert_eq!(row["df"], serde_json::json!([2, 6]));
}

#[test]
fn regressions_and_the_published_figures() {
    let Steers { fit, answers, .. } = steers();
    let published = &answers["published"];
    for (covariate, name, printed, half_unit) in [
        (WEANING_AGE, "weaning_age", "b_weaning_age", 0.5e-9),
        (INITIAL_WEIGHT, "initial_weight", "d_initial_weight", 0.5e-9),
    ] {
        let function = fit.slope_function(covariate).unwrap();
        let slope = fit.estimate(&function, LEVEL).unwrap();
        let spread = slope.uncertainty.unwrap();
        let row = &answers["regressions"];
        check(name, slope.value, &row[name], CLOSED_FORM);
        check(
            name,
            spread.standard_error,
            &row[format!("{name}_se").as_str()],
            CLOSED_FORM,
        );
        // Harvey page 107, as quoted by the source of the data.
        let printed = published[printed].as_f64().unwrap();
        assert!(
            (slope.value - printed).abs() <= half_unit,
            "{name}: {} {printed}",
            slope.value
        );
        // The square of t is the F of a term with one degree of freedom.
        let test = fit.partial_tests()[4 + covariate.0].test.unwrap();
        assert!((spread.t * spread.t / test.f - 1.0).abs() < 1e-10);
        assert!((spread.p / test.p - 1.0).abs() < 1e-10);
    }
}

#[test]
fn every_least_squares_mean() {
    let Steers {
        fit,
        names,
        answers,
    } = steers();
    let rows = answers["lsmeans"].as_array().unwrap();
    let mut seen = 0;
    for (effect, factors) in [
        ("overall", vec![]),
        ("line", vec![LINE]),
        ("dam_age", vec![DAM_AGE]),
        ("sire", vec![LINE, SIRE]),
        ("line x dam_age", vec![LINE, DAM_AGE]),
    ] {
        let wanted: Vec<&Value> = rows.iter().filter(|row| row["effect"] == effect).collect();
        let means = fit.means(&factors, Margins::Equal, LEVEL).unwrap();
        assert_eq!(means.len(), wanted.len(), "{effect}");
        for (mean, row) in means.iter().zip(wanted) {
            let label: Vec<&str> = mean
                .levels
                .iter()
                .filter(|(factor, _)| effect != "sire" || *factor == SIRE)
                .map(|&(factor, level)| names[factor.0][level as usize].as_str())
                .collect();
            let label = label.join(" ");
            assert_eq!(row["level"], label.as_str(), "{effect}");
            let estimate = mean.estimate.as_ref().unwrap();
            let spread = estimate.uncertainty.unwrap();
            check(&label, estimate.value, &row["estimate"], CLOSED_FORM);
            check(&label, spread.standard_error, &row["se"], CLOSED_FORM);
            check(&label, spread.lower, &row["lower95"], CLOSED_FORM);
            check(&label, spread.upper, &row["upper95"], CLOSED_FORM);
            seen += 1;
        }
    }
    assert_eq!(seen, rows.len());
}

#[test]
fn dam_age_means_of_the_second_program() {
    let Steers { fit, answers, .. } = steers();
    let means = fit.means(&[DAM_AGE], Margins::Equal, LEVEL).unwrap();
    let rows = answers["emmeans_crosscheck_dam_age"].as_array().unwrap();
    assert_eq!(means.len(), rows.len());
    for (mean, row) in means.iter().zip(rows) {
        let estimate = mean.estimate.as_ref().unwrap();
        let spread = estimate.uncertainty.unwrap();
        check("mean", estimate.value, &row["emmean"], CLOSED_FORM);
        check("se", spread.standard_error, &row["SE"], CLOSED_FORM);
        check("lower", spread.lower, &row["lower.CL"], CLOSED_FORM);
        check("upper", spread.upper, &row["upper.CL"], CLOSED_FORM);
        assert_eq!(row["df"].as_f64(), Some(spread.df));
    }
}

#[test]
fn line_contrasts() {
    let Steers {
        fit,
        names,
        answers,
    } = steers();
    let means = fit.means(&[LINE], Margins::Equal, LEVEL).unwrap();
    let differences = fit.differences(&means, LEVEL);
    let rows = answers["line_contrasts"].as_array().unwrap();
    assert_eq!(differences.len(), rows.len());
    for (difference, row) in differences.iter().zip(rows) {
        let name = format!(
            "{}-{}",
            names[0][difference.first], names[0][difference.second]
        );
        assert_eq!(row["contrast"], name.as_str());
        let estimate = difference.estimate.as_ref().unwrap();
        let spread = estimate.uncertainty.unwrap();
        check(&name, estimate.value, &row["estimate"], CLOSED_FORM);
        check(&name, spread.standard_error, &row["se"], CLOSED_FORM);
        check(&name, spread.df, &row["df"], CLOSED_FORM);
        check(&name, spread.lower, &row["lower95"], CLOSED_FORM);
        check(&name, spread.upper, &row["upper95"], CLOSED_FORM);
        check(&name, spread.t, &row["t"], CLOSED_FORM);
        check(&name, spread.p, &row["p"], CLOSED_FORM);
    }
}

/// Partial tests need effects that add up to zero. Coded against the first line and the first age, the
/// same model gives main effects another "type III" sum of squares as soon as the interaction is in it.
#[test]
fn partial_tests_use_sum_to_zero_coding() {
    let Steers { fit, .. } = steers();
    let wrong = answers("fixed_effects_expected.json");
    let wrong = &wrong["steers"]["baseline_coded_partial_ss"];
    for (term, name) in [(TermIndex(0), "line"), (TermIndex(2), "dam_age")] {
        let ours = fit.partial_tests()[term.0].sum_of_squares;
        let other = wrong[name].as_f64().unwrap();
        assert!(
            (ours / other - 1.0).abs() > 0.05,
            "{name}: {ours} against {other}"
        );
    }
}

/// Least-squares means average the other factors' cells equally and hold covariates at their data means.
/// Weighing by how often each cell occurs gives another number, and so does the raw mean.
#[test]
fn least_squares_means_use_equal_margins_and_mean_covariates() {
    let Steers { fit, .. } = steers();
    let reference = answers("fixed_effects_expected.json");
    let reference = &reference["steers"];
    let equal = fit.means(&[LINE], Margins::Equal, LEVEL).unwrap();
    let observed = fit.means(&[LINE], Margins::Observed, LEVEL).unwrap();
    for (at, (equal, observed)) in equal.iter().zip(&observed).enumerate() {
        let equal = equal.estimate.as_ref().unwrap().value;
        let observed = observed.estimate.as_ref().unwrap();
        check(
            "equal",
            equal,
            &reference["line_means_equal"][at],
            CLOSED_FORM,
        );
        check(
            "observed",
            observed.value,
            &reference["line_means_observed"][at],
            CLOSED_FORM,
        );
        let spread = observed.uncertainty.unwrap();
        check(
            "se",
            spread.standard_error,
            &reference["line_means_observed_se"][at],
            CLOSED_FORM,
        );
        let raw = reference["line_means_raw"][at].as_f64().unwrap();
        assert!((equal - observed.value).abs() > 1e-3);
        assert!((equal - raw).abs() > 1e-3);
    }
}
