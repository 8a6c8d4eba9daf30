//! Group against group, from raw to fair.
//!
//! Enters: a book, its results, which column to compare and how. Leaves: [`Comparison`].
//! Always true: the verdict is a value; `Verdict::Differs` stands exactly when the contrast can be
//! estimated and its interval excludes zero; every sentence is rendered from the verdict alone; row order
//! changes nothing.
//! Never: claims more than the model; every calf is used or counted as left out with its reason.

pub mod choices;
pub mod matched;
pub mod model_facts;
pub mod power;
pub mod progress;
pub mod response;
pub mod result;

mod alike;
mod balance;
mod caution;
mod dams;
mod levels;
mod mixed;
mod model;
mod numbers;
mod random;
mod reached;
mod rows;
mod scope;
mod several;
mod steps;
mod terms;
mod verdict;
mod weigh_conditions;
mod words;

pub use alike::BIRTH_PERIOD_DAYS;
pub(crate) use balance::largest_difference;
pub use levels::comparable_columns;

use std::ops::ControlFlow;

use crate::error::Error;
use crate::results::Results;
use crate::sheet::workbook::Workbook;
use choices::Several;
use model::Asked;
use progress::{CompareProgress, Stage, Watch};
use response::Compared;
use result::{CompareSpec, Comparison, Level, Pair, Verdict};

/// More levels than this are a list, not a comparison (every pair is computed).
pub const MOST_LEVELS: usize = 60;

/// Compares the levels of one column of the calves: [`compare_watched`] without anyone watching.
///
/// # Errors
///
/// As [`compare_watched`].
pub fn compare(
    book: &Workbook,
    results: &Results,
    spec: &CompareSpec,
) -> Result<Comparison, Error> {
    compare_watched(book, results, spec, &mut |_| ControlFlow::Continue(()))
}

/// Compares the levels of one column of the calves, telling `told` of its progress; it may stop the work.
///
/// Response: usually weaning weight adjusted for age alone (the straight 205-day adjustment, lb); see
/// [`choices::Response`]. Fixed terms: season, sex, age class of the cow, born single or twin, raised by, birth
/// date (days into the season) and the columns of `spec.hold`, each where it varies, and the compared column
/// (Harvey 1960, Least-squares Analysis of Data with Unequal Subclass Numbers, USDA ARS-20-8). Random effects:
/// cow, sire, place and contemporary group, whichever the records support, by restricted maximum likelihood; see
/// [`fairpen_stats::mixed`]. Covariates stand at their means.
///
/// # Errors
///
/// `compare.column.unknown`, `compare.level.unknown`, `compare.levels.too_few`, `compare.levels.too_many`,
/// `compare.hold.unknown`, `compare.response.unknown`, `compare.response.same`, `compare.model.refused`,
/// `compare.stopped`.
pub fn compare_watched(
    book: &Workbook,
    results: &Results,
    spec: &CompareSpec,
    told: &mut dyn FnMut(CompareProgress) -> ControlFlow<()>,
) -> Result<Comparison, Error> {
    let mut watch = Watch::new(told);
    watch.begin(Stage::Calves)?;
    let rows = rows::Rows::new(book, results);
    let column = levels::LevelColumn::find(book, results, &rows, &spec.column)?;
    let compared = Compared::new(book, results, &rows, &spec.choices.response)?;
    if compared.measure.key == column.key {
        return Err(Error::new(
            "compare.response.same",
            format!("{} cannot be compared by itself.", column.label),
            "Choose another column to compare by, or another weight to compare.",
        ));
    }
    let chosen = levels::Chosen::new(&column, &rows, &compared, spec)?;
    let positions = pairs_of(&chosen.names, &spec.choices.several)?;
    let fitted = model::Fitted::new(
        &Asked {
            book,
            results,
            rows: &rows,
            column: &column,
            chosen: &chosen,
            compared: &compared,
            spec,
            pairs: &positions,
        },
        &mut watch,
    )?;
    let words = words::Words::new(book, &column, &compared);

    let levels: Vec<Level> = (0..chosen.names.len())
        .map(|position| level(position, &rows, &chosen, &fitted, &compared))
        .collect();
    let mut pairs = Vec::with_capacity(positions.len());
    for (&(first, second), contrast) in positions.iter().zip(fitted.contrasts()) {
        let verdict = verdict::verdict(contrast, &levels, (first, second));
        pairs.push(Pair {
            first,
            second,
            difference: contrast.estimate,
            alone: contrast.alone,
            within: contrast.within.clone(),
            such: contrast.such.clone(),
            steps: steps::steps(
                &compared,
                &chosen,
                &fitted,
                (first, second),
                contrast,
                book.settings.confidence,
            ),
            sentence: words.sentence(
                &verdict,
                contrast.such.as_ref(),
                &levels,
                (first, second),
                &fitted,
            ),
            verdict,
        });
    }
    let dams = dams::Dams::of(book, &rows);
    let balance = balance::balance(book, results, &rows, &chosen, &dams);
    let reached = reached::reached(book, &rows, &chosen, &dams);
    let mut cautions =
        caution::cautions(&words, &rows, &chosen, &fitted, &levels, &pairs, &balance);
    let matching = matched::Matching {
        chosen: &chosen,
        levels: &levels,
        dams: &dams,
        response: &compared.values,
        words: &words,
        confidence: book.settings.confidence,
    };
    let kinds = alike::kinds(book, results, &rows, &chosen, &column.key, spec);
    let mut matched = matching.all(&kinds, &pairs);
    if let Some(finer) = alike::with_sire(&kinds, &rows, &chosen, &column.key) {
        matched.extend(matching.all(&finer, &pairs));
    }
    if let Some(caution) = matching.caution(&matched, &pairs) {
        cautions.insert(0, caution);
    }
    let could_see = power::could_see(
        &pairs,
        &levels,
        &words,
        book.settings.weight_unit,
        book.settings.confidence,
    );
    let sentence = headline(&words, &pairs);
    Ok(Comparison {
        spec: spec.clone(),
        column_label: column.label.clone(),
        levels,
        without_level: chosen.without_level.clone(),
        pairs,
        balance,
        measure: compared.measure.clone(),
        model: fitted.facts.clone(),
        scope: fitted.scope.clone(),
        terms: fitted.terms(),
        aliased: fitted.aliased(&words),
        reached,
        n_used: fitted.n_used(),
        residual: fitted.residual(),
        r_squared: fitted.r_squared(),
        sentence,
        matched,
        could_see,
        cautions,
        method: words.method(&fitted, book),
    })
}

