//! How far a difference reaches: these places, or such places.
//!
//! Enters: the fixed part, the used calves and the pairs. Leaves: for each pair, where the records allow it, a
//! difference judged by places or by seasons.
//! Always true: each place, or each season, counts once however many calves stood in it; its mean is the
//! least-squares mean of a model with the same terms held equal, in which it has an effect of its own.
//! Never: speaks of such places with fewer than two places of each level, or fewer than three differences.
//!
//! Places of one level each: the two-sample t test of their means (one variance, Student 1908, Biometrika 6:1-25).
//! Places, or seasons, with both levels: the one-sample t test of the differences. What places of a kind have in
//! common beside the kind cannot be told from it by any of these; nor can one season's weather, when there is one
//! season.

use std::collections::BTreeMap;

use fairpen_stats::describe::summarise;
use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{
    Data, Estimate as Linear, Factor, FactorIndex, MISSING_LEVEL, Margins, Term, Uncertainty, fit,
};
use fairpen_stats::multiple::holm;
use fairpen_stats::test::{TTest, one_sample, pooled};

use super::levels::{Chosen, LevelColumn};
use super::model::Asked;
use super::model_facts::{RepeatBy, Scope, Such};
use super::random::between;
use super::result::Estimate;
use super::rows::Rows;
use super::terms::FixedPart;

/// Fewest places of each level.
const FEWEST_PLACES: usize = 2;

/// Fewest differences within places, or within seasons.
const FEWEST_DIFFERENCES: usize = 3;

/// Columns of the calendar: a season is no repeat of itself.
const CALENDAR: [&str; 2] = ["season", "birth_year"];

/// One pair's way of being judged, before the numbers.
struct Way {
    by: RepeatBy,
    pair: (usize, usize),
}

/// The used rows sorted by place and season.
struct Sorted<'a> {
    column: &'a LevelColumn,
    chosen: &'a Chosen,
    used: &'a [usize],
    /// Number of the place of each used row, if it has one.
    place: Vec<Option<usize>>,
    season: Vec<Option<usize>>,
    n_places: usize,
    n_seasons: usize,
    between_places: bool,
}

impl<'a> Sorted<'a> {
    fn new(
        rows: &'a Rows,
        column: &'a LevelColumn,
        chosen: &'a Chosen,
        used: &'a [usize],
    ) -> Sorted<'a> {
        let place_of = |row: usize| rows.calves.place.get(row);
        let (place, n_places) = numbered(used.iter().map(|&row| place_of(row)));
        let (season, n_seasons) = numbered(used.iter().map(|&row| rows.season[row].as_deref()));
        Sorted {
            between_places: n_places > 0 && between(used, chosen, place_of),
            column,
            chosen,
            used,
            place,
            season,
            n_places,
            n_seasons,
        }
    }

    fn level(&self, at: usize) -> Option<usize> {
        self.chosen.position(self.used[at])
    }

    /// Distinct places, or seasons, of each level.
    fn held_by(&self, class: &[Option<usize>], n: usize) -> Vec<Vec<bool>> {
        let mut held = vec![vec![false; n]; self.chosen.names.len()];
        for (at, class) in class.iter().enumerate() {
            if let (Some(class), Some(level)) = (class, self.level(at)) {
                held[level][*class] = true;
            }
        }
        held
    }
}

fn numbered<'n>(names: impl Iterator<Item = Option<&'n str>>) -> (Vec<Option<usize>>, usize) {
    let names: Vec<Option<&str>> = names.collect();
    let mut numbers: BTreeMap<&str, usize> =
        names.iter().flatten().map(|name| (*name, 0)).collect();
    for (number, place) in numbers.values_mut().enumerate() {
        *place = number;
    }
    let of = names
        .into_iter()
        .map(|name| name.and_then(|name| numbers.get(name).copied()))
        .collect();
    (of, numbers.len())
}

