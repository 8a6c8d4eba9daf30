//! Mixed models on made-up data, against the plain matrices of the definition, and what must hold of them
//! on any data.

// long because: one made-up herd, its plain design, and everything that must hold of both.

// A test that cannot make its data should stop.
#![allow(clippy::unwrap_used)]

mod plain;

use std::ops::ControlFlow;

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    CovariateIndex, Data, Estimate, Factor, FactorIndex, LinearFunction, Margins, Term,
};
use fairpen_stats::mixed::{
    Approximation, Likelihood, MixedError, MixedFit, MixedRow, MixedSettings, RandomFactor,
    RandomIndex, Shares, fit_mixed,
};
use plain::approximations::{PlainKenwardRoger, quadratic, satterthwaite};
use plain::numbers::Numbers;
use plain::{Plain, column, inverse, times, transpose};

const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;
const GROUP: FactorIndex = FactorIndex(0);
const X: CovariateIndex = CovariateIndex(0);
const GROUPS: u32 = 3;

/// One random factor as shares; codes are shares of one.
#[derive(Clone)]
struct Random {
    levels: u32,
    rows: Vec<Vec<(u32, f64)>>,
}

#[derive(Clone)]
struct Herd {
    group: Vec<u32>,
    x: Vec<f64>,
    y: Vec<f64>,
    random: Vec<Random>,
}

impl Herd {
    /// Unbalanced rows: three groups, a covariate, a sire with shares for some rows, a dam.
    fn new(seed: u64, rows: usize, shared: bool) -> Herd {
        let mut numbers = Numbers(seed);
        let effects = |numbers: &mut Numbers, count: usize, spread: f64| -> Vec<f64> {
            (0..count).map(|_| spread * numbers.normal()).collect()
        };
        let sires = effects(&mut numbers, 6, 1.5);
        let dams = effects(&mut numbers, 11, 1.0);
        let mut herd = Herd {
            group: Vec::new(),
            x: Vec::new(),
            y: Vec::new(),
            random: vec![
                Random {
                    levels: 6,
                    rows: Vec::new(),
                },
                Random {
                    levels: 11,
                    rows: Vec::new(),
                },
            ],
        };
        for _ in 0..rows {
            let group = numbers.below(GROUPS);
            // Sires stand mostly in one group, so that the groups and they are partly confounded.
            let sire = (2 * group + numbers.below(3)) % 6;
            let other = (sire + 1 + numbers.below(4)) % 6;
            let dam = numbers.below(11);
            let shares = if shared && numbers.below(3) == 0 {
                vec![(sire, 0.7), (other, 0.3)]
            } else {
                vec![(sire, 1.0)]
            };
            let x = 10.0 + 3.0 * numbers.normal();
            let from_sire: f64 = shares.iter().map(|&(at, w)| w * sires[at as usize]).sum();
            herd.y.push(
                500.0
                    + 2.0 * f64::from(group)
                    + 0.4 * x
                    + from_sire
                    + dams[dam as usize]
                    + 1.2 * numbers.normal(),
            );
            herd.group.push(group);
            herd.x.push(x);
            herd.random[0].rows.push(shares);
            herd.random[1].rows.push(vec![(dam, 1.0)]);
        }
        herd
    }

    fn reordered(&self, order: &[usize]) -> Herd {
        fn pick<T: Clone>(values: &[T], order: &[usize]) -> Vec<T> {
            order.iter().map(|&row| values[row].clone()).collect()
        }
        Herd {
            group: pick(&self.group, order),
            x: pick(&self.x, order),
            y: pick(&self.y, order),
            random: self
                .random
                .iter()
                .map(|random| Random {
                    levels: random.levels,
                    rows: pick(&random.rows, order),
                })
                .collect(),
        }
    }

