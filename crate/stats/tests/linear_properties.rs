//! What must hold of the linear model on any data.

// A test that cannot make its data should stop.
#![allow(clippy::unwrap_used)]

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    CellMean, CovariateIndex, Data, Estimate, Factor, FactorIndex, Fit, Margins, NotEstimable,
    Term, fit,
};
use proptest::prelude::*;

const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;
const A: FactorIndex = FactorIndex(0);
const B: FactorIndex = FactorIndex(1);
const C: FactorIndex = FactorIndex(2);
const X: CovariateIndex = CovariateIndex(0);

/// Rows of an unbalanced layout: codes of three factors, a covariate, a response.
#[derive(Debug, Clone)]
struct Rows {
    levels: [u32; 3],
    codes: [Vec<u32>; 3],
    x: Vec<f64>,
    y: Vec<f64>,
}

impl Rows {
    fn fit(&self, terms: &[Term]) -> Fit {
        let factors: Vec<Factor<'_>> = self
            .codes
            .iter()
            .zip(self.levels)
            .map(|(codes, levels)| Factor { codes, levels })
            .collect();
        fit(
            &Data {
                response: &self.y,
                factors: &factors,
                covariates: &[&self.x],
            },
            terms,
        )
        .unwrap()
    }

    fn reordered(&self, order: &[usize]) -> Rows {
        let pick = |values: &[f64]| order.iter().map(|&row| values[row]).collect();
        Rows {
            levels: self.levels,
            codes: self
                .codes
                .clone()
                .map(|codes| order.iter().map(|&row| codes[row]).collect()),
            x: pick(&self.x),
            y: pick(&self.y),
        }
    }
}

/// Squaring a code between 0 and 1 crowds the low levels, so that some cells are rare or empty.
fn rows(count: std::ops::Range<usize>) -> impl Strategy<Value = Rows> {
    (count, 2u32..5, 2u32..5, 1u32..4).prop_flat_map(|(count, a, b, c)| {
        let row = (
            0.0..1.0f64,
            0.0..1.0f64,
            0.0..1.0f64,
            150.0..250.0f64,
            -60.0..60.0f64,
        );
        prop::collection::vec(row, count).prop_map(move |rows| {
            let levels = [a, b, c];
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let code = |share: f64, levels: u32| (share * share * f64::from(levels)) as u32;
            Rows {
                levels,
                codes: [
                    rows.iter().map(|row| code(row.0, a)).collect(),
                    rows.iter().map(|row| code(row.1, b)).collect(),
                    rows.iter().map(|row| code(row.2, c)).collect(),
                ],
                x: rows.iter().map(|row| row.3).collect(),
                y: rows
                    .iter()
                    .map(|row| 500.0 + row.4 + 20.0 * row.0 + 0.5 * row.3)
                    .collect(),
            }
        })
    })
}

fn additive() -> Vec<Term> {
    vec![
        Term::Factor(A),
        Term::Factor(B),
        Term::Factor(C),
        Term::Covariate(X),
    ]
}

fn with_interaction() -> Vec<Term> {
    let mut terms = additive();
    terms.push(Term::Cross(vec![A, B]));
    terms
}

fn means(fit: &Fit, factor: FactorIndex) -> Vec<CellMean> {
    fit.means(&[factor], Margins::Equal, LEVEL).unwrap()
}

/// Every mean of every factor, and every difference, in one list.
fn everything(fit: &Fit) -> Vec<Result<Estimate, NotEstimable>> {
    let mut all = Vec::new();
    for factor in [A, B, C] {
        for margins in [Margins::Equal, Margins::Observed] {
            let means = fit.means(&[factor], margins, LEVEL).unwrap();
            all.extend(
                fit.differences(&means, LEVEL)
                    .into_iter()
                    .map(|pair| pair.estimate),
            );
            all.extend(means.into_iter().map(|mean| mean.estimate));
        }
    }
    all
}

fn near(got: f64, want: f64, size: f64) -> bool {
    (got - want).abs() <= 1e-8 * want.abs().max(size)
}

/// Same answers, or both refused; values against a size of 1 lb.
fn same(one: &Result<Estimate, NotEstimable>, other: &Result<Estimate, NotEstimable>) -> bool {
    match (one, other) {
        (Ok(one), Ok(other)) => {
            near(one.value, other.value, 1.0)
                && match (one.uncertainty, other.uncertainty) {
                    (Some(one), Some(other)) => {
                        near(one.standard_error, other.standard_error, 1e-3)
                            && near(one.p, other.p, 1e-3)
                            && near(one.lower, other.lower, 1.0)
                            && near(one.upper, other.upper, 1.0)
                    }
                    (None, None) => true,
                    _ => false,
                }
        }
        (Err(_), Err(_)) => true,
        _ => false,
    }
}

