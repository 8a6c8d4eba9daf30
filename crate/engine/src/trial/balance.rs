//! How alike the places are, as the cows stand now and as they are allotted.
//!
//! Enters: the cows of each place, before and after. Leaves: for each trait a value per place and the largest
//! standardised difference between two places (Austin 2009, Statistics in Medicine 28:3083-3107).
//! Always true: a trait that is the same in all has no line; what is not known counts as such.
//! Never: changes who goes where.

use std::collections::BTreeSet;

use fairpen_stats::describe::{
    standardised_difference, standardised_difference_of_proportions, summarise,
};

use super::cows::TrialCow;
use crate::compare::largest_difference;
use crate::sheet::natural::natural_order;
use crate::trade::plausible::DAYS_PER_YEAR;

/// At most so many bulls have a line; the most used of them.
const MOST_BULLS: usize = 8;

/// One line: a trait and how the places differ in it.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialBalance {
    /// Stable key: `age_class:2`, `age`, `service:...`, `due`, `ratio`.
    pub key: String,
    /// In words.
    pub words: String,
    /// `share` (0 to 1), `years`, `day` (days since 1970-01-01, mean) or `number`.
    pub kind: &'static str,
    /// As allotted, one per place; NaN where there is none.
    pub values: Vec<f64>,
    /// Largest difference between two places as the cows stand now, in standard deviations; NaN where fewer than
    /// two of the places have cows now.
    pub before: f64,
    /// The same as allotted.
    pub after: f64,
}

/// Every trait. `now` and `then` hold for each place the positions of its cows.
pub(super) fn balance(
    cows: &[TrialCow],
    now: &[Vec<usize>],
    then: &[Vec<usize>],
) -> Vec<TrialBalance> {
    let mut lines = Vec::new();
    let mut shares = |key: &str,
                      most: usize,
                      words: &dyn Fn(&str) -> String,
                      of: &dyn Fn(&TrialCow) -> Option<&str>| {
        let allotted = || then.iter().flatten().map(|&at| of(&cows[at]));
        let distinct: BTreeSet<Option<&str>> = allotted().collect();
        if distinct.len() < 2 {
            return;
        }
        let mut names: Vec<(&str, usize)> = distinct
            .into_iter()
            .flatten()
            .map(|name| (name, allotted().filter(|own| *own == Some(name)).count()))
            .collect();
        fairpen_stats::in_order::order_by(&mut names, |one, other| natural_order(one.0, other.0));
        if names.len() > most {
            fairpen_stats::in_order::order_by_key(&mut names, |(_, n)| std::cmp::Reverse(*n));
            names.truncate(most);
        }
        for (name, _) in names {
            let share = |place: &Vec<usize>| {
                let n = place
                    .iter()
                    .filter(|&&at| of(&cows[at]) == Some(name))
                    .count();
                #[allow(clippy::cast_precision_loss)] // far below 2^53
                if place.is_empty() {
                    f64::NAN
                } else {
                    n as f64 / place.len() as f64
                }
            };
            let apart = |places: &[Vec<usize>]| {
                let shares: Vec<f64> = places.iter().map(share).collect();
                largest_difference(&shares, |one, other| {
                    standardised_difference_of_proportions(*one, *other)
                })
            };
            lines.push(TrialBalance {
                key: format!("{key}:{name}"),
                words: words(name),
                kind: "share",
                values: then.iter().map(share).collect(),
                before: apart(now),
                after: apart(then),
            });
        }
    };
    shares(
        "age_class",
        usize::MAX,
        &|name| format!("cows of age class {name}"),
        &|cow| cow.age_class.as_deref(),
    );
    shares(
        "service",
        MOST_BULLS,
        &|name| format!("served by {name}"),
        &|cow| cow.service.as_deref(),
    );
    let mut means = |key: &str, words: &str, kind: &'static str, of: &dyn Fn(&TrialCow) -> f64| {
        let summaries = |places: &[Vec<usize>]| -> Vec<_> {
            places
                .iter()
                .map(|place| {
                    summarise(&place.iter().map(|&at| of(&cows[at])).collect::<Vec<f64>>()).ok()
                })
                .collect()
        };
        let apart = |places: &[Vec<usize>]| {
            largest_difference(&summaries(places), |one, other| {
                standardised_difference(one.as_ref()?, other.as_ref()?)
            })
        };
        let values: Vec<f64> = summaries(then)
            .iter()
            .map(|summary| summary.and_then(|summary| summary.mean).unwrap_or(f64::NAN))
            .collect();
        if values.iter().any(|value| !value.is_nan()) {
            lines.push(TrialBalance {
                key: key.to_owned(),
                words: words.to_owned(),
                kind,
                values,
                before: apart(now),
                after: apart(then),
            });
        }
    };
    means("age", "mean age at calving, years", "years", &|cow| {
        cow.age_days
            .map_or(f64::NAN, |days| f64::from(days) / DAYS_PER_YEAR)
    });
    means("due", "mean expected calving date", "day", &|cow| {
        cow.due.map_or(f64::NAN, |day| f64::from(day.count()))
    });
    means(
        "ratio",
        "mean ratio of her calves so far, where she has any",
        "number",
        &|cow| cow.ratio,
    );
    lines
}
