//! The fixed part of a comparison's model.
//!
//! Enters: the used calves, the compared column and what was asked for. Leaves: factors and covariates, and what
//! was left out with why.
//! Always true: the compared column is the last main effect, so where it is tangled with another term the tangle
//! is told of the compared column; its products with sex and dam-age class come after it.
//! Never: adds a term that does not vary among the used calves.

use std::collections::BTreeMap;

use fairpen_stats::linear::{CovariateIndex, Data, Factor, FactorIndex, Term};

use super::levels::{LevelColumn, NO_LEVEL};
use super::model::Asked;
use super::response::Compared;
use super::result::CompareSpec;
use super::rows::Rows;
use super::words::list;
use crate::error::Error;
use crate::sheet::codes::{FOSTER, SEX, TWIN};

/// What stands where a factor's value is not recorded: a level of its own.
pub(super) const NOT_RECORDED: &str = "not recorded";

/// A factor of the model with the names of its levels.
pub(super) struct NamedFactor {
    /// Key of the term; also that of the compared column it duplicates.
    pub key: String,
    pub words: String,
    pub names: Vec<String>,
    pub codes: Vec<u32>,
}

impl NamedFactor {
    pub fn levels(&self) -> u32 {
        u32::try_from(self.names.len()).unwrap_or(u32::MAX)
    }

    pub fn as_factor(&self) -> Factor<'_> {
        Factor {
            codes: &self.codes,
            levels: self.levels(),
        }
    }
}

/// A covariate of the model.
pub(super) struct NamedCovariate {
    /// Key of the calves column it comes from.
    pub key: &'static str,
    pub words: String,
    /// What to say when it does not vary.
    constant: &'static str,
    pub values: Vec<f64>,
}

/// A product of the compared column with another factor.
pub(super) struct Product {
    /// `sex` or `dam_age_class`, as it is asked for.
    pub key: &'static str,
    /// Place of the other factor among the factors.
    pub with: usize,
    pub words: String,
}

/// The fixed part.
pub(super) struct FixedPart {
    /// The compared column last.
    pub factors: Vec<NamedFactor>,
    pub covariates: Vec<NamedCovariate>,
    pub products: Vec<Product>,
    /// Terms not in the model, in words, and why.
    pub left_out: Vec<(String, String)>,
    pub response: Vec<f64>,
}