/// Whether two levels of the first factor are linked through shared levels of the second.
fn linked(rows: &Rows, one: u32, other: u32) -> bool {
    let mut reached = vec![one];
    let mut next = 0;
    while let Some(&level) = reached.get(next) {
        next += 1;
        for row in (0..rows.y.len()).filter(|&row| rows.codes[0][row] == level) {
            let b = rows.codes[1][row];
            for (&neighbour, _) in rows.codes[0]
                .iter()
                .zip(&rows.codes[1])
                .filter(|&(_, &own)| own == b)
            {
                if !reached.contains(&neighbour) {
                    reached.push(neighbour);
                }
            }
        }
    }
    reached.contains(&other)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn balanced_means_are_raw_cell_means(
        (a, b, each) in (2u32..5, 2u32..5, 1usize..6),
        noise in prop::collection::vec(-50.0..50.0f64, 4 * 4 * 5),
    ) {
        let mut rows = Rows {
            levels: [a, b, 1],
            codes: [vec![], vec![], vec![]],
            x: vec![],
            y: vec![],
        };
        for first in 0..a {
            for second in 0..b {
                for _ in 0..each {
                    rows.y.push(500.0 + noise[rows.y.len()]);
                    rows.codes[0].push(first);
                    rows.codes[1].push(second);
                    rows.codes[2].push(0);
                    rows.x.push(0.0);
                }
            }
        }
        let raw = |keep: &dyn Fn(usize) -> bool| {
            let kept: Vec<f64> =
                (0..rows.y.len()).filter(|&row| keep(row)).map(|row| rows.y[row]).collect();
            fairpen_stats::describe::summarise(&kept).unwrap().mean.unwrap()
        };
        let model = [Term::Factor(A), Term::Factor(B), Term::Cross(vec![A, B])];
        for terms in [&model[..2], &model[..]] {
            let fit = rows.fit(terms);
            for margins in [Margins::Equal, Margins::Observed] {
                for mean in fit.means(&[A], margins, LEVEL).unwrap() {
                    let want = raw(&|row| rows.codes[0][row] == mean.levels[0].1);
                    prop_assert!(near(mean.estimate.unwrap().value, want, 1.0));
                }
            }
        }
        for mean in rows.fit(&model).means(&[A, B], Margins::Equal, LEVEL).unwrap() {
            let want = raw(&|row| {
                rows.codes[0][row] == mean.levels[0].1 && rows.codes[1][row] == mean.levels[1].1
            });
            prop_assert!(near(mean.estimate.unwrap().value, want, 1.0));
        }
    }

    #[test]
    fn row_order_changes_nothing(
        (rows, order) in rows(12..150).prop_flat_map(|rows| {
            let order: Vec<usize> = (0..rows.y.len()).collect();
            (Just(rows), Just(order).prop_shuffle())
        })
    ) {
        let (one, other) = (rows.fit(&with_interaction()), rows.reordered(&order).fit(&with_interaction()));
        prop_assert_eq!(one.rank(), other.rank());
        let names = |fit: &Fit| -> Vec<_> {
            fit.aliases().iter().map(|alias| (alias.column, alias.equals.len())).collect()
        };
        prop_assert_eq!(names(&one), names(&other));
        for (one, other) in everything(&one).iter().zip(&everything(&other)) {
            prop_assert!(same(one, other), "{:?} {:?}", one, other);
        }
        for (one, other) in one.partial_tests().iter().zip(&other.partial_tests()) {
            prop_assert_eq!(one.df, other.df);
            prop_assert!(near(one.sum_of_squares, other.sum_of_squares, 1.0));
        }
    }

    #[test]
    fn order_of_terms_and_names_of_levels_change_no_answer(rows in rows(12..150)) {
        let mut terms = with_interaction();
        terms.reverse();
        terms[0] = Term::Cross(vec![B, A]);
        let mut renamed = rows.clone();
        for (codes, levels) in renamed.codes.iter_mut().zip(rows.levels) {
            for code in codes.iter_mut() {
                *code = levels - 1 - *code;
            }
        }
        let one = rows.fit(&with_interaction());
        let reversed = rows.fit(&terms);
        for (one, other) in everything(&one).iter().zip(&everything(&reversed)) {
            prop_assert!(same(one, other), "{:?} {:?}", one, other);
        }
        for (one, other) in one.partial_tests().iter().zip(reversed.partial_tests().iter().rev()) {
            prop_assert_eq!(one.df, other.df);
            prop_assert!(near(one.sum_of_squares, other.sum_of_squares, 1.0));
        }
        let other = renamed.fit(&with_interaction());
        for factor in [A, B, C] {
            let (one, other) = (means(&one, factor), means(&other, factor));
            for (one, other) in one.iter().zip(other.iter().rev()) {
                prop_assert!(same(&one.estimate, &other.estimate));
            }
        }
    }

    #[test]
    fn shifting_and_scaling_the_response_carry_over(
        rows in rows(12..150), shift in -1000.0..1000.0f64, scale in 0.1..10.0f64,
    ) {
        let mut moved = rows.clone();
        moved.y.iter_mut().for_each(|y| *y = *y * scale + shift);
        let (one, other) = (rows.fit(&with_interaction()), moved.fit(&with_interaction()));
        for factor in [A, B, C] {
            let (one_means, other_means) = (means(&one, factor), means(&other, factor));
            for (one, other) in one_means.iter().zip(&other_means) {
                match (&one.estimate, &other.estimate) {
                    (Ok(one), Ok(other)) => {
                        prop_assert!(near(other.value, one.value * scale + shift, 1000.0));
                    }
                    (one, other) => prop_assert_eq!(one.is_err(), other.is_err()),
                }
            }
            let pairs = one.differences(&one_means, LEVEL);
            for (one, other) in pairs.iter().zip(other.differences(&other_means, LEVEL)) {
                match (&one.estimate, &other.estimate) {
                    (Ok(one), Ok(other)) => {
                        prop_assert!(near(other.value, one.value * scale, 100.0));
                        if let (Some(one), Some(other)) = (one.uncertainty, other.uncertainty) {
                            prop_assert!(near(other.standard_error, one.standard_error * scale, 1.0));
                            prop_assert!(near(other.p, one.p, 1.0));
                        }
                    }
                    (one, other) => prop_assert_eq!(one.is_err(), other.is_err()),
                }
            }
        }
    }

    /// A copy of a factor under other names, and a covariate in another unit, add nothing: what could be
    /// estimated and does not ask for the copied effects comes out the same, and those are refused.
    #[test]
    fn an_aliased_column_changes_no_estimable_function(rows in rows(20..150)) {
        let copy: Vec<u32> = rows.codes[0].iter().map(|code| rows.levels[0] - 1 - code).collect();
        let metric: Vec<f64> = rows.x.iter().map(|x| 7.0 - 0.453_592_37 * x).collect();
        let mut factors: Vec<Factor<'_>> = rows
            .codes
            .iter()
            .zip(rows.levels)
            .map(|(codes, levels)| Factor { codes, levels })
            .collect();
        factors.push(Factor { codes: &copy, levels: rows.levels[0] });
        let mut terms = additive();
        terms.push(Term::Factor(FactorIndex(3)));
        terms.push(Term::Covariate(CovariateIndex(1)));
        let data =
            Data { response: &rows.y, factors: &factors, covariates: &[&rows.x, &metric] };
        let (alone, doubled) = (rows.fit(&additive()), fit(&data, &terms).unwrap());
        prop_assert_eq!(alone.rank(), doubled.rank());
        let levels = alone.present_levels(A).len();
        prop_assert_eq!(doubled.aliases().len(), alone.aliases().len() + levels);
        let tolerance = 1e-8 * alone.total_sum_of_squares();
        prop_assert!(
            (alone.residual_sum_of_squares() - doubled.residual_sum_of_squares()).abs() <= tolerance
        );
        for factor in [B, C] {
            for (one, other) in means(&alone, factor).iter().zip(&means(&doubled, factor)) {
                prop_assert!(same(&one.estimate, &other.estimate));
            }
        }
        let slope = doubled.slope_function(X).unwrap();
        prop_assert!(doubled.estimate(&slope, LEVEL).is_err());
        let means = means(&doubled, A);
        for pair in doubled.differences(&means, LEVEL) {
            prop_assert!(matches!(pair.estimate, Err(NotEstimable::Confounded(_))));
        }
    }

    /// In a model of two factors the difference of two levels can be had exactly when a chain of shared
    /// cells links them (Bose 1947): an outside rule for what is estimable.
    #[test]
    fn differences_are_estimable_exactly_when_levels_are_linked(
        cells in prop::collection::vec((0u32..6, 0u32..6, -9.0..9.0f64), 3..14)
    ) {
        let rows = Rows {
            levels: [6, 6, 1],
            codes: [
                cells.iter().map(|cell| cell.0).collect(),
                cells.iter().map(|cell| cell.1).collect(),
                vec![0; cells.len()],
            ],
            x: vec![0.0; cells.len()],
            y: cells.iter().map(|cell| cell.2).collect(),
        };
        let fit = rows.fit(&[Term::Factor(A), Term::Factor(B)]);
        let means = means(&fit, A);
        for pair in fit.differences(&means, LEVEL) {
            let level = |at: usize| means[at].levels[0].1;
            let want = linked(&rows, level(pair.first), level(pair.second));
            prop_assert_eq!(pair.estimate.is_ok(), want);
            if let Err(NotEstimable::Confounded(aliases)) = &pair.estimate {
                prop_assert!(!aliases.is_empty());
            }
        }
    }

    /// Each alias holds in every row, and every dropped column is accounted for.
    #[test]
    fn aliases_hold_row_by_row(rows in rows(6..30)) {
        let fit = rows.fit(&with_interaction());
        let columns = fit.columns();
        let entry = |at: usize, row: usize| -> f64 {
            let inside = columns[at]
                .levels
                .iter()
                .all(|&(factor, level)| rows.codes[factor.0][row] == level);
            match columns[at].covariate {
                _ if !inside => 0.0,
                Some(_) => rows.x[row] - fit.covariate_mean(X).unwrap(),
                None => 1.0,
            }
        };
        for alias in fit.aliases() {
            for row in 0..rows.y.len() {
                let sum: f64 =
                    alias.equals.iter().map(|&(at, weight)| weight * entry(at, row)).sum();
                prop_assert!((entry(alias.column, row) - sum).abs() < 1e-7);
            }
        }
        // The coefficients give every row its fitted value.
        let factors: Vec<Factor<'_>> = rows
            .codes
            .iter()
            .zip(rows.levels)
            .map(|(codes, levels)| Factor { codes, levels })
            .collect();
        let data = Data { response: &rows.y, factors: &factors, covariates: &[&rows.x] };
        let coefficients = fit.coefficients();
        for row in 0..rows.y.len() {
            let sum: f64 = (0..columns.len()).map(|at| coefficients[at] * entry(at, row)).sum();
            prop_assert!(near(fit.row(&data, row).unwrap().fitted, sum, 1.0));
        }
    }

    /// Without an interaction a partial sum of squares is what leaving the term out costs, whatever the
    /// coding.
    #[test]
    fn partial_sums_of_squares_are_what_leaving_out_costs(rows in rows(20..200)) {
        let terms = additive();
        let fit = rows.fit(&terms);
        for (at, test) in fit.partial_tests().into_iter().enumerate() {
            let mut fewer = terms.clone();
            fewer.remove(at);
            let without = rows.fit(&fewer);
            let cost = without.residual_sum_of_squares() - fit.residual_sum_of_squares();
            prop_assert!(
                (test.sum_of_squares - cost).abs() <= 1e-9 * fit.total_sum_of_squares(),
                "{} {}", test.sum_of_squares, cost
            );
            prop_assert_eq!(test.df, fit.rank() - without.rank());
        }
    }

    #[test]
    fn a_term_of_one_contrast_has_f_equal_to_t_squared(rows in rows(20..200)) {
        let fit = rows.fit(&additive());
        if let Ok(slope) = fit.estimate(&fit.slope_function(X).unwrap(), LEVEL)
            && let Some(spread) = slope.uncertainty
        {
            let test = fit.partial_tests()[3].test.unwrap();
            prop_assert!(near(test.f, spread.t * spread.t, 1.0));
            prop_assert!(near(test.p, spread.p, 1.0));
            prop_assert_eq!(spread.p < 0.05, spread.lower > 0.0 || spread.upper < 0.0);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4))]

    /// The same promises on a few thousand rows.
    #[test]
    fn thousands_of_rows(rows in rows(2000..4000)) {
        let order: Vec<usize> = (0..rows.y.len()).rev().collect();
        let (one, other) = (rows.fit(&with_interaction()), rows.reordered(&order).fit(&with_interaction()));
        for (one, other) in everything(&one).iter().zip(&everything(&other)) {
            prop_assert!(same(one, other));
            prop_assert!(one.is_ok());
        }
    }
}
