//! What is compared of each calf, and why a calf has none of it.
//!
//! Enters: a book, its results, the chosen response. Leaves: the numbers by row (NaN missing; weights in lb), the
//! steps on the way to them, and for every row without one the first reason.
//! Always true: a calf has a number to compare exactly when it has no reason.
//! Never: fills in a number; 205 and 365 day weights here are by age alone, since the model holds dam age.

use std::borrow::Cow;

use super::choices::Response;
use super::model_facts::{Measure, Unit};
use super::numbers::{Numbers, decimals_of};
use super::rows::Rows;
use crate::adjust::columns::{days, numbers};
use crate::adjust::marks::Marks;
use crate::error::Error;
use crate::results::Results;
use crate::results::rests_on::rests_on;
use crate::sheet::column::Kind;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// Ages at which a yearling weight counts, days (house rule 28).
pub const YEARLING_AGE_DAYS: std::ops::RangeInclusive<i32> = 320..=410;

/// The age a yearling weight is put on, days.
pub const YEARLING_STANDARD_AGE_DAYS: i32 = 365;

/// Why a calf is not used, in the order in which reasons are looked for.
pub(super) const REASONS: [&str; 17] = [
    "no weaning weight",
    "no birth weight",
    "no yearling weight",
    "no number in the column",
    "born dead",
    "sex not known",
    "no birth date",
    "no weigh date",
    "weighed before birth",
    "younger than the age window",
    "older than the age window",
    "no day of the yearling weight",
    "yearling weight at an age outside 320 to 410 days",
    "no weaning weight to count the gain from",
    "raised on the bottle",
    "set apart by hand",
    "no adjusted weight",
];

const NO_WEANING: usize = 0;
const NO_BIRTH_WEIGHT: usize = 1;
const NO_YEARLING: usize = 2;
const NO_NUMBER: usize = 3;
const BORN_DEAD: usize = 4;
const NO_YEARLING_DAY: usize = 11;
const YEARLING_AGE: usize = 12;
const NOTHING_TO_GAIN_FROM: usize = 13;
const NO_FIGURE: usize = 16;

const SEX: (Marks, usize) = (Marks::NO_SEX, 5);
const BIRTH: (Marks, usize) = (Marks::NO_BIRTH_DATE, 6);
const WEIGHED: (Marks, usize) = (Marks::NO_WEIGH_DATE, 7);
const BEFORE: (Marks, usize) = (Marks::WEIGHED_BEFORE_BIRTH, 8);
const UNDER: (Marks, usize) = (Marks::UNDER_WINDOW, 9);
const OVER: (Marks, usize) = (Marks::OVER_WINDOW, 10);
const BOTTLE: (Marks, usize) = (Marks::BOTTLE, 14);
const APART: (Marks, usize) = (Marks::SET_APART, 15);

/// The compared numbers.
pub(super) struct Compared<'a> {
    pub measure: Measure,
    /// By row.
    pub values: Cow<'a, [f64]>,
    /// As recorded.
    pub raw: Cow<'a, [f64]>,
    /// Put on one age; `None` where the response has no such step.
    pub by_age: Option<Cow<'a, [f64]>>,
    /// With the published dam-age factors.
    pub published: Option<Cow<'a, [f64]>>,
    /// Age at weighing stands in the model in place of birth date.
    pub age_in_model: bool,
    /// The cow that counts bore the calf; else she raised it.
    pub birth_dam: bool,
    /// Calves columns that the numbers are, or are worked out from.
    pub columns: Vec<String>,
    yearling: Yearling<'a>,
    response: Response,
}

