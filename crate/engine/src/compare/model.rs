//! The fixed-effects model of a comparison.
//!
//! Enters: the used calves. Leaves: the fit, and for each term whether it is in and why not.
//! Always true: the compared column is the last term, so where it is tangled with another term the tangle
//! is told of the compared column.
//! Never: adds a term that does not vary among the used calves; treats an effect as random.

use std::collections::BTreeMap;

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    Alias, CellMean, CovariateIndex, Data, Factor, FactorIndex, Fit, LinearFunction, Margins,
    NotEstimable, PartialTest, Term, fit,
};

use super::levels::{Chosen, LevelColumn, NO_LEVEL};
use super::result::{CompareSpec, Estimate, ModelTerm};
use super::rows::Rows;
use super::words::Words;
use crate::error::Error;
use crate::results::Results;
use crate::sheet::codes::{FOSTER, SEX, TWIN};
use crate::sheet::workbook::Workbook;

/// A factor of the model with the names of its levels.
struct NamedFactor {
    /// Key of the term; also that of the compared column it duplicates.
    key: String,
    words: String,
    names: Vec<String>,
    codes: Vec<u32>,
}

/// A covariate of the model.
struct NamedCovariate {
    /// Key of the calves column it comes from.
    key: &'static str,
    words: String,
    /// What to say when it does not vary.
    constant: &'static str,
    values: Vec<f64>,
}

/// A contrast of two levels.
pub(super) struct Contrast {
    pub estimate: Option<Estimate>,
    /// What it is tangled with, in words, when it cannot be estimated.
    pub tangled: Vec<String>,
}

/// The fitted model.
pub(super) struct Fitted {
    factors: Vec<NamedFactor>,
    covariates: Vec<NamedCovariate>,
    left_out_terms: Vec<(String, String)>,
    fit: Option<Fit>,
    tests: Vec<PartialTest>,
    means: Vec<Option<CellMean>>,
    level: ConfidenceLevel,
    n_used: u32,
}