    /// With `as_codes`, factors whose rows all have one whole share are given as codes.
    fn try_fit(&self, likelihood: Likelihood, as_codes: bool) -> Result<MixedFit, MixedError> {
        let factors = [Factor {
            codes: &self.group,
            levels: GROUPS,
        }];
        let covariates = [self.x.as_slice()];
        let data = Data {
            response: &self.y,
            factors: &factors,
            covariates: &covariates,
        };
        fit_random(
            &data,
            &[Term::Factor(GROUP), Term::Covariate(X)],
            &self.random,
            likelihood,
            as_codes,
        )
    }

    fn diagnose(
        &self,
        fit: &MixedFit,
        function: &LinearFunction,
    ) -> (Vec<MixedRow>, Vec<Option<f64>>) {
        let factors = [Factor {
            codes: &self.group,
            levels: GROUPS,
        }];
        let covariates = [self.x.as_slice()];
        let data = Data {
            response: &self.y,
            factors: &factors,
            covariates: &covariates,
        };
        with_random(&self.random, true, |random| {
            let diagnostics = fit.diagnostics(&data, random);
            (
                diagnostics.rows(),
                diagnostics.moves_without(function).unwrap(),
            )
        })
    }

    fn fit(&self) -> MixedFit {
        self.try_fit(Likelihood::Restricted, true).unwrap()
    }

    /// Intercept, second and third group against the first, slope on the centred covariate.
    #[allow(clippy::cast_precision_loss)]
    fn plain(&self) -> Plain {
        let mean = self.x.iter().sum::<f64>() / self.x.len() as f64;
        Plain {
            y: column(&self.y),
            x: self
                .group
                .iter()
                .zip(&self.x)
                .map(|(&group, x)| {
                    let is = |level: u32| f64::from(u8::from(group == level));
                    vec![1.0, is(1), is(2), x - mean]
                })
                .collect(),
            z: self
                .random
                .iter()
                .map(|random| {
                    random
                        .rows
                        .iter()
                        .map(|shares| {
                            let mut row = vec![0.0; random.levels as usize];
                            for &(level, weight) in shares {
                                row[level as usize] += weight;
                            }
                            row
                        })
                        .collect()
                })
                .collect(),
        }
    }
}

fn fit_random(
    data: &Data<'_>,
    terms: &[Term],
    random: &[Random],
    likelihood: Likelihood,
    as_codes: bool,
) -> Result<MixedFit, MixedError> {
    with_random(random, as_codes, |factors| {
        fit_mixed(
            data,
            terms,
            factors,
            MixedSettings {
                likelihood,
                ..MixedSettings::default()
            },
            &mut |_| ControlFlow::Continue(()),
        )
    })
}

