//! Group against group, from raw to fair.
//!
//! Enters: a book, its results, and which column to compare. Leaves: [`Comparison`].
//! Always true: the verdict is a value; `Verdict::Differs` stands exactly when the contrast can be
//! estimated and its interval excludes zero; every sentence is rendered from the verdict alone; row order
//! changes nothing.
//! Never: claims more than the model; every calf is used or counted as left out with its reason.

pub mod matched;
pub mod power;
pub mod result;

mod alike;
mod balance;
mod caution;
mod dams;
mod levels;
mod model;
mod reached;
mod rows;
mod steps;
mod verdict;
mod weigh_conditions;
mod words;

pub use alike::BIRTH_PERIOD_DAYS;
pub(crate) use balance::largest_difference;
pub use levels::comparable_columns;

use crate::error::Error;
use crate::results::Results;
use crate::sheet::workbook::Workbook;
use result::{CompareSpec, Comparison, Level, Pair, Verdict};

/// More levels than this are a list, not a comparison (every pair is computed).
pub const MOST_LEVELS: usize = 60;

/// Compares the levels of one column of the calves.
///
/// Response: weaning weight adjusted for age alone (the straight 205-day adjustment, lb). Model: ordinary
/// least squares with season, sex, age class of the cow that raised the calf, born single or twin, raised
/// by, birth date (days into the season) and the columns of `spec.hold`, each where it varies, and the
/// compared column last (Harvey 1960, Least-squares Analysis of Data with Unequal Subclass Numbers, USDA
/// ARS-20-8). Least-squares means have equal margins; covariates stand at their means.
///
/// # Errors
///
/// `compare.column.unknown`, `compare.level.unknown`, `compare.levels.too_few`,
/// `compare.levels.too_many`, `compare.hold.unknown`.
pub fn compare(
    book: &Workbook,
    results: &Results,
    spec: &CompareSpec,
) -> Result<Comparison, Error> {
    let rows = rows::Rows::new(book, results);
    let column = levels::LevelColumn::find(book, results, &rows, &spec.column)?;
    let chosen = levels::Chosen::new(&column, &rows, spec)?;
    let fitted = model::Fitted::new(book, results, &rows, &column, &chosen, spec)?;
    let words = words::Words::new(book, &column);

    let mut levels = Vec::with_capacity(chosen.names.len());
    for (position, name) in chosen.names.iter().enumerate() {
        levels.push(level(position, name, &rows, &chosen, &fitted, results));
    }
    let mut pairs = Vec::new();
    for first in 0..levels.len() {
        for second in first + 1..levels.len() {
            let contrast = fitted.contrast(first, second);
            let verdict = verdict::verdict(&contrast, &levels, (first, second));
            pairs.push(Pair {
                first,
                second,
                difference: contrast.estimate,
                steps: steps::steps(
                    &rows,
                    &chosen,
                    &fitted,
                    (first, second),
                    &contrast,
                    book.settings.confidence,
                ),
                sentence: words.sentence(&verdict, &levels, (first, second), &fitted),
                verdict,
            });
        }
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
        response: &results.adjusted.age_adj_205,
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

fn level(
    position: usize,
    name: &str,
    rows: &rows::Rows,
    chosen: &levels::Chosen,
    fitted: &model::Fitted,
    results: &Results,
) -> Level {
    let members: Vec<usize> = chosen.used_rows(position).collect();
    let pick = |values: &[f64]| members.iter().map(|&row| values[row]).collect::<Vec<f64>>();
    let adjusted = &results.adjusted;
    let (raw_mean, raw_sd) = rows::mean_and_sd(&pick(&adjusted.wean_weight));
    let (age_adjusted_mean, _) = rows::mean_and_sd(&pick(&adjusted.age_adj_205));
    let (adjusted_mean, adjusted_sd) = rows::mean_and_sd(&pick(&adjusted.adj_205));
    let ages: Vec<f64> = members
        .iter()
        .map(|&row| f64::from(adjusted.age_days[row]))
        .collect();
    Level {
        name: name.to_owned(),
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
mod tests;