impl Fitted {
    pub fn new(
        book: &Workbook,
        results: &Results,
        rows: &Rows,
        column: &LevelColumn,
        chosen: &Chosen,
        spec: &CompareSpec,
    ) -> Result<Fitted, Error> {
        let used: Vec<usize> = chosen.all_used(rows).collect();
        let level =
            ConfidenceLevel::new(book.settings.confidence).unwrap_or(ConfidenceLevel::NINETY_FIVE);
        let mut left_out_terms = Vec::new();
        let mut factors = Vec::new();
        let same_as_compared = |key: &str| {
            key == column.key
                || (key == "season" && column.key == "birth_year")
                || (key == "raising_class" && column.key == "dam_age_class")
        };
        for factor in adjusting_factors(book, results, rows, &used, spec)? {
            if same_as_compared(&factor.key) {
                left_out_terms.push((factor.words, "it is what is compared".to_owned()));
            } else if factor.names.len() < 2 {
                let only = factor.names.first().map_or("not recorded", String::as_str);
                left_out_terms.push((
                    factor.words,
                    format!("all calves used have one value: {only}"),
                ));
            } else {
                factors.push(factor);
            }
        }
        factors.push(NamedFactor {
            key: column.key.clone(),
            words: column.label.to_lowercase(),
            names: chosen.names.clone(),
            codes: used.iter().map(|&row| chosen.of_row[row]).collect(),
        });

        let response: Vec<f64> = used
            .iter()
            .map(|&row| results.adjusted.age_adj_205[row])
            .collect();
        let mut covariates = Vec::new();
        for covariate in adjusting_covariates(rows, &used) {
            if covariate.key == column.key {
                left_out_terms.push((covariate.words, "it is what is compared".to_owned()));
            } else if covariate.values.windows(2).all(|pair| pair[0] == pair[1]) {
                left_out_terms.push((covariate.words, covariate.constant.to_owned()));
            } else {
                covariates.push(covariate);
            }
        }
        let stats_factors: Vec<Factor<'_>> = factors
            .iter()
            .map(|factor| Factor {
                codes: &factor.codes,
                levels: u32::try_from(factor.names.len()).unwrap_or(u32::MAX),
            })
            .collect();
        let values: Vec<&[f64]> = covariates
            .iter()
            .map(|covariate| covariate.values.as_slice())
            .collect();
        let compared = factors.len() - 1;
        let mut terms: Vec<Term> = (0..compared)
            .map(|at| Term::Factor(FactorIndex(at)))
            .collect();
        terms.extend((0..values.len()).map(|at| Term::Covariate(CovariateIndex(at))));
        terms.push(Term::Factor(FactorIndex(compared)));
        let data = Data {
            response: &response,
            factors: &stats_factors,
            covariates: &values,
        };
        // A fit is refused only for want of rows (no level has a usable calf) or for too many columns.
        let fitted = match fit(&data, &terms) {
            Ok(fit) => Some(fit),
            Err(fairpen_stats::linear::FitError::NoUsableRow) => None,
            Err(error) => {
                return Err(Error::new(
                    "compare.model.refused",
                    format!("The comparison is too large to compute: {error}."),
                    "Choose fewer levels, or hold fewer columns equal.",
                ));
            }
        };
        let tests = fitted.as_ref().map(Fit::partial_tests).unwrap_or_default();
        let means = (0..chosen.names.len())
            .map(|position| {
                let fit = fitted.as_ref()?;
                let code = u32::try_from(position).ok()?;
                if !fit.present_levels(FactorIndex(compared)).contains(&code) {
                    return None;
                }
                let levels = vec![(FactorIndex(compared), code)];
                let function = fit.mean_function(&levels, Margins::Equal).ok()?;
                let estimate = fit.estimate(&function, level);
                Some(CellMean {
                    levels,
                    function,
                    estimate,
                })
            })
            .collect();
        Ok(Fitted {
            factors,
            covariates,
            left_out_terms,
            fit: fitted,
            tests,
            means,
            level,
            n_used: u32::try_from(used.len()).unwrap_or(u32::MAX),
        })
    }

    /// First level less second, in the model.
    pub fn contrast(&self, first: usize, second: usize) -> Contrast {
        let none = Contrast {
            estimate: None,
            tangled: Vec::new(),
        };
        let (Some(fit), Some(one), Some(other)) =
            (&self.fit, &self.means[first], &self.means[second])
        else {
            return none;
        };
        let function: LinearFunction = one.function.minus(&other.function);
        match fit.estimate(&function, self.level) {
            Ok(estimate) => Contrast {
                estimate: with_interval(&estimate),
                tangled: Vec::new(),
            },
            Err(NotEstimable::Confounded(aliases)) => {
                let mut tangled: Vec<String> = Vec::new();
                for words in aliases.iter().flat_map(|alias| self.alias_terms(alias)) {
                    if !tangled.contains(&words) {
                        tangled.push(words);
                    }
                }
                Contrast {
                    estimate: None,
                    tangled,
                }
            }
            Err(NotEstimable::EmptyCells(_)) => none,
        }
    }

    /// A level's least-squares mean.
    pub fn ls_mean(&self, position: usize) -> Option<Estimate> {
        let mean = self.means[position].as_ref()?;
        with_interval(mean.estimate.as_ref().ok()?).map(|estimate| Estimate {
            p: f64::NAN,
            ..estimate
        })
    }

    pub fn n_used(&self) -> u32 {
        self.n_used
    }

    /// Residual standard deviation, lb, and its degrees of freedom.
    pub fn residual(&self) -> Option<(f64, f64)> {
        let fit = self.fit.as_ref()?;
        #[allow(clippy::cast_precision_loss)] // far below 2^53
        Some((fit.residual_standard_deviation()?, fit.residual_df() as f64))
    }

    pub fn r_squared(&self) -> f64 {
        self.fit
            .as_ref()
            .and_then(Fit::r_squared)
            .unwrap_or(f64::NAN)
    }

