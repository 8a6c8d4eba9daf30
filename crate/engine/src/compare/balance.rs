//! What else differs between the levels.
//!
//! Enters: the used calves. Leaves: a row for each trait, with a value per level and the largest
//! standardised difference between any two levels (Austin 2009, Statistics in Medicine 28:3083-3107).
//! Always true: shares are of the used calves of a level, blanks counted as `not recorded`.
//! Never: says what a difference means; that is `caution`.

use std::collections::BTreeMap;

use fairpen_stats::describe::{
    standardised_difference, standardised_difference_of_proportions, summarise,
};

use super::dams::Dams;
use super::levels::Chosen;
use super::result::BalanceRow;
use super::rows::Rows;
use super::weigh_conditions::WeighConditions;
use crate::results::Results;
use crate::sheet::codes::{BORN_AS, RAISED_BY, SEX};
use crate::sheet::read::list::is_unknown;
use crate::sheet::workbook::Workbook;
use crate::trade::plausible::DAYS_PER_YEAR;

/// At most this many bulls or breeds have a row of their own; the rest are in the sheet.
const MOST_NAMED: usize = 8;

pub(super) fn balance(
    book: &Workbook,
    results: &Results,
    rows: &Rows,
    chosen: &Chosen,
    dams: &Dams,
) -> Vec<BalanceRow> {
    let classes = &book.settings.factors.classes;
    let mut table = Vec::new();
    shares(
        &mut table,
        chosen,
        "sex",
        |name| {
            if name == "not recorded" {
                "sex not recorded".to_owned()
            } else {
                format!("{name}s")
            }
        },
        &|row| SEX.key(rows.calves.sex[row]).map(str::to_owned),
    );
    shares(
        &mut table,
        chosen,
        "dam_age_class",
        |name| {
            if name == "not recorded" {
                "cows of unknown age".to_owned()
            } else {
                format!("cows of age class {name}")
            }
        },
        &|row| {
            classes
                .get(usize::from(results.adjusted.raising_class[row]))
                .map(|class| class.name.clone())
        },
    );
    averages(
        &mut table,
        chosen,
        "dam_age",
        "mean age of the dams, years",
        "number",
        &|row| match results.adjusted.dam_age_days[row] {
            i32::MIN => f64::NAN,
            days => f64::from(days) / DAYS_PER_YEAR,
        },
    );
    let earlier = dams.earlier_ratio(rows, results);
    averages(
        &mut table,
        chosen,
        "earlier_ratio",
        "mean ratio of the dams' earlier calves, where they have any",
        "number",
        &|row| earlier[row],
    );
    averages(
        &mut table,
        chosen,
        "birth_date",
        "mean birth date",
        "day",
        &|row| {
            if rows.calves.birth[row].is_missing() {
                f64::NAN
            } else {
                f64::from(rows.calves.birth[row].count())
            }
        },
    );
    averages(
        &mut table,
        chosen,
        "age_days",
        "mean age at weighing, days",
        "number",
        &|row| f64::from(results.adjusted.age_days[row]),
    );
    averages(
        &mut table,
        chosen,
        "birth_weight",
        "mean birth weight, where taken",
        "weight",
        &|row| {
            book.settings
                .weight_unit
                .to_pounds(rows.calves.birth_weight[row])
        },
    );
    shares(
        &mut table,
        chosen,
        "season",
        |name| format!("born in {name}"),
        &|row| rows.season[row].clone(),
    );
    shares(
        &mut table,
        chosen,
        "creep",
        |name| {
            if name == "yes" {
                "with creep".to_owned()
            } else {
                format!("creep {name}")
            }
        },
        &|row| rows.creep_word(row).map(str::to_owned),
    );
    shares(
        &mut table,
        chosen,
        "sire",
        |name| format!("by {name}"),
        &|row| {
            let named = rows.calves.sire.get(row);
            named.filter(|name| !is_unknown(name)).map(str::to_owned)
        },
    );
    shares(
        &mut table,
        chosen,
        "breed",
        |name| name.to_owned(),
        &|row| rows.calves.breed.get(row).map(str::to_owned),
    );
    shares(
        &mut table,
        chosen,
        "born_as",
        |name| format!("born {name}"),
        &|row| {
            Some(
                BORN_AS
                    .key(rows.calves.born_as[row])
                    .unwrap_or("single")
                    .to_owned(),
            )
        },
    );
    shares(
        &mut table,
        chosen,
        "raised_by",
        |name| format!("raised by {name}"),
        &|row| {
            Some(
                RAISED_BY
                    .key(rows.calves.raised_by[row])
                    .unwrap_or("own dam")
                    .to_owned(),
            )
        },
    );
    shares(
        &mut table,
        chosen,
        "weighed",
        |name| format!("weighed {name}"),
        &|row| Some(rows.calves.weighed_on(row).iso()),
    );
    weighing(&mut table, chosen, &WeighConditions::of(book, rows));
    table
}

