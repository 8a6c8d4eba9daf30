//! The model of a comparison.
//!
//! Enters: the used calves. Leaves: means, differences, tests and what the model is made of.
//! Always true: the means and differences come from one fit, mixed where something stayed random and fixed
//! otherwise; a difference's interval is the one that decides, adjusted where several are judged together.
//! Never: gives a number for what the records do not determine.
// long because: everything here is asked of one fit, which lends itself for no longer than the asking.

use std::collections::BTreeMap;

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    Alias, Estimate as Linear, FTest, FactorIndex, Fit, FitError, LinearFunction,
    Margins as Weighing, NotEstimable, fit,
};
use fairpen_stats::mixed::{Approximation, Inference, MixedFit};
use fairpen_stats::multiple::Adjusted;

use super::choices::Margins;
use super::levels::{Chosen, LevelColumn};
use super::mixed::{fit_random, method};
use super::model_facts::{ModelFacts, RandomEffect, Scope, Such, TermTest, Within};
use super::progress::{Stage, Watch};
use super::random::{Candidate, candidates};
use super::response::Compared;
use super::result::{CompareSpec, Estimate, ModelTerm};
use super::rows::Rows;
use super::scope::reach;
use super::several::{Judged, judge};
use super::terms::FixedPart;
use super::words::Words;
use crate::error::Error;
use crate::results::Results;
use crate::sheet::workbook::Workbook;

/// A contrast of two levels.
#[derive(Clone, Default)]
pub(super) struct Contrast {
    /// With the interval that decides.
    pub estimate: Option<Estimate>,
    /// By itself.
    pub alone: Option<Estimate>,
    /// What it is tangled with, in words, when it cannot be estimated.
    pub tangled: Vec<String>,
    /// Within the classes it was asked for.
    pub within: Vec<Within>,
    /// Judged by places or seasons.
    pub such: Option<Such>,
}

/// What answers: the fixed fit, or the mixed one.
enum Answers<'a> {
    Fixed(&'a Fit),
    Mixed(&'a Inference<'a>),
}

impl Answers<'_> {
    fn estimate(
        &self,
        function: &LinearFunction,
        level: ConfidenceLevel,
    ) -> Result<Linear, NotEstimable> {
        match self {
            Answers::Fixed(fit) => fit.estimate(function, level),
            Answers::Mixed(inference) => inference.estimate(function, level),
        }
    }

    fn tests(&self) -> Vec<Option<FTest>> {
        match self {
            Answers::Fixed(fit) => fit
                .partial_tests()
                .into_iter()
                .map(|test| test.test)
                .collect(),
            Answers::Mixed(inference) => inference
                .partial_tests()
                .into_iter()
                .map(|test| test.test)
                .collect(),
        }
    }
}

/// What is asked of the model beside the spec.
pub(super) struct Asked<'a> {
    pub book: &'a Workbook,
    pub results: &'a Results,
    pub rows: &'a Rows<'a>,
    pub column: &'a LevelColumn,
    pub chosen: &'a Chosen,
    pub compared: &'a Compared<'a>,
    pub spec: &'a CompareSpec,
    /// First and second level of each pair.
    pub pairs: &'a [(usize, usize)],
}

/// The fitted model.
pub(super) struct Fitted {
    part: FixedPart,
    fit: Option<Fit>,
    tests: Vec<Option<FTest>>,
    means: Vec<Option<Estimate>>,
    contrasts: Vec<Contrast>,
    residual: Option<(f64, f64)>,
    n_used: u32,
    /// What the model is.
    pub facts: ModelFacts,
    /// How far it reaches.
    pub scope: Scope,
}