    /// Terms in the model, the compared column last, then those left out and why.
    pub fn terms(&self) -> Vec<ModelTerm> {
        let mut words: Vec<String> = self.held_words();
        words.push(
            self.factors
                .last()
                .map_or_else(String::new, |factor| factor.words.clone()),
        );
        let mut terms: Vec<ModelTerm> = words
            .into_iter()
            .enumerate()
            .map(|(at, words)| ModelTerm {
                words,
                used: self.fit.is_some(),
                because: if self.fit.is_some() {
                    String::new()
                } else {
                    "no calf could be used".to_owned()
                },
                test: self
                    .tests
                    .get(at)
                    .and_then(|test| test.test)
                    .map(|test| (test.numerator_df, test.f, test.p)),
            })
            .collect();
        terms.extend(
            self.left_out_terms
                .iter()
                .map(|(words, because)| ModelTerm {
                    words: words.clone(),
                    used: false,
                    because: because.clone(),
                    test: None,
                }),
        );
        terms
    }

    /// The terms held equal, in words, in the order of the model.
    pub fn held_words(&self) -> Vec<String> {
        let n_held = self.factors.len() - 1;
        let mut words: Vec<String> = self.factors[..n_held]
            .iter()
            .map(|factor| factor.words.clone())
            .collect();
        words.extend(
            self.covariates
                .iter()
                .map(|covariate| covariate.words.clone()),
        );
        words
    }

    /// Every tangle of the model in words, whether or not a contrast meets it.
    pub fn aliased(&self, words: &Words) -> Vec<String> {
        let Some(fit) = &self.fit else {
            return Vec::new();
        };
        let mut sentences: Vec<String> = fit
            .aliases()
            .iter()
            .map(|alias| {
                let what = self.column_words(alias.column);
                let with: Vec<String> = alias
                    .equals
                    .iter()
                    .map(|(column, _)| self.column_words(*column))
                    .collect();
                words.tangle(&what, &with)
            })
            .collect();
        sentences.dedup();
        sentences
    }

    /// The terms, other than the compared column, that an alias names: `season 2025 spring`.
    fn alias_terms(&self, alias: &Alias) -> Vec<String> {
        let compared = self.factors.len() - 1;
        let fit = self.fit.as_ref().expect("an alias comes from a fit");
        let mut names: BTreeMap<(usize, usize), String> = BTreeMap::new();
        for column in
            std::iter::once(alias.column).chain(alias.equals.iter().map(|(column, _)| *column))
        {
            let about = &fit.columns()[column];
            match (about.levels.first(), about.covariate) {
                (Some((factor, _)), _) if factor.0 == compared => {}
                (Some((factor, level)), _) => {
                    names.insert((factor.0, *level as usize), self.column_words(column));
                }
                (None, Some(covariate)) => {
                    names.insert((usize::MAX, covariate.0), self.column_words(column));
                }
                (None, None) => {}
            }
        }
        names.into_values().collect()
    }

    fn column_words(&self, column: usize) -> String {
        let fit = self.fit.as_ref().expect("columns come from a fit");
        let about = &fit.columns()[column];
        match (about.levels.first(), about.covariate) {
            (Some((factor, level)), _) => {
                let factor = &self.factors[factor.0];
                format!("{} ({})", factor.words, factor.names[*level as usize])
            }
            (None, Some(covariate)) => self.covariates[covariate.0].words.clone(),
            (None, None) => "the mean of all calves".to_owned(),
        }
    }
}