/// What may be said beyond these places, for each pair.
pub(super) fn reach(
    asked: &Asked,
    used: &[usize],
    part: &FixedPart,
    level: ConfidenceLevel,
    together: bool,
) -> (Scope, Vec<Option<Such>>) {
    let Asked {
        rows,
        column,
        chosen,
        pairs,
        ..
    } = *asked;
    let sorted = Sorted::new(rows, column, chosen, used);
    let places = sorted.held_by(&sorted.place, sorted.n_places);
    let seasons = sorted.held_by(&sorted.season, sorted.n_seasons);
    let count = |held: &[bool]| held.iter().filter(|held| **held).count();
    let both = |held: &[Vec<bool>], (first, second): (usize, usize)| {
        held[first]
            .iter()
            .zip(&held[second])
            .filter(|(one, other)| **one && **other)
            .count()
    };
    let calendar = CALENDAR.contains(&column.key.as_str());
    let ways: Vec<Option<Way>> = pairs
        .iter()
        .map(|&pair| {
            let enough_places =
                count(&places[pair.0]) >= FEWEST_PLACES && count(&places[pair.1]) >= FEWEST_PLACES;
            let by = if sorted.between_places && enough_places {
                RepeatBy::Places
            } else if !sorted.between_places && both(&places, pair) >= FEWEST_DIFFERENCES {
                RepeatBy::WithinPlaces
            } else if !calendar && both(&seasons, pair) >= FEWEST_DIFFERENCES {
                RepeatBy::Seasons
            } else {
                return None;
            };
            Some(Way { by, pair })
        })
        .collect();
    let mut means: BTreeMap<&'static str, Vec<Option<f64>>> = BTreeMap::new();
    for way in ways.iter().flatten() {
        means
            .entry(way.by.key())
            .or_insert_with(|| unit_means(&sorted, part, way.by));
    }
    let tests: Vec<Option<(RepeatBy, u32, u32, TTest)>> = ways
        .iter()
        .map(|way| {
            let way = way.as_ref()?;
            let (n_first, n_second, test) =
                judged(&sorted, &places, way, &means[way.by.key()], level)?;
            Some((way.by, n_first, n_second, test))
        })
        .collect();
    let such = with_all_together(&tests, level, together);
    let scope = Scope {
        between_places: sorted.between_places,
        places: places
            .iter()
            .map(|held| u32::try_from(count(held)).unwrap_or(u32::MAX))
            .collect(),
        seasons: u32::try_from(sorted.n_seasons).unwrap_or(u32::MAX),
        model_counts_places: false,
        because: if such.iter().any(Option::is_some) {
            String::new()
        } else {
            why_none(&sorted, calendar)
        },
    };
    (scope, such)
}

fn why_none(sorted: &Sorted, calendar: bool) -> String {
    if calendar {
        return "a season is there once".to_owned();
    }
    let places = if sorted.n_places == 0 {
        "places are not recorded".to_owned()
    } else if sorted.column.key == "place" {
        "each place is there once".to_owned()
    } else if sorted.between_places {
        format!("there are not {FEWEST_PLACES} places on each side")
    } else {
        format!("fewer than {FEWEST_DIFFERENCES} places hold both")
    };
    format!("{places}, and fewer than {FEWEST_DIFFERENCES} seasons hold both")
}

/// Least-squares means of the units: by place, or by place and level, or by season and level; `None` where the
/// records do not determine one, or no calf is there. Numbered class x levels + level but for places.
fn unit_means(sorted: &Sorted, part: &FixedPart, by: RepeatBy) -> Vec<Option<f64>> {
    let n_levels = sorted.chosen.names.len();
    let (class, n_classes) = match by {
        RepeatBy::Places | RepeatBy::WithinPlaces => (&sorted.place, sorted.n_places),
        RepeatBy::Seasons => (&sorted.season, sorted.n_seasons),
    };
    let n_units = match by {
        RepeatBy::Places => n_classes,
        _ => n_classes * n_levels,
    };
    let codes: Vec<u32> = class
        .iter()
        .enumerate()
        .map(|(at, class)| match (class, sorted.level(at), by) {
            (Some(class), Some(_), RepeatBy::Places) => u32::try_from(*class),
            (Some(class), Some(level), _) => u32::try_from(class * n_levels + level),
            _ => Ok(MISSING_LEVEL),
        })
        .map(|code| code.unwrap_or(MISSING_LEVEL))
        .collect();
    // Within a season nothing is left of the season; the unit stands for it, as it does for a place held equal.
    let own = |key: &str| match by {
        RepeatBy::Seasons => CALENDAR.contains(&key),
        _ => key == "place",
    };
    let held: Vec<&super::terms::NamedFactor> = part.factors[..part.compared()]
        .iter()
        .filter(|factor| !own(&factor.key))
        .collect();
    let mut factors: Vec<Factor<'_>> = held.iter().map(|factor| factor.as_factor()).collect();
    factors.push(Factor {
        codes: &codes,
        levels: u32::try_from(n_units).unwrap_or(u32::MAX),
    });
    let covariates: Vec<&[f64]> = part
        .covariates
        .iter()
        .map(|covariate| covariate.values.as_slice())
        .collect();
    let unit = FactorIndex(factors.len() - 1);
    // The unit first: what is tangled with it is not told of it.
    let mut terms = vec![Term::Factor(unit)];
    terms.extend((0..held.len()).map(|at| Term::Factor(FactorIndex(at))));
    terms.extend(
        (0..covariates.len()).map(|at| Term::Covariate(fairpen_stats::linear::CovariateIndex(at))),
    );
    let data = Data {
        response: &part.response,
        factors: &factors,
        covariates: &covariates,
    };
    let mut means = vec![None; n_units];
    let Ok(fitted) = fit(&data, &terms) else {
        return means;
    };
    for code in fitted.present_levels(unit) {
        let mean = fitted
            .mean_function(&[(unit, code)], Margins::Equal)
            .ok()
            .and_then(|function| {
                fitted
                    .estimate(&function, ConfidenceLevel::NINETY_FIVE)
                    .ok()
            });
        means[code as usize] = mean.map(|estimate| estimate.value);
    }
    means
}