impl Fitted {
    pub fn new(asked: &Asked, watch: &mut Watch) -> Result<Fitted, Error> {
        let Asked {
            book,
            rows,
            chosen,
            spec,
            ..
        } = *asked;
        let used: Vec<usize> = chosen.all_used(rows).collect();
        let level =
            ConfidenceLevel::new(book.settings.confidence).unwrap_or(ConfidenceLevel::NINETY_FIVE);
        let part = FixedPart::new(asked, &used)?;
        watch.begin(Stage::Held)?;
        // A fit is refused only for want of rows (no level has a usable calf) or for too many columns.
        let fitted = match part.with_data(|data| fit(data, &part.terms())) {
            Ok(fit) => Some(fit),
            Err(FitError::NoUsableRow) => None,
            Err(error) => {
                return Err(Error::new(
                    "compare.model.refused",
                    format!("The comparison is too large to compute: {error}."),
                    "Choose fewer levels, or hold fewer columns equal.",
                ));
            }
        };
        watch.begin(Stage::Spreads)?;
        let mut random = candidates(asked, &used);
        let mut mixed = None;
        if fitted.is_some() {
            mixed = fit_random(&part, &mut random, watch)?;
        } else {
            for candidate in random.iter_mut().filter(|candidate| candidate.tried()) {
                candidate.effect.because = "no calf could be used".to_owned();
            }
        }
        watch.begin(Stage::Differences)?;
        let random_levels: u32 = random
            .iter()
            .filter(|candidate| candidate.effect.used)
            .map(|candidate| candidate.effect.levels)
            .sum();
        let by = mixed
            .as_ref()
            .and_then(|fit| method(fit, spec.choices.degrees, random_levels));
        if by.is_none() {
            none_random(
                &mut random,
                "the records say too little of its spread to judge by",
            );
        }
        let answers = match (&by, &fitted) {
            (Some(by), _) => Some(Answers::Mixed(&by.inference)),
            (None, Some(fit)) => Some(Answers::Fixed(fit)),
            (None, None) => None,
        };
        let asking = Asking {
            fit: fitted.as_ref(),
            answers,
            part: &part,
            margins: match spec.choices.margins {
                Margins::Equal => Weighing::Equal,
                Margins::Observed => Weighing::Observed,
            },
            level,
        };
        let functions: Vec<Option<LinearFunction>> = (0..chosen.names.len())
            .map(|position| asking.mean(position))
            .collect();
        let means = functions
            .iter()
            .map(|function| asking.mean_estimate(function.as_ref()))
            .collect();
        let (mut contrasts, judged) = asking.contrasts(&functions, asked);
        let tests = asking
            .answers
            .as_ref()
            .map(Answers::tests)
            .unwrap_or_default();
        let degrees = match &by {
            None => "residual",
            Some(by) => match by.inference.approximation() {
                Approximation::KenwardRoger => "kenward_roger",
                Approximation::Satterthwaite => "satterthwaite",
            },
        };
        let degrees_because = by
            .as_ref()
            .map_or_else(String::new, |by| by.because.clone());
        watch.begin(Stage::Reach)?;
        let together = judged.method != "unadjusted";
        let (mut scope, such) = reach(asked, &used, &part, level, together);
        for (contrast, such) in contrasts.iter_mut().zip(such) {
            contrast.such = such;
        }
        let effects: Vec<RandomEffect> = random
            .into_iter()
            .map(|candidate| candidate.effect)
            .collect();
        scope.model_counts_places = scope.between_places
            && effects
                .iter()
                .any(|effect| effect.key == "place" && effect.used);
        Ok(Fitted {
            residual: residual(
                fitted.as_ref(),
                mixed.as_ref().filter(|_| degrees != "residual"),
            ),
            facts: ModelFacts {
                mixed: effects.iter().any(|effect| effect.used),
                degrees,
                degrees_because,
                margins: spec.choices.margins.key(),
                several: judged.method,
                several_because: judged.because,
                random_levels,
                random: effects,
            },
            scope,
            part,
            fit: fitted,
            tests,
            means,
            contrasts,
            n_used: u32::try_from(used.len()).unwrap_or(u32::MAX),
        })
    }

    /// First level less second of each pair asked for, in that order.
    pub fn contrasts(&self) -> &[Contrast] {
        &self.contrasts
    }

    /// A level's least-squares mean.
    pub fn ls_mean(&self, position: usize) -> Option<Estimate> {
        self.means[position]
    }

    pub fn n_used(&self) -> u32 {
        self.n_used
    }

    /// Residual standard deviation, lb, and rows less fixed columns.
    pub fn residual(&self) -> Option<(f64, f64)> {
        self.residual
    }