impl<'a> Compared<'a> {
    /// Finds the numbers of a response.
    pub fn new(
        book: &Workbook,
        results: &'a Results,
        rows: &Rows<'a>,
        response: &Response,
    ) -> Result<Compared<'a>, Error> {
        let adjusted = &results.adjusted;
        let age = book.settings.standard_age_days;
        let weaning = [
            "wean_weight",
            "gain_per_day",
            "weight_per_day",
            "adj_205_weight",
        ];
        let weight =
            |words: String, marks: String| measure(response, words, marks, Unit::Weight, (1, 0));
        let owned = |keys: &[&str]| keys.iter().map(|key| (*key).to_owned()).collect();
        let plain = |measure: Measure, values: Cow<'a, [f64]>, columns: Vec<String>| Compared {
            measure,
            raw: values.clone(),
            values,
            by_age: None,
            published: None,
            age_in_model: false,
            birth_dam: false,
            columns,
            yearling: Yearling::of(rows),
            response: response.clone(),
        };
        let mut with_groups: Vec<String> = owned(&weaning);
        with_groups.extend(["ratio".to_owned(), "rank_in_group".to_owned()]);
        Ok(match response {
            Response::AgeAdjusted => Compared {
                raw: Cow::Borrowed(&adjusted.wean_weight),
                by_age: Some(Cow::Borrowed(&adjusted.age_adj_205)),
                published: Some(Cow::Borrowed(&adjusted.adj_205)),
                ..plain(
                    weight(
                        format!("weaning weight put on {age} days by age alone"),
                        format!("Adjusted {age}-day weight"),
                    ),
                    Cow::Borrowed(&adjusted.age_adj_205),
                    with_groups,
                )
            },
            Response::ActualWithAge => Compared {
                age_in_model: true,
                ..plain(
                    weight(
                        "weaning weight as weighed, with age in the model".to_owned(),
                        "Weaning weight".to_owned(),
                    ),
                    Cow::Borrowed(&adjusted.wean_weight),
                    with_groups,
                )
            },
            Response::BirthWeight => Compared {
                published: Some(Cow::Borrowed(&adjusted.adj_birth_weight)),
                birth_dam: true,
                ..plain(
                    measure(
                        response,
                        "birth weight".to_owned(),
                        "Adjusted birth weight".to_owned(),
                        Unit::Weight,
                        (1, 1),
                    ),
                    Cow::Owned(in_pounds(book, rows.calves.birth_weight)),
                    owned(&["birth_weight", "adj_birth_weight", "birth_weight_used"]),
                )
            },
            Response::Gain => plain(
                measure(
                    response,
                    "gain per day from birth to weaning".to_owned(),
                    "Gain per day".to_owned(),
                    Unit::WeightPerDay,
                    (2, 2),
                ),
                Cow::Borrowed(&adjusted.gain_per_day),
                [with_groups, owned(&["birth_weight", "birth_weight_used"])].concat(),
            ),
            Response::Yearling => {
                let yearling = Yearling::of(rows);
                Compared {
                    raw: Cow::Owned(in_pounds(book, yearling.weight)),
                    by_age: Some(Cow::Owned(yearling.on_365_days(
                        rows,
                        &adjusted.age_adj_205,
                        age,
                    ))),
                    published: Some(Cow::Owned(yearling.on_365_days(
                        rows,
                        &adjusted.adj_205,
                        age,
                    ))),
                    ..plain(
                        weight(
                            "yearling weight put on 365 days by age alone".to_owned(),
                            "Adjusted 365-day weight".to_owned(),
                        ),
                        Cow::Owned(yearling.on_365_days(rows, &adjusted.age_adj_205, age)),
                        [with_groups, owned(&["yearling_weight"])].concat(),
                    )
                }
            }
            Response::Column(wanted) => {
                let found = Numbers::find(book, results, rows.calves.n_rows, wanted)?;
                let decimals = decimals_of(&found.values, &found.unit);
                let mut columns = vec![found.key.clone()];
                columns.extend(
                    rests_on(book, SheetKind::Calves, &found.key)
                        .into_iter()
                        .filter(|(sheet, _)| *sheet == SheetKind::Calves)
                        .map(|(_, key)| key),
                );
                let mut compared = plain(
                    measure(
                        response,
                        found.label.to_lowercase(),
                        found.label.clone(),
                        found.unit,
                        (decimals, decimals),
                    ),
                    Cow::Owned(found.values),
                    columns,
                );
                compared.measure.key = found.key;
                compared
            }
        })
    }

    /// Why a calf is not used: a position in [`REASONS`], the first that holds.
    pub fn why_not(&self, rows: &Rows, row: usize) -> Option<usize> {
        let marks = rows.adjusted.marks[row];
        let first = |reasons: &[(Marks, usize)]| {
            reasons
                .iter()
                .find(|(mark, _)| marks.has(*mark))
                .map(|(_, reason)| *reason)
        };
        let weaned: &[(Marks, usize)] = &[SEX, BIRTH, WEIGHED, BEFORE];
        let no_weight = || marks.has(Marks::NO_WEIGHT).then_some(NO_WEANING);
        let dead = || rows.calves.never_lived(row).then_some(BORN_DEAD);
        let reason = match &self.response {
            Response::AgeAdjusted => no_weight()
                .or_else(|| first(weaned))
                .or_else(|| first(&[UNDER, OVER, BOTTLE, APART])),
            Response::ActualWithAge | Response::Gain => no_weight()
                .or_else(|| first(weaned))
                .or_else(|| first(&[BOTTLE, APART])),
            Response::BirthWeight => (self.values[row].is_nan() || self.values[row] <= 0.0)
                .then_some(NO_BIRTH_WEIGHT)
                .or_else(dead)
                .or_else(|| first(&[SEX, BIRTH, APART])),
            Response::Yearling => self
                .yearling
                .why_not(rows, row)
                .or_else(|| first(&[SEX, BIRTH]))
                .or_else(|| {
                    rows.adjusted.age_adj_205[row]
                        .is_nan()
                        .then_some(NOTHING_TO_GAIN_FROM)
                })
                .or_else(|| first(&[BOTTLE, APART])),
            Response::Column(_) => self.values[row]
                .is_nan()
                .then_some(NO_NUMBER)
                .or_else(dead)
                .or_else(|| first(&[SEX, BIRTH, APART])),
        };
        reason.or_else(|| (!self.values[row].is_finite()).then_some(NO_FIGURE))
    }
}