/// The t test of a pair's units; `None` when too few are determined, or they do not vary.
fn judged(
    sorted: &Sorted,
    places: &[Vec<bool>],
    way: &Way,
    means: &[Option<f64>],
    level: ConfidenceLevel,
) -> Option<(u32, u32, TTest)> {
    let (first, second) = way.pair;
    let n_levels = sorted.chosen.names.len();
    let count = |values: &[f64]| u32::try_from(values.len()).unwrap_or(u32::MAX);
    if way.by == RepeatBy::Places {
        let of = |level: usize| -> Vec<f64> {
            (0..sorted.n_places)
                .filter(|&place| places[level][place])
                .filter_map(|place| means[place])
                .collect()
        };
        let (one, other) = (of(first), of(second));
        if one.len() < FEWEST_PLACES || other.len() < FEWEST_PLACES {
            return None;
        }
        let test = pooled(&summarise(&one).ok()?, &summarise(&other).ok()?, level).ok()?;
        return Some((count(&one), count(&other), test));
    }
    let differences: Vec<f64> = (0..means.len() / n_levels)
        .filter_map(|class| {
            let one = means[class * n_levels + first]?;
            let other = means[class * n_levels + second]?;
            Some(one - other)
        })
        .collect();
    if differences.len() < FEWEST_DIFFERENCES {
        return None;
    }
    let test = one_sample(&summarise(&differences).ok()?, 0.0, level).ok()?;
    Some((count(&differences), count(&differences), test))
}

/// The findings; where several pairs are judged together, their intervals hold together too (Holm 1979).
fn with_all_together(
    tests: &[Option<(RepeatBy, u32, u32, TTest)>],
    level: ConfidenceLevel,
    together: bool,
) -> Vec<Option<Such>> {
    let estimates: Vec<Linear> = tests
        .iter()
        .flatten()
        .map(|(_, _, _, test)| Linear {
            value: test.difference,
            uncertainty: Some(Uncertainty {
                standard_error: test.standard_error,
                df: test.df,
                t: test.t,
                p: test.p,
                lower: test.lower,
                upper: test.upper,
            }),
        })
        .collect();
    let mut adjusted = if together && estimates.len() > 1 {
        holm(&estimates, level)
    } else {
        vec![None; estimates.len()]
    }
    .into_iter();
    tests
        .iter()
        .map(|found| {
            let (by, n_first, n_second, test) = (*found)?;
            let (p, lower, upper) = match adjusted.next().flatten() {
                Some(adjusted) => (adjusted.p, adjusted.lower, adjusted.upper),
                None => (test.p, test.lower, test.upper),
            };
            let difference = Estimate {
                value: test.difference,
                se: test.standard_error,
                df: test.df,
                lower,
                upper,
                p,
            };
            Some(Such {
                by,
                n_first,
                n_second,
                differs: super::verdict::leaves_out_zero(lower, upper),
                difference,
            })
        })
        .collect()
}