    pub fn r_squared(&self) -> f64 {
        self.fit
            .as_ref()
            .and_then(Fit::r_squared)
            .unwrap_or(f64::NAN)
    }

    /// Terms in the model, the compared column after those held equal, then those left out and why.
    pub fn terms(&self) -> Vec<ModelTerm> {
        let mut terms: Vec<ModelTerm> = self
            .part
            .term_words()
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
                test: self.tests.get(at).copied().flatten().map(|test| TermTest {
                    df: test.numerator_df,
                    denominator_df: test.denominator_df,
                    f: test.f,
                    p: test.p,
                }),
            })
            .collect();
        terms.extend(self.part.left_out.iter().map(|(words, because)| ModelTerm {
            words: words.clone(),
            used: false,
            because: because.clone(),
            test: None,
        }));
        terms
    }

    /// The terms held equal, in words, in the order of the model.
    pub fn held_words(&self) -> Vec<String> {
        self.part.held_words()
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
                let what = column_words(fit, &self.part, alias.column);
                let with: Vec<String> = alias
                    .equals
                    .iter()
                    .map(|(column, _)| column_words(fit, &self.part, *column))
                    .collect();
                words.tangle(&what, &with)
            })
            .collect();
        sentences.dedup();
        sentences
    }
}

fn none_random(random: &mut [Candidate], because: &str) {
    for candidate in random.iter_mut().filter(|candidate| candidate.effect.used) {
        candidate.effect.used = false;
        candidate.effect.sd = None;
        candidate.effect.at_zero = false;
        because.clone_into(&mut candidate.effect.because);
    }
}

#[allow(clippy::cast_precision_loss)] // far below 2^53
fn residual(fixed: Option<&Fit>, mixed: Option<&MixedFit>) -> Option<(f64, f64)> {
    let fixed = fixed?;
    let sd = match mixed {
        Some(mixed) => mixed.residual_variance().sqrt(),
        None => fixed.residual_standard_deviation()?,
    };
    Some((sd, fixed.residual_df() as f64))
}

/// The fit being asked.
struct Asking<'a> {
    fit: Option<&'a Fit>,
    answers: Option<Answers<'a>>,
    part: &'a FixedPart,
    margins: Weighing,
    level: ConfidenceLevel,
}