/// Something that can be compared of the calves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offered {
    /// Its key, as [`Response::from_key`] reads it.
    pub key: String,
    /// In words.
    pub words: String,
    /// Calves that have it.
    pub n: u32,
}

/// Numbers of the sheet that say who a calf is, not how it did.
const NOT_COMPARED: [&str; 3] = ["dam_age", "dam_birth_year", "wean_weight"];

/// What can be compared of the calves: the usual weights, then columns of numbers, each with at least two calves.
pub fn offered(book: &Workbook, results: &Results) -> Vec<Offered> {
    let rows = Rows::new(book, results);
    let mut responses = vec![
        Response::AgeAdjusted,
        Response::ActualWithAge,
        Response::BirthWeight,
        Response::Gain,
        Response::Yearling,
    ];
    responses.extend(
        book.calves()
            .columns()
            .iter()
            .filter(|column| {
                !NOT_COMPARED.contains(&column.key.as_str()) && column.key != "birth_weight"
            })
            .filter(|column| {
                column.formula.is_some() || matches!(column.kind, Kind::Weight | Kind::Number(_))
            })
            .map(|column| Response::Column(column.key.clone())),
    );
    responses
        .into_iter()
        .filter_map(|response| {
            let compared = Compared::new(book, results, &rows, &response).ok()?;
            let n = (0..rows.calves.n_rows)
                .filter(|&row| compared.why_not(&rows, row).is_none())
                .count();
            (n > 1).then(|| Offered {
                key: compared.measure.key,
                words: compared.measure.words,
                n: u32::try_from(n).unwrap_or(u32::MAX),
            })
        })
        .collect()
}

fn measure(
    response: &Response,
    words: String,
    marks: String,
    unit: Unit,
    (decimals, spoken_decimals): (usize, usize),
) -> Measure {
    Measure {
        key: response.key().to_owned(),
        words,
        marks,
        unit,
        decimals,
        spoken_decimals,
    }
}

fn in_pounds(book: &Workbook, weights: &[f64]) -> Vec<f64> {
    weights
        .iter()
        .map(|&weight| book.settings.weight_unit.to_pounds(weight))
        .collect()
}

/// The yearling columns.
struct Yearling<'a> {
    weight: &'a [f64],
    date: &'a [crate::sheet::day::Day],
}

impl<'a> Yearling<'a> {
    fn of(rows: &Rows<'a>) -> Yearling<'a> {
        Yearling {
            weight: numbers(rows.calves.table, "yearling_weight"),
            date: days(rows.calves.table, "yearling_date"),
        }
    }

    fn why_not(&self, rows: &Rows, row: usize) -> Option<usize> {
        if self.weight[row].is_nan() || self.weight[row] <= 0.0 {
            return Some(NO_YEARLING);
        }
        if self.date[row].is_missing() {
            return Some(NO_YEARLING_DAY);
        }
        // A missing birth date is a reason of its own.
        let age = self.date[row].days_since(rows.calves.birth[row])?;
        (!YEARLING_AGE_DAYS.contains(&age)).then_some(YEARLING_AGE)
    }

    /// Gain per day after weaning times the days from the standard age to 365, on top of the weight at the
    /// standard age, lb; formula and example: American Angus Association, "Adjusted 365-day Yearling Weight".
    fn on_365_days(&self, rows: &Rows, at_weaning: &[f64], standard_age_days: i32) -> Vec<f64> {
        let span = f64::from(YEARLING_STANDARD_AGE_DAYS - standard_age_days);
        (0..rows.calves.n_rows)
            .map(|row| {
                let between = self.date[row].days_since(rows.calves.weighed_on(row));
                let age_fits = self.date[row]
                    .days_since(rows.calves.birth[row])
                    .is_some_and(|age| YEARLING_AGE_DAYS.contains(&age));
                match between {
                    Some(between) if between > 0 && age_fits => on_365_days(
                        rows.pounds(self.weight[row]),
                        rows.adjusted.wean_weight[row],
                        between,
                        span,
                        at_weaning[row],
                    ),
                    _ => f64::NAN,
                }
            })
            .collect()
    }
}

/// (yearling weight - weaning weight) / days between x days to 365 + weight at the standard age; weights in lb.
fn on_365_days(
    yearling: f64,
    weaning: f64,
    between_days: i32,
    span_days: f64,
    at_weaning: f64,
) -> f64 {
    (yearling - weaning) / f64::from(between_days) * span_days + at_weaning
}

#[cfg(test)]
mod tests {
    use super::on_365_days;

    /// Worked example of the American Angus Association, "Adjusted 365-day Yearling Weight": 1085 lb at 363 days,
    /// 660 lb at 209 days, 731 lb at 205 days: 1173 lb (1172.56 unrounded).
    #[test]
    fn the_published_example_of_a_yearling_weight() {
        let got = on_365_days(1085.0, 660.0, 363 - 209, 160.0, 731.0);
        assert!((got - 1172.5584).abs() < 1e-4, "{got}");
        assert_eq!(got.round(), 1173.0);
    }
}