impl FixedPart {
    /// Lays out the terms for the used rows, in this order.
    pub fn new(asked: &Asked, used: &[usize]) -> Result<FixedPart, Error> {
        let Asked {
            rows,
            column,
            chosen,
            compared,
            spec,
            ..
        } = *asked;
        let mut left_out = Vec::new();
        let mut factors = Vec::new();
        let same_as_compared = |key: &str| {
            key == column.key
                || (key == "season" && column.key == "birth_year")
                || (key == "raising_class" && column.key == "dam_age_class")
        };
        for factor in adjusting_factors(asked, used)? {
            if same_as_compared(&factor.key) {
                left_out.push((factor.words, "it is what is compared".to_owned()));
            } else if factor.names.len() < 2 {
                let only = factor.names.first().map_or(NOT_RECORDED, String::as_str);
                left_out.push((
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
        let mut covariates = Vec::new();
        for covariate in adjusting_covariates(rows, used, compared) {
            if covariate.key == column.key {
                left_out.push((covariate.words, "it is what is compared".to_owned()));
            } else if compared.columns.iter().any(|key| key == covariate.key) {
                left_out.push((
                    covariate.words,
                    "the compared numbers rest on it".to_owned(),
                ));
            } else if covariate.values.windows(2).all(|pair| pair[0] == pair[1]) {
                left_out.push((covariate.words, covariate.constant.to_owned()));
            } else {
                covariates.push(covariate);
            }
        }
        let mut part = FixedPart {
            factors,
            covariates,
            products: Vec::new(),
            left_out,
            response: used.iter().map(|&row| compared.values[row]).collect(),
        };
        part.add_products(spec);
        Ok(part)
    }

    /// Place of the compared column among the factors.
    pub fn compared(&self) -> usize {
        self.factors.len() - 1
    }

    /// Products with sex and dam-age class, where asked for, where both vary and no combination is empty.
    fn add_products(&mut self, spec: &CompareSpec) {
        let asked = [
            (spec.choices.by_sex, "sex", "sex"),
            (spec.choices.by_dam_age, "raising_class", "dam_age_class"),
        ];
        let compared = self.compared();
        for (_, factor_key, key) in asked.into_iter().filter(|(asked, _, _)| *asked) {
            let own = &self.factors[compared];
            let Some(with) = self.factors[..compared]
                .iter()
                .position(|factor| factor.key == factor_key)
            else {
                let words = format!("{} by {}", own.words, key.replace('_', " "));
                self.left_out.push((
                    words,
                    "it does not vary among the calves used, or is what is compared".to_owned(),
                ));
                continue;
            };
            let words = format!("{} by {}", own.words, self.factors[with].words);
            let empty = self.empty_cells(with);
            if empty.is_empty() {
                self.products.push(Product { key, with, words });
            } else {
                self.left_out
                    .push((words, format!("there is no calf used of {}", list(&empty))));
            }
        }
    }

    /// Combinations of the compared column's levels with those of another factor that no used calf has.
    fn empty_cells(&self, with: usize) -> Vec<String> {
        const MOST_TOLD: usize = 3;
        let (other, own) = (&self.factors[with], &self.factors[self.compared()]);
        let mut seen = vec![false; other.names.len() * own.names.len()];
        let mut present = vec![false; own.names.len()];
        for (&one, &level) in other.codes.iter().zip(&own.codes) {
            seen[one as usize * own.names.len() + level as usize] = true;
            present[level as usize] = true;
        }
        let mut empty: Vec<String> = Vec::new();
        for (at, _) in seen.iter().enumerate().filter(|(_, seen)| !**seen) {
            let (one, level) = (at / own.names.len(), at % own.names.len());
            if present[level] {
                empty.push(format!(
                    "{} {} in {}",
                    other.words, other.names[one], own.names[level]
                ));
            }
        }
        let more = empty.len().saturating_sub(MOST_TOLD);
        empty.truncate(MOST_TOLD);
        if more > 0 {
            empty.push(format!("{more} more"));
        }
        empty
    }

    /// The terms in the order of the model: factors held equal, covariates, the compared column, products.
    pub fn terms(&self) -> Vec<Term> {
        let compared = FactorIndex(self.compared());
        let mut terms: Vec<Term> = (0..self.compared())
            .map(|at| Term::Factor(FactorIndex(at)))
            .collect();
        terms.extend((0..self.covariates.len()).map(|at| Term::Covariate(CovariateIndex(at))));
        terms.push(Term::Factor(compared));
        terms.extend(
            self.products
                .iter()
                .map(|product| Term::Cross(vec![compared, FactorIndex(product.with)])),
        );
        terms
    }

    /// Calls `with` with the rows as the fit takes them.
    pub fn with_data<T>(&self, with: impl FnOnce(&Data<'_>) -> T) -> T {
        let factors: Vec<Factor<'_>> = self.factors.iter().map(NamedFactor::as_factor).collect();
        let covariates: Vec<&[f64]> = self
            .covariates
            .iter()
            .map(|covariate| covariate.values.as_slice())
            .collect();
        with(&Data {
            response: &self.response,
            factors: &factors,
            covariates: &covariates,
        })
    }

    /// The terms held equal, in words, in the order of the model.
    pub fn held_words(&self) -> Vec<String> {
        let mut words: Vec<String> = self.factors[..self.compared()]
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

    /// Every term of the model in words, in its order.
    pub fn term_words(&self) -> Vec<String> {
        let mut words = self.held_words();
        words.push(self.factors[self.compared()].words.clone());
        words.extend(self.products.iter().map(|product| product.words.clone()));
        words
    }
}

/// The factors held equal: season, sex, dam-age class, and what the person asked for.
fn adjusting_factors(asked: &Asked, used: &[usize]) -> Result<Vec<NamedFactor>, Error> {
    let Asked {
        book,
        results,
        rows,
        compared,
        spec,
        ..
    } = *asked;
    let classes = &book.settings.factors.classes;
    // The cow that bore the calf counts for its birth weight; the cow that raised it for everything later.
    let class_of = if compared.birth_dam {
        &results.adjusted.dam_age_class
    } else {
        &results.adjusted.raising_class
    };
    let coded = |key: &str, words: &str, of: &dyn Fn(usize) -> Option<String>| {
        named_factor(
            key,
            words,
            used.iter()
                .map(|&row| of(row).unwrap_or_else(|| NOT_RECORDED.to_owned())),
        )
    };
    let mut factors = vec![
        coded("season", "season", &|row| rows.season[row].clone()),
        coded("sex", "sex", &|row| {
            SEX.key(rows.calves.sex[row]).map(str::to_owned)
        }),
        coded("raising_class", "dam-age class", &|row| {
            classes
                .get(usize::from(class_of[row]))
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
                NO_LEVEL => NOT_RECORDED.to_owned(),
                level => column.names[level as usize].clone(),
            }),
        ));
    }
    Ok(factors)
}

/// The covariates held equal: birth date within its season, and being a twin or a foster as 0 or 1. The few
/// twins and fosters of a herd count in a mean as often as they occur, not as half of all calves.
///
/// Where age stands in the model in place of birth date, it is the age at weighing in days. A foster calf's
/// birth weight owes nothing to the cow that raised it later.
fn adjusting_covariates(rows: &Rows, used: &[usize], compared: &Compared) -> Vec<NamedCovariate> {
    let one_if = |of: &dyn Fn(usize) -> bool| {
        used.iter()
            .map(|&row| f64::from(u8::from(of(row))))
            .collect()
    };
    let mut covariates = vec![NamedCovariate {
        key: "born_as",
        words: "single or twin".to_owned(),
        constant: "all calves used were born alike",
        values: one_if(&|row| rows.calves.born_as[row] == TWIN),
    }];
    if !compared.birth_dam {
        covariates.push(NamedCovariate {
            key: "raised_by",
            words: "own dam or foster".to_owned(),
            constant: "all calves used were raised alike",
            values: one_if(&|row| rows.calves.raised_by[row] == FOSTER),
        });
    }
    covariates.push(if compared.age_in_model {
        NamedCovariate {
            key: "age_days",
            words: "age at weighing".to_owned(),
            constant: "all calves used were weighed at one age",
            values: used
                .iter()
                .map(|&row| f64::from(rows.adjusted.age_days[row]))
                .collect(),
        }
    } else {
        NamedCovariate {
            key: "birth_date",
            words: "birth date".to_owned(),
            constant: "all calves used of a season were born on one day",
            values: days_from_season_mean(rows, used),
        }
    });
    covariates
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

pub(super) fn named_factor(
    key: &str,
    words: &str,
    values: impl Iterator<Item = String>,
) -> NamedFactor {
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