/// The factors held equal: season, sex, dam-age class, and what the person asked for.
fn adjusting_factors(
    book: &Workbook,
    results: &Results,
    rows: &Rows,
    used: &[usize],
    spec: &CompareSpec,
) -> Result<Vec<NamedFactor>, Error> {
    let classes = &book.settings.factors.classes;
    let coded = |key: &str, words: &str, of: &dyn Fn(usize) -> Option<String>| {
        named_factor(
            key,
            words,
            used.iter()
                .map(|&row| of(row).unwrap_or_else(|| "not recorded".to_owned())),
        )
    };
    let mut factors = vec![
        coded("season", "season", &|row| rows.season[row].clone()),
        coded("sex", "sex", &|row| {
            SEX.key(rows.calves.sex[row]).map(str::to_owned)
        }),
        coded("raising_class", "dam-age class", &|row| {
            classes
                .get(usize::from(results.adjusted.raising_class[row]))
                .map(|class| class.name.clone())
        }),
    ];
    for key in &spec.hold {
        let column = LevelColumn::find(book, results, rows, key).map_err(|error| {
            Error::new(
                "compare.hold.unknown",
                format!("\"{key}\" cannot be held equal. {}", error.message()),
                error.hint(),
            )
        })?;
        if factors.iter().any(|factor| factor.key == column.key) {
            continue;
        }
        factors.push(named_factor(
            &column.key,
            &column.label.to_lowercase(),
            used.iter().map(|&row| match column.of_row[row] {
                NO_LEVEL => "not recorded".to_owned(),
                level => column.names[level as usize].clone(),
            }),
        ));
    }
    Ok(factors)
}

/// The covariates held equal: birth date within its season, and being a twin or a foster as 0 or 1. The few
/// twins and fosters of a herd count in a mean as often as they occur, not as half of all calves.
fn adjusting_covariates(rows: &Rows, used: &[usize]) -> Vec<NamedCovariate> {
    let one_if = |of: &dyn Fn(usize) -> bool| {
        used.iter()
            .map(|&row| f64::from(u8::from(of(row))))
            .collect()
    };
    vec![
        NamedCovariate {
            key: "born_as",
            words: "single or twin".to_owned(),
            constant: "all calves used were born alike",
            values: one_if(&|row| rows.calves.born_as[row] == TWIN),
        },
        NamedCovariate {
            key: "raised_by",
            words: "own dam or foster".to_owned(),
            constant: "all calves used were raised alike",
            values: one_if(&|row| rows.calves.raised_by[row] == FOSTER),
        },
        NamedCovariate {
            key: "birth_date",
            words: "birth date".to_owned(),
            constant: "all calves used of a season were born on one day",
            values: days_from_season_mean(rows, used),
        },
    ]
}

/// Birth dates of the used calves as days from the mean birth date of their season, so that a season's
/// place in the calendar is the season's own effect.
fn days_from_season_mean(rows: &Rows, used: &[usize]) -> Vec<f64> {
    let mut by_season: BTreeMap<Option<&str>, (f64, f64)> = BTreeMap::new();
    let day = |row: usize| f64::from(rows.calves.birth[row].count());
    for &row in used {
        let sum = by_season
            .entry(rows.season[row].as_deref())
            .or_insert((0.0, 0.0));
        sum.0 += day(row);
        sum.1 += 1.0;
    }
    used.iter()
        .map(|&row| {
            let (sum, n) = by_season[&rows.season[row].as_deref()];
            // Sums of whole days are exact, so calves of one day get exactly zero.
            day(row) - sum / n
        })
        .collect()
}

fn named_factor(key: &str, words: &str, values: impl Iterator<Item = String>) -> NamedFactor {
    let values: Vec<String> = values.collect();
    let mut names = values.clone();
    fairpen_stats::in_order::order(&mut names);
    names.dedup();
    let codes = values
        .iter()
        .map(|value| {
            names
                .binary_search(value)
                .ok()
                .and_then(|at| u32::try_from(at).ok())
                .unwrap_or(u32::MAX)
        })
        .collect();
    NamedFactor {
        key: key.to_owned(),
        words: words.to_owned(),
        names,
        codes,
    }
}

fn with_interval(estimate: &fairpen_stats::linear::Estimate) -> Option<Estimate> {
    let spread = estimate.uncertainty?;
    Some(Estimate {
        value: estimate.value,
        se: spread.standard_error,
        df: spread.df,
        lower: spread.lower,
        upper: spread.upper,
        p: spread.p,
    })
}