fn with_random<T>(
    random: &[Random],
    as_codes: bool,
    then: impl FnOnce(&[RandomFactor<'_>]) -> T,
) -> T {
    let flat: Vec<(Vec<usize>, Vec<u32>, Vec<f64>)> = random
        .iter()
        .map(|random| {
            let mut starts = vec![0];
            let (mut levels, mut weights) = (Vec::new(), Vec::new());
            for row in &random.rows {
                levels.extend(row.iter().map(|share| share.0));
                weights.extend(row.iter().map(|share| share.1));
                starts.push(levels.len());
            }
            (starts, levels, weights)
        })
        .collect();
    let factors: Vec<RandomFactor<'_>> = random
        .iter()
        .zip(&flat)
        .map(|(random, (starts, levels, weights))| {
            let whole = random
                .rows
                .iter()
                .all(|row| row.len() == 1 && row[0].1 == 1.0);
            if as_codes && whole {
                RandomFactor::Codes(Factor {
                    codes: levels,
                    levels: random.levels,
                })
            } else {
                RandomFactor::Shares(Shares {
                    starts,
                    levels,
                    weights,
                    level_count: random.levels,
                })
            }
        })
        .collect();
    then(&factors)
}

fn variances(fit: &MixedFit) -> Vec<f64> {
    let mut all: Vec<f64> = fit.components().iter().map(|one| one.variance).collect();
    all.push(fit.residual_variance());
    all
}

#[track_caller]
fn close(what: &str, got: f64, want: f64, relative: f64) {
    assert!(
        (got - want).abs() <= relative * want.abs().max(1e-6),
        "{what}: got {got}, expected {want}"
    );
}

/// The functions to compare, with their weights in the plain design.
fn contrasts(fit: &MixedFit) -> Vec<(LinearFunction, Vec<f64>)> {
    let part = fit.fixed_part();
    let mean = |level: u32| {
        part.mean_function(&[(GROUP, level)], Margins::Equal)
            .unwrap()
    };
    vec![
        (mean(0), vec![1.0, 0.0, 0.0, 0.0]),
        (mean(1), vec![1.0, 1.0, 0.0, 0.0]),
        (mean(0).minus(&mean(1)), vec![0.0, -1.0, 0.0, 0.0]),
        (mean(1).minus(&mean(2)), vec![0.0, 1.0, -1.0, 0.0]),
        (part.slope_function(X).unwrap(), vec![0.0, 0.0, 0.0, 1.0]),
    ]
}

fn estimate(fit: &MixedFit, method: Approximation, function: &LinearFunction) -> Estimate {
    fit.inference(method)
        .unwrap()
        .estimate(function, LEVEL)
        .unwrap()
}

fn herds() -> impl Iterator<Item = Herd> {
    (0..24).map(|seed| Herd::new(seed, 34 + usize::try_from(seed).unwrap(), seed % 2 == 0))
}

/// The variances found are those of the definition: no small change of any of them is more likely.
#[test]
fn variances_are_the_most_likely() {
    let mut at_zero = 0;
    for herd in herds() {
        for likelihood in [Likelihood::Restricted, Likelihood::Full] {
            let fit = herd.try_fit(likelihood, true).unwrap();
            let model = herd.plain();
            let found = variances(&fit);
            let height = |variances: &[f64]| match likelihood {
                Likelihood::Restricted => model.at(variances).restricted_log_likelihood,
                Likelihood::Full => model.at(variances).log_likelihood,
            };
            let best = height(&found);
            if likelihood == Likelihood::Full {
                close("log-likelihood", fit.log_likelihood(), best, 1e-10);
            }
            for k in 0..found.len() {
                for step in [-1e-3, 1e-3, 0.1, 1.0] {
                    let mut moved = found.clone();
                    moved[k] += step * found[k].max(0.01 * found[2]);
                    if moved[k] < 0.0 {
                        continue;
                    }
                    assert!(height(&moved) < best + 1e-11, "part {k} by {step}");
                }
            }
            at_zero += fit.components().iter().filter(|one| one.at_zero).count();
        }
    }
    assert!(at_zero > 0, "no herd tried the boundary");
}

#[test]
fn estimates_and_both_approximations_follow_the_definition() {
    for herd in herds() {
        let fit = herd.fit();
        let model = herd.plain();
        let solved = model.at(&variances(&fit));
        let kenward_roger = PlainKenwardRoger::new(&model, &solved);
        let mut above: Vec<usize> = (0..2).filter(|&k| !fit.components()[k].at_zero).collect();
        above.push(2);
        for (function, weights) in contrasts(&fit) {
            let value: f64 = weights
                .iter()
                .zip(&solved.coefficients)
                .map(|(w, b)| w * b)
                .sum();
            let got = estimate(&fit, Approximation::Satterthwaite, &function);
            let variance = quadratic(&weights, &solved.covariance, &weights);
            let uncertainty = got.uncertainty.unwrap();
            close("value", got.value, value, 1e-9);
            close(
                "standard error",
                uncertainty.standard_error,
                variance.sqrt(),
                1e-9,
            );
            let df = satterthwaite(&model, &solved, &above, &weights);
            close("Satterthwaite", uncertainty.df, df, 1e-5);

            let got = estimate(&fit, Approximation::KenwardRoger, &function);
            let variance = quadratic(&weights, &kenward_roger.covariance, &weights);
            let uncertainty = got.uncertainty.unwrap();
            close("value", got.value, value, 1e-9);
            close(
                "standard error",
                uncertainty.standard_error,
                variance.sqrt(),
                1e-6,
            );
            let df = kenward_roger.moments(&vec![weights]).1;
            close("Kenward-Roger", uncertainty.df, df, 1e-5);
        }
    }
}

#[test]
fn the_scaled_f_follows_the_definition() {
    for herd in herds() {
        let fit = herd.fit();
        let model = herd.plain();
        let solved = model.at(&variances(&fit));
        let kenward_roger = PlainKenwardRoger::new(&model, &solved);
        let l = vec![vec![0.0, 1.0, 0.0, 0.0], vec![0.0, 0.0, 1.0, 0.0]];
        let inner = inverse(&times(
            &times(&l, &kenward_roger.covariance),
            &transpose(&l),
        ))
        .0;
        let (scale, df) = kenward_roger.moments(&l);
        let f = 0.5
            * scale
            * quadratic(
                &solved.coefficients[1..3],
                &inner,
                &solved.coefficients[1..3],
            );

        let inference = fit.inference(Approximation::KenwardRoger).unwrap();
        let functions: Vec<LinearFunction> = contrasts(&fit)[2..4]
            .iter()
            .map(|one| one.0.clone())
            .collect();
        let sum = functions[0].minus(&functions[1]);
        let tests = [
            inference.partial_tests()[0].test.unwrap(),
            inference.test(&functions).unwrap().unwrap(),
            // A third function that the first two make says nothing new.
            inference
                .test(&[functions[0].clone(), functions[1].clone(), sum])
                .unwrap()
                .unwrap(),
        ];
        for test in tests {
            close("F", test.f, f, 1e-6);
            close("df", test.denominator_df, df, 1e-5);
            assert_eq!(test.numerator_df, 2.0);
        }
    }
}

/// Shares as well as codes, absorbed or not: predictions are those of the dense covariance.
#[test]
fn predictions_and_their_error_follow_the_definition() {
    for herd in herds() {
        let fit = herd.fit();
        let model = herd.plain();
        let found = variances(&fit);
        let solved = model.at(&found);
        let py = times(&solved.p, &model.y);
        for (k, z) in model.z.iter().enumerate() {
            let own = times(&transpose(z), &py);
            let known = times(&transpose(z), &times(&solved.p, z));
            for (level, got) in fit.predictions(RandomIndex(k)).unwrap().iter().enumerate() {
                close("value", got.value, found[k] * own[level][0], 1e-7);
                let error = found[k] - found[k] * found[k] * known[level][level];
                close("error", got.error_variance, error, 1e-8);
                let rows = herd.random[k]
                    .rows
                    .iter()
                    .filter(|row| row.iter().any(|share| share.0 as usize == level))
                    .count();
                assert_eq!(got.rows, rows);
            }
        }
    }
}

#[track_caller]
fn same(one: &MixedFit, other: &MixedFit, order: [usize; 2]) {
    let (left, right) = (variances(one), variances(other));
    for (at, &k) in order.iter().chain(&[2]).enumerate() {
        close("variance", left[at], right[k], 1e-7);
    }
    close(
        "log-likelihood",
        one.log_likelihood(),
        other.log_likelihood(),
        1e-11,
    );
    for method in [Approximation::Satterthwaite, Approximation::KenwardRoger] {
        for ((function, _), (counterpart, _)) in contrasts(one).iter().zip(&contrasts(other)) {
            let (a, b) = (
                estimate(one, method, function),
                estimate(other, method, counterpart),
            );
            close("value", a.value, b.value, 1e-9);
            let (a, b) = (a.uncertainty.unwrap(), b.uncertainty.unwrap());
            close("standard error", a.standard_error, b.standard_error, 1e-7);
            close("df", a.df, b.df, 1e-6);
        }
    }
    for (at, &k) in order.iter().enumerate() {
        let left = one.predictions(RandomIndex(at)).unwrap();
        let right = other.predictions(RandomIndex(k)).unwrap();
        for (a, b) in left.iter().zip(right) {
            close("prediction", a.value, b.value, 1e-6);
            close("error", a.error_variance, b.error_variance, 1e-7);
        }
    }
}

#[test]
fn the_order_of_rows_does_not_matter() {
    for (seed, herd) in (100..).zip(herds()) {
        let mut numbers = Numbers(seed);
        let mut order: Vec<usize> = (0..herd.y.len()).collect();
        for at in (1..order.len()).rev() {
            order.swap(at, numbers.below(u32::try_from(at + 1).unwrap()) as usize);
        }
        same(&herd.fit(), &herd.reordered(&order).fit(), [0, 1]);
    }
}

/// Which factor is absorbed, and whether any is, is a matter of speed alone.
#[test]
fn codes_shares_and_the_order_of_factors_do_not_matter() {
    for herd in herds() {
        let fit = herd.fit();
        same(
            &fit,
            &herd.try_fit(Likelihood::Restricted, false).unwrap(),
            [0, 1],
        );
        let mut turned = herd.clone();
        turned.random.swap(0, 1);
        same(&fit, &turned.fit(), [1, 0]);
    }
}

#[test]
fn a_change_of_units_changes_units_only() {
    for herd in herds() {
        let fit = herd.fit();
        let mut scaled = herd.clone();
        for value in &mut scaled.y {
            *value = 1000.0 + 453.592 * *value;
        }
        let other = scaled.fit();
        for (one, two) in variances(&fit).iter().zip(variances(&other)) {
            close("variance", two, one * 453.592 * 453.592, 1e-7);
        }
        for ((function, _), (counterpart, _)) in
            contrasts(&fit).iter().zip(&contrasts(&other)).skip(2)
        {
            let a = estimate(&fit, Approximation::KenwardRoger, function);
            let b = estimate(&other, Approximation::KenwardRoger, counterpart);
            close("value", b.value, 453.592 * a.value, 1e-7);
            close(
                "df",
                b.uncertainty.unwrap().df,
                a.uncertainty.unwrap().df,
                1e-6,
            );
        }
    }
}

/// Residuals are those of the definition, and leaving a row out does what leaving it out does.
#[test]
fn what_hangs_on_each_row() {
    for herd in herds().take(12) {
        let fit = herd.fit();
        let model = herd.plain();
        let found = variances(&fit);
        let solved = model.at(&found);
        let py = times(&solved.p, &model.y);
        for (function, weights) in contrasts(&fit) {
            let (rows, moves) = herd.diagnose(&fit, &function);
            assert_eq!(rows.len(), herd.y.len());
            for (at, (row, moved)) in rows.iter().zip(&moves).enumerate() {
                assert_eq!(row.row, at);
                let residual = found[2] * py[at][0];
                assert!((row.residual - residual).abs() < 1e-8);
                close("fitted", row.fitted, herd.y[at] - residual, 1e-10);
                let spread = (found[2] * found[2] * solved.p[at][at]).sqrt();
                assert!((row.standardised.unwrap() - residual / spread).abs() < 1e-7);

                let mut less = herd.plain();
                less.y.remove(at);
                less.x.remove(at);
                for z in &mut less.z {
                    z.remove(at);
                }
                let without = less.at(&found);
                let want: f64 = weights
                    .iter()
                    .zip(without.coefficients.iter().zip(&solved.coefficients))
                    .map(|(weight, (after, before))| weight * (after - before))
                    .sum();
                assert!((moved.unwrap() - want).abs() < 1e-8, "row {at}");
            }
        }
    }
}
