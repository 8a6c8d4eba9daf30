//! 62 lambs: line and dam age, with sires as fixed effects within line and without them.
//!
//! Data: Harville and Fenech 1985, Biometrics 41:137-152. Answers: `tests/reference/README.md`.

// A test that cannot read its data should stop.
#![allow(clippy::unwrap_used)]

mod reference;

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    CellMean, Data, Factor, FactorIndex, Fit, Margins, NotEstimable, Term, fit,
};
use reference::{CLOSED_FORM, Table, answers, check};
use serde_json::Value;

const LINE: FactorIndex = FactorIndex(0);
const SIRE: FactorIndex = FactorIndex(1);
const DAM_AGE: FactorIndex = FactorIndex(2);
const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;

fn lambs(terms: &[Term]) -> Fit {
    let table = Table::read("harville_lambs.csv");
    let weight = table.numbers("birth_weight_lb");
    let columns = ["line", "sire", "dam_age_class"].map(|name| table.codes(name));
    let factors: Vec<Factor<'_>> = columns
        .iter()
        .map(|(codes, names)| Factor {
            codes,
            levels: u32::try_from(names.len()).unwrap(),
        })
        .collect();
    fit(
        &Data {
            response: &weight,
            factors: &factors,
            covariates: &[],
        },
        terms,
    )
    .unwrap()
}

fn without_sires() -> Fit {
    lambs(&[Term::Factor(LINE), Term::Factor(DAM_AGE)])
}

fn with_sires() -> Fit {
    lambs(&[
        Term::Factor(LINE),
        Term::Nested {
            inner: SIRE,
            outer: vec![LINE],
        },
        Term::Factor(DAM_AGE),
    ])
}

#[test]
fn analyses_of_variance() {
    let answers = answers("harville_lambs_expected.json");
    for (fit, name) in [
        (without_sires(), "anova_fixed_without_sires"),
        (with_sires(), "anova_fixed_with_sires"),
    ] {
        assert_eq!(fit.rows().used, 62);
        let rows = answers[name].as_array().unwrap();
        let tests = fit.partial_tests();
        assert_eq!(tests.len() + 1, rows.len());
        for (test, row) in tests.iter().zip(rows) {
            let term = row["term"].as_str().unwrap();
            assert_eq!(row["df"], test.df, "{term}");
            assert_eq!(test.df, test.full_df, "{term}");
            check(term, test.sum_of_squares, &row["ss"], CLOSED_FORM);
            check(term, test.mean_square.unwrap(), &row["ms"], CLOSED_FORM);
            check(term, test.test.unwrap().f, &row["F"], CLOSED_FORM);
            check(term, test.test.unwrap().p, &row["p"], CLOSED_FORM);
        }
        let residual = &rows[tests.len()];
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
}

#[track_caller]
fn check_pair(estimate: &Result<fairpen_stats::linear::Estimate, NotEstimable>, want: &Value) {
    let estimate = estimate.as_ref().unwrap();
    check("estimate", estimate.value, &want[0], CLOSED_FORM);
    check(
        "se",
        estimate.uncertainty.unwrap().standard_error,
        &want[1],
        CLOSED_FORM,
    );
}

#[test]
fn least_squares_means_and_differences() {
    let answers = answers("fixed_effects_expected.json");
    for (fit, name) in [
        (without_sires(), "lambs_without_sires"),
        (with_sires(), "lambs_with_sires"),
    ] {
        let answers = &answers[name];
        check(
            "rss",
            fit.residual_sum_of_squares(),
            &answers["residual_ss"],
            CLOSED_FORM,
        );
        assert_eq!(answers["residual_df"], fit.residual_df());
        check(
            "R2",
            fit.r_squared().unwrap(),
            &answers["r_squared"],
            CLOSED_FORM,
        );
        let means = |factors: &[FactorIndex]| -> Vec<CellMean> {
            fit.means(factors, Margins::Equal, LEVEL).unwrap()
        };
        check_pair(&means(&[])[0].estimate, &answers["overall"]);
        for (factor, key, levels) in [(LINE, "line", 5), (DAM_AGE, "dam_age", 3)] {
            let means = means(&[factor]);
            assert_eq!(means.len(), levels);
            for (at, mean) in means.iter().enumerate() {
                check_pair(&mean.estimate, &answers[key][at]);
            }
            let differences = fit.differences(&means, LEVEL);
            assert_eq!(differences.len(), levels * (levels - 1) / 2);
            for (at, difference) in differences.iter().enumerate() {
                let want = &answers[format!("{key}_differences").as_str()][at];
                check_pair(&difference.estimate, want);
            }
        }
    }
}