/// How the calves came to the scale, where a weigh day tells of it.
fn weighing(table: &mut Vec<BalanceRow>, chosen: &Chosen, conditions: &WeighConditions) {
    if !conditions.any() {
        return;
    }
    for (key, words) in [
        ("hours_off_feed", "mean hours off feed before the scale"),
        ("hours_off_water", "mean hours off water before the scale"),
    ] {
        averages(table, chosen, key, words, "number", &|row| {
            conditions.number(row, key)
        });
    }
    shares(
        table,
        chosen,
        "hauled",
        |name| match name {
            "yes" => "hauled before the scale".to_owned(),
            "no" => "not hauled before the scale".to_owned(),
            _ => "hauling not recorded".to_owned(),
        },
        &|row| conditions.hauled(row).map(str::to_owned),
    );
    shares(
        table,
        chosen,
        "scale",
        |name| match name {
            "not recorded" => "scale not recorded".to_owned(),
            name => format!("weighed on {name}"),
        },
        &|row| conditions.scale(row).map(str::to_owned),
    );
}

/// One row per value of a trait, most common first; none when every calf has the same value.
fn shares(
    table: &mut Vec<BalanceRow>,
    chosen: &Chosen,
    key: &str,
    words: impl Fn(&str) -> String,
    of: &dyn Fn(usize) -> Option<String>,
) {
    let n_levels = chosen.names.len();
    let mut counts: BTreeMap<String, Vec<u32>> = BTreeMap::new();
    for level in 0..n_levels {
        for row in chosen.used_rows(level) {
            let name = of(row).unwrap_or_else(|| "not recorded".to_owned());
            counts.entry(name).or_insert_with(|| vec![0; n_levels])[level] += 1;
        }
    }
    if counts.len() < 2 {
        return;
    }
    let mut order: Vec<(String, Vec<u32>)> = counts.into_iter().collect();
    // Classes and dates keep their own order; names come by how common they are.
    if matches!(key, "sire" | "breed") {
        fairpen_stats::in_order::order_by_key(&mut order, |(_, counts)| {
            std::cmp::Reverse(counts.iter().sum::<u32>())
        });
        order.truncate(MOST_NAMED);
    } else {
        fairpen_stats::in_order::order_by(&mut order, |one, other| {
            crate::sheet::natural::natural_order(&one.0, &other.0)
        });
    }
    for (name, counts) in order {
        let values: Vec<f64> = counts
            .iter()
            .enumerate()
            .map(|(level, &n)| match chosen.n_used(level) {
                0 => f64::NAN,
                #[allow(clippy::cast_precision_loss)] // far below 2^53
                all => f64::from(n) / all as f64,
            })
            .collect();
        let standardised = largest_difference(&values, |one, other| {
            standardised_difference_of_proportions(*one, *other)
        });
        table.push(BalanceRow {
            key: format!("{key}:{name}"),
            words: words(&name),
            kind: "share",
            values,
            standardised_difference: standardised,
        });
    }
}

fn averages(
    table: &mut Vec<BalanceRow>,
    chosen: &Chosen,
    key: &str,
    words: &str,
    kind: &'static str,
    of: &dyn Fn(usize) -> f64,
) {
    let summaries: Vec<_> = (0..chosen.names.len())
        .map(|level| summarise(&chosen.used_rows(level).map(of).collect::<Vec<f64>>()).ok())
        .collect();
    let values: Vec<f64> = summaries
        .iter()
        .map(|summary| summary.and_then(|summary| summary.mean).unwrap_or(f64::NAN))
        .collect();
    if values.iter().all(|value| value.is_nan()) {
        return;
    }
    let standardised = largest_difference(&summaries, |one, other| {
        standardised_difference(one.as_ref()?, other.as_ref()?)
    });
    table.push(BalanceRow {
        key: key.to_owned(),
        words: words.to_owned(),
        kind,
        values,
        standardised_difference: standardised,
    });
}

/// Largest size of a difference over all pairs of levels; NaN when no pair has one.
pub(crate) fn largest_difference<T>(
    levels: &[T],
    difference: impl Fn(&T, &T) -> Option<f64>,
) -> f64 {
    let mut found = f64::NAN;
    for (at, one) in levels.iter().enumerate() {
        for other in &levels[at + 1..] {
            if let Some(size) = difference(one, other).map(f64::abs)
                && !size.is_nan()
                && (found.is_nan() || size > found)
            {
                found = size;
            }
        }
    }
    found
}