impl Asking<'_> {
    /// The function of a level's mean; `None` where no used calf has the level.
    fn mean(&self, position: usize) -> Option<LinearFunction> {
        self.mean_within(position, None)
    }

    fn mean_within(&self, position: usize, class: Option<(usize, u32)>) -> Option<LinearFunction> {
        let fit = self.fit?;
        let compared = FactorIndex(self.part.compared());
        let code = u32::try_from(position).ok()?;
        if !fit.present_levels(compared).contains(&code) {
            return None;
        }
        let mut cell = vec![(compared, code)];
        cell.extend(class.map(|(factor, class)| (FactorIndex(factor), class)));
        fit.mean_function(&cell, self.margins).ok()
    }

    fn estimate(&self, function: &LinearFunction) -> Option<Result<Linear, NotEstimable>> {
        Some(self.answers.as_ref()?.estimate(function, self.level))
    }

    fn mean_estimate(&self, function: Option<&LinearFunction>) -> Option<Estimate> {
        let estimate = self.estimate(function?)?.ok()?;
        with_interval(&estimate, None).map(|estimate| Estimate {
            p: f64::NAN,
            ..estimate
        })
    }

    fn contrasts(
        &self,
        functions: &[Option<LinearFunction>],
        asked: &Asked,
    ) -> (Vec<Contrast>, Judged) {
        let difference = |first: usize, second: usize| {
            let function = functions[first]
                .as_ref()?
                .minus(functions[second].as_ref()?);
            self.estimate(&function)
        };
        let found: Vec<Option<Result<Linear, NotEstimable>>> = asked
            .pairs
            .iter()
            .map(|&(first, second)| difference(first, second))
            .collect();
        let estimates: Vec<Option<Linear>> = found
            .iter()
            .map(|found| found.as_ref()?.as_ref().ok().copied())
            .collect();
        let judged = judge(
            &asked.spec.choices.several,
            functions.iter().flatten().count(),
            asked.pairs,
            &estimates,
            &|first, second| Some(difference(first, second)?.ok()?.uncertainty?.standard_error),
            self.level,
        );
        let contrasts = found
            .into_iter()
            .zip(&judged.adjusted)
            .zip(asked.pairs)
            .map(|((found, adjusted), &pair)| {
                let within = self.within(pair);
                match found {
                    Some(Ok(estimate)) => Contrast {
                        estimate: with_interval(&estimate, adjusted.as_ref()),
                        alone: with_interval(&estimate, None),
                        within,
                        ..Contrast::default()
                    },
                    Some(Err(NotEstimable::Confounded(aliases))) => Contrast {
                        tangled: self.tangled(&aliases),
                        within,
                        ..Contrast::default()
                    },
                    Some(Err(NotEstimable::EmptyCells(_))) | None => Contrast::default(),
                }
            })
            .collect();
        (contrasts, judged)
    }

    /// The simple differences within each class of what was asked for.
    fn within(&self, (first, second): (usize, usize)) -> Vec<Within> {
        self.part
            .products
            .iter()
            .flat_map(|product| {
                let classes = &self.part.factors[product.with];
                classes.names.iter().zip(0_u32..).map(move |(name, code)| {
                    let class = Some((product.with, code));
                    let difference = self
                        .mean_within(first, class)
                        .zip(self.mean_within(second, class))
                        .and_then(|(one, other)| self.estimate(&one.minus(&other))?.ok())
                        .and_then(|estimate| with_interval(&estimate, None));
                    Within {
                        key: product.key,
                        words: classes.words.clone(),
                        class: name.clone(),
                        difference,
                    }
                })
            })
            .collect()
    }

    fn tangled(&self, aliases: &[Alias]) -> Vec<String> {
        let mut tangled: Vec<String> = Vec::new();
        for words in aliases.iter().flat_map(|alias| self.alias_terms(alias)) {
            if !tangled.contains(&words) {
                tangled.push(words);
            }
        }
        tangled
    }

    /// The terms, other than the compared column, that an alias names: `season 2025 spring`.
    fn alias_terms(&self, alias: &Alias) -> Vec<String> {
        let compared = self.part.compared();
        let fit = self.fit.expect("an alias comes from a fit");
        let mut names: BTreeMap<(usize, usize), String> = BTreeMap::new();
        for column in
            std::iter::once(alias.column).chain(alias.equals.iter().map(|(column, _)| *column))
        {
            let about = &fit.columns()[column];
            match (about.levels.first(), about.covariate) {
                (Some((factor, _)), _) if factor.0 == compared => {}
                (Some((factor, level)), _) => {
                    names.insert(
                        (factor.0, *level as usize),
                        column_words(fit, self.part, column),
                    );
                }
                (None, Some(covariate)) => {
                    names.insert(
                        (usize::MAX, covariate.0),
                        column_words(fit, self.part, column),
                    );
                }
                (None, None) => {}
            }
        }
        names.into_values().collect()
    }
}

fn column_words(fit: &Fit, part: &FixedPart, column: usize) -> String {
    let about = &fit.columns()[column];
    if !about.levels.is_empty() {
        let levels: Vec<String> = about
            .levels
            .iter()
            .map(|(factor, level)| {
                let factor = &part.factors[factor.0];
                format!("{} ({})", factor.words, factor.names[*level as usize])
            })
            .collect();
        return levels.join(" with ");
    }
    match about.covariate {
        Some(covariate) => part.covariates[covariate.0].words.clone(),
        None => "the mean of all calves".to_owned(),
    }
}

/// An estimate that can be judged, with its own interval or an adjusted one.
fn with_interval(estimate: &Linear, adjusted: Option<&Adjusted>) -> Option<Estimate> {
    let spread = estimate.uncertainty?;
    let (lower, upper, p) = match adjusted {
        Some(adjusted) => (adjusted.lower, adjusted.upper, adjusted.p),
        None => (spread.lower, spread.upper, spread.p),
    };
    Some(Estimate {
        value: estimate.value,
        se: spread.standard_error,
        df: spread.df,
        lower,
        upper,
        p,
    })
}