/// Every pair of levels, the earlier first; or each level against the one asked for, that one second.
fn pairs_of(names: &[String], several: &Several) -> Result<Vec<(usize, usize)>, Error> {
    let Some(against) = several.against() else {
        return Ok((0..names.len())
            .flat_map(|first| (first + 1..names.len()).map(move |second| (first, second)))
            .collect());
    };
    let second = names
        .iter()
        .position(|name| name == against)
        .ok_or_else(|| {
            Error::new(
                "compare.level.unknown",
                format!("\"{against}\" is not one of the levels compared."),
                format!("They are: {}.", names.join(", ")),
            )
        })?;
    Ok((0..names.len())
        .filter(|&first| first != second)
        .map(|first| (first, second))
        .collect())
}

fn level(
    position: usize,
    rows: &rows::Rows,
    chosen: &levels::Chosen,
    fitted: &model::Fitted,
    compared: &Compared,
) -> Level {
    let members: Vec<usize> = chosen.used_rows(position).collect();
    let pick = |values: &[f64]| members.iter().map(|&row| values[row]).collect::<Vec<f64>>();
    let mean_and_sd = |values: Option<&[f64]>| {
        values.map_or((f64::NAN, f64::NAN), |values| {
            rows::mean_and_sd(&pick(values))
        })
    };
    let (raw_mean, raw_sd) = mean_and_sd(Some(&compared.raw));
    let (age_adjusted_mean, _) = mean_and_sd(compared.by_age.as_deref());
    let (adjusted_mean, adjusted_sd) = mean_and_sd(compared.published.as_deref());
    let ages: Vec<f64> = members
        .iter()
        .map(|&row| match rows.adjusted.age_days[row] {
            i32::MIN => f64::NAN,
            days => f64::from(days),
        })
        .collect();
    Level {
        name: chosen.names[position].clone(),
        n: u32::try_from(members.len()).unwrap_or(u32::MAX),
        rows: members
            .iter()
            .filter_map(|&row| u32::try_from(row).ok())
            .collect(),
        left_out: chosen.left_out[position].clone(),
        raw_mean,
        raw_sd,
        age_adjusted_mean,
        adjusted_mean,
        adjusted_sd,
        mean_age_days: rows::mean_and_sd(&ages).0,
        ls_mean: fitted.ls_mean(position),
        places: rows.places_of(&members),
        marks: pick(compared.published.as_deref().unwrap_or(&compared.values)),
    }
}

/// The pair that the first sentence is about: the only one, or the clearest of several.
fn headline(words: &words::Words, pairs: &[Pair]) -> String {
    if let [pair] = pairs {
        return pair.sentence.clone();
    }
    // Clearness: how far from zero the difference lies in standard errors. Ties keep the order of levels.
    let clearness = |pair: &Pair| pair.difference.map_or(-1.0, |d| (d.value / d.se).abs());
    let clearest = pairs.iter().fold(None::<&Pair>, |best, pair| match best {
        Some(best) if clearness(best) >= clearness(pair) => Some(best),
        _ => Some(pair),
    });
    let n_differ = pairs
        .iter()
        .filter(|pair| matches!(pair.verdict, Verdict::Differs { .. }))
        .count();
    clearest.map_or_else(String::new, |pair| {
        words.headline_of_many(pair, pairs.len(), n_differ)
    })
}

#[cfg(test)]
mod mixed_tests;
#[cfg(test)]
mod tests;
